package section

import "math"

// Bar is a solid rectangle, sharp-cornered or rounded. Its origin is its
// centre.
type Bar struct {
	Width        float64 // width b along y [m]
	Height       float64 // height h along z [m]
	CornerRadius float64 // radius of the four corners, 0 for sharp ones [m]
}

func (s Bar) validate() error {
	return within("bar",
		size("width", s.Width, math.Inf(1)),
		size("height", s.Height, math.Inf(1)),
		radius("corner radius", s.CornerRadius, math.Min(s.Width, s.Height)/2))
}

func (s Bar) path() path { return roundedRectangle(s.Width, s.Height, s.CornerRadius) }

// Properties returns the bar's properties: area and second moments exact,
// torsion by [RectangleTorsion] with an allowance for rounded corners, shear
// by the parabola of the stress.
func (s Bar) Properties(float64) (Properties, error) {
	if err := s.validate(); err != nil {
		return Properties{}, err
	}
	p := s.path().moments().properties()
	p.CentroidY, p.CentroidZ = 0, 0 // by symmetry
	p.J = roundedTorsion(s.Width, s.Height, p)
	p.Ky, p.Kz = rectangleShear, rectangleShear
	return checked(p)
}

// Outline returns the bar's boundary.
func (s Bar) Outline() ([]Region, error) {
	if err := s.validate(); err != nil {
		return nil, err
	}
	return []Region{{Outer: s.path().points()}}, nil
}

// roundedTorsion returns the torsion constant of a rectangle b by h with the
// area and second moments that rounded corners have left it.
//
//	J = Jrectangle (A/A0)⁴ (Iy0 + Iz0)/(Iy + Iz)
//
// the ratio of St Venant's estimate for compact sections, J ~ A⁴/(Iy + Iz).
// That is on the safe side: for a square rounded to a full circle it gives 8 %
// less than the exact value.
//
// Source: derived here, from St Venant's estimate.
func roundedTorsion(b, h float64, p Properties) float64 {
	a := p.Area / (b * h)
	polar := b * h * (b*b + h*h) / 12
	return RectangleTorsion(b, h) * math.Min(1, a*a*a*a*polar/(p.Iy+p.Iz))
}

// roundedRectangle is the boundary of a rectangle about the origin.
func roundedRectangle(b, h, r float64) path {
	return roundedPolygon([]corner{{-b / 2, -h / 2, r}, {b / 2, -h / 2, r}, {b / 2, h / 2, r}, {-b / 2, h / 2, r}})
}

// RoundBar is a solid round bar. Its origin is its centre.
type RoundBar struct {
	Diameter float64 // diameter d [m]
}

func (s RoundBar) validate() error {
	return within("round bar", size("diameter", s.Diameter, math.Inf(1)))
}

// Properties returns the bar's properties, all exact; shear by [RoundShear].
func (s RoundBar) Properties(poisson float64) (Properties, error) {
	if err := s.validate(); err != nil {
		return Properties{}, err
	}
	return checked(roundProperties(s.Diameter, 0, poisson))
}

// Outline returns the bar's boundary.
func (s RoundBar) Outline() ([]Region, error) {
	if err := s.validate(); err != nil {
		return nil, err
	}
	return []Region{{Outer: circle(s.Diameter / 2).points()}}, nil
}

// Listed is a section known by the properties on its data sheet. Its origin is
// the point from which the centroid is given.
type Listed struct {
	Area          float64 // area [m2]
	Iy            float64 // second moment ∫z² dA about the centroid [m4]
	Iz            float64 // second moment ∫y² dA about the centroid [m4]
	Iyz           float64 // product moment ∫yz dA about the centroid [m4]
	J             float64 // torsion constant [m4]
	Ky            float64 // shear coefficient along y, 0 for not listed [-]
	Kz            float64 // shear coefficient along z, 0 for not listed [-]
	CentroidY     float64 // centroid along y [m]
	CentroidZ     float64 // centroid along z [m]
	MassPerLength float64 // mass per metre, 0 for density times area [kg/m]
	Width         float64 // overall width along y for drawing, 0 for not known [m]
	Height        float64 // overall height along z for drawing, 0 for not known [m]
}

// Properties returns the listed values. A shear coefficient that is not listed
// is taken as that of a thin square tube, 5/12, which is also where
// profiles with several webs lie. A property that is missing or impossible
// gives [ErrNotFinite].
//
// Source: common practice, for the choice; derived here, by the energy of the tube's shear flow.
func (s Listed) Properties(float64) (Properties, error) {
	p := Properties{Area: s.Area, CentroidY: s.CentroidY, CentroidZ: s.CentroidZ,
		Iy: s.Iy, Iz: s.Iz, Iyz: s.Iyz, J: s.J, Ky: s.Ky, Kz: s.Kz}
	if p.Ky == 0 {
		p.Ky = squareTube
	}
	if p.Kz == 0 {
		p.Kz = squareTube
	}
	if s.Iyz*s.Iyz > s.Iy*s.Iz || !(s.MassPerLength >= 0) || math.IsInf(s.MassPerLength, 0) {
		return Properties{}, ErrNotFinite
	}
	return checked(p)
}

// stiffness returns the stiffness with the listed mass per metre, spread over
// the section as the area is.
func (s Listed) stiffness(m Material) (Stiffness, error) {
	p, err := s.Properties(m.Poisson())
	if err != nil {
		return Stiffness{}, err
	}
	if s.MassPerLength > 0 {
		m.Density = s.MassPerLength / s.Area
	}
	return p.times(m).checked()
}

// Outline returns the overall rectangle about the centroid, marked as
// schematic, or nothing where the overall size is not known.
func (s Listed) Outline() ([]Region, error) {
	if s.Width == 0 || s.Height == 0 {
		return nil, nil
	}
	regions, err := Bar{Width: s.Width, Height: s.Height}.Outline()
	if err != nil {
		return nil, err
	}
	if !finite(s.CentroidY, s.CentroidZ) {
		return nil, ErrNotFinite
	}
	regions[0].Schematic = true
	for k := range regions[0].Outer {
		regions[0].Outer[k].Y += s.CentroidY
		regions[0].Outer[k].Z += s.CentroidZ
	}
	return regions, nil
}
