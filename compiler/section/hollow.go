package section

import "math"

// HollowRectangle is a square or rectangular hollow section. Its origin is its
// centre.
type HollowRectangle struct {
	Height      float64 // overall height h along z [m]
	Width       float64 // overall width b along y [m]
	Wall        float64 // wall thickness t [m]
	OuterRadius float64 // outer corner radius ro [m]
	InnerRadius float64 // inner corner radius ri [m]
}

// HotFinishedRadii returns the corner radii with which the properties of hot
// finished hollow sections are computed.
//
//	ro = 1.5 t,  ri = 1.0 t
//
// Source: EN 10210-2, annex A.3.
func HotFinishedRadii(wall float64) (outer, inner float64) { return 1.5 * wall, wall }

// ColdFormedRadii returns the corner radii with which the properties of cold
// formed welded hollow sections are computed.
//
//	ro = 2 t to 6 mm, 2.5 t to 10 mm, 3 t above,  ri = ro - t
//
// Source: EN 10219-2, annex B.3.
func ColdFormedRadii(wall float64) (outer, inner float64) {
	factor := 3.0
	switch {
	case wall <= 0.006*(1+1e-9):
		factor = 2
	case wall <= 0.010*(1+1e-9):
		factor = 2.5
	}
	return factor * wall, (factor - 1) * wall
}

// DesignWall returns the wall with which the properties of electric-resistance
// welded tubing are computed, thinner than the nominal wall by the tolerance
// that mills make use of.
//
//	t = 0.93 tnom
//
// Source: AISC Manual, part 1; ASTM A500.
func DesignWall(nominal float64) float64 { return 0.93 * nominal }

// TubingRadii returns the corner radii with which the properties of square and
// rectangular tubing are computed from the design wall.
//
//	ro = 2 t,  ri = t
//
// Source: AISC Manual, part 1; ASTM A500.
func TubingRadii(designWall float64) (outer, inner float64) { return 2 * designWall, designWall }

func (s HollowRectangle) validate() error {
	least := math.Min(s.Width, s.Height)
	return within("rectangular hollow section",
		size("height", s.Height, math.Inf(1)),
		size("width", s.Width, math.Inf(1)),
		size("wall thickness", s.Wall, least/2),
		radius("inner corner radius", s.InnerRadius, least/2-s.Wall),
		// Beyond 3.4 t more than the inner radius nothing is left at the corner.
		radius("outer corner radius", s.OuterRadius, math.Min(least/2, s.InnerRadius+3*s.Wall)))
}

func (s HollowRectangle) outer() path { return roundedRectangle(s.Width, s.Height, s.OuterRadius) }

// core is the hollow itself, as a solid bar.
func (s HollowRectangle) core() Bar {
	return Bar{Width: s.Width - 2*s.Wall, Height: s.Height - 2*s.Wall, CornerRadius: s.InnerRadius}
}

// Properties returns the section's properties: area and second moments exact,
// torsion by [HollowRectangleTorsion], shear by the energy of the shear flow.
func (s HollowRectangle) Properties(float64) (Properties, error) {
	if err := s.validate(); err != nil {
		return Properties{}, err
	}
	p := s.outer().moments().add(-1, s.core().path().moments()).properties()
	p.CentroidY, p.CentroidZ = 0, 0 // by symmetry
	p.J = HollowRectangleTorsion(s.Width, s.Height, s.Wall, s.OuterRadius, s.InnerRadius)
	p.Ky, p.Kz = math.Min(1, s.turned().shear()/p.Area), math.Min(1, s.shear()/p.Area)
	return checked(p)
}

// Outline returns the section's outer and inner boundary.
func (s HollowRectangle) Outline() ([]Region, error) {
	if err := s.validate(); err != nil {
		return nil, err
	}
	return []Region{{Outer: s.outer().points(), Holes: [][]Point{s.core().path().points()}}}, nil
}

// turned is the section on its side.
func (s HollowRectangle) turned() HollowRectangle {
	s.Width, s.Height = s.Height, s.Width
	return s
}

// shear is the shear area for a force along the height [m2]: no shear crosses the middle of the walls across the force, so that the tube is two
// channels. Corners are arcs about the centre of the inner radius; where the outer one has another centre the wall is thicker there.
func (s HollowRectangle) shear() float64 {
	const arcs = 8
	t, ro, ri := s.Wall, s.OuterRadius, s.InnerRadius
	r := ri + t/2
	b, h := (s.Width-t)/2, (s.Height-t)/2
	passes := 1 / (1 - tubeCorner*math.Exp(-tubeCornerRadius*ri/t))
	var w flow
	l := []int{w.add(strip{z1: h, y2: b - r, z2: h, t: t, passes: t})}
	corner := func(z, start float64) {
		for i := range arcs {
			sin1, cos1 := math.Sincos(start - math.Pi/2*float64(i)/arcs)
			sin2, cos2 := math.Sincos(start - math.Pi/2*float64(i+1)/arcs)
			sin, cos := math.Sincos(math.Pi / 2 * (float64(i) + 0.5) / arcs)
			thick := ro - ri + (ri+t-ro)*(sin+cos)
			l = []int{w.add(strip{y1: b - r + r*cos1, z1: z + r*sin1, y2: b - r + r*cos2, z2: z + r*sin2, t: thick, passes: thick * passes, from: l})}
		}
	}
	corner(h-r, math.Pi/2)
	l = []int{w.add(strip{y1: b, z1: h - r, y2: b, z2: r - h, t: t, passes: t, from: l})}
	corner(r-h, 0)
	w.add(strip{y1: b - r, z1: -h, z2: -h, t: t, passes: t, from: l})
	_, az, _ := w.shear()
	return 2 * az
}

// HollowRound is a round tube. Its origin is its centre.
type HollowRound struct {
	Diameter float64 // outer diameter d [m]
	Wall     float64 // wall thickness t [m]
}

func (s HollowRound) validate() error {
	return within("round hollow section",
		size("diameter", s.Diameter, math.Inf(1)),
		size("wall thickness", s.Wall, s.Diameter/2))
}

// Properties returns the section's properties, all exact; shear by
// [RoundShear].
func (s HollowRound) Properties(poisson float64) (Properties, error) {
	if err := s.validate(); err != nil {
		return Properties{}, err
	}
	return checked(roundProperties(s.Diameter, s.Diameter-2*s.Wall, poisson))
}

// Outline returns the tube's outer and inner boundary.
func (s HollowRound) Outline() ([]Region, error) {
	if err := s.validate(); err != nil {
		return nil, err
	}
	return []Region{{Outer: circle(s.Diameter / 2).points(), Holes: [][]Point{circle(s.Diameter/2 - s.Wall).points()}}}, nil
}

// roundProperties returns the properties of a tube, or of a bar for an inner
// diameter of 0.
func roundProperties(outer, inner, poisson float64) Properties {
	k := RoundShear(ratio(poisson), inner/outer)
	j := HollowRoundTorsion(outer, inner)
	return Properties{Area: math.Pi / 4 * (outer*outer - inner*inner), Iy: j / 2, Iz: j / 2, J: j, Ky: k, Kz: k}
}
