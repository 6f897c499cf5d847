package spec

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestAssumptions: what the catalogue supplies is not overruled by the rule for
// want of anything better, nothing is assumed twice, and what the spec gives is
// not assumed at all.
func TestAssumptions(t *testing.T) {
	dir := t.TempDir()
	text := `package m

import "ironbed.example/machine"

machine.#Machine & {
	name: "m"
	sections: tube: {hollow: {height: "100 mm", width: "100 mm", wall: "5 mm"}}
	fills: {
		own: {mix: "mine", bond: "loose"}
		bought: {mix: "dry sand", bond: "loose"}
		measured: {modulus: "20 GPa", bond: "loose"}
	}
	mixes: mine: {modulus: "17 GPa", density: "2100 kg/m3"}
	bodies: base: {nodes: {a: ["0 mm", "0 mm", "0 mm"]}, feet: f: {at: "a", vertical: "33 N/µm"}}
	rails: {
		stock: {stock: "profiled rail 25, balls", lateral: "111 N/µm"}
		bare: {}
	}
}
`
	if err := os.WriteFile(filepath.Join(dir, "m.cue"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	m, diagnostics, err := Load(dir)
	if err != nil || m == nil {
		t.Fatal(err, diagnostics)
	}
	near := func(what string, got, want float64) {
		if got < want*(1-1e-9) || got > want*(1+1e-9) {
			t.Errorf("%s: got %g, want %g", what, got, want)
		}
	}
	near("the catalogue's radial stiffness", m.Rails.Find("stock").Radial.q.Value, 300e6)
	near("the spec's lateral stiffness", m.Rails.Find("stock").Lateral.q.Value, 111e6)
	near("the rule's radial stiffness", m.Rails.Find("bare").Radial.q.Value, 200e6)
	near("the spec's own mix", m.Fills.Find("own").Density.q.Value, 2100)
	near("the catalogue's mix", m.Fills.Find("bought").Density.q.Value, 1600)
	near("the rule's density", m.Fills.Find("measured").Density.q.Value, 2350)
	near("the spec's foot", m.Bodies.Find("base").Feet.Find("f").Vertical.q.Value, 33e6)
	seen := map[*Value]string{}
	for _, a := range m.Assumptions {
		for _, v := range a.Values {
			if v.Given {
				t.Errorf("%s is assumed and given", a.What)
			}
			if other, ok := seen[v]; ok {
				t.Errorf("%s and %s fill in the same value", a.What, other)
			}
			seen[v] = a.What
		}
		if strings.Contains(a.What, "own") || a.Text == "" || a.Source == "" {
			t.Errorf("%+v", a)
		}
	}
	// A machine with a change assumes the same, but for the change, and so does
	// one made from it.
	c, err := m.With(Edit{Path: "rails.stock.stock", Value: `"profiled rail 35, balls"`})
	if err != nil {
		t.Fatal(err)
	}
	near("another rail", c.Rails.Find("stock").Radial.q.Value, 450e6)
	near("what the spec gives stays", c.Rails.Find("stock").Lateral.q.Value, 111e6)
	near("the first machine stays", m.Rails.Find("stock").Radial.q.Value, 300e6)
	d, err := c.With()
	if err != nil {
		t.Fatal(err)
	}
	near("the change is kept", d.Rails.Find("stock").Radial.q.Value, 450e6)
	if len(d.Assumptions) != len(c.Assumptions) {
		t.Errorf("%d assumptions, then %d", len(c.Assumptions), len(d.Assumptions))
	}
}
