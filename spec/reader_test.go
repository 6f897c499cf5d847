package spec

import (
	"os"
	"path/filepath"
	"testing"
)

// TestValuesOfOneLineMoveTogether: values that one line gives, or one rule, have one
// origin, whatever name takes them; all others are moved each for itself.
func TestValuesOfOneLineMoveTogether(t *testing.T) {
	dir := t.TempDir()
	const text = `package m

import "ironbed.example/machine"

machine.#Machine & {
	name: "origins"
	_wall: "8 mm ± 10 %"
	sections: {
		one: hollow: {height: "200 mm", width: "100 mm", wall: _wall}
		two: hollow: {height: "150 mm", width: "100 mm", wall: _wall}
		own: hollow: {height: "150 mm", width: "100 mm", wall: "8 mm ± 10 %"}
	}
	bodies: base: {
		nodes: {a: ["0 mm", "0 mm", "0 mm"], b: ["900 mm", "0 mm", "0 mm"], c: ["0 mm", "900 mm", "0 mm"]}
		members: {ab: {from: "a", to: "b", section: "one"}, ac: {from: "a", to: "c", section: "two"}}
		feet: {f: at: "a", g: at: "b", h: at: "c"}
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
	drawn := map[string]float64{}
	read := Picking(func(u Uncertainty) float64 {
		if _, ok := drawn[u.Origin]; !ok {
			drawn[u.Origin] = 1 / float64(len(drawn)+2)
		}
		return u.Low + drawn[u.Origin]*(u.High-u.Low)
	})
	wall := func(name string) float64 { return read.Of(m.Sections.Find(name).Hollow.Wall) }
	if wall("one") != wall("two") {
		t.Errorf("two walls of one line: %g and %g", wall("one"), wall("two"))
	}
	if wall("one") == wall("own") {
		t.Errorf("two walls of two lines are both %g", wall("own"))
	}
	feet := m.Bodies.Find("base").Feet
	if f, g := read.Of(feet[0].Item.Vertical), read.Of(feet[1].Item.Vertical); f != g {
		t.Errorf("two feet by one rule: %g and %g", f, g)
	}
	if read.Of(feet[0].Item.Vertical)/80e6 == read.Of(feet[0].Item.Horizontal)/25e6 {
		t.Error("two rules move together")
	}
}

// TestWhichEndIsWorse: the tag of the field says it, and a value that is held at an end
// stands there for every reader.
func TestWhichEndIsWorse(t *testing.T) {
	v := Value{path: "a", less: true}
	v.q.Low, v.q.Value, v.q.High = 1, 2, 3
	more := v
	more.less = false
	for _, c := range []struct {
		end        Bound
		less, more float64
	}{{Middle, 2, 2}, {Worse, 1, 3}, {Better, 3, 1}, {Low, 1, 1}, {High, 3, 3}} {
		if got := At(c.end).Of(v); got != c.less {
			t.Errorf("end %d of a value that is worse low: %g, want %g", c.end, got, c.less)
		}
		if got := At(c.end).Of(more); got != c.more {
			t.Errorf("end %d of a value that is worse high: %g, want %g", c.end, got, c.more)
		}
		if got := At(c.end).Except([]*Value{&v}, High).Of(v); got != 3 {
			t.Errorf("end %d, held high: %g", c.end, got)
		}
	}
	if low, middle, high := At(Middle).Except([]*Value{&v}, Low).Span(v); low != 1 || middle != 1 || high != 1 {
		t.Errorf("the span of a held value: %g, %g, %g", low, middle, high)
	}
}
