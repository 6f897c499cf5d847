package cut

import (
	"fmt"
	"math"
	"testing"

	"ironbed/compiler/cutting"
	"ironbed/spec"
)

// TestCutterShapes: ball, corner-radius and face cutters are searched with their own edges;
// the loads of their best cuts are those of the forces of the cut.
func TestCutterShapes(t *testing.T) {
	tool := `diameter: "10 mm", teeth: 2, stick_out: "30 mm", flute_length: "20 mm", material: "carbide"`
	var edits []spec.Edit
	shapes := []struct{ name, fields string }{{"ball", `kind: "ball"`}, {"corner", `kind: "corner radius", corner: "1.5 mm ± 30 %"`}, {"facing", `kind: "face"`}}
	for _, s := range shapes {
		edits = append(edits,
			spec.Edit{Path: "cutters." + s.name, Value: fmt.Sprintf("{%s, %s}", s.fields, tool)},
			spec.Edit{Path: "targets." + s.name, Value: fmt.Sprintf(`{material: "aluminium 6000 T6", accuracy: "0.05 mm", ambition: "should", cutters: [%q]}`, s.name)})
	}
	out, found := searched(t, edits...), 0
	for i := range out.List {
		a := &out.List[i]
		name := a.Entry.Name
		if name != "ball" && name != "corner" && name != "facing" {
			continue
		}
		p, in := a.Point(), &a.Best().Input
		corner := map[string]float64{"ball": 5e-3, "corner": 1.5e-3}[name]
		angle := map[string]float64{"facing": math.Pi / 4}[name]
		if p == nil || math.Abs(in.Cutter.Corner-corner) > 1e-12 || math.Abs(in.Cutter.EdgeAngle-angle) > 1e-9 {
			t.Fatalf("%s: corner %g and edge angle %g, want %g and %g", name, in.Cutter.Corner, in.Cutter.EdgeAngle, corner, angle)
		}
		same := p.Cut
		same.RunoutAngle = cutting.WorstRunoutAngle(same.Teeth)
		f, err := same.Forces(in.Work)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			what      string
			got, want float64
			tol       float64
		}{
			// Runout takes some torque off, and leaves the peak of the foremost tooth.
			{"torque", p.Torque, f.MeanTorque, 0.03},
			{"force", p.PeakLateral, f.PeakLateral, 0.05},
			{"removal", p.RemovalRate, f.RemovalRate, 0.01},
			// The topmost slice of the forces has the mean of its chips.
			{"chip", a.Taken.Chip, f.ThickChip, 0.05},
		} {
			if math.Abs(c.got/c.want-1) > c.tol {
				t.Errorf("%s: %s %g, by the forces of the cut %g", name, c.what, c.got, c.want)
			}
		}
		if name == "corner" && a.Ends[0].Attempt != nil && a.Ends[0].Attempt.Input.Cutter.Corner == in.Cutter.Corner {
			t.Error("the uncertainty of the corner does not reach the search")
		}
		found++
	}
	if found != len(shapes) {
		t.Errorf("%d of %d cutters cut", found, len(shapes))
	}
}
