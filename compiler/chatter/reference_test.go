package chatter

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	ordinary "ironbed/compiler/internal/sample"
	"ironbed/compiler/verify"
)

// A structure is a machine of a reference case: matrices, or modes of one direction each.
type structure struct {
	M    [][]float64 `json:"M_kg"`
	C    [][]float64 `json:"C_Ns_m"`
	K    [][]float64 `json:"K_N_m"`
	Rows []string    `json:"Phi_rows"`
	Phi  [][]float64 `json:"Phi"`
}

// A caseMode is one mode of one direction.
type caseMode struct {
	Dir  string  `json:"dir"`
	Fn   float64 `json:"fn_Hz"`
	Zeta float64 `json:"zeta"`
	K    float64 `json:"k_N_per_m"`
}

// A caseCut is a cut of a reference case.
type caseCut struct {
	Kind     string  `json:"kind"`
	Teeth    int     `json:"teeth"`
	Kt       float64 `json:"Kt_N_m2"`
	Kn       float64 `json:"Kn_N_m2"`
	Entry    float64 `json:"entry_angle_rad"`
	Exit     float64 `json:"exit_angle_rad"`
	Helix    float64 `json:"helix_deg"`
	Diameter float64 `json:"diameter_m"`
	Damping  float64 `json:"process_damping_N_m"`
}

func (c caseCut) milling() Milling {
	return Milling{
		Cut:      Cut{Teeth: c.Teeth, Entry: c.Entry, Exit: math.Min(c.Exit, math.Pi), Tangential: c.Kt, Radial: c.Kn / c.Kt},
		Diameter: c.Diameter,
		Helix:    c.Helix * math.Pi / 180,
		Damping:  c.Damping,
	}
}

// receptanceOf is Φ (K − ω² M + iω C)⁻¹ Φᵀ.
func (s structure) receptance(f float64) (out [4]complex128) {
	n, w := len(s.M), 2*math.Pi*f
	for column, name := range s.Rows {
		z, b := newMatrix(n), make([]complex128, n)
		for i := range n {
			for j := range n {
				z.row(i)[j] = complex(s.K[i][j]-w*w*s.M[i][j], w*s.C[i][j])
			}
			b[i] = complex(s.Phi[column][i], 0)
		}
		q, err := z.solve(b)
		if err != nil {
			panic(err)
		}
		for row, to := range s.Rows {
			var sum complex128
			for i := range n {
				sum += complex(s.Phi[row][i], 0) * q[i]
			}
			out[2*axisOf(to)+axisOf(name)] = sum
		}
	}
	return out
}

func axisOf(name string) int {
	if name == "y" {
		return 1
	}
	return 0
}

// modal makes a structure of modes.
func modalOf(modes []caseMode) func(f float64) [4]complex128 {
	return func(f float64) (out [4]complex128) {
		for _, m := range modes {
			r := f / m.Fn
			out[3*axisOf(m.Dir)] += complex(1/m.K, 0) / complex(1-r*r, 2*m.Zeta*r)
		}
		return out
	}
}

// sampled is a plane of a receptance, closely from a low frequency to a high one.
func sampled(g func(f float64) [4]complex128, low, high float64, n int) (p Plane) {
	for i := range n {
		f := low * math.Pow(high/low, float64(i)/float64(n-1))
		p.Frequency = append(p.Frequency, f)
		p.G = append(p.G, g(f))
	}
	return p
}

func load(t testing.TB, name string, to any) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, to); err != nil {
		t.Fatal(err)
	}
}

// A caseLimit is one limit of a reference case.
type caseLimit struct {
	Rpm       float64  `json:"spindle_rpm"`
	Depth     *float64 `json:"a_lim_m"`
	Stable    float64  `json:"stable_up_to_m"`
	Kind      string   `json:"bifurcation"`
	Wave      float64  `json:"multiplier_frequency_Hz"`
	ZeroOrder *float64 `json:"a_lim_zero_order_m"`
}

func (k Kind) name() string { return [...]string{"", "hopf", "flip"}[k] }

func mustBand(t testing.TB, planes ...Plane) *Band {
	t.Helper()
	b, err := NewBand(planes)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// holdStable holds a limit of a case against what is stable at a depth below it and above
// it, by the turns of the determinant, which the finish pass takes, and with straight edges by
// the count of growing motions, which the search for cuts takes.
func holdStable(t *testing.T, id string, b *Band, m Milling, l caseLimit) {
	t.Helper()
	for by, want := range map[float64]bool{0.98: true, 1.02: false} {
		depth := by * l.Stable
		if l.Depth != nil {
			depth = by * *l.Depth
		} else if !want {
			continue
		}
		got, err := b.Stable(m, l.Rpm/60, depth)
		if err != nil {
			t.Fatal(err)
		}
		if got != want {
			t.Errorf("%s at %g/min: stable at %g of the limit: %v", id, l.Rpm, by, got)
		}
		if m.Helix > 0 {
			continue
		}
		counted, _, err := b.Least(m, []float64{l.Rpm / 60}, depth, &Suspect{})
		if err != nil {
			t.Fatal(err)
		}
		if (counted.Kind == Never) != want {
			t.Errorf("%s at %g/min: by the count up to %g of the limit: %+v", id, l.Rpm, by, counted)
		}
	}
}

// holdLimits holds the limits of a case against ours.
func holdLimits(t *testing.T, id, source string, p Plane, m Milling, limits []caseLimit) {
	t.Helper()
	b := mustBand(t, p)
	for _, l := range limits {
		deepest := l.Stable
		if l.Depth != nil {
			deepest = 3 * *l.Depth
		}
		got, err := b.Onsets(m, []float64{l.Rpm / 60}, deepest)
		if err != nil {
			t.Fatal(err)
		}
		at := got[0]
		holdStable(t, id, b, m, l)
		if l.Depth == nil {
			if at.Kind != Never {
				t.Errorf("%s at %g/min: chatters from %g, want stable to %g", id, l.Rpm, at.Depth, l.Stable)
			}
			continue
		}
		verify.Check(
			t,
			verify.Case{
				ID:       fmt.Sprintf("%s %g", id, l.Rpm),
				Quantity: "limiting depth at " + fmt.Sprint(l.Rpm) + "/min",
				Unit:     "mm",
				Source:   source,
				Want:     *l.Depth * 1e3,
				RelTol:   0.01,
			},
			at.Depth*1e3,
		)
		passing := l.Rpm / 60 * float64(m.Teeth)
		if at.Kind.name() != l.Kind || math.Abs(at.Wave*passing-l.Wave) > 0.01*passing {
			t.Errorf("%s at %g/min: %s at %g Hz, want %s at %g Hz", id, l.Rpm, at.Kind.name(), at.Wave*passing, l.Kind, l.Wave)
		}
		if l.ZeroOrder != nil {
			zero, err := b.ZeroOrder(m, []float64{l.Rpm / 60}, math.Inf(1))
			if err != nil {
				t.Fatal(err)
			}
			if d := zero[0].Depth / *l.ZeroOrder; math.Abs(d-1) > 0.01 {
				t.Errorf("%s at %g/min: zero order %g, want %g", id, l.Rpm, zero[0].Depth, *l.ZeroOrder)
			}
			// Along the lobes a list as coarse for a sharp mode as this one leaves some per cent.
			lobes, err := Limits([]Plane{p}, m.Cut, []float64{l.Rpm / 60}, 0, math.Inf(1))
			if err != nil {
				t.Fatal(err)
			}
			if d := lobes[0].Depth / *l.ZeroOrder; math.Abs(d-1) > 0.06 {
				t.Errorf("%s at %g/min: along the lobes %g, want %g", id, l.Rpm, lobes[0].Depth, *l.ZeroOrder)
			}
		}
	}
}

// TestStability: limits by two independent methods.
func TestStability(t *testing.T) {
	files, err := filepath.Glob("testdata/stab_*.json")
	if err != nil || len(files) == 0 {
		t.Fatal("no cases", err)
	}
	for _, f := range files {
		var c struct {
			ID, Source string
			Kind       string
			Inputs     struct {
				Dynamics structure
				Modes    []caseMode
				Cut      caseCut
			}
			Outputs struct{ Limits []caseLimit }
		}
		name := filepath.Base(f)
		load(t, name[:len(name)-len(".json")], &c)
		if c.Kind != "stability" {
			continue
		}
		t.Run(c.ID, func(t *testing.T) {
			g := c.Inputs.Dynamics.receptance
			if len(c.Inputs.Dynamics.M) == 0 {
				g = modalOf(c.Inputs.Modes)
			}
			holdLimits(t, c.ID, c.Source, sampled(g, 5, 20000, 6000), c.Inputs.Cut.milling(), ordinary.Rows(c.Outputs.Limits, 2))
		})
	}
}

// TestTruncation: limits with all modes and with the lower ones alone.
func TestTruncation(t *testing.T) {
	var c struct {
		ID, Source string
		Inputs     struct {
			Full    []caseMode `json:"modes_full"`
			Spindle []caseMode `json:"modes_frame_spindle"`
			Frame   []caseMode `json:"modes_frame_only"`
			Cut     caseCut
		}
		Outputs struct {
			Full    []caseLimit `json:"frame_spindle_tool"`
			Spindle []caseLimit `json:"frame_spindle"`
			Frame   []caseLimit `json:"frame_only"`
		}
	}
	load(t, "stab_3mode_truncation_down", &c)
	m := c.Inputs.Cut.milling()
	holdLimits(t, c.ID+" all modes", c.Source, sampled(modalOf(c.Inputs.Full), 2, 20000, 6000), m, c.Outputs.Full)
	holdLimits(t, c.ID+" frame and spindle", c.Source, sampled(modalOf(c.Inputs.Spindle), 2, 20000, 6000), m, c.Outputs.Spindle)
	holdLimits(t, c.ID+" frame", c.Source, sampled(modalOf(c.Inputs.Frame), 2, 20000, 6000), m, c.Outputs.Frame)
}

// TestUncertain: limits of a cutter whose modes are drawn at random.
func TestUncertain(t *testing.T) {
	var c struct {
		ID, Source string
		Inputs     struct {
			Modes []caseMode
			Cut   caseCut
			Cap   float64 `json:"a_cap_m"`
		}
		Outputs struct {
			Quantiles []struct {
				Rpm     float64 `json:"spindle_rpm"`
				Nominal float64 `json:"nominal_a_lim_m"`
			}
			Speeds  []float64 `json:"sample_limits_speeds_rpm"`
			Samples []struct {
				Fn    []float64 `json:"fn_Hz"`
				Zeta  []float64 `json:"zeta"`
				K     []float64 `json:"k_N_per_m"`
				Depth []float64 `json:"a_lim_m"`
			} `json:"sample_limits"`
		}
	}
	load(t, "uncertain_2mode_down_half", &c)
	m := c.Inputs.Cut.milling()
	nominal := mustBand(t, sampled(modalOf(c.Inputs.Modes), 5, 20000, 3000))
	for _, q := range c.Outputs.Quantiles {
		got, err := nominal.Onsets(m, []float64{q.Rpm / 60}, c.Inputs.Cap)
		if err != nil {
			t.Fatal(err)
		}
		verify.Check(
			t,
			verify.Case{
				ID:       fmt.Sprintf("%s %g", c.ID, q.Rpm),
				Quantity: "limiting depth at " + fmt.Sprint(q.Rpm) + "/min, modes as given",
				Unit:     "mm",
				Source:   c.Source,
				Want:     q.Nominal * 1e3,
				RelTol:   0.01,
			},
			got[0].Depth*1e3,
		)
	}
	off, all := 0, 0
	for _, s := range c.Outputs.Samples {
		modes := []caseMode{{"x", s.Fn[0], s.Zeta[0], s.K[0]}, {"y", s.Fn[1], s.Zeta[1], s.K[1]}}
		b := mustBand(t, sampled(modalOf(modes), 5, 20000, 3000))
		for i, rpm := range c.Outputs.Speeds {
			got, err := b.Onsets(m, []float64{rpm / 60}, c.Inputs.Cap)
			if err != nil {
				t.Fatal(err)
			}
			all++
			if d := math.Min(got[0].Depth, c.Inputs.Cap) / s.Depth[i]; math.Abs(d-1) > 0.01 {
				off++
				t.Logf("%v at %g/min: %g, want %g", s, rpm, got[0].Depth, s.Depth[i])
			}
		}
	}
	if all != 100 || off > 5 {
		t.Errorf("%d of %d limits are off by more than a hundredth", off, all)
	}
}

// TestProcessDamping: milling at a low surface speed.
func TestProcessDamping(t *testing.T) {
	var c struct {
		ID, Source string
		Inputs     struct {
			Modes []caseMode
			Cut   caseCut
		}
		Outputs struct {
			Limits []struct {
				Rpm     float64  `json:"spindle_rpm"`
				Without float64  `json:"a_lim_without_damping_m"`
				With    *float64 `json:"a_lim_with_damping_m"`
			}
			Stable float64 `json:"stable_up_to_m"`
		}
	}
	load(t, "pd_milling_down_half", &c)
	b := mustBand(t, sampled(modalOf(c.Inputs.Modes), 5, 20000, 3000))
	with := c.Inputs.Cut.milling()
	without := with
	without.Damping = 0
	for _, l := range c.Outputs.Limits {
		for i, m := range []Milling{without, with} {
			want := l.Without
			if i == 1 {
				want = math.Inf(1)
				if l.With != nil {
					want = *l.With
				}
			}
			got, err := b.Onsets(m, []float64{l.Rpm / 60}, math.Min(c.Outputs.Stable, 3*want))
			if err != nil {
				t.Fatal(err)
			}
			if math.IsInf(want, 1) {
				if got[0].Kind != Never {
					t.Errorf("at %g/min: chatters from %g, want never", l.Rpm, got[0].Depth)
				}
				continue
			}
			verify.Check(
				t,
				verify.Case{
					ID:       fmt.Sprintf("%s %g, %g N/m", c.ID, l.Rpm, m.Damping),
					Quantity: "limiting depth at " + fmt.Sprint(l.Rpm) + "/min",
					Unit:     "mm",
					Source:   c.Source,
					Want:     want * 1e3,
					RelTol:   0.015,
				},
				got[0].Depth*1e3,
			)
			if l.Rpm < 3000 {
				continue // hundreds of harmonics, which take minutes
			}
			counted, _, err := b.Least(m, []float64{l.Rpm / 60}, 1.5*want, &Suspect{})
			if err != nil {
				t.Fatal(err)
			}
			verify.Check(t, verify.Case{ID: fmt.Sprintf("%s %g, %g N/m, counted", c.ID, l.Rpm, m.Damping), Quantity: "limiting depth at " + fmt.Sprint(l.Rpm) + "/min, by counting motions",
				Unit: "mm", Source: c.Source, Want: want * 1e3, RelTol: 0.02, Why: "the count leaves the static residual's own velocity out"}, counted.Depth*1e3)
		}
	}
}

// plunge is a cut whose mean factor along x makes it a turning cut of a cutting
// stiffness [Pa] and process damping [N/m]: a slot by one tooth with Kr = 1 has
// N Kt π Kr/4π = Kt/4, and N/2π · π/2 = 1/4 of the damping.
func plunge(kc, damping, diameter float64) Milling {
	return Milling{Cut: Cut{Teeth: 1, Exit: math.Pi, Tangential: 4 * kc, Radial: 1}, Diameter: diameter, Damping: 4 * damping}
}

// TestTurning: closed-form lobes of one mode, with and without process damping.
func TestTurning(t *testing.T) {
	var c struct {
		ID, Source string
		Inputs     struct {
			K    float64 `json:"k_N_per_m"`
			Fn   float64 `json:"fn_Hz"`
			Zeta float64 `json:"zeta"`
			Kc   float64 `json:"Kc_N_m2"`
		}
		Outputs struct {
			Limits []struct {
				Rpm       float64 `json:"spindle_rpm"`
				Depth     float64 `json:"b_lim_m"`
				Frequency float64 `json:"chatter_frequency_Hz"`
			}
			Least float64 `json:"b_lim_min_m"`
		}
	}
	load(t, "stab_turning_lobes", &c)
	in := c.Inputs
	p := sampled(modalOf([]caseMode{{"x", in.Fn, in.Zeta, in.K}}), 5, 20000, 20000)
	b, m := mustBand(t, p), plunge(in.Kc, 0, 0.02)
	check := func(quantity, unit string, got, want, tolerance float64) {
		t.Helper()
		verify.Check(t, verify.Case{ID: c.ID + " " + quantity, Quantity: quantity, Unit: unit, Source: c.Source, Want: want, RelTol: tolerance}, got)
	}
	for _, l := range c.Outputs.Limits {
		got, err := b.ZeroOrder(m, []float64{l.Rpm / 60}, 1)
		if err != nil {
			t.Fatal(err)
		}
		at := fmt.Sprintf(" at %g/min", l.Rpm)
		check("limiting width"+at, "mm", got[0].Depth*1e3, l.Depth*1e3, 0.003)
		check("chatter frequency"+at, "Hz", got[0].Frequency, l.Frequency, 0.001)
	}
	least, err := Unconditional(p, m.Cut)
	if err != nil {
		t.Fatal(err)
	}
	check("least limiting width", "mm", least.Depth*1e3, c.Outputs.Least*1e3, 1e-4)

	var d struct {
		ID, Source string
		Inputs     struct {
			K        float64 `json:"k_N_per_m"`
			Fn       float64 `json:"fn_Hz"`
			Zeta     float64 `json:"zeta"`
			Kc       float64 `json:"Kc_N_m2"`
			Damping  float64 `json:"process_damping_N_m"`
			Diameter float64 `json:"diameter_m"`
		}
		Outputs struct {
			Limits []struct {
				Rpm     float64  `json:"spindle_rpm"`
				Depth   *float64 `json:"b_lim_min_closed_form_m"`
				Without float64  `json:"b_lim_min_without_damping_m"`
			}
		}
	}
	load(t, "pd_turning_closed_form", &d)
	p = sampled(modalOf([]caseMode{{"x", d.Inputs.Fn, d.Inputs.Zeta, d.Inputs.K}}), 5, 20000, 20000)
	m = plunge(d.Inputs.Kc, d.Inputs.Damping, d.Inputs.Diameter)
	for _, l := range d.Outputs.Limits {
		got, err := UnconditionalDamped(p, m, l.Rpm/60, 1)
		if err != nil {
			t.Fatal(err)
		}
		if l.Depth == nil {
			if !math.IsInf(got.Depth, 1) {
				t.Errorf("%s at %g/min: chatters from %g, want never", d.ID, l.Rpm, got.Depth)
			}
			continue
		}
		verify.Check(t, verify.Case{
			ID:       fmt.Sprintf("%s %g", d.ID, l.Rpm),
			Quantity: "least limiting width with process damping at " + fmt.Sprint(l.Rpm) + "/min",
			Unit:     "mm",
			Source:   d.Source,
			Want:     *l.Depth * 1e3,
			RelTol:   0.005,
		}, got.Depth*1e3)
	}
}
