package figure

import (
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// A hatching is a pattern of parallel lines.
type hatching struct {
	angles  []float64 // directions of the lines [rad]
	spacing vg.Length // between lines
	width   vg.Length
	dash    []vg.Length
}

// hatch fills a polygon with a pattern.
func (s *sheet) hatch(h hatching, c color.Color, points []vg.Point) {
	for _, angle := range h.angles {
		list := hatchLines(points, angle, h.spacing)
		if len(list) == 0 {
			continue
		}
		var p vg.Path
		for _, g := range list {
			p.Move(g.a)
			p.Line(g.b)
		}
		s.marks = append(s.marks, mark{path: p, color: c, width: h.width, dash: h.dash})
	}
}

// hatchLines returns the parallel lines that cover a polygon's inside: each line
// is inside between its odd and its even meeting with the outline. The lines
// stand in a raster that is the same over the whole sheet.
func hatchLines(points []vg.Point, angle float64, spacing vg.Length) []segment {
	if len(points) < 3 {
		return nil
	}
	sin, cos := math.Sincos(angle)
	along := func(p vg.Point) float64 { return cos*float64(p.X) + sin*float64(p.Y) }
	across := func(p vg.Point) float64 { return cos*float64(p.Y) - sin*float64(p.X) }
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range points {
		low, high = math.Min(low, across(p)), math.Max(high, across(p))
	}
	step := float64(spacing)
	var list []segment
	for k := math.Ceil(low / step); k*step < high; k++ {
		v := k * step
		var meets []float64
		for i, p := range points {
			q := points[(i+1)%len(points)]
			a, b := across(p)-v, across(q)-v
			if (a < 0) != (b < 0) {
				meets = append(meets, along(p)+(along(q)-along(p))*a/(a-b))
			}
		}
		slices.Sort(meets)
		for i := 0; i+1 < len(meets); i += 2 {
			at := func(u float64) vg.Point {
				return vg.Point{X: vg.Length(cos*u - sin*v), Y: vg.Length(sin*u + cos*v)}
			}
			if meets[i+1]-meets[i] > 0.2 {
				list = append(list, segment{at(meets[i]), at(meets[i+1])})
			}
		}
	}
	return list
}
