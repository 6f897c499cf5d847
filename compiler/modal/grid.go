package modal

import (
	"fmt"
	"math"
	"slices"

	"ironbed/compiler/domain"
)

// A Grid is a receptance at a rising list of frequencies.
type Grid struct {
	Size      int            // number of coordinates
	Frequency []float64      // rising [Hz]
	H         [][]complex128 // by frequency: the matrix, row by row [m/N]
}

const (
	// perMode is the number of frequencies across the peak of a mode.
	perMode = 17
	// flank is how far the dense part of the grid reaches from a mode, as the
	// angle of its phase from resonance: 84 degrees, ten half widths.
	flank = 84 * math.Pi / 180
	// seen is the loss factor times the frequencies an octave from which on these see a
	// peak well: four of them across its width, (2^(1/n) − 1) f each [-].
	seen = 2.8
	// sharpest is the least loss factor that a peak is resolved for.
	sharpest = 1e-4
)

// Grid returns the receptance over a band of frequencies [Hz], dense where
// poles make it change: evenly in the phase of each pole,
//
//	f = fr √(1 + ηr tan ψ),  ψ from −84° to +84°
//
// and evenly in the logarithm between, so many an octave; modes so damped that these see
// their peaks well have none of their own. An error means a band that is none, or a mode
// without damping in it.
//
// Source: derived here.
//
// A mode alone has the phase tan ψ = (ω² − ωr²)/(η ωr²) from resonance.
func (r *Receptance) Grid(low, high float64, perOctave int) (*Grid, error) {
	var guard domain.Guard
	guard.Positive("lower end of the band", low)
	guard.Demand(perOctave > 0, "number of frequencies an octave", float64(perOctave), "one or more")
	guard.Demand(high > low && finite(high), "higher end of the band", high, "finite and above the lower one")
	if guard.Err != nil {
		return nil, guard.Err
	}
	g := &Grid{Size: r.size}
	steps := int(math.Ceil(float64(perOctave) * math.Log2(high/low)))
	for i := range steps + 1 {
		g.Frequency = append(g.Frequency, low*math.Pow(high/low, float64(i)/float64(steps)))
	}
	g.Frequency[steps] = high
	for i := range r.poles {
		m := &r.poles[i]
		loss := max(m.Loss, sharpest)
		if r.spread != nil {
			loss += 2 * r.spread(m.Omega/(2*math.Pi))
		}
		if loss > seen/float64(perOctave) {
			continue
		}
		for k := range perMode {
			psi := flank * (2*float64(k)/(perMode-1) - 1)
			f := m.Omega / (2 * math.Pi) * math.Sqrt(max(0, 1+loss*math.Tan(psi)))
			if f > low && f < high {
				g.Frequency = append(g.Frequency, f)
			}
		}
	}
	slices.Sort(g.Frequency)
	g.Frequency = slices.Compact(g.Frequency)
	square := r.size * r.size
	products := r.products()
	values := make([]complex128, square*len(g.Frequency))
	for i, f := range g.Frequency {
		h := values[i*square : i*square+square : i*square+square]
		r.at(2*math.Pi*f, products, h)
		for _, v := range h {
			if !finite(real(v), imag(v)) {
				return nil, fmt.Errorf("modal: the receptance at %g Hz is not a number; a mode without damping lies there", f)
			}
		}
		g.H = append(g.H, h)
	}
	return g, nil
}
