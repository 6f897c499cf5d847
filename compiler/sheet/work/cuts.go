package work

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// FirstCuts: how are the first cuts made?
var FirstCuts = sheet.Sheet{Name: "first cuts", Needs: sheet.ATool | sheet.ACut, Forms: sheet.ReportOnly, Write: firstCutSheet}

// firstCutSheet writes a ladder of cuts from the softest material to the hardest, and what to do when one chatters.
func firstCutSheet(book *sheet.Book) error {
	list, without := ladder(book)
	blocks := before(
		"The acceptance card is signed: push and taps are within their ranges.",
		"The workpiece is clamped as the table says, on what may be cut into; the cutter is sharp and runs true.",
		"Extraction or coolant runs; someone is within call, the emergency stop within reach.")
	blocks = append(blocks, caution("cutters break and workpieces come loose in first cuts. Guards shut, eyes and ears covered, sleeves and hair tied, no gloves near a spindle that turns; "+
		"chips away by brush, spindle at rest."))
	if len(list) > 1 {
		blocks = append(blocks, caution("sparks and hot chips set dust on fire, hours later, too. Clear the machine and the extractor of one material's dust before the next."))
	}
	set := build.Table{Caption: "Set up, from soft materials to hard", Columns: []build.Column{{Head: "cut"}, {Head: "with"}, {Head: "width, mm", Right: true}, {Head: "rpm", Right: true}, {Head: "feed, mm/min", Right: true},
		{Head: "clamped with, N", Right: true}}}
	steps := build.Table{Caption: "Ladder", Columns: []build.Column{{Head: "step", Right: true}, {Head: "cut"}, {Head: "depth, mm", Right: true}, {Head: "sound"}, {Head: "surface"}, {Head: "go on, signed"}}}
	steps.Rows = append(steps.Rows, []build.Cell{text("0"), text("in the air, 5 min at each speed"), text("–"), {}, {}, {}})
	var coolants build.List
	for _, a := range list {
		id, name := cutID(a), a.Entry.Name
		set.Rows = append(set.Rows, []build.Cell{text("%s", name), text("%s, %s", a.Best().Operation, a.Best().Cutter), {Figure: id + "width", Plain: true}, {Figure: id + "speed", Plain: true},
			{Figure: id + "feed", Plain: true}, {Figure: id + "clamp", Plain: true}})
		for _, depth := range []build.Cell{{Figure: id + "first_depth", Plain: true}, between(book, a), {Figure: id + "depth", Plain: true}} {
			steps.Rows = append(steps.Rows, []build.Cell{text("%d", len(steps.Rows)), text("%s", name), depth, {}, {}, {}})
		}
		if w := book.Spec.WorkMaterial(a.Entry.Item.Material.Text); w != nil && w.Coolant.Text != "" {
			coolants = append(coolants, fmt.Sprintf("%s: %s.", name, w.Coolant.Text))
		}
	}
	blocks = append(blocks, set, coolants, build.Text("The same feed and speed at every step; only the depth grows. Each is a straight line of 100 mm or more, where the machine is stiffest, "+
		book.Model.PoseWords(book.Stiffest.Pose)+"; then once more where it is least stiff, "+book.Model.PoseWords(book.Worst.Pose)+", before you rely on it there."),
		steps, build.Text(build.Bold("Stop after each step,")+" spindle at rest: surface even, chips alike, clamp tight, spindle and motors not too hot for a hand? "+
			"Then the next. A depth whose range begins below the one before is not sure to be stable: go there in steps of a tenth."), build.List{
			"A hum at the teeth's frequency is cutting. A tone that is not a multiple of it, and stays as the feed changes, is chatter: stop.",
			"A groan as an axis turns back is lost motion or friction, not chatter.",
			"A chip that turns blue, smoke of wood, or a squeal at a light cut is a blunt cutter, or too little feed for the speed: never take the feed back for it.",
			"A knock once a turn is one tooth that cuts for all: runout. Take the cutter out, wipe collet and taper, and set it again.",
		})
	chatters, err := chatterTable(book, list)
	if err != nil {
		return err
	}
	if len(chatters.Rows) > 0 {
		blocks = append(blocks, chatters, build.Text("Record the sound and read the tone's frequency f from a spectrum on a telephone. Speeds between the lobes are n = 60 f/(k N), N the teeth, k = 1, 2, 3 and so on: "+
			"take the next one below or above, and change the feed in proportion. The table has them for the computed frequency; the one that you hear is better. "+
			"Where it has none, the speed does not help: lobes too close together, or outside of what spindle, cutter and material take."), build.List{
			"First back to the last depth that was stable: the only move that always helps. Then the speed.",
			"Then narrower, elsewhere in the travel, a shorter stick-out, fewer teeth or teeth of unequal pitch. Then half of the speed at the same feed per tooth: the flank damps; common practice.",
			"The table's tone is the part named there; another is not in the model: tap what may be loose.",
		})
	}
	if len(without) > 0 {
		blocks = append(blocks, build.Text("Not on the ladder, since no cut is within every limit: "+strings.Join(without, ", ")+"."))
	}
	book.WorkSheet("first-cuts", "First cuts", append(blocks, holdPoint("each step is signed; where it stopped, and what was heard, is written beside it"))...)
	return nil
}

// cutID is how the figures of a target's cut begin.
func cutID(a *cut.Answer) string { return "target." + spec.IDWord(a.Entry.Name) + "." }

// ladder is the answers that have a cut, from the material that takes the least force on a chip to the one that takes most, and the
// names of those that have none.
func ladder(book *sheet.Book) (list []*cut.Answer, without []string) {
	for i := range book.Cuts.List {
		if a := &book.Cuts.List[i]; a.Point() != nil {
			list = append(list, a)
		} else {
			without = append(without, a.Entry.Name)
		}
	}
	slices.SortStableFunc(list, func(a, b *cut.Answer) int {
		switch a, b := a.Taken.SpecificForce, b.Taken.SpecificForce; {
		case a < b*(1-1e-9):
			return -1
		case b < a*(1-1e-9):
			return 1
		}
		return 0
	})
	return list, without
}

// between is the step between the first and the full depth, by as much above the one as the other is above it.
func between(book *sheet.Book, a *cut.Answer) build.Cell {
	return book.Cell(sheet.Figure{ID: cutID(a) + "ladder.depth", Label: "depth of the cut between the first and the full one, target " + a.Entry.Name,
		Value: sheet.Plain(math.Sqrt(book.FirstDepth(a) * a.Point().Cut.Depth)), Unit: "mm", Formula: "√(a₁ a), a₁ the first depth, a the full one", Source: "derived here",
		From: []string{cutID(a) + "first_depth", cutID(a) + "depth"}, Detail: true})
}

// chatterTable is where each cut would chatter, and which speeds lie between its lobes.
func chatterTable(book *sheet.Book, list []*cut.Answer) (build.Table, error) {
	t := build.Table{Caption: "When it chatters", Columns: []build.Column{{Head: "cut"}, {Head: "teeth, Hz", Right: true}, {Head: "tone, Hz", Right: true}, {Head: "what moves"},
		{Head: "slower, rpm", Right: true}, {Head: "faster, rpm", Right: true}, {Head: "heard, Hz"}, {Head: "stable, rpm"}}}
	for _, a := range list {
		if a.Stability.Hz == 0 {
			continue
		}
		slower, faster, err := a.Pockets()
		if err != nil {
			return t, &machine.Refused{Rule: "reach", At: a.Entry.At, Message: err.Error()}
		}
		t.Rows = append(t.Rows, []build.Cell{text("%s", a.Entry.Name), text("%s", quantity.Number(a.ToothPassing.Hz)), text("%s", quantity.Number(a.Stability.Hz)),
			text("%s", book.LargestName(a.Stability.Largest)), pocket(book, a, slower, "slower"), pocket(book, a, faster, "faster"), {}, {}})
	}
	return t, nil
}

// pocket is a speed between two lobes.
func pocket(book *sheet.Book, a *cut.Answer, p *cut.Pocket, way string) build.Cell {
	if p == nil || !p.Known() {
		return text("–")
	}
	return book.Cell(sheet.Figure{ID: cutID(a) + "ladder." + way, Label: "next " + way + " speed between the lobes, target " + a.Entry.Name, Value: sheet.Plain(p.Speed), Unit: "rpm",
		Formula: "n = 60 f/(k N), f the frequency at which it would chatter, N the teeth", Source: "Smith Tlusty 1990", From: []string{cutID(a) + "speed"}, Log: spec.Over(a.Best().Log), Detail: true})
}
