package accuracy

import (
	"math"
	"testing"

	"ironbed/compiler/axis"
	"ironbed/compiler/budget"
	"ironbed/compiler/cut"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// solved is a machine with its answers, its axes and its budgets.
func solved(t *testing.T, m *spec.Machine) (*Budgets, *axis.Solution) {
	t.Helper()
	s, err := machine.Analyse(m)
	if err != nil {
		t.Fatal(err)
	}
	cuts, err := cut.Search(s)
	if err != nil {
		t.Fatal(err)
	}
	axes, err := axis.Analyse(s, cuts.Demand)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Search(s, cuts, axes)
	if err != nil {
		t.Fatal(err)
	}
	return b, axes
}

// named is the budget of a target.
func named(t *testing.T, all *Budgets, name string) *Budget {
	t.Helper()
	for _, b := range all.List {
		if b != nil && b.Answer.Entry.Name == name {
			return b
		}
	}
	t.Fatalf("no budget of %s", name)
	return nil
}

// size is the size of an error along X at the worst place [m].
func (b *Budget) size(t *testing.T, m *spec.Machine, cause Cause, axis string) budget.Range {
	t.Helper()
	for i := range b.Worst.Parts {
		p := &b.Worst.Parts[i]
		if p.Cause == cause && (axis == "" || p.Axis >= 0 && m.Axes[p.Axis].Name == axis) {
			return p.Sizes[0]
		}
	}
	t.Fatalf("no %s of %s", cause, axis)
	return budget.Range{}
}

// TestHandBudget is the budget of the clock plate, worked by hand from the numbers of the clockroom-mill's spec. The part is a
// third of the 220 mm of travel, 73.3 mm; errors are half of their bands.
func TestHandBudget(t *testing.T) {
	m := sample.Example(t, "clockroom-mill")
	all, axes := solved(t, m)
	b := named(t, all, "clock plate")
	const l, um = 73.3e-3, 1e-6
	for _, c := range []struct {
		what      string
		got       budget.Range
		low, high float64
	}{
		// A rolled screw of grade 7 has 52 µm within 300 mm, half of it to either side of the middle of the part:
		// 52 × 73.3/300/2. Source: ISO 3408-3, from memory. It is salvaged: tracks worn by 0.1 mm (Machine Design 2000; from memory,
		// the middle) leave an error of half of that, 25 µm to either side, and half of it on a part that lies anywhere: 12.5 µm.
		{"lead of x", b.size(t, m, Lead, "x"), 18.85 * um, 18.86 * um},
		// 12 µm/m/K over 10 K on a screw that is free at its far end: 12 × 0.0733 × 10/2. Source: ISO 1, α from EN 1993-1-1.
		{"growth of the screw of x", b.size(t, m, ScrewGrowth, "x"), 4.39 * um, 4.40 * um},
		// Brass has 19.25 µm/m/K in the middle, steel 12: 7.25 × 0.0733 × 4 K/2. Source: ISO/TR 16015.
		{"room", b.size(t, m, Expansion, ""), 1.06 * um, 1.065 * um},
		// 50 µm/m: 50 × 0.0733/2. Source: ISO 230-1.
		{"squareness of x and y", b.size(t, m, Squareness, "y"), 1.83 * um, 1.84 * um},
		// Measured backlash of 20 µm, and the windup 41 N/k to either side: 200 N/m × 20 mm × 4 carriages + 25 N. A salvaged nut 200,
		// bearing 90 N/µm, and a steel shaft of 13.97 mm, at the bearing or 620 mm from it: k from 62 down to 28 N/µm, and the motor's
		// coupling rigid. Source: derived here, springs in series.
		{"reversal of x", b.size(t, m, Reversal, "x"), (10 + 41/62.2) * um, (10 + 41/27.0) * um},
		// Ground rails of y: 4 µm and 8 µm/m over 220 + 180 mm, 7.2 µm, a bow. Two carriages 180 mm apart see
		// 7.2 cos(π 180/800) = 5.47 µm of it, the part 5.47 sin(π 73.3/800). Source: derived here, a sine at two places.
		{"straightness of y along X", b.size(t, m, Straightness, "y"), 1.55 * um, 1.56 * um},
	} {
		if c.got.Nominal < c.low || c.got.Nominal > c.high {
			t.Errorf("%s: %.4g µm, by hand %.4g to %.4g", c.what, c.got.Nominal/um, c.low/um, c.high/um)
		}
	}
	// A loop without feedforward shrinks a circle by R (1 − 1/√(1 + (v/RK)²)); two gains 5 % apart add no more than
	// 5 % of the lag. Source: Ogata 2010, first-order answer to a sine.
	k, v := axes.Follower(0).Gain.Middle(), b.Pass.Feed
	shrinks, lag := l/2*(1-1/math.Hypot(1, v/k/(l/2))), v/k
	if got := b.size(t, m, Contour, "").Nominal; got < 0.9*shrinks || got > shrinks+0.05*lag {
		t.Errorf("circle: %.4g µm, by hand %.4g to %.4g", got/um, shrinks/um, (shrinks+0.05*lag)/um)
	}
	// The sums, by their definition. Source: Slocum 1992, 2.
	var sum, squares, reversals, reversalSquares, random float64
	for i := range b.Worst.Parts {
		p := &b.Worst.Parts[i]
		switch v := p.Sizes[b.Worst.Along].Nominal; p.Kind {
		case budget.Hysteresis:
			reversals, reversalSquares = reversals+v, reversalSquares+v*v
		case budget.Random:
			random += v * v
		default:
			sum, squares = sum+v, squares+v*v
		}
	}
	upper := sum + reversals + 2*math.Sqrt(random)
	lower := math.Sqrt(squares) + math.Sqrt(reversalSquares) + 2*math.Sqrt(random)
	if got := b.Worst.Likely.Nominal; math.Abs(got-(upper+lower)/2) > 1e-12 {
		t.Errorf("likely %.6g µm, by hand %.6g", got/um, (upper+lower)/2/um)
	}
}
