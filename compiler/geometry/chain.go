package geometry

import "gonum.org/v1/gonum/spatial/r3"

// A Carriage is the moving part of one axis.
type Carriage struct {
	Axis   Axis
	Centre r3.Vec // where its error motions are stated, in its own frame, which lies in the machine's with the axes at zero [m]
}

// A Chain is a machine from workpiece to tool.
type Chain struct {
	Workpiece []Carriage // that carry the workpiece, the one next to the workpiece first
	Tool      []Carriage // that carry the tool, the one next to the frame first
	Tip       r3.Vec     // tool tip with the axes at zero [m]
}

// Positions are displacements of the carriages of X, Y and Z along the positive
// axes: of one that carries the workpiece the opposite of what is programmed.
type Positions [3]float64 // [m]

func (c Chain) check(g *guard) {
	var seen [3]int
	for _, list := range [][]Carriage{c.Workpiece, c.Tool} {
		for _, one := range list {
			g.Demand(one.Axis >= X && one.Axis <= Z, "axis of a carriage", float64(one.Axis), "X, Y or Z")
			if g.Err != nil {
				return
			}
			seen[one.Axis]++
			g.vector("centre of "+one.Axis.String(), one.Centre)
		}
	}
	for a, n := range seen {
		g.Demand(n <= 1, "carriages of "+Axis(a).String(), float64(n), "one at the most")
	}
	g.vector("tool tip", c.Tip)
}

func (p Positions) check(g *guard) {
	for a, v := range p {
		g.Finite("position of "+Axis(a).String(), v)
	}
}

func (e Errors) check(g *guard) {
	for m, v := range e {
		g.Finite(Motion(m).String(), v)
		if Motion(m).IsAngle() {
			g.small(Motion(m).String(), v)
		}
	}
}

// point is where on the workpiece the tool tip is without errors.
func (c Chain) point(p Positions) r3.Vec {
	at := c.Tip
	for _, one := range c.Tool {
		at = r3.Add(at, r3.Scale(p[one.Axis], one.Axis.unit()))
	}
	for _, one := range c.Workpiece {
		at = r3.Sub(at, r3.Scale(p[one.Axis], one.Axis.unit()))
	}
	return at
}

// At returns the positions of the axes with the tool tip at a point of the
// workpiece [m].
func (c Chain) At(point r3.Vec) (p Positions) {
	way := r3.Sub(point, c.Tip)
	for _, one := range c.Tool {
		p[one.Axis] = one.Axis.part(way)
	}
	for _, one := range c.Workpiece {
		p[one.Axis] = -one.Axis.part(way)
	}
	return p
}

// Sensitivities are what each error motion of size 1 does at the tool tip.
type Sensitivities [Count]r3.Vec // of a shift [-], of an angle [m/rad]

// Sensitivities returns what each error motion does at the tool tip, against the
// workpiece, to first order.
//
//	of a shift          ± eᵢ
//	of a turn           ± eᵢ × r
//	of the squareness   ± p dᵢ
//
// with + for an axis that carries the tool and − for one that carries the
// workpiece, r the arm from the carriage's centre to the tool tip [m], p the
// position of the axis [m] and d the direction in which squareness turns its
// travel. An axis that is not in the chain has none. Where angles reach
// 1 mrad, the first order is off by 0.1 % of the error.
//
// Source: Slocum 1992, 2; ISO 230-1, names of the motions; derived here, the product of the transforms with the products of errors left out.
func (c Chain) Sensitivities(p Positions) (Sensitivities, error) {
	var g guard
	c.check(&g)
	p.check(&g)
	if g.Err != nil {
		return Sensitivities{}, g.Err
	}
	var out Sensitivities
	add := func(one Carriage, arm r3.Vec, sign float64) {
		for _, k := range []Axis{X, Y, Z} {
			out[ShiftOf(one.Axis, k)] = r3.Scale(sign, k.unit())
			out[TurnOf(one.Axis, k)] = r3.Scale(sign, r3.Cross(k.unit(), r3.Sub(arm, one.Centre)))
		}
		way := sign * p[one.Axis]
		switch one.Axis {
		case Y:
			out[EC0Y] = r3.Vec{X: -way}
		case Z:
			out[EB0Z], out[EA0Z] = r3.Vec{X: way}, r3.Vec{Y: -way}
		}
	}
	at := c.Tip
	for i := len(c.Tool) - 1; i >= 0; i-- {
		add(c.Tool[i], at, 1)
		at = r3.Add(at, r3.Scale(p[c.Tool[i].Axis], c.Tool[i].Axis.unit()))
	}
	for i := len(c.Workpiece) - 1; i >= 0; i-- {
		at = r3.Sub(at, r3.Scale(p[c.Workpiece[i].Axis], c.Workpiece[i].Axis.unit()))
		add(c.Workpiece[i], at, -1)
	}
	for _, v := range out {
		g.vector("sensitivity to an error motion", v)
	}
	if g.Err != nil {
		return Sensitivities{}, g.Err
	}
	return out, nil
}

// Error returns where the tool tip is, against where it should be on the workpiece [m],
// to first order: the sum of the error motions times their sensitivities.
//
// Source: derived here, see [Chain.Sensitivities].
func (f Sensitivities) Error(e Errors) (sum r3.Vec) {
	for m, size := range e {
		sum = r3.Add(sum, r3.Scale(size, f[m]))
	}
	return sum
}

// Exact returns where the tool tip is, against where it should be on the workpiece [m],
// with full rotations. A carriage maps a point q of its own frame to
//
//	p d + e + c + R (q − c),  R = Rz(C) Ry(B) Rx(A)   [m]
//
// of the frame that carries it, with p its position, d its direction of travel,
// e its shift, c its centre; the tip goes through the carriages of the tool
// to the frame, and from there through the inverses of those of the workpiece.
//
// Source: Slocum 1992, 2; ISO 230-1, names of the motions.
func (c Chain) Exact(p Positions, e Errors) (r3.Vec, error) {
	var g guard
	c.check(&g)
	p.check(&g)
	e.check(&g)
	if g.Err != nil {
		return r3.Vec{}, g.Err
	}
	at := c.Tip
	for i := len(c.Tool) - 1; i >= 0; i-- {
		one := c.Tool[i]
		at = r3.Add(e.moved(one, p), e.turn(one.Axis, r3.Sub(at, one.Centre)))
	}
	for i := len(c.Workpiece) - 1; i >= 0; i-- {
		one := c.Workpiece[i]
		at = r3.Add(one.Centre, e.turnBack(one.Axis, r3.Sub(at, e.moved(one, p))))
	}
	off := r3.Sub(at, c.point(p))
	g.vector("error at the tool tip", off)
	if g.Err != nil {
		return r3.Vec{}, g.Err
	}
	return off, nil
}

// moved is where a carriage's centre is in the frame that carries it.
func (e Errors) moved(one Carriage, p Positions) r3.Vec {
	return r3.Add(one.Centre, r3.Add(r3.Scale(p[one.Axis], e.direction(one.Axis)), e.shift(one.Axis)))
}
