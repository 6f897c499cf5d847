package quantity

import "math"

// A unit turns a number into SI: number·up/down + offset. A quotient is kept
// because the metric factors below one have no exact binary form, and a division
// by a power of ten rounds right: 41 µm is the float nearest to 41e-6.
type unit struct {
	up, down float64
	offset   float64 // of the Celsius scale, on a unit that is °C alone
	dim      Dimension
	share    bool // %: after ± it means a share of the value
}

var none = unit{up: 1, down: 1}

// si returns a number of the unit in SI.
func (u unit) si(x float64) float64 { return u.difference(x) + u.offset }

// difference returns a number of the unit in SI without the scale's offset.
func (u unit) difference(x float64) float64 { return x * u.up / u.down }

// of returns an SI value as a number of the unit.
func (u unit) of(si float64) float64 { return (si - u.offset) * u.down / u.up }

// A symbol is a unit that has a sign of its own.
type symbol struct {
	text     string
	up, down float64
	dim      Dimension
	use      use
}

// A use says how a symbol may be put into a compound unit.
type use uint8

const (
	free    use = iota
	noPower     // may be multiplied and divided by, but not raised
	alone       // the whole unit
)

// The exact values of the customary units.
//
// Source: NIST SP 811 (2008), appendix B.8 and its footnotes: inch, foot, pound
// and horsepower (550 ft·lbf/s); standard gravity from appendix B.8, acceleration.
const (
	inch       = 0.0254                  // [m]
	foot       = 12 * inch               // [m]
	pound      = 0.45359237              // [kg]
	gravity    = 9.80665                 // [m/s2]
	poundForce = pound * gravity         // [N]
	horsepower = 550 * foot * poundForce // [W]

	celsiusZero = 273.15 // the zero of the Celsius scale [K], from appendix B.8
)

// symbols are all units with a sign of their own, the commonest first: of two
// that are equally near to a misspelt one, the first is proposed.
var symbols = []symbol{
	{"mm", 1, 1e3, Length, free},
	{"m", 1, 1, Length, free},
	{"cm", 1, 1e2, Length, free},
	{"µm", 1, 1e6, Length, free}, // U+00B5, the micro sign
	{"μm", 1, 1e6, Length, free}, // U+03BC, the Greek letter
	{"um", 1, 1e6, Length, free},
	{"km", 1e3, 1, Length, free},
	{"in", 254, 1e4, Length, free},
	{"ft", 3048, 1e4, Length, free},

	{"kg", 1, 1, Mass, free},
	{"g", 1, 1e3, Mass, free},
	{"lb", pound, 1, Mass, free},
	{"t", 1e3, 1, Mass, free},

	{"N", 1, 1, Force, free},
	{"kN", 1e3, 1, Force, free},
	{"lbf", poundForce, 1, Force, free},
	{"ozf", poundForce, 16, Force, free},

	{"GPa", 1e9, 1, Stress, free},
	{"MPa", 1e6, 1, Stress, free},
	{"kPa", 1e3, 1, Stress, free},
	{"Pa", 1, 1, Stress, free},
	{"psi", poundForce / (inch * inch), 1, Stress, free},
	{"ksi", 1000 * poundForce / (inch * inch), 1, Stress, free},

	{"Nm", 1, 1, Torque, noPower},
	{"Nmm", 1, 1e3, Torque, noPower},
	{"kNm", 1e3, 1, Torque, noPower},

	{"rpm", 1, 60, Frequency, noPower},
	{"Hz", 1, 1, Frequency, free},
	{"s", 1, 1, Time, free},
	{"min", 60, 1, Time, free},
	{"h", 3600, 1, Time, free},

	{"W", 1, 1, Power, free},
	{"kW", 1e3, 1, Power, free},
	{"hp", horsepower, 1, Power, free},

	{"A", 1, 1, Current, free},
	{"mA", 1, 1e3, Current, free},
	{"V", 1, 1, Voltage, noPower},
	{"kV", 1e3, 1, Voltage, noPower},

	{"deg", math.Pi, 180, Angle, noPower},
	{"°", math.Pi, 180, Angle, noPower},
	{"rad", 1, 1, Angle, free},

	{"K", 1, 1, Temperature, free},
	{"°C", 1, 1, Temperature, noPower},

	{"L", 1, 1e3, Volume, noPower},
	{"l", 1, 1e3, Volume, noPower},

	{"%", 1, 1e2, Ratio, alone},
	{"ppm", 1, 1e6, Ratio, noPower},
}

var symbolNamed = func() map[string]*symbol {
	index := make(map[string]*symbol, len(symbols))
	for i := range symbols {
		index[symbols[i].text] = &symbols[i]
	}
	return index
}()

// times returns the product with the power n of a symbol.
func (u unit) times(s *symbol, n int) (unit, bool) {
	up, down := s.up, s.down
	if n < 0 {
		up, down = down, up
	}
	for range max(n, -n) {
		u.up *= up
		u.down *= down
	}
	var ok bool
	u.dim, ok = u.dim.times(s.dim, n)
	return u, ok
}

// unitStarts reports whether a unit stands at the cursor, "mm", "/K" or "1/K".
func (p *parser) unitStarts() bool {
	switch r := p.peek(); {
	case r == '%' || isSymbol(r):
		return true
	case r == '/':
		return p.symbolAfter(1)
	case r == '1':
		ahead := parser{text: p.text, at: p.at + 1}
		ahead.space()
		return ahead.peek() == '/' && ahead.symbolAfter(1)
	}
	return false
}

// symbolAfter reports whether a unit symbol follows n bytes and any space.
func (p *parser) symbolAfter(n int) bool {
	ahead := parser{text: p.text, at: p.at + n}
	ahead.space()
	return isSymbol(ahead.peek())
}

// unit reads a unit, "N·m/rad", "1/K" or "/K".
func (p *parser) unit() (unit, *Error) {
	u, start := none, p.at
	if p.peek() == '%' {
		p.at++
		u, _ = u.times(symbolNamed["%"], 1)
		u.share = true
		return u, nil
	}
	if p.peek() == '1' {
		p.at++
		p.space()
	}
	power, divided := 1, false
	if p.take("/") {
		p.space()
		power, divided = -1, true
	}
	for factors := 1; ; factors++ {
		s, n, err := p.raisedSymbol()
		if err != nil {
			return none, err
		}
		var ok bool
		if u, ok = u.times(s, power*n); !ok {
			return none, p.fault(OutOfRange, start, "the unit's power is too high")
		}
		if s.text == "°C" && factors == 1 && power == 1 {
			u.offset = celsiusZero
		}
		unitEnd := p.at
		joint := p.joint()
		if joint == 0 {
			p.at = unitEnd
			return u, p.afterUnit(start)
		}
		u.offset = 0
		if joint == '*' && divided {
			return none, &Error{Kind: Syntax, Offset: unitEnd, Found: p.text[start:p.at],
				Message: "the unit has a product after a slash, which can be read in two ways", Suggestion: "a slash before each divisor, as in µm/m/K"}
		}
		power = 1
		if joint == '/' {
			power, divided = -1, true
		}
	}
}

// joint reads what joins two symbols of a unit and the space round it; it
// returns '*', '/' or 0 for none.
func (p *parser) joint() rune {
	p.space()
	size, joint := 1, '*'
	switch p.peek() {
	case '/':
		joint = '/'
	case '.':
		if p.at+1 >= len(p.text) || !isSymbol(p.peekAt(p.at+1)) {
			return 0
		}
	case '*':
	case '·', '×':
		size = len("·")
	case '⋅':
		size = len("⋅")
	default:
		return 0
	}
	if !p.symbolAfter(size) {
		return 0
	}
	p.at += size
	p.space()
	return joint
}

// raisedSymbol reads a symbol and its power, "mm2", "s^-1", "m⁴".
func (p *parser) raisedSymbol() (*symbol, int, *Error) {
	start := p.at
	for r := p.peek(); isSymbol(r) && (r != '°' || p.at == start); r = p.peek() {
		p.advance()
	}
	word := p.text[start:p.at]
	n, raised, ok := p.power()
	s := symbolNamed[word]
	switch {
	case s == nil:
		return nil, 0, p.unknownUnit(start, word)
	case !ok || raised && s.use != free:
		return nil, 0, p.fault(UnknownUnit, start, "the unit "+quote(p.text[start:p.at])+" has no meaning")
	}
	return s, n, nil
}

// power reads the power that follows a symbol, 1 if there is none. Not ok means
// that the digits make no power.
func (p *parser) power() (n int, raised, ok bool) {
	sign := 1
	switch r := p.peek(); {
	case isDigit(r):
	case r == '^':
		p.at++
		if p.take("-") || p.take("−") {
			sign = -1
		}
	default:
		return p.superscript()
	}
	first := p.at
	for isDigit(p.peek()) {
		n = min(10*n+int(p.text[p.at]-'0'), highest+1)
		p.at++
	}
	return sign * n, true, p.at > first && n > 0 && n <= highest && (n > 1 || sign < 0)
}

// superscript reads a power in raised digits.
func (p *parser) superscript() (n int, raised, ok bool) {
	start, sign := p.at, 1
	if p.take("⁻") {
		sign = -1
	}
	for {
		digit := superscriptDigit(p.peek())
		if digit < 0 {
			break
		}
		n = min(10*n+digit, highest+1)
		p.advance()
	}
	if p.at == start {
		return 1, false, true
	}
	return sign * n, true, n > 0 && n <= highest && (n > 1 || sign < 0)
}

func superscriptDigit(r rune) int {
	switch {
	case r == '¹':
		return 1
	case r == '²' || r == '³':
		return int(r-'²') + 2
	case r >= '⁴' && r <= '⁹':
		return int(r-'⁴') + 4
	}
	return -1
}

// afterUnit refuses a second unit after a unit.
func (p *parser) afterUnit(start int) *Error {
	end := p.at
	p.space()
	r := p.peek()
	if !isSymbol(r) && r != '%' {
		p.at = end
		return nil
	}
	next := p.at
	for isSymbol(p.peek()) {
		p.advance()
	}
	e := p.fault(Syntax, next, quote(p.text[next:p.at])+" follows the unit "+p.text[start:end])
	e.Suggestion = "units joined with · or /, as in N·m"
	if word := p.text[next:p.at]; word == "x" || word == "X" {
		e.Suggestion = "* to multiply"
	}
	return e
}
