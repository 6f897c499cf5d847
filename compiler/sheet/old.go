package sheet

import (
	"ironbed/compiler/build"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

func in(label string, v spec.Value) build.Input {
	return build.Input{Label: label, Value: v.Text, At: build.Place(v.At)}
}

func from(ids ...string) []build.Input {
	var list []build.Input
	for _, id := range ids {
		list = append(list, build.Input{Figure: id})
	}
	return list
}

func (book *Book) add(f build.Figure) string {
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
