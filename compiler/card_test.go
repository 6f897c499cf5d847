package compiler_test

import (
	"math"
	"strconv"
	"testing"

	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
)

// TestAcceptanceByHand: the card of slipway-gantry, each reading by hand from the figures that the report prints of the machine.
func TestAcceptanceByHand(t *testing.T) {
	undrawn(t)
	b := figured(t, sample.Example(t, "slipway-gantry"), "acceptance.push.x")
	at := func(id string) build.Figure {
		t.Helper()
		f, ok := b.Figures.Get(id)
		if !ok {
			t.Fatalf("no figure %s", id)
		}
		return f
	}
	reversal := math.Max(at("axis.x.motion.reversal_error").Value, at("axis.y.motion.reversal_error").Value)
	lead := 1e3 * at("axis.x.drive.near.travel_error").Value // mm to µm
	spindle := at("heat.spindle.growth")
	for _, c := range []struct {
		id               string
		low, middle, top float64
	}{
		// 100 N is the least of 50, 100, 200 and 400 N that gives 20 µm: 50 N gives 13.9 µm. Stiffer reads less.
		{"push.x", 100 / at("tool.stiffness.x").High, 100 / at("tool.stiffness.x").Value, 100 / at("tool.stiffness.x").Low},
		{"push.z", 400 / at("tool.stiffness.z").High, 400 / at("tool.stiffness.z").Value, 400 / at("tool.stiffness.z").Low},
		// 2 γ L: 50 µm/m, from 20 to 100, over 300 mm of blade, and over the 200 mm that z travels.
		{"square.x_y", 12, 30, 60},
		{"square.x_z", 8, 20, 40},
		// Half of the lead error, from none to all; with the reversal error; with 4 r/√12 of a step of 1 µm.
		{"positioning.x.mean", 0, lead / 2, lead},
		{"positioning.x.systematic", at("axis.x.motion.reversal_error").Low, lead/2 + at("axis.x.motion.reversal_error").Value, lead + at("axis.x.motion.reversal_error").High},
		{"positioning.x.accuracy", at("axis.x.motion.reversal_error").Low + 4/math.Sqrt(12), lead/2 + at("axis.x.motion.reversal_error").Value + 4/math.Sqrt(12),
			lead + at("axis.x.motion.reversal_error").High + 4/math.Sqrt(12)},
		// The lost motion b: a quarter begins b/2 outside and ends b/2 inside. Squareness, R γ sin θ cos θ with 2.5 µm, and gains 5 % apart,
		// v/K 0.05/1.05 sin θ cos θ with 10 µm, grow from nothing at its ends more slowly than b/2 cos θ falls.
		{"circle.x_y", math.NaN(), reversal, math.NaN()},
		// 66 µm (1 − e^(−60/56.7)) and its like.
		{"warm.spindle", math.NaN(), spindle.Value * -math.Expm1(-60/at("heat.spindle.time_constant").Value), math.NaN()},
		{"tap.1", math.NaN(), 2 * at("mode.1.damping").Value / 100 * at("mode.1.frequency").Value / 5, math.NaN()},
	} {
		f := at("acceptance." + c.id)
		for _, v := range [][2]float64{{f.Low, c.low}, {f.Value, c.middle}, {f.High, c.top}} {
			if !math.IsNaN(v[1]) && math.Abs(v[0]-v[1]) > 1e-6*math.Abs(v[1])+1e-9 {
				t.Errorf("%s: %s, want %g (%g to %g)", c.id, f, c.middle, c.low, c.top)
				break
			}
		}
	}
}

// TestFirstCutsByHand: the ladder of slipway-gantry goes from hardwood over aluminium to steel, each rung deeper than the one before, and what is
// said to do when it chatters is 60 f/(k N) of the frequency that the report prints.
func TestFirstCutsByHand(t *testing.T) {
	b := figured(t, sample.Example(t, "slipway-gantry"), "target.keel_band.ladder.depth")
	at := func(id string) float64 {
		t.Helper()
		f, ok := b.Figures.Get(id)
		if !ok {
			t.Fatalf("no figure %s", id)
		}
		return f.Value
	}
	rungs := tableOf(t, b.Book, "first-cuts", "Ladder").Rows[1:]
	for i, name := range []string{"planking", "keel band", "bracket"} {
		least := 0.0
		for _, row := range rungs[3*i : 3*i+3] {
			if row[1].Text != name {
				t.Errorf("rung %s is of %s, want %s", row[0].Text, row[1].Text, name)
			}
			if depth := at(row[2].Figure); depth <= least {
				t.Errorf("rung %s of %s is %g mm deep after %g mm", row[0].Text, name, depth, least)
			} else {
				least = depth
			}
		}
	}
	if got, want := at("target.keel_band.ladder.depth"), math.Sqrt(at("target.keel_band.first_depth")*at("target.keel_band.depth")); math.Abs(got-want) > 1e-9 {
		t.Errorf("the rung between is %g mm, want %g", got, want)
	}
	// The face mill has four teeth and turns at 3800 rpm, 253 teeth a second; it chatters at 437 Hz, between one and two vibrations to a tooth. The
	// pocket below is at two; the one above, at 6560 rpm, is faster than it may turn.
	var hz float64
	for _, row := range tableOf(t, b.Sheets, "chatter", "Stability of each best cut, worst direction of feed").Rows {
		if row[0].Text == "keel band" {
			var err error
			if hz, err = strconv.ParseFloat(row[6].Text, 64); err != nil {
				t.Fatal(err)
			}
		}
	}
	if got := at("target.keel_band.ladder.slower"); math.Abs(got-60*hz/(2*4)) > 60*0.5/(2*4) {
		t.Errorf("the speed below is %g rpm, and it chatters at %g Hz", got, hz)
	}
	if _, ok := b.Figures.Get("target.keel_band.ladder.faster"); ok {
		t.Error("there is a speed above the first lobe")
	}
}

// TestLevellingByHand: the long beds of spar-bench, 4.4 m of 60 mm, 6 mm deep.
func TestLevellingByHand(t *testing.T) {
	b := figured(t, sample.Example(t, "spar-bench"), "levelling.x.near.time")
	for id, want := range map[string][3]float64{
		"volume": {1.584, 1.584, 1.584},                                            // L
		"mass":   {1.1 * 1.584 * 1.0925, 1.1 * 1.584 * 1.15, 1.1 * 1.584 * 1.2075}, // kg
		// 3 · 0.6 · 4.4² / (1150 · 9.80665 · 0.006³ · π²) = 1449.5 s for each factor of e, and ln(0.6 mm/10 µm) of them; half as viscous at the
		// low end, and half as much again at the high one.
		"time": {math.NaN(), 1449.5 * math.Log(60) / 60, math.NaN()},
		// Pot life halves with each 10 K.
		"pot_life": {40 / math.Sqrt2, 60, 90 * math.Sqrt2},
		"reach":    {math.NaN(), 4400 * math.Sqrt(3600/(1449.5*math.Log(60))), math.NaN()},
		// √(0.04/(1150 · 9.80665)) = 1.8833 mm, ln(√2 · 188.33) = 5.585.
		"strip": {math.NaN(), 1.8833 * 5.585, math.NaN()},
		"flat":  {math.NaN(), 60 - 2*1.8833*5.585, math.NaN()},
		// 3 · 0.6 · 0.9 · ln 60 / (18e-3³ · 1150 · 9.80665 · 3600 · (1/0.264 + 1/0.264)) = 6.6329/1793.8 m.
		"channel": {math.NaN(), 3.698, math.NaN()},
		// (3 · 0.001 · 4.4² · ln 100 / (π² · 998 · 9.80665 · 600))^⅓ = 1.6649 mm; √(0.03/(998 · 9.80665)) = 1.7508 mm, ln(√2 · 175.08) = 5.512.
		"water":          {math.NaN(), 1.6649, math.NaN()},
		"water_strip":    {math.NaN(), 1.7508 * 5.512, math.NaN()},
		"residual":       {2.5, 25, 75},      // 5 % of 0.5 mm, from 1 % of 0.25 mm to 10 % of 0.75 mm
		"residual_twice": {0.025, 1.25, 7.5}, // and of that again
	} {
		f, ok := b.Figures.Get("levelling.x.near." + id)
		if !ok {
			t.Errorf("no figure %s", id)
			continue
		}
		low, high := f.Low, f.High
		if !f.Bounded {
			low, high = f.Value, f.Value
		}
		for i, got := range [3]float64{low, f.Value, high} {
			if !math.IsNaN(want[i]) && math.Abs(got-want[i]) > 2e-4*want[i] {
				t.Errorf("%s: %s, want %v", id, f, want)
				break
			}
		}
	}
}

// TestLandAsRead: a land that was read gives how uneven it is, and its map; what a surface reads says nothing of it.
func TestLandAsRead(t *testing.T) {
	const near = "guides: near: readings: {"
	m, _ := sample.Edited(t, "spar-bench", [2]string{near, near + `
			"land, near": {of: "land", straightedge: {at: ["0 mm", "1100 mm", "2200 mm", "3300 mm", "4400 mm"], division: "10 µm", straightness: "20 µm",
				read: ["0 mm", "0.1 mm", "0.2 mm", "0.1 mm", "0 mm"]}}`})
	b := figured(t, m, "levelling.x.near.residual")
	// 0.2 mm, and 5 % of it: 10 µm.
	if f, _ := b.Figures.Get("levelling.x.near.residual"); math.Abs(f.Value-10) > 1e-6 {
		t.Errorf("of a land that is 0.2 mm uneven %s is left, want 10 µm", f)
	}
	rows := tableOf(t, b.Book, "levelling-long", "Land map, axis x: height over the lowest place, mm").Rows
	// From the line of least squares, level at 0.08 mm, the same over the lowest place; straight from point to point.
	for i, want := range []string{"0", "0.05", "0.1", "0.15", "0.2", "0.15", "0.1", "0.05", "0"} {
		if got := rows[i][1].Text; got != want {
			t.Errorf("place %d: %q, want %q", i, got, want)
		}
	}
	if rows[0][3].Text != "" {
		t.Errorf("of the far land, which was not read, %q", rows[0][3].Text)
	}
}

// tableOf is a table of a sheet, by its caption.
func tableOf(t *testing.T, sheets []build.Sheet, id, caption string) build.Table {
	t.Helper()
	for _, s := range sheets {
		for _, block := range s.Blocks {
			if table, ok := block.(build.Table); ok && s.ID == id && table.Caption == caption {
				return table
			}
		}
	}
	t.Fatalf("sheet %s has no table %q", id, caption)
	return build.Table{}
}
