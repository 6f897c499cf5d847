package machine

import (
	"errors"
	"math"
	"strings"
	"testing"

	"ironbed/compiler/chatter"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/modal"
	"ironbed/compiler/verify"
)

// measuredBlock is the block on springs, soft along x alone, with measured modes.
func measuredBlock(t *testing.T, modes string) *Solution {
	t.Helper()
	s, err := Analyse(sample.Written(t, blockOnSprings("10 N/µm", "2000 N/µm", modes)))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// lossOfFirst is the loss factor of the lowest mode in a vibration.
func lossOfFirst(r *Vibration) float64 {
	return r.Nose.Modes()[0].Loss
}

// slotLimit is the depth that is stable at every speed in a slot with two teeth, at the
// spindle nose.
func slotLimit(t *testing.T, s *Solution) float64 {
	t.Helper()
	receptance, err := modal.New(s.Vibrations[0].Nose.Modes(), nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	grid, err := receptance.Grid(5, 60, perOctave)
	if err != nil {
		t.Fatal(err)
	}
	plane := chatter.Plane{Frequency: grid.Frequency}
	for _, h := range grid.H {
		plane.G = append(plane.G, [4]complex128{h[0], h[1], h[6], h[7]})
	}
	limit, err := chatter.Unconditional(plane, chatter.Cut{Teeth: 2, Exit: math.Pi, Tangential: slotTangential, Radial: slotRadial})
	if err != nil {
		t.Fatal(err)
	}
	return limit.Depth
}

const (
	slotTangential = 800e6 // [Pa]
	slotRadial     = 0.3   // [-]
)

// TestMeasuredDampingSetsTheLimit holds the stability limit of a machine with one mode to
// the closed form: with αxx = −π Kr of a slot, and G along x alone,
//
//	a = −2/(N Kt Kr Re G min),  Re G min = −1/(2 k η) = −1/(4 k ζ)
//
// for hysteretic damping, so that twice the measured damping has twice the limit.
func TestMeasuredDampingSetsTheLimit(t *testing.T) {
	const stiffness = 10e6 // [N/m]
	var limits []float64
	for _, of := range []struct {
		text string
		zeta float64
	}{
		{`measured_modes: sway: {frequency: "16 Hz", damping_ratio: "1 %"}`, 0.01},
		{`measured_modes: sway: {frequency: "15 Hz", damping_ratio: 0.02}`, 0.02},
		{`measured_modes: sway: {frequency: "17 Hz", loss_factor: 0.08}`, 0.04},
	} {
		s := measuredBlock(t, of.text)
		got := slotLimit(t, s)
		limits = append(limits, got)
		verify.Check(t, verify.Case{
			ID: "measured-damping", Quantity: "stability limit of a slot at any speed, one mode", Unit: "m",
			Source: "closed form, Altintas Budak 1995 with one mode of hysteretic damping",
			Want:   8 * stiffness * of.zeta / (2 * slotTangential * slotRadial), RelTol: 0.02,
		}, got)
		if e := s.MeasuredMode(0); e == nil || e.Name != "sway" {
			t.Errorf("the lowest mode is measured as %v", e)
		}
		if e := s.MeasuredMode(1); e != nil {
			t.Errorf("the second mode is measured as %s", e.Name)
		}
	}
	for i := range 2 {
		if ratio := limits[i+1] / limits[i]; math.Abs(ratio-2) > 0.03 {
			t.Errorf("twice the damping has %.3f times the limit", ratio)
		}
	}
	if plain := slotLimit(t, measuredBlock(t, "")); math.Abs(plain/limits[0]-1) < 0.1 {
		t.Error("the computed damping is that which was measured: the test shows nothing")
	}
}

// TestMeasuredDampingAtTheEnds: at the ends of the uncertainty a measured mode keeps the
// bounds of its own, though its frequency moves by more than the share that pairs it.
func TestMeasuredDampingAtTheEnds(t *testing.T) {
	s, err := Analyse(sample.Written(t, blockOnSprings("5..20 N/µm", "2000 N/µm", `measured_modes: sway: {frequency: "18 Hz", damping_ratio: "1 % ± 20 %"}`)))
	if err != nil {
		t.Fatal(err)
	}
	for name, of := range map[string]struct {
		vibration *Vibration
		loss      float64
	}{
		"middle": {&s.Vibrations[0], 0.02},
		"worse":  {&s.SoftVibrations[0], 0.016},
		"better": {&s.StiffVibrations[0], 0.024},
	} {
		if got := lossOfFirst(of.vibration); math.Abs(got-of.loss) > 1e-9 {
			t.Errorf("%s: loss factor %g, want %g", name, got, of.loss)
		}
	}
}

// TestMeasuredModesFollowed: on an example, a mode measured in one position is the same
// mode in every position into which it is followed, and all others keep their damping.
func TestMeasuredModesFollowed(t *testing.T) {
	plain, err := Analyse(sample.Example(t, "slipway-gantry"))
	if err != nil {
		t.Fatal(err)
	}
	m, _ := sample.Edited(t, "slipway-gantry", [2]string{"machine.#Machine & {",
		"machine.#Machine & {\n\tmeasured_modes: \"along x\": {frequency: \"55.5 Hz\", loss_factor: 0.3, position: x: \"0 mm\"}"})
	s, err := Analyse(m)
	if err != nil {
		t.Fatal(err)
	}
	for i := range s.EveryVibration {
		was, is := plain.EveryVibration[i].Nose.Modes(), s.EveryVibration[i].Nose.Modes()
		changed := 0
		for k := range is {
			if is[k].Loss == was[k].Loss {
				continue
			}
			changed++
			if n, ok := s.inPoses[i].of(1); is[k].Loss != 0.3 || !ok || n != k {
				t.Errorf("position %d: mode %d has the loss factor %g", i, k+1, is[k].Loss)
			}
		}
		if changed != 1 {
			t.Errorf("position %d: %d modes are damped as measured", i, changed)
		}
	}
}

// TestMeasuredModeRefused: a measured mode that is no mode of the machine, and one that was
// measured twice, are said at their line.
func TestMeasuredModeRefused(t *testing.T) {
	for text, want := range map[string]string{
		`sway: {frequency: "25 Hz", damping_ratio: 0.01}`:                                                "no computed mode for measured mode sway: 25 Hz",
		`{a: {frequency: "16 Hz", damping_ratio: 0.01}, b: {frequency: "15 Hz", damping_ratio: 0.02}}`:   "no computed mode for measured mode",
		`{a: {frequency: "16 Hz", damping_ratio: 0.01}, c: {frequency: "1000 Hz", damping_ratio: 0.02}}`: "no computed mode for measured mode c",
	} {
		_, err := Analyse(sample.Written(t, blockOnSprings("10 N/µm", "2000 N/µm", "measured_modes: "+text)))
		var r *Refused
		if !errors.As(err, &r) || r.Rule != "measured-mode" || r.At.Line == 0 || !strings.Contains(r.Message, want) {
			t.Errorf("%s: %v", text, err)
		}
	}
	m, _ := sample.Edited(t, "slipway-gantry", [2]string{"machine.#Machine & {", "machine.#Machine & {\n\tmeasured_modes: {" +
		"here: {frequency: \"55.5 Hz\", loss_factor: 0.3, position: x: \"0 mm\"}, there: {frequency: \"55.5 Hz\", loss_factor: 0.2, position: x: \"1600 mm\"}}"})
	var r *Refused
	if _, err := Analyse(m); !errors.As(err, &r) || !strings.Contains(r.Message, "here and there are the same mode") {
		t.Errorf("a mode measured twice: %v", err)
	}
}
