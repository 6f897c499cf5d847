package principal

import (
	"math/rand"
	"testing"
)

func BenchmarkAxes(b *testing.B) {
	a := lossy(rand.New(rand.NewSource(1)), 96, 0.1)
	rows := make([][]complex128, 6)
	for i := range rows {
		rows[i] = make([]complex128, 96)
	}
	for b.Loop() {
		if _, err := Axes(append([]complex128{}, a...), rows...); err != nil {
			b.Fatal(err)
		}
	}
}
