package profile

import (
	"math"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/compiler/verify"
	"ironbed/spec"
)

// of is the profile of a pass that the near rail of spar-bench is given.
func of(t *testing.T, text string) *Pass {
	t.Helper()
	const near = "guides: near: readings: {"
	m, _ := sample.Edited(t, "spar-bench", [2]string{near, near + "\n\"a pass\": {" + text + "}\n"})
	d, err := machine.New(m, spec.At(spec.Middle))
	if err != nil {
		t.Fatal(err)
	}
	a := m.Axes.Entry("x")
	g := a.Item.Guides.Entry("near")
	p := Of(m, d.Read, a, g, g.Item.Readings.Entry("a pass"))
	if p.Refused != nil {
		t.Fatal(p.Refused)
	}
	return p
}

// TestWire: against a wire that hangs, a rail that reads higher by the sag is flat; read across, the sag counts nothing.
func TestWire(t *testing.T) {
	const wire = `wire: {at: ["0 mm", "500 mm", "1000 mm", "1500 mm", "2000 mm"], division: "0.001 µm", diameter: "0.3 mm", span: "2 m", pull: "80 N",
		read: ["0 µm", "25.507 µm", "34.010 µm", "25.507 µm", "0 µm"]}`
	flat := of(t, wire)
	// The readings are the sags of rows ST19.2 and ST19.4 of the table of checks; an independent computation.
	verify.Check(t, verify.Case{ID: "wire", Quantity: "straightness against a wire of a rail that reads its sag", Unit: "µm", Source: "sag of a wire, independent computation", Want: 0, AbsTol: 1e-3}, flat.LeastZone*1e6)
	if lateral := of(t, `way: "lateral", `+wire); math.Abs(lateral.LeastZone-34.01e-6) > 1e-9 {
		t.Errorf("across: %g", lateral.LeastZone)
	}
	// The pitch of the plucked wire tells the same pull: row ST19.6.
	plucked := of(t, `wire: {at: ["0 mm", "1000 mm", "2000 mm"], division: "0.001 µm", diameter: "0.3 mm", span: "2 m", pitch: "94.92574 Hz", read: ["0 µm", "34.010 µm", "0 µm"]}`)
	if math.Abs(plucked.LeastZone) > 2e-9 {
		t.Errorf("by its pitch: %g", plucked.LeastZone)
	}
	// Half of what 2 % less and 2 % more pull make of the sag in the middle: two standard deviations of a height.
	loose := of(t, `wire: {at: ["0 mm", "1000 mm", "2000 mm"], division: "0.001 µm", diameter: "0.3 mm", span: "2 m", pull: "80 N ± 2 %", read: ["0 µm", "34.010 µm", "0 µm"]}`)
	verify.Check(t, verify.Case{ID: "wire's pull", Quantity: "uncertainty of a height by a wire whose pull is known to 2 %", Unit: "µm", Source: "by hand: 34.0097 (1/0.98 − 1/1.02)/2", Want: 0.68047, RelTol: 1e-4}, Coverage*loose.Point*1e6)
	if flat.Snaps() || !of(t, `wire: {at: ["0 mm", "1 m", "2 m"], division: "1 µm", diameter: "0.1 mm", span: "2 m", pull: "80 N", read: ["0 µm", "0 µm", "0 µm"]}`).Snaps() {
		t.Error("a wire of 0.3 mm holds 80 N, one of 0.1 mm does not")
	}
}

// TestTurned: a straightedge that was turned leaves the way alone, as in row ST14 of the table of checks, and a level that was turned its zero error.
func TestTurned(t *testing.T) {
	p := of(t, `straightedge: {at: ["0 mm", "100 mm", "200 mm", "300 mm", "400 mm", "500 mm"], division: "1 µm",
		read: ["0 µm", "2.1 µm", "1.9 µm", "0.1 µm", "0.4 µm", "0 µm"], turned: ["0 µm", "0.9 µm", "2.5 µm", "2.1 µm", "-1.2 µm", "0 µm"]}`)
	for i, want := range []float64{0, 1.5, 2.2, 1.1, -0.4, 0} {
		if got := p.Heights[i] * 1e6; math.Abs(got-want) > 1e-9 {
			t.Errorf("place %d: %g, want %g", i, got, want)
		}
	}
	// A division of 1 µm, read twice.
	if want := 1e-6 / math.Sqrt(12) / math.Sqrt2; math.Abs(p.Point-want) > 1e-15 {
		t.Errorf("uncertain by %g, want %g", p.Point, want)
	}
	const once = `level: {foot: "200 mm", division: "0.02 mm/m", read: ["0.1 mm/m", "0.06 mm/m", "0.1 mm/m"]}`
	// Shown 0.3 mm/m too high both ways round.
	const twice = `level: {foot: "200 mm", division: "0.02 mm/m", read: ["0.4 mm/m", "0.36 mm/m", "0.4 mm/m"], turned: ["0.2 mm/m", "0.24 mm/m", "0.2 mm/m"]}`
	one, two := of(t, once), of(t, twice)
	for i := range one.Heights {
		if math.Abs(one.Heights[i]-two.Heights[i]) > 1e-15 {
			t.Errorf("height %d: %g, turned %g", i, one.Heights[i], two.Heights[i])
		}
	}
	if !(two.Slope < one.Slope) {
		t.Error("two readings are no more certain than one")
	}
}

// TestAlong: an edge that was not turned counts with its own straightness, and a level's heights are the less certain the longer the way.
func TestAlong(t *testing.T) {
	p := of(t, `indicator: {at: ["0 mm", "100 mm", "200 mm"], division: "1 µm", straightness: "6 µm", read: ["0 µm", "2 µm", "0 µm"]}`)
	if want := math.Hypot(1, 6) / math.Sqrt(12) * 1e-6; math.Abs(p.Point-want) > 1e-15 {
		t.Errorf("uncertain by %g, want %g", p.Point, want)
	}
	l := of(t, `level: {foot: "200 mm", division: "0.02 mm/m", read: ["0 mm/m", "0 mm/m", "0 mm/m", "0 mm/m", "0 mm/m", "0 mm/m"]}`)
	if !(l.PointU(3) > l.PointU(1)) || l.PointU(0) != 0 {
		t.Errorf("in the middle %g, near the end %g, there %g", l.PointU(3), l.PointU(1), l.PointU(0))
	}
}
