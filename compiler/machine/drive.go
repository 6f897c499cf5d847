package machine

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/drive"
	"ironbed/compiler/frame"
	"ironbed/compiler/motor"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// defaultRest is how long an axis rests in the duty that stands in for one that
// the spec leaves out [s]; common practice.
const defaultRest = 2

// A Topic is what a value of a drive is read for. What is computed from a drive keeps a
// log by topic, so that each of its numbers rests on what it was made of and on no more.
type Topic int

// The topics.
const (
	Section      Topic = iota // of what carries the force: a screw's root and how its ends are held, a belt's cords, the width of teeth
	Length                    // of a screw, span of a belt
	Diameter                  // of a screw, outside
	Lead                      // travel for a turn of what a drive turns
	Ratio                     // of the reduction
	Losses                    // efficiencies and drag
	Pull                      // preload, and what a screw or a belt is stretched with
	Backlash                  // backlash of nut, teeth and reduction
	Grade                     // how true a lead is
	Rating                    // what makers allow of forces and speeds
	Bearing                   // its stiffness
	Tilt                      // tilting stiffness of the bracket of the bearing
	Nut                       // its stiffness
	Bracket                   // how stiffly nut, pinion or clamps are held
	Inertia                   // what turns, but for the screw, a belt and the rotor
	BeltMass                  // mass of a belt
	Coupling                  // how stiffly reduction, couplings and a shaft across turn
	Servo                     // torsional stiffness of the motor about its shaft
	Steps                     // full steps of a stepper
	Counts                    // counts of an encoder, microsteps of a stepper
	Torque                    // torque of the motor over its speed
	Rotor                     // inertia of the rotor
	Brake                     // holding torque with the power off
	Mass                      // what the axis moves
	Load                      // friction and counterweight
	Rapid                     // feed wanted
	Acceleration              // wanted
	Travel                    // of the axis
	Duty                      // what the axis does over and over
	Place                     // where what a drive pushes stands along it
	CutShare                  // where the cutter stands between two drives
	ShaftWeight               // what a shaft's steel weighs
	Warmth                    // how much warmer a screw gets, and how much it grows by that
	topics
)

// giveTopics are what the stiffness of a drive along its axis rests on.
var giveTopics = []Topic{Section, Length, Lead, Ratio, Bearing, Nut, Bracket, Coupling, Servo, Steps, Place}

// A DriveReader reads a drive, each topic into a log.
type DriveReader struct {
	read spec.Reader
	logs [topics]*spec.Log
}

// ReadDrive reads all topics into the reader's own log.
func ReadDrive(read spec.Reader) DriveReader {
	r := DriveReader{read: read}
	for t := range r.logs {
		r.logs[t] = read.Log()
	}
	return r
}

// ReadDriveApart reads each topic into a log of its own, on which the reader's log rests.
func ReadDriveApart(read spec.Reader) DriveReader {
	r := DriveReader{read: read}
	for t := range r.logs {
		r.logs[t] = &spec.Log{}
		read.Log().Rest(r.logs[t])
	}
	return r
}

// readCompliance keeps what the stiffness of a drive rests on.
func readCompliance(read spec.Reader) DriveReader {
	r := DriveReader{read: read}
	for _, t := range giveTopics {
		r.logs[t] = read.Log()
	}
	return r
}

// On is the reader of a topic.
func (r DriveReader) On(t Topic) spec.Reader { return r.read.Into(r.logs[t]) }

// Log is what was read for some topics.
func (r DriveReader) Log(on ...Topic) *spec.Log {
	log := &spec.Log{}
	for _, t := range on {
		log.Rest(r.logs[t])
	}
	return log
}

// GiveLog is what the stiffness of the drive along its axis rests on.
func (r DriveReader) GiveLog() *spec.Log { return r.Log(giveTopics...) }

// mechanismOf makes the mechanism of a drive at an end of the uncertainty, with what
// it pushes between near and far from its first end [m].
func mechanismOf(m *spec.Machine, v *spec.Drive, read DriveReader, near, far float64) (drive.Mechanism, error) {
	switch {
	case v.Rack != nil:
		return rackOf(v.Rack, read)
	case v.Belt != nil:
		return beltOf(v.Belt, read, near, far), nil
	}
	s := v.Screw
	ends, err := drive.EndsNamed(read.On(Section).Word(s.Ends))
	if err != nil {
		return nil, err
	}
	variation, err := drive.ScrewVariation(read.On(Grade).Count(s.Grade))
	if err != nil {
		return nil, err
	}
	screw := drive.Screw{
		Material:        ShaftSteel(m, "screw steel", read, Section),
		NominalDiameter: read.On(Diameter).Of(s.Diameter),
		RootDiameter:    read.On(Section).Of(s.Root),
		Lead:            read.On(Lead).Of(s.Lead),
		Length:          read.On(Length).Of(s.Length),
		Unsupported:     read.On(Length).Of(s.Length),
		Efficiency:      read.On(Losses).Of(s.Efficiency),
		Drag:            read.On(Losses).Of(s.Drag),
		Preload:         read.On(Pull).Of(s.Preload),
		Backlash:        read.On(Backlash).Of(s.Backlash),
		Tension:         read.On(Pull).Of(s.Tension),
		Variation:       variation,
		Wear:            read.On(Grade).Of(s.Wear),
		DynamicRating:   read.On(Rating).Of(s.Dynamic),
		StaticRating:    read.On(Rating).Of(s.Static),
	}
	supports := drive.Supports{
		Ends:          ends,
		Bearing:       read.On(Bearing).Of(s.BearingStiffness),
		Nut:           NutStiffness(s, read.On(Nut)),
		NutBracket:    read.On(Bracket).Of(s.NutBracket),
		Tilt:          read.On(Tilt).Of(s.BearingTilt),
		NutFrom:       near,
		NutTo:         far,
		BearingRating: read.On(Rating).Of(s.BearingStatic),
	}
	if s.NutTurns() {
		return drive.RotatingNut{Screw: screw, Supports: supports, NutInertia: read.On(Inertia).Of(s.NutInertia),
			NutTopSpeed: 2 * math.Pi * read.On(Rating).Of(s.NutSpeed)}, nil
	}
	return drive.RotatingScrew{Screw: screw, Supports: supports}, nil
}

// NutStiffness is how stiff a screw's nut is along it, with the bearing in which it turns where it
// rotates [N/m].
func NutStiffness(s *spec.Screw, read spec.Reader) float64 {
	if s.NutTurns() {
		return InSeries(read.Of(s.NutStiffness), read.Of(s.NutBearing))
	}
	return read.Of(s.NutStiffness)
}

// ShaftSteel is what a shaft is made of, by a material of the catalogue or the spec.
// Stiffness says for what its moduli are read.
func ShaftSteel(m *spec.Machine, name string, read DriveReader, stiffness Topic) drive.Material {
	row := m.Material(name)
	modulus, shear := moduliOf(row, read.On(stiffness))
	read.On(Inertia).Of(row.Density) // it turns, too
	return drive.Material{
		Modulus:      modulus,
		ShearModulus: shear,
		Density:      read.On(ShaftWeight).Of(row.Density),
		Expansion:    read.On(Warmth).Of(row.Expansion),
	}
}

func rackOf(r *spec.Rack, read DriveReader) (drive.Mechanism, error) {
	mesh, err := drive.MeshStiffness(read.On(Section).Of(r.Face))
	return drive.Rack{
		Teeth:         float64(read.On(Lead).Count(r.Teeth)),
		Module:        read.On(Lead).Of(r.Module),
		Helix:         read.On(Lead).Of(r.Helix),
		Face:          read.On(Section).Of(r.Face),
		PinionInertia: read.On(Inertia).Of(r.PinionInertia),
		Efficiency:    read.On(Losses).Of(r.Efficiency),
		Mesh:          mesh,
		Bracket:       read.On(Bracket).Of(r.Bracket),
		Backlash:      read.On(Backlash).Of(r.Backlash),
		PitchError:    read.On(Grade).Of(r.PitchError),
		RatedForce:    read.On(Rating).Of(r.RatedForce),
		AllowedStress: read.On(Rating).Of(r.ToothStress),
	}, err
}

func beltOf(b *spec.Belt, read DriveReader, near, far float64) drive.Mechanism {
	run, length := drive.Loop, 2*read.On(Length).Of(b.CentreDistance)
	if b.Run.Text == "omega" {
		run, length = drive.Omega, read.On(Length).Of(b.CentreDistance)
	}
	teeth := float64(read.On(Lead).Count(b.Teeth))
	return drive.Belt{
		Run:            run,
		Pitch:          read.On(Lead).Of(b.Pitch),
		Teeth:          teeth,
		Width:          read.On(Section).Of(b.Width),
		Length:         length,
		SpanFrom:       near,
		SpanTo:         far,
		Specific:       read.On(Section).Of(b.CordStiffness),
		MassPerMetre:   read.On(BeltMass).Of(b.Mass),
		Pretension:     read.On(Pull).Of(b.Pretension),
		AllowedTension: read.On(Rating).Of(b.AllowedTension),
		ToothForce:     read.On(Rating).Of(b.ToothForce),
		Meshing:        read.On(Rating).Of(b.Wrap) * teeth,
		PulleyInertia:  read.On(Inertia).Of(b.PulleyInertia),
		Efficiency:     read.On(Losses).Of(b.Efficiency),
		Bracket:        read.On(Bracket).Of(b.Bracket),
		PitchError:     read.On(Grade).Of(b.PitchError),
	}
}

// reductionOf makes what stands before the mechanism.
func reductionOf(v *spec.Drive, read DriveReader) drive.Reduction {
	r := v.Reduction
	return drive.Reduction{
		Ratio:         read.On(Ratio).Of(v.Ratio),
		Efficiency:    read.On(Losses).Of(r.Efficiency),
		MotorInertia:  read.On(Inertia).Of(r.Inertia),
		DrivenInertia: read.On(Inertia).Of(r.DrivenInertia),
		Stiffness:     read.On(Coupling).Of(r.Stiffness),
		Backlash:      read.On(Backlash).Of(r.Backlash),
		RatedTorque:   read.On(Rating).Of(r.RatedTorque),
		TopSpeed:      2 * math.Pi * read.On(Rating).Of(r.MaxSpeed),
	}
}

// motorOf makes the motor of a drive; none leaves its torque unknown.
func motorOf(v *spec.Motor, read DriveReader) (motor.Motor, error) {
	if v == nil {
		return motor.Motor{}, nil
	}
	if v.Stepper != nil {
		s := StepperOf(read, v)
		m, err := s.Motor(read.On(Torque).Of(v.Stepper.Share))
		if err != nil {
			return m, err
		}
		m.Stiffness, err = s.DetentStiffness()
		if v.Brake {
			m.BrakeTorque = read.On(Brake).Of(v.BrakeTorque)
		}
		return m, err
	}
	rated, top := 2*math.Pi*read.On(Torque).Of(v.RatedSpeed), 2*math.Pi*read.On(Torque).Of(v.MaxSpeed)
	m := motor.Motor{
		RotorInertia: read.On(Rotor).Of(v.Inertia),
		Counts:       float64(read.On(Counts).Count(v.Counts)),
		Stiffness:    read.On(Servo).Of(v.Stiffness),
		Continuous:   torqueCurve(read.On(Torque).Of(v.RatedTorque), rated, top),
		Peak:         torqueCurve(read.On(Torque).Of(v.PeakTorque), rated, top),
	}
	if v.Brake {
		m.BrakeTorque = read.On(Brake).Of(v.BrakeTorque)
	}
	return m, nil
}

// StepperOf makes a stepper.
func StepperOf(read DriveReader, v *spec.Motor) motor.Stepper {
	s := v.Stepper
	out := motor.Stepper{
		Holding:      read.On(Servo).Of(s.Holding),
		Detent:       read.On(Brake).Of(s.Detent),
		Steps:        float64(read.On(Steps).Count(s.Steps)),
		Micro:        float64(read.On(Counts).Count(s.Microsteps)),
		RotorInertia: read.On(Rotor).Of(v.Inertia),
	}
	for _, p := range s.PullOut {
		out.PullOut = append(out.PullOut, motor.TorquePoint{Speed: 2 * math.Pi * read.On(Torque).Of(p.Speed), Torque: read.On(Torque).Of(p.Torque)})
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
func (d *Model) before(axis int, v *spec.Drive, read DriveReader) (drive.Reduction, motor.Motor, error) {
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
	halve(&r, &m)
	inertia, err := drive.ShaftInertia(read.On(Inertia).Of(shaft.Diameter), read.On(Inertia).Of(shaft.Length), ShaftSteel(d.Spec, "steel", read, Coupling).Density)
	if err != nil {
		return r, m, err
	}
	r.DrivenInertia += inertia / 2
	if from == v {
		return r, m, nil
	}
	twist, err := drive.TwistStiffness(ShaftSteel(d.Spec, "steel", read, Coupling), read.On(Coupling).Of(shaft.Diameter), read.On(Coupling).Of(shaft.Length))
	if err != nil {
		return r, m, err
	}
	r.Stiffness = InSeries(InSeries(twist, read.On(Coupling).Of(shaft.Couplings)), r.Stiffness)
	return r, m, nil
}

// halve leaves one of two drives that one motor turns half of what is before both.
func halve(r *drive.Reduction, m *motor.Motor) {
	for _, p := range []*float64{&r.MotorInertia, &r.DrivenInertia, &r.Stiffness, &r.RatedTorque, &m.RotorInertia, &m.BrakeTorque, &m.Stiffness, &m.StallTorque} {
		*p /= 2
	}
	for _, curve := range [][]motor.TorquePoint{m.Continuous, m.Peak} {
		for i := range curve {
			curve[i].Torque /= 2
		}
	}
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
func DriveInput(d *Model, axis int, v *spec.Drive, read DriveReader, force, feed float64) (drive.Input, error) {
	a := &d.Spec.Axes[axis].Item
	near, far := d.driveRange(axis, v, read.On(Place))
	mechanism, err := mechanismOf(d.Spec, v, read, near, far)
	if err != nil {
		return drive.Input{}, err
	}
	reduction, motor, err := d.before(axis, v, read)
	if err != nil {
		return drive.Input{}, err
	}
	for _, name := range d.Spec.CarriedBy(a.Moves.Text) {
		read.On(Mass).Log().Rest(d.BodyWeight[d.BodyIndex(name)])
	}
	warming := 0.0
	if v.Screw != nil {
		warming = read.On(Warmth).Of(v.Screw.TemperatureRise)
	}
	cutShare, err := d.cutShare(axis, read.On(CutShare))
	return drive.Input{
		Mass:         d.MovedMass(axis),
		Gravity:      -r3.Dot(Gravity, Unit(a.Direction.XYZ)),
		Balance:      read.On(Load).Of(a.Counterweight),
		Friction:     read.On(Load).Of(a.Friction),
		CuttingForce: force,
		CuttingFeed:  feed,
		Acceleration: read.On(Acceleration).Of(a.Acceleration),
		RapidFeed:    read.On(Rapid).Of(a.Rapid),
		Travel:       read.On(Travel).Of(a.Travel),
		Warming:      warming,
		Share:        1 / math.Max(1, float64(len(a.Drives))),
		CutShare:     cutShare,
		Mechanism:    mechanism,
		Reduction:    reduction,
		Motor:        motor,
		Duty:         dutyOf(read.On(Duty), a, force, feed),
		Limits:       drive.CommonLimits(),
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
		move := read.Of(s.Move)
		list = append(list, motor.Segment{Feed: math.Copysign(speed, move), Distance: math.Abs(move), Acceleration: accelerate, Cut: read.Of(s.Cut)})
	}
	return list
}

// cutShare is the largest share of a cutting force that one drive of an axis
// takes: all of one, and of two what the cutter's place across them calls for.
func (d *Model) cutShare(axis int, read spec.Reader) (float64, error) {
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
	body := d.BodyIndex(a.Moves.Text)
	read.Log().Rest(d.places[body], d.places[d.NodeBody[nose.Node]])
	read.Vector(d.Spec.Spindle.Nose)
	for i := range d.Spec.Axes {
		if other := &d.Spec.Axes[i].Item; i != axis && slices.Contains(moved, other.Moves.Text) {
			read.Of(other.Travel) // in the grid, and where it is drawn in the shifts
			read.Of(other.ModelledAt)
		}
	}
	for _, p := range d.Grid() {
		// Where the drives' body stands does not matter, only what it carries.
		shift := d.Shifts(p)
		place := r3.Add(r3.Add(d.Nodes[nose.Node], nose.Arm), shift[d.NodeBody[nose.Node]])
		offset = math.Max(offset, math.Abs(r3.Dot(across, r3.Sub(r3.Sub(place, shift[body]), middle))))
	}
	return drive.LargestShare(math.Min(offset, distance/2), distance)
}

// driveRange returns the nearest and the farthest distance of a drive's two
// nodes over the axis's travel [m].
func (d *Model) driveRange(axis int, v *spec.Drive, read spec.Reader) (near, far float64) {
	a := &d.Spec.Axes[axis].Item
	nodes, _ := v.Ends()
	one, other := d.Node[nodes[0].Text], d.Node[nodes[1].Text]
	read.Log().Rest(d.places[d.NodeBody[one]], d.places[d.NodeBody[other]])
	read.Of(a.ModelledAt) // in the shifts
	near = math.Inf(1)
	for _, at := range []float64{0, read.Of(a.Travel)} {
		p := d.Middle()
		p[axis] = at
		distance := d.NutDistance(axis, v, p)
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
	in, err := DriveInput(d, axis, v, ReadDrive(read), 0, 0)
	if err != nil {
		return 0, 0
	}
	out, err := drive.Axis(in)
	if err != nil {
		return 0, 0
	}
	feed = read.Of(a.Rapid)
	if out.MaxFeed > 0 {
		feed = math.Min(feed, out.MaxFeed)
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
				"%s of axis %s%s is %s mm from %s, past the end of %s of %s, with the axes at %s; lengthen it or move one of the two",
				carry[0], axis.Name, driveSuffix(axis, e.Name), quantity.Number(distance*1e3), carry[1], what, text, d.PoseWords(p))}
		}
		soft, err := d.driveCompliance(index, v, own, distance)
		if err != nil {
			return &Refused{Rule: "drive", At: e.At, Message: fmt.Sprintf("drive %s of axis %s: %v", e.Name, axis.Name, err)}
		}
		out.drives[axis.Name+"."+e.Name] = len(out.Frame.Springs)
		out.Frame.Springs = append(out.Frame.Springs, frame.Spring{
			A: frame.Point{Node: other, Arm: gap}, B: frame.At(one), Axes: axes,
			K:    [6]float64{soft.Stiffness()},
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
		return read.Of(v.Belt.CentreDistance), v.Belt.CentreDistance.Text, "a belt"
	}
	return math.Inf(1), "", "a rack"
}

// driveCompliance is the compliance of a drive along its axis where it is.
func (d *Model) driveCompliance(axis int, v *spec.Drive, own spec.Reader, position float64) (drive.Compliance, error) {
	read := readCompliance(own)
	mechanism, err := mechanismOf(d.Spec, v, read, position, position)
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
