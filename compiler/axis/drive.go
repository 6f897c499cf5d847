package axis

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/drive"
	"ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/compiler/motor"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// fixedTau is the stiffness of a bracket against tilting, over E I/L of the
// shaft, from which on an end is as good as fixed [-]; derived here, the critical speed is
// then within 5 % of a clamped end's.
const fixedTau = 40

// drive computes every drive under the most demanding cut, in the order of the spec.
func (s *Solution) drive() error {
	for i := range s.Spec.Axes {
		a := &s.Spec.Axes[i]
		var before *Driven
		for k := range a.Item.Drives {
			e := &a.Item.Drives[k]
			v, err := s.driven(i, e, before)
			if err != nil {
				return &machine.Refused{Rule: "drive", At: e.At, Message: fmt.Sprintf("drive of axis %s: %v", a.Name, err)}
			}
			if !v.Same {
				before = v
			}
			s.Drives = append(s.Drives, v)
		}
	}
	return nil
}

// driven computes one drive, and what could stand in its place unless it is the same as
// the one before it.
func (s *Solution) driven(axis int, e *spec.Entry[spec.Drive], before *Driven) (*Driven, error) {
	v := &Driven{Axis: axis, Entry: e, Log: &spec.Log{}}
	v.Read = machine.ReadDriveApart(s.Model.Read.Into(v.Log))
	v.Stiff = v.Read.GiveLog()
	middle, err := s.computed(axis, &e.Item, s.Model, s.Worst, v.Read)
	if err != nil {
		return nil, err
	}
	v.In, v.Out = middle.in, middle.out
	for _, end := range s.driveEnds() {
		if at, err := s.computed(axis, &e.Item, end.model, end.solved, machine.ReadDrive(spec.At(end.Bound))); err == nil {
			end.In, end.Out = at.in, at.out
			v.Ends = append(v.Ends, end)
		}
	}
	if v.Out.CriticalSpeed < v.Out.StiffSpeed {
		v.Read.On(machine.Tilt).Log().Rest(s.Model.Stiff) // the frame tilts under a bearing
	}
	s.holds(v)
	v.steps(s.Model.Read)
	if v.Same = before != nil && sameDrive(before, v); v.Same {
		return v, nil
	}
	if screw, ok := v.In.Mechanism.(drive.RotatingScrew); ok {
		const shortest, longest, points = 0.4, 1.5, 40
		v.Speeds, err = drive.SpeedCurve(screw.Screw, screw.Ends, v.In.Limits, shortest*screw.Unsupported, longest*screw.Unsupported, points)
		if err != nil {
			return nil, err
		}
	}
	return v, s.weigh(v)
}

// A computed is a drive at the middle or at an end of the uncertainty.
type computed struct {
	in  drive.Input
	out drive.Output
}

// driveEnds are where a drive is computed beside the middle. What is heaviest is the
// worse.
func (s *Solution) driveEnds() []*DriveEnd {
	return []*DriveEnd{
		{Bound: spec.Worse, model: s.Heavy, solved: s.Soft},
		{Bound: spec.Better, model: s.Light, solved: s.Stiff},
		{Bound: spec.Low, model: s.Light, solved: s.Worst},
		{Bound: spec.High, model: s.Heavy, solved: s.Worst},
	}
}

// at is the drive at an end of the uncertainty; the middle stands for an end where the
// formulas do not hold.
func (v *Driven) at(bound spec.Bound) (drive.Input, drive.Output) {
	for _, end := range v.Ends {
		if end.Bound == bound {
			return end.In, end.Out
		}
	}
	return v.In, v.Out
}

// computed computes a drive by the numbers that a reader picks, on a model of the
// machine and in a pose that was solved, nil for none.
func (s *Solution) computed(axis int, e *spec.Drive, d *machine.Model, solved *machine.Solved, read machine.DriveReader) (c computed, err error) {
	a := &s.Spec.Axes[axis].Item
	travel := machine.Unit(a.Direction.XYZ)
	force, feed := s.LoadAlong(travel, read.On(machine.Load).Bound())
	if s.AlongTool(travel) {
		// Along the cutter the cut pushes while the axis stands, or plunges slowly.
		feed = min(feed, read.On(machine.Rapid).Of(a.Rapid))
	}
	if c.in, err = machine.DriveInput(d, axis, e, read, force, feed); err != nil {
		return c, err
	}
	if screw, ok := c.in.Mechanism.(drive.RotatingScrew); ok && solved != nil {
		tilt, err := frameTilt(solved, s.Model.Node[e.Bearing.Text], travel)
		if err != nil {
			return c, err
		}
		screw.Tilt = machine.InSeries(screw.Tilt, tilt)
		c.in.Mechanism = screw
	}
	c.out, err = drive.Axis(c.in)
	return c, err
}

// holds finds what holds an axis against its weight, and the speed limit of a screw.
func (s *Solution) holds(v *Driven) {
	a := &s.Spec.Axes[v.Axis].Item
	leastFriction, _, _ := s.Model.Read.Span(a.Friction)
	v.Unbalanced = v.Out.GravityForce / v.In.Share
	v.Balanced = a.Counterweight.Given && v.Unbalanced <= leastFriction/2
	v.Drop = v.In.Mass * math.Abs(v.In.Gravity) * v.In.Travel
	if v.Entry.Item.Screw != nil {
		v.AllowedFeed = v.Out.AllowedSpeed * v.Lead(s.Model.Read) / (2 * math.Pi)
	}
	if screw, ok := v.In.Mechanism.(drive.RotatingScrew); ok {
		v.StiffBracket = fixedTau * screw.Material.Modulus * math.Pi * math.Pow(screw.RootDiameter, 4) / 64 / screw.Unsupported
	}
}

// steps finds how a stepper vibrates.
func (v *Driven) steps(read spec.Reader) {
	m := v.Entry.Item.Motor
	if m == nil || m.Stepper == nil {
		return
	}
	v.Stepping = &Stepping{Stepper: machine.StepperOf(machine.ReadDrive(read), m)}
	if f, speed, err := v.Stepping.Resonance(v.Out.LoadInertia); err == nil {
		v.Stepping.Frequency, v.Stepping.Speed = f, speed
	}
	v.Stepping.BandLow, v.Stepping.BandTop = motor.UsualMidBand()
}

// LoadAlong is the largest force of any cut, finish pass or hole along an axis [N], and its feed
// [m/s].
func (s *Solution) LoadAlong(travel r3.Vec, end spec.Bound) (force, feed float64) {
	if s.AlongTool(travel) {
		l := s.Demand.Along()
		return l.AxialAt(end), l.Feed
	}
	l := s.Demand.Across()
	return l.Lateral, l.Feed
}

// frameTilt is how stiffly the frame itself holds a node against tilting out of an
// axis's line, the softer of the two ways [N·m/rad]; zero where nothing tilts it.
func frameTilt(solved *machine.Solved, node int, travel r3.Vec) (float64, error) {
	side := r3.Cross(travel, r3.Vec{Z: 1})
	if r3.Norm(side) < 0.1 {
		side = r3.Cross(travel, r3.Vec{X: 1})
	}
	side = r3.Unit(side)
	at := frame.At(node)
	least := math.Inf(1)
	for _, about := range []r3.Vec{side, r3.Cross(travel, side)} {
		solution, err := solved.System.Solve(frame.Load{Forces: []frame.Force{{At: at, F: [6]float64{3: about.X, about.Y, about.Z}}}})
		if err != nil {
			return 0, err
		}
		u := solution.Displacement(0, at)
		if turns := r3.Dot(about, r3.Vec{X: u[3], Y: u[4], Z: u[5]}); turns > 0 {
			least = math.Min(least, 1/turns)
		}
	}
	if math.IsInf(least, 1) {
		return 0, nil
	}
	return least, nil
}

// sameDrive reports whether two drives of one axis need no words of their own: what
// little the frame tilts under them apart.
func sameDrive(a, b *Driven) bool {
	one, other := a.In, b.In
	for _, in := range []*drive.Input{&one, &other} {
		if screw, ok := in.Mechanism.(drive.RotatingScrew); ok {
			screw.Tilt = 0
			in.Mechanism = screw
		}
	}
	return rank.Same(one, other) && math.Abs(a.Out.CriticalSpeed-b.Out.CriticalSpeed) <= 0.01*a.Out.CriticalSpeed
}

// Compliances are the compliant parts of a drive, in their order from the floor to the
// motor.
func (v *Driven) Compliances() []PartCompliance {
	along := []machine.Topic{machine.Section, machine.Place}
	bearing := []machine.Topic{machine.Bearing}
	if v.twoHold() {
		// Where the nut is least stiff between two bearings depends on them, too.
		along = append(along, machine.Length, machine.Lead, machine.Bearing)
		bearing = along
	}
	parts := []struct {
		key  string
		of   func(drive.Compliance) float64
		read []machine.Topic
	}{
		{"shaft", func(c drive.Compliance) float64 { return c.Shaft }, along},
		{"twist", func(c drive.Compliance) float64 { return c.WindUp }, append([]machine.Topic{machine.Lead}, along...)},
		{"bearing", func(c drive.Compliance) float64 { return c.Supports }, bearing},
		{"nut", func(c drive.Compliance) float64 { return c.Nut }, []machine.Topic{machine.Nut}},
		{"bracket", func(c drive.Compliance) float64 { return c.Bracket }, []machine.Topic{machine.Bracket}},
		{"teeth", func(c drive.Compliance) float64 { return c.Mesh }, []machine.Topic{machine.Section}},
		{"belt", func(c drive.Compliance) float64 { return c.Belt }, []machine.Topic{machine.Section, machine.Length, machine.Place}},
		{"coupling", func(c drive.Compliance) float64 { return c.Coupling }, []machine.Topic{machine.Coupling, machine.Lead}},
		{"motor", func(c drive.Compliance) float64 { return c.Servo }, []machine.Topic{machine.Servo, machine.Steps, machine.Ratio, machine.Lead}},
	}
	var list []PartCompliance
	for _, p := range parts {
		if give := p.of(v.Out.LeastStiff); give > 0 {
			list = append(list, PartCompliance{p.key, give, give / v.Out.LeastStiff.Total, p.of, v.Read.Log(p.read...)})
		}
	}
	return list
}

// twoHold reports whether both ends of a screw hold it along the axis.
func (v *Driven) twoHold() bool {
	switch m := v.In.Mechanism.(type) {
	case drive.RotatingScrew:
		return m.Ends == drive.FixedFixed
	case drive.RotatingNut:
		return m.Ends == drive.FixedFixed
	}
	return false
}

// Inertias are what the motor speeds up, part by part; none of parts that the drive does
// not have.
func (v *Driven) Inertias() []PartInertia {
	t, squared := v.Out.Turning, v.In.Reduction.Ratio*v.In.Reduction.Ratio
	parts := []PartInertia{{"mass", v.Out.ReflectedMass}, {"screw", t.Screw}, {"nut", t.Nut}, {"pinion", t.Pinion}, {"pulleys", t.Pulleys}, {"belt", t.Belt},
		{"reduction", t.Reduction + v.In.Reduction.MotorInertia*squared}, {"rotor", v.In.Motor.RotorInertia * squared}}
	return slices.DeleteFunc(parts, func(p PartInertia) bool { return p.Inertia <= 0 })
}

// Lead is the travel for one turn of what a drive turns [m].
func (v *Driven) Lead(read spec.Reader) float64 {
	d := &v.Entry.Item
	switch {
	case d.Rack != nil:
		_, out := v.at(read.Bound())
		return math.Pi * out.PitchDiameter
	case d.Belt != nil:
		return read.Of(d.Belt.Pitch) * float64(read.Count(d.Belt.Teeth))
	}
	return read.Of(d.Screw.Lead)
}
