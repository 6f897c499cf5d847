package spindle

import (
	"errors"
	"math"
	"slices"
	"testing"

	"ironbed/compiler/cutting"
	"ironbed/compiler/domain"
)

// eightMillimetres is a carbide end mill that stands out by 30 mm.
func eightMillimetres() Cutter {
	return Cutter{
		Tool:    cutting.Tool{Diameter: 0.008, FluteLength: 0.020, StickOut: 0.030, Substance: cutting.Carbide()},
		Density: CarbideDensity, Loss: 0.003,
	}
}

// belted is a belt-driven spindle with a taper.
func belted() Spindle {
	return Spindle{
		Diameter: 0.065, Bore: 0.025, Behind: 0.080, Span: 0.220, Overhang: 0.060, DrivenMass: 1.5,
		FrontRadial: 400e6, FrontTilt: 40e3, FrontAxial: 300e6, RearRadial: 200e6, BearingLoss: 0.05, MaterialLoss: 0.02,
		Taper: &Joint{Lateral: 1.5e9, Rotational: 1e6, Loss: 0.02, Part: Taper},
	}
}

// TestNoseHasItsStiffness: a spindle made for a stiffness at its nose has it there, and
// shares it out as it was.
func TestNoseHasItsStiffness(t *testing.T) {
	plain := belted()
	plain.Taper = nil
	softer, err := plain.WithNose(90e6, 120e6)
	if err != nil {
		t.Fatal(err)
	}
	shares := func(s Spindle) Static {
		a, err := s.shaft()
		if err != nil {
			t.Fatal(err)
		}
		return static(t, mesh(t, a, 5e3, 1))
	}
	was, is := shares(plain), shares(softer)
	if math.Abs(is.Lateral*90e6-1) > 1e-9 {
		t.Errorf("%g N/m across at the nose", 1/is.Lateral)
	}
	for i, s := range is.LateralShares {
		if math.Abs(s.Share-was.LateralShares[i].Share) > 1e-9 {
			t.Errorf("part %d has %g of the compliance, and had %g", s.Part, s.Share, was.LateralShares[i].Share)
		}
	}
}

// TestClampingAgainstManySprings: the joint at the mouth of a clamping is the shank
// in it as a chain on many springs; a short one turns as a rigid body.
func TestClampingAgainstManySprings(t *testing.T) {
	shank := Section{Bending: 116.6, Mass: 0.7}
	for _, length := range []float64{0.008, 0.028, 0.060} {
		c := Clamping{Diameter: 0.008, Length: length, Contact: 5e11}
		j, err := c.Joint(shank.Bending)
		if err != nil {
			t.Fatal(err)
		}
		const pieces = 400
		a := &Assembly{}
		k := math.Pi / 2 * c.Diameter * c.Contact * length / pieces
		for i := range pieces {
			a.Segments = append(a.Segments, Segment{Length: length / pieces / 2, Section: shank}, Segment{Length: length / pieces / 2, Section: shank})
			a.Bearings = append(a.Bearings, Bearing{At: Place{2 * i, true}, Lateral: k})
		}
		s := static(t, mesh(t, a, 100, 1))
		for _, v := range []struct {
			what      string
			got, want float64
		}{
			{"displacement", 1/j.Lateral + j.Lever*j.Lever/j.Rotational, s.Lateral},
			{"slope", j.Lever / j.Rotational, s.Slope},
			{"tilt", 1 / j.Rotational, s.Tilt},
		} {
			if math.Abs(v.got/v.want-1) > 2e-3 {
				t.Errorf("length %g: %s %g, on many springs %g", length, v.what, v.got, v.want)
			}
		}
	}
	c := Clamping{Diameter: 0.008, Length: 0.001, Contact: 5e11}
	j, err := c.Joint(116.6)
	if err != nil {
		t.Fatal(err)
	}
	k := math.Pi / 2 * c.Diameter * c.Contact * c.Length
	for _, v := range [][2]float64{{j.Lateral, k}, {j.Rotational, k * c.Length * c.Length / 12}, {j.Lever, c.Length / 2}} {
		if math.Abs(v[0]/v[1]-1) > 1e-3 {
			t.Errorf("rigid shank: %g, want %g", v[0], v[1])
		}
	}
}

// TestCutterIsTheTool: clamped, the cutter's chain has the compliance that the tool
// has as a beam.
func TestCutterIsTheTool(t *testing.T) {
	c := eightMillimetres()
	c.Tool.ShankDiameter = 0.010
	segments, err := c.Segments()
	if err != nil {
		t.Fatal(err)
	}
	want, err := c.Tool.Compliance()
	if err != nil {
		t.Fatal(err)
	}
	got := static(t, mesh(t, &Assembly{Segments: segments, Clamped: true}, 5e3, 1))
	for _, v := range [][2]float64{{got.Lateral, want.Lateral}, {got.Slope, want.Slope}, {got.Tilt, want.Tilt}, {got.Axial, want.Axial}} {
		if math.Abs(v[0]/v[1]-1) > 1e-6 {
			t.Errorf("compliance %g, of the tool %g", v[0], v[1])
		}
	}
	if segments[0].Part != Shank || segments[1].Part != Flutes {
		t.Errorf("parts %d, %d", segments[0].Part, segments[1].Part)
	}
}

// TestBuildersNameTheArgument: an error of what builds an assembly says which
// argument is out of its range.
func TestBuildersNameTheArgument(t *testing.T) {
	holder := []Cylinder{{0.035, 0.050, 0}, {0.025, 0.042, 0.008}}
	grip := Clamping{Diameter: 0.008, Length: 0.028, Contact: 5e11}
	build := func(change func(s *Spindle, holder *[]Cylinder, c *Clamping, tool *Cutter)) error {
		s, holder, c, tool := belted(), slices.Clone(holder), grip, eightMillimetres()
		change(&s, &holder, &c, &tool)
		_, _, err := s.Assembly(holder, c, tool)
		return err
	}
	for _, c := range []struct {
		quantity string
		err      error
	}{
		{"bearing span", build(func(s *Spindle, _ *[]Cylinder, _ *Clamping, _ *Cutter) { s.Span = 0 })},
		{"overhang of the nose", build(func(s *Spindle, _ *[]Cylinder, _ *Clamping, _ *Cutter) { s.Overhang = math.Inf(1) })},
		{"outer diameter", build(func(s *Spindle, _ *[]Cylinder, _ *Clamping, _ *Cutter) { s.Diameter = 0 })},
		{"number of the holder's cylinders", build(func(_ *Spindle, h *[]Cylinder, _ *Clamping, _ *Cutter) { *h = nil })},
		{"stiffness of the grip per area", build(func(_ *Spindle, _ *[]Cylinder, c *Clamping, _ *Cutter) { c.Contact = 0 })},
		{"clamped length", build(func(_ *Spindle, _ *[]Cylinder, c *Clamping, _ *Cutter) { c.Length = 1e-5 })},
		{"density", build(func(_ *Spindle, _ *[]Cylinder, _ *Clamping, tool *Cutter) { tool.Density = 0 })},
	} {
		if at := (*domain.InputError)(nil); !errors.As(c.err, &at) || at.Quantity != c.quantity {
			t.Errorf("%s: %v", c.quantity, c.err)
		}
	}
	if err := build(func(_ *Spindle, _ *[]Cylinder, _ *Clamping, tool *Cutter) { tool.Tool.StickOut = 0 }); err == nil {
		t.Error("a cutter that does not stand out")
	}
}

// TestRigid: the mass of a chain as a rigid body is what its beams' shape functions give.
func TestRigid(t *testing.T) {
	for name, a := range assemblies(t) {
		for _, reference := range []float64{0, 0.1, a.Length()} {
			_, want := mesh(t, a, 5e3, 1).inertia(reference)
			got := a.Rigid(reference)
			for i := range 2 {
				for j := range 2 {
					if math.Abs(got[i][j]-want[i][j]) > 1e-9*math.Abs(want[i][i]) {
						t.Errorf("%s about %g: entry %d, %d is %g, want %g", name, reference, i, j, got[i][j], want[i][j])
					}
				}
			}
		}
	}
}
