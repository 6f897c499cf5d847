package structure

import (
	"fmt"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Stiffness: how stiff is the machine?
var Stiffness = sheet.Sheet{Name: "stiffness", Write: frameSheet}

// frameSheet gives the stiffness at the tool tip.
func frameSheet(book *sheet.Book) error {
	if book.Worst == nil {
		book.NotComputed("stiffness at the tool tip", "a spindle and a workpiece")
		return nil
	}
	stiffnessFigures(book)
	return stiffnessTables(book)
}

// stiffnessFigures adds the stiffness in each direction. Together they stand for what
// the frame and the tool rest on.
func stiffnessFigures(book *sheet.Book) {
	name, cutter := book.Model.Reference()
	tip := "at the spindle nose"
	if cutter != nil {
		tip = "at the tip of " + name
	}
	logs := book.Model.ToolLogs(cutter)
	var rigid, held []string
	for i, w := range book.Envelope.Weakest {
		direction := machine.AxisWords[i]
		position := "least stiff position: " + book.Model.PoseWords(w.At.Pose)
		rigid = append(rigid, book.Add(sheet.Figure{
			ID:    "machine.stiffness." + direction,
			Label: "stiffness of the machine along " + direction + ", cutter taken as rigid, " + tip + ", least stiff position",
			Value: bounded(w.Machine),
			Unit:  "N/µm",
			Formula: "k = 1/C, C the displacement of the tool tip against the workpiece by a unit force on both; " +
				"Timoshenko frame, carriages, screws, feet, spindle and holder",
			Source: "Przemieniecki 1968",
			Log:    logs.Stub,
			Notes:  []string{position, "the range takes every uncertain stiffness at its low end, and at its high end"},
		}))
		held = append(held, book.Add(sheet.Figure{
			ID:      "tool.stiffness." + direction,
			Label:   "stiffness along " + direction + " " + tip + ", least stiff position",
			Value:   bounded(w.Whole),
			Unit:    "N/µm",
			Formula: "1/k = 1/k of the machine + the compliance of the cutter",
			Source:  "derived here",
			From:    []string{"machine.stiffness." + direction},
			Log:     logs.Cutter,
			Notes:   []string{position},
		}))
	}
	book.Stand(book.Model.Stiff, rigid...)
	book.Stand(logs.Stub, rigid...)
	book.Stand(logs.Whole, held...)
}

// stiffnessTables prints the least stiffness of each direction, and its range over the
// positions.
func stiffnessTables(book *sheet.Book) error {
	d := book.Model
	name, cutter := d.Reference()
	over, err := stiffnessOverTravel(book)
	if err != nil {
		return err
	}
	table := build.Table{Caption: "Least stiffness at the tool tip, and its range over the travel at nominal values", Columns: []build.Column{
		{Head: "direction"},
		{Head: "machine alone, N/µm", Right: true},
		{Head: "with cutter, N/µm", Right: true},
		{Head: "over travel, N/µm", Right: true},
		{Head: "least stiff position"},
	}}
	for i, direction := range machine.AxisWords {
		table.Rows = append(table.Rows, []build.Cell{
			{Text: direction},
			{Figure: "machine.stiffness." + direction, Plain: true},
			{Figure: "tool.stiffness." + direction, Plain: true},
			{Text: rangeText(quantity.Convert(over[i].Low, "N/µm"), quantity.Convert(over[i].High, "N/µm"))},
			{Text: d.PoseWords(book.Envelope.Weakest[i].At.Pose)},
		})
	}
	tip := "at the spindle nose"
	if cutter != nil {
		tip = "at the tip of the " + name + ", " + quantity.Print(book.Read().Of(cutter.StickOut), "mm") + " out of its holder"
	}
	book.Sheet("stiffness", "Stiffness at the tool tip",
		build.Text(fmt.Sprintf("Stiffness "+tip+", against the workpiece. By the largest compliance in any direction, cutter taken as rigid, the machine is least stiff at %s, "+
			"the least stiff position of this report, and stiffest at %s: take heavy cuts there. Each direction has a least stiff position of its own, as the table says. "+
			"Machine alone is what a dial gauge between spindle and table shows with a rigid stub in the collet.",
			d.PoseWords(book.Worst.Pose), d.PoseWords(book.Stiffest.Pose))),
		table)
	return nil
}

// oneWord writes a position without spaces but before its unit, so that labels that differ
// in it differ in one word: "x=0,y=350,z=200 mm".
func oneWord(position string) string {
	words, unit := position, ""
	if i := strings.LastIndexByte(position, ' '); i > 0 {
		words, unit = position[:i], position[i:]
	}
	return strings.NewReplacer(", ", ",", " ", "=").Replace(words) + unit
}

// stiffnessOverTravel adds the stiffness in each position, and returns the range of each
// direction.
func stiffnessOverTravel(book *sheet.Book) (over [3]machine.ReachAlong, err error) {
	d := book.Model
	_, cutter := d.Reference()
	for k, s := range book.Poses {
		whole, _, err := d.TipCompliance(s, cutter)
		if err != nil {
			return over, err
		}
		for i, direction := range machine.AxisWords {
			stiff := 1 / whole[i][i]
			over[i].Take(stiff)
			book.Add(sheet.Figure{
				ID:      fmt.Sprintf("position.%d.stiffness.%s", k+1, direction),
				Label:   "stiffness along " + direction + " at the tool tip, position " + oneWord(d.PoseWords(s.Pose)),
				Value:   sheet.Plain(stiff),
				Unit:    "N/µm",
				Formula: "k = 1/C, as in the least stiff position",
				Source:  "derived here",
				Log:     d.ToolLog(cutter),
				Detail:  true,
			})
		}
	}
	return over, nil
}

// rangeText prints a range, one number where its ends print the same.
func rangeText(low, high float64) string {
	if a, b := quantity.Number(low), quantity.Number(high); a != b {
		return a + " to " + b
	}
	return quantity.Number(low)
}
