package cut

import (
	"math"
	"math/rand"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"ironbed/compiler/cutting"
	"ironbed/compiler/verify"
	"ironbed/spec"
)

// read picks the middle of every value, low and high their bounds.
var read = spec.At(spec.Middle)

func low(v spec.Value) float64  { return spec.At(spec.Low).Of(v) }
func high(v spec.Value) float64 { return spec.At(spec.High).Of(v) }

// groups are specific forces [N/mm2] and exponents by the number of the
// material group, at 0 degrees of rake.
//
// Source: VDI 3323 groups as printed in a turning catalogue of 2017, p. 558.
var groups = map[int][2]float64{
	1: {1350, 0.21}, 2: {1500, 0.22}, 6: {1775, 0.24}, 8: {1725, 0.24}, 10: {2450, 0.23}, 12: {1875, 0.21}, 14: {2150, 0.20},
	15: {1150, 0.20}, 16: {1350, 0.28}, 17: {1225, 0.25}, 18: {1350, 0.28},
	21: {700, 0.25}, 22: {800, 0.25}, 23: {700, 0.25}, 24: {700, 0.25}, 25: {750, 0.25}, 26: {700, 0.27}, 27: {700, 0.27}, 28: {700, 0.27},
}

func libraryRow(t testing.TB, name string) *spec.WorkMaterial {
	t.Helper()
	w := spec.FromCatalogue[spec.WorkMaterial](spec.KindWorkMaterials, name)
	if w == nil {
		t.Fatalf("the catalogue has no %s", name)
	}
	return w
}

// edges are what the edge materials may do in a row.
func edges(w *spec.WorkMaterial) []*spec.Edge {
	var list []*spec.Edge
	for _, e := range []*spec.Edge{w.Carbide, w.HighSpeedSteel} {
		if e != nil {
			list = append(list, e)
		}
	}
	return list
}

// TestLibrary holds each row of the work materials to what a row must say.
func TestLibrary(t *testing.T) {
	names := spec.CatalogueNames(spec.KindWorkMaterials)
	if len(names) < 24 {
		t.Errorf("%d rows", len(names))
	}
	for _, name := range names {
		w := libraryRow(t, name)
		if w.Coolant.Text == "" || w.Source.Text == "" || w.Note.Text == "" {
			t.Errorf("%s says no coolant, source or note", name)
		}
		if f := w.SpecificForce; w.Mark.Text == "from memory" && high(f)/low(f) < 1.8 {
			t.Errorf("%s is from memory with bounds of %g to %g", name, low(f), high(f))
		}
		if low(w.Density) == high(w.Density) || low(w.SpecificForce) == high(w.SpecificForce) {
			t.Errorf("%s gives a value without doubt", name)
		}
		if read.Of(w.LightDepth) >= read.Of(w.FullDepth) {
			t.Errorf("%s: light cuts are deeper than full ones", name)
		}
		for _, e := range edges(w) {
			if v := e.SurfaceSpeed; !(low(v) > 0 && high(v) > low(v)) {
				t.Errorf("%s: speeds %g to %g", name, low(v), high(v))
			}
			last := 0.0
			for _, row := range e.FeedPerTooth {
				if read.Of(row.Diameter) <= last || high(row.Feed) <= read.Of(w.MinChip) || low(row.Feed) >= high(row.Feed) {
					t.Errorf("%s: chip thickness %g to %g at %g, least chip %g", name, low(row.Feed), high(row.Feed), read.Of(row.Diameter), read.Of(w.MinChip))
				}
				last = read.Of(row.Diameter)
			}
		}
		if w.Carbide != nil && w.HighSpeedSteel != nil && high(w.HighSpeedSteel.SurfaceSpeed) > high(w.Carbide.SurfaceSpeed) {
			t.Errorf("%s: high-speed steel runs faster than carbide", name)
		}
	}
	note := libraryRow(t, "glass-epoxy laminate").Note.Text
	if !strings.Contains(note, "Caution") || !strings.Contains(note, "dust") || !strings.Contains(note, "law") {
		t.Errorf("glass-epoxy laminate does not warn of its dust: %s", note)
	}
}

// TestLibraryGroups: a row that cites a material group holds the group's values.
func TestLibraryGroups(t *testing.T) {
	const source = "VDI 3323 material groups, table of kc1.1 and mc in a turning catalogue of 2017, p. 558"
	first := regexp.MustCompile(`VDI 3323, groups? (\d+)`)
	cited := 0
	for _, name := range spec.CatalogueNames(spec.KindWorkMaterials) {
		w := libraryRow(t, name)
		found := first.FindStringSubmatch(w.Source.Text)
		if found == nil {
			continue
		}
		cited++
		number, err := strconv.Atoi(found[1])
		if err != nil {
			t.Fatal(err)
		}
		group, ok := groups[number]
		if !ok {
			t.Errorf("%s cites group %d, of which the test knows no values", name, number)
			continue
		}
		force := w.SpecificForce
		if kc := group[0] * 1e6; low(force) > kc || high(force) < kc {
			t.Errorf("%s: %g to %g N/mm2 do not hold the table's %g", name, low(force)/1e6, high(force)/1e6, group[0])
		}
		c := verify.Case{ID: "library-kc-" + name, Quantity: "specific force of " + name, Unit: "N/mm2", Source: source, Want: group[0], RelTol: 1e-9}
		if strings.Contains(w.Source.Text, "Duan 2021") {
			c.RelTol, c.Why = 0.13, "between the table and the coefficients measured by Duan 2021, table 5, which differ by a quarter"
		}
		verify.Check(t, c, read.Of(force)/1e6)
		if low(w.Exponent) > group[1]+1e-9 || high(w.Exponent) < group[1]-1e-9 {
			t.Errorf("%s: exponent %g to %g does not hold the table's %g", name, low(w.Exponent), high(w.Exponent), group[1])
		}
	}
	if cited < 15 {
		t.Errorf("only %d rows cite a group", cited)
	}
}

// TestLibraryPlausible: a heavy home-built gantry mill faces steel with an 8 mm
// carbide cutter near 10 000 rpm and takes detail passes at 700 mm/min. That is
// common practice, no source: the library must admit it.
func TestLibraryPlausible(t *testing.T) {
	w := libraryRow(t, "mild steel")
	const speed, diameter = 10000.0 / 60, 8e-3
	if v := cutting.SurfaceSpeed(diameter, speed); v < low(w.Carbide.SurfaceSpeed) || v > high(w.Carbide.SurfaceSpeed) {
		t.Errorf("8 mm at 10 000 rpm is %g m/min, the row allows %g to %g", v*60, low(w.Carbide.SurfaceSpeed)*60, high(w.Carbide.SurfaceSpeed)*60)
	}
	load := ChipThickness(read, w.Carbide, diameter)
	for teeth := 2; teeth <= 4; teeth++ {
		feed := 700e-3 / 60 / speed / float64(teeth)
		if feed < read.Of(w.MinChip) {
			t.Errorf("700 mm/min by %d teeth is %g m a tooth and would rub below %g", teeth, feed, read.Of(w.MinChip))
		}
		if teeth < 4 && (feed < load.Min || feed > load.Max) {
			t.Errorf("700 mm/min by %d teeth is %g m a tooth, the row allows %g to %g", teeth, feed, load.Min, load.Max)
		}
	}
}

// TestLibraryEnergy: over everything that a search may try in any material, mean
// power is specific energy times removal rate, and both ways to state the power
// agree with the cheap loads of a metre of depth.
func TestLibraryEnergy(t *testing.T) {
	r := rand.New(rand.NewSource(21))
	within := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	for _, name := range spec.CatalogueNames(spec.KindWorkMaterials) {
		w := libraryRow(t, name)
		for _, edge := range edges(w) {
			for _, c := range []spec.Bound{spec.Middle, spec.Worse, spec.Better} {
				work := WorkOf(spec.At(c), w)
				for range 12 {
					d := within(1e-3, 20e-3)
					load := ChipThickness(read, edge, d)
					cut := cutting.Cut{
						Diameter: d, Teeth: 1 + r.Intn(4), Helix: within(0, 0.8), Width: d * within(0.05, 1), Depth: d * within(0.02, 2),
						FeedPerTooth: within(load.Min, load.Max), Speed: within(low(edge.SurfaceSpeed), high(edge.SurfaceSpeed)) / math.Pi / d,
						Mode: cutting.Mode(1 + r.Intn(3)),
					}
					f, err := cut.Forces(work)
					if err != nil {
						t.Fatal(name, err)
					}
					profile, err := cutting.NewProfile(work, cut.Teeth, cut.WidthRatio(), cut.Mode)
					if err != nil {
						t.Fatal(name, err)
					}
					metre, err := profile.PerDepth(d, cut.FeedPerTooth, 0)
					if err != nil {
						t.Fatal(name, err)
					}
					turning := 2 * math.Pi * cut.Speed
					removal := cut.WidthRatio() * d * cut.Depth * cut.FeedPerTooth * float64(cut.Teeth) * cut.Speed
					for what, power := range map[string]float64{"forces": turning * f.MeanTorque, "metre of depth": turning * metre.MeanTorque * cut.Depth} {
						if want := f.SpecificEnergy * removal; math.Abs(power-want) > 1e-3*want {
							t.Errorf("%s: power by the %s is %g W, energy times removal %g W: %+v", name, what, power, want, cut)
						}
					}
					// The energy is that of some chip between the thinnest and the thickest.
					least, _, err := work.SpecificForce(f.MaxChip)
					if err != nil {
						t.Fatal(name, err)
					}
					most, _, err := work.SpecificForce(math.Min(work.MinChip, f.MaxChip))
					if err != nil {
						t.Fatal(name, err)
					}
					if f.SpecificEnergy < least*(1-1e-9) || f.SpecificEnergy > most*(1+1e-9) {
						t.Errorf("%s: energy %g is not between those of the thickest and the thinnest chip, %g and %g", name, f.SpecificEnergy, least, most)
					}
				}
			}
		}
	}
}
