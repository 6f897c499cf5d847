package axes

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/cable"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

const (
	// tightBellows and looseBellows are a bellows' length drawn out over the travel,
	// on rails from the size largeRail and on smaller ones [-]; common practice.
	tightBellows, looseBellows = 1.11, 1.28
	largeRail                  = 30e-3
	// bellowsEnds is what the end frames of a bellows take, boxOverlap how far two
	// boxes of a telescopic cover overlap, boxLip how far each stands out of the next
	// [m], and mostBoxes how many one has; common practice.
	bellowsEnds, boxOverlap, boxLip = 20e-3, 30e-3, 15e-3
	mostBoxes                       = 12
	// coveredTravel is the travel from which on the report says what covers would
	// cost where the spec has none [m].
	coveredTravel = 1.0
)

// railRoom is how far the carriages of an axis can run on the shortest of its rails
// [m].
func railRoom(book *sheet.Book, a *spec.Axis) float64 {
	travel := machine.Unit(a.Direction.XYZ)
	room := math.Inf(1)
	for i := range a.Guides {
		g := &a.Guides[i].Item
		var rail, runs machine.ReachAlong
		for _, over := range g.Over {
			body, members := book.Spec.Match(over.Text)
			for _, name := range members {
				b := &book.Model.Bars[book.Model.ByName[body+"."+name]]
				rail.Take(r3.Dot(travel, b.From))
				rail.Take(r3.Dot(travel, b.To))
			}
		}
		for _, c := range g.Carriages {
			runs.Take(r3.Dot(travel, book.Model.Nodes[book.Model.Node[c.Text]]))
		}
		room = math.Min(room, rail.Length()-runs.Length()-machine.CarriageSizes*machine.DrawnSize(book.Read(), book.Spec.Rails.Find(g.Rail.Text)))
	}
	return room
}

// coverTable prints what the covers of each axis take of its travel.
func coverTable(book *sheet.Book) (build.Table, error) {
	t := build.Table{Caption: "What covers take of the travel", Columns: []build.Column{{Head: "axis"}, {Head: "cover"}, {Head: "travel, mm", Right: true}, {Head: "pushed together at each end, mm", Right: true}, {Head: "drawn out, mm", Right: true}, {Head: "travel on the rails, mm", Right: true}, {Head: "left with covers, mm", Right: true}}}
	for i := range book.Spec.Axes {
		a := &book.Spec.Axes[i]
		if len(a.Item.Guides) == 0 || book.Read().Of(a.Item.Travel) <= 0 {
			continue
		}
		room := railRoom(book, &a.Item)
		kinds, err := coversOf(book.Read(), &a.Item, room, book.Read().Of(book.Spec.Rails.Find(a.Item.Guides[0].Item.Rail.Text).Size))
		if err != nil {
			return t, &machine.Refused{Rule: "cover", At: a.At, Message: fmt.Sprintf("axis %s: its covers: %v", a.Name, err)}
		}
		if len(kinds) == 0 {
			continue
		}
		roomID := book.Old(build.Figure{ID: "axis." + a.Name + ".cover.room", Label: "how far the carriages can run on the rails of axis " + a.Name, Value: room, Unit: "mm", Formula: "length of what carries the rail, less the carriages' spread and one carriage, about 4 sizes long", Source: "derived here; from memory", Inputs: []build.Input{sheet.In("size of the rail", book.Spec.Rails.Find(a.Item.Guides[0].Item.Rail.Text).Size)}})
		for _, k := range kinds {
			id := "axis." + a.Name + ".cover."
			if a.Item.Covers == nil {
				id += k.key + "."
			}
			cell := func(what, label string, v float64, formula string) build.Cell {
				return build.Cell{Figure: book.Old(build.Figure{ID: id + what, Label: label + ", " + k.words + ", axis " + a.Name, Value: v, Unit: "mm", Formula: formula, Source: "common practice; derived here", Inputs: append(sheet.From(roomID), sheet.In("travel", a.Item.Travel))}), Plain: true}
			}
			row := []build.Cell{{Text: a.Name}, {Text: k.words}, {Text: quantity.Number(quantity.Convert(book.Read().Of(a.Item.Travel), "mm"))}, cell("closed", "cover pushed together, at each end", k.cover.Closed, k.formula),
				cell("open", "cover drawn out", k.cover.Open, "pushed together, and the travel"), {Figure: roomID, Plain: true}, {Text: "none"}}
			if k.left > 0 {
				row[6] = cell("left", "travel that is left with the covers", k.left, "what the rails leave, less both ends pushed together for that travel")
			}
			if want := book.Read().Of(a.Item.Travel) + 2*k.cover.Closed; a.Item.Covers != nil && want > room+1e-6 {
				book.Find(build.Finding{Rule: "cover-needs-room", Severity: build.SeverityFail, At: build.Place(a.Item.Covers.Kind.At), Figures: []string{id + "closed", roomID},
					Message: fmt.Sprintf("axis %s: %s takes %s at each end pushed together; with the travel of %s that is %s, and the rails leave the carriages %s. Make the rails and what carries them %s longer, or the travel shorter", a.Name, k.words, quantity.Print(k.cover.Closed, "mm"), quantity.Print(book.Read().Of(a.Item.Travel), "mm"),
						quantity.Print(want, "mm"), quantity.Print(room, "mm"), quantity.Print(want-room, "mm"))})
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t, nil
}

// A covering is a cover that an axis has or might have.
type covering struct {
	key            string
	words, formula string
	cover          cable.Cover
	left           float64 // travel that the rails leave with it; zero for none [m]
}

// coversOf is the cover that the spec gives an axis, or those to think of on a
// long one, on rails that leave the carriages some room.
func coversOf(read spec.Reader, a *spec.Axis, room, rail float64) ([]covering, error) {
	travel := read.Of(a.Travel)
	usual := looseBellows
	if rail >= largeRail {
		usual = tightBellows
	}
	c := a.Covers
	switch {
	case c == nil && travel < coveredTravel:
		return nil, nil
	case c == nil:
		soft, err := bellows("bellows", travel, room, usual, bellowsEnds)
		if err != nil {
			return nil, err
		}
		boxes, err := telescopic(travel, room, 0, boxOverlap, boxLip)
		return []covering{soft, boxes}, err
	case c.Kind.Text == "bellows":
		one, err := bellows("its bellows", travel, room, orElse(read, c.Drawn, usual), orElse(read, c.Ends, bellowsEnds))
		return []covering{one}, err
	}
	one, err := telescopic(travel, room, c.Boxes.N, orElse(read, c.Overlap, boxOverlap), orElse(read, c.Lip, boxLip))
	return []covering{one}, err
}

// bellows is a bellows that takes a share of the travel.
func bellows(words string, travel, room, factor, ends float64) (covering, error) {
	k := covering{key: "bellows", words: words, formula: "S (q − 1) + e, at each end"}
	var err error
	if k.cover, err = cable.Bellows(travel, factor, ends); err != nil {
		return k, err
	}
	if room > 2*ends {
		k.left, err = cable.TravelLeft(room, factor, ends)
	}
	return k, err
}

// telescopic is a cover of so many boxes, or of as many as close shortest.
func telescopic(travel, room float64, boxes int, overlap, lip float64) (covering, error) {
	k := covering{key: "telescopic", formula: "S/(n − 1) + o + n w, at each end"}
	var err error
	if boxes == 0 {
		k.cover, err = cable.BestTelescopic(travel, overlap, lip, mostBoxes)
	} else {
		k.cover, err = cable.Telescopic(travel, boxes, overlap, lip)
	}
	if err != nil {
		return k, err
	}
	k.words = fmt.Sprintf("telescopic, %d boxes at each end", k.cover.Folds)
	// What it takes beside the travel's own share, at both ends.
	if fixed := 2 * (k.cover.Closed - travel/float64(k.cover.Folds-1)); room > fixed {
		k.left, err = cable.TelescopicTravelLeft(room, k.cover.Folds, overlap, lip)
	}
	return k, err
}
