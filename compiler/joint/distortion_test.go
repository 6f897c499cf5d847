package joint

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/verify"
)

const columnSource = "solid finite elements (20-node hexahedra, three meshes, extrapolated) of a box column 600 high, 200 × 150 × 8, fixed at its foot"

// column is that box, its torque entering by a force along one side wall.
func column() Box {
	return Box{Material: steel, Width: 0.2, Depth: 0.15, SideWall: 0.008, FaceWall: 0.008, Torsion: 2941676.521758965, Length: 0.6, SideShare: 1}
}

// TestOpenColumn holds the turn of the open column's top against the solid model; as a
// beam it would be two thirds too stiff.
func TestOpenColumn(t *testing.T) {
	d, err := column().Distortion()
	if err != nil {
		t.Fatal(err)
	}
	torque := 20e3 * 0.096
	verify.Check(
		t,
		verify.Case{
			ID:       "JOINT-C3-open_fit_rot_z",
			Quantity: "turn of an open box's top",
			Unit:     "rad",
			Source:   columnSource,
			Want:     1.1576169814984066e-3,
			RelTol:   0.10,
			Why:      "an elastic foundation in place of folded walls, whose first term alone is taken",
		},
		torque*d.Mean.Middle,
	)
	// The corner on the loaded side: the beam's bending, and the turn of the sides.
	verify.Check(
		t,
		verify.Case{
			ID:       "JOINT-C3-open_corner_uy",
			Quantity: "shift of the loaded corner",
			Unit:     "m",
			Source:   columnSource,
			Want:     7.542256518183806e-4,
			RelTol:   0.05,
		},
		4.30738571e-4+0.1*torque*d.Sides.Middle,
	)
	if d.EndPlate <= 0 || d.EndPlate > 0.008 || len(d.Violations) > 0 {
		t.Errorf("end plate %g, %v", d.EndPlate, d.Violations)
	}
	b := column()
	b.EndPlate = d.EndPlate
	held, err := b.Distortion()
	if err != nil || math.Abs(held.Sides.Middle/held.Beam-1.1) > 1e-6 {
		t.Errorf("with the plate it turns %g of a beam (%v)", held.Sides.Middle/held.Beam, err)
	}
}

// TestCappedColumn holds beam theory against the capped column, within the band that the
// reference states for it.
func TestCappedColumn(t *testing.T) {
	g := steel.shear()
	section := frame.Section{
		EA:  steel.E * 0.005344,
		EIy: steel.E * 3.0437205e-05,
		EIz: steel.E * 1.93564053e-05,
		GJ:  2941676.52,
		GAz: 0.515035 * g * 0.005344,
		GAy: 0.337164 * g * 0.005344,
	}
	m := frame.Model{Nodes: []frame.Node{{Held: [6]bool{true, true, true, true, true, true}}, {Position: r3.Vec{Z: 0.6}}},
		Members: []frame.Member{{A: frame.At(0), B: frame.At(1), Section: section, Orient: r3.Vec{X: 1}}}}
	system, err := m.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	solution, err := system.Solve(
		frame.Load{Forces: []frame.Force{{At: frame.At(1), F: [6]float64{1: 20e3, 5: 3e3}}}},
		frame.Load{Forces: []frame.Force{{At: frame.At(1), F: [6]float64{0: 20e3}}}},
	)
	if err != nil {
		t.Fatal(err)
	}
	side, along := solution.Displacement(0, frame.At(1)), solution.Displacement(1, frame.At(1))
	for _, c := range []struct {
		id, what, unit string
		want, got, tol float64
	}{
		{"JOINT-C3-capped_off_uy", "shift across, off-centre force", "m", 0.0004278370536795449, side[1], 0.03},
		{"JOINT-C3-capped_off_rot_z", "turn, off-centre force", "rad", 0.0006084389735581556, side[5], 0.05},
		{"JOINT-C3-capped_Fx_ux", "shift along, central force", "m", 0.0002756835437593942, along[0], 0.03},
	} {
		verify.Check(t, verify.Case{ID: c.id, Quantity: c.what, Unit: c.unit, Source: columnSource + ", capped", Want: c.want, RelTol: c.tol}, c.got)
	}
}

// TestEndStiffness holds the bed's two limits: short is a cantilever, long never
// feels the clamp.
func TestEndStiffness(t *testing.T) {
	const ei = 3.0
	near := func(got, want float64) {
		t.Helper()
		if math.Abs(got/want-1) > 1e-3 {
			t.Errorf("got %g, want %g", got, want)
		}
	}
	near(endStiffness(1e-3, ei, 2, false), 3*ei/8)
	near(endStiffness(1e-3, ei, 2, true), 24*ei/8)
	lambda := math.Pow(50/(4*ei), 0.25)
	near(endStiffness(50, ei, 1e3, false), 50/(2*lambda))
	near(endStiffness(50, ei, 1e3, true), 2*50/lambda)
}

// TestPureTorsion holds that a torque of even shear flow distorts nothing.
func TestPureTorsion(t *testing.T) {
	b := column()
	b.SideShare = 0.5
	d, err := b.Distortion()
	if err != nil || d.Sides.Middle != d.Beam || d.Faces.Middle != d.Beam || d.EndPlate != 0 {
		t.Errorf("%+v (%v)", d, err)
	}
}
