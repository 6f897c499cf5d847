package cutting

import (
	"fmt"
	"math"
)

// PerDepth is what a cut asks of the machine for each metre of depth of cut,
// with straight flutes. Multiplied by a depth it gives the loads of that
// depth: exactly for the means, and on the high side for the peaks of a
// helical cutter, because a helix spreads them.
type PerDepth struct {
	PeakLateral float64 // largest resultant across the tool's axis [N/m]
	PeakAxial   float64 // size of the largest force along the tool's axis [N/m]
	MeanTorque  float64 // mean torque [N·m/m]
	PeakTorque  float64 // largest torque [N·m/m]
	MaxChip     float64 // thickest chip of a true-running cutter [m]
	ThickChip   float64 // thickest chip that a tooth takes under runout [m]
	ThinChip    float64 // thickest chip that the hindmost tooth takes under runout [m]
}

// A Profile is the part of a cut's loads that does not depend on the feed or
// on the cutter's size: the arc, and how the teeth in it add up. A search
// makes one for each width of cut and asks it for many feeds.
type Profile struct {
	work    Work
	teeth   int
	arc     Arc
	sin     [arcPanels + 1]float64 // sin φ over the arc
	power   [arcPanels + 1]float64 // (sin φ)^(1-mc) over the arc
	total   float64                // integral of power over the arc
	thinner float64                // thickest chip over feed per tooth
	held    float64                // specific force of the chips below the work material's MinChip [Pa]

	// The largest sums over the teeth in the arc, over the force of the one
	// tooth at the thickest chip.
	lateral, tangential float64

	cos [arcPanels + 1]float64 // cos φ over the arc
}

// NewProfile returns the profile of a cut of the width ratio ae/D [-] by a
// cutter of so many teeth. An error means an input out of range.
//
// Source: derived here, as for [Profile.PerDepth].
func NewProfile(w Work, teeth int, widthRatio float64, mode Mode) (*Profile, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	if teeth < 1 || teeth > 100 {
		return nil, fmt.Errorf("number of teeth must be from 1 to 100, got %d", teeth)
	}
	arc, err := EngagedArc(widthRatio, mode)
	if err != nil {
		return nil, err
	}
	p := &Profile{work: w, teeth: teeth, arc: arc, thinner: math.Sin(arc.thickest())}
	for i := range p.sin {
		p.sin[i], p.cos[i] = math.Sincos(arc.Entry + float64(i)*p.step())
		p.sin[i] = math.Max(0, p.sin[i])
		p.power[i] = math.Pow(p.sin[i], 1-w.Exponent)
		p.total += simpsonWeight(i) * p.power[i]
	}
	if w.MinChip > 0 {
		p.held = w.powerForce(w.MinChip) / w.MinChip
	}
	p.addTeeth()
	return p, nil
}

func (p *Profile) step() float64 { return (p.arc.Exit - p.arc.Entry) / arcPanels }

// Thinning returns the thickest chip over the feed per tooth, [-].
func (p *Profile) Thinning() float64 { return p.thinner }

// addTeeth finds the largest sums of the teeth that cut at once, for the power
// law without its floor.
func (p *Profile) addTeeth() {
	single := math.Hypot(1, p.work.NormalRatio)
	p.lateral, p.tangential = single, 1
	pitch := 2 * math.Pi / float64(p.teeth)
	if p.arc.Exit-p.arc.Entry < pitch {
		return
	}
	peak := math.Pow(p.thinner, 1-p.work.Exponent)
	p.positions(func(position float64) {
		var along, across, sum float64
		for angle := position; angle <= p.arc.Exit+onEdge; angle += pitch {
			i, part := p.place(angle)
			force := p.power[i] + part*(p.power[i+1]-p.power[i])
			sin, cos := math.Sincos(angle)
			along += force * cos
			across += force * sin
			sum += force
		}
		// The normal force is the tangential one turned by a right angle and
		// scaled, tooth by tooth and so in the sum.
		p.lateral = math.Max(p.lateral, single*math.Hypot(along, across)/peak)
		p.tangential = math.Max(p.tangential, sum/peak)
	})
}

// positions calls for each position of the cutter that is tried for a peak.
func (p *Profile) positions(try func(position float64)) {
	const steps = 24
	pitch := 2 * math.Pi / float64(p.teeth)
	for i := range steps {
		try(p.arc.Entry + pitch*float64(i)/steps)
	}
	try(p.arc.Entry + math.Mod(p.arc.Exit-p.arc.Entry, pitch))
}

// place returns the panel of the arc that holds an angle, and the part of it
// that lies before the angle.
func (p *Profile) place(angle float64) (panel int, part float64) {
	x := math.Min(math.Max((angle-p.arc.Entry)/p.step(), 0), arcPanels)
	panel = min(int(x), arcPanels-1)
	return panel, x - float64(panel)
}

// PerDepth returns the loads for each metre of depth.
//
//	peak lateral = kc(h) h √(1 + rn²) sl,  h the thickest chip under runout
//	peak axial   = kc(h) h |ra| st
//	mean torque  = (z/2π) (D/2) ∫ kc(fz sin φ) fz sin φ dφ
//
// where sl and st [-] are the largest sums of the teeth in the arc over the one
// with the thickest chip: 1 when one tooth cuts at a time. They are those of
// the power law, so that below the work material's MinChip the peaks differ a little
// from those of [Cut.Forces]. D [m] is the diameter, fz [m] the feed per tooth.
// Under runout the peaks are those of the foremost tooth, whichever it is, and
// the others are raised in proportion: where several teeth cut at once that can
// be a tenth too low.
//
// Source: Altintas 2012, chapter 2, mechanics of milling; Kienzle 1957, the specific force; derived here, all loads being proportional to the depth where the teeth are straight.
func (p *Profile) PerDepth(diameter, feedPerTooth, runout float64) (PerDepth, error) {
	if !positive(diameter) || !positive(feedPerTooth) || !notNegative(runout) {
		return PerDepth{}, fmt.Errorf("cannot load a cutter of %g m diameter at %g m a tooth with %g m runout", diameter, feedPerTooth, runout)
	}
	d := PerDepth{MaxChip: p.thinner * feedPerTooth}
	d.ThickChip, d.ThinChip = ToothChips(d.MaxChip, runout, p.teeth)
	if !p.work.plain() {
		p.edgeLoads(&d, diameter, feedPerTooth)
		if !finite(d.PeakLateral, d.PeakAxial, d.PeakTorque, d.MeanTorque) {
			return PerDepth{}, fmt.Errorf("loads of the cut are beyond the range of numbers")
		}
		return d, nil
	}

	force := p.work.chipForce(d.ThickChip)
	d.PeakLateral = force * p.lateral
	d.PeakAxial = force * math.Abs(p.work.AxialRatio) * p.tangential
	d.PeakTorque = force * p.tangential * diameter / 2
	d.MeanTorque = float64(p.teeth) / (2 * math.Pi) * diameter / 2 * p.chipIntegral(feedPerTooth)
	if !finite(d.PeakLateral, d.PeakAxial, d.PeakTorque, d.MeanTorque) {
		return PerDepth{}, fmt.Errorf("loads of the cut are beyond the range of numbers")
	}
	return d, nil
}

// chipIntegral returns ∫ kc h dφ over the arc [N/m].
func (p *Profile) chipIntegral(feedPerTooth float64) float64 {
	law := p.work.powerForce(feedPerTooth)
	sum := law * p.total
	if floor := p.work.MinChip / feedPerTooth; floor > 0 { // sin φ at which the floor begins
		held := p.held * feedPerTooth
		below := func(i int) bool {
			if p.sin[i] >= floor {
				return false
			}
			sum += simpsonWeight(i) * (held*p.sin[i] - law*p.power[i])
			return true
		}
		// The thin chips are at the ends of the arc.
		first := 0
		for first <= arcPanels && below(first) {
			first++
		}
		for last := arcPanels; last > first; last-- {
			if !below(last) {
				break
			}
		}
	}
	return sum * p.step() / 3
}

// edgeLoads fills in the loads of a law that does not scale with the feed.
func (p *Profile) edgeLoads(d *PerDepth, diameter, feedPerTooth float64) {
	raise := p.work.raise(d.MaxChip, d.ThickChip)
	var along, across, tangential, axial [arcPanels + 1]float64
	var mean float64
	for i := range p.sin {
		t, n, a := p.work.chipForces(feedPerTooth * math.Max(p.sin[i], barely))
		along[i], across[i] = -t*p.cos[i]-n*p.sin[i], t*p.sin[i]-n*p.cos[i]
		tangential[i], axial[i] = t, a
		mean += simpsonWeight(i) * t
	}
	pitch := 2 * math.Pi / float64(p.teeth)
	p.positions(func(position float64) {
		var f [4]float64
		for angle := position; angle <= p.arc.Exit+onEdge; angle += pitch {
			i, part := p.place(angle)
			for k, table := range [4]*[arcPanels + 1]float64{&along, &across, &tangential, &axial} {
				f[k] += table[i] + part*(table[i+1]-table[i])
			}
		}
		d.PeakLateral = math.Max(d.PeakLateral, raise*math.Hypot(f[0], f[1]))
		d.PeakTorque = math.Max(d.PeakTorque, raise*f[2]*diameter/2)
		d.PeakAxial = math.Max(d.PeakAxial, raise*math.Abs(f[3]))
	})
	d.MeanTorque = float64(p.teeth) / (2 * math.Pi) * diameter / 2 * mean * p.step() / 3
}
