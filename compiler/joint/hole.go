package joint

import (
	"math"

	"ironbed/compiler/domain"
)

// small are the coarse threads below those of [MetricThread], with their pitches [m].
var small = [...]Thread{{Diameter: 3e-3, Pitch: 0.5e-3}, {Diameter: 4e-3, Pitch: 0.7e-3}}

// coarse returns a coarse thread of a size [m].
func coarse(size float64) (Thread, bool) {
	for _, t := range small {
		if math.Abs(t.Diameter-size) < 1e-6 {
			return t, true
		}
	}
	return MetricThread(size)
}

// TapDrill returns the drill for a coarse metric thread [m], by its size [m].
//
//	d = D − P
//
// Valid: M3 to M30.
//
// Source: ISO 2306.
func TapDrill(size float64) (float64, error) {
	t, ok := coarse(size)
	var g domain.Guard
	g.Demand(ok, "size of a thread", size, "of the coarse series, M3 to M30")
	return g.Answer("drill for a thread", t.Diameter-t.Pitch)
}

// clearance are the clearance holes of bolts, medium series, by their sizes [m].
var clearance = [...][2]float64{{3e-3, 3.4e-3}, {4e-3, 4.5e-3}, {5e-3, 5.5e-3}, {6e-3, 6.6e-3}, {8e-3, 9e-3}, {10e-3, 11e-3}, {12e-3, 13.5e-3}, {14e-3, 15.5e-3},
	{16e-3, 17.5e-3}, {20e-3, 22e-3}, {24e-3, 26e-3}, {30e-3, 33e-3}}

// ClearanceHole returns the clearance hole of a bolt, medium series [m], by its size [m].
//
// Source: ISO 273, from memory.
func ClearanceHole(size float64) (float64, error) {
	hole, ok := 0.0, false
	for _, c := range clearance {
		if math.Abs(c[0]-size) < 1e-6 {
			hole, ok = c[1], true
		}
	}
	var g domain.Guard
	g.Demand(ok, "size of a bolt", size, "M3 to M30, of the table")
	return g.Answer("clearance hole", hole)
}
