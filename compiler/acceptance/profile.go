package acceptance

import "math"

// A Profile is the heights of a surface at places along it, with their uncertainty.
type Profile struct {
	At      []float64 // places, rising [m]
	Heights []float64 // [m]
	Point   float64   // standard uncertainty of each height for itself [m]
	Slope   float64   // standard uncertainty of each slope that the heights are summed of, 0 where they are not [rad]
}

// FromSlopes returns the profile of slopes that a level or an autocollimator read from each place to the next, as [Heights] sums them.
//
// Source: ISO 230-1.
func FromSlopes(at, slopes []float64, uncertainty float64) (Profile, error) {
	p := Profile{At: at, Slope: uncertainty, Heights: make([]float64, len(at))}
	var g guard
	g.Demand(len(slopes) == len(at)-1, "slopes", float64(len(slopes)), "one fewer than places")
	p.checkPlaces(&g)
	g.ZeroOrMore("uncertainty of a slope", uncertainty)
	for i, slope := range slopes {
		if g.Err != nil {
			return Profile{}, g.Err
		}
		step, err := Heights([]float64{slope}, at[i+1]-at[i])
		if err != nil {
			return Profile{}, err
		}
		p.Heights[i+1] = p.Heights[i] + step[1]
	}
	return p, g.Err
}

func (p Profile) checkPlaces(g *guard) {
	g.Demand(len(p.At) >= 2, "places of a profile", float64(len(p.At)), "two or more")
	for i := 1; i < len(p.At); i++ {
		g.Finite("place", p.At[i])
		g.Demand(p.At[i] > p.At[i-1], "place", p.At[i], "past the one before")
	}
}

func (p Profile) check(g *guard) {
	p.checkPlaces(g)
	g.Demand(len(p.Heights) == len(p.At), "heights of a profile", float64(len(p.Heights)), "as many as places")
	for _, h := range p.Heights {
		g.Finite("height", h)
	}
	g.ZeroOrMore("uncertainty of a height", p.Point)
	g.ZeroOrMore("uncertainty of a slope", p.Slope)
}

// Uncertainty returns the standard uncertainty of a sum of the heights, each times a factor.
//
//	u² = uₕ² Σ cᵢ² + Σⱼ (bⱼ uθ Σᵢ﹥ⱼ cᵢ)²   [m²]
//
// with c the factors, uₕ the uncertainty of a height for itself, uθ that of a slope and bⱼ the j-th step: heights that are summed of the
// same slopes are off together.
//
// Source: JCGM 100, 5.1.2 and 5.2.2; derived here, the heights written as sums of their slopes.
func (p Profile) Uncertainty(factors []float64) (float64, error) {
	var g guard
	p.check(&g)
	g.Demand(len(factors) == len(p.At), "factors", float64(len(factors)), "as many as places")
	if g.Err != nil {
		return 0, g.Err
	}
	u, behind := 0.0, 0.0
	for i := len(factors) - 1; i >= 0; i-- {
		u = math.Hypot(u, p.Point*factors[i])
		behind += factors[i]
		if i > 0 {
			u = math.Hypot(u, (p.At[i]-p.At[i-1])*p.Slope*behind)
		}
	}
	return g.Answer("uncertainty", u)
}

// Straight returns the straightness of the profile.
//
// An edge of the least zone holds two points of the profile's hull and the other edge the point farthest from it, so that the zone is
// found among these.
//
// Source: ISO 230-1; ISO 1101, the least zone.
func (p Profile) Straight() (Straightness, error) {
	var g guard
	p.check(&g)
	n := len(p.At)
	g.Demand(n >= 3, "points of the profile", float64(n), "three or more")
	if g.Err != nil {
		return Straightness{}, g.Err
	}
	// From the middle, and off the line through the ends, so that a steep surface costs no digits.
	first, last := p.At[0], p.At[n-1]
	rise := (p.Heights[n-1] - p.Heights[0]) / (last - first)
	s := Straightness{FromEnds: make([]float64, n)}
	var place, mean float64
	var ends, least band
	for i, h := range p.Heights {
		s.FromEnds[i] = h - p.Heights[0] - rise*(p.At[i]-first)
		ends.add(s.FromEnds[i])
		place += p.At[i] / float64(n)
		mean += s.FromEnds[i] / float64(n)
	}
	var square, product float64
	for i, e := range s.FromEnds {
		square += (p.At[i] - place) * (p.At[i] - place)
		product += (p.At[i] - place) * (e - mean)
	}
	slope := product / square
	for i, e := range s.FromEnds {
		least.add(e - mean - slope*(p.At[i]-place))
	}
	// whole puts a line about the ends back on the surface as it was read.
	whole := func(at, height, slope float64) Line {
		l := Line{Slope: slope + rise}
		l.Height = height - slope*at + p.Heights[0] - rise*first
		return l
	}
	s.Ends, s.LeastSquares, s.Best = ends.width(), least.width(), whole(place, mean, slope)
	zone := p.leastZone(s.FromEnds)
	s.LeastZone, s.Lower = zone.width, whole(p.At[zone.edge[0]], s.FromEnds[zone.edge[0]]-zone.drop, zone.slope)
	for i, h := range p.Heights {
		over := math.Max(0, h-s.Lower.at(p.At[i]))
		s.Above = append(s.Above, over)
		s.Below = append(s.Below, math.Max(0, s.LeastZone-over))
	}
	factors := make([]float64, n)
	share := (p.At[zone.far] - p.At[zone.edge[0]]) / (p.At[zone.edge[1]] - p.At[zone.edge[0]])
	factors[zone.edge[0]] -= 1 - share
	factors[zone.edge[1]] -= share
	factors[zone.far]++
	var err error
	if s.ZoneUncertainty, err = p.Uncertainty(factors); err != nil {
		return Straightness{}, err
	}
	for _, v := range []float64{s.Ends, s.LeastSquares, s.Best.Slope, s.LeastZone, s.Lower.Height} {
		g.Finite("straightness", v)
	}
	if g.Err != nil {
		return Straightness{}, g.Err
	}
	return s, nil
}

// A leastZone is the zone that one edge of a hull makes.
type leastZone struct {
	width float64
	slope float64
	drop  float64 // from the line through the edge to the lower line of the zone
	edge  [2]int
	far   int // the point on the other line
}

// same is the share of a zone that is nothing but rounding [-]: it does not choose between points that lie equally far out.
const same = 1e-9

// leastZone finds the narrowest zone of heights at the places of the profile.
func (p Profile) leastZone(heights []float64) (best leastZone) {
	best.width = math.Inf(1)
	var all band
	all.add(heights...)
	nothing := same * all.width() * (p.At[len(p.At)-1] - p.At[0])
	for _, side := range []float64{1, -1} { // the lower hull, then the upper one
		var hull []int
		for i := range heights {
			for len(hull) >= 2 {
				a, b := hull[len(hull)-2], hull[len(hull)-1]
				if side*((heights[b]-heights[a])*(p.At[i]-p.At[a])-(heights[i]-heights[a])*(p.At[b]-p.At[a])) < -nothing {
					break
				}
				hull = hull[:len(hull)-1]
			}
			hull = append(hull, i)
		}
		for n := 1; n < len(hull); n++ {
			z := leastZone{edge: [2]int{hull[n-1], hull[n]}, far: hull[n]}
			a := z.edge[0]
			z.slope = (heights[z.edge[1]] - heights[a]) / (p.At[z.edge[1]] - p.At[a])
			for i, h := range heights {
				if away := side * (h - heights[a] - z.slope*(p.At[i]-p.At[a])); away > z.width*(1+same) {
					z.width, z.far = away, i
				}
			}
			if side < 0 {
				z.drop = z.width
			}
			if z.width < best.width*(1-same) {
				best = z
			}
		}
	}
	return best
}

// HeightAt returns the height of the surface at a place between its first and last, straight from point to point, and beyond them as the
// nearest is.
//
// Source: derived here.
func (p Profile) HeightAt(place float64) (float64, error) {
	var g guard
	p.check(&g)
	g.Finite("place", place)
	if g.Err != nil {
		return 0, g.Err
	}
	if place <= p.At[0] {
		return p.Heights[0], nil
	}
	for i := 1; i < len(p.At); i++ {
		if place <= p.At[i] {
			share := (place - p.At[i-1]) / (p.At[i] - p.At[i-1])
			return g.Answer("height", p.Heights[i-1]+share*(p.Heights[i]-p.Heights[i-1]))
		}
	}
	return p.Heights[len(p.Heights)-1], nil
}

// ResolutionUncertainty returns the standard uncertainty of a reading to the nearest division.
//
//	u = r/√12   [unit of r]
//
// Source: JCGM 100, F.2.2.1.
func ResolutionUncertainty(division float64) (float64, error) {
	var g guard
	g.ZeroOrMore("division", division)
	return g.Answer("uncertainty", division/math.Sqrt(12))
}

// Surprise returns by how many standard deviations a reading differs from what was predicted of it, both uncertain.
//
//	z = (y − m)/√(s² + u²)   [-]
//
// with s the standard deviation of the prediction m and u that of the reading y, each known independently of the other.
//
// Source: JCGM 100, 5.1.2; derived here, the standard deviation of a difference.
func Surprise(read, uncertainty, predicted, deviation float64) (float64, error) {
	var g guard
	g.Finite("reading", read)
	g.Finite("prediction", predicted)
	g.ZeroOrMore("standard deviation of the prediction", deviation)
	g.ZeroOrMore("standard uncertainty of the reading", uncertainty)
	both := math.Hypot(deviation, uncertainty)
	g.Positive("standard deviation of the difference", both)
	return g.Answer("surprise", (read-predicted)/both)
}
