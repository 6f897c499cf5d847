package machine

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/modal"
	"ironbed/compiler/verify"
	"ironbed/spec"
)

// blockOnSprings is a machine of one heavy block on springs to the floor, with a stiff
// light column to the spindle, beside a bench that stands still: it moves along x and along y as a mass on one spring.
func blockOnSprings(x, y, more string) string {
	return fmt.Sprintf(`machine.#Machine & {
	name: "block"
	sections: post: bar: {height: "300 mm", width: "300 mm"}
	materials: light: {modulus: "50 GPa", density: "20 kg/m3"}
	sections: post: material: "light"
	bodies: block: {
		nodes: {
			base: ["0 mm", "0 mm", "0 mm"]
			top: ["0 mm", "0 mm", "200 mm"]
		}
		members: column: {from: "base", to: "top", section: "post"}
		masses: block: {at: "base", mass: "%g kg", inertia: ["20 kg·m2", "20 kg·m2", "20 kg·m2"]}
	}
	bodies: bench: {
		nodes: seat: ["0 mm", "0 mm", "200 mm"]
		masses: vice: {at: "seat", mass: "5 kg"}
		supports: seat: ["x", "y", "z", "rx", "ry", "rz"]
	}
	joints: springs: {between: ["block.base", "floor"], stiffness: {x: "%s", y: "%s", z: "500 N/µm",
		rx: "100000 kN·m/rad", ry: "100000 kN·m/rad", rz: "100000 kN·m/rad"}}
	spindle: {
		at: "block.top"
		nose: ["0 mm", "0 mm", "0 mm"]
		min_speed: "3000 rpm"
		max_speed: "24000 rpm"
		torque: [{speed: "3000 rpm", torque: "2 N·m"}, {speed: "24000 rpm", torque: "1 N·m"}]
		mass: "0.2 kg"
	}
	workpiece: {on: "bench", nodes: ["seat"]}
	cutters: end: {diameter: "10 mm", material: "carbide", teeth: 2, flute_length: "22 mm", stick_out: "30 mm"}
	%s
}`, blockMass, x, y, more)
}

const blockMass = 1000.0 // [kg]

// blockFrequency is the natural frequency of the block on a stiffness [Hz].
func blockFrequency(stiffness float64) float64 { return math.Sqrt(stiffness/blockMass) / (2 * math.Pi) }

// TestModesCross: of two modes whose order changes with an uncertain stiffness each keeps
// its own range, by the closed form of a mass on a spring.
func TestModesCross(t *testing.T) {
	s, err := Analyse(sample.Written(t, blockOnSprings("10 N/µm", "9..14 N/µm", "")))
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range [][3]float64{{10e6, 10e6, 10e6}, {11.5e6, 9e6, 14e6}} {
		got := s.ModeFrequency(k)
		if len(got.Ends) != 2 {
			t.Fatalf("mode %d has no range: %v", k+1, got)
		}
		for i, f := range []float64{got.Middle, got.Ends[0], got.Ends[1]} {
			verify.Check(t, verify.Case{
				ID: "mode-of-block", Quantity: fmt.Sprintf("frequency of mode %d, end %d", k+1, i), Unit: "Hz",
				Source: "closed form, a mass on a spring", Want: blockFrequency(want[i]), RelTol: 2e-3,
			}, f)
		}
	}
	if first, second := s.ModeName(&s.Vibrations[0], 0), s.ModeName(&s.Vibrations[0], 1); first != "block moves along X" || second != "block moves along Y" {
		t.Errorf("the modes are %q and %q", first, second)
	}
	if n, ok := s.ModeAt(spec.Worse, 0); !ok || n != 1 {
		t.Errorf("with every value at its worse end, the mode along x is number %d, %v", n+1, ok)
	}
}

// TestModesFollowed: on the examples, the material points tell the modes of one pose apart,
// a mode is its own counterpart, and no two modes have one counterpart.
func TestModesFollowed(t *testing.T) {
	for _, name := range sample.Names {
		s, err := Analyse(sample.Example(t, name))
		if err != nil {
			t.Fatal(err)
		}
		shapes := s.Model.shapes(s.Worst.Posed, s.Vibrations[0].Modes)
		table, err := modal.Criterion(s.Model.materialMass(), shapes, shapes)
		if err != nil {
			t.Fatal(err)
		}
		for i := range SweepModes {
			for k := range SweepModes {
				if i != k && table[i][k] > 0.3 {
					t.Errorf("%s: modes %d and %d are alike by %.2f", name, i+1, k+1, table[i][k])
				}
			}
		}
		worst := s.inPoses[s.poseNumber(s.Worst)]
		for k := range SweepModes {
			if n, ok := worst.of(k); !ok || n != k {
				t.Errorf("%s: mode %d is %d in its own pose", name, k+1, n+1)
			}
		}
		for _, list := range append([]counterparts{s.softModes, s.stiffModes}, s.inPoses...) {
			var used []int
			for _, n := range list {
				if n >= 0 && slices.Contains(used, n) {
					t.Errorf("%s: two modes are mode %d", name, n+1)
				}
				used = append(used, n)
			}
		}
	}
}
