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
func mechanismOf(v *spec.Drive, read spec.Reader, near, far float64) (drive.Mechanism, error) {
	switch {
	case v.Rack != nil:
		return rackOf(v.Rack, read)
	case v.Belt != nil:
		return beltOf(v.Belt, read, near, far), nil
	}
	s := v.Screw
	ends, err := drive.EndsNamed(read.Word(s.Ends))
	if err != nil {
		return nil, err
	}
	variation, err := drive.ScrewVariation(read.Count(s.Grade))
	if err != nil {
		return nil, err
	}
	screw := drive.Screw{Material: drive.Steel(), NominalDiameter: read.Of(s.Diameter), RootDiameter: read.Of(s.Root), Lead: read.Of(s.Lead),
		Length: read.Of(s.Length), Unsupported: read.Of(s.Length), Efficiency: read.Of(s.Efficiency), Drag: read.Of(s.Drag), Preload: read.Of(s.Preload), Play: read.Of(s.Play),
		Tension: read.Of(s.Tension), Variation: variation, DynamicRating: read.Of(s.Dynamic), StaticRating: read.Of(s.Static)}
	supports := drive.Supports{Ends: ends, Bearing: read.Of(s.BearingStiffness), Nut: read.Of(s.NutStiffness), NutBracket: read.Of(s.NutBracket),
		Tilt: read.Of(s.BearingTilt), NutFrom: near, NutTo: far}
	if s.NutTurns() {
		return drive.TurningNut{Screw: screw, Supports: supports, NutInertia: read.Of(s.NutInertia), NutTopSpeed: 2 * math.Pi * read.Of(s.NutSpeed)}, nil
	}
	return drive.TurningScrew{Screw: screw, Supports: supports}, nil
}

func rackOf(r *spec.Rack, read spec.Reader) (drive.Mechanism, error) {
	mesh, err := drive.MeshStiffness(read.Of(r.Face))
	return drive.Rack{Teeth: float64(read.Count(r.Teeth)), Module: read.Of(r.Module), Helix: read.Of(r.Helix), Face: read.Of(r.Face), PinionInertia: read.Of(r.PinionInertia),
		Efficiency: read.Of(r.Efficiency), Mesh: mesh, Bracket: read.Of(r.Bracket), Play: read.Of(r.Play), PitchError: rackPitchError,
		RatedForce: read.Of(r.RatedForce), AllowedStress: rackStress}, err
}

// meshingTeeth is the share of a pulley's teeth that a belt wraps, half of them,
// and those of an omega belt between its idlers.
var meshingTeeth = map[drive.BeltRun]float64{drive.Loop: 0.5, drive.Omega: 0.5}

func beltOf(b *spec.Belt, read spec.Reader, near, far float64) drive.Mechanism {
	run, length := drive.Loop, 2*read.Of(b.Span)
	if b.Run.Text == "omega" {
		run, length = drive.Omega, read.Of(b.Span)
	}
	return drive.Belt{Run: run, Pitch: read.Of(b.Pitch), Teeth: float64(read.Count(b.Teeth)), Width: read.Of(b.Width), Length: length, StrandFrom: near, StrandTo: far,
		Specific: read.Of(b.CordStiffness), MassPerMetre: read.Of(b.Mass), Pretension: read.Of(b.Pretension), AllowedTension: read.Of(b.AllowedTension),
		ToothForce: read.Of(b.ToothForce), Meshing: meshingTeeth[run] * float64(read.Count(b.Teeth)), PulleyInertia: read.Of(b.PulleyInertia), Efficiency: read.Of(b.Efficiency),
		Bracket: read.Of(b.Bracket)}
}

// reductionOf makes what stands before the mechanism.
func reductionOf(v *spec.Drive, read spec.Reader) drive.Reduction {
	r := v.Reduction
	return drive.Reduction{Ratio: read.Of(v.Ratio), Efficiency: read.Of(r.Efficiency), MotorInertia: read.Of(r.Inertia), DrivenInertia: read.Of(r.DrivenInertia),
		Stiffness: read.Of(r.Stiffness), Play: read.Of(r.Play), RatedTorque: read.Of(r.RatedTorque), TopSpeed: 2 * math.Pi * read.Of(r.TopSpeed)}
}

// motorOf makes the motor of a drive; none leaves its torque unknown.
func motorOf(v *spec.Motor, read spec.Reader) (motor.Motor, error) {
	if v == nil {
		return motor.Motor{}, nil
	}
	if v.Stepper != nil {
		s := StepperOf(read, v)
		m, err := s.Motor(read.Of(v.Stepper.Share))
		if err != nil {
			return m, err
		}
		m.Stiffness, err = s.DetentStiffness()
		if v.Brake {
			m.BrakeTorque = read.Of(v.BrakeTorque)
		}
		return m, err
	}
	rated, top := 2*math.Pi*read.Of(v.RatedSpeed), 2*math.Pi*read.Of(v.TopSpeed)
	m := motor.Motor{RotorInertia: read.Of(v.Inertia), Counts: float64(read.Count(v.Counts)), Stiffness: read.Of(v.Stiffness)}
	m.Continuous = torqueCurve(read.Of(v.RatedTorque), rated, top)
	m.Peak = torqueCurve(read.Of(v.PeakTorque), rated, top)
	if v.Brake {
		m.BrakeTorque = read.Of(v.BrakeTorque)
	}
	return m, nil
}

func StepperOf(read spec.Reader, v *spec.Motor) motor.Stepper {
	s := v.Stepper
	out := motor.Stepper{Holding: read.Of(s.Holding), Detent: read.Of(s.Detent), Steps: float64(read.Count(s.Steps)), Micro: float64(read.Count(s.Microsteps)), RotorInertia: read.Of(v.Inertia)}
	for _, p := range s.PullOut {
		out.PullOut = append(out.PullOut, motor.TorquePoint{Speed: 2 * math.Pi * read.Of(p.Speed), Torque: read.Of(p.Torque)})
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
func (d *Model) before(axis int, v *spec.Drive, read spec.Reader) (drive.Reduction, motor.Motor, error) {
	a := &d.Spec.Axes[axis].Item
	shaft := a.CrossShaft
	if shaft == nil || !isOneOf(a.Drives, v) {
		m, err := motorOf(v.Motor, read)
		return reductionOf(v, read), m, err
	}
	from := v
	for i := range a.Drives {
		if a.Drives[i].Item.Motor != nil {
			from = &a.Drives[i].Item
		}
	}
	m, err := motorOf(from.Motor, read)
	if err != nil {
		return drive.Reduction{}, m, err
	}
	r := reductionOf(from, read)
	for _, p := range []*float64{&r.MotorInertia, &r.DrivenInertia, &r.Stiffness, &r.RatedTorque, &m.RotorInertia, &m.BrakeTorque, &m.Stiffness} {
		*p /= 2
	}
	for _, curve := range [][]motor.TorquePoint{m.Continuous, m.Peak} {
		for i := range curve {
			curve[i].Torque /= 2
		}
	}
	steel := drive.Steel()
	inertia, err := drive.ShaftInertia(read.Of(shaft.Diameter), read.Of(shaft.Length), steel.Density)
	if err != nil {
		return r, m, err
	}
	r.DrivenInertia += inertia / 2
	if from == v {
		return r, m, nil
	}
	twist, err := drive.TwistStiffness(steel, read.Of(shaft.Diameter), read.Of(shaft.Length))
	if err != nil {
		return r, m, err
	}
	give := 1 / twist
	if k := read.Of(shaft.Couplings); k > 0 {
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
func DriveInput(d *Model, axis int, v *spec.Drive, read spec.Reader, force, feed float64) (drive.Input, error) {
	a := &d.Spec.Axes[axis].Item
	near, far := d.driveRange(axis, v)
	mechanism, err := mechanismOf(v, read, near, far)
	if err != nil {
		return drive.Input{}, err
	}
	reduction, motor, err := d.before(axis, v, read)
	if err != nil {
		return drive.Input{}, err
	}
	cutShare, err := d.cutShare(axis)
	return drive.Input{
		Mass: d.MovedMass(axis), Gravity: -r3.Dot(Gravity, Unit(a.Direction.XYZ)), Balance: read.Of(a.Counterweight), Friction: read.Of(a.Friction),
		CuttingForce: force, CuttingFeed: feed, Acceleration: read.Of(a.Acceleration), RapidFeed: read.Of(a.Rapid),
		Travel: read.Of(a.Travel), Warming: UsualWarming, Share: 1 / math.Max(1, float64(len(a.Drives))), CutShare: cutShare,
		Mechanism: mechanism, Reduction: reduction, Motor: motor, Duty: dutyOf(read, a, force, feed), Limits: drive.CommonLimits(),
	}, err
}

// dutyOf is what an axis does over and over, for one drive of it.
func dutyOf(read spec.Reader, a *spec.Axis, force, feed float64) []motor.Segment {
	accelerate := read.Of(a.Acceleration)
	if len(a.Duty) == 0 {
		if feed == 0 {
			return nil
		}
		half := read.Of(a.Travel) / 2
		return []motor.Segment{{Feed: math.Max(read.Of(a.Rapid), feed), Distance: half, Acceleration: accelerate},
			{Feed: -feed, Distance: half, Acceleration: accelerate, Cut: force}, {Dwell: defaultRest}}
	}
	var list []motor.Segment
	for _, s := range a.Duty {
		if s.Rest.Given {
			list = append(list, motor.Segment{Dwell: read.Of(s.Rest), Braked: s.Braked})
			continue
		}
		speed := read.Of(a.Rapid)
		if s.Feed.Given {
			speed = read.Of(s.Feed)
		}
		list = append(list, motor.Segment{Feed: math.Copysign(speed, read.Of(s.Move)), Distance: math.Abs(read.Of(s.Move)), Acceleration: accelerate, Cut: read.Of(s.Cut)})
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
	for _, at := range []float64{0, d.Read.Of(a.Travel)} {
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
func DriveLimits(d *Model, axis int, v *spec.Drive, read spec.Reader, share float64) (feed, thrust float64) {
	a := &d.Spec.Axes[axis].Item
	in, err := DriveInput(d, axis, v, read, 0, 0)
	if err != nil {
		return 0, 0
	}
	out, err := drive.Axis(in)
	if err != nil {
		return 0, 0
	}
	feed = read.Of(a.Rapid)
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
		own := d.reading(d.DrivePart[axis.Name+"."+e.Name])
		nodes, carry := v.Ends()
		one, other := d.Node[nodes[0].Text], d.Node[nodes[1].Text]
		gap := r3.Sub(out.Frame.Nodes[one].Position, out.Frame.Nodes[other].Position)
		distance := math.Abs(r3.Dot(travel, gap))
		if v.Rack == nil {
			// A nut may stand at its bearing, a clamp no nearer than it can be held.
			distance = math.Max(distance, 1e-3)
		}
		if reaches, text, what := driveReach(own, v); distance > reaches*(1+1e-6) {
			rule := "nut-off-screw"
			if v.Belt != nil {
				rule = "clamp-off-belt"
			}
			return &Refused{Rule: rule, At: nodes[0].At, Message: fmt.Sprintf(
				"%s of axis %s%s stands %s mm from %s, past the end of %s of %s, with the axes at %s; lengthen it or move one of the two",
				carry[0], axis.Name, driveSuffix(axis, e.Name), quantity.Number(distance*1e3), carry[1], what, text, d.PoseWords(p))}
		}
		give, err := d.driveGive(index, v, own, distance)
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

// driveReach is how far apart the two nodes of a drive may stand [m], and by what.
func driveReach(read spec.Reader, v *spec.Drive) (reaches float64, text, what string) {
	switch {
	case v.Screw != nil:
		return read.Of(v.Screw.Length), v.Screw.Length.Text, "a screw"
	case v.Belt != nil:
		return read.Of(v.Belt.Span), v.Belt.Span.Text, "a belt"
	}
	return math.Inf(1), "", "a rack"
}

// driveGive is the give of a drive along its axis where it stands.
func (d *Model) driveGive(axis int, v *spec.Drive, read spec.Reader, position float64) (drive.Compliance, error) {
	mechanism, err := mechanismOf(v, read, position, position)
	if err != nil {
		return drive.Compliance{}, err
	}
	reduction, motor, err := d.before(axis, v, read)
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
