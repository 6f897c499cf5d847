// Package cut finds what a machine can cut: a solved machine, its targets and its
// cutters to answers. It words nothing and knows no report.
package cut

import (
	"math"

	"ironbed/compiler/chatter"
	"ironbed/compiler/cutting"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// Answers are what a machine makes of all of its targets. They are read only.
type Answers struct {
	Axes    [][]reach.Axis     // what the axes can do, at the middle of every uncertain value
	Spindle []reach.CurvePoint // torque available from the spindle over its speed, at the middle of every uncertain value
	List    []Answer           // in the order of the spec; none where the machine has no tool
	Demand  Demand             // the largest loads of the cuts
	Holes   []Hole             // of each drill in each target's material; none where no cut goes
}

// An Answer is what the machine makes of a target.
type Answer struct {
	Entry    *spec.Entry[spec.Target]
	Attempts []Attempt // the best first; none where the target's answer is not known

	Taken            Taken               // its best cut
	Ends             [2]Taken            // the same cut with every uncertain value at its worse end, and at its better end
	Finishers        []Finisher          // the end mills that cut it, the best first
	Fastest          Fast                // the cut that removes most
	Job              Job                 // its part
	JobEnds          [2]Job              // the same with every uncertain value at its worse end, and at its better end
	DeflectionShares []machine.PartShare // where deflection stops the cut: the compliance by part along the worst direction, the most compliant first

	Stability     Stability           // what limits its best cut by vibration
	StabilityEnds [2]Stability        // the same with every stiffness and every loss factor at its worse end, and at its better end
	ToothPassing  ToothPassing        // its tooth-passing frequency
	StableRatio   float64             // the depth that chatter allows over the one that the grade asks for; 0 where it sets none [-]
	ModeShares    []machine.PartShare // where chatter stops the cut: the strain energy of its mode by part, the largest first
}

// Best returns the attempt that decides, nil where there is none.
func (a *Answer) Best() *Attempt {
	if len(a.Attempts) == 0 {
		return nil
	}
	return &a.Attempts[0]
}

// Point is the best cut of an answer, nil where there is none.
func (a *Answer) Point() *reach.Point {
	if best := a.Best(); best != nil {
		return best.Best.Best
	}
	return nil
}

// SameCut is what becomes of the operation and the cutter of an attempt in others;
// nil where they do not have it.
func SameCut(a *Attempt, others []Attempt) (*Attempt, *reach.Outcome) {
	if a == nil {
		return nil, nil
	}
	for i := range others {
		if others[i].Cutter != a.Cutter {
			continue
		}
		for k := range others[i].Outcomes {
			if o := &others[i].Outcomes[k]; sameOperation(o, a.Best) {
				return &others[i], o
			}
		}
	}
	return nil, nil
}

// sameOperation reports whether two outcomes are of one operation in one range of width.
func sameOperation(a, b *reach.Outcome) bool {
	return a.Operation.Name == b.Operation.Name && a.Operation.Width == b.Operation.Width
}

// ByMean reports whether the mean of the factors tells when the best cut chatters, and
// several frequencies no more than that.
func (a *Answer) ByMean() bool {
	p := a.Point()
	return p == nil || p.Several.Kind == chatter.Never
}

// ChatterLimited reports whether chatter decides an answer.
func (a *Answer) ChatterLimited() bool {
	o := a.Best().Best
	for _, s := range o.Shortfalls {
		if s.Limit == reach.Chatter {
			return true
		}
	}
	return o.Best != nil && o.Best.Limit == reach.Chatter
}

// GradeMargin is how far the deepest cut of an answer lies from the nearest depth that
// would change its grade, as a share of the depth.
func (a *Answer) GradeMargin() float64 { return gradeMargin(a.Best().Best) }

// LeastGradeMargin is the same for every cutter and operation that was tried.
func (a *Answer) LeastGradeMargin() float64 {
	near := math.Inf(1)
	for i := range a.Attempts {
		for k := range a.Attempts[i].Outcomes {
			near = math.Min(near, gradeMargin(&a.Attempts[i].Outcomes[k]))
		}
	}
	return near
}

func gradeMargin(o *reach.Outcome) float64 {
	if o.Deepest == nil {
		return 0
	}
	near := math.Inf(1)
	for _, edge := range []float64{o.Operation.LightDepth, o.Operation.FullDepth} {
		near = math.Min(near, math.Abs(edge/o.Deepest.DepthRatio-1))
	}
	return near
}

// A Stability is what limits a cut by vibration: within [machine.SpeedDoubt] of its
// speed and at any speed.
type Stability struct {
	At, Any chatter.Limit
	Shifted chatter.Limit // at its speed, the modes anywhere within ModeUncertainty
	Kind    chatter.Kind  // how it begins to chatter within the doubt of its speed, where several frequencies decide it; Never where their mean does
	Hz      float64       // the frequency at which a deeper cut would chatter, 0 for none [Hz]

	Largest *machine.LargestMode // what moves the tip most as it chatters, in the pose in which it chatters first
}

// A ToothPassing is the tooth-passing frequency of a cut, against the machine's modes.
type ToothPassing struct {
	Hz     float64 // [Hz]
	Mode   int     // the mode that lies nearest, in their ratio
	ModeHz float64 // its frequency [Hz]
	Above  bool    // the tooth-passing frequency is far above it
	Close  bool    // it is close to it
}

// A Finisher is an end mill that a target can be finished with.
type Finisher struct {
	Attempt             *Attempt
	Ends                [2]*Attempt // its attempts with every uncertain value at its worse end, and at its better end; nil where it does not cut
	Accuracy, Allowance float64     // of the part: accuracy, and what roughing leaves for it [m]
	Finish
}

// A Finish is a thin pass along a wall.
type Finish struct {
	Cut       cutting.Cut // as it is set, climbing
	Feed      float64     // [m/s]
	LeastFeed float64     // feed per tooth of the thinnest chip that cuts [m]
	Wall      Wall
	EndWalls  []Wall // the same setting at both ends of the uncertainty
	Log       *spec.Log
}

// A Wall is how a finish pass leaves it. Errors are positive where work is left on.
type Wall struct {
	Climb        float64 // error, climbing [m]
	Conventional float64 // error, conventional [m]
	CuspHeight   float64 // height of the cusps of feed and runout [m]
}

// A Hole is what a drill asks of a machine in a target's material.
type Hole struct {
	Target *spec.Entry[spec.Target]
	Drill  *spec.Entry[spec.Cutter]
	Speed  float64 // [rev/s]
	Feed   float64 // [m/s]

	Torque    float64 // [N·m]
	Torques   reach.Range
	HasTorque float64 // torque available from the spindle [N·m]
	Thrust    float64 // the middle of what handbooks give [N]
	Thrusts   reach.Range
	HasThrust float64     // thrust available from the axis along the drill, and no more than the spindle's bearings carry [N]
	LimitedBy reach.Limit // empty where it goes
	Log       *spec.Log
}

// A Taken is an answer's best cut, taken by the numbers of one end of the uncertainty.
type Taken struct {
	Attempt *Attempt     // with its cutter; nil where there is none
	Point   *reach.Point // nil where the cut does not go

	// Without a point there is nothing below.

	Chip          float64 // thickest chip of the foremost tooth [m]
	SpecificForce float64 // specific cutting force at that chip [Pa]
	TeethFactor   float64 // what the other teeth in the cut add to the force of the foremost [-]

	Clamp float64 // what the workpiece is clamped with, where nothing but friction holds it [N]
}
