package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/spec/quantity"
)

// verdicts writes the table that answers first, and the best cuts.
func (w *writer) verdicts() {
	if len(w.build.Targets) == 0 {
		return
	}
	w.heading(2, titleVerdicts)
	t := table{columns: []build.Column{{Head: "Target"}, {Head: "Ambition"}, {Head: "Verdict"}, {Head: "Roughing"}, {Head: "Finishing"},
		{Head: "What limits it"}}}
	for _, a := range w.build.Targets {
		t.add("**"+plain(a.Name)+"**", plain(a.Ambition), "**"+plain(string(a.Verdict))+"**"+chanceWords(a), plain(or(a.Roughing, "–")), plain(or(a.Finishing, "–")),
			sentence(plain(capital(a.Limiting))))
	}
	w.table(t)
	if list := w.build.Unvalidated; len(list) > 0 {
		w.paragraph("**Not validated by measurement:** " + plain(strings.Join(list, " and ")) + ", still to be made; see [As built](#as-built).")
	}
	w.jobs()
	w.bestCuts()
}

// chanceWords say how many machines of a hundred reach a verdict, after it.
func chanceWords(t build.Target) string {
	if t.Chance == nil || t.Verdict == build.NotKnown {
		return ""
	}
	return ", " + t.Chance.Words()
}

// jobs writes how long each target's part takes: with the fastest cut, and with the deepest.
func (w *writer) jobs() {
	t := table{caption: "Time for the part", columns: []build.Column{{Head: "Target"}, {Head: "Part, mm", Right: true}, {Head: "Volume, cm³", Right: true}, {Head: "Cut"},
		{Head: "Depth, mm", Right: true}, {Head: "cm³/min", Right: true}, {Head: "Roughing"}, {Head: "Finishing"}, {Head: "Together"}}}
	for _, a := range w.build.Targets {
		if a.Job == nil {
			continue
		}
		name, size, removed := plain(a.Name), sizeWords(a.Job), quantity.Number(a.Job.Removed)
		for i, c := range a.Job.Cuts {
			if i > 0 {
				name, size, removed = "", "", ""
			}
			t.add(name, size, removed, plain(capital(cutWords(c))), quantity.Number(c.Depth), quantity.Number(c.RemovalRate),
				build.Duration(c.Roughing), finishingTime(a.Job), jobTime(a.Job, c))
		}
	}
	if w.table(t); len(t.rows) > 0 {
		if slices.ContainsFunc(w.build.Targets, func(t build.Target) bool { return t.Job != nil && t.Job.Assumed }) {
			w.paragraph("A part is assumed as large as a third of the shortest travel across the tool, 150 mm at most, where its target has no `size`: write yours.")
		}
		w.paragraph("Times count approaches, returns and changes of cutter as a share of the time; not the setting up.")
	}
}

// sizeWords print the size of a part.
func sizeWords(j *build.Job) string {
	var words []string
	for _, v := range j.Size {
		words = append(words, quantity.Number(v))
	}
	return strings.Join(words, " × ")
}

// cutWords name a cut of a part: "deepest slot, 8 mm end mill".
func cutWords(c build.JobCut) string {
	if c.Which == build.Deepest {
		return c.Words() + ", " + c.Cutter
	}
	words := c.Which + ": " + c.Operation + ", " + c.Cutter
	if c.Spindle != "" {
		words += ", spindle " + c.Spindle
	}
	return words
}

// finishingTime prints how long a part's finish pass takes.
func finishingTime(j *build.Job) string {
	if j.Finishing == 0 {
		return "–" // no pass is proposed
	}
	return build.Duration(j.Finishing)
}

// jobTime prints how long a part takes with a cut.
func jobTime(j *build.Job, c build.JobCut) string {
	if j.Finishing == 0 {
		return "–"
	}
	return build.Duration(c.Time)
}

// bestCuts writes a row for each target's best cut, a column for each of its numbers.
func (w *writer) bestCuts() {
	t := table{caption: "Best cuts", columns: []build.Column{{Head: "Target"}, {Head: "Cut"}}}
	column := map[build.Setting]int{} // by name and unit
	for _, a := range w.build.Targets {
		for _, s := range a.Cut {
			key := build.Setting{Name: s.Name, Unit: s.Unit}
			if _, ok := column[key]; !ok {
				column[key] = len(t.columns)
				t.columns = append(t.columns, build.Column{Head: withUnit(capital(s.Name), s.Unit), Right: true})
			}
		}
	}
	for _, a := range w.build.Targets {
		if len(a.Cut) == 0 {
			continue
		}
		row := make([]string, len(t.columns))
		for i := range row {
			row[i] = "–"
		}
		row[0], row[1] = plain(a.Name), plain(capital(a.Operation))
		for _, s := range a.Cut {
			row[column[build.Setting{Name: s.Name, Unit: s.Unit}]] = quantity.Number(s.Value)
		}
		t.add(row...)
	}
	w.table(t)
}

// bestCut prints a target's best cut in one line.
func bestCut(t build.Target) string {
	cut := make([]string, len(t.Cut))
	for i, s := range t.Cut {
		cut[i] = s.Name + " " + quantity.Measure(s.Value, s.Unit)
	}
	switch numbers := strings.Join(cut, ", "); {
	case numbers == "":
		return ""
	case t.Operation == "":
		return numbers
	default:
		return t.Operation + ": " + numbers
	}
}

// withUnit is a table's head: what stands in the column, and its unit.
func withUnit(name, unit string) string {
	if unit == "" {
		return name
	}
	return name + ", " + unit
}

// targets writes a short paragraph a target: the verdict, how sure it is, what
// binds, and what to do next.
func (w *writer) targets() {
	if len(w.build.Targets) == 0 {
		return
	}
	w.heading(2, titleTargets)
	for _, t := range w.build.Targets {
		w.heading(3, plain(t.Name))
		says := string(t.Verdict)
		if t.Decides != "" {
			says += ", by " + t.Decides
		}
		verdict := fmt.Sprintf("**%s**%s.", plain(capital(says)), chanceWords(t))
		if t.Material != "" && t.Material != t.Name {
			verdict = fmt.Sprintf("**%s**%s, for %s.", plain(capital(says)), chanceWords(t), plain(t.Material))
		}
		w.paragraph(verdict, sentence(plain(capital(t.Uncertainty))), sentence(plain(capital(t.Limiting))), sentence(prose(capital(t.Next))), nextMove(t))
		w.limitTable(t)
	}
}

// nextMove words the first change that moves the verdict, or the first change.
func nextMove(t build.Target) string {
	if len(t.Changes) == 0 {
		return ""
	}
	best := t.Changes[0]
	for _, c := range t.Changes {
		if c.Moves {
			best = c
			break
		}
	}
	s := "Recommended: " + prose(strings.TrimRight(best.What, "."))
	if best.Effect != "" {
		s += "; " + plain(strings.TrimRight(best.Effect, "."))
	}
	if best.Moves {
		s += fmt.Sprintf("; the verdict at the middle becomes *%s*", plain(string(best.Verdict)))
	}
	return s + "."
}

// farLimit is how many times the depth of a cut a limit may allow to be worth a row.
const farLimit = 5

// limitTable writes the limits of a target's cut, the one that limits it first.
func (w *writer) limitTable(a build.Target) {
	if len(a.Limits) == 0 {
		return
	}
	t := table{columns: []build.Column{{Head: "Check"}, {Head: "Demand", Right: true}, {Head: "Limit", Right: true},
		{Head: "Depth allowed, mm", Right: true}, {Head: "Result"}}}
	nearest, far := math.Inf(1), []string(nil)
	for _, l := range a.Limits {
		if l.Limiting {
			nearest = l.Depth
		}
	}
	var remarks []string
	for _, l := range a.Limits {
		if nearest > 0 && l.Depth > farLimit*nearest {
			far = append(far, plain(l.Name))
			continue
		}
		if l.Note != "" {
			remarks = append(remarks, sentence(plain(capital(l.Name)+": "+l.Note)))
		}
		depth := quantity.Number(l.Depth)
		if l.Depth == 0 {
			depth = "–" // it does not depend on the depth
		}
		result := "ok"
		switch {
		case len(a.Cut) == 0:
			result = "**exceeded**"
		case l.Exceeded:
			result = "**exceeded**"
		case l.Limiting:
			result = "**limits the cut**"
		}
		t.add(plain(capital(l.Name)), plain(l.Demand), plain(l.Limit), depth, result)
	}
	w.table(t)
	if len(far) > 0 {
		remarks = append(remarks, fmt.Sprintf("Not limiting, with more than %d times the depth: %s.", farLimit, join(far)))
	}
	w.paragraph(remarks...)
}

// overview writes the machine in one picture.
func (w *writer) overview() {
	if w.build.Overview == nil {
		return
	}
	w.heading(2, titleMachine)
	w.picture(*w.build.Overview)
	var room []string
	for _, s := range w.build.Room {
		room = append(room, sentence(inline(s)))
	}
	w.paragraph(room...)
	if slices.ContainsFunc(w.build.Sheets, func(s build.Sheet) bool { return s.ID == "solids" }) {
		w.paragraph("How near the parts come to each other over the whole travel stands in [Cut lengths and clearances](#cut-lengths-and-clearances).")
	}
}

// sharesPicture is the picture of each part's share of the compliance. It stands
// with the weak points.
const sharesPicture = "shares"

// weakPoints writes where the compliance comes from: the picture of the shares, and
// the most compliant parts.
func (w *writer) weakPoints() {
	shares := sheetPicture(w.build, sharesPicture)
	if len(w.build.WeakPoints) == 0 && shares == nil {
		return
	}
	w.heading(2, titleWeak)
	if shares != nil {
		w.picture(*shares)
	}
	t := table{columns: []build.Column{{Head: "Part"}, {Head: "Along"}, {Head: "Share of compliance", Right: true},
		{Head: "Meaning"}, {Head: "In the spec"}}}
	for _, p := range byPart(w.build.WeakPoints) {
		share := percent(p.Share)
		if w.numbers && p.Figure != "" {
			share = "[" + share + "](" + derivationsName + mdEnd + "#" + anchorID(p.Figure) + ")"
		}
		t.add("**"+plain(p.Part)+"**", plain(p.Direction), share, sentence(plain(capital(p.Sentence))), code(place(p.At)))
	}
	w.table(t)
}

// byPart returns the weak points with those of one part together, where its largest
// share stands.
func byPart(list []build.WeakPoint) (sorted []build.WeakPoint) {
	for _, p := range list {
		after := len(sorted)
		for i, s := range sorted {
			if s.Part == p.Part {
				after = i + 1
			}
		}
		sorted = slices.Insert(sorted, after, p)
	}
	return sorted
}

// sheetPicture returns the picture of the sheets with the id, nil if there is none.
func sheetPicture(b *build.Build, id string) *build.Picture {
	for _, s := range b.Sheets {
		for _, block := range s.Blocks {
			if p, ok := block.(build.Picture); ok && p.ID == id {
				return &p
			}
		}
	}
	return nil
}

// A move is one change of the machine with what it does for each target.
type move struct {
	change  build.Change
	targets []string // "**spars:** 2.1 mm in place of 1.4 mm; becomes *within reach*"
	others  []string // what it does to targets that did not ask for it
	best    int      // rank of the best verdict that it newly reaches, 0 for none
	count   int      // how many verdicts it moves
}

// moves writes the changes of all targets, the best first.
func (w *writer) moves() {
	list := collectMoves(w.build)
	if len(w.build.Targets) == 0 {
		return
	}
	w.heading(2, titleMoves)
	switch fails := failing(w.build); {
	case len(fails) > 0:
		w.paragraph("First correct what fails:")
		for i, f := range fails {
			fails[i] = "- " + f
		}
		w.block(fails...)
	case len(list) == 0 && w.build.Passed():
		words := "Nothing needs to change for the targets that must be within reach."
		if !slices.ContainsFunc(w.build.Targets, func(t build.Target) bool { return t.Verdict != build.WithinReach }) {
			words = "Every target is within reach. What limits each cut, and the compliance breakdown, show where more could be gained."
		}
		w.paragraph(words)
	}
	w.finishingMoves()
	if len(list) == 0 {
		if slices.ContainsFunc(w.build.Targets, func(t build.Target) bool { return t.Verdict != build.WithinReach }) {
			w.paragraph(
				"No single change that was tried changes a verdict or deepens a cut: larger sections, a fill, " +
					" larger rails and screws, a stiffer spindle, feet and joints, shorter and smaller cutters, motors and reductions. The targets say how far each is from the next verdict.",
			)
		}
		return
	}
	var lines []string
	for i, m := range list {
		number := fmt.Sprintf("%d. ", i+1)
		indent := strings.Repeat(" ", len(number))
		lines = append(lines, number+"**"+sentence(prose(capital(m.change.What)))+"**"+writeIn(m.change.Step))
		for _, s := range m.change.Steps {
			lines = append(lines, indent+"-"+writeIn(s))
		}
		for _, t := range m.targets {
			lines = append(lines, indent+"- "+t)
		}
		for _, o := range slices.Compact(slices.Sorted(slices.Values(m.others))) {
			lines = append(lines, indent+"- Besides, "+plain(o)+".")
		}
	}
	w.block(lines...)
	if slices.ContainsFunc(w.build.Targets, func(t build.Target) bool { return t.Chance != nil }) {
		w.paragraph("Changes are weighed at the middle of every value: how many of 100 machines reach a verdict with one is said once it is written into the spec.")
	}
	w.paragraph("A change whose cut goes deeper and removes less is left out, unless it betters roughing and the part takes no more than 5 % longer by its fastest cut.")
	w.paragraph("Changes of frame, drives and cutters are solved for roughing, and leave finishing as it is; those of the error budget are solved for finishing, the finish pass as it is. Run the check again after each change: it may cause new cautions and fails.")
}

// finishingMoves says of each target whose finished part is not within its accuracy which error has the largest share, and
// what would lower it.
func (w *writer) finishingMoves() {
	var lines []string
	for _, t := range w.build.Targets {
		b := t.Budget
		if b == nil || b.Largest == "" || !t.ByFinishing() {
			continue
		}
		if t.Job != nil && t.Job.Lacks != "" {
			lines = append(lines, fmt.Sprintf("- *%s:* %s", plain(t.Name), sentence(prose(t.Job.Lacks))))
			continue
		}
		line := fmt.Sprintf("- *%s:* the likely error of the finished part is %s, accuracy %s. Largest share: %s, %s; without it %s. To lower it, %s.",
			plain(t.Name), quantity.Measure(b.Likely, "µm"), quantity.Measure(b.Accuracy, "µm"), plain(b.Largest), percent(b.Share),
			quantity.Measure(b.Without, "µm"), prose(b.Lower))
		if b.Way != "" && !slices.ContainsFunc(t.Changes, func(c build.Change) bool { return c.What == b.Way }) {
			line += fmt.Sprintf(" It is %s with %s.", quantity.Measure(b.WayTo, "µm"), prose(b.Way))
		}
		lines = append(lines, line)
	}
	if len(lines) > 0 {
		w.paragraph("Finishing:")
		w.block(lines...)
	}
}

// failing are the findings that fail, targets aside: those have moves of their own.
func failing(b *build.Build) (list []string) {
	for _, f := range b.Findings {
		if f.Severity == build.SeverityFail && f.Rule != build.RuleTarget {
			words := sentence(prose(capital(f.Message)))
			if at := place(f.At); at != "" {
				words += " (" + code(at) + ")"
			}
			list = append(list, words)
		}
	}
	return list
}

// writeIn says which field of the spec to change and what to write there.
func writeIn(c build.Step) string {
	if len(c.Edits) == 0 {
		return ""
	}
	var lines []string
	for _, e := range c.Edits {
		lines = append(lines, code(asField(e.Path)+": "+e.Value))
	}
	if c.New {
		return " Add " + strings.Join(lines, ", and ") + " at the top level of the spec."
	}
	first := c.Edits[0]
	if len(c.Edits) > 1 || strings.HasPrefix(first.Value, "{") {
		return " Write " + strings.Join(
			lines,
			", and ",
		) + " in place of what " + code(
			place(c.At),
		) + " says; where other parts share that line, give these a value of their own."
	}
	s := " Change " + code(asField(first.Path)) + " to " + code(first.Value)
	if at := place(c.At); at != "" {
		s += ", at " + code(at)
	}
	return s + "."
}

// asField writes a path as CUE has fields: rails: cross: stock.
func asField(path string) string {
	var out strings.Builder
	quoted := false
	for _, r := range path {
		switch {
		case r == '"':
			quoted = !quoted
			out.WriteRune(r)
		case r == '.' && !quoted:
			out.WriteString(": ")
		default:
			out.WriteRune(r)
		}
	}
	return out.String()
}

// collectMoves gathers the changes of all targets, one entry a change. Those
// that better a verdict come first: the ones that bring more targets forward,
// then those that bring one further; otherwise the order is the targets'.
func collectMoves(b *build.Build) []move {
	index := map[string]int{}
	var list []move
	for _, t := range b.Targets {
		for _, c := range t.Changes {
			i, ok := index[c.What]
			if !ok {
				i = len(list)
				index[c.What] = i
				list = append(list, move{change: c})
			}
			line := "*" + plain(t.Name) + ":* " + plain(strings.TrimRight(c.Effect, "."))
			switch {
			case c.Moves:
				line += fmt.Sprintf("; the verdict at the middle becomes **%s**", plain(string(c.Verdict)))
				list[i].best = max(list[i].best, c.Verdict.Rank())
				list[i].count++
			case c.Finishing != t.Finishing:
				line += fmt.Sprintf("; finishing: **%s**, now %s; the verdict at the middle stays *%s*", plain(c.Finishing), plain(t.Finishing), plain(string(c.Verdict)))
			case t.ByFinishing() && c.Roughing != t.Roughing:
				line += fmt.Sprintf("; roughing: **%s**, now %s", plain(c.Roughing), plain(t.Roughing))
			case t.ByFinishing():
				line += fmt.Sprintf("; roughing stays at *%s*", plain(t.Roughing))
			default:
				line += fmt.Sprintf("; the verdict at the middle stays *%s*", plain(string(c.Verdict)))
			}
			list[i].targets = append(list[i].targets, line+".")
			list[i].others = append(list[i].others, c.Others...)
		}
	}
	slices.SortStableFunc(list, func(a, b move) int {
		return cmp.Or(-cmp.Compare(a.count, b.count), -cmp.Compare(a.best, b.best))
	})
	return list
}

// or returns s, or instead where s is empty.
func or(s, instead string) string {
	if s == "" {
		return instead
	}
	return s
}

// capital returns the text with a capital first letter, unless it begins with a
// symbol: "k = 3 N/µm".
func capital(s string) string {
	word, _, _ := strings.Cut(s, " ")
	r := []rune(word)
	if len(r) == 0 || r[0] > 'z' || len(r) == 1 && r[0] != 'a' {
		return s
	}
	return strings.ToUpper(string(r[0])) + s[1:]
}

// percent prints a share.
func percent(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }
