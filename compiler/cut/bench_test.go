package cut

import (
	"fmt"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// BenchmarkReach is the whole search for 12 targets with 6 cutters and 4 operations
// against the poses that hold a cut, chatter included, beyond the structure.
func BenchmarkReach(b *testing.B) {
	m := sample.Example(b, "slipway-gantry")
	var edits []spec.Edit
	for i := range 6 {
		edits = append(edits, spec.Edit{
			Path:  fmt.Sprintf(`cutters."cutter %d"`, i),
			Value: fmt.Sprintf(`{diameter: "%d mm", teeth: 3, stick_out: "%d mm", material: "carbide"}`, 4+2*i, 16+6*i),
		})
	}
	for i := range 12 {
		material := []string{"hardwood", "aluminium 6000 T6", "mild steel", "plywood"}[i%4]
		edits = append(edits, spec.Edit{
			Path:  fmt.Sprintf(`targets."target %d"`, i),
			Value: fmt.Sprintf(`{material: %q, accuracy: "0.05 mm", ambition: "should"}`, material),
		})
	}
	m = sample.With(b, m, edits...)
	solved, err := machine.Analyse(m)
	if err != nil {
		b.Fatal(err)
	}
	axes := AxisLimits(solved.Model, solved.Model.Read)
	for b.Loop() {
		q := Question{Model: solved.Model, Compliance: solved.Worst.Nose, Axes: axes, Vibrations: solved.Vibrations}
		machine.EachParallel(len(m.Targets), func(i int) {
			if _, err := q.Try(&m.Targets[i].Item); err != nil {
				b.Error(err)
			}
		})
	}
}
