package reach

import (
	"fmt"
	"math"

	"ironbed/compiler/chatter"
	"ironbed/compiler/cutting"
)

// A rounded is a cut with a rounded corner, at some feed.
type rounded struct {
	*roundedWidth
	curves *curves // in place of the loads
}

// A roundedWidth is what does not depend on the feed.
type roundedWidth struct {
	profile  *cutting.RoundedProfile // in place of the profile and its gain
	shallow  float64                 // depth of the lightest cut that counts [m]
	thinning table                   // the thickest chip over the feed per tooth [-]
	leaning  []lean                  // the stable depths; nil where chatter is not looked at
}

// curves are the loads of a cut with a rounded corner over its depth.
type curves struct {
	lateral, axial, torque, deflection course

	middle  []float64 // height at which the lateral force acts, at the depths of the courses [m]
	section table     // area of the cut perpendicular to the feed [m2]
	thin    table     // thickest chip of the hindmost tooth [m]

	// The cutting stiffness of a depth: the sum over the height of the specific force
	// at the mean chip there [N/m].
	stiffness table
}

// moment is the course of the bending moment at a root, of the lateral force at its height.
func (k *curves) moment(root cutting.Root) course {
	force, most := k.lateral.table, 0.0
	return course{table: force.with(func(i int) float64 {
		most = math.Max(most, force.loads[i]*math.Max(0, root.Lever-k.middle[i]))
		return most
	})}
}

// shallowDiameter is the smallest effective diameter that is looked at: that of the
// lightest cut. A shallower one may turn still faster, and counts for nothing.
func (s *settled) shallowDiameter() float64 {
	if s.in.Cutter.Corner == 0 {
		return s.in.Cutter.Diameter
	}
	lightest := math.Inf(1)
	for i := range s.in.Operations {
		lightest = math.Min(lightest, s.in.Operations[i].LightDepth*s.in.Cutter.Diameter)
	}
	return s.envelope.EffectiveDiameter(lightest)
}

// enterRounded gives a trial of a cutter with a rounded corner its profile.
func (s *settled) enterRounded(t *trial, mode cutting.Mode, light float64) error {
	c := &s.in.Cutter
	deepest := c.FluteLength
	if t.mostDepth > 0 {
		deepest = math.Min(deepest, t.mostDepth)
	}
	profile, err := cutting.NewRoundedProfile(s.in.Work, c.Teeth, s.envelope, t.width, deepest, mode)
	if err != nil {
		return err
	}
	width := &roundedWidth{profile: profile, shallow: light * c.Diameter, thinning: table{loads: profile.Thinning(), corner: c.Corner}}
	for _, band := range profile.Bands() {
		width.thinning.depths = append(width.thinning.depths, band.Top)
	}
	t.rounded = &rounded{roundedWidth: width}
	return nil
}

// loadRounded fills in the loads of a trial's chip over the depth.
func (s *settled) loadRounded(t *trial) error {
	list, err := t.rounded.profile.ByDepth(t.fz, s.in.Cutter.Runout)
	if err != nil {
		return err
	}
	over := func(of func(l *cutting.DepthLoads) float64) *table {
		return t.rounded.thinning.with(func(i int) float64 { return of(&list[i]) })
	}
	m := &s.in.Machine
	own := &curves{
		lateral: course{table: over(func(l *cutting.DepthLoads) float64 { return l.PeakLateral })},
		axial:   course{table: over(func(l *cutting.DepthLoads) float64 { return l.PeakAxial })},
		torque:  course{table: over(func(l *cutting.DepthLoads) float64 { return l.MeanTorque })},
		deflection: course{table: over(func(l *cutting.DepthLoads) float64 {
			square, _ := worstSquare(&m.Compliance, m.ToolAxis, s.u, s.v, l.PeakLateral, l.PeakAxial)
			return math.Sqrt(square)
		})},
		middle:  over(func(l *cutting.DepthLoads) float64 { return l.Middle }).loads,
		section: *over(func(l *cutting.DepthLoads) float64 { return l.Section }),
		thin:    *over(func(l *cutting.DepthLoads) float64 { return l.ThinChip }),
	}
	t.rounded = &rounded{t.rounded.roundedWidth, own}
	if len(s.around) == 0 {
		return nil
	}
	own.stiffness, err = roundedStiffness(s.in.Work, t.rounded.profile.Bands(), t.fz)
	return err
}

// settleRounded fills in what a trial removes, and takes back its depth to that at which
// the largest diameter that cuts is as fast as the material takes. It reports whether
// the cut is deep enough for a chip and a surface speed that cut.
func (s *settled) settleRounded(t *trial) bool {
	in := s.in
	t.depth = math.Min(t.depth, s.surfaceDepth(t.spindle.speed))
	slowest := in.SurfaceSpeed.Min / (math.Pi * t.spindle.speed)
	least := math.Max(s.envelope.DepthWithin(slowest/rounding), t.rounded.thinning.allows(in.ChipThickness.Min/t.fz/rounding))
	if t.depth*rounding < least || t.depth == 0 {
		return false
	}
	if len(s.around) > 0 {
		t.stiffness = t.rounded.curves.stiffness.at(t.depth) / t.depth
	}
	t.removal = t.rounded.curves.section.at(t.depth) * cutting.FeedRate(t.fz, in.Cutter.Teeth, t.spindle.speed)
	return true
}

// chipDepth returns the depth at which the chip of a rounded corner is as thick as its
// edge takes.
func (s *settled) chipDepth(t *trial) float64 {
	if t.rounded.thinning.most()*t.fz <= s.in.ChipThickness.Max*rounding {
		return math.Inf(1)
	}
	return t.rounded.thinning.allows(s.in.ChipThickness.Max / t.fz)
}

// surfaceDepth returns the depth at which a rounded corner is as fast as the material
// takes.
func (s *settled) surfaceDepth(speed float64) float64 {
	fastest := s.in.SurfaceSpeed.Max / (math.Pi * speed)
	if fastest*rounding >= s.in.Cutter.Diameter {
		return math.Inf(1)
	}
	return s.envelope.DepthWithin(fastest)
}

// roundedStiffness returns the cutting stiffness over the depth, at a feed per tooth.
func roundedStiffness(work cutting.Work, bands []cutting.Band, feedPerTooth float64) (table, error) {
	var c table
	sum := 0.0
	for i := range bands {
		specific, err := bandStiffness(work, &bands[i], feedPerTooth)
		if err != nil {
			return c, err
		}
		sum += specific * bands[i].Height
		c.depths, c.loads = append(c.depths, bands[i].Top), append(c.loads, sum)
	}
	return c, nil
}

// bandStiffness is the cutting stiffness per height of a band. A chip on an edge that leans
// is thinner by sin κ and wider by one over it, so that a change of the feed changes
// the area of the cut as on a square one.
func bandStiffness(work cutting.Work, b *cutting.Band, feedPerTooth float64) (float64, error) {
	return CuttingStiffness(work, feedPerTooth*b.Sin, b.WidthRatio)
}

// A lean is the stability limit of cuts that lean as those of one depth do.
type lean struct {
	depth  float64
	limits []float64 // stable depth times cutting stiffness, at the speeds of stableSpeeds [N/m]
}

// meanCut is a cut to a depth with a rounded corner as the stability limit sees it, with a
// cutting stiffness of 1: with the means over the height of the radial force over the
// tangential one and of the width, weighted by the cutting stiffness.
func (in *Input) meanCut(bands []cutting.Band, feedPerTooth, depth float64, mode cutting.Mode) (chatter.Cut, error) {
	var total, radial, width float64
	for i := range bands {
		b := &bands[i]
		height := math.Min(b.Height, depth-(b.Top-b.Height))
		if height <= 0 {
			break
		}
		specific, err := bandStiffness(in.Work, b, feedPerTooth)
		if err != nil {
			return chatter.Cut{}, err
		}
		total += specific * height
		radial += specific * height * (in.Work.NormalRatio*b.Sin + in.Work.AxialRatio*b.Cos)
		width += specific * height * b.WidthRatio
	}
	if !(total > 0) {
		return chatter.Cut{}, fmt.Errorf("no stability limit at a depth of %g m", depth)
	}
	return stabilityCut(in, math.Min(1, width/total), mode, 1, radial/total)
}

// stabiliseRounded computes a trial's limits over the speeds with the directions of the
// force at three depths: the lightest cut that counts, the end of the corner, and the
// deepest cut that the other limits allow. Between them the limit is taken as straight over the depth.
//
// The force of an edge that leans moves from across the tool into its axis. What it
// loses across is seen by the mean of its direction; that the tool also vibrates along
// its axis is left out, as for a square corner.
func (s *settled) stabiliseRounded(t *trial, mode cutting.Mode, chips []chip) error {
	m := &s.in.Machine
	t.rounded.leaning = nil
	bands := t.rounded.profile.Bands()
	end, deepest := 0.0, 0.0
	for i := range chips {
		depth := math.Min(chips[i].depth, bands[len(bands)-1].Top)
		end = math.Max(end, depth)
		deepest = math.Max(deepest, chips[i].rounded.curves.stiffness.at(depth)/m.StableShare)
	}
	if !(deepest > 0) {
		return nil
	}
	for _, depth := range [3]float64{math.Min(t.rounded.shallow, end), math.Min(s.in.Cutter.Corner, end), end} {
		if n := len(t.rounded.leaning); !(depth > 0) || n > 0 && depth <= t.rounded.leaning[n-1].depth {
			continue
		}
		cut, err := s.in.meanCut(bands, chips[len(chips)/2].fz, depth, mode)
		if err != nil {
			return err
		}
		limits, err := chatter.Limits(m.Planes, cut, s.around, m.SpeedDoubt+stableStep, deepest)
		if err != nil {
			return err
		}
		l := lean{depth: depth}
		for i := range limits {
			l.limits = append(l.limits, limits[i].Depth)
		}
		t.rounded.leaning = append(t.rounded.leaning, l)
	}
	return nil
}

// stableRounded returns the depth that chatter allows with a rounded corner at a trial's
// speed, infinite where it allows any: the least at which the cutting stiffness of
// the depth reaches its limit.
func (s *settled) stableRounded(t *trial) float64 {
	if t.rounded.leaning == nil {
		return math.Inf(1)
	}
	at := s.nearest(t.spindle.speed)
	before, over := 0.0, math.Inf(-1)
	for i, depth := range t.rounded.curves.stiffness.depths {
		excess := t.rounded.curves.stiffness.loads[i] - s.in.Machine.StableShare*limitAt(t.rounded.leaning, at, depth)
		if excess < 0 {
			before, over = depth, excess
			continue
		}
		if i == 0 { // the cutting stiffness begins at nothing
			over = excess - t.rounded.curves.stiffness.loads[i]
		}
		if math.IsInf(over, -1) {
			return before
		}
		return before + (depth-before)*over/(over-excess)
	}
	return math.Inf(1)
}

// limitAt returns the limit of the speed of a number at a depth, straight between those
// that are known. Where one of them has no end the other stands for both.
func limitAt(list []lean, speed int, depth float64) float64 {
	if depth <= list[0].depth {
		return list[0].limits[speed]
	}
	for i := 1; i < len(list); i++ {
		if depth > list[i].depth {
			continue
		}
		low, high := list[i-1].limits[speed], list[i].limits[speed]
		if math.IsInf(low, 1) || math.IsInf(high, 1) {
			return math.Min(low, high)
		}
		return low + (high-low)*(depth-list[i-1].depth)/(list[i].depth-list[i-1].depth)
	}
	return list[len(list)-1].limits[speed]
}

// roundedStability is a working point's cut as the stability limit sees it, see
// [Input.StabilityCut].
func (in *Input) roundedStability(at *Point) (chatter.Cut, error) {
	c, cut := &in.Cutter, &at.Cut
	p, err := cutting.NewRoundedProfile(in.Work, c.Teeth, c.envelope(), cut.WidthRatio(), cut.Depth, cut.Mode)
	if err != nil {
		return chatter.Cut{}, err
	}
	mean, err := in.meanCut(p.Bands(), cut.FeedPerTooth, cut.Depth, cut.Mode)
	if err != nil {
		return mean, err
	}
	stiffness, err := roundedStiffness(in.Work, p.Bands(), cut.FeedPerTooth)
	if err != nil {
		return mean, err
	}
	mean.Tangential = stiffness.most() / cut.Depth
	return mean, nil
}
