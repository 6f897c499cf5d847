package section

import (
	"errors"
	"math"

	"ironbed/compiler/domain"
)

// Material is an isotropic elastic material.
type Material struct {
	E       float64 // Young's modulus [Pa]
	G       float64 // shear modulus [Pa]
	Density float64 // density, 0 for weightless [kg/m3]
}

// errNoShape reports a section or part without a shape.
var errNoShape = errors.New("section: no shape")

// IsotropicMaterial returns the material with the shear modulus that belongs to
// Young's modulus and Poisson's ratio.
//
//	G = E / (2 (1 + ν))
//
// Source: Timoshenko Goodier, art. 6.
func IsotropicMaterial(e, poisson, density float64) Material {
	return Material{E: e, G: e / (2 * (1 + poisson)), Density: density}
}

// Poisson returns Poisson's ratio, E/(2G) - 1, held between 0 and 0.5.
//
// Source: Timoshenko Goodier, art. 6.
func (m Material) Poisson() float64 { return ratio(m.E/(2*m.G) - 1) }

func (m Material) validate() error {
	var g domain.Guard
	g.Positive("Young's modulus", m.E)
	g.Positive("shear modulus", m.G)
	g.ZeroOrMore("density", m.Density)
	return g.Err
}

// Stiffness is what a straight member of one section needs to know of it:
// stiffness about the elastic centroid and mass about the centre of mass. The
// two centres differ where a fill lies to one side.
type Stiffness struct {
	EA   float64 // axial stiffness [N]
	EIy  float64 // bending stiffness about y, deflection along z [N·m2]
	EIz  float64 // bending stiffness about z, deflection along y [N·m2]
	EIyz float64 // ∫E y z dA, couples the two bendings, 0 for symmetry [N·m2]
	GJ   float64 // torsion stiffness, free to warp [N·m2]
	GAy  float64 // shear stiffness for a force along y [N]
	GAz  float64 // shear stiffness for a force along z [N]
	GAyz float64 // coupling of the two shears, 0 for symmetry [N]

	CentroidY float64 // elastic centroid along y, from the shape's origin [m]
	CentroidZ float64 // elastic centroid along z, from the shape's origin [m]

	MassPerLength   float64 // mass per metre [kg/m]
	MassCentreY     float64 // centre of mass along y, from the shape's origin [m]
	MassCentreZ     float64 // centre of mass along z, from the shape's origin [m]
	RotaryInertiaY  float64 // ∫ρ z² dA about the centre of mass [kg·m]
	RotaryInertiaZ  float64 // ∫ρ y² dA about the centre of mass [kg·m]
	RotaryInertiaYZ float64 // ∫ρ y z dA about the centre of mass [kg·m]

	TorsionLowerBound bool // GJ is a safe lower bound, the true one can be noticeably more
}

// Plain returns the stiffness of a shape of one material. A built-up section
// uses the material for every part that has none of its own.
//
//	EA = E A,  EI = E I,  GJ = G J,  GAy = Ky G A,  m = ρ A
//
// Source: Timoshenko Goodier, art. 102 and 121.
func Plain(shape Shape, m Material) (Stiffness, error) {
	if shape == nil {
		return Stiffness{}, errNoShape
	}
	if err := m.validate(); err != nil {
		return Stiffness{}, err
	}
	if b, ok := shape.(interface {
		stiffness(Material) (Stiffness, error)
	}); ok {
		return b.stiffness(m)
	}
	p, err := shape.Properties(m.Poisson())
	if err != nil {
		return Stiffness{}, err
	}
	return p.times(m).checked()
}

// times returns the stiffness of a section of one material.
func (p Properties) times(m Material) Stiffness {
	return Stiffness{
		EA: m.E * p.Area, EIy: m.E * p.Iy, EIz: m.E * p.Iz, EIyz: m.E * p.Iyz, GJ: m.G * p.J,
		GAy: p.Ky * m.G * p.Area, GAz: p.Kz * m.G * p.Area, GAyz: p.Kyz * m.G * p.Area,
		CentroidY: p.CentroidY, CentroidZ: p.CentroidZ,
		MassPerLength: p.MassPerLength(m.Density), MassCentreY: p.CentroidY, MassCentreZ: p.CentroidZ,
		RotaryInertiaY: m.Density * p.Iy, RotaryInertiaZ: m.Density * p.Iz, RotaryInertiaYZ: m.Density * p.Iyz,
		TorsionLowerBound: p.TorsionLowerBound,
	}
}

// Principal returns the largest and the smallest bending stiffness and the
// angle that turns y to the axis about which the largest one acts.
//
// Source: derived here, as [Properties.Principal].
func (s Stiffness) Principal() (ei1, ei2, angle float64) {
	return principal(s.EIy, s.EIz, s.EIyz)
}

// InPrincipalAxes returns the same section described in its principal axes,
// where EIyz is 0, and the angle that turns y, z to them. A member that carries
// it must be turned about its axis by that angle. EIy is the larger one.
func (s Stiffness) InPrincipalAxes() (Stiffness, float64) {
	_, _, angle := s.Principal()
	r := s.Rotated(-angle)
	r.EIyz = 0
	return r, angle
}

// Rotated returns the stiffness of the section turned about its origin by an
// angle [rad], y towards z. The components are those of a plane tensor.
//
// Source: derived here, y' = y cos - z sin and z' = y sin + z cos put into the
// integrals.
func (s Stiffness) Rotated(angle float64) Stiffness {
	sin, cos := math.Sincos(angle)
	sin, cos = withoutNoise(sin, 1e-3), withoutNoise(cos, 1e-3) // right angles stay exact
	point := func(y, z float64) (float64, float64) { return y*cos - z*sin, y*sin + z*cos }
	// second turns ∫z², ∫y², ∫yz.
	second := func(zz, yy, yz float64) (float64, float64, float64) {
		cross := 2 * yz * sin * cos
		return zz*cos*cos + yy*sin*sin + cross, yy*cos*cos + zz*sin*sin - cross,
			withoutNoise((yy-zz)*sin*cos+yz*(cos*cos-sin*sin), zz+yy)
	}
	r := s
	r.EIy, r.EIz, r.EIyz = second(s.EIy, s.EIz, s.EIyz)
	r.RotaryInertiaY, r.RotaryInertiaZ, r.RotaryInertiaYZ = second(s.RotaryInertiaY, s.RotaryInertiaZ, s.RotaryInertiaYZ)
	r.GAz, r.GAy, r.GAyz = second(s.GAz, s.GAy, s.GAyz)
	r.CentroidY, r.CentroidZ = point(s.CentroidY, s.CentroidZ)
	r.MassCentreY, r.MassCentreZ = point(s.MassCentreY, s.MassCentreZ)
	return r
}

// shifted returns the stiffness with the section's origin moved.
func (s Stiffness) shifted(y, z float64) Stiffness {
	s.CentroidY += y
	s.CentroidZ += z
	s.MassCentreY += y
	s.MassCentreZ += z
	return s
}

// summed returns the stiffness of parts side by side that share stretch and twist
// but pass no shear, so that each bends about its own centroid.
//
//	EA = Σ EAi,  yc = Σ EAi yi / EA,  EIy = Σ EIyi,  GJ = Σ GJi,  GA = Σ GAi
//
// The sum of the torsion stiffnesses is a lower bound: with φi the stress functions of
// the parts, their union is an admissible stress function of the whole, and the
// complementary energy of any such function bounds GJ from below.
func summed(parts []Stiffness) Stiffness {
	var t Stiffness
	for _, p := range parts {
		t.EA += p.EA
		t.MassPerLength += p.MassPerLength
		t.CentroidY += p.EA * p.CentroidY
		t.CentroidZ += p.EA * p.CentroidZ
		t.MassCentreY += p.MassPerLength * p.MassCentreY
		t.MassCentreZ += p.MassPerLength * p.MassCentreZ
		t.GJ += p.GJ
		t.GAy += p.GAy
		t.GAz += p.GAz
		t.GAyz += p.GAyz
	}
	t.CentroidY /= t.EA
	t.CentroidZ /= t.EA
	if t.MassPerLength > 0 {
		t.MassCentreY /= t.MassPerLength
		t.MassCentreZ /= t.MassPerLength
	} else { // weightless: any point will do
		t.MassCentreY, t.MassCentreZ = t.CentroidY, t.CentroidZ
	}
	for _, p := range parts {
		t.EIy += p.EIy
		t.EIz += p.EIz
		t.EIyz += p.EIyz
		y, z := p.MassCentreY-t.MassCentreY, p.MassCentreZ-t.MassCentreZ
		t.RotaryInertiaY += p.RotaryInertiaY + p.MassPerLength*z*z
		t.RotaryInertiaZ += p.RotaryInertiaZ + p.MassPerLength*y*y
		t.RotaryInertiaYZ += p.RotaryInertiaYZ + p.MassPerLength*y*z
	}
	t.EIyz = withoutNoise(t.EIyz, t.EIy+t.EIz)
	t.RotaryInertiaYZ = withoutNoise(t.RotaryInertiaYZ, t.RotaryInertiaY+t.RotaryInertiaZ)
	t.GAyz = withoutNoise(t.GAyz, t.GAy+t.GAz)
	// Parts that mirror each other leave rounding noise in the centres.
	size := math.Sqrt((t.EIy + t.EIz) / t.EA)
	for _, c := range []*float64{&t.CentroidY, &t.CentroidZ, &t.MassCentreY, &t.MassCentreZ} {
		*c = withoutNoise(*c, size)
	}
	return t
}

// checked reports a stiffness that is not finite and positive.
func (s Stiffness) checked() (Stiffness, error) {
	for _, v := range []float64{s.EA, s.EIy, s.EIz, s.GJ, s.GAy, s.GAz} {
		if !(v > 0) || math.IsInf(v, 0) {
			return Stiffness{}, ErrNotFinite
		}
	}
	if !finite(s.EIyz, s.GAyz, s.CentroidY, s.CentroidZ, s.MassPerLength, s.MassCentreY,
		s.MassCentreZ, s.RotaryInertiaY, s.RotaryInertiaZ, s.RotaryInertiaYZ) {
		return Stiffness{}, ErrNotFinite
	}
	return s, nil
}
