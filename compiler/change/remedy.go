package change

import (
	"fmt"
	"slices"
	"strings"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/axis"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// RemedyWords name a remedy: what a builder does.
func RemedyWords(m *spec.Machine, r accuracy.Remedy) string {
	var names []string
	for _, i := range r.Axes {
		names = append(names, m.Axes[i].Name)
	}
	axes := "axis " + strings.Join(names, "")
	if len(names) > 1 {
		axes = "axes " + strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
	}
	switch r.Means {
	case accuracy.PreloadedNut:
		return "preloaded nuts without backlash on " + axes
	case accuracy.EqualGains:
		return "position-loop gains of " + axes + " set to one number"
	case accuracy.Feedforward:
		return fmt.Sprintf("%g of the velocity fed forward in the control on %s", accuracy.FedForward, axes)
	case accuracy.WarmedUp:
		return "spindle and axes run for " + quantity.Print(r.Time, "min") + " before zero is set"
	case accuracy.Mapped:
		return "error map of " + axes + " in the control, measured against a scale"
	case accuracy.Bedded:
		return fmt.Sprintf("rails %s bedded on resin squeezed out under a straight edge", r.Rail)
	case accuracy.Squared:
		return "axes set perpendicular to " + quantity.Print(accuracy.SquaredTo, "µm/m") + ", by a square turned over"
	}
	return "room kept within " + quantity.Print(accuracy.EvenTo, "K") + " over a job"
}

// WayWords name remedies that are taken together; what is done to several axes is one.
func WayWords(m *spec.Machine, w accuracy.Way) string {
	var list []accuracy.Remedy
	for _, r := range w.Remedies {
		if last := len(list) - 1; last >= 0 && list[last].Means == r.Means {
			list[last].Axes = append(slices.Clone(list[last].Axes), r.Axes...)
			list[last].Rail += " and " + r.Rail
			continue
		}
		list = append(list, r)
	}
	var words []string
	for _, r := range list {
		words = append(words, RemedyWords(m, r))
	}
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], "; ") + "; and " + words[last]
}

// Remedied is what the remedies of a way write into the spec of some axes.
func Remedied(axes *axis.Solution, w accuracy.Way) (list []Change) {
	for _, r := range w.Remedies {
		list = append(list, remedied(axes, r)...)
	}
	return list
}

// remedied is what a remedy writes into a spec: a change for each place.
func remedied(axes *axis.Solution, r accuracy.Remedy) (list []Change) {
	m := axes.Spec
	what := RemedyWords(m, r)
	switch r.Means {
	case accuracy.PreloadedNut:
		for _, i := range r.Axes {
			a := &m.Axes[i]
			screws := drivesOf(&a.Item, func(d *spec.Drive) bool { return d.Screw != nil })
			at, given := a.At, false
			for k := range screws {
				if v := screws[k].Item.Screw.Backlash; v.Given {
					at, given = v.At, true
				}
			}
			list = append(list, Change{What: what, Edits: everyDrive(a.Name, screws, func(*spec.Drive) string { return `"0 mm"` }, "screw", "backlash"), New: !given, At: at})
		}
	case accuracy.EqualGains:
		for _, i := range r.Axes {
			a := &m.Axes[i]
			v := a.Item.GainDifference
			list = append(list, Change{What: what, Edits: write("0", "axes", a.Name, "gain_difference"), New: !v.Given, At: v.At})
		}
	case accuracy.Feedforward:
		for _, i := range r.Axes {
			a := &m.Axes[i]
			share := fmt.Sprint(accuracy.FedForward)
			if l := a.Item.PositionLoop; l != nil {
				list = append(list, Change{What: what, Edits: write(share, "axes", a.Name, "position_loop", "feedforward"), New: !l.Feedforward.Given, At: l.Feedforward.At})
				continue
			}
			loop := fmt.Sprintf("{gain: %q, feedforward: %s}", quantity.Print(axes.Follower(i).Gain.Middle(), "1/s"), share)
			list = append(list, Change{What: what, Edits: write(loop, "axes", a.Name, "position_loop"), New: true, At: a.At})
		}
	case accuracy.WarmedUp:
		list = append(list, Change{What: what, Edits: write(fmt.Sprintf("%q", quantity.Print(r.Time, "min")), "warm_up"), New: !m.WarmUp.Given, At: m.WarmUp.At})
	case accuracy.Mapped:
		for _, i := range r.Axes {
			list = append(list, Change{What: what, Edits: write("true", "axes", m.Axes[i].Name, "error_map"), New: true, At: m.Axes[i].At})
		}
	case accuracy.Bedded:
		rail := m.Rails.Find(r.Rail)
		list = append(list, Change{What: what, Edits: write(`"squeezed"`, "rails", r.Rail, "surface"), New: rail.Surface.Text == "", At: rail.Surface.At})
	case accuracy.Squared:
		list = append(list, Change{What: what, Edits: write(fmt.Sprintf("%q", quantity.Print(accuracy.SquaredTo, "µm/m")), "squareness"), New: !m.Squareness.Given, At: m.Squareness.At})
	case accuracy.EvenRoom:
		v := m.Room.TemperatureChange
		list = append(list, Change{What: what, Edits: write(fmt.Sprintf("%q", quantity.Print(accuracy.EvenTo, "K")), "room", "temperature_change"), New: !v.Given, At: v.At})
	}
	return list
}
