package cutting

import (
	"fmt"
	"math"
	"slices"
)

// DepthLoads is what a cut asks of the machine at a depth, with straight flutes.
// The peaks are the largest of all depths up to it: a force along the axis that
// pushes at the tip and pulls higher up passes through zero, and a machine must carry
// what is on the way. So no load falls as the depth grows.
type DepthLoads struct {
	Depth       float64 // depth of cut [m]
	PeakLateral float64 // largest resultant across the tool's axis [N]
	PeakAxial   float64 // size of the largest force along the tool's axis [N]
	Middle      float64 // height above the tip at which the resultant acts [m]
	MeanTorque  float64 // mean torque [N·m]
	MaxChip     float64 // thickest chip of a true-running cutter [m]
	ThickChip   float64 // thickest chip that a tooth takes under runout [m]
	ThinChip    float64 // thickest chip that the hindmost tooth takes under runout [m]
	Section     float64 // area of the cut perpendicular to the feed [m2]
}

// A RoundedProfile is to an end mill with a rounded corner, or a ball, what a
// [Profile] is to a square one: the part of a cut's loads that does not depend on
// the feed.
type RoundedProfile struct {
	work  Work
	teeth int
	bands []roundedBand

	measured bool    // the force law is of measured coefficients
	floor    float64 // force of a chip of the work material's MinChip [N/m]
}

// A roundedBand is a band with the places on its arc at which forces are computed.
type roundedBand struct {
	Band
	thickest float64       // sin φ of the thickest chip
	sinTop   float64       // sin κ at the upper end
	arm      float64       // radius at which the tangential force acts in the mean [m]
	mean     [10]edgePoint // over the arc, by their weights in its integral
	at       [][]edgePoint // of each position of the cutter the teeth in the arc
}

// An edgePoint is a place on the arc of a band.
type edgePoint struct {
	sin, cos float64 // of the rotation angle
	power    float64 // (sin φ sin κ)^(1-mc), its mean along the edge of the band
	weight   float64 // of the place in the integral over the arc [rad]
}

// NewRoundedProfile returns the profile of a cut of the width ratio ae/D [-], by a
// cutter of so many teeth, for depths up to one [m]. An error means an input out of
// range.
//
// Source: derived here, as for [RoundedProfile.ByDepth].
func NewRoundedProfile(w Work, teeth int, envelope Envelope, widthRatio, depth float64, mode Mode) (*RoundedProfile, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	if teeth < 1 || teeth > 100 {
		return nil, fmt.Errorf("number of teeth must be from 1 to 100, got %d", teeth)
	}
	if err := envelope.check(); err != nil {
		return nil, err
	}
	if !positive(depth) || depth > 100*envelope.Diameter {
		return nil, fmt.Errorf("depth of cut must be above zero and at most 100 diameters, got %g m", depth)
	}
	if _, err := EngagedArc(widthRatio, mode); err != nil {
		return nil, err
	}
	p := &RoundedProfile{work: w, teeth: teeth, measured: w.Measured.given()}
	if w.MinChip > 0 {
		p.floor = w.powerForce(w.MinChip)
	}
	var arcs []Arc
	for _, b := range envelope.bands(widthRatio, depth, mode) {
		arc, err := EngagedArc(b.WidthRatio, mode)
		if err != nil {
			return nil, err
		}
		arcs = append(arcs, arc)
		p.bands = append(p.bands, roundedBand{Band: b, thickest: math.Sin(arc.thickest()), sinTop: math.Sin(b.high)})
	}
	positions := peakPositions(arcs, teeth)
	for i := range p.bands {
		p.settle(&p.bands[i], envelope, arcs[i], positions)
	}
	return p, nil
}

// peakPositions are the positions of the cutter that are tried for a peak, within a
// tooth pitch: equal steps, the front of the cutter, and those in which a tooth
// enters or leaves the arc of a band.
func peakPositions(arcs []Arc, teeth int) []float64 {
	const steps = 16
	pitch := 2 * math.Pi / float64(teeth)
	list := make([]float64, 0, steps+1+2*len(arcs))
	for i := range steps {
		list = append(list, pitch*float64(i)/steps)
	}
	list = append(list, math.Mod(math.Pi/2, pitch))
	for i, arc := range arcs {
		if i == 0 || arc != arcs[i-1] {
			list = append(list, math.Mod(arc.Entry, pitch), math.Mod(arc.Exit, pitch))
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// settle finds the arm of a band and the places on its arc.
func (p *RoundedProfile) settle(b *roundedBand, e Envelope, arc Arc, positions []float64) {
	exponent := 1 - p.work.Exponent
	lean := b.meanPower(exponent)
	b.arm = e.Diameter/2 - e.Corner + e.Corner*b.meanPower(exponent+1)/lean
	place := func(angle, weight float64) edgePoint {
		sin, cos := math.Sincos(angle)
		sin = math.Max(sin, barely)
		return edgePoint{sin: sin, cos: cos, power: math.Pow(sin, exponent) * lean, weight: weight}
	}
	span := arc.Exit - arc.Entry
	for i, g := range gauss {
		for k, x := range [2]float64{0.5 - g[0]/2, 0.5 + g[0]/2} {
			// φ = entry + span x²(3 - 2x), as for the exact means
			b.mean[2*i+k] = place(arc.Entry+span*x*x*(3-2*x), g[1]/2*span*6*x*(1-x))
		}
	}
	pitch := 2 * math.Pi / float64(p.teeth)
	b.at = make([][]edgePoint, len(positions))
	for i, position := range positions {
		angle := position + pitch*math.Ceil((arc.Entry-onEdge-position)/pitch)
		for ; angle <= arc.Exit+onEdge; angle += pitch {
			b.at[i] = append(b.at[i], place(math.Min(math.Max(angle, arc.Entry), arc.Exit), 0))
		}
	}
}

// Bands are the bands of the envelope up to the profile's depth, from the tip on.
func (p *RoundedProfile) Bands() []Band {
	list := make([]Band, len(p.bands))
	for i := range p.bands {
		list[i] = p.bands[i].Band
	}
	return list
}

// Thinning returns the thickest chip over the feed per tooth at the top of each
// band, [-]: it grows with the height up to the corner's end.
func (p *RoundedProfile) Thinning() []float64 {
	list := make([]float64, len(p.bands))
	most := 0.0
	for i := range p.bands {
		most = math.Max(most, p.bands[i].thickest*p.bands[i].sinTop)
		list[i] = most
	}
	return list
}

// ByDepth returns the loads at the depths of the tops of the bands, from the tip on;
// between them they may be taken as straight.
//
//	dFt = ft(h) db,  dFr = fr(h) db,  dFa = fa(h) db,  h = fz sin φ sin κ,  db = dz / sin κ
//	tangential      = Σ ∫ dFt
//	radial          = Σ ∫ (dFr sin κ + dFa cos κ)
//	into the spindle = Σ ∫ (dFr cos κ - dFa sin κ)
//	torque          = Σ ∫ R dFt
//
// over the teeth in the arc and over the height z [m], with the cutting edge angle
// κ [rad] and the radius R [m] of the envelope there: κ = arccos(1 - z/r) on a
// corner of the radius r [m], 90° above it. ft, fr and fa [N/m] are the forces of
// a chip h [m] thick for each metre of its width, as in [Cut.Forces]. The flutes are
// straight, so that all heights of a tooth are at one rotation angle φ [rad]; a
// helix spreads the peaks and changes no mean. Under runout the forces of a band are
// raised as that of its thickest chip is.
//
// Source: Engin Altintas 2001, mechanics of general end mills; Lee Altintas 1996, ball ends; Altintas 2012, chapter 2, mechanics of milling.
func (p *RoundedProfile) ByDepth(feedPerTooth, runout float64) ([]DepthLoads, error) {
	if !positive(feedPerTooth) || !notNegative(runout) {
		return nil, fmt.Errorf("cannot load a cutter at %g m a tooth with %g m runout", feedPerTooth, runout)
	}
	list := make([]DepthLoads, len(p.bands))
	law := p.work.powerForce(feedPerTooth)
	raises := make([]float64, len(p.bands))
	var last DepthLoads
	for i := range p.bands {
		b := &p.bands[i]
		l := &list[i]
		*l = DepthLoads{Depth: b.Top, MeanTorque: last.MeanTorque, MaxChip: last.MaxChip, ThickChip: last.ThickChip, ThinChip: last.ThinChip}
		l.Section = last.Section + b.Height*2*b.Radius*b.WidthRatio
		chip := feedPerTooth * b.thickest
		thick, thin := ToothChips(chip, runout, p.teeth)
		l.MaxChip = math.Max(l.MaxChip, chip*b.sinTop)
		l.ThickChip, l.ThinChip = math.Max(l.ThickChip, thick*b.sinTop), math.Max(l.ThinChip, thin*b.sinTop)
		raises[i] = p.work.raise(chip*b.Sin, thick*b.Sin)
		sum := 0.0
		for k := range b.mean {
			tangential, _, _ := p.forces(&b.mean[k], law, feedPerTooth*b.mean[k].sin*b.Sin)
			sum += b.mean[k].weight * tangential
		}
		l.MeanTorque += float64(p.teeth) / (2 * math.Pi) * b.arm * b.Length * sum
		last = *l
	}
	for position := range p.bands[0].at {
		p.addPeaks(list, position, feedPerTooth, law, raises)
	}
	for i := range list {
		if i > 0 {
			if below := &list[i-1]; below.PeakLateral > list[i].PeakLateral {
				list[i].PeakLateral, list[i].Middle = below.PeakLateral, below.Middle
			}
			list[i].PeakAxial = math.Max(list[i].PeakAxial, list[i-1].PeakAxial)
		}
		if l := &list[i]; !finite(l.PeakLateral, l.PeakAxial, l.Middle, l.MeanTorque) {
			return nil, fmt.Errorf("loads of the cut are beyond the range of numbers")
		}
	}
	return list, nil
}

// addPeaks raises the peaks to the loads at a position of the cutter.
func (p *RoundedProfile) addPeaks(list []DepthLoads, position int, feedPerTooth, law float64, raises []float64) {
	var along, across, alongMoment, acrossMoment, axial float64
	for i := range p.bands {
		b := &p.bands[i]
		var x, y, z float64
		for k := range b.at[position] {
			point := &b.at[position][k]
			t, n, a := p.forces(point, law, feedPerTooth*point.sin*b.Sin)
			radial := n*b.Sin + a*b.Cos
			x += -t*point.cos - radial*point.sin
			y += t*point.sin - radial*point.cos
			z += n*b.Cos - a*b.Sin
		}
		length := b.Length * raises[i]
		along += length * x
		across += length * y
		axial += length * z
		middle := b.Top - b.Height/2
		alongMoment += middle * length * x
		acrossMoment += middle * length * y
		l := &list[i]
		if lateral := math.Hypot(along, across); lateral > l.PeakLateral {
			l.PeakLateral = lateral
			l.Middle = (alongMoment*along + acrossMoment*across) / (lateral * lateral)
		}
		l.PeakAxial = math.Max(l.PeakAxial, math.Abs(axial))
	}
}

// forces are the forces of a chip per metre of edge at a place [N/m], where law is
// that of a chip as thick as the feed per tooth: as of [Work.chipForces].
func (p *RoundedProfile) forces(at *edgePoint, law, chip float64) (tangential, normal, along float64) {
	w := &p.work
	switch {
	case p.measured:
		return w.chipForces(chip)
	case chip < w.MinChip:
		tangential = w.thinForce(chip, p.floor)
	default:
		tangential = law * at.power
	}
	return tangential, w.NormalRatio * tangential, w.AxialRatio * tangential
}
