package lift

import (
	"errors"
	"math"
	"testing"

	"ironbed/compiler/domain"
	"ironbed/compiler/verify"
)

const degree = math.Pi / 180

// TestLegFactor is the table of a sling catalogue, by the angle from the level.
func TestLegFactor(t *testing.T) {
	for _, c := range [][2]float64{{90, 1}, {85, 1.004}, {80, 1.015}, {75, 1.035}, {70, 1.064}, {65, 1.104}, {60, 1.155}, {55, 1.221}, {50, 1.305}, {45, 1.414}, {40, 1.555}, {35, 1.742}, {30, 2}} {
		k, err := LegFactor((90 - c[0]) * degree)
		if err != nil {
			t.Fatal(err)
		}
		verify.Check(t, verify.Case{ID: "factor", Quantity: "tension of a sling's leg by its angle from the level", Unit: "-", Source: "a maker's sling catalogue, effect of sling angle",
			Want: c[1], RelTol: 1e-3}, k)
	}
}

// TestLegForce is the example of a course for riggers, in pounds.
func TestLegForce(t *testing.T) {
	const navy = "NAVEDTRA 14080, chapter 3: an object of 1000 lb on two legs"
	for _, c := range []struct{ angle, want float64 }{{90, 500}, {30, 1000}} {
		f, err := LegForce(1000, (90-c.angle)*degree)
		if err != nil {
			t.Fatal(err)
		}
		verify.Check(t, verify.Case{ID: "leg", Quantity: "force in a leg of two, by its angle from the level", Unit: "lb", Source: navy, Want: c.want, RelTol: 1e-9}, f)
	}
	f, _ := LegForce(1000, 45*degree)
	verify.Check(t, verify.Case{ID: "leg 45", Quantity: "force in a leg at 45°", Unit: "lb", Source: "a maker's page on sling capacity, 1000 lb on two legs", Want: 707, RelTol: 1e-3}, f)
}

// TestMargin: a table of 4 by 2 on its corners, with a foot in the middle that counts for nothing.
func TestMargin(t *testing.T) {
	feet := []Point{{0, 0}, {4, 0}, {4, 2}, {0, 2}, {2, 1}}
	for _, c := range []struct {
		at   Point
		want float64
	}{{Point{2, 1}, 1}, {Point{3.5, 1}, 0.5}, {Point{2, 0}, 0}, {Point{2, -0.25}, -0.25}} {
		m, area, err := Margin(feet, c.at)
		if err != nil || math.Abs(m-c.want) > 1e-12 || math.Abs(area-8) > 1e-12 {
			t.Errorf("%v: %g of %g, %v", c.at, m, area, err)
		}
	}
	// On three feet the two sides without one are nearer.
	m, _, err := Margin([]Point{{0, 0}, {3, 0}, {0, 4}}, Point{1, 1})
	verify.Check(t, verify.Case{ID: "margin", Quantity: "margin in a triangle of 3, 4 and 5", Unit: "m", Source: "by hand: the radius of its inscribed circle", Want: 1, RelTol: 1e-12}, m)
	if err != nil {
		t.Error(err)
	}
	// Moved or turned as a whole, nothing changes.
	turned := func(p Point) Point {
		c, s := math.Cos(0.7), math.Sin(0.7)
		return Point{5 + c*p.X - s*p.Y, -3 + s*p.X + c*p.Y}
	}
	var other []Point
	for _, p := range feet {
		other = append(other, turned(p))
	}
	if m, area, err := Margin(other, turned(Point{3.5, 1})); err != nil || math.Abs(m-0.5) > 1e-9 || math.Abs(area-8) > 1e-9 {
		t.Errorf("turned: %g of %g, %v", m, area, err)
	}
}

func TestTipping(t *testing.T) {
	a, err := TippingAngle(0.5, 0.5)
	verify.Check(t, verify.Case{ID: "slope", Quantity: "slope at which a cube tips", Unit: "deg", Source: "statics, by hand", Want: 45, RelTol: 1e-12}, a/degree)
	f, err2 := TippingPush(1000, 0.5, 1)
	verify.Check(t, verify.Case{ID: "push", Quantity: "push at its top that tips a cube of 1000 N", Unit: "N", Source: "statics, by hand", Want: 500, RelTol: 1e-12}, f)
	p, err3 := PadPressure(math.Pi*1e4, 0.2)
	verify.Check(t, verify.Case{ID: "pad", Quantity: "pressure under a pad of 200 mm", Unit: "MPa", Source: "by hand", Want: 1, RelTol: 1e-12}, p/1e6)
	if err := errors.Join(err, err2, err3); err != nil {
		t.Error(err)
	}
}

// TestNamesTheArgument: an error says which argument is out of its range.
func TestNamesTheArgument(t *testing.T) {
	only := func(_ float64, err error) error { return err }
	two := func(_, _ float64, err error) error { return err }
	for _, c := range []struct {
		quantity string
		err      error
	}{
		{"angle of a leg from the vertical", only(LegFactor(math.Pi / 2))},
		{"angle of a leg from the vertical", only(LegForce(1, math.NaN()))},
		{"weight", only(LegForce(-1, 0))},
		{"feet that span an area", two(Margin([]Point{{0, 0}, {1, 0}, {2, 0}}, Point{}))},
		{"feet that span an area", two(Margin(nil, Point{}))},
		{"place", two(Margin([]Point{{0, 0}, {1, 0}, {0, math.NaN()}}, Point{}))},
		{"margin", only(TippingAngle(-1, 1))},
		{"height of the centre of gravity", only(TippingAngle(1, 0))},
		{"height of the push", only(TippingPush(1, 1, 0))},
		{"diameter of a pad", only(PadPressure(1, 0))},
	} {
		if at := (*domain.InputError)(nil); !errors.As(c.err, &at) || at.Quantity != c.quantity {
			t.Errorf("%s: %v", c.quantity, c.err)
		}
	}
}

// TestClearance: boxes at a door of 0.9 m by 2 m, by hand; a box that is turned has the same clearance, and one that is a millimetre wider a millimetre less.
func TestClearance(t *testing.T) {
	for _, c := range []struct {
		id    string
		sides [3]float64
		want  float64 // [mm]
	}{
		{"bed", [3]float64{2.5, 1.2, 0.2}, 700},     // on its side: 0.2 in 0.9, 1.2 in 2
		{"column", [3]float64{0.8, 0.85, 1.9}, 100}, // 0.8 in 0.9; the other way round 0.85 in 0.9 would leave 50
		{"portal", [3]float64{1.3, 1.1, 0.95}, -50}, // 0.95 in 0.9
		{"low", [3]float64{3, 2.2, 0.3}, -200},      // 2.2 in 2
	} {
		got, err := Clearance(c.sides, 0.9, 2)
		if err != nil {
			t.Fatal(err)
		}
		verify.Check(t, verify.Case{ID: "door " + c.id, Quantity: "clearance of a box at a door", Unit: "mm", Source: "by hand", Want: c.want, RelTol: 1e-9}, 1e3*got)
		turned, _ := Clearance([3]float64{c.sides[1], c.sides[2], c.sides[0]}, 0.9, 2)
		if turned != got {
			t.Errorf("%s: %g turned, %g before", c.id, turned, got)
		}
	}
	if _, err := Clearance([3]float64{1, 1, 0}, 1, 1); err == nil {
		t.Error("a box without a side passed")
	}
}
