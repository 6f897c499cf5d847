package machine

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/drive"
	"ironbed/compiler/frame"
	"ironbed/compiler/motor"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// UsualWarming is how much warmer a screw that works gets than its frame [K];
// common practice.
const UsualWarming = 10

// rackPitchError is the summed pitch error of a milled rack for each metre [-]; from
// memory, quality 8.
const rackPitchError = 0.1e-3

// rackStress is the bending stress that rack teeth of plain steel bear [Pa]; from
// memory, with its half as doubt.
const rackStress = 120e6

// defaultRest is how long an axis rests in the duty that stands in for one that
// the spec leaves out [s]; common practice.
const defaultRest = 2

// mechanismOf makes the mechanism of a drive at an end of the doubts, with what
// it pushes between near and far from its first end [m].
func mechanismOf(v *spec.Drive, c Corner, near, far float64) (drive.Mechanism, error) {
	switch {
	case v.Rack != nil:
		return rackOf(v.Rack, c)
	case v.Belt != nil:
		return beltOf(v.Belt, c, near, far), nil
	}
	s := v.Screw
	ends, err := drive.EndsNamed(s.Ends.Text)
	if err != nil {
		return nil, err
	}
	variation, err := drive.ScrewVariation(s.Grade.N)
	if err != nil {
		return nil, err
	}
	screw := drive.Screw{Material: drive.Steel(), NominalDiameter: s.Diameter.Value, RootDiameter: c.stiffness(s.Root), Lead: s.Lead.Value,
		Length: s.Length.Value, Unsupported: s.Length.Value, Efficiency: s.Efficiency.Value, Drag: s.Drag.Value, Preload: s.Preload.Value, Play: s.Play.Value,
		Tension: s.Tension.Value, Variation: variation, DynamicRating: s.Dynamic.Value, StaticRating: s.Static.Value}
	supports := drive.Supports{Ends: ends, Bearing: c.stiffness(s.BearingStiffness), Nut: c.stiffness(s.NutStiffness), NutBracket: c.stiffness(s.NutBracket),
		Tilt: c.stiffness(s.BearingTilt), NutFrom: near, NutTo: far}
	if s.NutTurns() {
		return drive.TurningNut{Screw: screw, Supports: supports, NutInertia: s.NutInertia.Value, NutTopSpeed: 2 * math.Pi * s.NutSpeed.Value}, nil
	}
	return drive.TurningScrew{Screw: screw, Supports: supports}, nil
}

func rackOf(r *spec.Rack, c Corner) (drive.Mechanism, error) {
	mesh, err := drive.MeshStiffness(r.Face.Value)
	return drive.Rack{Teeth: float64(r.Teeth.N), Module: r.Module.Value, Helix: r.Helix.Value, Face: r.Face.Value, PinionInertia: r.PinionInertia.Value,
		Efficiency: r.Efficiency.Value, Mesh: mesh, Bracket: c.stiffness(r.Bracket), Play: r.Play.Value, PitchError: rackPitchError,
		RatedForce: r.RatedForce.Value, AllowedStress: rackStress}, err
}

// meshingTeeth is the share of a pulley's teeth that a belt wraps, half of them,
// and those of an omega belt between its idlers.
var meshingTeeth = map[drive.BeltRun]float64{drive.Loop: 0.5, drive.Omega: 0.5}

func beltOf(b *spec.Belt, c Corner, near, far float64) drive.Mechanism {
	run, length := drive.Loop, 2*b.Span.Value
	if b.Run.Text == "omega" {
		run, length = drive.Omega, b.Span.Value
	}
	return drive.Belt{Run: run, Pitch: b.Pitch.Value, Teeth: float64(b.Teeth.N), Width: b.Width.Value, Length: length, StrandFrom: near, StrandTo: far,
		Specific: c.stiffness(b.CordStiffness), MassPerMetre: b.Mass.Value, Pretension: b.Pretension.Value, AllowedTension: b.AllowedTension.Value,
		ToothForce: b.ToothForce.Value, Meshing: meshingTeeth[run] * float64(b.Teeth.N), PulleyInertia: b.PulleyInertia.Value, Efficiency: b.Efficiency.Value,
		Bracket: c.stiffness(b.Bracket)}
}

// reductionOf makes what stands before the mechanism.
func reductionOf(v *spec.Drive, c Corner) drive.Reduction {
	r := v.Reduction
	return drive.Reduction{Ratio: v.Ratio.Value, Efficiency: r.Efficiency.Value, MotorInertia: r.Inertia.Value, DrivenInertia: r.DrivenInertia.Value,
		Stiffness: c.stiffness(r.Stiffness), Play: r.Play.Value, RatedTorque: r.RatedTorque.Value, TopSpeed: 2 * math.Pi * r.TopSpeed.Value}
}

// motorOf makes the motor of a drive; none leaves its torque unknown.
func motorOf(v *spec.Motor, c Corner) (motor.Motor, error) {
	if v == nil {
		return motor.Motor{}, nil
	}
	if v.Stepper != nil {
		s := StepperOf(v)
		m, err := s.Motor(v.Stepper.Share.Value)
		if err != nil {
			return m, err
		}
		m.Stiffness, err = s.DetentStiffness()
		if v.Brake {
			m.BrakeTorque = v.BrakeTorque.Value
		}
		return m, err
	}
	rated, top := 2*math.Pi*v.RatedSpeed.Value, 2*math.Pi*v.TopSpeed.Value
	m := motor.Motor{RotorInertia: v.Inertia.Value, Counts: float64(v.Counts.N), Stiffness: c.stiffness(v.Stiffness)}
	m.Continuous = torqueCurve(v.RatedTorque.Value, rated, top)
	m.Peak = torqueCurve(v.PeakTorque.Value, rated, top)
	if v.Brake {
		m.BrakeTorque = v.BrakeTorque.Value
	}
	return m, nil
}

func StepperOf(v *spec.Motor) motor.Stepper {
	s := v.Stepper
	out := motor.Stepper{Holding: s.Holding.Value, Detent: s.Detent.Value, Steps: float64(s.Steps.N), Micro: float64(s.Microsteps.N), RotorInertia: v.Inertia.Value}
	for _, p := range s.PullOut {
		out.PullOut = append(out.PullOut, motor.TorquePoint{Speed: 2 * math.Pi * p.Speed.Value, Torque: p.Torque.Value})
	}
	return out
}

// torqueCurve is a servo's limit: its torque up to the rated speed, and
// constant power from there to the top speed.
func torqueCurve(torque, rated, top float64) []motor.TorquePoint {
	list := []motor.TorquePoint{{Speed: 0, Torque: torque}, {Speed: rated, Torque: torque}}
	if top > rated*(1+1e-9) {
		for _, t := range []float64{0.5, 1} {
			speed := rated + t*(top-rated)
			list = append(list, motor.TorquePoint{Speed: speed, Torque: torque * rated / speed})
		}
	}
	return list
}

// before makes what stands before a drive's mechanism: its own reduction and
// motor, or, where a shaft across turns two drives, half of the one that there
// is, the far one behind the shaft's twist.
func (d *Model) before(axis int, v *spec.Drive, c Corner) (drive.Reduction, motor.Motor, error) {
	a := &d.Spec.Axes[axis].Item
	shaft := a.CrossShaft
	if shaft == nil || !isOneOf(a.Drives, v) {
		m, err := motorOf(v.Motor, c)
		return reductionOf(v, c), m, err
	}
	from := v
	for i := range a.Drives {
		if a.Drives[i].Item.Motor != nil {
			from = &a.Drives[i].Item
		}
	}
	m, err := motorOf(from.Motor, c)
	if err != nil {
		return drive.Reduction{}, m, err
	}
	r := reductionOf(from, c)
	for _, p := range []*float64{&r.MotorInertia, &r.DrivenInertia, &r.Stiffness, &r.RatedTorque, &m.RotorInertia, &m.BrakeTorque, &m.Stiffness} {
		*p /= 2
	}
	for _, curve := range [][]motor.TorquePoint{m.Continuous, m.Peak} {
		for i := range curve {
			curve[i].Torque /= 2
		}
	}
	steel := drive.Steel()
	inertia, err := drive.ShaftInertia(shaft.Diameter.Value, shaft.Length.Value, steel.Density)
	if err != nil {
		return r, m, err
	}
	r.DrivenInertia += inertia / 2
	if from == v {
		return r, m, nil
	}
	twist, err := drive.TwistStiffness(steel, shaft.Diameter.Value, shaft.Length.Value)
	if err != nil {
		return r, m, err
	}
	give := 1 / twist
	if k := c.stiffness(shaft.Couplings); k > 0 {
		give += 1 / k
	} else {
		give *= 2 // couplings as soft as the shaft
	}
	if r.Stiffness > 0 {
		give += 1 / r.Stiffness
	}
	r.Stiffness = 1 / give
	return r, m, nil
}

func isOneOf(drives spec.Map[spec.Drive], v *spec.Drive) bool {
	for i := range drives {
		if &drives[i].Item == v {
			return true
		}
	}
	return false
}

// DriveInput gathers what one drive of an axis has to do.
func DriveInput(d *Model, axis int, v *spec.Drive, c Corner, force, feed float64) (drive.Input, error) {
	a := &d.Spec.Axes[axis].Item
	near, far := d.driveRange(axis, v)
	mechanism, err := mechanismOf(v, c, near, far)
	if err != nil {
		return drive.Input{}, err
	}
	reduction, motor, err := d.before(axis, v, c)
	if err != nil {
		return drive.Input{}, err
	}
	cutShare, err := d.cutShare(axis)
	return drive.Input{
		Mass: d.MovedMass(axis), Gravity: -r3.Dot(Gravity, Unit(a.Direction.XYZ)), Balance: a.Counterweight.Value, Friction: a.Friction.Value,
		CuttingForce: force, CuttingFeed: feed, Acceleration: a.Acceleration.Value, RapidFeed: a.Rapid.Value,
		Travel: a.Travel.Value, Warming: UsualWarming, Share: 1 / math.Max(1, float64(len(a.Drives))), CutShare: cutShare,
		Mechanism: mechanism, Reduction: reduction, Motor: motor, Duty: dutyOf(a, force, feed), Limits: drive.CommonLimits(),
	}, err
}

// dutyOf is what an axis does over and over, for one drive of it.
func dutyOf(a *spec.Axis, force, feed float64) []motor.Segment {
	accelerate := a.Acceleration.Value
	if len(a.Duty) == 0 {
		if feed == 0 {
			return nil
		}
		half := a.Travel.Value / 2
		return []motor.Segment{{Feed: math.Max(a.Rapid.Value, feed), Distance: half, Acceleration: accelerate},
			{Feed: -feed, Distance: half, Acceleration: accelerate, Cut: force}, {Dwell: defaultRest}}
	}
	var list []motor.Segment
	for _, s := range a.Duty {
		if s.Rest.Given {
			list = append(list, motor.Segment{Dwell: s.Rest.Value, Braked: s.Braked})
			continue
		}
		speed := a.Rapid.Value
		if s.Feed.Given {
			speed = s.Feed.Value
		}
		list = append(list, motor.Segment{Feed: math.Copysign(speed, s.Move.Value), Distance: math.Abs(s.Move.Value), Acceleration: accelerate, Cut: s.Cut.Value})
	}
	return list
}

// cutShare is the largest share of a cutting force that one drive of an axis
// takes: all of one, and of two what the cutter's place across them calls for.
func (d *Model) cutShare(axis int) (float64, error) {
	a := &d.Spec.Axes[axis].Item
	if len(a.Drives) != 2 || d.Spec.Spindle == nil {
		return 1 / math.Max(1, float64(len(a.Drives))), nil
	}
	var at [2]r3.Vec
	for i := range a.Drives {
		nodes, _ := a.Drives[i].Item.Ends()
		at[i] = d.Nodes[d.Node[nodes[0].Text]]
	}
	travel := Unit(a.Direction.XYZ)
	apart := r3.Sub(at[1], at[0])
	apart = r3.Sub(apart, r3.Scale(r3.Dot(apart, travel), travel))
	distance := r3.Norm(apart)
	if distance < 1e-6 {
		return 1, nil
	}
	across, middle := r3.Scale(1/distance, apart), r3.Scale(0.5, r3.Add(at[0], at[1]))
	offset := 0.0
	nose := d.NosePoint()
	moved := d.Spec.CarriedBy(a.Moves.Text)
	for _, p := range d.Grid() {
		// Where the drives' body stands does not matter, only what it carries.
		shift := d.Shifts(p)
		place := r3.Add(r3.Add(d.Nodes[nose.Node], nose.Arm), shift[d.NodeBody[nose.Node]])
		own := shift[d.BodyIndex(moved[0])]
		offset = math.Max(offset, math.Abs(r3.Dot(across, r3.Sub(r3.Sub(place, own), middle))))
	}
	return drive.LargestShare(math.Min(offset, distance/2), distance)
}

func (d *Model) BodyIndex(name string) int {
	for i := range d.Spec.Bodies {
		if d.Spec.Bodies[i].Name == name {
			return i
		}
	}
	return 0
}

// driveRange returns the nearest and the farthest distance of a drive's two
// nodes over the axis's travel [m].
func (d *Model) driveRange(axis int, v *spec.Drive) (near, far float64) {
	a := &d.Spec.Axes[axis].Item
	travel := Unit(a.Direction.XYZ)
	nodes, _ := v.Ends()
	one, other := d.Node[nodes[0].Text], d.Node[nodes[1].Text]
	near = math.Inf(1)
	for _, at := range []float64{0, a.Travel.Value} {
		p := d.Middle()
		p[axis] = at
		shift := d.Shifts(p)
		gap := r3.Sub(r3.Add(d.Nodes[one], shift[d.NodeBody[one]]), r3.Add(d.Nodes[other], shift[d.NodeBody[other]]))
		distance := math.Abs(r3.Dot(travel, gap))
		near, far = math.Min(near, distance), math.Max(far, distance)
	}
	return near, far
}

// carries is the axial force that a drive's mechanism may carry [N].
func carries(out drive.Output) float64 {
	least := math.Inf(1)
	for _, c := range out.Checks {
		switch c.Name {
		case drive.RuleScrewBuckling, drive.RuleRackForce, drive.RuleBeltTeeth:
			least = math.Min(least, c.Limit)
		case drive.RuleBeltPretension:
			if c.Demand > 0 {
				least = math.Min(least, out.LargestLoad*c.Limit/c.Demand)
			}
		}
	}
	return least
}

// DriveLimits returns a share of the fastest feed of one drive, and the thrust that
// the axis has left for the cut up to that feed by it, after friction and weight.
func DriveLimits(d *Model, axis int, v *spec.Drive, share float64) (feed, thrust float64) {
	a := &d.Spec.Axes[axis].Item
	in, err := DriveInput(d, axis, v, Nominal, 0, 0)
	if err != nil {
		return 0, 0
	}
	out, err := drive.Axis(in)
	if err != nil {
		return 0, 0
	}
	feed = a.Rapid.Value
	if out.TopFeed > 0 {
		feed = math.Min(feed, out.TopFeed)
	}
	if len(in.Motor.Continuous) == 0 {
		// No motor chosen: what the mechanism may carry bounds the thrust.
		return feed, carries(out) / in.CutShare
	}
	feed *= share
	in.CuttingFeed = feed
	if out, err = drive.Axis(in); err != nil {
		return feed, 0
	}
	return feed, math.Min(out.CuttingThrust, carries(out)) / in.CutShare
}

// addDrives adds the axial stiffness of an axis's drives where they stand.
func (d *Model) addDrives(out *Posed, index int, p Pose) error {
	axis := &d.Spec.Axes[index]
	travel := Unit(axis.Item.Direction.XYZ)
	side := r3.Cross(travel, r3.Vec{X: 1})
	if math.Abs(travel.X) > 0.9 {
		side = r3.Cross(travel, r3.Vec{Z: 1})
	}
	side = r3.Unit(side)
	axes := [3]r3.Vec{travel, side, r3.Cross(travel, side)}
	for i := range axis.Item.Drives {
		e := &axis.Item.Drives[i]
		v := &e.Item
		nodes, carry := v.Ends()
		one, other := d.Node[nodes[0].Text], d.Node[nodes[1].Text]
		gap := r3.Sub(out.Frame.Nodes[one].Position, out.Frame.Nodes[other].Position)
		distance := math.Abs(r3.Dot(travel, gap))
		if v.Rack == nil {
			// A nut may stand at its bearing, a clamp no nearer than it can be held.
			distance = math.Max(distance, 1e-3)
		}
		if reaches, what := driveReach(v); distance > reaches.Value*(1+1e-6) {
			rule := "nut-off-screw"
			if v.Belt != nil {
				rule = "clamp-off-belt"
			}
			return &Refused{Rule: rule, At: nodes[0].At, Message: fmt.Sprintf(
				"%s of axis %s%s stands %s mm from %s, past the end of %s of %s, with the axes at %s; lengthen it or move one of the two",
				carry[0], axis.Name, driveSuffix(axis, e.Name), quantity.Number(distance*1e3), carry[1], what, reaches.Text, d.PoseWords(p))}
		}
		give, err := d.driveGive(index, v, distance)
		if err != nil {
			return &Refused{Rule: "drive", At: e.At, Message: fmt.Sprintf("drive %s of axis %s: %v", e.Name, axis.Name, err)}
		}
		out.drives[axis.Name+"."+e.Name] = len(out.Frame.Springs)
		out.Frame.Springs = append(out.Frame.Springs, frame.Spring{
			A: frame.Point{Node: other, Arm: gap}, B: frame.At(one), Axes: axes,
			K:    [6]float64{give.Stiffness()},
			Part: d.DrivePart[axis.Name+"."+e.Name]})
	}
	return nil
}

// driveReach is how far apart the two nodes of a drive may stand, and by what.
func driveReach(v *spec.Drive) (spec.Value, string) {
	switch {
	case v.Screw != nil:
		return v.Screw.Length, "a screw"
	case v.Belt != nil:
		return v.Belt.Span, "a belt"
	}
	far := spec.Value{}
	far.Value = math.Inf(1)
	return far, "a rack"
}

// driveGive is the give of a drive along its axis where it stands.
func (d *Model) driveGive(axis int, v *spec.Drive, position float64) (drive.Compliance, error) {
	mechanism, err := mechanismOf(v, d.Corner, position, position)
	if err != nil {
		return drive.Compliance{}, err
	}
	reduction, motor, err := d.before(axis, v, d.Corner)
	if err != nil {
		return drive.Compliance{}, err
	}
	return drive.StiffnessAt(mechanism, reduction, motor.Stiffness, position)
}

// InSeries is the stiffness of two springs one behind the other, zero for a
// rigid one.
func InSeries(a, b float64) float64 {
	if a == 0 || b == 0 {
		return a + b
	}
	return 1 / (1/a + 1/b)
}
