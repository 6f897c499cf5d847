package spec

import (
	"math"
	"strconv"

	"ironbed/spec/quantity"
)

// Times writes a value times a factor as a spec has it, in a unit and with its doubt:
// "150 N/µm ± 60 %".
func (v Value) Times(k float64, unit string) string {
	low, middle, high := k*v.Low, k*v.Value, k*v.High
	text := quantity.Print(middle, unit)
	switch up, down := high-middle, middle-low; {
	case low >= high || middle == 0:
		return text
	case math.Abs(up-down) <= 1e-6*math.Abs(middle):
		return text + " ± " + strconv.FormatFloat(100*up/middle, 'g', 4, 64) + " %"
	}
	return quantity.Number(quantity.Convert(low, unit)) + ".." + quantity.Print(high, unit)
}
