package compiler_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"ironbed/compiler/build"
	"ironbed/compiler/chatter"
	"ironbed/compiler/cutting"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// answer compiles an example with something changed and returns a target's answer.
func answer(t testing.TB, name, target string, edits ...spec.Edit) build.Target {
	t.Helper()
	for _, a := range answered(t, sample.Only(t, sample.With(t, sample.Example(t, name), edits...), target)).Targets {
		if a.Name == target {
			return a
		}
	}
	t.Fatalf("no target %s", target)
	return build.Target{}
}

// turning gives a spindle a range of speeds at one torque.
func turning(slowest, fastest, torque string) []spec.Edit {
	return []spec.Edit{
		{Path: "spindle.min_speed", Value: strconv.Quote(slowest)}, {Path: "spindle.max_speed", Value: strconv.Quote(fastest)},
		{Path: "spindle.torque", Value: fmt.Sprintf("[{speed: %q, torque: %q}, {speed: %q, torque: %q}]", slowest, torque, fastest, torque)},
	}
}

// TestTwoSpindles: the same machine cuts steel with a geared spindle and not with a
// fast one, because the fast one cannot turn slowly enough for the cutter.
func TestTwoSpindles(t *testing.T) {
	only := spec.Edit{Path: "targets.bracket.cutters", Value: `["12 mm three-flute"]`}
	fast := answer(t, "slipway-gantry", "bracket", append(turning("12000 rpm", "24000 rpm", "0.9 N·m"), only)...)
	geared := answer(t, "slipway-gantry", "bracket", append(turning("600 rpm", "6000 rpm", "6 N·m"), only)...)
	if fast.Verdict != build.OutOfReach || !strings.HasPrefix(fast.Limiting, string(reach.SpindleSpeed)) {
		t.Errorf("fast spindle: %s, %s", fast.Verdict, fast.Limiting)
	}
	if geared.Roughing != reach.LightCuts.String() || strings.Contains(geared.Limiting, "spindle") {
		t.Errorf("geared spindle: roughing %s, %s", geared.Roughing, geared.Limiting)
	}
}

// TestStickOut: with the cutter three diameters out the machine is the soft part,
// with ten the cutter is.
func TestStickOut(t *testing.T) {
	at := func(diameters float64, accuracy string) string { // coarse enough that finishing does not decide
		// Damped so well that it does not chatter first.
		damped := spec.Edit{Path: "damping", Value: "{members: 0.5, carriages: 0.5, drives: 0.5, feet: 0.5, spindle: 0.5, shaft: 0.5, clamping: 0.5, tool: 0.5}"}
		edits := []spec.Edit{damped, spec.Edit{Path: `targets."keel band".cutters`, Value: `["12 mm three-flute"]`},
			spec.Edit{Path: `targets."keel band".finish_allowance`, Value: `"0.05 mm"`},
			spec.Edit{Path: `targets."keel band".accuracy`, Value: accuracy},
			spec.Edit{Path: `cutters."12 mm three-flute"`, Value: fmt.Sprintf("{stick_out: \"%g mm\"}", diameters*12)}}
		// So that finishing does not decide:
		for _, drive := range []string{"x.drives.near", "x.drives.far", "y.drives.cross", "z.drives.lift"} {
			edits = append(edits, spec.Edit{Path: "axes." + drive + ".screw.backlash", Value: `"1 µm"`})
		}
		for _, axis := range []string{"x", "y"} {
			edits = append(edits, spec.Edit{Path: "axes." + axis + ".error_map", Value: "true"}, spec.Edit{Path: "axes." + axis + ".gain_difference", Value: "0"})
		}
		edits = append(edits, spec.Edit{Path: "warm_up", Value: `"4 h"`}, spec.Edit{Path: "room.temperature_change", Value: `"0 K"`})
		limiting := answer(t, "slipway-gantry", "keel band", edits...).Limiting
		return limiting[max(0, strings.Index(limiting, "deflection: ")):]
	}
	short, long := at(3, `"0.1 mm"`), at(10, `"0.07 mm"`)
	if !strings.HasPrefix(short, "deflection") || !strings.HasPrefix(long, "deflection") {
		t.Fatalf("not held by deflection: %s; %s", short, long)
	}
	if strings.Contains(short, "a stiffer frame has little effect") {
		t.Errorf("three diameters out: %s", short)
	}
	if !strings.Contains(long, "largest share of compliance: cutter") || !strings.Contains(long, "a stiffer frame has little effect") {
		t.Errorf("ten diameters out: %s", long)
	}
}

// TestWidthForDepth: a cut whose width and depth change places removes as much, with
// next to the same power, and stands quite differently to chatter.
func TestWidthForDepth(t *testing.T) {
	const d, a, b = 12e-3, 9e-3, 3e-3
	work := cutting.Work{Kc11: 1800e6, Exponent: 0.2, MinChip: 5e-6, NormalRatio: 0.35, AxialRatio: 0.2}
	// The chip is the same in both: a narrow cut is fed faster.
	power := func(width, depth float64) (watts, perVolume float64) {
		thinning, err := cutting.ThinningFactor(width / d)
		if err != nil {
			t.Fatal(err)
		}
		f, err := cutting.Cut{Diameter: d, Teeth: 3, Width: width, Depth: depth, FeedPerTooth: 0.06e-3 / thinning, Speed: 50, Mode: cutting.Down}.Forces(work)
		if err != nil {
			t.Fatal(err)
		}
		return f.MeanPower, f.SpecificEnergy
	}
	_, wide := power(a, b)
	_, narrow := power(b, a)
	if math.Abs(wide/narrow-1) > 0.15 {
		t.Errorf("power per volume: %g wide and shallow, %g narrow and deep", wide, narrow)
	}
	// One soft direction, the worst feed.
	const stiffness, loss, hz = 10e6, 0.05, 60.0
	p := chatter.Plane{}
	for f := 20.0; f < 200; f += 0.1 {
		r := f / hz
		g := 1 / complex(stiffness*(1-r*r), stiffness*loss)
		p.Frequency, p.G = append(p.Frequency, f), append(p.G, [4]complex128{g, 0, 0, 0})
	}
	stable := func(width float64) float64 {
		arc, err := cutting.EngagedArc(width/d, cutting.Down)
		if err != nil {
			t.Fatal(err)
		}
		least := math.Inf(1)
		for _, plane := range []chatter.Plane{p, {Frequency: p.Frequency, G: turnedPlane(p.G)}} {
			limit, err := chatter.Unconditional(plane, chatter.Cut{Teeth: 3, Entry: arc.Entry, Exit: arc.Exit, Tangential: work.Kc11, Radial: work.NormalRatio})
			if err != nil {
				t.Fatal(err)
			}
			least = math.Min(least, limit.Depth)
		}
		return least
	}
	// What is left of the stable depth: more or less than half as much either way.
	if ratio := (stable(a) / b) / (stable(b) / a); math.Abs(math.Log(ratio)) < math.Log(1.5) {
		t.Errorf("room before chatter changes by %g only", ratio)
	}
}

// turnedPlane makes the normal the soft direction.
func turnedPlane(g [][4]complex128) [][4]complex128 {
	out := make([][4]complex128, len(g))
	for i := range g {
		out[i][3] = g[i][0]
	}
	return out
}
