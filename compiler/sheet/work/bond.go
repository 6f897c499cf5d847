package work

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/making"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Bonding: how are joints bonded and surfaces replicated, and what do they carry?
var Bonding = sheet.Sheet{Name: "bonded joints", Write: bondingSheet}

// bondingSheet writes the sheet of what is bonded with a filled resin, and finds bonds that creep under the weights alone.
func bondingSheet(book *sheet.Book) error {
	list, err := making.Bonds(book.Solution)
	if err != nil || len(list) == 0 {
		return err
	}
	take := build.Table{Caption: "What it takes", Columns: []build.Column{{Head: "bond"}, {Head: "wide, mm", Right: true}, {Head: "long, mm", Right: true}, {Head: "area, cm²", Right: true}, {Head: "bond line, mm", Right: true},
		{Head: "resin with hardener, g", Right: true}, {Head: "pot life in the room, min", Right: true}, {Head: "press with, N", Right: true}, {Head: "weighed, g"}}}
	carry := build.Table{Caption: "What it carries in shear", Columns: []build.Column{{Head: "bond"}, {Head: "for good, N", Right: true}, {Head: "for a short time, N", Right: true}, {Head: "weights on it, N", Right: true},
		{Head: "stiffness across, N/µm", Right: true}, {Head: "along, N/µm", Right: true}}}
	joints, rails := false, false
	for i := range list {
		b := &list[i]
		id := "bonding." + spec.IDWord(b.Name) + "."
		add := func(what, label, unit, formula, source string, log *spec.Log, of func(*making.Bond) float64) build.Cell {
			return book.Cell(sheet.Figure{ID: id + what, Label: label + ", " + b.Name, Value: sheet.Between(of(b), b.Ends(of)...), Unit: unit, Formula: formula, Source: source, Log: log, Detail: true})
		}
		press := add("press", "force that presses a bond to its line in ten minutes", "N", "F t = η l w³/2 (1/h² − 1/h₀²) φ, laid three times as thick", "Stefan 1874; derived here", b.Pressed, func(b *making.Bond) float64 { return b.Press })
		if f, _ := book.Build.Figures.Get(press.Figure); f.High < making.LeastPress && f.Value < making.LeastPress {
			press = text("its weight")
		}
		take.Rows = append(take.Rows, []build.Cell{text("%s", b.Name), text("%s", millimetres(b.Width)), text("%s", millimetres(b.Length)), text("%s", quantity.Number(quantity.Settle(b.Area)*1e4)), text("%s", quantity.Number(quantity.Settle(b.Line)*1e3)),
			add("mass", "mass of the resin of a bond", "g", "1.3 ρ V, what squeezes out and stays in the pot with it", "common practice", b.Log, func(b *making.Bond) float64 { return b.Mass }),
			add("pot_life", "pot life of the resin of a bond in the room", "min", "t20 · 2^((20 °C − T)/10 K)", "common practice", b.Pressed, func(b *making.Bond) float64 { return b.PotLife }),
			press, {}})
		weights, normal, shear := text("–"), text("in the carriages"), text("in the carriages")
		if b.Joint {
			weights, normal, shear = text("%s", quantity.Number(b.Weight)), text("%s", quantity.Number(quantity.Convert(b.Normal, "N/µm"))), text("%s", quantity.Number(quantity.Convert(b.Shear, "N/µm")))
		}
		joints, rails = joints || b.Joint, rails || !b.Joint
		good := "area, of a rail that under one carriage"
		carry.Rows = append(carry.Rows, []build.Cell{text("%s", b.Name),
			add("for_good", "shear force that a bond carries for good", "N", "a tenth of the short-time strength times the "+good, "common practice", b.Force, func(b *making.Bond) float64 { return b.ForGood }),
			add("for_a_short_time", "shear force that a bond carries for a short time", "N", "a third of the short-time strength times the "+good, "common practice", b.Force, func(b *making.Bond) float64 { return b.ForMoment }),
			weights, normal, shear})
		if b.Creeps() {
			book.Find(build.Finding{Rule: "bond-creeps", Severity: build.SeverityCaution, At: build.Place(b.At), Figures: []string{id + "for_good"},
				Message: fmt.Sprintf("%s: the weights load its resin with %s in shear, and for good it carries %s; give it a ledge, pins or bolts that take the weight, or a larger face",
					b.Name, quantity.Print(b.Weight, "N"), quantity.Print(b.ForGood, "N"))})
		}
	}
	blocks := before(
		"The parts have been put together dry, and come together again in the same place: pins, stops or scribed lines.",
		"What sets the bond line is at hand: shims of that thickness, or glass beads of it in the resin.",
		"What must not stick is waxed three times and polished: the straightedge, the dummy rail, the clamps.",
		"The room has had its temperature for a night, resin and parts too.")
	blocks = append(blocks,
		caution("resin and hardener can make you allergic for life: the gloves that the data sheet names, no solvent on the skin, fresh air; a dust mask where it is sanded."),
		build.Text(build.Bold("The face.")+" Blast it, or grind it crosswise with 60 grit, to bright metal; wipe it with a clean solvent, one way, until a white cloth stays white; within four hours the resin is on it. A film of water must not break into drops on it. Common practice."),
		take,
		build.List{
			"Mix by mass, to a hundredth, for three minutes, and scrape the pot's corners. Mix a thimble more and keep it: as hard as that is, so hard is the bond.",
			"Rub a thin coat hard into both faces, so that it wets them; lay the rest as a ridge along the middle, never as a ring: a ring holds air.",
			"Lower one end first, then the other. Press as the table says, evenly, until the shims carry; it takes ten minutes. A resin that is stiffer takes more force or time in proportion.",
			"All round a bead comes out. Where none does there is a hollow: lift it off, and lay on more. Scrape the bead off as it turns to rubber.",
			"Nothing moves it until it is hard: a day at 20 °C, two at 15 °C, and no load but its own weight for a week. Warmth at the end makes it harder: follow the data sheet.",
		})
	if rails {
		blocks = append(blocks, build.Text(build.Bold("Replicating a surface for a rail.")+" Clamp the waxed straightedge, or the rail itself on a waxed foil, over the shims so that it is straight and level as the rails' sheet asks; the resin fills what is between. "+
			"Look along it with a level before it sets: there is time to tap it down. It comes off with a wedge at one end. What it was straight by, the surface is."))
	}
	blocks = append(blocks, carry)
	words := "For good is a tenth of the strength: resins creep under a load that stays, the more the warmer, and above 50 °C most of them go soft. A bond carries no peeling: bolts or a ledge take what would open it at an edge. Common practice."
	if joints {
		words += " The weights are those of the least stiff position, their part along the face; across it they should press."
	}
	blocks = append(blocks, build.Text(words), build.List{
		"The thimble of resin is still soft after two days: the mixture was off. Take the joint apart now; it never gets hard.",
		"It rings dull where it is tapped with a coin: a hollow. Drill into it at its edge, and press resin in from one hole until it comes out of the other.",
	}, holdPoint("the thimble is hard; no place rings dull", "the joint is in its place: measured from its pins or scribed lines"))
	book.WorkSheet("bonding", "Bonded joints and replicated surfaces", blocks...)
	return nil
}
