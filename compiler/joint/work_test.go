package joint

import (
	"math"
	"testing"

	"ironbed/compiler/verify"
)

// sure returns the value of a formula that may not fail here.
func sure(t *testing.T) func(float64, error) float64 {
	return func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// TestStripping: threads in a tapped part.
//
// M10 of 830 MPa in aluminium of 310 MPa, by basic dimensions with a shear strength of 0.6 of the tensile strength, 10 mm engaged.
func TestStripping(t *testing.T) {
	of := sure(t)
	const page = "public thread engagement page, FED-STD-H28 by basic dimensions"
	m10, _ := MetricThread(10e-3)
	at := of(StressArea(m10))
	verify.Check(t, verify.Case{ID: "WT-01", Quantity: "force that strips M10 in aluminium, 10 mm engaged", Unit: "N", Source: page, Want: 51130, RelTol: 2e-4}, of(StrippingForce(m10, 10e-3, 0.6*310e6)))
	verify.Check(t, verify.Case{ID: "WT-02", Quantity: "tensile load of M10 of 830 MPa", Unit: "N", Source: page, Want: 48130, RelTol: 2e-4}, 830e6*at)
	verify.Check(t, verify.Case{ID: "WT-03", Quantity: "engagement that bears the tensile load of M10 in aluminium", Unit: "mm", Source: page, Want: 9.414, RelTol: 1e-4}, 1e3*of(EngagedLength(m10, 830e6*at, 0.6*310e6)))
	// Tapping drills of the coarse series.
	for size, drill := range map[float64]float64{4: 3.3, 5: 4.2, 6: 5, 8: 6.8, 10: 8.5, 12: 10.2, 16: 14} {
		thread, ok := MetricThread(size * 1e-3)
		if !ok {
			t.Fatal(size)
		}
		verify.Check(t, verify.Case{ID: "WT-04-" + string(rune('a'+int(size)%26)), Quantity: "tapping drill of a coarse thread", Unit: "mm", Source: "ISO 2306, table 1 (from memory)", Want: drill, AbsTol: 0.051},
			1e3*of(TapDrill(thread.Diameter)))
	}
}

// TestSqueeze: the force of a strip against Reynolds' equation solved by finite differences, and what its ends leave of it.
func TestSqueeze(t *testing.T) {
	of := sure(t)
	s := Squeeze{Width: 0.03, Length: 0.06, Viscosity: 50, Laid: 3e-3, Line: 1e-3}
	// ∂²p/∂x² + ∂²p/∂y² = −12 η v/h³ with p = 0 at the edges, by relaxation; F t = ∫ F/v dh.
	const n, m = 60, 120
	step := s.Width / n
	p := make([][m + 1]float64, n+1)
	for range 12000 {
		for i := 1; i < n; i++ {
			for k := 1; k < m; k++ {
				next := (p[i-1][k] + p[i+1][k] + p[i][k-1] + p[i][k+1] + step*step) / 4
				p[i][k] += 1.9 * (next - p[i][k])
			}
		}
	}
	sum := 0.0
	for i := range p {
		for k := range p[i] {
			sum += p[i][k] * step * step
		}
	}
	impulse := 12 * s.Viscosity * sum / 2 * (1/(s.Line*s.Line) - 1/(s.Laid*s.Laid))
	verify.Check(t, verify.Case{ID: "WS-01", Quantity: "impulse that squeezes a layer of two to one to its bond line", Unit: "N·s", Source: "Reynolds' equation by finite differences, independent solution", Want: impulse, RelTol: 0.003},
		of(s.Impulse()))
	// A square in torsion has J = 0.1406 a⁴ (Timoshenko Goodier, table); a strip a³ b/3.
	verify.Check(t, verify.Case{ID: "WS-02", Quantity: "share of a strip's force that a square has", Unit: "-", Source: "Timoshenko Goodier, table of the torsion of rectangles: 0.1406", Want: 3 * 0.1406, RelTol: 4e-4}, SideFlow(1))
	verify.Check(t, verify.Case{ID: "WS-03", Quantity: "share of a strip's force that a rectangle of two to one has", Unit: "-", Source: "Timoshenko Goodier, table of the torsion of rectangles: 0.229", Want: 3 * 0.229, RelTol: 3e-3}, SideFlow(0.5))
	verify.Check(t, verify.Case{ID: "WS-04", Quantity: "share of a strip's force that a rectangle of ten to one has", Unit: "-", Source: "Timoshenko Goodier, table of the torsion of rectangles: 0.312", Want: 3 * 0.312, RelTol: 2e-3}, SideFlow(0.1))
	if got := SideFlow(0); got != 1 {
		t.Errorf("an endless strip has %g", got)
	}
	thin := s
	thin.Laid = thin.Line
	if got := of(thin.Impulse()); math.Abs(got) > 1e-9 {
		t.Errorf("what is at its bond line takes %g", got)
	}
	for _, bad := range []Squeeze{{}, {Width: 1, Length: 1, Viscosity: 1, Laid: 1e-3, Line: 2e-3}, {Width: math.Inf(1), Length: 1, Viscosity: 1, Laid: 1, Line: 1}} {
		if v, err := bad.Impulse(); err == nil {
			t.Errorf("%+v gives %g", bad, v)
		}
	}
}

// TestTighteningTorques: assembly preloads and torques at nine tenths of the yield strength, friction 0.12, class 8.8.
func TestTighteningTorques(t *testing.T) {
	const why = "the table's own heads, some narrower than those of ISO 4014"
	for _, row := range []struct {
		id              string
		size            float64
		torque, preload float64
	}{{"WV-01", 6, 10.1, 9.9e3}, {"WV-02", 8, 24.6, 18.1e3}, {"WV-03", 10, 48, 28.8e3}, {"WV-04", 12, 84, 41.9e3}, {"WV-05", 16, 206, 78.8e3}} {
		thread, _ := MetricThread(row.size * 1e-3)
		got, err := TighteningPreload(thread, row.torque, Bounds{0.12, 0.12, 0.12})
		if err != nil {
			t.Fatal(err)
		}
		verify.Check(t, verify.Case{ID: row.id, Quantity: "assembly preload by the tightening torque, friction 0.12", Unit: "N", Source: "VDI 2230, table A1 (from memory)", Want: row.preload, RelTol: 0.06, Why: why}, got.Middle)
	}
}
