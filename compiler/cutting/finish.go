package cutting

import (
	"fmt"
	"math"
)

// UnevenMarks returns the height of the cusps on a wall by a cutter whose teeth
// do not run true, peak to valley, in m.
//
//	y(x) = min over the cusps of ((x - x_i)²/D - Δr_i),  x_i = i fz
//
// where D [m] is the diameter and Δr [m] how far the tooth stands out (see
// [ToothRadii]). The cusps of the foremost tooth cut away those of the others;
// where it takes all, what is left are the cusps of the feed of a whole turn,
// (z fz)²/(4 D), z² times as high as those of a cutter that runs true. No more
// than that comes of runout, however large.
//
// Source: derived here, the lower envelope of the cusps, taken as parabolas.
func UnevenMarks(diameter, feedPerTooth float64, radii []float64) (float64, error) {
	n := len(radii)
	if !positive(diameter) || !positive(feedPerTooth) || n == 0 || n > 100 || !finite(radii...) {
		return 0, fmt.Errorf("no marks of %d teeth on %g m at %g m a tooth", n, diameter, feedPerTooth)
	}
	// The same for one turn before and one after.
	at := func(mark int) (x, depth float64) {
		return float64(mark) * feedPerTooth, radii[((mark%n)+n)%n]
	}
	surface := func(x float64) float64 {
		lowest := math.Inf(1)
		for mark := -n; mark <= 2*n; mark++ {
			centre, depth := at(mark)
			lowest = math.Min(lowest, (x-centre)*(x-centre)/diameter-depth)
		}
		return lowest
	}
	valley, peak := 0.0, math.Inf(-1)
	for j, r := range radii {
		if j == 0 || -r < valley {
			valley = -r
		}
	}
	// A peak is where two cusps meet.
	for i := 0; i < n; i++ {
		for j := i + 1; j <= i+n; j++ {
			a, ra := at(i)
			b, rb := at(j)
			x := (a+b)/2 + diameter*(ra-rb)/2/(b-a)
			if x >= a-float64(n)*feedPerTooth && x <= b+float64(n)*feedPerTooth {
				if y := surface(x); y >= (x-a)*(x-a)/diameter-ra-1e-9*feedPerTooth {
					peak = math.Max(peak, y)
				}
			}
		}
	}
	if height := peak - valley; height >= 0 && finite(height) {
		return height, nil
	}
	return 0, fmt.Errorf("no marks of teeth that stand out by %v m", radii)
}

// ArithmeticRoughness returns the roughness Ra of cusps that are parabolas of a
// height, in m.
//
//	Ra = 4/(9 √3) Rt ≈ 0.257 Rt, so that f²/(8 r) gives about f²/(32 r)
//
// Source: derived here, the mean distance of a parabola from its mean.
func ArithmeticRoughness(height float64) float64 { return 4 / (9 * math.Sqrt(3)) * height }

// Form is how a wall comes out that a bending cutter mills. Deviations are
// positive where work is left on, negative where too much is taken.
type Form struct {
	Height    []float64 // heights above the tip [m]
	Deviation []float64 // of the wall there [m]
	Least     float64   // smallest of the deviations [m]
	Most      float64   // largest of them [m]
	Error     float64   // the one that is largest in size [m]
	Runout    float64   // how much of them all is the foremost tooth standing out [m]
}

// formHeights is the number of heights of a wall.
const formHeights = 41

// Form returns the form of the wall that the cut leaves, where the tool tip deflects
// by a compliance across the wall [m/N].
//
//	deviation(z) = ± c Fn(θ(z)) - max Δr,  + down milling, - up milling
//
// The wall at the height z is made by that point of the edge which stands square
// to it: at φ = 0 in up milling and at φ = π in down milling, when the tip is
// ahead by θ(z) = 2 z tan λ / D. What counts is the force on the normal axis at
// that moment, which comes from the other parts of the edges, and not the
// peak. In down milling it lifts the tool off, and work is left on; in up milling
// it drags the tool in where the cut is wide or deep, and too much is taken,
// while near the tip and in a narrow cut the normal force wins and lifts it too.
// A straight tooth makes its wall at one moment, with no chip of its own.
//
// Error is an input out of range or a cut that has no wall: a slot or a strip
// under the middle of the cutter.
//
// Source: Kline 1982, surface generation; Altintas 2012, chapter 2, form errors in peripheral milling.
func (c Cut) Form(w Work, compliance float64) (Form, error) {
	if c.Mode != Up && c.Mode != Down {
		return Form{}, fmt.Errorf("only up and down milling leave a wall, got mode %d", c.Mode)
	}
	if !notNegative(compliance) {
		return Form{}, fmt.Errorf("compliance must not be negative, got %g m/N", compliance)
	}
	e, _, err := c.evaluate(&w)
	if err != nil {
		return Form{}, err
	}
	wall, sign := 0.0, -1.0
	if c.Mode == Down {
		wall, sign = math.Pi, 1
	}
	f := Form{Least: math.Inf(1), Most: math.Inf(-1)}
	pitch := 2 * math.Pi / float64(c.Teeth)
	from := math.Min(c.Corner, c.Depth) // a rounded corner makes no wall
	for i := range formHeights {
		height := from + (c.Depth-from)*float64(i)/(formHeights-1)
		lag := 2 * height * math.Abs(math.Tan(c.Helix)) / c.Diameter
		deviation := math.Inf(1)
		// Of the teeth that pass, the one that goes deepest has the last word.
		for tooth := range c.Teeth {
			out := toothRadius(c.Runout, c.RunoutAngle+lag, tooth, c.Teeth)
			load := e.at(wall + lag - float64(tooth)*pitch)
			if d := sign*compliance*load[1] - out; d < deviation {
				deviation, f.Runout = d, math.Max(f.Runout, out)
			}
			if c.Runout == 0 {
				break // the others are the same
			}
		}
		f.Height = append(f.Height, height)
		f.Deviation = append(f.Deviation, deviation)
		f.Least, f.Most = math.Min(f.Least, deviation), math.Max(f.Most, deviation)
	}
	f.Error = f.Most
	if -f.Least > f.Most {
		f.Error = f.Least
	}
	if !finite(f.Error, f.Least, f.Most) {
		return Form{}, fmt.Errorf("the form of the wall is beyond the range of numbers")
	}
	return f, nil
}
