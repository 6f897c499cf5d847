package compiler

import (
	"fmt"
	"runtime"
	"slices"
	"sync"

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
	m := j.m.Clone()
	apply(m)
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
	s, err := d.solvePosed(j.worst.pose, posed)
	if err != nil {
		return retry{err: err}
	}
	return retry{model: d, nose: s.nose}
}

// sameStiffness reports whether two frames give alike: they may differ in mass.
func sameStiffness(a, b *frame.Model) bool {
	return slices.Equal(a.Nodes, b.Nodes) && slices.Equal(a.Links, b.Links) && slices.Equal(a.Springs, b.Springs) &&
		slices.EqualFunc(a.Members, b.Members, func(x, y frame.Member) bool {
			x.Section.MassPerLength, y.Section.MassPerLength = 0, 0
			return x == y
		})
}

// eachParallel runs work for every index on all cores.
func eachParallel(n int, work func(i int)) {
	next := make(chan int)
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := range next {
				work(i)
			}
		}()
	}
	for i := range n {
		next <- i
	}
	close(next)
	wait.Wait()
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
		for _, n := range wanted[i] {
			if tries[n].err != nil {
				continue // a change that cannot be built is no move
			}
			if err := j.propose(&j.answers[i], all[n], tries[n]); err != nil {
				return err
			}
		}
		t := &j.b.Targets[j.answers[i].target]
		t.Changes = smallestFirst(t.Changes)
		if best := j.answers[i].best(); best != nil && best.verdict != build.WithinReach && (len(t.Changes) == 0 || !t.Changes[0].Moves) {
			t.Binding += "; no single change that was tried moves the verdict"
		}
	}
	return nil
}

// propose judges a target with a change made.
func (j *job) propose(a *answer, c change, r retry) error {
	before := a.best()
	q := question{r.model, r.nose, axisLimits(r.model)}
	attempts, err := q.try(r.model.m.Targets.Find(a.entry.Name))
	if err != nil || len(attempts) == 0 {
		return err
	}
	after := &attempts[0]
	gain := depthGain(before, after)
	if after.verdict.Rank() <= before.verdict.Rank() && gain < 1.05 {
		return nil
	}
	effect := fmt.Sprintf("depth ×%s", number(gain))
	if p := after.best.Best; p != nil {
		effect = fmt.Sprintf("%s with the %s: %s", after.operation, after.cutter, cutWords(p))
		if gain > 0 {
			effect += fmt.Sprintf(" (depth ×%s)", number(gain))
		}
	}
	t := &j.b.Targets[a.target]
	t.Changes = append(t.Changes, build.Change{What: c.what, Effect: effect, Verdict: after.verdict, Moves: after.verdict.Rank() > before.verdict.Rank(),
		Path: c.path, Value: c.value, At: build.Place(c.at)})
	return nil
}

// depthGain is how much deeper the deciding operation goes; 0 where it did not
// go at all before.
func depthGain(before, after *attempt) float64 {
	if before.best.Best == nil || after.best.Best == nil {
		return 0
	}
	for i := range after.outcomes {
		if o := after.outcomes[i]; o.Operation.Name == before.operation && o.Deepest != nil && after.cutter == before.cutter {
			return o.Deepest.Cut.Depth / before.best.Deepest.Cut.Depth
		}
	}
	return after.best.Best.Cut.Depth / before.best.Best.Cut.Depth
}

// smallestFirst keeps the changes that move the verdict, in the order of the
// proposals, which go from small to large for each part; then the others.
func smallestFirst(list []build.Change) []build.Change {
	sortBy(list, func(c build.Change) float64 {
		if c.Moves {
			return float64(c.Verdict.Rank())
		}
		return 0
	})
	// One move a field: the smallest that does it.
	var out []build.Change
	seen := map[string]bool{}
	for _, c := range list {
		if seen[c.Path] || len(out) == mostChanges {
			continue
		}
		seen[c.Path] = true
		out = append(out, c)
	}
	return out
}
