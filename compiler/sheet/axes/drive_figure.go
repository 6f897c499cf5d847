package axes

import (
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/drive"
	"ironbed/compiler/machine"
	"ironbed/compiler/motor"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// perTurn makes revolutions a second of an angle's speed.
const perTurn = 1 / (2 * math.Pi)

// A driveFigure is a number of a drive, as data.
type driveFigure struct {
	what    string // after the drive's id
	label   string
	unit    string
	formula string
	source  string
	from    []string        // what of the drive's own figures, "mass" for what its axis moves
	read    []machine.Topic // what was read for it beside those
	pick    func(*drive.Output) float64
	where   func(*drive.Output) float64 // left out where this is zero; nil for nowhere
	notes   []string
}

// driveFigures adds the numbers of a drive.
func driveFigures(book *sheet.Book, v *sheet.Drive) {
	switch d := &v.Entry.Item; {
	case d.Screw != nil:
		addDriveFigures(book, v, screwFigures)
		addDriveFigures(book, v, growthFigures(v))
		addDriveFigures(book, v, lifeFigures)
		addDriveFigures(book, v, liftOffFigures)
	case d.Rack != nil:
		addDriveFigures(book, v, rackFigures)
	case d.Belt != nil:
		addDriveFigures(book, v, beltFigures)
	}
	giveFigures(book, v)
	addDriveFigures(book, v, truthFigures)
	if v.Entry.Item.Screw == nil {
		addDriveFigures(book, v, turningFigures)
	}
	cuttingFigures(book, v)
	addDriveFigures(book, v, feedFigures(v))
	if len(v.In.Motor.Continuous) > 0 {
		addDriveFigures(book, v, torqueFigures)
		addDriveFigures(book, v, inertiaFigures(v))
		addDriveFigures(book, v, dutyFigures)
		addDriveFigures(book, v, standingFigures)
		powerFigures(book, v)
	}
}

// powerFigures are what the motor gives all day at the corners of its curve.
func powerFigures(book *sheet.Book, v *sheet.Drive) {
	for i, p := range v.In.Motor.Continuous {
		if p.Speed == 0 {
			continue
		}
		var ends []float64
		for _, end := range v.Ends {
			q := end.In.Motor.Continuous[i]
			ends = append(ends, q.Speed*q.Torque)
		}
		book.Add(sheet.Figure{
			ID:      fmt.Sprintf("%smotor_power.%d", v.ID, i),
			Label:   fmt.Sprintf("power of the motor, all day, at point %d of its curve, %s", i, v.Title),
			Value:   sheet.Between(p.Speed*p.Torque, ends...),
			Unit:    "W",
			Formula: "P = T ω",
			Source:  "derived here",
			Log:     v.Read.Log(machine.Torque),
			Detail:  true,
		})
	}
}

// addDriveFigures adds numbers of a drive.
func addDriveFigures(book *sheet.Book, v *sheet.Drive, list []driveFigure) {
	for _, f := range list {
		if f.where != nil && f.where(&v.Out) <= 0 {
			continue
		}
		book.Add(sheet.Figure{
			ID:      v.ID + f.what,
			Label:   f.label + ", " + v.Title,
			Value:   v.Number(f.pick),
			Unit:    f.unit,
			Formula: f.formula,
			Source:  f.source,
			From:    driveFrom(book, v, f.from),
			Log:     v.Read.Log(f.read...),
			Notes:   f.notes,
			Detail:  v.Same,
		})
	}
}

// driveFrom are the ids of figures that a drive's figure names; those that the drive
// does not have are left out.
func driveFrom(book *sheet.Book, v *sheet.Drive, from []string) (ids []string) {
	for _, what := range from {
		switch {
		case what == "mass":
			ids = append(ids, "mass.moving."+book.Spec.Axes[v.Axis].Name)
		case what == "cut_share" && v.In.CutShare >= 1, what == "whip_speed" && v.Out.CriticalSpeed == 0:
		default:
			ids = append(ids, v.ID+what)
		}
	}
	return ids
}

// screwFigures are how fast a screw may turn and what it bears.
var screwFigures = []driveFigure{
	{
		what:    "whip_speed",
		label:   "speed at which the screw whips, raw",
		unit:    "rpm",
		formula: "n = (60/2π) z²/L² √(EI/ρA), z by the ends and by how the frame holds the first one against tilting",
		source:  "Thomson 1993; derived here",
		read:    []machine.Topic{machine.Section, machine.Length, machine.Tilt, machine.ShaftWeight},
		pick:    func(o *drive.Output) float64 { return o.CriticalSpeed * perTurn },
		where:   func(o *drive.Output) float64 { return o.CriticalSpeed },
	},
	{
		what:    "allowed_speed",
		label:   "screw speed allowed against whip",
		unit:    "rpm",
		formula: "0.8 of the whip speed",
		source:  "common practice",
		from:    []string{"whip_speed"},
		pick:    func(o *drive.Output) float64 { return o.AllowedSpeed * perTurn },
		where:   func(o *drive.Output) float64 { return o.CriticalSpeed },
	},
	{
		what:    "sag",
		label:   "sag of the standing screw by its weight",
		unit:    "mm",
		formula: "w = 5 or 1/384 ρ A g L⁴/EI, less by its pull",
		source:  "Timoshenko 1956",
		read:    []machine.Topic{machine.Section, machine.Length, machine.Pull, machine.ShaftWeight},
		pick:    func(o *drive.Output) float64 { return o.Sag },
		where:   func(o *drive.Output) float64 { return o.ShaftFrequency },
	},
	{
		what:    "shaft_frequency",
		label:   "frequency of the standing screw",
		unit:    "Hz",
		formula: "f of a beam under its pull",
		source:  "Timoshenko 1956",
		read:    []machine.Topic{machine.Section, machine.Length, machine.Pull, machine.ShaftWeight},
		pick:    func(o *drive.Output) float64 { return o.ShaftFrequency },
		where:   func(o *drive.Output) float64 { return o.ShaftFrequency },
	},
	{
		what:    "screw_speed",
		label:   "speed of what turns, at rapid",
		unit:    "rpm",
		formula: "n = v/lead",
		source:  "derived here",
		read:    []machine.Topic{machine.Rapid, machine.Lead},
		pick:    func(o *drive.Output) float64 { return o.RapidSpeed * perTurn },
	},
	{
		what:    "buckling_load",
		label:   "buckling load of the screw, raw",
		unit:    "N",
		formula: "F = z² E I/L², z by the ends",
		source:  "Timoshenko and Gere 1961",
		read:    []machine.Topic{machine.Section, machine.Length, machine.Tilt},
		pick:    func(o *drive.Output) float64 { return o.BucklingLoad },
	},
	{
		what:    "slenderness",
		label:   "length over diameter of the screw",
		formula: "L/d",
		source:  "common practice",
		read:    []machine.Topic{machine.Length, machine.Diameter},
		pick:    func(o *drive.Output) float64 { return o.Slenderness },
	},
}

// liftOffFigures are when a preloaded nut gets play.
var liftOffFigures = []driveFigure{
	{
		what:    "lift_off",
		label:   "axial force from which the preloaded nut has play",
		unit:    "N",
		formula: "F = 2^1.5 Fpr",
		source:  "ISO 3408-5",
		read:    []machine.Topic{machine.Pull},
		pick:    func(o *drive.Output) float64 { return o.LiftOffLoad },
		where:   func(o *drive.Output) float64 { return o.LiftOffLoad },
	},
}

// growthFigures are how a screw grows as it warms, and what its pull does against it.
func growthFigures(v *sheet.Drive) []driveFigure {
	steel, warming := shaftOf(v), v.Entry.Item.Screw.TemperatureRise.Text
	return []driveFigure{
		{
			what:    "growth",
			label:   "growth of the screw, " + warming + " warmer than its frame",
			unit:    "mm",
			formula: "ΔL = α L ΔT, L up to the farthest nut",
			source:  "Shigley 2006; common practice",
			read:    []machine.Topic{machine.Place, machine.Warmth},
			pick:    func(o *drive.Output) float64 { return o.Growth },
			notes: []string{
				fmt.Sprintf("L = %s, α = %s", quantity.Print(v.Out.Growth/(steel.Expansion*v.In.Warming), "mm"), quantity.Measure(steel.Expansion*1e6, "µm/m/K")),
			},
		},
		{
			what:    "pull",
			label:   "what the pull lengthens the screw",
			unit:    "mm",
			formula: "ΔL = T L/A E",
			source:  "Shigley 2006",
			read:    []machine.Topic{machine.Pull, machine.Section, machine.Length},
			pick:    func(o *drive.Output) float64 { return o.PretensionPull },
			where:   func(o *drive.Output) float64 { return o.SlackAt },
		},
		{
			what:    "slack_at",
			label:   "warming over the frame that takes off the pull",
			unit:    "K",
			formula: "ΔT = T/α A E",
			source:  "derived here",
			read:    []machine.Topic{machine.Pull, machine.Section, machine.Warmth},
			pick:    func(o *drive.Output) float64 { return o.SlackAt },
			where:   func(o *drive.Output) float64 { return o.SlackAt },
		},
	}
}

// lives is above zero where a screw's life is known.
func lives(o *drive.Output) float64 { return min(o.LifeTime, o.LifeTravel) }

// lifeFigures are how long a screw lasts.
var lifeFigures = []driveFigure{
	{
		what:    "mean_load",
		label:   "mean load of the screw over its duty",
		unit:    "N",
		formula: "Fm = (Σ Fi³ ni/Σ ni)^(1/3), ni the turns under Fi, preload within",
		source:  "ISO 3408-5",
		from:    []string{"cutting_load", "mass"},
		read:    []machine.Topic{machine.Duty, machine.Load, machine.Pull},
		pick:    func(o *drive.Output) float64 { return o.MeanLoad },
		where:   lives,
	},
	{
		what:    "life",
		label:   "life of the screw as travel",
		unit:    "km",
		formula: "L10 = (Ca/Fm)³ 10⁶ turns",
		source:  "ISO 3408-5",
		from:    []string{"mean_load"},
		read:    []machine.Topic{machine.Rating, machine.Lead, machine.Pull},
		pick:    func(o *drive.Output) float64 { return o.LifeTravel },
		where:   lives,
	},
}

// rackFigures are those of a rack.
var rackFigures = []driveFigure{
	{
		what:    "pitch_diameter",
		label:   "pitch diameter of the pinion",
		unit:    "mm",
		formula: "d = m z/cos β",
		source:  "Shigley 2006",
		read:    []machine.Topic{machine.Lead},
		pick:    func(o *drive.Output) float64 { return o.PitchDiameter },
	},
	{
		what:    "tooth_force",
		label:   "force that the rack's teeth carry",
		unit:    "N",
		formula: "F = σ b m Y/Kv, or as the maker rates it",
		source:  "Shigley 2006; from memory",
		read:    []machine.Topic{machine.Lead, machine.Section, machine.Rating, machine.Rapid},
		pick:    func(o *drive.Output) float64 { return o.ToothForce },
		where:   func(o *drive.Output) float64 { return o.ToothForce },
	},
}

// beltFigures are those of a belt.
var beltFigures = []driveFigure{
	{
		what:    "tight_strand",
		label:   "pull in the tight strand, worst place",
		unit:    "N",
		formula: "T = Fpre + F L2/L",
		source:  "derived here",
		from:    []string{"cutting_load", "mass"},
		read:    []machine.Topic{machine.Pull, machine.Length, machine.Place, machine.Load, machine.Acceleration},
		pick:    func(o *drive.Output) float64 { return o.TightStrand },
	},
	{
		what:    "slack_strand",
		label:   "pull left in the slack strand, worst place; below zero it hangs",
		unit:    "N",
		formula: "T = Fpre − F L1/L",
		source:  "derived here",
		from:    []string{"cutting_load", "mass"},
		read:    []machine.Topic{machine.Pull, machine.Length, machine.Place, machine.Load, machine.Acceleration},
		pick:    func(o *drive.Output) float64 { return o.SlackStrand },
	},
	{
		what:    "strand_frequency",
		label:   "sound of the long strand when plucked",
		unit:    "Hz",
		formula: "f = √(T/µ)/2l",
		source:  "Thomson 1993",
		read:    []machine.Topic{machine.Pull, machine.Length, machine.Place, machine.BeltMass},
		pick:    func(o *drive.Output) float64 { return o.StrandSounds },
	},
}

// giveFigures are how stiff a drive is, part by part and as a whole.
func giveFigures(book *sheet.Book, v *sheet.Drive) {
	var parts []string
	for _, p := range v.Gives() {
		name, formula := giveWords(v, p.Key)
		parts = append(parts, book.Add(sheet.Figure{
			ID:      v.ID + "give." + p.Key,
			Label:   name + " along the axis, " + v.Title,
			Value:   v.Number(func(o *drive.Output) float64 { return 1 / p.Of(o.Softest) }),
			Unit:    "N/µm",
			Formula: formula,
			Source:  "ME EN 7960; derived here",
			Log:     p.Log,
			Detail:  v.Same,
		}))
	}
	id := book.Add(sheet.Figure{
		ID:      v.ID + "stiffness",
		Label:   "axial stiffness of the drive, softest place, " + v.Title,
		Value:   v.Number(func(o *drive.Output) float64 { return o.Stiffness }),
		Unit:    "N/µm",
		Formula: "1/k = Σ 1/k of its parts, in series",
		Source:  "ME EN 7960; derived here",
		From:    parts,
		Log:     v.Stiff,
		Notes:   softestNotes(v),
		Detail:  v.Same,
		Stands:  true,
	})
	// In the frame's own stiffness, too.
	book.Stand(book.Model.Parts[book.Model.DrivePart[book.Spec.Axes[v.Axis].Name+"."+v.Entry.Name]].Log, id)
}

// shaftOf is the steel of a screw's shaft.
func shaftOf(v *sheet.Drive) drive.Material {
	switch m := v.In.Mechanism.(type) {
	case drive.TurningScrew:
		return m.Material
	case drive.TurningNut:
		return m.Material
	}
	return drive.Material{}
}

// softestNotes say where a drive gives most, and of what steel.
func softestNotes(v *sheet.Drive) []string {
	if v.Entry.Item.Rack != nil {
		return nil
	}
	steel := shaftOf(v)
	where := "softest " + quantity.Print(v.Out.SoftestAt, "mm") + " from the first end"
	if v.Entry.Item.Belt != nil {
		return []string{where}
	}
	return []string{where, fmt.Sprintf("E = %s, G = %s", quantity.Print(steel.Modulus, "GPa"), quantity.Print(steel.ShearModulus, "GPa"))}
}

// truthFigures are how a drive swings and how true it puts its axis.
var truthFigures = []driveFigure{
	{
		what:    "axial_frequency",
		label:   "moved mass on the drive's stiffness",
		unit:    "Hz",
		formula: "f = √(k/m)/2π, m this drive's share of what is moved",
		source:  "derived here",
		from:    []string{"stiffness", "mass"},
		pick:    func(o *drive.Output) float64 { return o.AxialFrequency },
	},
	{
		what:    "play",
		label:   "play of the drive",
		unit:    "mm",
		formula: "nut or teeth, and the reduction's angle times p/2π",
		source:  "derived here",
		read:    []machine.Topic{machine.Backlash, machine.Lead},
		pick:    func(o *drive.Output) float64 { return o.Play },
	},
	{
		what:    "travel_error",
		label:   "error of lead or pitch over the travel",
		unit:    "mm",
		formula: "2 l/300 mm · V300 of a transport screw; 0.1 mm/m of a rack",
		source:  "ISO 3408-3; from memory",
		read:    []machine.Topic{machine.Travel, machine.Grade},
		pick:    func(o *drive.Output) float64 { return o.TravelError },
		where:   func(o *drive.Output) float64 { return o.TravelError },
	},
}

// turningFigures are how fast a pinion or a pulley turns.
var turningFigures = []driveFigure{
	{
		what:    "turning_speed",
		label:   "speed of the driven shaft at rapid",
		unit:    "rpm",
		formula: "n = v/travel a turn",
		source:  "derived here",
		read:    []machine.Topic{machine.Rapid, machine.Lead},
		pick:    func(o *drive.Output) float64 { return o.RapidSpeed * perTurn },
	},
}

// cuttingFigures are what a drive takes of the cut.
func cuttingFigures(book *sheet.Book, v *sheet.Drive) {
	from := driveFrom(book, v, []string{"mass"})
	if book.Cuts.Demand.Target != "" {
		what := ".force"
		if book.AlongTool(machine.Unit(book.Spec.Axes[v.Axis].Item.Direction.XYZ)) {
			what = ".thrust"
		}
		from = append(from, "target."+spec.IDWord(book.Cuts.Demand.Target)+what)
	}
	book.Add(sheet.Figure{
		ID:      v.ID + "cutting_load",
		Label:   "axial force while cutting, " + v.Title,
		Value:   v.Number(func(o *drive.Output) float64 { return o.CuttingLoad }),
		Unit:    "N",
		Formula: "this drive's share of the cut, of the friction and of the weight",
		Source:  "derived here",
		From:    append(from, driveFrom(book, v, []string{"cut_share"})...),
		Log:     v.Read.Log(machine.Load),
		Detail:  v.Same,
	})
	if v.In.CutShare >= 1 {
		return
	}
	var shares []float64
	for _, end := range v.Ends {
		shares = append(shares, end.In.CutShare)
	}
	book.Add(sheet.Figure{
		ID:      v.ID + "cut_share",
		Label:   "largest share of the cutting force that this drive takes, " + v.Title,
		Value:   sheet.Between(v.In.CutShare, shares...),
		Formula: "1/2 + |o|/s, o the cutter's farthest offset and s the distance of the drives",
		Source:  "derived here",
		Log:     v.Read.Log(machine.CutShare),
		Detail:  v.Same,
	})
}

// feedFigures are how fast a drive goes, and how far it runs on.
func feedFigures(v *sheet.Drive) []driveFigure {
	return []driveFigure{
		{
			what:    "top_feed",
			label:   "top feed",
			unit:    "m/min",
			formula: "least of motor and mechanism, by " + rulings[v.Out.TopFeedBy].bounds,
			source:  "derived here",
			from:    []string{"whip_speed", "mass"},
			read:    []machine.Topic{machine.Lead, machine.Ratio, machine.Diameter, machine.Rating, machine.Torque, machine.Load, machine.Losses, machine.ShaftWeight},
			pick:    func(o *drive.Output) float64 { return o.TopFeed },
			where:   func(o *drive.Output) float64 { return o.TopFeed },
		},
		{
			what:    "stop_distance",
			label:   "way to stop from rapid",
			unit:    "mm",
			formula: "s = v²/2a",
			source:  "derived here",
			read:    []machine.Topic{machine.Rapid, machine.Acceleration},
			pick:    func(o *drive.Output) float64 { return o.StopDistance },
		},
	}
}

// torqueFigures are what is asked of a motor, and what it gives.
var torqueFigures = []driveFigure{
	{
		what:    "cutting_torque",
		label:   "motor torque while cutting",
		unit:    "N·m",
		formula: "T = F p/(2π η i)",
		source:  "ME EN 7960",
		from:    []string{"cutting_load"},
		read:    []machine.Topic{machine.Lead, machine.Ratio, machine.Losses},
		pick:    func(o *drive.Output) float64 { return o.CuttingTorque },
	},
	{
		what:    "rapid_torque",
		label:   "motor torque at a steady rapid",
		unit:    "N·m",
		formula: "T = F p/(2π η i), F this drive's share of friction and weight",
		source:  "ME EN 7960",
		from:    []string{"mass"},
		read:    []machine.Topic{machine.Load, machine.Lead, machine.Ratio, machine.Losses},
		pick:    func(o *drive.Output) float64 { return o.RapidTorque },
	},
	{
		what:    "thrust",
		label:   "thrust left for cutting",
		unit:    "N",
		formula: "F = T 2π η i/p less this drive's share of friction and weight; T all day, or at its peak less what speeding up takes",
		source:  "derived here",
		from:    []string{"mass", "load_inertia"},
		read: []machine.Topic{machine.Torque, machine.Lead, machine.Ratio, machine.Losses, machine.Load, machine.Acceleration,
			machine.Rotor},
		pick: func(o *drive.Output) float64 { return o.CuttingThrust },
	},
	{
		what:  "accelerating_torque",
		label: "motor torque while accelerating",
		unit:  "N·m",
		formula: "T = (m a + F) p/(2π η i) + J α, m and F this drive's share of what is moved and of friction and weight, " +
			"J what turns",
		source: "derived here",
		from:   []string{"mass", "load_inertia"},
		read:   []machine.Topic{machine.Acceleration, machine.Load, machine.Lead, machine.Ratio, machine.Losses, machine.Rotor},
		pick:   func(o *drive.Output) float64 { return o.AcceleratingPeak },
	},
	{
		what:    "top_acceleration",
		label:   "acceleration from standstill",
		unit:    "m/s²",
		formula: "a = what the peak torque leaves over J and m",
		source:  "derived here",
		from:    []string{"mass", "load_inertia"},
		read:    []machine.Topic{machine.Torque, machine.Load, machine.Lead, machine.Ratio, machine.Losses, machine.Rotor},
		pick:    func(o *drive.Output) float64 { return o.AccelerationAtLow },
	},
}

// turnTopics are read for what turns with a drive's shaft.
func turnTopics(d *spec.Drive) []machine.Topic {
	switch {
	case d.Belt != nil:
		return []machine.Topic{machine.Inertia, machine.BeltMass, machine.Length, machine.Lead}
	case d.Screw != nil && !d.Screw.NutTurns():
		return []machine.Topic{machine.Inertia, machine.Diameter, machine.Length}
	}
	return []machine.Topic{machine.Inertia}
}

// inertiaFigures are what a motor has to speed up.
func inertiaFigures(v *sheet.Drive) []driveFigure {
	return []driveFigure{
		{
			what:    "turning_inertia",
			label:   "what turns with the driven shaft",
			unit:    "kg·cm2",
			formula: "screw as a bar π ρ L d⁴/32, nut, pinion, pulleys, belt, coupling",
			source:  "derived here",
			read:    turnTopics(&v.Entry.Item),
			pick:    func(o *drive.Output) float64 { return o.Turning.Total },
		},
		{
			what:    "load_inertia",
			label:   "all but the rotor, at the motor",
			unit:    "kg·cm2",
			formula: "(m (p/2π)² + J turning)/i² + J at the motor, m this drive's share of what is moved",
			source:  "derived here",
			from:    []string{"mass", "turning_inertia"},
			read:    []machine.Topic{machine.Lead, machine.Ratio, machine.Inertia},
			pick:    func(o *drive.Output) float64 { return o.LoadInertia },
		},
		{
			what:    "inertia_ratio",
			label:   "load inertia over rotor inertia",
			formula: "J load/J rotor",
			source:  "common practice",
			from:    []string{"load_inertia"},
			read:    []machine.Topic{machine.Rotor},
			pick:    func(o *drive.Output) float64 { return o.InertiaRatio },
			where:   func(o *drive.Output) float64 { return o.InertiaRatio },
		},
	}
}

// dutyTopics are read for what a motor does over and over.
var dutyTopics = []machine.Topic{machine.Duty, machine.Load, machine.Lead, machine.Ratio, machine.Losses, machine.Rotor}

// worked is above zero where a duty asks anything of a motor.
func worked(o *drive.Output) float64 { return o.Duty.RMS }

// dutyFigures are what a motor does over and over.
var dutyFigures = []driveFigure{
	{
		what:    "duty_rms",
		label:   "motor torque over the duty, RMS",
		unit:    "N·m",
		formula: "√(Σ T² t/Σ t)",
		source:  "common practice; derived here",
		from:    []string{"load_inertia", "cutting_load"},
		read:    dutyTopics,
		pick:    func(o *drive.Output) float64 { return o.Duty.RMS },
		where:   worked,
	},
	{
		what:    "duty_peak",
		label:   "largest motor torque of the duty",
		unit:    "N·m",
		formula: "largest of its phases",
		source:  "derived here",
		from:    []string{"load_inertia", "cutting_load"},
		read:    dutyTopics,
		pick:    func(o *drive.Output) float64 { return o.Duty.Peak },
		where:   worked,
	},
	{
		what:    "duty_return",
		label:   "largest energy that one stroke gives back",
		unit:    "J",
		formula: "T ω over the phase in which it drives the motor",
		source:  "derived here",
		from:    []string{"load_inertia"},
		read:    dutyTopics,
		pick:    func(o *drive.Output) float64 { return o.Duty.LargestReturn },
		where:   worked,
	},
}

// standingFigures are how finely a motor stands, and what holds it.
var standingFigures = []driveFigure{
	{
		what:    "resolution",
		label:   "travel for one count",
		unit:    "µm",
		formula: "p/(counts i)",
		source:  "derived here",
		read:    []machine.Topic{machine.Lead, machine.Ratio, machine.Steps, machine.Counts},
		pick:    func(o *drive.Output) float64 { return o.Resolution },
		where:   func(o *drive.Output) float64 { return o.Resolution },
	},
	{
		what:    "holding_torque",
		label:   "motor torque by weight with the power off",
		unit:    "N·m",
		formula: "T = F p η'/(2π i), F the weight that no counterweight takes, η' = 2 − 1/η turned backwards",
		source:  "derived here",
		from:    []string{"mass"},
		read:    []machine.Topic{machine.Load, machine.Lead, machine.Ratio, machine.Losses},
		pick:    func(o *drive.Output) float64 { return o.HoldingTorque },
		where:   func(o *drive.Output) float64 { return o.HoldingTorque },
	},
	{
		what:    "brake_margin",
		label:   "brake torque over the torque by weight",
		formula: "T brake/T weight",
		source:  "common practice",
		from:    []string{"holding_torque"},
		read:    []machine.Topic{machine.Brake},
		pick:    func(o *drive.Output) float64 { return o.BrakeMargin },
		where:   func(o *drive.Output) float64 { return o.BrakeMargin },
	},
}

// speedChart draws the screw's speed against its length.
func speedChart(read spec.Reader, v *sheet.Drive) build.Picture {
	s := v.Entry.Item.Screw
	chart := build.Chart{X: build.AxisSpec{Label: "length between bearings, mm"}, Y: build.AxisSpec{Label: "screw speed, rpm"}}
	whip, value := build.Curve{Name: "critical speed"}, build.Curve{Name: "limit by the nut's DN value", Dashed: true}
	allowed := build.Curve{Name: "permissible, " + quantity.Number(v.In.Limits.WhipMargin) + " of the critical speed"}
	const rpm = 60 * perTurn
	for _, p := range v.Speeds {
		whip.Points = append(whip.Points, [2]float64{p.Length * 1e3, p.Critical * rpm})
		allowed.Points = append(allowed.Points, [2]float64{p.Length * 1e3, p.Allowed * rpm})
		value.Points = append(value.Points, [2]float64{p.Length * 1e3, p.ByValue * rpm})
	}
	chart.Curves = []build.Curve{whip, allowed, value}
	const past = 1.25 // how far beyond this screw's length
	chart.X.Min, chart.X.Max = v.Speeds[0].Length*1e3, past*read.Of(s.Length)*1e3
	// The critical speed of a short screw is so high that the rest would lie on the
	// floor of the chart.
	chart.Y.Max = 2.5 * rpm * math.Max(v.Out.RapidSpeed, math.Min(v.Out.SpeedByValue, v.Speeds[len(v.Speeds)/2].Allowed))
	chart.Markers = []build.Marker{{Label: "this screw at rapid", X: read.Of(s.Length) * 1e3, Y: v.Out.RapidSpeed * rpm}}
	return build.Picture{
		ID:      "screw-" + idFile(v.Title),
		Title:   "Screw speed, " + v.Title,
		Drawing: chart,
		Caption: "Permissible speed of the screw of " + v.Title + ", " + s.Diameter.Text + " with " + s.Ends.Text +
			" ends, over its length, on stiff brackets.",
	}
}

// motorChart draws what the duty asks of the motor on the motor's own limits.
func motorChart(v *sheet.Drive) build.Picture {
	chart := build.Chart{X: build.AxisSpec{Label: "motor speed, rpm"}, Y: build.AxisSpec{Label: "torque, N·m"}}
	all, peak := build.Curve{Name: "continuous"}, build.Curve{Name: "peak", Dashed: true}
	if v.Stepping != nil {
		all.Name, peak.Name = "usable share of the pull-out torque", "pull-out torque"
		peak.Points = torquePoints(v.Stepping.PullOut)
	}
	all.Points = torquePoints(v.In.Motor.Continuous)
	peak.Points = append(peak.Points, torquePoints(v.In.Motor.Peak)...)
	asked := build.Curve{Name: "demand over the duty", Points: torquePoints(v.Out.Duty.Points)}
	chart.Curves = []build.Curve{peak, all, asked}
	for _, c := range chart.Curves {
		for _, p := range c.Points {
			chart.Y.Max = math.Max(chart.Y.Max, 1.15*p[1])
		}
	}
	chart.Markers = []build.Marker{{Label: "RMS torque at mean speed", X: v.Out.Duty.MeanSpeed * (60 * perTurn), Y: v.Out.Duty.RMS}}
	return build.Picture{
		ID:      "motor-" + idFile(v.Title),
		Title:   "Motor, " + v.Title,
		Drawing: chart,
		Caption: "Torque demand on the motor of " + v.Title +
			" over the duty, and what the motor has. The point must lie below the continuous limit, the whole path below the peak limit.",
	}
}

// torquePoints are torques over speeds in rpm.
func torquePoints(list []motor.TorquePoint) (points [][2]float64) {
	for _, p := range list {
		points = append(points, [2]float64{p.Speed * (60 * perTurn), p.Torque})
	}
	return points
}

// idFile makes a title fit into a file's name.
func idFile(title string) string {
	return strings.Join(strings.FieldsFunc(title, func(r rune) bool { return r == ' ' || r == ',' }), "-")
}
