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
	complianceFigures(book, v)
	addDriveFigures(book, v, accuracyFigures(v))
	if v.Entry.Item.Screw == nil {
		addDriveFigures(book, v, turningFigures)
	}
	cuttingFigures(book, v)
	addDriveFigures(book, v, feedFigures(v))
	if len(v.In.Motor.Continuous) > 0 {
		addDriveFigures(book, v, torqueFigures)
		addDriveFigures(book, v, inertiaFigures(v))
		addDriveFigures(book, v, dutyFigures)
		addDriveFigures(book, v, standstillFigures)
		powerFigures(book, v)
	}
}

// powerFigures are the continuous power of a motor at the corners of its curve.
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
			Label:   fmt.Sprintf("continuous power of the motor at point %d of its curve, %s", i, v.Title),
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
		case what == "cut_share" && v.In.CutShare >= 1, what == "critical_speed" && v.Out.CriticalSpeed == 0:
		default:
			ids = append(ids, v.ID+what)
		}
	}
	return ids
}

// freeFrequency is how the natural frequency of a stationary screw with its nut is found.
const freeFrequency = "f of the two sides of the nut together, by the end fixity and the tension; the nut holds its place, not its direction"

// freeTopics are what that frequency rests on.
var freeTopics = []machine.Topic{machine.Section, machine.Length, machine.Pull, machine.ShaftWeight, machine.Place}

// screwFigures are the speeds and loads of a screw.
var screwFigures = []driveFigure{
	{
		what:    "critical_speed",
		label:   "critical speed of the screw, without margin",
		unit:    "rpm",
		formula: "n = (60/2π) z²/L² √(EI/ρA), z by the end fixity and by the tilting stiffness of frame and bracket at the first one",
		source:  "Thomson 1993; derived here",
		read:    []machine.Topic{machine.Section, machine.Length, machine.Tilt, machine.ShaftWeight},
		pick:    func(o *drive.Output) float64 { return o.CriticalSpeed * perTurn },
		where:   func(o *drive.Output) float64 { return o.CriticalSpeed },
	},
	{
		what:    "allowed_speed",
		label:   "limit of the screw speed by its critical speed",
		unit:    "rpm",
		formula: "n = 0.8 n critical",
		source:  "common practice",
		from:    []string{"critical_speed"},
		pick:    func(o *drive.Output) float64 { return o.AllowedSpeed * perTurn },
		where:   func(o *drive.Output) float64 { return o.CriticalSpeed },
	},
	{
		what:    "sag",
		label:   "sag of the stationary screw by its weight",
		unit:    "mm",
		formula: "w = 5 or 1/384 ρ A g L⁴/EI, less by its tension",
		source:  "Timoshenko 1956",
		read:    []machine.Topic{machine.Section, machine.Length, machine.Pull, machine.ShaftWeight},
		pick:    func(o *drive.Output) float64 { return o.Sag },
		where:   func(o *drive.Output) float64 { return o.ShaftFrequency },
	},
	{
		what:    "shaft_frequency",
		label:   "natural frequency of the stationary screw, without the nut",
		unit:    "Hz",
		formula: "f of a beam under its tension",
		source:  "Timoshenko 1956",
		read:    []machine.Topic{machine.Section, machine.Length, machine.Pull, machine.ShaftWeight},
		pick:    func(o *drive.Output) float64 { return o.ShaftFrequency },
		where:   func(o *drive.Output) float64 { return o.ShaftFrequency },
	},
	{
		what:    "free_frequency.near",
		label:   "natural frequency of the stationary screw, nut nearest to the first end",
		unit:    "Hz",
		formula: freeFrequency,
		source:  "Thomson 1993; Timoshenko 1956; derived here",
		read:    freeTopics,
		pick:    func(o *drive.Output) float64 { return o.FreeFrequencyFrom },
		where:   func(o *drive.Output) float64 { return o.ShaftFrequency },
	},
	{
		what:    "free_frequency.far",
		label:   "natural frequency of the stationary screw, nut farthest from the first end",
		unit:    "Hz",
		formula: freeFrequency,
		source:  "Thomson 1993; Timoshenko 1956; derived here",
		read:    freeTopics,
		pick:    func(o *drive.Output) float64 { return o.FreeFrequencyTo },
		where:   func(o *drive.Output) float64 { return o.ShaftFrequency },
	},
	{
		what:    "resonance_feed",
		label:   "feed at which the nut turns at the lowest natural frequency of its screw",
		unit:    "m/min",
		formula: "v = f lead, f the lower one of the nut at either end of the travel",
		source:  "common practice; derived here",
		from:    []string{"free_frequency.near", "free_frequency.far"},
		read:    []machine.Topic{machine.Lead},
		pick:    func(o *drive.Output) float64 { return o.ResonanceFeed },
		where:   func(o *drive.Output) float64 { return o.ShaftFrequency },
	},
	{
		what:    "screw_speed",
		label:   "speed of screw or nut at rapid",
		unit:    "rpm",
		formula: "n = v/lead",
		source:  "derived here",
		read:    []machine.Topic{machine.Rapid, machine.Lead},
		pick:    func(o *drive.Output) float64 { return o.RapidSpeed * perTurn },
	},
	{
		what:    "buckling_load",
		label:   "buckling load of the screw, without margin",
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

// liftOffFigures are the load at which a preloaded nut has backlash.
var liftOffFigures = []driveFigure{
	{
		what:    "lift_off",
		label:   "axial force at which the preloaded nut lifts off",
		unit:    "N",
		formula: "F = 2^1.5 Fpr",
		source:  "ISO 3408-5",
		read:    []machine.Topic{machine.Pull},
		pick:    func(o *drive.Output) float64 { return o.LiftOffLoad },
		where:   func(o *drive.Output) float64 { return o.LiftOffLoad },
	},
}

// growthFigures are the thermal growth of a screw, and its tension.
func growthFigures(v *sheet.Drive) []driveFigure {
	steel, warming := shaftOf(v), v.Entry.Item.Screw.TemperatureRise.Text
	return []driveFigure{
		{
			what:    "growth",
			label:   "thermal growth of the screw, " + warming + " warmer than its frame",
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
			what:    "elongation",
			label:   "elongation of the screw by its tension",
			unit:    "mm",
			formula: "ΔL = T L/A E",
			source:  "Shigley 2006",
			read:    []machine.Topic{machine.Pull, machine.Section, machine.Length},
			pick:    func(o *drive.Output) float64 { return o.TensionElongation },
			where:   func(o *drive.Output) float64 { return o.SlackAt },
		},
		{
			what:    "slack_rise",
			label:   "temperature rise over the frame at which the tension is lost",
			unit:    "K",
			formula: "ΔT = T/α A E",
			source:  "derived here",
			read:    []machine.Topic{machine.Pull, machine.Section, machine.Warmth},
			pick:    func(o *drive.Output) float64 { return o.SlackAt },
			where:   func(o *drive.Output) float64 { return o.SlackAt },
		},
	}
}

// rated is above zero where a screw's life is known.
func rated(o *drive.Output) float64 { return min(o.LifeTime, o.LifeTravel) }

// lifeFigures are the rated life of a screw.
var lifeFigures = []driveFigure{
	{
		what:    "mean_load",
		label:   "mean load of the screw over its duty cycle",
		unit:    "N",
		formula: "Fm = (Σ Fi³ ni/Σ ni)^(1/3), ni the turns under Fi, preload included",
		source:  "ISO 3408-5",
		from:    []string{"cutting_load", "mass"},
		read:    []machine.Topic{machine.Duty, machine.Load, machine.Pull},
		pick:    func(o *drive.Output) float64 { return o.MeanLoad },
		where:   rated,
	},
	{
		what:    "life",
		label:   "rated life of the screw",
		unit:    "km",
		formula: "L10 = (Ca/Fm)³ 10⁶ turns",
		source:  "ISO 3408-5",
		from:    []string{"mean_load"},
		read:    []machine.Topic{machine.Rating, machine.Lead, machine.Pull},
		pick:    func(o *drive.Output) float64 { return o.LifeTravel },
		where:   rated,
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
		label:   "force capacity of the rack's teeth",
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
		what:    "tight_span",
		label:   "tension of the tight span, worst position",
		unit:    "N",
		formula: "T = Fpre + F L2/L",
		source:  "derived here",
		from:    []string{"cutting_load", "mass"},
		read:    []machine.Topic{machine.Pull, machine.Length, machine.Place, machine.Load, machine.Acceleration},
		pick:    func(o *drive.Output) float64 { return o.TightSpan },
	},
	{
		what:    "slack_span",
		label:   "tension of the slack span, worst position; below zero it is slack",
		unit:    "N",
		formula: "T = Fpre − F L1/L",
		source:  "derived here",
		from:    []string{"cutting_load", "mass"},
		read:    []machine.Topic{machine.Pull, machine.Length, machine.Place, machine.Load, machine.Acceleration},
		pick:    func(o *drive.Output) float64 { return o.SlackSpan },
	},
	{
		what:    "span_frequency",
		label:   "natural frequency of the long span",
		unit:    "Hz",
		formula: "f = √(T/µ)/2l",
		source:  "Thomson 1993",
		read:    []machine.Topic{machine.Pull, machine.Length, machine.Place, machine.BeltMass},
		pick:    func(o *drive.Output) float64 { return o.SpanFrequency },
	},
}

// complianceFigures are the stiffness of a drive, part by part and as a whole.
func complianceFigures(book *sheet.Book, v *sheet.Drive) {
	var parts []string
	for _, p := range v.Compliances() {
		name, formula := complianceWords(v, p.Key)
		parts = append(parts, book.Add(sheet.Figure{
			ID:      v.ID + "stiffness." + p.Key,
			Label:   "axial stiffness: " + name + ", " + v.Title,
			Value:   v.Number(func(o *drive.Output) float64 { return 1 / p.Of(o.LeastStiff) }),
			Unit:    "N/µm",
			Formula: formula,
			Source:  "ME EN 7960; derived here",
			Log:     p.Log,
			Detail:  v.Same,
		}))
	}
	id := book.Add(sheet.Figure{
		ID:      v.ID + "stiffness",
		Label:   "axial stiffness of the drive, least stiff position, " + v.Title,
		Value:   v.Number(func(o *drive.Output) float64 { return o.Stiffness }),
		Unit:    "N/µm",
		Formula: "1/k = Σ 1/k of its parts, in series",
		Source:  "ME EN 7960; derived here",
		From:    parts,
		Log:     v.Stiff,
		Notes:   leastStiffNotes(v),
		Detail:  v.Same,
		Stands:  true,
	})
	// In the frame's own stiffness, too.
	book.Stand(book.Model.Parts[book.Model.DrivePart[book.Spec.Axes[v.Axis].Name+"."+v.Entry.Name]].Log, id)
}

// shaftOf is the steel of a screw's shaft.
func shaftOf(v *sheet.Drive) drive.Material {
	switch m := v.In.Mechanism.(type) {
	case drive.RotatingScrew:
		return m.Material
	case drive.RotatingNut:
		return m.Material
	}
	return drive.Material{}
}

// leastStiffNotes say where a drive is least stiff, and of what steel.
func leastStiffNotes(v *sheet.Drive) []string {
	if v.Entry.Item.Rack != nil {
		return nil
	}
	steel := shaftOf(v)
	where := "least stiff " + quantity.Print(v.Out.LeastStiffAt, "mm") + " from the first end"
	if v.Entry.Item.Belt != nil {
		return []string{where}
	}
	return []string{where, fmt.Sprintf("E = %s, G = %s", quantity.Print(steel.Modulus, "GPa"), quantity.Print(steel.ShearModulus, "GPa"))}
}

// accuracyFigures are the natural frequency of a drive and its errors of position.
func accuracyFigures(v *sheet.Drive) []driveFigure {
	list := []driveFigure{
		{
			what:    "axial_frequency",
			label:   "axial natural frequency of the drive with the moved mass",
			unit:    "Hz",
			formula: "f = √(k/m)/2π, m this drive's share of the moved mass",
			source:  "derived here",
			from:    []string{"stiffness", "mass"},
			pick:    func(o *drive.Output) float64 { return o.AxialFrequency },
		},
		{
			what:    "travel_error",
			label:   "lead or pitch error over the travel",
			unit:    "mm",
			formula: "2 l/300 mm · V300 of a transport screw, and half the wear of its tracks; of a rack or a belt its pitch error times l",
			source:  "ISO 3408-3; from memory",
			read:    []machine.Topic{machine.Travel, machine.Grade},
			pick:    func(o *drive.Output) float64 { return o.TravelError },
			where:   func(o *drive.Output) float64 { return o.TravelError },
		},
	}
	if backlashKnown(&v.Entry.Item, v.Out.Backlash) {
		list = append(list, driveFigure{
			what:    "backlash",
			label:   "backlash of the drive",
			unit:    "mm",
			formula: "nut or teeth, and the reduction's angle times p/2π",
			source:  "derived here",
			read:    []machine.Topic{machine.Backlash, machine.Lead},
			pick:    func(o *drive.Output) float64 { return o.Backlash },
		})
	}
	return list
}

// turningFigures are the speed of a pinion or a pulley.
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

// cuttingFigures are the share of the cut that a drive carries.
func cuttingFigures(book *sheet.Book, v *sheet.Drive) {
	from := driveFrom(book, v, []string{"mass"})
	if book.Cuts.Demand.Target != "" {
		what := sheet.LargestForce
		if book.AlongTool(machine.Unit(book.Spec.Axes[v.Axis].Item.Direction.XYZ)) {
			what = sheet.LargestThrust
		}
		from = append(from, what)
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
		Label:   "largest share of the cutting force on this drive, " + v.Title,
		Value:   sheet.Between(v.In.CutShare, shares...),
		Formula: "1/2 + |o|/s, o the cutter's farthest offset and s the distance of the drives",
		Source:  "derived here",
		Log:     v.Read.Log(machine.CutShare),
		Detail:  v.Same,
	})
}

// feedFigures are the max feed of a drive and its stopping distance.
func feedFigures(v *sheet.Drive) []driveFigure {
	return []driveFigure{
		{
			what:    "max_feed",
			label:   "max feed",
			unit:    "m/min",
			formula: "least of motor and mechanism, limited by " + rulings[v.Out.MaxFeedBy].bounds,
			source:  "derived here",
			from:    []string{"critical_speed", "mass"},
			read:    []machine.Topic{machine.Lead, machine.Ratio, machine.Diameter, machine.Rating, machine.Torque, machine.Load, machine.Losses, machine.ShaftWeight},
			pick:    func(o *drive.Output) float64 { return o.MaxFeed },
			where:   func(o *drive.Output) float64 { return o.MaxFeed },
		},
		{
			what:    "stopping_distance",
			label:   "stopping distance from rapid",
			unit:    "mm",
			formula: "s = v²/2a",
			source:  "derived here",
			read:    []machine.Topic{machine.Rapid, machine.Acceleration},
			pick:    func(o *drive.Output) float64 { return o.StoppingDistance },
		},
	}
}

// torqueFigures are the torque that a motor needs, and what it can do.
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
		label:   "axial force available for cutting",
		unit:    "N",
		formula: "F = T 2π η i/p less this drive's share of friction and weight; T the continuous torque, or the peak torque less that for accelerating",
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
		formula: "T = (m a + F) p/(2π η i) + J α, m and F this drive's share of the moved mass and of friction and weight, " +
			"J of the rotating parts",
		source: "derived here",
		from:   []string{"mass", "load_inertia"},
		read:   []machine.Topic{machine.Acceleration, machine.Load, machine.Lead, machine.Ratio, machine.Losses, machine.Rotor},
		pick:   func(o *drive.Output) float64 { return o.AcceleratingPeak },
	},
	{
		what:    "max_acceleration",
		label:   "max acceleration from standstill",
		unit:    "m/s²",
		formula: "a = (peak torque less that of friction and weight) over J and m",
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

// inertiaFigures are the inertia on a motor.
func inertiaFigures(v *sheet.Drive) []driveFigure {
	return []driveFigure{
		{
			what:    "turning_inertia",
			label:   "inertia of what rotates with the driven shaft",
			unit:    "kg·cm2",
			formula: "screw as a bar π ρ L d⁴/32, nut, pinion, pulleys, belt, coupling",
			source:  "derived here",
			read:    turnTopics(&v.Entry.Item),
			pick:    func(o *drive.Output) float64 { return o.Turning.Total },
		},
		{
			what:    "load_inertia",
			label:   "load inertia at the motor",
			unit:    "kg·cm2",
			formula: "(m (p/2π)² + J turning)/i² + J at the motor, m this drive's share of the moved mass",
			source:  "derived here",
			from:    []string{"mass", "turning_inertia"},
			read:    []machine.Topic{machine.Lead, machine.Ratio, machine.Inertia},
			pick:    func(o *drive.Output) float64 { return o.LoadInertia },
		},
		{
			what:    "inertia_ratio",
			label:   "inertia ratio, load over rotor",
			formula: "J load/J rotor",
			source:  "common practice",
			from:    []string{"load_inertia"},
			read:    []machine.Topic{machine.Rotor},
			pick:    func(o *drive.Output) float64 { return o.InertiaRatio },
			where:   func(o *drive.Output) float64 { return o.InertiaRatio },
		},
	}
}

// dutyTopics are read for the duty cycle of a motor.
var dutyTopics = []machine.Topic{machine.Duty, machine.Load, machine.Lead, machine.Ratio, machine.Losses, machine.Rotor}

// worked is above zero where a duty cycle loads a motor.
func worked(o *drive.Output) float64 { return o.Duty.RMS }

// dutyFigures are the load of a motor over its duty cycle.
var dutyFigures = []driveFigure{
	{
		what:    "duty_rms",
		label:   "RMS torque over the duty cycle",
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
		label:   "peak torque over the duty cycle",
		unit:    "N·m",
		formula: "largest of its phases",
		source:  "derived here",
		from:    []string{"load_inertia", "cutting_load"},
		read:    dutyTopics,
		pick:    func(o *drive.Output) float64 { return o.Duty.Peak },
		where:   worked,
	},
	{
		what:    "regenerated_energy",
		label:   "largest energy regenerated in one stroke",
		unit:    "J",
		formula: "T ω over the phase in which it drives the motor",
		source:  "derived here",
		from:    []string{"load_inertia"},
		read:    dutyTopics,
		pick:    func(o *drive.Output) float64 { return o.Duty.LargestReturn },
		where:   worked,
	},
}

// standstillFigures are the resolution of a motor, and what holds it without power.
var standstillFigures = []driveFigure{
	{
		what:    "resolution",
		label:   "resolution: travel of one count",
		unit:    "µm",
		formula: "p/(counts i)",
		source:  "derived here",
		read:    []machine.Topic{machine.Lead, machine.Ratio, machine.Steps, machine.Counts},
		pick:    func(o *drive.Output) float64 { return o.Resolution },
		where:   func(o *drive.Output) float64 { return o.Resolution },
	},
	{
		what:    "holding_torque",
		label:   "torque by weight at the motor, power off",
		unit:    "N·m",
		formula: "T = F p η'/(2π i), F the weight less the counterweight, η' = 2 − 1/η back-driven",
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
func speedChart(read spec.Reader, v driveColumn) build.Picture {
	s := v.Entry.Item.Screw
	chart := build.Chart{X: build.AxisSpec{Label: "length between bearings, mm"}, Y: build.AxisSpec{Label: "screw speed, rpm"}}
	critical, allowed, value := build.Curve{Name: "critical speed"}, build.Curve{Name: "limit, " + quantity.Number(v.In.Limits.CriticalSpeedMargin) + " of it"}, build.Curve{Name: "nut's DN value", Dashed: true}
	const rpm = 60 * perTurn
	for _, p := range v.Speeds {
		critical.Points = append(critical.Points, [2]float64{p.Length * 1e3, p.Critical * rpm})
		allowed.Points = append(allowed.Points, [2]float64{p.Length * 1e3, p.Allowed * rpm})
		value.Points = append(value.Points, [2]float64{p.Length * 1e3, p.ByValue * rpm})
	}
	chart.Curves = []build.Curve{critical, allowed, value}
	const past = 1.25 // how far beyond this screw's length
	chart.X.Min, chart.X.Max = v.Speeds[0].Length*1e3, past*read.Of(s.Length)*1e3
	// The critical speed of a short screw is so high that the rest would lie on the
	// floor of the chart.
	chart.Y.Max = 2.5 * rpm * math.Max(v.Out.RapidSpeed, math.Min(v.Out.SpeedByValue, v.Speeds[len(v.Speeds)/2].Allowed))
	chart.Markers = []build.Marker{{Label: "this screw at rapid", X: read.Of(s.Length) * 1e3, Y: v.Out.RapidSpeed * rpm}}
	return build.Picture{
		ID:      "screw-" + idFile(v.Title),
		Title:   "Screw speed, " + v.title(),
		Half:    true,
		Drawing: chart,
		Caption: "Critical speed of the screw of " + v.title() + ", " + s.Diameter.Text + ", " + s.Ends.Text +
			" ends on rigid brackets, over its length; the mark is this screw at rapid.",
	}
}

// motorChart draws the torque of the duty cycle on the motor's limits.
func motorChart(v driveColumn) build.Picture {
	chart := build.Chart{X: build.AxisSpec{Label: "motor speed, rpm"}, Y: build.AxisSpec{Label: "torque, N·m"}}
	all, peak := build.Curve{Name: "continuous"}, build.Curve{Name: "peak", Dashed: true}
	if v.Stepping != nil {
		all.Name, peak.Name = "usable share of the pull-out torque", "pull-out torque"
		peak.Points = torquePoints(v.Stepping.PullOut)
	}
	all.Points = torquePoints(v.In.Motor.Continuous)
	peak.Points = append(peak.Points, torquePoints(v.In.Motor.Peak)...)
	duty := build.Curve{Name: "duty cycle", Points: torquePoints(v.Out.Duty.Points)}
	chart.Curves = []build.Curve{peak, all, duty}
	for _, c := range chart.Curves {
		for _, p := range c.Points {
			chart.Y.Max = math.Max(chart.Y.Max, 1.15*p[1])
		}
	}
	chart.Markers = []build.Marker{{Label: "RMS torque at mean speed", X: v.Out.Duty.MeanSpeed * (60 * perTurn), Y: v.Out.Duty.RMS}}
	return build.Picture{
		ID:      "motor-" + idFile(v.Title),
		Title:   "Motor, " + v.title(),
		Half:    true,
		Drawing: chart,
		Caption: "Torque over the duty cycle of " + v.title() + " against the limits of its motor: " +
			"the RMS point must be below the continuous line, every corner below the peak line.",
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
