package change

import (
	"math"
	"strings"
	"testing"

	"ironbed/compiler/cut"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
)

// TestDeviationsFollowTheShares: what a solution with thinner stock loses is what the members' shares of the strain energy say, for members without a fill: of
// springs in series, all of those of one kind x less stiff, share s, the whole becomes 1/(1 + s x/(1 − x)) of itself. The two come by different ways.
func TestDeviationsFollowTheShares(t *testing.T) {
	m := sample.Only(t, sample.Example(t, "slipway-gantry"), "bracket")
	s, err := machine.Analyse(m)
	if err != nil {
		t.Fatal(err)
	}
	cuts, err := cut.Search(s)
	if err != nil {
		t.Fatal(err)
	}
	list := deviations(s, cuts)
	bare := map[string]string{"beam": "gantry.beam", "ram": "ram.", "saddle_plate": "saddle."}
	seen := map[string]int{}
	for _, d := range list {
		seen[d.Kind]++
		for k := range 3 {
			if d.Change[k] > 1e-9 {
				t.Errorf("%s %s: stiffer by %g with less", d.Kind, d.Of, d.Change[k])
			}
		}
		member := bare[d.Of]
		if d.Kind != "section" || member == "" {
			continue
		}
		for k, along := range s.Compliance.Parts.Along {
			share := 0.0
			for _, p := range along {
				if p.Kind == machine.MemberPart && strings.HasPrefix(p.Name, member) {
					share += p.Part.Middle
				}
			}
			want := 1/(1+share*d.Short/(1-d.Short)) - 1
			if math.Abs(d.Change[k]-want) > 0.02*math.Abs(want)+1e-6 {
				t.Errorf("%s along %d: %.5g by a solution, %.5g by its share %.4g", d.Of, k, d.Change[k], want, share)
			}
		}
		delete(bare, d.Of)
	}
	if len(bare) > 0 || seen["rail"] != 3 || seen["screw"] != 4 || seen["motor"] != 4 {
		t.Errorf("left: %v, seen: %v", bare, seen)
	}
}
