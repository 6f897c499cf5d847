package sheet

import (
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"

	"ironbed/compiler/machine"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Catalogue lists what a spec may name: the kinds, or the rows of a kind whose
// name contains the filter.
func Catalogue(kind, filter string) (string, error) {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 8, 2, ' ', 0)
	if kind == "" {
		fmt.Fprintln(w, "kind\trows\tin a spec")
		says := map[spec.Kind]string{
			spec.KindSections:      `sections: beam: stock: "RHS 150x100x6 cold"`,
			spec.KindMaterials:     `sections: beam: material: "steel"`,
			spec.KindMixes:         `fills: core: mix: "concrete C30/37"`,
			spec.KindRails:         `rails: long: stock: "profiled rail 25, balls"`,
			spec.KindSpindles:      `spindle: class: "high-frequency electric spindle"`,
			spec.KindWorkMaterials: `targets: bracket: material: "mild steel"`,
		}
		for _, k := range spec.Kinds {
			fmt.Fprintf(w, "%s\t%d\t%s\n", k, len(spec.CatalogueNames(k)), says[k])
		}
		w.Flush()
		return b.String(), nil
	}
	if !slices.Contains(spec.Kinds, spec.Kind(kind)) {
		var kinds []string
		for _, k := range spec.Kinds {
			kinds = append(kinds, string(k))
		}
		near := spec.Nearest(kind, kinds)
		if near != "" {
			near = fmt.Sprintf("; did you mean %q", near)
		}
		return "", fmt.Errorf("there is no kind %q in the catalogue%s", kind, near)
	}
	rows := 0
	for _, name := range spec.CatalogueNames(spec.Kind(kind)) {
		if !spec.Holds(name, filter) {
			continue
		}
		if rows == 0 {
			fmt.Fprintln(w, catalogueHeads[spec.Kind(kind)])
		}
		rows++
		line, err := catalogueRow(spec.Kind(kind), name)
		if err != nil {
			return "", err
		}
		fmt.Fprintln(w, line)
	}
	w.Flush()
	if rows == 0 {
		hint := ""
		if kind == string(spec.KindSections) {
			hint = "; a section that is not in the catalogue is written by its dimensions, or as `listed` with the properties from its data sheet"
		}
		return "", fmt.Errorf("no row of %s contains %q%s", kind, filter, hint)
	}
	return b.String(), nil
}

var catalogueHeads = map[spec.Kind]string{
	spec.KindSections:      "section\tkg/m\tarea cm²\tIy cm⁴\tIz cm⁴\ttorsion cm⁴\tstandard",
	spec.KindMaterials:     "material\tmodulus\tdensity\tsource",
	spec.KindMixes:         "mix\tmodulus\tdensity\tsource",
	spec.KindRails:         "rail\tradial, one carriage\tdynamic\tstatic\tcarriage\tsource",
	spec.KindSpindles:      "class\tradial at the nose\taxial\tshaft\tbearing span\toverhang\tsource",
	spec.KindWorkMaterials: "material\tkc1.1\texponent\tsurface speed, carbide\tmark\tsource",
}

func catalogueRow(kind spec.Kind, name string) (string, error) {
	cells := []string{name}
	switch kind {
	case spec.KindSections:
		row := spec.FromCatalogue[spec.Section](kind, name)
		shape, _, err := machine.ShapeOf(nil, row, spec.Reader{})
		if err != nil {
			return "", fmt.Errorf("%s: %w", name, err)
		}
		steel := machine.MaterialOf(&spec.Machine{}, "steel", spec.Reader{})
		p, err := shape.Properties(steel.Poisson())
		if err != nil {
			return "", fmt.Errorf("%s: %w", name, err)
		}
		cells = append(
			cells,
			quantity.Number(p.MassPerLength(steel.Density)),
			quantity.Number(p.Area*1e4),
			quantity.Number(p.Iy*1e8),
			quantity.Number(p.Iz*1e8),
			quantity.Number(p.J*1e8),
			row.Standard.Text,
		)
	case spec.KindMaterials:
		row := spec.FromCatalogue[spec.Material](kind, name)
		cells = append(cells, row.Modulus.Text, row.Density.Text, row.Source.Text)
	case spec.KindMixes:
		row := spec.FromCatalogue[spec.Mix](kind, name)
		cells = append(cells, row.Modulus.Text, row.Density.Text, row.Source.Text)
	case spec.KindSpindles:
		row := spec.FromCatalogue[spec.Shaft](kind, name)
		cells = append(cells, row.Radial.Text, row.Axial.Text, row.Diameter.Text, row.Span.Text, row.Overhang.Text, row.Source.Text)
	case spec.KindRails:
		row := spec.FromCatalogue[spec.Rail](kind, name)
		cells = append(cells, row.Radial.Text, row.Dynamic.Text+" for "+row.DynamicFor.Text, row.Static.Text, row.CarriageMass.Text, row.Source.Text)
	case spec.KindWorkMaterials:
		row := spec.FromCatalogue[spec.WorkMaterial](kind, name)
		speed := "–"
		if row.Carbide != nil {
			speed = row.Carbide.SurfaceSpeed.Text
		}
		cells = append(cells, row.SpecificForce.Text, row.Exponent.Text, speed, row.Mark.Text, row.Source.Text)
	}
	return strings.Join(cells, "\t"), nil
}
