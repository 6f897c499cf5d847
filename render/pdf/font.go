package pdf

import (
	"fmt"
	"math"
	"strings"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gobolditalic"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// A length is a distance in thousandths of a point. Whole numbers make the
// layout the same on every processor.
type length int

const (
	pt length = 1000
	mm length = 2835
)

// points returns the length in points, as gofpdf wants it.
func (l length) points() float64 { return float64(l) / 1000 }

// A style picks one of the embedded fonts.
type style uint8

const (
	bold style = 1 << iota
	italic
	mono
)

// A typeface is one embedded font.
type typeface struct {
	family string // gofpdf's name of the family
	style  string // gofpdf's letters of the style
	data   []byte
	sfnt   *sfnt.Font
	widths map[rune]length // advance in thousandths of the size
}

// A fontSet holds the five fonts of a document and measures with them.
type fontSet struct {
	regular, bold, italic, boldItalic, mono *typeface
	buffer                                  sfnt.Buffer
}

func newFontSet() (*fontSet, error) {
	set := &fontSet{
		regular:    &typeface{family: "go", data: goregular.TTF},
		bold:       &typeface{family: "go", style: "B", data: gobold.TTF},
		italic:     &typeface{family: "go", style: "I", data: goitalic.TTF},
		boldItalic: &typeface{family: "go", style: "BI", data: gobolditalic.TTF},
		mono:       &typeface{family: "gomono", data: gomono.TTF},
	}
	for _, t := range set.all() {
		parsed, err := sfnt.Parse(t.data)
		if err != nil {
			return nil, fmt.Errorf("font %s %s: %w", t.family, t.style, err)
		}
		t.sfnt, t.widths = parsed, map[rune]length{}
	}
	return set, nil
}

func (s *fontSet) all() []*typeface {
	return []*typeface{s.regular, s.bold, s.italic, s.boldItalic, s.mono}
}

// face returns the font of a style. Code has one font only.
func (s *fontSet) face(st style) *typeface {
	switch {
	case st&mono != 0:
		return s.mono
	case st&bold != 0 && st&italic != 0:
		return s.boldItalic
	case st&bold != 0:
		return s.bold
	case st&italic != 0:
		return s.italic
	}
	return s.regular
}

// width returns the width of text as the page will show it: gofpdf writes
// widths in whole thousandths of the size, and no kerning.
func (s *fontSet) width(st style, size length, text string) length {
	t := s.face(st)
	var sum length
	for _, r := range text {
		w, ok := t.widths[r]
		if !ok {
			w = s.advance(t, r)
			t.widths[r] = w
		}
		sum += w
	}
	return sum * size / 1000
}

// advance returns a glyph's advance in thousandths of the size.
func (s *fontSet) advance(t *typeface, r rune) length {
	units := t.sfnt.UnitsPerEm()
	glyph, err := t.sfnt.GlyphIndex(&s.buffer, r)
	if err != nil {
		return 0
	}
	advance, err := t.sfnt.GlyphAdvance(&s.buffer, glyph, fixed.Int26_6(units), font.HintingNone)
	if err != nil {
		return 0
	}
	return length(math.Round(1000 / float64(units) * float64(advance)))
}

// has reports whether every font of the document can show the character.
func (s *fontSet) has(r rune) bool {
	for _, t := range s.all() {
		if glyph, err := t.sfnt.GlyphIndex(&s.buffer, r); err != nil || glyph == 0 {
			return false
		}
	}
	return true
}

// standIns are shown for characters that the fonts lack.
var standIns = map[rune]string{
	'\u2009': " ",      // thin space
	'\u202f': "\u00a0", // narrow no-break space
	'\u2007': "\u00a0", // figure space
	'\u2011': "-",      // no-break hyphen
	'\u200b': "",       // zero-width space
	'\u00ad': "",       // soft hyphen
	'\ufeff': "",       // byte order mark
	'⌀':      "Ø",
	'∅':      "Ø",
	'∝':      "~",
	'∥':      "||",
	'⟨':      "‹",
	'⟩':      "›",
	'⇒':      "→",
	'✓':      "√",
	'✗':      "×",
	'ₓ':      "x",
}

// missing is shown for a character that has no stand-in.
const missing = "□"

// printable returns text that the fonts can show: stand-ins for what they lack,
// and no control characters or marks that would print on their own.
func (s *fontSet) printable(text string) string {
	var out strings.Builder
	for _, r := range text {
		instead, known := standIns[r]
		switch {
		case r == '\n', r == ' ':
			out.WriteRune(r)
		case r == '\t':
			out.WriteByte(' ')
		case unicode.IsControl(r), unicode.Is(unicode.Mn, r):
			// nothing to show
		case known:
			out.WriteString(instead)
		case r > 0xffff, !s.has(r):
			out.WriteString(missing)
		default:
			out.WriteRune(r)
		}
	}
	return out.String()
}
