package chatter

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"ironbed/compiler/verify"
)

// A forcedCase is a case of forced vibration.
type forcedCase struct {
	ID, Source string
	Inputs     struct {
		Dynamics       structure
		Cut            map[string]caseCut
		Feed           float64   `json:"feed_per_tooth_m"`
		EdgeTangential float64   `json:"Kte_N_m"`
		EdgeRadial     float64   `json:"Kne_N_m"`
		Radii          []float64 `json:"radial_runout_per_tooth_m"`
	}
	Outputs map[string][]struct {
		Rpm      float64         `json:"spindle_rpm"`
		Depth    float64         `json:"axial_depth_m"`
		Mean     *float64        `json:"y_mean_m"`
		Swing    float64         `json:"y_peak_to_peak_m"`
		Heights  []float64       `json:"height_m"`
		SLE      json.RawMessage `json:"sle_m"`
		PerTooth []float64       `json:"y_at_surface_per_tooth_m"`
		Profile  *float64        `json:"profile_mean_m"`
		Rt       float64         `json:"Rt_m"`
		Ra       float64         `json:"Ra_m"`
	}
}

// TestSurface: surface location error and profile of stable cuts, the last case
// with runout against a non-linear simulation.
func TestSurface(t *testing.T) {
	const (
		swing  = "0.02 % of the swing"
		runout = "the set's non-linear simulation loses contact at the ends of the cut: 1 % of the swing"
	)
	for _, name := range []string{"forced_1dof_n2", "forced_2dof_n3_edge", "forced_2dof_helix30", "forced_runout_n2"} {
		var c forcedCase
		load(t, name, &c)
		b := mustBand(t, sampled(c.Inputs.Dynamics.receptance, 5, 20000, 4000))
		for _, way := range []string{"up", "down"} {
			m := c.Inputs.Cut[way].milling()
			for _, want := range c.Outputs[way] {
				heights := want.Heights
				if heights == nil {
					heights = []float64{0}
				}
				got, err := b.Finish(m, Pass{
					Speed:          want.Rpm / 60,
					Depth:          want.Depth,
					FeedPerTooth:   c.Inputs.Feed,
					EdgeTangential: c.Inputs.EdgeTangential,
					EdgeRadial:     c.Inputs.EdgeRadial,
					Up:             way == "up",
					Radii:          c.Inputs.Radii,
					Heights:        heights,
				})
				if err != nil {
					t.Fatal(err)
				}
				f := got[0]
				check := func(quantity string, got, want, relative, absolute float64, why ...string) {
					t.Helper()
					verify.Check(t, verify.Case{
						ID:       fmt.Sprint(c.ID, " ", way, " ", quantity),
						Quantity: quantity,
						Unit:     "µm",
						Source:   c.Source,
						Want:     want * 1e6,
						RelTol:   relative,
						AbsTol:   absolute * 1e6,
						Why:      strings.Join(why, ""),
						Kind:     verify.Independent,
					}, got*1e6)
				}
				rpm := fmt.Sprintf(" at %g/min", want.Rpm)
				if len(c.Inputs.Radii) > 0 {
					check("peak to peak"+rpm, f.PeakToPeak, want.Swing, 0.03, 0, runout)
					side := 1.0
					if way == "up" {
						side = -1
					}
					for i, y := range want.PerTooth {
						check(fmt.Sprint("surface location error of tooth ", i, rpm), f.Surface[0].Location[i], side*y, 0, 0.01*want.Swing, runout)
					}
					check("mean of the profile"+rpm, f.Surface[0].Mean, *want.Profile, 0, 0.01*want.Swing, runout)
					check("Rt"+rpm, f.Surface[0].Rt, want.Rt, 0.01, 0)
					check("Ra"+rpm, f.Surface[0].Ra, want.Ra, 0.01, 0)
					continue
				}
				check("peak to peak"+rpm, f.PeakToPeak, want.Swing, 0.001, 0)
				check("mean"+rpm, f.Mean, *want.Mean, 0.001, 0)
				var sle []float64
				if json.Unmarshal(want.SLE, &sle) != nil {
					sle = make([]float64, 1)
					if err := json.Unmarshal(want.SLE, &sle[0]); err != nil {
						t.Fatal(err)
					}
				}
				for i, v := range sle {
					check(fmt.Sprintf("surface location error at %g mm%s", heights[i]*1e3, rpm), f.Surface[i].Location[0], v, 0.001, 0.0002*want.Swing, swing)
				}
				if want.Profile != nil {
					v := *want.Profile
					check("mean of the profile"+rpm, f.Surface[0].Mean, v, 0.001, 0.0002*want.Swing, swing)
					check("Rt"+rpm, f.Surface[0].Rt, want.Rt, 0.005, 0)
					check("Ra"+rpm, f.Surface[0].Ra, want.Ra, 0.005, 0)
				}
			}
		}
	}
}
