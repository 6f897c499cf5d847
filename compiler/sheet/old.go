package sheet

import (
	"ironbed/compiler/build"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// FrameInputs names what the frame was made of.
func FrameInputs(book *Book) []build.Input {
	var list []build.Input
	for _, b := range book.Model.Bars {
		// One figure stands for all members that are alike.
		if f, ok := book.Build.Figures.Get("member." + b.Name + ".bending_y"); ok && !f.Detail {
			list = append(list, From("member."+b.Name+".bending_y", "member."+b.Name+".torsion")...)
		}
	}
	for _, r := range book.Spec.Rails {
		list = append(list, In("radial stiffness of carriage "+r.Name, r.Item.Radial), In("what the seat leaves of it", r.Item.Seat))
	}
	for _, a := range book.Spec.Axes {
		for i := range a.Item.Drives {
			list = append(list, From(driveID(&a, a.Item.Drives[i].Name)+"stiffness")...)
		}
	}
	if s := book.Spec.Spindle; s != nil {
		list = append(list, In("spindle, sideways", s.Radial), In("spindle, endways", s.Axial))
	}
	return list
}

// TipInputs are what the stiffness at the tip of a cutter rests on.
func TipInputs(book *Book, name string) []build.Input {
	if reference, _ := book.Model.Reference(); reference == name {
		return From("tool.stiffness.x", "tool.stiffness.y", "tool.stiffness.z")
	}
	return append(From("machine.stiffness.x", "machine.stiffness.y", "machine.stiffness.z"), CutterInputs(book, book.Spec.Cutters.Find(name))...)
}

func CutterInputs(book *Book, c *spec.Cutter) []build.Input {
	if c == nil {
		return nil
	}
	return []build.Input{In("cutter diameter", c.Diameter), In("stick-out", c.StickOut), In("flute length", c.FluteLength)}
}

func In(label string, v spec.Value) build.Input {
	return build.Input{Label: label, Value: v.Text, At: build.Place(v.At)}
}

func From(ids ...string) []build.Input {
	var list []build.Input
	for _, id := range ids {
		list = append(list, build.Input{Figure: id})
	}
	return list
}

func (book *Book) Old(f build.Figure) string {
	f.Value = quantity.Convert(f.Value, f.Unit)
	if f.Bounded {
		f.Low, f.High = quantity.Convert(f.Low, f.Unit), quantity.Convert(f.High, f.Unit)
		if f.Low > f.High {
			f.Low, f.High = f.High, f.Low
		}
	}
	book.Build.Figures.Add(f)
	return f.ID
}
