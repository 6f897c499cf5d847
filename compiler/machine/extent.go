package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/section"
)

// A ReachAlong is the stretch between the lowest and the highest of some places.
type ReachAlong struct {
	Low, High float64
	any       bool
}

func (s *ReachAlong) Take(v float64) {
	if !s.any {
		s.Low, s.High, s.any = v, v, true
	}
	s.Low, s.High = math.Min(s.Low, v), math.Max(s.High, v)
}

func (s *ReachAlong) Length() float64 { return s.High - s.Low }

// Holds reports whether a value lies within.
func (s *ReachAlong) Holds(v float64) bool { return v >= s.Low && v <= s.High }

// Extent is the outside of a section: its width and its height; zero where its
// outline is not known [m].
func Extent(f Filled) (width, height float64) {
	regions, err := f.Shape.Outline()
	if err != nil {
		return 0, 0
	}
	return spread(regions)
}

// Girth is the length round the outside of a section, of each of its parts that lie apart; zero where its outline is not
// known [m].
func Girth(f Filled) (girth float64) {
	regions, err := f.Shape.Outline()
	if err != nil {
		return 0
	}
	for _, r := range regions {
		for i, p := range r.Outer {
			q := r.Outer[(i+1)%len(r.Outer)]
			girth += math.Hypot(q.Y-p.Y, q.Z-p.Z)
		}
	}
	return girth
}

// Clear is the smallest side of what is filled of a section, of several hollows the smallest; zero where its outline is
// not known [m].
func Clear(f Filled) float64 {
	regions, err := section.FillOutline(f.Shape, f.Place, f.Hollows...)
	if err != nil || len(regions) == 0 {
		return 0
	}
	least := math.Inf(1)
	for i := range regions {
		width, height := spread(regions[i : i+1])
		least = math.Min(least, math.Min(width, height))
	}
	return least
}

// spread is how far regions reach along y and along z [m].
func spread(regions []section.Region) (width, height float64) {
	var y, z ReachAlong
	for _, r := range regions {
		for _, p := range r.Outer {
			y.Take(p.Y)
			z.Take(p.Z)
		}
	}
	return y.Length(), z.Length()
}

// Sides are how far a bar's section reaches from its axis, which goes through its centroid, along y and z of the section; false
// where its outline is not known [m].
func (b *Bar) Sides() (y, z ReachAlong, ok bool) {
	for _, loop := range b.outline() {
		for _, p := range loop {
			y.Take(p.Y)
			z.Take(p.Z)
		}
	}
	return y, z, y.any
}

// Reaches is how far a bar's section reaches from its axis along a direction square
// to it, that way [m].
func (b *Bar) Reaches(along r3.Vec) float64 {
	y := r3.Cross(b.Orient, r3.Unit(r3.Sub(b.To, b.From)))
	width, height, ok := b.Sides()
	if !ok {
		// An ellipse of the radii of gyration, about the principal axes.
		z := b.turned
		y = r3.Cross(z, r3.Unit(r3.Sub(b.To, b.From)))
		width, height := gyrationEdge*math.Sqrt(b.Used.EIz/b.Used.EA), gyrationEdge*math.Sqrt(b.Used.EIy/b.Used.EA)
		return math.Abs(r3.Dot(y, along))*width + math.Abs(r3.Dot(z, along))*height
	}
	most := func(n float64, side ReachAlong) float64 { return math.Max(n*side.Low, n*side.High) }
	return most(r3.Dot(y, along), width) + most(r3.Dot(b.Orient, along), height)
}

// gyrationEdge is the half width of a section over its radius of gyration where
// its outline is not known [-]: 1.7 for a bar, 2 for a flange.
const gyrationEdge = 2.2
