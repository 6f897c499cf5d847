package section

import "math"

// RolledI is a rolled I or H section with parallel flanges, upright: flanges
// along y, web along z. Its origin is its centre. A welded I has a root radius
// of 0.
type RolledI struct {
	Height          float64 // overall height h along z [m]
	Width           float64 // flange width b along y [m]
	WebThickness    float64 // web thickness tw [m]
	FlangeThickness float64 // flange thickness tf [m]
	RootRadius      float64 // fillet r between web and flange [m]
}

func (s RolledI) validate() error {
	outstand, depth := (s.Width-s.WebThickness)/2, s.Height/2-s.FlangeThickness
	return within("I section",
		size("height", s.Height, math.Inf(1)),
		size("width", s.Width, math.Inf(1)),
		size("web thickness", s.WebThickness, s.Width),
		size("flange thickness", s.FlangeThickness, s.Height/2),
		radius("root radius", s.RootRadius, math.Min(outstand, depth)))
}

func (s RolledI) path() path {
	b, h, w, f, r := s.Width/2, s.Height/2, s.WebThickness/2, s.Height/2-s.FlangeThickness, s.RootRadius
	return roundedPolygon([]corner{
		{-b, -h, 0}, {b, -h, 0}, {b, -f, 0}, {w, -f, r}, {w, f, r}, {b, f, 0},
		{b, h, 0}, {-b, h, 0}, {-b, f, 0}, {-w, f, r}, {-w, -f, r}, {-b, -f, 0}})
}

// pocket returns the space between the flanges on the +y side, or its mirror
// image on the -y side, flush with the flange tips.
func (s RolledI) pocket(plus bool) path {
	b, w, f, r := s.Width/2, s.WebThickness/2, s.Height/2-s.FlangeThickness, s.RootRadius
	if plus {
		return roundedPolygon([]corner{{w, -f, r}, {b, -f, 0}, {b, f, 0}, {w, f, r}})
	}
	return roundedPolygon([]corner{{-b, -f, 0}, {-w, -f, r}, {-w, f, r}, {-b, f, 0}})
}

// Properties returns the section's properties: area and second moments exact,
// torsion by [RolledITorsion], warping by [RolledIWarping], shear along the web
// by [CowperI] and along the flanges by the energy of the shear flow.
func (s RolledI) Properties(poisson float64) (Properties, error) {
	if err := s.validate(); err != nil {
		return Properties{}, err
	}
	p := s.path().moments().properties()
	p.CentroidY, p.CentroidZ = 0, 0 // by symmetry
	p.J = RolledITorsion(s.Height, s.Width, s.WebThickness, s.FlangeThickness, s.RootRadius)
	p.Iw, p.WarpingKnown = RolledIWarping(p.Iz, s.Height, s.FlangeThickness), true
	b, h := s.Width/2, (s.Height-s.FlangeThickness)/2
	p.Ky, _, _ = openWallShear([]strip{
		{y1: -b, z1: h, z2: h, t: s.FlangeThickness},
		{y1: b, z1: h, z2: h, t: s.FlangeThickness},
		{z1: h, z2: -h, t: s.WebThickness, from: []int{0, 1}},
		{y1: -b, z1: -h, z2: -h, t: s.FlangeThickness},
		{y1: b, z1: -h, z2: -h, t: s.FlangeThickness}})
	p.Kz = CowperI(ratio(poisson), s.Width, 2*h, s.FlangeThickness, s.WebThickness)
	return checked(p)
}

// Outline returns the section's boundary.
func (s RolledI) Outline() ([]Region, error) {
	if err := s.validate(); err != nil {
		return nil, err
	}
	return []Region{{Outer: s.path().points()}}, nil
}

// Channel is a parallel-flange channel with its web upright and its flanges
// towards +y. Its origin is at the back of the web, at mid-height.
type Channel struct {
	Height          float64 // overall height h along z [m]
	Width           float64 // flange width b along y, from the back of the web [m]
	WebThickness    float64 // web thickness tw [m]
	FlangeThickness float64 // flange thickness tf [m]
	RootRadius      float64 // fillet r between web and flange [m]
}

func (s Channel) validate() error {
	outstand, depth := s.Width-s.WebThickness, s.Height/2-s.FlangeThickness
	return within("channel",
		size("height", s.Height, math.Inf(1)),
		size("width", s.Width, math.Inf(1)),
		size("web thickness", s.WebThickness, s.Width),
		size("flange thickness", s.FlangeThickness, s.Height/2),
		radius("root radius", s.RootRadius, math.Min(outstand, depth)))
}

func (s Channel) path() path {
	b, h, w, f, r := s.Width, s.Height/2, s.WebThickness, s.Height/2-s.FlangeThickness, s.RootRadius
	return roundedPolygon([]corner{
		{0, -h, 0}, {b, -h, 0}, {b, -f, 0}, {w, -f, r}, {w, f, r}, {b, f, 0}, {b, h, 0}, {0, h, 0}})
}

// pocket returns the space between the flanges, flush with their tips.
func (s Channel) pocket() path {
	b, w, f, r := s.Width, s.WebThickness, s.Height/2-s.FlangeThickness, s.RootRadius
	return roundedPolygon([]corner{{w, -f, r}, {b, -f, 0}, {b, f, 0}, {w, f, r}})
}

// Properties returns the section's properties: area and second moments exact,
// torsion by [ChannelTorsion], warping by [ChannelWarping], shear along the
// flanges by the energy of the shear flow. For a force along the web a channel
// is half of a box of twice its width cut where no shear crosses, hence
// [CowperBox], which stands 1.6 % below Pilkey's example B.2.
func (s Channel) Properties(poisson float64) (Properties, error) {
	if err := s.validate(); err != nil {
		return Properties{}, err
	}
	p := s.path().moments().properties()
	p.CentroidZ = 0 // by symmetry
	p.J = ChannelTorsion(s.Height, s.Width, s.WebThickness, s.FlangeThickness, s.RootRadius)
	p.Iw, p.WarpingKnown = ChannelWarping(p, s.Height, s.WebThickness, s.FlangeThickness), true
	b, h := s.Width-s.WebThickness/2, (s.Height-s.FlangeThickness)/2
	p.Ky, _, _ = openWallShear([]strip{
		{y1: b, z1: h, z2: h, t: s.FlangeThickness},
		{z1: h, z2: -h, t: s.WebThickness, from: []int{0}},
		{z1: -h, y2: b, z2: -h, t: s.FlangeThickness, from: []int{1}}})
	p.Kz = CowperBox(ratio(poisson), 2*b, 2*h, s.FlangeThickness, s.WebThickness)
	return checked(p)
}

// Outline returns the section's boundary.
func (s Channel) Outline() ([]Region, error) {
	if err := s.validate(); err != nil {
		return nil, err
	}
	return []Region{{Outer: s.path().points()}}, nil
}

// Angle is an equal or unequal angle with one leg along +y and one along +z.
// Its origin is the outer corner, the heel.
type Angle struct {
	Height     float64 // leg h along z [m]
	Width      float64 // leg b along y [m]
	Thickness  float64 // thickness t of both legs [m]
	RootRadius float64 // fillet r1 in the inner corner [m]
	ToeRadius  float64 // rounding r2 of the inner edge of each toe [m]
}

func (s Angle) validate() error {
	least := math.Min(s.Width, s.Height)
	return within("angle",
		size("height", s.Height, math.Inf(1)),
		size("width", s.Width, math.Inf(1)),
		size("thickness", s.Thickness, least),
		radius("toe radius", s.ToeRadius, math.Min(s.Thickness, least-s.Thickness)),
		radius("root radius", s.RootRadius, least-s.Thickness-s.ToeRadius))
}

func (s Angle) path() path {
	b, h, t, r1, r2 := s.Width, s.Height, s.Thickness, s.RootRadius, s.ToeRadius
	return roundedPolygon([]corner{{0, 0, 0}, {b, 0, 0}, {b, t, r2}, {t, t, r1}, {t, h, r2}, {0, h, 0}})
}

// Properties returns the section's properties: area and second moments exact,
// torsion by [AngleTorsion], shear by the energy of the shear flow.
func (s Angle) Properties(float64) (Properties, error) {
	if err := s.validate(); err != nil {
		return Properties{}, err
	}
	p := s.path().moments().properties()
	p.J = AngleTorsion(s.Height, s.Width, s.Thickness, s.RootRadius, s.ToeRadius)
	b, h := s.Width-s.Thickness/2, s.Height-s.Thickness/2
	p.Ky, p.Kz, p.Kyz = openWallShear([]strip{
		{y1: b, t: s.Thickness},
		{z2: h, t: s.Thickness, from: []int{0}}})
	return checked(p)
}

// Outline returns the section's boundary.
func (s Angle) Outline() ([]Region, error) {
	if err := s.validate(); err != nil {
		return nil, err
	}
	return []Region{{Outer: s.path().points()}}, nil
}

// ratio brings Poisson's ratio into the range of an ordinary isotropic solid,
// 0 to 0.5, in which the shear coefficients were derived.
func ratio(poisson float64) float64 {
	if math.IsNaN(poisson) {
		return 0
	}
	return math.Max(0, math.Min(0.5, poisson))
}
