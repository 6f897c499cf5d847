package quantity

import (
	"strings"
	"unicode/utf8"

	"ironbed/spec/nearest"
)

// A Kind sorts errors by what the builder has to mend.
type Kind int

// The kinds of error.
const (
	Syntax         Kind = iota // not a value as it stands
	UnknownUnit                // a unit that is not known
	MissingUnit                // a plain number where a unit is needed
	WrongDimension             // a length where a mass is wanted, or their sum
	BadUncertainty             // a tolerance or range without meaning
	DivisionByZero             // by zero, or by an uncertain value that contains zero
	OutOfRange                 // too large a number, too long or too deep a text
)

// An Error says what is wrong with a value and where.
type Error struct {
	Offset     int // in bytes from the start of the text
	Kind       Kind
	Found      string // the part of the text that it is about
	Message    string // a sentence without a full stop
	Suggestion string // what to write instead; empty for none
}

// Error returns the message with the suggestion.
func (e *Error) Error() string {
	switch {
	case e.Suggestion == "":
		return e.Message
	case e.Kind == UnknownUnit:
		return e.Message + "; did you mean " + e.Suggestion + "?"
	}
	return e.Message + "; write " + e.Suggestion
}

// fault returns an error about the text from an offset to the cursor.
func (p *parser) fault(kind Kind, at int, message string) *Error {
	return &Error{Kind: kind, Offset: at, Found: p.text[min(at, p.at):p.at], Message: message}
}

// quote puts a part of the text in quotes, shortened if it is long.
func quote(text string) string { return `"` + short(text) + `"` }

func short(text string) string {
	const most = 40
	text = strings.ToValidUTF8(strings.TrimSpace(text), "?")
	if utf8.RuneCountInString(text) <= most {
		return text
	}
	return string([]rune(text)[:most]) + "…"
}

// quoted returns an operand as it was written.
func (p *parser) quoted(v operand) string { return short(p.text[v.start:v.end]) }

// mended are characters that mean something to people but not here.
var mended = map[rune]string{
	'"': "in for inches", '”': "in for inches", '″': "in for inches",
	'\'': "ft for feet", '’': "ft for feet", '′': "ft for feet",
	'–': ".. for a range or - for a difference", '—': ".. for a range or - for a difference",
	'…': ".. for a range", '~': "± for an uncertainty", ':': "/ to divide", '÷': "/ to divide",
	'·': "* to multiply", '½': "1/2", '¼': "1/4", '¾': "3/4",
}

// unexpected returns an error about the character at the cursor.
func (p *parser) unexpected(message string) *Error {
	if p.at >= len(p.text) {
		if strings.TrimSpace(p.text) == "" {
			return p.fault(Syntax, 0, "the value is empty")
		}
		return p.fault(Syntax, p.at, message+" at the end")
	}
	at, r := p.at, p.peek()
	p.advance()
	for isSymbol(r) && isSymbol(p.peek()) {
		p.advance()
	}
	e := p.fault(Syntax, at, message+", not "+quote(p.text[at:p.at]))
	e.Suggestion = mended[r]
	return e
}

// mismatch returns an error about two operands of different dimensions.
func (p *parser) mismatch(left, right operand, verdict string) *Error {
	e := p.fault(WrongDimension, right.start,
		p.quoted(left)+" is "+left.word()+" and "+p.quoted(right)+" is "+right.word()+"; "+verdict)
	e.Found = p.quoted(right)
	return e
}

// word tells a number without a unit from one with a unit that cancels out.
func (v operand) word() string {
	if v.Dim == Ratio && !v.bare {
		return "a ratio"
	}
	return v.Dim.Word()
}

func (p *parser) noCelsius(v operand) *Error {
	e := p.fault(WrongDimension, v.start, "a temperature in °C cannot be calculated with")
	e.Found, e.Suggestion = p.quoted(v), "it in K"
	return e
}

// slips are dimensions that are often given for another.
var slips = map[[2]Dimension]string{
	{Torque, RotationalStiffness}: "it per angle, as in N·m/rad",
	{Mass, Force}:                 "N, kN or lbf for a force",
	{massLength, Torque}:          "lbf·ft, lbf·in or N·m for a torque",
	{angularSpeed, Frequency}:     "rpm, Hz or 1/s",
	{Mass, Acceleration}:          "m/s2 (g is the gram)",
	{Length, Speed}:               "it per time, as in mm/min",
}

// wrongDimension returns the error of a value that is sound but is not what is
// wanted.
func wrongDimension(text string, v operand, want Dimension) *Error {
	found := short(text)
	if v.bare {
		return &Error{Kind: MissingUnit, Found: found,
			Message: found + " has no unit; " + want.Word() + " such as " + want.Example() + " is expected"}
	}
	return &Error{Kind: WrongDimension, Found: found,
		Message:    found + " is " + v.word() + "; " + want.Word() + " such as " + want.Example() + " is expected",
		Suggestion: slips[[2]Dimension{v.Dim, want}]}
}

// foreign are units that people write and that are not known here, with the
// known ones that come nearest in meaning rather than in spelling.
var foreign = map[string]string{
	"nm": "N·m or mm", "NM": "N·m", "mN": "N", "oz": "ozf for a force (ozf·in for a torque)", "lbs": "lb or lbf",
	"inch": "in", "inches": "in", "foot": "ft", "feet": "ft", "thou": "in", "mil": "in", "mils": "in",
	"micron": "µm", "microns": "µm", "u": "µm", "µ": "µm", "μ": "µm",
	"meter": "m", "metre": "m", "meters": "m", "metres": "m", "yd": "ft",
	"gram": "g", "grams": "g", "tonne": "t", "tonnes": "t", "ton": "t", "tons": "t",
	"kgf": "N (1 kgf is 9.807 N)", "kp": "N (1 kp is 9.807 N)", "kip": "lbf",
	"bar": "kPa (1 bar is 100 kPa)", "J": "N·m", "kJ": "kN·m",
	"sec": "s", "seconds": "s", "hr": "h", "hour": "h", "hours": "h", "minute": "min", "minutes": "min",
	"rev": "rpm, or mm for a screw's lead", "U": "rpm, or mm for a screw's lead",
	"degree": "deg", "degrees": "deg", "C": "°C", "degC": "°C", "°F": "°C or K", "F": "°C or K",
	"HP": "hp", "PS": "kW (1 PS is 0.7355 kW)", "ml": "cm3", "mL": "cm3", "liter": "L", "litre": "L",
	"percent": "%", "ms": "s", "mrad": "rad", "ipm": "in/min", "fpm": "ft/min", "sfm": "ft/min",
}

// unknownUnit returns the error of a unit that is not known, with the nearest
// one that is.
func (p *parser) unknownUnit(start int, word string) *Error {
	e := &Error{Kind: UnknownUnit, Offset: start, Found: word, Message: "unknown unit " + quote(word)}
	if known, ok := foreign[word]; ok {
		e.Suggestion = known
		return e
	}
	if strings.TrimLeft(word, "xX") == "" {
		e.Suggestion = "* to multiply"
		return e
	}
	e.Suggestion = nearestSymbol(word)
	return e
}

// nearestSymbol returns the symbol that is closest to a word, or "" if none is close.
// Case counts least; a short symbol allows one wrong letter, a longer one two, and some
// letter has to be right.
func nearestSymbol(word string) string {
	const longestWord = 12
	if len(word) > longestWord {
		return ""
	}
	var known []string
	for _, s := range symbols {
		if s.text != "%" {
			known = append(known, s.text)
		}
	}
	return nearest.First(nearest.Words(word, known, func(symbol string) int {
		allowed := 1
		if len(symbol) > 3 {
			allowed = 2
		}
		return min(allowed, len([]rune(word))-1)
	}))
}
