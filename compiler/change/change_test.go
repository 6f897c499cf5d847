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
