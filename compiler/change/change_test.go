package change

import (
	"strings"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
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
