package machine

import (
	"fmt"
	"strings"

	"ironbed/compiler/section"
	"ironbed/spec"
)

// A Profile is a bare section of the spec by its numbers.
type Profile struct {
	Stock
	Entry    *spec.Entry[spec.Section]
	Geometry section.Properties
	Mass     float64    // per metre [kg/m]
	Size     [2]float64 // width and height over all; zero where its outline is not known [m]

	Meshed      bool       // solved by finite elements; what follows is known then
	ShearCentre [2]float64 // along y and z from the centroid [m]
	MeshError   float64    // error that the mesh may leave in the torsion constant, relative [-]
	Hollows     []section.Hollow

	Shaped *spec.Log // what its shape was read from
	Shears *spec.Log // what its shear areas were read from: the shape, and the lateral strain of its material
	Weighs *spec.Log // what its mass was read from
}

// Profiles computes the sections of the spec, whether members are made of them or not.
func (d *Model) Profiles() ([]Profile, error) {
	list := make([]Profile, len(d.Spec.Sections))
	for i := range d.Spec.Sections {
		e := &d.Spec.Sections[i]
		var err error
		if list[i], err = profileOf(d.Spec, e, d.Read); err != nil {
			return nil, &Refused{Rule: "section", At: e.At, Message: fmt.Sprintf("section %s: %s", e.Name, SectionWords(err))}
		}
	}
	return list, nil
}

func profileOf(m *spec.Machine, e *spec.Entry[spec.Section], read spec.Reader) (Profile, error) {
	log := &spec.Log{}
	s, err := StockOf(m, &e.Item, read.Into(log))
	p := Profile{Stock: s, Entry: e}
	if err != nil {
		return p, err
	}
	if p.Geometry, err = s.Shape.Properties(s.Material.Poisson()); err != nil {
		return p, err
	}
	plain, err := section.Plain(s.Shape, s.Material)
	if err != nil {
		return p, err
	}
	p.Mass = plain.MassPerLength
	p.Size[0], p.Size[1] = Extent(Filled{Stock: s})
	if l := e.Item.Listed; l != nil {
		p.Size = [2]float64{read.Of(l.Width), read.Of(l.Height)}
	}
	if meshed(s.Shape) {
		n, err := section.Solve(s.Shape, s.Material)
		if err != nil {
			return p, err
		}
		p.Meshed, p.MeshError = true, n.MeshError
		p.ShearCentre = [2]float64{n.ShearCentreY - n.CentroidY, n.ShearCentreZ - n.CentroidZ}
		if p.Hollows, err = section.Hollows(s.Shape); err != nil {
			return p, err
		}
	}
	p.Shaped = log.Only(func(in spec.Input) bool { return !strings.HasPrefix(in.Path, "materials.") })
	p.Shears, p.Weighs = stiffening(log), weighing(log)
	return p, nil
}

// ShearCentres are the shear centres of a filled section without a formula of its own, with the fill bonded and loose,
// each along y and z from the elastic centroid [m]; false where it is a shape whose centre is that of the bare stock.
func (f Filled) ShearCentres(read spec.Reader) (bonded, loose [2]float64, ok bool) {
	if f.Fill == nil || !meshed(f.Shape) {
		return bonded, loose, false
	}
	with, without, err := section.SolveFilled(f.Shape, f.Material, FillMaterial(f.Fill, read), f.Place, f.Hollows...)
	centre := func(n section.Numerical) [2]float64 {
		return [2]float64{n.ShearCentreY - n.CentroidY, n.ShearCentreZ - n.CentroidZ}
	}
	return centre(with), centre(without), err == nil
}

// meshed reports whether a shape is solved by finite elements.
func meshed(shape section.Shape) bool {
	switch shape := shape.(type) {
	case section.Drawn:
		return true
	case section.BuiltUp:
		return !shape.Unconnected
	}
	return false
}
