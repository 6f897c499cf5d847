package figure

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"

	"ironbed/compiler/build"
)

// samples are drawings as they come, and nasty ones.
func samples() map[string]build.Drawing {
	many := sampleScene()
	for i := range 30 {
		many.Labels = append(many.Labels, build.Label3{At: [3]float64{0.5, 0, 0.5}, Text: fmt.Sprintf("a part with a name of some length, number %d", i)})
	}
	crowded := build.Bars{Unit: "%"}
	for _, direction := range []string{"X", "Y", "Z"} {
		row := build.BarRow{Label: direction, Total: "4.2 N/µm"}
		for i := range 14 {
			row.Parts = append(
				row.Parts,
				build.BarPart{Label: fmt.Sprintf("carriages of axis %d with a long name indeed", i), Value: 100 * math.Pow(0.5, float64(i+1))},
			)
		}
		crowded.Rows = append(crowded.Rows, row)
	}
	flat := build.Chart{
		X:       build.AxisSpec{Label: "x"},
		Y:       build.AxisSpec{Label: "y"},
		Curves:  []build.Curve{{Name: "level", Points: [][2]float64{{1, 2}, {3, 2}}}, {Name: "nothing"}},
		Markers: []build.Marker{{Label: "here", X: 2, Y: 2}, {Label: "here too", X: 2, Y: 2}},
	}
	return map[string]build.Drawing{
		"scene": sampleScene(), "bent": sampleBent(), "bars": sampleBars(), "chart": sampleChart(), "log chart": sampleLogChart(), "sections": sampleSections(),
		"many labels": many, "one solid": build.Scene{Solids: sampleScene().Solids[:1]}, "empty scene": build.Scene{},
		"crowded bars": crowded, "empty bars": build.Bars{}, "zero bars": build.Bars{Rows: []build.BarRow{{Label: "X", Parts: []build.BarPart{{Label: "a"}}}}},
		"map": sampleMap(), "empty map": build.Map{}, "flat map": build.Map{X: "x", Y: "y", AtX: []float64{1}, AtY: []float64{1}, Values: [][]float64{{0}}}, "bad map": build.Map{AtX: []float64{1}, AtY: []float64{1}, Values: [][]float64{{math.NaN()}}},
		"flat chart": flat, "empty chart": build.Chart{}, "not a number": build.Chart{Curves: []build.Curve{{Name: "bad", Points: [][2]float64{{math.NaN(), 1}, {1, math.Inf(1)}}}}},
		"empty sections": build.Sections{}, "long sections": build.Sections{Items: []build.SectionItem{{Name: strings.Repeat("a very long name ", 8), Note: "note", Loops: []build.SectionLoop{{Kind: "metal", Points: [][2]float64{{0, 0}, {3, 0}, {3, 0.01}, {0, 0.01}}}}}}},
	}
}

// place is the box of a line of text.
func (m mark) place() box {
	e := m.face.Extents()
	return box{left: m.at.X, right: m.at.X + m.face.Width(m.text), bottom: m.at.Y - e.Descent, top: m.at.Y + e.Ascent}
}

// TestPictures holds what every picture must: all on the sheet, no text over
// another, nothing smaller than may be read, and no number that is none.
func TestPictures(t *testing.T) {
	for name, d := range samples() {
		s, _ := layout(d, FullWidth)
		page := box{left: -0.5, right: s.width + 0.5, bottom: -s.height - 0.5, top: 0.5}
		var words []mark
		for _, m := range s.marks {
			if m.text != "" {
				if !m.place().inside(page) {
					t.Errorf("%s: %q runs off the picture: %v outside %v", name, m.text, m.place(), page)
				}
				if m.face.Font.Size < smallSize {
					t.Errorf("%s: %q is set in %v", name, m.text, m.face.Font.Size)
				}
				words = append(words, m)
				continue
			}
			for _, c := range m.path {
				if c.Type == vg.CloseComp {
					continue
				}
				if !finite(float64(c.Pos.X), float64(c.Pos.Y)) {
					t.Fatalf("%s: a mark at %v", name, c.Pos)
				}
				if c.Pos.X < page.left-2 || c.Pos.X > page.right+2 || c.Pos.Y < page.bottom-2 || c.Pos.Y > page.top+2 {
					t.Errorf("%s: a mark at %v outside %v", name, c.Pos, page)
				}
			}
		}
		for i, a := range words {
			for _, b := range words[:i] {
				if a.place().grown(-0.6).overlaps(b.place().grown(-0.6)) {
					t.Errorf("%s: %q lies over %q", name, a.text, b.text)
				}
			}
		}
	}
}

// TestWordsAreDrawn: what the drawing says is on the picture.
func TestWordsAreDrawn(t *testing.T) {
	said := func(d build.Drawing) string {
		s, _ := layout(d, FullWidth)
		var all []string
		for _, m := range s.marks {
			if m.text != "" {
				all = append(all, m.text)
			}
		}
		return strings.Join(all, " ")
	}
	for _, c := range []struct {
		d     build.Drawing
		words []string
	}{
		{sampleScene(), []string{"gantry beam", "spindle", "near upright"}},
		{sampleBars(), []string{sampleBars().Rows[0].Label, sampleBars().Rows[0].Total}},
		{sampleChart(), []string{sampleChart().Curves[0].Name, sampleChart().Markers[0].Label}},
		{sampleSections(), []string{sampleSections().Items[0].Name}},
		{sampleMap(), []string{"x, mm", "y, mm", "1600", "-12.5"}},
		{sampleBent(), []string{"500"}},
	} {
		text := said(c.d)
		for _, w := range c.words {
			for _, word := range strings.Fields(w) {
				if !strings.Contains(text, word) {
					t.Errorf("%q is not on the picture: %s", word, text)
				}
			}
		}
	}
}

// TestSVG: the same drawing gives the same bytes, and each is one whole file.
func TestSVG(t *testing.T) {
	for name, d := range samples() {
		first, err := SVG(d, FullWidth)
		if err != nil {
			t.Fatal(name, err)
		}
		again, err := SVG(d, FullWidth)
		if err != nil {
			t.Fatal(name, err)
		}
		if !bytes.Equal(first, again) {
			t.Errorf("%s differs between two runs", name)
		}
		if !bytes.HasPrefix(first, []byte("<?xml")) || !bytes.HasSuffix(bytes.TrimSpace(first), []byte("</svg>")) || bytes.Contains(first, []byte("NaN")) {
			t.Errorf("%s is not a whole SVG file", name)
		}
	}
}
