package sheet

import (
	"math"

	"ironbed/compiler/axis"
	"ironbed/compiler/drive"
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

// Number is a number of what the drive can do, with its bounds.
func (v *Drive) Number(pick func(*drive.Output) float64) Number {
	ends := make([]*drive.Output, len(v.Ends))
	for i, end := range v.Ends {
		ends[i] = &end.Out
	}
	return Picked(pick, &v.Out, ends...)
}

// Picked is a number of a result, with the same number of that result at the ends of
// the uncertainty; nil for an end at which there is none.
func Picked[T any](pick func(*T) float64, middle *T, ends ...*T) Number {
	n := Between(pick(middle))
	for _, end := range ends {
		if end == nil {
			continue
		}
		if v := pick(end); !math.IsNaN(v) && !math.IsInf(v, 0) {
			n.Low, n.High = math.Min(n.Low, v), math.Max(n.High, v)
		}
	}
	n.Bounded = n.Low < n.High
	return n
}

// ReversalFix says what lowers the reversal error of an axis.
func ReversalFix(f *axis.Follower) string {
	d := &f.Drive.Entry.Item
	switch {
	case f.Backlash < f.Reversal.Middle()/2:
		return "stiffen the drive, or reduce the friction of the axis"
	case d.Rack != nil:
		return "preload the pinion with a spring"
	case d.Belt != nil:
		return "remove the backlash of the reduction, and tighten the belt"
	}
	return "fit a preloaded nut"
}

// SourceWords name what repeats along an axis.
func (book *Book) SourceWords(f *axis.Follower, what axis.Repeating) string {
	d := &f.Drive.Entry.Item
	switch what {
	case axis.NutBalls:
		return "balls entering the nut"
	case axis.CarriageBalls:
		rail := book.Spec.Rails.Find(book.Spec.Axes[f.Axis].Item.Guides[0].Item.Rail.Text)
		return rail.Rolling.Text + " entering the carriages"
	case axis.PolePairs:
		return "motor current offset, each pole pair"
	case axis.Turn:
		switch {
		case d.Rack != nil:
			return "one turn of the pinion"
		case d.Belt != nil:
			return "one turn of the pulley"
		case d.Screw.NutTurns():
			return "one turn of the nut"
		}
		return "one turn of the screw"
	}
	return string(what)
}
