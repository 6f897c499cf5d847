package verdict

import (
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/cut"
	"ironbed/compiler/reach"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// anEndMill is an end mill of the spec's, or of several spindles of the one that cuts.
func anEndMill(m *spec.Machine) string { return "end mill" + ofSpindle(m) }

// ofSpindle names the spindle that cuts, where there are several.
func ofSpindle(m *spec.Machine) string {
	if len(m.Idle()) == 0 {
		return ""
	}
	return " of spindle " + m.Mounted()
}

// nextGrade says how far the nearest slot is from the next better grade, and what
// limits it.
func nextGrade(m *spec.Machine, attempts []cut.Attempt) string {
	a, o, required, share := cut.Nearest(attempts)
	if attempts[0].Grade == reach.WithinReach {
		return ""
	}
	if a == nil {
		return "full cuts are judged by a slot, and no cutter" + ofSpindle(m) + " named for this target can cut one: name an end mill"
	}
	grade := "full cuts"
	if attempts[0].Grade == reach.OutOfReach {
		grade = "light cuts"
	}
	words := fmt.Sprintf("for %s: a slot %s deep, nearest with the %s", grade, quantity.Print(required, "mm"), a.Cutter)
	switch {
	case share >= 1: // a light slot is possible, and the verdict is of another kind
		return ""
	case o.Deepest == nil && len(o.Shortfalls) > 0:
		f := o.Shortfalls[0]
		return words + fmt.Sprintf(", not possible at any depth: %s, %s", limitName(f.Limit, f.Axis), shortfallWords(f))
	case o.Deepest == nil:
		return words
	}
	words += fmt.Sprintf("; possible %s, limited by %s",
		quantity.Print(o.Deepest.Cut.Depth, "mm"), limitName(o.Deepest.Limit, o.Deepest.Axis))
	if l := o.Deepest.Limit; l == reach.Deflection || l == reach.Chatter {
		words += fmt.Sprintf(": the stiffness needed is about %s times as high", quantity.Number(math.Ceil(10/share)/10))
	}
	return words
}

// cutWords says a cut in one line: "1.5 mm deep, 8 mm wide, 1900 mm/min at
// 12000 rpm".
func cutWords(p *reach.Point) string {
	return strings.Join([]string{
		quantity.Print(p.Cut.Depth, "mm") + " deep",
		quantity.Print(p.Cut.Width, "mm") + " wide",
		quantity.Print(p.Feed, "mm/min") + " at " + quantity.Print(p.Cut.Speed, "rpm"),
	}, ", ")
}

// sentenceCase is a text with a capital at its beginning.
func sentenceCase(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
