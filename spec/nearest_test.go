package spec

import (
	"slices"
	"testing"
)

// TestOtherNames: what builders of mills and the words of before would write leads to
// the word that the spec has, among all that could stand in its place.
func TestOtherNames(t *testing.T) {
	shapes := readShapes(parseSchema())
	fieldsOf := func(definition string) (names []string) {
		for _, f := range shapes[definition].fields {
			names = append(names, f.name)
		}
		return names
	}
	of := func(kinds ...Kind) (names []string) {
		for _, kind := range kinds {
			names = append(names, CatalogueNames(kind)...)
		}
		return names
	}
	words := func(names ...string) []string { return names }
	for _, c := range []struct {
		word  string
		known []string
		want  string
	}{
		{"work", fieldsOf("Machine"), "workpiece"},
		{"part", fieldsOf("Machine"), "workpiece"},
		{"stock", fieldsOf("Machine"), "sections"},
		{"profiles", fieldsOf("Machine"), "sections"},
		{"tools", fieldsOf("Machine"), "cutters"},
		{"endmills", fieldsOf("Machine"), "cutters"},
		{"linear_rails", fieldsOf("Machine"), "rails"},
		{"travels", fieldsOf("Machine"), "envelope"},
		{"materials_to_cut", fieldsOf("Machine"), "targets"},
		{"reach", fieldsOf("Workpiece"), "load_spread"},
		{"trueness", fieldsOf("Rail"), "straightness"},
		{"seat", fieldsOf("Rail"), "mounting_factor"},
		{"facing", fieldsOf("Guide"), "normal"},
		{"blocks", fieldsOf("Guide"), "carriages"},
		{"bearings", fieldsOf("Guide"), "carriages"},
		{"drawn_at", fieldsOf("Axis"), "modelled_at"},
		{"loop", fieldsOf("Axis"), "position_loop"},
		{"weighed", fieldsOf("Axis"), "alternatives"},
		{"accel", fieldsOf("Axis"), "acceleration"},
		{"rapids", fieldsOf("Axis"), "rapid"},
		{"kv", fieldsOf("PositionLoop"), "gain"},
		{"play", fieldsOf("Screw"), "backlash"},
		{"lost_motion", fieldsOf("Screw"), "backlash"},
		{"turns", fieldsOf("Screw"), "rotating"},
		{"pitch", fieldsOf("Screw"), "lead"},
		{"class", fieldsOf("Screw"), "grade"},
		{"core_diameter", fieldsOf("Screw"), "root"},
		{"warming", fieldsOf("Screw"), "temperature_rise"},
		{"dynamic_load", fieldsOf("Screw"), "dynamic"},
		{"span", fieldsOf("Belt"), "centre_distance"},
		{"pull", fieldsOf("Belt"), "pretension"},
		{"tension", fieldsOf("Belt"), "pretension"},
		{"gear_ratio", fieldsOf("Drive"), "ratio"},
		{"gearbox", fieldsOf("Drive"), "reduction"},
		{"ballscrew", fieldsOf("Drive"), "screw"},
		{"servo", fieldsOf("Drive"), "motor"},
		{"top_speed", fieldsOf("Motor"), "max_speed"},
		{"rotor_inertia", fieldsOf("Motor"), "inertia"},
		{"encoder", fieldsOf("Motor"), "counts"},
		{"stall_torque", fieldsOf("Motor"), "peak_torque"},
		{"slowest", fieldsOf("Spindle"), "min_speed"},
		{"fastest", fieldsOf("Spindle"), "max_speed"},
		{"rpm", fieldsOf("Spindle"), "max_speed"},
		{"points", fieldsOf("Spindle"), "tool_direction"},
		{"tir", fieldsOf("Spindle"), "runout"},
		{"collet", fieldsOf("Spindle"), "holder"},
		{"lead", fieldsOf("Cutter"), "cutting_edge_angle"},
		{"entering_angle", fieldsOf("Cutter"), "cutting_edge_angle"},
		{"approach_angle", fieldsOf("Cutter"), "cutting_edge_angle"},
		{"point", fieldsOf("Cutter"), "point_angle"},
		{"flutes", fieldsOf("Cutter"), "teeth"},
		{"overhang", fieldsOf("Cutter"), "stick_out"},
		{"gauge_length", fieldsOf("Cutter"), "stick_out"},
		{"corner_radius", fieldsOf("Cutter"), "corner"},
		{"sideways", fieldsOf("Foot"), "horizontal"},
		{"chip_load", fieldsOf("Edge"), "feed_per_tooth"},
		{"fz", fieldsOf("Edge"), "feed_per_tooth"},
		{"vc", fieldsOf("Edge"), "surface_speed"},
		{"cutting_speed", fieldsOf("Edge"), "surface_speed"},
		{"kc11", fieldsOf("WorkMaterial"), "specific_force"},
		{"tolerance", fieldsOf("Target"), "accuracy"},
		{"priority", fieldsOf("Target"), "ambition"},
		{"youngs_modulus", fieldsOf("Material"), "modulus"},
		{"e_modulus", fieldsOf("Material"), "modulus"},
		{"kit", words("template", "name"), "template"},
		{"rung", words("cross_member", "side"), "cross_member"},
		{"bull", words("end", "ball", "corner radius", "face", "drill"), "corner radius"},
		{"endmill", words("end", "ball", "corner radius", "face", "drill"), "end"},
		{"face mill", words("end", "ball", "corner radius", "face", "drill"), "face"},
		{"hss", words("carbide", "high-speed steel"), "high-speed steel"},

		{"ball rail 25", of(KindRails), "profiled rail 25, balls"},
		{"roller rail 35", of(KindRails), "profiled rail 35, rollers"},
		{"linear rail 20", of(KindRails), "profiled rail 20, balls"},
		{"supported rail 16", of(KindRails), "round rail 16"},
		{"HEB 200", of(KindSections), "HE 200 B"},
		{"HEA 200", of(KindSections), "HE 200 A"},
		{"HEM 200", of(KindSections), "HE 200 M"},
		{"s355", of(KindWorkMaterials), "mild steel"},
		{"6061", of(KindWorkMaterials), "aluminium 6000 T6"},
		{"7075", of(KindWorkMaterials), "aluminium 7000 T6"},
		{"delrin", of(KindWorkMaterials), "POM"},
		{"acetal", of(KindWorkMaterials), "POM"},
		{"plexiglas", of(KindWorkMaterials), "acrylic"},
		{"pine", of(KindWorkMaterials), "softwood"},
		{"oak", of(KindWorkMaterials), "hardwood"},
		{"fr4", of(KindWorkMaterials), "glass-epoxy laminate"},
		{"304", of(KindWorkMaterials), "stainless steel"},
		{"cast iron", of(KindWorkMaterials), "grey cast iron"},
		{"polymer concrete", of(KindMixes), "epoxy granite"},
		{"grout", of(KindMixes), "non-shrink grout"},
		{"sand", of(KindMixes), "dry sand"},
	} {
		if !slices.Contains(c.known, c.want) {
			t.Errorf("%q is no word there any more: %v", c.want, c.known)
			continue
		}
		if got := Nearest(c.word, c.known); got != c.want {
			t.Errorf("%q: got %q, want %q", c.word, got, c.want)
		}
	}
}
