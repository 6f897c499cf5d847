package joint

import (
	"math"

	"ironbed/compiler/domain"
)

// A Box is a rectangular hollow member that can lose its shape where nothing
// holds its cross-section.
type Box struct {
	Material Material
	Width    float64 // outer width, along x [m]
	Depth    float64 // outer depth, along y [m]
	SideWall float64 // thickness of the two walls at the ends of the width [m]
	FaceWall float64 // thickness of the two walls at the ends of the depth [m]
	Torsion  float64 // torsion stiffness GJ, 0 for that of a thin-walled tube [N·m²]

	Length    float64 // from the torque to a section that is held in shape and kept plane [m]
	Through   bool    // whether the box goes on as far beyond the torque; else it ends there, open
	EndPlate  float64 // thickness of a plate welded in at the torque, 0 for none [m]
	SideShare float64 // share of the torque that enters as a couple of forces along the side walls, ½ distorts nothing [-]
}

// A Distortion is how a box turns under a unit torque where that acts. Sides and
// faces turn by different amounts, since the section becomes a rhomboid.
type Distortion struct {
	Beam  float64 // turn of a box that keeps its shape [rad/(N·m)]
	Sides Bounds  // turn by which the side walls shift along themselves [rad/(N·m)]
	Faces Bounds  // the same of the faces, likely with the other sign [rad/(N·m)]
	Mean  Bounds  // turn that fits the whole section best [rad/(N·m)]

	// EndPlate is the thickness of a plate with which the sides turn no more than a
	// tenth further than a box that keeps its shape.
	EndPlate float64 // thickness of plate, 0 where none is needed [m]
	Reach    float64 // distance along the box after which the distortion has faded to 1/e [m]

	Violations []Violation
}

// The names of the ranges of validity of [Box.Distortion].
const (
	ValidBoxWall  = "box-wall"  // mean width over the thickest wall
	ValidBoxShape = "box-shape" // longer side over the shorter
)

// The share of the middle by which the true distortion can differ: welds that do
// not hold the corners square, shear in the walls.
const (
	lowDistortion, highDistortion = 0.85, 1.25
)

// Distortion returns how a box turns under a torque.
//
// With φ the turn as a beam and d the shift of a side wall along itself beyond it, the
// faces shift by −d h/b, so that the corners' stretch fits. The section's sides bend
// to an S and the walls bend in their own planes:
//
//	EId d⁗ + k d = q,  EId = E h² (b tf + h tw)/6,  k = 384/(b² (h/Dw + b/Df))
//
// a beam on an elastic bed, loaded by Q = (2s − 1) 2T/b with s the share of the sides:
//
//	open end       d = 2Qλ/k · (sinh λl cosh λl − sin λl cos λl)/(cosh² λl + cos² λl)
//	going through  d = Qλ/(2k) · (sinh² λl − sin² λl)/(sinh λl cosh λl + sin λl cos λl)
//	end plate      16 G t h/b beside the stiffness Q/d, by its shear
//
// with λ⁴ = k/(4 EId). Sides turn by φ + 2d/b, faces by φ − 2d/b. Shear in the walls
// is left out of d.
//
// Source: Wright 1968; Hetenyi 1946, cantilever on an elastic foundation; derived here: the
// constants, by the strain energy of the section's frame and of the walls with
// linear stretch between the corners.
func (x Box) Distortion() (Distortion, error) {
	b, h := x.Width-x.SideWall, x.Depth-x.FaceWall
	var g domain.Guard
	x.Material.ask(&g, "box")
	g.Positive("width", x.Width)
	g.Positive("depth", x.Depth)
	g.Demand(x.SideWall > 0 && x.SideWall < x.Width/2, "side wall", x.SideWall, "above zero and less than half the width")
	g.Demand(x.FaceWall > 0 && x.FaceWall < x.Depth/2, "face wall", x.FaceWall, "above zero and less than half the depth")
	g.Positive("length", x.Length)
	g.ZeroOrMore("torsion stiffness", x.Torsion)
	g.ZeroOrMore("thickness of the end plate", x.EndPlate)
	g.Demand(x.SideShare >= 0 && x.SideShare <= 1, "share of the sides", x.SideShare, "0 to 1")
	if g.Err != nil {
		return Distortion{}, g.Err
	}
	gj := x.Torsion
	if gj == 0 {
		gj = x.Material.shear() * 2 * square(b*h) / (b/x.FaceWall + h/x.SideWall)
	}
	legs := 1.0
	if x.Through {
		legs = 2
	}
	phi := x.Length / gj / legs
	bed, warp := x.bed(b, h), x.warp(b, h)
	lambda := math.Pow(bed/(4*warp), 0.25)
	end := endStiffness(bed, warp, x.Length, x.Through)
	plate := 16 * x.Material.shear() * h / b // by its thickness
	load := (2*x.SideShare - 1) * 2 / b
	d := load / (end + plate*x.EndPlate)
	turn := 2 * d / b
	sides := b*b*h*x.SideWall/2 + b*b*b*x.FaceWall/6
	faces := h*h*b*x.FaceWall/2 + h*h*h*x.SideWall/6
	at := func(share float64) Bounds {
		a, c := phi+share*turn*lowDistortion, phi+share*turn*highDistortion
		return Bounds{min(a, c), phi + share*turn, max(a, c)}
	}
	out := Distortion{Beam: phi, Sides: at(1), Faces: at(-1), Mean: at((sides - faces) / (sides + faces)), Reach: 1 / lambda}
	if bare := 2 * math.Abs(load) / end / b; bare > phi/10 {
		out.EndPlate = (2*math.Abs(load)/b/(phi/10) - end) / plate
	}
	for _, v := range []Bounds{out.Sides, out.Faces, out.Mean, {phi, out.EndPlate, out.Reach}} {
		if !finite(v.Low, v.Middle, v.High) {
			return Distortion{}, ErrNotFinite
		}
	}
	var v violations
	v.hold(ValidBoxWall, (b+h)/2/max(x.SideWall, x.FaceWall), 10, math.Inf(1))
	v.hold(ValidBoxShape, max(b, h)/min(b, h), 1, 3)
	out.Violations = v
	return out, nil
}

// bed returns how the section's frame resists d, per length.
func (x Box) bed(b, h float64) float64 {
	bending := func(t float64) float64 { return x.Material.E * t * t * t / (12 * (1 - square(x.Material.Poisson))) }
	return 384 / (b * b * (h/bending(x.SideWall) + b/bending(x.FaceWall)))
}

// warp returns how the walls' bending in their own planes resists d″.
func (x Box) warp(b, h float64) float64 {
	return x.Material.E * h * h * (b*x.FaceWall + h*x.SideWall) / 6
}

// endStiffness returns the stiffness of a beam on an elastic bed, clamped at a
// distance, against a force at its end: free to turn there or, where the box goes
// on beyond, two of them that don't turn.
//
//	free     k/(2λ) · (cosh² λl + cos² λl)/(sinh λl cosh λl − sin λl cos λl)
//	through  2k/λ · (sinh λl cosh λl + sin λl cos λl)/(sinh² λl − sin² λl)
func endStiffness(bed, warp, length float64, through bool) float64 {
	lambda := math.Pow(bed/(4*warp), 0.25)
	z := min(lambda*length, 20) // beyond, the clamp isn't felt
	s, c := math.Sinh(z), math.Cosh(z)
	sn, cs := math.Sincos(z)
	if through {
		return 2 * bed / lambda * (s*c + sn*cs) / (s*s - sn*sn)
	}
	return bed / (2 * lambda) * (c*c + cs*cs) / (s*c - sn*cs)
}
