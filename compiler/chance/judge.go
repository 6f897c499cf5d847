package chance

import (
	"math"
	"slices"
	"strings"
	"sync"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/compiler/sampling"
	"ironbed/spec"
)

// A judge draws machines and judges them as the machine at the middle of every value was: with the cutters of its best cuts and of its
// finish passes, in the positions in which these are limited.
type judge struct {
	*machine.Solution
	cuts    *cut.Answers
	draw    *machine.Draw
	seed    uint64
	targets []judged
	held    []*machine.Vibration // the positions in which the best cuts are limited, the least stiff position first

	lock   sync.Mutex
	inputs map[string]*Input // by origin
}

// A judged is a target with what it is judged by.
type judged struct {
	answer   *cut.Answer
	budget   *accuracy.Budget
	held     int     // position in which its best cut is limited
	several  float64 // what several frequencies leave of the depth that the mean of the factors allows, at the middle of every value [-]
	removal  float64 // removal rate of the best cut by that mean [m3/s]
	plane    int     // in which the finish pass leaves the worst wall there
	wall     float64 // how far off it is, with the cutter running true [m]
	runout   float64 // [m]
	errors   []drawnError
	finisher *cut.Finisher
	short    bool // no end mill is as small as the part asks, whatever is drawn
}

// An outcome is what became of one machine.
type outcome struct {
	stiff   [3]float64
	mode    float64
	mass    float64
	targets []done
}

// A done is how a machine does with a target.
type done struct {
	light, full float64 // deepest cut over the one that light and that full cuts ask for [-]
	late        bool    // the part takes longer than it may: light cuts at best
	error       float64 // likely error of the finished part [m]
	accuracy    float64 // that is wanted [m]
	chatters    bool    // its finish pass does
	short       bool    // its finished part lacks something that is not drawn
	stable      float64 // depth that is stable at the speed of the best cut; endless where nothing chatters [m]
}

func (d *done) grade() reach.Grade {
	switch {
	case d.full >= 1-1e-9 && !d.late:
		return reach.WithinReach
	case d.light >= 1-1e-9 || d.full >= 1-1e-9:
		return reach.LightCuts
	}
	return reach.OutOfReach
}

func (d *done) fine() bool { return !d.chatters && !d.short && d.error <= d.accuracy*(1+1e-9) }

// finishes reports whether a finished part counts for the verdict.
func (t *judged) finishes() bool {
	return t.short || t.budget != nil && t.budget.Grade != accuracy.NotKnown
}

// margin is by how much a machine reaches the grade that its target has, or misses the next: the logarithm of the smaller of what it
// has over what is asked in roughing and in finishing [-].
func (t *judged) margin(d *done) float64 {
	rough := d.full
	if t.answer.Best().Grade == reach.LightCuts && t.answer.Best().Operation != cut.Slot {
		rough = d.light
	}
	m := math.Log(math.Max(rough, leastMargin))
	if t.finishes() && d.error > 0 {
		m = math.Min(m, math.Log(d.accuracy/d.error))
	}
	return m
}

// leastMargin is the least depth over the one that is asked for that counts [-]: no cut at all has no logarithm.
const leastMargin = 1e-2

func newJudge(s *machine.Solution, cuts *cut.Answers, budgets *accuracy.Budgets, machines int) (*judge, error) {
	j := &judge{Solution: s, cuts: cuts, draw: machine.NewDraw(s.Spec), seed: seed(s.Spec), inputs: map[string]*Input{}, targets: make([]judged, len(cuts.List))}
	j.held = []*machine.Vibration{&s.Vibrations[0]}
	for i := range cuts.List {
		a := &cuts.List[i]
		if a.Best() == nil {
			continue
		}
		t := &j.targets[i]
		t.answer = a
		if a.Stability.Largest != nil {
			if t.held = slices.Index(j.held, a.Stability.Largest.In); t.held < 0 {
				t.held, j.held = len(j.held), append(j.held, a.Stability.Largest.In)
			}
		}
		if b := budgets.List[i]; b != nil {
			if t.short = b.Shortage == accuracy.NoCutter; b.Pass != nil {
				t.budget, t.finisher = b, b.Finisher
			}
		}
	}
	middle := spec.Picking(func(u spec.Uncertainty) float64 {
		j.meet(u)
		return u.Middle
	})
	d, err := j.draw.Model(middle)
	if err != nil {
		return nil, err
	}
	known := s.Spec.Uncertainties()
	q := cut.Question{Model: d, Compliance: s.Worst.Nose, Axes: cut.AxisLimits(d, middle)}
	for i := range j.targets {
		t := &j.targets[i]
		if t.answer == nil {
			continue
		}
		q.Vibrations = []machine.Vibration{*j.held[t.held]}
		q.Only = t.operations()
		at, err := j.attempt(q, t)
		if err != nil {
			return nil, err
		}
		t.several = 1
		if now, by := t.answer.Best().Best.Deepest, at.Best.Deepest; now != nil && by != nil && now.Limit == reach.Chatter {
			if stable, ok := cut.StableRatio(by); ok && stable > 0 {
				t.several = math.Min(1, now.DepthRatio/stable)
			}
		}
		if at.Best.Best != nil {
			t.removal = at.Best.Best.RemovalRate
		}
		cut.JobOf(middle, t.answer.Entry)
		if t.budget == nil {
			continue
		}
		own, err := j.finisher(q, t)
		if err != nil {
			return nil, err
		}
		wall, err := t.budget.Pass.Again(d, q.Vibrations, own, cut.EveryPlane)
		if err != nil {
			return nil, err
		}
		t.plane, t.wall = wall.Plane, wall.Worst
		t.runout = own.Input.Cutter.Runout
		t.errors = j.errorsOf(t.budget, known)
	}
	j.name(machines)
	// From here on nothing is met any more: machines are drawn side by side, and look at this one.
	d.Read = spec.Picking(func(u spec.Uncertainty) float64 { return u.Middle })
	j.draw.From(d)
	return j, nil
}

// attempt puts a target to a machine with the cutter of its best cut.
func (j *judge) attempt(q cut.Question, t *judged) (*cut.Attempt, error) {
	item := &t.answer.Entry.Item
	return q.TryCutter(item, j.Spec.WorkMaterial(item.Material.Text), t.answer.Best().Cutter)
}

// finisher makes the cutter of a target's finish pass ready on a machine.
func (j *judge) finisher(q cut.Question, t *judged) (*cut.Attempt, error) {
	item := &t.answer.Entry.Item
	return q.Prepare(item, j.Spec.WorkMaterial(item.Material.Text), t.finisher.Attempt.Cutter)
}

// operations are those by which a target is judged: a slot, and what its best cut is, in its width.
func (t *judged) operations() (list []reach.Operation) {
	best := t.answer.Best()
	for i := range best.Outcomes {
		o := best.Outcomes[i].Operation
		switch {
		case o.Name == cut.Slot:
			list = append(list, o)
		case &best.Outcomes[i] == best.Best:
			if p := t.answer.Point(); p != nil {
				o.Width = reach.Range{Min: p.Cut.WidthRatio(), Max: p.Cut.WidthRatio()}
			}
			list = append(list, o)
		}
	}
	return list
}

// chosen reports whether a value is for the builder to choose, and not to find out: how large a part is.
func chosen(u spec.Uncertainty) bool {
	return strings.HasPrefix(u.Path, "targets.") && strings.HasSuffix(u.Path, ".size")
}

// meet takes an input in.
func (j *judge) meet(u spec.Uncertainty) *Input {
	if !u.Uncertain() || chosen(u) {
		return nil
	}
	j.lock.Lock()
	defer j.lock.Unlock()
	in := j.inputs[u.Origin]
	if in == nil {
		in = &Input{Uncertainty: u}
		j.inputs[u.Origin] = in
	}
	if strings.Compare(u.Path, in.Path) < 0 {
		in.Uncertainty = u // the first of its paths stands for it, whoever is read first
	}
	return in
}

// name gives every input its levels. They follow from where it stands in the spec or from its rule, not from its line, so that
// a line that is added above it changes none of them.
func (j *judge) name(machines int) {
	rules := map[string]bool{}
	for i := range j.Spec.Assumptions {
		rules[j.Spec.Assumptions[i].What] = true
	}
	for origin, in := range j.inputs {
		key := in.Path
		if in.Rule = rules[origin] || in.Path == ""; in.Rule {
			key = origin
		}
		in.levels, _ = sampling.Column(j.seed, key, machines)
	}
}

// sorted are the inputs in the order of where they stand.
func (j *judge) sorted() (list []*Input) {
	for _, in := range j.inputs {
		list = append(list, in)
	}
	slices.SortFunc(list, func(a, b *Input) int {
		if c := strings.Compare(a.Path, b.Path); c != 0 {
			return c
		}
		return strings.Compare(a.Origin, b.Origin)
	})
	return list
}

// reader draws the values of a machine. What was not met at the middle of every value stays there.
func (j *judge) reader(number int) spec.Reader {
	return spec.Picking(func(u spec.Uncertainty) float64 {
		if in := j.inputs[u.Origin]; in != nil && u.Uncertain() {
			return in.at(u, number)
		}
		return u.Middle
	})
}

// judge judges one machine; nil where it cannot be computed: a value lies where a formula does not hold.
// Exactly nothing is reduced, and no section goes between those that are solved.
func (j *judge) judge(number int, exactly bool) *outcome {
	read := j.reader(number)
	model := j.draw.Model
	if exactly {
		model = func(read spec.Reader) (*machine.Model, error) { return machine.New(j.Spec, read) }
	}
	d, err := model(read)
	if err != nil {
		return nil
	}
	out := &outcome{targets: make([]done, len(j.targets))}
	solved, vibrations := make([]*machine.Solved, len(j.held)), make([]machine.Vibration, len(j.held))
	for i, like := range j.held {
		if solved[i], err = d.Solve(like.Solved.Pose); err != nil {
			return nil
		}
		if !j.limits(i) {
			continue
		}
		if vibrations[i], err = vibrating(d, solved[i], like, exactly); err != nil {
			return nil
		}
	}
	worst := solved[0]
	_, reference := d.Reference()
	whole, _, err := d.TipCompliance(worst, reference)
	if err != nil {
		return nil
	}
	for k := range out.stiff {
		out.stiff[k] = 1 / whole[k][k]
	}
	out.mass = d.Mass()
	for i := range vibrations {
		if j.limits(i) {
			out.mode = vibrations[i].Response.Frequency(0)
			break
		}
	}
	q := cut.Question{Model: d, Compliance: worst.Nose, Axes: cut.AxisLimits(d, read)}
	for i := range j.targets {
		if t := &j.targets[i]; t.answer != nil {
			q.Vibrations, q.Only = vibrations[t.held:t.held+1], t.operations()
			if out.targets[i], err = j.doing(q, t, number, worst); err != nil {
				return nil
			}
		}
	}
	return out
}

// limits reports whether a best cut is limited in a position.
func (j *judge) limits(position int) bool {
	return slices.ContainsFunc(j.targets, func(t judged) bool { return t.answer != nil && t.held == position })
}

// vibrating is how a machine vibrates in a position, like the machine at the middle of every value there.
func vibrating(d *machine.Model, solved *machine.Solved, like *machine.Vibration, exactly bool) (machine.Vibration, error) {
	if !exactly {
		return d.RespondAs(solved, like, shapes)
	}
	list, err := d.Respond([]machine.Vibration{{Solved: solved, Modes: like.Modes}}, machine.ResponseVectors)
	if err != nil {
		return machine.Vibration{}, err
	}
	return list[0], nil
}

// doing is how a machine does with a target.
func (j *judge) doing(q cut.Question, t *judged, number int, worst *machine.Solved) (out done, err error) {
	at, err := j.attempt(q, t)
	if err != nil {
		return out, err
	}
	out.light, out.full = at.Deepest(reach.LightCuts, t.several), at.Deepest(reach.WithinReach, t.several)
	read := q.Model.Read
	job := cut.JobOf(read, t.answer.Entry)
	roughing := 0.0
	if fast := t.answer.Fastest.Point; fast != nil && at.Best.Best != nil && t.removal > 0 {
		roughing = job.Roughing(fast.RemovalRate * at.Best.Best.RemovalRate / t.removal)
	}
	out.late, out.short = job.TooLong(roughing), t.short
	if out.stable, err = j.stable(q, t, at); err != nil || t.budget == nil {
		return out, err
	}
	out.accuracy, out.short = t.budget.Accuracy, t.budget.Shortage != ""
	own := at
	if t.finisher.Attempt.Cutter != at.Cutter {
		if own, err = j.finisher(q, t); err != nil {
			return out, err
		}
	}
	pass, stable, err := t.budget.Pass.Shallower(own)
	if err != nil {
		return out, err
	}
	out.chatters = !stable || t.budget.Chatters()
	if t.budget.Grade == accuracy.Within {
		out.late = job.TooLong(roughing + job.Finishing(pass))
	}
	wall, err := pass.Again(q.Model, q.Vibrations, own, t.plane)
	if err != nil {
		return out, err
	}
	factor := drawnFactor{wall: ratio(wall.Worst, t.wall), runout: ratio(own.Input.Cutter.Runout, t.runout)}
	for k := range factor.sag {
		factor.sag[k] = ratio(math.Abs(machine.XYZ(worst.Sag)[k]), math.Abs(machine.XYZ(j.Worst.Sag)[k]))
	}
	out.error, err = t.likely(j, number, factor)
	return out, err
}

// stable is the depth that is stable at the speed of a target's best cut, held as that is [m].
func (j *judge) stable(q cut.Question, t *judged, at *cut.Attempt) (float64, error) {
	p := t.answer.Point()
	if p == nil {
		return 0, nil
	}
	depth, err := cut.StableAt(at, p)
	return depth * t.several, err
}

// ratio is that of two numbers, one where there is none.
func ratio(a, b float64) float64 {
	if b == 0 {
		return 1
	}
	return a / b
}
