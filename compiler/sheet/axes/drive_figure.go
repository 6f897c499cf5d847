package axes

import (
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/drive"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// driveFigures adds the numbers of a drive.
func driveFigures(book *sheet.Book, v *sheet.Drive) {
	o, a := &v.Out, &book.Spec.Axes[v.Axis].Item
	d := &v.Entry.Item
	mass := "mass.moving." + book.Spec.Axes[v.Axis].Name
	add := func(what, label string, x float64, unit, formula, source string, inputs ...build.Input) {
		book.Old(build.Figure{ID: v.ID + what, Label: label + ", " + v.Title, Value: x, Unit: unit, Formula: formula, Source: source, Inputs: inputs, Detail: v.Same})
	}
	lead := leadInput(d)
	switch {
	case d.Screw != nil:
		screwFigures(book, v, add)
	case d.Rack != nil:
		add("pitch_diameter", "pitch diameter of the pinion", o.PitchDiameter, "mm", "d = m z/cos β", "Shigley 2006", sheet.In("module", d.Rack.Module))
		if o.ToothForce > 0 {
			add("tooth_force", "force that the rack's teeth carry", o.ToothForce, "N", "F = σ b m Y/Kv, or as the maker rates it", "Shigley 2006; from memory", sheet.In("module", d.Rack.Module), sheet.In("face", d.Rack.Face))
		}
	case d.Belt != nil:
		inputs := []build.Input{sheet.In("pull at rest", d.Belt.Pretension), sheet.In("span", d.Belt.Span)}
		add("tight_strand", "pull in the tight strand, worst place", o.TightStrand, "N", "T = Fpre + F L2/L", "derived here", inputs...)
		add("slack_strand", "pull left in the slack strand, worst place; below zero it hangs", o.SlackStrand, "N", "T = Fpre − F L1/L", "derived here", inputs...)
		add("strand_frequency", "sound of the long strand when plucked", o.StrandSounds, "Hz", "f = √(T/µ)/2l", "Thomson 1993", append(inputs, sheet.In("mass of the belt", d.Belt.Mass))...)
	}
	var parts []build.Input
	for _, p := range v.Gives() {
		id := v.ID + "give." + p.Key
		name, formula := giveWords(v, p.Key)
		book.Old(build.Figure{ID: id, Label: name + " along the axis, " + v.Title, Value: 1 / p.Give, Unit: "N/µm", Formula: formula, Source: "ME EN 7960; derived here", Inputs: partInputs(book, v, p.Key), Detail: v.Same})
		parts = append(parts, build.Input{Figure: id})
	}
	book.Old(build.Figure{ID: v.ID + "stiffness", Label: "axial stiffness of the drive, softest place, " + v.Title, Value: o.Stiffness, Bounded: true, Low: v.Holds[0], High: v.Holds[1], Detail: v.Same, Unit: "N/µm", Formula: "1/k = Σ 1/k of its parts, in series", Source: "ME EN 7960; derived here", Inputs: parts, Notes: softestNotes(book, v)})
	add("axial_frequency", "moved mass on the drive's stiffness", o.AxialFrequency, "Hz", "f = √(k/m)/2π, m this drive's share of what is moved", "derived here", sheet.From(v.ID+"stiffness", mass)...)
	add("play", "play of the drive", o.Play, "mm", "nut or teeth, and the reduction's angle times p/2π", "derived here", lead)
	if o.TravelError > 0 {
		add("travel_error", "error of lead or pitch over the travel", o.TravelError, "mm", "2 l/300 mm · V300 of a transport screw; 0.1 mm/m of a rack", "ISO 3408-3; from memory", sheet.In("travel", a.Travel))
	}
	if d.Screw == nil {
		add("turning_speed", "speed of the driven shaft at rapid", o.RapidSpeed/(2*math.Pi), "rpm", "n = v/travel a turn", "derived here", sheet.In("rapid wanted", a.Rapid), lead)
	}
	cut := append(sheet.From(mass), sheet.In("friction", a.Friction))
	if book.Cuts.Demand.Target != "" {
		what := ".force"
		if book.AlongTool(machine.Unit(a.Direction.XYZ)) {
			what = ".thrust"
		}
		cut = append(cut, sheet.From("target."+spec.IDWord(book.Cuts.Demand.Target)+what)...)
	}
	if v.In.CutShare < 1 {
		cut = append(cut, sheet.From(v.ID+"cut_share")...)
	}
	add("cutting_load", "axial force while cutting", o.CuttingLoad, "N", "this drive's share of the cut, of the friction and of the weight", "derived here", cut...)
	if v.In.CutShare < 1 {
		add("cut_share", "largest share of the cutting force that this drive takes", v.In.CutShare, "", "1/2 + |o|/s, o the cutter's farthest offset and s the distance of the drives", "derived here")
	}
	if o.TopFeed > 0 {
		by := rulings[o.TopFeedBy].bounds
		add("top_feed", "top feed", o.TopFeed, "m/min", "least of motor and mechanism, by "+by, "derived here", sheet.In("rapid wanted", a.Rapid), lead)
	}
	add("stop_distance", "way to stop from rapid", o.StopDistance, "mm", "s = v²/2a", "derived here", sheet.In("rapid wanted", a.Rapid), sheet.In("acceleration wanted", a.Acceleration))
	if len(v.In.Motor.Continuous) > 0 {
		motorFigures(book, v, add, mass, lead)
	}
}

// leadInput is what a turn of the driven shaft travels by.
func leadInput(d *spec.Drive) build.Input {
	switch {
	case d.Rack != nil:
		return sheet.In("module", d.Rack.Module)
	case d.Belt != nil:
		return sheet.In("pitch", d.Belt.Pitch)
	}
	return sheet.In("lead", d.Screw.Lead)
}

// partInputs are the values that the stiffness of one part of a drive rests on.
func partInputs(book *sheet.Book, v *sheet.Drive, key string) []build.Input {
	d := &v.Entry.Item
	lead := leadInput(d)
	switch key {
	case "shaft":
		return []build.Input{sheet.In("root diameter", d.Screw.Root), sheet.In("unsupported length", d.Screw.Length), {Label: "ends", Value: d.Screw.Ends.Text, At: build.Place(d.Screw.Ends.At)}}
	case "twist":
		return []build.Input{sheet.In("root diameter", d.Screw.Root), lead}
	case "bearing":
		return []build.Input{sheet.In("bearing", d.Screw.BearingStiffness)}
	case "nut":
		return []build.Input{sheet.In("nut", d.Screw.NutStiffness)}
	case "teeth":
		return []build.Input{sheet.In("face", d.Rack.Face), sheet.In("module", d.Rack.Module)}
	case "belt":
		return []build.Input{sheet.In("cords", d.Belt.CordStiffness), sheet.In("width", d.Belt.Width), sheet.In("span", d.Belt.Span)}
	case "bracket":
		switch {
		case d.Rack != nil:
			return []build.Input{sheet.In("what holds the pinion", d.Rack.Bracket)}
		case d.Belt != nil:
			return []build.Input{sheet.In("clamps and pulleys", d.Belt.Bracket)}
		}
	case "coupling":
		return []build.Input{sheet.In("reduction", d.Reduction.Stiffness), lead}
	case "motor":
		if m := d.Motor; m != nil && m.Stepper != nil {
			return []build.Input{sheet.In("holding torque", m.Stepper.Holding), sheet.In("ratio", d.Ratio), lead}
		} else if m != nil {
			return []build.Input{sheet.In("servo", m.Stiffness), sheet.In("ratio", d.Ratio), lead}
		}
	}
	return []build.Input{lead}
}

// softestNotes say where a drive gives most, and of what steel.
func softestNotes(book *sheet.Book, v *sheet.Drive) []string {
	if v.Entry.Item.Rack != nil {
		return nil
	}
	steel := drive.Steel()
	where := "softest " + quantity.Print(v.Out.SoftestAt, "mm") + " from the first end"
	if v.Entry.Item.Belt != nil {
		return []string{where}
	}
	return []string{where, fmt.Sprintf("E = %s, G = %s", quantity.Print(steel.Modulus, "GPa"), quantity.Print(steel.ShearModulus, "GPa"))}
}

// A figureAdder adds one number of a drive.
type figureAdder func(what, label string, x float64, unit, formula, source string, inputs ...build.Input)

func screwFigures(book *sheet.Book, v *sheet.Drive, add figureAdder) {
	o, s, a := &v.Out, v.Entry.Item.Screw, &book.Spec.Axes[v.Axis].Item
	const turns = 1 / (2 * math.Pi)
	root, length, lead := sheet.In("root diameter", s.Root), sheet.In("unsupported length", s.Length), sheet.In("lead", s.Lead)
	ends := build.Input{Label: "ends", Value: s.Ends.Text, At: build.Place(s.Ends.At)}
	if o.CriticalSpeed > 0 {
		inputs := []build.Input{root, length, ends}
		if s.BearingTilt.Given {
			inputs = append(inputs, sheet.In("bracket against tilting", s.BearingTilt))
		}
		add("whip_speed", "speed at which the screw whips, raw", o.CriticalSpeed*turns, "rpm", "n = (60/2π) z²/L² √(EI/ρA), z by the ends and by how the frame holds the first one against tilting", "Thomson 1993; derived here", inputs...)
		add("allowed_speed", "screw speed allowed against whip", o.AllowedSpeed*turns, "rpm", "0.8 of the whip speed", "common practice", sheet.From(v.ID+"whip_speed")...)
	}
	if o.ShaftFrequency > 0 {
		add("sag", "sag of the standing screw by its weight", o.Sag, "mm", "w = 5 or 1/384 ρ A g L⁴/EI, less by its pull", "Timoshenko 1956", root, length, ends)
		add("shaft_frequency", "frequency of the standing screw", o.ShaftFrequency, "Hz", "f of a beam under its pull", "Timoshenko 1956", root, length, ends)
	}
	add("screw_speed", "speed of what turns, at rapid", o.RapidSpeed*turns, "rpm", "n = v/lead", "derived here", sheet.In("rapid wanted", a.Rapid), lead)
	add("buckling_load", "buckling load of the screw, raw", o.BucklingLoad, "N", "F = z² E I/L², z by the ends", "Timoshenko and Gere 1961", root, length, ends)
	add("slenderness", "length over diameter of the screw", o.Slenderness, "", "L/d", "common practice", length, sheet.In("diameter", s.Diameter))
	add("growth", "growth of the screw, 10 K warmer than its frame", o.Growth, "mm", "ΔL = α L ΔT, L up to the farthest nut", "Shigley 2006; common practice", build.Input{Label: "up to the farthest nut", Value: quantity.Print(o.Growth/(drive.Steel().Expansion*machine.UsualWarming), "mm"), At: build.Place(s.Length.At)}, build.Input{Label: "α", Value: "12·10⁻⁶/K"})
	if o.SlackAt > 0 {
		add("pull", "what the pull lengthens the screw", o.PretensionPull, "mm", "ΔL = T L/A E", "Shigley 2006", sheet.In("pull", s.Tension), root)
		add("slack_at", "warming over the frame that takes off the pull", o.SlackAt, "K", "ΔT = T/α A E", "derived here", sheet.In("pull", s.Tension), root)
	}
	if o.LifeTime > 0 && o.LifeTravel > 0 {
		add("mean_load", "mean load of the screw over its duty", o.MeanLoad, "N", "Fm = (Σ Fi³ ni/Σ ni)^(1/3), ni the turns under Fi, preload within", "ISO 3408-5", sheet.From(v.ID+"cutting_load")...)
		add("life", "life of the screw as travel", o.LifeTravel, "km", "L10 = (Ca/Fm)³ 10⁶ turns", "ISO 3408-5", append(sheet.From(v.ID+"mean_load"), sheet.In("dynamic rating", s.Dynamic), lead)...)
	}
}

func motorFigures(book *sheet.Book, v *sheet.Drive, add figureAdder, mass string, lead build.Input) {
	o, a := &v.Out, &book.Spec.Axes[v.Axis].Item
	torque := motorTorqueInput(v.Entry.Item.Motor)
	add("cutting_torque", "motor torque while cutting", o.CuttingTorque, "N·m", "T = F p/(2π η i)", "ME EN 7960", append(sheet.From(v.ID+"cutting_load"), lead)...)
	add("rapid_torque", "motor torque at a steady rapid", o.RapidTorque, "N·m", "T = F p/(2π η i), F this drive's share of friction and weight", "ME EN 7960", append(sheet.From(mass), sheet.In("friction", a.Friction), lead)...)
	add("thrust", "thrust left for cutting", o.CuttingThrust, "N", "F = T 2π η i/p less this drive's share of friction and weight; T all day, or at its peak less what speeding up takes", "derived here", torque, lead)
	add("accelerating_torque", "motor torque while accelerating", o.AcceleratingPeak, "N·m", "T = (m a + F) p/(2π η i) + J α, m and F this drive's share of what is moved and of friction and weight, J what turns", "derived here", append(sheet.From(mass), sheet.In("acceleration wanted", a.Acceleration), lead)...)
	add("top_acceleration", "acceleration from standstill", o.AccelerationAtLow, "m/s²", "a = what the peak torque leaves over J and m", "derived here", append(sheet.From(mass), peakInput(v.Entry.Item.Motor), lead)...)
	add("turning_inertia", "what turns with the driven shaft", o.Turning.Total, "kg·cm2", "screw as a bar π ρ L d⁴/32, nut, pinion, pulleys, belt, coupling", "derived here", turningInputs(&v.Entry.Item)...)
	add("load_inertia", "all but the rotor, at the motor", o.LoadInertia, "kg·cm2", "(m (p/2π)² + J turning)/i² + J at the motor, m this drive's share of what is moved", "derived here", append(sheet.From(mass, v.ID+"turning_inertia"), lead)...)
	if o.InertiaRatio > 0 {
		add("inertia_ratio", "load inertia over rotor inertia", o.InertiaRatio, "", "J load/J rotor", "common practice", append(sheet.From(v.ID+"load_inertia"), rotorInput(v.Entry.Item.Motor))...)
	}
	if o.Duty.RMS > 0 {
		add("duty_rms", "motor torque over the duty, RMS", o.Duty.RMS, "N·m", "√(Σ T² t/Σ t)", "common practice; derived here", append(sheet.From(v.ID+"load_inertia", v.ID+"cutting_load"), lead)...)
		add("duty_peak", "largest motor torque of the duty", o.Duty.Peak, "N·m", "largest of its phases", "derived here", sheet.From(v.ID+"load_inertia", v.ID+"cutting_load")...)
		add("duty_return", "largest energy that one stroke gives back", o.Duty.LargestReturn, "J", "T ω over the phase in which it drives the motor", "derived here", sheet.From(v.ID+"load_inertia")...)
	}
	if o.Resolution > 0 {
		add("resolution", "travel for one count", o.Resolution, "µm", "p/(counts i)", "derived here", lead, countsInput(v.Entry.Item.Motor))
	}
	if o.HoldingTorque > 0 {
		add("holding_torque", "motor torque by weight with the power off", o.HoldingTorque, "N·m", "T = F p η'/(2π i), F the weight that no counterweight takes, η' = 2 − 1/η turned backwards", "derived here", append(sheet.From(mass), sheet.In("counterweight", a.Counterweight), lead)...)
	}
	if o.BrakeMargin > 0 {
		add("brake_margin", "brake torque over the torque by weight", o.BrakeMargin, "", "T brake/T weight", "common practice", append(sheet.From(v.ID+"holding_torque"), brakeInput(v.Entry.Item.Motor))...)
	}
}

func motorTorqueInput(m *spec.Motor) build.Input {
	switch {
	case m == nil:
		return build.Input{Label: "torque of the shared motor"}
	case m.Stepper != nil:
		return sheet.In("share of the pull-out torque", m.Stepper.Share)
	}
	return sheet.In("rated torque", m.RatedTorque)
}

// peakInput is what a motor gives for a moment.
func peakInput(m *spec.Motor) build.Input {
	if m == nil || m.Stepper != nil {
		return motorTorqueInput(m)
	}
	return sheet.In("peak torque", m.PeakTorque)
}

// countsInput is how finely a motor is told where to stand.
func countsInput(m *spec.Motor) build.Input {
	switch {
	case m == nil:
		return build.Input{Label: "counts of the shared motor"}
	case m.Stepper != nil:
		return build.Input{Label: "steps a turn", Value: fmt.Sprint(m.Stepper.Steps.N * m.Stepper.Microsteps.N), At: build.Place(m.Stepper.Steps.At)}
	}
	return build.Input{Label: "counts", Value: fmt.Sprint(m.Counts.N), At: build.Place(m.Counts.At)}
}

// brakeInput is what a brake holds.
func brakeInput(m *spec.Motor) build.Input {
	if m == nil {
		return build.Input{Label: "brake of the shared motor"}
	}
	return sheet.In("brake torque", m.BrakeTorque)
}

// turningInputs are what turns with a drive's shaft.
func turningInputs(d *spec.Drive) []build.Input {
	switch {
	case d.Rack != nil:
		return []build.Input{sheet.In("inertia of the pinion", d.Rack.PinionInertia)}
	case d.Belt != nil:
		return []build.Input{sheet.In("mass of the belt", d.Belt.Mass), sheet.In("pitch", d.Belt.Pitch)}
	case d.Screw.NutTurns():
		return []build.Input{sheet.In("inertia of the nut", d.Screw.NutInertia)}
	}
	return []build.Input{sheet.In("diameter of the screw", d.Screw.Diameter), sheet.In("length of the screw", d.Screw.Length)}
}

func rotorInput(m *spec.Motor) build.Input {
	if m == nil {
		return build.Input{Label: "rotor of the shared motor"}
	}
	return sheet.In("rotor", m.Inertia)
}

// speedChart draws the screw's speed against its length.
func speedChart(read spec.Reader, v *sheet.Drive, curve []drive.SpeedPoint) build.Picture {
	s := v.Entry.Item.Screw
	chart := build.Chart{X: build.AxisSpec{Label: "length between bearings, mm"}, Y: build.AxisSpec{Label: "screw speed, rpm"}}
	whip, allowed, value := build.Curve{Name: "whips"}, build.Curve{Name: "allowed, 0.8 of it"}, build.Curve{Name: "nut's DN", Dashed: true}
	const rpm = 60 / (2 * math.Pi)
	for _, p := range curve {
		whip.Points = append(whip.Points, [2]float64{p.Length * 1e3, p.Critical * rpm})
		allowed.Points = append(allowed.Points, [2]float64{p.Length * 1e3, p.Allowed * rpm})
		value.Points = append(value.Points, [2]float64{p.Length * 1e3, p.ByValue * rpm})
	}
	chart.Curves = []build.Curve{whip, allowed, value}
	// Short screws whip so high that the rest would lie on the floor of the chart.
	chart.Y.Max = 2.5 * rpm * math.Max(v.Out.RapidSpeed, math.Min(v.Out.SpeedByValue, curve[len(curve)/2].Allowed))
	chart.Markers = []build.Marker{{Label: "this screw at rapid", X: read.Of(s.Length) * 1e3, Y: v.Out.RapidSpeed * rpm}}
	return build.Picture{ID: "screw-" + idFile(v.Title), Title: "Screw speed, " + v.Title, Drawing: chart,
		Caption: "How fast the screw of " + v.Title + ", " + s.Diameter.Text + " with " + s.Ends.Text + " ends, may turn against its length, on stiff brackets."}
}

// motorChart draws what the duty asks of the motor on the motor's own limits.
func motorChart(read spec.Reader, v *sheet.Drive) build.Picture {
	chart := build.Chart{X: build.AxisSpec{Label: "motor speed, rpm"}, Y: build.AxisSpec{Label: "torque, N·m"}}
	const rpm = 60 / (2 * math.Pi)
	all, peak := build.Curve{Name: "all day"}, build.Curve{Name: "for a moment", Dashed: true}
	if m := v.Entry.Item.Motor; m != nil && m.Stepper != nil {
		all.Name, peak.Name = "share of the pull-out that may be asked for", "falls out of step"
		for _, p := range machine.StepperOf(read, m).PullOut {
			peak.Points = append(peak.Points, [2]float64{p.Speed * rpm, p.Torque})
		}
	}
	for _, p := range v.In.Motor.Continuous {
		all.Points = append(all.Points, [2]float64{p.Speed * rpm, p.Torque})
	}
	for _, p := range v.In.Motor.Peak {
		peak.Points = append(peak.Points, [2]float64{p.Speed * rpm, p.Torque})
	}
	asked := build.Curve{Name: "asked by the duty"}
	for _, p := range v.Out.Duty.Points {
		asked.Points = append(asked.Points, [2]float64{p.Speed * rpm, p.Torque})
	}
	chart.Curves = []build.Curve{peak, all, asked}
	for _, c := range chart.Curves {
		for _, p := range c.Points {
			chart.Y.Max = math.Max(chart.Y.Max, 1.15*p[1])
		}
	}
	chart.Markers = []build.Marker{{Label: "RMS at the mean speed", X: v.Out.Duty.MeanSpeed * rpm, Y: v.Out.Duty.RMS}}
	return build.Picture{ID: "motor-" + idFile(v.Title), Title: "Motor, " + v.Title, Drawing: chart,
		Caption: "What the duty asks of the motor of " + v.Title + ", on what it can give. The point must lie under the lower line, every corner of the path under the upper one."}
}

// idFile makes a title fit into a file's name.
func idFile(title string) string {
	return strings.Join(strings.FieldsFunc(title, func(r rune) bool { return r == ' ' || r == ',' }), "-")
}
