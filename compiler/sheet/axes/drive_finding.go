package axes

import (
	"fmt"
	"math"

	"ironbed/compiler/build"
	"ironbed/compiler/drive"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A ruling says what a check of a drive means to a builder.
type ruling struct {
	words    string // what is held against what
	bounds   string // what bounds the feed, of a check that does
	mend     string
	figure   string // the number that it rests on, after the drive's id
	severity build.Severity
	at       func(v *spec.Drive) spec.Value // the line that caused it; nil for the drive's own
}

// rulings are the checks of drives in words.
var rulings = map[string]ruling{
	drive.RuleCriticalSpeed: {
		words:    "screw speed at rapid, against 0.8 of its whip",
		bounds:   "the screw's whip",
		figure:   "whip_speed",
		severity: build.SeverityFail,
		at:       screwLength,
	},
	drive.RuleScrewDN: {
		words:    "screw or nut speed against the nut's DN",
		bounds:   "the nut's DN",
		figure:   "screw_speed",
		severity: build.SeverityCaution,
		at:       screwDiameter,
		mend:     "take a longer lead, or ask the nut's maker for its DN",
	},
	drive.RuleScrewBuckling: {
		words:    "force, against half of what buckles it",
		figure:   "buckling_load",
		severity: build.SeverityFail,
		at:       screwDiameter,
		mend:     "take a thicker or shorter screw",
	},
	drive.RuleScrewSlenderness: {
		words:    "length over diameter",
		figure:   "slenderness",
		severity: build.SeverityCaution,
		at:       screwLength,
		mend:     "take a thicker screw, turn the nut instead of the screw, or support it along its length",
	},
	drive.RuleScrewStaticLoad: {
		words:    "force against the static rating",
		figure:   "cutting_load",
		severity: build.SeverityFail,
		at:       screwDiameter,
		mend:     "take a larger nut",
	},
	drive.RuleScrewPreload: {
		words:    "force against the nut's lift-off",
		figure:   "cutting_load",
		severity: build.SeverityCaution,
		at:       screwPreload,
		mend:     "the nut has play under that force; raise the preload within its maker's table",
	},
	drive.RuleScrewTension: {
		words:    "push in a stretched screw",
		figure:   "tension_left",
		severity: build.SeverityCaution,
		at:       screwTension,
		mend:     "stretch it harder, or take one side as pressed",
	},
	drive.RuleScrewSlack: {
		words:    "warming against what takes off the pull",
		figure:   "slack_at",
		severity: build.SeverityCaution,
		at:       screwTension,
		mend:     "stretch it harder, or cool it",
	},
	drive.RuleNutSpeed: {
		words:    "nut speed against its bearing",
		bounds:   "the turning nut's bearing",
		figure:   "screw_speed",
		severity: build.SeverityFail,
		at:       screwDiameter,
		mend:     "take a longer lead, or a faster nut assembly",
	},
	drive.RuleScrewLife: {
		words:    "life of the screw",
		figure:   "life",
		severity: build.SeverityCaution,
		at:       screwDiameter,
		mend:     "take a larger nut",
	},
	drive.RuleRackForce: {
		words:    "force against what the rack's teeth carry",
		figure:   "tooth_force",
		severity: build.SeverityFail,
		mend:     "take a larger module, wider teeth, or ask the maker for the rated force",
	},
	drive.RuleBeltPretension: {
		words:    "pull that keeps both strands taut",
		figure:   "slack_strand",
		severity: build.SeverityCaution,
		mend:     "tension the belt harder, or take a wider one: a slack strand lets the axis jump",
	},
	drive.RuleBeltTension: {
		words:    "pull in the tight strand against its cords",
		figure:   "tight_strand",
		severity: build.SeverityFail,
		mend:     "take a wider belt",
	},
	drive.RuleBeltTeeth: {
		words:    "force against the belt's teeth in mesh",
		figure:   "cutting_load",
		severity: build.SeverityFail,
		mend:     "take a wider belt or a larger pulley",
	},
	drive.RuleBeltSpeed: {
		words:    "belt speed",
		bounds:   "the belt's speed",
		severity: build.SeverityFail,
		mend:     "slow the rapid",
	},
	drive.RuleReductionTorque: {
		words:    "torque of the reduction",
		severity: build.SeverityFail,
		mend:     "take a larger gearbox",
	},
	drive.RuleReductionSpeed: {
		words:    "speed of the reduction's motor side",
		bounds:   "the reduction's speed",
		severity: build.SeverityFail,
		mend:     "slow the rapid, or take a smaller ratio",
	},
	drive.RuleMotorSpeed: {
		words:    "motor speed at rapid",
		bounds:   "the motor's top speed",
		figure:   "top_feed",
		severity: build.SeverityFail,
		at:       motorPlace,
		mend:     motorMend,
	},
	drive.RuleMotorTorque: {
		words:    "torque while cutting, all day",
		figure:   "cutting_torque",
		severity: build.SeverityFail,
		at:       motorPlace,
		mend:     motorMend,
	},
	drive.RuleMotorRapidTorque: {
		words:    "torque at rapid",
		bounds:   "the torque left at speed",
		figure:   "rapid_torque",
		severity: build.SeverityFail,
		at:       motorPlace,
		mend:     motorMend,
	},
	drive.RuleMotorPeakTorque: {
		words:    "torque while accelerating",
		figure:   "accelerating_torque",
		severity: build.SeverityFail,
		at:       motorPlace,
		mend:     motorMend,
	},
	drive.RuleDutyTorque: {
		words:    "RMS torque over the duty",
		figure:   "duty_rms",
		severity: build.SeverityFail,
		at:       motorPlace,
		mend:     "it overheats: take a stronger motor, or give it rest",
	},
	drive.RuleDutyPeak: {
		words:    "torque over the duty: what the motor has over what is asked, at the least",
		figure:   "duty_peak",
		severity: build.SeverityFail,
		at:       motorPlace,
		mend:     motorMend,
	},
	drive.RuleInertiaRatio: {
		words:    "load inertia over rotor inertia",
		figure:   "inertia_ratio",
		severity: build.SeverityCaution,
		at:       motorPlace,
		mend:     "take a motor with a heavier rotor, a reduction or a shorter lead",
	},
	drive.RuleHolding: {
		words:    "holding the weight with the power off",
		figure:   "holding_torque",
		severity: build.SeverityFail,
		at:       motorPlace,
		mend:     "fit a brake that holds with the power off, or a counterweight",
	},
}

const motorMend = "take a stronger motor, another reduction or lead, or ask for less"

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

// checkMeasure prints a number of a check in the trade's unit.
func checkMeasure(c drive.Check, v float64) string {
	switch c.Unit {
	case "rad/s":
		return rpm(v)
	case "-":
		return quantity.Number(v)
	case "m·rad/s":
		return quantity.Measure(v*1e3*60/(2*math.Pi), "mm·rpm")
	case "s":
		return quantity.Print(v, "h")
	case "N.m":
		return quantity.Measure(v, "N·m")
	}
	return quantity.Measure(v, c.Unit)
}

// harmlessDrop is the energy of a falling axis below which it bruises rather
// than breaks [J]; common practice.
const harmlessDrop = 5

// driveFinding words a check that fails.
func driveFinding(book *sheet.Book, v *sheet.Drive, c drive.Check) {
	r := rulings[c.Name]
	d := &v.Entry.Item
	severity, at, mend := r.severity, v.Entry.At, r.mend
	if r.at != nil {
		if place := r.at(d).At; place.Line > 0 {
			at = place
		}
	}
	switch c.Name {
	case drive.RuleCriticalSpeed:
		mend = fmt.Sprintf("slow the rapid to %s, take a thicker screw, a longer lead or stiffer ends, or turn the nut and let the screw stand",
			quantity.Print(v.AllowedFeed, "m/min"))
	case drive.RuleScrewSlenderness:
		// Where it neither whips nor buckles, a slender screw is just worth knowing.
		if v.Out.RapidSpeed <= v.Out.AllowedSpeed && v.Out.PressedLoad <= v.Out.AllowedLoad {
			severity, mend = build.SeverityNote, "it does not whip or buckle here, but it sags and swings; a thicker one is calmer"
		}
	case drive.RuleHolding:
		if v.Balanced {
			return
		}
		severity, mend = holdingWords(book, v, r)
	case drive.RuleMotorTorque, drive.RuleMotorRapidTorque, drive.RuleMotorPeakTorque, drive.RuleMotorSpeed, drive.RuleDutyPeak:
		if v.Stepping != nil {
			mend = "past that a stepper falls out of step and stays out; " + motorMend
		}
	}
	f := build.Finding{Rule: c.Name, Severity: severity, At: build.Place(at), Message: fmt.Sprintf("%s: %s; %s", v.Title, failWords(r, c), mend)}
	if _, ok := book.Build.Figures.Get(v.ID + r.figure); ok {
		f.Figures = []string{v.ID + r.figure}
	}
	book.Find(f)
}

// holdingWords says how bad it is that nothing holds an axis with the power off, and what
// mends it.
func holdingWords(book *sheet.Book, v *sheet.Drive, r ruling) (severity build.Severity, mend string) {
	severity, mend = r.severity, r.mend
	m := v.Entry.Item.Motor
	switch {
	case book.Spec.Axes[v.Axis].Item.Counterweight.Given:
		mend = fmt.Sprintf("the counterweight leaves %s; trim it, or fit a brake that holds with the power off", quantity.Print(v.Unbalanced, "N"))
	case m != nil && m.Brake:
		mend = "its brake is too weak; take a stronger one, and write its `brake_torque`, or a counterweight"
	}
	if v.Drop < harmlessDrop {
		severity = build.SeverityCaution
	}
	return severity, mend
}

// failWords says by how much a check fails.
func failWords(r ruling, c drive.Check) string {
	switch {
	case c.Name == drive.RuleHolding && c.Limit == 0:
		return fmt.Sprintf("with the power off the weight turns it with %s, and nothing holds it", checkMeasure(c, c.Demand))
	case c.Name == drive.RuleDutyPeak && c.Limit > 0:
		return fmt.Sprintf("at its worst corner the duty asks for %s times the torque that the motor has there", quantity.Number(c.Demand/c.Limit))
	}
	return fmt.Sprintf("%s is %s, over the %s that is allowed", r.words, checkMeasure(c, c.Demand), checkMeasure(c, c.Limit))
}

// softFixed is the share of the whip speed on stiff brackets from which on a
// fixed end is not worth its name [-]; common practice.
const softFixed = 0.9

// tiltFinding says when an end that the spec calls fixed tilts too much for that.
func tiltFinding(book *sheet.Book, v *sheet.Drive) {
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
	words := fmt.Sprintf("%s: the screw's %s ends count on a bearing that does not tilt, but bracket and frame hold it with %s; "+
		"the screw whips at %s, not at %s; stiffen the bracket to %s, or call the end supported",
		v.Title, s.Ends.Text, quantity.Measure(screw.Tilt/1e3, "kN·m/rad"),
		rpm(o.CriticalSpeed), rpm(o.StiffSpeed), quantity.Measure(v.StiffBracket/1e3, "kN·m/rad"))
	book.Find(build.Finding{
		Rule:     "fixed-end-tilts",
		Severity: build.SeverityCaution,
		At:       build.Place(at),
		Message:  words,
		Figures:  []string{v.ID + "whip_speed"},
	})
}
