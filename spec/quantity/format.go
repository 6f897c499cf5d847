package quantity

import (
	"math"
	"strconv"
	"strings"
)

// In converts an SI value to a unit. An error means that the unit is not known or
// that the value is not finite; it is an *Error.
func In(si float64, text string) (float64, error) {
	u, err := unitNamed(text)
	if err != nil {
		return 0, err
	}
	x := u.of(si)
	if !finite(x) {
		return 0, &Error{Kind: OutOfRange, Found: text, Message: "the value in " + text + " is not finite"}
	}
	return x, nil
}

// unitNamed reads a text that is a unit and nothing else; "" is the unit of
// plain numbers.
func unitNamed(text string) (unit, *Error) {
	if text == "" {
		return none, nil
	}
	p := parser{text: text}
	if !p.unitStarts() {
		return none, p.unexpected("a unit is expected")
	}
	u, err := p.unit()
	if err != nil {
		return none, err
	}
	if err := p.end(); err != nil {
		return none, err
	}
	return u, nil
}

// Format prints an SI value in a unit with four significant digits at most:
// "1600 mm". Parse reads it again. A value that cannot be converted is printed as
// "not finite" or, with a unit that is not known, in SI.
func Format(si float64, unit string) string {
	x, err := In(si, unit)
	if err != nil {
		if !finite(si) {
			return "not finite"
		}
		return number(si) + " in SI"
	}
	return number(x) + spaced(unit)
}

// FormatRange prints two SI bounds in a unit: "0.9..1.4 kN". Bounds that print
// alike are printed once.
func FormatRange(low, high float64, unit string) string {
	a, errLow := In(low, unit)
	b, errHigh := In(high, unit)
	if errLow != nil || errHigh != nil {
		return Format(low, unit) + ".." + Format(high, unit)
	}
	from, to := number(a), number(b)
	if from == to {
		return from + spaced(unit)
	}
	return from + ".." + to + spaced(unit)
}

// spaced puts the space before a unit; the degree sign stands without one.
func spaced(unit string) string {
	if unit == "" || unit == "°" {
		return unit
	}
	return " " + unit
}

// number prints four significant digits without idle zeros, with an exponent only
// where a plain number would be mostly zeros.
func number(x float64) string {
	if x == 0 {
		return "0" // and not "-0"
	}
	const digits = 4
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', digits-1, 64), 64)
	if err != nil {
		rounded = x // a rounding up to infinity
	}
	if a := math.Abs(rounded); a >= 1e-6 && a < 1e9 {
		return strconv.FormatFloat(rounded, 'f', -1, 64)
	}
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(rounded, 'e', -1, 64), "e")
	power, sign := exponent[1:], strings.TrimPrefix(exponent[:1], "+")
	return mantissa + "e" + sign + strings.TrimLeft(power, "0")
}
