package spec

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestUsualMotorMass: masses of servos by rated torque and of steppers by holding torque [N·m], in
// kilograms, as makers' tables have them for the common frame sizes of 40 to 130 mm; from memory. The
// rules' range, ± 35 %, holds them all, and half of it does too.
func TestUsualMotorMass(t *testing.T) {
	for _, row := range []struct{ torque, mass float64 }{{0.32, 0.5}, {0.64, 0.9}, {1.27, 1.5}, {2.39, 2.7}, {4.77, 5.2}, {7.16, 7.0}, {9.55, 8.8}, {14.3, 12.0}} {
		if share := servoMass(row.torque) / row.mass; share < 0.825 || share > 1.175 {
			t.Errorf("servo of %g N·m: %.3g kg, tables have %g", row.torque, servoMass(row.torque), row.mass)
		}
	}
	for _, row := range []struct{ torque, mass float64 }{{0.45, 0.29}, {1.26, 0.7}, {1.9, 1.05}, {3.0, 1.5}, {4.5, 2.3}, {8.5, 3.9}, {12, 5.3}} {
		if share := stepperMass(row.torque) / row.mass; share < 0.825 || share > 1.175 {
			t.Errorf("stepper of %g N·m: %.3g kg, tables have %g", row.torque, stepperMass(row.torque), row.mass)
		}
	}
}

// TestUsualNutMass: flanged nuts for a lead of 5 or 10 mm by the screw's diameter [m], in kilograms,
// from tables of nuts to DIN 69051, from memory; the rule's range is ± 50 %.
func TestUsualNutMass(t *testing.T) {
	for across, mass := range map[float64]float64{0.020: 0.4, 0.025: 0.5, 0.032: 0.95, 0.040: 1.9, 0.050: 3.4} {
		var s Screw
		s.Diameter.q.Value = across
		if got, _, _ := s.usualNut(7850); got < mass/1.5 || got > 1.5*mass {
			t.Errorf("nut of %g m: %.3g kg, tables have %g", across, got, mass)
		}
	}
}

// TestListedFor: which names of a body's mass stand for the motor of axis x, drive near.
func TestListedFor(t *testing.T) {
	for name, want := range map[string]bool{
		"motor": true, "motors": true, "motor_x": true, "x motor": true, "near_motor_2": true, "Motor-1": true,
		"spindle_motor": false, "motor_y": false, "motor_plate": false, "x": false, "": false, "reduction": false,
	} {
		m := Machine{Bodies: Map[Body]{{Name: "bed", Item: Body{Masses: Map[Mass]{{Name: name}}}}}}
		if got := m.listedFor(RidingMotor, Text{Text: "bed.a"}, "x", "near") != nil; got != want {
			t.Errorf("%q stands for the motor: %v", name, got)
		}
	}
	m := Machine{Bodies: Map[Body]{{Name: "bed", Item: Body{Masses: Map[Mass]{{Name: "motor"}, {Name: "motor_x"}, {Name: "gearbox"}}}}}}
	if e := m.listedFor(RidingMotor, Text{Text: "bed.a"}, "x", "near"); e.Name != "motor_x" {
		t.Errorf("the motor of axis x is listed as %q", e.Name)
	}
	if e := m.listedFor(RidingReduction, Text{Text: "bed.a"}, "x", "near"); e == nil || e.Name != "gearbox" {
		t.Error("a gearbox is no reduction")
	}
}

// TestTwiceWeighed: a motor with a mass of its own that its body lists too is refused, at the listing.
func TestTwiceWeighed(t *testing.T) {
	for motor, refused := range map[string]bool{`mass: "2 kg"`: true, ``: false} {
		dir := t.TempDir()
		text := `package m

import "ironbed.example/machine"

machine.#Machine & {
	name: "m"
	envelope: x: "100 mm"
	sections: bar: bar: {height: "50 mm", width: "50 mm"}
	rails: r: {}
	bodies: bed: {
		nodes: {a: ["0 mm", "0 mm", "0 mm"], b: ["400 mm", "0 mm", "0 mm"], c: ["200 mm", "300 mm", "0 mm"]}
		members: {side: {from: "a", to: "b", section: "bar"}, leg: {from: "a", to: "c", section: "bar"}}
		masses: motor: {at: "a", mass: "2 kg"}
		feet: {a: {at: "a"}, b: {at: "b"}, c: {at: "c"}}
	}
	bodies: slide: nodes: nut: ["150 mm", "0 mm", "50 mm"]
	axes: x: {
		moves: "slide", on: "bed", direction: "x"
		guides: one: {rail: "r", over: ["bed.side"], carriages: ["slide.nut"]}
		drives: one: {
			screw: {diameter: "16 mm", lead: "5 mm", length: "380 mm", ends: "fixed-free"}
			nut: "slide.nut", bearing: "bed.a"
			motor: {rated_torque: "1 N·m", rated_speed: "3000 rpm", ` + motor + `}
		}
	}
}
`
		if err := os.WriteFile(filepath.Join(dir, "m.cue"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		m, diagnostics, err := Load(dir)
		if err != nil {
			t.Fatal(err)
		}
		said := ""
		for _, d := range diagnostics {
			said += d.At.File + ": " + d.Message + "\n"
		}
		if got := strings.Contains(said, "weighs the motor of axis x a second time"); got != refused {
			t.Errorf("motor with %q: %s", motor, said)
		}
		if refused {
			continue
		}
		if m == nil {
			t.Fatal(said)
		}
		for _, a := range m.Assumptions {
			if strings.HasPrefix(a.What, "mass of a servo") {
				t.Errorf("a listed motor is assumed too: %s", a.What)
			}
		}
	}
}
