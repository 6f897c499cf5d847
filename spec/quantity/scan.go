package quantity

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

const (
	longest = 500 // bytes of a value
	deepest = 20  // parentheses within each other
)

// A parser reads one value. It looks ahead freely but never goes back further
// than over one fraction, so its time is proportional to the length.
type parser struct {
	text  string
	at    int // the cursor, in bytes
	depth int // open parentheses
}

// peek returns the character at the cursor, 0 at the end.
func (p *parser) peek() rune { return p.peekAt(p.at) }

func (p *parser) peekAt(at int) rune {
	if at >= len(p.text) {
		return 0
	}
	if c := p.text[at]; c < utf8.RuneSelf {
		return rune(c)
	}
	r, _ := utf8.DecodeRuneInString(p.text[at:])
	return r
}

// advance moves the cursor over one character.
func (p *parser) advance() {
	if p.at >= len(p.text) {
		return
	}
	if p.text[p.at] < utf8.RuneSelf {
		p.at++
		return
	}
	_, size := utf8.DecodeRuneInString(p.text[p.at:])
	p.at += size
}

// take moves over the text if it stands at the cursor.
func (p *parser) take(text string) bool {
	if !strings.HasPrefix(p.text[p.at:], text) {
		return false
	}
	p.at += len(text)
	return true
}

// space moves over white space, that of typesetters included.
func (p *parser) space() {
	for p.at < len(p.text) {
		c := p.text[p.at]
		if c == ' ' || c >= '\t' && c <= '\r' {
			p.at++
			continue
		}
		if c < utf8.RuneSelf {
			return
		}
		r, size := utf8.DecodeRuneInString(p.text[p.at:])
		if !unicode.Is(unicode.Z, r) {
			return
		}
		p.at += size
	}
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// isSymbol reports whether a unit's symbol may hold the character. % stands
// apart, since it joins with nothing.
func isSymbol(r rune) bool {
	if r < utf8.RuneSelf {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
	}
	return r == '°' || unicode.IsLetter(r)
}

// numberStarts reports whether a number stands at the cursor.
func (p *parser) numberStarts() bool {
	r := p.peek()
	return isDigit(r) || r == '.' && isDigit(p.peekAt(p.at+1))
}

// digits moves over digits and reports whether there were any.
func (p *parser) digits() bool {
	start := p.at
	for p.at < len(p.text) && isDigit(rune(p.text[p.at])) {
		p.at++
	}
	return p.at > start
}

// number reads a decimal number.
func (p *parser) number() (float64, *Error) {
	start := p.at
	p.digits()
	if p.peek() == '.' && p.peekAt(p.at+1) != '.' {
		p.at++
		if !p.digits() {
			return 0, p.fault(Syntax, p.at, "digits are expected after the decimal point")
		}
		if p.peek() == '.' && isDigit(p.peekAt(p.at+1)) {
			return 0, p.fault(Syntax, p.at, "the number has two decimal points")
		}
	}
	if r := p.peek(); r == 'e' || r == 'E' {
		mark := p.at
		p.at++
		if r := p.peek(); r == '+' || r == '-' {
			p.at++
		}
		if !p.digits() {
			p.at = mark
		}
	}
	if err := p.separator(start); err != nil {
		return 0, err
	}
	x, err := strconv.ParseFloat(p.text[start:p.at], 64)
	if err != nil {
		return 0, p.fault(OutOfRange, start, "the number "+p.text[start:p.at]+" is too large")
	}
	return x, nil
}

// separator refuses a comma or a mark of thousands that goes on with the number
// which ends at the cursor, and works out what was meant.
func (p *parser) separator(start int) *Error {
	mark, at := p.peek(), p.at
	if !isMark(mark) || !isDigit(p.peekAt(at+utf8.RuneLen(mark))) {
		return nil
	}
	for r := mark; r == mark || isDigit(r) || r == '.' && isDigit(p.peekAt(p.at+1)); r = p.peek() {
		p.advance()
	}
	found := p.text[start:p.at]
	e := &Error{Kind: Syntax, Offset: at, Found: found}
	joined := strings.ReplaceAll(found, string(mark), "")
	comma, point := strings.LastIndexByte(found, ','), strings.IndexByte(found, '.')
	switch {
	case mark != ',' || strings.Count(found, ",") > 1 || point > comma:
		e.Message, e.Suggestion = "the number "+found+" has marks between its thousands", joined
	case point >= 0 || len(found)-comma != 4:
		whole := strings.ReplaceAll(found[:comma], ".", "")
		e.Message, e.Suggestion = "the number "+found+" has a decimal comma", whole+"."+found[comma+1:]
	default:
		e.Message, e.Suggestion = "the number "+found+" has a comma", joined+" or "+found[:comma]+"."+found[comma+1:]
	}
	return e
}

func isMark(r rune) bool { return r == ',' || r == '\'' || r == '_' || r == '’' }
