package asbuilt

import (
	"errors"
	"math"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/compiler/verify"
	"ironbed/spec"
)

// TestAgainst: the first reading of 24 ± 4 against a prediction of 20 ± 8, as in row UP01.4 of the table of checks, and one that is off.
func TestAgainst(t *testing.T) {
	v, err := Against(24, 20, 28, 20, 12, 28)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "UP01.4", Quantity: "surprise of a reading of 24 ± 4 against 20 ± 8", Unit: "-", Source: "(y-m)/sqrt(s^2+u^2), independent computation", Want: 0.894427191, RelTol: 1e-9}, v.Surprise)
	if v.Beyond {
		t.Error("0.9 standard deviations are off")
	}
	// The half of the range on the side of the reading counts: 28 − 20 above, 20 − 18 below.
	for read, want := range map[float64]bool{29: true, 27: false, 15: true, 18: false} {
		if v, err := Against(read, read-1, read+1, 20, 18, 28); err != nil || v.Beyond != want {
			t.Errorf("%g: %+v, %v", read, v, err)
		}
	}
	if _, err := Against(1, 1, 1, 1, 1, 1); err == nil {
		t.Error("nothing is uncertain, and yet compared")
	}
}

// measured is slipway-gantry with measurements.
func measured(t *testing.T, text string) *spec.Machine {
	t.Helper()
	const name = `name:    "slipway-gantry"`
	m, _ := sample.Edited(t, "slipway-gantry", [2]string{name, name + "\nmeasured: {" + text + "}"})
	return m
}

// TestStanding: what is measured as it was predicted leaves the value as it was, and what is measured as twice that doubles it.
func TestStanding(t *testing.T) {
	plain := sample.Example(t, "slipway-gantry")
	radial, _ := plain.Value("rails.cross.radial")
	m := measured(t, `carriage: {value: "rails.cross.radial", read: "123 N/µm ± 10 %"}`)
	built, list, err := Build(m)
	if err != nil || len(list) != 1 {
		t.Fatal(list, err)
	}
	if list[0].Designed.Text != radial.Text {
		t.Errorf("designed %s, want %s", list[0].Designed.Text, radial.Text)
	}
	now, _ := built.Value("rails.cross.radial")
	low, middle, high := spec.At(spec.Middle).Span(now)
	if math.Abs(middle-123e6) > 1 || math.Abs(low-110.7e6) > 1 || math.Abs(high-135.3e6) > 1 {
		t.Errorf("built with %g to %g to %g", low, middle, high)
	}
	// It stands where it was measured.
	if now.At != m.Measured[0].Item.Read.At {
		t.Errorf("stands at %v, was read at %v", now.At, m.Measured[0].Item.Read.At)
	}
	if again, list, err := Build(plain); err != nil || list != nil || again != plain {
		t.Error("nothing was measured, and the machine is another one")
	}
	var r *machine.Refused
	if _, _, err := Build(measured(t, `carriage: {value: "rails.crass.radial", read: "123 N/µm ± 10 %"}`)); !errors.As(err, &r) || !r.At.Known() {
		t.Errorf("no such rail: %v", err)
	}
}

// TestBar: a witness bar that rings as predicted has the modulus that was assumed, and one that rings twice as high four times that.
func TestBar(t *testing.T) {
	m := sample.Example(t, "slipway-gantry")
	f := &m.Fills[0]
	assumed := spec.At(spec.Middle).Of(f.Item.Modulus)
	of := func(hz float64) float64 {
		e, err := modulus(&f.Item, hz)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	// The frequency at which the modulus is the assumed one, by bisection: the sheet predicts the same by the formula the other way.
	low, high := 1.0, 1e5
	for range 200 {
		if middle := (low + high) / 2; of(middle) < assumed {
			low = middle
		} else {
			high = middle
		}
	}
	if r := of(2*low) / assumed; math.Abs(r-4) > 1e-9 {
		t.Errorf("an octave higher is %g times as stiff", r)
	}
}

// TestWeighed: a section that weighs as much as its nominal dimensions say has the ratio 1. 15.77 kg/m is what the table of EN 10365 has for an IPE 160, with the
// density of 7850 kg/m3.
func TestWeighed(t *testing.T) {
	m := sample.Example(t, "spar-bench")
	r, err := massRatio(m, m.Sections.Entry("beam"), 15.77)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "weighed", Quantity: "mass ratio of an IPE 160 that weighs 15.77 kg/m", Unit: "-", Source: "EN 10365, 20.09 cm² (from memory)", Want: 1, RelTol: 5e-4}, r)
}

// TestMissing: a machine is not validated until it was pushed and tapped.
func TestMissing(t *testing.T) {
	for text, want := range map[string]int{
		``: 2,
		`push: {figure: "acceptance.push.x", read: "20 µm ± 2 µm"}`:                                                           1,
		`tap: {figure: "mode.1.frequency", read: "40 Hz ± 1 Hz"}`:                                                             1,
		`push: {figure: "tool.stiffness.z", read: "20 N/µm ± 10 %"}, tap: {figure: "mode.2.frequency", read: "40 Hz ± 1 Hz"}`: 0,
		`other: {figure: "mass.total", read: "900 kg ± 5 kg"}`:                                                                2,
	} {
		if got := Missing(measured(t, text)); len(got) != want {
			t.Errorf("%s: lacks %q", text, got)
		}
	}
	if got := Missing(sample.Example(t, "spar-bench")); len(got) > 0 {
		t.Errorf("spar-bench lacks %q", got)
	}
}
