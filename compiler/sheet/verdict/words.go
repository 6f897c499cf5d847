package verdict

import (
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/cut"
	"ironbed/compiler/reach"
	"ironbed/spec/quantity"
)

// nextGrade says how far the cutter that comes nearest is from the next better
// grade, and what stops it.
func nextGrade(attempts []cut.Attempt) string {
	a, o, asked, share := cut.Nearest(attempts)
	if attempts[0].Grade == reach.WithinReach {
		return ""
	}
	if a == nil {
		return "within reach is judged by a slot, and no cutter that is named for it cuts one: name an end mill"
	}
	grade := "within reach is"
	if attempts[0].Grade == reach.OutOfReach {
		grade = "a light cut is"
	}
	words := fmt.Sprintf("%s a slot %s deep with the %s", grade, quantity.Print(asked, "mm"), a.Cutter)
	switch {
	case share >= 1: // a light slot goes, and the verdict is of another kind
		return ""
	case o.Deepest == nil && len(o.Shortfalls) > 0:
		f := o.Shortfalls[0]
		return words + fmt.Sprintf(", which does not go at all: %s %s", limitName(f.Limit, f.Axis), shortfallWords(f))
	case o.Deepest == nil:
		return words
	}
	words += fmt.Sprintf(", the nearest, and %s goes: %s",
		quantity.Print(quantity.RoundDown(o.Deepest.Cut.Depth, 3), "mm"), limitName(o.Deepest.Limit, o.Deepest.Axis))
	if l := o.Deepest.Limit; l == reach.Deflection || l == reach.Chatter {
		words += fmt.Sprintf(", so it would have to be about %s times as stiff there", quantity.Number(math.Ceil(10/share)/10))
	}
	return words
}

// cutWords says a cut in one line: "1.5 mm deep, 8 mm wide, 1900 mm/min at
// 12000 rpm".
func cutWords(p *reach.Point) string {
	return strings.Join([]string{
		quantity.Measure(quantity.RoundDown(p.Cut.Depth*1e3, 2), "mm") + " deep",
		quantity.Measure(quantity.RoundDown(p.Cut.Width*1e3, 2), "mm") + " wide",
		quantity.Measure(quantity.RoundDown(p.Feed*60e3, 3), "mm/min") + " at " + quantity.Measure(quantity.RoundDown(p.Cut.Speed*60, 3), "rpm"),
	}, ", ")
}
