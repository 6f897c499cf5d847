package compiler_test

import (
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/works"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// knownUnits are units of figures that the quantity package does not read.
var knownUnits = map[string]bool{"": true, "J": true, "K": true, "%": true, "µrad": true, "cm³/min": true}

// compiled compiles a machine.
func compiled(t testing.TB, m *spec.Machine) *build.Build {
	t.Helper()
	b, findings := compiler.Compile(m, build.Tool{Name: "ironbed", Version: "test"}, func(string) {})
	if b == nil {
		t.Fatal(findings)
	}
	return b
}

// examples keeps the examples that were compiled.
var examples sync.Map // name: *build.Build

// exampleOf is an example as these tests look at it: in the ordinary run with its first target alone.
func exampleOf(t testing.TB, name string) *spec.Machine {
	t.Helper()
	m := sample.Example(t, name)
	if sample.Thorough() {
		return m
	}
	return sample.Only(t, m, m.Targets[0].Name)
}

// example compiles an example, once for all tests.
func example(t testing.TB, name string) *build.Build {
	t.Helper()
	if b, ok := examples.Load(name); ok {
		return b.(*build.Build)
	}
	b := compiled(t, exampleOf(t, name))
	examples.Store(name, b)
	return b
}

// answered finds what is said of a machine, without what only a report prints.
func answered(t testing.TB, m *spec.Machine) *build.Build {
	t.Helper()
	b, findings := compiler.Answers(m, build.Tool{Name: "ironbed", Version: "test"}, func(string) {})
	if b == nil {
		t.Fatal(findings)
	}
	return b
}

// figured compiles as much of a machine as one figure needs.
func figured(t testing.TB, m *spec.Machine, id string) *build.Build {
	t.Helper()
	b, findings := compiler.Figure(id)(m, build.Tool{Name: "ironbed", Version: "test"}, func(string) {})
	if b == nil {
		t.Fatal(findings)
	}
	if _, ok := b.Figures.Get(id); !ok {
		t.Fatalf("no figure %s", id)
	}
	return b
}

// TestMountingErrorLoads: a frame that yields takes less load from an error of a mounting surface than a
// stiff table.
func TestMountingErrorLoads(t *testing.T) {
	for _, name := range sample.Some(sample.Names, 2) {
		b := example(t, name)
		for _, f := range b.Figures.All() {
			if id, ok := strings.CutSuffix(f.ID, "_stiff"); ok && strings.Contains(id, ".mounting.") {
				flexible, _ := b.Figures.Get(id)
				if flexible.Value <= 0 || flexible.Value > f.Value*(1+1e-9) {
					t.Errorf("%s: %s is %g N on the frame and %g N on a stiff table", name, id, flexible.Value, f.Value)
				}
			}
		}
	}
}

// TestFigures holds what every build must: ids that inputs name are there, units
// are units, sources are known, tables speak of figures that exist.
func TestFigures(t *testing.T) {
	for _, name := range sample.Some(sample.Names, 2) {
		b := example(t, name)
		for _, f := range b.Figures.All() {
			if strings.ContainsAny(f.ID, " ,") {
				t.Errorf("%s: %q holds a space or comma", name, f.ID)
			}
			if !knownUnits[f.Unit] {
				if _, err := quantity.In(1, f.Unit); err != nil {
					t.Errorf("%s: %s: unit %q: %v", name, f.ID, f.Unit, err)
				}
			}
			for _, in := range f.Inputs {
				if _, ok := b.Figures.Get(in.Figure); in.Figure != "" && !ok {
					t.Errorf("%s: %s rests on %s, which is not there", name, f.ID, in.Figure)
				}
			}
			if f.Source == "" {
				t.Errorf("%s: %s has no source", name, f.ID)
			}
			for _, key := range works.Keys(f.Source) {
				if _, ok := works.Find(key); !ok && key != works.DerivedHere && key != works.CommonPractice && key != works.FromMemory {
					t.Errorf("%s: %s cites %q, which is not in the list", name, f.ID, key)
				}
			}
		}
		for _, f := range b.Findings {
			for _, id := range f.Figures {
				if _, ok := b.Figures.Get(id); !ok {
					t.Errorf("%s: finding %s rests on %s, which is not there", name, f.Rule, id)
				}
			}
			if !f.At.Known() {
				t.Errorf("%s: finding %s has no place", name, f.Rule)
			}
		}
		for _, s := range slices.Concat(b.Sheets, b.Book) {
			for _, block := range s.Blocks {
				if table, ok := block.(build.Table); ok {
					for _, row := range table.Rows {
						if len(row) != len(table.Columns) {
							t.Errorf("%s: sheet %s: a row of %d cells under %d heads", name, s.ID, len(row), len(table.Columns))
						}
						for _, c := range row {
							if _, ok := b.Figures.Get(c.Figure); c.Figure != "" && !ok {
								t.Errorf("%s: sheet %s speaks of %s, which is not there", name, s.ID, c.Figure)
							}
						}
					}
				}
			}
		}
	}
}

// TestPowerOfACut: the mean power of each target's cut is its specific cutting
// force times what it removes. With kc = kc1.1 h^-m and the mean over the arc,
// the energy per volume lies between kc at the thickest chip and kc at the least
// trusted one.
func TestPowerOfACut(t *testing.T) {
	for _, name := range sample.Some(sample.Names, 2) {
		m, b := exampleOf(t, name), example(t, name)
		for _, e := range m.Targets {
			id := "target." + spec.IDWord(e.Name) + "."
			power, ok := b.Figures.Get(id + "power")
			if !ok {
				continue
			}
			removed, _ := b.Figures.Get(id + "removal_rate")
			w := m.WorkMaterial(e.Item.Material.Text)
			chip, _ := b.Figures.Get(id + "feed_per_tooth")
			energy := power.Value / (removed.Value / 6e7)
			thick := (spec.Reader{}).Of(w.SpecificForce) * math.Pow(chip.Value, -(spec.Reader{}).Of(w.Exponent))
			thin := (spec.Reader{}).Of(w.SpecificForce) * math.Pow((spec.Reader{}).Of(w.MinChip)*1e3, -(spec.Reader{}).Of(w.Exponent))
			if energy < 0.98*thick || energy > 1.02*thin {
				t.Errorf("%s %s: %.4g J/m3, expected between %.4g and %.4g", name, e.Name, energy, thick, thin)
			}
		}
	}
}

// TestDesignWallIsSaid: where tubing is counted with its design wall, the sheet of
// the masses says how much more it may weigh, and for which member.
func TestDesignWallIsSaid(t *testing.T) {
	said := func(b *build.Build) string {
		for _, s := range b.Sheets {
			if s.ID != "mass" {
				continue
			}
			for _, block := range s.Blocks {
				if text, ok := block.(build.Text); ok && strings.Contains(string(text), "ASTM A500") {
					return string(text)
				}
			}
		}
		return ""
	}
	if got := said(example(t, "clockroom-mill")); got != "" {
		t.Errorf("no tubing, yet %q", got)
	}
	tubing, _ := sample.Edited(t, "clockroom-mill", [2]string{`"RHS 300x100x10 cold"`, `"HSS 8x4x1/2"`})
	if got := said(figured(t, tubing, "tool.stiffness.y")); !strings.Contains(got, "head.") || strings.Contains(got, "bridge.") {
		t.Errorf("the head is of tubing: %q", got)
	}
}

// TestForceWithoutSource: of a target's material without a published specific cutting force it is said, with how to measure one; of the
// metals, which VDI 3323 has, it is not.
func TestForceWithoutSource(t *testing.T) {
	said := func(b *build.Build) (list string) {
		for _, s := range b.Sheets {
			for _, block := range s.Blocks {
				if text, ok := block.(build.Text); ok && strings.Contains(string(text), "No published specific cutting force") {
					list += string(text)
				}
			}
		}
		return list
	}
	text := said(example(t, "slipway-gantry"))
	if !strings.Contains(text, "hardwood") || strings.Contains(text, "steel") || strings.Contains(text, "aluminium") || !strings.Contains(text, "test slot") {
		t.Errorf("said of the slipway gantry is %q", text)
	}
	if text := said(example(t, "clockroom-mill")); text != "" {
		t.Errorf("said of brass and steel is %q", text)
	}
}
