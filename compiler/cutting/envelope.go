package cutting

import (
	"fmt"
	"math"
)

// An Envelope is the surface that the edges of an end mill sweep as it turns: a
// cylinder that ends at a right angle, in a rounded corner, or in a ball. Heights
// are measured from the tip.
type Envelope struct {
	Diameter float64 // diameter of the cylinder [m]
	Corner   float64 // corner radius, half the diameter for a ball, 0 for a right angle [m]
}

// check reports what makes an envelope impossible.
func (e Envelope) check() error {
	switch {
	case !positive(e.Diameter):
		return fmt.Errorf("cutter diameter must be above zero, got %g m", e.Diameter)
	case !(e.Corner >= 0 && e.Corner <= e.Diameter/2*(1+1e-12)):
		return fmt.Errorf("corner radius must be from 0 to half the diameter, got %g m", e.Corner)
	}
	return nil
}

// EffectiveDiameter returns the largest diameter that cuts at a depth of cut, in m.
//
//	Deff = D - 2 r + 2 √(ap (2 r - ap))   for ap < r, with r = D/2 for a ball
//	     = D                              for deeper cuts
//
// where D [m] is the diameter, r [m] the corner radius and ap [m] the depth.
//
// Source: Engin Altintas 2001, envelope of general end mills; derived here, the circle of the corner at the height ap.
func (e Envelope) EffectiveDiameter(depth float64) float64 {
	if depth >= e.Corner {
		return e.Diameter
	}
	return e.Diameter - 2*e.Corner + 2*math.Sqrt(math.Max(0, depth*(2*e.Corner-depth)))
}

// EdgeSine returns the sine of the cutting edge angle at a height, [-].
//
//	sin κ = √(z (2 r - z)) / r   for z < r
//	      = 1                    above
//
// where r [m] is the corner radius and z [m] the height.
//
// Source: Engin Altintas 2001, envelope of general end mills; derived here, the tangent of the circle of the corner.
func (e Envelope) EdgeSine(height float64) float64 {
	if height >= e.Corner {
		return 1
	}
	return math.Sqrt(math.Max(0, height*(2*e.Corner-height))) / e.Corner
}

// DepthWithin returns the greatest depth of cut at which the effective diameter is
// at most a diameter, in m: the inverse of [Envelope.EffectiveDiameter]. It is
// infinite from the cutter's own diameter on, and 0 for a diameter that the cutter
// exceeds at its very tip.
//
// Source: Engin Altintas 2001, envelope of general end mills; derived here, the circle of the corner solved for its height.
func (e Envelope) DepthWithin(diameter float64) float64 {
	if diameter >= e.Diameter {
		return math.Inf(1)
	}
	out := diameter/2 - (e.Diameter/2 - e.Corner)
	if out <= 0 {
		return 0
	}
	return e.Corner - math.Sqrt(math.Max(0, e.Corner*e.Corner-out*out))
}

// A Band is a stretch of an envelope along the axis over which the edge is taken to
// have one radius and one cutting edge angle, and the cut one width.
type Band struct {
	Top        float64 // height of its upper end [m]
	Height     float64 // length along the axis [m]
	Length     float64 // length of the edge [m]
	Radius     float64 // mean radius of the envelope over the height [m]
	Sin        float64 // sine of the cutting edge angle [-]
	Cos        float64 // cosine of the cutting edge angle [-]
	WidthRatio float64 // width of cut over the diameter there, at most 1 [-]

	low, high float64 // cutting edge angles at its ends [rad]
}

// meanPower returns the mean of a power of sin κ along the edge of a band. Next to the tip
// it is not the power of the mean.
func (b *Band) meanPower(exponent float64) (mean float64) {
	if b.low == b.high {
		return math.Pow(b.Sin, exponent)
	}
	for _, g := range gauss {
		for _, x := range [2]float64{0.5 - g[0]/2, 0.5 + g[0]/2} {
			mean += g[1] / 2 * math.Pow(math.Sin(b.low+(b.high-b.low)*x), exponent)
		}
	}
	return mean
}

const (
	cornerBands   = 16 // bands of a rounded corner, in equal steps of the cutting edge angle
	cylinderBands = 4  // bands of the cylinder above it, thinner next to the corner
)

// bands cuts an envelope into bands up to a depth. A band of the corner has the means
// of the sine and the cosine of its angles and of the radius over its height, so that
// its forces along the edge and its volume of chip are those of the arc.
// The step from pass to pass is the same at every height, see [Cut].
func (e Envelope) bands(widthRatio, depth float64, mode Mode) []Band {
	list := make([]Band, 0, cornerBands+cylinderBands)
	add := func(b Band) {
		if b.WidthRatio = 1; mode != Slot {
			b.WidthRatio = math.Min(1, widthRatio*e.Diameter/(2*b.Radius))
		}
		list = append(list, b)
	}
	if e.Corner > 0 {
		step := math.Acos(math.Max(0, 1-depth/e.Corner)) / cornerBands
		for i := range cornerBands {
			low, high := float64(i)*step, float64(i+1)*step
			sinLow, cosLow := math.Sincos(low)
			sinHigh, cosHigh := math.Sincos(high)
			b := Band{
				Top: e.Corner * (1 - cosHigh), Height: e.Corner * (cosLow - cosHigh), Length: e.Corner * step,
				Sin: (cosLow - cosHigh) / step, Cos: (sinHigh - sinLow) / step, low: low, high: high,
			}
			// ∫ sin κ dz over the band, for the mean of the radius.
			lean := e.Corner / 2 * (step - sinHigh*cosHigh + sinLow*cosLow)
			b.Radius = e.Diameter/2 - e.Corner + e.Corner*lean/b.Height
			add(b)
		}
	}
	rest := depth - e.Corner
	if e.Corner > 0 && !(rest > 1e-9*depth) {
		return list
	}
	bottom := e.Corner
	for i := range cylinderBands {
		part := float64(i+1) / cylinderBands
		top := e.Corner + rest*part*part
		add(Band{Top: top, Height: top - bottom, Length: top - bottom, Radius: e.Diameter / 2, Sin: 1, low: math.Pi / 2, high: math.Pi / 2})
		bottom = top
	}
	return list
}
