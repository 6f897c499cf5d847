package figure

import (
	"strings"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"

	"ironbed/spec/literal"
)

// A block is text set in lines.
type block struct {
	lines  []string
	face   font.Face
	width  vg.Length // of the longest line
	height vg.Length // from the first line's ascent to the last one's descent
	broken bool      // a word was broken to fit the width
}

// leading is the distance of lines, as a multiple of the size.
const leading = 1.22

// set breaks text into lines no wider than the width.
func set(text string, face font.Face, width vg.Length) block {
	b := block{face: face}
	line := ""
	flush := func() {
		if line != "" {
			b.lines = append(b.lines, line)
			b.width = max(b.width, face.Width(line))
			line = ""
		}
	}
	for _, word := range strings.Split(clean(text), " ") {
		if word == "" {
			continue
		}
		if line != "" && face.Width(line+" "+word) <= width {
			line += " " + word
			continue
		}
		flush()
		for face.Width(word) > width {
			n := breakAt(word, face, width)
			if n == len(word) {
				break
			}
			line, word, b.broken = word[:n], word[n:], true
			flush()
		}
		line = word
	}
	flush()
	if len(b.lines) > 0 {
		e := face.Extents()
		b.height = vg.Length(float64(len(b.lines)-1)*leading)*face.Font.Size + e.Ascent + e.Descent
	}
	return b
}

// breakAt returns where to break a word that is too wide: behind the last
// hyphen or the like that fits, else behind the last character that does, and
// never before the first.
func breakAt(word string, face font.Face, width vg.Length) int {
	last, soft := 0, 0
	for i, r := range word {
		end := i + len(string(r))
		if last > 0 && face.Width(word[:end]) > width {
			break
		}
		last = end
		if strings.ContainsRune("-_/.,:;", r) {
			soft = end
		}
	}
	if soft > 0 {
		return soft
	}
	return last
}

// clean makes text drawable: no characters that no page and no XML can hold, one
// space for any run of breaking ones.
func clean(text string) string {
	var words []string
	for _, w := range strings.Split(literal.Line(strings.ToValidUTF8(text, "")), " ") {
		if w != "" {
			words = append(words, w)
		}
	}
	return strings.Join(words, " ")
}
