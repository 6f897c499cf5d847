package compiler

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/cutting"
	"ironbed/spec"
)

// A matrix is a 3 by 3 compliance in machine axes [m/N].
type matrix [3][3]float64

func (a *matrix) add(b matrix) {
	for i := range 3 {
		for j := range 3 {
			a[i][j] += b[i][j]
		}
	}
}

// times returns the displacement under a force.
func (a matrix) times(f [3]float64) [3]float64 {
	var u [3]float64
	for i := range 3 {
		for j := range 3 {
			u[i] += a[i][j] * f[j]
		}
	}
	return u
}

// A six is a compliance between forces and moments at one point [m/N], [1/N],
// [rad/(N·m)].
type six [6][6]float64

// atTip carries a compliance from the nose to a point that stands off it
// rigidly: a force there is the same force at the nose and its moment.
//
//	C_tip = Tᵀ C T,  T = (I; [r]×)
func (c six) atTip(r r3.Vec) matrix {
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
	var out matrix
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

// A toolEnd is what stands beyond the spindle's nose with one cutter in it, or
// a rigid stub in its place.
type toolEnd struct {
	arm     r3.Vec // from the nose to the tip [m]
	spindle matrix // what the bearings give, at the tip
	holder  matrix
	cutter  matrix // zero for a stub
}

// total is the give of all of it.
func (t toolEnd) total() matrix {
	sum := t.spindle
	sum.add(t.holder)
	sum.add(t.cutter)
	return sum
}

// pointing returns the unit vector along which the cutter points.
func pointing(s *spec.Spindle) r3.Vec {
	if s.Points.Given {
		return unit(s.Points.XYZ)
	}
	return r3.Vec{Z: -1}
}

// alongAndAcross makes a compliance that differs along and across an axis.
func alongAndAcross(axis r3.Vec, along, across float64) matrix {
	a := [3]float64{axis.X, axis.Y, axis.Z}
	var m matrix
	for i := range 3 {
		for j := range 3 {
			m[i][j] = (along - across) * a[i] * a[j]
			if i == j {
				m[i][j] += across
			}
		}
	}
	return m
}

// holderOverhang is the length of holder that the spec gives [m].
func holderOverhang(s *spec.Spindle) float64 {
	if s.Holder == nil {
		return 0
	}
	return s.Holder.Length.Value
}

// toolEndOf makes the end of the tool for a cutter; nil for the nose alone.
func toolEndOf(s *spec.Spindle, c *spec.Cutter, at corner) (toolEnd, error) {
	axis := pointing(s)
	out := toolEnd{spindle: alongAndAcross(axis, 1/at.stiffness(s.Axial), 1/at.stiffness(s.Radial))}
	length := holderOverhang(s)
	if c == nil {
		out.arm = r3.Scale(length, axis)
		return out, nil
	}
	stickOut := c.StickOut.Value
	out.arm = r3.Scale(length+stickOut, axis)
	if s.Holder != nil {
		// A steel holder bends like the cylinder that the spec gives.
		body := cutting.HighSpeedSteel()
		body.Modulus = 210e9
		h := cutting.Tool{Diameter: s.Holder.Diameter.Value, FluteLength: 0, StickOut: length, Core: 1, Substance: body}
		g, err := h.Compliance()
		if err != nil {
			return out, err
		}
		// A force at the tip is a force and a moment at the holder's end.
		out.holder = alongAndAcross(axis, g.Axial, g.Lateral+2*stickOut*g.Slope+stickOut*stickOut*g.Tilt)
	}
	tool := cutterTool(c, at)
	g, err := tool.Compliance()
	if err != nil {
		return out, err
	}
	out.cutter = alongAndAcross(axis, g.Axial, g.Lateral)
	return out, nil
}

// cutterTool makes the beam that a cutter is.
func cutterTool(c *spec.Cutter, at corner) cutting.Tool {
	material := cutting.Carbide()
	if c.Material.Text == "high-speed steel" {
		material = cutting.HighSpeedSteel()
	}
	switch at {
	case soft:
		material.Modulus = material.ModulusLow
	case stiff:
		material.Modulus = material.ModulusHigh
	}
	return cutting.Tool{Diameter: c.Diameter.Value, ShankDiameter: c.Shank.Value, FluteLength: math.Min(c.FluteLength.Value, c.StickOut.Value),
		StickOut: c.StickOut.Value, Substance: material}
}
