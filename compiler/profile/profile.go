// Package profile turns readings along a mounting surface into its profile, with what that is uncertain by.
package profile

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/acceptance"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// Coverage is how many standard deviations a reading may be off before it counts as another thing [-].
const Coverage = 2

// WireStrength is the stress at which a wire of spring steel breaks [Pa]; from memory, 2 to 3 GPa.
const WireStrength = 3e9

// A Pass is one pass of readings along a rail, as a profile.
type Pass struct {
	Rail  *spec.Entry[spec.Guide]
	Entry *spec.Entry[spec.SurfaceReadings]
	acceptance.Profile
	acceptance.Straightness
	Refused *machine.Refused // why there is no profile, nil where there is one
	Log     *spec.Log

	ends []*Pass // with its places and its instrument at their ends

	level bool    // its slopes are those against the horizontal
	wire  float64 // stress of the wire; 0 for none [Pa]
}

// Level reports whether the slopes of a pass are those against the horizontal, so that those of two rails can be compared.
func (p *Pass) Level() bool { return p.level }

// Snaps reports whether the wire of a pass would have broken.
func (p *Pass) Snaps() bool { return p.wire > WireStrength }

// U is what the straightness of a pass is uncertain by, as two standard deviations, and what its places and its instrument add [m].
func (p *Pass) U() float64 {
	most := 0.0
	for _, end := range p.ends {
		most = math.Max(most, math.Abs(end.LeastZone-p.LeastZone)+Coverage*math.Max(0, end.ZoneUncertainty-p.ZoneUncertainty))
	}
	return Coverage*p.ZoneUncertainty + most
}

// AboveU is the same of how far a point lies over the lower line [m].
func (p *Pass) AboveU(i int) float64 {
	most := 0.0
	for _, end := range p.ends {
		most = math.Max(most, math.Abs(end.Above[i]-p.Above[i]))
	}
	return Coverage*p.PointU(i) + most
}

// Farthest is the longest way from one place to the next [m].
func (p *Pass) Farthest() (most float64) {
	for i := 1; i < len(p.At); i++ {
		most = math.Max(most, p.At[i]-p.At[i-1])
	}
	return most
}

// Numbers are readings with the standard uncertainty of the least certain: to the nearest division, and what the spec says of each [unit of them].
func Numbers(read spec.Reader, list []spec.Value, division float64) (out []float64, u float64, err error) {
	own := 0.0
	for _, v := range list {
		low, middle, high := read.Span(v)
		out = append(out, middle)
		own = math.Max(own, (high-low)/2/Coverage)
	}
	u, err = acceptance.ResolutionUncertainty(division)
	return out, math.Hypot(u, own), err
}

// Places are the places of readings, as the reader picks them [m].
func Places(read spec.Reader, list []spec.Value) (out []float64) {
	for _, v := range list {
		out = append(out, read.Of(v))
	}
	return out
}

// Of makes a profile of a pass of readings.
func Of(m *spec.Machine, read spec.Reader, a *spec.Entry[spec.Axis], g *spec.Entry[spec.Guide], e *spec.Entry[spec.SurfaceReadings]) *Pass {
	p := taken(m, read, a, g, e)
	if p.Refused != nil {
		return p
	}
	for _, end := range spec.Ends {
		if q := taken(m, spec.At(end), a, g, e); q.Refused == nil { // an end may lie where a formula does not hold
			p.ends = append(p.ends, q)
		}
	}
	return p
}

// taken is a pass by what one reader picks.
func taken(m *spec.Machine, read spec.Reader, a *spec.Entry[spec.Axis], g *spec.Entry[spec.Guide], e *spec.Entry[spec.SurfaceReadings]) *Pass {
	p := &Pass{Rail: g, Entry: e, Log: &spec.Log{}}
	read = read.Into(p.Log)
	var err error
	switch x := &e.Item; {
	case x.Level != nil:
		p.level = true
		err = p.levelled(read, x.Level)
	case x.Straightedge != nil:
		err = p.edged(read, x.Straightedge)
	case x.Wire != nil:
		axes, wrong := machine.GuideAxes(machine.Unit(a.Item.Direction.XYZ), g)
		along := axes[2]
		if x.Lateral() {
			along = axes[1]
		}
		if err = wrong; err == nil {
			err = p.wired(read, x.Wire, r3.Dot(along, r3.Unit(machine.Gravity)), read.Of(m.Material("steel").Density))
		}
	default:
		p.At = Places(read, x.Indicator.At)
		p.Heights, p.Point, err = Numbers(read, x.Indicator.Read, read.Of(x.Indicator.Division))
		p.along(read, x.Indicator.Straightness)
	}
	if err == nil {
		p.Straightness, err = p.Profile.Straight()
	}
	if err != nil {
		p.Refused = &machine.Refused{Rule: "readings", At: e.At, Message: "readings " + e.Name + " of rail " + g.Name + ", axis " + a.Name + ", make no profile: " + err.Error()}
	}
	return p
}

// levelled makes the profile of a level's readings.
func (p *Pass) levelled(read spec.Reader, l *spec.LevelReadings) error {
	slopes, u, err := Numbers(read, l.Read, read.Of(l.Division))
	if err != nil {
		return err
	}
	if l.Turned != nil {
		turned, _, err := Numbers(read, l.Turned, 0)
		if err != nil {
			return err
		}
		for i := range slopes {
			if slopes[i], _, err = acceptance.LevelReversal(slopes[i], turned[i]); err != nil {
				return err
			}
		}
		u /= math.Sqrt2
	}
	at := []float64{read.Of(l.From)}
	for range slopes {
		at = append(at, at[len(at)-1]+read.Of(l.Foot))
	}
	p.Profile, err = acceptance.FromSlopes(at, slopes, u)
	return err
}

// edged makes the profile of heights over a straightedge.
func (p *Pass) edged(read spec.Reader, e *spec.StraightReadings) (err error) {
	p.At = Places(read, e.At)
	if p.Heights, p.Point, err = Numbers(read, e.Read, read.Of(e.Division)); err != nil || e.Turned == nil {
		p.along(read, e.Straightness)
		return err
	}
	turned, _, err := Numbers(read, e.Turned, 0)
	if err != nil {
		return err
	}
	p.Heights, _, err = acceptance.Reversal(p.Heights, turned)
	p.Point /= math.Sqrt2
	return err
}

// along adds what is uncertain by that along which the readings were taken: anywhere within its straightness.
func (p *Pass) along(read spec.Reader, straightness spec.Value) {
	_, _, most := read.Span(straightness)
	p.Point = math.Hypot(p.Point, most/math.Sqrt(12))
}

// wired makes the profile of heights over a wire, its sag put in as far as it hangs along the way that is read.
func (p *Pass) wired(read spec.Reader, w *spec.WireReadings, hangs, density float64) (err error) {
	p.At = Places(read, w.At)
	if p.Heights, p.Point, err = Numbers(read, w.Read, read.Of(w.Division)); err != nil {
		return err
	}
	from := read.Of(w.From)
	wire := acceptance.Wire{Diameter: read.Of(w.Diameter), Density: density, Span: read.Of(w.Span)}
	low, middle, high := read.Span(w.Pull)
	if w.Pitch.Given {
		pulls := [3]float64{}
		pulls[0], pulls[1], pulls[2] = read.Span(w.Pitch)
		for i, f := range pulls {
			if pulls[i], err = wire.PullOfPitch(f); err != nil {
				return err
			}
		}
		low, middle, high = pulls[0], pulls[1], pulls[2]
	}
	least, most := wire, wire
	wire.Pull, least.Pull, most.Pull = middle, low, high
	if p.wire, err = wire.Stress(); err != nil {
		return err
	}
	doubt := 0.0
	for i, at := range p.At {
		sag, err := wire.Sag(at - from)
		if err != nil {
			return err
		}
		slack, err := least.Sag(at - from)
		if err != nil {
			return err
		}
		tight, err := most.Sag(at - from)
		if err != nil {
			return err
		}
		p.Heights[i] += hangs * sag
		doubt = math.Max(doubt, math.Abs(hangs)*(slack-tight)/2/Coverage)
	}
	p.Point = math.Hypot(p.Point, doubt)
	return nil
}

// Off is how far the surface is off its best line at a place [m].
func (p *Pass) Off(place float64) float64 {
	h, err := p.Profile.HeightAt(place)
	if err != nil {
		return 0 // a profile that has a straightness has heights
	}
	x := math.Min(math.Max(place, p.At[0]), p.At[len(p.At)-1])
	return h - p.Best.Height - p.Best.Slope*x
}

// PointU is the standard uncertainty of a point's deviation from the line through the ends [m].
func (p *Pass) PointU(i int) float64 {
	factors := make([]float64, len(p.At))
	last := len(p.At) - 1
	share := (p.At[i] - p.At[0]) / (p.At[last] - p.At[0])
	factors[i]++
	factors[0] -= 1 - share
	factors[last] -= share
	u, err := p.Profile.Uncertainty(factors)
	if err != nil {
		return 0 // a profile that has a straightness has uncertainties
	}
	return u
}
