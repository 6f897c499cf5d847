package sheet

import (
	"ironbed/compiler/axis"
	"ironbed/spec"
)

// A Drive is a drive with what the report calls it.
type Drive struct {
	*axis.Driven
	ID    string // of its figures: "axis.x.drive."
	Title string // "axis x, near"
}

// drivenOf names a drive.
func drivenOf(m *spec.Machine, v *axis.Driven) *Drive {
	a := &m.Axes[v.Axis]
	out := &Drive{v, driveID(a, v.Entry.Name), "axis " + a.Name}
	if len(a.Item.Drives) > 1 {
		out.Title += ", " + v.Entry.Name
	}
	return out
}

// driveID is what the figures of an axis's drive begin with.
func driveID(a *spec.Entry[spec.Axis], name string) string {
	id := "axis." + a.Name + ".drive."
	if len(a.Item.Drives) > 1 {
		id += name + "."
	}
	return id
}
