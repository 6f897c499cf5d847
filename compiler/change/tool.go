package change

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ironbed/compiler/cut"
	"ironbed/compiler/reach"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// shorterCutter proposes to put the cutter deeper into its holder.
func (find *finder) shorterCutter(name string) []Change {
	c := find.Spec.Cutters.Find(name)
	var out []Change
	for _, k := range []float64{0.85, 0.7, 0.55} {
		mm := math.Round(k * c.StickOut.Value * 1e3)
		if mm*1e-3 < c.FluteLength.Value || mm*1e-3 < 1.5*c.Diameter.Value {
			continue
		}
		text := fmt.Sprintf("%g mm", mm)
		out = append(out, Change{What: fmt.Sprintf("%s: %s out of its holder in place of %s", name, text, c.StickOut.Text), At: c.StickOut.At,
			Path: field("cutters", name, "stick_out"), Value: strconv.Quote(text),
			apply: func(m *spec.Machine) {
				cutter := m.Cutters.Find(name)
				cutter.StickOut = length(cutter.StickOut, text)
			}})
	}
	return out
}

// stiffestSpindle is as stiff at its nose as a spindle is to be had [N/m]; from
// memory.
const stiffestSpindle = 300e6

// stifferSpindle proposes a spindle with stiffer bearings.
func (find *finder) stifferSpindle() []Change {
	var out []Change
	for _, k := range []float64{1.5, 2, 3} {
		if k*find.Spec.Spindle.Radial.Value > stiffestSpindle {
			break
		}
		text := quantity.Print(k*find.Spec.Spindle.Radial.Value, "N/µm")
		out = append(out, Change{What: fmt.Sprintf("a spindle of %s at its nose in place of %s", text, quantity.Print(find.Spec.Spindle.Radial.Value, "N/µm")), At: find.Spec.Spindle.At,
			Path: "spindle", Value: fmt.Sprintf("{radial: %q, axial: %q}", text, quantity.Print(k*find.Spec.Spindle.Axial.Value, "N/µm")), New: !find.Spec.Spindle.Radial.Given && !find.Spec.Spindle.Axial.Given,
			apply: func(m *spec.Machine) {
				s := m.Spindle
				for _, v := range []*spec.Value{&s.Radial, &s.Axial} {
					v.Value, v.Low, v.High = k*v.Value, k*v.Low, k*v.High
				}
			}})
	}
	return out
}

// strongerSpindle proposes a spindle with more torque, and one that turns more
// slowly with the torque that its power would give there.
func (find *finder) strongerSpindle(a *cut.Attempt) []Change {
	var out []Change
	s := find.Spec.Spindle
	for _, k := range []float64{1.5, 2, 3, 5} {
		out = append(out, Change{What: fmt.Sprintf("a spindle of %g times the torque at every speed", k), At: s.At,
			Path: "spindle.torque", Value: find.torqueText(1, k),
			apply: func(m *spec.Machine) {
				for i := range m.Spindle.Torque {
					v := &m.Spindle.Torque[i].Torque
					v.Value, v.Low, v.High = k*v.Value, k*v.Low, k*v.High
				}
			}})
	}
	for _, f := range a.Best.Shortfalls {
		if f.Limit == reach.SpindleSpeed && f.AtMost && f.Need > 0 {
			out = append(out, find.gearedSpindle(f.Need))
		}
	}
	if slow := a.Input.SurfaceSpeed.Max / (math.Pi * a.Input.Cutter.Diameter); slow < s.Torque[0].Speed.Value {
		out = append(out, find.gearedSpindle(slow))
	}
	return out
}

// gearedSpindle proposes a belt or gear that brings the spindle's whole range
// down so that it starts below a speed [rev/s]: the power stays.
func (find *finder) gearedSpindle(speed float64) Change {
	s := find.Spec.Spindle
	ratio := math.Ceil(2*math.Max(s.Slowest.Value, s.Torque[0].Speed.Value)/(0.8*speed)) / 2
	return Change{What: fmt.Sprintf("a spindle geared down %g to 1, with its torque up by as much", ratio), At: s.At,
		Path: "spindle", Value: fmt.Sprintf("{slowest: %q, fastest: %q, torque: %s}", quantity.Print(s.Slowest.Value/ratio, "rpm"), quantity.Print(s.Fastest.Value/ratio, "rpm"), find.torqueText(ratio, ratio)),
		apply: func(m *spec.Machine) {
			scale := func(v *spec.Value, k float64) { v.Value, v.Low, v.High = k*v.Value, k*v.Low, k*v.High }
			scale(&m.Spindle.Slowest, 1/ratio)
			scale(&m.Spindle.Fastest, 1/ratio)
			for i := range m.Spindle.Torque {
				scale(&m.Spindle.Torque[i].Speed, 1/ratio)
				scale(&m.Spindle.Torque[i].Torque, ratio)
			}
		}}
}

// torqueText writes the spindle's torque curve, its speeds divided by one number and
// its torques times another.
func (find *finder) torqueText(slower, stronger float64) string {
	var points []string
	for _, p := range find.Spec.Spindle.Torque {
		points = append(points, fmt.Sprintf("{speed: %q, torque: %q}", quantity.Print(p.Speed.Value/slower, "rpm"), quantity.Print(p.Torque.Value*stronger, "N·m")))
	}
	return "[" + strings.Join(points, ", ") + "]"
}

// cutterSizes are the diameters that end mills are sold in [m].
var cutterSizes = []float64{3e-3, 4e-3, 5e-3, 6e-3, 8e-3, 10e-3, 12e-3, 16e-3}

// otherCutter proposes a smaller cutter like the one that comes nearest to the next
// grade: a slot of its depth asks for less.
func (find *finder) otherCutter(a *cut.Answer) []Change {
	like, _, _, _ := cut.Nearest(a.Attempts)
	if like == nil {
		return nil
	}
	base := find.Spec.Cutters.Entry(like.Cutter)
	if kind := base.Item.Kind.Text; kind != "" && kind != "end" {
		return nil
	}
	given := func(text string) spec.Value {
		v := length(spec.Value{}, text)
		v.Given = true
		return v
	}
	var out []Change
	for i := len(cutterSizes) - 1; i >= 0; i-- {
		d := cutterSizes[i]
		k := d / base.Item.Diameter.Value
		if k > 0.99 || k < 0.3 || slices.ContainsFunc(find.Spec.Cutters, func(c spec.Entry[spec.Cutter]) bool {
			return math.Abs(c.Item.Diameter.Value-d) < 1e-4 && c.Item.Kind.Text == base.Item.Kind.Text && c.Item.Material.Text == base.Item.Material.Text
		}) {
			continue
		}
		mm := func(v float64) string { return fmt.Sprintf("%g mm", math.Round(v*1e3)) }
		diameter, out1, flutes := mm(d), mm(math.Max(k*base.Item.StickOut.Value, 2.5*d)), mm(math.Max(k*base.Item.FluteLength.Value, 1.5*d))
		rating := ""
		if top := base.Item.TopSpeed; top.Given {
			rating = fmt.Sprintf(", top_speed: %q", top.Text)
		}
		name := fmt.Sprintf("%s with %d teeth", diameter, base.Item.Teeth.N)
		out = append(out, Change{What: fmt.Sprintf("a cutter of %s like the %s, %s out of its holder", diameter, base.Name, out1), At: base.At,
			Path: field("cutters", name), Value: fmt.Sprintf("{diameter: %q, teeth: %d, stick_out: %q, flute_length: %q, material: %q%s}", diameter, base.Item.Teeth.N, out1, flutes, base.Item.Material.Text, rating), New: true, Menu: "another cutter",
			apply: func(m *spec.Machine) {
				m.AddCutter(name, spec.Cutter{Diameter: given(diameter), StickOut: given(out1), FluteLength: given(flutes), Teeth: base.Item.Teeth, Material: base.Item.Material, TopSpeed: base.Item.TopSpeed})
				for i := range m.Targets { // whoever names the one takes the other
					t := &m.Targets[i].Item
					if slices.ContainsFunc(t.Cutters, func(c spec.Text) bool { return c.Text == base.Name }) {
						t.Cutters = append(t.Cutters[:len(t.Cutters):len(t.Cutters)], spec.Text{Text: name})
					}
				}
			}})
	}
	return out
}
