package machine

import (
	"errors"
	"math"
	"testing"

	"ironbed/compiler/chatter"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/verify"
	"ironbed/spec"
)

// tapped is the slipway with one mode measured at the tip of its 12 mm cutter.
func tapped(t *testing.T, mode string) (*Model, *spec.Cutter) {
	t.Helper()
	m, _ := sample.Edited(t, "slipway-gantry", [2]string{`"12 mm three-flute": {`, `"12 mm three-flute": {tip_modes: tap: ` + mode + `, `})
	d, err := New(m, spec.At(spec.Middle))
	if err != nil {
		t.Fatal(err)
	}
	return d, m.Cutters.Find("12 mm three-flute")
}

// TestTipModesStandForTheModel: with one mode measured at the tip, a slot's limit at any
// speed is that of the mode alone: with αxx = −π Kr of a slot and G along the feed,
// a = −2/(N Kt Kr Re G min), Re G min = −1/(2 k η).
func TestTipModesStandForTheModel(t *testing.T) {
	cut := chatter.Cut{Teeth: 2, Exit: math.Pi, Tangential: 800e6, Radial: 0.3}
	for _, c := range []struct {
		mode      string
		stiffness float64
		loss      float64
	}{
		{`{frequency: "1310 Hz", damping_ratio: 0.02, stiffness: "8 N/µm", direction: "x"}`, 8e6, 0.04},
		{`{frequency: "1310 Hz", loss_factor: 0.04, stiffness: "8 N/µm", direction: "y"}`, 8e6, 0.04},
		{`{frequency: "620 Hz", damping_ratio: 0.01, stiffness: "16 N/µm", direction: "x"}`, 16e6, 0.02},
	} {
		d, cutter := tapped(t, c.mode)
		planes, err := d.Planes(nil, cutter)
		if err != nil {
			t.Fatal(err)
		}
		least := math.Inf(1)
		for _, p := range planes {
			limit, err := chatter.Unconditional(p, cut)
			if err != nil {
				t.Fatal(err)
			}
			least = math.Min(least, limit.Depth)
		}
		verify.Check(t, verify.Case{
			ID: "tip-mode", Quantity: "stability limit of a slot at any speed, one mode", Unit: "m",
			Source: "closed form, Altintas Budak 1995 with one mode of hysteretic damping",
			Want:   4 * c.stiffness * c.loss / (2 * cut.Tangential * cut.Radial), RelTol: 0.02,
		}, least)
		largest, err := d.LargestMode(&Vibration{}, cutter, 1000)
		if err != nil || largest.Measured != "tap" {
			t.Errorf("the largest mode is %+v, %v", largest, err)
		}
	}
}

// TestTipModeRefused: a mode along the tool is no mode that chatters.
func TestTipModeRefused(t *testing.T) {
	d, cutter := tapped(t, `{frequency: "1310 Hz", damping_ratio: 0.02, stiffness: "8 N/µm", direction: "-z"}`)
	_, err := d.Planes(nil, cutter)
	var r *Refused
	if !errors.As(err, &r) || r.Rule != "tip-mode" || r.At.Line == 0 {
		t.Errorf("a mode along the tool: %v", err)
	}
}
