package change

import (
	"fmt"
	"math"

	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A Deviation is a part that a survey measures, with what becomes of the machine where the part is less than it is computed with.
type Deviation struct {
	Kind   string  // "section", "rail", "screw" or "motor"
	Of     string  // the section, the rail, "axis.drive"
	Short  float64 // by how much it is less [-]
	Edits  []spec.Edit
	Change [3]float64 // of the stiffness at the tip, by direction, below zero where it falls [-]
	Shifts []Shift    // grades that become others
	Log    *spec.Log  // what was read for it
}

// How much less parts are tried with [-]: what a survey finds of hollows that are delivered to no standard, of carriages, of screws of an unknown size, of
// motors without a plate, and bars of what was poured; from memory.
const (
	lessStock = 0.06
	lessRail  = 0.2
	lessScrew = 0.1
	lessMotor = 0.2
	lessFill  = 0.2
)

// deviations solves the machine with each surveyed part less than it is computed with.
func deviations(s *machine.Solution, cuts *cut.Answers) []Deviation {
	if s.Worst == nil {
		return nil
	}
	find := &finder{s, cuts}
	list := find.surveyed()
	solved := make([]bool, len(list))
	machine.EachParallel(len(list), func(i int) { solved[i] = find.deviate(&list[i]) })
	kept := list[:0]
	for i := range list {
		if solved[i] {
			kept = append(kept, list[i])
		}
	}
	return kept
}

// surveyed are the parts of a machine that a survey measures, in the order of the spec.
func (find *finder) surveyed() (list []Deviation) {
	m := find.Spec
	add := func(kind, of string, short float64, edits func(read spec.Reader) []spec.Edit) {
		d := Deviation{Kind: kind, Of: of, Short: short, Log: &spec.Log{}}
		if d.Edits = edits(find.Model.Read.Into(d.Log)); len(d.Edits) > 0 {
			list = append(list, d)
		}
	}
	for i := range m.Sections {
		e := &m.Sections[i]
		if !e.Item.Sawn() || !find.uses(e.Name) {
			continue
		}
		short := lessStock
		if least, _, _, ok := e.Item.Delivered(); ok {
			short = 1 - least
		}
		add("section", e.Name, short, func(read spec.Reader) []spec.Edit {
			var edits []spec.Edit
			for _, f := range []struct {
				name  string
				value spec.Value
			}{{"mass_ratio", e.Item.MassRatio}, {"stiffness_ratio", e.Item.StiffnessRatio}} {
				now := read.Of(f.value)
				if now <= 0 {
					now = 1
				}
				edits = append(edits, write(fmt.Sprintf("%q", fmt.Sprintf("%.6g", now*(1-short))), "sections", e.Name, f.name)...)
			}
			return edits
		})
	}
	for i := range m.Rails {
		e := &m.Rails[i]
		add("rail", e.Name, lessRail, func(read spec.Reader) (edits []spec.Edit) {
			edits = append(edits, less(read, e.Item.Radial, "N/µm", lessRail, "rails", e.Name, "radial")...)
			return append(edits, less(read, e.Item.Lateral, "N/µm", lessRail, "rails", e.Name, "lateral")...)
		})
	}
	for i := range m.Fills {
		e := &m.Fills[i]
		add("fill", e.Name, lessFill, func(read spec.Reader) []spec.Edit {
			return less(read, e.Item.Modulus, "GPa", lessFill, "fills", e.Name, "modulus")
		})
	}
	for i := range m.Axes {
		a := &m.Axes[i]
		for k := range a.Item.Drives {
			d := &a.Item.Drives[k]
			if d.Item.Screw != nil {
				add("screw", a.Name+"."+d.Name, lessScrew, func(read spec.Reader) []spec.Edit {
					return less(read, d.Item.Screw.Diameter, "mm", lessScrew, "axes", a.Name, "drives", d.Name, "screw", "diameter")
				})
			}
			if d.Item.Motor != nil && d.Item.Motor.Stepper == nil {
				add("motor", a.Name+"."+d.Name, lessMotor, func(read spec.Reader) (edits []spec.Edit) {
					edits = append(edits, less(read, d.Item.Motor.RatedTorque, "N·m", lessMotor, "axes", a.Name, "drives", d.Name, "motor", "rated_torque")...)
					return append(edits, less(read, d.Item.Motor.PeakTorque, "N·m", lessMotor, "axes", a.Name, "drives", d.Name, "motor", "peak_torque")...)
				})
			}
		}
	}
	return list
}

// uses reports whether a member is of a section.
func (find *finder) uses(section string) bool {
	for i := range find.Model.Bars {
		if find.Model.Bars[i].Member.Section.Text == section {
			return true
		}
	}
	return false
}

// less writes a value that is less by a share; nothing where it is not known.
func less(read spec.Reader, v spec.Value, unit string, share float64, names ...string) []spec.Edit {
	now := read.Of(v)
	if now <= 0 {
		return nil
	}
	return write(fmt.Sprintf("%q", fmt.Sprintf("%.6g %s", quantity.Convert(now*(1-share), unit), unit)), names...)
}

// deviate solves the machine with a deviation; false where it cannot be.
func (find *finder) deviate(d *Deviation) bool {
	_, cutter := find.Model.Reference()
	middle, _, err := find.Model.TipCompliance(find.Worst, cutter)
	if err != nil {
		return false
	}
	r := find.retryWith(d.Edits...)
	if r.err != nil {
		return false
	}
	_, c := r.model.Reference()
	whole, _, err := r.model.TipCompliance(&machine.Solved{Nose: r.nose}, c)
	if err != nil {
		return false
	}
	most := 0.0
	for k := range 3 {
		if d.Change[k] = middle[k][k]/whole[k][k] - 1; math.Abs(d.Change[k]) < rank.Alike {
			d.Change[k] = 0 // rounding alone
		}
		most = math.Max(most, math.Abs(d.Change[k]))
	}
	if loss := r.model.LossChange(find.Model); most > 0 || loss > 0 || !find.cutsAlike(r) {
		d.Shifts = find.shifts(r, math.Max(most, loss))
	}
	return true
}
