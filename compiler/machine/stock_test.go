package machine

import (
	"testing"

	"ironbed/spec"
)

// TestThickestWall: the thickest wall that the spec lets through is the thickest that
// the section can be computed with.
func TestThickestWall(t *testing.T) {
	for _, made := range []string{"", "hot", "cold", "imperial", "sharp"} {
		for _, side := range []float64{0.02, 0.03, 0.05, 0.055, 0.06, 0.1} {
			most := spec.ThickestWall(made, side)
			for share, sound := range map[float64]bool{0.3: true, 0.999: true, 1.001: false} {
				if _, err := rectangular(made, 0.12, side, share*most).Properties(0.3); (err == nil) != sound {
					t.Errorf("%q, %g m with %g of the thickest wall, %g m: %v", made, side, share, most, err)
				}
			}
		}
	}
}
