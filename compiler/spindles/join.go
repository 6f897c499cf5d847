// Package spindles joins what was compiled of a machine with each of its spindles cutting into one build: every
// target has the answer of the spindle that does it best, and what is the same with all of them is said once.
package spindles

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/rank"
)

// A Cutting is a machine's build with one of its spindles cutting.
type Cutting struct {
	Spindle string
	*build.Build
}

// Join joins the builds of a machine, of one spindle or several. Targets are the names of all targets in the order of the
// spec, idWord how a name stands in the ids of figures. The builds are not to be used afterwards.
//
// A figure keeps its id in the build whose spindle a target is decided by, and else in the first one; where it is another
// number with another spindle, that one has the spindle's name before its id.
func Join(list []Cutting, targets []string, idWord func(string) string) *build.Build {
	first := *list[0].Build
	j := joiner{list: list, out: &first, idWord: idWord, decides: map[string]int{}}
	j.out.Figures = build.Registry{}
	j.targets(targets)
	j.figures()
	j.findings()
	j.out.Sheets = j.sheets(func(b *build.Build) []build.Sheet { return b.Sheets })
	j.out.Appendix = j.sheets(func(b *build.Build) []build.Sheet { return b.Appendix })
	j.rest()
	return j.out
}

// A joiner is builds on their way to one.
type joiner struct {
	list    []Cutting
	out     *build.Build
	idWord  func(string) string
	decides map[string]int      // which build decides a target, by its name
	called  []map[string]string // by build: what its figures are called
}

// targets takes each target's best answer.
func (j *joiner) targets(names []string) {
	j.out.Targets = nil
	for _, name := range names {
		var best *build.Target
		for k, c := range j.list {
			at := slices.IndexFunc(c.Targets, func(t build.Target) bool { return t.Name == name })
			if at < 0 {
				continue
			}
			if t := &c.Targets[at]; best == nil || better(t, best) {
				best, j.decides[name] = t, k
			}
		}
		if best == nil {
			continue
		}
		t := *best
		if t.Operation != "" {
			t.Operation += ", spindle " + j.list[j.decides[name]].Spindle
		}
		j.out.Targets = append(j.out.Targets, t)
	}
}

// better reports whether a target's answer is better than another one's: by its verdict, then by the error of the
// finished part over its accuracy, then by its time.
func better(a, b *build.Target) bool {
	if order := cmp.Compare(a.Verdict.Rank(), b.Verdict.Rank()); order != 0 {
		return order > 0
	}
	if a.Budget != nil && b.Budget != nil && !rank.Same(a.Budget.Likely, b.Budget.Likely) && max(a.Budget.Likely, b.Budget.Likely) > a.Budget.Accuracy {
		return rank.More(b.Budget.Likely, a.Budget.Likely)
	}
	if at, bt := time(a), time(b); at > 0 && bt > 0 {
		return rank.More(bt, at)
	}
	return false
}

// time is the shortest time that a target's part takes, 0 where it is not known.
func time(t *build.Target) (least float64) {
	if t.Job == nil {
		return 0
	}
	for _, c := range t.Job.Cuts {
		if c.Time > 0 && (least == 0 || c.Time < least) {
			least = c.Time
		}
	}
	return least
}

// owner is the build whose figure keeps an id.
func (j *joiner) owner(id string) int {
	for name, k := range j.decides {
		if strings.HasPrefix(id, "target."+j.idWord(name)+".") {
			return k
		}
	}
	return 0
}

// figures names the figures of every build and adds those that differ.
func (j *joiner) figures() {
	kept := map[string]build.Figure{} // by the id that they keep
	for k := range j.list {
		for _, f := range j.list[k].Figures.All() {
			if j.owner(f.ID) == k {
				kept[f.ID] = f
			}
		}
	}
	shared := map[string]bool{}
	for k, c := range j.list {
		names := map[string]string{}
		for _, f := range c.Figures.All() {
			names[f.ID] = f.ID
			if own, ok := kept[f.ID]; j.owner(f.ID) != k && (!ok || !alike(own, f)) {
				names[f.ID] = "spindle." + j.idWord(c.Spindle) + "." + f.ID
			}
		}
		j.called = append(j.called, names)
	}
	for k, c := range j.list {
		for _, f := range c.Figures.All() {
			id := j.called[k][f.ID]
			if shared[id] || id == f.ID && j.owner(f.ID) != k {
				continue
			}
			shared[id] = true
			if id != f.ID {
				f.Label += ", with spindle " + c.Spindle
			}
			f.ID, f.Inputs = id, slices.Clone(f.Inputs)
			for i := range f.Inputs {
				f.Inputs[i].Figure = j.name(k, f.Inputs[i].Figure)
			}
			j.out.Figures.Add(f)
		}
	}
}

// alike reports whether two figures are the same number.
func alike(a, b build.Figure) bool {
	return rank.Same(a.Value, b.Value) && rank.Same(a.Low, b.Low) && rank.Same(a.High, b.High) &&
		a.Label == b.Label && a.Formula == b.Formula && slices.Equal(a.Notes, b.Notes)
}

// name is what a figure of a build is called.
func (j *joiner) name(k int, id string) string {
	if name, ok := j.called[k][id]; ok {
		return name
	}
	return id
}

// findings keeps what is said of all spindles once, and names the spindle where it is said of some. What is said of a
// target is that of the spindle that decides it.
func (j *joiner) findings() {
	j.out.Findings = nil
	all := make([][]build.Finding, len(j.list))
	for k, c := range j.list {
		for _, f := range c.Findings {
			f.Figures = slices.Clone(f.Figures)
			for i := range f.Figures {
				f.Figures[i] = j.name(k, f.Figures[i])
			}
			all[k] = append(all[k], f)
		}
	}
	for k, list := range all {
		for _, f := range list {
			target, ofTarget := j.targetAt(k, f.At)
			if ofTarget {
				if j.decides[target] == k {
					j.out.Findings = append(j.out.Findings, f)
				}
				continue
			}
			said := 0
			for _, other := range all {
				if slices.ContainsFunc(other, func(o build.Finding) bool { return o.Rule == f.Rule && o.At == f.At && o.Message == f.Message }) {
					said++
				}
			}
			if said < len(all) {
				f.Message = "with spindle " + j.list[k].Spindle + ": " + f.Message
			}
			j.out.Findings = append(j.out.Findings, f)
		}
	}
	j.out.Findings = build.SortFindings(j.out.Findings)
}

// targetAt is the target of a build that stands at a place.
func (j *joiner) targetAt(k int, at build.Place) (name string, ok bool) {
	for _, t := range j.list[k].Targets {
		if t.At == at && at.Known() {
			return t.Name, true
		}
	}
	return "", false
}

// sheets are the sheets of all builds, in their order: one where they are the same.
func (j *joiner) sheets(of func(*build.Build) []build.Sheet) (out []build.Sheet) {
	var ids []string
	for _, c := range j.list {
		at := 0
		for _, s := range of(c.Build) {
			if k := slices.Index(ids, s.ID); k >= 0 {
				at = k + 1
				continue
			}
			ids = slices.Insert(ids, at, s.ID)
			at++
		}
	}
	for _, id := range ids {
		var same []build.Sheet
		var whose []int
		for k, c := range j.list {
			for _, s := range of(c.Build) {
				if s.ID == id {
					same, whose = append(same, j.renamed(k, s)), append(whose, k)
				}
			}
		}
		if len(same) == len(j.list) && !slices.ContainsFunc(same, func(s build.Sheet) bool { return !reflect.DeepEqual(s, same[0]) }) {
			out = append(out, same[0])
			continue
		}
		for i, s := range same {
			out = append(out, j.told(whose[i], s))
		}
	}
	return out
}

// renamed is a sheet with its figures by the names that they have.
func (j *joiner) renamed(k int, s build.Sheet) build.Sheet {
	s.Blocks = slices.Clone(s.Blocks)
	for i, b := range s.Blocks {
		t, ok := b.(build.Table)
		if !ok {
			continue
		}
		t.Rows = slices.Clone(t.Rows)
		for r := range t.Rows {
			t.Rows[r] = slices.Clone(t.Rows[r])
			for c := range t.Rows[r] {
				t.Rows[r][c].Figure = j.name(k, t.Rows[r][c].Figure)
			}
		}
		s.Blocks[i] = t
	}
	return s
}

// told is a sheet that says with which spindle cutting.
func (j *joiner) told(k int, s build.Sheet) build.Sheet {
	name := j.list[k].Spindle
	s.Title += ", spindle " + name
	if k == 0 {
		return s
	}
	s.ID += "-" + j.idWord(name)
	for i, b := range s.Blocks {
		if p, ok := b.(build.Picture); ok {
			p.ID += "-" + j.idWord(name)
			s.Blocks[i] = p
		}
	}
	return s
}

// rest joins the lists that have no order of their own.
func (j *joiner) rest() {
	out := j.out
	out.WeakPoints, out.Assumptions, out.Cautions, out.Limits, out.NotComputed, out.Works = nil, nil, nil, nil, nil, nil
	for k, c := range j.list {
		for _, w := range c.WeakPoints {
			w.Part, w.Figure = fmt.Sprintf("%s, spindle %s", w.Part, c.Spindle), j.name(k, w.Figure)
			out.WeakPoints = append(out.WeakPoints, w)
		}
		for _, a := range c.Assumptions {
			out.Assumptions = assumed(out.Assumptions, a, c.Spindle)
		}
		out.Cautions = union(out.Cautions, c.Cautions)
		out.Limits = union(out.Limits, c.Limits)
		out.NotComputed = union(out.NotComputed, c.NotComputed)
		out.Works = union(out.Works, c.Works)
	}
	slices.SortFunc(out.Works, func(a, b build.Work) int { return strings.Compare(a.Key, b.Key) })
	rank.By(out.Assumptions, func(a build.Assumption) float64 { return a.Effect })
	rank.By(out.Assumptions, func(a build.Assumption) float64 {
		if a.Moves {
			return 1
		}
		return 0
	})
}

// assumed adds an assumption, once: with the larger of its effects, and all that it does.
func assumed(list []build.Assumption, a build.Assumption, spindle string) []build.Assumption {
	says := func(a build.Assumption) string {
		if !a.Moves {
			return a.Says
		}
		return "with spindle " + spindle + ": " + a.Says
	}
	for i := range list {
		b := &list[i]
		if b.What != a.What || b.Value != a.Value || b.At != a.At {
			continue
		}
		switch {
		case a.Moves && b.Moves:
			b.Says += "; " + says(a)
		case a.Moves:
			b.Says = says(a)
		}
		b.Effect, b.Moves, b.Budget = max(a.Effect, b.Effect), a.Moves || b.Moves, a.Budget || b.Budget
		return list
	}
	a.Says = says(a)
	return append(list, a)
}

// union adds what is not there yet.
func union[T comparable](list, more []T) []T {
	for _, v := range more {
		if !slices.Contains(list, v) {
			list = append(list, v)
		}
	}
	return list
}
