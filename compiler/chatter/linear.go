package chatter

import (
	"errors"
	"math"
	"math/cmplx"
)

// A matrix is a square matrix, row by row.
type matrix struct {
	n int
	a []complex128
}

func newMatrix(n int) matrix { return matrix{n, make([]complex128, n*n)} }

func (m matrix) row(i int) []complex128 { return m.a[i*m.n : (i+1)*m.n] }

// bound returns a size that no eigenvalue exceeds: the least of the norms by
// rows, by columns and of Frobenius.
func (m matrix) bound() float64 {
	rows, all := 0.0, 0.0
	columns := make([]float64, m.n)
	for i := range m.n {
		sum := 0.0
		for j, v := range m.row(i) {
			s := square(v)
			all += s
			s = math.Sqrt(s)
			sum += s
			columns[j] += s
		}
		rows = math.Max(rows, sum)
	}
	widest := 0.0
	for _, c := range columns {
		widest = math.Max(widest, c)
	}
	return math.Min(math.Sqrt(all), math.Min(rows, widest))
}

var errEigen = errors.New("chatter: the eigenvalues of the cut do not converge")

// over is 1/z.
func over(z complex128) complex128 {
	s := square(z)
	return complex(real(z)/s, -imag(z)/s)
}

// eigenvalues returns the eigenvalues, and spoils the matrix.
//
// Source: Wilkinson 1965, chapters 6 and 8: stabilised elementary similarity
// transformations to Hessenberg form, then QR steps by plane rotations with
// shifts from the last two rows.
func (m matrix) eigenvalues() ([]complex128, error) {
	m.hessenberg()
	values := make([]complex128, m.n)
	var shifted complex128
	cosines, sines := make([]float64, m.n), make([]complex128, m.n)
	for end, steps := m.n-1, 0; end >= 0; {
		start := end
		for start > 0 {
			scale := size1(m.row(start)[start]) + size1(m.row(start - 1)[start-1])
			if size1(m.row(start)[start-1]) <= 1e-15*scale {
				m.row(start)[start-1] = 0
				break
			}
			start--
		}
		if start == end {
			values[end] = m.row(end)[end] + shifted
			end--
			steps = 0
			continue
		}
		if steps++; steps > 60 {
			return nil, errEigen
		}
		shift := m.shift(end)
		if steps%15 == 0 {
			shift = complex(size1(m.row(end)[end-1]), 0) + m.row(end)[end]
		}
		for i := range end + 1 {
			m.row(i)[i] -= shift
		}
		shifted += shift
		m.rotate(start, end, cosines, sines)
	}
	return values, nil
}

// size1 is the sum of both parts' sizes.
func size1(z complex128) float64 { return math.Abs(real(z)) + math.Abs(imag(z)) }

// shift is the eigenvalue of the last two rows that lies next to the last element.
func (m matrix) shift(end int) complex128 {
	a, b := m.row(end - 1)[end-1], m.row(end - 1)[end]
	c, d := m.row(end)[end-1], m.row(end)[end]
	half := (a - d) / 2
	root := cmplx.Sqrt(half*half + b*c)
	if real(half)*real(root)+imag(half)*imag(root) < 0 {
		root = -root
	}
	if below := half + root; below != 0 {
		return d - b*c/below
	}
	return d
}

// hessenberg clears what lies below the first subdiagonal.
func (m matrix) hessenberg() {
	for k := 1; k < m.n-1; k++ {
		pivot := k
		for i := k + 1; i < m.n; i++ {
			if size1(m.row(i)[k-1]) > size1(m.row(pivot)[k-1]) {
				pivot = i
			}
		}
		if m.row(pivot)[k-1] == 0 {
			continue
		}
		if pivot != k {
			a, b := m.row(pivot), m.row(k)
			for j := range a {
				a[j], b[j] = b[j], a[j]
			}
			for i := range m.n {
				r := m.row(i)
				r[pivot], r[k] = r[k], r[pivot]
			}
		}
		by := over(m.row(k)[k-1])
		from := m.row(k)
		for i := k + 1; i < m.n; i++ {
			r := m.row(i)
			if r[k-1] == 0 {
				continue
			}
			f := r[k-1] * by
			r[k-1] = 0
			for j := k; j < m.n; j++ {
				r[j] -= f * from[j]
			}
			for j := range m.n {
				m.row(j)[k] += f * m.row(j)[i]
			}
		}
	}
}

// rotate makes one QR step on the rows from start to end.
func (m matrix) rotate(start, end int, cosines []float64, sines []complex128) {
	for k := start; k < end; k++ {
		upper, lower := m.row(k), m.row(k+1)
		a, b := upper[k], lower[k]
		sa, sb := square(a), square(b)
		length := math.Sqrt(sa + sb)
		c, s := 1.0, complex128(0)
		if length > 0 {
			if size := math.Sqrt(sa); size > 0 {
				c = size / length
				s = a * cmplx.Conj(b) / complex(size*length, 0)
			} else {
				c, s = 0, 1
			}
		}
		cosines[k], sines[k] = c, s
		for j := k; j <= end; j++ {
			u, v := upper[j], lower[j]
			upper[j] = complex(c*real(u), c*imag(u)) + s*v
			lower[j] = complex(c*real(v), c*imag(v)) - cmplx.Conj(s)*u
		}
	}
	for k := start; k < end; k++ {
		c, s := cosines[k], sines[k]
		for i := start; i <= min(k+1, end); i++ {
			r := m.row(i)
			u, v := r[k], r[k+1]
			r[k] = complex(c*real(u), c*imag(u)) + cmplx.Conj(s)*v
			r[k+1] = complex(c*real(v), c*imag(v)) - s*u
		}
	}
}

// triangulate turns the matrix into an upper triangle by Gaussian elimination with row
// pivots, and a right-hand side with it, if there is one. It returns the sign of the rows'
// exchanges, 0 for a singular matrix.
func (m matrix) triangulate(b []complex128) (sign float64) {
	sign = 1
	n := m.n
	for k := range n {
		pivot, largest := k, size1(m.a[k*n+k])
		for i := k + 1; i < n; i++ {
			if s := size1(m.a[i*n+k]); s > largest {
				pivot, largest = i, s
			}
		}
		if largest == 0 {
			return 0
		}
		from := m.a[k*n+k : k*n+n]
		if pivot != k {
			p := m.a[pivot*n+k : pivot*n+n]
			for j := range from {
				p[j], from[j] = from[j], p[j]
			}
			if b != nil {
				b[pivot], b[k] = b[k], b[pivot]
			}
			sign = -sign
		}
		by, rest := over(from[0]), from[1:]
		for i := k + 1; i < n; i++ {
			r := m.a[i*n+k : i*n+n]
			f := r[0] * by
			if f == 0 {
				continue
			}
			r = r[1:][:len(rest)]
			re, im := real(f), imag(f) // by parts: this runs millions of times
			for j, v := range rest {
				x, y := real(v), imag(v)
				r[j] = complex(real(r[j])-(re*x-im*y), imag(r[j])-(re*y+im*x))
			}
			if b != nil {
				b[i] -= f * b[k]
			}
		}
	}
	return sign
}

// solve returns x of m x = b, and spoils both.
func (m matrix) solve(b []complex128) ([]complex128, error) {
	if m.triangulate(b) == 0 {
		return nil, errors.New("chatter: the equations of the cut have no answer")
	}
	for k := m.n - 1; k >= 0; k-- {
		for j := k + 1; j < m.n; j++ {
			b[k] -= m.row(k)[j] * b[j]
		}
		b[k] *= over(m.row(k)[k])
	}
	return b, nil
}

// determinant returns the determinant, and spoils the matrix.
func (m matrix) determinant() complex128 {
	product := complex(m.triangulate(nil), 0)
	if product == 0 {
		return 0
	}
	for k := range m.n {
		product *= m.row(k)[k]
	}
	return product
}

// direction is the determinant over its size, which may be out of range, and spoils the
// matrix; 0 for a singular one.
func (m matrix) direction() complex128 {
	d := complex(m.triangulate(nil), 0)
	if d == 0 {
		return 0
	}
	for k := range m.n {
		v := m.row(k)[k]
		d *= v / complex(cmplx.Abs(v), 0)
	}
	return d
}
