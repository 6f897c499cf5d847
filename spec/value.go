package spec

import (
	"math"
	"strconv"

	"ironbed/spec/quantity"
)

// A Value is a quantity of the spec, of a catalogue or of a rule, in SI, with its
// bounds and its place. Its number comes out through a [Reader] alone, so that whatever
// is computed from it has its uncertainty and is known to rest on it.
type Value struct {
	Text  string // as the spec has it
	At    Place
	Given bool // false where the spec leaves it out

	q      quantity.Quantity
	path   string // where it stands in a spec: "axes.x.rapid"
	origin string // where the number itself is written, or the rule that gives it; the same for all that take it
	less   bool   // less of it makes a worse machine, not more
	log    bool   // its logarithm is what is spread: loss factors, and how stiff a joint is
}

// Uncertain reports whether the value has bounds apart from its middle.
func (v Value) Uncertain() bool { return v.q.Uncertain() }

// Path is where the value stands in a spec: "axes.x.rapid".
func (v *Value) Path() string { return v.path }

// known reports whether a value is given by the spec or filled in already.
func (v *Value) known() bool { return v.Given || v.Text != "" }

// Times writes the value times a factor as a spec has it, in a unit and with its uncertainty:
// "150 N/µm ± 60 %".
func (v Value) Times(k float64, unit string) string {
	low, middle, high := k*v.q.Low, k*v.q.Value, k*v.q.High
	text := quantity.Print(middle, unit)
	switch up, down := high-middle, middle-low; {
	case low >= high || middle == 0:
		return text
	case math.Abs(up-down) <= 1e-6*math.Abs(middle):
		return text + " ± " + strconv.FormatFloat(100*up/middle, 'g', 4, 64) + " %"
	}
	return quantity.Number(quantity.Convert(low, unit)) + ".." + quantity.Print(high, unit)
}
