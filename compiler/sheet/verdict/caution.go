package verdict

import (
	"fmt"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Cautions: where can it hurt someone?
var Cautions = sheet.Sheet{Name: "cautions", Write: cautionSheet}

// cautionSheet prints the cautions that the machine's own numbers call for. Each
// defers to local codes and licensed practice.
func cautionSheet(book *sheet.Book) error {
	liftingCaution(book)
	fillCautions(book)
	weldingCaution(book)
	runningCautions(book)
	workpieceCautions(book)
	supplySheet(book)
	return nil
}

func addCaution(book *sheet.Book, subject, why, advice string) {
	book.Build.Cautions = append(book.Build.Cautions, build.Caution{Subject: subject, Why: why, Advice: advice})
}

func liftingCaution(book *sheet.Book) {
	heaviest, name := 0.0, ""
	for i, heap := range book.Model.Weigh(book.Model.Middle()) {
		// Of bodies that weigh alike the first is named.
		if rank.More(heap.Mass, heaviest) {
			heaviest, name = heap.Mass, book.Spec.Bodies[i].Name
		}
	}
	if heaviest <= sheet.HandLift {
		return
	}
	advice := "Lift it with two people or a hoist. Keep fingers and feet clear, and set it down on blocks."
	if heaviest > sheet.TwoLift {
		advice = "Use rated lifting gear, with sockets or slings that a competent person has chosen for the mass and the centre of gravity printed above. " +
			"Sling legs at an angle carry more than half the load each. Never stand or reach under a suspended load; crib it as it is raised. " +
			"Lifting gear and its inspection fall under local law."
	}
	addCaution(book, "Lifting", fmt.Sprintf("%s weighs %s", name, quantity.Measure(heaviest, "kg")), advice)
}

func fillCautions(book *sheet.Book) {
	var cement, resin, silica string
	for _, f := range book.Spec.Fills {
		mix := book.Spec.Mix(f.Item.Mix.Text)
		if mix == nil {
			continue
		}
		if mix.WetCement {
			cement = f.Item.Mix.Text
		}
		if mix.Resin {
			resin = f.Item.Mix.Text
		}
		if mix.Silica {
			silica = f.Item.Mix.Text
		}
	}
	if cement != "" {
		addCaution(book, "Wet cement", "the fill is "+cement, "Wet cement burns the skin hours before it hurts. "+
			"Wear waterproof gloves, boots and eye protection, wash splashes off at once, and see a doctor for a burn or anything in the eye. "+
			"Follow the bag's safety data sheet.")
	}
	if resin != "" {
		addCaution(book, "Resin", "the fill is "+resin, "Uncured resin and hardener can make you allergic for life. "+
			"Wear the gloves that the data sheet names, keep it off the skin, never wash with solvent, ventilate. "+
			"A large batch left in its pot overheats, foams and can smoke: mix no more than can be poured within the pot life, and take a hot pot outside.")
	}
	if silica != "" {
		addCaution(book, "Silica dust", "the fill is "+silica, "Dry mixing, cutting, drilling or grinding mineral fill frees silica dust, "+
			"which scars the lungs. Work wet or with extraction, and wear a mask of the class that local rules require.")
	}
}

// supplySheet lists where the parts come from.
func supplySheet(book *sheet.Book) {
	t := build.Table{Columns: []build.Column{
		{Head: "part"},
		{Head: "condition"},
		{Head: "from"},
		{Head: "price"},
		{Head: "note"},
	}}
	or := func(s spec.Text) build.Cell {
		if s.Text == "" {
			return build.Cell{Text: "–"}
		}
		return build.Cell{Text: s.Text}
	}
	for i := range book.Spec.Supply {
		e := &book.Spec.Supply[i]
		t.Rows = append(t.Rows, []build.Cell{{Text: e.Name}, or(e.Item.Condition), or(e.Item.Source), or(e.Item.Price), or(e.Item.Note)})
	}
	if len(t.Rows) > 0 {
		book.Sheet("supply", "Parts at hand", build.Text("Measure used and salvaged parts before you rely on a number: "+
			"straightness and wall thickness of steel, backlash and preload of screws and rails, rating plate and brake of a motor. "+
			"Weigh a length of tube and compare it with its table: less mass is less wall."), t)
	}
}

func weldingCaution(book *sheet.Book) {
	steel := false
	for i := range book.Spec.Sections {
		// Listed sections are slotted profile as a rule, which is bolted.
		e := &book.Spec.Sections[i].Item
		steel = steel || e.Listed == nil && (e.Material.Text == "" || strings.Contains(e.Material.Text, "steel"))
	}
	if len(book.Model.Bars) == 0 || !steel {
		return
	}
	salvaged := "a frame of steel is welded"
	for _, s := range book.Spec.Supply {
		if s.Item.Condition.Text == "salvaged" || s.Item.Condition.Text == "used" {
			salvaged = "the spec has " + s.Item.Condition.Text + " parts"
			break
		}
	}
	addCaution(book, "Welding", salvaged, "Remove paint, zinc and plating for 100 mm or more on each side of a weld: their fumes are toxic. "+
		"Vent every closed hollow before you weld it, and never weld one that is filled, sealed or has held fuel. "+
		"Keep a fire watch for an hour afterwards. Leave load-bearing welds to a qualified welder; local codes govern.")
}

func runningCautions(book *sheet.Book) {
	speedCautions(book)
	crushCaution(book)
	for _, f := range book.Model.Falls() {
		fallCaution(book, f)
	}
	for _, a := range book.Spec.Axes {
		for _, v := range a.Item.Drives {
			if v.Item.Motor != nil || book.Spec.Spindle != nil {
				addCaution(book, "Mains and drives", "the machine has a spindle or servo drives on mains voltage",
					"Leave mains wiring, earthing and the emergency stop to a licensed electrician where the law says so. "+
						"Drives keep a lethal charge for minutes after they are switched off: isolate, lock, wait, and prove dead. "+
						"Bond the moving parts of the machine to earth.")
				return
			}
		}
	}
}

// crushes is the push from which on an axis crushes a hand [N]: guards that close by power are held
// to it; ISO 14120, from memory.
const crushes = 150

// crushCaution says how hard the axes push.
func crushCaution(book *sheet.Book) {
	var words []string
	for _, c := range book.Axes.Crashes {
		if push := c.Push.Middle(); push > crushes {
			words = append(words, fmt.Sprintf("axis %s with %s", book.Spec.Axes[c.Axis].Name, quantity.Print(push, "N")))
		}
	}
	if len(words) == 0 {
		return
	}
	addCaution(book, "Crushing", "at peak torque the drives push: "+strings.Join(words, ", "),
		"A drive pushes on until its control trips. Keep hands and head out of the travel, guard the gaps that close, and set torque limit, following-error limit and a low feed "+
			"before the first move and while you set up. Guards and emergency stop fall under local codes (common practice).")
}

// speedCautions say which cutters may burst.
func speedCautions(book *sheet.Book) {
	s, read := book.Spec.Spindle, book.Read()
	if s == nil {
		return
	}
	reaches := quantity.Print(read.Of(s.MaxSpeed), "rpm")
	for i := range book.Spec.Cutters {
		name, c := book.Spec.Cutters[i].Name, &book.Spec.Cutters[i].Item
		switch {
		case !c.MaxSpeed.Given:
			addCaution(book, "Cutter speed", fmt.Sprintf("%s has no `max_speed` in the spec; the spindle reaches %s", name, reaches),
				"Ask the maker for its maximum speed before you run it. "+
					"At the speed of the spindle its cutting speed is "+quantity.Print(cut.TopEdgeSpeed(read, c, s), "m/s")+". "+
					"A cutter that bursts throws its pieces: guard the machine, stay out of the plane of the cutter, wear eye protection.")
		case rank.More(read.Of(s.MaxSpeed), read.Of(c.MaxSpeed)):
			addCaution(book, "Cutter speed", fmt.Sprintf("%s is rated to %s; the spindle reaches %s", name, quantity.Print(read.Of(c.MaxSpeed), "rpm"), reaches),
				"Limit the spindle in the controller whenever this cutter is in it.")
		}
	}
}

// fallCaution says what an axis does when the power is off.
func fallCaution(book *sheet.Book, f machine.Fall) {
	why := fmt.Sprintf("axis %s moves %s vertically", book.Spec.Axes[f.Axis].Name, quantity.Print(f.Mass, "kg"))
	advice := "Brakes wear and may slip without warning: " +
		"test the brake with the power off, in the position with the largest load, and prop the axis with a block before you reach under it."
	if !f.Braked {
		advice = "A ball screw is not self-locking: with the power off the axis falls. " +
			"Fit a power-off brake or a counterweight, test it in the position with the largest load, and prop the axis with a block before you reach under it."
		why += fmt.Sprintf(" without a brake; after a fall through its travel its energy is %s", quantity.Measure(f.Energy, "J"))
	}
	addCaution(book, "Falling axis", why, advice)
}

// woods are the materials whose dust is flammable and harmful.
var woods = map[string]bool{"softwood": true, "hardwood": true, "plywood": true, "MDF": true, "particleboard": true}

func workpieceCautions(book *sheet.Book) {
	var wood, other []string
	for _, t := range book.Spec.Targets {
		list := &other
		if woods[t.Item.Material.Text] {
			list = &wood
		}
		if !slices.Contains(*list, t.Item.Material.Text) {
			*list = append(*list, t.Item.Material.Text)
		}
	}
	if len(wood) > 0 {
		why := "the machine is to cut " + strings.Join(wood, ", ")
		advice := "Wood dust harms the lungs and, fine and dry, explodes. " +
			"Extract at the cutter, earth the hose, empty the bag outdoors, and check for glowing chips for half an hour afterwards."
		if len(other) > 0 {
			why += ", and " + strings.Join(other, ", ")
			advice += " Never draw sparks or metal chips into the wood collector: clean the machine between the two."
		}
		addCaution(book, "Wood dust", why, advice+" Local rules on dust and fire govern.")
	}
	if book.Spec.Spindle != nil && len(book.Spec.Targets) > 0 {
		addCaution(book, "Chips and workpiece", "the cutter throws chips, and its force can move the workpiece",
			"Guard the cutting area, wear eye and ear protection, and no gloves near a turning spindle. "+
				"Clamp with at least the force listed under first cuts, and set a stop behind the workpiece for each cut.")
	}
}
