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

// Channel is a channel with its web upright and its flanges towards +y. Its
// origin is at the back of the web, at mid-height. The flanges are parallel, or
// their inner faces slope: then their thickness is that at half the width.
type Channel struct {
	Height          float64 // overall height h along z [m]
	Width           float64 // flange width b along y, from the back of the web [m]
	WebThickness    float64 // web thickness tw [m]
	FlangeThickness float64 // flange thickness tf, at b/2 [m]
	RootRadius      float64 // fillet r between web and flange [m]
	Slope           float64 // of the inner faces, thicker toward the web, 0 for parallel flanges [-]
	ToeRadius       float64 // rounding r2 of the inner edge of each flange's tip [m]
}

// inside is half of the space between the flanges, at a distance from the back of the web.
func (s Channel) inside(y float64) float64 {
	return s.Height/2 - s.FlangeThickness - s.Slope*(s.Width/2-y)
}

func (s Channel) validate() error {
	outstand, depth, toe := s.Width-s.WebThickness, s.inside(s.WebThickness), s.Height/2-s.inside(s.Width)
	return within("channel",
		size("height", s.Height, math.Inf(1)),
		size("width", s.Width, math.Inf(1)),
		size("web thickness", s.WebThickness, s.Width),
		size("flange thickness", s.FlangeThickness, s.Height/2),
		radius("slope", s.Slope, math.Min(s.FlangeThickness/s.Width, (s.Height/2-s.FlangeThickness)/s.Width)),
		radius("root radius", s.RootRadius, math.Min(outstand, depth)),
		radius("toe radius", s.ToeRadius, math.Min(outstand-s.RootRadius, toe)/(1+s.Slope)))
}

func (s Channel) path() path {
	b, h, w, r, toe := s.Width, s.Height/2, s.WebThickness, s.RootRadius, s.ToeRadius
	f, tip := s.inside(w), s.inside(b)
	return roundedPolygon([]corner{
		{0, -h, 0}, {b, -h, 0}, {b, -tip, toe}, {w, -f, r}, {w, f, r}, {b, tip, toe}, {b, h, 0}, {0, h, 0}})
}

// pocket returns the space between the flanges, flush with where their tips begin to be round.
func (s Channel) pocket() path {
	w, r := s.WebThickness, s.RootRadius
	// The arc takes r2 tan(φ/2) off the face, which turns by φ = 90° + atan(slope) into the tip.
	end := s.Width - s.ToeRadius*math.Tan((math.Pi/2+math.Atan(s.Slope))/2)/math.Hypot(1, s.Slope)
	f, tip := s.inside(w), s.inside(end)
	return roundedPolygon([]corner{{w, -f, r}, {end, -tip, 0}, {end, tip, 0}, {w, f, r}})
}

// Properties returns the section's properties: area and second moments exact,
// torsion by [ChannelTorsion], warping by [ChannelWarping], shear along the
// flanges by the energy of the shear flow. For a force along the web a channel
// is half of a box of twice its width cut where no shear crosses, hence
// [CowperBox], which stands 1.6 % below Pilkey's example B.2. With flanges that
// slope, torsion, warping and shear are by finite elements.
func (s Channel) Properties(poisson float64) (Properties, error) {
	if err := s.validate(); err != nil {
		return Properties{}, err
	}
	if s.Slope > 0 || s.ToeRadius > 0 {
		m := Material{E: 1, G: 0.5 / (1 + ratio(poisson)), Density: 1}
		n, err := solve([]solid{{outer: s.path(), material: m}})
		if err != nil {
			return Properties{}, err
		}
		return n.properties(m)
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
