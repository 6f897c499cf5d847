package section

import (
	"math"
	"testing"
)

// FuzzOutline makes outlines of bytes: corners on a grid of millimetres, some rounded, and
// a hole. A shape is refused, or has properties that are numbers, with an area no larger
// than that of the box round it.
func FuzzOutline(f *testing.F) {
	f.Add([]byte{0, 0, 0, 100, 0, 0, 100, 50, 0, 0, 50, 0}, []byte(nil))                             // a bar
	f.Add([]byte{0, 0, 5, 100, 0, 5, 100, 50, 5, 0, 50, 5}, []byte{50, 25, 10})                      // rounded, with a hole
	f.Add([]byte{0, 0, 0, 100, 0, 0, 100, 10, 0, 10, 10, 0, 10, 100, 0, 0, 100, 0}, []byte{5, 5, 2}) // an angle
	f.Add([]byte{0, 0, 0, 100, 100, 0, 100, 0, 0, 0, 100, 0}, []byte(nil))                           // crosses itself
	f.Add([]byte{0, 0, 0, 100, 0, 0, 50, 0, 0, 0, 0, 0}, []byte(nil))                                // no area
	f.Add([]byte{0, 0, 0, 100, 0, 0, 100, 50, 200, 0, 50, 0}, []byte{0, 0, 200})                     // radii that do not fit
	f.Fuzz(func(t *testing.T, corners, hole []byte) {
		if len(corners) > 36 {
			return
		}
		var outer Loop
		low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
		for i := 0; i+2 < len(corners); i += 3 {
			c := Corner{Y: float64(corners[i]) / 1e3, Z: float64(corners[i+1]) / 1e3, Radius: float64(corners[i+2]%32) / 1e3}
			outer.Corners = append(outer.Corners, c)
			low[0], low[1], high[0], high[1] = min(low[0], c.Y), min(low[1], c.Z), max(high[0], c.Y), max(high[1], c.Z)
		}
		piece := Piece{Outer: outer, Material: feSteel}
		if len(hole) >= 3 && hole[2] > 0 {
			piece.Holes = []Loop{{CentreY: float64(hole[0]) / 1e3, CentreZ: float64(hole[1]) / 1e3, Radius: float64(hole[2]) / 1e3}}
		}
		p, err := Drawn{Pieces: []Piece{piece}}.Properties(0.3)
		if err != nil {
			if err.Error() == "" {
				t.Fatal("refused without a word")
			}
			return
		}
		for what, v := range map[string]float64{"area": p.Area, "Iy": p.Iy, "Iz": p.Iz, "J": p.J} {
			if math.IsNaN(v) || math.IsInf(v, 0) || v <= 0 {
				t.Fatalf("%s is %g", what, v)
			}
		}
		if box := (high[0] - low[0]) * (high[1] - low[1]); p.Area > box*(1+1e-9) {
			t.Fatalf("an area of %g within a box of %g", p.Area, box)
		}
	})
}
