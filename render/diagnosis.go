package render

import (
	"fmt"
	"io"

	"ironbed/compiler/build"
	"ironbed/spec/literal"
	"ironbed/spec/quantity"
)

// Diagnosis prints what a mark or a sound may come from, the most likely first.
func Diagnosis(w io.Writer, d *build.Diagnosis, style TerminalStyle) error {
	t := terminal{color: style.Color, width: max(style.Width, leastWidth)}
	if style.Width == 0 {
		t.width = usualWidth
	}
	t.wrapped("", "What may cause "+d.Seen+":")
	const indent = "       "
	for i, c := range d.Causes {
		t.lines("")
		for k, line := range wrap(literal.Line(c.What+": "+c.Predicted), t.width-len(indent)) {
			before := indent
			if k == 0 {
				before = fmt.Sprintf("%5s  ", quantity.Percent(c.Share))
			}
			t.lines(t.paint(bold, before+line))
		}
		if i > 0 && c.Do == d.Causes[i-1].Do {
			t.lines(indent + "as before")
		} else {
			t.wrapped(indent, c.Do)
		}
		if c.Figure != "" {
			t.lines(indent + "[" + c.Figure + "]")
		}
	}
	t.lines("")
	t.lines(fmt.Sprintf("%5s  something that the spec does not have", quantity.Percent(d.Other)))
	t.lines("")
	t.wrapped("", "To tell them apart:")
	for _, next := range d.Next {
		for i, line := range wrap(next, t.width-2) {
			if i == 0 {
				t.lines("- " + line)
			} else {
				t.lines("  " + line)
			}
		}
	}
	t.lines("")
	t.wrapped("", "The shares rank; they are no measurement. They are by how near each comes, within its uncertainty and yours, and by how often such a cause is met (common practice).")
	_, err := io.WriteString(w, t.text.String())
	return err
}
