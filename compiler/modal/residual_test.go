package modal

import (
	"math"
	"math/cmplx"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// TestLossFarAbove: two masses of 1 kg in a row on two springs, of which one alone loses
// energy, far above both modes against the direct solution by hand: what the modes lose
// through each other at rest is no loss there.
func TestLossFarAbove(t *testing.T) {
	const k1, k2, eta = 3e6, 2e6, 0.2 // floor to first, first to second [N/m]; of the first
	stiff := mat.NewSymDense(2, []float64{k1 + k2, -k2, -k2, k2})
	var eigen mat.EigenSym
	if !eigen.Factorize(stiff, true) {
		t.Fatal("no modes")
	}
	var shapes mat.Dense
	eigen.VectorsTo(&shapes)
	var modes []Mode
	for k, w2 := range eigen.Values(nil) {
		a, b := shapes.At(0, k), shapes.At(1, k)
		modes = append(modes, Mode{Omega: math.Sqrt(w2), Loss: eta * k1 * a * a / w2, Shape: []float64{a, b}})
	}
	// C = K⁻¹ and L = K⁻¹ K″ K⁻¹, by hand.
	compliance := mat.NewSymDense(2, []float64{1 / k1, 1 / k1, 1 / k1, 1/k1 + 1/k2})
	lag := mat.NewSymDense(2, []float64{eta / k1, eta / k1, eta / k1, eta / k1})
	r, err := New(modes, compliance, lag)
	if err != nil {
		t.Fatal(err)
	}
	h := make([]complex128, 4)
	for _, times := range []float64{3, 5, 10} {
		omega := times * modes[1].Omega
		r.at(omega, r.products(), h)
		w2 := complex(omega*omega, 0)
		a, b, c := complex(k1+k2, k1*eta)-w2, complex(-k2, 0), complex(k2, 0)-w2
		det := a*c - b*b
		for i, want := range []complex128{c / det, -b / det, -b / det, a / det} {
			if i == 1 || i == 2 {
				continue // small beside the others
			}
			if cmplx.Abs(h[i]/want-1) > 0.01 {
				t.Errorf("at %g times the second mode, H%d: %.5g, want %.5g", times, i, h[i], want)
			}
		}
	}
}
