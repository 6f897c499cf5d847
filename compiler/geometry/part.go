package geometry

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/rank"
)

// Profiles are the error motions along the travel: each at a position of its own
// axis, nil for none. Those of the squareness are the angle at any position.
type Profiles [Count]func(position float64) float64 // shifts [m], angles [rad]

// at returns the errors with the axes at positions.
func (f Profiles) at(p Positions) (e Errors) {
	for m, of := range f {
		if of != nil {
			e[m] = of(p[Motion(m).moving()])
		}
	}
	return e
}

// moving is the axis along which a motion is stated.
func (m Motion) moving() Axis {
	switch m {
	case EC0Y:
		return Y
	case EB0Z, EA0Z:
		return Z
	}
	return Axis(m / 6)
}

// A Box is a part, or the space that the tool tip reaches on the workpiece.
type Box struct {
	Low, High r3.Vec // corners [m]
}

func (b Box) check(g *guard, quantity string) {
	g.vector("low corner of the "+quantity, b.Low)
	g.vector("high corner of the "+quantity, b.High)
	size := r3.Sub(b.High, b.Low)
	for _, v := range []float64{size.X, size.Y, size.Z} {
		g.Demand(v >= 0, "size of the "+quantity, v, "zero or more")
	}
}

// A Spread is the error over a part. What is the same all over the part is no error
// of its size or shape: zero is set on the part.
type Spread struct {
	Offset r3.Vec  // middle of the band, taken out by setting zero [m]
	Band   r3.Vec  // largest less smallest error along X, Y and Z [m]
	Within float64 // largest distance between the errors of two points [m]
}

// A grid of so many points or places along an edge stays within what can be computed.
const (
	mostPoints = 11
	mostPlaces = 21
)

// rounding is a length below which two edges are one [m].
const rounding = 1e-12

// Over returns the error over a part from profiles of the error motions, to first
// order, at a grid of points along each edge of the part, two or more; profiles that
// are curved need more.
//
//	band = max δ(w) − min δ(w)   [m]
//
// with δ the error at the tool tip and w the points of the part.
//
// Source: derived here, differences of [Chain.Sensitivities] with the error motions.
func (c Chain) Over(part Box, profiles Profiles, points int) (Spread, error) {
	errors, err := c.sample(part, profiles, points)
	if err != nil {
		return Spread{}, err
	}
	var s Spread
	low, high := errors[0], errors[0]
	for _, e := range errors {
		low = r3.Vec{X: math.Min(low.X, e.X), Y: math.Min(low.Y, e.Y), Z: math.Min(low.Z, e.Z)}
		high = r3.Vec{X: math.Max(high.X, e.X), Y: math.Max(high.Y, e.Y), Z: math.Max(high.Z, e.Z)}
	}
	s.Band, s.Offset = r3.Sub(high, low), r3.Scale(0.5, r3.Add(high, low))
	for i := range errors {
		for _, other := range errors[:i] {
			s.Within = math.Max(s.Within, r3.Norm(r3.Sub(errors[i], other)))
		}
	}
	var g guard
	g.vector("offset", s.Offset)
	g.vector("band", s.Band)
	g.Finite("distance within the part", s.Within)
	if g.Err != nil {
		return Spread{}, g.Err
	}
	return s, nil
}

// sample returns the errors at the points of a part.
func (c Chain) sample(part Box, profiles Profiles, points int) (errors []r3.Vec, err error) {
	err = c.each(part, profiles, points, func(s Sensitivities, e Errors) { errors = append(errors, s.Error(e)) })
	return errors, err
}

// each calls with the points of a part: with what each error motion does there, and how large it is.
func (c Chain) each(part Box, profiles Profiles, points int, with func(Sensitivities, Errors)) error {
	var g guard
	part.check(&g, "part")
	g.Demand(points >= 2 && points <= mostPoints, "points along an edge", float64(points), "2 to 11")
	if g.Err != nil {
		return g.Err
	}
	size := r3.Sub(part.High, part.Low)
	along := func(i int, low, size float64) float64 { return low + size*float64(i)/float64(points-1) }
	count := func(size float64) int {
		if size == 0 {
			return 1
		}
		return points
	}
	for i := range count(size.X) {
		for j := range count(size.Y) {
			for k := range count(size.Z) {
				p := c.At(r3.Vec{X: along(i, part.Low.X, size.X), Y: along(j, part.Low.Y, size.Y), Z: along(k, part.Low.Z, size.Z)})
				s, err := c.Sensitivities(p)
				if err != nil {
					return err
				}
				e := profiles.at(p)
				if e.check(&g); g.Err != nil {
					return g.Err
				}
				with(s, e)
			}
		}
	}
	return nil
}

// Each returns the bands that the error motions make over a part one at a time. As
// first order adds up, the band of all is no more than their sum: where only
// tolerances are known, and so no signs, these are what a budget combines.
//
// Source: derived here, [Chain.Over] with one profile at a time.
func (c Chain) Each(part Box, profiles Profiles, points int) (bands [Count]r3.Vec, err error) {
	var low, high [Count]r3.Vec
	first := true
	err = c.each(part, profiles, points, func(s Sensitivities, e Errors) {
		for m, size := range e {
			v := r3.Scale(size, s[m])
			if first {
				low[m], high[m] = v, v
				continue
			}
			low[m] = r3.Vec{X: math.Min(low[m].X, v.X), Y: math.Min(low[m].Y, v.Y), Z: math.Min(low[m].Z, v.Z)}
			high[m] = r3.Vec{X: math.Max(high[m].X, v.X), Y: math.Max(high[m].Y, v.Y), Z: math.Max(high[m].Z, v.Z)}
		}
		first = false
	})
	for m := range bands {
		bands[m] = r3.Sub(high[m], low[m])
	}
	return bands, err
}

// A Place is where a part lies, with the error over it there.
type Place struct {
	Centre r3.Vec // of the part [m]
	Spread
}

// Places returns where in the envelope the error over a part of a size [m] is the
// largest and the smallest, by the distance within the part, on a grid of places that
// keep the whole part inside.
//
// Source: derived here, [Chain.Over] at each place.
func (c Chain) Places(envelope Box, size r3.Vec, profiles Profiles, points, places int) (worst, best Place, err error) {
	var g guard
	envelope.check(&g, "envelope")
	half := r3.Scale(0.5, size)
	centres := Box{r3.Add(envelope.Low, half), r3.Sub(envelope.High, half)}
	for _, v := range []float64{size.X, size.Y, size.Z} {
		g.ZeroOrMore("size of the part", v)
	}
	room := r3.Sub(centres.High, centres.Low)
	for _, v := range []float64{room.X, room.Y, room.Z} {
		g.Demand(v >= -rounding, "room for the part in the envelope", v, "zero or more")
	}
	g.Demand(places >= 1 && places <= mostPlaces, "places along an edge", float64(places), "1 to 21")
	if g.Err != nil {
		return Place{}, Place{}, g.Err
	}
	along := func(i int, low, high float64) float64 {
		if places == 1 || high-low <= rounding {
			return (low + high) / 2
		}
		return low + (high-low)*float64(i)/float64(places-1)
	}
	count := func(room float64) int {
		if room <= rounding {
			return 1
		}
		return places
	}
	var all []Place
	for i := range count(room.X) {
		for j := range count(room.Y) {
			for k := range count(room.Z) {
				centre := r3.Vec{
					X: along(i, centres.Low.X, centres.High.X),
					Y: along(j, centres.Low.Y, centres.High.Y),
					Z: along(k, centres.Low.Z, centres.High.Z),
				}
				s, err := c.Over(Box{r3.Sub(centre, half), r3.Add(centre, half)}, profiles, points)
				if err != nil {
					return Place{}, Place{}, err
				}
				all = append(all, Place{centre, s})
			}
		}
	}
	within := func(p Place) float64 { return p.Within }
	return all[rank.Most(all, within)], all[rank.Most(all, func(p Place) float64 { return -within(p) })], nil
}
