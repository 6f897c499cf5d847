package work

import (
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/lift"
	"ironbed/compiler/machine"
	"ironbed/compiler/making"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Lifting: what is lifted, and how does it hang?
var Lifting = sheet.Sheet{Name: "lifting", Write: liftSheet}

// Floor: does it stand, and what does the floor hold?
var Floor = sheet.Sheet{Name: "floor", Write: floorSheet}

// legAngles are the angles of a sling's legs from the vertical for which forces are printed [deg].
var legAngles = [...]float64{30, 45, 60}

// liftSheet writes the lifts of the bodies.
func liftSheet(book *sheet.Book) error {
	lifts, err := making.Lifts(book.Solution)
	if err != nil {
		return err
	}
	if len(lifts) == 0 {
		return nil
	}
	blocks := before(
		"The way is clear and the place to set it down is ready, with blocks.",
		"Hoist, slings and shackles are rated for more than the heaviest lift below, and what they hang from is too.",
		"Nothing on the body can slide: axes are clamped or tied.",
		"One person leads, and everyone knows the sign to stop.")
	heaviest := &lifts[0]
	for i := range lifts {
		if rank.More(lifts[i].Mass, heaviest.Mass) {
			heaviest = &lifts[i]
		}
	}
	if heaviest.Mass > sheet.HandLift {
		blocks = append(blocks, caution(fmt.Sprintf("the heaviest lift is %s, %s. Use rated gear and points that a competent person has chosen; never stand or reach under a load, and crib it as it rises. "+
			"Above %d kg nothing is lifted by one pair of hands. Local law governs lifting gear.", quantity.Measure(heaviest.Mass, "kg"), liftWords(heaviest), sheet.HandLift)))
	}
	masses, err := massTable(book, lifts)
	if err != nil {
		return err
	}
	legs, err := legTable(book, lifts)
	if err != nil {
		return err
	}
	blocks = append(blocks, masses,
		build.Text("Places are of the centre of gravity from the corner of the body's members that is lowest in X, Y and Z, with the axes in the middle of their travel: hang the hook over it, lift by a hand's breadth, and set down again if it tilts. "+
			"Before the first lift nothing but members is there; rails, carriages, drives and listed masses come with what is complete. A lift that is heavier than this sheet says goes back to the ground until you know why."+doorWords(book)))
	blocks = append(blocks, legs,
		build.Text("A stiff load hangs on two legs, however many there are: the forces are those of two. Legs that lean more than 60° from the vertical are not used."))
	blocks = append(blocks, holdPoint("gear looked over, ratings read", "each body weighed, and the weight is that of this sheet"))
	hoistFinding(book, heaviest)
	book.WorkSheet("lifting", "Lifting", blocks...)
	return nil
}

// floorSheet writes how the machine stands.
func floorSheet(book *sheet.Book) error {
	stand, ends, err := making.Standing(book.Solution)
	if err != nil {
		return err
	}
	if stand == nil {
		book.NotComputed("tipping, load on the floor", "three feet that span an area")
		return nil
	}
	stays := "The machine is where it will stay."
	if book.Model.HasFill() {
		stays = "The fill has cured, and the machine is where it will stay."
	}
	seen := []string{"the machine stands on all of its feet, and none rocks"}
	if onResin(book.Spec) {
		seen = append(seen, "it stays where it is: levelling resin may be poured")
	}
	blocks := before("The floor under each foot is swept, sound and bears the load below.", stays, "The moving bodies are tied in the middle of their travel.")
	blocks = append(blocks, standBlocks(book, stand, ends)...)
	standFindings(book, stand)
	book.WorkSheet("floor", "Floor and feet", append(blocks, holdPoint(seen...))...)
	return nil
}

// liftWords name a lift: "bed, members and fill".
func liftWords(l *making.Lift) string {
	switch {
	case l.Whole:
		return "the whole machine"
	case len(l.Bodies) > 1:
		return l.Bodies[0] + " with " + strings.Join(l.Bodies[1:], ", ")
	}
	return l.Bodies[0] + ", " + string(l.Stage)
}

// liftID begins the ids of a lift's figures.
func liftID(l *making.Lift) string {
	stages := map[making.Stage]string{making.Welded: "members", making.Filled: "filled", making.Complete: "complete"}
	switch {
	case l.Whole:
		return "lift.machine"
	case len(l.Bodies) > 1:
		return "lift." + l.Bodies[0] + ".carrying"
	}
	return "lift." + l.Bodies[0] + "." + stages[l.Stage]
}

// massTable says what each lift weighs and where its centre is.
func massTable(book *sheet.Book, lifts []making.Lift) (t build.Table, err error) {
	t = build.Table{Caption: "Lifts", Columns: []build.Column{{Head: "lift"}, {Head: "mass, kg", Right: true}, {Head: "along X, mm", Right: true}, {Head: "along Y, mm", Right: true}, {Head: "along Z, mm", Right: true},
		{Head: "box, mm"}, {Head: "door, mm", Right: true}, {Head: "weighed, kg"}}}
	for i := range lifts {
		l := &lifts[i]
		mass := book.Cell(sheet.Figure{ID: liftID(l) + ".mass", Label: "mass of lift " + liftWords(l), Value: sheet.Between(l.Mass, l.Ends(func(l *making.Lift) float64 { return l.Mass })...), Unit: "kg",
			Formula: "sum over the parts that are there", Source: "derived here", Log: l.Log, Stands: true})
		r := []build.Cell{text("%s", liftWords(l)), mass}
		for k := range l.Centre {
			r = append(r, text("%s", millimetres(l.Centre[k]-l.Low[k])))
		}
		size, door := "not known", text("–")
		if l.Size[0] > 0 && l.Size[1] > 0 && l.Size[2] > 0 {
			if door, err = doorCell(book, l); err != nil {
				return t, err
			}
			size = fmt.Sprintf("%s × %s × %s", millimetres(l.Size[0]), millimetres(l.Size[1]), millimetres(l.Size[2]))
		}
		t.Rows = append(t.Rows, append(r, text("%s", size), door, build.Cell{}))
	}
	return t, nil
}

// doorWords say which door is meant.
func doorWords(book *sheet.Book) string {
	d := book.Spec.Door
	if d == nil {
		return ""
	}
	read := book.Read()
	words := fmt.Sprintf(" The door is %s wide and %s high", quantity.Print(read.Of(d.Width), "mm"), quantity.Print(read.Of(d.Height), "mm"))
	if !d.Width.Given || !d.Height.Given {
		words += ", as is assumed: measure it"
	}
	return words + ". The column has by how much a body clears it, along its longest side, upright or on its side; below zero it does not pass. Boxes are of members alone: rails, motors and screws are beside them."
}

// doorCell is by how much a lift clears the door, straight along its longest side.
func doorCell(book *sheet.Book, l *making.Lift) (build.Cell, error) {
	d := book.Spec.Door
	if d == nil {
		return text("–"), nil
	}
	read := book.Reader(l.Places)
	width, height := read.Of(d.Width), read.Of(d.Height)
	clear, err := lift.Clearance(l.Size, width, height)
	if err != nil {
		return build.Cell{}, err
	}
	id := liftID(l) + ".door"
	cell := book.Cell(sheet.Figure{ID: id, Label: "clearance at the door of lift " + liftWords(l), Value: sheet.Plain(clear), Unit: "mm", Formula: "max(min(w − a, h − b), min(w − b, h − a)), a and b the shorter sides of its members' box",
		Source: "derived here", Log: read.Log(), Detail: true})
	if clear < 0 && d.Width.Given && d.Height.Given && !l.Whole {
		book.Find(build.Finding{Rule: "lift-over-door", Severity: build.SeverityCaution, At: build.Place(d.Width.At), Figures: []string{id},
			Message: fmt.Sprintf("%s does not pass the door of %s × %s: its members' box is %s × %s × %s mm; make it where it will stand, join it there, or take out the frame of the door",
				liftWords(l), quantity.Print(width, "mm"), quantity.Print(height, "mm"), millimetres(l.Size[0]), millimetres(l.Size[1]), millimetres(l.Size[2]))})
	}
	return cell, nil
}

// legTable says what each leg of a sling carries.
func legTable(book *sheet.Book, lifts []making.Lift) (build.Table, error) {
	t := build.Table{Caption: "Load on each leg, kg", Columns: []build.Column{{Head: "lift"}}}
	for _, a := range legAngles {
		k, err := lift.LegFactor(a * math.Pi / 180)
		if err != nil {
			return t, err
		}
		t.Columns = append(t.Columns, build.Column{Head: fmt.Sprintf("%g° from vertical, factor %.2f", a, k), Right: true})
	}
	for i := range lifts {
		l := &lifts[i]
		if l.Mass <= sheet.HandLift {
			continue
		}
		r := []build.Cell{text("%s", liftWords(l))}
		for _, a := range legAngles {
			var failed error
			of := func(l *making.Lift) float64 {
				f, err := lift.LegForce(l.Mass, a*math.Pi/180)
				if err != nil {
					failed = err
				}
				return f
			}
			r = append(r, book.Cell(sheet.Figure{ID: fmt.Sprintf("%s.leg_%g", liftID(l), a), Label: fmt.Sprintf("load on each leg at %g° of lift %s", a, liftWords(l)), Value: sheet.Between(of(l), l.Ends(of)...), Unit: "kg",
				Formula: "W/(2 cos β)", Source: "NAVEDTRA 14080", From: []string{liftID(l) + ".mass"}, Log: l.Log, Detail: true}))
			if failed != nil {
				return t, failed
			}
		}
		t.Rows = append(t.Rows, r)
	}
	return t, nil
}

// personPush is what a person can push with for a moment [N]; from memory.
const personPush = 500

// standBlocks say how the machine stands.
func standBlocks(book *sheet.Book, stand *making.Stand, ends []*making.Stand) []build.Block {
	add := func(id, label, unit, formula string, of func(*making.Stand) float64) string {
		var list []float64
		for _, e := range ends {
			list = append(list, of(e))
		}
		return book.Add(sheet.Figure{ID: "floor." + id, Label: label, Value: sheet.Between(of(stand), list...), Unit: unit, Formula: formula, Source: "derived here", Log: stand.Log, From: []string{"mass.total"}})
	}
	t := build.Table{Caption: "On its feet", Columns: []build.Column{{Head: "quantity"}, {Head: "computed"}, {Head: "measured"}}}
	t.Rows = append(t.Rows,
		row("area that the feet span", add("area", "area that the feet span", "m2", "smallest convex area round the feet", func(s *making.Stand) float64 { return s.Area }), build.Cell{}),
		row("load on that area", add("load", "load of the machine on the area of its feet", "kPa", "weight over the area that the feet span", func(s *making.Stand) float64 { return s.Weight / s.Area }), build.Cell{}),
		row("centre of gravity inside of the feet, at the least", add("margin", "least distance of the centre of gravity from an edge of the feet", "mm", "least over the positions", func(s *making.Stand) float64 { return s.Margin }), build.Cell{}))
	if stand.Push > 0 {
		t.Rows = append(t.Rows,
			row("tips on a slope of", add("slope", "slope at which the machine tips", "deg", "tan α = m/h", func(s *making.Stand) float64 { return s.Slope }), build.Cell{}),
			row("tips by a level push at its top of", add("push", "level push at its top that tips the machine", "N", "W m/h", func(s *making.Stand) float64 { return s.Push }), build.Cell{}))
	}
	words := fmt.Sprintf("The least favourable position is %s.", book.Model.PoseWords(stand.At))
	if len(book.Spec.Axes) == 0 {
		words = ""
	}
	blocks := []build.Block{t}
	if stand.Push > 0 && stand.Push < personPush {
		blocks = append(blocks, caution(fmt.Sprintf("a level push of %s at its top tips it, which one person can do. Bolt it down or spread its feet before anyone works on it, and tie it to what lifts it until then.",
			quantity.Print(stand.Push, "N"))))
	}
	blocks = append(blocks, build.Text(strings.TrimSpace(words+" Compare the loads with what the floor was built for: kPa are kN on each square metre. A suspended floor is the matter of a structural engineer.")))
	if len(stand.Pads) > 0 {
		pads := build.Table{Caption: "Feet", Columns: []build.Column{{Head: "foot"}, {Head: "most, kg", Right: true}, {Head: "under its pad, MPa", Right: true}, {Head: "weighed, kg"}}}
		for i := range stand.Pads {
			p := &stand.Pads[i]
			pads.Rows = append(pads.Rows, []build.Cell{text("%s", p.Name), text("%s", quantity.Number(-p.Force.Middle/machine.Gravity.Z)),
				book.Cell(sheet.Figure{ID: "foot." + p.Name + ".pressure", Label: "pressure under the pad of foot " + p.Name, Value: sheet.Between(p.Pressure.Middle, p.Pressure.Ends...), Unit: "MPa",
					Formula: "4 F/(π d²), largest force over the positions", Source: "derived here", From: []string{"foot." + p.Name + ".load"}, Log: p.Log, Detail: true}), {}})
		}
		blocks = append(blocks, pads)
	}
	return blocks
}

// standFindings says where the machine does not stand.
func standFindings(book *sheet.Book, stand *making.Stand) {
	if stand.Margin > 0 {
		return
	}
	var at spec.Place
	for _, b := range book.Spec.Bodies {
		for _, f := range b.Item.Feet {
			if at == (spec.Place{}) {
				at = f.At
			}
		}
	}
	book.Find(build.Finding{Rule: "machine-tips", Severity: build.SeverityFail, At: build.Place(at), Figures: []string{"floor.margin"},
		Message: fmt.Sprintf("the machine tips over its feet at %s: its centre of gravity is %s outside of the area that they span; spread the feet, or bolt the machine down",
			book.Model.PoseWords(stand.At), quantity.Print(-stand.Margin, "mm"))})
}

// hoistFinding holds the heaviest lift against the hoist.
func hoistFinding(book *sheet.Book, heaviest *making.Lift) {
	h := book.Spec.Hoist
	if h == nil {
		return
	}
	read := book.Reader(heaviest.Log)
	low, middle, high := read.Span(h.Capacity)
	ends := heaviest.Ends(func(l *making.Lift) float64 { return l.Mass / middle })
	id := book.Add(sheet.Figure{ID: "lift.hoist", Label: "heaviest lift over what the hoist is rated for", Value: sheet.Between(heaviest.Mass/middle, append(ends, heaviest.Mass/low, heaviest.Mass/high)...), Unit: "%",
		Formula: "largest mass of a lift over the rating", Source: "derived here", From: []string{liftID(heaviest) + ".mass"}, Log: read.Log()})
	if !rank.More(heaviest.Mass, middle) {
		return
	}
	book.Find(build.Finding{Rule: "lift-over-hoist", Severity: build.SeverityFail, At: build.Place(h.Capacity.At), Figures: []string{id},
		Message: fmt.Sprintf("%s is a lift of %s, and the hoist is rated for %s; lift it in parts or before its fill, or hire a hoist that is rated for it",
			liftWords(heaviest), quantity.Measure(heaviest.Mass, "kg"), quantity.Print(book.Read().Of(h.Capacity), "kg"))})
}
