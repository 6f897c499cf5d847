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
// torsion by [RolledITorsion], warping by [RolledIWarping], shear by the energy of
// the shear flow.
func (s RolledI) Properties(float64) (Properties, error) {
	if err := s.validate(); err != nil {
		return Properties{}, err
	}
	p := s.path().moments().properties()
	p.CentroidY, p.CentroidZ = 0, 0 // by symmetry
	p.J = RolledITorsion(s.Height, s.Width, s.WebThickness, s.FlangeThickness, s.RootRadius)
	p.Iw, p.WarpingKnown = RolledIWarping(p.Iz, s.Height, s.FlangeThickness), true
	return checked(p.sheared(s.walls()))
}

// walls are the section's walls: a flange from both tips to the web, the web, the other flange.
func (s RolledI) walls() (w flow) {
	b, middle, inner := s.Width/2, (s.Height-s.FlangeThickness)/2, s.Height/2-s.FlangeThickness
	tw, tf, r := s.WebThickness, s.FlangeThickness, s.RootRadius
	past, into := strained(tf, straight, straightFillet, r), strained(tw, branching, branchingFillet, r)
	flange := func(z float64) (ends []int) {
		for _, side := range []float64{-1, 1} {
			tip := w.run(stretch{y1: side * b, z1: z, y2: side * tw / 2, z2: z, t: tf, r2: r, sides: 1})
			ends = append(ends, w.add(strip{y1: side * tw / 2, z1: z, z2: z, t: tf, passes: past, from: tip}))
		}
		return ends
	}
	top := w.add(strip{z1: middle, z2: inner, passes: into, from: flange(middle)})
	web := w.run(stretch{z1: inner, z2: -inner, t: tw, r1: r, r2: r, sides: 2, carries: 2}, top)
	w.add(strip{z1: -inner, z2: -middle, passes: into, from: web})
	flange(-middle)
	return w
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
// torsion by [ChannelTorsion], warping by [ChannelWarping], shear by the energy of
// the shear flow. With flanges that slope, torsion, warping and shear are by finite elements.
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
	return checked(p.sheared(s.walls()))
}

// walls are the section's walls, from one tip to the other. A corner's area stands in the flange's part of it.
func (s Channel) walls() (w flow) {
	b, y, middle, inner := s.Width, s.WebThickness/2, (s.Height-s.FlangeThickness)/2, s.Height/2-s.FlangeThickness
	tw, tf, r := s.WebThickness, s.FlangeThickness, s.RootRadius
	along := strained(tf, turning, turningFillet, r)
	across := 0.0
	if along > 0 {
		across = along * tw / tf
	}
	l := w.run(stretch{y1: b, z1: middle, y2: tw, z2: middle, t: tf, r2: r, sides: 1})
	l = []int{w.add(strip{y1: tw, z1: middle, y2: y, z2: middle, t: 2 * tf, passes: along, from: l})}
	l = []int{w.add(strip{y1: y, z1: middle, y2: y, z2: inner, passes: across, from: l})}
	l = w.run(stretch{y1: y, z1: inner, y2: y, z2: -inner, t: tw, r1: r, r2: r, sides: 1, carries: 1}, l...)
	l = []int{w.add(strip{y1: y, z1: -inner, y2: y, z2: -middle, passes: across, from: l})}
	l = []int{w.add(strip{y1: y, z1: -middle, y2: tw, z2: -middle, t: 2 * tf, passes: along, from: l})}
	w.run(stretch{y1: tw, z1: -middle, y2: b, z2: -middle, t: tf, r1: r, sides: 1}, l...)
	return w
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
	return checked(p.sheared(s.walls()))
}

// walls are the two legs. Either ends short of its tip by what the toe's rounding takes off, and carries half of the heel and of the
// fillet.
func (s Angle) walls() (w flow) {
	t, r := s.Thickness, s.RootRadius
	toe := (1 - math.Pi/4) * s.ToeRadius * s.ToeRadius / t
	passes := strained(t, heel, heelFillet, r)
	l := w.run(stretch{y1: s.Width - toe, z1: t / 2, y2: t, z2: t / 2, t: t, r2: r, sides: 1, carries: 0.5})
	l = []int{w.add(strip{y1: t, z1: t / 2, y2: t / 2, z2: t / 2, t: t, passes: passes, from: l})}
	l = []int{w.add(strip{y1: t / 2, z1: t / 2, y2: t / 2, z2: t, t: t, passes: passes, from: l})}
	w.run(stretch{y1: t / 2, z1: t, y2: t / 2, z2: s.Height - toe, t: t, r1: r, sides: 1, carries: 0.5}, l...)
	return w
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
