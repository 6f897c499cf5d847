package axes

import (
	"fmt"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/drive"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A ruling says what a check of a drive means to a builder.
type ruling struct {
	words    string // the demand
	limit    string // what limits it, where the words do not say
	bounds   string // what limits the feed, of a check that does
	fix      string
	figure   string // the number that it rests on, after the drive's id
	severity build.Severity
	at       func(v *spec.Drive) spec.Value // the line that caused it; nil for the drive's own
}

// row is the head of the check's row.
func (r ruling) row() string {
	if r.limit == "" {
		return r.words
	}
	return r.words + " / " + r.limit
}

// rulings are the checks of drives in words.
var rulings = map[string]ruling{
	drive.RuleCriticalSpeed: {
		words:    "screw speed at rapid",
		limit:    "0.8 × critical speed",
		bounds:   "critical speed",
		figure:   "critical_speed",
		severity: build.SeverityFail,
		at:       screwLength,
	},
	drive.RuleScrewResonance: {
		words:    "speed of the nut at rapid",
		limit:    "0.8 × natural frequency of its stationary screw",
		figure:   "resonance_feed",
		severity: build.SeverityCaution,
		at:       screwLength,
	},
	drive.RuleScrewDN: {
		words:    "speed at the nut",
		limit:    "its DN value",
		bounds:   "DN value",
		fix:      "take a longer lead, or confirm the DN value with the nut's maker",
		figure:   "screw_speed",
		severity: build.SeverityCaution,
		at:       screwDiameter,
	},
	drive.RuleScrewBuckling: {
		words:    "axial compression",
		limit:    "half the buckling load",
		fix:      "take a thicker or shorter screw",
		figure:   "buckling_load",
		severity: build.SeverityFail,
		at:       screwDiameter,
	},
	drive.RuleScrewSlenderness: {
		words:    "screw length over diameter",
		fix:      "take a thicker screw, a rotating nut, or supports along its length",
		figure:   "slenderness",
		severity: build.SeverityCaution,
		at:       screwLength,
	},
	drive.RuleScrewStaticLoad: {
		words:    "axial force",
		limit:    "half the static rating",
		fix:      "take a larger nut",
		figure:   "cutting_load",
		severity: build.SeverityFail,
		at:       screwDiameter,
	},
	drive.RuleScrewPreload: {
		words:    "axial force while cutting",
		limit:    "lift-off of the preload",
		fix:      "the nut has backlash above that force; raise the preload within its maker's table",
		figure:   "cutting_load",
		severity: build.SeverityCaution,
		at:       screwPreload,
	},
	drive.RuleScrewTension: {
		words:    "compression of the stretched screw",
		fix:      "raise its tension, or take one end as a floating one",
		figure:   "tension_left",
		severity: build.SeverityCaution,
		at:       screwTension,
	},
	drive.RuleScrewSlack: {
		words:    "temperature rise",
		limit:    "loss of the tension",
		fix:      "raise the tension, or cool the screw",
		figure:   "slack_rise",
		severity: build.SeverityCaution,
		at:       screwTension,
	},
	drive.RuleNutSpeed: {
		words:    "speed of the rotating nut",
		limit:    "its bearing",
		bounds:   "nut bearing",
		fix:      "take a longer lead, or a faster nut assembly",
		figure:   "screw_speed",
		severity: build.SeverityFail,
		at:       screwDiameter,
	},
	drive.RuleScrewLife: {
		words:    "running time wanted",
		limit:    "rated life",
		fix:      "take a larger nut",
		figure:   "life",
		severity: build.SeverityCaution,
		at:       screwDiameter,
	},
	drive.RuleRackForce: {
		words:    "axial force",
		limit:    "rack's teeth",
		fix:      "take a larger module, wider teeth, or the maker's rated force",
		figure:   "tooth_force",
		severity: build.SeverityFail,
	},
	drive.RuleBeltPretension: {
		words:    "pretension needed",
		limit:    "pretension set",
		fix:      "raise the pretension, or take a wider belt: with a slack span the teeth can jump",
		figure:   "slack_span",
		severity: build.SeverityCaution,
	},
	drive.RuleBeltTension: {
		words:    "tension of the tight span",
		limit:    "belt's cords",
		fix:      "take a wider belt",
		figure:   "tight_span",
		severity: build.SeverityFail,
	},
	drive.RuleBeltTeeth: {
		words:    "axial force",
		limit:    "belt's teeth in mesh",
		fix:      "take a wider belt or a larger pulley",
		figure:   "cutting_load",
		severity: build.SeverityFail,
	},
	drive.RuleBeltSpeed: {
		words:    "belt speed at rapid",
		bounds:   "belt speed",
		fix:      "lower the rapid feed",
		severity: build.SeverityFail,
	},
	drive.RuleReductionTorque: {
		words:    "torque of the reduction",
		limit:    "rated torque",
		fix:      "take a larger gearbox",
		severity: build.SeverityFail,
	},
	drive.RuleReductionSpeed: {
		words:    "speed of the reduction",
		limit:    "max speed",
		bounds:   "reduction speed",
		fix:      "lower the rapid feed, or take a smaller ratio",
		severity: build.SeverityFail,
	},
	drive.RuleMotorSpeed: {
		words:    "motor speed at rapid",
		limit:    "max speed",
		bounds:   "motor speed",
		fix:      motorFix,
		figure:   "max_feed",
		severity: build.SeverityFail,
		at:       motorPlace,
	},
	drive.RuleMotorTorque: {
		words:    "torque while cutting",
		limit:    "continuous torque",
		fix:      motorFix,
		figure:   "cutting_torque",
		severity: build.SeverityFail,
		at:       motorPlace,
	},
	drive.RuleMotorRapidTorque: {
		words:    "torque at rapid feed",
		limit:    "continuous torque",
		bounds:   "motor torque",
		fix:      motorFix,
		figure:   "rapid_torque",
		severity: build.SeverityFail,
		at:       motorPlace,
	},
	drive.RuleMotorPeakTorque: {
		words:    "torque while accelerating",
		limit:    "peak torque",
		fix:      motorFix,
		figure:   "accelerating_torque",
		severity: build.SeverityFail,
		at:       motorPlace,
	},
	drive.RuleDutyTorque: {
		words:    "RMS torque over the duty",
		limit:    "continuous torque",
		fix:      "the motor overheats: take a stronger one, or a lighter duty cycle",
		figure:   "duty_rms",
		severity: build.SeverityFail,
		at:       motorPlace,
	},
	drive.RuleDutyPeak: {
		words:    "peak torque over the duty",
		limit:    "available torque",
		fix:      motorFix,
		figure:   "duty_peak",
		severity: build.SeverityFail,
		at:       motorPlace,
	},
	drive.RuleInertiaRatio: {
		words:    "load inertia over rotor inertia",
		fix:      "take a motor with a heavier rotor, a reduction or a shorter lead",
		figure:   "inertia_ratio",
		severity: build.SeverityCaution,
		at:       motorPlace,
	},
	drive.RuleHolding: {
		words:    "torque by weight, power off",
		limit:    "brake torque with margin 1.5",
		fix:      "fit a brake that acts with the power off, or a counterweight",
		figure:   "holding_torque",
		severity: build.SeverityFail,
		at:       motorPlace,
	},
}

const motorFix = "take a stronger motor, another reduction or lead, or a lower rapid, acceleration or cut"

func screwOf(v *spec.Drive, pick func(*spec.Screw) spec.Value) spec.Value {
	if v.Screw == nil {
		return spec.Value{}
	}
	return pick(v.Screw)
}

func screwLength(v *spec.Drive) spec.Value {
	return screwOf(v, func(s *spec.Screw) spec.Value { return s.Length })
}

func screwDiameter(v *spec.Drive) spec.Value {
	return screwOf(v, func(s *spec.Screw) spec.Value { return s.Diameter })
}

func screwPreload(v *spec.Drive) spec.Value {
	return screwOf(v, func(s *spec.Screw) spec.Value { return s.Preload })
}

func screwTension(v *spec.Drive) spec.Value {
	return screwOf(v, func(s *spec.Screw) spec.Value { return s.Tension })
}

func motorPlace(v *spec.Drive) spec.Value {
	if v.Motor == nil {
		return spec.Value{}
	}
	return spec.Value{At: v.Motor.At}
}

// harmlessDrop is the energy of a falling axis below which it bruises rather
// than breaks [J]; common practice.
const harmlessDrop = 5

// driveFindings judges a drive.
func driveFindings(book *sheet.Book, v driveColumn) {
	for _, c := range v.Out.Checks {
		if !c.OK {
			driveFinding(book, v, c)
		}
	}
	tiltFinding(book, v)
	for _, g := range v.Out.Gaps {
		book.NotComputed(rulings[g.Name].words+" of "+v.title(), g.Needs)
	}
}

// driveFinding words a check that fails.
func driveFinding(book *sheet.Book, v driveColumn, c drive.Check) {
	r := rulings[c.Name]
	d := &v.Entry.Item
	severity, at, fix := r.severity, v.Entry.At, r.fix
	if r.at != nil {
		if place := r.at(d).At; place.Line > 0 {
			at = place
		}
	}
	switch c.Name {
	case drive.RuleCriticalSpeed:
		fix = fmt.Sprintf("lower the rapid feed to %s, or take a thicker screw, a longer lead, stiffer ends or a stationary screw with rotating nut",
			quantity.Print(v.AllowedFeed, "m/min"))
	case drive.RuleScrewResonance:
		fix = fmt.Sprintf("the screw vibrates where the nut passes its natural frequency; lower the rapid feed to %s, or take %sa thicker screw or a longer lead",
			quantity.Print(v.AllowedFeed, "m/min"), moreTension(d.Screw))
	case drive.RuleScrewSlenderness:
		// Below critical speed and buckling load, a slender screw is just worth knowing.
		if v.Out.RapidSpeed <= v.Out.AllowedSpeed && v.Out.PressedLoad <= v.Out.AllowedLoad {
			severity, fix = build.SeverityNote, "critical speed and buckling are ok, but it sags and vibrates; a thicker one is better"
		}
	case drive.RuleHolding:
		if v.Balanced {
			return
		}
		severity, fix = holdingWords(book, v.Drive, r)
	case drive.RuleMotorTorque, drive.RuleMotorRapidTorque, drive.RuleMotorPeakTorque, drive.RuleMotorSpeed, drive.RuleDutyPeak:
		if v.Stepping != nil {
			fix = "beyond that a stepper loses steps; " + motorFix
		}
	}
	f := build.Finding{Rule: c.Name, Severity: severity, At: build.Place(at), Message: fmt.Sprintf("%s: %s; %s", v.title(), failWords(v.Drive, r, c), fix)}
	if _, ok := book.Build.Figures.Get(v.ID + r.figure); ok {
		f.Figures = []string{v.ID + r.figure}
	}
	book.Find(f)
}

// moreTension says that tension raises a natural frequency, where two fixed ends can hold it.
func moreTension(s *spec.Screw) string {
	switch {
	case s.Ends.Text != "fixed-fixed":
		return "two fixed ends, "
	case s.Tension.Given:
		return "more tension, "
	}
	return "tension between the fixed ends, "
}

// holdingWords says how bad it is that an axis can fall with the power off, and what
// fixes it.
func holdingWords(book *sheet.Book, v *sheet.Drive, r ruling) (severity build.Severity, fix string) {
	severity, fix = r.severity, r.fix
	m := v.Entry.Item.Motor
	switch {
	case book.Spec.Axes[v.Axis].Item.Counterweight.Given:
		fix = fmt.Sprintf("the counterweight leaves %s; trim it, or fit a brake that acts with the power off", quantity.Print(v.Unbalanced, "N"))
	case m != nil && m.Brake:
		fix = "take a stronger brake, and write its `brake_torque`, or fit a counterweight"
	}
	if v.Drop < harmlessDrop {
		severity = build.SeverityCaution
	}
	return severity, fix
}

// failWords says by how much a check fails.
func failWords(v *sheet.Drive, r ruling, c drive.Check) string {
	demand, limit, unit := checkNumbers(c)
	measure := func(number string) string {
		if number == none {
			return number
		}
		return strings.TrimRight(number+" "+unit, " ")
	}
	if c.Name == drive.RuleHolding && c.Limit == 0 {
		return fmt.Sprintf("the weight turns the motor with %s with the power off, and there is no brake; the axis falls with up to %s",
			measure(demand), quantity.Measure(v.Drop, "J"))
	}
	of := ""
	if r.limit != "" {
		of = " (" + r.limit + ")"
	}
	return fmt.Sprintf("%s is %s, limit %s%s", r.words, measure(demand), measure(limit), of)
}

// softFixed is the share of the critical speed on rigid brackets below which a fixed
// end does not count as one [-]; common practice.
const softFixed = 0.9

// tiltFinding says when an end that the spec calls fixed tilts too much for that.
func tiltFinding(book *sheet.Book, v driveColumn) {
	o := &v.Out
	if o.StiffSpeed == 0 || o.CriticalSpeed >= softFixed*o.StiffSpeed {
		return
	}
	screw := v.In.Mechanism.(drive.RotatingScrew)
	s := v.Entry.Item.Screw
	at := s.Ends.At
	if s.BearingTilt.Given {
		at = s.BearingTilt.At
	}
	words := fmt.Sprintf("%s: the screw's %s ends are not fixed against tilting: bracket and frame have %s, and the critical speed is %s, not %s; "+
		"stiffen the bracket to %s, or call the end supported",
		v.title(), s.Ends.Text, quantity.Measure(screw.Tilt/1e3, "kN·m/rad"),
		rpm(o.CriticalSpeed), rpm(o.StiffSpeed), quantity.Measure(v.StiffBracket/1e3, "kN·m/rad"))
	book.Find(build.Finding{
		Rule:     "fixed-end-tilts",
		Severity: build.SeverityCaution,
		At:       build.Place(at),
		Message:  words,
		Figures:  []string{v.ID + "critical_speed"},
	})
}
