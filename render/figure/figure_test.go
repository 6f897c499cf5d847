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
	limited := build.Bars{Unit: "µm", Rows: []build.BarRow{
		{Label: "oak", Total: "30 µm", Limit: 50, Parts: []build.BarPart{{Label: "a", Value: 20}, {Label: "b", Value: 10}}},
		{Label: "steel", Total: "80 µm", Limit: 50, Parts: []build.BarPart{{Label: "a", Value: 80}}},
		{Label: "odd", Limit: math.Inf(1), Parts: []build.BarPart{{Label: "a", Value: math.NaN()}}},
	}}
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
		"scene": sampleScene(), "bent": sampleBent(), "bars": sampleBars(), "chart": sampleChart(), "log chart": sampleLogChart(), "band chart": sampleBandChart(), "sections": sampleSections(), "part": samplePart(), "empty part": build.Part{},
		"many labels": many, "one solid": build.Scene{Solids: sampleScene().Solids[:1]}, "empty scene": build.Scene{},
		"crowded bars": crowded, "bars with limits": limited, "empty bars": build.Bars{}, "zero bars": build.Bars{Rows: []build.BarRow{{Label: "X", Parts: []build.BarPart{{Label: "a"}}}}},
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

// leastPrinted is the smallest letter that may be printed, in points.
const leastPrinted = 6.5

// TestPictures holds what every picture must, at the width of a page and at half of
// it: all on the sheet, no text over another, nothing smaller than may be read, and no
// number that is none.
func TestPictures(t *testing.T) {
	for name, d := range samples() {
		testPicture(t, name, d, FullWidth)
		testPicture(t, name+" at half width", d, HalfWidth)
	}
}

func testPicture(t *testing.T, name string, d build.Drawing, width vg.Length) {
	s, factor := layout(d, width)
	page := box{left: -0.5, right: s.width + 0.5, bottom: -s.height - 0.5, top: 0.5}
	var words []mark
	for _, m := range s.marks {
		if m.text != "" {
			if !m.place().inside(page) {
				t.Errorf("%s: %q runs off the picture: %v outside %v", name, m.text, m.place(), page)
			}
			if m.face.Font.Size*factor < leastPrinted {
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
		{sampleSections(), []string{sampleSections().Items[0].Name, "7", "9"}},
		{samplePart(), []string{"800", "A", "B", "45°", "50, then 11 × 60, to 710", "60, 700; far side", "seen from +Z, +Y up", "tie"}},
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

// TestMarkersKeepClear: a marker's name lies over no curve.
func TestMarkersKeepClear(t *testing.T) {
	for _, d := range []build.Chart{sampleChart(), sampleLogChart()} {
		for _, width := range []vg.Length{FullWidth, HalfWidth} {
			s, _ := layout(d, width)
			for _, m := range s.marks {
				if m.text == "" || m.face.Font.Weight == 0 {
					continue
				}
				for _, o := range s.marks {
					if o.text != "" || o.fill || o.width < 1 {
						continue
					}
					for i := 1; i < len(o.path); i++ {
						if _, hit := m.place().clip(segment{o.path[i-1].Pos, o.path[i].Pos}); hit && o.path[i].Type == vg.LineComp {
							t.Errorf("%q lies over a curve", m.text)
						}
					}
				}
			}
		}
	}
}

// TestAxesEnd: an axis goes where the drawing says that it ends, and what lies beyond
// is not drawn.
func TestAxesEnd(t *testing.T) {
	d := build.Chart{X: build.AxisSpec{Label: "x", Min: 10, Max: 20}, Y: build.AxisSpec{Label: "y", Max: 5},
		Curves:  []build.Curve{{Name: "steep", Points: [][2]float64{{0, 0}, {40, 80}}}, {Name: "beyond", Points: [][2]float64{{0, 90}, {40, 80}}}},
		Markers: []build.Marker{{Label: "outside", X: 50, Y: 50}}}
	p := plotOf(d)
	if p.X.Min != 10 || p.X.Max != 20 || p.Y.Min != 0 || p.Y.Max != 5 {
		t.Errorf("axes from %g to %g and from %g to %g", p.X.Min, p.X.Max, p.Y.Min, p.Y.Max)
	}
	if at := p.markers(d).XYs[0]; at.X != 20 || at.Y != 5 {
		t.Errorf("a marker outside stands at %v", at)
	}
	s, _ := layout(d, FullWidth)
	for _, m := range s.marks {
		if m.text == "beyond" {
			t.Error("the legend names a curve that is not to be seen")
		}
	}
}

// TestBandsStayBelow: what lies between two curves is filled within the axes and below
// every line, and upright lines and a marker's spread are drawn where they belong.
func TestBandsStayBelow(t *testing.T) {
	d := sampleBandChart()
	s, _ := layout(d, HalfWidth)
	var frame box
	filled, lines := -1, 0 // lines of the grid and of curves
	var uprights, spreads []vg.Path
	for i, m := range s.marks {
		switch {
		case m.text != "":
		case m.fill && m.color == bandShade && filled < 0:
			filled = i
			frame = boundsOf(m.path)
			if lines > 0 {
				t.Error("a line lies below the band")
			}
		case m.fill:
		default:
			if m.color == faint || m.width == solidCurves[0].Width {
				lines++
			}
			if m.color == accent && m.width == uprightStyle.Width && m.path[0].Pos.X == m.path[1].Pos.X {
				uprights = append(uprights, m.path)
			}
			if m.color == accent && m.width == strong {
				spreads = append(spreads, m.path)
			}
		}
	}
	if filled < 0 {
		t.Fatal("the band is not filled")
	}
	inner := boundsOf(uprights[0])
	if inner.bottom > frame.bottom+0.01 || inner.top < frame.top-0.01 {
		t.Errorf("the band reaches from %v to %v, the axes from %v to %v", frame.bottom, frame.top, inner.bottom, inner.top)
	}
	if len(uprights) != 2 || len(spreads) != 1 { // the third lies beyond the axis
		t.Fatalf("%d upright lines and %d spreads", len(uprights), len(spreads))
	}
	// The marker stands at 6 of 2 to 10, one to either side: the middle, an eighth of the
	// width each way.
	width := frame.right - frame.left
	if got := boundsOf(spreads[0]); math.Abs(float64((got.left+got.right)/2-(frame.left+frame.right)/2)) > 0.1 ||
		math.Abs(float64((got.right-got.left)/width)-0.25) > 1e-3 {
		t.Errorf("the spread reaches from %v to %v on an axis from %v to %v", got.left, got.right, frame.left, frame.right)
	}
}

// boundsOf is the box about a path.
func boundsOf(path vg.Path) box {
	b := box{left: vg.Length(math.Inf(1)), right: vg.Length(math.Inf(-1)), top: vg.Length(math.Inf(-1)), bottom: vg.Length(math.Inf(1))}
	for _, c := range path {
		if c.Type != vg.CloseComp {
			b.left, b.right = min(b.left, c.Pos.X), max(b.right, c.Pos.X)
			b.bottom, b.top = min(b.bottom, c.Pos.Y), max(b.top, c.Pos.Y)
		}
	}
	return b
}

// TestFirstCurveOnTop: the first curve is drawn after the others.
func TestFirstCurveOnTop(t *testing.T) {
	s, _ := layout(sampleLogChart(), FullWidth)
	first, second := -1, -1
	for i, m := range s.marks {
		if m.text == "" && !m.fill && len(m.path) > 50 {
			if len(m.dash) == 0 {
				first = i
			} else {
				second = i
			}
		}
	}
	if first < second || second < 0 {
		t.Errorf("the first curve is mark %d, the second %d", first, second)
	}
}

// TestTicks: round numbers within the axis, no more than there is room for.
func TestTicks(t *testing.T) {
	for _, c := range []struct {
		ticker
		low, high float64
		want      string
	}{
		{ticker{most: 5}, 0, 10, "0 2 4 6 8 10"},
		{ticker{most: 4}, 1154, 12000, "5000 10000"},
		{ticker{most: 9}, 0, 0.4, "0 0.05 0.1 0.15 0.2 0.25 0.3 0.35 0.4"},
		{ticker{log: true, most: 9}, 3, 200, "5 10 20 50 100 200"},
		{ticker{log: true, most: 4}, 3, 2000, "10 100 1000"},
	} {
		var got []string
		for _, tick := range c.Ticks(c.low, c.high) {
			got = append(got, tick.Label)
		}
		if words := strings.Join(got, " "); words != c.want {
			t.Errorf("from %g to %g: %s, want %s", c.low, c.high, words, c.want)
		}
	}
}

// TestFacets: of a box three faces are seen, whichever way its cross sections run, and
// of a cylinder half of the wall and one end, whose wall has two long edges.
func TestFacets(t *testing.T) {
	box := build.BoxRings([3]float64{1, 2, 3}, [3][3]float64{{0.5}, {0, 0.4}, {0, 0, 0.3}})
	for range 2 {
		if got := len(facetsOf(build.Solid{Rings: box}, 1e-6)); got != 3 {
			t.Errorf("%d faces of a box are seen", got)
		}
		box[0], box[1] = box[1], box[0]
	}
	var rings [2][][3]float64
	for i := range rings {
		for k := range 12 {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 12)
			rings[i] = append(rings[i], [3]float64{cos, sin, 5 * float64(i)})
		}
	}
	long, ends := 0, 0
	for _, f := range facetsOf(build.Solid{Rings: rings[:]}, 1e-6) {
		if len(f.points) == 12 {
			ends++
			continue
		}
		for _, k := range []int{1, 3} {
			if f.drawn[k] {
				long++
			}
		}
	}
	if long != 2 || ends != 1 {
		t.Errorf("a cylinder shows %d long edges and %d ends", long, ends)
	}
}

// TestRestIsSeenThrough: outlines at rest show what is not hidden by other solids at
// rest, and nothing else.
func TestRestIsSeenThrough(t *testing.T) {
	drawn := func(list ...build.Solid) (sum float64) {
		var s sheet
		s.drawRest(list, view{scale: 100})
		for _, m := range s.marks {
			for i := 1; i < len(m.path); i++ {
				if m.path[i].Type == vg.LineComp {
					sum += math.Hypot(float64(m.path[i].Pos.X-m.path[i-1].Pos.X), float64(m.path[i].Pos.Y-m.path[i-1].Pos.Y))
				}
			}
		}
		return sum
	}
	cube := func(away, half float64) build.Solid {
		return build.Solid{Rings: build.BoxRings([3]float64{away * toViewer.X, away * toViewer.Y, away * toViewer.Z},
			[3][3]float64{{half}, {0, half}, {0, 0, half}})}
	}
	behind, before := cube(0, 0.1), cube(3, 1)
	alone, both := drawn(before), drawn(behind, before)
	if drawn(behind) == 0 || math.Abs(alone-both) > 1e-9 {
		t.Errorf("a box behind a larger one adds %g of outline", both-alone)
	}
}

// TestMapNumbers: all numbers of a map have the same decimals, and nothing has no sign.
func TestMapNumbers(t *testing.T) {
	for _, c := range []struct {
		most, of float64
		want     string
	}{{325, 78.66, "79"}, {12.5, -2, "-2.0"}, {0.93, 0.31, "0.31"}, {5.25, -0.001, "0.00"}, {0, 0, "0"}} {
		if got := fixed(c.of, decimalsOf(c.most)); got != c.want {
			t.Errorf("%g on a map up to %g prints as %s, want %s", c.of, c.most, got, c.want)
		}
	}
}

func TestSectionsStandInRowsOfEqualNumber(t *testing.T) {
	wide := func(n int, w vg.Length) (list []vg.Length) {
		for range n {
			list = append(list, w)
		}
		return list
	}
	for name, c := range map[string]struct {
		widths []vg.Length
		want   string
	}{
		"none":       {nil, "[]"},
		"one row":    {wide(4, 20), "[[0 4]]"},
		"two of six": {wide(6, 20), "[[0 3] [3 6]]"},
		"of seven":   {wide(7, 20), "[[0 4] [4 7]]"},
		"too wide":   {[]vg.Length{300, 20, 20}, "[[0 1] [1 3]]"},
	} {
		if got := fmt.Sprint(sectionRows(c.widths, 5, 100)); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

func TestNarrowerSectionsAreLower(t *testing.T) {
	var items []build.SectionItem
	for i := range 6 {
		items = append(items, build.SectionItem{Name: fmt.Sprint("s", i), Note: "note",
			Loops: []build.SectionLoop{{Kind: "metal", Points: [][2]float64{{0, 0}, {0.1, 0}, {0.1, 0.2}, {0, 0.2}}}}})
	}
	_, high := Lay(build.Sections{Items: items}, FullWidth).Size()
	if _, low := Lay(build.Sections{Items: items}, 0.7*FullWidth).Size(); low >= high {
		t.Errorf("height %.0f at 70 %% of the width, %.0f at the whole", low, high)
	}
}

// TestWithoutNoise: numbers that are rounding become 0, and nothing else changes.
func TestWithoutNoise(t *testing.T) {
	for text, want := range map[string]string{
		"M1.5e-17,-2e-5L3,4":  "M0,0L3,4",
		"stroke-width:1.5;e-": "stroke-width:1.5;e-",
		"line-12.25e-3":       "line0",
		"12e-x 5e-6":          "12e-x 0",
		".5e-3 e-4":           ".0 e-4",
	} {
		if got := string(withoutNoise([]byte(text))); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
}
