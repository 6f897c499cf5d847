package compiler

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/drive"
	"ironbed/compiler/motor"
	"ironbed/spec"
)

// transmission makes what turns a motor's turning into travel.
func transmission(v *spec.Drive) motor.Transmission {
	return motor.Transmission{Lead: v.Screw.Lead.Value, Efficiency: v.Screw.Efficiency.Value, Ratio: v.Ratio.Value, RatioEfficiency: 1}
}

// driveInput gathers what one drive of an axis has to do.
func driveInput(d *model, axis int, v *spec.Drive, force, feed float64) (drive.Input, error) {
	a := &d.m.Axes[axis].Item
	ends, err := drive.EndsNamed(v.Screw.Ends.Text)
	if err != nil {
		return drive.Input{}, err
	}
	s := &v.Screw
	near, far := nutRange(d, axis, v)
	input := drive.Input{
		Mass: d.movedMass(axis), Gravity: math.Abs(r3.Dot(gravity, unit(a.Direction.XYZ))), Friction: a.Friction.Value,
		CuttingForce: force, CuttingFeed: feed, Acceleration: a.Acceleration.Value, RapidFeed: a.Rapid.Value,
		Share: 1 / float64(len(a.Drives)),
		Mechanism: drive.TurningScrew{Screw: drive.Screw{Material: drive.Steel(), NominalDiameter: s.Diameter.Value, RootDiameter: s.Root.Value, Lead: s.Lead.Value,
			Length: s.Length.Value, Unsupported: s.Length.Value, Efficiency: s.Efficiency.Value, Preload: s.Preload.Value, DynamicRating: s.Dynamic.Value, StaticRating: s.Static.Value},
			Supports: drive.Supports{Ends: ends, Bearing: s.BearingStiffness.Value, Nut: s.NutStiffness.Value, NutFrom: near, NutTo: far}},
		Reduction: drive.Reduction{Ratio: v.Ratio.Value, Efficiency: 1},
		Limits:    drive.CommonLimits(),
	}
	if m := v.Motor; m != nil {
		rated, top := 2*math.Pi*m.RatedSpeed.Value, 2*math.Pi*m.TopSpeed.Value
		input.Motor = motor.Motor{RotorInertia: m.Inertia.Value, Counts: float64(m.Counts.N)}
		input.Motor.Continuous = torqueCurve(m.RatedTorque.Value, rated, top)
		input.Motor.Peak = torqueCurve(m.PeakTorque.Value, rated, top)
		if m.Brake {
			input.Motor.BrakeTorque = m.RatedTorque.Value
		}
	}
	return input, nil
}

// torqueCurve is a servo's limit: its torque up to the rated speed, and
// constant power from there to the top speed.
func torqueCurve(torque, rated, top float64) []motor.TorquePoint {
	list := []motor.TorquePoint{{Speed: 0, Torque: torque}, {Speed: rated, Torque: torque}}
	if top > rated*(1+1e-9) {
		for _, t := range []float64{0.5, 1} {
			speed := rated + t*(top-rated)
			list = append(list, motor.TorquePoint{Speed: speed, Torque: torque * rated / speed})
		}
	}
	return list
}

// nutRange returns the nearest and the farthest distance of the nut from the
// fixed bearing over the axis's travel [m].
func nutRange(d *model, axis int, v *spec.Drive) (near, far float64) {
	a := &d.m.Axes[axis].Item
	travel := unit(a.Direction.XYZ)
	nut, bearing := d.node[v.Nut.Text], d.node[v.Bearing.Text]
	near = math.Inf(1)
	for _, at := range []float64{0, a.Travel.Value} {
		p := d.middle()
		p[axis] = at
		shift := d.shifts(p)
		gap := r3.Sub(r3.Add(d.nodes[nut], shift[d.nodeBody[nut]]), r3.Add(d.nodes[bearing], shift[d.nodeBody[bearing]]))
		distance := math.Abs(r3.Dot(travel, gap))
		near, far = math.Min(near, distance), math.Max(far, distance)
	}
	return near, far
}

// drivePass checks the drives of every axis.
func drivePass(j *job) error {
	if len(j.m.Axes) == 0 {
		return nil
	}
	var blocks []build.Block
	for i := range j.m.Axes {
		a := &j.m.Axes[i]
		if len(a.Item.Drives) == 0 {
			j.notComputed("drive of axis "+a.Name, "a drive")
			continue
		}
		for k := range a.Item.Drives {
			list, err := j.driveBlocks(i, k)
			if err != nil {
				return err
			}
			blocks = append(blocks, list...)
		}
	}
	j.sheet("drives", "Drives", append([]build.Block{
		build.Text("The cutting force is the hardest of the best cuts above, taken along each axis. Weight, friction and the cut are all taken against the motion. The 0.8 on the speed at which a screw whips is the usual margin; both numbers are printed.")}, blocks...)...)
	return nil
}

// driveBlocks computes one drive and prints it. A drive that is the same as the
// one before it on its axis gets its figures, and no second set of words.
func (j *job) driveBlocks(axis, index int) ([]build.Block, error) {
	a := &j.m.Axes[axis]
	e := &a.Item.Drives[index]
	v := &e.Item
	force, feed := j.demand.lateral, j.demand.feed
	if math.Abs(r3.Dot(unit(a.Item.Direction.XYZ), j.toolAxis())) > 0.7 {
		// Along the cutter the cut pushes while the axis stands, or plunges slowly.
		force, feed = j.demand.axial, min(feed, a.Item.Rapid.Value)
	}
	input, err := driveInput(j.model, axis, v, force, feed)
	if err != nil {
		return nil, &refusal{rule: "drive", at: e.At, message: err.Error()}
	}
	out, err := drive.Axis(input)
	if err != nil {
		return nil, &refusal{rule: "drive", at: e.At, message: fmt.Sprintf("drive of axis %s: %v", a.Name, err)}
	}
	id := "axis." + a.Name + ".drive."
	title := "axis " + a.Name
	if len(a.Item.Drives) > 1 {
		id += e.Name + "."
		title += ", " + e.Name
	}
	j.driveFigures(id, title, a, v, input, out)
	if index > 0 {
		before, err := driveInput(j.model, axis, &a.Item.Drives[index-1].Item, force, feed)
		if err == nil && reflect.DeepEqual(before, input) {
			return []build.Block{build.Text("The drive of " + title + " is the same.")}, nil
		}
	}
	for _, c := range out.Checks {
		if c.OK {
			continue
		}
		j.driveFinding(id, title, a, e, input, c)
	}
	for _, g := range out.Gaps {
		j.notComputed(checkWords[g.Name]+" of "+title, g.Needs)
	}
	table := build.Table{Caption: "Checks of the drive of " + title, Columns: []build.Column{{Head: "check"}, {Head: "asked", Right: true}, {Head: "allowed", Right: true}, {Head: "answer"}}}
	for _, c := range out.Checks {
		answer := "holds"
		if !c.OK {
			answer = "**too much**"
		}
		table.Rows = append(table.Rows, []build.Cell{{Text: checkWords[c.Name]}, {Text: checkMeasure(c, c.Demand)}, {Text: checkMeasure(c, c.Limit)}, {Text: answer}})
	}
	screw := input.Mechanism.(drive.TurningScrew)
	curve, err := drive.SpeedCurve(screw.Screw, screw.Ends, input.Limits, 0.4*screw.Unsupported, 1.5*screw.Unsupported, 40)
	if err != nil {
		return nil, &refusal{rule: "drive", at: e.At, message: err.Error()}
	}
	return []build.Block{table, speedChart(id, title, v, out, curve)}, nil
}

// toolAxis is the way that the cutter points; down without a spindle.
func (j *job) toolAxis() r3.Vec {
	if j.m.Spindle == nil {
		return r3.Vec{Z: -1}
	}
	return pointing(j.m.Spindle)
}

// checkWords are the drive's checks in words.
var checkWords = map[string]string{
	drive.RuleScrewWhip:        "screw speed at rapid against whip, with its 0.8",
	drive.RuleScrewDN:          "screw speed against the nut's DN",
	drive.RuleScrewBuckling:    "force against buckling, with its 0.5",
	drive.RuleScrewSlenderness: "length over diameter",
	drive.RuleScrewStaticLoad:  "force against the static rating",
	drive.RuleScrewPreload:     "force against the nut's lift-off",
	drive.RuleScrewLife:        "life of the screw",
	drive.RuleMotorSpeed:       "motor speed at rapid",
	drive.RuleMotorTorque:      "torque while cutting, all day",
	drive.RuleMotorRapidTorque: "torque at rapid",
	drive.RuleMotorPeakTorque:  "torque while accelerating",
	drive.RuleInertiaRatio:     "load inertia over rotor inertia",
	drive.RuleHolding:          "holding the weight with the power off",
}

// checkMeasure prints a number of a check in the trade's unit.
func checkMeasure(c drive.Check, v float64) string {
	switch c.Unit {
	case "rad/s":
		return build.Measure(v*60/(2*math.Pi), "rpm")
	case "-":
		return number(v)
	case "m·rad/s":
		return build.Measure(v*1e3*60/(2*math.Pi), "mm·rpm")
	case "s":
		return measure(v, "h")
	case "N.m":
		return build.Measure(v, "N·m")
	}
	return build.Measure(v, c.Unit)
}

// harmlessDrop is the energy of a falling axis below which it bruises rather
// than breaks [J]; common practice.
const harmlessDrop = 5

// driveFinding words a check that fails.
func (j *job) driveFinding(id, title string, a *spec.Entry[spec.Axis], e *spec.Entry[spec.Drive], in drive.Input, c drive.Check) {
	v := &e.Item
	severity, at, mend := build.SeverityFail, e.At, ""
	figure := ""
	switch c.Name {
	case drive.RuleScrewWhip:
		at, figure = v.Screw.Length.At, id+"whip_speed"
		mend = fmt.Sprintf("slow the rapid to %s, or take a thicker screw, a longer lead or stiffer ends", measure(c.Limit*v.Screw.Lead.Value/(2*math.Pi), "m/min"))
	case drive.RuleScrewDN:
		severity, at, figure = build.SeverityCaution, v.Screw.Diameter.At, id+"screw_speed"
		mend = "take a longer lead, or ask the nut's maker for its DN"
	case drive.RuleScrewBuckling:
		at, figure, mend = v.Screw.Diameter.At, id+"buckling_load", "take a thicker or shorter screw"
	case drive.RuleScrewSlenderness:
		severity, at, figure, mend = build.SeverityCaution, v.Screw.Length.At, id+"slenderness", "take a thicker screw, or support it along its length"
	case drive.RuleInertiaRatio:
		severity, figure, mend = build.SeverityCaution, id+"inertia_ratio", "take a motor with a heavier rotor, a belt reduction or a shorter lead"
	case drive.RuleHolding:
		figure, mend = id+"holding_torque", "fit a brake that holds with the power off, or a counterweight"
		if in.Mass*in.Gravity*a.Item.Travel.Value < harmlessDrop {
			severity = build.SeverityCaution
		}
		if v.Motor != nil {
			at = v.Motor.At
		}
	case drive.RuleMotorSpeed, drive.RuleMotorTorque, drive.RuleMotorRapidTorque, drive.RuleMotorPeakTorque:
		mend = "take a stronger motor, another reduction or lead, or ask for less"
		if v.Motor != nil {
			at = v.Motor.At
		}
		figure = id + "cutting_torque"
	case drive.RuleScrewPreload:
		severity, mend = build.SeverityCaution, "the nut has play under that force; raise the preload within its maker's table"
	}
	f := build.Finding{Rule: c.Name, Severity: severity, At: build.Place(at),
		Message: fmt.Sprintf("%s: %s is %s, %s is allowed; %s", title, checkWords[c.Name], checkMeasure(c, c.Demand), checkMeasure(c, c.Limit), mend)}
	if figure != "" {
		f.Figures = []string{figure}
	}
	j.find(f)
}

// driveFigures adds the numbers of a drive.
func (j *job) driveFigures(id, title string, a *spec.Entry[spec.Axis], v *spec.Drive, input drive.Input, out drive.Output) {
	s := &v.Screw
	add := func(what, label string, v float64, unit, formula, source string, inputs ...build.Input) {
		j.add(build.Figure{ID: id + what, Label: label + ", " + title, Value: v, Unit: unit, Formula: formula, Source: source, Inputs: inputs})
	}
	turns := 1 / (2 * math.Pi)
	root, length, lead := in("root diameter", s.Root), in("unsupported length", s.Length), in("lead", s.Lead)
	ends := build.Input{Label: "ends", Value: s.Ends.Text, At: build.Place(s.Ends.At)}
	add("whip_speed", "speed at which the screw whips, raw", out.CriticalSpeed*turns, "rpm", "n = (60/2π) λ²/L² √(EI/ρA), λ by the ends", "Thomson 1993", root, length, ends)
	add("allowed_speed", "screw speed allowed against whip", out.AllowedSpeed*turns, "rpm", "0.8 of the whip speed", "common practice", from(id+"whip_speed")...)
	add("screw_speed", "screw speed at rapid", out.RapidSpeed*turns, "rpm", "n = v/lead", "derived here", in("rapid wanted", a.Item.Rapid), lead)
	add("buckling_load", "buckling load of the screw, raw", out.BucklingLoad, "N", "F = n π² E I/L², n by the ends", "Timoshenko and Gere 1961", root, length, ends)
	add("slenderness", "length over diameter of the screw", out.Slenderness, "", "L/d", "common practice", length, in("diameter", s.Diameter))
	add("stiffness", "axial stiffness of the drive, softest place", out.Stiffness, "N/µm", "1/k = shaft + bearing + nut in series", "ME EN 7960", root, in("nut", s.NutStiffness), in("bearing", s.BearingStiffness))
	add("axial_frequency", "moved mass on the drive's stiffness", out.AxialFrequency, "Hz", "f = √(k/m)/2π", "derived here", from(id+"stiffness", "mass.moving."+a.Name)...)
	add("cutting_load", "axial force while cutting", out.CuttingLoad, "N", "cut + friction + weight", "derived here", append(from("mass.moving."+a.Name), in("friction", a.Item.Friction))...)
	add("top_feed", "top feed", out.TopFeed, "m/min", "least of motor, whip and DN, by "+checkOr(out.TopFeedBy), "derived here", from(id+"allowed_speed")...)
	if v.Motor == nil {
		return
	}
	m := v.Motor
	add("cutting_torque", "motor torque while cutting", out.CuttingTorque, "N·m", "T = F p/(2π η i)", "ME EN 7960", append(from(id+"cutting_load"), lead, in("efficiency", s.Efficiency))...)
	add("thrust", "thrust left for cutting", out.CuttingThrust, "N", "F = T 2π η i/p − friction − weight", "derived here", in("rated torque", m.RatedTorque), lead, in("efficiency", s.Efficiency))
	add("accelerating_torque", "motor torque while accelerating", out.AcceleratingPeak, "N·m", "T = J α + F p/(2π η i)", "derived here", append(from("mass.moving."+a.Name), in("acceleration wanted", a.Item.Acceleration), lead)...)
	if out.InertiaRatio > 0 {
		add("inertia_ratio", "load inertia over rotor inertia", out.InertiaRatio, "", "(m (p/2π)² + J screw)/i² over J rotor", "derived here", append(from("mass.moving."+a.Name), lead, in("rotor", m.Inertia))...)
	}
	if out.Resolution > 0 {
		add("resolution", "travel for one count", out.Resolution, "µm", "p/(counts i)", "derived here", lead)
	}
	if out.HoldingTorque > 0 {
		add("holding_torque", "motor torque by weight with the power off", out.HoldingTorque, "N·m", "T = m g p η'/(2π i)", "derived here", append(from("mass.moving."+a.Name), lead)...)
	}
	if out.LifeTime > 0 && out.LifeTravel > 0 {
		add("life", "life of the screw as travel", out.LifeTravel, "km", "L10 = (Ca/Fm)³ 10⁶ turns", "ISO 3408-5", append(from(id+"cutting_load"), in("dynamic rating", s.Dynamic))...)
	}
}

func checkOr(rule string) string {
	if w, ok := checkWords[rule]; ok {
		return w
	}
	return rule
}

// speedChart draws the screw's speed against its length.
func speedChart(id, title string, v *spec.Drive, out drive.Output, curve []drive.SpeedPoint) build.Picture {
	chart := build.Chart{X: build.AxisSpec{Label: "length between bearings, mm"}, Y: build.AxisSpec{Label: "screw speed, rpm"}}
	whip, allowed, value := build.Curve{Name: "whips"}, build.Curve{Name: "allowed, 0.8 of it"}, build.Curve{Name: "nut's DN", Dashed: true}
	rpm := 60 / (2 * math.Pi)
	for _, p := range curve {
		whip.Points = append(whip.Points, [2]float64{p.Length * 1e3, p.Critical * rpm})
		allowed.Points = append(allowed.Points, [2]float64{p.Length * 1e3, p.Allowed * rpm})
		value.Points = append(value.Points, [2]float64{p.Length * 1e3, p.ByValue * rpm})
	}
	chart.Curves = []build.Curve{whip, allowed, value}
	chart.Markers = []build.Marker{{Label: "this screw at rapid", X: v.Screw.Length.Value * 1e3, Y: out.RapidSpeed * rpm}}
	return build.Picture{ID: "screw-" + idFile(title), Title: "Screw speed, " + title, Drawing: chart,
		Caption: fmt.Sprintf("How fast a %s screw with %s ends may turn against its length. %s.", v.Screw.Diameter.Text, v.Screw.Ends.Text, title)}
}

// idFile makes a title fit into a file's name.
func idFile(title string) string {
	return strings.Join(strings.FieldsFunc(title, func(r rune) bool { return r == ' ' || r == ',' }), "-")
}
