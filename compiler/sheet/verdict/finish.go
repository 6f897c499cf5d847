package verdict

import (
	"fmt"
	"math"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/build"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// staticFinish adds the wall that a finish pass leaves under a force at rest.
func staticFinish(book *sheet.Book, a *cut.Answer, pass *cut.Finisher) {
	cutter := pass.Attempt.Cutter
	t := targetBookOf(book, a)
	add := func(of func(cut.Wall) float64, f sheet.Figure) string {
		var ends []float64
		for _, end := range pass.EndWalls {
			ends = append(ends, of(end))
		}
		f.Value, f.Unit = sheet.Between(of(pass.Wall), ends...), "µm"
		f.Notes = []string{fmt.Sprintf("%s deep; as a force at rest deflects the tip: see finish.error for forced vibration", quantity.Print(pass.Cut.Depth, "mm"))}
		return t.put(f)
	}
	climb := add(func(w cut.Wall) float64 { return w.Climb }, sheet.Figure{
		ID:      "finish.climb",
		Label:   "static wall form error of a finish pass, climb milling",
		Formula: "± c Fn at the moment when the edge makes the wall, less runout",
		Source:  "Kline 1982",
		Log:     pass.Log,
	})
	add(func(w cut.Wall) float64 { return w.Conventional }, sheet.Figure{
		ID:      "finish.conventional",
		Label:   "static wall form error of a finish pass, conventional milling",
		Formula: "± c Fn at the moment when the edge makes the wall, less runout",
		Source:  "Kline 1982",
		Log:     pass.Log,
	})
	add(func(w cut.Wall) float64 { return w.CuspHeight }, sheet.Figure{
		ID:      "finish.cusp_height",
		Label:   "cusp height of feed and runout on a finished wall",
		Formula: "lower envelope of the cusps of all teeth, fz²/(4 D) without runout",
		Source:  "derived here",
		Log:     t.log,
	})
	if off, limit := math.Abs(pass.Wall.Climb), book.Read().Of(a.Entry.Item.Accuracy); off > limit {
		fix := "repeat it at the same setting"
		if pass.Wall.Climb < 0 {
			fix = "reduce the runout, or offset the path"
		}
		book.Find(build.Finding{
			Rule:     "finish-error",
			Severity: build.SeverityNote,
			At:       build.Place(a.Entry.At),
			Figures:  []string{climb},
			Message: fmt.Sprintf("%s: a finish pass along a wall with the %s has a wall form error of %s, limit %s, even at a depth of %s; %s",
				a.Entry.Name, cutter, quantity.Print(off, "µm"), quantity.Print(limit, "µm"), quantity.Print(pass.Cut.Depth, "mm"), fix),
		})
	}
}

// finishTables are what is said of the finish passes.
type finishTables struct {
	set, left build.Table
	none      build.List
	pictures  []build.Block
}

func finishSettings() build.Table {
	return build.Table{Caption: "Finish pass along a wall: climb milling", Columns: []build.Column{
		{Head: "target"},
		{Head: "cutter"},
		{Head: "width, mm", Right: true},
		{Head: "depth, mm", Right: true},
		{Head: "rpm", Right: true},
		{Head: "mm/min", Right: true},
		{Head: "least Ra, µm", Right: true},
	}}
}

func finishWalls() build.Table {
	return build.Table{Caption: "The wall that a finish pass leaves", Columns: []build.Column{
		{Head: "target"},
		{Head: "static error, µm", Right: true},
		{Head: "error, µm", Right: true},
		{Head: "ripple, µm", Right: true},
		{Head: "largest within ± " + quantity.Percent(machine.SpeedDoubt) + ", µm", Right: true},
		{Head: "accuracy, µm", Right: true},
		{Head: "result"},
		{Head: "vibration, Hz"},
		{Head: "nearest mode, Hz", Right: true},
	}}
}

// add says the finish pass of a target, or why there is none.
func (t *finishTables) add(book *sheet.Book, b *accuracy.Budget) {
	a, p := b.Answer, b.Pass
	if b.Shortage == accuracy.NoCutter {
		says, next := shortageWords(book.Spec, b)
		t.none = append(t.none, sentenceCase(a.Entry.Name)+": "+says+"; "+next+".")
		return
	}
	if p == nil {
		t.none = append(t.none, sentenceCase(a.Entry.Name)+": no "+anEndMill(book.Spec)+" cuts it, and a face mill finishes no wall; take an end mill for it.")
		return
	}
	staticFinish(book, a, b.Finisher)
	if !book.Reports {
		return
	}
	accuracy := b.Accuracy
	if picture, ok := finishPicture(b); ok {
		t.pictures = append(t.pictures, picture)
	}
	if p.Refusal != "" {
		t.none = append(t.none, refusedFinish(b))
		return
	}
	t.set.Rows = append(t.set.Rows, []build.Cell{
		{Text: a.Entry.Name},
		{Text: b.Finisher.Attempt.Cutter},
		{Text: quantity.Number(quantity.Convert(p.Cut.Width, "mm"))},
		{Text: quantity.Number(quantity.Convert(p.Cut.Depth, "mm"))},
		{Text: quantity.Number(quantity.Convert(p.Cut.Speed, "rpm"))},
		{Text: quantity.Number(quantity.Convert(p.Feed, "mm/min"))},
		{Figure: passFigures(book, b), Plain: true},
	})
	add := func(value sheet.Number, f sheet.Figure) build.Cell {
		f.Value, f.Unit, f.Log = value, "µm", b.Finisher.Log
		f.Source = "Schmitz Mann 2006"
		f.Notes = []string{fmt.Sprintf("%s deep at %s, the worst direction of feed and height",
			quantity.Print(p.Cut.Depth, "mm"), quantity.Print(p.Cut.Speed, "rpm"))}
		return build.Cell{Figure: targetBookOf(book, a).put(f), Plain: true}
	}
	var ends []float64
	result := "ok"
	for _, end := range p.Ends {
		ends = append(ends, end.Worst)
		if rank.More(end.Worst, accuracy) {
			result = "ok; exceeded at the bound"
		}
	}
	mode := "–"
	if p.Mode > 0 {
		mode = quantity.Number(p.Mode)
	}
	t.left.Rows = append(t.left.Rows, []build.Cell{
		{Text: a.Entry.Name},
		{Text: quantity.Number(quantity.Convert(p.Static.Climb, "µm"))},
		add(sheet.Plain(p.At.Error), sheet.Figure{
			ID:      "finish.error",
			Label:   "surface location error of the finish pass",
			Formula: "y = Σ G(kω) Fk e^{ikωt} at the moment when the edge makes the wall, less runout",
		}),
		add(sheet.Plain(p.At.Ripple), sheet.Figure{
			ID:      "finish.ripple",
			Label:   "ripple of the wall of the finish pass",
			Formula: "lower envelope of the cusps of all teeth, each off by its error and runout",
		}),
		add(sheet.Between(p.Around.Worst, ends...), sheet.Figure{
			ID:      "finish.largest",
			Label:   "largest deviation of the wall of the finish pass within ± " + quantity.Percent(machine.SpeedDoubt) + " of its speed",
			Formula: "error with ripple, over directions of feed, heights and speeds",
		}),
		{Text: quantity.Number(quantity.Convert(accuracy, "µm"))},
		{Text: result},
		{Text: vibrationOf(p)},
		{Text: mode},
	})
}

// vibrationOf is the frequency by which a finish pass moves the tool most, and what makes it.
func vibrationOf(p *cut.FinishPass) string {
	hz := quantity.Number(p.Harmonic * p.Cut.Speed * float64(p.Cut.Teeth))
	if p.Harmonic != math.Round(p.Harmonic) {
		return hz + ", runout"
	}
	return fmt.Sprintf("%s, %g × tooth passing", hz, p.Harmonic)
}

// refusedFinish says why no finish pass is proposed.
func refusedFinish(b *accuracy.Budget) string {
	a, p := b.Answer, b.Pass
	slow, fast := p.Speeds[0], p.Speeds[len(p.Speeds)-1]
	words := fmt.Sprintf("%s: no finish pass with the %s is proposed. At every speed from %s to %s and every depth down to %s it ",
		sentenceCase(a.Entry.Name), b.Finisher.Attempt.Cutter, quantity.Number(quantity.Convert(slow, "rpm")), quantity.Print(fast, "rpm"), quantity.Print(p.Least, "mm"))
	if p.Refusal == cut.FinishChatter {
		return words + "chatters."
	}
	words += fmt.Sprintf("chatters, or the part is more than %s off by its error budget, most of which may come from elsewhere. The nearest is %s deep at %s: "+
		"its own wall is %s off within ± %s of the speed, static error %s; vibration, Hz: %s",
		quantity.Print(b.Accuracy, "µm"), quantity.Print(p.Cut.Depth, "mm"), quantity.Print(p.Cut.Speed, "rpm"), quantity.Print(p.Around.Worst, "µm"),
		quantity.Percent(machine.SpeedDoubt), quantity.Print(p.Static.Climb, "µm"), vibrationOf(p))
	if p.Mode > 0 {
		words += ", nearest mode " + quantity.Number(p.Mode)
	}
	return words + "."
}

// finishPicture draws the wall of the finish pass over the speed, where the speed decides whether it
// is within the accuracy.
func finishPicture(b *accuracy.Budget) (build.Picture, bool) {
	a, p, accuracy := b.Answer, b.Pass, b.Accuracy
	left, removed := build.Curve{Name: "most left on"}, build.Curve{Name: "most removed", Dashed: true}
	holds, misses, top := false, false, 2.5*accuracy*1e6
	for i, n := range p.Speeds {
		w := p.Sweep[i]
		left.Points = append(left.Points, [2]float64{n * 60, math.Min(w.High*1e6, 100*top)})
		removed.Points = append(removed.Points, [2]float64{n * 60, math.Max(w.Low*1e6, -100*top)})
		off := rank.More(w.Worst, accuracy)
		holds, misses = holds || !off, misses || off
	}
	if !holds || !misses || p.Refusal == cut.FinishChatter {
		return build.Picture{}, false
	}
	from, to := p.Speeds[0]*60, p.Speeds[len(p.Speeds)-1]*60
	limit, gap := accuracy*1e6, math.NaN()
	bounds := build.Curve{Name: "accuracy", Dashed: true, Points: [][2]float64{{from, limit}, {to, limit}, {to, gap}, {from, -limit}, {to, -limit}}}
	words := "chosen speed"
	if p.Refusal != "" {
		words = "nearest"
	}
	off := p.At.High
	if -p.At.Low > off {
		off = p.At.Low
	}
	return build.Picture{
		ID:    "finish-" + spec.IDWord(a.Entry.Name),
		Title: "Finish pass: " + a.Entry.Name,
		Half:  true,
		Drawing: build.Chart{
			X:       build.AxisSpec{Label: "spindle speed, rpm", Min: from, Max: to},
			Y:       build.AxisSpec{Label: "deviation of the wall, µm", Min: -top, Max: top},
			Curves:  []build.Curve{left, removed, bounds},
			Markers: []build.Marker{{Label: words, X: p.Cut.Speed * 60, Y: off * 1e6}},
		},
		Caption: fmt.Sprintf("%s deep, %s wide with the %s, the worst direction of feed. Above zero material is left on the wall. "+
			"The peaks are resonances: a harmonic of the tooth passing, or of the runout, meets a mode.",
			quantity.Print(p.Cut.Depth, "mm"), quantity.Print(p.Cut.Width, "mm"), b.Finisher.Attempt.Cutter),
	}, true
}

// blocks are the text and the tables.
func (t *finishTables) blocks() (list []build.Block) {
	if len(t.set.Rows)+len(t.none) == 0 {
		return nil
	}
	list = append(list, build.Text("A positive wall error leaves material on the wall, a negative one removes too much. "+
		"The static error is that of a force at rest; error and ripple are by forced vibration, in the worst direction of feed. "+
		"The speed and depth are those of the highest removal rate at which the cut is stable, "+
		"by zero-order and by several frequencies as so narrow a cut needs, and the part within the accuracy by its error budget, "+
		"both everywhere within ± "+quantity.Percent(machine.SpeedDoubt)+" of the speed. "+
		"A result exceeded at the bound is within the accuracy with every uncertain value in its middle, and not with all at their worse end. "+
		"Ra is by the cusps of feed, runout and vibration, with a sharp edge: a lower bound."))
	if len(t.set.Rows) > 0 {
		list = append(list, t.set, t.left)
	}
	if len(t.none) > 0 {
		list = append(list, t.none)
	}
	return list
}
