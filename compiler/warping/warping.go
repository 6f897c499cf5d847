// Package warping finds the properties of a cross-section of any shape and of one
// material or several by finite elements: the warping function for torsion, and
// the shear functions of a bar that is bent by forces.
//
// The section plane is (y, z), the bar's axis x = y × z. Regions that touch along
// a line are bonded there. Stress along x follows plane sections; transverse
// strain by Poisson's ratio is free in every material for itself, so that a
// mismatch of the ratios puts no stress into the plane. By the full solution the
// mismatch adds up to 0.3 per cent to a bending stiffness.
package warping

import (
	"errors"
	"math"

	"ironbed/compiler/mesh"
)

// A Material is isotropic.
type Material struct {
	E       float64 // Young's modulus [Pa]
	G       float64 // shear modulus [Pa]
	Density float64 // density [kg/m3]
}

// poisson is Poisson's ratio.
func (m Material) poisson() float64 { return math.Min(0.5, math.Max(0, m.E/(2*m.G)-1)) }

func (m Material) valid() bool {
	return m.E > 0 && m.G > 0 && m.Density >= 0 && !math.IsInf(m.E+m.G+m.Density, 0)
}

// An Input is a section: its regions, each with its material.
type Input struct {
	Regions   []mesh.Region
	Materials []Material // by region
}

// Properties are what a bar of the section needs, about the elastic centroid.
type Properties struct {
	EA        float64 // stiffness along the axis [N]
	EIy       float64 // ∫E z² dA, bending about y [N·m2]
	EIz       float64 // ∫E y² dA, bending about z [N·m2]
	EIyz      float64 // ∫E y z dA [N·m2]
	CentroidY float64 // elastic centroid along y [m]
	CentroidZ float64 // elastic centroid along z [m]

	GJ           float64 // torsion stiffness, free to warp [N·m2]
	EIw          float64 // warping stiffness about the shear centre [N·m4]
	ShearCentreY float64 // shear centre, from the centroid along y [m]
	ShearCentreZ float64 // shear centre, from the centroid along z [m]

	GAy  float64 // shear stiffness along y, forces through the shear centre, without shear along z [N]
	GAz  float64 // shear stiffness along z, forces through the shear centre, without shear along y [N]
	GAyz float64 // coupling of the two, 0 for symmetry [N]

	MassPerLength   float64 // mass per length [kg/m]
	MassCentreY     float64 // centre of mass along y [m]
	MassCentreZ     float64 // centre of mass along z [m]
	RotaryInertiaY  float64 // ∫ρ z² dA about the centre of mass [kg·m]
	RotaryInertiaZ  float64 // ∫ρ y² dA about the centre of mass [kg·m]
	RotaryInertiaYZ float64 // ∫ρ y z dA about the centre of mass [kg·m]

	TorsionError float64 // what the mesh may have left in GJ, relative [-]
	ShearError   float64 // what the mesh may have left in GAy and GAz, relative [-]
}

// Errors of an analysis.
var (
	ErrMaterial = errors.New("warping: each region needs a material with positive moduli and no negative density")
	ErrPieces   = errors.New("warping: the section is in pieces that do not touch")
	errNumber   = errors.New("warping: the section's numbers are out of range")
)

// fineness are the meshes that are tried, each finer than the one before, until
// two agree. A compact section is done with the first two, a bare open one, whose
// thin walls carry all the torsion, takes more.
var fineness = [4]float64{0.8, 1.4, 2.4, 3.6}

// agreed is the difference between two meshes, relative, that ends the search [-].
const agreed = 2.5e-3

// Analyse finds the properties of a section on two meshes that agree: the finer
// one's, and from the difference what the mesh may have left. An error means
// regions that cannot be divided, or that do not hang together.
//
// Source: Pilkey 2002, chapters 5 to 7; Timoshenko Goodier, art. 109 and 121.
func Analyse(in Input) (Properties, error) {
	before, err := analyse(in, mesh.Coarse.Fine(fineness[0]))
	if err != nil {
		return Properties{}, err
	}
	for _, f := range fineness[1:] {
		p, err := analyse(in, mesh.Coarse.Fine(f))
		if errors.Is(err, mesh.ErrTooFine) {
			return before, nil
		}
		if err != nil {
			return Properties{}, err
		}
		p.TorsionError = math.Abs(p.GJ/before.GJ - 1)
		p.ShearError = math.Max(math.Abs(p.GAy/before.GAy-1), math.Abs(p.GAz/before.GAz-1))
		before = p
		if math.Max(p.TorsionError, p.ShearError) < agreed {
			break
		}
	}
	return before, nil
}

// analyse finds the properties on one mesh.
func analyse(in Input, f mesh.Fineness) (Properties, error) {
	if len(in.Materials) != len(in.Regions) {
		return Properties{}, ErrMaterial
	}
	for _, m := range in.Materials {
		if !m.valid() {
			return Properties{}, ErrMaterial
		}
	}
	divided, err := mesh.Divide(in.Regions, f)
	if err != nil {
		return Properties{}, err
	}
	if divided.Pieces > 1 {
		return Properties{}, ErrPieces
	}
	s := newSolver(divided, in.Materials)
	p, err := s.solve()
	if err != nil {
		return Properties{}, err
	}
	for _, v := range []float64{p.EA, p.EIy, p.EIz, p.GJ, p.GAy, p.GAz} {
		if !(v > 0) || math.IsInf(v, 0) {
			return Properties{}, errNumber
		}
	}
	return p, nil
}
