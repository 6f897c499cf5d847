// Package quantity reads what a builder writes for a dimensioned value,
// "1600 mm", "1 5/8 in", "30 GPa ± 20 %", "(2200 mm - 2*60 mm)/3", and prints
// values in the trade's units.
//
// # What may be written
//
//	value   = sum | sum ± tolerance | sum .. sum
//	sum     = product { (+ | -) product }
//	product = factor { (* | × | /) factor }
//	factor  = [ + | - ] ( number [unit] | "(" value ")" [unit] )
//	number  = 12 | 1.5 | .5 | 2.2e3 | 5/8 | 1 5/8
//	unit    = symbol [power] { (· | . | * | /) symbol [power] } | 1/symbol ...
//
// The sign ± may be written +/- or +-. Space may stand anywhere but inside a
// number or a symbol.
//
// # What was ambiguous, and what was chosen
//
//   - A unit belongs to the number in front of it, before any arithmetic. A
//     slash or star that a unit symbol follows is part of the unit, "5 N/mm2";
//     one that a number or a parenthesis follows is arithmetic, "100 mm/2".
//   - A quotient of two plain numbers in front of a unit is a fraction: "5/8 in"
//     is five eighths of an inch, not five divided by eight inches. After a
//     division sign there is no fraction: "100 mm / 5/8" is 2.5 mm, from left to
//     right.
//   - In a unit each divisor has its own slash, "µm/m/K". A product after a slash
//     is refused, since readers differ over what "W/m·K" divides by.
//   - ± and .. bind loosest of all: they speak of the whole value or of the whole
//     parenthesis. What follows ± is one number with its unit.
//   - "± 20 %" is always a share of the value, so "10 % ± 20 %" is 8 % to 12 %.
//   - A plain number before ± or .. takes the unit after it: "120 ± 3 mm",
//     "0.9..1.4 kN". A parenthesis of plain numbers may take a unit:
//     "(120 ± 3) mm".
//   - Revolutions are counted, not measured as an angle: rpm and Hz are both 1/s,
//     and 60 rpm is 1/s. An angle keeps a dimension of its own, so that a torque
//     (N·m) is told from a rotational stiffness (N·m/rad), and rad/s from Hz.
//   - °C is a temperature on the Celsius scale where it is the whole unit of a
//     value, and cannot be calculated with. In a compound unit and after ± it is a
//     difference, the same as K.
//   - A range has the middle for its value, and is as likely anywhere in it. What is calculated with a range counts as one.
//
// Uncertainty goes through arithmetic as intervals, end against end.
package quantity

import "strconv"

// A Quantity is a value in SI with its bounds. Low ≤ Value ≤ High; all three are
// equal where no uncertainty is stated.
type Quantity struct {
	Value float64   // best value, in the SI unit of Dim [SI]
	Low   float64   // lower bound, in the SI unit of Dim [SI]
	High  float64   // upper bound, in the SI unit of Dim [SI]
	Dim   Dimension // what is measured
	Range bool      // anywhere between the bounds alike, as a .. b says; else the middle is likelier
}

// Uncertain reports whether the quantity has bounds apart from its value.
func (q Quantity) Uncertain() bool { return q.Low < q.High }

// Parse reads a value with its unit. An error is an *Error.
func Parse(text string) (Quantity, error) {
	v, err := parse(text)
	if err != nil {
		return Quantity{}, err
	}
	return v.Quantity, nil
}

// ParseAs reads a value that must have the dimension. An error is an *Error; one
// of kind WrongDimension or MissingUnit says what was found and what is wanted.
func ParseAs(text string, want Dimension) (Quantity, error) {
	v, err := parse(text)
	if err != nil {
		return Quantity{}, err
	}
	if v.Dim == want {
		return v.Quantity, nil
	}
	return Quantity{}, wrongDimension(text, v, want)
}

// parse reads the whole text.
func parse(text string) (operand, error) {
	if len(text) > longest {
		return operand{}, &Error{Kind: OutOfRange, Offset: longest,
			Message: "the value is longer than " + strconv.Itoa(longest) + " characters"}
	}
	p := parser{text: text}
	v, err := p.value()
	if err == nil {
		err = p.end()
	}
	if err != nil {
		return operand{}, err
	}
	return v, nil
}
