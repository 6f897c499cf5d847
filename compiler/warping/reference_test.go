package warping

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"ironbed/compiler/mesh"
	"ironbed/compiler/verify"
)

// A referenceSection is a section solved with two-dimensional finite elements:
// T6 triangles with exact arcs on three nested meshes, extrapolated.
type referenceSection struct {
	ID        string
	Title     string
	Materials map[string]struct{ E, G, Rho float64 }
	Regions   []struct {
		Material string
		Outer    referenceLoop
		Holes    []referenceLoop
	}
	Results map[string]float64
}

// A referenceLoop is a circle, or lines and arcs.
type referenceLoop struct {
	Centre   []float64
	Radius   float64
	Segments []struct{ Start, End, Centre []float64 }
}

func (l referenceLoop) loop() mesh.Loop {
	if l.Radius > 0 {
		return circle(l.Centre[0], l.Centre[1], l.Radius)
	}
	var out mesh.Loop
	for _, s := range l.Segments {
		e := mesh.Edge{From: mesh.Point{Y: s.Start[0], Z: s.Start[1]}}
		if s.Centre != nil {
			ay, az, by, bz := s.Start[0]-s.Centre[0], s.Start[1]-s.Centre[1], s.End[0]-s.Centre[0], s.End[1]-s.Centre[1]
			e.Sweep = math.Atan2(ay*bz-az*by, ay*by+az*bz)
		}
		out = append(out, e)
	}
	return out
}

func circle(y, z, radius float64) mesh.Loop {
	return mesh.Loop{{From: mesh.Point{Y: y + radius, Z: z}, Sweep: math.Pi}, {From: mesh.Point{Y: y - radius, Z: z}, Sweep: math.Pi}}
}

// An input is a section with its materials.
type input struct {
	Regions   []mesh.Region
	Materials []Material
}

func (in input) analyse() (Properties, error) { return New(in.Regions).Analyse(in.Materials) }

func (r referenceSection) input() input {
	var in input
	for _, g := range r.Regions {
		region := mesh.Region{Outer: g.Outer.loop()}
		for _, h := range g.Holes {
			region.Holes = append(region.Holes, h.loop())
		}
		m := r.Materials[g.Material]
		in.Regions = append(in.Regions, region)
		in.Materials = append(in.Materials, Material{m.E, m.G, m.Rho})
	}
	return in
}

func references(t testing.TB) []referenceSection {
	t.Helper()
	data, err := os.ReadFile("testdata/sections.json")
	if err != nil {
		t.Fatal(err)
	}
	var list []referenceSection
	if err := json.Unmarshal(data, &list); err != nil {
		t.Fatal(err)
	}
	return list
}

// TestReferenceSections holds every section of the reference set to its results.
func TestReferenceSections(t *testing.T) {
	for _, r := range references(t) {
		if r.Results["GJ"] == 0 {
			continue // in pieces
		}
		p, err := r.input().analyse()
		if err != nil {
			t.Errorf("%s: %v", r.ID, err)
			continue
		}
		// With several materials, what Poisson's ratios that differ do to the shear
		// in the plane is left out.
		shear, why := 2e-3, ""
		if len(r.Materials) > 1 {
			shear, why = 3e-2, "what Poisson's ratios that differ do to the shear in the plane is left out"
		}
		size := math.Sqrt((p.EIy + p.EIz) / p.EA)
		free := p.GAy*p.GAz - p.GAyz*p.GAyz // their coefficients leave the other way free of force
		for _, c := range []struct {
			name, unit string
			got        float64
			tol, abs   float64
		}{
			{"EA", "N", p.EA, 1e-5, 0}, {"EIy", "N·m²", p.EIy, 1e-5, 0}, {"EIz", "N·m²", p.EIz, 1e-5, 0}, {"EIyz", "N·m²", p.EIyz, 1e-5, 1e-6 * (p.EIy + p.EIz)},
			{"yc", "m", p.CentroidY, 0, 1e-5 * size}, {"zc", "m", p.CentroidZ, 0, 1e-5 * size}, {"m", "kg/m", p.MassPerLength, 1e-5, 0},
			{"ym", "m", p.MassCentreY, 0, 1e-5 * size}, {"zm", "m", p.MassCentreZ, 0, 1e-5 * size}, {"rhoIy", "kg·m", p.RotaryInertiaY, 1e-5, 0}, {"rhoIz", "kg·m", p.RotaryInertiaZ, 1e-5, 0},
			{"GJ", "N·m²", p.GJ, 5e-3, 0}, {"EIw", "N·m⁴", p.EIw, 3e-3, 1e-7 * p.EIy * size * size},
			{"ys_trefftz", "m", p.CentroidY + p.ShearCentreY, 0, 1e-3 * size}, {"zs_trefftz", "m", p.CentroidZ + p.ShearCentreZ, 0, 1e-3 * size},
			{"ky", "-", free / p.GAz / r.Results["GA"], shear, 0}, {"kz", "-", free / p.GAy / r.Results["GA"], shear, 0},
		} {
			want, ok := r.Results[c.name]
			if !ok {
				continue
			}
			reason := ""
			if c.tol == shear {
				reason = why
			}
			verify.Check(
				t,
				verify.Case{
					ID:       r.ID + " " + c.name,
					Quantity: c.name + ", " + r.Title,
					Unit:     c.unit,
					Source:   "two-dimensional finite elements, T6 mesh extrapolated, case " + r.ID,
					Want:     want,
					RelTol:   c.tol,
					AbsTol:   c.abs,
					Why:      reason,
				},
				c.got,
			)
		}
		t.Logf(
			"%s: GJ off by %.1e (own error %.1e), GA off by %.1e, %.1e (error %.1e)",
			r.ID,
			p.GJ/r.Results["GJ"]-1,
			p.TorsionError,
			free/p.GAz/r.Results["GA"]/r.Results["ky"]-1,
			free/p.GAy/r.Results["GA"]/r.Results["kz"]-1,
			p.ShearError,
		)
	}
}

func BenchmarkAnalyse(b *testing.B) {
	for _, r := range references(b) {
		in := r.input()
		b.Run(r.ID, func(b *testing.B) {
			for b.Loop() {
				in.analyse()
			}
		})
	}
}
