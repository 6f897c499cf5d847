package section

import (
	"errors"
	"fmt"
	"math"

	"ironbed/compiler/domain"
)

// A Cell is a rectangle of a flat plate that stands in a frame as six bars: its four sides and its two
// diagonals. The plate lies in the bars' local x and y; they are bent by forces along z.
type Cell struct {
	Thickness float64  // thickness of the plate [m]
	Length    float64  // side along the bar, of a diagonal along one side of the cell [m]
	Width     float64  // the other side [m]
	Diagonal  bool     // the bar is a diagonal of the cell
	Edge      bool     // the bar is on the plate's edge: there is a cell on one side of it alone
	Material  Material // of the plate
}

// coupledMost is the share of what resists twisting that the diagonals may take for the lateral strain: the rest is
// the sides' own torsion, which must not vanish [-].
const coupledMost = 0.95

// CellShape is the longest side of a cell over its shortest that a material allows [-]:
//
//	√(1/ν'),  ν' the lateral strain that the diagonals carry, see [Cell.Stiffness]
//
// Source: derived here, that the bars of the shorter side stay stiff.
func (c Cell) CellShape() float64 { return math.Sqrt(1 / c.lateral()) }

// lateral is Poisson's ratio of the plate, or as much of it as leaves the sides some torsion of their own [-].
func (c Cell) lateral() float64 {
	q := coupledMost * c.Material.G / c.Material.E
	return math.Min(c.Material.Poisson(), (math.Sqrt(1+4*q*q)-1)/(2*q))
}

// ErrCell reports a cell that is too long for its width.
var ErrCell = errors.New("section: the cells of the plate are too long")

// Stiffness returns the stiffness and mass of a bar. The bars of all cells together have the energy of
// the plate for every constant curvature, twist, stretch and in-plane shear, so that a frame of them comes to the
// plate's solution as the cells become smaller. With D' = E t³/(12 (1 - ν²)), C' = E t/(1 - ν²), a cell a by b and its
// diagonal l adds to
//
//	a diagonal:        EI = ν D' l³/(2 a b),  EA = ν C' l³/(2 a b)
//	a side along a:    EI = ½ D' b (1 - ν a²/b²),  EA = ½ C' b (1 - ν a²/b²)
//	                   GJ = ½ b (G t³/6 - 2 ν D'),  EI in its plane = a² b (G t - ν C')/12
//	                   GA = ½ · 5/6 G t b,  m = ¼ ρ t b
//
// Two cells share a side, but for those on an edge. Bars resist shear out of the plane as the strips on both
// sides of them do. Where ν is so large that nothing would be left of a side's torsion, in materials soft in shear, less of it
// is taken.
//
// Source: Hrennikoff 1941, the framework of beams with diagonals; derived here, the energies.
func (c Cell) Stiffness() (Stiffness, error) {
	var g domain.Guard
	g.Positive("thickness of a plate", c.Thickness)
	g.Positive("length of a plate's cell", c.Length)
	g.Positive("width of a plate's cell", c.Width)
	if g.Err == nil {
		g.Err = c.Material.validate()
	}
	if g.Err != nil {
		return Stiffness{}, g.Err
	}
	a, b, t, m, nu := c.Length, c.Width, c.Thickness, c.Material, c.lateral()
	if math.Max(a, b)/math.Min(a, b) >= c.CellShape() {
		return Stiffness{}, fmt.Errorf("%w: %.0f × %.0f mm; the longer side may be %.2f times the shorter one at most: give other crossings",
			ErrCell, a*1e3, b*1e3, c.CellShape())
	}
	bend, stretch := m.E*t*t*t/(12*(1-nu*nu)), m.E*t/(1-nu*nu)
	if c.Diagonal {
		l := math.Hypot(a, b)
		k := nu * l * l * l / (2 * a * b)
		// Its other stiffnesses are none, but for what keeps a frame from coming apart.
		return Stiffness{EA: k * stretch, EIy: k * bend, EIz: slight * k * stretch * t * t, GJ: slight * k * bend, GAy: m.G * t * l, GAz: m.G * t * l}.checked()
	}
	sides := 1.0 // half of the cell on either side of it
	if c.Edge {
		sides = 0.5
	}
	left := sides * b * (1 - nu*a*a/(b*b))
	mass := sides * m.Density * t * b / 2 // the bars across have the other half
	s := Stiffness{
		EA: left * stretch, EIy: left * bend, EIz: sides * a * a * b * (m.G*t - nu*stretch) / 6,
		GJ:  sides * b * (m.G*t*t*t/6 - 2*nu*bend),
		GAy: sides * stiffInPlane * m.G * t * b, GAz: sides * 5.0 / 6 * m.G * t * b,
		MassPerLength: mass, RotaryInertiaY: mass * t * t / 12, RotaryInertiaZ: mass * sides * sides * b * b / 12,
	}
	return s.checked()
}

const (
	// slight is what is left of a stiffness that a diagonal is not to have [-].
	slight = 1e-4
	// stiffInPlane makes a side stiff in shear in the plate's plane: the shear is counted with its bending there [-].
	stiffInPlane = 100
)

// Properties returns the geometry of the strip that a side stands for, or of a square bar as thick as the plate for a
// diagonal, for drawing and listing.
func (c Cell) Properties(poisson float64) (Properties, error) { return c.strip().Properties(poisson) }

// Outline draws the same.
func (c Cell) Outline() ([]Region, error) { return c.strip().Outline() }

func (c Cell) strip() Bar {
	width := c.Width
	switch {
	case c.Diagonal:
		width = c.Thickness
	case c.Edge:
		width /= 2
	}
	return Bar{Width: width, Height: c.Thickness}
}

// stiffness is that of [Cell.Stiffness], for [Plain].
func (c Cell) stiffness(m Material) (Stiffness, error) {
	c.Material = m
	return c.Stiffness()
}
