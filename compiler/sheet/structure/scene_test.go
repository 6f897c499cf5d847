package structure

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// onStage is an example in the middle of its travel, as it deflects under a push at
// its reference cutter.
func onStage(t *testing.T, name string) stage {
	t.Helper()
	d, err := machine.New(sample.Example(t, name), spec.At(spec.Middle))
	if err != nil {
		t.Fatal(err)
	}
	s, err := d.Solve(d.Middle())
	if err != nil {
		t.Fatal(err)
	}
	_, cutter := d.Reference()
	motion, err := d.Deflection(s, cutter, r3.Vec{X: 300, Y: -200, Z: 100})
	if err != nil {
		t.Fatal(err)
	}
	return stage{d: d, p: s.Posed, cutter: cutter, motion: motion, factor: magnified(d, motion, 0.05)}
}

var examples = []string{"slipway-gantry", "spar-bench", "clockroom-mill", "sign-router"}

// TestFeetStandUnderTheirNodes: nothing reaches from a foot's node to a floor that the
// spec does not have: below the members there are pads, thin and right under the nodes.
func TestFeetStandUnderTheirNodes(t *testing.T) {
	for _, name := range examples {
		g := onStage(t, name)
		lowest := math.Inf(1)
		for i := range g.d.Bars {
			for _, ring := range g.rest().bar(i).Rings {
				for _, p := range ring {
					lowest = math.Min(lowest, p[2])
				}
			}
		}
		feet := 0
		for i, f := range g.d.Fixed {
			if g.d.FootNames[i] == "" {
				continue
			}
			feet++
			pad := g.foot(g.d.FootNames[i], f.A.Node)
			bottom, top := ringCentre(pad.Rings[0]), pad.Rings[0][0][2]
			for _, ring := range pad.Rings {
				for _, p := range ring {
					bottom.Z, top = math.Min(bottom.Z, p[2]), math.Max(top, p[2])
				}
			}
			node := g.p.Frame.Nodes[f.A.Node].Position
			if top > node.Z || top-bottom.Z > 0.05*g.d.Size() || bottom.Z < lowest-0.05*g.d.Size() {
				t.Errorf("%s: foot %s reaches from %g to %g m under a node at %g m", name, pad.Name, bottom.Z, top, node.Z)
			}
		}
		if feet == 0 {
			t.Errorf("%s has no feet", name)
		}
	}
}

// TestMovedBodiesHangTogether: a bar's ends stand where its nodes went, within what
// its joints give, at rest everything stands as the spec has it, and what a node
// carries keeps its size to first order.
func TestMovedBodiesHangTogether(t *testing.T) {
	for _, name := range examples {
		g := onStage(t, name)
		for i := range g.d.Bars {
			b := &g.d.Bars[i]
			if b.End[0] >= 0 || b.End[1] >= 0 { // a joint between node and end gives
				continue
			}
			rings := g.bar(i).Rings
			for _, end := range []struct {
				ring  [][3]float64
				place r3.Vec
			}{{rings[0], b.From}, {rings[len(rings)-1], b.To}} {
				rest := r3.Add(end.place, g.p.Shift[b.Body])
				at := g.node(g.nearest(b.Body, rest))
				want := carried(at, rest)
				if off := r3.Norm(r3.Sub(ringCentre(end.ring), want)); off > 1e-6*g.d.Size() {
					t.Errorf("%s: an end of %s is drawn %g m from its node", name, b.Name, off)
				}
			}
		}
		still := g
		still.factor = 0
		unmoved, rest := still.scene(), g.rest().scene()
		if len(unmoved.Solids) != len(rest.Solids) {
			t.Fatalf("%s: %d solids moved, %d at rest", name, len(unmoved.Solids), len(rest.Solids))
		}
		for i, s := range unmoved.Solids {
			for _, pair := range [][2][][3]float64{{s.Rings[0], rest.Solids[i].Rings[0]}, {s.Rings[len(s.Rings)-1], rest.Solids[i].Rings[len(rest.Solids[i].Rings)-1]}} {
				if off := r3.Norm(r3.Sub(ringCentre(pair[0]), ringCentre(pair[1]))); off > 1e-9 {
					t.Errorf("%s: %s unmoved lies %g m from where it rests", name, s.Name, off)
				}
			}
		}
	}
}

// TestTheToolIsDrawn: spindle and cutter stand in the moving picture and at rest, and
// the tool tip is where the compliance at the tip puts it.
func TestTheToolIsDrawn(t *testing.T) {
	g := onStage(t, "slipway-gantry")
	drawn := g.moving()
	kinds := func(want string) (n int) {
		for _, s := range slices.Concat(drawn.Solids, drawn.Rest) {
			if s.Kind == want {
				n++
			}
		}
		return n
	}
	for _, kind := range []string{"spindle", "holder", "cutter"} {
		if kinds(kind) != 2 {
			t.Errorf("%d of %s are drawn, moved and at rest together", kinds(kind), kind)
		}
	}
	s, err := g.d.Solve(g.d.Middle())
	if err != nil {
		t.Fatal(err)
	}
	whole, _, err := g.d.TipCompliance(s, g.cutter)
	if err != nil {
		t.Fatal(err)
	}
	force := [3]float64{300, -200, 100}
	end := func(list []build.Solid) (at r3.Vec) {
		for _, s := range list {
			if s.Kind == "cutter" {
				at = ringCentre(s.Rings[1])
			}
		}
		return at
	}
	tip := r3.Scale(1/g.factor, r3.Sub(end(drawn.Solids), end(drawn.Rest)))
	var want [3]float64
	for i := range want {
		for k := range force {
			want[i] += whole[i][k] * force[k]
		}
	}
	// The compliance is against the workpiece, which moves as well: less than the tip.
	if share := r3.Norm(r3.Sub(tip, machine.Unit(want))) / r3.Norm(machine.Unit(want)); share > 0.2 {
		t.Errorf("the tip is drawn %.2g of its deflection from where the compliance puts it", share)
	}
}

// TestPlateIsDrawnByItsCells: each cell once, and together no more and no less than the plate, by hand.
func TestPlateIsDrawnByItsCells(t *testing.T) {
	d, err := machine.New(sample.Written(t, `machine.#Machine & {
	name: "plate"
	sections: top: plate: thickness: "30 mm"
	bodies: table: machine.#Plate & {
		template: {x: "0 mm", y: "0 mm", z: "500 mm", length: "800 mm", width: "600 mm", crossings_x: 5, crossings_y: 4, section: "top"}
		supports: t_0_0: ["x", "y", "z", "rx", "ry", "rz"]
	}
}`), spec.At(spec.Middle))
	if err != nil {
		t.Fatal(err)
	}
	posed, err := d.At(d.Middle())
	if err != nil {
		t.Fatal(err)
	}
	solids := stage{d: d, p: posed}.scene().Solids
	if len(solids) != 4*3 {
		t.Fatalf("%d solids for 12 cells", len(solids))
	}
	low, high := [3]float64{9, 9, 9}, [3]float64{}
	for _, s := range solids {
		for _, ring := range s.Rings {
			for _, p := range ring {
				for k := range p {
					low[k], high[k] = math.Min(low[k], p[k]), math.Max(high[k], p[k])
				}
			}
		}
	}
	for k, want := range [3][2]float64{{-0.4, 0.4}, {-0.3, 0.3}, {0.485, 0.515}} {
		if math.Abs(low[k]-want[0]) > 1e-9 || math.Abs(high[k]-want[1]) > 1e-9 {
			t.Errorf("drawn from %g to %g along %d, want %v", low[k], high[k], k, want)
		}
	}
}
