package figure

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"

	"ironbed/compiler/build"
	"ironbed/spec/quantity"
)

// Measures of a map.
const (
	mapCell  = vg.Length(26) // height of a cell
	mapWide  = vg.Length(64) // width of a cell, at most
	mapLeft  = vg.Length(44) // room for the numbers of the upright travel
	mapUnder = vg.Length(32) // room for the numbers and the name of the other travel
	mapAbove = vg.Length(14) // room for the upright travel's name
	mapDark  = 0.4           // shade of the largest value
)

// layoutMap lays out a value over two travels: the larger its size, the darker
// its cell, with the number in it. The extremes are in the accent's frame, and
// words below say so.
func layoutMap(s *sheet, d build.Map) {
	if len(d.AtX) == 0 || len(d.AtY) == 0 || len(d.Values) != len(d.AtY) {
		layoutNothing(s, "nothing to draw")
		return
	}
	least, most, low, high := math.Inf(1), 0.0, math.Inf(1), math.Inf(-1)
	for _, row := range d.Values {
		if len(row) != len(d.AtX) || !finite(row...) {
			layoutNothing(s, "nothing to draw")
			return
		}
		for _, v := range row {
			least, most = math.Min(least, math.Abs(v)), math.Max(most, math.Abs(v))
			low, high = math.Min(low, v), math.Max(high, v)
		}
	}
	decimals := decimalsOf(most)
	wide := min(mapWide, (s.width-mapLeft-4)/vg.Length(len(d.AtX)))
	name := set(d.Y, regular(labelSize), s.width)
	s.text(name, vg.Point{X: 0, Y: 0}, left, ink)
	top := -mapAbove
	for i := range d.AtY {
		// The upright travel rises.
		row := len(d.AtY) - 1 - i
		y := top - mapCell*vg.Length(i)
		at := set(quantity.Number(d.AtY[row]), regular(smallSize), mapLeft-6)
		s.text(at, vg.Point{X: mapLeft - 6, Y: y - (mapCell-at.height)/2}, right, ink)
		for k, v := range d.Values[row] {
			x := mapLeft + wide*vg.Length(k)
			corners := []vg.Point{{X: x, Y: y}, {X: x + wide, Y: y}, {X: x + wide, Y: y - mapCell}, {X: x, Y: y - mapCell}}
			share := 0.0
			if most > least {
				share = mapDark * (math.Abs(v) - least) / (most - least)
			}
			s.area(mix(paper, edge, share), corners...)
			s.outline(faint, hairline, corners...)
			b := set(fixed(v, decimals), regular(labelSize), wide)
			s.text(b, vg.Point{X: x + wide/2, Y: y - (mapCell-b.height)/2}, center, ink)
		}
	}
	// Frames go over the cells' own lines.
	for i := range d.AtY {
		row := len(d.AtY) - 1 - i
		for k, v := range d.Values[row] {
			if high > low && (v == low || v == high) {
				x, y := mapLeft+wide*vg.Length(k)+1, top-mapCell*vg.Length(i)-1
				s.outline(
					accent,
					strong,
					vg.Point{X: x, Y: y},
					vg.Point{X: x + wide - 2, Y: y},
					vg.Point{X: x + wide - 2, Y: y - mapCell + 2},
					vg.Point{X: x, Y: y - mapCell + 2},
				)
			}
		}
	}
	bottom := top - mapCell*vg.Length(len(d.AtY))
	for k, v := range d.AtX {
		b := set(quantity.Number(v), regular(smallSize), wide)
		s.text(b, vg.Point{X: mapLeft + wide*(vg.Length(k)+0.5), Y: bottom - 4}, center, ink)
	}
	s.text(set(d.X, regular(labelSize), s.width-mapLeft), vg.Point{X: mapLeft + wide*vg.Length(len(d.AtX))/2, Y: bottom - 16}, center, ink)
	s.height = -bottom + mapUnder
	if high > low {
		note := set("framed: the highest and the lowest value; shaded by size", regular(smallSize), s.width)
		s.text(note, vg.Point{X: 0, Y: -s.height}, left, muted)
		s.height += note.height + 2
	}
}

// decimalsOf is how many decimals all numbers of a map have: three digits of the
// largest, and hundredths at most.
func decimalsOf(most float64) int {
	if most == 0 {
		return 0
	}
	return min(max(2-int(math.Floor(math.Log10(most)+1e-9)), 0), 2)
}

// fixed prints a number with so many decimals; what rounds to nothing has no sign.
func fixed(v float64, decimals int) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}
