package structure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// nearRows is how many of the least clearances are listed.
const nearRows = 12

// clearanceBlocks say how near the parts of each two bodies come to each other, for the report alone; those that clash are findings.
func clearanceBlocks(book *sheet.Book) ([]build.Block, error) {
	m, err := book.Model.Meetings(book.Reports)
	if err != nil {
		return nil, err
	}
	for i := range m.Clashes {
		book.Find(clashFinding(book, &m.Clashes[i]))
	}
	for i := range m.Within {
		w := &m.Within[i]
		more := ""
		if w.More > 0 {
			more = fmt.Sprintf(" (%d further pairs of members of %s do)", w.More, book.Spec.Bodies[w.A.Body].Name)
		}
		book.Find(build.Finding{
			Rule:     "members-overlap",
			Severity: build.SeverityNote,
			At:       build.Place(w.A.At),
			Message: fmt.Sprintf("%s and %s overlap by %s and share no node, so that what overlaps is stiff and weighs twice%s; move one of them, let them meet at a node, or take other sections",
				w.A.Words(), w.B.Words(), quantity.Print(w.Depth, "mm"), more),
			Notes: []build.Remark{{Message: w.B.Words() + " is here", At: build.Place(w.B.At)}},
		})
	}
	for i := range m.Tool {
		toolFinding(book, &m.Tool[i])
	}
	chainFindings(book)
	if !book.Reports || len(m.Nearest) == 0 {
		return nil, nil
	}
	var ends []*machine.Meetings
	for _, d := range []*machine.Model{book.Light, book.Heavy} {
		end, err := d.Meetings(true)
		if err != nil {
			return nil, err
		}
		ends = append(ends, end)
	}
	t := build.Table{Caption: "Least clearances between bodies over the travels", Columns: []build.Column{
		{Head: "part"}, {Head: "part of another body"}, {Head: "clearance, mm", Right: true}, {Head: "where"}}}
	for i := range m.Nearest[:min(nearRows, len(m.Nearest))] {
		n := &m.Nearest[i]
		where := position(book.Model, n)
		if n.Always {
			where = "everywhere on the travel"
		}
		bodies := book.Spec.Bodies[n.A.Body].Name + "." + book.Spec.Bodies[n.B.Body].Name
		t.Rows = append(t.Rows, []build.Cell{{Text: n.A.Words()}, {Text: n.B.Words()}, book.Cell(sheet.Figure{
			ID:      "clearance." + bodies,
			Label:   "least clearance between " + book.Spec.Bodies[n.A.Body].Name + " and " + book.Spec.Bodies[n.B.Body].Name,
			Value:   sheet.Between(n.Clearance, atEnds(n, ends)...),
			Unit:    "mm",
			Formula: "least distance of two convex bodies over the travels that move them against each other",
			Source:  "Gilbert 1988; Ericson 2005",
			Log:     spec.Over(n.A.Log, n.B.Log),
			Notes:   []string{n.A.Words() + " and " + n.B.Words() + ", " + where},
		}), {Text: where}})
	}
	words := "The parts of each two bodies, over the whole of the travels that move them against each other: members as they are cut, as the box about their section; plates; " +
		"masses with a `size`; the spindle's `housing`; holder and cutter, but for the body that bears the workpiece; motors, cable chains and clamps where the spec has a place for them; " +
		"rails, carriages, screws, nuts and covers, by their sizes and where their nodes are, against what they do not run on, and not listed here. " +
		"The workpiece itself is not looked at: give a large one a `size` under `masses`."
	words += placelessWords(m.Unknown.Places)
	if len(m.Unknown.Members) > 0 {
		words += " Not looked at, since their listed section has no height and width: " + strings.Join(m.Unknown.Members, ", ") + "."
	}
	return []build.Block{t, build.Text(words)}, nil
}

// placelessWords name the parts that have no place, and what would give them one.
func placelessWords(list []machine.Placeless) string {
	var said []string
	for _, kind := range []struct {
		kind        machine.BlockKind
		words, give string
	}{
		{machine.NutBlock, "nuts of axes ", "a node of their own, in `links`"},
		{machine.MotorBlock, "motors of axes ", "`offset`"},
		{machine.ChainBlock, "chains ", "`fixed_offset` or `moving_offset`"},
	} {
		var names []string
		for _, p := range list {
			if p.Kind == kind.kind && !slices.Contains(names, p.Of) {
				names = append(names, p.Of)
			}
		}
		if len(names) > 0 {
			said = append(said, kind.words+strings.Join(names, ", ")+" (give "+kind.give+")")
		}
	}
	if len(said) == 0 {
		return ""
	}
	return " Not looked at, since the spec does not say where they are: " + strings.Join(said, "; ") + "."
}

// atEnds are how near the same two bodies come at the ends of the uncertainty; nothing where they clash there.
func atEnds(n *machine.Meeting, ends []*machine.Meetings) (list []float64) {
	for _, end := range ends {
		near := 0.0
		for i := range end.Nearest {
			if m := &end.Nearest[i]; m.A.Body == n.A.Body && m.B.Body == n.B.Body || m.A.Body == n.B.Body && m.B.Body == n.A.Body {
				near = m.Clearance
			}
		}
		list = append(list, near)
	}
	return list
}

// position is where two parts meet, by the axes that bring them together.
func position(d *machine.Model, m *machine.Meeting) string {
	if len(m.Axes) == 0 {
		return "in every position"
	}
	var words []string
	for _, x := range m.Axes {
		words = append(words, d.Spec.Axes[x].Name+" "+quantity.Number(quantity.Settle(m.Pose[x])*1e3))
	}
	return strings.Join(words, ", ") + " mm"
}

// clashFinding says that two parts clash: at the line of the one, with that of the other.
func clashFinding(book *sheet.Book, m *machine.Meeting) build.Finding {
	f := build.Finding{Rule: "clash", Severity: build.SeverityFail, At: build.Place(m.A.At)}
	if m.A.Rough || m.B.Rough {
		f.Severity = build.SeverityCaution
	}
	where, fix := "in every position", "move one of them"
	if len(m.Axes) > 0 {
		var spans []string
		for i, x := range m.Axes {
			a := &book.Spec.Axes[x]
			if span := m.Span[i]; span[0] > 0 || span[1] < book.Read().Of(a.Item.Travel)-1e-9 {
				spans = append(spans, fmt.Sprintf("along %s from %s to %s", a.Name, quantity.Number(quantity.Settle(toSaw(span[0]))*1e3), quantity.Print(toSaw(span[1]), "mm")))
			} else {
				spans = append(spans, "along "+a.Name+" over the whole travel")
			}
		}
		where, fix = "at "+position(book.Model, m)+" (there "+strings.Join(spans, ", ")+")", "move one of them, or shorten the travel"
	}
	f.Message = fmt.Sprintf("%s and %s overlap by %s %s; %s", m.A.Words(), m.B.Words(), quantity.Print(m.Depth, "mm"), where, fix)
	if m.More > 0 {
		f.Message += fmt.Sprintf(" (%d further pairs of parts of %s and %s overlap)", m.More, book.Spec.Bodies[m.A.Body].Name, book.Spec.Bodies[m.B.Body].Name)
	}
	f.Notes = []build.Remark{{Message: m.B.Words() + " is here", At: build.Place(m.B.At)}}
	return f
}

// toolFinding says how far the cutter or its holder gets into what bears the workpiece, and from where on.
func toolFinding(book *sheet.Book, m *machine.Meeting) {
	tool, other := m.A, m.B
	if tool.Kind != machine.CutterBlock && tool.Kind != machine.HolderBlock {
		tool, other = other, tool
	}
	axis, along := -1, 0.5
	for i, x := range m.Axes {
		if lean := math.Abs(r3.Dot(machine.Unit(book.Spec.Axes[x].Item.Direction.XYZ), book.ToolAxis())); lean > along {
			axis, along = i, lean
		}
	}
	f := build.Finding{Rule: "tool-into-table", Severity: build.SeverityNote, At: build.Place(tool.At)}
	if tool.Kind == machine.HolderBlock {
		f.Severity = build.SeverityCaution
	}
	if axis < 0 {
		f.Message = fmt.Sprintf("%s and %s overlap in every position of the axis along the tool; check `nose` and the heights of the bodies", tool.Words(), other.Words())
	} else {
		a := &book.Spec.Axes[m.Axes[axis]]
		span := m.Span[axis]
		f.Message = fmt.Sprintf("%s gets up to %s into %s, with axis %s from %s to %s; set a limit in the control, unless it is there to be cut into",
			tool.Words(), quantity.Print(toSaw(span[1]-span[0]), "mm"), other.Words(), a.Name,
			quantity.Number(quantity.Settle(toSaw(span[0]))*1e3), quantity.Print(toSaw(span[1]), "mm"))
	}
	f.Notes = []build.Remark{{Message: other.Words() + " is here", At: build.Place(other.At)}}
	book.Find(f)
}

// chainApart is how far a chain's ends may be off two bend radii across the travel, over the radius [-]; common practice.
const chainApart = 0.1

// chainFindings say which chains are not mounted two bend radii apart.
func chainFindings(book *sheet.Book) {
	for i := range book.Spec.Chains {
		e := &book.Spec.Chains[i]
		s, ok := book.Model.PlacedChain(i, book.Read().Into(&spec.Log{}))
		if !ok || math.Abs(s.Apart-2*s.Radius) <= chainApart*s.Radius {
			continue
		}
		book.Find(build.Finding{Rule: "chain-ends-apart", Severity: build.SeverityCaution, At: build.Place(e.At),
			Message: fmt.Sprintf("the ends of chain %s are %s apart across its travel, and its bend takes two radii, %s; move one end by `fixed_offset` or `moving_offset`, or take another radius",
				e.Name, quantity.Print(toSaw(s.Apart), "mm"), quantity.Print(toSaw(2*s.Radius), "mm"))})
	}
}
