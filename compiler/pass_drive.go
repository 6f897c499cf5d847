package compiler

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/drive"
	"ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/compiler/motor"
	"ironbed/compiler/rank"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A driven is one drive of an axis with what it has to do and what it can.
type driven struct {
	axis  int
	entry *spec.Entry[spec.Drive]
	id    string // of its figures: "axis.x.drive."
	title string // "axis x, near"
	in    drive.Input
	out   drive.Output
	holds [2]float64 // stiffness at its softest place, at both ends of the doubts [N/m]
	same  bool       // as the drive before it on the axis
}

// drivePass checks the drives of every axis.
func drivePass(j *job) error {
	if len(j.m.Axes) == 0 {
		return nil
	}
	blocks := []build.Block{
		build.Text("The cutting force is the hardest of the best cuts above, taken along each axis; of two drives the nearer one takes the larger share. Weight, friction and the cut are all taken against the motion.")}
	for i := range j.m.Axes {
		a := &j.m.Axes[i]
		if len(a.Item.Drives) == 0 {
			j.notComputed("drive of axis "+a.Name, "a drive")
			continue
		}
		var before *driven
		for k := range a.Item.Drives {
			v, err := j.driven(i, &a.Item.Drives[k])
			if err != nil {
				return &machine.Refused{Rule: "drive", At: a.Item.Drives[k].At, Message: fmt.Sprintf("drive of axis %s: %v", a.Name, err)}
			}
			j.drives = append(j.drives, v)
			v.same = before != nil && sameDrive(before, v)
			j.driveFigures(v)
			if v.same {
				blocks = append(blocks, build.Text("The drive of "+v.title+" is the same."))
				continue
			}
			before = v
			list, err := j.driveBlocks(v)
			if err != nil {
				return &machine.Refused{Rule: "drive", At: v.entry.At, Message: fmt.Sprintf("drive of %s: %v", v.title, err)}
			}
			blocks = append(blocks, list...)
		}
	}
	j.sheet("drives", "Drives", blocks...)
	return nil
}

// sameDrive reports whether two drives of one axis need no words of their own: what
// little the frame tilts under them apart.
func sameDrive(a, b *driven) bool {
	one, other := a.in, b.in
	for _, in := range []*drive.Input{&one, &other} {
		if screw, ok := in.Mechanism.(drive.TurningScrew); ok {
			screw.Tilt = 0
			in.Mechanism = screw
		}
	}
	return reflect.DeepEqual(one, other) && math.Abs(a.out.CriticalSpeed-b.out.CriticalSpeed) <= 0.01*a.out.CriticalSpeed
}

// driveID is what the figures of an axis's drive begin with.
func driveID(a *spec.Entry[spec.Axis], name string) string {
	id := "axis." + a.Name + ".drive."
	if len(a.Item.Drives) > 1 {
		id += name + "."
	}
	return id
}

// driven computes one drive.
func (j *job) driven(axis int, e *spec.Entry[spec.Drive]) (*driven, error) {
	a := &j.m.Axes[axis]
	v := &driven{axis: axis, entry: e, id: driveID(a, e.Name), title: "axis " + a.Name}
	if len(a.Item.Drives) > 1 {
		v.title += ", " + e.Name
	}
	force, feed := j.demand.lateral, j.demand.feed
	if j.alongTool(machine.Unit(a.Item.Direction.XYZ)) {
		// Along the cutter the cut pushes while the axis stands, or plunges slowly.
		force, feed = j.demand.axial, min(feed, a.Item.Rapid.Value)
	}
	var err error
	if v.in, err = machine.DriveInput(j.model, axis, &e.Item, machine.Nominal, force, feed); err != nil {
		return nil, err
	}
	if screw, ok := v.in.Mechanism.(drive.TurningScrew); ok {
		tilt, err := j.frameTilt(e.Item.Bearing.Text, machine.Unit(a.Item.Direction.XYZ))
		if err != nil {
			return nil, err
		}
		screw.Tilt = machine.InSeries(screw.Tilt, tilt)
		v.in.Mechanism = screw
	}
	if v.out, err = drive.Axis(v.in); err != nil {
		return v, err
	}
	for k, end := range []machine.Corner{machine.Soft, machine.Stiff} {
		in, err := machine.DriveInput(j.model, axis, &e.Item, end, force, feed)
		if err != nil {
			return v, err
		}
		out, err := drive.Axis(in)
		if err != nil {
			return v, err
		}
		v.holds[k] = out.Stiffness
	}
	return v, nil
}

// frameTilt is how stiffly the frame itself holds a node against tilting out of
// an axis's line, the softer of the two ways [N·m/rad]; zero where the frame was
// not solved.
func (j *job) frameTilt(node string, travel r3.Vec) (float64, error) {
	if j.worst == nil {
		return 0, nil
	}
	side := r3.Cross(travel, r3.Vec{Z: 1})
	if r3.Norm(side) < 0.1 {
		side = r3.Cross(travel, r3.Vec{X: 1})
	}
	side = r3.Unit(side)
	at := frame.At(j.model.Node[node])
	least := math.Inf(1)
	for _, about := range []r3.Vec{side, r3.Cross(travel, side)} {
		solution, err := j.worst.System.Solve(frame.Load{Forces: []frame.Force{{At: at, F: [6]float64{3: about.X, about.Y, about.Z}}}})
		if err != nil {
			return 0, err
		}
		u := solution.Displacement(0, at)
		if turns := r3.Dot(about, r3.Vec{X: u[3], Y: u[4], Z: u[5]}); turns > 0 {
			least = math.Min(least, 1/turns)
		}
	}
	if math.IsInf(least, 1) {
		return 0, nil
	}
	return least, nil
}

// whipWorthDrawing is the share of the speed allowed against whip from which on a
// screw's speed is drawn over its length [-].
const whipWorthDrawing = 0.25

// driveBlocks judges one drive and prints it.
func (j *job) driveBlocks(v *driven) ([]build.Block, error) {
	for _, c := range v.out.Checks {
		if !c.OK {
			j.driveFinding(v, c)
		}
	}
	j.tiltFinding(v)
	for _, g := range v.out.Gaps {
		j.notComputed(rulings[g.Name].words+" of "+v.title, g.Needs)
	}
	table := build.Table{Caption: "Checks of the drive of " + v.title, Columns: []build.Column{{Head: "check"}, {Head: "asked", Right: true}, {Head: "allowed", Right: true}, {Head: "answer"}}}
	for _, c := range v.out.Checks {
		answer := "holds"
		if !c.OK {
			answer = "**too much**"
		}
		table.Rows = append(table.Rows, []build.Cell{{Text: rulings[c.Name].words}, {Text: checkMeasure(c, c.Demand)}, {Text: checkMeasure(c, c.Limit)}, {Text: answer}})
	}
	blocks := []build.Block{table, j.driveWords(v)}
	if screw, ok := v.in.Mechanism.(drive.TurningScrew); ok && v.out.RapidSpeed > whipWorthDrawing*v.out.AllowedSpeed {
		curve, err := drive.SpeedCurve(screw.Screw, screw.Ends, v.in.Limits, 0.4*screw.Unsupported, 1.5*screw.Unsupported, 40)
		if err != nil {
			return nil, err
		}
		blocks = append(blocks, speedChart(v, curve))
	}
	if len(v.in.Motor.Continuous) > 0 && len(v.out.Duty.Points) > 0 {
		blocks = append(blocks, motorChart(v))
	}
	compared, err := j.weighDrives(v)
	return append(blocks, compared...), err
}

// driveWords says in plain words what a drive comes to.
func (j *job) driveWords(v *driven) build.Block {
	o := &v.out
	var list build.List
	say := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	if o.TopFeed > 0 {
		by := ""
		if r, ok := rulings[o.TopFeedBy]; ok {
			by = ", bounded by " + r.bounds
		}
		say("Top feed %s%s; %s are wanted.", quantity.Print(o.TopFeed, "m/min"), by, quantity.Print(v.in.RapidFeed, "m/min"))
	}
	if o.AccelerationAtLow > 0 {
		say("It can speed up at %s from standstill and at %s near the rapid feed; %s is wanted, and with that it stops from rapid within %s.", quantity.Measure(o.AccelerationAtLow, "m/s²"),
			quantity.Measure(o.AccelerationAtTop, "m/s²"), quantity.Measure(v.in.Acceleration, "m/s²"), quantity.Print(o.StopDistance, "mm"))
	}
	say("Along the axis it holds with %s at its softest place. What gives: %s.", quantity.Print(o.Stiffness, "N/µm"), v.giveByPart())
	if o.CriticalSpeed > 0 {
		say("The screw whips at %s, raw; 0.8 of that, %s, is allowed, which is the usual margin. With the nut at its two ends of travel holding the shaft it would be %s and %s; nobody counts on that.",
			rpm(o.CriticalSpeed), rpm(o.AllowedSpeed), rpm(o.CriticalAtFrom), rpm(o.CriticalAtTo))
	}
	if o.ShaftFrequency > 0 {
		say("The screw stands, so it does not whip. It sags %s by its weight and swings at %s; a belt or a cut that repeats at that rate may set it going.", quantity.Print(o.Sag, "mm"), quantity.Print(o.ShaftFrequency, "Hz"))
	}
	if s := v.entry.Item.Screw; s != nil {
		if o.Growth != 0 {
			say("Warmed %d K over its frame by work, the screw grows %s up to the farthest nut.", machine.UsualWarming, quantity.Print(o.Growth, "mm"))
		}
		if o.SlackAt > 0 {
			say("Its pull of %s lengthens it %s and is used up %s over the frame.", s.Tension.Text, quantity.Print(o.PretensionPull, "mm"), quantity.Measure(o.SlackAt, "K"))
		}
	}
	if v.entry.Item.Belt != nil {
		say("With %s in each strand the tight one bears up to %s and the slack one keeps %s; plucked, the long strand sounds at %s.", quantity.Print(v.in.Mechanism.(drive.Belt).Pretension, "N"),
			quantity.Print(o.TightStrand, "N"), quantity.Print(math.Max(0, o.SlackStrand), "N"), quantity.Print(o.StrandSounds, "Hz"))
	}
	list = append(list, truthWords(v), inertiaWords(v))
	if d := &o.Duty; d.RMS > 0 {
		back, stroke := "", "stopping"
		if o.GravityForce > 0 {
			stroke = "stopping or letting the weight down"
		}
		if d.LargestReturn > 0.05 {
			back = fmt.Sprintf("; one stroke, %s, gives back up to %s, which the drive's supply has to swallow", stroke, quantity.Measure(d.LargestReturn, "J"))
		}
		say("Over its duty of %s the motor is asked for %s as RMS, which heats it, and %s at the most%s.", quantity.Measure(d.Time, "s"), quantity.Print(d.RMS, "N·m"), quantity.Print(d.Peak, "N·m"), back)
	}
	if o.HoldingTorque > 0 {
		words := fmt.Sprintf("With the power off the weight turns the motor with %s", quantity.Print(o.HoldingTorque, "N·m"))
		if o.BrakeMargin > 0 {
			words += fmt.Sprintf("; what brakes it holds %s times that", quantity.Number(o.BrakeMargin))
		} else {
			words += fmt.Sprintf(", and nothing holds it: let go, it lands with %s", quantity.Measure(v.in.Mass*math.Abs(v.in.Gravity)*v.in.Travel, "J"))
		}
		list = append(list, words+".")
	}
	if m := v.entry.Item.Motor; m != nil && m.Stepper != nil {
		s := machine.StepperOf(m)
		if f, speed, err := s.Resonance(o.LoadInertia); err == nil {
			low, high := motor.UsualMidBand()
			say("As a stepper it swings about its step at %s: shun %s in full steps, and the band from %s to %s, where steppers on plain drives ring and drop out (common practice). With the power off it holds next to nothing.", quantity.Print(f, "Hz"), rpm(speed), rpm(low), rpm(high))
		}
	}
	if a := &j.m.Axes[v.axis].Item; a.CrossShaft != nil {
		say("One motor turns both screws through the shaft across: torques here are half of the motor's.")
	}
	return list
}

// inertiaWords says what the motor has to speed up, part by part, at the driven
// shaft.
func inertiaWords(v *driven) string {
	o, ratio := &v.out, v.in.Reduction.Ratio
	parts := []struct {
		name string
		j    float64
	}{{"the moved mass", o.ReflectedMass}, {"screw", o.Turning.Screw}, {"nut", o.Turning.Nut}, {"pinion", o.Turning.Pinion}, {"pulleys", o.Turning.Pulleys}, {"belt", o.Turning.Belt},
		{"coupling or reduction", o.Turning.Reduction + v.in.Reduction.MotorInertia*ratio*ratio}, {"rotor", v.in.Motor.RotorInertia * ratio * ratio}}
	var words []string
	for _, p := range parts {
		if p.j > 0 {
			words = append(words, p.name+" "+quantity.Print(p.j, "kg·cm2"))
		}
	}
	return "What the motor speeds up, as felt where it turns the axis: " + strings.Join(words, ", ") + "."
}

// truthWords says how true a drive puts its axis.
func truthWords(v *driven) string {
	o := &v.out
	words := "No play is known of"
	if o.Play > 0 {
		words = "Play " + quantity.Print(o.Play, "mm")
		if s := v.entry.Item.Screw; s != nil && !s.Play.Given {
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

// A givingPart is one part of a drive with what it gives.
type givingPart struct {
	key, name string
	give      float64 // [m/N]
	formula   string  // of its stiffness
}

// givingParts are the parts of a drive that give.
func (v *driven) givingParts() []givingPart {
	c := v.out.Softest
	servo, how := "motor on its servo", "k = kθ (2π i/p)², kθ of the servo's loop"
	if m := v.entry.Item.Motor; m != nil && m.Stepper != nil {
		servo, how = "stepper's rotor in its field", "k = T N/4 (2π i/p)², T the holding torque, N its steps a turn (Acarnley 2002)"
	}
	parts := []givingPart{{"shaft", "screw shaft, stretched", c.Shaft, "k = E A/a from the one fixed end, E A L/(a (L − a)) between two"}, {"twist", "screw shaft, twisted", c.WindUp, "k = G Ip (2π/p)²/l, Ip = π d⁴/32"},
		{"bearing", "bearing", c.Supports, "as given, or as usual where the spec leaves it out, over the ends that hold"}, {"nut", "nut", c.Nut, "as given, or as usual where the spec leaves it out"}, {"bracket", "bracket", c.Bracket, "as given, or as usual where the spec leaves it out"},
		{"teeth", "teeth", c.Mesh, "teeth, and the pinion's shaft in bending"}, {"belt", "belt", c.Belt, "k = c (1/L1 + 1/L2), c of the cords by the width"},
		{"coupling", "coupling or reduction", c.Coupling, "k = kθ (2π/p)²"}, {"motor", servo, c.Servo, how}}
	return slices.DeleteFunc(parts, func(p givingPart) bool { return p.give <= 0 })
}

// giveByPart says what gives in a drive, the softest part first.
func (v *driven) giveByPart() string {
	parts, total := v.givingParts(), v.out.Softest.Total
	rank.By(parts, func(p givingPart) float64 { return p.give })
	var words []string
	for _, p := range parts {
		if share := p.give / total; share >= 0.02 {
			words = append(words, fmt.Sprintf("%s %.0f %%", p.name, 100*share))
		}
	}
	return strings.Join(words, ", ")
}

// toolAxis is the way that the cutter points; down without a spindle.
func (j *job) toolAxis() r3.Vec {
	if j.m.Spindle == nil {
		return r3.Vec{Z: -1}
	}
	return machine.Pointing(j.m.Spindle)
}

// alongTool tells whether an axis feeds along the tool rather than across it.
func (j *job) alongTool(axis r3.Vec) bool { return math.Abs(r3.Dot(axis, j.toolAxis())) > 0.7 }
