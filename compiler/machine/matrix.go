package machine

import (
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

func fromSym(c *mat.SymDense) Six {
	var out Six
	for i := range 6 {
		for j := range 6 {
			out[i][j] = c.At(i, j)
		}
	}
	return out
}

// largest is the largest compliance in any direction [m/N].
func (a Matrix) largest() float64 {
	s := mat.NewSymDense(3, nil)
	for i := range 3 {
		for j := i; j < 3; j++ {
			s.SetSym(i, j, a[i][j])
		}
	}
	var e mat.EigenSym
	if !e.Factorize(s, false) {
		return 0
	}
	return e.Values(nil)[2]
}

// Along is a matrix's value along a unit vector.
func (a Matrix) Along(n [3]float64) float64 {
	u := a.times(n)
	return u[0]*n[0] + u[1]*n[1] + u[2]*n[2]
}

// A Matrix is a 3 by 3 compliance in machine axes [m/N].
type Matrix [3][3]float64

func (a *Matrix) Add(b Matrix) {
	for i := range 3 {
		for j := range 3 {
			a[i][j] += b[i][j]
		}
	}
}

// times returns the displacement under a force.
func (a Matrix) times(f [3]float64) [3]float64 {
	var u [3]float64
	for i := range 3 {
		for j := range 3 {
			u[i] += a[i][j] * f[j]
		}
	}
	return u
}

// A Six is a compliance between forces and moments at one point [m/N], [1/N],
// [rad/(N·m)].
type Six [6][6]float64

// AtTip carries a compliance from the nose to a point that stands off it
// rigidly: a force there is the same force at the nose and its moment.
//
//	C_tip = Tᵀ C T,  T = (I; [r]×)
func (c Six) AtTip(r r3.Vec) Matrix {
	// The columns of T: what a unit force at the tip is at the nose.
	var t [3][6]float64
	for i := range 3 {
		e := r3.Vec{}
		switch i {
		case 0:
			e.X = 1
		case 1:
			e.Y = 1
		case 2:
			e.Z = 1
		}
		m := r3.Cross(r, e)
		t[i] = [6]float64{e.X, e.Y, e.Z, m.X, m.Y, m.Z}
	}
	var out Matrix
	for i := range 3 {
		for j := range 3 {
			for k := range 6 {
				for l := range 6 {
					out[i][j] += t[i][k] * c[k][l] * t[j][l]
				}
			}
		}
	}
	return out
}
