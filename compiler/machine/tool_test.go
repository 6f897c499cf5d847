package machine

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/internal/sample"
	"ironbed/spec"
)

// TestSpindleClasses: with each class of the catalogue, the mode that gives most at the tip
// of a cutter lies where modes of milling spindles were measured: 300 to 6000 Hz, a damping
// ratio of 0.5 to 4 % and a modal stiffness of 1 to 30 N/µm.
//
// Measured: Insperger and Stepan 2004 (922 Hz, 1.1 %, 1.3 N/µm), Altintas Budak 1995 (603
// and 666 Hz, 3.9 and 3.5 %, 5.6 N/µm); a steel end mill of 32 mm, 370 to 1449 Hz, 1.1 to
// 3.2 %, 5.8 to 15 N/µm. The wider bounds are for small cutters; common practice.
func TestSpindleClasses(t *testing.T) {
	stiffness := map[string]float64{}
	for _, class := range spec.CatalogueNames(spec.KindSpindles) {
		m, _ := sample.Edited(t, "slipway-gantry", [2]string{"\t\tradial: \"100 N/µm ± 30 %\"\n\t\taxial:  \"100 N/µm ± 30 %\"\n", "\t\tclass: \"" + class + "\"\n"})
		d, err := New(m, spec.At(spec.Middle))
		if err != nil {
			t.Fatal(err)
		}
		end, err := d.ToolEnd(m.Cutters.Find("12 mm three-flute"))
		if err != nil {
			t.Fatal(err)
		}
		modes, err := end.Modes()
		if err != nil {
			t.Fatal(err)
		}
		most, hz, zeta := 0.0, 0.0, 0.0
		for i := range modes.List {
			mode := &modes.List[i]
			if gives := math.Pow(mode.Tip[0]/mode.Omega, 2); gives > most {
				most, hz, zeta = gives, mode.Omega/(2*math.Pi), mode.Loss/2
			}
		}
		stiffness[class] = 1 / end.lateral
		if hz < 300 || hz > 6000 || zeta < 0.005 || zeta > 0.04 || 1/most < 1e6 || 1/most > 30e6 {
			t.Errorf("%s: %.0f Hz, damping ratio %.3f, %.1f N/µm", class, hz, zeta, 1e-6/most)
		}
	}
	order := []string{"air-cooled router motor", "high-frequency electric spindle", "belt-driven taper spindle", "geared head"}
	for i := range order[1:] {
		if !(stiffness[order[i]] < stiffness[order[i+1]]) {
			t.Errorf("%s has %g N/m at the tip, %s %g", order[i], stiffness[order[i]], order[i+1], stiffness[order[i+1]])
		}
	}
}

// TestHighestChatter: no mode of a cutter of the examples above the frequencies that are
// looked at moves its tip as much as one below them.
func TestHighestChatter(t *testing.T) {
	for _, name := range sample.Some(sample.Names, 2) {
		m := sample.Example(t, name)
		d, err := New(m, spec.At(spec.Middle))
		if err != nil {
			t.Fatal(err)
		}
		for i := range m.Cutters {
			end, err := d.ToolEnd(&m.Cutters[i].Item)
			if err != nil {
				t.Fatal(err)
			}
			mesh, err := end.chain.Mesh(8*HighestChatter, 1)
			if err != nil {
				t.Fatal(err)
			}
			modes, err := mesh.Modes(end.nose)
			if err != nil {
				t.Fatal(err)
			}
			var below, above float64
			for k := range modes.List {
				mode := &modes.List[k]
				peak := mode.Tip[0] * mode.Tip[0] / (mode.Omega * mode.Omega * mode.Loss)
				if mode.Omega < 2*math.Pi*HighestChatter {
					below = math.Max(below, peak)
				} else {
					above = math.Max(above, peak)
				}
			}
			if above > below {
				t.Errorf("%s, %s: a mode above %d Hz moves the tip by %.3g m/N, below by %.3g", name, m.Cutters[i].Name, HighestChatter, above, below)
			}
		}
	}
}

// TestHousingHasMass: what is left of the spindle without the shaft, the holder and the
// cutter, which the frame carries, has a positive mass and a positive moment of inertia.
func TestHousingHasMass(t *testing.T) {
	for _, name := range sample.Names {
		m := sample.Example(t, name)
		d, err := New(m, spec.At(spec.Middle))
		if err != nil {
			t.Fatal(err)
		}
		s, read := m.Spindle, d.Read
		mass := read.Of(s.Mass)
		behind := -r3.Dot(r3.Sub(Vector(read, s.MassOffset), Vector(read, s.Nose)), Pointing(s))
		inertia, err := d.spindleInertia(mass, Vector(read, s.MassOffset))
		if err != nil {
			t.Fatal(err)
		}
		about := math.Max(inertia[0], inertia[1]) + mass*behind*behind // of tools that point along z
		for i := range m.Cutters {
			end, err := d.ToolEnd(&m.Cutters[i].Item)
			if err != nil {
				t.Fatal(err)
			}
			modes, err := end.Modes()
			if err != nil {
				t.Fatal(err)
			}
			a, b, c := mass-modes.Mass[0][0], -mass*behind-modes.Mass[0][1], about-modes.Mass[1][1]
			if !(a > 0 && a*c-b*b > 0) {
				t.Errorf("%s, %s: the housing has %.3g kg, %.3g kg·m and %.3g kg·m²", name, m.Cutters[i].Name, a, b, c)
			}
		}
	}
}
