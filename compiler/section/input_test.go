package section

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"ironbed/compiler/domain"
)

// TestBadDimensions: each is refused with the dimension that is at fault.
func TestBadDimensions(t *testing.T) {
	for _, c := range []struct {
		shape     Shape
		dimension string
	}{
		{RolledI{0, 0.1, 0.005, 0.008, 0}, "height"},
		{RolledI{0.2, 0.1, 0.1, 0.008, 0}, "web thickness"},
		{RolledI{0.2, 0.1, 0.005, 0.1, 0}, "flange thickness"},
		{RolledI{0.2, 0.1, 0.005, 0.008, 0.05}, "root radius"},
		{Channel{0.2, math.NaN(), 0.005, 0.008, 0, 0, 0}, "width"},
		{Channel{0.2, 0.1, 0.005, 0.008, -0.001, 0, 0}, "root radius"},
		{Channel{0.2, 0.1, 0.005, 0.008, 0.005, 0.08, 0.005}, "toe radius"},
		{Channel{0.2, 0.1, 0.005, 0.008, 0.005, 0.16, 0}, "slope"},
		{Angle{0.1, 0.1, 0.1, 0, 0}, "thickness"},
		{Angle{0.1, 0.1, 0.01, 0.088, 0.006}, "root radius"},
		{Angle{0.1, 0.1, 0.01, 0, 0.02}, "toe radius"},
		{HollowRectangle{0.1, 0.1, 0.05, 0, 0}, "wall thickness"},
		{HollowRectangle{0.1, 0.1, 0.005, 0.03, 0}, "outer corner radius"},
		{HollowRound{0.1, 0.05}, "wall thickness"},
		{Bar{0.1, math.Inf(1), 0}, "height"},
		{RoundBar{-1}, "diameter"},
		{BuiltUp{Parts: []Part{{Shape: RoundBar{}}}}, "diameter"},
	} {
		_, err := c.shape.Properties(0.3)
		var d *DimensionError
		if !errors.As(err, &d) || d.Dimension != c.dimension {
			t.Errorf("%+v: got %v, want an error about the %s", c.shape, err, c.dimension)
		}
		if d != nil && d.Error() == "" {
			t.Error("empty error text")
		}
		if _, err := c.shape.Outline(); err == nil {
			t.Errorf("%+v: an outline of a shape that cannot be", c.shape)
		}
		if _, err := Plain(c.shape, feSteel); err == nil {
			t.Errorf("%+v: a stiffness of a shape that cannot be", c.shape)
		}
	}
}

func TestBadSections(t *testing.T) {
	bar := Bar{0.1, 0.1, 0}
	for name, s := range map[string]Shape{
		"no shape":         nil,
		"no parts":         BuiltUp{},
		"part of no shape": BuiltUp{Parts: []Part{{}}},
		"infinite angle":   BuiltUp{Parts: []Part{{Shape: bar, Angle: math.Inf(1)}}},
		"infinite offset":  BuiltUp{Parts: []Part{{Shape: bar}, {Shape: bar, Y: math.Inf(1)}}},
		"parts apart":      BuiltUp{Parts: []Part{{Shape: bar}, {Shape: bar, Y: 1}}},
		"parts overlap":    BuiltUp{Parts: []Part{{Shape: bar}, {Shape: bar, Y: 0.05}}},
		"listed part":      BuiltUp{Parts: []Part{{Shape: Listed{Area: 1e-3, Iy: 1e-6, Iz: 1e-6, J: 1e-7}}, {Shape: bar}}},
		"no pieces":        Drawn{},
		"a line":           Drawn{Pieces: []Piece{{Outer: Loop{Corners: []Corner{{0, 0, 0}, {1, 0, 0}, {2, 0, 0}}}}}},
		"large fillet":     Drawn{Pieces: []Piece{{Outer: Loop{Corners: []Corner{{0, 0, 0.06}, {0.1, 0, 0.06}, {0.1, 0.1, 0}, {0, 0.1, 0}}}}}},
		"no circle":        Drawn{Pieces: []Piece{{Outer: Loop{Radius: -1}}}},
		"part material":    BuiltUp{Parts: []Part{{Shape: bar, Material: Material{E: 1}}}},
		"nothing listed":   Listed{},
		"no torsion":       Listed{Area: 1e-3, Iy: 1e-6, Iz: 1e-6},
		"too large":        Bar{1e200, 1e200, 0},
		"too small":        Bar{1e-200, 1e-200, 0},
	} {
		if s, err := Plain(s, feSteel); err == nil {
			t.Errorf("%s: got %+v", name, s)
		}
	}
	for m, quantity := range map[Material]string{
		{}:                        "Young's modulus",
		{E: 1}:                    "shear modulus",
		{E: 1, G: 1, Density: -1}: "density",
		{E: math.NaN(), G: 1}:     "Young's modulus",
		{E: math.Inf(1), G: 1}:    "Young's modulus",
		{E: 1, G: math.Inf(1)}:    "shear modulus",
	} {
		var at *domain.InputError
		if _, err := Plain(bar, m); !errors.As(err, &at) || at.Quantity != quantity {
			t.Errorf("%+v: got %v", m, err)
		}
		if _, _, err := Composite(HollowRound{0.1, 0.005}, feSteel, m, FillHollow); !errors.As(err, &at) || at.Quantity != quantity {
			t.Errorf("fill %+v: got %v", m, err)
		}
	}
}

func TestFillPlaces(t *testing.T) {
	for _, c := range []struct {
		s     Shape
		where FillPlace
	}{{Bar{0.1, 0.1, 0}, FillHollow}, {ipe200, FillHollow}, {upe160, FillBothPockets}, {HollowRound{0.1, 0.005}, FillPocketPlusY},
		{HollowRectangle{0.1, 0.1, 0.005, 0, 0}, FillBothPockets}, {ipe200, FillPlace(9)}} {
		var f *FillError
		if _, _, err := Composite(c.s, feSteel, feConcrete, c.where); !errors.As(err, &f) || f.Where != c.where || f.Error() == "" {
			t.Errorf("%T %v: got %v", c.s, c.where, err)
		}
		if _, err := FillOutline(c.s, c.where); !errors.As(err, &f) {
			t.Errorf("outline of %T %v: got %v", c.s, c.where, err)
		}
	}
	if _, err := FillOutline(nil, FillHollow); err == nil {
		t.Error("a fill of no shape")
	}
}

func TestListed(t *testing.T) {
	l := Listed{Area: 1e-3, Iy: 2e-6, Iz: 1e-6, J: 5e-7, MassPerLength: 3, Width: 0.08, Height: 0.12, CentroidZ: 0.01}
	s := plain(t, l, feSteel)
	near(t, "mass", s.MassPerLength, 3, 1e-12)
	near(t, "rotary inertia", s.RotaryInertiaY, 3*2e-6/1e-3, 1e-12)
	near(t, "EIy", s.EIy, 420e3, 1e-12)
	near(t, "pointer", plain(t, &l, feSteel).MassPerLength, 3, 1e-12)
	regions, err := l.Outline()
	if err != nil || len(regions) != 1 || !regions[0].Schematic || math.Hypot(regions[0].Outer[0].Y+0.04, regions[0].Outer[0].Z+0.05) > 1e-12 {
		t.Errorf("outline %+v, %v", regions, err)
	}
	if regions, err := (Listed{Area: 1}).Outline(); regions != nil || err != nil {
		t.Errorf("outline of no size: %v, %v", regions, err)
	}
	if p := properties(t, Listed{Area: 1, Iy: 1, Iz: 1, J: 1, Ky: 0.3, Kz: 0.2}, 0.3); p.Ky != 0.3 || p.Kz != 0.2 {
		t.Errorf("listed shear coefficients lost: %+v", p)
	}
}

// TestAnythingIsFiniteOrRefused throws dimensions of every order of magnitude at
// each shape.
func TestAnythingIsFiniteOrRefused(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	u := func() float64 {
		switch rng.IntN(12) {
		case 0:
			return []float64{0, -1, math.NaN(), math.Inf(1), 1e308, 5e-324}[rng.IntN(6)]
		case 1, 2:
			return math.Pow(10, rng.Float64()*200-100)
		}
		return rng.Float64()
	}
	for range 20000 {
		m := Material{E: u() * 1e11, G: u() * 1e11, Density: u() * 1e4}
		s := []Shape{RolledI{u(), u(), u() / 10, u() / 10, u() / 10}, Channel{u(), u(), u() / 10, u() / 10, u() / 10, 0, 0},
			Angle{u(), u(), u() / 10, u() / 10, u() / 10}, HollowRectangle{u(), u(), u() / 10, u() / 10, u() / 10},
			HollowRound{u(), u() / 2}, Bar{u(), u(), u() / 10}, RoundBar{u()}, Listed{Area: u(), Iy: u(), Iz: u(), J: u()}}[rng.IntN(8)]
		b := BuiltUp{Parts: []Part{{Shape: s, Y: u(), Z: u(), Angle: u()}, {Shape: s, Material: feSteel}}}
		sound := func(k Stiffness, err error) {
			t.Helper()
			if err != nil {
				return
			}
			if _, err := k.checked(); err != nil {
				t.Errorf("%+v %+v: %+v", s, m, k)
			}
		}
		sound(Plain(s, m))
		if rng.IntN(60) == 0 {
			sound(Plain(b, m))
		}
		if rng.IntN(200) == 0 {
			for where := range FillPocketMinusY + 1 {
				bonded, loose, err := Composite(s, m, Material{E: u() * 1e11, G: u() * 1e11}, where)
				sound(bonded, err)
				sound(loose, err)
			}
		}
		for _, shape := range []Shape{s, b} {
			regions, _ := shape.Outline()
			for _, r := range regions {
				for _, p := range r.Outer {
					if !finite(p.Y, p.Z) {
						t.Fatalf("%+v: outline %+v", shape, regions)
					}
				}
			}
		}
	}
}

// TestOutlines: the drawn polylines enclose what the properties say, run
// counter-clockwise outside, and shape and fill together fill the frame.
func TestOutlines(t *testing.T) {
	area := func(loop []Point) (a float64) {
		for k, p := range loop {
			q := loop[(k+1)%len(loop)]
			a += (p.Y*q.Z - q.Y*p.Z) / 2
		}
		return a
	}
	total := func(regions []Region) (a float64) {
		for _, r := range regions {
			if area(r.Outer) <= 0 {
				t.Error("outer boundary runs clockwise")
			}
			a += area(r.Outer)
			for _, h := range r.Holes {
				a -= math.Abs(area(h))
			}
		}
		return a
	}
	for name, s := range shapes(1) {
		regions, err := s.Outline()
		if err != nil {
			t.Fatal(err)
		}
		// A polygon of 32 sides is 0.64 % smaller than its circle; a thin tube
		// loses the same share of its wall.
		near(t, name, total(regions), properties(t, s, 0.3).Area, 0.007)
	}
	for _, c := range []struct {
		s     Shape
		where FillPlace
		want  float64
	}{{ipe200, FillBothPockets, 0.2 * 0.1}, {upe160, FillPocketPlusY, 0.16 * 0.07},
		{HollowRectangle{0.15, 0.1, 0.006, 0, 0}, FillHollow, 0.015}} {
		steel, err := c.s.Outline()
		if err != nil {
			t.Fatal(err)
		}
		fill, err := FillOutline(c.s, c.where)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "shape and fill", total(steel)+total(fill), c.want, 1e-9)
	}
	two, err := twoChannels().Outline()
	if err != nil || len(two) != 2 || two[1].Part != 1 {
		t.Errorf("built-up outline: %d regions, %v", len(two), err)
	}
}

func BenchmarkPlainI(b *testing.B) {
	for b.Loop() {
		_, _ = Plain(ipe200, feSteel)
	}
}

func BenchmarkFilledHollow(b *testing.B) {
	s := HollowRectangle{Height: 0.15, Width: 0.10, Wall: 0.006, OuterRadius: 0.012, InnerRadius: 0.006}
	for b.Loop() {
		_, _, _ = Composite(s, feSteel, feConcrete, FillHollow)
	}
}

func BenchmarkFilledPockets(b *testing.B) {
	for b.Loop() {
		_, _, _ = Composite(ipe200, feSteel, feConcrete, FillBothPockets)
	}
}
