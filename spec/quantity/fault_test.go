package quantity

import (
	"errors"
	"strings"
	"testing"
)

// fault parses a text that must not parse.
func fault(t *testing.T, text string) (*Error, bool) {
	t.Helper()
	q, err := Parse(text)
	if err == nil {
		t.Errorf("%q is read as %v %s", text, q.Value, q.Dim)
		return nil, false
	}
	var e *Error
	if !errors.As(err, &e) {
		t.Fatalf("%q: the error is a %T", text, err)
	}
	return e, true
}

func TestErrors(t *testing.T) {
	for _, c := range []struct {
		text   string
		kind   Kind
		offset int
		want   string // the whole text of the error
	}{
		{"", Syntax, 0, `the value is empty`},
		{"mm", Syntax, 0, `a number is expected, not "mm"; write a number before the unit, or · between units`},
		{"5 mm +", Syntax, 6, `a number is expected at the end`},
		{"5. mm", Syntax, 2, `digits are expected after the decimal point`},
		{"1.2.3 mm", Syntax, 3, `the number has two decimal points`},
		{"1,5 mm", Syntax, 1, `the number 1,5 has a decimal comma; write 1.5`},
		{"1,600 mm", Syntax, 1, `the number 1,600 has a comma; write 1600 or 1.600`},
		{"1,600,000 mm", Syntax, 1, `the number 1,600,000 has marks between its thousands; write 1600000`},
		{"1,600.5 mm", Syntax, 1, `the number 1,600.5 has marks between its thousands; write 1600.5`},
		{"1.600,5 mm", Syntax, 5, `the number 1.600,5 has a decimal comma; write 1600.5`},
		{"1'600 mm", Syntax, 1, `the number 1'600 has marks between its thousands; write 1600`},
		{"1_600 mm", Syntax, 1, `the number 1_600 has marks between its thousands; write 1600`},
		{"1 600 mm", Syntax, 2, `a unit or an operator is expected, but a second number follows; write 1600, if a space parts the thousands`},
		{"1.5 5/8 in", Syntax, 4, `a unit or an operator is expected, but a second number follows`},
		{"1-5/8 in", WrongDimension, 2, `1 is a plain number and 5/8 in is a length; they cannot be subtracted; write 1 5/8 in`},
		{"5 mm)", Syntax, 4, `there is a closing parenthesis too many`},
		{"((5 mm)", Syntax, 0, `the parenthesis is not closed`},
		{"(5 mm) mm", Syntax, 7, `the value in the parentheses has a unit already, not "mm"`},
		{"5 mm 3 mm", Syntax, 5, `an operator or the end is expected, not "3"`},
		{`5"`, Syntax, 1, `an operator or the end is expected, not """; write in for inches`},
		{"900–1400 N", Syntax, 3, `an operator or the end is expected, not "–"; write .. for a range or - for a difference`},
		{"3 N m", Syntax, 4, `"m" follows the unit N; write units joined with · or /, as in N·m`},
		{"5 mm x 3", Syntax, 5, `"x" follows the unit mm; write * to multiply`},
		{"10 lbf-in", Syntax, 7, `a number is expected, not "in"; write a number before the unit, or · between units`},
		{"5 W/m·K", Syntax, 5, `the unit has a product after a slash, which can be read in two ways; write a slash before each divisor, as in µm/m/K`},

		{"5 mmm", UnknownUnit, 2, `unknown unit "mmm"; did you mean mm?`},
		{"5 Kn", UnknownUnit, 2, `unknown unit "Kn"; did you mean kN?`},
		{"5 Mpa", UnknownUnit, 2, `unknown unit "Mpa"; did you mean MPa?`},
		{"5 RPM", UnknownUnit, 2, `unknown unit "RPM"; did you mean rpm?`},
		{"5 nm", UnknownUnit, 2, `unknown unit "nm"; did you mean N·m or mm?`},
		{"5 N/mn", UnknownUnit, 4, `unknown unit "mn"; did you mean mm?`},
		{"5 ozf·inn", UnknownUnit, 7, `unknown unit "inn"; did you mean in?`},
		{"5 inches", UnknownUnit, 2, `unknown unit "inches"; did you mean in?`},
		{"5 bar", UnknownUnit, 2, `unknown unit "bar"; did you mean kPa (1 bar is 100 kPa)?`},
		{"10 mm/rev", UnknownUnit, 6, `unknown unit "rev"; did you mean rpm, or mm for a screw's lead?`},
		{"5 furlong", UnknownUnit, 2, `unknown unit "furlong"`},
		{"1 g0", UnknownUnit, 2, `the unit "g0" has no meaning`},
		{"5 Nm2", UnknownUnit, 2, `the unit "Nm2" has no meaning`},
		{"5 mm22", UnknownUnit, 2, `the unit "mm22" has no meaning`},

		{"3 kg + 2 mm", WrongDimension, 7, `3 kg is a mass and 2 mm is a length; they cannot be added`},
		{"2 mm - 3", WrongDimension, 7, `2 mm is a length and 3 is a plain number; they cannot be subtracted`},
		{"2 mm + 3 mm / 1 mm", WrongDimension, 7, `2 mm is a length and 3 mm / 1 mm is a ratio; they cannot be added`},
		{"2 mm ± 3 kg", WrongDimension, 8, `2 mm is a length and 3 kg is a mass; the tolerance of one cannot be the other`},
		{"2 mm .. 3 kg", WrongDimension, 8, `2 mm is a length and 3 kg is a mass; they cannot be the ends of one range`},
		{"20 °C + 5 K", WrongDimension, 0, `a temperature in °C cannot be calculated with; write it in K`},
		{"-(20 °C)", WrongDimension, 0, `a temperature in °C cannot be calculated with; write it in K`},

		{"120 mm ± 3", MissingUnit, 10, `the tolerance 3 has no unit; write ± 3 mm or ± 3 %`},
		{"900 N..1400", MissingUnit, 7, `the upper bound 1400 has no unit; write 1400 N`},

		{"120 mm ± -3 mm", BadUncertainty, 10, `the tolerance is negative`},
		{"1.4..0.9 kN", BadUncertainty, 0, `the range goes from high to low; write the lower bound first`},
		{"20 °C ± 5 %", BadUncertainty, 10, `a share of a temperature in °C has no meaning; write ± with K or °C`},
		{"1 mm ± 2 mm ± 3 mm", BadUncertainty, 5, `the value has an uncertainty twice`},
		{"1 mm..2 mm..3 mm", BadUncertainty, 4, `the value has an uncertainty twice`},
		{"120 mm ± 3 mm + 50 mm", BadUncertainty, 15, `arithmetic follows an uncertainty; write parentheses round the value with its uncertainty, as in (120 mm ± 3 mm)`},

		{"1 mm / 0", DivisionByZero, 7, `division by zero (0)`},
		{"1/0 in", DivisionByZero, 1, `division by zero (0)`},
		{"1 1/0 in", DivisionByZero, 3, `the fraction 1/0 divides by zero`},
		{"1 mm / (2 mm - 2 mm)", DivisionByZero, 7, `division by zero ((2 mm - 2 mm))`},
		{"1 mm / (1 ± 2)", DivisionByZero, 7, `division by (1 ± 2), which may be zero within its uncertainty`},

		{"1e400 m", OutOfRange, 0, `the number 1e400 is too large`},
		{"1e308 km", OutOfRange, 0, `the value is too large`},
		{"1e200 m * 1e200", OutOfRange, 8, `the value is too large`},
		{"1 m9 * 1 m9", OutOfRange, 5, `the product's power is too high`},
		{"1 m9·m9", OutOfRange, 2, `the unit's power is too high`},
	} {
		e, ok := fault(t, c.text)
		if !ok {
			continue
		}
		if e.Kind != c.kind || e.Offset != c.offset || e.Error() != c.want {
			t.Errorf("%q: kind %d at %d: %s\n\twant kind %d at %d: %s", c.text, e.Kind, e.Offset, e, c.kind, c.offset, c.want)
		}
		if !strings.Contains(c.text, e.Found) {
			t.Errorf("%q: found %q, which is not in it", c.text, e.Found)
		}
	}
}

func TestWrongDimension(t *testing.T) {
	for _, c := range []struct {
		text string
		as   Dimension
		kind Kind
		want string
	}{
		{"3 kg", Length, WrongDimension, `3 kg is a mass; a length such as "1600 mm" is expected`},
		{"1600", Length, MissingUnit, `1600 has no unit; a length such as "1600 mm" is expected`},
		{"0", Length, MissingUnit, `0 has no unit; a length such as "1600 mm" is expected`},
		{"10 mm/5 mm", Length, WrongDimension, `10 mm/5 mm is a ratio; a length such as "1600 mm" is expected`},
		{"3 kg", Ratio, WrongDimension, `3 kg is a mass; a plain number such as "0.85" is expected`},
		{"30 deg", Ratio, WrongDimension, `30 deg is an angle; a plain number such as "0.85" is expected`},
		{"50 N·m", RotationalStiffness, WrongDimension, `50 N·m is a torque; a rotational stiffness such as "50 kN·m/rad" is expected; write it per angle, as in N·m/rad`},
		{"100 lb", Force, WrongDimension, `100 lb is a mass; a force such as "500 N" is expected; write N, kN or lbf for a force`},
		{"5 kg·m", Stress, WrongDimension, `5 kg·m is a value in kg·m; a stress or modulus such as "210 GPa" is expected`},
		{"10 rad/s", Frequency, WrongDimension, `10 rad/s is an angular speed; a frequency or speed of rotation such as "3000 rpm" is expected; write rpm, Hz or 1/s`},
	} {
		_, err := ParseAs(c.text, c.as)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("%s as %s: %v", c.text, c.as.Word(), err)
		} else if e.Kind != c.kind || e.Error() != c.want {
			t.Errorf("%s: kind %d: %s\n\twant kind %d: %s", c.text, e.Kind, e, c.kind, c.want)
		}
	}
}

// TestForeignUnits makes sure that no unit with a hint is known all the same.
func TestForeignUnits(t *testing.T) {
	for word := range foreign {
		if symbolNamed[word] != nil {
			t.Errorf("%s is a known unit", word)
		}
		if e, ok := fault(t, "5 "+word); ok && (e.Kind != UnknownUnit || e.Suggestion != foreign[word]) {
			t.Errorf("%s: %v", word, e)
		}
	}
}
