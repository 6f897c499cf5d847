package sheet

import (
	"math"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/profile"
	"ironbed/spec"
)

// WayWord is the way that a pass reads.
func WayWord(p *axis.Pass) string {
	if p.Entry.Item.Lateral() {
		return "lateral"
	}
	return "normal"
}

// SurfaceID is how the ids of a pass's figures begin.
func (book *Book) SurfaceID(v *axis.Survey, p *axis.Pass) string {
	return "axis." + book.Spec.Axes[v.Axis].Name + ".surface." + spec.IDWord(p.Rail.Name) + "." + spec.IDWord(p.Entry.Name) + "."
}

// Profiles draws the profiles of both rails along one way, with what they are uncertain by; false where neither was read.
func (book *Book) Profiles(id string, v *axis.Survey, passes [2]*axis.Pass) (build.Picture, bool) {
	name := book.Spec.Axes[v.Axis].Name
	chart := build.Chart{X: build.AxisSpec{Label: "along the rail, mm"}, Y: build.AxisSpec{Label: "off the best line, µm"}}
	way := ""
	for _, p := range passes {
		if p == nil {
			continue
		}
		way = WayWord(p)
		curve, band := build.Curve{Name: "rail " + p.Rail.Name}, build.Band{Name: "uncertainty, rail " + p.Rail.Name}
		for i, x := range p.At {
			y := p.Heights[i] - p.Best.Height - p.Best.Slope*x
			u := profile.Coverage * p.PointU(i)
			curve.Points = append(curve.Points, [2]float64{x * 1e3, y * 1e6})
			band.Low, band.High = append(band.Low, [2]float64{x * 1e3, (y - u) * 1e6}), append(band.High, [2]float64{x * 1e3, (y + u) * 1e6})
			chart.Y.Min, chart.Y.Max = math.Min(chart.Y.Min, (y-u)*1.1e6), math.Max(chart.Y.Max, (y+u)*1.1e6)
		}
		chart.X.Min, chart.X.Max = math.Min(chart.X.Min, p.At[0]*1e3), math.Max(chart.X.Max, p.At[len(p.At)-1]*1e3)
		chart.Curves, chart.Bands = append(chart.Curves, curve), append(chart.Bands, band)
	}
	if way == "" {
		return build.Picture{}, false
	}
	return build.Picture{ID: id + "-" + spec.IDWord(name) + "-" + way, Title: "Surfaces of axis " + name + ", " + way, Half: true, Drawing: chart,
		Caption: "Rails of axis " + name + " as read, " + way + ", each off its best line; shaded is what the readings are uncertain by."}, true
}
