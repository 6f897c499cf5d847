package quantity

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// TestEnclosure makes sure that the bounds of a result hold every result that
// values within the operands' bounds give.
func TestEnclosure(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 3000 {
		low, high := [2]float64{}, [2]float64{}
		for i := range low {
			a, b := r.NormFloat64(), r.NormFloat64()
			low[i], high[i] = min(a, b), max(a, b)
		}
		within := func(i int) float64 {
			return min(high[i], low[i]+r.Float64()*(high[i]-low[i]))
		}
		for _, op := range []string{"+", "-", "*", "/"} {
			text := fmt.Sprintf("(%v..%v) %s (%v..%v)", low[0], high[0], op, low[1], high[1])
			q, err := Parse(text)
			if op == "/" && low[1] <= 0 && high[1] >= 0 {
				if err == nil {
					t.Errorf("%s may divide by zero", text)
				}
				continue
			}
			if err != nil {
				t.Fatalf("%s: %v", text, err)
			}
			for range 5 {
				x, y := within(0), within(1)
				z := map[string]float64{"+": x + y, "-": x - y, "*": x * y, "/": x / y}[op]
				slack := 1e-12 * (q.High - q.Low)
				if z < q.Low-slack || z > q.High+slack {
					t.Errorf("%s is %v to %v, but %v %s %v = %v", text, q.Low, q.High, x, op, y, z)
				}
			}
		}
	}
}
