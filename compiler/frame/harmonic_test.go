package frame

import (
	"encoding/json"
	"math"
	"math/cmplx"
	"os"
	"slices"
	"testing"

	"ironbed/compiler/sparse"
)

// Harmonic returns how nodes move under loads that vary harmonically at an angular frequency
// [rad/s], without modes, each stiffness having a loss factor of its own:
//
//	[Σ K(EA(1 + iη), …) − ω² M] u = f
//
// It is by load and node, with the time factor exp(+iωt). A complex frequency ω (1 − iβ)
// gives the mean over a band. The interiors of members do not take part, so that the model
// has to be subdivided to converge.
// The complex equations (R + iS) u = f are solved as real ones, symmetric too:
//
//	R Re u − S Im u = f,  −S Re u − R Im u = 0
//
// Source: Ewins 2000, chapter 2, structural damping; Przemieniecki 1968, chapter 12, harmonic response.
func (s *System) Harmonic(t *testing.T, omega complex128, loss func(part int) Loss, loads ...Load) (out [][][6]complex128) {
	t.Helper()
	var first []int
	for _, f := range s.first {
		first = append(first, 2*f, 2*f)
	}
	matrix := sparse.Empty(first)
	add := func(numbers []int, entry func(i, j int) complex128) {
		var pairs []int
		for _, g := range numbers {
			if g < 0 {
				pairs = append(pairs, -1, -1)
			} else {
				pairs = append(pairs, 2*g, 2*g+1)
			}
		}
		matrix.Add(pairs, func(i, j int) float64 {
			v := entry(i/2, j/2)
			switch {
			case i%2 != j%2:
				return -imag(v)
			case i%2 == 1:
				return -real(v)
			}
			return real(v)
		})
	}
	s.addLossy(add, loss)
	plain, _ := s.inertias(upTo(0, 0))
	for _, w := range plain {
		add(w.numbers[:], func(i, j int) complex128 { return -omega * omega * complex(w.mass[12*i+j], 0) })
	}
	for _, l := range s.lumps() {
		add(s.unknown[l.node][:], func(i, j int) complex128 { return -omega * omega * complex(l.matrix[i][j], 0) })
	}
	if _, ok := matrix.Factorise(); !ok {
		t.Fatalf("no steady response at %g rad/s", omega)
	}
	for _, l := range loads {
		f := make([][6]float64, len(s.model.Nodes))
		s.rootForces(l.Forces, f)
		x := make([]float64, 2*s.unknowns)
		for node, numbers := range s.unknown {
			for k, g := range numbers {
				if g >= 0 {
					x[2*g] = f[node][k]
				}
			}
		}
		matrix.Solve(x)
		var parts [2][][6]float64
		for part := range parts {
			parts[part] = make([][6]float64, len(s.model.Nodes))
			for node, numbers := range s.unknown {
				for k, g := range numbers {
					if g >= 0 {
						parts[part][node][k] = x[2*g+part]
					}
				}
			}
			s.follow(parts[part])
		}
		u := make([][6]complex128, len(s.model.Nodes))
		for node := range u {
			for k := range u[node] {
				u[node][k] = complex(parts[0][node][k], parts[1][node][k])
			}
		}
		out = append(out, u)
	}
	return out
}

// addLossy adds the complex stiffness of every element.
func (s *System) addLossy(add func(numbers []int, entry func(i, j int) complex128), loss func(part int) Loss) {
	addElement := func(e *element, diagonal [6]complex128, cross [2]complex128) {
		if !e.joins() {
			return
		}
		numbers := s.numbers(e.ends)
		add(numbers[:], func(i, j int) (sum complex128) {
			for row, k := range diagonal {
				sum += complex(e.deform[row][i]*e.deform[row][j], 0) * k
			}
			for plane, k := range cross {
				a, b := 2+2*plane, 3+2*plane
				sum += complex(e.deform[a][i]*e.deform[b][j]+e.deform[b][i]*e.deform[a][j], 0) * k
			}
			return sum
		})
	}
	for i := range s.members {
		diagonal, cross := s.lossyMember(i, loss(s.model.Members[i].Part))
		addElement(&s.members[i], diagonal, cross)
	}
	for i, sp := range s.model.Springs {
		addElement(&s.springs[i], lossySpring(sp.K, loss(sp.Part)), [2]complex128{})
	}
}

// swung is what a problem of the reference set of responses has beside a frame.
type swung struct {
	ToolNode  string `json:"tool_node"`
	Materials map[string]struct{ Eta float64 }
	Sections  map[string]struct {
		MassPerLength float64            `json:"mass_per_length"`
		RhoIy         float64            `json:"rhoIy"`
		RhoIz         float64            `json:"rhoIz"`
		Eta           map[string]float64 `json:"eta"`
	}
	Springs     []struct{ Eta float64 }
	Frequencies []float64 `json:"frequencies_Hz"`
	X           response  `json:"H_xx"`
	Y           response  `json:"H_yy"`
	Z           response  `json:"H_zz"`
}

type response struct{ Real, Imag []float64 }

// readSwung reads a problem that package modal is tested with: its model, with
// each member and spring a part of its own, their loss factors, and the tool.
func readSwung(t *testing.T, file string) (p *swung, m *Model, loss func(part int) Loss, tool int) {
	t.Helper()
	r := readReference(t, file)
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	p = &swung{}
	if err := json.Unmarshal(text, p); err != nil {
		t.Fatal(err)
	}
	m, names := r.model()
	var losses []Loss
	for i, b := range r.Members {
		l := EvenLoss(p.Materials[b.Material].Eta)
		s := m.Members[i].Section.OfOneMaterial()
		own := p.Sections[b.Section]
		if own.MassPerLength > 0 {
			s.MassPerLength, s.RotaryY, s.RotaryZ = own.MassPerLength, own.RhoIy, own.RhoIz
		}
		for term, name := range []string{"EA", "EIy", "EIz", "GJ", "GAy", "GAz"} {
			if eta, ok := own.Eta[name]; ok {
				l.Members[term] = eta
			}
		}
		m.Members[i].Section, m.Members[i].Part = s, len(losses)
		losses = append(losses, l)
	}
	for i, s := range p.Springs {
		m.Springs[i].Part = len(losses)
		losses = append(losses, EvenLoss(s.Eta))
	}
	return p, m, func(part int) Loss { return losses[part] }, slices.Index(names, p.ToolNode)
}

// TestDirectSolution holds the direct complex solution against the reference set
// of responses, which package modal is held to as well: within 3 % and 3 degrees
// as stated with the set, where a frequency that is off by 0.2 % may stand for
// the one asked for, as near a sharp peak.
func TestDirectSolution(t *testing.T) {
	for _, name := range []string{"D1_frf_portal_gantry", "D3_frf_closed_bridge"} {
		p, m, loss, tool := readSwung(t, "../modal/testdata/"+name+".json")
		system, err := m.Subdivided(16).Factorise()
		if err != nil {
			t.Fatal(err)
		}
		loads := make([]Load, 3)
		for i := range loads {
			f := Force{At: At(tool)}
			f.F[i] = 1
			loads[i].Forces = []Force{f}
		}
		for k := 0; k < len(p.Frequencies); k += 3 {
			least := [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
			for _, shift := range []float64{0, -0.002, -0.001, 0.001, 0.002} {
				u := system.Harmonic(t, complex(2*math.Pi*p.Frequencies[k]*(1+shift), 0), loss, loads...)
				for i, h := range []response{p.X, p.Y, p.Z} {
					ratio := u[i][tool][i] / complex(h.Real[k], h.Imag[k])
					least[i] = min(least[i], max(math.Abs(cmplx.Abs(ratio)-1)/0.03, math.Abs(cmplx.Phase(ratio))/(3*math.Pi/180)))
				}
			}
			for i, share := range least {
				if share > 1 {
					t.Errorf("%s: H_%c%c at %g Hz is %.2f times the tolerance off", name, "xyz"[i], "xyz"[i], p.Frequencies[k], share)
				}
			}
		}
	}
}
