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
	Axes    [][]reach.Axis     // what the axes can do, at the middle of every doubt
	Spindle []reach.CurvePoint // what the spindle gives over its speed, at the middle of every doubt
	List    []Answer           // in the order of the spec; none where the machine has no tool
	Demand  Demand             // the hardest of the best cuts
	Holes   []Hole             // of each drill in each target's material; none where no cut goes
}

// An Answer is what the machine makes of a target.
type Answer struct {
	Entry       *spec.Entry[spec.Target]
	Attempts    []Attempt // the best first; none where the target's answer is not known
	Soft, Stiff reach.Grade

	Taken  Taken               // its best cut
	Ends   [2]Taken            // the same cut with every doubt at its worst, and at its best
	Finish Finish              // a thin pass along a wall with the same cutter
	Giving []machine.PartShare // where deflection stops the cut: the parts that give along the worst direction, the first one most

	Sung     Sung                // what limits its best cut by vibration
	SungEnds [2]Sung             // the same with every stiffness and every loss at its worst, and at its best
	Strike   Strike              // how often its teeth strike
	Quiet    float64             // the depth that stays silent with every doubt at its worst; 0 where nothing sings [m]
	Room     float64             // the depth that chatter allows over the one that the grade asks for; 0 where it sets none [-]
	Swinging []machine.PartShare // where chatter stops the cut: the parts that give in its mode, the first one most
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
			if o := &others[i].Outcomes[k]; o.Operation.Name == a.Operation {
				return &others[i], o
			}
		}
	}
	return nil, nil
}

// RingBound reports whether chatter decides an answer.
func (a *Answer) RingBound() bool {
	o := a.Best().Best
	for _, s := range o.Shortfalls {
		if s.Limit == reach.Chatter {
			return true
		}
	}
	return o.Best != nil && o.Best.Limit == reach.Chatter
}

// Brink is how far the deepest cut of an answer lies from the nearest depth that
// would change its grade, as a share of the depth.
func (a *Answer) Brink() float64 { return gradeEdge(a.Best().Best) }

// NearestEdge is the same for every cutter and operation that was tried.
func (a *Answer) NearestEdge() float64 {
	near := math.Inf(1)
	for i := range a.Attempts {
		for k := range a.Attempts[i].Outcomes {
			near = math.Min(near, gradeEdge(&a.Attempts[i].Outcomes[k]))
		}
	}
	return near
}

func gradeEdge(o *reach.Outcome) float64 {
	if o.Deepest == nil {
		return 0
	}
	near := math.Inf(1)
	for _, edge := range []float64{o.Operation.LightDepth, o.Operation.FullDepth} {
		near = math.Min(near, math.Abs(edge/o.Deepest.DepthRatio-1))
	}
	return near
}

// A Sung is what limits a cut by vibration: at its speed and at any speed.
type Sung struct {
	At, Any chatter.Limit
	Shifted chatter.Limit // at its speed, the modes anywhere within LobeDoubt
	Hz      float64       // the frequency at which a deeper cut would sing, 0 for none [Hz]
	Ring    *machine.Ring // the pose in which it sings first
	Mode    int           // the mode that moves the tip most when it sings
}

// A Strike is how often the teeth of a cut strike, against the machine's modes.
type Strike struct {
	Hz     float64 // [Hz]
	Mode   int     // the mode that lies nearest, in their ratio
	ModeHz float64 // its frequency [Hz]
	Above  bool    // the teeth strike far above it
	Close  bool    // they strike close to it
}

// A Finish is a thin pass along a wall.
type Finish struct {
	Cut       cutting.Cut // as it is set, climbing
	Feed      float64     // [m/s]
	Wall      Wall
	Ends      []Wall  // the same setting at both ends of the doubts
	Roughness float64 // Ra of the marks, a machine without give and a sharp edge [m]
	Log       *spec.Log
}

// A Wall is how a finish pass leaves it. Errors are positive where work is left on.
type Wall struct {
	Climbing     float64 // error, climbing [m]
	Conventional float64 // error, conventional [m]
	Marks        float64 // height of the marks of feed and runout [m]
}

// A Hole is what a drill asks of a machine in a target's material.
type Hole struct {
	Target *spec.Entry[spec.Target]
	Drill  *spec.Entry[spec.Cutter]
	Speed  float64 // [rev/s]
	Feed   float64 // [m/s]

	Torque    float64 // [N·m]
	Torques   reach.Range
	HasTorque float64 // what the spindle gives [N·m]
	Thrust    float64 // the middle of what handbooks give [N]
	Thrusts   reach.Range
	HasThrust float64     // what the axis along the drill gives [N]
	StoppedBy reach.Limit // empty where it goes
	Log       *spec.Log
}

// A Taken is an answer's best cut, taken by the numbers of one end of the doubts.
type Taken struct {
	Attempt *Attempt     // with its cutter; nil where there is none
	Point   *reach.Point // nil where the cut does not go

	// Without a point there is nothing below.

	Chip          float64 // thickest chip of the foremost tooth [m]
	SpecificForce float64 // specific cutting force at that chip [Pa]
	TeethFactor   float64 // what the other teeth in the cut add to the force of the foremost [-]

	FirstDepth float64 // depth of a first cut [m]
	Clamp      float64 // what the work is clamped with, where nothing but friction holds it [N]
}
