package quantity

import "strings"

// An operand is a part of a value, with what its neighbours need to know.
type operand struct {
	Quantity
	start, end int  // where it stands in the text
	bare       bool // no unit in it yet
	single     bool // one number with its unit, so that the unit can be shared
	fraction   bool // the number was a fraction
	celsius    bool // on the Celsius scale
	unit       unit // of a single one
	unitAt     int  // where the unit starts
}

// value reads a sum with its uncertainty.
func (p *parser) value() (operand, *Error) {
	p.space()
	start := p.at
	v, err := p.sum()
	if err != nil {
		return v, err
	}
	p.space()
	mark := p.at
	switch {
	case p.plusMinus():
		v, err = p.tolerance(v, mark)
	case p.take(".."):
		v, err = p.upTo(v)
	default:
		return v, nil
	}
	if err != nil {
		return v, err
	}
	v.start, v.end = start, p.at
	p.space()
	if p.plusMinus() || p.take("..") {
		return v, p.fault(BadUncertainty, mark, "the value has an uncertainty twice")
	}
	if r := p.peek(); strings.ContainsRune("+-*/×−", r) {
		e := p.fault(BadUncertainty, p.at, "arithmetic follows an uncertainty")
		e.Suggestion = "parentheses round the value with its uncertainty, as in (" + p.quoted(v) + ")"
		return v, e
	}
	return v, nil
}

// plusMinus moves over a sign of uncertainty.
func (p *parser) plusMinus() bool {
	if p.take("±") || p.take("+/-") || p.take("+/−") {
		return true
	}
	return p.take("+-") || p.take("+−")
}

// tolerance reads what follows ±.
func (p *parser) tolerance(v operand, mark int) (operand, *Error) {
	p.space()
	if r := p.peek(); r == '-' || r == '−' {
		return v, p.fault(BadUncertainty, p.at, "the tolerance is negative")
	}
	if !p.numberStarts() {
		return v, p.unexpected("a tolerance such as \"3 mm\" or \"20 %\" is expected after ±")
	}
	tol, err := p.single(true, 1)
	if err != nil {
		return v, err
	}
	half := tol.Value - tol.unit.offset
	switch {
	case tol.unit.share && v.celsius:
		e := p.fault(BadUncertainty, tol.start, "a share of a temperature in °C has no meaning")
		e.Suggestion = "± with K or °C"
		return v, e
	case tol.unit.share:
		half *= max(v.Value, -v.Value)
	case v.bare && !tol.bare:
		v = v.in(tol.unit)
	case tol.bare && !v.bare:
		unit := p.unitOf(v)
		e := p.fault(MissingUnit, tol.start, "the tolerance "+p.quoted(tol)+" has no unit")
		e.Suggestion = "± " + p.quoted(tol) + " " + unit + " or ± " + p.quoted(tol) + " %"
		return v, e
	case tol.Dim != v.Dim:
		return v, p.mismatch(v, tol, "the tolerance of one cannot be the other")
	}
	v.Low -= half
	v.High += half
	v.single = false
	return v, p.check(&v, mark)
}

// upTo reads what follows the .. of a range.
func (p *parser) upTo(low operand) (operand, *Error) {
	p.space()
	high, err := p.sum()
	if err != nil {
		return low, err
	}
	switch {
	case low.bare && high.single && !high.bare:
		low = low.in(high.unit)
	case high.bare && !low.bare:
		e := p.fault(MissingUnit, high.start, "the upper bound "+p.quoted(high)+" has no unit")
		e.Suggestion = p.quoted(high) + " " + p.unitOf(low)
		return low, e
	case low.Dim != high.Dim:
		return low, p.mismatch(low, high, "they cannot be the ends of one range")
	}
	if low.Low > high.High {
		e := p.fault(BadUncertainty, low.start, "the range goes from high to low")
		e.Suggestion = "the lower bound first"
		return low, e
	}
	v := low
	v.High = high.High
	v.Value = v.Low/2 + v.High/2
	v.Range = true
	v.bare = low.bare && high.bare
	v.celsius = low.celsius || high.celsius
	v.single = false
	return v, p.check(&v, low.start)
}

// in gives a plain operand a unit.
func (v operand) in(u unit) operand {
	v.Value, v.Low, v.High = u.si(v.Value), u.si(v.Low), u.si(v.High)
	v.Dim = u.dim
	v.bare = false
	v.celsius = u.offset != 0
	return v
}

// unitOf returns the unit of an operand as written, or its SI unit.
func (p *parser) unitOf(v operand) string {
	if v.single && v.unitAt < v.end {
		return p.text[v.unitAt:v.end]
	}
	return v.Dim.String()
}

// sum reads products joined by + and -.
func (p *parser) sum() (operand, *Error) {
	left, err := p.product()
	for err == nil {
		p.space()
		sign, mark := 0.0, p.at
		if next := *p; !next.plusMinus() {
			switch {
			case p.take("+"):
				sign = 1
			case p.take("-") || p.take("−"):
				sign = -1
			}
		}
		if sign == 0 {
			return left, nil
		}
		var right operand
		if right, err = p.product(); err != nil {
			return left, err
		}
		left, err = p.add(left, right, sign, mark)
	}
	return left, err
}

// product reads factors joined by *, × and /.
func (p *parser) product() (operand, *Error) {
	left, err := p.factor(true)
	for err == nil {
		p.space()
		mark := p.at
		divide := p.take("/")
		if !divide && !p.take("*") && !p.take("×") {
			return left, nil
		}
		var right operand
		if right, err = p.factor(!divide); err != nil {
			return left, err
		}
		if divide {
			left, err = p.divide(left, right, mark)
		} else {
			left, err = p.multiply(left, right, mark)
		}
	}
	return left, err
}

// factor reads a number with its unit, or a parenthesis, either with a sign.
func (p *parser) factor(fraction bool) (operand, *Error) {
	p.space()
	start, sign := p.at, 1.0
	if p.take("-") || p.take("−") {
		sign = -1
	} else {
		p.take("+")
	}
	p.space()
	if p.numberStarts() {
		v, err := p.single(fraction, sign)
		v.start = start
		return v, err
	}
	if p.peek() != '(' {
		e := p.unexpected("a number is expected")
		if isSymbol(p.peekAt(e.Offset)) {
			e.Suggestion = "a number before the unit, or · between units"
		}
		return operand{}, e
	}
	v, err := p.parenthesis()
	v.start = start
	if err == nil && sign < 0 {
		if v.celsius {
			return v, p.noCelsius(v)
		}
		v.Value, v.Low, v.High = -v.Value, -v.High, -v.Low
	}
	return v, err
}

// parenthesis reads a value in parentheses; a plain one may take a unit.
func (p *parser) parenthesis() (operand, *Error) {
	open := p.at
	if p.depth == deepest {
		return operand{}, p.fault(OutOfRange, open, "there are more than 20 parentheses within each other")
	}
	p.at++
	p.depth++
	v, err := p.value()
	p.depth--
	if err != nil {
		return v, err
	}
	p.space()
	if !p.take(")") {
		if p.at < len(p.text) {
			return v, p.unexpected("a closing parenthesis is expected")
		}
		return v, p.fault(Syntax, open, "the parenthesis is not closed")
	}
	v.single = false
	v.end = p.at
	p.space()
	if !p.unitStarts() {
		p.at = v.end
		return v, nil
	}
	if !v.bare {
		return v, p.unexpected("the value in the parentheses has a unit already")
	}
	mark := p.at
	u, err := p.unit()
	if err != nil {
		return v, err
	}
	v = v.in(u)
	v.end = p.at
	return v, p.check(&v, mark)
}

// single reads one number with its unit. A fraction is read where allowed.
func (p *parser) single(fraction bool, sign float64) (operand, *Error) {
	v := operand{start: p.at, single: true, bare: true, unit: none}
	x, err := p.number()
	if err != nil {
		return v, err
	}
	v.end = p.at
	p.space()
	switch {
	case isDigit(p.peek()) && !p.unitStarts():
		x, err = p.mixed(v.start, x)
		v.fraction, v.end = true, p.at
	case fraction && p.peek() == '/':
		var of float64
		if of, v.fraction, err = p.fractionOf(x); v.fraction {
			x, v.end = of, p.at
		}
	}
	if err != nil {
		return v, err
	}
	p.space()
	if p.unitStarts() {
		v.unitAt = p.at
		if v.unit, err = p.unit(); err != nil {
			return v, err
		}
		v.end = p.at
		v.bare = false
		v.celsius = v.unit.offset != 0
		v.Dim = v.unit.dim
	}
	p.at = v.end
	x = v.unit.si(sign * x)
	v.Value, v.Low, v.High = x, x, x
	return v, p.check(&v, v.start)
}

// mixed reads the fraction that follows a whole number, "1 5/8".
func (p *parser) mixed(start int, whole float64) (float64, *Error) {
	first := p.at
	isWhole := !strings.ContainsAny(p.text[start:first], ".eE")
	p.digits()
	above := p.text[first:p.at]
	mark := p.at
	if isWhole && p.take("/") && p.digits() {
		below := p.text[mark+1 : p.at]
		if r := p.peek(); r != '.' || p.peekAt(p.at+1) == '.' {
			x := decimal(below)
			if x == 0 {
				return 0, p.fault(DivisionByZero, mark, "the fraction "+p.text[first:p.at]+" divides by zero")
			}
			return whole + decimal(above)/x, nil
		}
	}
	p.at = mark
	e := p.fault(Syntax, first, "a unit or an operator is expected, but a second number follows")
	if len(above) == 3 {
		e.Suggestion = strings.Join(strings.Fields(p.text[start:mark]), "") + ", if a space parts the thousands"
	}
	return 0, e
}

// decimal returns the value of digits, which the scanner has checked.
func decimal(digits string) float64 {
	x := 0.0
	for _, d := range digits {
		x = 10*x + float64(d-'0')
	}
	return x
}

// fractionOf reads the divisor of a fraction and stops before its unit. It does
// not move where no unit follows: then the slash is arithmetic.
func (p *parser) fractionOf(above float64) (float64, bool, *Error) {
	slash := p.at
	p.at++
	p.space()
	if !p.numberStarts() {
		p.at = slash
		return 0, false, nil
	}
	first := p.at
	below, err := p.number()
	if err != nil {
		return 0, false, err
	}
	end := p.at
	p.space()
	if !p.unitStarts() {
		p.at = slash
		return 0, false, nil
	}
	p.at = end
	if below == 0 {
		return 0, false, p.fault(DivisionByZero, slash, "division by zero ("+p.text[first:end]+")")
	}
	return above / below, true, nil
}

// end refuses anything after the value.
func (p *parser) end() *Error {
	p.space()
	if p.at == len(p.text) {
		return nil
	}
	if p.peek() == ')' {
		return p.fault(Syntax, p.at, "there is a closing parenthesis too many")
	}
	return p.unexpected("an operator or the end is expected")
}
