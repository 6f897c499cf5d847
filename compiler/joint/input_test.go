package joint

import (
	"math"
	"math/rand"
	"testing"

	"ironbed/compiler/verify"
)

// TestOddNumbers holds that odd inputs give an error or finite numbers, never a panic.
func TestOddNumbers(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	full := tee()
	try := func(name string, v any, err error) {
		t.Helper()
		if err == nil && !verify.Finite(v) {
			t.Errorf("%s: %+v", name, v)
		}
	}
	for i := range 4000 {
		h := full
		if i%4 == 1 {
			h.Plates = []InnerPlate{{0.02, 0.005}, {0, 0.006}}
			h.Doubler = Doubler{0.01, 0.09, 0.12}
			h.Fill = Fill{5e9, 0.2, true}
		}
		verify.Spoil(random, &h)
		if i%20 < 4 { // the slow one
			s, err := h.Springs()
			s.Violations = nil
			try("springs", s, err)
			try("springs", s.OutOfPlaneUnder(h.Length), err)
		}
		b := bracket()
		b.Layers, b.Places = append([]Clamped(nil), b.Layers...), append([]Place(nil), b.Places...)
		verify.Spoil(random, &b)
		o, err := b.Bolting()
		o.Violations = nil
		try("bolting", o, err)
		x := column()
		verify.Spoil(random, &x)
		d, err := x.Distortion()
		d.Violations = nil
		try("distortion", d, err)
		c := Corner{Material: steel, Width: 0.1, Depth: 0.1, Wall: 0.005}
		verify.Spoil(random, &c)
		k, err := c.Knee()
		k.Violations = nil
		try("knee", k, err)
		l := Layer{Material: Material{3e9, 0.38}, Width: 0.03, Length: 1, Thickness: 0.003}
		verify.Spoil(random, &l)
		seat, err := l.Stiffness()
		seat.Violations = nil
		try("seat", seat, err)
		g := girders(1e9)
		verify.Spoil(random, &g)
		p, err := g.Partial()
		try("partial", p, err)
		s := Stitch{Material: steel, Weld: 0.05, Pitch: 0.2, Throat: 0.004, Thick1: 0.008, Thick2: 0.01, Rows: 2}
		verify.Spoil(random, &s)
		slip, err := s.Slip()
		try("stitch", slip, err)
		thread, _ := MetricThread(0.012)
		verify.Spoil(random, &thread)
		f, err := TighteningPreload(thread, 80, ThreadFriction())
		try("preload", f, err)
	}
}

// TestLayer holds the layer between its two limits.
func TestLayer(t *testing.T) {
	l := Layer{Material: Material{4e9, 0.35}, Width: 0.04, Length: 0.8, Thickness: 0.003}
	thin, err := l.Stiffness()
	if err != nil {
		t.Fatal(err)
	}
	if b := thin.Normal; !(b.Low < b.Middle && b.Middle < b.High) || len(thin.Violations) > 0 {
		t.Errorf("%+v", thin)
	}
	// Hooke's law without strain across: M = 1.605 E at ν = 0.35.
	m, err := ConfinedModulus(l.Material)
	verify.Check(
		t,
		verify.Case{
			ID:       "JOINT-M",
			Quantity: "confined modulus over E at ν = 0.35",
			Unit:     "-",
			Source:   "Timoshenko Goodier, Hooke's law, by hand: 0.65/(1.35 · 0.30)",
			Want:     1.6049,
			RelTol:   1e-4,
		},
		m/4e9,
	)
	if err != nil || math.Abs(thin.Normal.High/(m*0.032/0.003)-1) > 1e-12 || math.Abs(thin.Normal.Low/(4e9*0.032/0.003)-1) > 1e-12 {
		t.Errorf("limits of %+v", thin.Normal)
	}
	l.Thickness = 0.3
	thick, err := l.Stiffness()
	if err != nil || thick.Normal.Middle/thick.Normal.Low > 1.1 || len(thick.Violations) == 0 {
		t.Errorf("a thick layer is free to the sides: %+v (%v)", thick, err)
	}
}
