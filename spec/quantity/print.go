package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Number prints a value with three significant digits, zeros at the end included: what
// stands behind them is not known of anything that was computed. A value that is round
// as it stands, as those that people write are, is printed as it is: "1225", "0.8". A
// number is never in a form that a workshop reader must decode while a plain one fits.
func Number(v float64) string {
	if v == 0 {
		return "0"
	}
	if s, ok := round(v); ok {
		return s
	}
	return significant(v, 3)
}

// round prints a value that is a whole number of no more than six digits, or has no more
// than four significant digits, but for the noise of rounding.
func round(v float64) (string, bool) {
	near := func(w float64) bool { return math.Abs(w-v) <= 1e-9*math.Abs(v) }
	if w := math.Round(v); near(w) && math.Abs(w) < 1e6 {
		return strconv.FormatFloat(w, 'f', 0, 64), true
	}
	if a := math.Abs(v); a >= 1e3 || a < 1e-3 {
		return "", false
	}
	s := significant(v, 4)
	if w, err := strconv.ParseFloat(s, 64); err != nil || !near(w) {
		return "", false
	}
	return strings.TrimRight(s, "0"), true
}

// significant prints a value with so many significant digits.
func significant(v float64, digits int) string {
	v = Tipped(v)
	s := strconv.FormatFloat(v, 'e', digits-1, 64)
	mantissa, power, _ := strings.Cut(s, "e")
	exponent, _ := strconv.Atoi(power)
	if exponent >= 7 || exponent < -4 {
		return mantissa + "·10" + superscript(exponent)
	}
	rounded, _ := strconv.ParseFloat(s, 64) // of a number that was printed just now
	return strconv.FormatFloat(rounded, 'f', max(0, digits-1-exponent), 64)
}

// Tipped is a number that is about to be rounded: one that lies halfway between two
// printed ones goes away from zero, whatever its last bits.
func Tipped(v float64) float64 { return v * (1 + 5e-11) }

// Round rounds to a whole number; a half goes away from zero, whatever its last bits.
func Round(v float64) float64 { return math.Round(Tipped(v)) }

var superscripts = strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³",
	"4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

func superscript(n int) string { return superscripts.Replace(strconv.Itoa(n)) }

// Measure prints a value with its unit.
func Measure(v float64, unit string) string {
	if unit == "" {
		return Number(v)
	}
	return Number(v) + " " + powers.Replace(unit)
}

// powers writes powers of units as a reader does; a spec may write them flat.
var powers = strings.NewReplacer("m2", "m²", "m3", "m³", "m4", "m⁴", "s2", "s²")

// Convert turns an SI value into a unit of the trade.
func Convert(si float64, unit string) float64 {
	switch unit {
	case "", "J", "K": // SI already, and no spec is written in them
		return si
	}
	v, err := In(si, unit)
	if err != nil {
		panic(err) // the units are ours
	}
	return v
}

// Print prints an SI value in a unit of the trade.
func Print(si float64, unit string) string { return Measure(Convert(si, unit), unit) }

// Settle makes a number that is nothing but rounding noise zero: millionths of
// a per cent of a share, or of a millimetre.
func Settle(v float64) float64 {
	if math.Abs(v) < 1e-9 {
		return 0
	}
	return v
}

// RoundDown rounds a number of a cut down to a few digits: what a machinist dials in.
func RoundDown(v float64, digits int) float64 {
	if v <= 0 {
		return 0
	}
	scale := math.Pow(10, math.Floor(math.Log10(v))+1-float64(digits))
	return math.Floor(v/scale+1e-9) * scale
}

// Percent prints a share as a whole percentage.
func Percent(share float64) string { return fmt.Sprintf("%.0f %%", Tipped(100*share)) }
