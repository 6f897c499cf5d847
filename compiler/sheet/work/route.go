package work

import (
	"fmt"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/making"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Route: in which order is it made, and which order spoils it?
var Route = sheet.Sheet{Name: "route card", Write: routeSheet}

// A step is a step of the route card.
type step struct {
	name   string
	before string // what must be true
	here   string // what it is on this machine
}

// routeSheet writes the route card of the machine, and holds the order of the spec against the rules.
func routeSheet(book *sheet.Book) error {
	pours, err := fillings(book)
	if err != nil {
		return err
	}
	orderFindings(book, len(pours) > 0)
	t := build.Table{Columns: []build.Column{{Head: "no.", Right: true}, {Head: "step"}, {Head: "true before"}, {Head: "on this machine"}, {Head: "signed, date"}}}
	for i, s := range steps(book, pours) {
		t.Rows = append(t.Rows, []build.Cell{text("%d", i+1), text("%s", build.Bold(s.name)), text("%s", s.before), text("%s", s.here), {}})
	}
	words := "One line a step. Sign a step when its sheet is signed, and go on only then. The order is common practice."
	spoils := rules(len(pours) > 0, onResin(book.Spec))
	if len(spoils) > 0 {
		words += " What spoils the machine:"
	}
	book.WorkSheet("route", "Route card", build.Text(words), build.List(spoils), t)
	return nil
}

// rules are the rules that make an order wrong; common practice.
func rules(filled, resin bool) (list []string) {
	if filled {
		list = append(list,
			build.Bold("No welding after a fill.")+" Heat makes steam in a closed hollow, breaks the core off the wall and moves the rails.",
			build.Bold("No mounting surface finished before the fill.")+" The fresh fill bulges the walls, and its shrinkage moves them again.")
	}
	if resin {
		list = append(list, build.Bold("No levelling resin until the machine stands on its final feet.")+" Moving it afterwards twists what was poured level.")
	}
	return list
}

// steps are the steps that this machine has, in their order.
func steps(book *sheet.Book, pours []making.Pour) (list []step) {
	m := book.Spec
	add := func(name, before, here string) { list = append(list, step{name, before, here}) }
	var used []string
	for _, s := range m.Supply {
		if c := s.Item.Condition.Text; c == "used" || c == "salvaged" {
			used = append(used, s.Name)
		}
	}
	if len(used) > 0 {
		add("Survey what is used", "it is at hand and clean", strings.Join(used, ", "))
	}
	welded, sawn := steel(book.Model), making.Sawn(book.Model)
	add("Cut, mark out, drill", "stock measured, survey signed", fmt.Sprintf("%d %s from stock", sawn, plural(sawn, "piece", "pieces")))
	if welded {
		add("Fit up, tack, weld", "coatings off for 100 mm, closed hollows vented", "in the order of the weld plan")
		add("Relieve, or age", "all welding done", "heat, or two weeks' wait")
	}
	if len(pours) == 0 {
		add("Machine the mounting surfaces, drill, tap", "the shape has come to rest", "by the tolerances of the rails")
	} else {
		add("Rough surfaces, drill, tap", "the shape has come to rest", "finished after the fill")
		var volume, mass float64
		hollows := 0
		for i := range pours {
			volume, mass, hollows = volume+pours[i].Volume, mass+pours[i].Mass, hollows+len(pours[i].Cavities)
		}
		add("Fill", "leak-tested, openings and inserts in, nothing left to weld",
			fmt.Sprintf("%d %s, %s, %s", hollows, plural(hollows, "hollow", "hollows"), quantity.Print(volume, "L"), quantity.Measure(mass, "kg")))
		add("Cure", "filled in one go, covered", "dates on the fill sheet")
	}
	feet := 0
	for _, b := range m.Bodies {
		feet += len(b.Item.Feet)
	}
	if feet > 0 {
		add("Set on its final feet", "the floor holds it, the lift is planned", fmt.Sprintf("%d feet", feet))
	}
	if onResin(m) {
		add("Level the mounting surfaces with resin", "on its final feet, fill cured", "no touch until it has set")
	}
	guides := 0
	for _, a := range m.Axes {
		guides += len(a.Item.Guides)
	}
	if guides > 0 {
		add("Set the rails", "mounting surfaces finished and measured", fmt.Sprintf("%d %s", guides, plural(guides, "rail", "rails")))
	}
	if len(m.Axes) > 0 {
		add("Set the moving bodies", "rails straight, parallel and without twist", strings.Join(moved(m), ", "))
		add("Set the drives", "bodies move by hand over the whole travel", "axes "+strings.Join(m.Axes.Names(), ", "))
	}
	if len(m.Chains) > 0 {
		add("Lay the cables", "ends of travel known", strings.Join(m.Chains.Names(), ", "))
	}
	if m.Spindle != nil {
		add("Electrics", "left to a licensed person where the law says so", "earth, emergency stop, ends of travel")
		add("Commission", "guards on, one axis at a time", "first turns of the drives, acceptance card, first cuts")
	}
	return list
}

// onResin reports whether a rail lies on resin.
func onResin(m *spec.Machine) bool {
	return slices.ContainsFunc(m.Rails, func(e spec.Entry[spec.Rail]) bool {
		return e.Item.Surface.Text == "poured" || e.Item.Surface.Text == "squeezed" || e.Item.Resin != nil
	})
}

// moved are the bodies that axes move.
func moved(m *spec.Machine) (list []string) {
	for _, a := range m.Axes {
		if !slices.Contains(list, a.Item.Moves.Text) {
			list = append(list, a.Item.Moves.Text)
		}
	}
	return list
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// An order is a rule of the route: one step must not come after, or not without, another.
type order struct {
	rule        string
	first, then string // `first` comes before `then`
	why         string
	filled      bool // it holds for machines with a fill
}

var orders = [...]order{
	{"weld-after-fill", "weld", "fill", "heat makes steam in a filled hollow, breaks the core off its wall and moves the rails", true},
	{"relief-after-fill", "relieve", "fill", "heat or vibration breaks the core off its wall", true},
	{"surface-before-fill", "fill", "level", "a fresh fill bulges the walls, and its shrinkage moves the mounting surfaces again", true},
	{"surface-before-fill", "fill", "rails", "a fresh fill bulges the walls, and its shrinkage moves the rails", true},
	{"surface-before-cure", "cure", "level", "the core still shrinks and moves the mounting surfaces", true},
	{"level-before-stand", "stand", "level", "moving the machine afterwards twists what was poured level", false},
}

// orderFindings holds the order that the spec names against the rules.
func orderFindings(book *sheet.Book, filled bool) {
	route := book.Spec.Route
	at := func(word string) int {
		return slices.IndexFunc(route, func(t spec.Text) bool { return t.Text == word })
	}
	for _, o := range orders {
		first, then := at(o.first), at(o.then)
		if first < 0 || then < 0 || first < then || o.filled && !filled {
			continue
		}
		book.Find(build.Finding{
			Rule:     o.rule,
			Severity: build.SeverityFail,
			At:       build.Place(route[first].At),
			Message:  fmt.Sprintf("`route` has %s after %s: %s; move %s before %s", o.first, o.then, o.why, o.first, o.then),
			Notes:    []build.Remark{{Message: o.then + " stands here", At: build.Place(route[then].At)}},
		})
	}
}
