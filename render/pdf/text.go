package pdf

import (
	"strings"
	"unicode"
)

// A span is a piece of text in one style.
type span struct {
	text  string
	style style
	size  length
	color tone
	link  string // where it leads, "" for nowhere
}

// A fragment is a piece of a line, in one style, at its place in the line.
type fragment struct {
	span
	x, width length
}

// A line is one line of text.
type line struct {
	fragments []fragment
	width     length
}

// An atom is text that a line does not break, and what follows it.
type atom struct {
	fragments []fragment
	width     length
	space     span // the space behind it; empty text for none
	hard      bool // a new line begins behind it
}

// A typesetter breaks text into lines.
type typesetter struct{ fonts *fontSet }

// longCode is the number of characters from which code may break inside.
const longCode = 26

// atoms cuts text at the places where a line may break: at spaces, after
// hyphens between letters, and inside long code after its punctuation. The
// space between a number and its unit is no such place.
func (t typesetter) atoms(spans []span) []atom {
	var list []atom
	var current atom
	flush := func() {
		if len(current.fragments) > 0 {
			list = append(list, current)
		}
		current = atom{}
	}
	for _, s := range spans {
		runes := []rune(t.fonts.printable(s.text))
		start := 0
		take := func(end int) {
			if end > start {
				piece := s
				piece.text = string(runes[start:end])
				current.add(piece, t.fonts.width(s.style, s.size, piece.text))
			}
			start = end
		}
		for i, r := range runes {
			switch {
			case r == '\n':
				take(i)
				current.hard = true
				list = append(list, current)
				current, start = atom{}, i+1
			case r == ' ' && binds(runes, i):
				runes[i] = '\u00a0'
			case r == ' ':
				take(i)
				start = i + 1
				space := s
				space.text = " "
				switch {
				case len(current.fragments) > 0:
					current.space = space
					flush()
				case len(list) > 0 && list[len(list)-1].space.text == "" && !list[len(list)-1].hard:
					list[len(list)-1].space = space
				}
			case breaksAfter(runes, i, s.style&mono != 0):
				take(i + 1)
				flush()
			}
		}
		take(len(runes))
	}
	flush()
	return list
}

func (a *atom) add(s span, width length) {
	a.fragments = append(a.fragments, fragment{span: s, x: a.width, width: width})
	a.width += width
}

// breaksAfter reports whether a line may break behind the character without a
// space.
func breaksAfter(runes []rune, i int, isCode bool) bool {
	if i == 0 || i == len(runes)-1 || runes[i+1] == ' ' {
		return false
	}
	if isCode {
		return len(runes) >= longCode && strings.ContainsRune("._/:,;=-", runes[i])
	}
	return runes[i] == '—' || runes[i] == '-' && unicode.IsLetter(runes[i-1]) && unicode.IsLetter(runes[i+1])
}

// unitWords are what may stand behind a number and belongs to it, beside words
// that have a fraction or a power in them.
var unitWords = map[string]bool{
	"%": true, "°": true, "°C": true, "K": true, "deg": true, "rad": true,
	"mm": true, "cm": true, "m": true, "µm": true, "l": true, "kg": true, "g": true, "t": true,
	"N": true, "kN": true, "Nm": true, "Pa": true, "kPa": true, "MPa": true, "GPa": true,
	"Hz": true, "W": true, "kW": true, "rpm": true, "V": true, "A": true, "s": true, "ms": true, "min": true, "h": true,
	"×": true, "±": true,
}

// binds reports whether the space at i joins a number to its unit or a
// dimension to the next, so that no line breaks there.
func binds(runes []rune, i int) bool {
	if i == 0 || i == len(runes)-1 {
		return false
	}
	if strings.ContainsRune("×±<>≤≥≈~", runes[i-1]) {
		return unicode.IsDigit(runes[i+1])
	}
	if runes[i+1] == '±' {
		return true
	}
	if i >= 4 && string(runes[i-2:i]) == "to" && runes[i-3] == '\u00a0' { // bound before "to"
		return isNumberStart(runes[i+1])
	}
	if !unicode.IsDigit(runes[i-1]) && runes[i-1] != '%' {
		return false
	}
	end := i + 1
	for end < len(runes) && runes[end] != ' ' && runes[end] != '\n' {
		end++
	}
	word := string(runes[i+1 : end])
	if word == "to" { // the bounds of a value: "(994 to 1116)"
		return end+1 < len(runes) && isNumberStart(runes[end+1])
	}
	word = strings.TrimRight(word, ".,;:)")
	return unitWords[word] || len([]rune(word)) <= 8 && strings.ContainsAny(word, "/·²³⁴")
}

func isNumberStart(r rune) bool { return unicode.IsDigit(r) || r == '-' || r == '−' }

// lines breaks text into lines of at most the width. There is at least one line.
func (t typesetter) lines(spans []span, width length) []line {
	var list []line
	var current line
	var gap span // the space owed before the next atom
	flush := func() {
		list = append(list, current)
		current, gap = line{}, span{}
	}
	atoms := t.atoms(spans)
	for i, a := range atoms {
		space := t.fonts.width(gap.style, gap.size, gap.text)
		need := a.width
		if gap.text != "" && a.fragments != nil && a.fragments[0].style&mono != 0 {
			// Code breaks inside only where a whole line is too short for it.
			if whole := run(atoms[i:]); whole <= width {
				need = whole
			}
		}
		if len(current.fragments) > 0 && current.width+space+need > width {
			flush()
			space = 0
		}
		if len(current.fragments) > 0 && gap.text != "" {
			current.add(gap, space)
		}
		for a.width > width && len(a.fragments) > 0 {
			head, tail := t.cut(a, width)
			current.append(head)
			flush()
			a = tail
		}
		current.append(a)
		gap = a.space
		if a.hard {
			flush()
		}
	}
	if len(current.fragments) > 0 || len(list) == 0 {
		flush()
	}
	return list
}

// run returns the width of the atoms up to the first space.
func run(atoms []atom) length {
	var sum length
	for _, a := range atoms {
		sum += a.width
		if a.space.text != "" || a.hard {
			break
		}
	}
	return sum
}

// cut divides an atom that is wider than a line. The head has at least one
// character.
func (t typesetter) cut(a atom, width length) (head, tail atom) {
	tail = atom{space: a.space, hard: a.hard}
	full := false
	for _, f := range a.fragments {
		runes := []rune(f.text)
		n := 0
		for !full && n < len(runes) {
			w := t.fonts.width(f.style, f.size, string(runes[:n+1]))
			if head.width+w > width && (n > 0 || len(head.fragments) > 0) {
				full = true
				break
			}
			n++
		}
		for i, part := range []string{string(runes[:n]), string(runes[n:])} {
			if part == "" {
				continue
			}
			piece := f.span
			piece.text = part
			w := t.fonts.width(f.style, f.size, part)
			if i == 0 {
				head.add(piece, w)
			} else {
				tail.add(piece, w)
			}
		}
	}
	return head, tail
}

// add puts text at the end of the line, joining it to a piece of the same style.
func (l *line) add(s span, width length) {
	if n := len(l.fragments); n > 0 {
		last := &l.fragments[n-1]
		joined := s
		joined.text = last.text
		if joined == last.span {
			last.text += s.text
			last.width += width
			l.width += width
			return
		}
	}
	l.fragments = append(l.fragments, fragment{span: s, x: l.width, width: width})
	l.width += width
}

func (l *line) append(a atom) {
	for _, f := range a.fragments {
		l.add(f.span, f.width)
	}
}

// extent returns the width below which text breaks inside words, and the width
// of the text on one line.
func (t typesetter) extent(spans []span) (least, most length) {
	var run length
	for _, a := range t.atoms(spans) {
		least = max(least, a.width)
		run += a.width
		most = max(most, run)
		run += t.fonts.width(a.space.style, a.space.size, a.space.text)
		if a.hard {
			run = 0
		}
	}
	return least, most
}
