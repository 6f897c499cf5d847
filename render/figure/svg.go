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
	texts  = regexp.MustCompile(`(?m)^<text `)
	noise  = regexp.MustCompile(`-?\d+(\.\d+)?e-\d+`) // nothing but rounding
)

// finish makes the file stand on its own where the Go fonts are not installed:
// it names fonts to fall back on, and gives each text the width that the layout
// counted on.
func finish(file []byte, widths []vg.Length) []byte {
	file = prolog.ReplaceAll(file, []byte("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg "))
	file = faces.ReplaceAll(file, []byte(`style="font-family:`+families+`;font-weight:$2;font-style:$3;`))
	file = noise.ReplaceAll(file, []byte("0"))
	n := 0
	return texts.ReplaceAllFunc(file, func(tag []byte) []byte {
		width := widths[n]
		n++
		return fmt.Appendf(nil, `<text textLength="%.2f" lengthAdjust="spacingAndGlyphs" `, width.Points())
	})
}
