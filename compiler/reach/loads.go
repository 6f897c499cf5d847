package reach

import (
	"math"
	"slices"
	"sort"

	"ironbed/compiler/cutting"
)

// point writes out a trial.
func (s *settled) point(t *trial, mode cutting.Mode) *Point {
	c := &s.in.Cutter
	most, hindmost := t.chip(t.depth)
	reaches := s.envelope.EffectiveDiameter(t.depth)
	p := &Point{
		Cut: cutting.Cut{
			Diameter: c.Diameter, Teeth: c.Teeth, Width: math.Min(t.width*c.Diameter, reaches), Depth: t.depth,
			FeedPerTooth: t.fz, Speed: t.spindle.speed, Runout: c.Runout, Corner: c.Corner, CuttingEdgeAngle: c.EdgeAngle, Mode: mode,
		},
		SurfaceSpeed:  cutting.SurfaceSpeed(reaches, t.spindle.speed),
		ChipThickness: most * s.leaning(),
		Feed:          cutting.FeedRate(t.fz, c.Teeth, t.spindle.speed),
		DepthRatio:    t.depth / c.Diameter,
		RemovalRate:   t.removal,
		PeakLateral:   t.lateral().at(t.depth),
		PeakAxial:     t.axial().at(t.depth),
		Torque:        t.torque().at(t.depth),
		Deflection:    t.deflection().at(t.depth),
		Loads:         s.loads(t, t.depth),
		Several:       t.several,
		Uneven:        hindmost < s.in.ChipThickness.Min/rounding,
		Rubbing:       most < s.in.Work.MinChip,
	}
	p.Power = 2 * math.Pi * t.spindle.speed * p.Torque
	_, angle := worstSquare(&s.in.Machine.Compliance, s.in.Machine.ToolAxis, s.u, s.v, p.PeakLateral, p.PeakAxial)
	sin, cos := math.Sincos(angle)
	for k := range p.Worst {
		p.Worst[k] = cos*s.u[k] + sin*s.v[k]
	}
	p.Limit, p.Axis = p.Loads[0].Limit, p.Loads[0].Axis
	switch {
	case p.Feed >= s.feed/rounding:
		p.HeldBy = AxisFeed
	case t.spindle.speed == s.high:
		p.HeldBy = s.heldBy
	}
	return p
}

// leaning is what thins the chips of a face mill, which are counted before it: 1 for other
// cutters.
func (s *settled) leaning() float64 {
	if s.in.Cutter.EdgeAngle == 0 {
		return 1
	}
	return s.in.Cutter.EdgeSine(0)
}

// loads returns every limit at a trial, with its load at some depth, the limit
// that allows the least depth first.
func (s *settled) loads(t *trial, depth float64) []Load {
	c := &s.in.Cutter
	loads := make([]Load, 0, 10+len(s.thrusts))
	add := func(limit Limit, axis string, allowed, need, have float64, unit string) {
		l := Load{Limit: limit, Axis: axis, Depth: allowed, Need: need, Have: have, Unit: unit}
		if math.IsInf(allowed, 1) {
			l.Depth, l.Endless = 0, true
		}
		loads = append(loads, l)
	}
	share := func(limit Limit, axis string, load course, have float64, unit string) {
		add(limit, axis, load.allows(have), load.at(depth), have, unit)
	}
	share(Deflection, "", t.deflection(), s.in.Machine.Deflection, "m")
	share(SpindleTorque, "", t.torque(), t.spindle.torque, "N·m")
	if !math.IsInf(t.spindle.power, 1) {
		share(SpindlePower, "", t.torque().times(2*math.Pi*t.spindle.speed), t.spindle.power, "W")
	}
	for i := range s.thrusts {
		th := &s.thrusts[i]
		share(AxisThrust, th.axis.Name, th.of(t.lateral(), t.axial()), th.axis.Thrust, "N")
	}
	if carries := s.in.Machine.BearingRadial; carries > 0 {
		share(Bearings, "", t.lateral(), carries, "N")
	}
	if carries := s.in.Machine.BearingAxial; carries > 0 {
		share(Bearings, "", t.axial(), carries, "N")
	}
	if root, allowed, ok := s.weakest(t); ok {
		add(CutterStrength, "", allowed, t.rootMoment(root, depth), root.Moment, "N·m")
	}
	if t.rounded != nil {
		most, _ := t.chip(depth)
		add(ThickestChip, "", s.chipDepth(t), most, s.in.ChipThickness.Max, "m")
		speed := cutting.SurfaceSpeed(s.envelope.EffectiveDiameter(depth), t.spindle.speed)
		add(Surface, "", s.surfaceDepth(t.spindle.speed), speed, s.in.SurfaceSpeed.Max, "m/s")
	}
	if allowed := s.stableDepth(t); !math.IsInf(allowed, 1) {
		add(Chatter, "", allowed, depth, allowed, "m")
	}
	add(FluteLength, "", c.FluteLength, depth, c.FluteLength, "m")
	if t.mostDepth > 0 {
		add(t.mostBy, "", t.mostDepth, depth, t.mostDepth, "m")
	}
	add(AxisFeed, s.feedAxis, math.Inf(1), cutting.FeedRate(t.fz, c.Teeth, t.spindle.speed), s.feed, "m/s")
	if c.MaxSpeed > 0 {
		add(CutterRating, "", math.Inf(1), t.spindle.speed, c.MaxSpeed, "rev/s")
	}
	sort.SliceStable(loads, func(i, j int) bool {
		if loads[i].Endless != loads[j].Endless {
			return loads[j].Endless
		}
		return loads[i].Depth < loads[j].Depth
	})
	return loads
}

// weakest returns the root that allows the least depth; where none is ever
// reached, the one that comes nearest.
func (s *settled) weakest(t *trial) (root cutting.Root, allowed float64, ok bool) {
	var nearest float64
	for _, r := range s.in.Cutter.Roots {
		depth := t.rootDepth(r)
		strain := r.Lever * r.Lever / r.Moment
		if !ok || depth < allowed || math.IsInf(allowed, 1) && math.IsInf(depth, 1) && strain > nearest {
			root, allowed, nearest, ok = r, depth, strain, true
		}
	}
	return root, allowed, ok
}

// wanting returns the limits that a trial would break at a depth.
func (s *settled) wanting(t *trial, depth float64) []Shortfall {
	var short []Shortfall
	for _, l := range s.loads(t, depth) {
		if l.Need > l.Have*rounding {
			short = append(short, Shortfall{Limit: l.Limit, Axis: l.Axis, Need: l.Need, Have: l.Have, Unit: l.Unit, Speed: t.spindle.speed})
		}
	}
	return short
}

// blocked returns what keeps an operation from any working point: first what
// leaves no speed or no chip thickness, then the loads that a light cut with the
// least chip would put on the machine at the nearest speed that it has.
func (s *settled) blocked(op *Operation) ([]Shortfall, error) {
	c, curve := &s.in.Cutter, s.in.Machine.SpindleCurve
	first, last := curve[0].Speed, curve[len(curve)-1].Speed
	low, high := s.wanted()
	var short []Shortfall
	speed := math.Min(math.Max(low, first), last)
	switch {
	case first > high:
		short = append(short, Shortfall{Limit: SpindleSpeed, Need: high, Have: first, Unit: "rev/s", AtMost: true})
	case last < low:
		short = append(short, Shortfall{Limit: SpindleSpeed, Need: low, Have: last, Unit: "rev/s"})
	}
	if c.MaxSpeed > 0 && c.MaxSpeed < speed {
		short = append(short, Shortfall{Limit: CutterRating, Need: speed, Have: c.MaxSpeed, Unit: "rev/s"})
	}
	// The widest cut has the thickest chip for its feed, so it asks for the
	// least feed; the narrowest asks for the least force.
	widths := op.widths()
	wide, narrow := s.trial(op, slices.Max(widths)), s.trial(op, slices.Min(widths))
	for _, t := range []*trial{&wide, &narrow} {
		if err := s.enter(t, op.Mode, op.LightDepth); err != nil {
			return nil, err
		}
		t.spindle = s.spindle(speed)
		t.fz = s.in.ChipThickness.Min / t.lightThinning()
		if err := s.load(t); err != nil {
			return nil, err
		}
	}
	if need := cutting.FeedRate(wide.fz, c.Teeth, speed); need > s.feed*rounding {
		short = append(short, Shortfall{Limit: FeedPerTooth, Need: s.in.ChipThickness.Min, Have: s.in.ChipThickness.Min * s.feed / need, Unit: "m", Speed: speed},
			Shortfall{Limit: AxisFeed, Axis: s.feedAxis, Need: need, Have: s.feed, Unit: "m/s", Speed: speed})
	}
	for _, l := range s.wanting(&narrow, op.LightDepth*c.Diameter) {
		if l.Limit != CutterRating && l.Limit != AxisFeed { // said above
			short = append(short, l)
		}
	}
	return short, nil
}

// A RegionPoint is the depth that each limit allows at one width of cut.
type RegionPoint struct {
	Width float64 // width of cut [m]
	Depth float64 // greatest depth that all limits allow [m]
	Loads []Load  // every limit, the one that sets the depth first, with its load at that depth
}

// Region returns the depths allowed at a list of width ratios [-], at the
// spindle speed and chip thickness of a working point. A narrow cut is fed faster
// to keep the chip, as far as the axes allow.
//
// Source: derived here, as for Search.
func Region(in Input, at Point, widthRatios []float64) ([]RegionPoint, error) {
	s, err := settle(&in)
	if err != nil {
		return nil, err
	}
	side := at.Cut.Mode
	if side == cutting.Slot {
		side = cutting.Down // a narrower cut than a slot has a side
	}
	points := make([]RegionPoint, len(widthRatios))
	for i, width := range widthRatios {
		t := trial{width: width, spindle: s.spindle(at.Cut.Speed)}
		if err := s.enter(&t, side, 0); err != nil {
			return nil, err
		}
		t.fz = at.ChipThickness / s.leaning() / t.thinningAt(at.Cut.Depth)
		if at.Cut.Speed > 0 {
			t.fz = math.Min(t.fz, s.feed/(float64(in.Cutter.Teeth)*at.Cut.Speed))
		}
		if err := s.load(&t); err != nil {
			return nil, err
		}
		own := []chip{{fz: t.fz, loads: t.loads, rounded: t.rounded, depth: s.fixedDepth(&t)}}
		if err := s.stabilise(&t, side, own); err != nil {
			return nil, err
		}
		t.stiffness = own[0].stiffness
		t.depth = math.Min(math.Min(own[0].depth, spindleDepth(t.spindle, t.torque())), s.stableDepth(&t))
		if t.rounded != nil {
			t.depth = math.Min(t.depth, s.surfaceDepth(t.spindle.speed))
		}
		points[i] = RegionPoint{Width: width * in.Cutter.Diameter, Depth: t.depth, Loads: s.loads(&t, t.depth)}
	}
	return points, nil
}
