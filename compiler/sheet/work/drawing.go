package work

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/making"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Drawings: what does each part look like, and where is it drilled?
var Drawings = sheet.Sheet{Name: "drawings", Forms: sheet.ReportOnly, Write: drawingSheets}

// drawingSheets writes a sheet of drawings for each body.
func drawingSheets(book *sheet.Book) error {
	bill, err := making.Materials(book.Solution)
	if err != nil {
		return err
	}
	parts, err := making.Parts(book.Model, bill)
	if err != nil {
		return err
	}
	for _, b := range book.Spec.Bodies {
		var own []*making.Part
		for i := range parts {
			if body, _, _ := strings.Cut(parts[i].Piece.Name(), "."); body == b.Name {
				own = append(own, &parts[i])
			}
		}
		if len(own) > 0 {
			bodyDrawings(book, b.Name, own)
		}
	}
	return nil
}

// bodyDrawings writes the drawings of a body's parts. Parts that are alike, holes and all, have one.
func bodyDrawings(book *sheet.Book, body string, parts []*making.Part) {
	blocks := before("The pieces are cut to the cut list and marked with their names, and each at its first end, where its first member begins.")
	blocks = append(blocks, build.Text("Dimensions in mm, along the piece from its first end over its outermost points, across from the middle of the side. Grey: another part stands here. Dashed: on the far side. "+
		"Not drawn are the holes of carriages, nuts, bearings, motors and feet: mark these from the part itself."),
		caution("drills catch and tear: clamp the piece, no gloves, sleeves tied, eyes covered; deburr every hole before a hand or a cable goes in."))
	type kind struct {
		part  *making.Part
		names []string
	}
	var kinds []kind
	at := map[string]int{}
	for _, p := range parts {
		key := likeness(p)
		n, ok := at[key]
		if !ok {
			n = len(kinds)
			at[key] = n
			kinds = append(kinds, kind{part: p})
		}
		kinds[n].names = append(kinds[n].names, p.Piece.Words())
	}
	for i, k := range kinds {
		name := k.names[0]
		switch n := len(k.names); {
		case n == 2:
			name += ", " + k.names[1]
		case n > 2:
			name = fmt.Sprintf("%s, and %d alike to %s", name, n-1, k.names[n-1])
		}
		picture, table := drawing(book, k.part)
		picture.ID = fmt.Sprintf("part-%s-%d", body, i+1)
		picture.Title = name
		picture.Caption = fmt.Sprintf("%d of %s, %s, %s each.", len(k.names), k.part.Piece.Bars[0].Member.Section.Text, k.part.Item.Words, quantity.Measure(quantity.Round(k.part.Piece.Mass*1e2)/1e2, "kg"))
		if k.part.Cast() {
			picture.Caption += " Cast as one with what it meets; by the pattern add what it shrinks and what is machined."
		}
		if k.part.Open > 0 {
			picture.Caption += " " + closing(k.part)
		}
		blocks = append(blocks, picture)
		if len(table.Rows) > 0 {
			table.Caption = "Holes and places: " + k.names[0]
			blocks = append(blocks, table)
		}
		for _, p := range parts {
			if slices.Contains(k.names, p.Piece.Words()) {
				holeFigures(book, p)
			}
		}
	}
	blocks = append(blocks, holdPoint("openings, vents, keys, conduits and bolts of joints are drilled and deburred before the piece is welded", "every piece measured against its drawing"))
	book.WorkSheet("drawings-"+body, "Drawings "+body, blocks...)
}

// likeness is what parts have in common that are drawn once.
func likeness(p *making.Part) string {
	words := []string{p.Item.Name, tenths(p.Piece.Sawn()), endWords(p.Piece), fmt.Sprint(p.Open)}
	for _, h := range p.Holes {
		words = append(words, h.Kind, kindOf(h), making.Towards(p.Normal(h.Side)))
		for i := range h.At {
			words = append(words, tenths(h.At[i]), tenths(h.Across[i]))
		}
	}
	for _, s := range p.Stand {
		words = append(words, making.Towards(p.Normal(s.Side)), tenths(s.From))
	}
	return strings.Join(words, " ")
}

// kindOf is what holes are for, but for the name of a rail's line: those of two lines that mirror each other are alike.
func kindOf(h making.Holes) string {
	if h.Kind == "rail" {
		_, axis, _ := strings.Cut(h.Of, " of ")
		return axis
	}
	return h.Of
}

// closing says which plates close the open ends of a hollow before the pour.
func closing(p *making.Part) string {
	wall, _ := p.Hollow()
	return fmt.Sprintf("Filled: %d open %s closed by %s of %s × %s × %s, welded tight, before the pour.", p.Open, plural(p.Open, "end is", "ends are"), plural(p.Open, "a plate", "plates"),
		tenths(p.Reach[1].Length()), tenths(p.Reach[0].Length()), quantity.Measure(quantity.Round(wall*1e4)/10, "mm"))
}

// drawing draws a part with the table of its holes.
func drawing(book *sheet.Book, p *making.Part) (build.Picture, build.Table) {
	length := p.Piece.Cut.Length
	d := build.Part{Length: length, Section: sheet.SectionItem("", p.Piece.Bars[0].Section), Width: tenths(p.Reach[0].Length()), Height: tenths(p.Reach[1].Length())}
	d.Section.Note = ""
	t := build.Table{Caption: "Holes and places", Columns: []build.Column{{Head: "mark"}, {Head: "what"}, {Head: "side"}, {Head: "drill, mm"}, {Head: "across, mm"}, {Head: "along, mm"}, {Head: "done"}}}
	letters := map[int]string{}
	for i, h := range p.Holes {
		letters[i] = string(rune('A' + i%26))
		t.Rows = append(t.Rows, []build.Cell{text("%s", letters[i]), text("%s", holeWords(p, h)), text("%s", making.Towards(p.Normal(h.Side))), text("%s", drillWords(h)), text("%s", acrossWords(p, h)), text("%s", alongWords(h.At)), {}})
	}
	t.Rows = append(t.Rows, standRows(p)...)
	for axis := 1; axis >= 0; axis-- {
		d.Views = append(d.Views, view(p, axis, letters))
	}
	// A side on which nothing is to be seen says nothing that the section does not.
	if second := d.Views[1]; len(second.Holes)+len(second.Stands) == 0 && second.Angles == [2]string{} {
		d.Views = d.Views[:1]
	}
	return build.Picture{Drawing: d}, t
}

// standRows say where other parts stand, a row for each side.
func standRows(p *making.Part) (rows [][]build.Cell) {
	var done []making.Side
	for _, first := range p.Stand {
		if slices.Contains(done, first.Side) {
			continue
		}
		done = append(done, first.Side)
		var names, places []string
		for _, s := range p.Stand {
			if s.Side == first.Side {
				_, short, _ := strings.Cut(s.Name, ".")
				names = append(names, short)
				places = append(places, fmt.Sprintf("%s to %s", tenths(math.Max(0, s.From)), tenths(math.Min(p.Piece.Cut.Length, s.To))))
			}
		}
		words := strings.Join(names, ", ") + plural(len(names), " stands here", " stand here")
		if n := len(names); n > 3 {
			words = fmt.Sprintf("%d parts stand here, from %s to %s", n, names[0], names[n-1])
		}
		rows = append(rows, []build.Cell{text("–"), {Text: words}, text("%s", making.Towards(p.Normal(first.Side))), text("–"), text("–"), text("%s", strings.Join(places, ", ")), {}})
	}
	return rows
}

// view is a part seen onto one of its two pairs of sides: that on which more holes lie.
func view(p *making.Part, axis int, letters map[int]string) build.PartView {
	count, rails := map[float64]int{}, map[float64]int{}
	for _, h := range p.Holes {
		if h.Side.Axis == axis {
			count[h.Side.Way] += len(h.At)
			if h.Kind == "rail" {
				rails[h.Side.Way] += len(h.At)
			}
		}
	}
	for _, s := range p.Stand {
		if s.Side.Axis == axis {
			count[s.Side.Way]++
		}
	}
	seen := making.Side{Axis: axis, Way: 1}
	other := 1 - axis
	// What is up in the machine is up on the page, where there is an up; otherwise the side on which more is.
	if up := p.Sides[other].Z; math.Abs(up) > 0.5 {
		if seen.Way = math.Copysign(1, up); axis == 1 {
			seen.Way = -seen.Way
		}
	} else if count[-1] > count[1] {
		seen.Way = -1
	}
	mirrored := false
	if rails[-seen.Way] > rails[seen.Way] { // a rail's holes are seen, and what is up stays up: the first end comes to the right
		seen.Way, mirrored = -seen.Way, math.Abs(p.Sides[other].Z) > 0.5
	}
	// Seen from a side, the first end at the left: what is up on the page.
	way := seen.Way
	if axis == 1 {
		way = -way
	}
	if mirrored {
		way = -way
	}
	v := build.PartView{Mirrored: mirrored, Name: "seen from " + making.Towards(p.Normal(seen)) + ", " + making.Towards(p.Normal(making.Side{Axis: other, Way: way})) + " up"}
	corner := func(end int, across, deep float64) [2]float64 {
		places := [2]float64{across, deep}
		if axis == 0 {
			places = [2]float64{deep, across}
		}
		return [2]float64{p.Corner(end, places[0], places[1]), way * across}
	}
	low, high := p.Reach[other].Low, p.Reach[other].High
	near, far := p.Reach[axis].High, p.Reach[axis].Low
	if seen.Way < 0 {
		near, far = far, near
	}
	for _, place := range []struct {
		end    int
		across float64
	}{{0, low}, {1, low}, {1, high}, {0, high}} {
		a, b := corner(place.end, place.across, near), corner(place.end, place.across, far)
		if place.end == 0 && b[0] < a[0] || place.end == 1 && b[0] > a[0] {
			a, b = b, a
		}
		v.Outline = append(v.Outline, a)
	}
	for end := range 2 {
		a, b := corner(end, low, near), corner(end, high, near)
		if math.Abs(a[0]-v.Outline[map[int]int{0: 0, 1: 1}[end]][0]) > 1e-6 || math.Abs(b[0]-v.Outline[map[int]int{0: 3, 1: 2}[end]][0]) > 1e-6 {
			v.Edges = append(v.Edges, [2][2]float64{a, b})
		}
		if off := slantIn(p, end, axis); off > 0.05 {
			v.Angles[end] = quantity.Number(math.Round(off*10)/10) + "°"
		}
	}
	for _, s := range p.Stand {
		if s.Side.Axis == axis {
			_, short, _ := strings.Cut(s.Name, ".")
			a, b := way*s.Low, way*s.High
			v.Stands = append(v.Stands, build.PartStand{Name: short, From: s.From, To: s.To, Low: math.Min(a, b), High: math.Max(a, b), Hidden: s.Side.Way != seen.Way})
		}
	}
	for i, h := range p.Holes {
		if h.Side.Axis != axis {
			continue
		}
		holes := build.PartHoles{Letter: letters[i], Diameter: h.Diameter, Hidden: h.Side.Way != seen.Way}
		for k := range h.At {
			holes.At = append(holes.At, [2]float64{h.At[k], way * h.Across[k]})
		}
		v.Holes = append(v.Holes, holes)
	}
	return v
}

// slantIn is by how much an end is cut off square as it is seen onto a pair of sides [deg].
func slantIn(p *making.Part, end, axis int) float64 {
	low, high := p.Reach[1-axis].Low, p.Reach[1-axis].High
	at := func(across float64) float64 {
		if axis == 0 {
			return p.Corner(end, 0, across)
		}
		return p.Corner(end, across, 0)
	}
	return math.Abs(math.Atan2(at(high)-at(low), high-low)) * 180 / math.Pi
}

// holeWords say what holes are for.
func holeWords(p *making.Part, h making.Holes) string {
	n := ""
	if len(h.At) > 1 {
		n = strconv.Itoa(len(h.At)) + " "
	}
	words := map[string]string{
		"rail":    n + "bolts of rail " + h.Of,
		"opening": n + "to pour and to vent, fill " + h.Of,
		"vent":    n + "vent, before the last weld",
		"key":     n + "shear keys of fill " + h.Of + ", welded in",
		"conduit": n + "for conduit " + h.Of,
		"bolt":    n + "bolts of " + h.Of,
	}[h.Kind]
	if h.Kind == "rail" && p.Welded {
		words += "; drilled after welding, with the roughing"
	}
	if h.Shallow {
		words += "; the wall is thinner than the thread is wide: weld a strip or nuts behind it"
	}
	return words
}

// drillWords say how a hole is drilled.
func drillWords(h making.Holes) string {
	d := strconv.FormatFloat(math.Round(h.Diameter*1e5)/100, 'f', -1, 64)
	if h.Thread > 0 {
		return d + ", tap M" + quantity.Number(h.Thread*1e3)
	}
	return d
}

// acrossWords say where holes lie across their side.
func acrossWords(p *making.Part, h making.Holes) string {
	list := slices.Clone(h.Across)
	slices.Sort(list)
	list = slices.CompactFunc(list, func(a, b float64) bool { return math.Abs(a-b) < 5e-5 })
	var words []string
	for _, v := range list {
		if math.Abs(v) < 5e-5 {
			words = append(words, "middle")
			continue
		}
		words = append(words, tenths(math.Abs(v))+" towards "+making.Towards(p.Normal(making.Side{Axis: 1 - h.Side.Axis, Way: math.Copysign(1, v)})))
	}
	return strings.Join(words, "; ")
}

// alongWords list the places of holes, each once.
func alongWords(at []float64) string {
	var words []string
	for i, v := range at {
		if i == 0 || v-at[i-1] > 5e-5 {
			words = append(words, tenths(v))
		}
	}
	return strings.Join(words, ", ")
}

// holeFigures adds where holes begin and how many they are.
func holeFigures(book *sheet.Book, p *making.Part) {
	for i, h := range p.Holes {
		id := fmt.Sprintf("drawing.%s.%s", p.Piece.Name(), spec.IDWord(h.Kind))
		if i > 0 && p.Holes[i-1].Kind == h.Kind {
			id += "_" + strconv.Itoa(i+1)
		}
		source, formula := "derived here", "as the part is cut; openings, vents and conduits as a proposal"
		if h.Kind == "rail" {
			source, formula = "common practice; ISO 12090-1", "e = (L − T (z − 1))/2 from the rail's end, on the part"
		}
		log := spec.Over(p.Log, h.Log)
		what := kindOf(h)
		if what == "" {
			what = h.Kind
		}
		book.Add(sheet.Figure{ID: id + ".first", Label: fmt.Sprintf("first hole (%s) of part %s", what, p.Piece.Name()), Value: sheet.Plain(h.At[0]), Unit: "mm", Formula: formula, Source: source, Log: log, Detail: true})
		book.Add(sheet.Figure{ID: id + ".number", Label: fmt.Sprintf("number of holes (%s) of part %s", what, p.Piece.Name()), Value: sheet.Plain(float64(len(h.At))), Formula: "count", Source: "derived here", Log: log, Detail: true})
	}
}
