package quantity

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/cuecontext"
	"cuelang.org/go/cue/literal"
)

// usual are the units that the patterns know, by dimension.
var usual = []struct {
	dim   Dimension
	units string
}{
	{Ratio, "% ppm mm/m µm/m in/ft"},
	{Length, "mm cm m km µm μm um in ft"},
	{Area, "mm2 cm2 m2 in2 ft2 mm² mm^2"},
	{Volume, "mm3 cm3 m3 in3 L l cm³"},
	{SecondMoment, "mm4 cm4 m4 in4 cm⁴ cm^4"},
	{WarpingConstant, "mm6 cm6 m6 in6 cm⁶"},
	{Mass, "kg g lb t"},
	{LinearDensity, "kg/m g/mm lb/ft lb/in t/m"},
	{Density, "kg/m3 g/cm3 lb/in3 lb/ft3 kg/m³ kg/L t/m3"},
	{Inertia, "kg·m2 kg·cm2 g·cm2 kg.m2 kg*m² lb·in2"},
	{Time, "s min h"},
	{Frequency, "rpm Hz 1/s /s 1/min s⁻¹ s^-1"},
	{Speed, "mm/min mm/s m/min m/s in/min in/s ft/min km/h"},
	{Acceleration, "m/s2 mm/s2 m/s² ft/s2 m/s/s"},
	{Force, "N kN lbf ozf"},
	{Stress, "Pa kPa MPa GPa psi ksi N/mm2 N/mm² kN/cm2 lbf/in2"},
	{Viscosity, "Pa·s Pa.s kPa·s Pa*min"},
	{Stiffness, "N/m N/mm N/µm N/μm N/um kN/mm lbf/in"},
	{Torque, "N·m Nm N.m N*m Nmm N·mm kN·m kNm ozf·in ozf.in lbf·in lbf·ft ft·lbf"},
	{RotationalStiffness, "Nm/rad N·m/rad kN·m/rad N·m/deg N·m/° lbf·in/rad"},
	{Power, "W kW hp N·m/s"},
	{Angle, "deg ° rad"},
	{Temperature, "K °C"},
	{Expansion, "ppm/K µm/m/K 1/K /K K⁻¹ µm/m/°C in/in/K"},
	{Gradient, "K/m °C/m K/ft"},
	{Current, "A mA"},
	{Voltage, "V kV"},
}

// shapes are values with U for the unit. V stands for the unit where arithmetic
// is done, which °C refuses.
var shapes = []string{
	"5 U", "5U", " 5  U ", "5.5 U", ".5 U", "-5 U", "+5 U", "−5 U", "2.2e3 U", "2.2E-3 U", "5\u00a0U",
	"5/8 U", "5 / 8 U", "1 5/8 U", "-1 5/8 U", "1 5/8 U ± 1/8 U",
	"5 U ± 1 U", "5 U±1 U", "5 ± 1 U", "(5 ± 1) U", "5 U +/- 1 U", "5 U +- 1 U", "5 V ± 20 %", "5 V ± 20%", "1 5/8 V ± 5 %",
	"0.9..1.4 U", "0.9 .. 1.4 U", "1..2 U", "1 U..2 U", "1 U .. 2 U", "-3..2 U", "-3..-2 U", "(1..2) U",
	"1600 V / 2 + 50 V", "(2200 V - 2*60 V)/3", "-(100 V)/2", "100 V/2", "2 * 1600 V", "1600 V * 2", "2 × 60 V", "3 * 5/8 V",
	"(30 V ± 20 %) / 2", "50 V + (10 V ± 1 V)", "2*(10 V + 3 V) - 4 V", "((1 V + 2 V)*3 + 4 V)/5", "(2 + 3) * 5 V", "(2+3) V",
	"100 V / 3/4", "5 V - -3 V", "( 5 V )", "50 % * 30 V", "30 V * 50 %", "(0.9..1.4 V)/2", "2*(5 V ± 1 V)..3*(5 V)",
}

func filled(shape, unit string) (text string, ok bool) {
	if unit == "°C" && strings.Contains(shape, "V") {
		return "", false
	}
	if strings.HasPrefix(unit, "/") && strings.HasSuffix(shape, "(2+3) V") {
		return "", false // a slash after a parenthesis
	}
	return strings.NewReplacer("U", unit, "V", unit).Replace(shape), true
}

// TestPatternAgrees holds patterns against ParseAs: every shape with every unit,
// asked for as every dimension.
func TestPatternAgrees(t *testing.T) {
	checked := 0
	for _, want := range usual {
		pattern := regexp.MustCompile(Pattern(want.dim))
		for _, has := range usual {
			for _, unit := range strings.Fields(has.units) {
				for _, shape := range shapes {
					text, ok := filled(shape, unit)
					if !ok {
						continue
					}
					_, err := ParseAs(text, want.dim)
					if (err == nil) != (has.dim == want.dim) {
						t.Fatalf("%q as %s: %v", text, want.dim.Word(), err)
					}
					if got := pattern.MatchString(text); got != (err == nil) {
						t.Errorf("%q as %s: the pattern says %v, ParseAs %v", text, want.dim.Word(), got, err)
					}
					checked++
				}
			}
		}
	}
	t.Logf("%d texts", checked)
}

// TestPatternRefuses holds what no dimension accepts.
func TestPatternRefuses(t *testing.T) {
	for _, want := range usual {
		pattern := regexp.MustCompile(Pattern(want.dim))
		unit := strings.Fields(want.units)[0]
		for _, shape := range []string{
			"", " ", "U", "-", "()", "(U)", "5 U 3 U", "5 U 3", "5 U U", "5 Ux", "5 xU", "5 U +", "5 U *", "5. U", "1,5 U", "1,600 U",
			"1 600 U", "1'600 U", "1.2.3 U", "5 U ± U", "5 U ± x", "5 ± ", "5 U !", "5 U2U", "five U", "NaN U", "Inf U", "0x10 U",
			"5 U and 3 U", "5 U ..", ".. 5 U", "5 U; 3 U", "5 U // 2", "5 mmm", "5 Kn", "3 nm", "5 rev", "5 m5", "5 kg·m·K",
		} {
			text := strings.ReplaceAll(shape, "U", unit)
			if q, err := ParseAs(text, want.dim); err == nil {
				t.Errorf("%q as %s is read as %v", text, want.dim.Word(), q)
			}
			if pattern.MatchString(text) {
				t.Errorf("%q matches the pattern of %s", text, want.dim.Word())
			}
		}
		for _, text := range []string{"5", "0", "1600", "-3.5", "3/4", "1 ± 2", "(1 + 2)/3"} {
			_, err := ParseAs(text, want.dim)
			if (err == nil) != (want.dim == Ratio) || pattern.MatchString(text) != (err == nil) {
				t.Errorf("%q as %s: the pattern says %v, ParseAs %v", text, want.dim.Word(), pattern.MatchString(text), err)
			}
		}
	}
}

// TestPatternIsLaxer lists what a pattern cannot see and ParseAs refuses, and
// the one thing that it refuses and ParseAs accepts: a product of units.
func TestPatternIsLaxer(t *testing.T) {
	pattern := regexp.MustCompile(Pattern(Length))
	for _, text := range []string{"(5 mm", "5 mm)", "5 mm + 3", "5 mm ± 3", "1 mm / 0", "5..3 mm", "5 mm ± 1 mm + 2 mm"} {
		if _, err := ParseAs(text, Length); err == nil || !pattern.MatchString(text) {
			t.Errorf("%q: %v, the pattern says %v", text, err, pattern.MatchString(text))
		}
	}
	const product = "100 mm * 20 mm"
	if _, err := ParseAs(product, Area); err != nil || regexp.MustCompile(Pattern(Area)).MatchString(product) {
		t.Errorf("%q: %v, or the pattern accepts it", product, err)
	}
}

// TestPatternUnits joins every two symbols in every way that a unit may: what a
// pattern accepts, ParseAs must accept.
func TestPatternUnits(t *testing.T) {
	var units []string
	for _, a := range symbols {
		units = append(units, a.text)
		for _, n := range []string{"2", "3", "4", "6", "²", "^-1", "⁻¹"} {
			units = append(units, a.text+n)
		}
		for _, b := range symbols {
			for _, joint := range []string{"/", "·", ".", ""} {
				units = append(units, a.text+joint+b.text, a.text+joint+b.text+"2", a.text+joint+b.text+"3", a.text+joint+b.text+"/K")
			}
		}
	}
	for _, d := range usual {
		pattern := regexp.MustCompile(Pattern(d.dim))
		for _, unit := range units {
			if text := "5 " + unit; pattern.MatchString(text) {
				if _, err := ParseAs(text, d.dim); err != nil {
					t.Errorf("%q matches the pattern of %s: %v", text, d.dim.Word(), err)
				}
			}
		}
	}
	t.Logf("%d units", len(units))
}

// A writer writes random values by the grammar.
type writer struct {
	*rand.Rand
	units []string
}

func (w writer) pick(list ...string) string { return list[w.IntN(len(list))] }

func (w writer) number() string {
	return w.pick("5", "1600", "2.5", ".5", "3e2", "1.5e-3", "5/8", "1 5/8")
}

func (w writer) single() string { return w.number() + w.pick("", " ", "  ") + w.pick(w.units...) }

func (w writer) product(depth int) string {
	s := w.single()
	if depth > 0 && w.IntN(2) == 0 {
		s = "(" + w.value(depth-1) + ")"
	}
	if w.IntN(4) == 0 {
		s = w.pick("2", "2.5", "(2 + 1)", "-3", "(4 ± 1)", "50 %") + w.pick("*", " * ", " × ") + s
	}
	if w.IntN(4) == 0 {
		s += w.pick("*", " * ", "/", " / ") + w.pick("2", "2.5", "(2 + 1)", "-3", "50 %")
	}
	return w.pick("", "", "-", "+", "- ") + s
}

func (w writer) value(depth int) string {
	s := w.product(depth)
	for w.IntN(3) == 0 {
		s += w.pick(" + ", " - ", "+", "-") + w.product(depth)
	}
	switch w.IntN(5) {
	case 0:
		s += w.pick(" ± ", " +/- ", "±", " +- ") + w.pick("20 %", "5%", w.single())
	case 1:
		s += w.pick("..", " .. ") + w.product(depth)
	}
	return s
}

// TestPatternAcceptsTheGrammar writes random values: what ParseAs accepts, the
// pattern must accept.
func TestPatternAcceptsTheGrammar(t *testing.T) {
	accepted, refused := 0, map[Kind]int{}
	for i, d := range usual {
		pattern := regexp.MustCompile(Pattern(d.dim))
		w := writer{rand.New(rand.NewPCG(1, uint64(i))), strings.Fields(d.units)}
		for range 1000 {
			text := w.value(2)
			_, err := ParseAs(text, d.dim)
			if err != nil {
				refused[err.(*Error).Kind]++
				continue
			}
			accepted++
			if !pattern.MatchString(text) {
				t.Errorf("%q as %s does not match the pattern", text, d.dim.Word())
			}
		}
	}
	if accepted < 10000 {
		t.Errorf("only %d texts were read", accepted)
	}
	t.Logf("%d accepted, refused by kind: %v", accepted, refused)
}

// TestPatternInCUE makes sure that a pattern works where it is used.
func TestPatternInCUE(t *testing.T) {
	ctx := cuecontext.New()
	quoted := literal.String.WithOptionalTabIndent(0)
	for _, d := range usual {
		unit := strings.Fields(d.units)[0]
		other := "kg"
		if d.dim == Mass {
			other = "mm"
		}
		source := fmt.Sprintf("#Q: =~%s\ngood: #Q & %s\nbad: #Q & %s\n", quoted.Quote(Pattern(d.dim)),
			quoted.Quote("1.5 "+unit+" ± 1 "+unit), quoted.Quote("1.5 "+other))
		v := ctx.CompileString(source)
		if err := v.LookupPath(cue.ParsePath("good")).Err(); err != nil {
			t.Errorf("%s: %v", d.dim.Word(), err)
		}
		if err := v.LookupPath(cue.ParsePath("bad")).Err(); err == nil {
			t.Errorf("%s accepts a wrong unit", d.dim.Word())
		}
	}
}
