package sheet

import (
	"strconv"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/section"
)

// SectionItem draws a section with its fill.
func SectionItem(name string, f machine.Filled) build.SectionItem {
	item := build.SectionItem{Name: name, Note: f.Words}
	regions := func(list []section.Region, kind string) {
		for _, r := range list {
			item.Loops = append(item.Loops, build.SectionLoop{Points: points(r.Outer), Kind: kind})
			for _, h := range r.Holes {
				item.Loops = append(item.Loops, build.SectionLoop{Points: points(h), Kind: "hole"})
			}
		}
	}
	if outline, err := f.Shape.Outline(); err == nil {
		regions(outline, "metal")
	}
	if list, err := section.Hollows(f.Shape); err == nil && len(list) > 1 {
		for i, h := range list {
			item.Marks = append(item.Marks, build.SectionMark{Text: strconv.Itoa(i + 1), At: [2]float64{h.CentroidY, h.CentroidZ}})
		}
	}
	if f.Fill != nil {
		item.Note += ", " + f.Fill.Bond.Text + " fill"
		if outline, err := section.FillOutline(f.Shape, f.Place, f.Hollows...); err == nil {
			regions(outline, "fill")
		}
	}
	return item
}

func points(list []section.Point) [][2]float64 {
	out := make([][2]float64, len(list))
	for i, p := range list {
		out[i] = [2]float64{p.Y, p.Z}
	}
	return out
}
