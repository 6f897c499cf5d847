package axis

import (
	"fmt"
	"math"
	"reflect"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/drive"
	"ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// A Driven is one drive of an axis with what it has to do and what it can.
type Driven struct {
	Axis  int
	Entry *spec.Entry[spec.Drive]
	In    drive.Input
	Out   drive.Output
	Holds [2]float64 // stiffness at its softest place, at both ends of the doubts [N/m]
	Same  bool       // as the drive before it on the axis
	Log   *spec.Log  // what was read for it
}

// drive computes every drive under the hardest cut, in the order of the spec.
func (s *Solution) drive() error {
	for i := range s.Spec.Axes {
		a := &s.Spec.Axes[i]
		var before *Driven
		for k := range a.Item.Drives {
			e := &a.Item.Drives[k]
			v, err := s.driven(i, e)
			if err != nil {
				return &machine.Refused{Rule: "drive", At: e.At, Message: fmt.Sprintf("drive of axis %s: %v", a.Name, err)}
			}
			if v.Same = before != nil && sameDrive(before, v); !v.Same {
				before = v
			}
			s.Drives = append(s.Drives, v)
		}
	}
	return nil
}

// driven computes one drive.
func (s *Solution) driven(axis int, e *spec.Entry[spec.Drive]) (*Driven, error) {
	a := &s.Spec.Axes[axis]
	travel := machine.Unit(a.Item.Direction.XYZ)
	v := &Driven{Axis: axis, Entry: e, Log: &spec.Log{}}
	read := s.Model.Read.Into(v.Log)
	force, feed := s.Demand.Lateral, s.Demand.Feed
	if s.AlongTool(travel) {
		// Along the cutter the cut pushes while the axis stands, or plunges slowly.
		force, feed = s.Demand.Axial, min(feed, read.Of(a.Item.Rapid))
	}
	var err error
	if v.In, err = machine.DriveInput(s.Model, axis, &e.Item, read, force, feed); err != nil {
		return nil, err
	}
	if screw, ok := v.In.Mechanism.(drive.TurningScrew); ok {
		tilt, err := s.frameTilt(e.Item.Bearing.Text, travel)
		if err != nil {
			return nil, err
		}
		screw.Tilt = machine.InSeries(screw.Tilt, tilt)
		v.In.Mechanism = screw
	}
	if v.Out, err = drive.Axis(v.In); err != nil {
		return nil, err
	}
	for k, end := range []spec.Bound{spec.Worse, spec.Better} {
		in, err := machine.DriveInput(s.Model, axis, &e.Item, spec.At(end), force, feed)
		if err != nil {
			return nil, err
		}
		out, err := drive.Axis(in)
		if err != nil {
			return nil, err
		}
		v.Holds[k] = out.Stiffness
	}
	return v, nil
}

// frameTilt is how stiffly the frame itself holds a node against tilting out of an
// axis's line, the softer of the two ways [N·m/rad]; zero where the frame was not
// solved.
func (s *Solution) frameTilt(node string, travel r3.Vec) (float64, error) {
	if s.Worst == nil {
		return 0, nil
	}
	side := r3.Cross(travel, r3.Vec{Z: 1})
	if r3.Norm(side) < 0.1 {
		side = r3.Cross(travel, r3.Vec{X: 1})
	}
	side = r3.Unit(side)
	at := frame.At(s.Model.Node[node])
	least := math.Inf(1)
	for _, about := range []r3.Vec{side, r3.Cross(travel, side)} {
		solution, err := s.Worst.System.Solve(frame.Load{Forces: []frame.Force{{At: at, F: [6]float64{3: about.X, about.Y, about.Z}}}})
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
		if screw, ok := in.Mechanism.(drive.TurningScrew); ok {
			screw.Tilt = 0
			in.Mechanism = screw
		}
	}
	return reflect.DeepEqual(one, other) && math.Abs(a.Out.CriticalSpeed-b.Out.CriticalSpeed) <= 0.01*a.Out.CriticalSpeed
}

// A PartGive is what one part of a drive gives along the axis.
type PartGive struct {
	Key  string  // "shaft"
	Give float64 // [m/N]
}

// Gives are the parts of a drive that give, in their order from the floor to the
// motor.
func (v *Driven) Gives() []PartGive {
	c := v.Out.Softest
	parts := []PartGive{{"shaft", c.Shaft}, {"twist", c.WindUp}, {"bearing", c.Supports}, {"nut", c.Nut}, {"bracket", c.Bracket},
		{"teeth", c.Mesh}, {"belt", c.Belt}, {"coupling", c.Coupling}, {"motor", c.Servo}}
	return slices.DeleteFunc(parts, func(p PartGive) bool { return p.Give <= 0 })
}

// Stepper reports whether a stepper turns the drive.
func (v *Driven) Stepper() bool {
	return v.Entry.Item.Motor != nil && v.Entry.Item.Motor.Stepper != nil
}

// Lead is the travel for one turn of what a drive turns [m].
func (v *Driven) Lead(read spec.Reader) float64 {
	d := &v.Entry.Item
	switch {
	case d.Rack != nil:
		return math.Pi * v.Out.PitchDiameter
	case d.Belt != nil:
		return read.Of(d.Belt.Pitch) * float64(read.Count(d.Belt.Teeth))
	}
	return read.Of(d.Screw.Lead)
}
