package figure

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// A segment is a straight line on the sheet.
type segment struct{ a, b vg.Point }

// A box is an upright rectangle on the sheet.
type box struct{ left, bottom, right, top vg.Length }

func (b box) overlaps(o box) bool {
	return b.left < o.right && o.left < b.right && b.bottom < o.top && o.bottom < b.top
}

func (b box) inside(o box) bool {
	return b.left >= o.left && b.right <= o.right && b.bottom >= o.bottom && b.top <= o.top
}

// holds reports whether a point lies in the box.
func (b box) holds(p vg.Point) bool {
	return p.X >= b.left && p.X <= b.right && p.Y >= b.bottom && p.Y <= b.top
}

// nearest returns the point of the box that is nearest to a point.
func (b box) nearest(to vg.Point) vg.Point {
	return vg.Point{X: min(max(to.X, b.left), b.right), Y: min(max(to.Y, b.bottom), b.top)}
}

func (b box) grown(by vg.Length) box {
	return box{b.left - by, b.bottom - by, b.right + by, b.top + by}
}

// clip returns the part of a segment that lies in the box, and whether any does.
func (b box) clip(g segment) (segment, bool) {
	from, to := 0.0, 1.0
	dx, dy := float64(g.b.X-g.a.X), float64(g.b.Y-g.a.Y)
	for _, side := range [][2]float64{
		{-dx, float64(g.a.X - b.left)}, {dx, float64(b.right - g.a.X)},
		{-dy, float64(g.a.Y - b.bottom)}, {dy, float64(b.top - g.a.Y)}} {
		toward, room := side[0], side[1]
		switch {
		case toward == 0:
			if room < 0 {
				return g, false
			}
		case toward < 0:
			from = math.Max(from, room/toward)
		default:
			to = math.Min(to, room/toward)
		}
	}
	if from > to {
		return g, false
	}
	at := func(t float64) vg.Point {
		return vg.Point{X: g.a.X + vg.Length(t*dx), Y: g.a.Y + vg.Length(t*dy)}
	}
	return segment{at(from), at(to)}, true
}

// crosses reports whether two segments cross.
func (g segment) crosses(o segment) bool {
	const level = 1e-3 // twice the area below which three points lie on a line [points²]
	side := func(p, q, r vg.Point) float64 {
		area := float64((q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X))
		if math.Abs(area) < level {
			return 0
		}
		return area
	}
	return side(g.a, g.b, o.a)*side(g.a, g.b, o.b) < 0 && side(o.a, o.b, g.a)*side(o.a, o.b, g.b) < 0
}

// spread moves intervals apart that are wanted at the given middles, keeps
// their order, and moves them as little as it can in the sense of least squares.
// The answer lies between low and high if the intervals fit between them.
//
// Measured from the place where each would stand if all were packed, the
// middles must not fall; the best such sequence joins neighbours that would
// fall into groups at their mean.
func spread(middle, size []vg.Length, gap, low, high vg.Length) []vg.Length {
	type group struct {
		sum   vg.Length
		count int
	}
	n := len(middle)
	packed := make([]vg.Length, n)
	var groups []group
	for i := range n {
		if i > 0 {
			packed[i] = packed[i-1] + (size[i-1]+size[i])/2 + gap
		}
		groups = append(groups, group{middle[i] - packed[i], 1})
		for k := len(groups) - 1; k > 0; k-- {
			a, b := groups[k-1], groups[k]
			if a.sum*vg.Length(b.count) <= b.sum*vg.Length(a.count) {
				break
			}
			groups = append(groups[:k-1], group{a.sum + b.sum, a.count + b.count})
		}
	}
	out := make([]vg.Length, 0, n)
	for _, g := range groups {
		for range g.count {
			i := len(out)
			at := g.sum / vg.Length(g.count)
			at = max(min(at, high-size[n-1]/2-packed[n-1]), low+size[0]/2)
			out = append(out, at+packed[i])
		}
	}
	return out
}

// A label is a block of text that belongs to a point.
type label struct {
	block
	at vg.Point
}

// sameHeight is the step of heights that count as the same [points].
const sameHeight = 0.01

// column sets labels into a column so that none overlaps, and returns the
// upper edge of each. Leaders run from the labels' middles at x to their
// points; where two would cross, their labels change places.
func column(list []label, x, low, high vg.Length) []vg.Length {
	const gap = 3
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	// Points that are as high but for rounding keep the order that they came in.
	level := func(i int) float64 { return math.Round(float64(list[i].at.Y) / sameHeight) }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(level(a), level(b)) })
	var middles []vg.Length
	for range len(list) + 1 {
		var want, size []vg.Length
		for _, i := range order {
			want = append(want, list[i].at.Y)
			size = append(size, list[i].height)
		}
		middles = spread(want, size, gap, low, high)
		swapped := false
		for k := 1; k < len(order); k++ {
			below, above := list[order[k-1]], list[order[k]]
			if (segment{vg.Point{X: x, Y: middles[k-1]}, below.at}).crosses(segment{vg.Point{X: x, Y: middles[k]}, above.at}) {
				order[k-1], order[k] = order[k], order[k-1]
				swapped = true
			}
		}
		if !swapped {
			break
		}
	}
	tops := make([]vg.Length, len(list))
	for k, i := range order {
		tops[i] = middles[k] + list[i].height/2
	}
	return tops
}

// stacked is the height of a column of labels.
func stacked(list []label) vg.Length {
	var h vg.Length
	for _, l := range list {
		h += l.height + 3
	}
	return h
}
