package cutting

import (
	"fmt"
	"math"
)

// BurstSpeed returns the speed of the edge at which a cutter's body bursts, in
// m/s.
//
//	v = √(σ / (K ρ)),  K = (3 + ν)/8 for a solid body, 1 for a thin ring
//
// where σ [Pa] is the strength of the body, ρ [kg/m3] its density and ν [-]
// Poisson's ratio. A body with a large bore is nearer to a ring. It is an upper
// bound: brazed tips, screws and long shanks give way before.
//
// Source: derived here, the largest hoop stress of a spinning disc without a hole, at its middle, and of a thin ring, ρ v².
func BurstSpeed(strength, density, poisson float64, solid bool) (float64, error) {
	if !positive(strength) || !positive(density) || !(poisson >= 0 && poisson <= 0.5) {
		return 0, fmt.Errorf("no bursting speed for %g Pa, %g kg/m3 and %g", strength, density, poisson)
	}
	factor := 1.0
	if solid {
		factor = (3 + poisson) / 8
	}
	v := math.Sqrt(strength / factor / density)
	if !positive(v) {
		return 0, fmt.Errorf("no bursting speed for %g Pa and %g kg/m3", strength, density)
	}
	return v, nil
}

// burstFactor is the speed at which a cutter in one piece must not yet burst
// over its greatest speed in use.
//
// Source: ISO 15641, test of cutters in one piece; from memory.
const burstFactor = 2

// A Rating is what the maker's greatest speed says of a speed.
type Rating int

// What a rating can say. A cutter without one is not a cutter for any speed.
const (
	AskMaker   Rating = iota // no speed is stated
	WithinRate               // at most the speed stated
	OverRate                 // above it
)

// Rotation is how a speed stands to what a cutter bears.
type Rotation struct {
	TipSpeed float64 // speed of the edge [m/s]
	Limit    float64 // speed at which the body would have half its bursting speed, a bound and no permission [rev/s]
	Margin   float64 // rated over actual speed, 0 without a rating [-]
	Rating   Rating
}

// Rotation returns how a spindle speed [rev/s] stands to the cutter's own
// strength and to its maker's rating, 0 for none stated.
//
// Source: ISO 15641, safety of milling cutters; derived here, as for [BurstSpeed].
func (t Tool) Rotation(speed, rated float64) (Rotation, error) {
	s := t.Substance
	if !positive(t.Diameter) || !positive(speed) || !notNegative(rated) {
		return Rotation{}, fmt.Errorf("cannot judge %g rev/s on a cutter of %g m rated for %g", speed, t.Diameter, rated)
	}
	burst, err := BurstSpeed(s.Strength/s.Safety, s.Density, s.Poisson, true)
	if err != nil {
		return Rotation{}, err
	}
	r := Rotation{TipSpeed: SurfaceSpeed(t.Diameter, speed), Limit: burst / burstFactor / (math.Pi * t.Diameter), Margin: rated / speed}
	switch {
	case rated == 0:
		r.Rating = AskMaker
	case speed > rated*(1+1e-9):
		r.Rating = OverRate
	default:
		r.Rating = WithinRate
	}
	if !finite(r.TipSpeed, r.Limit, r.Margin) {
		return Rotation{}, fmt.Errorf("cannot judge %g rev/s", speed)
	}
	return r, nil
}

// Unbalance returns the turning force of a cutter whose middle of mass is off
// the axis, in N, as of a single flute, and its balance quality in m/s.
//
//	F = m e ω²,  G = e ω
//
// where m [kg] is the mass that turns, e [m] the distance and ω = 2π n [rad/s].
// Standard grades are stated in mm/s: 2.5 for spindles, 6.3 and more for cutters.
//
// Source: ISO 21940-11, balance quality grade.
func Unbalance(mass, offset, speed float64) (force, grade float64, err error) {
	omega := 2 * math.Pi * speed
	force, grade = mass*offset*omega*omega, offset*omega
	if !notNegative(mass) || !notNegative(offset) || !notNegative(speed) || !finite(force, grade) {
		return 0, 0, fmt.Errorf("no unbalance of %g kg at %g m and %g rev/s", mass, offset, speed)
	}
	return force, grade, nil
}
