package joint

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/verify"
)

// girders are two bars of 40 × 20 mm, one on the other, with a connection of some slip.
func girders(slip float64) BuiltUp {
	e, w, h := 210e9, 0.04, 0.02
	return BuiltUp{EI1: e * w * h * h * h / 12, EA1: e * w * h, EI2: e * w * h * h * h / 12, EA2: e * w * h, Distance: h, Slip: slip, Length: 1}
}

// TestPartialAgainstFrame holds the slipping beam against two beams in a frame model, tied
// together at 40 places by springs that are stiff perpendicular to them.
func TestPartialAgainstFrame(t *testing.T) {
	for _, slip := range []float64{1e8, 1e9, 1e10} {
		b := girders(slip)
		p, err := b.Partial()
		if err != nil {
			t.Fatal(err)
		}
		// A sine load q gives w = q L⁴/(π⁴ EI).
		want := 1e3 / (math.Pow(math.Pi, 4) * p.EI)
		const n = 40
		var m frame.Model
		section := frame.Section{EA: b.EA1, EIy: b.EI1, EIz: b.EI1, GJ: 1e3}
		for row := range 2 {
			for i := range n + 1 {
				node := frame.Node{Position: r3.Vec{X: float64(i) / n, Z: float64(row) * b.Distance}, Held: [6]bool{false, true, false, true, false, true}}
				if i == 0 || i == n {
					node.Held[2] = true
				}
				node.Held[0] = row == 0 && i == n/2
				m.Nodes = append(m.Nodes, node)
				if i > 0 {
					j := row*(n+1) + i
					m.Members = append(m.Members, frame.Member{A: frame.At(j - 1), B: frame.At(j), Section: section, Orient: r3.Vec{Z: 1}})
				}
			}
		}
		var load frame.Load
		for i := range n + 1 {
			share := 1.0 / n
			if i == 0 || i == n {
				share /= 2
			}
			half := b.Distance / 2
			m.Springs = append(
				m.Springs,
				frame.Spring{
					A: frame.Point{Node: i, Arm: r3.Vec{Z: half}},
					B: frame.Point{Node: n + 1 + i, Arm: r3.Vec{Z: -half}},
					K: [6]float64{slip * share, 0, 1e11, 0, 0, 0},
				},
			)
			load.Forces = append(load.Forces, frame.Force{At: frame.At(i), F: [6]float64{2: 1e3 * share * math.Sin(math.Pi*float64(i)/n)}})
		}
		system, err := m.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		solution, err := system.Solve(load)
		if err != nil {
			t.Fatal(err)
		}
		got := solution.Displacement(0, frame.At(n/2))[2]
		if math.Abs(got/want-1) > 0.005 {
			t.Errorf("slip %g: frame %g, closed form %g", slip, got, want)
		}
	}
}

// TestPartialAgainstGamma holds it against the γ method as EN 1995-1-1 prints it.
func TestPartialAgainstGamma(t *testing.T) {
	b := BuiltUp{EI1: 3e5, EA1: 4e8, EI2: 9e5, EA2: 7e8, Distance: 0.15, Slip: 2e8, Length: 3}
	gamma := 1 / (1 + math.Pi*math.Pi*b.EA1/(b.Slip*b.Length*b.Length))
	a2 := gamma * b.EA1 * b.Distance / (gamma*b.EA1 + b.EA2)
	a1 := b.Distance - a2
	want := b.EI1 + b.EI2 + gamma*b.EA1*a1*a1 + b.EA2*a2*a2
	p, err := b.Partial()
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{
			ID:       "JOINT-GAMMA",
			Quantity: "bending stiffness of two parts that slip",
			Unit:     "N·m²",
			Source:   "EN 1995-1-1, B.1 to B.6, evaluated by hand",
			Want:     want,
			RelTol:   1e-9,
		},
		p.EI,
	)
}

func TestPartialLimits(t *testing.T) {
	loose, _ := girders(0).Partial()
	tight, _ := girders(1e20).Partial()
	if loose.EI != loose.Loose || math.Abs(tight.EI/tight.Full-1) > 1e-9 {
		t.Errorf("loose %+v, tight %+v", loose, tight)
	}
	// Two equal bars as one: four times the stiffness, q/V = S/I.
	if math.Abs(tight.Full/tight.Loose-4) > 1e-12 || math.Abs(tight.Flow-1.5/0.04) > 1e-6 {
		t.Errorf("tight %+v", tight)
	}
}

func TestStitch(t *testing.T) {
	s := Stitch{Material: steel, Weld: 0.05, Pitch: 0.2, Throat: 0.004, Thick1: 0.008, Thick2: 0.01, Rows: 2}
	k, err := s.Slip()
	if err != nil {
		t.Fatal(err)
	}
	s.Weld = s.Pitch
	whole, err := s.Slip()
	if err != nil {
		t.Fatal(err)
	}
	// A weld all along has no change of shear along it: the fillet alone.
	if want := 2 * steel.shear() / math.Sqrt2; math.Abs(whole.Middle/want-1) > 1e-9 || k.High >= whole.High || k.Middle >= 0.25*whole.Middle {
		t.Errorf("stitched %+v, whole %+v, want %g", k, whole, want)
	}
}
