package drive

// The names of the checks, in plain words. In each, the demand may not be
// above the limit.
const (
	RuleCriticalSpeed    = "critical-speed"     // screw speed at the rapid feed, allowed speed
	RuleScrewDN          = "screw-dn"           // screw or nut speed at the rapid feed, speed by the speed value
	RuleScrewBuckling    = "screw-buckling"     // largest compression, allowed buckling load
	RuleScrewSlenderness = "screw-slenderness"  // unsupported length over diameter
	RuleScrewStaticLoad  = "screw-static-load"  // largest axial force, static rating
	RuleScrewPreload     = "screw-preload"      // axial force while cutting, lift-off load
	RuleScrewTension     = "screw-tension"      // compression in a stretched stationary screw, none
	RuleScrewSlack       = "screw-slack"        // warming over the frame, warming at which the tension is lost
	RuleScrewResonance   = "screw-resonance"    // nut speed at the rapid feed, a stationary screw's natural frequency with its margin
	RuleNutSpeed         = "nut-speed"          // nut speed at the rapid feed, top speed of its bearing
	RuleRackForce        = "rack-force"         // largest axial force, force that the teeth may carry
	RuleBeltPretension   = "belt-pretension"    // pretension that keeps both spans taut, pretension
	RuleBeltTension      = "belt-tension"       // tension of the tight span, allowed tension
	RuleBeltTeeth        = "belt-teeth"         // largest axial force, force that the teeth in mesh may carry
	RuleBeltSpeed        = "belt-speed"         // pulley speed at the rapid feed, speed that the belt may run
	RuleReductionTorque  = "reduction-torque"   // torque of the driven shaft, rated torque of the reduction
	RuleReductionSpeed   = "reduction-speed"    // driven shaft's speed at the rapid feed, speed that the reduction may run
	RuleDutyTorque       = "duty-torque"        // RMS torque of the duty, continuous torque at its mean speed
	RuleDutyPeak         = "duty-peak"          // one, least of peak torque over the duty's torque
	RuleScrewLife        = "screw-life"         // running time wanted, rated life
	RuleMotorSpeed       = "motor-speed"        // motor speed at the rapid feed, its top speed
	RuleMotorTorque      = "motor-torque"       // steady torque while cutting, continuous torque
	RuleMotorRapidTorque = "motor-rapid-torque" // steady torque at the rapid feed, continuous torque
	RuleMotorPeakTorque  = "motor-peak-torque"  // accelerating torque at the rapid feed, peak torque
	RuleInertiaRatio     = "inertia-ratio"      // load inertia over rotor inertia
	RuleHolding          = "holding"            // torque by weight with the power off, brake torque less its margin
)

// A Check holds one demand against its limit.
type Check struct {
	Name   string  // one of the Rule names
	Demand float64 // the demand on the part [Unit]
	Limit  float64 // what the part allows [Unit]
	Unit   string  // unit of both, SI; "-" for none
	OK     bool    // whether the demand is no more than the limit
}

// A Gap is a check that was not made, and the input that it needs.
type Gap struct {
	Name  string // the check's Rule name
	Needs string // the input that is missing, in words
}

// A Violation is a formula used outside the range where it holds.
type Violation struct {
	Name  string  // what is out of range, one of the Valid names
	Value float64 // its value [-]
	Low   float64 // lower bound of the range [-]
}

// The names of the ranges of validity.
const (
	ValidSlenderShaft  = "slender-shaft"  // unsupported length over root diameter, for CriticalSpeed
	ValidSlenderColumn = "slender-column" // ColumnSlenderness, for BucklingLoad
)

// Limits are the margins and bounds that a builder may set otherwise.
type Limits struct {
	CriticalSpeedMargin float64 // share of the critical speed that may be used [-]
	BucklingMargin      float64 // share of the buckling load that may be used [-]
	SpeedValue          float64 // speed value DN of the nut [m·rad/s]
	Slenderness         float64 // unsupported length over nominal diameter [-]
	InertiaRatio        float64 // load inertia over rotor inertia [-]
	HoldingMargin       float64 // brake torque over the torque by weight [-]
	StaticSafety        float64 // static rating over the largest axial force [-]
}

// CommonLimits returns the margins of common practice. The slenderness is
// that at which a screw wants a support along its length; from 40 on it is
// worth a question.
//
// Source: common practice.
func CommonLimits() Limits {
	return Limits{
		CriticalSpeedMargin: 0.8,
		BucklingMargin:      0.5,
		SpeedValue:          UsualSpeedValue().Nominal,
		Slenderness:         50,
		InertiaRatio:        10,
		HoldingMargin:       1.5,
		StaticSafety:        2,
	}
}

func (l Limits) check(g *guard) {
	g.Fraction("critical speed margin", l.CriticalSpeedMargin)
	g.Fraction("buckling margin", l.BucklingMargin)
	g.Positive("speed value", l.SpeedValue)
	g.Positive("slenderness limit", l.Slenderness)
	g.Positive("inertia ratio limit", l.InertiaRatio)
	g.Positive("holding margin", l.HoldingMargin)
	g.Positive("static safety", l.StaticSafety)
}
