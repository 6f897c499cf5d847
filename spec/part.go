package spec

import "ironbed/spec/quantity"

const (
	// partHeight is the height of a part over its length and width [-]; common practice.
	partHeight = 0.25
	// removedShare is the share of the block that is cut away, from leastRemoved to
	// mostRemoved [-]; common practice.
	leastRemoved, removedShare, mostRemoved = 0.25, 0.5, 0.75
	// leastFinished and mostFinished bound the area to be finished, over that of the top and
	// the sides of the block [-]; common practice.
	leastFinished, mostFinished = 0.5, 1.5
)

// assumePart fills in how much is cut away from a part and finished, and the share of the time in which
// the cutter cuts. Where no time is wanted these decide no verdict: the report says them with the time, and
// they are no line among its assumptions.
func (m *Machine) assumePart(t *Target) {
	decides := t.MachiningTime.Given
	of := func(v *Value, low, middle, high float64, unit, rule, what string) {
		q := quantity.Quantity{Value: middle, Low: low, High: high}
		text := rule
		if unit != "" {
			text = rule + ", " + quantity.Print(middle, unit)
		}
		text += ", from " + quantity.Number(quantity.Convert(low, unit)) + " to " + quantity.Print(high, unit)
		if decides {
			m.take(v, Value{q: q, Text: text}, what, "common practice", t.Material.At)
		} else if !v.known() {
			v.q, v.Text, v.At, v.origin = q, text, t.Material.At, what
		}
	}
	of(&t.TimeInCut, 0.4, 0.6, 0.8, "", "0.6", "share of the machining time in which the cutter cuts")
	size := t.Size.q.Value
	if size <= 0 {
		return
	}
	block, faces := size*size*size*partHeight, 2*size*size
	of(&t.Removed, leastRemoved*block, removedShare*block, mostRemoved*block, "cm3", "half of the block", "volume to be cut away from a part")
	of(&t.Finished, leastFinished*faces, faces, mostFinished*faces, "cm2", "top and sides of the block", "area of a part to be finished")
}
