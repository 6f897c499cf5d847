package change

import (
	"strings"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// TestMotorMovesOfAShaft: where one motor turns both sides, a move changes that one
// and gives the other side none, whichever side it sits on.
func TestMotorMovesOfAShaft(t *testing.T) {
	for k, with := range []string{"near", "far"} {
		m := sample.Example(t, "slipway-gantry")
		m.Axes.Find("x").Drives[1-k].Item.Motor = nil
		find := &finder{&machine.Solution{Spec: m, Model: &machine.Model{}}, nil}
		for _, moves := range [][]Change{find.strongerMotor("x"), find.reduced("x")} {
			if len(moves) == 0 {
				t.Fatalf("no move for the motor of the %s side", with)
			}
			for _, c := range moves {
				if path := c.Edits[0].Path; len(c.Edits) != 1 || !strings.HasPrefix(path, "axes.x.drives."+with+".") {
					t.Errorf("the motor is on the %s side, the move writes %s", with, c.Edits)
				}
			}
		}
	}
}

// TestProposalsFitTheSpec: what a change writes is what a spec may say. A change that the
// spec refuses would never be found, and nobody would see that.
func TestProposalsFitTheSpec(t *testing.T) {
	for _, name := range sample.Names {
		m := sample.Example(t, name)
		model, err := machine.New(m, spec.At(spec.Middle))
		if err != nil {
			t.Fatal(err)
		}
		find := &finder{&machine.Solution{Spec: m, Model: model}, nil}
		list := append(find.stifferFeet(), find.gearedSpindle(1))
		list = append(list, find.stifferSpindle()...)
		for _, a := range m.Axes {
			list = append(list, find.strongerMotor(a.Name)...)
			list = append(list, find.reduced(a.Name)...)
		}
		for _, c := range m.Cutters {
			list = append(list, find.shorterCutter(c.Name)...)
		}
		for _, c := range list {
			if _, err := m.With(c.Edits...); err != nil {
				t.Errorf("%s: %s: %v", name, c.What, err)
			}
		}
	}
}

// TestPlatesAndHollowsAreStiffened: a plate is made thicker, and parts that close in a hollow are filled; what is written is
// a machine whose member is stiffer. An open section of parts, and one that is stitched, get no fill.
func TestPlatesAndHollowsAreStiffened(t *testing.T) {
	m := sample.Written(t, `machine.#Machine & {
	name: "bed"
	sections: {
		channel: stock: "UPE 160"
		closed: built_up: parts: {a: {section: "channel", y_edge: "high"}, b: {section: "channel", y_edge: "low", turned: "180 deg"}}
		open: built_up: parts: {a: {section: "channel", y_edge: "low"}, b: {section: "channel", y_edge: "high", turned: "180 deg"}}
		stitched: built_up: {
			parts: {a: {section: "channel", y_edge: "high"}, b: {section: "channel", y_edge: "low", turned: "180 deg"}}
			joined: "stitched"
			stitch: {weld: "50 mm", pitch: "200 mm", throat: "4 mm"}
		}
		top: plate: thickness: "22 mm"
	}
	bodies: bed: {
		nodes: {a: ["0 mm", "0 mm", "0 mm"], b: ["1 m", "0 mm", "0 mm"], c: ["2 m", "0 mm", "0 mm"], d: ["3 m", "0 mm", "0 mm"]}
		members: {
			one: {from: "a", to: "b", section: "closed"}
			two: {from: "b", to: "c", section: "open"}
			three: {from: "c", to: "d", section: "stitched"}
		}
		supports: a: ["x", "y", "z", "rx", "ry", "rz"]
	}
	bodies: table: machine.#Plate & {
		template: {x: "0 mm", y: "0 mm", z: "1 m", length: "800 mm", width: "600 mm", section: "top"}
		supports: t_0_0: ["x", "y", "z", "rx", "ry", "rz"]
	}
}`)
	model, err := machine.New(m, spec.At(spec.Middle))
	if err != nil {
		t.Fatal(err)
	}
	find := &finder{&machine.Solution{Spec: m, Model: model}, nil}
	for name, c := range map[string]struct {
		propose func(machine.Share) []Change
		want    int
	}{"bed.one": {find.poured, 1}, "bed.two": {find.poured, 0}, "bed.three": {find.poured, 0}, "table.along_1_1": {find.largerSection, 3}} {
		bar := model.Bars[model.ByName[name]]
		list := c.propose(machine.Share{Name: name, Parts: []int{bar.Part}})
		if len(list) != c.want {
			t.Errorf("%s: %d changes, want %d", name, len(list), c.want)
		}
		for _, change := range list {
			after, err := machine.New(sample.With(t, m, change.Edits...), spec.At(spec.Middle))
			if err != nil {
				t.Fatal(name, err)
			}
			if is := after.Bars[after.ByName[name]].Whole.EIy; is <= bar.Whole.EIy {
				t.Errorf("%s: %s: EIy %g, before %g", name, change.What, is, bar.Whole.EIy)
			}
		}
	}
}
