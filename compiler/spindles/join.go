// Package spindles joins what was compiled of a machine with each of its spindles cutting into one build: every
// target is roughed and finished with the spindles that do it best, and what is the same with all of them is said once.
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
	j := joiner{list: list, out: &first, idWord: idWord, roughs: map[string]int{}, fines: map[string]int{}, quick: map[string]int{}}
	j.out.Figures = build.Registry{}
	j.targets(targets)
	j.figures()
	j.findings()
	j.out.Sheets = j.sheets(func(b *build.Build) []build.Sheet { return b.Sheets })
	j.out.Appendix = j.sheets(func(b *build.Build) []build.Sheet { return b.Appendix })
	j.out.Book = j.sheets(func(b *build.Build) []build.Sheet { return b.Book })
	j.rest()
	return j.out
}

// A joiner is builds on their way to one.
type joiner struct {
	list   []Cutting
	out    *build.Build
	idWord func(string) string
	roughs map[string]int      // which build a target is roughed with, by its name
	fines  map[string]int      // and finished with
	quick  map[string]int      // and which has its fastest cut
	called []map[string]string // by build: what its figures are called
}

// targets takes each target's best answer: roughed and finished with the same spindle, or with several where that is better.
func (j *joiner) targets(names []string) {
	j.out.Targets = nil
	for _, name := range names {
		var of []by
		known := false // whether any of the spindles can finish it
		for k, c := range j.list {
			if at := slices.IndexFunc(c.Targets, func(t build.Target) bool { return t.Name == name }); at >= 0 {
				of = append(of, by{k, &c.Targets[at]})
				known = known || c.Targets[at].ByFinishingAlone() != build.NotKnown
			}
		}
		var one, any *shared
		for _, fine := range of {
			if known && fine.ByFinishingAlone() == build.NotKnown {
				continue
			}
			for _, rough := range of {
				for _, quick := range of {
					s := &shared{rough.build, fine.build, quick.build, rough.Target}
					switch {
					case s.alone():
						if one == nil || s.better(one) {
							one = s
						}
					case quick.build != rough.build && (rough.Job == nil || quick.Job == nil || len(quick.Job.Cuts) == 0):
						continue
					default:
						s.Target = together(rough, fine, quick, j.list[quick.build].Spindle)
					}
					if any == nil || s.better(any) {
						any = s
					}
				}
			}
		}
		if any == nil {
			continue
		}
		best := any
		if one != nil && !any.worth(one) {
			best = one
		}
		t := *best.Target
		j.roughs[name], j.fines[name], j.quick[name] = best.rough, best.fine, best.quick
		if t.Operation != "" {
			t.Operation += ", spindle " + j.list[best.rough].Spindle
		}
		if best.rough != best.fine {
			t.Finishing += ", spindle " + j.list[best.fine].Spindle
		}
		j.out.Targets = append(j.out.Targets, t)
	}
}

// A shared target is roughed in one build, finished in another or the same, and takes the time of the fastest cut of a third.
// As with one spindle and several cutters the verdict on roughing is that of the cut that does it best, and the time that of
// the fastest that is at least as deep as a light cut: small cutters reach their depth in a week where large ones take hours.
type shared struct {
	rough, fine, quick int
	*build.Target
}

// alone reports whether one spindle does it all.
func (s *shared) alone() bool { return s.rough == s.fine && s.rough == s.quick }

// better reports whether a target is better done than in another way: by its verdict; by what is better of the target; by the
// fewer spindles.
func (s *shared) better(o *shared) bool {
	if order := cmp.Compare(s.Verdict.Rank(), o.Verdict.Rank()); order != 0 {
		return order > 0
	}
	if better(s.Target, o.Target) || better(o.Target, s.Target) {
		return better(s.Target, o.Target)
	}
	many := func(s *shared) (n int) {
		for _, k := range []int{s.fine, s.quick} {
			if k != s.rough {
				n++
			}
		}
		return n
	}
	return many(s) < many(o)
}

// worthwhile is the share of a part's time below which it is worth using more than one spindle: another zero and another
// tool length have to be set.
const worthwhile = 0.8 // common practice

// worth reports whether what several spindles do is worth it beside what one of them does: by a better verdict, or much sooner and no
// less accurate.
func (s *shared) worth(one *shared) bool {
	if order := cmp.Compare(s.Verdict.Rank(), one.Verdict.Rank()); order != 0 {
		return order > 0
	}
	a, b := time(s.Target), time(one.Target)
	if a == 0 || b == 0 || (s.Job.Finishing > 0) != (one.Job.Finishing > 0) || !rank.More(worthwhile*b, a) {
		return false
	}
	return s.Budget == nil || one.Budget == nil || !rank.More(s.Budget.Likely, max(one.Budget.Likely, s.Budget.Accuracy))
}

// by is a target's answer in one of the builds.
type by struct {
	build int
	*build.Target
}

// machiningTime is the limit of the time that a part may take.
const machiningTime = "machining time"

// uncertainFinish begins what a target's uncertainty says of its finished part.
const uncertainFinish = "; likely error of the finished part"

// timeRange begins what a target's uncertainty says of the time of its part.
const timeRange = "; time for the part"

// together is a target roughed with one spindle, finished with another one and as fast as with a third, which is named: the finish pass
// cuts all surfaces, so that where the spindles stand to each other changes no more than what is left for it.
func together(rough, fine, quick by, spindle string) *build.Target {
	t := *rough.Target
	roughing, late := rough.ByRoughingAlone(), false
	if deepEnough(rough.Target) {
		roughing, t.Roughing = build.WithinReach, "full cuts"
	}
	t.Finishing, t.Budget = fine.Finishing, fine.Budget
	if t.Job != nil && fine.Job != nil {
		job := *t.Job
		job.Finishing, job.Ra, job.Lacks = fine.Job.Finishing, fine.Job.Ra, fine.Job.Lacks
		job.Cuts = slices.Clone(job.Cuts)
		if quick.build != rough.build {
			job.Cuts = quicker(job.Cuts, quick.Job.Cuts, spindle)
		}
		for i := range job.Cuts {
			job.Cuts[i].Time = job.Cuts[i].Roughing + job.Finishing
		}
		job.TooLong = job.Limit > 0 && len(job.Cuts) > 0 && rank.More(job.Cuts[0].Time, job.Limit)
		t.Job, t.Limits = &job, slices.Clone(t.Limits)
		for i := range t.Limits {
			if l := &t.Limits[i]; l.Name == machiningTime && len(job.Cuts) > 0 {
				l.Demand, l.Exceeded = build.Duration(job.Cuts[0].Time), job.TooLong
			}
		}
		if late = job.TooLong && roughing == build.WithinReach; late {
			roughing, t.Roughing = build.LightCuts, "light cuts"
		}
	}
	t.Chance = rough.Chance.With(fine.Chance)
	t.Decide(roughing, fine.ByFinishingAlone())
	before, after, ok := strings.Cut(t.Uncertainty, timeRange)
	if ok { // that of the one spindle alone
		t.Uncertainty = before
		if _, rest, more := strings.Cut(after, ";"); more {
			t.Uncertainty += ";" + rest
		}
	}
	t.Uncertainty, _, _ = strings.Cut(t.Uncertainty, uncertainFinish)
	if _, error, ok := strings.Cut(fine.Uncertainty, uncertainFinish); ok {
		t.Uncertainty += uncertainFinish + error
	}
	t.Limiting, t.Next = limited(rough.Target, fine.Target, t.Decides)
	if late && t.Decides == "roughing" {
		t.Limiting = fmt.Sprintf("%s: %s, limit %s", machiningTime, build.Duration(t.Job.Cuts[0].Time), build.Duration(t.Job.Limit))
	}
	// What betters the one machine's roughing says nothing of the other's, nor the other's finishing of the one's.
	t.Changes = nil
	for _, c := range rough.Changes {
		if c.Roughing != rough.Roughing {
			c.Finishing = fine.Finishing
			t.Changes = append(t.Changes, c)
		}
	}
	for _, c := range fine.Changes {
		if c.Roughing == fine.Roughing && c.Finishing != fine.Finishing {
			c.Roughing = t.Roughing
			t.Changes = append(t.Changes, c)
		}
	}
	for i := range t.Changes {
		c := &t.Changes[i]
		after := build.Target{Roughing: c.Roughing, Finishing: c.Finishing}
		c.Verdict = build.Worse(after.ByRoughingAlone(), after.ByFinishingAlone())
		c.Moves = c.Verdict.Rank() > t.Middle.Rank()
	}
	return &t
}

// deepEnough reports whether a target has full cuts, and light ones for its time alone.
func deepEnough(t *build.Target) bool {
	return t.Job != nil && t.Job.TooLong && t.Decides == "roughing" && strings.HasPrefix(t.Limiting, machiningTime+" ")
}

// quicker are a target's cuts with the fastest one of another spindle in place of its own.
func quicker(own, other []build.JobCut, spindle string) []build.JobCut {
	fastest := other[0]
	fastest.Which, fastest.Spindle = build.Fastest, spindle
	list := []build.JobCut{fastest}
	if deepest := own[len(own)-1]; deepest.Which != build.Fastest {
		deepest.Which = build.Deepest
		list = append(list, deepest)
	}
	return list
}

// limited says what limits a target roughed in one build and finished in another, and what the next better verdict needs where
// one of the two says it.
func limited(rough, fine *build.Target, decides string) (limiting, next string) {
	// What limits roughing is the first of its limits; a sentence of its own is lost where finishing decides that build.
	byRough, _, _ := strings.Cut(rough.Limiting, "; "+build.FinishingMark)
	if strings.HasPrefix(byRough, build.FinishingMark) || deepEnough(rough) {
		byRough = ""
		for _, l := range rough.Limits {
			if l.Limiting {
				byRough = strings.TrimSuffix(fmt.Sprintf("%s: %s, limit %s", l.Name, l.Demand, l.Limit), ", limit ")
			}
		}
	}
	byFine := ""
	if at := strings.Index(fine.Limiting, build.FinishingMark); at >= 0 {
		byFine = fine.Limiting[at:]
	}
	switch decides {
	case "roughing":
		if rough.Decides == "roughing" {
			next = rough.Next
		}
		return byRough, next
	case "finishing":
		if fine.Decides == "finishing" {
			next = fine.Next
		}
		return byFine, next
	case "":
		return byRough, ""
	}
	return strings.Trim(byRough+"; "+byFine, "; "), ""
}

// better reports whether of two answers with one verdict a target's is the better one: by the error of the finished part
// where one exceeds its accuracy, then by the time.
func better(a, b *build.Target) bool {
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

// nobody is the owner of an id that is a joined figure's.
const nobody = -1

// owner is the build whose figure keeps an id.
func (j *joiner) owner(id string) int {
	for name, k := range j.roughs {
		what, ok := strings.CutPrefix(id, "target."+j.idWord(name)+".")
		switch {
		case !ok:
			continue
		case strings.HasPrefix(what, "budget."), strings.HasPrefix(what, "finish."), what == "chance", what == "time.finishing":
			return j.fines[name]
		case what == "time.removal_rate", what == "time.roughing":
			return j.quick[name]
		case what == "time.part" && j.quick[name] != j.fines[name]:
			return nobody
		case what == "time.part":
			return j.fines[name]
		}
		return k
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
	for _, t := range j.out.Targets {
		j.timeOf(t.Name)
	}
}

// timeOf adds the time of a part that is roughed as fast as one spindle can and finished with another.
func (j *joiner) timeOf(name string) {
	quick, fine := j.quick[name], j.fines[name]
	if quick == fine {
		return
	}
	id := "target." + j.idWord(name) + ".time."
	rough, ok := j.out.Figures.Get(id + "roughing")
	finishing, both := j.out.Figures.Get(id + "finishing")
	f, is := j.list[fine].Figures.Get(id + "part")
	if !ok || !both || !is {
		return
	}
	f.Value, f.Low, f.High = rough.Value+finishing.Value, rough.Low+finishing.Low, rough.High+finishing.High
	f.Label += fmt.Sprintf(", roughed with spindle %s and finished with spindle %s", j.list[quick].Spindle, j.list[fine].Spindle)
	f.Inputs = []build.Input{{Figure: rough.ID}, {Figure: finishing.ID}}
	j.out.Figures.Add(f)
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
				j.ofTarget(k, target, f)
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
	j.missing()
	j.out.Findings = build.SortFindings(j.out.Findings)
}

// finishingRules are the rules of what is said of a target's finished part.
var finishingRules = []string{"error-budget", "finish-error"}

// ofTarget keeps what is said of a target by the build that it is of. That it misses its ambition is said anew, that nothing
// is known of it is not.
func (j *joiner) ofTarget(k int, name string, f build.Finding) {
	of := j.roughs[name]
	if slices.Contains(finishingRules, f.Rule) {
		of = j.fines[name]
	}
	if at := slices.IndexFunc(j.out.Targets, func(t build.Target) bool { return t.Name == name }); f.Rule == build.RuleTarget &&
		j.out.Targets[at].Verdict != build.NotKnown {
		return
	}
	if of == k {
		j.out.Findings = append(j.out.Findings, f)
	}
}

// missing says which targets miss their ambition.
func (j *joiner) missing() {
	for i := range j.out.Targets {
		t := &j.out.Targets[i]
		rough, fine := j.list[j.roughs[t.Name]].Spindle, j.list[j.fines[t.Name]].Spindle
		how := " with spindle " + rough
		if rough != fine {
			how = fmt.Sprintf(", roughed with spindle %s and finished with spindle %s", rough, fine)
		}
		if f, misses := t.Missing(how); misses && t.Verdict != build.NotKnown {
			if id := "target." + j.idWord(t.Name) + ".depth"; j.has(id) {
				f.Figures = []string{id}
			}
			j.out.Findings = append(j.out.Findings, f)
		}
	}
}

// has reports whether a figure is in the joined build.
func (j *joiner) has(id string) bool {
	_, ok := j.out.Figures.Get(id)
	return ok
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
	out.WeakPoints, out.Assumptions, out.Cautions, out.Limits, out.NotComputed, out.Works, out.Room, out.Measures = nil, nil, nil, nil, nil, nil, nil, nil
	for k, c := range j.list {
		for _, w := range c.WeakPoints {
			w.Part, w.Figure = fmt.Sprintf("%s, spindle %s", w.Part, c.Spindle), j.name(k, w.Figure)
			out.WeakPoints = append(out.WeakPoints, w)
		}
		for _, a := range c.Assumptions {
			out.Assumptions = assumed(out.Assumptions, a, c.Spindle)
		}
		for _, m := range c.Measures {
			if j.roughs[m.Target] == k { // else it is of a machine that does not cut the target
				out.Measures = append(out.Measures, m)
			}
		}
		out.Cautions = union(out.Cautions, c.Cautions)
		out.Limits = union(out.Limits, c.Limits)
		out.NotComputed = union(out.NotComputed, c.NotComputed)
		out.Room = union(out.Room, c.Room)
		out.Works = union(out.Works, c.Works)
	}
	slices.SortFunc(out.Works, func(a, b build.Work) int { return strings.Compare(a.Key, b.Key) })
	rank.By(out.Measures, func(m build.Measure) float64 { return m.Share - m.Left })
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
