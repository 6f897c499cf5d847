package reach

import (
	"fmt"
	"math"

	"ironbed/compiler/cutting"
	"ironbed/compiler/rank"
)

// The grid of the search. Depths are exact at each of its points; what a finer
// grid finds beyond it is a per cent or two of removal rate.
const (
	speedSteps = 12 // spindle speeds, beside the corners of the spindle's curve and the fastest speed that the feed allows
	chipSteps  = 16 // chip thicknesss
	widthSteps = 4  // widths, where an operation leaves a range
)

// rounding is what a number may be over its limit and still count as at it.
const rounding = 1 + 1e-9

// A settled is the machine with what does not change during a search.
type settled struct {
	in       *Input
	envelope cutting.Envelope
	u, v     [3]float64 // plane perpendicular to the tool
	feed     float64    // fastest feed in any direction [m/s]
	feedAxis string
	thrusts  []thrust

	around []float64 // speeds at which the stable depth is known, evenly in their ratio [rev/s]

	low, high float64 // speeds that the material, the spindle and the cutter all take [rev/s]
	heldBy    Limit   // what sets the highest of them
	speeds    []spindlePoint
}

// A thrust is an axis's share of the forces in the worst direction of feed.
type thrust struct {
	axis           *Axis
	lateral, axial float64 // newtons on the axis per newton of cutting force
}

// A spindlePoint is a speed with torque available from the spindle there. Without a limit
// of power, power is infinite.
type spindlePoint struct {
	speed, torque, power float64
}

// A trial is a working point of the search before it is written out.
type trial struct {
	width     float64 // width ratio
	profile   *cutting.Profile
	mostDepth float64   // greatest depth of the operation; 0 for any [m]
	mostBy    Limit     // what sets it
	gain      float64   // deflection in the worst direction per newton across the axis
	stable    []float64 // stable depth times cutting stiffness at the speeds of stableSpeeds; nil where chatter is not looked at [N/m]
	fz        float64
	loads     cutting.PerDepth
	spindle   spindlePoint
	depth     float64
	removal   float64
	stiffness float64 // cutting stiffness, where chatter is looked at [Pa]
	checked   bool    // held against chatter by several frequencies, where the mean of the factors need not do
	several   Onset   // what that found

	// Of a cutter with a rounded corner, whose loads are not in proportion to the
	// depth; nil for the others.
	rounded *rounded
}

// Search finds the working points of every operation of the input, in the
// order of its operations.
//
// For each width, chip thickness and speed the depth is the least that a limit
// allows:
//
//	deflection       ap = accuracy / worst |C f|
//	spindle torque   ap = T(n) / t
//	spindle power    ap = P(n) / (2π n t)
//	axis thrust      ap = F / (|d across a| fl + |d·a| fa), for each axis
//	bearings         ap = F / fl, F / fa
//	cutter strength  fl ap (L - ap/2) = M, for each root
//	chatter          ap = share × limiting depth at the speed (package chatter)
//	flute length     ap = flute length
//	chip evacuation  ap = so many diameters, in a slot
//	depth of facing  ap = so many diameters, with an end mill
//	thickest chip    h(ap) = thickest that the edge takes, on a rounded corner
//	surface speed    π n Deff(ap) = fastest that the material takes, on a rounded corner
//
// where f is the peak force per metre of depth, fl [N/m] across and fa [N/m]
// along the tool's axis a, t [N·m/m] the mean torque, n [rev/s] the speed, d an
// axis's direction, L [m] and M [N·m] the lever and the moment of a root. The
// peaks set what deflects or breaks, the mean what heats or stalls: the
// spindle's rotor carries it over the peaks. A rounded corner's loads are not in
// proportion to the depth: there every limit is load(ap) = limit, solved on a table of
// the loads over the depth, which never fall (see [cutting.RoundedProfile]).
//
// An error means an input out of range. A machine that can't make the cut is
// not an error: its outcome has shortfalls in place of points.
//
// Source: derived here, every load of a straight-fluted cutter with a square corner being proportional to its depth.
func Search(in Input) ([]Outcome, error) {
	s, err := settle(&in)
	if err != nil {
		return nil, err
	}
	outcomes := make([]Outcome, len(in.Operations))
	for i := range in.Operations {
		op := &in.Operations[i]
		if err := op.check(); err != nil {
			return nil, err
		}
		if outcomes[i], err = s.search(op); err != nil {
			return nil, fmt.Errorf("operation %q: %w", op.Name, err)
		}
	}
	return outcomes, nil
}

// settle works out what does not change during a search.
func settle(in *Input) (*settled, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	if err := in.square(); err != nil {
		return nil, err
	}
	m := &in.Machine
	s := &settled{in: in, envelope: in.Cutter.envelope()}
	s.u, s.v = across(m.ToolAxis)
	var err error
	if s.feed, s.feedAxis, err = FeedLimit(m.Axes, m.ToolAxis); err != nil {
		return nil, err
	}
	for i := range m.Axes {
		a := &m.Axes[i]
		s.thrusts = append(s.thrusts, thrust{a, acrossPart(a.Direction, m.ToolAxis), math.Abs(dot(a.Direction, m.ToolAxis))})
	}
	s.settleSpeeds()
	return s, nil
}

// wanted returns the spindle speeds that the surface speeds ask for.
func (s *settled) wanted() (low, high float64) {
	around := math.Pi * s.in.Cutter.Diameter
	return s.in.SurfaceSpeed.Min / around, s.in.SurfaceSpeed.Max / (math.Pi * s.shallowDiameter())
}

// settleSpeeds finds the speeds to search. There is none where low is above
// high.
func (s *settled) settleSpeeds() {
	curve := s.in.Machine.SpindleCurve
	s.low, s.high = s.wanted()
	s.heldBy = Surface
	s.low = math.Max(s.low, curve[0].Speed)
	if last := curve[len(curve)-1].Speed; last < s.high {
		s.high, s.heldBy = last, SpindleSpeed
	}
	if rated := s.in.Cutter.MaxSpeed; rated > 0 && rated < s.high {
		s.high, s.heldBy = rated, CutterRating
	}
	if s.low > s.high {
		return
	}
	s.speeds = make([]spindlePoint, 0, speedSteps+len(curve))
	for i := range speedSteps {
		s.speeds = append(s.speeds, s.spindle(s.set(between(s.low, s.high, i, speedSteps))))
	}
	if len(s.in.Machine.Planes) > 0 {
		steps := 2 + int(math.Log(s.high/s.low)/math.Log1p(stableStep))
		for i := range min(steps, stableSteps) {
			s.around = append(s.around, between(s.low, s.high, i, min(steps, stableSteps)))
		}
	}
	for _, p := range curve {
		if p.Speed > s.low && p.Speed < s.high {
			s.speeds = append(s.speeds, s.spindle(s.set(p.Speed)))
		}
	}
	// The fastest speed at which a rounded corner may cut at any depth.
	if whole := s.in.SurfaceSpeed.Max / (math.Pi * s.in.Cutter.Diameter); s.in.Cutter.Corner > 0 && whole > s.low && whole < s.high {
		s.speeds = append(s.speeds, s.spindle(s.set(whole)))
	}
}

// spindle returns torque available from the spindle at a speed of its curve.
func (s *settled) spindle(speed float64) spindlePoint {
	torque, power, limited, _ := SpindleAt(s.in.Machine.SpindleCurve, speed)
	if !limited {
		power = math.Inf(1)
	}
	return spindlePoint{speed, torque, power}
}

// between returns step i of n from low to high in equal ratios, both ends
// exactly.
func between(low, high float64, i, n int) float64 {
	switch i {
	case 0:
		return low
	case n - 1:
		return high
	}
	return low * math.Pow(high/low, float64(i)/float64(n-1))
}

// widths returns the width ratios to try.
func (o *Operation) widths() []float64 {
	switch {
	case o.Mode == cutting.Slot:
		return []float64{1}
	case o.Width.Min == o.Width.Max:
		return []float64{o.Width.Min}
	}
	widths := make([]float64, widthSteps)
	for i := range widths {
		widths[i] = between(o.Width.Min, o.Width.Max, i, widthSteps)
	}
	return widths
}

// search finds the working points of one operation.
func (s *settled) search(op *Operation) (Outcome, error) {
	c := &choice{op: op, diameter: s.in.Cutter.Diameter}
	if err := s.each(op, c.keep); err != nil {
		return Outcome{}, err
	}
	return s.outcome(c)
}

// trial is an operation at a width of cut, before it is entered.
func (s *settled) trial(op *Operation, width float64) trial {
	t := trial{width: width, mostDepth: op.MostDepth * s.in.Cutter.Diameter, mostBy: op.MostBy}
	if t.mostBy == "" {
		t.mostBy = ChipEvacuation
	}
	return t
}

// each calls with the trials of an operation. A trial is good until the next one.
func (s *settled) each(op *Operation, with func(*trial)) error {
	for _, width := range op.widths() {
		t := s.trial(op, width)
		if err := s.enter(&t, op.Mode, op.LightDepth); err != nil {
			return err
		}
		if err := s.sweep(&t, op.Mode, with); err != nil {
			return err
		}
	}
	return nil
}

// A choice keeps the trials that decide.
type choice struct {
	op       *Operation
	diameter float64
	best     [WithinReach + 1]trial
	fastest  trial
	deepest  trial
}

// keep looks at a trial.
func (c *choice) keep(t *trial) {
	// Where the spindle's power is the limit one speed removes as much as another.
	if g := c.op.grade(t.depth / c.diameter); rank.More(t.removal, c.best[g].removal) {
		c.best[g] = *t
	}
	if rank.More(t.removal, c.fastest.removal) {
		c.fastest = *t
	}
	if rank.More(t.depth, c.deepest.depth) || !rank.More(c.deepest.depth, t.depth) && rank.More(t.removal, c.deepest.removal) {
		c.deepest = *t
	}
}

// grade is the best grade that a trial has.
func (c *choice) grade() (g Grade) {
	for g = WithinReach; g > OutOfReach && !(c.best[g].removal > 0); g-- {
	}
	return g
}

// outcome writes out a choice.
func (s *settled) outcome(c *choice) (Outcome, error) {
	outcome := Outcome{Operation: *c.op}
	if !(c.fastest.removal > 0) {
		var err error
		outcome.Shortfalls, err = s.blocked(c.op)
		return outcome, err
	}
	outcome.Grade = c.grade()
	outcome.Best = s.point(&c.best[outcome.Grade], c.op.Mode)
	outcome.Fastest = s.point(&c.fastest, c.op.Mode)
	outcome.Deepest = s.point(&c.deepest, c.op.Mode)
	outcome.Shortfalls = s.wanting(&c.deepest, c.op.next(outcome.Grade)*s.in.Cutter.Diameter)
	return outcome, nil
}

// grade returns the grade of a depth over diameter.
func (o *Operation) grade(ratio float64) Grade {
	switch {
	case ratio*rounding >= o.FullDepth:
		return WithinReach
	case ratio*rounding >= o.LightDepth:
		return LightCuts
	}
	return OutOfReach
}

// next returns the depth over diameter of the grade above, 0 above the best.
func (o *Operation) next(g Grade) float64 {
	switch g {
	case OutOfReach:
		return o.LightDepth
	case LightCuts:
		return o.FullDepth
	}
	return 0
}

// enter gives a trial of some width its profile and its gain. A cut lighter than a depth
// over the diameter counts for nothing.
func (s *settled) enter(t *trial, mode cutting.Mode, light float64) error {
	in := s.in
	if in.Cutter.Corner > 0 {
		return s.enterRounded(t, mode, light)
	}
	var err error
	if t.profile, err = cutting.NewProfile(in.Work, in.Cutter.Teeth, t.width, mode); err != nil {
		return err
	}
	// Both peaks come from the same chip, so their ratio is that of any chip.
	unit, err := t.profile.PerDepth(in.Cutter.Diameter, in.ChipThickness.Max, 0)
	if err != nil {
		return err
	}
	square, _ := worstSquare(&in.Machine.Compliance, in.Machine.ToolAxis, s.u, s.v, 1, unit.PeakAxial/unit.PeakLateral)
	t.gain = math.Sqrt(square)
	return nil
}

// sweep tries the chip thicknesss and speeds of one width.
func (s *settled) sweep(t *trial, mode cutting.Mode, keep func(*trial)) error {
	if s.low > s.high {
		return nil
	}
	c := &s.in.Cutter
	low, high, ok := s.feeds(t)
	if !ok {
		return nil
	}
	chips := make([]chip, chipSteps)
	for i := range chips {
		chips[i].fz = between(low, high, i, chipSteps)
	}
	// The fastest feed at which a rounded corner may cut at any depth.
	if whole := s.in.ChipThickness.Max / t.mostThinning(); t.rounded != nil && whole > low && whole < high {
		chips = append(chips, chip{fz: whole})
	}
	for i := range chips {
		k := &chips[i]
		t.fz = k.fz
		if err := s.load(t); err != nil {
			return err
		}
		k.loads, k.rounded, k.depth = t.loads, t.rounded, s.fixedDepth(t)
	}
	if err := s.stabilise(t, mode, chips); err != nil {
		return err
	}
	for i := range chips {
		k := &chips[i]
		t.fz, t.loads, t.rounded, t.stiffness = k.fz, k.loads, k.rounded, k.stiffness
		perSpeed, torque := t.width*c.Diameter*t.fz*float64(c.Teeth), t.torque()
		try := func(p spindlePoint) {
			t.spindle = p
			t.depth = math.Min(math.Min(k.depth, spindleDepth(p, torque)), s.stableDepth(t))
			if t.rounded == nil {
				t.removal = perSpeed * p.speed * t.depth
			} else if !s.settleRounded(t) {
				return
			}
			keep(t)
		}
		fastest := s.feed / (t.fz * float64(c.Teeth))
		for _, p := range s.speeds {
			if p.speed <= fastest*rounding {
				try(p)
			}
		}
		if fastest >= s.low && fastest < s.high {
			try(s.spindle(s.set(fastest)))
		}
	}
	return nil
}

// A chip is a feed per tooth with what it loads the machine with.
type chip struct {
	fz        float64
	loads     cutting.PerDepth
	rounded   *rounded // of a rounded corner
	depth     float64  // what the limits allow that do not depend on the speed
	stiffness float64  // cutting stiffness, where chatter is looked at
}

// feeds returns the feeds per tooth to search at a trial's width. The least is
// raised by what runout takes from the hindmost tooth where there is room for
// it; where there is not, the cutter is taken to cut unevenly.
func (s *settled) feeds(t *trial) (low, high float64, ok bool) {
	c, thinning := &s.in.Cutter, t.mostThinning()
	low, high = s.in.ChipThickness.Min/thinning, s.in.ChipThickness.Max/t.lightThinning()
	high = math.Min(high, s.feed/(float64(c.Teeth)*s.low))
	if low > high*rounding {
		return 0, 0, false
	}
	high = math.Max(low, high)
	if even := low + cutting.RunoutChip(c.Runout, c.Teeth)/thinning; even <= high {
		low = even
	}
	return low, high, true
}

// load fills in the loads of a trial's chip.
func (s *settled) load(t *trial) (err error) {
	if t.rounded != nil {
		return s.loadRounded(t)
	}
	t.loads, err = t.profile.PerDepth(s.in.Cutter.Diameter, t.fz, s.in.Cutter.Runout)
	return err
}

// fixedDepth returns the depth that the limits allow that do not depend on the
// spindle's speed.
func (s *settled) fixedDepth(t *trial) float64 {
	depth := s.in.Cutter.FluteLength
	if t.mostDepth > 0 {
		depth = math.Min(depth, t.mostDepth)
	}
	depth = math.Min(depth, t.deflection().allows(s.in.Machine.Deflection))
	lateral, axial := t.lateral(), t.axial()
	for i := range s.thrusts {
		depth = math.Min(depth, s.thrusts[i].of(lateral, axial).allows(s.thrusts[i].axis.Thrust))
	}
	if carries := s.in.Machine.BearingRadial; carries > 0 {
		depth = math.Min(depth, lateral.allows(carries))
	}
	if carries := s.in.Machine.BearingAxial; carries > 0 {
		depth = math.Min(depth, axial.allows(carries))
	}
	for _, root := range s.in.Cutter.Roots {
		depth = math.Min(depth, t.rootDepth(root))
	}
	if t.rounded != nil {
		depth = math.Min(depth, s.chipDepth(t))
	}
	return depth
}

// spindleDepth returns the depth that the spindle allows.
func spindleDepth(p spindlePoint, torque course) float64 {
	turns := 2 * math.Pi * p.speed
	if torque.table != nil {
		return torque.table.allows(math.Min(p.torque, p.power/turns))
	}
	return math.Min(p.torque/torque.perDepth, p.power/(turns*torque.perDepth))
}

// rootDepth returns the depth at which a force at its middle bends a root by
// the moment allowed: the smaller solution of f ap (L - ap/2) = M. It is
// infinite where the moment is never reached.
func rootDepth(root cutting.Root, perDepth float64) float64 {
	reach := 2 * root.Moment / perDepth
	rest := root.Lever*root.Lever - reach
	if rest < 0 {
		return math.Inf(1)
	}
	return reach / (root.Lever + math.Sqrt(rest))
}
