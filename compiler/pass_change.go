package compiler

import (
	"fmt"
	"math"
	"slices"

	"ironbed/compiler/build"
	"ironbed/compiler/frame"
	"ironbed/spec"
)

// A retry is the machine's answer with one change made: the compliance at the
// nose in the worst pose, and the axes' limits.
type retry struct {
	model *model
	nose  six
	err   error
}

// retryWith solves the machine anew with something changed, in the worst pose.
func (j *job) retryWith(apply func(*spec.Machine)) retry {
	m := j.m.With(apply)
	d, err := newModel(m, nominal)
	if err != nil {
		return retry{err: err}
	}
	posed, err := d.at(j.worst.pose)
	if err != nil {
		return retry{err: err}
	}
	if sameStiffness(&posed.frame, &j.worst.posed.frame) {
		return retry{model: d, nose: j.worst.nose}
	}
	s, err := d.solvePosed(j.worst.pose, posed, noseOnly)
	if err != nil {
		return retry{err: err}
	}
	return retry{model: d, nose: s.nose}
}

// retryEverywhere solves the machine anew in every pose and returns the answer in
// the softest one.
func (j *job) retryEverywhere(apply func(*spec.Machine)) retry {
	m := j.m.With(apply)
	d, err := newModel(m, nominal)
	if err != nil {
		return retry{err: err}
	}
	poses, err := d.solveAll(d.grid(), noseOnly)
	if err != nil {
		return retry{err: err}
	}
	worst, _, err := d.softestPose(poses)
	if err != nil {
		return retry{err: err}
	}
	return retry{model: d, nose: worst.nose}
}

// sameStiffness reports whether two frames give alike: they may differ in mass.
func sameStiffness(a, b *frame.Model) bool {
	return slices.Equal(a.Nodes, b.Nodes) && slices.Equal(a.Links, b.Links) && slices.Equal(a.Springs, b.Springs) &&
		slices.EqualFunc(a.Members, b.Members, func(x, y frame.Member) bool {
			x.Section.MassPerLength, y.Section.MassPerLength = 0, 0
			return x == y
		})
}

// mostChanges is how many next moves a target names.
const mostChanges = 4

// changePass finds the smallest single change that moves each verdict.
func changePass(j *job) error {
	// Targets often call for the same changes: each is solved once.
	var all []change
	index := map[string]int{}
	wanted := make([][]int, len(j.answers))
	for i := range j.answers {
		a := &j.answers[i]
		if best := a.best(); best == nil || best.verdict == build.WithinReach {
			continue
		}
		for _, c := range j.proposals(a) {
			n, ok := index[c.what]
			if !ok {
				n = len(all)
				index[c.what] = n
				all = append(all, c)
			}
			wanted[i] = append(wanted[i], n)
		}
	}
	tries := make([]retry, len(all))
	eachParallel(len(all), func(i int) { tries[i] = j.retryWith(all[i].apply) })
	for i := range j.answers {
		var moves []move
		settled := map[string]bool{} // fields with a change that is known to move the verdict
		for _, n := range wanted[i] {
			if tries[n].err != nil || settled[all[n].path] {
				continue // a change that cannot be built is no move
			}
			m, err := j.propose(&j.answers[i], all[n], tries[n])
			if err != nil {
				return err
			}
			if m != nil && m.Moves {
				// A promise is kept over the whole travel: the softest pose may be
				// another one with the change.
				if m, err = j.propose(&j.answers[i], all[n], j.retryEverywhere(all[n].apply)); err != nil {
					return err
				}
				settled[all[n].path] = m != nil && m.Moves
			}
			if m != nil {
				moves = append(moves, *m)
			}
		}
		t := &j.b.Targets[j.answers[i].target]
		t.Changes = bestFirst(moves)
		if best := j.answers[i].best(); best != nil && best.verdict != build.WithinReach && (len(t.Changes) == 0 || !t.Changes[0].Moves) {
			t.Binding += "; no single change that was tried moves the verdict"
		}
	}
	return nil
}

// A move is a change with what it gains.
type move struct {
	build.Change
	gain float64 // depth with the change over depth without [-]
}

// propose judges a target with a change made; nil where it gains next to
// nothing.
func (j *job) propose(a *answer, c change, r retry) (*move, error) {
	if r.err != nil {
		return nil, nil
	}
	before := a.best()
	q := question{r.model, r.nose, axisLimits(r.model)}
	attempts, err := q.try(r.model.m.Targets.Find(a.entry.Name))
	if err != nil || len(attempts) == 0 {
		return nil, err
	}
	after := &attempts[0]
	gain := depthGain(before, after)
	better := after.verdict.Rank() > before.verdict.Rank()
	if !better && gain < leastGain {
		return nil, nil
	}
	effect := ""
	if p := after.best.Best; p != nil {
		effect = fmt.Sprintf("%s with the %s: %s", after.operation, after.cutter, cutWords(p))
		if gain > 0 {
			effect += fmt.Sprintf("; the deepest cut goes up %s times", build.Number(math.Round(gain*100)/100))
		}
	}
	return &move{gain: gain, Change: build.Change{What: c.what, Effect: effect, Verdict: after.verdict, Moves: better,
		Path: c.path, Value: c.value, At: build.Place(c.at)}}, nil
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

// bestFirst puts first the changes that move the verdict, the smallest of each
// part, since proposals go from small to large; then those that gain most. One
// change a field is kept.
func bestFirst(list []move) []build.Change {
	sortBy(list, func(m move) float64 {
		if m.Moves {
			return 1e6 * float64(m.Verdict.Rank())
		}
		return m.gain
	})
	var out []build.Change
	seen := map[string]bool{}
	for _, m := range list {
		if seen[m.Path] || len(out) == mostChanges {
			continue
		}
		seen[m.Path] = true
		out = append(out, m.Change)
	}
	return out
}
