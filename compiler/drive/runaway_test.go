package drive

import (
	"fmt"
	"math"
	"testing"

	"ironbed/compiler/verify"
)

// sure returns the value of a formula that may not fail here.
func sure(t *testing.T) func(float64, error) float64 {
	return func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// TestRunaway: energies that buffers take.
func TestRunaway(t *testing.T) {
	of := sure(t)
	// 100 kg that fall 1 m and a stroke of 0.1 m, g 9.8 m/s².
	verify.Check(t, verify.Case{ID: "WR-01", Quantity: "energy of a load of 100 kg that falls 1 m onto a stroke of 0.1 m", Unit: "J", Source: "Fluid Power Journal 2018, Total Energy Needed", Want: 1078, RelTol: 1e-6},
		of(RunawayEnergy(100, 0, math.Sqrt(2*9.8), 980, 0.1)))
	verify.Check(t, verify.Case{ID: "WR-02", Quantity: "energy of 36 kg at 1.5 m/s, pushed by 400 N over 25 mm", Unit: "J", Source: "sizing sheet of a maker of shock absorbers (from memory)", Want: 51, AbsTol: 0.51},
		of(RunawayEnergy(36, 0, 1.5, 400, 0.025)))
	if one, both := of(RunawayEnergy(10, 0, 2, 0, 0)), of(RunawayEnergy(4, 6, 2, 0, 0)); math.Abs(one-both) > 1e-12 {
		t.Errorf("what turns counts %g for %g", both, one)
	}
}

// TestStoppingDistance: stopping distances of cars, 0.67 s to think and 6.57 m/s² to brake with, miles an hour to metres.
func TestStoppingDistance(t *testing.T) {
	const mile, think, brake = 1609.344 / 3600, 0.67, 6.57
	for _, row := range [][2]float64{{20, 12}, {30, 23}, {40, 36}, {50, 53}, {60, 73}, {70, 96}} {
		verify.Check(t, verify.Case{ID: fmt.Sprintf("WD-%g", row[0]), Quantity: fmt.Sprintf("stopping distance at %g miles an hour", row[0]), Unit: "m", Source: "The Highway Code, typical stopping distances (from memory)",
			Want: row[1], AbsTol: 0.9, Why: "thinking and braking are printed to the metre, each"}, sure(t)(StoppingDistance(row[0]*mile, think, brake)))
	}
}

// TestPreloadTorque: a nut with a preload of 3000 N on a screw of 40 mm, lead 10 mm, ball circle 41.75 mm.
func TestPreloadTorque(t *testing.T) {
	verify.Check(t, verify.Case{ID: "WP-01", Quantity: "preload torque of a screw of 40 mm, lead 10 mm, preload 3000 N", Unit: "N·m", Source: "worked example of a maker (from memory)", Want: 0.865, RelTol: 2e-3},
		sure(t)(PreloadTorque(3000, 10e-3, 41.75e-3)))
}

// TestOffLine: a screw of 20 mm root, 0.1 mm out of line 200 mm from its fixed bearing: I = π 20⁴/64 = 7854 mm⁴, 3 · 206000 · 7854 · 0.1/200³ = 60.67 N.
func TestOffLine(t *testing.T) {
	verify.Check(t, verify.Case{ID: "WO-01", Quantity: "force across a screw of 20 mm, 0.1 mm out of line at 200 mm", Unit: "N", Source: "cantilever, by hand", Want: 60.672, RelTol: 1e-4},
		sure(t)(OffLineForce(206e9, 20e-3, 0.1e-3, 0.2)))
}
