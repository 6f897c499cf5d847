package verdict

import (
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/build"
	"ironbed/compiler/cut"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// minutes is a time in minutes.
func minutes(si float64) float64 { return quantity.Convert(si, "min") }

// durationWords print a time.
func durationWords(si float64) string { return build.Duration(minutes(si)) }

// timed is a verdict on roughing, with the time that the part may take: where it takes longer with its roughing and its
// finish pass, roughing has light cuts at best.
func timed(v build.Verdict, b *accuracy.Budget, roughing float64) build.Verdict {
	if v == build.WithinReach && b != nil && b.Answer.Job.TooLong(roughing+b.Finishing()) {
		return build.LightCuts
	}
	return v
}

// operationWords name an operation with a cutter.
func operationWords(a *cut.Attempt, o *reach.Outcome) string {
	return o.Operation.Name + " with the " + a.Cutter
}

// judgeJob says how long a target's part takes, and what it lacks beside accuracy.
func judgeJob(m *spec.Machine, t *build.Target, a *cut.Answer, b *accuracy.Budget) {
	fast := &a.Fastest
	if fast.Point == nil || b.Roughing() == 0 {
		return
	}
	j := &build.Job{
		Size: [3]float64{quantity.Convert(b.Part[0], "mm"), quantity.Convert(b.Part[1], "mm"), quantity.Convert(b.Part[2], "mm")}, Assumed: !a.Entry.Item.Size.Given,
		Removed: quantity.Convert(a.Job.Removed, "cm3"), Finished: quantity.Convert(a.Job.Finished, "cm2"), TimeInCut: a.Job.TimeInCut,
		Finishing: minutes(b.Finishing()), Limit: minutes(a.Job.Limit), TooLong: a.Job.TooLong(b.Time()),
		Ra: quantity.Convert(b.Ra, "µm"), Wanted: quantity.Convert(a.Job.Roughness, "µm"),
	}
	add := func(which string, at *cut.Attempt, o *reach.Outcome, p *reach.Point) {
		roughing := a.Job.Roughing(p.RemovalRate)
		j.Cuts = append(j.Cuts, build.JobCut{
			Which: which, Operation: o.Operation.Name, Cutter: at.Cutter, Depth: quantity.Convert(p.Cut.Depth, "mm"),
			RemovalRate: removalRate(p.RemovalRate), Roughing: minutes(roughing), Time: minutes(roughing + b.Finishing()),
		})
	}
	if sameCut(fast, a) {
		add(build.Both, fast.Attempt, fast.Outcome, fast.Point)
	} else {
		add(build.Fastest, fast.Attempt, fast.Outcome, fast.Point)
		add(build.Deepest, a.Best(), a.Best().Best, a.Best().Best.Deepest)
	}
	t.Job = j
	if b.Shortage != "" {
		says, next := shortageWords(m, b)
		j.Lacks = says + "; " + next
	}
	limitJob(t, a, b)
}

// sameCut reports whether the fastest cut of an answer is the deepest one of the operation that decides it.
func sameCut(fast *cut.Fast, a *cut.Answer) bool {
	deep := a.Best().Best.Deepest
	return deep == nil || fast.Outcome.Operation.Name == a.Best().Best.Operation.Name && fast.Attempt.Cutter == a.Best().Cutter &&
		!rank.More(deep.Cut.Depth, fast.Point.Cut.Depth) && !rank.More(fast.Point.RemovalRate, deep.RemovalRate)
}

// limitJob holds a part against its time, its inside radius and its roughness.
func limitJob(t *build.Target, a *cut.Answer, b *accuracy.Budget) {
	job := &a.Job
	if job.Limit > 0 {
		note := ""
		if b.Finishing() == 0 {
			note = "roughing alone, no finish pass is proposed"
		}
		if over := timeOver(b); over.Bounded {
			t.Uncertainty += fmt.Sprintf("; time for the part %s to %s", durationWords(over.Low), durationWords(over.High))
		}
		t.Limits = append(t.Limits, build.Limit{
			Name: "machining time", Demand: durationWords(b.Time()), Limit: durationWords(job.Limit), Exceeded: job.TooLong(b.Time()), Note: note,
		})
	}
	if job.InsideRadius > 0 {
		limit := build.Limit{
			Name: "diameter of the finishing end mill", Demand: "none fits", Limit: quantity.Print(2*job.InsideRadius, "mm"),
			Exceeded: b.Shortage == accuracy.NoCutter,
		}
		if b.Finisher != nil {
			limit.Demand = quantity.Print(b.Finisher.Cut.Diameter, "mm")
		}
		t.Limits = append(t.Limits, limit)
	}
	if job.Roughness > 0 && b.Pass != nil && b.Pass.Refusal == "" {
		t.Limits = append(t.Limits, build.Limit{
			Name: "roughness Ra", Demand: quantity.Print(b.Ra, "µm"), Limit: quantity.Print(job.Roughness, "µm"), Exceeded: rank.More(b.Ra, job.Roughness),
			Note: "cusps of feed, runout and vibration alone, a lower bound",
		})
	}
	if !job.TooLong(b.Time()) {
		return
	}
	says, next := timeWords(a, b)
	if a.Best().Grade == reach.WithinReach {
		t.Limiting, t.Next = says, next
		return
	}
	t.Limiting += "; " + says
	t.Next = strings.TrimPrefix(t.Next+"; "+next, "; ")
}

// timeWords say that a part takes too long, and what would do.
func timeWords(a *cut.Answer, b *accuracy.Budget) (says, next string) {
	rate := a.Fastest.Point.RemovalRate
	says = fmt.Sprintf("machining time %s, limit %s: roughing %s at %s, the fastest cut", durationWords(b.Time()), durationWords(a.Job.Limit),
		durationWords(b.Roughing()), removalWords(rate))
	left := a.Job.Limit - b.Finishing()
	if b.Finishing() > 0 {
		says += ", and finishing " + durationWords(b.Finishing())
	}
	if left <= 0 {
		return says, "finishing alone takes longer than that: a longer `machining_time`, or a cutter and a machine that finish deeper"
	}
	return says, "to be in time, a removal rate of " + removalWords(rate*b.Roughing()/left)
}

// shortageWords say what a finished part lacks beside accuracy, and what would do.
func shortageWords(m *spec.Machine, b *accuracy.Budget) (says, next string) {
	job := &b.Answer.Job
	switch b.Shortage {
	case accuracy.NoCutter:
		most := quantity.Print(2*job.InsideRadius, "mm")
		says = fmt.Sprintf("no %s that cuts it has at most %s, for an inside radius of %s", anEndMill(m), most, quantity.Print(job.InsideRadius, "mm"))
		smallest := math.Inf(1)
		for i := range b.Answer.Finishers {
			smallest = math.Min(smallest, b.Answer.Finishers[i].Cut.Diameter)
		}
		if !math.IsInf(smallest, 1) {
			says += "; the smallest has " + quantity.Print(smallest, "mm")
		}
		return says, "take an end mill of at most " + most
	case accuracy.TooRough:
		says = fmt.Sprintf("least roughness Ra %s with the %s, at the lowest feed that still cuts, wanted %s",
			quantity.Print(b.Ra, "µm"), b.Finisher.Attempt.Cutter, quantity.Print(job.Roughness, "µm"))
		return says, "take a cutter that runs truer, a larger one, or one with fewer teeth"
	}
	return "", ""
}

// passFigures adds how a finish pass is set and the roughness that it leaves, and returns the id of that.
func passFigures(book *sheet.Book, b *accuracy.Budget) string {
	t, p := targetBookOf(book, b.Answer), b.Pass
	for _, f := range []sheet.Figure{
		{ID: "finish.feed", Label: "feed of the finish pass", Value: sheet.Plain(p.Feed), Unit: "mm/min", Formula: "vf = fz z n", Source: "ISO 3002-3"},
		{ID: "finish.depth", Label: "depth of the finish pass along the wall", Value: sheet.Plain(p.Cut.Depth), Unit: "mm", Formula: "searched", Source: "derived here"},
	} {
		f.Log, f.Detail = b.Finisher.Log, true
		t.put(f)
	}
	formula := "Ra = 4/(9 √3) Rt ≈ Rt/4; Rt the envelope of the cusps of all teeth with runout and vibration, fz²/(4 D) without"
	if b.Finisher.Attempt.Input.Cutter.Corner > 0 {
		formula += "; on a floor fz²/(8 r), r the corner radius"
	}
	return t.put(sheet.Figure{
		ID: "finish.roughness", Label: "least roughness Ra of the finish pass", Value: sheet.Plain(b.Ra), Unit: "µm", Formula: formula,
		Source: "Martellotti 1941; Qu Shih 2003; derived here", Log: b.Finisher.Log,
		Notes: []string{"a lower bound: a worn edge, built-up edges and torn chips add to it"},
	})
}

// jobBlocks are how long the part of each target takes, in figures.
func jobBlocks(book *sheet.Book) []build.Block {
	table := build.Table{Caption: "Time for the part", Columns: []build.Column{
		{Head: "target"},
		{Head: "removed, cm³", Right: true},
		{Head: "finished, cm²", Right: true},
		{Head: "fastest cut, cm³/min", Right: true},
		{Head: "roughing, min", Right: true},
		{Head: "at its deepest, min", Right: true},
		{Head: "finishing, min", Right: true},
		{Head: "together, min", Right: true},
		{Head: "limit, min", Right: true},
	}}
	for i, b := range book.Accuracy.List {
		if b != nil && book.Build.Targets[i].Job != nil {
			table.Rows = append(table.Rows, jobRow(book, b))
		}
	}
	if len(table.Rows) == 0 {
		return nil
	}
	return []build.Block{
		build.Text("Roughing takes the volume over the removal rate, finishing the area over feed times depth of the finish pass along a wall; " +
			"both over the share of the time in which the cutter cuts, 0.6 (0.4 to 0.8) unless `time_in_cut` is given. " +
			"Where `removed` and `finished` are not given, half of the block of the part's size is cut away, and top and sides are finished. " +
			"The fastest cut is that of any cutter and operation at least as deep as a light cut; " +
			"at its deepest is the cut of the operation and the cutter by which roughing is judged. " +
			"A target for which no finish pass is proposed has no time for finishing."),
		table,
	}
}

// overEnds is a number of a part, and the same at the ends of the uncertainty.
func overEnds(a *cut.Answer, of func(*cut.Job) float64) sheet.Number {
	return sheet.Between(of(&a.Job), of(&a.JobEnds[0]), of(&a.JobEnds[1]))
}

// fastestRates are the removal rate of the fastest cut, and those at the ends of the uncertainty where it goes [m3/s].
func fastestRates(a *cut.Answer) []float64 {
	rates := []float64{a.Fastest.Point.RemovalRate}
	for _, p := range a.Fastest.Ends {
		rates = append(rates, p.RemovalRate)
	}
	return rates
}

// roughingOver is the time for roughing at the first of some removal rates, and over all of them and the ends of what the part is [s].
func roughingOver(a *cut.Answer, rates ...float64) sheet.Number {
	var times []float64
	for _, rate := range rates {
		times = append(times, a.JobEnds[0].Roughing(rate), a.JobEnds[1].Roughing(rate))
	}
	return sheet.Between(a.Job.Roughing(rates[0]), times...)
}

// finishingOver is the time for finishing a part, and at the ends of what it is; 0 where that is not known [s].
func finishingOver(b *accuracy.Budget) sheet.Number {
	if b.Finishing() == 0 {
		return sheet.Plain(0)
	}
	return overEnds(b.Answer, func(j *cut.Job) float64 { return j.Finishing(b.Pass) })
}

// timeOver is the time for a part, as far as it is known, and at the ends of the uncertainty [s].
func timeOver(b *accuracy.Budget) sheet.Number {
	rough, fine := roughingOver(b.Answer, fastestRates(b.Answer)...), finishingOver(b)
	return sheet.Between(b.Time(), rough.Low+fine.Low, rough.High+fine.High)
}

// jobRow is how long a target's part takes.
func jobRow(book *sheet.Book, b *accuracy.Budget) []build.Cell {
	a := b.Answer
	t, job := targetBookOf(book, a), &a.Job
	deep := a.Best().Best.Deepest
	rates := fastestRates(a)
	fastest := operationWords(a.Fastest.Attempt, a.Fastest.Outcome)
	figure := func(id, field, label, unit, formula string, v sheet.Number, from ...string) build.Cell {
		log := job.Log.Only(func(in spec.Input) bool { return strings.HasSuffix(in.Path, "."+field) })
		f := sheet.Figure{ID: "time." + id, Label: label, Value: v, Unit: unit, Formula: formula, Source: "derived here", From: from, Log: log}
		return build.Cell{Figure: t.put(f), Plain: true}
	}
	removed := figure("removed", "removed", "volume cut away from the part", "cm3", "of the spec, or half of l² × l/4, l the size",
		overEnds(a, func(j *cut.Job) float64 { return j.Removed }))
	finished := figure("finished", "finished", "area of the part that is finished", "cm2", "of the spec, or 2 l², l the size",
		overEnds(a, func(j *cut.Job) float64 { return j.Finished }))
	rate := build.Cell{Plain: true, Figure: t.put(sheet.Figure{
		ID: "time.removal_rate", Label: "largest removal rate, by " + fastest, Value: sheet.Between(rates[0], rates[1:]...), Unit: "cm³/min",
		Formula: "Q = ap ae vf, the largest of all cutters and operations at least as deep as a light cut", Source: "Altintas 2012", Log: spec.Over(a.Fastest.Attempt.Log),
	})}
	rough := figure("roughing", "time_in_cut", "time for roughing the part with its fastest cut", "min", "t = V/(Q s), s the share of the time in which the cutter cuts",
		roughingOver(a, rates...), "time.removed", "time.removal_rate")
	deepest, finishing, together, limit := build.Cell{Text: "as fast"}, build.Cell{Text: "–"}, build.Cell{Text: "–"}, build.Cell{Text: "–"}
	if !sameCut(&a.Fastest, a) {
		deepest = figure("deepest", "time_in_cut", "time for roughing the part at the greatest depth of a "+operationWords(a.Best(), a.Best().Best), "min",
			"t = V/(Q s), Q that of the deepest cut", roughingOver(a, deep.RemovalRate), "time.removed")
	}
	if b.Finishing() > 0 {
		from := []string{"time.finished"}
		if book.Reports {
			from = append(from, "finish.feed", "finish.depth")
		}
		finishing = figure("finishing", "time_in_cut", "time for finishing the part", "min", "t = A/(vf ap s)", finishingOver(b), from...)
		together = figure("part", "time_in_cut", "time for the part with its fastest cut", "min", "roughing and finishing", timeOver(b), "time.roughing", "time.finishing")
	}
	if job.Limit > 0 {
		limit.Text = quantity.Number(minutes(job.Limit))
	}
	return []build.Cell{{Text: a.Entry.Name}, removed, finished, rate, rough, deepest, finishing, together, limit}
}
