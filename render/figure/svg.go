package figure

import (
	"bytes"
	"fmt"
	"regexp"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgsvg"

	"ironbed/compiler/build"
)

// families are the fonts that a viewer may use, the best first.
const families = "Go, 'Liberation Sans', Arial, sans-serif"

// SVG returns a drawing as an SVG file of a width.
func SVG(d build.Drawing, width vg.Length) ([]byte, error) {
	p := Lay(d, width)
	w, h := p.Size()
	c := &measuring{Canvas: vgsvg.New(w, h)}
	p.Draw(c, w, h)
	var out bytes.Buffer
	if _, err := c.WriteTo(&out); err != nil {
		return nil, fmt.Errorf("drawing: %w", err)
	}
	return finish(out.Bytes(), c.widths), nil
}

// measuring is an SVG canvas that keeps the width of each text on it.
type measuring struct {
	*vgsvg.Canvas
	widths []vg.Length
}

// FillString draws text and keeps its width.
func (m *measuring) FillString(f font.Face, at vg.Point, text string) {
	m.widths = append(m.widths, f.Width(text))
	m.Canvas.FillString(f, at, text)
}

var (
	prolog = regexp.MustCompile(`(?s)^<\?xml.*?<svg `)
	faces  = regexp.MustCompile(`style="font-family:Go( Mono)?;font-variant:[a-z]+;font-weight:([a-z0-9]+);font-style:([a-z]+);`)
)

// finish makes the file stand on its own where the Go fonts are not installed:
// it names fonts to fall back on, and gives each text the width that the layout
// counted on.
func finish(file []byte, widths []vg.Length) []byte {
	file = prolog.ReplaceAll(file, []byte("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg "))
	file = faces.ReplaceAll(file, []byte(`style="font-family:`+families+`;font-weight:$2;font-style:$3;`))
	file = withoutNoise(file)
	tag := []byte("\n<text ")
	out := make([]byte, 0, len(file)+64*len(widths))
	for _, width := range widths {
		before, after, _ := bytes.Cut(file, tag)
		out = append(out, before...)
		out = fmt.Appendf(out, "\n<text textLength=\"%.2f\" lengthAdjust=\"spacingAndGlyphs\" ", width.Points())
		file = after
	}
	return append(out, file...)
}

// withoutNoise writes 0 for numbers with a negative exponent, such as 1.5e-17: they
// are nothing but rounding.
func withoutNoise(file []byte) []byte {
	out := make([]byte, 0, len(file))
	for {
		at := bytes.Index(file, []byte("e-"))
		if at < 0 {
			return append(out, file...)
		}
		end := at + 2
		for end < len(file) && isDigit(file[end]) {
			end++
		}
		from := number(file[:at])
		if from < at && end > at+2 {
			out = append(append(out, file[:from]...), '0')
		} else {
			end = at + 1
			out = append(out, file[:end]...)
		}
		file = file[end:]
	}
}

// number returns where a decimal number begins that a text ends with, the length of the
// text if it ends with none.
func number(text []byte) int {
	from := len(text)
	digits := func(i int) int {
		for i > 0 && isDigit(text[i-1]) {
			i--
		}
		return i
	}
	if i := digits(from); i < from {
		from = i
		if i > 0 && text[i-1] == '.' {
			if j := digits(i - 1); j < i-1 {
				from = j
			}
		}
		if from > 0 && text[from-1] == '-' {
			from--
		}
	}
	return from
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
