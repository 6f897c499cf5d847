package spindle

import (
	"encoding/json"
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ironbed/compiler/verify"
)

// pair is a complex number as the files have it.
type pair [2]float64

func (p pair) value() complex128 { return complex(p[0], p[1]) }

type pairs [2][2]pair

func (p pairs) matrix() (m Matrix) {
	for i := range p {
		for j := range p[i] {
			m[i][j] = p[i][j].value()
		}
	}
	return m
}

type springCase struct {
	Lateral    float64 `json:"kx_N_m"`
	Rotational float64 `json:"ktheta_Nm_rad"`
	Loss       float64 `json:"eta"`
}

type chainCase struct {
	Segments []struct {
		Length float64 `json:"L_m"`
		Layers []struct {
			Outer   float64 `json:"od_m"`
			Inner   float64 `json:"id_m"`
			Modulus float64 `json:"E_Pa"`
			Density float64 `json:"rho_kg_m3"`
			Poisson float64 `json:"nu"`
			Loss    float64 `json:"eta"`
		}
		Theory  string
		Section struct {
			Bending float64 `json:"EI_Nm2"`
			Shear   float64 `json:"kGA_N"`
			Mass    float64 `json:"rhoA_kg_m"`
			Rotary  float64 `json:"rhoI_kg_m"`
		}
		Joint *springCase `json:"joint_before"`
	}
	Supports []struct {
		Segment int
		End     string
		springCase
	}
	Clamped bool `json:"fixed_root"`
}

type reference struct {
	ID, Title, Kind, Source string
	Inputs                  struct {
		Chain      chainCase
		Joint      springCase
		Components []struct {
			Frequency float64 `json:"frequency_Hz"`
			Base      pairs   `json:"R_base_tip"`
		}
	}
	Outputs struct {
		Frequency []float64 `json:"frequency_Hz"`
		Tip       []pair    `json:"G_tip_m_per_N"`
		Matrix    []pairs   `json:"R_tip_2x2"`
		Natural   []float64 `json:"natural_frequencies_Hz"`
		Loss      []float64 `json:"modal_loss_factor"`
		Stiffness []float64 `json:"modal_stiffness_at_tip_N_per_m"`
		Static    float64   `json:"static_compliance_m_per_N"`
		Flexible  []pair    `json:"G_tip_flexible_joint"`
		Stiff     []pair    `json:"G_tip_rigid_joint"`
	}
}

func read(t testing.TB, name string) *reference {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	r := &reference{}
	if err := json.Unmarshal(text, r); err != nil {
		t.Fatal(err)
	}
	return r
}

// assembly builds the chain of a file. Segments are parts from 0, joints 100 and
// on, bearings 200 and on.
func (c *chainCase) assembly(t testing.TB) *Assembly {
	t.Helper()
	a := &Assembly{Clamped: c.Clamped}
	for i, s := range c.Segments {
		var layers []Layer
		for _, l := range s.Layers {
			layers = append(layers, Layer{Outer: l.Outer, Inner: l.Inner, Modulus: l.Modulus, Poisson: l.Poisson, Density: l.Density, Loss: l.Loss})
		}
		section, err := Layered(layers...)
		if err != nil {
			t.Fatal(err)
		}
		if s.Theory == "euler" {
			section.Shear, section.Rotary = 0, 0
		}
		for _, v := range [][2]float64{
			{section.Bending, s.Section.Bending}, {section.Shear, s.Section.Shear},
			{section.Mass, s.Section.Mass}, {section.Rotary, s.Section.Rotary},
		} {
			if math.Abs(v[0]-v[1]) > 1e-7*v[1] {
				t.Fatalf("segment %d: section %g, in the file %g", i, v[0], v[1])
			}
		}
		segment := Segment{Length: s.Length, Section: section, Part: i}
		if j := s.Joint; j != nil {
			segment.Joint = &Joint{Lateral: j.Lateral, Rotational: j.Rotational, Loss: j.Loss, Part: 100 + i}
		}
		a.Segments = append(a.Segments, segment)
	}
	for i, s := range c.Supports {
		a.Bearings = append(a.Bearings, Bearing{
			At: Place{s.Segment, s.End == "front"}, Lateral: s.Lateral, Rotational: s.Rotational, Loss: s.Loss, Part: 200 + i,
		})
	}
	return a
}

func mesh(t testing.TB, a *Assembly, top float64, fine int) *Mesh {
	t.Helper()
	m, err := a.Mesh(top, fine)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func modes(t testing.TB, m *Mesh, reference float64) *Modes {
	t.Helper()
	ms, err := m.Modes(reference)
	if err != nil {
		t.Fatal(err)
	}
	return ms
}

// directly is the direct receptance at a frequency.
func directly(t testing.TB, m *Mesh, frequency float64) Matrix {
	t.Helper()
	r, err := m.At(frequency, 0)
	if err != nil {
		t.Fatal(err)
	}
	return r.Tip
}

// files are the chains of the reference set.
func files(t testing.TB, pattern string) (list []string) {
	t.Helper()
	list, err := filepath.Glob("testdata/" + pattern)
	if err != nil || len(list) == 0 {
		t.Fatalf("no files %s: %v", pattern, err)
	}
	return list
}

// offBy is how far a receptance is off at worst, as a share of what the set allows:
// a share of the value and a share of the largest one.
func offBy(got func(i int) complex128, want []complex128, ofValue, ofLargest float64) (worst float64) {
	largest := 0.0
	for _, w := range want {
		largest = math.Max(largest, cmplx.Abs(w))
	}
	for i, w := range want {
		worst = math.Max(worst, cmplx.Abs(got(i)-w)/(ofValue*cmplx.Abs(w)+ofLargest*largest))
	}
	return worst
}

// TestReferenceChains holds the beams and the assemblies of the reference set to
// its tolerances: 1 % of the receptance and 0.2 % of its peak for assemblies,
// 0.5 % for beams, 0.2 % of natural frequencies, 2 % of loss factors and of
// modal stiffnesses, 0.5 % of the static compliance.
func TestReferenceChains(t *testing.T) {
	for _, name := range append(files(t, "rec_beam_*.json"), files(t, "rec_asm_*.json")...) {
		r := read(t, name)
		a := r.Inputs.Chain.assembly(t)
		out := &r.Outputs
		source := fmt.Sprintf("independent computation: %s", r.Source)
		check := func(quantity, unit string, want, tolerance, got float64) {
			t.Helper()
			verify.Check(t, verify.Case{ID: r.ID, Quantity: quantity, Unit: unit, Source: source, Want: want, RelTol: tolerance}, got)
		}
		top := out.Frequency[len(out.Frequency)-1]
		if last := out.Natural[len(out.Natural)-1]; last > top {
			top = last
		}
		m := mesh(t, a, 1.02*top, 1)
		fine := mesh(t, a, top, 4)
		matrices := make([]Matrix, len(out.Frequency))
		for i, f := range out.Frequency {
			matrices[i] = directly(t, fine, f)
		}
		ofValue, ofLargest := 0.01, 0.002
		if strings.HasPrefix(r.ID, "rec_beam") {
			ofValue, ofLargest = 0.005, 0
		}
		worst := 0.0
		columns := func(want func(i int) complex128, got func(i int) complex128) {
			list := make([]complex128, len(out.Frequency))
			for i := range list {
				list[i] = want(i)
			}
			worst = math.Max(worst, offBy(got, list, ofValue, ofLargest))
		}
		columns(func(i int) complex128 { return out.Tip[i].value() }, func(i int) complex128 { return matrices[i][0][0] })
		for row := range 2 {
			for column := range 2 {
				if len(out.Matrix) > 0 {
					columns(func(i int) complex128 { return out.Matrix[i][row][column].value() }, func(i int) complex128 { return matrices[i][row][column] })
				}
			}
		}
		verify.Check(t, verify.Case{ID: r.ID, Quantity: "tip receptance, worst point as a share of the tolerance", Unit: "-", Source: source, AbsTol: 1}, worst)

		var elastic []Mode
		for _, mode := range modes(t, m, 0).List {
			if mode.Omega > 0 {
				elastic = append(elastic, mode)
			}
		}
		if len(elastic) < len(out.Natural) {
			t.Fatalf("%s: %d modes, want %d", r.ID, len(elastic), len(out.Natural))
		}
		softest := math.Inf(1)
		for _, k := range out.Stiffness {
			softest = math.Min(softest, k)
		}
		for i, f := range out.Natural {
			mode := elastic[i]
			check(fmt.Sprintf("natural frequency %d", i+1), "Hz", f, 0.002, mode.Omega/(2*math.Pi))
			check(fmt.Sprintf("loss factor of mode %d", i+1), "-", out.Loss[i], 0.02, mode.Loss)
			if k := out.Stiffness[i]; k < 100*softest {
				check(fmt.Sprintf("modal stiffness of mode %d at the tip", i+1), "N/m", k, 0.02, math.Pow(mode.Omega/mode.Tip[0], 2))
			}
		}
		if out.Static > 0 {
			s, err := m.Static()
			if err != nil {
				t.Fatal(err)
			}
			check("static compliance at the tip", "m/N", out.Static, 0.005, s.Lateral)
		}
	}
}

// TestReferenceCoupling couples an 8 mm cutter to the receptance of a spindle that
// is given as a table, through a collet with springs and built in. The cutter's
// chain stands on the spindle as on a housing.
func TestReferenceCoupling(t *testing.T) {
	r := read(t, "testdata/rec_coupling_er24k_8mm.json")
	whole := read(t, "testdata/rec_asm_er24k_8mm_oh35.json").Inputs.Chain.assembly(t)
	cutter := append([]Segment(nil), whole.Segments[7:]...)
	cutter[0].Joint = nil
	j := r.Inputs.Joint
	for _, c := range []struct {
		joint    string
		assembly Assembly
		want     []pair
	}{
		{"flexible", Assembly{Segments: cutter, Bearings: []Bearing{{Lateral: j.Lateral, Rotational: j.Rotational, Loss: j.Loss}}}, r.Outputs.Flexible},
		{"rigid", Assembly{Segments: cutter, Clamped: true}, r.Outputs.Stiff},
	} {
		m := mesh(t, &c.assembly, 6e3, 4)
		want := make([]complex128, len(c.want))
		for i := range want {
			want[i] = c.want[i].value()
		}
		worst := offBy(func(i int) complex128 {
			at := r.Inputs.Components[i]
			cutter, err := m.At(at.Frequency, 0)
			if err != nil {
				t.Fatal(err)
			}
			h, err := cutter.WithMass().OnHousing(at.Base.matrix())
			if err != nil {
				t.Fatal(err)
			}
			return h[0][0]
		}, want, 0.0005, 0)
		verify.Check(t, verify.Case{
			ID: r.ID, Quantity: "tip receptance through a " + c.joint + " joint, worst point as a share of 0.05 %", Unit: "-",
			Source: "independent computation: " + r.Source, AbsTol: 1,
		}, worst)
		t.Logf("%s joint: worst point at %.3g of the tolerance", c.joint, worst)
	}
}
