package compiler_test

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/verify"
)

// A shell is a level plate of one material.
type shell struct {
	thickness, modulus, poisson, density float64 // [m], [Pa], [-], [kg/m3]
}

// TestKeelMillWithShells: the keel mill's table and the foot of its column as shells, in place of the bars that stand for plates in the
// model, change neither its compliance nor its frequencies by more than what eight by four and six by six cells leave. Sizes and
// materials are those of its spec; iron has 110 and 44 GPa, steel 210 GPa and 0.3.
func TestKeelMillWithShells(t *testing.T) {
	keel := sample.Load(t, "internal/whole/testdata/machines/keel-mill")
	for _, spindle := range keel.Spindles.Names() {
		mounted, err := keel.Mounting(spindle)
		if err != nil {
			t.Fatal(err)
		}
		b := modelled(t, mounted)
		p := readModel(t, "keel-mill with shells, spindle "+spindle, b)
		f := p.frame(map[string]shell{"table": {0.080, 110e9, 0.25, 7200}, "column": {0.060, 210e9, 0.3, 7850}})
		p.sameModes(f, b, 0.01)
		got, want := p.pushed(f), p.rows("Compliance")[0]
		for i := range got {
			verify.Check(t, verify.Case{
				ID: fmt.Sprintf("%s %c", p.name, "XYZ"[i]), Quantity: "compliance of a machine's frame at the tool tip", Unit: "m/N", RelTol: 0.01,
				Source: "independent finite elements: the frame rebuilt from the printed model, with rectangular shells", Want: got[i],
			}, p.number(want[i+1])*1e-9)
		}
	}
}

// cells adds the cells of a plate of nodes t_i_j.
func (s *shell) cells(f *rebuilt, body string) (count int) {
	node := func(i, j int) string { return fmt.Sprintf("%s.t_%d_%d", body, i, j) }
	for i := 0; f.nodes[node(i+1, 0)] != (r3.Vec{}); i++ {
		for j := 0; f.nodes[node(i, j+1)] != (r3.Vec{}); j++ {
			var corners []place
			for _, at := range [4][2]int{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
				name := node(i+at[0], j+at[1])
				corners = append(corners, place{name, f.nodes[name]})
			}
			k, m := s.rectangle(corners[2].at.X-corners[0].at.X, corners[2].at.Y-corners[0].at.Y)
			f.add(f.k, k, corners...)
			f.add(f.m, m, corners...)
			count++
		}
	}
	return count
}

// rectangle is the stiffness and the mass of a rectangle a by b: in bending that of twelve monomials (Adini, Clough and Melosh), without
// shear, in its plane that of four corners with Wilson's incompatible modes, with turns about its normal tied to its rotation. Zienkiewicz
// and Taylor, The Finite Element Method, 5th ed., volume 2, section 4.3, and volume 1, section 11.7; Hughes and Brezzi 1989 (from memory).
func (s *shell) rectangle(a, b float64) (k, m *mat.Dense) {
	k, m = mat.NewDense(24, 24, nil), mat.NewDense(24, 24, nil)
	corner := [4][2]float64{{0, 0}, {a, 0}, {a, b}, {0, b}}
	monomials := func(x, y float64) (w, wx, wy, xx, yy, xy [12]float64) {
		for n, e := range [12][2]float64{{0, 0}, {1, 0}, {0, 1}, {2, 0}, {1, 1}, {0, 2}, {3, 0}, {2, 1}, {1, 2}, {0, 3}, {3, 1}, {1, 3}} {
			of := func(v, e float64, times int) float64 {
				c := 1.0
				for range times {
					c *= e
					e--
				}
				if c == 0 {
					return 0
				}
				return c * math.Pow(v, e)
			}
			at := func(dx, dy int) float64 { return of(x, e[0], dx) * of(y, e[1], dy) }
			w[n], wx[n], wy[n], xx[n], yy[n], xy[n] = at(0, 0), at(1, 0), at(0, 1), at(2, 0), at(0, 2), at(1, 1)
		}
		return
	}
	c := mat.NewDense(12, 12, nil)
	for n, at := range corner {
		w, wx, wy, _, _, _ := monomials(at[0], at[1])
		for j := range 12 {
			c.Set(3*n, j, w[j])
			c.Set(3*n+1, j, wy[j])  // turn about x
			c.Set(3*n+2, j, -wx[j]) // turn about y
		}
	}
	var inverse mat.Dense
	if err := inverse.Inverse(c); err != nil {
		panic(err)
	}
	d := s.modulus / (1 - s.poisson*s.poisson)
	law := mat.NewDense(3, 3, []float64{d, s.poisson * d, 0, s.poisson * d, d, 0, 0, 0, d * (1 - s.poisson) / 2})
	sum := func(to *mat.Dense, weight float64, rows, law mat.Matrix) {
		var part, whole mat.Dense
		part.Mul(law, rows)
		whole.Mul(rows.T(), &part)
		whole.Scale(weight, &whole)
		to.Add(to, &whole)
	}
	bend, heavy := mat.NewDense(12, 12, nil), mat.NewDense(12, 12, nil)
	plane := mat.NewDense(12, 12, nil) // of eight motions of the corners and four modes of its own
	one := mat.NewDense(1, 1, []float64{1})
	place := [12]int{2, 3, 4, 8, 9, 10, 14, 15, 16, 20, 21, 22} // of w and its turns among the corners' motions
	for _, gx := range gauss4 {
		for _, gy := range gauss4 {
			x, y := a/2*(1+gx.at), b/2*(1+gy.at)
			weight := gx.weight * gy.weight * a * b / 4
			w, _, _, xx, yy, xy := monomials(x, y)
			rows, shape := mat.NewDense(3, 12, nil), mat.NewDense(1, 12, w[:])
			for j := range 12 {
				rows.Set(0, j, -xx[j])
				rows.Set(1, j, -yy[j])
				rows.Set(2, j, -2*xy[j])
			}
			var curved, moved mat.Dense
			curved.Mul(rows, &inverse)
			moved.Mul(shape, &inverse)
			sum(bend, weight*math.Pow(s.thickness, 3)/12, &curved, law)
			sum(heavy, weight*s.thickness*s.density, &moved, one)
			strain, turn := mat.NewDense(3, 12, nil), mat.NewDense(1, 24, nil)
			for n, at := range corner {
				sx, sy := 2*at[0]/a-1, 2*at[1]/b-1
				shape, dx, dy := (1+sx*gx.at)*(1+sy*gy.at)/4, sx*(1+sy*gy.at)/(2*a), sy*(1+sx*gx.at)/(2*b)
				strain.Set(0, 2*n, dx)
				strain.Set(1, 2*n+1, dy)
				strain.Set(2, 2*n, dy)
				strain.Set(2, 2*n+1, dx)
				turn.Set(0, 6*n, dy/2)
				turn.Set(0, 6*n+1, -dx/2)
				turn.Set(0, 6*n+5, shape)
				for o, other := range corner {
					with := (1 + (2*other[0]/a-1)*gx.at) * (1 + (2*other[1]/b-1)*gy.at) / 4
					for axis := range 2 {
						m.Set(6*n+axis, 6*o+axis, m.At(6*n+axis, 6*o+axis)+weight*s.thickness*s.density*shape*with)
					}
				}
			}
			for mode, v := range [2][2]float64{{-4 * gx.at / a, 0}, {0, -4 * gy.at / b}} { // of 1 − ξ² and 1 − η²
				strain.Set(0, 8+2*mode, v[0])
				strain.Set(1, 9+2*mode, v[1])
				strain.Set(2, 8+2*mode, v[1])
				strain.Set(2, 9+2*mode, v[0])
			}
			sum(plane, weight*s.thickness, strain, law)
			sum(k, weight*s.thickness*s.modulus/(2*(1+s.poisson))/10, turn, one)
		}
	}
	// The modes of its own go with the corners' motions.
	var own, condensed mat.Dense
	if err := own.Solve(plane.Slice(8, 12, 8, 12), plane.Slice(8, 12, 0, 8)); err != nil {
		panic(err)
	}
	condensed.Mul(plane.Slice(0, 8, 8, 12), &own)
	for i := range 8 {
		for j := range 8 {
			row, column := 6*(i/2)+i%2, 6*(j/2)+j%2
			k.Set(row, column, k.At(row, column)+plane.At(i, j)-condensed.At(i, j))
		}
	}
	for i := range 12 {
		for j := range 12 {
			k.Set(place[i], place[j], k.At(place[i], place[j])+bend.At(i, j))
			m.Set(place[i], place[j], heavy.At(i, j))
		}
	}
	return k, m
}

// gauss4 are the points of Gauss's rule of four.
var gauss4 = [4]struct{ at, weight float64 }{
	{-0.8611363115940526, 0.3478548451374538}, {-0.3399810435848563, 0.6521451548625461},
	{0.3399810435848563, 0.6521451548625461}, {0.8611363115940526, 0.3478548451374538},
}
