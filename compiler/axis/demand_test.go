package axis_test

import (
	"math"
	"testing"

	"ironbed/compiler/axis"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
)

// TestDrillingLoadsTheDrive holds the drive along the drill against the thrust of the largest hole,
// and the carriages against what it lifts.
//
// Source: Dietrich and Tschätsch 2014, chapter on drilling: Ff = x z Fc sin(σ/2), Fc = kc (f/z) D/2,
// kc = kc1.1 h^-m, h = (f/z) sin(σ/2), by hand; x = 0.7 and the point of 118° from memory. Equilibrium, for the carriages.
func TestDrillingLoadsTheDrive(t *testing.T) {
	s := analysed(t, "slipway-gantry")
	drilled := s.Demand.Along()
	if drilled.Operation != cut.Drilling {
		t.Fatalf("the largest force along the cutter is by %s", drilled.Operation)
	}
	m, read := s.Spec, s.Model.Read
	w := m.WorkMaterial(m.Targets.Find(drilled.Target).Material.Text)
	d, teeth := read.Of(drilled.Cutter.Diameter), float64(read.Count(drilled.Cutter.Teeth))
	chips := cut.ChipThickness(read, cut.EdgeOf(w, drilled.Cutter), d)
	fed := (chips.Min + chips.Max) / 2
	lean := math.Sin(118 * math.Pi / 360)
	kc := read.Of(w.SpecificForce) * math.Pow(fed*lean/1e-3, -read.Of(w.Exponent))
	thrust := 0.7 * teeth * kc * fed * d / 2 * lean
	for _, v := range s.Drives {
		a := &m.Axes[v.Axis]
		if !s.AlongTool(machine.Unit(a.Item.Direction.XYZ)) {
			continue
		}
		if math.Abs(v.In.CuttingForce-thrust) > 0.01*thrust {
			t.Errorf("axis %s is checked under %.0f N, by hand %.0f N", a.Name, v.In.CuttingForce, thrust)
		}
		// At half of what handbooks differ by: x is 0.5 to 1.
		for _, end := range v.Ends {
			if end.In.CuttingForce < 0.5*thrust || end.In.CuttingForce > 2.2*thrust {
				t.Errorf("axis %s at an end is checked under %.0f N, by hand %.0f to %.0f N", a.Name, end.In.CuttingForce, 0.5/0.7*thrust, 1/0.7*thrust)
			}
		}
	}
	// Without the drill nothing lifts the tool as much, and no carriage is lifted more.
	without := s.Demand
	without.List = nil
	for _, l := range s.Demand.List {
		if l.Operation != cut.Drilling {
			without.List = append(without.List, l)
		}
	}
	less, err := axis.Analyse(s.Solution, without)
	if err != nil {
		t.Fatal(err)
	}
	lifts := func(of *axis.Solution) (most float64) {
		for _, wrench := range of.LargestWrenches(read) {
			most = math.Max(most, wrench[2])
		}
		return most
	}
	if with, less := lifts(s), lifts(less); math.Abs(with-thrust) > 0.01*thrust || less > thrust/2 {
		t.Errorf("the tool is lifted by %.0f N, %.0f N without the drill, by hand %.0f N", with, less, thrust)
	}
	for i, w := range s.Carriages.All {
		if w.LiftOff < less.Carriages.All[i].LiftOff-1e-6 {
			t.Errorf("carriage %s is lifted less with the drill", w.Node)
		}
	}
}
