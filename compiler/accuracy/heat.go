package accuracy

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/axis"
	"ironbed/compiler/budget"
	"ironbed/compiler/cut"
	"ironbed/compiler/drive"
	"ironbed/compiler/geometry"
	"ironbed/compiler/heat"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

const (
	// waitShare is the share of the finest accuracy that the growths along one direction may still add to the error of a part
	// once zero is set [-]; common practice.
	waitShare = 0.1
	// mounted is how much more heat a spindle sheds than through its own surface, by what it is bolted to [-]; from memory.
	mounted = 2
	// solid is the share of a spindle's volume that is steel [-]; from memory.
	solid = 0.6
	// intoShaft is the share of a nut's heat that goes into the screw [-]; from memory.
	intoShaft = 0.5
)

// A Heat is what grows as the machine runs, and how its frame follows the room. It is read only.
type Heat struct {
	Growths []Growth
	Members []machine.MemberHeat // of the model, by bar
	Shares  []float64            // by bar: of the room's change that it has made at the end of a job [-]
	Film    heat.Range           // of air on the frame and on screws [W/(m²·K)]

	Finest    *cut.Answer // the target with the finest accuracy
	Limit     float64     // what may still be to come along one direction when zero is set, twice what it adds either way [m]
	Wait      [3]float64  // how long until no more is: low, middle and high [s]
	WaitAlong [3]float64  // the middle of it along X, Y and Z [s]
	After     float64     // the most that is still to come along one direction after the time that the machine runs before zero is set [m]

	FrameLog *spec.Log // what was read for how the frame follows

	WarmUp, Job, Change, Gradient span
	RoomLog                       *spec.Log // what was read of the room and the habits

	rises []risen // by pose
}

// A Growth is a spindle or a screw as it warms.
type Growth struct {
	Axis  int             // of the spec, −1 for the spindle
	Along int             // direction: 0 for X, 1 for Y, 2 for Z
	Power float64         // that it turns into heat [W]
	Duty  float64         // of a screw: the rise that the heat of its duty makes [K]
	Rise  [3]heat.Warming // over the machine: low, middle and high [K]
	End   [3]heat.Warming // growth at the tool, of a screw at its farthest nut [m]
	Log   *spec.Log
}

// A risen is how far the frame moves the nose against the workpiece in a pose, for each kelvin of the room's change: along X, Y, Z
// and about them.
type risen struct{ frame, most, bow, mostBow [6]float64 }

// warms finds what heat does to the machine, whatever it cuts.
func (w *workshop) warms(cuts *cut.Answers) (*Heat, error) {
	h := &Heat{Film: heat.StillAir(), RoomLog: &spec.Log{}}
	w.heat = h
	h.WarmUp, h.Job = w.span(h.RoomLog, w.Spec.WarmUp), w.span(h.RoomLog, w.Spec.Room.Job)
	h.Change, h.Gradient = w.span(h.RoomLog, w.Spec.Room.TemperatureChange), w.span(h.RoomLog, w.Spec.Room.Gradient)
	for i := range cuts.List {
		a := &cuts.List[i]
		// Half of what is to come is off either way.
		limit := 2 * waitShare * w.Model.Read.Into(h.RoomLog).Of(a.Entry.Item.Accuracy)
		if h.Finest == nil || rank.More(h.Limit, limit) {
			h.Finest, h.Limit = a, limit
		}
	}
	if w.Spec.Spindle != nil {
		g, err := w.spindle()
		if err != nil {
			return nil, err
		}
		h.Growths = append(h.Growths, g)
	}
	stroke := w.partOf(w.span(h.RoomLog, h.Finest.Entry.Item.Size))
	for k := range directions {
		if w.axis[k] < 0 {
			continue
		}
		g, ok, err := w.screw(k, stroke[k])
		if err != nil {
			return nil, err
		}
		if ok {
			h.Growths = append(h.Growths, g)
		}
	}
	if err := h.wait(); err != nil {
		return nil, err
	}
	return h, w.follows()
}

// spindle is the growth of the spindle: its shaft as warm as its housing, held in the middle between its bearings.
func (w *workshop) spindle() (Growth, error) {
	s := w.Spec.Spindle
	g := Growth{Axis: -1, Log: &spec.Log{}}
	for k := range directions {
		if !w.across[k] {
			g.Along = k
		}
	}
	steel := w.Spec.Material("steel")
	read := w.Model.Read.Into(g.Log)
	density := read.Of(steel.Density)
	specific, err := heat.SpecificHeat(density)
	if err != nil {
		return g, err
	}
	power, alpha := w.span(g.Log, s.Heat), w.span(g.Log, steel.Expansion)
	between, overhang := w.span(g.Log, s.Shaft.Span), w.span(g.Log, s.Shaft.Overhang)
	film := w.heat.Film
	if s.Shaft.Cooled {
		film = heat.ForcedConvection()
	}
	// The bounds of the heat are those of what is left in the housing: the film has its own in the time constant alone.
	films := [3]float64{film.High, film.Nominal, film.Low}
	housing := heat.Housing{
		Mass: read.Of(s.Mass), Length: read.Of(s.Shaft.Behind) + between[1] + overhang[1], Density: density, SpecificHeat: specific, Solid: solid,
	}
	g.Power = power[1]
	for end := range g.Rise {
		rise, err := housing.Warming(power[end], mounted*film.Nominal)
		if err != nil {
			return g, err
		}
		time, err := housing.Warming(power[end], mounted*films[end])
		if err != nil {
			return g, err
		}
		g.Rise[end] = heat.Warming{End: rise.End, TimeConstant: time.TimeConstant}
		grown, err := drive.Growth(alpha[end], between[end]/2+overhang[end], rise.End)
		if err != nil {
			return g, err
		}
		g.End[end] = heat.Warming{End: grown, TimeConstant: time.TimeConstant}
	}
	return g, nil
}

// screw is the growth of the screw of the axis along a direction; false where it has none.
func (w *workshop) screw(k int, stroke span) (Growth, bool, error) {
	f := w.axes.Follower(w.axis[k])
	if f == nil {
		return Growth{}, false, nil
	}
	screw, ok := screwOf(&f.Drive.In, 0)
	if !ok {
		return Growth{}, false, nil
	}
	g := Growth{Axis: f.Axis, Along: k, Log: spec.Over(f.Drive.Read.Log(machine.Warmth, machine.Section, machine.Length, machine.Place))}
	films := [3]float64{w.heat.Film.High, w.heat.Film.Nominal, w.heat.Film.Low}
	density := w.Model.Read.Into(g.Log).Of(w.Spec.Material("screw steel").Density)
	specific, err := heat.SpecificHeat(density)
	if err != nil {
		return g, false, err
	}
	if d := f.Drive.Out.Duty; d.Time > 0 {
		g.Power = intoShaft * d.TransmissionHeat / d.Time
	}
	for end := range g.End {
		by, err := heat.ScrewWarming(g.Power, films[end], screw.Diameter, screw.Length, heat.Layer{Density: density, SpecificHeat: specific})
		if err != nil {
			return g, false, err
		}
		if end == 1 {
			g.Duty = by.End
		}
		g.Rise[end] = heat.Warming{End: inputAt(f, end).Warming, TimeConstant: by.TimeConstant}
		grown, err := w.grownAt(f, end, math.Inf(1), stroke[end])
		if err != nil {
			return g, false, err
		}
		g.End[end] = heat.Warming{End: grown, TimeConstant: by.TimeConstant}
	}
	return g, true, nil
}

// grownAt is how far a warm screw has moved its nut at a distance from its first bearing, at the farthest that the nut goes where
// the distance is larger [m]. It is warm where the stroke of a part is, and as far beyond as heat goes; at the high
// end all along, if that is more.
func (w *workshop) grownAt(f *axis.Follower, end int, distance, stroke float64) (float64, error) {
	in := inputAt(f, end)
	screw, ok := screwOf(in, 0)
	if !ok {
		return 0, nil
	}
	at := math.Min(distance, screw.Length)
	switch m := in.Mechanism.(type) {
	case drive.RotatingScrew:
		at = math.Min(at, m.Supports.NutTo)
	case drive.RotatingNut:
		at = math.Min(at, m.Supports.NutTo)
	}
	conductivity, err := heat.Conductivity(w.Model.Read.Of(w.Spec.Material("screw steel").Density))
	if err != nil {
		return 0, err
	}
	beyond, err := heat.DecayLength(conductivity, screw.Diameter, w.heat.Film.Nominal)
	if err != nil {
		return 0, err
	}
	warm := heat.Warm{From: math.Max(0, at-stroke/2-beyond), To: math.Min(screw.Length, at+stroke/2+beyond), Low: in.Warming, High: in.Warming}
	used, err := screw.Shift(at, warm)
	if err != nil || end < 2 {
		return math.Abs(used), err
	}
	whole, err := screw.Shift(at, heat.Warm{To: screw.Length, Low: in.Warming, High: in.Warming})
	return math.Max(math.Abs(used), math.Abs(whole)), err
}

// follows finds how the frame follows the room, and what that does at the nose in every pose.
func (w *workshop) follows() (err error) {
	h := w.heat
	if h.Members, err = w.Model.MemberHeats(h.Film.Nominal); err != nil {
		return err
	}
	quickest := -1
	h.FrameLog = spec.Over(h.RoomLog)
	for i := range h.Members {
		h.FrameLog.Rest(h.Members[i].Log)
		share, err := heat.RampShare(h.Members[i].TimeConstant, h.Job[1])
		if err != nil {
			return err
		}
		h.Shares = append(h.Shares, share)
		if quickest < 0 || rank.More(share, h.Shares[quickest]) {
			quickest = i
		}
	}
	if w.Worst == nil || quickest < 0 {
		return nil
	}
	// What is rigid between the members follows as the quickest of them does; at the high end it is
	// of steel and follows the room at once.
	steel := w.Model.Read.Of(w.Spec.Material("steel").Expansion)
	with := h.Members[quickest].Expansion * h.Shares[quickest]
	kinds := make([][]machine.Strain, 4)
	for i := range h.Members {
		m, share := &h.Members[i], h.Shares[i]
		kinds[0] = append(kinds[0], machine.Strain{Axis: m.Expansion*share - with})
		kinds[1] = append(kinds[1], machine.Strain{Axis: m.Expansion*share - steel})
		kinds[2] = append(kinds[2], machine.Strain{Slope: [2]float64{share * m.Slope[0], share * m.Slope[1]}})
		kinds[3] = append(kinds[3], machine.Strain{Slope: m.Slope})
	}
	for _, pose := range w.Poses {
		var at [4][6]float64
		for n := range kinds {
			if at[n], err = w.Model.ThermalShift(pose, kinds[n]); err != nil {
				return err
			}
		}
		h.rises = append(h.rises, risen{at[0], at[1], at[2], at[3]})
	}
	return nil
}

// wait finds how long the machine runs until little is still to come.
func (h *Heat) wait() error {
	for k := range directions {
		left := 0.0
		for end := range h.Wait {
			var list []heat.Warming
			for _, g := range h.Growths {
				if g.Along == k {
					list = append(list, g.End[end])
				}
			}
			t, err := heat.WaitForRest(h.Limit, list...)
			if err != nil {
				return err
			}
			h.Wait[end] = math.Max(h.Wait[end], t)
			if end == 1 {
				h.WaitAlong[k] = t
				for _, g := range list {
					left += math.Abs(g.End) * math.Exp(-h.WarmUp[1]/g.TimeConstant)
				}
			}
		}
		h.After = math.Max(h.After, left)
	}
	return nil
}

// drift is half of what is still to come of a growth over a job, after the machine has run: the band in which the surfaces of
// the part lie that are cut meanwhile. At the low end it has run long, and the job is short.
func (h *Heat) drift(end [3]heat.Warming) (budget.Range, error) {
	return of3(func(at int) (float64, error) {
		w := heat.Warming{End: end[at].End, TimeConstant: end[1].TimeConstant}
		d, err := w.Drift(h.WarmUp[2-at], h.Job[at])
		return math.Abs(d) / 2, err
	})
}

// warmed adds what is the same everywhere: the growth of the spindle, and a workpiece that is not as warm as the machine.
func (t *target) warmed() error {
	h := t.heat
	for i := range h.Growths {
		g := &h.Growths[i]
		if g.Axis >= 0 {
			continue
		}
		p := Part{Cause: SpindleGrowth, Axis: -1, Other: -1, Kind: budget.Unmappable, Log: spec.Over(g.Log, h.RoomLog)}
		var err error
		if p.Sizes[g.Along], err = h.drift(g.End); err != nil {
			return err
		}
		t.fixed = append(t.fixed, p)
	}
	log := spec.Over(t.log)
	alpha, warmer := t.span(log, t.answer.Entry.Item.Expansion), t.span(log, t.Spec.Coolant.TemperatureDifference)
	p := Part{Cause: WarmWorkpiece, Axis: -1, Other: -1, Kind: budget.Unmappable, Log: log}
	for k := range directions {
		if t.axis[k] < 0 || t.part[k][1] == 0 {
			continue
		}
		size := func(end int, rise float64) float64 { return alpha[end] * t.part[k][end] * math.Abs(rise) / 2 }
		least, most := math.Min(math.Abs(warmer[0]), math.Abs(warmer[2])), math.Max(math.Abs(warmer[0]), math.Abs(warmer[2]))
		if warmer[0] < 0 && warmer[2] > 0 {
			least = 0 // one of them may be neither
		}
		p.Sizes[k] = rangeOf(size(1, warmer[1]), size(0, least), size(2, most))
	}
	t.fixed = append(t.fixed, p)
	return nil
}

// drifts are what heat does that depends on the place: screws that grow after zero is set, the frame that follows the room,
// and the air that is warmer higher up.
func (t *target) drifts(pose machine.Pose, number int) ([]Part, error) {
	h := t.heat
	var list []Part
	for i := range h.Growths {
		g := &h.Growths[i]
		if g.Axis < 0 {
			continue
		}
		f := t.axes.Follower(g.Axis)
		distance := t.Model.NutDistance(g.Axis, &f.Drive.Entry.Item, pose)
		here := g.End
		for end := range here {
			grown, err := t.grownAt(f, end, distance, t.part[g.Along][end])
			if err != nil {
				return nil, err
			}
			here[end].End = grown
		}
		p := Part{Cause: ScrewDrift, Axis: g.Axis, Other: -1, Kind: budget.Unmappable, Log: spec.Over(g.Log, h.RoomLog, t.log)}
		var err error
		if p.Sizes[g.Along], err = h.drift(here); err != nil {
			return nil, err
		}
		list = append(list, p)
	}
	if len(h.rises) > 0 {
		frame, err := t.frameDrifts(h.rises[number])
		if err != nil {
			return nil, err
		}
		list = append(list, frame...)
	}
	return append(list, t.gradient(pose)), nil
}

// frameDrifts are what the frame does as the room changes over a job.
func (t *target) frameDrifts(r risen) ([]Part, error) {
	end, err := t.Model.ToolEnd(t.Spec.Cutters.Find(t.answer.Best().Cutter))
	if err != nil {
		return nil, err
	}
	h, list := t.heat, []Part(nil)
	for _, c := range []struct {
		cause        Cause
		middle, most [6]float64
	}{{FrameDrift, r.frame, r.most}, {FillBow, r.bow, r.mostBow}} {
		p := Part{Cause: c.cause, Axis: -1, Other: -1, Kind: budget.Unmappable, Log: spec.Over(h.FrameLog, t.Model.Stiff)}
		middle, most := machine.XYZ(machine.AtTip(c.middle, end.Arm)), machine.XYZ(machine.AtTip(c.most, end.Arm))
		for k := range p.Sizes {
			m, high := math.Abs(middle[k]), math.Max(math.Abs(middle[k]), math.Abs(most[k]))
			p.Sizes[k] = rangeOf(m*h.Change[1]/2, m*h.Change[0]/2, high*h.Change[2]/2)
		}
		list = append(list, p)
	}
	return list, nil
}

// gradient is what air that is warmer higher up does: a level axis runs along an arc. Its middle is off by the bow over the part,
// and the tool above or below its carriages by the tilt over the part times the height.
func (t *target) gradient(pose machine.Pose) Part {
	h := t.heat
	log := spec.Over(h.RoomLog, t.log)
	p := Part{Cause: Gradient, Axis: -1, Other: -1, Kind: budget.Unmappable, Log: log}
	alpha := t.span(log, t.Spec.Material("steel").Expansion)
	up := r3.Scale(-1, r3.Unit(machine.Gravity))
	for k, i := range t.axis {
		if i < 0 || math.Abs(r3.Dot(up, directions[k])) > along {
			continue
		}
		arm := t.heightOver(k, pose)
		for v := range directions {
			level := math.Abs(r3.Dot(up, directions[v]))
			size := func(end int) float64 {
				curvature := alpha[end] * math.Abs(h.Gradient[end])
				length := t.part[k][end]
				if v == k {
					return curvature * length * arm / 2
				}
				return level * curvature * length * length / 16
			}
			one := of(size)
			p.Sizes[v].Low += one.Low
			p.Sizes[v].Nominal += one.Nominal
			p.Sizes[v].High += one.High
		}
	}
	return p
}

// heightOver is how far the tip is over the middle of the carriages of the axis along a direction, or under it; nothing where the
// axes make no chain [m].
func (t *target) heightOver(k int, pose machine.Pose) float64 {
	if t.chain == nil {
		return 0
	}
	chain, p := t.chain.at(t, pose)
	up := r3.Unit(machine.Gravity)
	height := func(at r3.Vec) float64 { return r3.Dot(up, at) }
	centre := 0.0
	// What is nearer to the frame moves what it carries. It returns how far all of them do.
	along := func(list []geometry.Carriage) (moved float64) {
		for _, c := range list {
			if int(c.Axis) == k {
				centre = height(c.Centre) + moved
			}
			moved += p[c.Axis] * height(directions[c.Axis])
		}
		return moved
	}
	along(chain.Workpiece)
	tip := height(chain.Tip) + along(chain.Tool)
	return math.Abs(tip - centre)
}
