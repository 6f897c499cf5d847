package work

import (
	"fmt"
	"slices"
	"strings"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Straight: what is scraped off the mounting surfaces, and what is shimmed?
var Straight = sheet.Sheet{Name: "scrape or shim", Needs: sheet.ATool, Forms: sheet.ReportOnly, Write: straightSheet}

// straightSheet writes the map of each rail that was read.
func straightSheet(book *sheet.Book) error {
	for _, v := range book.Axes.Surveys {
		var blocks []build.Block
		for _, way := range [][2]*axis.Pass{v.Normal, v.Lateral} {
			blocks = append(blocks, scrapeMaps(book, v, way)...)
		}
		if len(blocks) == 0 {
			continue
		}
		for _, way := range [][2]*axis.Pass{v.Normal, v.Lateral} {
			if c, ok := book.Profiles("map", v, way); ok {
				blocks = append(blocks, c)
			}
		}
		name := book.Spec.Axes[v.Axis].Name
		head := before("The machine stands on its final feet, at an even temperature since the day before.",
			"The readings below are those of the last pass; nothing was moved since.")
		blocks = append(append(head, build.Text("Scrape takes the surface down to the lower of the two lines that hold all points, shim fills it up to the upper one: do one of them, not both. "+
			"What is less than the uncertainty is not seen by the instrument: leave it. A shim is of metal, as wide as the rail, and never under the rail alone between two bolts.")), blocks...)
		if words := twistWords(book, v); words != "" {
			blocks = append(blocks, build.Text(words))
		}
		blocks = append(blocks, build.List{
			"Scrape in passes, blue the surface or read it again between two of them; the level's foot or the straightedge rests on what was scraped, wiped clean.",
			"Read again when it is done, forth and back, and write it in as a pass of its own, with its date: the later one stands.",
		}, holdPoint("what is left is within what the rails demand, or within what the instrument sees", "the new readings are in the spec, and the report was run again"))
		book.WorkSheet("straight-"+spec.IDWord(name), "Scrape or shim, axis "+name, blocks...)
	}
	return nil
}

// scrapeMaps are the maps of both rails along one way: in one table where they were read at the same places.
func scrapeMaps(book *sheet.Book, v *axis.Survey, way [2]*axis.Pass) (list []build.Block) {
	switch one, other := way[0], way[1]; {
	case one != nil && other != nil && slices.Equal(one.At, other.At):
		return []build.Block{scrapeMap(book, v, one, other)}
	default:
		for _, p := range way {
			if p != nil {
				list = append(list, scrapeMap(book, v, p))
			}
		}
		return list
	}
}

// scrapeMap is the map of rails that were read at the same places.
func scrapeMap(book *sheet.Book, v *axis.Survey, passes ...*axis.Pass) build.Table {
	var of []string
	t := build.Table{Columns: []build.Column{{Head: "at, mm", Right: true}}, Rows: make([][]build.Cell, len(passes[0].At))}
	for i := range t.Rows {
		t.Rows[i] = []build.Cell{text("%s", millimetres(passes[0].At[i]))}
	}
	for _, p := range passes {
		of = append(of, fmt.Sprintf("rail %s by %s, least zone %s ± %s", p.Rail.Name, p.Entry.Item.Instrument(), quantity.Print(tenth(p.LeastZone), "µm"), quantity.Print(tenth(p.U()), "µm")))
		t.Columns = append(t.Columns, build.Column{Head: p.Rail.Name + ": scrape, µm", Right: true}, build.Column{Head: "or shim, µm", Right: true})
		for i := range t.Rows {
			t.Rows[i] = append(t.Rows[i], text("%s", whole(p.Above[i])), text("%s", whole(p.Below[i])))
		}
	}
	for _, p := range passes {
		t.Columns = append(t.Columns, build.Column{Head: p.Rail.Name + " after"})
		for i := range t.Rows {
			t.Rows[i] = append(t.Rows[i], build.Cell{})
		}
	}
	t.Caption = strings.ToUpper(sheet.WayWord(passes[0])[:1]) + sheet.WayWord(passes[0])[1:] + ": " + strings.Join(of, "; ")
	return t
}

// tenth rounds a length to a tenth of a micrometre [m].
func tenth(v float64) float64 { return quantity.Round(v*1e7) / 1e7 }

// whole prints a length to the micrometre.
func whole(v float64) string { return quantity.Number(quantity.Round(v * 1e6)) }

// twistWords say how one rail goes against the other.
func twistWords(book *sheet.Book, v *axis.Survey) string {
	if v.Bridge == nil || v.Pitch == 0 {
		if v.Normal[0] != nil && v.Normal[1] != nil {
			return "Each map is of one rail for itself: whether they twist against each other nobody has read. Lay a level across from rail to rail, at the same places."
		}
		return ""
	}
	last := len(v.Bridge.Rolls) - 1
	one, other := v.Normal[0], v.Normal[1]
	words := fmt.Sprintf("From end to end the second rail rises over the first by %s.", quantity.Print(v.Gauge*(v.Bridge.Rolls[last]-v.Bridge.Rolls[0]), "µm"))
	if one != nil && other != nil {
		words = fmt.Sprintf("From end to end rail %s rises over rail %s by %s, and the map of each is off its own line: take that out first, by the feet or by a wedge-shaped pass along one of the rails, ",
			other.Rail.Name, one.Rail.Name, quantity.Print(v.Gauge*(v.Bridge.Rolls[last]-v.Bridge.Rolls[0]), "µm")) + "then what the map says."
	}
	return words
}
