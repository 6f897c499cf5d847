package compiler

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ironbed/compiler/reach"
	"ironbed/compiler/section"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A change is one alteration of the machine that a builder could make.
type change struct {
	what  string // in words
	path  string // the spec field to change
	value string // what to write there
	menu  string // changes of which one is enough, from small to large; empty for those to one field
	at    spec.Place
	apply func(*spec.Machine)
}

// identifier matches a name that CUE takes without quotes.
var identifier = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_]*$`)

// field writes the path of a field as CUE has it.
func field(names ...string) string {
	for i, n := range names {
		if !identifier.MatchString(n) {
			names[i] = strconv.Quote(n)
		}
	}
	return strings.Join(names, ".")
}

// proposals lists the changes worth trying for an answer: to the parts that
// hold most of what binds, and to whatever else stops the cut.
func (j *job) proposals(a *answer) []change {
	best := a.best()
	if best == nil {
		return nil
	}
	var list []change
	limits := map[reach.Limit]string{}
	n := [3]float64{}
	if p := best.best.Best; p != nil {
		limits[p.Limit] = p.Axis
		n = p.Worst
	}
	for _, s := range best.best.Shortfalls {
		limits[s.Limit] = s.Axis
	}
	// The attempt that comes nearest to the next grade may be another cutter's.
	if a, o, _, _ := nearest(a.attempts); a != nil && o.Deepest != nil {
		limits[o.Deepest.Limit] = o.Deepest.Axis
		if n == ([3]float64{}) {
			n = o.Deepest.Worst
		}
		if a.cutter != best.cutter {
			list = append(list, j.shorterCutter(a.cutter)...)
		}
	}
	list = append(list, j.otherCutter(a)...)
	if _, ok := limits[reach.Deflection]; ok {
		if n == ([3]float64{}) {
			n[1] = 1
		}
		list = append(list, j.stiffer(best, n)...)
	}
	if _, ok := limits[reach.Chatter]; ok {
		var swinging []share
		for _, s := range a.swinging {
			swinging = append(swinging, s.share)
		}
		list = append(list, j.stiffened(best, swinging)...)
	}
	for _, limit := range slices.Sorted(maps.Keys(limits)) {
		axis := limits[limit]
		switch limit {
		case reach.SpindleTorque, reach.SpindlePower, reach.SpindleSpeed:
			list = append(list, j.strongerSpindle(best)...)
		case reach.AxisThrust:
			list = append(list, j.strongerMotor(axis)...)
			list = append(list, j.reduced(axis)...)
		case reach.CutterStrength:
			list = append(list, j.shorterCutter(best.cutter)...)
		}
	}
	return list
}

// stiffenedParts is how many of the parts that give most are tried.
const stiffenedParts = 4

// stiffer proposes changes to the parts that give most along a direction.
func (j *job) stiffer(a *attempt, n [3]float64) []change {
	list, _, err := j.model.tipShares(j.worst, j.m.Cutters.Find(a.cutter))
	if err != nil {
		return nil
	}
	sortBy(list, func(s share) float64 { return s.give.along(n) })
	return j.stiffened(a, list)
}

// stiffened proposes changes to the first parts of a list.
func (j *job) stiffened(a *attempt, list []share) []change {
	var out []change
	for i, s := range list {
		if i >= stiffenedParts {
			break
		}
		switch s.kind {
		case memberPart:
			out = append(out, j.largerSection(s)...)
			out = append(out, j.bond(s)...)
			out = append(out, j.poured(s)...)
		case carriagePart:
			out = append(out, j.largerRail(s)...)
		case drivePart:
			out = append(out, j.thickerScrew(s)...)
		case cutterPart:
			out = append(out, j.shorterCutter(a.cutter)...)
		case spindlePart:
			out = append(out, j.stifferSpindle()...)
		case footPart:
			out = append(out, j.stifferFeet()...)
		case jointPart:
			out = append(out, j.heldJoint(s)...)
		}
	}
	return out
}

// barOf finds a bar of a share.
func (j *job) barOf(s share) *bar {
	for i := range j.model.bars {
		if j.model.bars[i].part == s.parts[0] {
			return &j.model.bars[i]
		}
	}
	return nil
}

// largerSection proposes the next larger pieces of stock of the same kind.
func (j *job) largerSection(s share) []change {
	b := j.barOf(s)
	if b == nil {
		return nil
	}
	name := b.member.Section.Text
	entry := j.m.Sections.Find(name)
	var out []change
	if entry.Bar != nil {
		for _, k := range []float64{1.25, 1.5, 2} {
			// A plate is made thicker: its smaller side grows, to a whole 5 mm.
			thin, path := &entry.Bar.Height, "height"
			if entry.Bar.Width.Value < entry.Bar.Height.Value {
				thin, path = &entry.Bar.Width, "width"
			}
			mm := 5 * math.Ceil(k*thin.Value*1e3/5-1e-9)
			text := fmt.Sprintf("%g mm", mm)
			out = append(out, change{
				what: fmt.Sprintf("section %s (%s): %s thick in place of %s", name, s.name, text, thin.Text), at: thin.At,
				path: field("sections", name, "bar", path), value: strconv.Quote(text),
				apply: func(m *spec.Machine) {
					bar := m.Sections.Find(name).Bar
					if path == "height" {
						bar.Height = length(bar.Height, text)
					} else {
						bar.Width = length(bar.Width, text)
					}
				}})
		}
		return out
	}
	if l := entry.Listed; l != nil && l.Height.Given && l.Width.Given {
		return j.closedTube(name, s, l)
	}
	for _, row := range j.larger(entry) {
		out = append(out, change{what: fmt.Sprintf("section %s (%s): %s in place of %s", name, s.name, row, b.section.words), at: b.member.Section.At,
			path: field("sections", name, "stock"), value: strconv.Quote(row),
			apply: func(m *spec.Machine) {
				e := m.Sections.Find(name)
				*e = spec.Section{Stock: spec.Text{Text: row}, Material: e.Material}
			}})
	}
	return out
}

// closedTube proposes a closed tube of the same outside in place of a section that
// is listed by its properties.
func (j *job) closedTube(name string, s share, l *spec.Listed) []change {
	var out []change
	material := ""
	if text := j.m.Sections.Find(name).Material.Text; text != "" {
		material = fmt.Sprintf(", material: %q", text)
	}
	for _, wall := range []string{"3 mm", "5 mm", "8 mm"} {
		hollow := &spec.Hollow{Height: l.Height, Width: l.Width, Make: spec.Text{Text: "sharp"}}
		hollow.Wall = length(hollow.Wall, wall)
		if 4*hollow.Wall.Value > math.Min(l.Height.Value, l.Width.Value) {
			break
		}
		out = append(out, change{what: fmt.Sprintf("section %s (%s): a closed tube %s × %s, wall %s, in place of the listed profile", name, s.name, l.Height.Text, l.Width.Text, wall), at: l.Area.At,
			path: field("sections", name), value: fmt.Sprintf("{hollow: {height: %q, width: %q, wall: %q, make: \"sharp\"}%s}", l.Height.Text, l.Width.Text, wall, material),
			apply: func(m *spec.Machine) {
				e := m.Sections.Find(name)
				*e = spec.Section{Hollow: hollow, Material: e.Material}
			}})
	}
	return out
}

// length replaces a value by a length.
func length(v spec.Value, text string) spec.Value {
	q, err := quantity.ParseAs(text, quantity.Length)
	if err != nil {
		panic(err) // ours
	}
	v.Quantity, v.Text = q, text
	return v
}

// larger returns the names of catalogue sections of the same kind that are
// stiffer in every way, lightest first, at most four, up to three times as
// heavy.
func (j *job) larger(entry *spec.Section) []string {
	now, err := stockOf(j.m, entry, nominal)
	if err != nil {
		return nil
	}
	plain, err := section.Plain(now.shape, now.material)
	if err != nil {
		return nil
	}
	type candidate struct {
		name string
		mass float64
	}
	var list []candidate
	family := shapeFamily(entry)
	for _, row := range catalogueStock() {
		if row.family != family || row.family == "" {
			continue
		}
		s, err := section.Plain(row.shape, now.material)
		if err != nil || s.MassPerLength > 3*plain.MassPerLength {
			continue
		}
		if s.EIy > 1.15*plain.EIy && s.EIz > 1.15*plain.EIz && s.GJ > 1.15*plain.GJ {
			list = append(list, candidate{row.name, s.MassPerLength})
		}
	}
	sortBy(list, func(c candidate) float64 { return -c.mass })
	// A few steps over the range, not four neighbours.
	var out []string
	last := 1.0
	for _, c := range list {
		if ratio := c.mass / plain.MassPerLength; len(out) == 0 || ratio > last*1.25 {
			out = append(out, c.name)
			last = ratio
		}
		if len(out) == 4 {
			break
		}
	}
	return out
}

// bond proposes to bond a fill that is loose.
func (j *job) bond(s share) []change {
	b := j.barOf(s)
	if b == nil || b.section.fill == nil || b.section.fill.Bond.Text == "bonded" {
		return nil
	}
	name := b.member.Fill.Text
	return []change{{what: fmt.Sprintf("fill %s: bonded to the steel in place of %s", name, b.section.fill.Bond.Text), at: b.section.fill.Bond.At,
		path: field("fills", name, "bond"), value: `"bonded"`,
		apply: func(m *spec.Machine) { m.Fills.Find(name).Bond.Text = "bonded" }}}
}

// pouredMix is the mix that is proposed to fill a member with.
const pouredMix = "concrete C30/37"

// poured proposes to fill a member that is empty.
func (j *job) poured(s share) []change {
	b := j.barOf(s)
	if b == nil || b.section.fill != nil {
		return nil
	}
	place := ""
	switch b.section.shape.(type) {
	case section.HollowRectangle, section.HollowRound:
		place = "hollow"
	case section.RolledI:
		place = "both pockets"
	default:
		return nil
	}
	name := b.member.Section.Text
	return []change{{what: fmt.Sprintf("section %s (%s): filled with %s, bonded to the steel; name it as the `fill` of its members", name, s.name, pouredMix), at: b.member.Section.At,
		path: field("fills", name+"_fill"), value: fmt.Sprintf("{mix: %q, bond: \"bonded\", place: %q}", pouredMix, place),
		apply: func(m *spec.Machine) { m.SetFill(name, pouredMix, "bonded", place) }}}
}

// largerRail proposes larger rails of the catalogue.
func (j *job) largerRail(s share) []change {
	axis, guideName := "", ""
	for key, part := range j.model.guidePart {
		if part == s.parts[0] {
			axis, guideName, _ = strings.Cut(key, ".")
		}
	}
	g := j.m.Axes.Find(axis).Guides.Find(guideName)
	rail := j.m.Rails.Find(g.Rail.Text)
	names := spec.CatalogueNames(spec.KindRails)
	var out []change
	after := false
	for _, name := range names {
		if after && strings.HasPrefix(name, strings.TrimRight(rail.Stock.Text, "0123456789")) {
			out = append(out, change{what: fmt.Sprintf("rails %s: %s in place of %s", g.Rail.Text, name, rail.Stock.Text), at: rail.Stock.At,
				path: field("rails", g.Rail.Text, "stock"), value: strconv.Quote(name),
				apply: func(m *spec.Machine) { m.SetRailStock(g.Rail.Text, name) }})
		}
		after = after || name == rail.Stock.Text
	}
	return out
}

// screwSizes are the nominal diameters that screws are sold in [m].
var screwSizes = []float64{0.012, 0.016, 0.020, 0.025, 0.032, 0.040, 0.050, 0.063}

// heldJoint proposes to hold the face under a branch, a mitre, or an open end.
func (j *job) heldJoint(s share) []change {
	var out []change
	for b := range j.model.bars {
		bar := &j.model.bars[b]
		for which, end := range [2]*spec.End{bar.member.FromEnd, bar.member.ToEnd} {
			if end == nil || bar.end[which] < 0 || j.model.fixedPart(bar.end[which]) != s.parts[0] {
				continue
			}
			body, member, _ := strings.Cut(bar.name, ".")
			key := [2]string{"from_end", "to_end"}[which]
			at := func(m *spec.Machine) *spec.End {
				e := m.Bodies.Find(body).Members.Find(member)
				return [2]*spec.End{e.FromEnd, e.ToEnd}[which]
			}
			switch {
			case end.OnFace != nil && end.OnFace.Doubler == nil:
				for _, text := range []string{"8 mm", "12 mm", "20 mm"} {
					out = append(out, change{what: fmt.Sprintf("a plate of %s on the face under %s", text, bar.name), at: end.At,
						path: field("bodies", body, "members", member, key, "on_face", "doubler", "thickness"), value: strconv.Quote(text),
						apply: func(m *spec.Machine) {
							d := &spec.Doubler{}
							d.Thickness = length(d.Thickness, text)
							at(m).OnFace.Doubler = d
						}})
				}
			case end.Mitre != nil && !end.Mitre.Plate:
				out = append(out, change{what: fmt.Sprintf("a plate in the mitre of %s", s.name), at: end.At,
					path: field("bodies", body, "members", member, key, "mitre", "plate"), value: "true",
					apply: func(m *spec.Machine) { at(m).Mitre.Plate = true }})
			}
		}
	}
	return out
}

// fixedPart is the part of the joint that holds a node of a member's end.
func (d *model) fixedPart(node int) int {
	for i := range d.fixed {
		if d.fixed[i].B.Node == node {
			return d.fixed[i].Part
		}
	}
	return -1
}

// thickerScrew proposes the next screw sizes.
func (j *job) thickerScrew(s share) []change {
	axis, name := "", ""
	for key, part := range j.model.drivePart {
		if part == s.parts[0] {
			axis, name, _ = strings.Cut(key, ".")
		}
	}
	screw := j.m.Axes.Find(axis).Drives.Find(name).Screw
	if screw == nil {
		return j.widerBelt(axis, name)
	}
	var out []change
	for _, d := range screwSizes {
		if d <= screw.Diameter.Value*1.01 || len(out) == 2 {
			continue
		}
		text := fmt.Sprintf("%g mm", d*1e3)
		out = append(out, change{what: fmt.Sprintf("screw of axis %s: %s in place of %s", axis, text, screw.Diameter.Text), at: screw.Diameter.At,
			path: field("axes", axis, "drives", name, "screw", "diameter"), value: strconv.Quote(text),
			apply: func(m *spec.Machine) { m.SetScrewDiameter(axis, name, text) }})
	}
	return out
}

// mostBelt is the widest belt that is sold over its pitch [-]; common practice.
const mostBelt = 10

// widerBelt proposes wider belts; none where the axis has no belt.
func (j *job) widerBelt(axis, name string) []change {
	belt := j.m.Axes.Find(axis).Drives.Find(name).Belt
	if belt == nil {
		return nil
	}
	var out []change
	for _, k := range []float64{1.5, 2, 3} {
		if k*belt.Width.Value > mostBelt*belt.Pitch.Value {
			break
		}
		text := fmt.Sprintf("%g mm", math.Round(k*belt.Width.Value*1e3))
		out = append(out, change{what: fmt.Sprintf("belts of axis %s: %s wide in place of %s", axis, text, belt.Width.Text), at: belt.Width.At,
			path: field("axes", axis, "drives", name, "belt", "width"), value: strconv.Quote(text),
			apply: func(m *spec.Machine) {
				// Two belts side by side on an axis are of one size.
				for i := range m.Axes.Find(axis).Drives {
					if b := m.Axes.Find(axis).Drives[i].Item.Belt; b != nil {
						b.Width = length(b.Width, text)
					}
				}
			}})
	}
	return out
}

// shorterCutter proposes to put the cutter deeper into its holder.
func (j *job) shorterCutter(name string) []change {
	c := j.m.Cutters.Find(name)
	var out []change
	for _, k := range []float64{0.85, 0.7, 0.55} {
		mm := math.Round(k * c.StickOut.Value * 1e3)
		if mm*1e-3 < c.FluteLength.Value || mm*1e-3 < 1.5*c.Diameter.Value {
			continue
		}
		text := fmt.Sprintf("%g mm", mm)
		out = append(out, change{what: fmt.Sprintf("%s: %s out of its holder in place of %s", name, text, c.StickOut.Text), at: c.StickOut.At,
			path: field("cutters", name, "stick_out"), value: strconv.Quote(text),
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
func (j *job) stifferSpindle() []change {
	var out []change
	for _, k := range []float64{1.5, 2, 3} {
		if k*j.m.Spindle.Radial.Value > stiffestSpindle {
			break
		}
		text := measure(k*j.m.Spindle.Radial.Value, "N/µm")
		out = append(out, change{what: fmt.Sprintf("a spindle of %s at its nose in place of %s", text, measure(j.m.Spindle.Radial.Value, "N/µm")), at: j.m.Spindle.At,
			path: "spindle.radial", value: strconv.Quote(text),
			apply: func(m *spec.Machine) {
				s := m.Spindle
				for _, v := range []*spec.Value{&s.Radial, &s.Axial} {
					v.Value, v.Low, v.High = k*v.Value, k*v.Low, k*v.High
				}
			}})
	}
	return out
}

// stifferFeet proposes feet that stand harder.
func (j *job) stifferFeet() []change {
	for _, b := range j.m.Bodies {
		for _, f := range b.Item.Feet {
			text := measure(3*f.Item.Vertical.Value, "N/µm")
			return []change{{what: fmt.Sprintf("feet three times as stiff (%s each): grouted or bolted to the floor", text), at: f.At,
				path: field("bodies", b.Name, "feet", f.Name, "vertical"), value: strconv.Quote(text),
				apply: func(m *spec.Machine) {
					for i := range m.Bodies {
						for k := range m.Bodies[i].Item.Feet {
							foot := &m.Bodies[i].Item.Feet[k].Item
							for _, v := range []*spec.Value{&foot.Vertical, &foot.Sideways} {
								v.Value, v.Low, v.High = 3*v.Value, 3*v.Low, 3*v.High
							}
						}
					}
				}}}
		}
	}
	return nil
}

// strongerSpindle proposes a spindle with more torque, and one that turns more
// slowly with the torque that its power would give there.
func (j *job) strongerSpindle(a *attempt) []change {
	var out []change
	s := j.m.Spindle
	for _, k := range []float64{1.5, 2, 3, 5} {
		out = append(out, change{what: fmt.Sprintf("a spindle of %g times the torque at every speed", k), at: s.At,
			path: "spindle.torque", value: j.torqueText(1, k),
			apply: func(m *spec.Machine) {
				for i := range m.Spindle.Torque {
					v := &m.Spindle.Torque[i].Torque
					v.Value, v.Low, v.High = k*v.Value, k*v.Low, k*v.High
				}
			}})
	}
	for _, f := range a.best.Shortfalls {
		if f.Limit == reach.SpindleSpeed && f.AtMost && f.Need > 0 {
			out = append(out, j.gearedSpindle(f.Need))
		}
	}
	if slow := a.input.SurfaceSpeed.Max / (math.Pi * a.input.Cutter.Diameter); slow < s.Torque[0].Speed.Value {
		out = append(out, j.gearedSpindle(slow))
	}
	return out
}

// gearedSpindle proposes a belt or gear that brings the spindle's whole range
// down so that it starts below a speed [rev/s]: the power stays.
func (j *job) gearedSpindle(speed float64) change {
	s := j.m.Spindle
	ratio := math.Ceil(2*math.Max(s.Slowest.Value, s.Torque[0].Speed.Value)/(0.8*speed)) / 2
	return change{what: fmt.Sprintf("a spindle geared down %g to 1, with its torque up by as much", ratio), at: s.At,
		path: "spindle", value: fmt.Sprintf("{slowest: %q, fastest: %q, torque: %s}", measure(s.Slowest.Value/ratio, "rpm"), measure(s.Fastest.Value/ratio, "rpm"), j.torqueText(ratio, ratio)),
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
func (j *job) torqueText(slower, stronger float64) string {
	var points []string
	for _, p := range j.m.Spindle.Torque {
		points = append(points, fmt.Sprintf("{speed: %q, torque: %q}", measure(p.Speed.Value/slower, "rpm"), measure(p.Torque.Value*stronger, "N·m")))
	}
	return "[" + strings.Join(points, ", ") + "]"
}

// reductions are the ratios that are tried between a motor and what it turns [-].
var reductions = []float64{2, 3, 5}

// reduced proposes a reduction before what an axis turns. Its top feed falls as much.
func (j *job) reduced(axis string) []change {
	a := j.m.Axes.Find(axis)
	if a == nil || len(a.Drives) == 0 || a.Drives[0].Item.Motor == nil {
		return nil
	}
	now := a.Drives[0].Item.Ratio
	var out []change
	for _, k := range reductions {
		text := number(k * now.Value)
		out = append(out, change{what: fmt.Sprintf("a reduction of %s to 1 on axis %s in place of %s; its top feed falls as much", text, axis, number(now.Value)), at: a.Drives[0].At,
			path: field("axes", axis, "drives", a.Drives[0].Name, "ratio"), value: text,
			apply: func(m *spec.Machine) {
				for i := range m.Axes.Find(axis).Drives {
					d := &m.Axes.Find(axis).Drives[i].Item
					d.Ratio.Value, d.Ratio.Low, d.Ratio.High = k*d.Ratio.Value, k*d.Ratio.Low, k*d.Ratio.High
					if e := &d.Reduction.Efficiency; e.Value == 1 {
						e.Value, e.Low, e.High = 0.95, 0.92, 0.98
					}
				}
			}})
	}
	return out
}

// cutterSizes are the diameters that end mills are sold in [m].
var cutterSizes = []float64{3e-3, 4e-3, 5e-3, 6e-3, 8e-3, 10e-3, 12e-3, 16e-3}

// otherCutter proposes a smaller cutter like the one that comes nearest to the next
// grade: a slot of its depth asks for less.
func (j *job) otherCutter(a *answer) []change {
	like, _, _, _ := nearest(a.attempts)
	if like == nil {
		return nil
	}
	base := j.m.Cutters.Entry(like.cutter)
	var out []change
	for i := len(cutterSizes) - 1; i >= 0; i-- {
		d := cutterSizes[i]
		k := d / base.Item.Diameter.Value
		if k > 0.99 || k < 0.3 || slices.ContainsFunc(j.m.Cutters, func(c spec.Entry[spec.Cutter]) bool {
			return math.Abs(c.Item.Diameter.Value-d) < 1e-4 && c.Item.Kind.Text == base.Item.Kind.Text && c.Item.Material.Text == base.Item.Material.Text
		}) {
			continue
		}
		mm := func(v float64) string { return fmt.Sprintf("%g mm", math.Round(v*1e3)) }
		diameter, out1, flutes := mm(d), mm(math.Max(k*base.Item.StickOut.Value, 2.5*d)), mm(math.Max(k*base.Item.FluteLength.Value, 1.5*d))
		name := fmt.Sprintf("%s with %d teeth", diameter, base.Item.Teeth.N)
		out = append(out, change{what: fmt.Sprintf("a cutter of %s like the %s, %s out of its holder", diameter, base.Name, out1), at: base.At,
			path: field("cutters", name), value: fmt.Sprintf("{diameter: %q, teeth: %d, stick_out: %q, flute_length: %q, material: %q}", diameter, base.Item.Teeth.N, out1, flutes, base.Item.Material.Text), menu: "another cutter",
			apply: func(m *spec.Machine) {
				c := *m.Cutters.Find(base.Name)
				c.Diameter, c.StickOut, c.FluteLength = length(c.Diameter, diameter), length(c.StickOut, out1), length(c.FluteLength, flutes)
				m.Cutters = append(m.Cutters[:len(m.Cutters):len(m.Cutters)], spec.Entry[spec.Cutter]{Name: name, At: base.At, Item: c})
				if t := m.Targets.Find(a.entry.Name); len(t.Cutters) > 0 {
					t.Cutters = append(t.Cutters[:len(t.Cutters):len(t.Cutters)], spec.Text{Text: name})
				}
			}})
	}
	return out
}

// strongerMotor proposes motors of more torque for an axis.
func (j *job) strongerMotor(axis string) []change {
	a := j.m.Axes.Find(axis)
	if a == nil {
		return nil
	}
	var out []change
	for i := range a.Drives {
		motor := a.Drives[i].Item.Motor
		if motor == nil || motor.Stepper != nil {
			continue
		}
		for _, k := range []float64{1.5, 2, 3} {
			text := measure(k*motor.RatedTorque.Value, "N·m")
			out = append(out, change{what: fmt.Sprintf("motors of axis %s: %s in place of %s", axis, text, motor.RatedTorque.Text), at: motor.RatedTorque.At,
				path: field("axes", axis, "drives", a.Drives[i].Name, "motor", "rated_torque"), value: strconv.Quote(text),
				apply: func(m *spec.Machine) {
					for i := range m.Axes.Find(axis).Drives {
						if motor := m.Axes.Find(axis).Drives[i].Item.Motor; motor != nil && motor.Stepper == nil {
							for _, v := range []*spec.Value{&motor.RatedTorque, &motor.PeakTorque} {
								v.Value, v.Low, v.High = k*v.Value, k*v.Low, k*v.High
							}
						}
					}
				}})
		}
		break
	}
	return out
}
