package section

import (
	"errors"
	"math"
	"testing"

	"ironbed/compiler/verify"
)

// TestCellsHaveThePlatesEnergy: the bars of cells, all over the plate, have the energy of a plate for every constant curvature and
// twist, and for every constant strain in its plane.
// Source: Timoshenko and Woinowsky-Krieger 1959, art. 10, the energy D/2 (κx² + κy² + 2 ν κx κy + 2 (1 - ν) κxy²) (from memory);
// Hooke's law in a plane.
func TestCellsHaveThePlatesEnergy(t *testing.T) {
	for _, m := range []struct {
		name string
		Material
	}{{"steel", IsotropicMaterial(210e9, 0.3, 7850)}, {"grey iron", IsotropicMaterial(110e9, 0.26, 7200)}, {"granite", IsotropicMaterial(50e9, 0.25, 2700)}} {
		for _, side := range [][2]float64{{0.1, 0.1}, {0.12, 0.08}} {
			const thick = 0.03
			a, b, e, g, nu := side[0], side[1], m.E, m.G, m.Poisson()
			bar := func(length, width float64, diagonal bool) Stiffness {
				s, err := Cell{Thickness: thick, Length: length, Width: width, Diagonal: diagonal, Material: m.Material}.Stiffness()
				if err != nil {
					t.Fatal(err)
				}
				return s
			}
			x, y, d := bar(a, b, false), bar(b, a, false), bar(a, b, true)
			l := math.Hypot(a, b)
			c, s := a/l, b/l
			// To a cell belong one side along x, one along y, and both diagonals.
			bending := func(kx, ky, kxy float64) float64 {
				up, down := c*c*kx+s*s*ky+2*c*s*kxy, c*c*kx+s*s*ky-2*c*s*kxy
				return (a*x.EIy*kx*kx + b*y.EIy*ky*ky + (a*x.GJ+b*y.GJ)*kxy*kxy + l*d.EIy*(up*up+down*down)) / 2 / (a * b)
			}
			flat := e * thick * thick * thick / (12 * (1 - nu*nu))
			for _, k := range [][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 1, 0}, {1, -1, 0.5}} {
				want := flat / 2 * (k[0]*k[0] + k[1]*k[1] + 2*nu*k[0]*k[1] + 2*(1-nu)*k[2]*k[2])
				verify.Check(t, verify.Case{ID: "cell of " + m.name, Quantity: "bending energy of a plate's cell", Unit: "N", Source: "Timoshenko and Woinowsky-Krieger 1959, art. 10 (from memory)",
					Want: want, RelTol: 1e-5}, bending(k[0], k[1], k[2]))
			}
			// In its plane the sides stretch, the diagonals too, and the sides bend between the crossings in an S:
			// slopes a V/(12 EI/a) by the shear forces V of a strip.
			stretching := func(ex, ey, gamma float64) float64 {
				up, down := c*c*ex+s*s*ey+c*s*gamma, c*c*ex+s*s*ey-c*s*gamma
				racked := 12 / (a * b * (a/x.EIz + b/y.EIz))
				return (a*x.EA*ex*ex+b*y.EA*ey*ey+l*d.EA*(up*up+down*down))/2/(a*b) + racked*gamma*gamma/2
			}
			plane := e * thick / (1 - nu*nu)
			for _, k := range [][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 1, 0}, {1, -1, 0.5}} {
				want := plane/2*(k[0]*k[0]+k[1]*k[1]+2*nu*k[0]*k[1]) + g*thick/2*k[2]*k[2]
				verify.Check(t, verify.Case{ID: "cell of " + m.name, Quantity: "energy of a plate's cell in its plane", Unit: "N/m", Source: "Hooke's law in a plane",
					Want: want, RelTol: 1e-5}, stretching(k[0], k[1], k[2]))
			}
			if off := (a*x.MassPerLength + b*y.MassPerLength) / (a * b * thick * m.Density); math.Abs(off-1) > 1e-12 {
				t.Errorf("%s: a cell weighs %g of its plate", m.name, off)
			}
		}
	}
}

// TestCellsRefused: what is no cell.
func TestCellsRefused(t *testing.T) {
	for _, c := range []Cell{{}, {Thickness: 0.02, Length: 0.1, Material: feSteel}, {Thickness: math.NaN(), Length: 0.1, Width: 0.1, Material: feSteel}, {Thickness: 0.02, Length: 0.1, Width: 0.1}} {
		if _, err := c.Stiffness(); err == nil {
			t.Errorf("%+v is taken", c)
		}
	}
	if _, err := (Cell{Thickness: 0.02, Length: 0.1, Width: 0.05, Material: feSteel}).Stiffness(); !errors.Is(err, ErrCell) {
		t.Errorf("a cell of 100 × 50 mm of steel: %v", err)
	}
	if _, err := (Cell{Thickness: 0.02, Length: 0.1, Width: 0.06, Material: feSteel}).Stiffness(); err != nil {
		t.Errorf("a cell of 100 × 60 mm of steel: %v", err)
	}
}
