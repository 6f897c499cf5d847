package frame

import (
	"encoding/json"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/verify"
)

// referenceSource is where the values in testdata come from: two independent
// general-purpose solutions of each frame, a Timoshenko frame solver and a
// network of springs, constraints and lumps, that agree to 1e-6.
const referenceSource = "reference set of frames, two independent solutions that agree to 1e-6, problem "

// referenceTolerance is the tolerance stated with the set, of the largest value
// of its kind in the load case.
const referenceTolerance = 1e-4

type reference struct {
	ID        string
	Title     string
	Materials map[string]struct{ E, G, Rho float64 }
	Sections  map[string]struct{ A, Iy, Iz, J, Ky, Kz float64 }
	Nodes     map[string][3]float64
	Members   []struct {
		N1, N2, Material, Section string
		Orient, Offset1, Offset2  [3]float64
		Length                    float64
		Axes                      [3][3]float64 `json:"axes_rows_xyz"`
	}
	Links    []struct{ Master, Slave string } `json:"rigid_links"`
	Supports []struct {
		Node string
		Dofs []int
	}
	Springs []struct {
		ID   string
		N1   string
		N2   *string
		K    [6]float64
		Axes [3][3]float64
	}
	Masses []struct {
		Node   string
		M      float64
		I      [3]float64
		Offset [3]float64
	}
	LoadCases []struct {
		Name  string
		Nodal []struct {
			Node string
			F    [6]float64
		}
	} `json:"load_cases"`
	MassTotal   float64   `json:"mass_total_kg"`
	Frequencies []float64 `json:"frequencies_Hz"`
	Static      map[string]struct {
		Displacements map[string][6]float64
		Reactions     map[string][6]float64 `json:"support_reactions"`
		SpringForces  map[string][6]float64 `json:"spring_forces"`
	}
}

func vec(v [3]float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }

// model turns a reference problem into a model; names are the nodes in order.
func (r *reference) model() (m *Model, names []string) {
	names = slices.Sorted(maps.Keys(r.Nodes))
	index := map[string]int{}
	m = &Model{}
	for i, name := range names {
		index[name] = i
		m.Nodes = append(m.Nodes, Node{Position: vec(r.Nodes[name])})
	}
	for _, s := range r.Supports {
		for _, dof := range s.Dofs {
			m.Nodes[index[s.Node]].Held[dof-1] = true
		}
	}
	for _, l := range r.Links {
		m.Links = append(m.Links, Link{index[l.Master], index[l.Slave]})
	}
	for i, b := range r.Members {
		mat, sec := r.Materials[b.Material], r.Sections[b.Section]
		m.Members = append(m.Members, Member{
			A: Point{index[b.N1], vec(b.Offset1)},
			B: Point{index[b.N2], vec(b.Offset2)},
			Section: Section{
				EA: mat.E * sec.A, EIy: mat.E * sec.Iy, EIz: mat.E * sec.Iz, GJ: mat.G * sec.J,
				GAy: sec.Ky * mat.G * sec.A, GAz: sec.Kz * mat.G * sec.A,
				MassPerLength: mat.Rho * sec.A,
			},
			Orient: vec(b.Orient),
			Part:   i % 4,
		})
	}
	for _, s := range r.Springs {
		b := At(Ground)
		if s.N2 != nil {
			b = At(index[*s.N2])
		}
		m.Springs = append(m.Springs, Spring{
			A: At(index[s.N1]), B: b, K: s.K,
			Axes: [3]r3.Vec{vec(s.Axes[0]), vec(s.Axes[1]), vec(s.Axes[2])},
			Part: 10,
		})
	}
	for _, w := range r.Masses {
		m.Masses = append(m.Masses, Mass{At: Point{index[w.Node], vec(w.Offset)}, Mass: w.M, Inertia: w.I, Part: 20})
	}
	return m, names
}

// loads returns the load cases with their nodes' indices.
func (r *reference) loads(names []string) (loads []Load) {
	for _, c := range r.LoadCases {
		var l Load
		for _, f := range c.Nodal {
			l.Forces = append(l.Forces, Force{At(slices.Index(names, f.Node)), f.F})
		}
		loads = append(loads, l)
	}
	return loads
}

func readReference(t testing.TB, file string) *reference {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	r := &reference{}
	if err := json.Unmarshal(text, r); err != nil {
		t.Fatal(err)
	}
	return r
}

func readAllReferences(t testing.TB) (all []*reference) {
	t.Helper()
	files, err := filepath.Glob("testdata/F*.json")
	if err != nil || len(files) != 8 {
		t.Fatalf("%d reference files, %v", len(files), err)
	}
	for _, f := range files {
		all = append(all, readReference(t, f))
	}
	return all
}

// comparison holds six-vectors of one kind against each other: forces and
// displacements against the largest of them, moments and rotations likewise.
type comparison struct {
	names     []string
	want, got [][6]float64
	unlisted  bool // no row of the verification table
}

func (c *comparison) add(name string, want, got [6]float64) {
	c.names = append(c.names, name)
	c.want = append(c.want, want)
	c.got = append(c.got, got)
}

// check compares all values, and enters the largest of both halves into the
// verification table.
func (c *comparison) check(t *testing.T, id, source string, quantities, units [2]string) (worst float64) {
	t.Helper()
	for half, quantity := range quantities {
		largest, at, component := 0.0, 0, 0
		for i, w := range c.want {
			for k := 3 * half; k < 3*half+3; k++ {
				if math.Abs(w[k]) > largest {
					largest, at, component = math.Abs(w[k]), i, k
				}
			}
		}
		if largest < 1e-12 {
			continue
		}
		for i, w := range c.want {
			for k := 3 * half; k < 3*half+3; k++ {
				off := math.Abs(c.got[i][k]-w[k]) / largest
				worst = max(worst, off)
				if !(off < referenceTolerance) {
					t.Errorf("%s %s at %s, component %d: got %g, want %g", id, quantity, c.names[i], k, c.got[i][k], w[k])
				}
			}
		}
		if c.unlisted {
			continue
		}
		verify.Check(t, verify.Case{
			ID: id + "/" + strings.ReplaceAll(quantity, " ", "-"), Quantity: "largest " + quantity + ", at " + c.names[at], Unit: units[half],
			Source: source, Want: c.want[at][component], RelTol: referenceTolerance,
		}, c.got[at][component])
	}
	return worst
}

func TestReferenceFrames(t *testing.T) {
	for _, r := range readAllReferences(t) {
		t.Run(r.ID, func(t *testing.T) {
			m, names := r.model()
			s, err := m.Factorise()
			if err != nil {
				t.Fatal(err)
			}
			for i, b := range r.Members {
				if math.Abs(s.beams[i].length-b.Length) > 1e-12 {
					t.Errorf("member %d: length %g, want %g", i, s.beams[i].length, b.Length)
				}
				for k, axis := range s.beams[i].axes {
					if r3.Norm(r3.Sub(axis, vec(b.Axes[k]))) > 1e-9 {
						t.Errorf("member %d: axis %d is %v, want %v", i, k, axis, b.Axes[k])
					}
				}
			}
			sol, err := s.Solve(r.loads(names)...)
			if err != nil {
				t.Fatal(err)
			}
			worst := 0.0
			for load, c := range r.LoadCases {
				want := r.Static[c.Name]
				id := r.ID[:3] + "/" + c.Name
				source := referenceSource + r.ID
				var u, q comparison
				f := comparison{unlisted: true} // the floor's forces are of tests alone
				for i, name := range names {
					u.add(name, want.Displacements[name], sol.Displacement(load, At(i)))
					if reaction, held := want.Reactions[name]; held {
						f.add(name, reaction, sol.Reaction(load, i))
					}
				}
				for i, sp := range r.Springs {
					q.add(sp.ID, want.SpringForces[sp.ID], sol.SpringForce(load, i))
				}
				if len(u.want) != len(want.Displacements) || len(f.want) != len(want.Reactions) || len(q.want) != len(want.SpringForces) {
					t.Errorf("%s: not all values compared", c.Name)
				}
				worst = max(worst,
					u.check(t, id, source, [2]string{"displacement", "rotation"}, [2]string{"m", "rad"}),
					f.check(t, id, source, [2]string{"support force", "support moment"}, [2]string{"N", "N·m"}),
					q.check(t, id, source, [2]string{"spring force", "spring moment"}, [2]string{"N", "N·m"}))
			}
			t.Logf("worst difference %.2g of the largest; softness %.2g", worst, s.softness())
		})
	}
}

// TestReferenceWeights holds the weight that the frames put on the floor
// against the total mass given with them.
func TestReferenceWeights(t *testing.T) {
	const g = 9.80665
	for _, r := range readAllReferences(t) {
		m, _ := r.model()
		s, err := m.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		sol, err := s.Solve(Load{Fields: []Field{{Acceleration: r3.Vec{Z: -g}}}})
		if err != nil {
			t.Fatal(err)
		}
		weight := 0.0
		for i := range m.Nodes {
			weight += sol.Reaction(0, i)[2]
		}
		for i, sp := range m.Springs {
			if sp.B.Node == Ground { // all of these have global axes
				weight += sol.SpringForce(0, i)[2]
			}
		}
		if off := math.Abs(weight/g - r.MassTotal); off > 1e-7*r.MassTotal {
			t.Errorf("%s: a weight of %g kg, given %g kg", r.ID, weight/g, r.MassTotal)
		}
	}
}
