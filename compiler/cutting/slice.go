package cutting

import (
	"math"
	"slices"
)

// A slice is a stretch of the cutter along its axis over which the edge has one
// radius and one cutting edge angle, and lags by an angle that grows evenly.
type slice struct {
	length           float64 // of a tooth's edge, seen along the cut [m]
	height           float64 // length along the axis [m]
	radius           float64 // [m]
	sinEdge, cosEdge float64 // of the cutting edge angle
	lag, lagEnd      float64 // angles by which its ends trail the tip [rad]
	arc              Arc
}

const (
	runoutEdges  = 256                // edges that are told apart under runout, at most
	cornerSlices = 10                 // slices of a rounded corner
	runoutLag    = 20 * math.Pi / 180 // trailing angle over which the runout is taken as one
)

// slices cuts the engaged part of the cutter into slices.
func (c Cut) slices() ([]slice, error) {
	var list []slice
	perHeight := 2 * math.Abs(math.Tan(c.Helix)) / c.Diameter
	from := 0.0
	add := func(s slice) error {
		s.lag, s.lagEnd = from*perHeight, (from+s.height)*perHeight
		from += s.height
		mode, ratio := c.Mode, 1.0
		if mode != Slot {
			// Rounded corners are narrower than the cutter, the step from pass to
			// pass is not.
			ratio = math.Min(1, c.Width/(2*s.radius))
		}
		var err error
		s.arc, err = EngagedArc(ratio, mode)
		list = append(list, s)
		return err
	}
	if c.Corner > 0 {
		top := math.Acos(math.Max(0, 1-c.Depth/c.Corner))
		step := top / cornerSlices
		for i := range cornerSlices {
			low, high := float64(i)*step, float64(i+1)*step
			sinLow, cosLow := math.Sincos(low)
			sinHigh, cosHigh := math.Sincos(high)
			// The means of sine and cosine over the slice, so that its volume of
			// chip is exact.
			s := slice{length: c.Corner * step, sinEdge: (cosLow - cosHigh) / step, cosEdge: (sinHigh - sinLow) / step}
			s.height = s.length * s.sinEdge
			s.radius = c.Diameter/2 - c.Corner + c.Corner*math.Sin((low+high)/2)
			if err := add(s); err != nil {
				return nil, err
			}
		}
	}
	rest := c.Depth - c.Corner
	if c.Corner == 0 || rest > 1e-9*c.Depth {
		sin, cos := 1.0, 0.0
		if c.CuttingEdgeAngle != 0 {
			sin, cos = math.Sincos(c.CuttingEdgeAngle)
		}
		parts := 1
		if c.Runout > 0 && c.Teeth > 1 {
			parts = max(1, min(runoutEdges/c.Teeth, int(math.Ceil(rest*perHeight/runoutLag))))
		}
		height := rest / float64(parts)
		for range parts {
			if err := add(slice{length: height / sin, height: height, radius: c.Diameter / 2, sinEdge: sin, cosEdge: cos}); err != nil {
				return nil, err
			}
		}
	}
	return list, nil
}

// A load is the force of a tooth on a slice: along the feed, to its left, into
// the spindle, and the torque. Per radian where it is integrated.
type load [4]float64

// An edge is one tooth's edge on one slice.
type edge struct {
	*slice
	work  *Work
	feed  float64   // feed per tooth [m]
	radii []float64 // how far the teeth stand out on this slice; nil for a true cutter
	tooth int
}

// chip returns the thickness of the chip where the sine of the rotation angle is s.
func (e *edge) chip(s float64) float64 {
	if s <= 0 {
		return 0
	}
	if e.radii == nil {
		return e.feed * s * e.sinEdge
	}
	return runoutChip(e.feed*s, e.tooth, e.radii) * e.sinEdge
}

// at returns the load at a rotation angle, and the thickness of the chip.
func (e *edge) at(sin, cos float64) (load, float64) {
	h := e.chip(sin)
	tangential, normal, along := e.work.chipForces(h)
	// The force perpendicular to the edge points inwards and, on an edge that leans,
	// up; that along the edge points down and inwards.
	radial := normal*e.sinEdge + along*e.cosEdge
	return load{
		e.length * (-tangential*cos - radial*sin),
		e.length * (tangential*sin - radial*cos),
		e.length * (normal*e.cosEdge - along*e.sinEdge),
		e.length * tangential * e.radius,
	}, h
}

// Gauss and Legendre's points and weights on -1 to 1, positive half.
var gauss = [5][2]float64{
	{0.1488743389816312, 0.2955242247147529},
	{0.4333953941292472, 0.2692667193099963},
	{0.6794095682990244, 0.2190863625159821},
	{0.8650633666889845, 0.1494513491505806},
	{0.9739065285171717, 0.0666713443086881},
}

// integral returns the integral of the load over the arc, and of the chip's
// thickness. Between the angles where the law of the chip has a kink it is
// smooth but for a root at its ends, which a change of variable takes away, so
// that a few points give eight digits.
func (e *edge) integral() (sum load, chip float64) {
	cuts := e.kinks()
	for i := 1; i < len(cuts); i++ {
		from, span := cuts[i-1], cuts[i]-cuts[i-1]
		if span <= 0 {
			continue
		}
		for _, g := range gauss {
			for _, x := range [2]float64{0.5 - g[0]/2, 0.5 + g[0]/2} {
				// φ = from + span x²(3 - 2x)
				weight := g[1] / 2 * span * 6 * x * (1 - x)
				sin, cos := math.Sincos(from + span*x*x*(3-2*x))
				l, h := e.at(sin, cos)
				for k := range sum {
					sum[k] += weight * l[k]
				}
				chip += weight * h
			}
		}
	}
	return sum, chip
}

// manyTeeth is the number of teeth above which the kinks under runout are too
// many to be worth telling apart: the arc is then cut into as many equal parts.
const manyTeeth = 12

// kinks returns the ends of the arc and, between them and in order, the angles
// at which the force of the chip has a kink: where its floor is reached, where
// a tooth begins to cut, and where another tooth's surface becomes the one
// that it cuts into.
func (e *edge) kinks() []float64 {
	cuts := make([]float64, 0, 16)
	cuts = append(cuts, e.arc.Entry, e.arc.Exit)
	add := func(sin float64) {
		if !(sin > 0 && sin < 1) {
			return
		}
		for _, angle := range [2]float64{math.Asin(sin), math.Pi - math.Asin(sin)} {
			if angle > e.arc.Entry && angle < e.arc.Exit {
				cuts = append(cuts, angle)
			}
		}
	}
	floor := e.work.MinChip / e.sinEdge
	switch n := len(e.radii); {
	case n == 0:
		add(floor / e.feed)
	case n > manyTeeth:
		for i := 1; i < manyTeeth; i++ {
			cuts = append(cuts, e.arc.Entry+(e.arc.Exit-e.arc.Entry)*float64(i)/manyTeeth)
		}
	default:
		step := func(k int) float64 { return e.radii[e.tooth] - e.radii[(e.tooth+k)%n] }
		for k := 1; k <= n; k++ {
			add((floor - step(k)) / (float64(k) * e.feed))
			add(-step(k) / (float64(k) * e.feed))
			for l := k + 1; l <= n; l++ {
				add((step(k) - step(l)) / (float64(l-k) * e.feed))
			}
		}
	}
	slices.Sort(cuts)
	return cuts
}
