package machine

import (
	"slices"
	"strings"
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

// stockKinds reads the sections of a kind in the catalogue once.
var stockKinds = map[string]func() []stockRow{}

func init() {
	for _, kind := range []string{"hollow", "pipe", "i", "channel", "angle"} {
		stockKinds[kind] = sync.OnceValue(func() []stockRow { return stockOfKind(kind) })
	}
}

func stockOfKind(kind string) (list []stockRow) {
	for _, name := range spec.CatalogueNamesWith(spec.KindSections, kind) {
		row := spec.FromCatalogue[spec.Section](spec.KindSections, name)
		shape, _, err := ShapeOf(nil, row, spec.Reader{})
		if err != nil {
			continue
		}
		list = append(list, stockRow{name, ShapeFamily(row), shape})
	}
	return list
}

// CatalogueFamily returns the sections of the catalogue that may stand for each other.
func CatalogueFamily(family string) []stockRow {
	kind := family
	if strings.Contains(family, " ") { // square or rectangular
		kind = "hollow"
	}
	read := stockKinds[kind]
	if read == nil {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(read()), func(row stockRow) bool { return row.Family != family })
}

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
	case s.Channel != nil && s.Channel.Slope.Given:
		return "channel with sloping flanges"
	case s.Channel != nil:
		return "channel"
	case s.Angle != nil:
		return "angle"
	}
	return ""
}
