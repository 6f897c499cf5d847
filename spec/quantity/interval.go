package quantity

import "math"

// add returns left + sign·right.
func (p *parser) add(left, right operand, sign float64, mark int) (operand, *Error) {
	if err := p.plain(left, right); err != nil {
		return left, err
	}
	if left.Dim != right.Dim {
		verb := "they cannot be added"
		if sign < 0 {
			verb = "they cannot be subtracted"
		}
		e := p.mismatch(left, right, verb)
		if sign < 0 && left.single && left.bare && right.fraction {
			e.Suggestion = p.quoted(left) + " " + p.quoted(right)
		}
		return left, e
	}
	low, high := right.Low, right.High
	if sign < 0 {
		low, high = -high, -low
	}
	left.Value += sign * right.Value
	left.Low += low
	left.High += high
	return p.joined(left, right, mark)
}

// multiply returns left·right. The bounds of a product are among the products
// of the bounds.
func (p *parser) multiply(left, right operand, mark int) (operand, *Error) {
	if err := p.plain(left, right); err != nil {
		return left, err
	}
	var ok bool
	if left.Dim, ok = left.Dim.times(right.Dim, 1); !ok {
		return left, p.fault(OutOfRange, mark, "the product's power is too high")
	}
	a, b, c, d := left.Low*right.Low, left.Low*right.High, left.High*right.Low, left.High*right.High
	left.Value *= right.Value
	left.Low, left.High = min(a, b, c, d), max(a, b, c, d)
	return p.joined(left, right, mark)
}

// divide returns left/right. A divisor that may be zero is refused: the bounds
// would be without end.
func (p *parser) divide(left, right operand, mark int) (operand, *Error) {
	if err := p.plain(left, right); err != nil {
		return left, err
	}
	if right.Low <= 0 && right.High >= 0 {
		message := "division by zero (" + p.quoted(right) + ")"
		if right.Uncertain() {
			message = "division by " + p.quoted(right) + ", which may be zero within its uncertainty"
		}
		return left, p.fault(DivisionByZero, right.start, message)
	}
	var ok bool
	if left.Dim, ok = left.Dim.times(right.Dim, -1); !ok {
		return left, p.fault(OutOfRange, mark, "the quotient's power is too high")
	}
	a, b, c, d := left.Low/right.Low, left.Low/right.High, left.High/right.Low, left.High/right.High
	left.Value /= right.Value
	left.Low, left.High = min(a, b, c, d), max(a, b, c, d)
	return p.joined(left, right, mark)
}

// plain refuses arithmetic with temperatures on the Celsius scale.
func (p *parser) plain(left, right operand) *Error {
	if left.celsius {
		return p.noCelsius(left)
	}
	if right.celsius {
		return p.noCelsius(right)
	}
	return nil
}

// joined closes an operation: the result is no longer a single number.
func (p *parser) joined(left, right operand, mark int) (operand, *Error) {
	left.end = right.end
	left.Range = left.Range || right.Range
	left.bare = left.bare && right.bare
	left.single, left.fraction = false, false
	return left, p.check(&left, mark)
}

// check refuses a result that is not finite and keeps rounding from putting a
// value outside its bounds.
func (p *parser) check(v *operand, at int) *Error {
	if !finite(v.Value) || !finite(v.Low) || !finite(v.High) {
		return p.fault(OutOfRange, at, "the value is too large")
	}
	v.Low, v.High = min(v.Low, v.Value), max(v.High, v.Value)
	return nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
