package cutting

import (
	"fmt"
	"math"
)

// A Mode says on which side of the cutter the workpiece is.
type Mode int

// The modes of milling.
const (
	Up     Mode = iota + 1 // conventional: the chip starts thin, the wall is left of the feed
	Down                   // climb: the chip starts thick, the wall is right of the feed
	Slot                   // the full width of the cutter
	Centre                 // a strip narrower than the cutter, which is set over its middle, as in face milling
)

// A Cut is one milling cut under steady feed.
type Cut struct {
	Diameter         float64 // diameter of the cutter [m]
	Teeth            int     // number of teeth, evenly spaced
	Helix            float64 // helix angle, either hand [rad]
	Width            float64 // width of cut ae; a slot takes the diameter [m]
	Depth            float64 // depth of cut ap along the tool's axis [m]
	FeedPerTooth     float64 // feed per tooth fz [m]
	Speed            float64 // spindle speed n [rev/s]
	Runout           float64 // total indicator reading at the teeth [m]
	RunoutAngle      float64 // angle of the axis's offset from tooth 0, see WorstRunoutAngle [rad]
	Corner           float64 // corner radius, half the diameter for a ball, 0 for a square corner [m]
	CuttingEdgeAngle float64 // cutting edge angle of a face mill's edge, 0 for a right angle [rad]
	Mode             Mode    // side of the workpiece
}

// Forces are the forces of a cut on the tool. Peaks keep their sign. They are
// the largest of a turn under the runout given; means are over a turn.
type Forces struct {
	MeanFeed   float64 // mean force along the feed [N]
	MeanNormal float64 // mean force to the left of the feed [N]
	MeanAxial  float64 // mean force from the tip into the spindle [N]

	PeakFeed    float64 // force along the feed where it is largest in size [N]
	PeakNormal  float64 // force to the left of the feed where it is largest in size [N]
	PeakAxial   float64 // force into the spindle where it is largest in size [N]
	PeakLateral float64 // largest resultant across the tool's axis [N]

	RMSLateral float64 // root mean square of the resultant across the tool's axis [N]
	RMSAxial   float64 // root mean square of the force along it [N]
	RMSTorque  float64 // root mean square of the torque [N·m]

	MeanTorque float64 // mean torque on the spindle [N·m]
	PeakTorque float64 // largest torque on the spindle [N·m]
	MeanPower  float64 // mean power at the cutter [W]

	RemovalRate    float64 // volume cut in a second [m3/s]
	SpecificEnergy float64 // mean power over removal rate [J/m3]

	MaxChip      float64 // thickest chip without runout [m]
	ThickChip    float64 // thickest chip that a tooth takes under runout [m]
	ThinChip     float64 // thickest chip that the hindmost tooth takes under runout [m]
	CuttingTeeth int     // teeth that cut at all
	HeldShare    float64 // share of the engaged arc where the chip is thinner than the work material's MinChip [-]
	Rubbing      bool    // even the thickest chip is thinner than the work material's MinChip
}

// check reports what makes a cut impossible to compute.
func (c Cut) check() error {
	switch {
	case !positive(c.Diameter):
		return fmt.Errorf("cutter diameter must be above zero, got %g m", c.Diameter)
	case c.Teeth < 1 || c.Teeth > 100:
		return fmt.Errorf("number of teeth must be from 1 to 100, got %d", c.Teeth)
	case !(math.Abs(c.Helix) <= 80*math.Pi/180):
		return fmt.Errorf("helix angle must be within 80 degrees, got %g rad", c.Helix)
	case !positive(c.Depth) || c.Depth > 100*c.Diameter:
		return fmt.Errorf("depth of cut must be above zero and at most 100 diameters, got %g m", c.Depth)
	case !positive(c.FeedPerTooth):
		return fmt.Errorf("feed per tooth must be above zero, got %g m", c.FeedPerTooth)
	case !positive(c.Speed):
		return fmt.Errorf("spindle speed must be above zero, got %g rev/s", c.Speed)
	case !notNegative(c.Runout) || !finite(c.RunoutAngle):
		return fmt.Errorf("runout must not be negative and its angle a number, got %g m at %g rad", c.Runout, c.RunoutAngle)
	case !(c.Corner >= 0 && c.Corner <= c.Diameter/2*(1+1e-12)):
		return fmt.Errorf("corner radius must be from 0 to half the diameter, got %g m", c.Corner)
	case c.CuttingEdgeAngle != 0 && !(c.CuttingEdgeAngle >= leastEdgeAngle && c.CuttingEdgeAngle <= math.Pi/2*(1+1e-12)):
		return fmt.Errorf("cutting edge angle must be from 5 to 90 degrees, got %g rad", c.CuttingEdgeAngle)
	case c.CuttingEdgeAngle != 0 && c.Corner != 0:
		return fmt.Errorf("a cutter has a cutting edge angle or a corner radius, not both")
	case c.Mode != Slot && !(c.Width > 0 && c.Width <= c.Diameter):
		return fmt.Errorf("width of cut must be above zero and at most the diameter, got %g m", c.Width)
	}
	return nil
}

// WidthRatio returns the width of cut over the diameter, 1 for a slot, [-].
func (c Cut) WidthRatio() float64 {
	if c.Mode == Slot {
		return 1
	}
	return c.Width / c.Diameter
}

// An Arc is the part of a turn in which a tooth is in the workpiece.
type Arc struct {
	Entry float64 // angle at which a tooth enters [rad]
	Exit  float64 // angle at which it leaves [rad]
}

// EngagedArc returns the arc over which a tooth cuts.
//
//	up:    0 to φs
//	down:  π - φs to π
//	slot:  0 to π
//	centre: π/2 - arcsin(ae/D) to π/2 + arcsin(ae/D)
//
// where φs is the [EngagementAngle] of the width ratio ae/D [-].
//
// Source: Altintas 2012, chapter 2, mechanics of milling.
func EngagedArc(widthRatio float64, mode Mode) (Arc, error) {
	if mode == Slot {
		return Arc{0, math.Pi}, nil
	}
	angle, err := EngagementAngle(widthRatio)
	if err != nil {
		return Arc{}, err
	}
	switch mode {
	case Centre:
		half := math.Asin(widthRatio)
		return Arc{math.Pi/2 - half, math.Pi/2 + half}, nil
	case Up:
		return Arc{0, angle}, nil
	case Down:
		return Arc{math.Pi - angle, math.Pi}, nil
	}
	return Arc{}, fmt.Errorf("mode of milling must be up, down, slot or centre, got %d", mode)
}

// thickest returns the angle of the thickest chip in the arc.
func (a Arc) thickest() float64 {
	return math.Min(math.Max(a.Entry, math.Pi/2), a.Exit)
}

// Forces returns the forces, torque and power of the cut in the work material.
//
//	dFt = ft(h) db,  dFr = fr(h) db,  dFa = fa(h) db,  h = fz sin φ sin κ
//	feed   = Σ ∫ (-dFt cos φ - (dFr sin κ + dFa cos κ) sin φ)
//	normal = Σ ∫ ( dFt sin φ - (dFr sin κ + dFa cos κ) cos φ)
//	axial  = Σ ∫ ( dFr cos κ - dFa sin κ)
//	torque = Σ ∫ R dFt
//
// over the teeth in the arc and, with φ = θ - (2 tan λ / D) z, over the edge.
// ft, fr and fa [N/m] are the forces of a chip h [m] thick for each metre of its
// width: kc h and its ratios, or shear and edge coefficients. R [m] is the
// radius and κ [rad] the cutting edge angle at the height z, 90° but on a rounded
// corner or a face mill; θ [rad] is the position of a tooth at the tip and λ
// [rad] the helix. The forces of a straight-fluted cutter grow in proportion to
// the depth; a helix spreads the peak but changes no mean.
//
// Runout moves chip from one tooth to another, and takes some power off, as
// thicker chips cost less.
//
// The integral over the height is closed: the load of an edge is tabulated over
// the arc with its integral, and a slice takes the difference at its two ends.
// Peaks are good to about 0.5 %; the means are integrated by themselves, to
// seven digits.
//
// An error means an input out of range.
//
// Source: Altintas 2012, chapter 2, mechanics of milling; Kienzle 1957, the specific force; Kline 1983, runout; derived here, the integral over the depth, taken as one over φ because dz = -(D / (2 tan λ)) dφ.
func (c Cut) Forces(w Work) (Forces, error) {
	_, f, err := c.evaluate(&w)
	if err != nil {
		return Forces{}, err
	}
	return *f, nil
}

func (c Cut) evaluate(w *Work) (*engine, *Forces, error) {
	if err := c.check(); err != nil {
		return nil, nil, err
	}
	if err := w.check(); err != nil {
		return nil, nil, err
	}
	e, err := c.engine(w)
	if err != nil {
		return nil, nil, err
	}
	f := &Forces{}
	c.setMeans(f, e)
	c.setChips(f, w, e)
	c.setPeaks(f, e)
	if !verifiable(f) {
		return nil, nil, fmt.Errorf("forces of the cut are beyond the range of numbers")
	}
	return e, f, nil
}

func verifiable(f *Forces) bool {
	return finite(f.MeanFeed, f.MeanNormal, f.MeanAxial, f.PeakFeed, f.PeakNormal, f.PeakAxial, f.PeakLateral, f.RMSLateral, f.RMSAxial,
		f.MeanTorque, f.PeakTorque, f.RMSTorque, f.MeanPower, f.RemovalRate, f.SpecificEnergy, f.MaxChip, f.ThickChip, f.ThinChip)
}

// setMeans fills in what follows from the integrals over the arc.
func (c Cut) setMeans(f *Forces, e *engine) {
	mean, energy := e.mean()
	f.MeanFeed, f.MeanNormal, f.MeanAxial, f.MeanTorque = mean[0], mean[1], mean[2], mean[3]
	f.SpecificEnergy = energy
	var section float64 // area of the cut, perpendicular to the feed
	for i := range e.slices {
		s := &e.slices[i]
		section += s.height * s.radius * (math.Cos(s.arc.Entry) - math.Cos(s.arc.Exit))
	}
	f.RemovalRate = section * FeedRate(c.FeedPerTooth, c.Teeth, c.Speed)
	f.MeanPower = f.SpecificEnergy * f.RemovalRate
}

// setChips fills in the chips at the part of the edge that takes the thickest.
func (c Cut) setChips(f *Forces, w *Work, e *engine) {
	f.ThinChip = math.Inf(1)
	for i := range e.edges {
		edge := &e.edges[i]
		sin := math.Sin(edge.arc.thickest())
		chip := edge.chip(sin)
		f.MaxChip = math.Max(f.MaxChip, c.FeedPerTooth*sin*edge.sinEdge)
		f.ThickChip = math.Max(f.ThickChip, chip)
		if edge.lag == e.slices[len(e.slices)-1].lag { // of the rounded corner the top
			f.ThinChip = math.Min(f.ThinChip, chip)
			if chip > 0 {
				f.CuttingTeeth++
			}
			f.HeldShare = heldShare(w.MinChip/(c.FeedPerTooth*edge.sinEdge), edge.arc)
		}
	}
	if len(e.edges) == len(e.slices) { // one stands for all
		f.CuttingTeeth *= c.Teeth
	}
	f.Rubbing = f.MaxChip < w.MinChip
}

// setPeaks fills in the peaks and the root mean squares.
func (c Cut) setPeaks(f *Forces, e *engine) {
	steps := max(leastPitch, (turnSteps+c.Teeth-1)/c.Teeth)
	if e.period == 2*math.Pi {
		steps *= c.Teeth
	} else {
		steps = min(steps, peakSteps)
	}
	var square load
	for i := range steps {
		l := e.at(e.period * float64(i) / float64(steps))
		for k := range square {
			square[k] += l[k] * l[k] / float64(steps)
		}
		f.peak(l)
	}
	for _, position := range e.events() {
		f.peak(e.at(position))
	}
	f.RMSLateral = math.Sqrt(square[0] + square[1])
	f.RMSAxial, f.RMSTorque = math.Sqrt(square[2]), math.Sqrt(square[3])
}

// peak raises the peaks to a load.
func (f *Forces) peak(l load) {
	for k, peak := range [3]*float64{&f.PeakFeed, &f.PeakNormal, &f.PeakAxial} {
		if math.Abs(l[k]) > math.Abs(*peak) {
			*peak = l[k]
		}
	}
	f.PeakLateral = math.Max(f.PeakLateral, math.Hypot(l[0], l[1]))
	f.PeakTorque = math.Max(f.PeakTorque, l[3])
}

// heldShare returns the share of the arc in which sin φ is below a ratio.
func heldShare(ratio float64, arc Arc) float64 {
	if ratio <= 0 {
		return 0
	}
	if ratio >= 1 {
		return 1
	}
	edge := math.Asin(ratio)
	low := math.Max(0, math.Min(edge, arc.Exit)-arc.Entry)
	high := math.Max(0, arc.Exit-math.Max(math.Pi-edge, arc.Entry))
	return (low + high) / (arc.Exit - arc.Entry)
}
