package change

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ironbed/compiler/cut"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// shorterCutter proposes to put the cutter deeper into its holder.
func (find *finder) shorterCutter(name string) []Change {
	c := find.Spec.Cutters.Find(name)
	var out []Change
	for _, k := range []float64{0.85, 0.7, 0.55} {
		mm := quantity.Round(k * find.Model.Read.Of(c.StickOut) * 1e3)
		if rank.More(find.Model.Read.Of(c.FluteLength), mm*1e-3) || mm*1e-3 < 1.5*find.Model.Read.Of(c.Diameter) {
			continue
		}
		text := fmt.Sprintf("%g mm", mm)
		out = append(out, Change{What: fmt.Sprintf("stick-out of the %s: %s in place of %s", name, text, c.StickOut.Text), At: c.StickOut.At,
			Edits: write(strconv.Quote(text), "cutters", name, "stick_out")})
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
		if rank.More(k*find.Model.Read.Of(find.Spec.Spindle.Radial), stiffestSpindle) {
			break
		}
		text := quantity.Print(k*find.Model.Read.Of(find.Spec.Spindle.Radial), "N/µm")
		out = append(
			out,
			Change{
				What: fmt.Sprintf("spindle with %s radial at its nose in place of %s", text, quantity.Print(find.Model.Read.Of(find.Spec.Spindle.Radial), "N/µm")),
				At:   find.Spec.Spindle.At,
				New:  !find.Spec.Spindle.Radial.Given && !find.Spec.Spindle.Axial.Given,
				Edits: write(
					fmt.Sprintf("{radial: %q, axial: %q}", find.Spec.Spindle.Radial.Times(k, "N/µm"), find.Spec.Spindle.Axial.Times(k, "N/µm")),
					find.Spec.SpindlePath()...,
				),
			},
		)
	}
	return out
}

// strongerSpindle proposes a spindle with more torque, and a slower one with the torque
// that its power has there.
func (find *finder) strongerSpindle(a *cut.Attempt) []Change {
	var out []Change
	s := find.Spec.Spindle
	for _, k := range []float64{1.5, 2, 3, 5} {
		out = append(out, Change{What: fmt.Sprintf("spindle with %g times the torque at every speed", k), At: s.At,
			Edits: write(find.torqueText(1, k), append(find.Spec.SpindlePath(), "torque")...)})
	}
	for _, f := range a.Best.Shortfalls {
		if f.Limit == reach.SpindleSpeed && f.AtMost && f.Need > 0 {
			out = append(out, find.gearedSpindle(f.Need))
		}
	}
	if slow := a.Input.SurfaceSpeed.Max / (math.Pi * a.Input.Cutter.Diameter); slow < find.Model.Read.Of(s.Torque[0].Speed) {
		out = append(out, find.gearedSpindle(slow))
	}
	return out
}

// gearedSpindle proposes a belt or gear that brings the spindle's whole range
// down so that it starts below a speed [rev/s]: the power stays.
func (find *finder) gearedSpindle(speed float64) Change {
	s := find.Spec.Spindle
	ratio := math.Ceil(2*math.Max(find.Model.Read.Of(s.MinSpeed), find.Model.Read.Of(s.Torque[0].Speed))/(0.8*speed)) / 2
	return Change{What: fmt.Sprintf("spindle geared down %g:1, with %g times the torque", ratio, ratio), At: s.At,
		Edits: write(
			fmt.Sprintf(
				"{min_speed: %q, max_speed: %q, torque: %s}",
				s.MinSpeed.Times(1/ratio, "rpm"),
				s.MaxSpeed.Times(1/ratio, "rpm"),
				find.torqueText(ratio, ratio),
			),
			find.Spec.SpindlePath()...,
		)}
}

// torqueText writes the spindle's torque curve, its speeds divided by one number and
// its torques times another.
func (find *finder) torqueText(slower, stronger float64) string {
	var points []string
	for _, p := range find.Spec.Spindle.Torque {
		points = append(points, fmt.Sprintf("{speed: %q, torque: %q}", p.Speed.Times(1/slower, "rpm"), p.Torque.Times(stronger, "N·m")))
	}
	return "[" + strings.Join(points, ", ") + "]"
}

// anotherCutter is the menu of cutters in place of one.
const anotherCutter = "another cutter"

// cutterSizes are the diameters that end mills are sold in [m].
var cutterSizes = []float64{3e-3, 4e-3, 5e-3, 6e-3, 8e-3, 10e-3, 12e-3, 16e-3}

// otherCutter proposes a smaller cutter like the one that comes nearest to the next
// grade: a slot of its depth needs less.
func (find *finder) otherCutter(a *cut.Answer) []Change {
	like, _, _, _ := cut.Nearest(a.Attempts)
	if like == nil {
		return nil
	}
	base := find.Spec.Cutters.Entry(like.Cutter)
	if kind := base.Item.Kind.Text; kind != "" && kind != "end" {
		return nil
	}
	var out []Change
	for i := len(cutterSizes) - 1; i >= 0; i-- {
		d := cutterSizes[i]
		k := d / find.Model.Read.Of(base.Item.Diameter)
		if k > 0.99 || k < 0.3 || slices.ContainsFunc(find.Spec.Cutters, func(c spec.Entry[spec.Cutter]) bool {
			return math.Abs(find.Model.Read.Of(c.Item.Diameter)-d) < 1e-4 && c.Item.Kind.Text == base.Item.Kind.Text &&
				c.Item.Material.Text == base.Item.Material.Text
		}) {
			continue
		}
		mm := func(v float64) string { return fmt.Sprintf("%g mm", quantity.Round(v*1e3)) }
		diameter, out1, flutes := mm(
			d,
		), mm(
			math.Max(k*find.Model.Read.Of(base.Item.StickOut), 2.5*d),
		), mm(
			math.Max(k*find.Model.Read.Of(base.Item.FluteLength), 1.5*d),
		)
		rating := ""
		if top := base.Item.MaxSpeed; top.Given {
			rating = fmt.Sprintf(", max_speed: %q", top.Text)
		}
		if of := base.Item.Spindle.Text; of != "" {
			rating += fmt.Sprintf(", spindle: %q", of)
		}
		name := fmt.Sprintf("%s with %d teeth", diameter, base.Item.Teeth.N)
		c := Change{
			What: fmt.Sprintf("cutter of %s like the %s, stick-out %s", diameter, base.Name, out1), At: base.At, New: true, Menu: anotherCutter, Lists: find.takenBeside(base.Name, name),
			Edits: write(fmt.Sprintf("{diameter: %q, teeth: %d, stick_out: %q, flute_length: %q, material: %q%s}",
				diameter, base.Item.Teeth.N, out1, flutes, base.Item.Material.Text, rating), "cutters", name),
		}
		for _, l := range c.Lists {
			c.Edits = append(c.Edits, l.Edits...)
		}
		out = append(out, c)
	}
	return out
}

// takenBeside writes a cutter beside another one to the targets that name that.
func (find *finder) takenBeside(old, name string) (list []Change) {
	for _, t := range find.Spec.Targets {
		var names []string
		for _, c := range t.Item.Named() {
			names = append(names, strconv.Quote(c.Text))
		}
		if slices.Contains(names, strconv.Quote(old)) {
			list = append(list, Change{At: t.Item.Named()[0].At, Edits: write("["+strings.Join(append(names, strconv.Quote(name)), ", ")+"]", "targets", t.Name, "cutters")})
		}
	}
	return list
}
