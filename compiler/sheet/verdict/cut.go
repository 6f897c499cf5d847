package verdict

import (
	"fmt"
	"math"
	"slices"

	"ironbed/compiler/build"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Cuts: how is it cut, at the machine?
var Cuts = sheet.Sheet{Name: "cuts", Needs: sheet.ACut, Write: cutSheet}

// cutSheet makes the sheet for the machinist: how to start each cut, what a finish
// pass leaves, where on the bed to cut, and the limits as pictures.
func cutSheet(book *sheet.Book) error {
	first, where := firstTable(), placeTable()
	finish := finishTables{set: finishSettings(), left: finishWalls()}
	var coolants build.List
	var pictures []build.Block
	if p, ok := spindlePicture(book); ok {
		pictures = append(pictures, p)
	}
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		if a.Point() == nil {
			continue
		}
		first.Rows = append(first.Rows, firstCut(book, a))
		if w := book.Spec.WorkMaterial(a.Entry.Item.Material.Text); w != nil && w.Coolant.Text != "" {
			coolants = append(coolants, fmt.Sprintf("Coolant, %s: %s.", a.Entry.Name, w.Coolant.Text))
		}
		finish.add(book, book.Accuracy.List[i])
		row, err := bestPlace(book, a)
		if err != nil {
			return err
		}
		if row != nil {
			where.Rows = append(where.Rows, row)
		}
		p, ok, err := regionPicture(book, a)
		if err != nil {
			return err
		}
		if ok {
			pictures = append(pictures, p)
		}
	}
	blocks := []build.Block{
		build.Text(fmt.Sprintf("Start at %s of the computed depth, or at the stable depth with every uncertain value at its worse end, if that is less. "+
			"Listen, and increase the depth step by step. "+
			"The clamping force is for the full depth, the sum over all clamps, for a friction coefficient of %g and a safety factor of %g, where friction alone holds the workpiece; "+
			"a stop on the bed is better. Ask the maker for the maximum speed of a cutter that has none in the spec.",
			quantity.Percent(cut.FirstShare), float64(cut.ClampFriction), float64(cut.ClampSafety))),
		first,
		coolants,
	}
	if holes := holes(book); len(holes.Rows) > 0 {
		blocks = append(blocks, build.Text("Thrust is the middle of handbook values, which differ by a factor of two. "+
			"It rises as the point breaks through: support thin workpieces. Clear the chips of a hole deeper than three diameters."), holes)
	}
	blocks = append(blocks, finish.blocks()...)
	if len(where.Rows) > 0 {
		blocks = append(blocks, build.Text("The machine is stiffest at "+book.Model.PoseWords(book.Stiffest.Pose)+
			". The greatest depth of the same operation, at a lower removal rate, in that position and in the least stiff one:"), where)
	}
	book.Sheet("cuts", "At the machine", append(append(blocks, pictures...), finish.pictures...)...)
	return nil
}

func firstTable() build.Table {
	return build.Table{Caption: "First cuts", Columns: []build.Column{
		{Head: "target"},
		{Head: "cut"},
		{Head: "depth, mm", Right: true},
		{Head: "width, mm", Right: true},
		{Head: "rpm", Right: true},
		{Head: "mm/min", Right: true},
		{Head: "clamping, N", Right: true},
		{Head: "cutter rating"},
	}}
}

// firstCut is the first cut of a target.
func firstCut(book *sheet.Book, a *cut.Answer) []build.Cell {
	p, best := a.Point(), a.Best()
	t := targetBookOf(book, a)
	depth := build.Cell{Text: "–"}
	if book.Chances != nil { // else no more is explained than rests on none
		depth = build.Cell{Figure: t.put(sheet.Figure{
			ID:      "first_depth",
			Label:   "depth of a first cut",
			Value:   sheet.Plain(book.FirstDepth(a)),
			Unit:    "mm",
			Formula: "half of the depth found, and no deeper than is stable on 95 of 100 machines drawn",
			Source:  "common practice",
			From:    []string{"depth"},
		}), Plain: true}
	}
	clamp := t.add(func(c *cut.Taken) float64 { return c.Clamp }, sheet.Figure{
		ID:      "clamp",
		Label:   "clamping force",
		Unit:    "N",
		Formula: "S (F/μ + Fa), S = 2, μ = 0.2",
		Source:  "common practice",
		From:    []string{"force", "thrust"},
	})
	rating := "ask the maker"
	if cutter := book.Spec.Cutters.Find(best.Cutter); cutter.MaxSpeed.Given {
		rating = cutter.MaxSpeed.Text
	}
	return []build.Cell{
		{Text: a.Entry.Name},
		{Text: best.Operation + ", " + best.Cutter},
		depth,
		{Text: quantity.Number(quantity.Convert(p.Cut.Width, "mm"))},
		{Text: quantity.Number(quantity.Convert(p.Cut.Speed, "rpm"))},
		{Text: quantity.Number(quantity.Convert(p.Feed, "mm/min"))},
		{Figure: clamp, Plain: true},
		{Text: rating},
	}
}

// holes is the table of the loads of each drill in each target's material.
func holes(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Holes", Columns: []build.Column{
		{Head: "target"},
		{Head: "drill"},
		{Head: "rpm", Right: true},
		{Head: "mm/min", Right: true},
		{Head: "torque, N·m", Right: true},
		{Head: "limit, N·m", Right: true},
		{Head: "thrust, N", Right: true},
		{Head: "limit, N", Right: true},
		{Head: "result"},
	}}
	for i := range book.Cuts.Holes {
		t.Rows = append(t.Rows, holeRow(book, &book.Cuts.Holes[i]))
	}
	return t
}

// holeLimits are the loads of a drill that may exceed a limit, in words.
var holeLimits = map[reach.Limit]string{
	reach.SpindleTorque: "spindle torque",
	reach.AxisThrust:    "axis thrust",
	reach.Bearings:      "axial load of the spindle bearings",
	reach.SpindleSpeed:  "cutting speed",
}

// holeRow words one drill in one material.
func holeRow(book *sheet.Book, h *cut.Hole) []build.Cell {
	target, drill := &h.Target.Item, h.Drill.Name
	id := targetID(h.Target) + "hole." + spec.IDWord(drill) + "."
	torque := book.Add(sheet.Figure{
		ID:      id + "torque",
		Label:   "torque of " + drill + " in " + target.Material.Text,
		Value:   sheet.Between(h.Torque, h.Torques.Min, h.Torques.Max),
		Unit:    "N·m",
		Formula: "M = kc f D²/8",
		Source:  "Dietrich Tschaetsch 2014",
		Log:     h.Log,
	})
	thrust := book.Add(sheet.Figure{
		ID:      id + "thrust",
		Label:   "thrust of " + drill + " in " + target.Material.Text,
		Value:   sheet.Between(h.Thrust, h.Thrusts.Min, h.Thrusts.Max),
		Unit:    "N",
		Formula: "F = x z Fc sin(σ/2), x = 0.5 to 1",
		Source:  "Dietrich Tschaetsch 2014; from memory",
		Log:     h.Log,
	})
	result := "ok"
	if limit := holeLimits[h.LimitedBy]; limit != "" {
		result = build.Bold(limit + " exceeded")
		if target.Ambition.Text != "hope" {
			book.Find(build.Finding{
				Rule:     "drilling",
				Severity: build.SeverityCaution,
				At:       build.Place(h.Drill.At),
				Figures:  []string{torque, thrust},
				Message: fmt.Sprintf("%s: %s exceeded with %s: torque %s, limit %s; thrust %s, limit %s; "+
					"drill a smaller hole first, or fit a screw of lower lead, a reduction, a stronger motor, or a slower spindle",
					h.Target.Name, limit, drill, quantity.Print(h.Torque, "N·m"), quantity.Print(h.HasTorque, "N·m"),
					quantity.Print(h.Thrust, "N"), quantity.Print(h.HasThrust, "N")),
			})
		}
	}
	return []build.Cell{
		{Text: h.Target.Name},
		{Text: drill},
		{Text: quantity.Number(quantity.Convert(h.Speed, "rpm"))},
		{Text: quantity.Number(quantity.Convert(h.Feed, "mm/min"))},
		{Figure: torque, Plain: true},
		{Text: quantity.Number(h.HasTorque)},
		{Figure: thrust, Plain: true},
		{Text: quantity.Number(h.HasThrust)},
		{Text: result},
	}
}

func placeTable() build.Table {
	return build.Table{Caption: "Greatest depth by position on the bed", Columns: []build.Column{
		{Head: "target"},
		{Head: "least stiff, mm", Right: true},
		{Head: "stiffest, mm", Right: true},
	}}
}

// bestPlace compares the deepest cut in the least stiff and in the stiffest pose.
func bestPlace(book *sheet.Book, a *cut.Answer) ([]build.Cell, error) {
	best := a.Best()
	if !book.Reports || book.Stiffest == book.Worst || best.Best.Deepest == nil {
		return nil, nil
	}
	there, err := book.Cuts.AtStiffest(book.Solution, a)
	if err != nil || there == nil {
		return nil, err
	}
	return []build.Cell{
		{Text: a.Entry.Name},
		{Text: quantity.Number(quantity.Convert(best.Best.Deepest.Cut.Depth, "mm"))},
		{Text: quantity.Number(quantity.Convert(there.Cut.Depth, "mm"))},
	}, nil
}

// regionPicture draws the depth that each limit allows against the width of cut.
func regionPicture(book *sheet.Book, a *cut.Answer) (build.Picture, bool, error) {
	if !book.Reports {
		return build.Picture{}, false, nil
	}
	p, best := a.Point(), a.Best()
	region, err := a.Region()
	if err != nil {
		return build.Picture{}, false, &machine.Refused{Rule: "reach", At: a.Entry.At, Message: err.Error()}
	}
	depth := p.Cut.Depth * 1e3
	top := 2.2 * depth
	for _, r := range region {
		if r.Width > p.Cut.Width*0.99 {
			top = math.Max(top, 1.4*r.Depth*1e3)
		}
	}
	lines := limitLines(region)
	chart := build.Chart{
		X:       build.AxisSpec{Label: "width of cut, mm", Min: 0, Max: best.Input.Cutter.Diameter * 1e3},
		Y:       build.AxisSpec{Label: "depth of cut, mm"},
		Markers: []build.Marker{{Label: "the cut", X: p.Cut.Width * 1e3, Y: depth}},
	}
	// The next limits too, as far as they are not far above.
	for n, l := range lines {
		if n < 3 && l.lowest < 5*depth {
			top = math.Max(top, 1.2*l.lowest)
		}
	}
	chart.Y.Max = top
	for _, l := range lines {
		if l.lowest < top && len(chart.Curves) < 5 {
			l.Dashed = len(chart.Curves)%2 == 1
			chart.Curves = append(chart.Curves, l.Curve)
		}
	}
	if len(chart.Curves) == 0 {
		return build.Picture{}, false, nil
	}
	words := fmt.Sprintf("%s in %s with the %s at %s. Cuts below every line are within all limits. "+
		"Beyond the end of a line its limit does not apply. "+
		"A narrow cut is fed faster, at the same chip thickness.", sentenceCase(best.Operation), a.Entry.Item.Material.Text, best.Cutter, quantity.Print(p.Cut.Speed, "rpm"))
	if p.Limit == reach.ChipEvacuation {
		words += fmt.Sprintf(" At the full width, chip evacuation limits the depth to %s.", quantity.Print(p.Cut.Depth, "mm"))
	}
	return build.Picture{
		ID:      "reach-" + spec.IDWord(a.Entry.Name),
		Title:   "What limits the cut: " + a.Entry.Name,
		Half:    true,
		Drawing: chart,
		Caption: words,
	}, true, nil
}

// A limitLine is the depth that a limit allows over the width of cut, in mm.
type limitLine struct {
	build.Curve
	lowest float64 // its lowest point [mm]
}

// limitLines are the limits of a region, the lowest first.
func limitLines(region []reach.RegionPoint) (list []limitLine) {
	for i, r := range region {
		for _, load := range r.Loads {
			if load.Endless {
				continue
			}
			name := limitName(load.Limit, load.Axis)
			n := slices.IndexFunc(list, func(l limitLine) bool { return l.Name == name })
			if n < 0 {
				n = len(list)
				list = append(list, limitLine{build.Curve{Name: name}, math.Inf(1)})
				for _, r := range region {
					list[n].Points = append(list[n].Points, [2]float64{r.Width * 1e3, math.NaN()})
				}
			}
			list[n].Points[i][1] = load.Depth * 1e3
			list[n].lowest = math.Min(list[n].lowest, load.Depth*1e3)
		}
	}
	rank.By(list, func(l limitLine) float64 { return -l.lowest })
	return list
}

// spindlePicture draws the spindle's torque over its speed, with the mean torque of each
// target's cut.
func spindlePicture(book *sheet.Book) (build.Picture, bool) {
	has := build.Curve{Name: "available"}
	for _, p := range book.Cuts.Spindle {
		has.Points = append(has.Points, [2]float64{p.Speed * 60, p.Torque})
	}
	if len(has.Points) < 2 {
		return build.Picture{}, false
	}
	most := 0.0
	for _, p := range has.Points {
		most = math.Max(most, p[1])
	}
	chart := build.Chart{
		X:      build.AxisSpec{Label: "spindle speed, rpm", Min: 0, Max: has.Points[len(has.Points)-1][0]},
		Y:      build.AxisSpec{Label: "torque, N·m", Max: 1.25 * most},
		Curves: []build.Curve{has},
	}
	for i := range book.Cuts.List {
		if p := book.Cuts.List[i].Point(); p != nil {
			chart.Markers = append(chart.Markers, build.Marker{Label: book.Cuts.List[i].Entry.Name, X: p.Cut.Speed * 60, Y: p.Torque})
		}
	}
	return build.Picture{ID: "spindle", Title: "Torque at the spindle", Half: true, Drawing: chart,
		Caption: "Torque available at the spindle over its speed, and the mean torque of each target's best cut."}, true
}
