package verdict

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/change"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Condition: what does the condition of the parts cost?
var Condition = sheet.Sheet{Name: "condition", Needs: sheet.ATool, Forms: sheet.ReportOnly, Write: conditionSheet}

// conditionSheet prints the range of stiffness and verdicts with what is not known of parts by their condition, and without.
func conditionSheet(book *sheet.Book) error {
	c := book.Changes.Conditions
	if c == nil {
		return nil
	}
	blocks := []build.Block{
		build.Text("The condition of a part widens its values by stated rules, listed among the assumptions: the delivery tolerances of its standard, rust, wear. " +
			"The tables compare the machine with every value at its unfavourable end, and at its favourable end, with what rests on a condition and without it: " +
			"that is what measuring the parts can gain. Errors of finished parts, which backlash and wear of a screw add to, are in the error budget. Stock without a `condition` has its nominal dimensions."),
		conditionTable(book, c),
	}
	switch t, differ := conditionVerdicts(book, c); {
	case differ:
		blocks = append(blocks, t)
	case len(t.Rows) > 0:
		blocks = append(blocks, build.Text("No verdict in roughing changes with it, at either end."))
	}
	book.Sheet("condition", "Condition of the parts", blocks...)
	return nil
}

// conditionTable prints the range of the stiffness at the tool tip.
func conditionTable(book *sheet.Book, c *change.Conditions) build.Table {
	table := build.Table{Caption: "Stiffness at the tool tip, least stiff position, N/µm: unfavourable to favourable end", Columns: []build.Column{
		{Head: "direction"},
		{Head: "with the condition", Right: true},
		{Head: "without", Right: true},
		{Head: "it costs at the unfavourable end, %", Right: true},
	}}
	for i, direction := range machine.AxisWords {
		span := func(c [2]*change.Judged) string {
			return fmt.Sprintf("%s to %s", quantity.Number(1e-6/c[0].Whole[i][i]), quantity.Number(1e-6/c[1].Whole[i][i]))
		}
		cost := 1 - c.Without[0].Whole[i][i]/c.With[0].Whole[i][i]
		if cost < rank.Alike {
			cost = 0 // rounding alone
		}
		table.Rows = append(table.Rows, []build.Cell{{Text: direction}, {Text: span(c.With)}, {Text: span(c.Without)}, book.Cell(sheet.Figure{
			ID:      "condition.cost." + direction,
			Label:   "share of the stiffness along " + direction + " at the unfavourable end that the condition of parts costs",
			Value:   sheet.Plain(cost),
			Unit:    "%",
			Formula: "1 − k with what rests on a condition at its worse end / k with it in the middle, all else at its worse end",
			Source:  "derived here",
			From:    []string{"tool.stiffness." + direction},
			Log:     c.Log,
		})})
	}
	return table
}

// conditionVerdicts are the verdicts in roughing at both ends, and whether any of them differ.
func conditionVerdicts(book *sheet.Book, c *change.Conditions) (table build.Table, differ bool) {
	table = build.Table{Caption: "Roughing, unfavourable to favourable end", Columns: []build.Column{{Head: "target"}, {Head: "with the condition"}, {Head: "without"}}}
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		if a.Best() == nil {
			continue
		}
		span := func(c [2]*change.Judged) string {
			var words [2]string
			for k := range c {
				words[k] = string(build.NotKnown)
				if c[k].Known[i] {
					words[k] = c[k].Grades[i].String()
				}
			}
			if words[0] == words[1] {
				return words[0]
			}
			return words[0] + " to " + words[1]
		}
		with, without := span(c.With), span(c.Without)
		differ = differ || with != without
		table.Rows = append(table.Rows, []build.Cell{{Text: a.Entry.Name}, {Text: with}, {Text: without}})
	}
	return table, differ
}
