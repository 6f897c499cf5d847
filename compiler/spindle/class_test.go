package spindle

import (
	"errors"
	"math"
	"reflect"
	"testing"

	"ironbed/compiler/cutting"
	"ironbed/compiler/domain"
	"ironbed/compiler/works"
)

// values are all values of a class, by the name of the field.
func values(c *Class) map[string]Value {
	list := map[string]Value{}
	v := reflect.ValueOf(c).Elem()
	for i := range v.NumField() {
		if value, ok := v.Field(i).Interface().(Value); ok {
			list[v.Type().Field(i).Name] = value
		}
	}
	return list
}

// TestClassesAreMarked: every value has bounds around it and a mark or a known source.
func TestClassesAreMarked(t *testing.T) {
	for _, c := range Classes() {
		for name, v := range values(&c) {
			if !c.Tapered && v == (Value{}) {
				continue // no taper
			}
			if v.Low > v.Nominal || v.Nominal > v.High {
				t.Errorf("%s, %s: %+v", c.Name, name, v.Range)
			}
			if _, known := works.Find(v.Source); !known && v.Source != works.CommonPractice && v.Source != works.FromMemory {
				t.Errorf("%s, %s: source %q", c.Name, name, v.Source)
			}
		}
	}
}

// eightMillimetres is a carbide end mill that stands out by 30 mm.
func eightMillimetres() Cutter {
	return Cutter{
		Tool:    cutting.Tool{Diameter: 0.008, FluteLength: 0.020, StickOut: 0.030, Substance: cutting.Carbide()},
		Density: CarbideDensity().Nominal, Loss: 0.003,
	}
}

// holderOf is a usual holder of a class: a collet nut, or a body with one.
func holderOf(c *Class) []Cylinder {
	if c.Tapered {
		return []Cylinder{{0.035, 0.050, 0}, {0.025, 0.042, 0.008}}
	}
	return []Cylinder{{0.018, 0.034, 0.008}}
}

// ofClass is a spindle of a class with an 8 mm cutter.
func ofClass(t testing.TB, c *Class, pick func(Value) float64) (*Assembly, float64) {
	t.Helper()
	s := c.Spindle(pick)
	a, nose, err := s.Assembly(holderOf(c), Clamping{Diameter: 0.008, Length: 0.028, Contact: pick(c.Contact), Loss: pick(c.ContactLoss)}, eightMillimetres())
	if err != nil {
		t.Fatalf("%s: %v", c.Name, err)
	}
	return a, nose
}

func nominal(v Value) float64 { return v.Nominal }

// TestClassesCompute: the spindles of all classes compute; each is stiffer than the
// lighter class before it, and stiffer springs make a stiffer tip.
func TestClassesCompute(t *testing.T) {
	last := math.Inf(1)
	for _, c := range Classes() {
		springs := map[Value]bool{c.FrontRadial: true, c.FrontTilt: true, c.RearRadial: true, c.TaperLateral: true, c.TaperTilt: true, c.Contact: true}
		a, nose := ofClass(t, &c, nominal)
		m := mesh(t, a, 5e3, 1)
		s := static(t, m)
		list := modes(t, m, nose).List
		if len(list) == 0 {
			t.Errorf("%s: no modes to 5 kHz", c.Name)
			continue
		}
		t.Logf("%s: %.1f N/µm at the tip, first mode %.0f Hz, loss %.3f, axial %.0f N/µm, shares %v", c.Name,
			1e-6/s.Lateral, list[0].Omega/(2*math.Pi), list[0].Loss, 1e-6/s.Axial, s.LateralShares)
		if s.Lateral > last {
			t.Errorf("%s is softer than the class before it", c.Name)
		}
		last = s.Lateral
		soft, _ := ofClass(t, &c, func(v Value) float64 {
			if springs[v] {
				return v.Low
			}
			return v.Nominal
		})
		stiff, _ := ofClass(t, &c, func(v Value) float64 {
			if springs[v] {
				return v.High
			}
			return v.Nominal
		})
		if a, b := static(t, mesh(t, soft, 5e3, 1)).Lateral, static(t, mesh(t, stiff, 5e3, 1)).Lateral; !(a > s.Lateral && s.Lateral > b) {
			t.Errorf("%s: soft %g, nominal %g, stiff %g", c.Name, a, s.Lateral, b)
		}
	}
}

// TestClassBearings: usual bearings with rigid rings lie in the upper half of the
// bounds of their class.
func TestClassBearings(t *testing.T) {
	for i, c := range []struct {
		rows    float64
		bearing BallBearing
	}{
		{1, BallBearing{10, 4.76e-3, 10 * math.Pi / 180, 30}},
		{2, BallBearing{13, 6.35e-3, 15 * math.Pi / 180, 80}},
		{3, BallBearing{18, 11.1e-3, 15 * math.Pi / 180, 350}},
	} {
		class := Classes()[i]
		radial, axial, err := c.bearing.Stiffness()
		if err != nil {
			t.Fatal(err)
		}
		if radial *= c.rows; radial < class.FrontRadial.Nominal || radial > class.FrontRadial.High {
			t.Errorf("%s: %.3g N/m radially, class %+v", class.Name, radial, class.FrontRadial.Range)
		}
		if axial *= c.rows; axial < class.FrontAxial.Low || axial > class.FrontAxial.High {
			t.Errorf("%s: %.3g N/m axially, class %+v", class.Name, axial, class.FrontAxial.Range)
		}
	}
}

// TestBallBearingAgainstTheBalls: the stiffness is the slope of the sum of what the
// balls carry, each by Hertz's law.
func TestBallBearingAgainstTheBalls(t *testing.T) {
	b := BallBearing{Balls: 16, BallDiameter: 7e-3, Angle: 0.3, Preload: 120}
	radial, axial, err := b.Stiffness()
	if err != nil {
		t.Fatal(err)
	}
	sin, cos := math.Sincos(b.Angle)
	preloaded := contactDeflection * math.Pow(b.Preload/(16*sin), 2.0/3) / math.Cbrt(b.BallDiameter)
	carried := func(across, along float64) (x, z float64) {
		for i := range b.Balls {
			psi := 2 * math.Pi * (float64(i) + 0.3) / float64(b.Balls)
			d := preloaded + across*cos*math.Cos(psi) + along*sin
			q := math.Pow(d*math.Cbrt(b.BallDiameter)/contactDeflection, 1.5)
			x += q * cos * math.Cos(psi)
			z += q * sin
		}
		return x, z
	}
	const step = 1e-9
	more, _ := carried(step, 0)
	less, _ := carried(-step, 0)
	_, up := carried(0, step)
	_, down := carried(0, -step)
	if got := (more - less) / (2 * step); math.Abs(got/radial-1) > 1e-4 {
		t.Errorf("radial %g, balls %g", radial, got)
	}
	if got := (up - down) / (2 * step); math.Abs(got/axial-1) > 1e-4 {
		t.Errorf("axial %g, balls %g", axial, got)
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
	class := Classes()[2]
	grip := Clamping{Diameter: 0.008, Length: 0.028, Contact: 5e11}
	build := func(change func(s *Spindle, holder *[]Cylinder, c *Clamping, tool *Cutter)) error {
		s, holder, c, tool := class.Spindle(nominal), holderOf(&class), grip, eightMillimetres()
		change(&s, &holder, &c, &tool)
		_, _, err := s.Assembly(holder, c, tool)
		return err
	}
	bearing := func(b BallBearing) error {
		_, _, err := b.Stiffness()
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
		{"number of balls", bearing(BallBearing{2, 1, 1, 1})},
		{"contact angle", bearing(BallBearing{9, 1, 2, 1})},
		{"preload of a bearing", bearing(BallBearing{9, 1, 1, 0})},
	} {
		if at := (*domain.InputError)(nil); !errors.As(c.err, &at) || at.Quantity != c.quantity {
			t.Errorf("%s: %v", c.quantity, c.err)
		}
	}
	if err := build(func(_ *Spindle, _ *[]Cylinder, _ *Clamping, tool *Cutter) { tool.Tool.StickOut = 0 }); err == nil {
		t.Error("a cutter that does not stand out")
	}
}
