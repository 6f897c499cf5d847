package warping

import (
	"errors"
	"math"
	"math/rand"
	"testing"

	"ironbed/compiler/mesh"
	"ironbed/compiler/verify"
)

// moved turns, moves and scales a section.
func moved(in input, angle, y, z, scale float64) input {
	sin, cos := math.Sincos(angle)
	loop := func(l mesh.Loop) mesh.Loop {
		var out mesh.Loop
		for _, e := range l {
			p := e.From
			out = append(out, mesh.Edge{From: mesh.Point{Y: scale*(p.Y*cos-p.Z*sin) + y, Z: scale*(p.Y*sin+p.Z*cos) + z}, Sweep: e.Sweep})
		}
		return out
	}
	out := input{Materials: in.Materials}
	for _, r := range in.Regions {
		q := mesh.Region{Outer: loop(r.Outer)}
		for _, h := range r.Holes {
			q.Holes = append(q.Holes, loop(h))
		}
		out.Regions = append(out.Regions, q)
	}
	return out
}

func close(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.Abs(got-want) > tol*math.Abs(want) {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

// TestTurnedAndScaled: a section that is turned, moved and made larger is the same
// section.
func TestTurnedAndScaled(t *testing.T) {
	for _, r := range references(t) {
		if r.Results["GJ"] == 0 || r.ID == "S04_IPE200" {
			continue
		}
		a, err := r.input().analyse()
		if err != nil {
			t.Fatal(err)
		}
		const angle, scale = 0.7, 3.0
		b, err := moved(r.input(), angle, 5, -2, scale).analyse()
		if err != nil {
			t.Fatal(r.ID, err)
		}
		close(t, r.ID+" EA", b.EA, a.EA*scale*scale, 1e-5)
		close(t, r.ID+" GJ", b.GJ, a.GJ*math.Pow(scale, 4), 2e-3)
		close(t, r.ID+" EIy + EIz", b.EIy+b.EIz, (a.EIy+a.EIz)*math.Pow(scale, 4), 1e-5)
		size := math.Sqrt((a.EIy + a.EIz) / a.EA)
		if r.ID != "S16_CHS168x6_concrete" { // round: nothing warps
			close(t, r.ID+" EIw", b.EIw, a.EIw*math.Pow(scale, 6), 5e-3)
		}
		sin, cos := math.Sincos(angle)
		y, z := scale*(a.ShearCentreY*cos-a.ShearCentreZ*sin), scale*(a.ShearCentreY*sin+a.ShearCentreZ*cos)
		if math.Hypot(b.ShearCentreY-y, b.ShearCentreZ-z) > 2e-3*scale*size {
			t.Errorf("%s: shear centre %g, %g, want %g, %g", r.ID, b.ShearCentreY, b.ShearCentreZ, y, z)
		}
		// The shear stiffness turns as a tensor; its trace stays.
		close(t, r.ID+" shear", b.GAy+b.GAz, (a.GAy+a.GAz)*scale*scale, 3e-3)
	}
}

// TestBondedHalves: two pieces of one material that touch are one piece, whether
// they share whole sides or parts of them.
func TestBondedHalves(t *testing.T) {
	m := Material{E: 2, G: 0.8, Density: 1}
	whole, err := input{[]mesh.Region{{Outer: polygon(0, 0, 3, 0, 3, 1, 1, 1, 1, 4, 0, 4)}}, []Material{m}}.analyse()
	if err != nil {
		t.Fatal(err)
	}
	parts, err := input{[]mesh.Region{{Outer: polygon(0, 0, 3, 0, 3, 1, 0, 1)}, {Outer: polygon(0, 1, 1, 1, 1, 4, 0, 4)}}, []Material{m, m}}.analyse()
	if err != nil {
		t.Fatal(err)
	}
	close(t, "GJ", parts.GJ, whole.GJ, 5e-3)
	close(t, "GAy", parts.GAy, whole.GAy, 5e-3)
	close(t, "EIy", parts.EIy, whole.EIy, 1e-9)
}

// TestSoftFill: a fill of next to no stiffness leaves the empty section, and a
// stiffer one never makes it softer.
func TestSoftFill(t *testing.T) {
	web, pocket := polygon(0, 0, 100, 0, 100, 8, 6, 8, 6, 192, 100, 192, 100, 200, 0, 200), polygon(6, 8, 100, 8, 100, 192, 6, 192)
	steel := Material{E: 210e9, G: 81e9, Density: 7850}
	empty, err := input{[]mesh.Region{{Outer: web}}, []Material{steel}}.analyse()
	if err != nil {
		t.Fatal(err)
	}
	last := empty.GJ
	for _, e := range []float64{1e3, 1e8, 1e9, 1e10, 4e10} {
		p, err := input{[]mesh.Region{{Outer: web}, {Outer: pocket}}, []Material{steel, {E: e, G: e / 2.4, Density: 2000}}}.analyse()
		if err != nil {
			t.Fatal(err)
		}
		if e < 1e4 {
			close(t, "soft fill", p.GJ, empty.GJ, 5e-3)
		}
		if p.GJ < last*(1-5e-3) {
			t.Errorf("fill of %g Pa: GJ %g below %g", e, p.GJ, last)
		}
		last = p.GJ
	}
}

// TestConvergence: the error of a thin open section falls with the mesh.
func TestConvergence(t *testing.T) {
	r := references(t)[1] // IPE 200
	last := math.Inf(1)
	section := New(r.input().Regions)
	for i := range fineness {
		p, err := section.on(i, r.input().Materials)
		if err != nil {
			t.Fatal(err)
		}
		off := p.GJ/r.Results["GJ"] - 1
		if off < -1e-5 {
			t.Errorf("mesh %d: GJ %g below the exact one; a compatible element is never softer", i, p.GJ)
		}
		if off > last {
			t.Errorf("mesh %d: off by %g after %g", i, off, last)
		}
		last = off
	}
	if last > 1e-3 {
		t.Errorf("the finest mesh is off by %g", last)
	}
}

// TestOtherMaterials: what was analysed before with other materials does not show, by a bit. What the mesh leaves with one of the two
// is eighty times what it leaves with the other.
func TestOtherMaterials(t *testing.T) {
	regions := []mesh.Region{{Outer: polygon(0, 0, 100, 0, 100, 3, 3, 3, 3, 97, 100, 97, 100, 100, 0, 100)}, {Outer: polygon(3, 3, 100, 3, 100, 97, 3, 97)}}
	soft, hard := []Material{{E: 1, G: 0.4}, {E: 1e-7, G: 4e-8}}, []Material{{E: 1, G: 0.4}, {E: 0.2, G: 0.08}}
	for _, order := range [][2][]Material{{soft, hard}, {hard, soft}} {
		section := New(regions)
		if _, err := section.Analyse(order[0]); err != nil {
			t.Fatal(err)
		}
		again, err := section.Analyse(order[1])
		if err != nil {
			t.Fatal(err)
		}
		fresh, err := input{regions, order[1]}.analyse()
		if err != nil {
			t.Fatal(err)
		}
		if again != fresh {
			t.Errorf("after other materials %+v, fresh %+v", again, fresh)
		}
	}
}

// TestPieces: what does not hang together is said to.
func TestPieces(t *testing.T) {
	m := Material{E: 1, G: 1}
	for name, regions := range map[string][]mesh.Region{
		"apart":            {{Outer: polygon(0, 0, 1, 0, 1, 1, 0, 1)}, {Outer: polygon(2, 0, 3, 0, 3, 1, 2, 1)}},
		"touching corners": {{Outer: polygon(0, 0, 1, 0, 1, 1, 0, 1)}, {Outer: polygon(1, 1, 2, 1, 2, 2, 1, 2)}},
	} {
		if _, err := (input{regions, []Material{m, m}}).analyse(); !errors.Is(err, ErrPieces) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestBadSections: no input panics, hangs, or gives a number that is none.
func TestBadSections(t *testing.T) {
	m := Material{E: 1, G: 1}
	for name, in := range map[string]input{
		"nothing":      {},
		"no material":  {Regions: []mesh.Region{{Outer: polygon(0, 0, 1, 0, 1, 1)}}},
		"bad material": {[]mesh.Region{{Outer: polygon(0, 0, 1, 0, 1, 1)}}, []Material{{E: -1, G: 1}}},
		"two points":   {[]mesh.Region{{Outer: polygon(0, 0, 1, 0)}}, []Material{m}},
		"on a line":    {[]mesh.Region{{Outer: polygon(0, 0, 1, 0, 2, 0)}}, []Material{m}},
		"crossed":      {[]mesh.Region{{Outer: polygon(0, 0, 1, 1, 1, 0, 0, 1)}}, []Material{m}},
		"overlapping":  {[]mesh.Region{{Outer: polygon(0, 0, 2, 0, 2, 2, 0, 2)}, {Outer: polygon(1, 1, 3, 1, 3, 3, 1, 3)}}, []Material{m, m}},
		"inside":       {[]mesh.Region{{Outer: polygon(0, 0, 4, 0, 4, 4, 0, 4)}, {Outer: polygon(1, 1, 3, 1, 3, 3, 1, 3)}}, []Material{m, m}},
		"not a number": {[]mesh.Region{{Outer: polygon(0, 0, math.NaN(), 0, 1, 1)}}, []Material{m}},
	} {
		if p, err := in.analyse(); err == nil {
			t.Errorf("%s: no error, %+v", name, p)
		}
	}
	random := rand.New(rand.NewSource(4))
	for range 300 {
		var l mesh.Loop
		for range 3 + random.Intn(9) {
			e := mesh.Edge{From: mesh.Point{Y: math.Round(random.NormFloat64()*4) / 4, Z: math.Round(random.NormFloat64()*4) / 4}}
			if random.Intn(3) == 0 {
				e.Sweep = (random.Float64() - 0.5) * 6
			}
			if random.Intn(6) == 0 {
				e.From.Y += 1e-9 * random.Float64()
			}
			l = append(l, e)
		}
		p, err := input{[]mesh.Region{{Outer: l}}, []Material{m}}.analyse()
		if err == nil && !verify.Finite(p) {
			t.Fatalf("%v gives %+v", l, p)
		}
	}
}
