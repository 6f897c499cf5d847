package axes

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/guide"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// cutDirections is how many directions of feed a carriage is held against.
const cutDirections = 24

// A carried is the worst that one carriage carries over all poses and cases.
type carried struct {
	machine.Carriage
	radial, lateral float64 // of the worst moment; radial positive pressed onto the rail [N]
	pullOff, side   float64 // largest [N]
	equivalent      float64 // |radial| + |lateral| of the worst moment [N]
	mean            float64 // the same under weight and the cut, averaged by the life's power [N]
	pose            machine.Pose
	node            string
	factor          directions // of a round rail's bushing; nil for a profiled one
	byPose          []float64  // equivalent load in each pose of the grid [N]
}

// directions is the share of its rating that a bushing carries, by the angle of its
// load from pressed on to pulled off.
type directions []float64

// openBlock are the rows of an open block on a supported shaft.
var openBlock = guide.OpenRows(5, math.Pi/3)

// directionsOf works out a round rail's shares; nil for a profiled one.
func directionsOf(r *spec.Rail) (directions, error) {
	if r.Shape.Text != "round" {
		return nil, nil
	}
	list := make(directions, 37)
	for i := range list {
		f, err := guide.DirectionFactor(openBlock, math.Pi*float64(i)/float64(len(list)-1))
		if err != nil {
			return nil, err
		}
		list[i] = f
	}
	return list, nil
}

// equivalent is the one load that stands for a load onto the rail and one sideways.
func (f directions) equivalent(radial, lateral float64) float64 {
	if f == nil {
		return math.Abs(radial) + math.Abs(lateral)
	}
	angle := math.Atan2(math.Abs(lateral), radial) / math.Pi * float64(len(f)-1)
	i := min(int(angle), len(f)-2)
	t := angle - float64(i)
	return math.Hypot(radial, lateral) / (f[i] + t*(f[i+1]-f[i]))
}

// Rails: will the rails last?
var Rails = sheet.Sheet{Name: "rails", Write: railSheet}

// railSheet reads the carriages' loads off the frame.
func railSheet(book *sheet.Book) error {
	if len(book.Spec.Axes) == 0 {
		return nil
	}
	if book.Worst == nil {
		book.NotComputed("loads of the carriages", "a spindle and where the work is clamped")
		return nil
	}
	loads, err := carriageLoads(book)
	if err != nil {
		return err
	}
	table := build.Table{Caption: "The hardest-worked carriage of each rail", Columns: []build.Column{{Head: "axis, rail"}, {Head: "carriage"}, {Head: "onto the rail, N", Right: true}, {Head: "sideways, N", Right: true},
		{Head: "static safety", Right: true}, {Head: "life, km", Right: true}, {Head: "worst pose"}}}
	for i := range book.Spec.Axes {
		a := &book.Spec.Axes[i]
		for k := range a.Item.Guides {
			g := &a.Item.Guides[k]
			row, err := railRow(book, a, g, loads)
			if err != nil {
				return &machine.Refused{Rule: "rails", At: g.At, Message: fmt.Sprintf("rail %s of axis %s: %v", g.Name, a.Name, err)}
			}
			table.Rows = append(table.Rows, row)
		}
	}
	for i := range book.Spec.Axes {
		overhang(book, i)
	}
	blocks := []build.Block{
		build.Text("Loads are read off the whole frame: weight, the hardest of the best cuts in every direction, and the acceleration of each axis, over every pose. A seat that is not straight or not parallel may load the carriages more than the cut does; the next sheet is about that."), table}
	if t := closedForm(book); len(t.Rows) > 0 {
		blocks = append(blocks, build.Text("The formula for a stiff table on four equal carriages is what makers print. Where the frame differs, the beam or the bed bends: a portal under its own weight spreads its legs and pushes its two rails apart, which the formula cannot know, and the carriage over the stiffer place takes more."), t)
	}
	if m, ok := loadMap(book, loads); ok {
		blocks = append(blocks, m)
	}
	book.Sheet("rails", "Rails and carriages", blocks...)
	return nil
}

// carriageLoads finds the worst of each carriage over poses, directions of the
// cut, and accelerations.
func carriageLoads(book *sheet.Book) ([]carried, error) {
	d := book.Model
	var list []carried
	arm := r3.Vec{}
	if book.Cuts.Demand.Cutter != nil {
		if end, err := machine.ToolEndOf(d.Spec.Spindle, book.Cuts.Demand.Cutter, book.Read()); err == nil {
			arm = end.Arm
		}
	}
	for n, s := range book.Poses {
		if n == 0 {
			list = make([]carried, len(s.Posed.Carriages))
			for i, c := range s.Posed.Carriages {
				factor, err := directionsOf(c.Rail)
				if err != nil {
					return nil, err
				}
				list[i] = carried{Carriage: c, factor: factor}
			}
		}
		wrenches := cutWrenches(book, arm)
		for i, c := range s.Posed.Carriages {
			list[i].take(d, s, c, wrenches)
		}
	}
	for i := range list {
		list[i].mean = math.Cbrt(list[i].mean / float64(len(book.Poses)))
	}
	return list, nil
}

// cutWrenches are the forces of the hardest cut at the nose, in all directions
// of feed and with both signs along the cutter.
func cutWrenches(book *sheet.Book, arm r3.Vec) [][6]float64 {
	axis := book.ToolAxis()
	u := r3.Cross(axis, r3.Vec{Y: 1})
	if r3.Norm(u) < 0.1 {
		u = r3.Cross(axis, r3.Vec{X: 1})
	}
	u = r3.Unit(u)
	v := r3.Cross(axis, u)
	var list [][6]float64
	for i := range cutDirections {
		angle := 2 * math.Pi * float64(i) / cutDirections
		for _, sign := range []float64{-1, 1} {
			f := r3.Add(r3.Scale(book.Cuts.Demand.Lateral, r3.Add(r3.Scale(math.Cos(angle), u), r3.Scale(math.Sin(angle), v))), r3.Scale(sign*book.Cuts.Demand.Axial, axis))
			m := r3.Cross(arm, f)
			list = append(list, [6]float64{f.X, f.Y, f.Z, m.X, m.Y, m.Z})
		}
	}
	return list
}

// take holds a carriage in one pose against the worst so far. A carriage that
// is pressed onto the rail pushes its spring together: the force on the
// carriage along the rail's top is then positive.
func (w *carried) take(d *machine.Model, s *machine.Solved, c machine.Carriage, wrenches [][6]float64) {
	force := func(load int) (lateral, radial float64) {
		f := s.Solution.SpringForce(load, c.Spring)
		// F acts as +F on the rail and −F on the carriage; pressed onto the rail
		// means that the rail is pushed against its top.
		return f[1], -f[2]
	}
	weightSide, weightOn := force(machine.GravityCase)
	accelerations := [][2]float64{{}}
	for i := range d.Spec.Axes {
		side, on := force(machine.FirstAxis + i)
		accelerations = append(accelerations, [2]float64{side, on}, [2]float64{-side, -on})
	}
	var unit [6][2]float64
	for i := range 6 {
		unit[i][0], unit[i][1] = force(i)
	}
	mean, here := 0.0, 0.0
	for _, wrench := range append([][6]float64{{}}, wrenches...) {
		side, on := weightSide, weightOn
		for i := range 6 {
			side += unit[i][0] * wrench[i]
			on += unit[i][1] * wrench[i]
		}
		if wrench != ([6]float64{}) || len(wrenches) == 0 {
			mean += math.Pow(w.factor.equivalent(on, side), 3)
		}
		for _, a := range accelerations {
			lateral, radial := side+a[0], on+a[1]
			w.pullOff = math.Max(w.pullOff, -radial)
			w.side = math.Max(w.side, math.Abs(lateral))
			p := w.factor.equivalent(radial, lateral)
			here = math.Max(here, p)
			if p > w.equivalent || w.pose == nil {
				w.equivalent, w.lateral, w.radial, w.pose, w.node = p, lateral, radial, s.Pose, c.Node
			}
		}
	}
	w.mean += mean / math.Max(1, float64(len(wrenches)))
	w.byPose = append(w.byPose, here)
}

// railRow checks the hardest-worked carriage of a rail.
func railRow(book *sheet.Book, a *spec.Entry[spec.Axis], g *spec.Entry[spec.Guide], loads []carried) ([]build.Cell, error) {
	var w *carried
	for i := range loads {
		if loads[i].Axis == a.Name && loads[i].Guide == g.Name && (w == nil || loads[i].equivalent > w.equivalent) {
			w = &loads[i]
		}
	}
	rail := w.Rail
	id := "axis." + a.Name + ".rail." + g.Name + "."
	title := fmt.Sprintf("rail %s of axis %s", g.Name, a.Name)
	depends := []build.Input{{Figure: "mass.moving." + a.Name}}
	if book.Cuts.Demand.Target != "" {
		depends = append(depends, sheet.From("target."+spec.IDWord(book.Cuts.Demand.Target)+".force", "target."+spec.IDWord(book.Cuts.Demand.Target)+".thrust")...)
	}
	load := book.Old(build.Figure{ID: id + "load", Label: "equivalent load of the hardest-worked carriage, " + title, Value: w.equivalent, Unit: "N",
		Formula: "|onto the rail| + |sideways| of the worst pose and case, read off the frame; of a round rail the load over the share that its bushing carries that way", Source: "ISO 14728-2", Inputs: depends, Notes: []string{"carriage " + w.node + " at " + book.Model.PoseWords(w.pose)}})
	cells := []build.Cell{{Text: a.Name + ", " + g.Name}, {Text: w.node}, {Text: quantity.Number(w.radial)}, {Text: quantity.Number(w.lateral)}, {Text: "–"}, {Text: "–"}, {Text: book.Model.PoseWords(w.pose)}}
	if book.Read().Of(rail.Dynamic) == 0 || book.Read().Of(rail.Static) == 0 {
		book.NotComputed("life and static safety of "+title, "dynamic and static ratings of rail "+g.Item.Rail.Text)
		return cells, nil
	}
	kind := guide.Ball
	if rail.Rolling.Text == "rollers" {
		kind = guide.Roller
	}
	base := guide.Base100
	if rail.DynamicFor.Text == "50 km" {
		base = guide.Base50
	}
	out, err := guide.Analyse(guide.Input{
		Carriage: guide.Carriage{Kind: kind, Dynamic: book.Read().Of(rail.Dynamic), Base: base, Static: book.Read().Of(rail.Static)},
		Duty:     []guide.DutyStep{{Load: guide.Load{Radial: w.mean}, Travel: 1}},
		Peaks:    []guide.Load{{Radial: w.equivalent}, {Radial: -w.pullOff}, {Lateral: w.side}},
		// What the bolts hold is looked at for itself where they are known.
		RailShoulder: rail.Shoulder || rail.Bolts != nil, CarriageShoulder: rail.Shoulder || rail.Bolts != nil,
		Limits: guide.CommonLimits(),
	})
	if err != nil {
		return nil, err
	}
	rating := sheet.In("static rating", rail.Static)
	if out.StaticSafety > 0 {
		cells[4] = build.Cell{Figure: book.Old(build.Figure{ID: id + "static_safety", Label: "static safety, " + title, Value: out.StaticSafety, Formula: "S0 = C0/P0, P0 with an allowance of 1.2 for shocks", Source: "ISO 14728-2; common practice",
			Inputs: append(sheet.From(load), rating)}), Plain: true}
	}
	if out.Life > 0 {
		// Nobody drives a million kilometres: a longer life is not worth its digits.
		life, notes := out.Life, []string(nil)
		if life > 1e9 {
			life, notes = 1e9, []string{"longer than a million kilometres"}
		}
		mean := book.Old(build.Figure{ID: id + "mean_load", Label: "mean load of the hardest-worked carriage, " + title, Value: w.mean, Unit: "N", Formula: "P = (Σ Pi³/n)^(1/3) over the poses and the directions of the cut, with the weight", Source: "ISO 14728-1", Inputs: depends})
		cells[5] = build.Cell{Figure: book.Old(build.Figure{ID: id + "life", Label: "life of the hardest-worked carriage, " + title, Value: life, Unit: "km", Formula: fmt.Sprintf("L = %s (C/(1.2 P))^p, p = 3 for balls and 10/3 for rollers, 1.2 for shocks", quantity.Print(float64(base), "km")), Source: "ISO 14728-1; common practice",
			Inputs: append(sheet.From(mean), sheet.In("dynamic rating", rail.Dynamic)), Notes: notes}), Plain: true}
		if notes != nil {
			cells[5] = build.Cell{Text: "over a million"}
		}
	}
	if err := boltedRail(book, a, g, w, title, load); err != nil {
		return nil, err
	}
	jointDip(book, g, title)
	for _, c := range out.Checks {
		if c.OK {
			continue
		}
		severity := build.SeverityFail
		if c.Name == guide.RuleSideLoad || c.Name == guide.RulePullOff {
			severity = build.SeverityCaution
		}
		book.Find(build.Finding{Rule: c.Name, Severity: severity, At: build.Place(g.At), Figures: []string{load},
			Message: fmt.Sprintf("%s, carriage %s: %s is %s, over the %s that is allowed; take a larger rail, more carriages, or set them wider apart", title, w.node, railWords[c.Name], quantity.Measure(c.Demand, plainUnit(c.Unit)), quantity.Measure(c.Limit, plainUnit(c.Unit)))})
	}
	return cells, nil
}

// plainUnit drops the sign for "no unit".
func plainUnit(unit string) string {
	if unit == "-" {
		return ""
	}
	return unit
}

// railWords are the carriage's checks in words.
var railWords = map[string]string{
	guide.RuleStaticLoad: "the worst load against the static rating",
	guide.RuleLife:       "life",
	guide.RulePullOff:    "pull off the rail",
	guide.RuleSideLoad:   "side load on a rail without a shoulder",
}
