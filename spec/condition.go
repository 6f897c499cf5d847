package spec

import (
	"fmt"
	"math"
	"slices"

	"ironbed/spec/quantity"
)

// conditionOf is the condition of a part: its own, or that of the part of its name in the
// supply; empty where neither says.
func (m *Machine) conditionOf(name string, own Text) Text {
	if own.Text != "" {
		return own
	}
	if s := m.Supply.Find(name); s != nil && s.counts() {
		return s.Condition
	}
	return Text{}
}

// counts reports whether a part's condition widens anything.
func (s *Supply) counts() bool { return s.Condition.Text != "" && s.Condition.Text != "in hand" }

// screwCondition is the condition of a drive's screw: its own, or that of the part in the supply that is named for it, the one
// named for the axis or the drive before one for all.
func (m *Machine) screwCondition(axis, drive string, own Text) Text {
	if own.Text != "" {
		return own
	}
	most := 0
	for i := range m.Supply {
		if n := RidingScrew.namedBy(m.Supply[i].Name, axis, drive); n > most && m.Supply[i].Item.counts() {
			own, most = m.Supply[i].Item.Condition, n
		}
	}
	return own
}

// supply says which parts that are supplied the machine does not have, where that makes a difference or is hardly meant.
func (r *resolver) supply() {
	m := r.m
	known := append(m.Sections.Names(), m.Rails.Names()...) // and of what else a condition counts
	other := append(m.Spindles.Names(), "spindle", "spindles")
	for _, list := range [][]string{m.Fills.Names(), m.Materials.Names(), m.Cutters.Names(), m.Bodies.Names(), m.Joints.Names(), m.Chains.Names()} {
		other = append(other, list...)
	}
	for i := range m.Axes {
		for k := range m.Axes[i].Item.Drives {
			if d := &m.Axes[i].Item.Drives[k]; d.Item.Screw != nil && len(m.Axes[i].Item.Drives) > 1 {
				known = append(known, m.Axes[i].Name+"_"+d.Name+"_screw")
			} else if d.Item.Screw != nil {
				known = append(known, m.Axes[i].Name+"_screw")
			}
		}
	}
	for i := range m.Supply {
		e := &m.Supply[i]
		if built := m.Sections.Find(e.Name); built != nil && built.BuiltUp != nil && e.Item.counts() {
			r.doubt(RuleGeometry, e.Item.Condition.At, "%s is built up, and its condition in `supply` changes nothing; name the sections that it is made of", e.Name)
		}
		if slices.Contains(known, e.Name) || slices.Contains(other, e.Name) || m.isPart(e.Name) {
			continue
		}
		// A price or a note may be of anything; what a name is near to was meant.
		if !e.Item.counts() && Nearest(e.Name, known) == "" {
			continue
		}
		nothing := ""
		if e.Item.counts() && Nearest(e.Name, known) == "" {
			nothing = ": its condition changes nothing"
		}
		r.doubt(RuleReference, e.At, "`supply` names %q, and no section, rail or screw has that name%s%s", e.Name, nothing, instead(e.Name, known, true))
	}
}

// isPart reports whether a name is that of a part of one of the drives.
func (m *Machine) isPart(name string) bool {
	for i := range m.Axes {
		for k := range m.Axes[i].Item.Drives {
			for _, kind := range ridingKinds {
				if kind.namedBy(name, m.Axes[i].Name, m.Axes[i].Item.Drives[k].Name) > 0 {
					return true
				}
			}
		}
	}
	return false
}

// rust is what salvaged steel may have lost of each face that lay open, without a hole that anyone would
// see [m]; from memory: ten to twenty years in a damp yard.
const rust = 0.5e-3

// A delivery is by how much a stock may differ from its nominal dimensions by the standard
// that it is delivered to.
type delivery struct {
	mass, stiffness [2]float64 // of a length, least and most over nominal [-]
	wall            float64    // its thickness, of several the mean [m]
	faces           float64    // of that wall that lie open [-]
	power           float64    // with which stiffness goes with the wall [-]
	source          string
}

// step is the tolerance of a dimension in a table: the first row whose bound it does not pass by more than rounding [m].
func step(dimension float64, rows ...[3]float64) (minus, plus float64) {
	for _, r := range rows {
		if dimension <= r[0]*(1+1e-9) {
			return r[1], r[2]
		}
	}
	return rows[len(rows)-1][1], rows[len(rows)-1][2]
}

const lastRow = 1e3 // [m]: the last row of a table

// widths are by how much the second moments of a section of a given mass differ with its outside: I goes with
// m h² about one axis, and with m b² about the other.
func (d *delivery) widths(h, hMinus, hPlus, b, bMinus, bPlus float64) {
	least := math.Max(hMinus/h, bMinus/b)
	most := math.Max(hPlus/h, bPlus/b)
	d.stiffness = [2]float64{d.mass[0] * (1 - least) * (1 - least), d.mass[1] * (1 + most) * (1 + most)}
}

// deliveryOf is the delivery tolerance of a section given by its dimensions; false for one of which no standard speaks,
// or that was measured. The thickness of a wall may differ by 10 % at a place; the mass of a length bounds its mean.
func deliveryOf(s *Section) (d delivery, ok bool) {
	at := func(v Value) float64 { return v.q.Value }
	const closed, open = 1, 2
	const below100 = 0.1 - 1e-9 // 100 mm is in the next row
	switch {
	case s.Hollow != nil:
		v := s.Hollow
		d = delivery{mass: [2]float64{0.94, 1.06}, wall: at(v.Wall), faces: closed, power: 1, source: "EN 10219-2"}
		side := func(a float64) float64 {
			share, _ := step(a, [3]float64{below100, 0.01}, [3]float64{0.2, 0.008}, [3]float64{lastRow, 0.006})
			if v.Make.Text == "hot" {
				share = 0.01
			}
			return math.Max(share*a, 0.5e-3)
		}
		if v.Make.Text == "hot" {
			d.source = "EN 10210-2"
		}
		h, b := at(v.Height), at(v.Width)
		d.widths(h, side(h), side(h), b, side(b), side(b))
		return d, !measured(v.Height, v.Width, v.Wall)
	case s.Pipe != nil:
		v := s.Pipe
		d = delivery{mass: [2]float64{0.94, 1.06}, wall: at(v.Wall), faces: closed, power: 1, source: "EN 10219-2; EN 10210-2"}
		off := math.Max(0.01*at(v.Diameter), 0.5e-3)
		d.widths(at(v.Diameter), off, off, at(v.Diameter), off, off)
		return d, !measured(v.Diameter, v.Wall)
	case s.I != nil:
		v := s.I
		d = delivery{mass: [2]float64{0.96, 1.04}, wall: v.meanWall(), faces: open, power: 1, source: "EN 10034"}
		hMinus, hPlus := step(at(v.Height), [3]float64{0.18, 2e-3, 3e-3}, [3]float64{0.4, 2e-3, 4e-3}, [3]float64{0.7, 3e-3, 5e-3}, [3]float64{lastRow, 5e-3, 5e-3})
		bMinus, bPlus := step(at(v.Width), [3]float64{0.11, 1e-3, 4e-3}, [3]float64{0.21, 2e-3, 4e-3}, [3]float64{0.325, 4e-3, 4e-3}, [3]float64{lastRow, 5e-3, 6e-3})
		d.widths(at(v.Height), hMinus, hPlus, at(v.Width), bMinus, bPlus)
		return d, !measured(v.Height, v.Width, v.Web, v.Flange)
	case s.Channel != nil:
		v := s.Channel
		d = delivery{mass: [2]float64{0.96, 1.04}, wall: v.meanWall(), faces: open, power: 1, source: "EN 10279; from memory"}
		if at(v.Height) <= 0.125 {
			d.mass = [2]float64{0.94, 1.06}
		}
		_, h := step(at(v.Height), [3]float64{0.065, 0, 1.5e-3}, [3]float64{0.2, 0, 2e-3}, [3]float64{0.4, 0, 3e-3}, [3]float64{lastRow, 0, 4e-3})
		_, b := step(at(v.Width), [3]float64{0.05, 0, 1.5e-3}, [3]float64{0.1, 0, 2e-3}, [3]float64{0.125, 0, 2.5e-3}, [3]float64{lastRow, 0, 3e-3})
		d.widths(at(v.Height), h, h, at(v.Width), b, b)
		return d, !measured(v.Height, v.Width, v.Web, v.Flange)
	case s.Angle != nil:
		v := s.Angle
		d = delivery{mass: [2]float64{0.96, 1.04}, wall: at(v.Wall), faces: open, power: 1, source: "EN 10056-2; from memory"}
		if at(v.Wall) <= 4e-3 {
			d.mass = [2]float64{0.94, 1.06}
		}
		leg := func(a float64) float64 {
			_, off := step(a, [3]float64{0.05, 0, 1e-3}, [3]float64{0.1, 0, 2e-3}, [3]float64{0.15, 0, 3e-3}, [3]float64{0.2, 0, 4e-3}, [3]float64{lastRow, 0, 6e-3})
			return off
		}
		h, b := at(v.Height), at(v.Width)
		d.widths(h, leg(h), leg(h), b, leg(b), leg(b))
		return d, !measured(v.Height, v.Width, v.Wall)
	case s.Bar != nil:
		return bar(math.Min(at(s.Bar.Height), at(s.Bar.Width)), math.Max(at(s.Bar.Height), at(s.Bar.Width))), !measured(s.Bar.Height, s.Bar.Width)
	case s.Round != nil:
		diameter := at(s.Round.Diameter)
		_, off := step(diameter, [3]float64{0.015, 0, 0.4e-3}, [3]float64{0.025, 0, 0.5e-3}, [3]float64{0.035, 0, 0.6e-3}, [3]float64{0.05, 0, 0.8e-3},
			[3]float64{0.08, 0, 1e-3}, [3]float64{0.1, 0, 1.3e-3}, [3]float64{0.16, 0, 2e-3}, [3]float64{lastRow, 0, 2.5e-3})
		less, more := 1-off/diameter, 1+off/diameter
		return delivery{mass: [2]float64{less * less, more * more}, stiffness: [2]float64{math.Pow(less, 4), math.Pow(more, 4)},
			wall: diameter, faces: open, power: 2, source: "EN 10060; from memory"}, !measured(s.Round.Diameter)
	}
	return d, false
}

// meanWall is the mean thickness of web and flanges [m]: what rust takes of both faces is that share of the area.
func (s *Rolled) meanWall() float64 {
	web := s.Height.q.Value - 2*s.Flange.q.Value
	return (web*s.Web.q.Value + 2*s.Width.q.Value*s.Flange.q.Value) / (web + 2*s.Width.q.Value)
}

// bar is the delivery tolerance of a flat bar or a plate, hot rolled: what it bends with goes with the cube of its
// thickness.
func bar(thickness, width float64) delivery {
	_, t := step(thickness, [3]float64{0.02, 0, 0.5e-3}, [3]float64{0.04, 0, 1e-3}, [3]float64{lastRow, 0, 1.5e-3})
	_, w := step(width, [3]float64{0.04, 0, 0.75e-3}, [3]float64{0.08, 0, 1e-3}, [3]float64{0.1, 0, 1.5e-3}, [3]float64{0.12, 0, 2e-3}, [3]float64{lastRow, 0, 2.5e-3})
	share := [2]float64{1 - t/thickness, 1 + t/thickness}
	wide := [2]float64{1 - w/width, 1 + w/width}
	d := delivery{wall: thickness, faces: 2, power: 3, source: "EN 10058; from memory"}
	for k := range 2 {
		d.mass[k] = share[k] * wide[k]
		d.stiffness[k] = math.Pow(share[k], 3) * wide[k]
	}
	return d
}

// measured tells whether a dimension carries an uncertainty of its own.
func measured(list ...Value) bool {
	for _, v := range list {
		if v.Uncertain() {
			return true
		}
	}
	return false
}

// Delivered is between what a section's mass may lie as it is delivered, over nominal, and the standard that says so; false for one of
// which no standard speaks, or that was measured.
func (s *Section) Delivered() (least, most float64, standard string, ok bool) {
	if s.Stock.Text != "" {
		s = FromCatalogue[Section](KindSections, s.Stock.Text)
	}
	if s == nil {
		return 0, 0, "", false
	}
	d, ok := deliveryOf(s)
	return d.mass[0], d.mass[1], d.source, ok
}

// assumeSection fills in how a section's mass and stiffness may differ from those of its nominal dimensions.
func (m *Machine) assumeSection(e *Entry[Section]) {
	s := &e.Item
	condition := m.conditionOf(e.Name, s.Condition)
	if condition.Text == "" && !s.MassRatio.Given {
		return
	}
	shape := s
	if s.Stock.Text != "" {
		shape = FromCatalogue[Section](KindSections, s.Stock.Text)
	}
	d, ok := deliveryOf(shape)
	if !ok {
		return
	}
	if s.MassRatio.Given {
		// A length was weighed: its mean wall is known, and with it the stiffness but for the outside.
		q := s.MassRatio.q
		low, high := d.stiffness[0]/d.mass[0], d.stiffness[1]/d.mass[1]
		m.within(&s.StiffnessRatio, q.Low*low, q.Value, q.High*high, "stiffness of section "+e.Name+" over nominal, as it weighs", d.source+"; derived here", s.MassRatio.At)
		return
	}
	source := d.source
	if condition.Text == "salvaged" {
		left := 1 - math.Min(0.5, d.faces*rust/d.wall)
		d.mass[0] *= left
		d.stiffness[0] *= math.Pow(left, d.power)
		source += "; from memory, the rust"
	}
	at := condition.At
	defer m.byCondition(&s.MassRatio, &s.StiffnessRatio)
	m.within(&s.MassRatio, d.mass[0], 1, d.mass[1], fmt.Sprintf("mass of section %s over nominal, %s", e.Name, condition.Text), source, at)
	m.within(&s.StiffnessRatio, d.stiffness[0], 1, d.stiffness[1], fmt.Sprintf("stiffness of section %s over nominal, %s", e.Name, condition.Text), source+"; derived here", at)
}

// condition says where a condition can do nothing.
func (r *resolver) condition(e *Entry[Section]) {
	s := &e.Item
	if s.Condition.Text == "" {
		return
	}
	switch {
	case s.BuiltUp != nil:
		r.say(RuleGeometry, s.Condition.At, "%s is built up; give the condition of the sections that it is made of", e.Name)
	case s.Listed != nil, s.Outline != nil:
		r.say(RuleGeometry, s.Condition.At, "no standard says how far %s may differ; give its dimensions or properties with their uncertainty, as \"8 mm ± 0.4 mm\"", e.Name)
	}
}

// worn is what a used or salvaged carriage has left of a stiffness: preload goes first, and with it
// up to a third, of unknown use up to half.
func (v Value) worn(condition string) Value {
	left := map[string][3]float64{"used": {0.7, 0.85, 1}, "salvaged": {0.5, 0.75, 1}}
	by, ok := left[condition]
	if !ok || !v.Given {
		return v
	}
	v.q.Low, v.q.Value, v.q.High = by[0]*v.q.Low, by[1]*v.q.Value, by[2]*v.q.High
	v.Text = fmt.Sprintf("%s × %.2g, from %.2g to 1", v.Text, by[1], by[0])
	return v
}

// A wear is what a screw has lost: wear of its tracks along the axis and stiffness of its nut.
type wear struct {
	tracks [2][3]float64 // without preload and with it: least, likely and most [m]
	nut    string
}

// wears are by condition. A ball screw is repaired from a lash of 0.23 mm on, and given up at 0.38 mm; one
// with preload from 0.013 mm and at 0.089 mm: half and four fifths of its wear. At a contact angle
// of 45° the lash across is that along the axis. Machine Design 2000.
var wears = map[string]wear{
	"used":     {[2][3]float64{{0, 0.05e-3, 0.15e-3}, {0, 0.005e-3, 0.013e-3}}, "240 N/µm ± 60 %"},
	"salvaged": {[2][3]float64{{0, 0.1e-3, 0.3e-3}, {0, 0.02e-3, 0.089e-3}}, "200 N/µm ± 70 %"},
}

// assumeWear fills in what a screw that is not new has lost.
func (m *Machine) assumeWear(s *Screw, at Place) {
	w, ok := wears[s.Condition.Text]
	if !ok {
		return
	}
	tracks, kind := w.tracks[0], ""
	if s.Preload.Given {
		tracks, kind = w.tracks[1], " with preload"
	}
	const source = "Machine Design 2000; from memory, the middle"
	defer m.byCondition(&s.Wear, &s.Backlash, &s.NutStiffness)
	of := func(v *Value, new [3]float64, what string) {
		low, middle, high := new[0]+tracks[0], new[1]+tracks[1], new[2]+tracks[2]
		m.said(v, low, middle, high, fmt.Sprintf("%.2g mm, from %.2g to %.2g mm", 1e3*middle, 1e3*low, 1e3*high), what+" of a "+s.Condition.Text+" screw"+kind, source, at)
	}
	of(&s.Wear, [3]float64{}, "wear of the tracks")
	unworn := [3]float64{}
	if !s.Preload.Given {
		unworn = [3]float64{0.03e-3, 0.055e-3, 0.08e-3} // as of a new nut without preload
	}
	of(&s.Backlash, unworn, "backlash")
	m.assume(&s.NutStiffness, quantity.Stiffness, "axial stiffness of a nut, "+s.Condition.Text, w.nut, "from memory", at)
}

// byCondition marks the assumptions that fill in some values as those of a part's condition.
func (m *Machine) byCondition(values ...*Value) {
	for i := range m.Assumptions {
		a := &m.Assumptions[i]
		for _, v := range values {
			a.Condition = a.Condition || slices.Contains(a.Values, v)
		}
	}
}
