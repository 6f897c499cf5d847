// Package reach finds how deep a machine can cut a work material with a
// cutter, and which limit stops it there.
//
// Every load of a cut with a square corner grows in proportion to its depth (package
// cutting), so each limit of the machine gives a greatest depth in closed form, and only
// the speed, the chip thickness and the width are searched. A rounded corner, or a ball,
// has a table of its loads over the depth in place of the closed form. Loads are those of a steady
// cut; the depth from which the cut feeds its own vibration comes from package
// chatter, where the machine's receptance is known.
package reach

import (
	"fmt"
	"math"

	"ironbed/compiler/chatter"
	"ironbed/compiler/cutting"
)

// A Limit names what stops a cut.
type Limit string

// The limits that set a depth, and those that leave no cut at all.
const (
	Deflection     Limit = "deflection"          // the tool tip deflects by more than is allowed
	Chatter        Limit = "chatter"             // a deeper cut feeds its own vibration at this speed
	SpindleTorque  Limit = "spindle torque"      // mean torque at the speed
	SpindlePower   Limit = "spindle power"       // mean power at the speed
	AxisThrust     Limit = "axis thrust"         // force along an axis at the peak
	Bearings       Limit = "spindle bearings"    // force on the spindle's bearings at the peak
	CutterStrength Limit = "cutter strength"     // bending stress in the cutter at the peak
	FluteLength    Limit = "flute length"        // the flutes end
	ChipEvacuation Limit = "chip evacuation"     // in a deeper slot the chips pack
	FacingDepth    Limit = "depth of facing"     // deeper, facing is side milling over most of the diameter
	SpindleSpeed   Limit = "spindle speed"       // the spindle can't turn at a speed that the material takes
	CutterRating   Limit = "cutter speed rating" // the cutter may not turn that fast
	AxisFeed       Limit = "axis feed"           // an axis can't feed that fast
	FeedPerTooth   Limit = "feed per tooth"      // the feed is too slow for a chip that cuts instead of rubbing
	Surface        Limit = "surface speed"       // the material takes no higher surface speed
	ThickestChip   Limit = "thickest chip"       // deeper on a rounded corner the chip is thicker than the edge takes at this feed
)

// A CurvePoint is a point of a spindle's torque curve.
type CurvePoint struct {
	Speed  float64 // spindle speed [rev/s]
	Torque float64 // torque available [N·m]
	Power  float64 // power available at the cutter, 0 where nothing but the torque limits it [W]
}

// An Axis is one direction in which the machine feeds.
type Axis struct {
	Name      string
	Direction [3]float64 // unit vector along the axis [-]
	Feed      float64    // fastest feed under load [m/s]
	Thrust    float64    // force left for cutting after friction, weight and acceleration [N]
}

// A Machine is what carries the cut.
type Machine struct {
	Compliance   [3][3]float64 // displacement of the tip relative to the workpiece by a force on it, along X, Y, Z, cutter included [m/N]
	ToolAxis     [3]float64    // unit vector from the tip into the spindle [-]
	SpindleCurve []CurvePoint  // in order of rising speed; straight between the points, nothing outside
	Axes         []Axis        // the axes that feed; taken as perpendicular to each other
	Deflection   float64       // how far the tool tip may deflect at the peak of the force [m]

	BearingRadial float64 // what the spindle's bearings carry radially at the spindle nose, 0 for not known [N]
	BearingAxial  float64 // what they carry axially, 0 for not known [N]

	// Planes are the receptances of the tip against the workpiece in the planes of
	// feed that matter: several directions of feed, several poses. Without any,
	// chatter is not looked at.
	Planes      []chatter.Plane
	StableShare float64 // share of the limiting depth that is used [-]
	SpeedDoubt  float64 // how far the lobes may lie from where they are computed, as a share of the speed [-]
}

// A Cutter is what the spindle holds.
type Cutter struct {
	Diameter    float64        // cutting diameter [m]
	Corner      float64        // corner radius, half the diameter for a ball, 0 for a square corner [m]
	EdgeAngle   float64        // cutting edge angle of a face mill, 0 for a right angle [rad]
	Teeth       int            // number of teeth
	FluteLength float64        // length of the cutting edges [m]
	MaxSpeed    float64        // highest speed the maker allows, 0 if not known [rev/s]
	Runout      float64        // total indicator reading at the teeth [m]
	Roots       []cutting.Root // where it may break; none leaves its strength unchecked
}

// envelope is the surface that the cutter's edges sweep.
func (c *Cutter) envelope() cutting.Envelope {
	return cutting.Envelope{Diameter: c.Diameter, Corner: c.Corner}
}

// EdgeSine returns the sine of the cutting edge angle at a height above the tip: the
// chip there over that of a square corner, [-].
//
// Source: derived here, h = fz sin φ sin κ on an edge of the cutting edge angle κ.
func (c *Cutter) EdgeSine(height float64) float64 {
	if c.EdgeAngle != 0 {
		return math.Sin(c.EdgeAngle)
	}
	return c.envelope().EdgeSine(height)
}

// A Range is a span of a quantity in the quantity's unit.
type Range struct {
	Min float64 // least value [SI]
	Max float64 // greatest value [SI]
}

// An Operation is one way of cutting. Its width may be a range, of which the
// search tries a few.
type Operation struct {
	Name       string
	Mode       cutting.Mode
	Width      Range   // width of cut over cutter diameter; a slot is 1 to 1 [-]
	FullDepth  float64 // depth over diameter from which the operation is within reach [-]
	LightDepth float64 // depth over diameter from which light cuts are [-]
	MostDepth  float64 // greatest depth over diameter; 0 for any [-]
	MostBy     Limit   // what sets it: ChipEvacuation where it says nothing
}

// An Input is one work material, one cutter, one machine and the operations
// wanted.
type Input struct {
	Machine      Machine
	Cutter       Cutter
	Work         cutting.Work
	SurfaceSpeed Range // surface speeds that the material and the cutter take [m/s]

	// ChipThickness is the thickest chip of a true-running tooth, which is the feed
	// per tooth in cuts of half the diameter and wider with a square corner. A
	// narrower cut is fed faster to keep it, and so is an edge that leans.
	ChipThickness Range // chip thicknesss that cut without rubbing and without breaking the edge [m]

	// ProcessDamping is C in the radial force −C a/v × radial velocity on a tooth's flank.
	ProcessDamping float64 // process damping coefficient of work material and edge, 0 for none [N/m]

	Operations []Operation
}

// A Grade is the answer for one operation.
type Grade int

// The grades, worst first.
const (
	OutOfReach Grade = iota
	LightCuts
	WithinReach
)

// String returns the grade in words.
func (g Grade) String() string {
	return [...]string{"no cuts", "light cuts", "full cuts"}[min(max(g, OutOfReach), WithinReach)]
}

// A Load is one limit at a working point.
type Load struct {
	Limit   Limit
	Axis    string  // name of the axis, for the limits of an axis
	Depth   float64 // greatest depth that the limit allows, 0 where it is Endless [m]
	Endless bool    // the limit sets no depth: it allows any, or holds the feed or the speed instead
	Need    float64 // load at the depth of the working point [Unit]
	Have    float64 // what the machine or the cutter has [Unit]
	Unit    string  // unit of Need and Have
}

// A Shortfall is a limit that is in the way, with what would be needed.
type Shortfall struct {
	Limit  Limit
	Axis   string  // name of the axis, for the limits of an axis
	Need   float64 // what the cut needs [Unit]
	Have   float64 // what there is [Unit]
	Unit   string  // unit of Need and Have
	AtMost bool    // the need is an upper bound: the machine has too much
	Speed  float64 // spindle speed at which it was found, 0 where that has no meaning [rev/s]
}

// An Onset is where a working point begins to chatter by several frequencies, within
// the uncertainty of its speed; see [Confirm].
type Onset struct {
	chatter.Onset         // Never where it is stable as far as it may go, or was not looked at
	Speed         float64 // the speed at which it does [rev/s]
}

// A Point is a working point: a cut that the machine can carry.
type Point struct {
	Cut           cutting.Cut // with straight flutes, at the greatest depth
	SurfaceSpeed  float64     // speed of the edge [m/s]
	ChipThickness float64     // thickest chip of a true-running tooth [m]
	Feed          float64     // speed of the feed [m/s]
	DepthRatio    float64     // depth over diameter [-]
	RemovalRate   float64     // volume cut in a second [m3/s]
	PeakLateral   float64     // largest force across the tool's axis [N]
	PeakAxial     float64     // size of the largest force along it [N]
	Torque        float64     // mean torque [N·m]
	Power         float64     // mean power [W]
	Deflection    float64     // deflection of the tip in the worst direction of feed [m]
	Worst         [3]float64  // direction of the lateral force that deflects the tip most [-]

	Limit   Limit  // the limit that sets the depth
	Axis    string // its axis, for the limits of an axis
	HeldBy  Limit  // what holds the spindle speed; empty where a higher one would cut less
	Loads   []Load // every limit, the one that sets the depth first
	Several Onset  // where it chatters by several frequencies, where that decides it
	Uneven  bool   // runout leaves the hindmost tooth a chip below the least chip thickness
	Rubbing bool   // the thickest chip is below the work material's MinChip
}

// An Outcome is the answer for one operation. The points are nil where the
// machine can't cut at all.
type Outcome struct {
	Operation Operation
	Grade     Grade

	// Best is the working point of the largest removal rate among those of the
	// best grade found. The grade comes first because a limit of force allows a
	// shallow cut at a large chip thickness to remove more than a deep one at a
	// small: judged by the removal rate alone, an operation would be light cuts
	// only although the full depth is there to be had.
	Best *Point

	Fastest *Point // the largest removal rate, whatever the grade
	Deepest *Point // the greatest depth, whatever the removal rate

	// Shortfalls are the limits that keep the deepest cut from the next better
	// grade, with what its depth would need. Where the machine can't cut at
	// all they are what keeps it from a light cut.
	Shortfalls []Shortfall
}

// check reports what makes an input impossible to search.
func (in *Input) check() error {
	m, c := &in.Machine, &in.Cutter
	switch {
	case !positive(m.Deflection):
		return fmt.Errorf("the deflection allowed must be above zero, got %g m", m.Deflection)
	case !unit(m.ToolAxis):
		return fmt.Errorf("tool axis must be a unit vector, got %v", m.ToolAxis)
	case !positive(c.Diameter) || !positive(c.FluteLength):
		return fmt.Errorf("cutter diameter and flute length must be above zero, got %g m and %g m", c.Diameter, c.FluteLength)
	case c.Corner != 0 && c.EdgeAngle != 0:
		return fmt.Errorf("a cutter has a cutting edge angle or a corner radius, not both")
	case !notNegative(c.Corner) || c.Corner > c.Diameter/2*rounding:
		return fmt.Errorf("corner radius must be from 0 to half the diameter, got %g m", c.Corner)
	case !notNegative(c.MaxSpeed) || !notNegative(c.Runout):
		return fmt.Errorf("cutter speed rating and runout must not be negative, got %g rev/s and %g m", c.MaxSpeed, c.Runout)
	case !positive(in.Work.Kc11):
		return fmt.Errorf("specific cutting force must be above zero, got %g Pa", in.Work.Kc11)
	case !notNegative(in.ProcessDamping):
		return fmt.Errorf("process damping must not be negative, got %g N/m", in.ProcessDamping)
	case !in.SurfaceSpeed.ok():
		return fmt.Errorf("surface speeds must be above zero and in order, got %g to %g m/s", in.SurfaceSpeed.Min, in.SurfaceSpeed.Max)
	case !in.ChipThickness.ok():
		return fmt.Errorf("chip thicknesses must be above zero and in order, got %g to %g m", in.ChipThickness.Min, in.ChipThickness.Max)
	}
	if len(m.Planes) > 0 && !(m.StableShare > 0 && m.StableShare <= 1 && m.SpeedDoubt >= 0 && m.SpeedDoubt < 1) {
		return fmt.Errorf(
			"share of the stable depth must be above 0 and at most 1, and the uncertainty of the speed from 0 to below 1, got %g and %g",
			m.StableShare,
			m.SpeedDoubt,
		)
	}
	if !notNegative(m.BearingRadial) || !notNegative(m.BearingAxial) {
		return fmt.Errorf("what the spindle's bearings carry must not be negative, got %g and %g N", m.BearingRadial, m.BearingAxial)
	}
	for _, row := range m.Compliance {
		for _, x := range row {
			if !(math.Abs(x) < huge) {
				return fmt.Errorf("compliance must be finite, got %v", m.Compliance)
			}
		}
	}
	for _, root := range c.Roots {
		if !positive(root.Lever) || !positive(root.Moment) {
			return fmt.Errorf("root of the cutter must have a lever and a moment above zero, got %g m and %g N·m", root.Lever, root.Moment)
		}
	}
	if err := checkCurve(m.SpindleCurve); err != nil {
		return err
	}
	return checkAxes(m.Axes)
}

// square turns an input of a face mill, whose edge leans all along, into that of the
// square corner that stands for it: all of its loads are in proportion to the depth,
// too. The chips become those before the lean thins them.
func (in *Input) square() (err error) {
	if in.Cutter.EdgeAngle == 0 {
		return nil
	}
	in.Work, err = in.Work.Leaning(in.Cutter.EdgeAngle)
	sin := in.Cutter.EdgeSine(0)
	in.ChipThickness = Range{Min: in.ChipThickness.Min / sin, Max: in.ChipThickness.Max / sin}
	return err
}

func checkCurve(curve []CurvePoint) error {
	if len(curve) == 0 {
		return fmt.Errorf("spindle has no curve of torque against speed")
	}
	for i, p := range curve {
		if !positive(p.Speed) || !notNegative(p.Torque) || !notNegative(p.Power) {
			return fmt.Errorf("point %d of the spindle's curve must have a speed above zero and no negative torque or power, got %+v", i+1, p)
		}
		if i > 0 && p.Speed <= curve[i-1].Speed {
			return fmt.Errorf("speeds of the spindle's curve must rise, got %g after %g rev/s", p.Speed, curve[i-1].Speed)
		}
	}
	return nil
}

func checkAxes(axes []Axis) error {
	if len(axes) == 0 {
		return fmt.Errorf("machine has no axis to feed with")
	}
	for _, a := range axes {
		if !unit(a.Direction) {
			return fmt.Errorf("direction of axis %q must be a unit vector, got %v", a.Name, a.Direction)
		}
		if !notNegative(a.Feed) || !notNegative(a.Thrust) {
			return fmt.Errorf("feed and thrust of axis %q must not be negative, got %g m/s and %g N", a.Name, a.Feed, a.Thrust)
		}
	}
	return nil
}

// check reports what makes an operation impossible to search.
func (o *Operation) check() error {
	switch {
	case o.Mode != cutting.Slot && (!o.Width.ok() || o.Width.Max > 1):
		return fmt.Errorf("width of operation %q over the diameter must be above 0, at most 1 and in order, got %g to %g", o.Name, o.Width.Min, o.Width.Max)
	case !(o.MostDepth == 0 || o.MostDepth >= o.FullDepth) || math.IsInf(o.MostDepth, 0):
		return fmt.Errorf("most depth of operation %q must be none, or the full depth or more, got %g", o.Name, o.MostDepth)
	case !positive(o.LightDepth) || !positive(o.FullDepth) || o.LightDepth > o.FullDepth:
		return fmt.Errorf("light and full depth of operation %q must be above zero and in order, got %g and %g", o.Name, o.LightDepth, o.FullDepth)
	}
	return nil
}

func (r Range) ok() bool { return positive(r.Min) && positive(r.Max) && r.Min <= r.Max }

// huge bounds the sizes of what is searched, in SI. No quantity of a machine
// comes near it or its inverse, and no product of a few overflows.
const huge = 1e20

func positive(x float64) bool    { return x > 1/huge && x < huge }
func notNegative(x float64) bool { return x == 0 || positive(x) }

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func norm(a [3]float64) float64   { return math.Sqrt(dot(a, a)) }

// unit reports whether a vector has the length 1.
func unit(a [3]float64) bool { return math.Abs(norm(a)-1) <= 1e-6 }
