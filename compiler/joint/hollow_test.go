package joint

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/verify"
)

var steel = Material{E: 210e9, Poisson: 0.3}

// tee is a chord of 100 × 100 × 6, 0.6 m between fixed ends, with a branch of
// 60 × 60 × 5 on its middle.
func tee() HollowJoint {
	return HollowJoint{Material: steel, Width: 0.1, Depth: 0.1, Wall: 0.006, BranchWidth: 0.06, BranchLength: 0.06, BranchWall: 0.005, Length: 0.6}
}

// squareTube is the section of a square hollow section with sharp corners. The
// shear coefficient and the torsion of the two sections below are those of a
// two-dimensional finite-element solution.
func squareTube(b, t, j, shear float64) frame.Section {
	in := b - 2*t
	a, i := b*b-in*in, (b*b*b*b-in*in*in*in)/12
	g := steel.shear()
	return frame.Section{EA: steel.E * a, EIy: steel.E * i, EIz: steel.E * i, GJ: g * j, GAy: shear * g * a, GAz: shear * g * a}
}

// tip solves the beam model of the tee with its springs: chord along x, branch
// along z on a rigid arm.
func tip(t *testing.T, s Springs, load [6]float64) [6]float64 {
	t.Helper()
	held := [6]bool{true, true, true, true, true, true}
	chord := squareTube(0.1, 0.006, 5.137819465721284e-06, 0.43028)
	branch := squareTube(0.06, 0.005, 8.699740343533331e-07, 0.43764)
	up := r3.Vec{Z: 1}
	m := frame.Model{
		Nodes: []frame.Node{{Position: r3.Vec{X: -0.3}, Held: held}, {}, {Position: r3.Vec{X: 0.3}, Held: held}, {Position: r3.Vec{Z: 0.05}}, {Position: r3.Vec{Z: 0.35}}},
		Members: []frame.Member{{A: frame.At(0), B: frame.At(1), Section: chord, Orient: up}, {A: frame.At(1), B: frame.At(2), Section: chord, Orient: up},
			{A: frame.At(3), B: frame.At(4), Section: branch, Orient: r3.Vec{X: 1}}},
		Springs: []frame.Spring{{A: frame.Point{Node: 1, Arm: r3.Vec{Z: 0.05}}, B: frame.At(3),
			K: [6]float64{1e12, 1e12, s.Axial.Middle, s.OutOfPlaneUnder(0.3).Middle, s.InPlane.Middle, s.Torsion.Middle}}},
	}
	system, err := m.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	solution, err := system.Solve(frame.Load{Forces: []frame.Force{{At: frame.At(4), F: load}}})
	if err != nil {
		t.Fatal(err)
	}
	return solution.Displacement(0, frame.At(4))
}

const teeSource = "solid finite elements (20-node hexahedra, three meshes, extrapolated) of the welded joint, sharp corners, no weld bead"

// TestTeeTip puts the springs into the beam model of a tee and holds its tip
// against the solid model. Without them the beam is up to 77 % too stiff.
func TestTeeTip(t *testing.T) {
	s, err := tee().Springs()
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Violations) > 0 {
		t.Errorf("out of range: %v", s.Violations)
	}
	for _, c := range []struct {
		id, quantity string
		load         [6]float64
		motion       int
		want         float64
		unit         string
		tolerance    float64
	}{
		{"JOINT-C2-Fx_ux", "tip shift along the chord", [6]float64{0: 2000}, 0, 0.0008161194963484291, "m", 0.15},
		{"JOINT-C2-Fx_rot_y", "tip turn in plane", [6]float64{0: 2000}, 4, 0.002908148312691913, "rad", 0.15},
		{"JOINT-C2-Fy_uy", "tip shift across the chord", [6]float64{1: 2000}, 1, 0.0007992044158264927, "m", 0.15},
		{"JOINT-C2-Fy_rot_x", "tip turn out of plane", [6]float64{1: 2000}, 3, -0.0028918732779097457, "rad", 0.15},
		{"JOINT-C2-Fz_uz", "tip shift along the branch", [6]float64{2: 10000}, 2, 7.72916211143279e-05, "m", 0.15},
		{"JOINT-C2-Mz_rot_z", "tip twist", [6]float64{5: 300}, 5, 0.0013657746557225068, "rad", 0.05},
	} {
		got := tip(t, s, c.load)[c.motion]
		verify.Check(t, verify.Case{ID: c.id, Quantity: c.quantity, Unit: c.unit, Source: teeSource, Want: c.want, RelTol: c.tolerance}, got)
		t.Logf("%s: %+.1f %%", c.id, 100*(got/c.want-1))
	}
	for _, c := range []struct {
		id, quantity string
		got, want    float64
		unit         string
	}{
		{"JOINT-C2-k_in_plane", "spring in plane", s.InPlane.Middle, 288174.2849641462, "N·m/rad"},
		{"JOINT-C2-k_axial", "spring along the branch", s.Axial.Middle, 343479768.4064921, "N/m"},
		// The lever of the solid's tip force is 0.3 m.
		{"JOINT-C2-k_out_of_plane", "spring out of plane, on the face", s.OutOfPlaneUnder(0.3).Middle, 336519.6490834475, "N·m/rad"},
	} {
		verify.Check(t, verify.Case{ID: c.id, Quantity: c.quantity, Unit: c.unit, Source: teeSource, Want: c.want, RelTol: 0.15}, c.got)
	}
}
