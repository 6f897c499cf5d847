package compiler

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"ironbed/compiler/build"
	"ironbed/compiler/chatter"
	"ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A retry is the machine's answer with one change made: the compliance at the
// nose in the softest pose, and how it rings, on request.
type retry struct {
	model  *machine.Model
	nose   machine.Six
	planes func() (map[string][]chatter.Plane, error)
	axes   func() [][]reach.Axis // what its axes can do
	same   bool                  // the frame is as it was, so its answer here is its answer everywhere
	err    error
}

// question puts targets to the changed machine. Without heard, chatter is left
// out: the answer is then no worse than the true one, and quick.
func (r *retry) question(heard bool) (question, error) {
	q := question{model: r.model, compliance: r.nose, axes: r.axes()}
	var err error
	if heard {
		q.planes, err = r.planes()
	}
	return q, err
}

func axesOnce(d *machine.Model) func() [][]reach.Axis {
	return sync.OnceValue(func() [][]reach.Axis { return axisLimits(d) })
}

// retryWith solves the machine anew with something changed, in the worst pose.
func (j *job) retryWith(apply func(*spec.Machine)) *retry {
	d, err := machine.New(j.m.With(apply), machine.Nominal)
	if err != nil {
		return &retry{err: err}
	}
	posed, err := d.At(j.worst.Pose)
	if err != nil {
		return &retry{err: err}
	}
	r := &retry{model: d, nose: j.worst.Nose, axes: axesOnce(d)}
	if r.same = alike(&posed.Frame, &j.worst.Posed.Frame, true); r.same {
		r.planes = sync.OnceValues(func() (map[string][]chatter.Plane, error) { return d.AllPlanes(j.rings) })
		return r
	}
	solve := sync.OnceValues(func() (*machine.Solved, error) { return d.SolvePosed(j.worst.Pose, posed, machine.NoseOnly) })
	if !alike(&posed.Frame, &j.worst.Posed.Frame, false) {
		s, err := solve()
		if err != nil {
			return &retry{err: err}
		}
		r.nose = s.Nose
	}
	r.planes = sync.OnceValues(func() (map[string][]chatter.Plane, error) {
		s, err := solve()
		if err != nil {
			return nil, err
		}
		return j.planesWith(s, d)
	})
	return r
}

// planesWith are the planes of a changed machine, in a solved pose and in the one
// that fed a cut's vibration most before the change.
func (j *job) planesWith(s *machine.Solved, d *machine.Model) (map[string][]chatter.Plane, error) {
	if slices.Equal(s.Pose, j.lively.Pose) {
		return d.PlanesIn(s, s)
	}
	lively, err := d.Solve(j.lively.Pose)
	if err != nil {
		return nil, err
	}
	return d.PlanesIn(s, lively)
}

// retryEverywhere solves the machine anew in every pose and returns the answer in
// the softest one.
func (j *job) retryEverywhere(apply func(*spec.Machine)) *retry {
	d, err := machine.New(j.m.With(apply), machine.Nominal)
	if err != nil {
		return &retry{err: err}
	}
	poses, err := d.SolveAll(d.Grid(), machine.NoseOnly)
	if err != nil {
		return &retry{err: err}
	}
	worst, _, err := d.SoftestPose(poses)
	if err != nil {
		return &retry{err: err}
	}
	return &retry{model: d, nose: worst.Nose, axes: axesOnce(d), planes: sync.OnceValues(func() (map[string][]chatter.Plane, error) {
		// With the change the machine may swing most in another pose.
		var likely []*machine.Solved
		for _, i := range j.livelyOrder[:min(machine.LivelyPoses, len(j.livelyOrder))] {
			likely = append(likely, poses[i])
		}
		rings, err := d.Rings(likely, machine.SweepModes)
		if err != nil {
			return nil, err
		}
		lively, err := d.Liveliest(rings)
		if err != nil {
			return nil, err
		}
		return d.PlanesIn(worst, likely[lively[0]])
	})}
}

// alike reports whether two frames give alike, and where mass counts whether
// they weigh alike too.
func alike(a, b *frame.Model, mass bool) bool {
	return slices.Equal(a.Nodes, b.Nodes) && slices.Equal(a.Links, b.Links) && slices.Equal(a.Springs, b.Springs) &&
		(!mass || slices.Equal(a.Masses, b.Masses)) &&
		slices.EqualFunc(a.Members, b.Members, func(x, y frame.Member) bool {
			if !mass {
				for _, s := range []*frame.Section{&x.Section, &y.Section} {
					s.MassPerLength, s.RotaryY, s.RotaryZ = 0, 0, 0
				}
			}
			return x == y
		})
}

// mostChanges is how many next moves a target names.
const mostChanges = 4

// A menu is the changes to one field that an answer may call for, from small to
// large.
type menu struct {
	answer  int
	changes []int // places in the list of all changes
}

// changePass finds the smallest single change that moves each verdict.
func changePass(j *job) error {
	// Targets often call for the same changes: each is solved once.
	var all []change
	index := map[string]int{}
	var menus []*menu
	for i := range j.answers {
		a := &j.answers[i]
		if best := a.best(); best == nil || best.verdict == build.WithinReach {
			continue
		}
		byPath := map[string]*menu{}
		for _, c := range j.proposals(a) {
			n, ok := index[c.what]
			if !ok {
				n = len(all)
				index[c.what] = n
				all = append(all, c)
			}
			key := cmp.Or(c.menu, c.path)
			if byPath[key] == nil {
				byPath[key] = &menu{answer: i}
				menus = append(menus, byPath[key])
			}
			if m := byPath[key]; !slices.Contains(m.changes, n) {
				m.changes = append(m.changes, n)
			}
		}
	}
	here, everywhere := make([]func() *retry, len(all)), make([]func() *retry, len(all))
	for n := range all {
		here[n] = sync.OnceValue(func() *retry { return j.retryWith(all[n].apply) })
		everywhere[n] = sync.OnceValue(func() *retry {
			if r := here[n](); r.same {
				return r
			}
			return j.retryEverywhere(all[n].apply)
		})
	}
	before := j.model.Mass()
	// choose finds the best of a menu: what a large change does not move, a
	// smaller one does not either.
	choose := func(m *menu) (*move, error) {
		a := &j.answers[m.answer]
		largest := m.changes[len(m.changes)-1]
		most, err := propose(a, all[largest], here[largest](), before)
		if most != nil {
			most.of = largest
		}
		if err != nil || most == nil || !most.Moves {
			return most, err
		}
		for _, n := range m.changes {
			some, err := most, error(nil)
			if n != largest {
				some, err = propose(a, all[n], here[n](), before)
			}
			if err == nil && some != nil && some.Moves && !here[n]().same {
				// A promise is kept over the whole travel: the softest pose may be
				// another one with the change.
				some, err = propose(a, all[n], everywhere[n](), before)
			}
			if err != nil || some != nil && some.Moves {
				if some != nil {
					some.of = n
				}
				return some, err
			}
		}
		if j.brief {
			return nil, nil
		}
		// It moves the verdict in the pose that was softest, and in none other; what it
		// gains is worth a line all the same.
		most, err = propose(a, all[largest], everywhere[largest](), before)
		if most != nil {
			most.of = largest
		}
		return most, err
	}
	found := make([]*move, len(menus))
	errs := make([]error, len(menus))
	machine.EachParallel(len(menus), func(i int) { found[i], errs[i] = choose(menus[i]) })
	if err := errors.Join(errs...); err != nil {
		return err
	}
	moves := make([][]move, len(j.answers))
	for i, m := range found {
		if m != nil {
			moves[menus[i].answer] = append(moves[menus[i].answer], *m)
		}
	}
	if j.brief { // the move that betters a verdict is all that is said
		for i := range moves {
			moves[i] = slices.DeleteFunc(moves[i], func(m move) bool { return !m.Moves })
		}
	}
	if err := j.keepPromises(moves, everywhere, all, before); err != nil {
		return err
	}
	for i := range j.answers {
		t := &j.b.Targets[j.answers[i].target]
		t.Changes = changesOf(bestFirst(moves[i]))
		if best := j.answers[i].best(); best != nil && best.verdict != build.WithinReach && (len(t.Changes) == 0 || !t.Changes[0].Moves) {
			if t.Next != "" {
				t.Next += "; "
			}
			t.Next += "no single change that was tried moves the verdict"
		}
	}
	if j.brief {
		return nil
	}
	return j.besides(all, everywhere)
}

// keepPromises judges the best moves that better no verdict in every pose: with the
// change another one may be the softest. What then gains nothing is left out.
func (j *job) keepPromises(moves [][]move, everywhere []func() *retry, all []change, before float64) error {
	type place struct{ answer, at int }
	var places []place
	for i := range moves {
		moves[i] = bestFirst(moves[i])
		for k, m := range moves[i] {
			if !m.Moves {
				places = append(places, place{i, k})
			}
		}
	}
	judged, errs := make([]*move, len(places)), make([]error, len(places))
	machine.EachParallel(len(places), func(n int) {
		m := moves[places[n].answer][places[n].at]
		judged[n], errs[n] = propose(&j.answers[places[n].answer], all[m.of], everywhere[m.of](), before)
	})
	if err := errors.Join(errs...); err != nil {
		return err
	}
	kept := make([][]move, len(moves))
	for i := range moves {
		for k, m := range moves[i] {
			n := slices.Index(places, place{i, k})
			switch {
			case n < 0:
				kept[i] = append(kept[i], m)
			case judged[n] != nil:
				judged[n].of = m.of
				kept[i] = append(kept[i], *judged[n])
			}
		}
	}
	copy(moves, kept)
	return nil
}

// besides says what each next move does to the targets that did not ask for it.
func (j *job) besides(all []change, everywhere []func() *retry) error {
	index := map[[2]string]int{}
	for n, c := range all {
		index[[2]string{c.what, c.path}] = n
	}
	type pair struct {
		change *build.Change
		from   int
		other  *answer
	}
	var pairs []pair
	for i := range j.answers {
		t := &j.b.Targets[j.answers[i].target]
		for c := range t.Changes {
			for k := range j.answers {
				other := &j.answers[k]
				own := slices.ContainsFunc(j.b.Targets[other.target].Changes, func(b build.Change) bool { return b.What == t.Changes[c].What })
				if k != i && !own && other.best() != nil {
					pairs = append(pairs, pair{&t.Changes[c], index[[2]string{t.Changes[c].What, t.Changes[c].Path}], other})
				}
			}
		}
	}
	says, errs := make([]string, len(pairs)), make([]error, len(pairs))
	machine.EachParallel(len(pairs), func(i int) {
		says[i], errs[i] = beside(pairs[i].other, everywhere[pairs[i].from]())
	})
	for i, p := range pairs {
		if says[i] != "" {
			p.change.Others = append(p.change.Others, says[i])
		}
	}
	return errors.Join(errs...)
}

// beside says what a change does to a target that did not ask for it; nothing where
// that is little.
func beside(a *answer, r *retry) (string, error) {
	q, err := r.question(true)
	if err != nil {
		return "", nil // as far as it can be solved
	}
	attempts, err := q.try(r.model.Spec.Targets.Find(a.entry.Name))
	if err != nil || len(attempts) == 0 {
		return "", err
	}
	before, after := a.best(), &attempts[0]
	if before.verdict != after.verdict {
		return fmt.Sprintf("%s becomes %s, and is %s now", a.entry.Name, after.verdict, before.verdict), nil
	}
	if before.best.Best == nil || after.best.Best == nil {
		return "", nil
	}
	was, is := before.best.Best.RemovalRate, after.best.Best.RemovalRate
	if ratio := is / was; ratio > 1/leastGain && ratio < leastGain {
		return "", nil
	}
	how := ""
	if before.cutter != after.cutter || before.operation != after.operation {
		how = fmt.Sprintf(" by a %s with the %s", after.operation, after.cutter)
		// The cut may remove as much today, at a lower grade.
		if o := sameCut(after, a.attempts); o != nil && o.Best != nil {
			how += fmt.Sprintf("; that cut is %s now, at %s, and the best one removes", o.Grade, removalWords(o.Best.RemovalRate))
			return fmt.Sprintf("%s comes to %s%s %s", a.entry.Name, removalWords(is), how, removalWords(was)), nil
		}
	}
	return fmt.Sprintf("%s comes to %s%s, %s now", a.entry.Name, removalWords(is), how, removalWords(was)), nil
}

// A move is a change with what it gains.
type move struct {
	build.Change
	of   int     // place in the list of all changes
	gain float64 // depth with the change over depth without [-]
	mass float64 // what the machine weighs more [kg]
}

// leastMass is the change of mass from which it is said [kg].
const leastMass = 0.5

// massWords says what a change weighs.
func massWords(more float64) string {
	if more < 0 {
		return quantity.Measure(math.Round(-more*10)/10, "kg") + " lighter"
	}
	return quantity.Measure(math.Round(more*10)/10, "kg") + " heavier"
}

// propose judges a target with a change made; nil where it gains next to
// nothing, or cannot be built.
func propose(a *answer, c change, r *retry, before float64) (*move, error) {
	if r.err != nil {
		return nil, nil
	}
	var after *attempt
	var gain float64
	better := false
	// What gains nothing in a steady cut gains nothing at all, and a cutter that falls
	// behind in one need not be heard.
	var only []string
	for _, heard := range []bool{false, true} {
		q, err := r.question(heard)
		if err != nil {
			return nil, nil // it cannot be solved
		}
		q.only = only
		attempts, err := q.try(r.model.Spec.Targets.Find(a.entry.Name))
		if err != nil || len(attempts) == 0 {
			return nil, err
		}
		after = &attempts[0]
		gain = depthGain(a.best(), after)
		better = after.verdict.Rank() > a.best().verdict.Rank()
		if !better && gain < leastGain {
			return nil, nil
		}
		only = []string{a.best().cutter}
		for _, try := range attempts {
			if try.verdict.Rank() >= a.best().verdict.Rank() {
				only = append(only, try.cutter)
			}
		}
	}
	effect := ""
	if p := after.best.Best; p != nil {
		effect = fmt.Sprintf("%s with the %s: %s", after.operation, after.cutter, cutWords(p))
		if now := a.best().best.Best; now != nil && now.RemovalRate > 0 {
			words := "; it removes %s, now %s"
			if better && p.RemovalRate < now.RemovalRate {
				words = "; the deeper slot removes %s, the light cut now %s"
			}
			effect += fmt.Sprintf(words, removalWords(p.RemovalRate), removalWords(now.RemovalRate))
		}
		if gain > 0 {
			effect += fmt.Sprintf("; as deep as it goes, %s, now %s", depthWords(gain*a.best().best.Deepest.Cut.Depth), depthWords(a.best().best.Deepest.Cut.Depth))
		}
	}
	more := r.model.Mass() - before
	if math.Abs(more) >= leastMass {
		effect += fmt.Sprintf("; %s", massWords(more))
	}
	return &move{gain: gain, mass: more, Change: build.Change{What: c.what, Effect: effect, Verdict: after.verdict, Moves: better,
		New: c.isNew, Path: c.path, Value: c.value, At: build.Place(c.at)}}, nil
}

func depthWords(depth float64) string {
	return quantity.Measure(quantity.RoundDown(depth*1e3, 3), "mm")
}

func removalWords(rate float64) string {
	return quantity.Measure(quantity.RoundDown(rate*6e7, 3), "cm³/min")
}

// leastGain is the gain in depth from which a change is worth a line [-].
const leastGain = 1.05

// depthGain is how much deeper the deciding operation goes with the same cutter;
// 0 where it did not go at all before.
func depthGain(before, after *attempt) float64 {
	if before.best.Deepest == nil || after.cutter != before.cutter {
		return 0
	}
	for i := range after.outcomes {
		if o := after.outcomes[i]; o.Operation.Name == before.operation && o.Deepest != nil {
			return o.Deepest.Cut.Depth / before.best.Deepest.Cut.Depth
		}
	}
	return 0
}

// bestFirst puts first the changes that move the verdict, the lightest of them
// first, then those that gain most.
func bestFirst(list []move) []move {
	rank.By(list, func(m move) float64 { return -m.mass })
	rank.By(list, func(m move) float64 {
		if m.Moves {
			return 1e6 * float64(m.Verdict.Rank())
		}
		return m.gain
	})
	return list[:min(len(list), mostChanges)]
}

func changesOf(list []move) (out []build.Change) {
	for _, m := range list {
		out = append(out, m.Change)
	}
	return out
}
