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
	"fmt"
	"math"
	"sync"

	"ironbed/compiler/domain"
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

// A Section is a shape made ready for any materials: it keeps its meshes. It may
// be used by several goroutines at once.
type Section struct {
	regions []mesh.Region

	lock   sync.Mutex
	meshes [len(fineness)]*divided
}

// New makes a section of regions.
func New(regions []mesh.Region) *Section { return &Section{regions: regions} }

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
	ErrPieces = errors.New("warping: the section is in pieces that do not touch")
	errNumber = errors.New("warping: the section's numbers are out of range")
)

// fineness are the meshes that are tried, each finer than the one before, until three agree: two may agree by chance, where a wall has as many
// elements in both. Thin open walls, which carry all the torsion, take all four.
var fineness = [4]float64{1, 1.8, 3, 4.5}

// agreed is the difference of a mesh from the two before it, relative, that ends the search. It bounds what the mesh has left for every rolled
// outline of the catalogue [-].
const agreed = 5e-3

// Analyse finds the properties with a material for each region, on three meshes that
// agree: the finest one's, and from the differences what the mesh may have left. They
// rest on the regions and these materials alone, whatever was analysed before. An error
// means regions that cannot be divided, or that do not hang together.
//
// Source: Pilkey 2002, chapters 5 to 7; Timoshenko Goodier, art. 109 and 121.
func (s *Section) Analyse(materials []Material) (Properties, error) {
	var g domain.Guard
	g.Demand(len(materials) == len(s.regions), "number of materials", float64(len(materials)), "one for each region")
	for i, m := range materials {
		g.Positive(fmt.Sprintf("Young's modulus of region %d", i+1), m.E)
		g.Positive(fmt.Sprintf("shear modulus of region %d", i+1), m.G)
		g.ZeroOrMore(fmt.Sprintf("density of region %d", i+1), m.Density)
	}
	if g.Err != nil {
		return Properties{}, g.Err
	}
	var list []Properties
	for i := range fineness {
		p, err := s.on(i, materials)
		if errors.Is(err, mesh.ErrTooFine) && i > 0 {
			break
		}
		if err != nil {
			return Properties{}, err
		}
		for _, q := range list[max(0, len(list)-2):] {
			p.TorsionError = math.Max(p.TorsionError, math.Abs(p.GJ/q.GJ-1))
			p.ShearError = math.Max(p.ShearError, math.Max(math.Abs(p.GAy/q.GAy-1), math.Abs(p.GAz/q.GAz-1)))
		}
		list = append(list, p)
		if len(list) > 2 && math.Max(p.TorsionError, p.ShearError) < agreed {
			break
		}
	}
	return list[len(list)-1], nil
}

// on finds the properties on one of the meshes.
func (s *Section) on(index int, materials []Material) (Properties, error) {
	d, err := s.divided(index)
	if err != nil {
		return Properties{}, err
	}
	if d.mesh.Pieces > 1 {
		return Properties{}, ErrPieces
	}
	p, err := (&solver{divided: d, materials: materials}).solve()
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

// divided is one of the meshes.
func (s *Section) divided(index int) (*divided, error) {
	s.lock.Lock()
	defer s.lock.Unlock()
	if s.meshes[index] == nil {
		m, err := mesh.Divide(s.regions, mesh.Coarse.Fine(fineness[index]))
		if err != nil {
			return nil, err
		}
		s.meshes[index] = newDivided(m)
	}
	return s.meshes[index], nil
}
