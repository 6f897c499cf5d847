package making

import (
	"errors"
	"math"
	"testing"

	"ironbed/compiler/domain"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
)

// TestBlamed: what a formula of a bed refuses is blamed on the line that says it, and on the rail where none does.
func TestBlamed(t *testing.T) {
	const resin = `resin: {thickness: "6 mm", width: "20 mm"}`
	m, _ := sample.Edited(t, "spar-bench", [2]string{resin, resin + ",\nlevelling: {\ndepth: \"6 mm\"\nshrinkage: 0.02\n}"})
	rail := m.Rails.Entry("long")
	for quantity, want := range map[string]int{
		"shrinkage in depth": rail.Item.Levelling.Shrinkage.At.Line,
		"depth of a film":    rail.Item.Levelling.Depth.At.Line,
		"viscosity":          rail.At.Line, // assumed
		"anything else":      rail.At.Line,
	} {
		if got := blamed(m, rail, &domain.InputError{Quantity: quantity}); got.Line != want {
			t.Errorf("%s: line %d, want %d", quantity, got.Line, want)
		}
	}
	if got := blamed(m, rail, errors.New("not of an input")); got != rail.At {
		t.Errorf("no input: %v", got)
	}
}

// TestLeaves: what a pour leaves is what counts as level, what shrinkage leaves, and what has not flowed; of one that is refused nothing is known.
func TestLeaves(t *testing.T) {
	s, err := machine.Statics(sample.Example(t, "spar-bench"))
	if err != nil {
		t.Fatal(err)
	}
	b := Beds(s)[0]
	least, middle, most, ok := b.Leaves(b.Length)
	left := 0.6e-3 * math.Exp(-b.PotLife/b.Time*math.Log(60)) // the time from 0.6 mm to 10 µm, turned round
	if want := Level + b.Residual[b.Pours()-1] + left; !ok || math.Abs(middle-want) > 1e-9 || !(least < middle && middle < most) {
		t.Errorf("leaves %g to %g to %g, %v, want %g", least, middle, most, ok, want)
	}
	if _, short, _, _ := b.Leaves(b.Length / 10); short >= middle {
		t.Errorf("over a tenth of its length it leaves %g of %g", short, middle)
	}
	b.Refused = &machine.Refused{}
	if _, _, _, ok := b.Leaves(1); ok {
		t.Error("a bed that was refused leaves something")
	}
}
