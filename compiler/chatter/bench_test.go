package chatter

import (
	"fmt"
	"math"
	"testing"
)

// benchPlane is a machine of some modes each way, as a list of the length that a
// machine's own has.
func benchPlane() Plane {
	return sampled(modalOf([]caseMode{
		{"x", 45, 0.02, 4e7}, {"y", 62, 0.02, 3e7}, {"x", 300, 0.03, 3e7}, {"y", 320, 0.03, 2e7},
		{"x", 1310, 0.02, 1e7}, {"y", 1350, 0.02, 1e7},
	}), 5, 6000, 500)
}

// benchCut is a cut of a tenth of the diameter.
func benchCut(teeth int) Milling {
	return Milling{Cut: Cut{Teeth: teeth, Entry: math.Acos(-0.8), Exit: math.Pi, Tangential: 8e8, Radial: 0.3}, Diameter: 0.008}
}

// BenchmarkZeroOrder: a curve of 120 speeds along the lobes.
func BenchmarkZeroOrder(b *testing.B) {
	planes, speeds := []Plane{benchPlane()}, make([]float64, 120)
	for i := range speeds {
		speeds[i] = 50 * math.Pow(1.03, float64(i)/2)
	}
	for b.Loop() {
		if _, err := Limits(planes, benchCut(2).Cut, speeds, 0.1, math.Inf(1)); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkUnconditional: the depth stable at any speed.
func BenchmarkUnconditional(b *testing.B) {
	p := benchPlane()
	for b.Loop() {
		if _, err := Unconditional(p, benchCut(2).Cut); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkOnset: one speed, by the teeth.
func BenchmarkOnset(b *testing.B) {
	for teeth := 2; teeth <= 4; teeth++ {
		b.Run(fmt.Sprint(teeth), func(b *testing.B) {
			band, err := NewBand([]Plane{benchPlane()})
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				if _, err := band.Onsets(benchCut(teeth), []float64{200}, 0.03); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkOnsetCurve: a curve of 120 speeds.
func BenchmarkOnsetCurve(b *testing.B) {
	band, err := NewBand([]Plane{benchPlane()})
	if err != nil {
		b.Fatal(err)
	}
	speeds := make([]float64, 120)
	for i := range speeds {
		speeds[i] = 50 * math.Pow(1.03, float64(i)/2)
	}
	for b.Loop() {
		if _, err := band.Onsets(benchCut(2), speeds, 0.03); err != nil {
			b.Fatal(err)
		}
	}
}
