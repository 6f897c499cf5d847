// Package change finds what would better a machine: a solved machine and its
// answers to better machines, solved anew. It knows no report.
package change

import (
	"cmp"
	"errors"
	"slices"
	"sync"

	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

const (
	// mostChanges is how many changes a target names.
	mostChanges = 4
	// LeastGain is the gain from which a change is worth a line [-].
	LeastGain = 1.05
)

// findMoves finds the smallest single changes that better each answer, the best first,
// by answer, and where none does, several together. With everything it finds as well those
// that gain and better no grade, and what each does to other targets.
func findMoves(s *machine.Solution, cuts *cut.Answers, everything bool) (moves [][]Move, most []*Move, err error) {
	find := &finder{s, cuts}
	// Targets often call for the same changes: each is solved once.
	var all []Change
	index := map[string]int{}
	var menus []*menu
	for i := range cuts.List {
		a := &cuts.List[i]
		if best := a.Best(); best == nil || best.Grade == reach.WithinReach {
			continue
		}
		byPath := map[string]*menu{}
		for _, c := range find.proposals(a) {
			n, ok := index[c.What]
			if !ok {
				n = len(all)
				index[c.What] = n
				all = append(all, c)
			}
			key := cmp.Or(c.Menu, c.Edits[0].Path)
			if byPath[key] == nil {
				byPath[key] = &menu{answer: i}
				menus = append(menus, byPath[key])
			}
			if m := byPath[key]; !slices.Contains(m.changes, n) {
				m.changes = append(m.changes, n)
			}
		}
	}
	tried := find.tryOnce(all)
	before := s.Model.Mass()
	found := make([]*Move, len(menus))
	errs := make([]error, len(menus))
	machine.EachParallel(len(menus), func(i int) {
		found[i], errs[i] = tried.choose(&cuts.List[menus[i].answer], menus[i].changes, before)
	})
	if err := errors.Join(errs...); err != nil {
		return nil, nil, err
	}
	gaining := make([][]Move, len(cuts.List))
	for i, m := range found {
		if m != nil {
			gaining[menus[i].answer] = append(gaining[menus[i].answer], *m)
		}
	}
	moves, most = make([][]Move, len(cuts.List)), make([]*Move, len(cuts.List))
	worse := func(m Move) bool { return !m.Better }
	for i := range gaining {
		if !slices.ContainsFunc(gaining[i], func(m Move) bool { return m.Better }) {
			if most[i], err = tried.together(&cuts.List[i], gaining[i], before); err != nil {
				return nil, nil, err
			}
			if most[i] != nil {
				gaining[i] = append(gaining[i], *most[i])
			}
		}
		moves[i] = slices.DeleteFunc(gaining[i], worse)
	}
	if everything {
		// What is screened may gain more, or less, in other positions and by several frequencies.
		machine.EachParallel(len(menus), func(i int) {
			if m := menus[i]; found[i] == nil || !found[i].Better {
				largest := m.changes[len(m.changes)-1]
				found[i], errs[i] = tried.propose(&cuts.List[m.answer], largest, tried.here[largest](), fully, before)
			}
		})
		if err := errors.Join(errs...); err != nil {
			return nil, nil, err
		}
		for i, m := range found {
			if m != nil && !m.Better {
				moves[menus[i].answer] = append(moves[menus[i].answer], *m)
			}
		}
	}
	if err := find.keepPromises(moves, tried, before); err != nil {
		return nil, nil, err
	}
	for i := range moves {
		moves[i] = bestFirst(moves[i])
	}
	if everything {
		return moves, most, find.besides(moves, tried)
	}
	return moves, most, nil
}

func (find *finder) tryOnce(all []Change) *tries {
	t := &tries{find: find, screened: map[*cut.Answer]func() (*cut.Attempt, error){}}
	for i := range find.cuts.List {
		a := &find.cuts.List[i]
		t.screened[a] = sync.OnceValues(func() (*cut.Attempt, error) {
			q := cut.Question{Model: find.Model, Compliance: find.Worst.Nose, Axes: find.cuts.Axes, Vibrations: find.Vibrations[:1]}
			ranking, err := q.Rank(&a.Entry.Item, nil)
			if err != nil {
				return nil, err
			}
			return ranking.First(cut.ByMean)
		})
	}
	for _, c := range all {
		t.add(c)
	}
	return t
}

// add adds a change and returns its place.
func (t *tries) add(c Change) int {
	here := sync.OnceValue(func() *retry { return t.find.retryWith(c.Edits...) })
	t.all, t.here = append(t.all, c), append(t.here, here)
	t.everywhere = append(t.everywhere, sync.OnceValue(func() *retry {
		if r := here(); r.same {
			return r
		}
		return t.find.retryEverywhere(c.Edits...)
	}))
	return len(t.all) - 1
}

// choose finds the best of a menu: what a large change does not move, a smaller one
// does not either. What does not better the grade as it is screened is judged no further: see [finder.keepPromises].
func (t *tries) choose(a *cut.Answer, menu []int, before float64) (*Move, error) {
	largest := menu[len(menu)-1]
	most, err := t.propose(a, largest, t.here[largest](), screened, before)
	if err != nil || most == nil || !most.Better {
		return most, err
	}
	if most, err = t.propose(a, largest, t.here[largest](), fully, before); err != nil || most == nil || !most.Better {
		return most, err
	}
	for _, n := range menu {
		some, err := most, error(nil)
		if n != largest {
			some, err = t.propose(a, n, t.here[n](), fully, before)
		}
		if err == nil && some != nil && some.Better && !t.here[n]().same {
			// A promise is kept over the whole travel: the least stiff pose may be
			// another one with the change.
			some, err = t.propose(a, n, t.everywhere[n](), fully, before)
		}
		if err != nil || some != nil && some.Better {
			return some, err
		}
	}
	// It moves the verdict in the pose that was least stiff, and in none other; what it
	// gains is worth a line all the same.
	return t.propose(a, largest, t.everywhere[largest](), fully, before)
}

// A judging is how far a change is judged.
type judging int

const (
	screened judging = iota // in the least stiff position alone, by the mean of the factors: it is no better than that
	fully                   // in all positions in which cuts are held, by several frequencies
)

// A hearing is a way to judge a cut.
type hearing struct {
	positions int // in how many positions it is held against chatter
	by        cut.Hearing
}

// propose judges a target with a change made; nil where it gains next
// to nothing, or cannot be built.
func (t *tries) propose(a *cut.Answer, of int, r *retry, heard judging, before float64) (*Move, error) {
	if r.err != nil {
		return nil, nil
	}
	var after *cut.Attempt
	var gain float64
	better := false
	target := r.model.Spec.Targets.Find(a.Entry.Name)
	// A cutter that falls behind need not be heard.
	gains := func(ranking *cut.Ranking, by cut.Hearing, from *cut.Attempt) (bool, error) {
		var err error
		if after, err = ranking.First(by); err != nil || after == nil {
			return false, err
		}
		gain = depthGain(from, after)
		better = after.Grade > a.Best().Grade
		// What goes deeper and takes longer for it is no gain.
		return better || gain >= LeastGain && !slower(from, after), nil
	}
	// What gains nothing by a hearing gains nothing by the next, which is dearer.
	hearings := []hearing{{0, cut.Steady}, {1, cut.ByMean}}
	if heard == fully {
		hearings = append(hearings, hearing{everyPosition, cut.ByMean}, hearing{everyPosition, cut.BySeveral})
	}
	var q cut.Question
	var ranking *cut.Ranking
	for _, h := range hearings {
		var err error
		if q, err = r.question(h.positions); err != nil {
			return nil, nil // it cannot be solved
		}
		if ranking, err = q.Rank(target, ranking); err != nil {
			return nil, err
		}
		from := a.Best()
		if heard == screened && h.positions > 0 { // as it is without the change
			if from, err = t.screened[a](); err != nil || from == nil {
				return nil, err
			}
		}
		if ok, err := gains(ranking, h.by, from); err != nil || !ok {
			return nil, err
		}
	}
	m := &Move{Change: &t.all[of], After: after, Better: better, Gain: gain, Mass: r.model.Mass() - before, of: of}
	if heard != fully || a.Fastest.Point == nil || a.Job.Limit == 0 && !slower(a.Best(), after) {
		return m, nil
	}
	// A better grade whose part takes longer is none.
	var err error
	if m.Rate, err = fastest(q, target, a, after); err != nil || rank.More(a.Fastest.Point.RemovalRate, LeastGain*m.Rate) {
		return nil, err
	}
	return m, nil
}

// fastest is the removal rate of the fastest cut with a change: of the best cut's cutter, and of the one that is the fastest
// without the change. For one part the time for roughing is in inverse proportion to it [m3/s].
func fastest(q cut.Question, target *spec.Target, a *cut.Answer, after *cut.Attempt) (float64, error) {
	list := []cut.Attempt{*after}
	if name := a.Fastest.Attempt.Cutter; name != after.Cutter {
		other, err := q.TryCutter(target, q.Model.Spec.WorkMaterial(target.Material.Text), name)
		if err != nil {
			return 0, err
		}
		if other != nil {
			list = append(list, *other)
		}
	}
	found, err := cut.FastestOf(list)
	if err != nil || found.Point == nil {
		return 0, err
	}
	return found.Point.RemovalRate, nil
}

// slower reports whether a cut removes less than another one: with it the same part takes longer.
func slower(before, after *cut.Attempt) bool {
	was, is := before.Best.Best, after.Best.Best
	return was != nil && (is == nil || rank.More(was.RemovalRate, is.RemovalRate))
}

// depthGain is how much deeper the deciding operation goes with the same cutter;
// 0 where it did not go at all before.
func depthGain(before, after *cut.Attempt) float64 {
	if before.Best.Deepest == nil || after.Cutter != before.Cutter {
		return 0
	}
	if _, o := cut.SameCut(before, []cut.Attempt{*after}); o != nil && o.Deepest != nil {
		return o.Deepest.Cut.Depth / before.Best.Deepest.Cut.Depth
	}
	return 0
}

// keepPromises judges the best moves that better no grade, in every pose: with the
// change another one may be the least stiff. What then gains nothing is left out.
func (find *finder) keepPromises(moves [][]Move, t *tries, before float64) error {
	errs := make([]error, len(moves))
	machine.EachParallel(len(moves), func(i int) {
		var kept []Move
		for _, m := range bestFirst(moves[i]) {
			if len(kept) == mostChanges {
				break
			}
			if m.Better {
				kept = append(kept, m)
				continue
			}
			judged, err := t.propose(&find.cuts.List[i], m.of, t.everywhere[m.of](), fully, before)
			if err != nil {
				errs[i] = err
				return
			}
			if judged != nil {
				kept = append(kept, *judged)
			}
		}
		moves[i] = kept
	})
	return errors.Join(errs...)
}

// bestFirst puts first the changes that better the grade, another cutter last of them, else the
// lightest first, then those that gain most.
func bestFirst(list []Move) []Move {
	rank.By(list, func(m Move) float64 { return -m.Mass })
	rank.By(list, func(m Move) float64 {
		if m.Menu == anotherCutter {
			return -1 // the machine before its cutter
		}
		return 0
	})
	rank.By(list, func(m Move) float64 {
		if m.Better {
			return 1e6 * float64(1+m.After.Grade)
		}
		return m.Gain
	})
	return list
}

// besides finds what each change does to the targets that did not ask for it.
func (find *finder) besides(moves [][]Move, t *tries) error {
	type pair struct {
		move  *Move
		other *cut.Answer
	}
	var pairs []pair
	for i := range moves {
		for c := range moves[i] {
			for k := range find.cuts.List {
				other := &find.cuts.List[k]
				own := slices.ContainsFunc(moves[k], func(m Move) bool { return m.What == moves[i][c].What })
				if k != i && !own && other.Best() != nil {
					pairs = append(pairs, pair{&moves[i][c], other})
				}
			}
		}
	}
	after, errs := make([]*cut.Attempt, len(pairs)), make([]error, len(pairs))
	machine.EachParallel(len(pairs), func(i int) { after[i], errs[i] = beside(pairs[i].other, t.everywhere[pairs[i].move.of]()) })
	for i, p := range pairs {
		if after[i] != nil {
			p.move.Others = append(p.move.Others, Beside{p.other, after[i]})
		}
	}
	return errors.Join(errs...)
}

// beside is a target's best attempt with a change that it did not ask for; nil where
// that changes little.
func beside(a *cut.Answer, r *retry) (*cut.Attempt, error) {
	q, err := r.question(everyPosition)
	if err != nil {
		return nil, nil // as far as it can be solved
	}
	ranking, err := q.Rank(r.model.Spec.Targets.Find(a.Entry.Name), nil)
	if err != nil {
		return nil, err
	}
	before := a.Best()
	after, err := ranking.First(cut.BySeveral)
	if err != nil || after == nil {
		return nil, err
	}
	if before.Grade != after.Grade {
		return after, nil
	}
	if before.Best.Best == nil || after.Best.Best == nil {
		return nil, nil
	}
	if ratio := after.Best.Best.RemovalRate / before.Best.Best.RemovalRate; ratio > 1/LeastGain && ratio < LeastGain {
		return nil, nil
	}
	return after, nil
}

// Search finds what betters a machine, and what rests on the bond of its fills; with
// everything also what gains and betters no answer, and what each assumption does.
func Search(s *machine.Solution, cuts *cut.Answers, everything bool) (*Changes, error) {
	out := &Changes{}
	var err error
	if out.Bond, err = bonds(s, cuts); err != nil {
		return nil, err
	}
	if out.Moves, out.Most, err = findMoves(s, cuts, everything); err != nil {
		return nil, err
	}
	if everything {
		out.Effects = effects(s, cuts)
		out.Conditions = conditions(s, cuts)
		out.Deviations = deviations(s, cuts)
	}
	return out, nil
}
