package compiler_test

import (
	"math"
	"slices"
	"testing"

	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
)

// TestRailsDrivesUpkeepByHand: the sheets of slipway-gantry after the fill, each number by hand from the spec and from figures that the report prints.
func TestRailsDrivesUpkeepByHand(t *testing.T) {
	undrawn(t)
	b := figured(t, sample.Example(t, "slipway-gantry"), "upkeep.x.rails")
	at := func(id string) float64 {
		t.Helper()
		f, ok := b.Figures.Get(id)
		if !ok {
			t.Fatalf("no figure %s", id)
		}
		return f.Value
	}
	// M6, p 1 mm: At = π/4 (6 − 0.938194)² = 20.123 mm²; two thirds of 580 MPa.
	preload := 2.0 / 3 * 580 * math.Pi / 4 * math.Pow(6-0.938194, 2)
	// What turns, by its energy at the rapid feed of 0.1 m/s.
	turning := 0.0
	for _, side := range []string{"near", "far"} {
		turning += 2 * at("axis.x.drive."+side+".crash_turning_energy") / 0.01
	}
	push, mass := at("axis.x.crash.push"), at("mass.moving.x")
	// The motors turn at 3000 rpm at the most, with a lead of 10 mm 0.5 m/s; pushed over 1600 mm it would be faster.
	speed := math.Min(0.5, math.Sqrt(2*push*1.6/(mass+turning)))
	screw := 206e3 * 3 * math.Pi / 64 * math.Pow(0.88*32, 4) * 0.1
	for id, want := range map[string]float64{
		"rails.x.near.torque":         0.2 * preload * 6e-3,
		"rails.x.near.thread":         preload / (0.875 * math.Pi * 6 * 0.58 * 235),
		"rails.x.near.length":         2400,
		"rails.x.near.steel":          8, // the wall of RHS 200x100x8
		"axis.x.runaway.speed":        speed * 60,
		"axis.x.runaway.energy":       (mass+turning)*speed*speed/2 + push*0.02,
		"axis.x.runaway.takes":        500,
		"axis.x.runaway.braking":      0.1*50 + 0.01/(2*0.5)*1e3,
		"setup.x.drive.near.off_line": screw / math.Pow(400, 3),
		"setup.x.following":           100 / at("setup.x.gain"),
		"setup.x.trip":                150 / at("setup.x.gain"),
		// Three-phase, 13.3 Ω/km at 20 °C, 70 °C.
		"electrics.spindle_power.drop": math.Sqrt(3) * 13.3e-3 * 1.2 * at("cable.spindle_power.length") * 9,
		"upkeep.x.rails":               100e3 / 60 / at("upkeep.x.mean_speed"),
		// 10 (14·10⁶/(n √24) − 96), n 5.21 m/min over 10 mm a turn; five years at the most.
		"upkeep.x.bearing": math.Min(5*365.25*24, 10*(14e6/(100*at("upkeep.x.mean_speed")*math.Sqrt(24))-96)),
		// 1.3 · 1600 kg/m³ of 25 × 2400 × 1.5 mm.
		"bonding.rail_near_of_axis_x.mass":     1.3 * 1600 * 25 * 2400 * 1.5 * 1e-6,
		"bonding.rail_near_of_axis_x.for_good": 0.1 * 12 * 25 * 100,
	} {
		if got := at(id); math.Abs(got-want) > 2e-3*math.Abs(want) {
			t.Errorf("%s: %g, want %g", id, got, want)
		}
	}
	// RHS 250x150x8, rails 95 mm off its middle: flat to 125 − 20 mm, and until a circle of 20 mm has fallen by 0.2 mm, √(20² − 19.8²) = 2.82 mm further,
	// drawn by chords, which fall sooner.
	if got := at("rails.y.low.flat"); got < 10 || got > 12.82 {
		t.Errorf("the beam is flat for %g mm beside the rail, want 10 to 12.8", got)
	}
	gain := at("axis.x.motion.usual_gain") * 7 / 10 / 2 // half of the low end: 2π f/10 over 2π f/7
	if got := at("setup.x.gain"); math.Abs(got-gain) > 1e-6*gain && got > gain {
		t.Errorf("the gain to begin with is %g, want no more than %g", got, gain)
	}
}

// TestJointsAreStaggered: the rails of spar-bench, of 4400 mm and pieces of 4 m at the most, are 73 pitches of 60 mm long, and their joints lie two carriages of
// 80 mm apart, in whole pitches 180 mm.
func TestJointsAreStaggered(t *testing.T) {
	undrawn(t)
	b := figured(t, sample.Example(t, "spar-bench"), "upkeep.x.rails")
	rows := tableOf(t, b.Book, "rails-x", "Drilling plan").Rows
	if got := [2]string{rows[0][3].Text, rows[1][3].Text}; got != [2]string{"2220 + 2160", "2040 + 2340"} {
		t.Errorf("pieces of %q", got)
	}
}

// TestStopsAndDrops: a stop that a runaway breaks and a cable that loses too much are found at their lines.
func TestStopsAndDrops(t *testing.T) {
	undrawn(t)
	for _, c := range []mistake{
		{"a stop that is too weak", "slipway-gantry", [][2]string{{`stops: {stroke: "20 mm", energy: "250 N·m"}`, `stops: {stroke: "20 mm", energy: "30 N·m"}`}}, "stop-too-weak", `energy: "30 N·m"`},
		{"a cable that is too thin", "slipway-gantry", [][2]string{{`voltage: "230 V", conductor: "1.5 mm2"`, `voltage: "24 V", conductor: "0.75 mm2"`}}, "voltage-drop", `conductor: "0.75 mm2"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, files := sample.Edited(t, c.example, c.edits...)
			c.found(t, figured(t, m, "axis.x.runaway.energy"), files)
		})
	}
	whole := figured(t, sample.Example(t, "slipway-gantry"), "axis.x.runaway.energy")
	if i := slices.IndexFunc(whole.Findings, func(f build.Finding) bool { return f.Rule == "stop-too-weak" || f.Rule == "voltage-drop" }); i >= 0 {
		t.Error(whole.Findings[i])
	}
}
