package section

import (
	"math"
	"math/rand/v2"
	"testing"
)

// shapes are one of each kind, scaled by a factor.
func shapes(k float64) map[string]Shape {
	return map[string]Shape{
		"I":         RolledI{0.200 * k, 0.100 * k, 0.0056 * k, 0.0085 * k, 0.012 * k},
		"channel":   Channel{0.160 * k, 0.070 * k, 0.0055 * k, 0.0095 * k, 0.012 * k, 0, 0},
		"sloping":   Channel{0.160 * k, 0.065 * k, 0.0075 * k, 0.0105 * k, 0.0105 * k, 0.08, 0.0055 * k},
		"angle":     Angle{0.150 * k, 0.090 * k, 0.010 * k, 0.012 * k, 0.006 * k},
		"rectangle": HollowRectangle{0.150 * k, 0.100 * k, 0.006 * k, 0.012 * k, 0.006 * k},
		"tube":      HollowRound{0.1683 * k, 0.006 * k},
		"bar":       Bar{0.040 * k, 0.100 * k, 0.004 * k},
		"round":     RoundBar{0.060 * k},
		"built-up": BuiltUp{Parts: []Part{
			{Shape: Bar{Width: 0.020 * k, Height: 0.200 * k}},
			{Shape: RolledI{0.200 * k, 0.100 * k, 0.0056 * k, 0.0085 * k, 0.012 * k}, Y: 0.110 * k, Z: 0.030 * k, Angle: math.Pi / 2},
		}},
	}
}

// near reports a value off by more than a relative tolerance.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tolerance*math.Abs(want) {
		t.Errorf("%s: got %.9g, want %.9g", what, got, want)
	}
}

func TestScaling(t *testing.T) {
	const k = 3.7
	big := shapes(k)
	for name, s := range shapes(1) {
		p, q := properties(t, s, 0.3), properties(t, big[name], 0.3)
		near(t, name+" area", q.Area, p.Area*k*k, 1e-12)
		for _, pair := range [][2]float64{{p.Iy, q.Iy}, {p.Iz, q.Iz}, {p.Iyz, q.Iyz}, {p.J, q.J}} {
			near(t, name+" fourth power", pair[1], pair[0]*math.Pow(k, 4), 1e-6)
		}
		near(t, name+" warping", q.Iw, p.Iw*math.Pow(k, 6), 1e-6)
		near(t, name+" shear y", q.Ky, p.Ky, 1e-6)
		near(t, name+" shear z", q.Kz, p.Kz, 1e-6)
	}
}

// TestRotation turns and moves each shape: the invariants of the plane tensors
// must stay, the principal axis must turn along, and turning back must restore.
func TestRotation(t *testing.T) {
	for name, s := range shapes(1) {
		a := plain(t, BuiltUp{Parts: []Part{{Shape: s}}}, feSteel)
		for _, angle := range []float64{0.2, math.Pi / 2, 2.5, -0.7} {
			b := plain(t, BuiltUp{Parts: []Part{{Shape: s, Y: 0.3, Z: -0.2, Angle: angle}}}, feSteel)
			near(t, name+" EIy+EIz", b.EIy+b.EIz, a.EIy+a.EIz, 1e-12)
			near(t, name+" determinant", b.EIy*b.EIz-b.EIyz*b.EIyz, a.EIy*a.EIz-a.EIyz*a.EIyz, 1e-9)
			near(t, name+" GAy+GAz", b.GAy+b.GAz, a.GAy+a.GAz, 3e-3)
			near(t, name+" GJ", b.GJ, a.GJ, 5e-3)
			near(t, name+" mass", b.MassPerLength, a.MassPerLength, 1e-12)
			back := b.Rotated(-angle)
			near(t, name+" EIy back", back.EIy, a.EIy, 1e-9)
			near(t, name+" EIz back", back.EIz, a.EIz, 1e-9)
			a1, a2, _ := a.Principal()
			b1, b2, turn := b.Principal()
			near(t, name+" EI1", b1, a1, 1e-9)
			near(t, name+" EI2", b2, a2, 1e-9)
			own, again := b.InPrincipalAxes()
			near(t, name+" EI1 in principal axes", own.EIy, a1, 1e-9)
			near(t, name+" EI2 in principal axes", own.EIz, a2, 1e-9)
			if own.EIyz != 0 || again != turn {
				t.Errorf("%s: principal axes not consistent", name)
			}
			if _, _, first := a.Principal(); a1 > a2*1.001 {
				if d := math.Mod(turn-first-angle, math.Pi); math.Abs(math.Sin(d)) > 1e-9 {
					t.Errorf("%s: principal axis turned by %g, shape by %g", name, turn-first, angle)
				}
			}
		}
	}
}

func TestHollowIsOuterLessInner(t *testing.T) {
	hollow := properties(t, HollowRectangle{Height: 0.150, Width: 0.100, Wall: 0.006, OuterRadius: 0.012, InnerRadius: 0.006}, 0.3)
	outer := properties(t, Bar{Width: 0.100, Height: 0.150, CornerRadius: 0.012}, 0.3)
	inner := properties(t, Bar{Width: 0.088, Height: 0.138, CornerRadius: 0.006}, 0.3)
	near(t, "rectangle area", hollow.Area, outer.Area-inner.Area, 1e-12)
	near(t, "rectangle Iy", hollow.Iy, outer.Iy-inner.Iy, 1e-12)
	near(t, "rectangle Iz", hollow.Iz, outer.Iz-inner.Iz, 1e-12)
	tube, bar, core := properties(t, HollowRound{0.1, 0.01}, 0.3), properties(t, RoundBar{0.1}, 0.3), properties(t, RoundBar{0.08}, 0.3)
	near(t, "tube area", tube.Area, bar.Area-core.Area, 1e-12)
	near(t, "tube Iy", tube.Iy, bar.Iy-core.Iy, 1e-12)
	near(t, "tube J", tube.J, bar.J-core.J, 1e-12)
}

// TestArcsAgainstCircle: a bar rounded to a full circle is a round bar.
func TestArcsAgainstCircle(t *testing.T) {
	p, q := properties(t, Bar{0.1, 0.1, 0.05}, 0.3), properties(t, RoundBar{0.1}, 0.3)
	near(t, "area", p.Area, q.Area, 1e-12)
	near(t, "Iy", p.Iy, q.Iy, 1e-12)
	near(t, "Iz", p.Iz, q.Iz, 1e-12)
	if p.J > q.J || p.J < 0.9*q.J {
		t.Errorf("rounded bar J %g is not on the safe side of %g", p.J, q.J)
	}
	m := circle(0.05).moments()
	near(t, "circle path", m.zz, q.Iy, 1e-12)
}

// A thinWall is a stretch of a thin wall along its mean line [m].
type thinWall struct{ length, thickness float64 }

// bredtTorsion returns the torsion constant of a thin-walled closed cell, whose
// mean line holds an area [m2].
//
//	J = 4 Am² / Σ (s/t)
//
// Source: Timoshenko Goodier, art. 116.
func bredtTorsion(area float64, walls ...thinWall) float64 {
	sum := 0.0
	for _, w := range walls {
		sum += w.length / w.thickness
	}
	return 4 * area * area / sum
}

func TestThinWallLimits(t *testing.T) {
	const b, h, wall = 0.1, 0.15, 1e-5
	p := properties(t, HollowRectangle{Height: h, Width: b, Wall: wall}, 0.3)
	near(t, "box J", p.J, bredtTorsion((b-wall)*(h-wall), thinWall{2 * (b - wall), wall}, thinWall{2 * (h - wall), wall}), 1e-6)
	near(t, "box Iy", p.Iy, wall*h*h*h/6+b*wall*h*h/2, 1e-3)
	q := properties(t, HollowRound{Diameter: b, Wall: wall}, 0.3)
	near(t, "tube J", q.J, bredtTorsion(math.Pi/4*(b-wall)*(b-wall), thinWall{math.Pi * (b - wall), wall}), 1e-6)
	near(t, "tube κ", q.Ky, 0.5, 1e-6)
	square := properties(t, HollowRectangle{Height: b, Width: b, Wall: wall}, 0.3)
	near(t, "square tube κ", square.Ky, squareTube, 1e-3)
	i := properties(t, RolledI{Height: h, Width: b, WebThickness: wall, FlangeThickness: wall}, 0.3)
	near(t, "I J", i.J, (2*b+h)*wall*wall*wall/3, 1e-3)
}

// TestThinWallShear: where walls are thin their shear coefficients are those of Cowper at ν = 0, which is where his mean displacement and
// the energy are one; a channel is half a box.
func TestThinWallShear(t *testing.T) {
	// cowper is 1/κ of a thin I with ends 30, of a thin box with ends 10 (table 1).
	cowper := func(m, n, ends float64) float64 {
		flat := 10 * n * n * (3*m + 3*m*m)
		if ends == 30 {
			flat = 30 * n * n * (m + m*m)
		}
		return (12 + 72*m + 150*m*m + 90*m*m*m + flat) / (10 * (1 + 3*m) * (1 + 3*m))
	}
	const thin = 1e-3
	for _, d := range [][4]float64{{0.1, 0.2, 0.008, 0.005}, {0.2, 0.1, 0.01, 0.01}, {0.05, 0.3, 0.02, 0.006}} {
		b, h, tf, tw := d[0], d[1], thin*d[2], thin*d[3]
		i := properties(t, RolledI{Height: h, Width: b, WebThickness: tw, FlangeThickness: tf}, 0.3)
		near(t, "I", i.Kz*cowper(2*b*tf/(h*tw), b/h, 30), 1, 5e-3)
		c := properties(t, Channel{Height: h, Width: b, WebThickness: tw, FlangeThickness: tf}, 0.3)
		near(t, "channel", c.Kz*cowper(2*b*tf/(h*tw), 2*b/h, 10), 1, 5e-3)
		box := properties(t, HollowRectangle{Height: h, Width: b, Wall: tw}, 0.3)
		near(t, "box", box.Kz*cowper(b/h, b/h, 10), 1, 5e-3)
	}
}

// TestPlatesMakeShapes: plates put together give the shapes they make up.
func TestPlatesMakeShapes(t *testing.T) {
	h, b, tw, tf := 0.2, 0.1, 0.006, 0.009
	plates := BuiltUp{Parts: []Part{
		{Shape: Bar{Width: tf, Height: b}, Z: (h - tf) / 2, Angle: math.Pi / 2},
		{Shape: Bar{Width: tw, Height: h - 2*tf}},
		{Shape: Bar{Width: b, Height: tf}, Z: -(h - tf) / 2}}}
	p, q := properties(t, plates, 0.3), properties(t, RolledI{h, b, tw, tf, 0}, 0.3)
	near(t, "I area", p.Area, q.Area, 1e-12)
	near(t, "I Iy", p.Iy, q.Iy, 1e-12)
	near(t, "I Iz", p.Iz, q.Iz, 1e-12)
	near(t, "I J", p.J, q.J, 0.02)
	if p.CentroidY != 0 || p.CentroidZ != 0 {
		t.Errorf("plates: centroid %g %g", p.CentroidY, p.CentroidZ)
	}
	halves := properties(t, BuiltUp{Parts: []Part{{Shape: Bar{0.05, 0.1, 0}, Y: 0.025}, {Shape: Bar{0.05, 0.1, 0}, Y: -0.025}}}, 0.3)
	whole := properties(t, Bar{0.1, 0.1, 0}, 0.3)
	near(t, "halves Iz", halves.Iz, whole.Iz, 1e-12)
	near(t, "halves J", halves.J, whole.J, 1e-3)
	// An angle against two plates, and its mirror image's product moment.
	angle := properties(t, Angle{Height: 0.15, Width: 0.09, Thickness: 0.01}, 0.3)
	legs := properties(t, BuiltUp{Parts: []Part{{Shape: Bar{0.01, 0.15, 0}, Y: 0.005, Z: 0.075}, {Shape: Bar{0.08, 0.01, 0}, Y: 0.05, Z: 0.005}}}, 0.3)
	near(t, "angle Iyz", legs.Iyz, angle.Iyz, 1e-12)
	near(t, "angle centroid", legs.CentroidZ, angle.CentroidZ, 1e-12)
}

// TestUnequalAngleTurned: an angle whose legs change places mirrors y and z.
func TestUnequalAngleTurned(t *testing.T) {
	p := properties(t, Angle{Height: 0.15, Width: 0.09, Thickness: 0.01, RootRadius: 0.012, ToeRadius: 0.006}, 0.3)
	q := properties(t, Angle{Height: 0.09, Width: 0.15, Thickness: 0.01, RootRadius: 0.012, ToeRadius: 0.006}, 0.3)
	near(t, "Iy and Iz", p.Iy, q.Iz, 1e-12)
	near(t, "Iyz", p.Iyz, q.Iyz, 1e-12)
	near(t, "Ky and Kz", p.Ky, q.Kz, 1e-12)
	near(t, "Kyz", p.Kyz, q.Kyz, 1e-9)
	near(t, "J", p.J, q.J, 1e-12)
}

// TestBondedAboveLoose holds for any fill: bonding never weakens.
func TestBondedAboveLoose(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 12 {
		u := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
		h, b := u(0.05, 0.4), u(0.05, 0.3)
		w := u(0.02, 0.3) * math.Min(h, b) / 2
		f := u(0.05, 0.3) * h / 2
		r := u(0, 1) * math.Min((b-w)/2, h/2-f)
		filling := IsotropicMaterial(math.Pow(10, u(6, 11)), u(0, 0.4), u(500, 3000))
		for _, c := range []struct {
			s     Shape
			where FillPlace
		}{
			{RolledI{h, b, w, f, r}, FillBothPockets}, {RolledI{h, b, w, f, r}, FillPocketPlusY},
			{Channel{h, b, w, f, r, 0, 0}, FillPocketPlusY}, {HollowRectangle{h, b, w, w, 0}, FillHollow},
			{HollowRound{h, f}, FillHollow},
		} {
			bonded, loose, err := Composite(c.s, feSteel, filling, c.where)
			if err != nil {
				t.Fatalf("%+v: %v", c.s, err)
			}
			for k, pair := range [][2]float64{{bonded.EA, loose.EA}, {bonded.EIy, loose.EIy}, {bonded.EIz, loose.EIz},
				{bonded.GJ, loose.GJ}, {bonded.GAy, loose.GAy}, {bonded.GAz, loose.GAz}} {
				if pair[0] < pair[1]*(1-2e-3) { // what the meshes leave
					t.Errorf("%+v %v: bonded stiffness %d is %g, loose %g", c.s, c.where, k, pair[0], pair[1])
				}
			}
		}
	}
}

// TestPocketsMirror: the two single pockets are mirror images.
func TestPocketsMirror(t *testing.T) {
	plus, _, err := Composite(ipe200, feSteel, feConcrete, FillPocketPlusY)
	if err != nil {
		t.Fatal(err)
	}
	minus, _, err := Composite(ipe200, feSteel, feConcrete, FillPocketMinusY)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "EIz", minus.EIz, plus.EIz, 1e-12)
	near(t, "GJ", minus.GJ, plus.GJ, 1e-4)
	near(t, "centroid", minus.CentroidY, -plus.CentroidY, 1e-9)
	near(t, "centre of mass", minus.MassCentreY, -plus.MassCentreY, 1e-9)
}

// TestFilledBuiltUp: a fill given as one more part of a built-up section is the
// same transformed section as Composite's.
func TestFilledBuiltUp(t *testing.T) {
	box := HollowRectangle{Height: 0.15, Width: 0.10, Wall: 0.006, OuterRadius: 0.012, InnerRadius: 0.006}
	bonded, _, err := Composite(box, feSteel, feConcrete, FillHollow)
	if err != nil {
		t.Fatal(err)
	}
	s := plain(t, BuiltUp{Parts: []Part{{Shape: box}, {Shape: Bar{0.088, 0.138, 0.006}, Material: feConcrete}}}, feSteel)
	for _, pair := range [][2]float64{{s.EA, bonded.EA}, {s.EIy, bonded.EIy}, {s.EIz, bonded.EIz}, {s.GJ, bonded.GJ},
		{s.GAy, bonded.GAy}, {s.GAz, bonded.GAz}, {s.MassPerLength, bonded.MassPerLength}, {s.RotaryInertiaY, bonded.RotaryInertiaY}} {
		near(t, "filled box", pair[0], pair[1], 1e-12)
	}
}
