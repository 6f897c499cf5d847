package machine

import (
	"math"
	"testing"

	"ironbed/compiler/drive"
	"ironbed/compiler/internal/sample"
	"ironbed/spec"
)

// TestConditionWidens: the condition of stock widens the mass and the stiffness that are computed from it, and nothing else,
// and leaves the middle as it is.
//
// Source: EN 10219-2, a length of a tube may weigh 6 % more or less: 46.5 kg/m over the beam, which reaches
// from outside to outside of uprights of 150 mm that stand 1.1 m apart; from memory.
func TestConditionWidens(t *testing.T) {
	total := func(m *spec.Machine, end spec.Bound) (sum float64) {
		d, err := New(m, spec.At(end))
		if err != nil {
			t.Fatal(err)
		}
		for _, heap := range d.Weigh(d.Middle()) {
			sum += heap.Mass
		}
		return sum
	}
	unstated, _ := sample.Edited(t, "slipway-gantry", [2]string{`beam: {condition: "new", price: "95 per metre"}`, `beam: price: "95 per metre"`})
	stated := sample.Example(t, "slipway-gantry")
	near(t, "the middle", total(stated, spec.Middle), total(unstated, spec.Middle), 1e-12)
	near(t, "more", total(stated, spec.High)-total(unstated, spec.High), 0.06*46.5*1.25, 0.01)
	near(t, "less", total(unstated, spec.Low)-total(stated, spec.Low), 0.06*46.5*1.25, 0.01)

	// Worse is softer and heavier. Sides to 200 mm may be 0.8 % smaller, by EN 10219-2.
	of := func(m *spec.Machine, end spec.Bound) (e, density float64) {
		s, err := StockOf(m, m.Sections.Find("beam"), spec.At(end))
		if err != nil {
			t.Fatal(err)
		}
		return s.Material.E, s.Material.Density
	}
	e, density := of(unstated, spec.Worse)
	worse, heavier := of(stated, spec.Worse)
	near(t, "stiffness", worse/e, 0.94*math.Pow(1-0.008, 2), 1e-9)
	near(t, "mass", heavier/density, 1.06, 1e-9)
}

// TestWornScrewIsOff: half of the wear of a screw's tracks is an error of position, and its backlash is that of the drive.
func TestWornScrewIsOff(t *testing.T) {
	m, _ := sample.Edited(t, "slipway-gantry", [2]string{`length:   "1100 mm"`, "length:   \"1100 mm\"\n\t\t\t\t\tcondition: \"used\"\n\t\t\t\t\twear: \"0.08 mm\""})
	in := func(m *spec.Machine) (wear, backlash float64) {
		d, err := New(m, spec.Reader{})
		if err != nil {
			t.Fatal(err)
		}
		v := &m.Axes.Find("y").Drives[0].Item
		input, err := DriveInput(d, 1, v, ReadDrive(spec.Reader{}), 100, 0.01)
		if err != nil {
			t.Fatal(err)
		}
		out, err := drive.Axis(input)
		if err != nil {
			t.Fatal(err)
		}
		return out.TravelError, out.Backlash
	}
	newOff, newBacklash := in(sample.Example(t, "slipway-gantry"))
	off, backlash := in(m)
	near(t, "error over the travel", off-newOff, 0.04e-3, 1e-9)
	if backlash <= newBacklash {
		t.Errorf("a used screw has a backlash of %g m, a new one %g m", backlash, newBacklash)
	}
}
