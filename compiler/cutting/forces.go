package cutting

import (
	"fmt"
	"math"
)

// A Mode says on which side of the cutter the work is.
type Mode int

// The modes of milling.
const (
	Up   Mode = iota + 1 // conventional: the chip starts thin, the wall is left of the feed
	Down                 // climb: the chip starts thick, the wall is right of the feed
	Slot                 // the full width of the cutter
)

// A Cut is one milling cut under steady feed.
type Cut struct {
	Diameter     float64 // diameter of the cutter [m]
	Teeth        int     // number of teeth, evenly spaced
	Helix        float64 // helix angle, either hand [rad]
	Width        float64 // width of cut ae; a slot takes the diameter [m]
	Depth        float64 // depth of cut ap along the tool's axis [m]
	FeedPerTooth float64 // feed per tooth fz [m]
	Speed        float64 // spindle speed n [rev/s]
	Runout       float64 // total indicator reading at the teeth [m]
	Mode         Mode    // side of the work
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

	MeanTorque float64 // mean torque on the spindle [N·m]
	PeakTorque float64 // largest torque on the spindle [N·m]
	MeanPower  float64 // mean power at the cutter [W]

	RemovalRate    float64 // volume cut in a second [m3/s]
	SpecificEnergy float64 // mean power over removal rate [J/m3]

	MaxChip   float64 // thickest chip without runout [m]
	HeldShare float64 // share of the engaged arc where the chip is thinner than the work's MinChip [-]
	Rubbing   bool    // even the thickest chip is thinner than the work's MinChip
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
	case !notNegative(c.Runout):
		return fmt.Errorf("runout must not be negative, got %g m", c.Runout)
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

// An Arc is the part of a turn in which a tooth is in the work.
type Arc struct {
	Entry float64 // angle at which a tooth enters [rad]
	Exit  float64 // angle at which it leaves [rad]
}

// EngagedArc returns the arc over which a tooth cuts.
//
//	up:    0 to φs
//	down:  π - φs to π
//	slot:  0 to π
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
	case Up:
		return Arc{0, angle}, nil
	case Down:
		return Arc{math.Pi - angle, math.Pi}, nil
	}
	return Arc{}, fmt.Errorf("mode of milling must be up, down or slot, got %d", mode)
}

// thickest returns the angle of the thickest chip in the arc.
func (a Arc) thickest() float64 {
	return math.Min(math.Max(a.Entry, math.Pi/2), a.Exit)
}

const (
	arcPanels = 64 // panels of the integral over the arc; even, for Simpson's rule
	turnSteps = 60 // positions of the cutter tried over one tooth pitch
)

// A force3 holds the feed, normal and tangential force.
type force3 [3]float64

// An arcTable holds the force of one tooth per metre of edge at equal steps of
// the rotation angle, and its integral from the entry on.
type arcTable struct {
	arc   Arc
	step  float64
	force [arcPanels + 1]force3 // [N/m]
	sum   [arcPanels + 1]force3 // [N·rad/m]
}

func (t *arcTable) fill(w Work, feedPerTooth float64, arc Arc) {
	t.arc, t.step = arc, (arc.Exit-arc.Entry)/arcPanels
	for i := range t.force {
		sin, cos := math.Sincos(arc.Entry + float64(i)*t.step)
		tangential := w.chipForce(feedPerTooth * sin)
		normal := w.NormalRatio * tangential
		t.force[i] = force3{
			-tangential*cos - normal*sin,
			tangential*sin - normal*cos,
			tangential,
		}
		if i == 0 {
			continue
		}
		for k := range t.sum[i] {
			t.sum[i][k] = t.sum[i-1][k] + t.step/2*(t.force[i-1][k]+t.force[i][k])
		}
	}
}

// place returns the panel that holds an angle of the arc, and how far into it
// the angle lies.
func (t *arcTable) place(angle float64) (panel int, within float64) {
	x := (angle - t.arc.Entry) / t.step
	panel = min(max(int(x), 0), arcPanels-1)
	return panel, (x - float64(panel)) * t.step
}

// addForce adds the force at an angle, taken as straight between the steps.
func (t *arcTable) addForce(to *force3, angle, factor float64) {
	i, d := t.place(angle)
	low, high, part := &t.force[i], &t.force[i+1], d/t.step
	to[0] += factor * (low[0] + part*(high[0]-low[0]))
	to[1] += factor * (low[1] + part*(high[1]-low[1]))
	to[2] += factor * (low[2] + part*(high[2]-low[2]))
}

// addIntegral adds the integral of the force from the entry to an angle.
func (t *arcTable) addIntegral(to *force3, angle, factor float64) {
	i, d := t.place(angle)
	low, high, sum, bend := &t.force[i], &t.force[i+1], &t.sum[i], d/2/t.step
	to[0] += factor * (sum[0] + d*(low[0]+bend*(high[0]-low[0])))
	to[1] += factor * (sum[1] + d*(low[1]+bend*(high[1]-low[1])))
	to[2] += factor * (sum[2] + d*(low[2]+bend*(high[2]-low[2])))
}

// integral returns Simpson's integral of the force over the arc.
func (t *arcTable) integral() force3 {
	var total force3
	for i := range t.force {
		for k := range total {
			total[k] += simpsonWeight(i) * t.force[i][k]
		}
	}
	for k := range total {
		total[k] *= t.step / 3
	}
	return total
}

// simpsonWeight is the weight of step i of an even number of panels, before
// the factor of a third of the step.
func simpsonWeight(i int) float64 {
	switch {
	case i == 0 || i == arcPanels:
		return 1
	case i%2 == 1:
		return 4
	}
	return 2
}

// Forces returns the forces, torque and power of the cut in the work.
//
//	dFt = kc(h) h dz,  dFn = rn dFt,  dFa = ra dFt,  h = fz sin φ
//	feed   = Σ ∫ (-dFt cos φ - dFn sin φ)
//	normal = Σ ∫ ( dFt sin φ - dFn cos φ)
//	axial  = Σ ∫ -dFa
//	torque = (D/2) Σ ∫ dFt
//
// over the teeth in the arc and, with φ = θ - (2 tan λ / D) z, over the depth.
// kc(h) [Pa] is the work's specific force, rn and ra [-] its normal and axial
// ratios, θ [rad] the position of a tooth at the tip and λ [rad] the helix.
// The forces of a straight-fluted cutter grow in proportion to the depth; a
// helix spreads the peak but changes no mean.
//
// Runout moves chip from one tooth to another. The means are taken as
// unchanged; all peaks are raised by the force of the thickest chip that a
// tooth takes (see [ToothChips]) over that of a true-running one, which is on
// the high side where several teeth cut at once.
//
// An error means an input out of range.
//
// Source: Altintas 2012, chapter 2, mechanics of milling; Kienzle 1957, the specific force; derived here, the integral over the depth, taken as one over φ because dz = -(D / (2 tan λ)) dφ.
func (c Cut) Forces(w Work) (Forces, error) {
	if err := c.check(); err != nil {
		return Forces{}, err
	}
	if err := w.check(); err != nil {
		return Forces{}, err
	}
	arc, err := EngagedArc(c.WidthRatio(), c.Mode)
	if err != nil {
		return Forces{}, err
	}
	var table arcTable
	table.fill(w, c.FeedPerTooth, arc)
	radius := c.Diameter / 2

	f := c.means(w, table.integral())
	f.MaxChip = c.FeedPerTooth * math.Sin(arc.thickest())
	f.Rubbing = f.MaxChip < w.MinChip
	f.HeldShare = heldShare(w.MinChip/c.FeedPerTooth, arc)

	raise := 1.0
	if thickest, _ := ToothChips(f.MaxChip, c.Runout, c.Teeth); c.Runout > 0 {
		raise = w.chipForce(thickest) / w.chipForce(f.MaxChip)
	}
	pitch := 2 * math.Pi / float64(c.Teeth)
	lag := c.Depth * math.Abs(math.Tan(c.Helix)) / radius
	try := func(position float64) {
		force := table.total(position, pitch, lag, c.Depth)
		for k := range force {
			force[k] *= raise
		}
		if math.Abs(force[0]) > math.Abs(f.PeakFeed) {
			f.PeakFeed = force[0]
		}
		if math.Abs(force[1]) > math.Abs(f.PeakNormal) {
			f.PeakNormal = force[1]
		}
		f.PeakLateral = math.Max(f.PeakLateral, math.Hypot(force[0], force[1]))
		f.PeakTorque = math.Max(f.PeakTorque, force[2]*radius)
	}
	for i := range turnSteps {
		try(arc.Entry + pitch*float64(i)/turnSteps)
	}
	// A peak often stands where a tooth leaves, between two of the steps.
	for _, event := range []float64{arc.Exit, arc.Entry + lag, arc.Exit + lag} {
		try(arc.Entry + math.Mod(event-arc.Entry, pitch))
	}
	f.PeakAxial = -w.AxialRatio * f.PeakTorque / radius
	if !finite(f.PeakLateral, f.PeakTorque, f.MeanPower, f.SpecificEnergy) {
		return Forces{}, fmt.Errorf("forces of the cut are beyond the range of numbers")
	}
	return f, nil
}

// means fills in what follows from the integral over the arc.
func (c Cut) means(w Work, integral force3) Forces {
	perTurn := float64(c.Teeth) / (2 * math.Pi) * c.Depth
	f := Forces{
		MeanFeed:   perTurn * integral[0],
		MeanNormal: perTurn * integral[1],
		MeanAxial:  -w.AxialRatio * perTurn * integral[2],
		MeanTorque: perTurn * integral[2] * c.Diameter / 2,
	}
	f.MeanPower = 2 * math.Pi * c.Speed * f.MeanTorque
	f.RemovalRate = RemovalRate(c.WidthRatio()*c.Diameter, c.Depth, FeedRate(c.FeedPerTooth, c.Teeth, c.Speed))
	f.SpecificEnergy = f.MeanPower / f.RemovalRate
	return f
}

// total returns the force of all teeth when one of them is at the position,
// its tip end leading by the lag of the helix.
func (t *arcTable) total(position, pitch, lag, depth float64) force3 {
	const rounding = 1e-9 // an angle on the edge of the arc counts as inside
	var sum force3
	for tip := position; tip <= t.arc.Exit+lag+rounding; tip += pitch {
		if lag < 1e-6 {
			if tip <= t.arc.Exit+rounding {
				t.addForce(&sum, math.Min(tip, t.arc.Exit), depth)
			}
			continue
		}
		low, high := math.Max(tip-lag, t.arc.Entry), math.Min(tip, t.arc.Exit)
		if low < high {
			t.addIntegral(&sum, high, depth/lag)
			t.addIntegral(&sum, low, -depth/lag)
		}
	}
	return sum
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
