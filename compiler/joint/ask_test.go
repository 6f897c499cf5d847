package joint

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"ironbed/compiler/domain"
)

// TestNamesTheArgument holds that an error says which argument is out of its range,
// and with what value.
func TestNamesTheArgument(t *testing.T) {
	m12, _ := MetricThread(0.012)
	layer := Layer{Material: Material{3e9, 0.38}, Width: 0.03, Length: 1, Thickness: 0.003}
	stitch := Stitch{Material: steel, Weld: 0.05, Pitch: 0.2, Throat: 0.004, Thick1: 0.008, Thick2: 0.01, Rows: 2}
	corner := Corner{Material: steel, Width: 0.1, Depth: 0.1, Wall: 0.005}
	bolts := func(change func(*BoltedJoint)) error {
		j := bracket()
		change(&j)
		_, err := j.Bolting()
		return err
	}
	branch := func(change func(*HollowJoint)) error {
		j := tee()
		j.Doubler, j.Plates, j.Fill = Doubler{0.01, 0.09, 0.12}, []InnerPlate{{0, 0.006}}, Fill{5e9, 0.2, true}
		change(&j)
		return j.ask()
	}
	box := func(change func(*Box)) error {
		x := column()
		change(&x)
		_, err := x.Distortion()
		return err
	}
	knee := func(change func(*Corner)) error {
		c := corner
		change(&c)
		_, err := c.Knee()
		return err
	}
	seat := func(change func(*Layer)) error {
		l := layer
		change(&l)
		_, err := l.Stiffness()
		return err
	}
	beam := func(change func(*BuiltUp)) error {
		b := girders(1e9)
		change(&b)
		_, err := b.Partial()
		return err
	}
	weld := func(change func(*Stitch)) error {
		s := stitch
		change(&s)
		_, err := s.Slip()
		return err
	}
	thread := func(change func(*Thread)) error {
		s := m12
		change(&s)
		_, err := StressArea(s)
		return err
	}
	only := func(_ any, err error) error { return err }
	contact := func(s Surface, p Bounds) error {
		_, _, err := ContactStiffness(s, p)
		return err
	}
	for _, c := range []struct {
		quantity string
		value    float64
		err      error
	}{
		{"thread's diameter", -1, thread(func(s *Thread) { s.Diameter = -1 })},
		{"thread's pitch", 0.01, thread(func(s *Thread) { s.Pitch = 0.01 })},
		{"diameter of the washer face", 0.01, thread(func(s *Thread) { s.Bearing = 0.01 })},
		{"bolt's diameter", 0, only(ProofStress("8.8", 0))},
		{`proof stress of class "7"`, 0, only(ProofStress("7", 0.012))},
		{"share of the proof load", 1.5, only(ProofPreload(m12, "8.8", 1.5))},
		{"lowest friction", 0, only(TighteningPreload(m12, 80, Bounds{0, 0.1, 0.2}))},
		{"tightening torque", -80, only(TighteningPreload(m12, -80, ThreadFriction()))},
		{"kind of surface", 9, contact(9, Bounds{1, 2, 3})},
		{"middle pressure on the face", 0.5, contact(Milled, Bounds{1, 0.5, 3})},
		{"highest pressure on the face", math.Inf(1), contact(Milled, Bounds{1, 2, math.Inf(1)})},
		{"bolt's stiffness", 0, only(JointConstant(0, 1))},
		{"members' stiffness", -1, only(JointConstant(1, -1))},

		{"bolts' Young's modulus", 0, bolts(func(j *BoltedJoint) { j.Modulus = 0 })},
		{"lowest preload", 0, bolts(func(j *BoltedJoint) { j.Preload.Low = 0 })},
		{"number of layers", 0, bolts(func(j *BoltedJoint) { j.Layers = nil })},
		{"thickness of layer 2", 0, bolts(func(j *BoltedJoint) { j.Layers[1].Thickness = 0 })},
		{"Young's modulus of layer 1", -1, bolts(func(j *BoltedJoint) { j.Layers[0].E = -1 })},
		{"number of layers above the face", 2, bolts(func(j *BoltedJoint) { j.Face = 2 })},
		{"threaded length in the grip", 1, bolts(func(j *BoltedJoint) { j.Threaded = 1 })},
		{"area of the faces", -1, bolts(func(j *BoltedJoint) { j.Area = -1 })},
		{"lowest friction between the faces", 0, bolts(func(j *BoltedJoint) { j.Friction.Low = 0 })},
		{"number of bolts", 0, bolts(func(j *BoltedJoint) { j.Places = nil })},
		{"x of bolt 3", math.Inf(1), bolts(func(j *BoltedJoint) { j.Places[2].X = math.Inf(1) })},
		{"y of bolt 1", math.Inf(-1), bolts(func(j *BoltedJoint) { j.Places[0].Y = math.Inf(-1) })},
		{"tension", math.Inf(1), bolts(func(j *BoltedJoint) { j.Tension = math.Inf(1) })},
		{"shear along x", math.Inf(1), bolts(func(j *BoltedJoint) { j.ShearX = math.Inf(1) })},
		{"shear along y", math.Inf(1), bolts(func(j *BoltedJoint) { j.ShearY = math.Inf(1) })},
		{"moment about x", math.Inf(1), bolts(func(j *BoltedJoint) { j.MomentX = math.Inf(1) })},
		{"moment about y", math.Inf(1), bolts(func(j *BoltedJoint) { j.MomentY = math.Inf(1) })},
		{"moment about z", math.Inf(1), bolts(func(j *BoltedJoint) { j.MomentZ = math.Inf(1) })},

		{"chord's Young's modulus", 1, branch(func(j *HollowJoint) { j.Material.E = 1 })},
		{"chord's Poisson's ratio", 0.5, branch(func(j *HollowJoint) { j.Material.Poisson = 0.5 })},
		{"chord's wall", 0, branch(func(j *HollowJoint) { j.Wall = 0 })},
		{"chord's width", 0.018, branch(func(j *HollowJoint) { j.Width = 0.018 })},
		{"chord's depth", 0.018, branch(func(j *HollowJoint) { j.Depth = 0.018 })},
		{"chord's depth", 3, branch(func(j *HollowJoint) { j.Depth = 3 })},
		{"branch's wall", 0, branch(func(j *HollowJoint) { j.BranchWall = 0 })},
		{"branch's width", 0.12, branch(func(j *HollowJoint) { j.BranchWidth = 0.12 })},
		{"branch's width", 0.01, branch(func(j *HollowJoint) { j.BranchWidth = 0.01 })},
		{"branch's length", 0.01, branch(func(j *HollowJoint) { j.BranchLength = 0.01 })},
		{"branch's length", 2, branch(func(j *HollowJoint) { j.BranchLength = 2 })},
		{"branch's angle", 0.1, branch(func(j *HollowJoint) { j.Angle = 0.1 })},
		{"length between sections that keep their shape", 0.1, branch(func(j *HollowJoint) { j.Length = 0.1 })},
		{"gap", -0.1, branch(func(j *HollowJoint) { j.Gap = -0.1 })},
		{"number of inner plates", 9, branch(func(j *HollowJoint) { j.Plates = make([]InnerPlate, 9) })},
		{"place of inner plate 1", 0.4, branch(func(j *HollowJoint) { j.Plates[0].At = 0.4 })},
		{"thickness of inner plate 1", 0, branch(func(j *HollowJoint) { j.Plates[0].Thickness = 0 })},
		{"doubler's thickness", 0.2, branch(func(j *HollowJoint) { j.Doubler.Thickness = 0.2 })},
		{"doubler's width", 0.03, branch(func(j *HollowJoint) { j.Doubler.Width = 0.03 })},
		{"doubler's width", 0.11, branch(func(j *HollowJoint) { j.Doubler.Width = 0.11 })},
		{"doubler's length", 0.03, branch(func(j *HollowJoint) { j.Doubler.Length = 0.03 })},
		{"fill's Young's modulus", -1, branch(func(j *HollowJoint) { j.Fill.E = -1 })},

		{"box's Poisson's ratio", -1, box(func(x *Box) { x.Material.Poisson = -1 })},
		{"width", 0, box(func(x *Box) { x.Width = 0 })},
		{"depth", 0, box(func(x *Box) { x.Depth = 0 })},
		{"side wall", 0.1, box(func(x *Box) { x.SideWall = 0.1 })},
		{"face wall", 0.075, box(func(x *Box) { x.FaceWall = 0.075 })},
		{"length", 0, box(func(x *Box) { x.Length = 0 })},
		{"torsion stiffness", -1, box(func(x *Box) { x.Torsion = -1 })},
		{"thickness of the end plate", -1, box(func(x *Box) { x.EndPlate = -1 })},
		{"share of the sides", 1.1, box(func(x *Box) { x.SideShare = 1.1 })},

		{"section's Young's modulus", 0, knee(func(c *Corner) { c.Material.E = 0 })},
		{"wall", 0, knee(func(c *Corner) { c.Wall = 0 })},
		{"width", 0.014, knee(func(c *Corner) { c.Width = 0.014 })},
		{"depth", 0.014, knee(func(c *Corner) { c.Depth = 0.014 })},
		{"angle", 4, knee(func(c *Corner) { c.Angle = 4 })},

		{"layer's Poisson's ratio", 0.499, seat(func(l *Layer) { l.Material.Poisson = 0.499 })},
		{"width", 0, seat(func(l *Layer) { l.Width = 0 })},
		{"length", 0, seat(func(l *Layer) { l.Length = 0 })},
		{"thickness", 0, seat(func(l *Layer) { l.Thickness = 0 })},
		{"spread", 1, seat(func(l *Layer) { l.Spread = 1 })},

		{"bending stiffness of the first part", 0, beam(func(b *BuiltUp) { b.EI1 = 0 })},
		{"axial stiffness of the first part", 0, beam(func(b *BuiltUp) { b.EA1 = 0 })},
		{"bending stiffness of the second part", 0, beam(func(b *BuiltUp) { b.EI2 = 0 })},
		{"axial stiffness of the second part", 0, beam(func(b *BuiltUp) { b.EA2 = 0 })},
		{"distance of the centroids", -1, beam(func(b *BuiltUp) { b.Distance = -1 })},
		{"slip stiffness", math.Inf(1), beam(func(b *BuiltUp) { b.Slip = math.Inf(1) })},
		{"length", 0, beam(func(b *BuiltUp) { b.Length = 0 })},

		{"weld's Young's modulus", 0, weld(func(s *Stitch) { s.Material.E = 0 })},
		{"pitch", 0, weld(func(s *Stitch) { s.Pitch = 0 })},
		{"weld", 0, weld(func(s *Stitch) { s.Weld = 0 })},
		{"weld", 0.3, weld(func(s *Stitch) { s.Weld = 0.3 })},
		{"throat", 0, weld(func(s *Stitch) { s.Throat = 0 })},
		{"thickness of the first part", 0, weld(func(s *Stitch) { s.Thick1 = 0 })},
		{"thickness of the second part", 0, weld(func(s *Stitch) { s.Thick2 = 0 })},
		{"number of rows", 0, weld(func(s *Stitch) { s.Rows = 0 })},
	} {
		var at *domain.InputError
		if !errors.As(c.err, &at) || at.Quantity != c.quantity || fmt.Sprint(at.Value) != fmt.Sprint(c.value) {
			t.Errorf("%s of %g: %v", c.quantity, c.value, c.err)
		}
	}
}
