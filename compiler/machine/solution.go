package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/spec"
)

// A Solution is a machine solved once: in every pose of the grid, at the middle of
// every value and at both ends of its uncertainty. It is read only.
type Solution struct {
	Spec  *spec.Machine
	Model *Model // at the middle of every value

	Light, Heavy *Model // every value at its low and at its high end: what weighs least and most

	// Without a path from the cutter to the workpiece there is nothing below.

	Poses      []*Solved  // the grid, the last axis running fastest
	Worst      *Solved    // the least stiff pose, nil where it was not solved
	Stiffest   *Solved    // the stiffest pose
	Envelope   *Envelope  // what is most and least over the grid
	Compliance *Breakdown // its compliance in the least stiff pose, by part

	Soft, Stiff           *Solved // the worst pose at the ends of the uncertainty
	SoftModel, StiffModel *Model

	EveryVibration                  []Vibration // how it vibrates in each pose of the grid
	Vibrations                      []Vibration // in the poses that a cut is held against, the worst one first
	SoftVibrations, StiffVibrations []Vibration // the same poses at the ends of the uncertainty
	Held                            []*Solved   // those poses

	// The modes of the least stiff pose, by their shape: in every pose of the grid, and at the
	// ends of the uncertainty.
	inPoses               []counterparts
	softModes, stiffModes counterparts
	measuredModes         counterparts // by measured mode: which of the least stiff pose
}

// Ends are the models at the ends of the uncertainty: every value at its low and at its high
// end, and, where the machine was solved there, at its worse and at its better one.
func (s *Solution) Ends() []*Model {
	list := []*Model{s.Light, s.Heavy}
	if s.SoftModel != nil {
		list = append(list, s.SoftModel, s.StiffModel)
	}
	return list
}

// An Envelope is the extremes of the static answers over all poses of the grid.
type Envelope struct {
	Weakest [3]Weakest // by direction of the machine
	Sag     [3]Ranged  // by direction: how much the sag at the nose changes over the poses [m]
	Lags    []Lag      // of the axes that accelerate
	Feet    []FootLoad
}

// A Weakest is how stiff the machine is along one direction, in the pose that is least
// stiff there, at the tip of the reference cutter.
type Weakest struct {
	At      *Solved
	Machine Ranged // with the cutter taken as rigid [N/m]
	Whole   Ranged // with the cutter [N/m]
}

// A Lag is how far the tool tip is displaced while an axis accelerates, in the pose in
// which that is most.
type Lag struct {
	Axis         int
	At           *Solved
	Acceleration float64 // that the spec demands of the axis [m/s2]
	Off          r3.Vec  // of the tip against the workpiece, at the nose [m]
	Size         Ranged  // of it [m]
	Log          *spec.Log
}

// A FootLoad is what a foot carries by the machine's weight, over the poses.
type FootLoad struct {
	Name  string
	Place spec.Place
	Least Ranged // [N]
	Most  Ranged // [N]
}

// A Ranged is a number at the middle of every value, and at those ends of them at
// which it could be computed.
type Ranged struct {
	Middle float64
	Ends   []float64
}

// A Breakdown is how the compliance at the tip of the reference cutter splits, in the
// least stiff pose.
type Breakdown struct {
	Parts Split      // part by part
	Sums  Split      // with parts that act together added up
	Total [3]float64 // compliance of the whole path, by direction [m/N]
}

// A Split is a list of shares of the compliance.
type Split struct {
	Shares []Share              // the largest first, all directions together
	Along  [3][]ComplianceShare // by direction of the machine, the largest first
}

// A ComplianceShare is one share of the compliance along a direction.
type ComplianceShare struct {
	Share
	Part Ranged // its share [-]
}

// ToolAxis is the way that the cutter points; down without a spindle.
func (s *Solution) ToolAxis() r3.Vec {
	if s.Spec.Spindle == nil {
		return r3.Vec{Z: -1}
	}
	return Pointing(s.Spec.Spindle)
}

// AlongTool tells whether an axis feeds along the tool rather than across it.
func (s *Solution) AlongTool(axis r3.Vec) bool { return math.Abs(r3.Dot(axis, s.ToolAxis())) > 0.7 }
