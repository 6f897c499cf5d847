package compiler

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/section"
)

// A reachAlong is the stretch between the lowest and the highest of some places.
type reachAlong struct {
	low, high float64
	any       bool
}

func (s *reachAlong) take(v float64) {
	if !s.any {
		s.low, s.high, s.any = v, v, true
	}
	s.low, s.high = math.Min(s.low, v), math.Max(s.high, v)
}

func (s *reachAlong) length() float64 { return s.high - s.low }

// extent is the outside of a section: its width and its height; zero where its
// outline is not known [m].
func extent(f filled) (width, height float64) {
	return spread(f, func(r section.Region) [][]section.Point { return [][]section.Point{r.Outer} })
}

// hollowExtent is the inside of a hollow section [m].
func hollowExtent(f filled) (width, height float64) {
	return spread(f, func(r section.Region) [][]section.Point { return r.Holes })
}

// spread is how far some loops of a section's outline reach along y and along z;
// zero where its outline is not known [m].
func spread(f filled, loops func(section.Region) [][]section.Point) (width, height float64) {
	regions, err := f.shape.Outline()
	if err != nil {
		return 0, 0
	}
	var y, z reachAlong
	for _, r := range regions {
		for _, l := range loops(r) {
			for _, p := range l {
				y.take(p.Y)
				z.take(p.Z)
			}
		}
	}
	return y.length(), z.length()
}

// halves are half the width and half the height of a bar's section, along y and z
// of the section; false where its outline is not known [m].
func (b *bar) halves() (width, height float64, ok bool) {
	width, height = extent(b.section)
	return width / 2, height / 2, width > 0
}

// reaches is how far a bar's section reaches from its axis along a direction square
// to it [m].
func (b *bar) reaches(along r3.Vec) float64 {
	y := r3.Cross(b.orient, r3.Unit(r3.Sub(b.to, b.from)))
	width, height, ok := b.halves()
	if !ok {
		// An ellipse of the radii of gyration, about the principal axes.
		z := b.turned
		y = r3.Cross(z, r3.Unit(r3.Sub(b.to, b.from)))
		width, height = gyrationEdge*math.Sqrt(b.used.EIz/b.used.EA), gyrationEdge*math.Sqrt(b.used.EIy/b.used.EA)
		return math.Abs(r3.Dot(y, along))*width + math.Abs(r3.Dot(z, along))*height
	}
	return math.Abs(r3.Dot(y, along))*width + math.Abs(r3.Dot(b.orient, along))*height
}
