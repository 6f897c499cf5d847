package cut

import (
	"math"
	"slices"

	"ironbed/compiler/chatter"
	"ironbed/compiler/cutting"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// A FinishPass is a thin pass along a wall whose depth and speed are chosen for the wall that
// forced vibration leaves.
type FinishPass struct {
	Cut     cutting.Cut // as it is set, climbing
	Feed    float64     // [m/s]
	Static  Wall        // what a force at rest would leave
	At      Forced      // what is left at its speed
	Around  Forced      // the worst within [machine.SpeedDoubt] of its speed
	Ends    []Forced    // the same with every uncertain value at its worse end, and at its better end
	Refusal Refusal     // why it is not proposed, empty where it is
	Sweep   []Forced    // over the speeds that spindle and material take
	Speeds  []float64   // they [rev/s]
	Least   float64     // where there is none, the least depth that was tried [m]

	Harmonic float64 // the harmonic of the tooth passing by which the tool moves most across the wall [-]
	Mode     float64 // the resonance next to it, 0 for none [Hz]
}

// A Refusal is why no finish pass is proposed.
type Refusal string

// The reasons.
const (
	FinishError   Refusal = "error"   // at every stable speed and depth tried the wall is farther off than the accuracy
	FinishChatter Refusal = "chatter" // no speed and depth tried is stable
)

// A Forced is a wall as forced vibration leaves it, over all planes of the tip and all heights.
type Forced struct {
	Low, High float64 // its lowest and its highest place, above zero where material is left on [m]
	Error     float64 // where the foremost tooth cuts, the largest in size [m]
	Ripple    float64 // the greatest height of what stands above that [m]
	Worst     float64 // the greatest distance of a place from where the wall should be [m]
	Least     float64 // the same in the plane in which it is least [m]
	Plane     int     // the plane in which it is greatest
	True      float64 // the greatest distance if the cutter ran true, once it is looked at [m]
}

// Off is how far off a wall may be, with a runout of any size up to the cutter's: that it takes
// away what deflection leaves on is luck [m].
func (f Forced) Off() float64 { return math.Max(f.Worst, f.True) }

// A Total is the error of a part of which a wall at a feed [m/s] is one.
type Total func(wall Forced, feed float64) Sum

// A Sum is errors added up.
type Sum struct {
	Likely float64 // [m]
	Sure   float64 // about the likely one that 90 of 100 machines like this one do not exceed [m]
	Upper  float64 // all errors added up [m]
}

// worse is the worst of two walls.
func (f Forced) worse(g Forced) Forced {
	out := f
	if g.Worst > f.Worst {
		out = g
	}
	if math.Abs(g.Error) > math.Abs(f.Error) {
		out.Error = g.Error
	} else {
		out.Error = f.Error
	}
	out.Low, out.High = math.Min(f.Low, g.Low), math.Max(f.High, g.High)
	out.Ripple, out.Least, out.True = math.Max(f.Ripple, g.Ripple), math.Max(f.Least, g.Least), math.Max(f.True, g.True)
	return out
}

const (
	// doubtSteps is how many of the speeds that are tried lie on either side of one within
	// [machine.SpeedDoubt] of it.
	doubtSteps = 2
	// speedParts is how many parts the way between two of them has for the forced vibration,
	// whose resonances are a few per cent wide.
	speedParts = 3
	// meanFar is by what factor the zero-order depth lies above the true one at most, in cuts
	// of a twentieth of the diameter [-]: up to 3.8 in published and computed cases.
	meanFar = 4
	// finishHeights is the number of heights of the wall that are looked at.
	finishHeights = 9
)

// finishing is what a finish pass is looked for with.
type finishing struct {
	in       *reach.Input
	accuracy float64 // within which the part has to be [m]
	planes   []chatter.Plane
	band     *chatter.Band
	pass     cutting.Cut // its width, feed and helix
}

// running is the same with a cutter of another runout [m].
func (f *finishing) running(runout float64) *finishing {
	in, other := *f.in, *f
	in.Cutter.Runout = runout
	other.in = &in
	return &other
}

// newFinishing makes the passes of an attempt ready, on a model and its vibrations.
func newFinishing(d *machine.Model, vibrations []machine.Vibration, in *reach.Input, cutter *spec.Cutter, pass cutting.Cut) (*finishing, error) {
	f := &finishing{in: in, pass: pass}
	var err error
	if f.planes, err = d.Planes(vibrations, cutter); err != nil {
		return nil, err
	}
	if f.band, err = chatter.NewBand(f.planes); err != nil {
		return nil, err
	}
	return f, nil
}

// milling is a pass as stability and forced vibration see it.
func (f *finishing) milling(pass cutting.Cut) (chatter.Milling, error) {
	stiffness, err := reach.CuttingStiffness(f.in.Work, pass.FeedPerTooth, pass.WidthRatio())
	if err != nil {
		return chatter.Milling{}, err
	}
	arc, err := cutting.EngagedArc(pass.WidthRatio(), pass.Mode)
	cut := chatter.Cut{Teeth: pass.Teeth, Entry: arc.Entry, Exit: arc.Exit, Tangential: stiffness, Radial: f.in.Work.NormalRatio}
	return chatter.Milling{Cut: cut, Diameter: pass.Diameter, Helix: math.Abs(pass.Helix)}, err
}

// vibrating is a pass as forced vibration sees it.
func (f *finishing) vibrating(pass cutting.Cut) chatter.Pass {
	p := chatter.Pass{Speed: pass.Speed, Depth: pass.Depth, FeedPerTooth: pass.FeedPerTooth, Up: pass.Mode == cutting.Up}
	if f.in.Cutter.Runout > 0 && pass.Teeth > 1 {
		// The teeth of chatter come one after the other; those of the runout run ahead.
		p.Radii = f.radii(pass, 0)
		slices.Reverse(p.Radii)
	}
	for i := range finishHeights {
		p.Heights = append(p.Heights, pass.Depth*float64(i)/(finishHeights-1))
	}
	return p
}

// radii are how far the teeth stand out at a height, as cutting counts them.
func (f *finishing) radii(pass cutting.Cut, height float64) []float64 {
	lag := 2 * height * math.Abs(math.Tan(pass.Helix)) / pass.Diameter
	return cutting.ToothRadii(f.in.Cutter.Runout, cutting.WorstRunoutAngle(pass.Teeth)+lag, pass.Teeth)
}

// stands are how far the teeth stand out at each height, in the order of cutting.
func (f *finishing) stands(pass cutting.Cut, heights []float64) (list [][]float64) {
	for _, height := range heights {
		radii := f.radii(pass, height)
		slices.Reverse(radii)
		list = append(list, radii)
	}
	return list
}

// forced is the wall that a pass leaves at each of a list of speeds.
func (f *finishing) forced(pass cutting.Cut, speeds []float64) ([]Forced, error) {
	m, err := f.milling(pass)
	if err != nil {
		return nil, err
	}
	p := f.vibrating(pass)
	force, err := chatter.NewForcing(m, p)
	if err != nil {
		return nil, err
	}
	radii := f.stands(pass, p.Heights)
	out, errs := make([]Forced, len(speeds)), make([]error, len(speeds))
	machine.EachParallel(len(speeds), func(i int) {
		var list []chatter.Located
		if list, errs[i] = f.band.Locate(force, speeds[i]); errs[i] == nil {
			out[i], errs[i] = wallsOf(pass, list, radii)
		}
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// wallsOf is the wall over the planes: at each height every tooth stands out by its radius less
// what it leaves on, and what they leave is the envelope of their cusps.
func wallsOf(pass cutting.Cut, list []chatter.Located, radii [][]float64) (Forced, error) {
	out := Forced{Low: math.Inf(1), High: math.Inf(-1), Least: math.Inf(1)}
	for plane := range list {
		most := 0.0
		for z, row := range list[plane].Error {
			stands := make([]float64, pass.Teeth)
			for tooth := range stands {
				stands[tooth] = radii[z][tooth] - row[tooth%len(row)]
			}
			cusps, err := cutting.UnevenMarks(pass.Diameter, pass.FeedPerTooth, stands)
			if err != nil {
				return out, err
			}
			low := -slices.Max(stands)
			out.Low, out.High = math.Min(out.Low, low), math.Max(out.High, low+cusps)
			if math.Abs(low) > math.Abs(out.Error) {
				out.Error = low
			}
			out.Ripple = math.Max(out.Ripple, cusps)
			most = math.Max(most, math.Max(math.Abs(low), math.Abs(low+cusps)))
		}
		out.Least = math.Min(out.Least, most)
		if most > out.Worst {
			out.Worst, out.Plane = most, plane
		}
	}
	return out, nil
}

// speeds are those that spindle, cutter, material and axes take at the feed per tooth, the
// slowest first.
func (f *finishing) speeds() (list []float64, err error) {
	in := f.in
	curve, around := in.Machine.SpindleCurve, math.Pi*in.Cutter.Diameter
	slow, fast := math.Max(curve[0].Speed, in.SurfaceSpeed.Min/around), math.Min(curve[len(curve)-1].Speed, in.SurfaceSpeed.Max/around)
	if in.Cutter.MaxSpeed > 0 {
		fast = math.Min(fast, in.Cutter.MaxSpeed)
	}
	feed, _, err := reach.FeedLimit(in.Machine.Axes, in.Machine.ToolAxis)
	if err != nil {
		return nil, err
	}
	fast = math.Min(fast, feed/(f.pass.FeedPerTooth*float64(f.pass.Teeth)))
	// The best cut runs at one of them, whatever rounding says.
	slow, fast = math.Min(slow, f.pass.Speed), math.Max(fast, f.pass.Speed)
	return speedsBetween(slow, fast), nil
}

// speedsBetween are speeds in even ratios, no farther apart than [machine.SpeedDoubt] over
// doubtSteps.
func speedsBetween(slow, fast float64) (list []float64) {
	steps := math.Max(1, math.Ceil(math.Log(fast/slow)/speedRatio))
	for i := range int(steps) + 1 {
		list = append(list, slow*math.Pow(fast/slow, float64(i)/steps))
	}
	return list
}

// speedRatio is the logarithm of the ratio of two speeds that are tried, at most [-].
var speedRatio = math.Log(1+machine.SpeedDoubt) / doubtSteps

// A depthTried is a depth of the finish pass with what it leaves over the speeds.
type depthTried struct {
	*finishing
	pass   cutting.Cut
	speeds []float64 // beside those that are tried, as many as lie within doubt of the ends
	limits []chatter.Limit
	fine   []float64 // speedParts of them to each step of those [rev/s]
	walls  []Forced  // at each of these
	ran    []bool    // whether a wall is looked at with the cutter running true
	stable []int     // whether it is at a speed: 0 not known, 1 yes, −1 no
}

// try computes a depth over all speeds.
func (f *finishing) try(depth float64, speeds []float64) (*depthTried, error) {
	t := &depthTried{finishing: f, pass: f.pass}
	t.pass.Depth = depth
	m, err := f.milling(t.pass)
	if err != nil {
		return nil, err
	}
	if t.limits, err = chatter.Limits(f.planes, m.Cut, speeds, machine.SpeedDoubt, 2*meanFar*depth/machine.StableShare); err != nil {
		return nil, err
	}
	ratio := math.Exp(speedRatio)
	if len(speeds) > 1 {
		ratio = speeds[1] / speeds[0]
	}
	for i := range len(speeds) + 2*doubtSteps {
		t.speeds = append(t.speeds, speeds[0]*math.Pow(ratio, float64(i-doubtSteps)))
	}
	for i := range (len(t.speeds)-1)*speedParts + 1 {
		t.fine = append(t.fine, t.speeds[0]*math.Pow(ratio, float64(i)/speedParts))
	}
	t.stable, t.ran = make([]int, len(t.speeds)), make([]bool, len(t.fine))
	t.walls, err = f.forced(t.pass, t.fine)
	for i := range t.walls {
		// Until it is looked at, what makes the least of a budget.
		t.walls[i].True = t.walls[i].Worst / 2
	}
	return t, err
}

// runTrue takes into the walls within doubt of one of the speeds what they would be if the cutter ran true.
func (t *depthTried) runTrue(speed int) error {
	var speeds []float64
	var at []int
	for i := speed * speedParts; i <= (speed+2*doubtSteps)*speedParts; i++ {
		if !t.ran[i] {
			t.ran[i] = true
			speeds, at = append(speeds, t.fine[i]), append(at, i)
		}
	}
	walls, err := t.running(0).forced(t.pass, speeds)
	for n := range walls {
		t.walls[at[n]].True = walls[n].Worst
	}
	return err
}

// at is the wall at one of the speeds.
func (t *depthTried) at(speed int) Forced { return t.walls[(speed+doubtSteps)*speedParts] }

// around is the worst wall within doubt of one of the speeds.
func (t *depthTried) around(speed int) Forced {
	worst := t.at(speed)
	for _, next := range t.walls[speed*speedParts : (speed+2*doubtSteps)*speedParts+1] {
		worst = worst.worse(next)
	}
	return worst
}

// wave is the frequency up to which modes are driven by several harmonics of the teeth
// together, at a speed [Hz].
func (f *finishing) wave(speed float64) float64 {
	return chatter.HighestWave * speed * float64(f.pass.Teeth)
}

// holds reports whether a pass is stable within doubt of one of the speeds, by several
// frequencies: so narrow a cut chatters where the zero-order solution sees nothing.
func (t *depthTried) holds(speed int) (bool, error) {
	if t.limits[speed].Depth > meanFar*t.pass.Depth/machine.StableShare {
		return true, nil
	}
	around := t.stable[speed : speed+2*doubtSteps+1]
	if slices.Contains(around, -1) {
		return false, nil
	}
	m, err := t.milling(t.pass)
	if err != nil {
		return false, err
	}
	// A helix breaks the lobes of flips into islands and adds none (Zatarain 2006): a
	// straight edge is on the safe side, and quick.
	m.Helix = 0
	errs := make([]error, len(around))
	machine.EachParallel(len(around), func(i int) {
		if around[i] != 0 {
			return
		}
		var ok bool
		if ok, errs[i] = t.band.Below(t.wave(t.speeds[speed+i])).Stable(m, t.speeds[speed+i], t.pass.Depth/machine.StableShare); ok {
			around[i] = 1
		} else {
			around[i] = -1
		}
	})
	for _, err := range errs {
		if err != nil {
			return false, err
		}
	}
	return !slices.Contains(around, -1), nil
}

// confirm takes the whole motion at one of the speeds into the walls, in the plane in which
// the wall is farthest off: with what the vibration by runout makes of the chips.
func (t *depthTried) confirm(speed int) error {
	to := &t.walls[(speed+doubtSteps)*speedParts]
	pass := t.pass
	pass.Speed = t.speeds[speed+doubtSteps]
	m, err := t.milling(pass)
	if err != nil {
		return err
	}
	band, err := chatter.NewBand(t.planes[to.Plane : to.Plane+1])
	if err != nil {
		return err
	}
	p := t.vibrating(pass)
	// The wall acts back on the chips by the modes that the teeth's blows drive together; what
	// the higher ones do by themselves is in the wall already.
	left, err := band.Below(t.wave(pass.Speed)).Finish(m, p)
	if err != nil {
		return err
	}
	var located chatter.Located
	for _, s := range left[0].Surface {
		located.Error = append(located.Error, s.Location)
	}
	whole, err := wallsOf(pass, []chatter.Located{located}, t.stands(pass, p.Heights))
	if err != nil {
		return err
	}
	whole.Plane, whole.Least = to.Plane, to.Least
	*to = to.worse(whole)
	return nil
}

// Pass looks for the finish pass with a cutter that removes most and is stable, and leaves the
// part within the accuracy at every speed within [machine.SpeedDoubt] of its own: with all errors added up where it can,
// else on 90 of 100 machines, else by the likely one. Where there is none it returns the one that comes nearest, and why it is refused.
//
// The static error ([cutting.Cut.Form]) is what remains of this at slow speed. There the force is
// Kienzle's law, and the compliance that of the direction in which the tip is softest; here it
// is the straight line through the force at the mean chip, which vibration takes, in the planes of the
// directions of feed, where force along the feed moves the tip across it as well.
func (p *Finisher) Pass(s *machine.Solution, total Total) (*FinishPass, error) {
	cutter := s.Spec.Cutters.Find(p.Attempt.Cutter)
	f, err := newFinishing(s.Model, s.Vibrations, &p.Attempt.Input, cutter, p.Cut)
	if err != nil {
		return nil, err
	}
	f.accuracy = p.Accuracy
	out, err := f.search(total)
	if err != nil {
		return nil, err
	}
	if out.Static, err = wallOf(f.in, out.Cut); err != nil {
		return nil, err
	}
	for i, end := range []struct {
		d          *machine.Model
		vibrations []machine.Vibration
	}{{s.SoftModel, s.SoftVibrations}, {s.StiffModel, s.StiffVibrations}} {
		if p.Ends[i] == nil {
			continue
		}
		pass := out.Cut
		pass.Helix = end.d.Read.Of(cutter.Helix)
		g, err := newFinishing(end.d, end.vibrations, &p.Ends[i].Input, cutter, pass)
		if err != nil {
			return nil, err
		}
		t, err := g.try(pass.Depth, []float64{pass.Speed})
		if err != nil {
			return nil, err
		}
		if err := t.runTrue(0); err != nil {
			return nil, err
		}
		out.Ends = append(out.Ends, t.around(0))
	}
	return out, nil
}

// A candidate is a speed of a depth.
type candidate struct{ depth, speed int }

// search looks for the pass that removes most and holds.
func (f *finishing) search(total Total) (*FinishPass, error) {
	speeds, err := f.speeds()
	if err != nil {
		return nil, err
	}
	q := &finishSearch{finishing: f, speeds: speeds, total: total}
	for d := f.pass.Depth; len(q.depths) == 0 || d >= leastFinish*f.pass.Diameter*(1-rank.Alike); d *= finishStep {
		q.depths = append(q.depths, d)
	}
	// Where the part is not within its accuracy even with a perfect wall, no pass is.
	picks := []func(Sum) float64{func(s Sum) float64 { return s.Upper }, func(s Sum) float64 { return s.Sure }, func(s Sum) float64 { return s.Likely }}
	within := func(pick func(Sum) float64) bool {
		return slices.ContainsFunc(speeds, func(speed float64) bool { return !rank.More(pick(total(Forced{}, f.feed(speed))), f.accuracy) })
	}
	if !within(picks[len(picks)-1]) {
		q.depths = q.depths[len(q.depths)-1:] // the one that leaves the truest wall
	}
	picks = slices.DeleteFunc(picks, func(pick func(Sum) float64) bool { return !within(pick) })
	if len(picks) == 0 {
		picks = []func(Sum) float64{func(s Sum) float64 { return s.Likely }}
	}
	q.tried = make([]*depthTried, len(q.depths))
	for i := range q.depths {
		for k := range speeds {
			q.list = append(q.list, candidate{i, k})
		}
	}
	rank.By(q.list, func(c candidate) float64 { return q.depths[c.depth] * speeds[c.speed] })
	for _, pick := range picks {
		q.refusal, q.nearest = FinishChatter, candidate{-1, 0}
		c, ok, err := q.first(pick)
		if err != nil {
			return nil, err
		}
		if ok {
			return f.chosen(q.tried[c.depth], c.speed, speeds, "")
		}
	}
	if q.nearest.depth < 0 {
		q.nearest = q.list[len(q.list)-1]
	}
	out, err := f.chosen(q.tried[q.nearest.depth], q.nearest.speed, speeds, q.refusal)
	if err == nil {
		out.Least = q.depths[len(q.depths)-1]
	}
	return out, err
}

// feed is that of the pass at a spindle speed [m/s].
func (f *finishing) feed(speed float64) float64 {
	return cutting.FeedRate(f.pass.FeedPerTooth, f.pass.Teeth, speed)
}

// A finishSearch is the passes that are tried, those that remove most first.
type finishSearch struct {
	*finishing
	total   Total
	speeds  []float64
	depths  []float64
	list    []candidate
	tried   []*depthTried // by depth
	refusal Refusal       // of all so far
	nearest candidate     // the one with the least error of those that are stable by zero order; no depth where none is
}

// first is the first pass that is stable and whose error, picked of the total, is within the accuracy; false
// where there is none.
func (q *finishSearch) first(pick func(Sum) float64) (c candidate, ok bool, err error) {
	least := math.Inf(1)
	for _, c := range q.list {
		t := q.tried[c.depth]
		if t == nil {
			if t, err = q.try(q.depths[c.depth], q.speeds); err != nil {
				return c, false, err
			}
			q.tried[c.depth] = t
		}
		if machine.StableShare*t.limits[c.speed].Depth < q.depths[c.depth] {
			continue
		}
		feed := q.feed(q.speeds[c.speed])
		exceeds := func() bool {
			now := pick(q.total(t.around(c.speed), feed))
			exceeds := rank.More(now, q.accuracy)
			if exceeds && rank.More(least, now) {
				q.refusal, q.nearest, least = FinishError, c, now
			}
			return exceeds
		}
		if exceeds() {
			continue
		}
		if err = t.runTrue(c.speed); err != nil {
			return c, false, err
		}
		if exceeds() {
			continue
		}
		if ok, err = t.holds(c.speed); err != nil {
			return c, false, err
		}
		if !ok {
			continue
		}
		if err = t.confirm(c.speed); err != nil {
			return c, false, err
		}
		if !exceeds() {
			return c, true, nil
		}
	}
	return c, false, nil
}

// chosen is the pass at a speed of a depth.
func (f *finishing) chosen(t *depthTried, at int, speeds []float64, refusal Refusal) (*FinishPass, error) {
	if err := t.runTrue(at); err != nil {
		return nil, err
	}
	out := &FinishPass{Cut: t.pass, At: t.at(at), Around: t.around(at), Refusal: refusal}
	inside := doubtSteps * speedParts
	out.Speeds, out.Sweep = t.fine[inside:len(t.fine)-inside], t.walls[inside:len(t.walls)-inside]
	out.Cut.Speed = speeds[at]
	out.Feed = cutting.FeedRate(out.Cut.FeedPerTooth, out.Cut.Teeth, out.Cut.Speed)
	m, err := f.milling(out.Cut)
	if err != nil {
		return nil, err
	}
	force, err := chatter.NewForcing(m, f.vibrating(out.Cut))
	if err != nil {
		return nil, err
	}
	list, err := f.band.Locate(force, out.Cut.Speed)
	if err != nil {
		return nil, err
	}
	worst := list[out.At.Plane]
	out.Harmonic, out.Mode = worst.Harmonic, worst.Mode
	return out, nil
}
