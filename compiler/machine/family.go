package machine

import (
	"sync"

	"ironbed/compiler/section"
	"ironbed/spec"
)

// A stockRow is a section of the catalogue with its shape.
type stockRow struct {
	Name   string
	Family string
	Shape  section.Shape
}

// CatalogueStock reads the sections of the catalogue once.
var CatalogueStock = sync.OnceValue(func() []stockRow {
	var list []stockRow
	for _, name := range spec.CatalogueNames(spec.KindSections) {
		row := spec.FromCatalogue[spec.Section](spec.KindSections, name)
		shape, _, err := ShapeOf(nil, row, spec.Reader{})
		if err != nil {
			continue
		}
		list = append(list, stockRow{name, ShapeFamily(row), shape})
	}
	return list
})

// ShapeFamily says which sections may stand for each other.
func ShapeFamily(s *spec.Section) string {
	if s.Stock.Text != "" {
		if row := spec.FromCatalogue[spec.Section](spec.KindSections, s.Stock.Text); row != nil {
			s = row
		}
	}
	switch {
	case s.Hollow != nil:
		make := s.Hollow.Make.Text
		if make == "" || make == "sharp" {
			make = "cold"
		}
		if (spec.Reader{}).Of(s.Hollow.Height) == (spec.Reader{}).Of(s.Hollow.Width) {
			return "square " + make
		}
		return "rectangular " + make
	case s.Pipe != nil:
		return "pipe"
	case s.I != nil:
		return "i"
	case s.Channel != nil:
		return "channel"
	case s.Angle != nil:
		return "angle"
	}
	return ""
}
