package verdict

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/chatter"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Chatter: up to which depth is each cut stable?
var Chatter = sheet.Sheet{Name: "chatter", Needs: sheet.ATool | sheet.ACut, Write: chatterSheet}

// chatterSheet says where each target's best cut stands against the machine's own
// vibration.
func chatterSheet(book *sheet.Book) error {
	table := build.Table{Caption: "Stability of each best cut, worst direction of feed", Columns: []build.Column{
		{Head: "target"},
		{Head: "depth, mm", Right: true},
		{Head: "limit at any speed, mm", Right: true},
		{Head: "limit within ± " + quantity.Percent(machine.SpeedDoubt) + ", mm", Right: true},
		{Head: "set by"},
		{Head: "result"},
		{Head: "chatter at, Hz", Right: true},
		{Head: "mode"},
	}}
	var said build.List
	var pictures []build.Block
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		if a.Point() == nil {
			continue
		}
		table.Rows = append(table.Rows, chatterRow(book, a))
		listChatter(book, a)
		restsOnLobe(book, a)
		said = append(said, stableWords(book, a)...)
		if len(a.ModeShares) > 0 {
			sayMode(book, a)
		}
		for _, draw := range []func(*sheet.Book, *cut.Answer) (build.Picture, bool, error){lobePicture, receptancePicture} {
			p, ok, err := draw(book, a)
			if err != nil {
				return err
			}
			if ok {
				pictures = append(pictures, p)
			}
		}
	}
	where := book.Model.PoseWords(book.Worst.Pose)
	for i, p := range book.Held[1:] {
		if i == len(book.Held)-2 {
			where += " and at " + book.Model.PoseWords(p.Pose)
			break
		}
		where += ", at " + book.Model.PoseWords(p.Pose)
	}
	blocks := []build.Block{
		build.Text("A cut deeper than its stability limit chatters and spoils the finish. " +
			"The depths in this report are at most " + quantity.Percent(machine.StableShare) + " of the limit, " +
			"at the worst speed within ± " + quantity.Percent(machine.SpeedDoubt) + " of the one stated."),
		build.Text(fmt.Sprintf("The limits are computed from the receptance at the tool tip up to %s: frame, spindle, holder, collet and cutter together, "+
			"in the worst direction of feed, with the axes at %s. A cut below the limit at any speed is stable at every speed; between the lobes a deeper cut is. "+
			"Above %s the modes of the frame are not known one by one and are averaged over a band, up to ± %s of the frequency. "+
			"Damping is an estimate: the lower bound takes its low end.",
			quantity.Measure(machine.HighestChatter, "Hz"), where, quantity.Measure(machine.AveragedFrom, "Hz"), quantity.Percent(machine.AveragedShare))),
		build.Text("The best cut is held against chatter by several frequencies too, in the first two of these positions, which sees the short blows of few teeth: " +
			"a flip is a vibration that changes its sign from tooth to tooth, any other a Hopf. The lower limit counts. " +
			"Process damping by the flank is included where the material has a coefficient. " + runoutWords(book)),
		table,
		said,
	}
	blocks = append(blocks, pictures...)
	if t := toothPassingTable(book); len(t.Rows) > 0 {
		blocks = append(blocks, build.Text("Near resonance the depth is still below its stability limit, but a wall may come out rippled: try another speed. "+
			"Far above the modes of the frame, the modes of the cutter and the spindle are excited instead."), t)
	}
	book.Sheet("chatter", "Stability (chatter)", blocks...)
	return nil
}

// chatterRow words one target's limits.
func chatterRow(book *sheet.Book, a *cut.Answer) []build.Cell {
	stability := &a.Stability
	near := sheet.Figure{
		ID:    "limit_depth",
		Label: "stability limit of the depth of cut within ± " + quantity.Percent(machine.SpeedDoubt) + " of its speed",
		Formula: "least a = −(2π Λr/(N Kt))(1 + κ²), κ = Λi/Λr, over the lobes that pass within that of the speed, " +
			"Λ of the oriented receptance at the tool tip",
		Source: "Altintas Budak 1995; Ewins 2000",
	}
	if stability.Kind != chatter.Never {
		near.Formula = "least a with det[I + a (1 − e^(−2πiν)) A(s−r) G(r)] = 0 over the harmonics r and s of the tooth-passing frequency, " +
			"A the Fourier series of the directional factors, G the receptance at the tool tip"
		near.Source = "Budak Altintas 1998; Merdol Altintas 2004"
	}
	atSpeed := limitCell(book, a, func(s *cut.Stability) float64 { return s.At.Depth }, near)
	atAny := limitCell(book, a, func(s *cut.Stability) float64 { return s.Any.Depth }, sheet.Figure{
		ID:    "stable_depth",
		Label: "stability limit of the depth of cut at any speed",
		Formula: "least a = −(2π Λr/(N Kt))(1 + κ²), κ = Λi/Λr, over frequency and direction of feed, " +
			"Λ of the oriented receptance at the tool tip",
		Source: "Altintas Budak 1995; Ewins 2000",
	})
	hz, mode := "–", "–"
	if stability.Hz > 0 {
		hz = quantity.Number(stability.Hz)
		mode = book.LargestName(stability.Largest)
	}
	result := "ok"
	if rank.More(a.Point().Cut.Depth, stability.At.Depth) {
		result = build.Bold("exceeded")
	}
	return []build.Cell{
		{Text: a.Entry.Name},
		{Figure: targetID(a.Entry) + "depth", Plain: true},
		atAny,
		atSpeed,
		{Text: decidedBy(stability)},
		{Text: result},
		{Text: hz},
		{Text: mode},
	}
}

// decidedBy says by which method a limit near the speed is the lowest, and how the cut
// begins to chatter there.
func decidedBy(s *cut.Stability) string {
	switch s.Kind {
	case chatter.Hopf:
		return "several frequencies, Hopf"
	case chatter.Flip:
		return "several frequencies, flip"
	}
	if math.IsInf(s.At.Depth, 0) {
		return "–"
	}
	return "zero order"
}

// runoutWords says by how much runout thickens the chip of the foremost tooth.
func runoutWords(book *sheet.Book) string {
	words := ""
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		if p := a.Point(); p != nil {
			words = fmt.Sprintf("Runout gives the foremost tooth a thicker chip: for %s %s in place of %s. The mean chip, and with it the stability limit, stays.",
				a.Entry.Name, quantity.Print(a.Taken.Chip, "mm"), quantity.Print(p.ChipThickness, "mm"))
			break
		}
	}
	return words
}

// limitCell adds a limit of chatter, and prints it where the flutes reach it.
func limitCell(book *sheet.Book, a *cut.Answer, of func(*cut.Stability) float64, f sheet.Figure) build.Cell {
	limit, least, most := of(&a.Stability), of(&a.StabilityEnds[0]), of(&a.StabilityEnds[1])
	over := "over " + quantity.Number(quantity.Convert(fluteLength(a), "mm"))
	switch {
	case math.IsInf(limit, 0) && least < fluteLength(a):
		return build.Cell{Text: over + "; " + quantity.Number(quantity.Convert(least, "mm")) + " at the worse end"}
	case math.IsInf(limit, 0) || math.IsInf(least, 0):
		return build.Cell{Text: over}
	}
	if math.IsInf(most, 0) { // nothing chatters with every uncertain value at its better end
		most = limit
	}
	f.ID = targetID(a.Entry) + f.ID
	f.Label += ", target " + a.Entry.Name
	f.Value, f.Unit = sheet.Between(limit, least, most), "mm"
	f.From, f.Log = []string{"mode.1.frequency", "mode.1.damping"}, spec.Over(a.Best().Log)
	f.Notes = []string{
		cuttingStiffness(a),
		"zero order, or several frequencies where these give a lower limit within the range of speed",
		"the lower bound takes every stiffness and every loss factor at its low end",
	}
	cell := book.Cell(f)
	if stableToFlutes(a, of) {
		return build.Cell{Text: over}
	}
	return cell
}

// cuttingStiffness says the force coefficients and the arc of cut of a stability limit.
func cuttingStiffness(a *cut.Answer) string {
	c, err := a.Best().Input.StabilityCut(a.Point())
	if err != nil {
		return "" // the limit itself would have been refused
	}
	return fmt.Sprintf("Kt = %s, the specific force at the mean chip; Kr = %s, radial over tangential; "+
		"N = %d, the teeth of the %s, in the cut from %s° to %s° from the normal to the feed",
		quantity.Print(c.Tangential, "MPa"), quantity.Number(c.Radial),
		c.Teeth, a.Best().Cutter, quantity.Number(c.Entry*180/math.Pi), quantity.Number(c.Exit*180/math.Pi))
}

// listChatter adds chatter to the limits of a target that something else stops
// sooner.
func listChatter(book *sheet.Book, a *cut.Answer) {
	t := book.Target(a)
	listed := slices.ContainsFunc(t.Limits, func(l build.Limit) bool { return l.Name == string(reach.Chatter) })
	if math.IsInf(a.Stability.At.Depth, 0) || listed {
		return
	}
	allowed := cut.Allowed(a.Stability.At)
	depth := quantity.Convert(allowed, "mm")
	at := slices.IndexFunc(t.Limits, func(l build.Limit) bool { return l.Depth == 0 || l.Depth > depth })
	if at < 0 {
		at = len(t.Limits)
	}
	t.Limits = slices.Insert(t.Limits, at, loadLimit(reach.Load{
		Limit: reach.Chatter,
		Depth: allowed,
		Need:  a.Point().Cut.Depth,
		Have:  allowed,
		Unit:  "m",
	}))
}

// restsOnLobe says which verdict depends on a stable pocket between lobes whose modes
// are not known so well.
func restsOnLobe(book *sheet.Book, a *cut.Answer) {
	if !a.OnLobe() {
		return
	}
	severity := build.SeverityNote
	if a.Entry.Item.Ambition.Text == "must" {
		severity = build.SeverityCaution
	}
	book.Find(build.Finding{
		Rule:     "rests-on-lobe",
		Severity: severity,
		At:       build.Place(a.Entry.At),
		Figures:  []string{targetID(a.Entry) + "depth"},
		Message: fmt.Sprintf("%s: roughing with %s depends on a stable pocket between lobes at %s: depth needed %s, limit %s if the modes are %s higher or lower than computed, "+
			"limit at any speed %s. A change to the frame moves the pocket. "+
			"Find it at the machine: increase the depth step by step, and change the speed where the cut chatters",
			a.Entry.Name, a.Best().Grade, quantity.Print(a.Point().Cut.Speed, "rpm"), quantity.Print(a.RequiredDepth(), "mm"),
			quantity.Print(cut.Allowed(a.Stability.Shifted), "mm"), quantity.Percent(cut.ModeUncertainty), quantity.Print(cut.Allowed(a.Stability.Any), "mm")),
	})
}

// sayMode says in a target's answer which mode chatters, and what to do about it.
func sayMode(book *sheet.Book, a *cut.Answer) {
	t := book.Target(a)
	t.Dominant = a.ModeShares[0].Name
	if t.Decides == "finishing" {
		return
	}
	roughing, finishing, both := strings.Cut(t.Limiting, "; "+build.FinishingMark)
	t.Limiting = roughing + "; " + book.ModeWords(a.Stability.Largest, a.Stability.Hz)
	if both {
		t.Limiting += "; " + build.FinishingMark + finishing
	}
}

// lobePicture draws the limiting depth of a target's cut against the speed.
func lobePicture(book *sheet.Book, a *cut.Answer) (build.Picture, bool, error) {
	if !book.Reports {
		return build.Picture{}, false, nil
	}
	lobes, err := a.Lobes(book.Solution)
	if err != nil {
		return build.Picture{}, false, &machine.Refused{Rule: "chatter", At: a.Entry.At, Message: err.Error()}
	}
	p, best := a.Point(), a.Best()
	depth := p.Cut.Depth * 1e3
	top := lobeTop(depth, &a.Stability)
	seen := false
	// Where no mode sets a limit a line leaves the picture at its top.
	line := func(depths []float64) (points [][2]float64) {
		for i, n := range lobes.Speeds {
			points = append(points, [2]float64{n * 60, math.Min(depths[i]*1e3, 100*top)})
			seen = seen || depths[i]*1e3 < top
		}
		return points
	}
	exact := build.Curve{Name: "stability limit", Points: line(lobes.Limit)}
	safe := build.Curve{Name: "limit used", Dashed: true, Points: line(lobes.Used)}
	if !seen { // stable at every depth and speed that it could be run at
		return build.Picture{}, false, nil
	}
	chart := build.Chart{
		X:       lobeSpeeds(book, exact.Points),
		Y:       build.AxisSpec{Label: "depth of cut, mm", Max: top},
		Bands:   []build.Band{{Name: "range of the limit", Low: line(lobes.Ends[0]), High: line(lobes.Ends[1])}},
		Curves:  []build.Curve{exact, safe},
		Markers: []build.Marker{{Label: "the cut", X: p.Cut.Speed * 60, Y: depth, Spread: machine.SpeedDoubt * p.Cut.Speed * 60}},
	}
	if any := a.Stability.Any.Depth; !math.IsInf(any, 0) {
		ends := exact.Points
		chart.Curves = append(chart.Curves, build.Curve{
			Name: "stable at any speed", Dashed: true, Points: [][2]float64{{ends[0][0], any * 1e3}, {ends[len(ends)-1][0], any * 1e3}},
		})
	}
	return build.Picture{
		ID:      "lobes-" + spec.IDWord(a.Entry.Name),
		Title:   "Stability lobes: " + a.Entry.Name,
		Half:    true,
		Drawing: chart,
		Caption: fmt.Sprintf("%s in %s with the %s, %s wide. The cut is stable below the line, over the uncertainty below the shade. "+
			"This report uses the dashed line, %s of the lowest limit within ± %s of the speed, the bar at the cut.",
			sentenceCase(best.Operation), a.Entry.Item.Material.Text, best.Cutter, quantity.Print(p.Cut.Width, "mm"),
			quantity.Percent(machine.StableShare), quantity.Percent(machine.SpeedDoubt)),
	}, true, nil
}

// lobeSpeeds is the axis of a lobe picture: as far as the curve goes, and no farther
// than the spindle does.
func lobeSpeeds(book *sheet.Book, curve [][2]float64) build.AxisSpec {
	spindle := book.Cuts.Spindle
	return build.AxisSpec{
		Label: "spindle speed, rpm",
		Min:   math.Max(curve[0][0], spindle[0].Speed*60),
		Max:   math.Min(curve[len(curve)-1][0], spindle[len(spindle)-1].Speed*60),
	}
}

// lobeTop is the top of a lobe picture [mm]: above the cut, and above the lowest
// lobes.
func lobeTop(depth float64, s *cut.Stability) float64 {
	top := 2 * depth
	if !math.IsInf(s.Any.Depth, 0) {
		top = math.Max(top, 3*s.Any.Depth*1e3)
	}
	return top
}

// toothPassingTable is the tooth-passing frequency of each target's best cut, and the
// mode nearest to it.
func toothPassingTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Tooth-passing frequency", Columns: []build.Column{
		{Head: "target"},
		{Head: "tooth passing, Hz", Right: true},
		{Head: "nearest mode, Hz", Right: true},
		{Head: "result"},
	}}
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		if a.Point() == nil {
			continue
		}
		passing, result := a.ToothPassing, "ok"
		switch {
		case passing.Above:
			result = "far above"
		case passing.Close:
			result = build.Bold("near resonance")
		}
		t.Rows = append(t.Rows, []build.Cell{
			{Text: a.Entry.Name},
			{Text: quantity.Number(passing.Hz)},
			{Text: quantity.Number(passing.ModeHz)},
			{Text: result},
		})
	}
	return t
}
