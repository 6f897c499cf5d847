package axes

import (
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/drive"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Drives: will it move?
var Drives = sheet.Sheet{Name: "drives", Write: driveSheet}

// driveSheet checks the drives of every axis.
func driveSheet(book *sheet.Book) error {
	if len(book.Spec.Axes) == 0 {
		return nil
	}
	blocks := []build.Block{
		build.Text("The cutting force is the hardest of the best cuts above, taken along each axis; of two drives the nearer one takes the larger share. " +
			"Weight, friction and the cut are all taken against the motion.")}
	for i := range book.Spec.Axes {
		a := &book.Spec.Axes[i]
		if len(a.Item.Drives) == 0 {
			book.NotComputed("drive of axis "+a.Name, "a drive")
			continue
		}
		for _, v := range book.Drives {
			if v.Axis != i {
				continue
			}
			driveFigures(book, v)
			if v.Same {
				blocks = append(blocks, build.Text("The drive of "+v.Title+" is the same."))
				continue
			}
			blocks = append(blocks, driveBlocks(book, v)...)
		}
	}
	book.Sheet("drives", "Drives", blocks...)
	return nil
}

// whipWorthDrawing is the share of the speed allowed against whip from which on a
// screw's speed is drawn over its length [-].
const whipWorthDrawing = 0.25

// driveBlocks judges one drive and prints it.
func driveBlocks(book *sheet.Book, v *sheet.Drive) []build.Block {
	for _, c := range v.Out.Checks {
		if !c.OK {
			driveFinding(book, v, c)
		}
	}
	tiltFinding(book, v)
	for _, g := range v.Out.Gaps {
		book.NotComputed(rulings[g.Name].words+" of "+v.Title, g.Needs)
	}
	table := build.Table{Caption: "Checks of the drive of " + v.Title, Columns: []build.Column{
		{Head: "check"},
		{Head: "asked", Right: true},
		{Head: "allowed", Right: true},
		{Head: "answer"},
	}}
	for _, c := range v.Out.Checks {
		answer := "holds"
		if !c.OK {
			answer = "**too much**"
		}
		table.Rows = append(table.Rows, []build.Cell{
			{Text: rulings[c.Name].words},
			{Text: checkMeasure(c, c.Demand)},
			{Text: checkMeasure(c, c.Limit)},
			{Text: answer},
		})
	}
	blocks := []build.Block{table, driveWords(book, v)}
	if len(v.Speeds) > 0 && v.Out.RapidSpeed > whipWorthDrawing*v.Out.AllowedSpeed {
		blocks = append(blocks, speedChart(book.Read(), v))
	}
	if len(v.In.Motor.Continuous) > 0 && len(v.Out.Duty.Points) > 0 {
		blocks = append(blocks, motorChart(v))
	}
	return append(blocks, weighDrives(book, v)...)
}

// A sayer collects what is said in a list.
type sayer build.List

func (list *sayer) say(format string, args ...any) {
	*list = append(*list, fmt.Sprintf(format, args...))
}

// driveWords says in plain words what a drive comes to.
func driveWords(book *sheet.Book, v *sheet.Drive) build.Block {
	var list sayer
	feedWords(&list, v)
	list.say("Along the axis it holds with %s at its softest place. What gives: %s.", quantity.Print(v.Out.Stiffness, "N/µm"), giveByPart(v))
	mechanismWords(&list, v)
	list = append(list, truthWords(v), inertiaWords(v))
	motorWords(&list, v)
	if book.Spec.Axes[v.Axis].Item.CrossShaft != nil {
		list.say("One motor turns both screws through the shaft across: torques here are half of the motor's.")
	}
	return build.List(list)
}

// feedWords says how fast a drive goes.
func feedWords(list *sayer, v *sheet.Drive) {
	o := &v.Out
	if o.MaxFeed > 0 {
		by := ""
		if r, ok := rulings[o.MaxFeedBy]; ok {
			by = ", bounded by " + r.bounds
		}
		list.say("Top feed %s%s; %s are wanted.", quantity.Print(o.MaxFeed, "m/min"), by, quantity.Print(v.In.RapidFeed, "m/min"))
	}
	if o.AccelerationAtLow > 0 {
		list.say("It can speed up at %s from standstill and at %s near the rapid feed; %s is wanted, and with that it stops from rapid within %s.",
			quantity.Measure(o.AccelerationAtLow, "m/s²"), quantity.Measure(o.AccelerationAtTop, "m/s²"),
			quantity.Measure(v.In.Acceleration, "m/s²"), quantity.Print(o.StoppingDistance, "mm"))
	}
}

// mechanismWords says what a screw or a belt does under its work.
func mechanismWords(list *sayer, v *sheet.Drive) {
	o := &v.Out
	if o.CriticalSpeed > 0 {
		list.say("The screw whips at %s, raw; 0.8 of that, %s, is allowed, which is the usual margin. "+
			"With the nut at its two ends of travel holding the shaft it would be %s and %s; nobody counts on that.",
			rpm(o.CriticalSpeed), rpm(o.AllowedSpeed), rpm(o.CriticalAtFrom), rpm(o.CriticalAtTo))
	}
	if o.ShaftFrequency > 0 {
		list.say("The screw stands, so it does not whip. "+
			"It sags %s by its weight and swings at %s; a belt or a cut that repeats at that rate may set it going.",
			quantity.Print(o.Sag, "mm"), quantity.Print(o.ShaftFrequency, "Hz"))
	}
	if s := v.Entry.Item.Screw; s != nil {
		if o.Growth != 0 {
			list.say("Warmed %s over its frame by work, the screw grows %s up to the farthest nut.", s.TemperatureRise.Text, quantity.Print(o.Growth, "mm"))
		}
		if o.SlackAt > 0 {
			list.say("Its pull of %s lengthens it %s and is used up %s over the frame.", s.Tension.Text,
				quantity.Print(o.PretensionPull, "mm"), quantity.Measure(o.SlackAt, "K"))
		}
	}
	if belt, ok := v.In.Mechanism.(drive.Belt); ok {
		list.say("With %s in each strand the tight one bears up to %s and the slack one keeps %s; plucked, the long strand sounds at %s.",
			quantity.Print(belt.Pretension, "N"), quantity.Print(o.TightSpan, "N"), quantity.Print(math.Max(0, o.SlackSpan), "N"),
			quantity.Print(o.SpanFrequency, "Hz"))
	}
}

// motorWords says what a motor has to do, and what holds it with the power off.
func motorWords(list *sayer, v *sheet.Drive) {
	o := &v.Out
	if d := &o.Duty; d.RMS > 0 {
		back, stroke := "", "stopping"
		if o.GravityForce > 0 {
			stroke = "stopping or letting the weight down"
		}
		if d.LargestReturn > 0.05 {
			back = fmt.Sprintf("; one stroke, %s, gives back up to %s, which the drive's supply has to swallow", stroke, quantity.Measure(d.LargestReturn, "J"))
		}
		list.say("Over its duty of %s the motor is asked for %s as RMS, which heats it, and %s at the most%s.",
			quantity.Measure(d.Time, "s"), quantity.Print(d.RMS, "N·m"), quantity.Print(d.Peak, "N·m"), back)
	}
	if o.HoldingTorque > 0 {
		words := fmt.Sprintf("With the power off the weight turns the motor with %s", quantity.Print(o.HoldingTorque, "N·m"))
		if o.BrakeMargin > 0 {
			words += fmt.Sprintf("; what brakes it holds %s times that", quantity.Number(o.BrakeMargin))
		} else {
			words += fmt.Sprintf(", and nothing holds it: let go, it lands with %s", quantity.Measure(v.Drop, "J"))
		}
		*list = append(*list, words+".")
	}
	if s := v.Stepping; s != nil && s.Frequency > 0 {
		list.say("As a stepper it swings about its step at %s: shun %s in full steps, and the band from %s to %s, "+
			"where steppers on plain drives ring and drop out (common practice). With the power off it holds next to nothing.",
			quantity.Print(s.Frequency, "Hz"), rpm(s.Speed), rpm(s.BandLow), rpm(s.BandTop))
	}
}

// inertiaNames names what a motor speeds up.
var inertiaNames = map[string]string{"mass": "the moved mass", "reduction": "coupling or reduction"}

// inertiaWords says what the motor has to speed up, part by part, at the driven
// shaft.
func inertiaWords(v *sheet.Drive) string {
	var words []string
	for _, p := range v.Inertias() {
		name, ok := inertiaNames[p.Key]
		if !ok {
			name = p.Key
		}
		words = append(words, name+" "+quantity.Print(p.Inertia, "kg·cm2"))
	}
	return "What the motor speeds up, as felt where it turns the axis: " + strings.Join(words, ", ") + "."
}

// truthWords says how true a drive puts its axis.
func truthWords(v *sheet.Drive) string {
	o := &v.Out
	words := "No play is known of"
	if o.Backlash > 0 {
		words = "Backlash " + quantity.Print(o.Backlash, "mm")
		if s := v.Entry.Item.Screw; s != nil && !s.Backlash.Given {
			words += ", assumed"
		}
	}
	if o.TravelError > 0 {
		words += fmt.Sprintf("; lead or pitch is off by up to %s over the travel", quantity.Print(o.TravelError, "mm"))
	}
	if o.Resolution > 0 {
		words += "; one count moves it " + quantity.Print(o.Resolution, "µm")
	}
	return words + "."
}

func rpm(v float64) string { return quantity.Measure(v*60/(2*math.Pi), "rpm") }

// giveWords names the parts of a drive that give, and says how their stiffness is
// computed.
func giveWords(v *sheet.Drive, key string) (name, formula string) {
	switch key {
	case "shaft":
		return "screw shaft, stretched", "k = E A/a from the one fixed end, E A L/(a (L − a)) between two"
	case "twist":
		return "screw shaft, twisted", "k = G Ip (2π/p)²/l, Ip = π d⁴/32"
	case "teeth":
		return "teeth", "teeth, and the pinion's shaft in bending"
	case "belt":
		return "belt", "k = c (1/L1 + 1/L2), c of the cords by the width"
	case "coupling":
		return "coupling or reduction", "k = kθ (2π/p)²"
	case "motor":
		if v.Stepping != nil {
			return "stepper's rotor in its field", "k = T N/4 (2π i/p)², T the holding torque, N its steps a turn (Acarnley 2002)"
		}
		return "motor on its servo", "k = kθ (2π i/p)², kθ of the servo's loop"
	case "bearing":
		return "bearing", "as given, or as usual where the spec leaves it out, over the ends that hold"
	}
	return key, "as given, or as usual where the spec leaves it out"
}

// giveByPart says what gives in a drive, the softest part first.
func giveByPart(v *sheet.Drive) string {
	parts := v.Compliances()
	rank.By(parts, func(p axis.PartCompliance) float64 { return p.Compliance })
	var words []string
	for _, p := range parts {
		if p.Share >= 0.02 {
			name, _ := giveWords(v, p.Key)
			words = append(words, fmt.Sprintf("%s %.0f %%", name, 100*p.Share))
		}
	}
	return strings.Join(words, ", ")
}
