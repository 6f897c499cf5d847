package joint

import (
	"math"
	"testing"

	"ironbed/compiler/verify"
)

// longPlate returns the chain of a plate of unit width whose edges stand on stiff
// side walls: simply supported, or clamped.
func longPlate(clamped bool) chain {
	m := Material{E: 210e9, Poisson: 0.3}
	thick := 0.01
	d := m.E * thick * thick * thick / (12 * (1 - m.Poisson*m.Poisson))
	wall := plate{membrane: 1e5 * thick, bending: 1e-7 * d}
	if clamped {
		wall.bending = 1e7 * d
	}
	c := newChain(m, 1)
	c.to(0.5, -0.5, 2, wall)
	c.to(0.5, 0.5, 2, wall)
	c.corner = c.last()
	c.to(0, 0.5, 8, plate{membrane: thick, bending: d})
	c.shear = 1e30
	c.mirror = true
	return c
}

// TestPlateUnderAForce holds the strips against rectangular plates under a force in
// the middle, w = α P a²/D.
func TestPlateUnderAForce(t *testing.T) {
	const source = "Timoshenko Plates, "
	for _, c := range []struct {
		id, what string
		clamped  bool
		length   float64
		want     float64
		tol      float64
	}{
		{"JOINT-P1", "square plate, simply supported, force in the middle", false, 1, 0.01160, 0.002},
		{"JOINT-P2", "plate twice as long as wide, simply supported, force in the middle", false, 2, 0.01651, 0.002},
		{"JOINT-P3", "long plate, simply supported, force in the middle", false, 8, 0.01695, 0.002},
		{"JOINT-P4", "long plate, clamped edges, force in the middle", true, 8, 0.00725, 0.006},
	} {
		p := longPlate(c.clamped)
		d := p.plates[p.last()-1].bending
		lines, g := []int{p.last()}, make([]float64, 9)
		l := make(factor, motions*(p.last()+1))
		w := 0.0
		for n := range 400 {
			p.response(math.Pi/c.length*float64(2*n+1), lines, l, g)
			w += g[8] / c.length
		}
		verify.Check(t, verify.Case{ID: c.id, Quantity: c.what, Unit: "-", Source: source + "tables 23 and 37, from memory", Want: c.want, RelTol: c.tol}, w*d)
	}
}

// TestPlateShear holds that a thick simply supported plate under a sine load gives by
// q/(κGt k²) more than a thin one, as Mindlin's plate does.
func TestPlateShear(t *testing.T) {
	p := longPlate(false)
	p.shear = 3e9
	// A load even across, of one sine: sum the line loads.
	k := 2.0
	middle, sum := p.y[p.last()], 0.0
	const n = 2000
	for i := range n {
		y := 0.5 * (float64(i) + 0.5) / n
		sum += 0.5 / n * math.Cos(math.Pi*y) * p.sheared(k, middle, y)
	}
	want := 1 / (p.shear * (k*k + math.Pi*math.Pi))
	if math.Abs(sum-want) > 1e-5*want {
		t.Errorf("got %g, want %g", sum, want)
	}
}
