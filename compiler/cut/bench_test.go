package cut

import (
	"fmt"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// BenchmarkReach is the whole search for 12 targets with 6 cutters and 4 operations
// against the two poses that hold a cut, chatter included, beyond the structure.
func BenchmarkReach(b *testing.B) {
	m := sample.Example(b, "slipway-gantry").With(func(m *spec.Machine) {
		mill := m.Cutters[len(m.Cutters)-1]
		m.Cutters = m.Cutters[:0:0]
		for i := range 6 {
			c := mill
			c.Name = fmt.Sprintf("cutter %d", i)
			c.Item.Diameter.Value = float64(4+2*i) * 1e-3
			m.Cutters = append(m.Cutters, c)
		}
		first := m.Targets[0]
		m.Targets = m.Targets[:0:0]
		for i := range 12 {
			e := first
			e.Name = fmt.Sprintf("target %d", i)
			e.Item.Material.Text = []string{"hardwood", "aluminium 6000 T6", "mild steel", "plywood"}[i%4]
			m.Targets = append(m.Targets, e)
		}
	})
	solved, err := machine.Analyse(m)
	if err != nil {
		b.Fatal(err)
	}
	axes := AxisLimits(solved.Model)
	for b.Loop() {
		planes, err := solved.Model.AllPlanes(solved.Rings)
		if err != nil {
			b.Fatal(err)
		}
		q := Question{Model: solved.Model, Compliance: solved.Worst.Nose, Axes: axes, Planes: planes}
		machine.EachParallel(len(m.Targets), func(i int) {
			if _, err := q.Try(&m.Targets[i].Item); err != nil {
				b.Error(err)
			}
		})
	}
}
