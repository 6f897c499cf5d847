package guide

import "math"

// The names of the checks, in plain words. In each, the demand may not be
// above the limit.
const (
	RuleStaticLoad  = "carriage-static-load"  // equivalent load of the worst moment, static rating less its safety
	RuleLife        = "carriage-life"         // travel wanted, rated life at the reliability wanted
	RuleLiftOff     = "carriage-lift-off"     // force off the rail, share of the dynamic rating
	RuleLateralLoad = "carriage-lateral-load" // lateral load held by bolt friction alone, share of the dynamic rating
)

// A Check holds one demand against its limit.
type Check struct {
	Name   string  // one of the Rule names
	Demand float64 // the demand on the part [Unit]
	Limit  float64 // what the part allows [Unit]
	Unit   string  // unit of both, SI
	OK     bool    // whether the demand is no more than the limit
}

// A Violation is a formula used outside the range where it holds.
type Violation struct {
	Name  string  // what is out of range, one of the Valid names
	Value float64 // its value [-]
	High  float64 // upper bound of the range [-]
}

// ValidLifeLoad is the range of the mean load over the dynamic rating, for
// [Life].
const ValidLifeLoad = "life-load"

// Limits are the margins that a builder may set otherwise.
type Limits struct {
	StaticSafety  float64 // static rating over the equivalent load of the worst moment [-]
	LiftOff       float64 // force off the rail over the dynamic rating for 100 km [-]
	RailSide      float64 // lateral load over the dynamic rating, a rail without a shoulder [-]
	CarriageSide  float64 // lateral load over the dynamic rating, a carriage without a shoulder [-]
	Reliability   float64 // share of carriages that outlast their life [-]
	LoadAllowance float64 // factor on all loads, for shocks that are not among them [-]
}

// CommonLimits returns the margins of common practice.
//
// Source: common practice.
func CommonLimits() Limits {
	return Limits{StaticSafety: 2, LiftOff: 0.5, RailSide: 0.05, CarriageSide: 0.10, Reliability: 0.90, LoadAllowance: 1.2}
}

func (l Limits) check(g *guard) {
	g.Positive("static safety", l.StaticSafety)
	g.Positive("lift-off share", l.LiftOff)
	g.Positive("side-load share of a rail", l.RailSide)
	g.Positive("side-load share of a carriage", l.CarriageSide)
	g.Demand(l.LoadAllowance >= 1 && !math.IsInf(l.LoadAllowance, 0), "load allowance", l.LoadAllowance, "1 or more")
}

// A DutyStep is one part of a carriage's duty.
type DutyStep struct {
	Load   Load    // what the carriage carries
	Travel float64 // travel under it; only the ratios between steps matter [m]
}

// An Input is one carriage and what it has to do.
type Input struct {
	Carriage         Carriage
	Duty             []DutyStep // for the life
	Peaks            []Load     // the worst moments, for the static safety; the duty's loads count as well
	MeanSpeed        float64    // standstill included, zero for not known [m/s]
	TravelWanted     float64    // zero for not wanted [m]
	RailShoulder     bool       // whether the rail lies against a shoulder
	CarriageShoulder bool       // whether the carriage lies against a shoulder
	Limits           Limits     // see CommonLimits
}

// An Output is what one carriage can do.
type Output struct {
	MeanLoad     float64 // mean equivalent load of the duty, preload and allowance within [N]
	Life         float64 // travel at the reliability wanted, zero without a duty or load [m]
	LifeTime     float64 // the same as time, zero without a mean speed [s]
	PeakLoad     float64 // equivalent load of the worst moment, allowance within [N]
	StaticSafety float64 // static rating over PeakLoad, zero without load [-]
	LiftOff      float64 // largest force off the rail, allowance within [N]
	SideLoad     float64 // largest lateral load, allowance within [N]

	Checks     []Check
	Violations []Violation
}

// Analyse works out life and static safety of one carriage and holds them, its
// lift-off and its lateral load against their limits. A carriage without load has
// no life to be short of: Life is then zero and its check falls away.
//
// The formulas are those of the package's functions, each with its source.
//
// Source: derived here, the package's formulas put together.
func Analyse(in Input) (Output, error) {
	var g guard
	in.Carriage.check(&g)
	in.Limits.check(&g)
	g.ZeroOrMore("mean speed", in.MeanSpeed)
	g.ZeroOrMore("travel wanted", in.TravelWanted)
	if g.Err != nil {
		return Output{}, g.Err
	}
	var out Output
	c, allowance := in.Carriage, in.Limits.LoadAllowance
	peak := func(l Load) (equivalent float64, err error) {
		equivalent, err = EquivalentLoad(c, l)
		if err != nil {
			return 0, err
		}
		equivalent *= allowance
		out.PeakLoad = math.Max(out.PeakLoad, equivalent)
		out.LiftOff = math.Max(out.LiftOff, -l.Radial*allowance)
		out.SideLoad = math.Max(out.SideLoad, math.Abs(l.Lateral)*allowance)
		return equivalent, nil
	}
	for _, l := range in.Peaks {
		if _, err := peak(l); err != nil {
			return Output{}, err
		}
	}
	steps := make([]Step, len(in.Duty))
	for i, d := range in.Duty {
		equivalent, err := peak(d.Load)
		if err != nil {
			return Output{}, err
		}
		steps[i].Travel = d.Travel
		if steps[i].Load, err = PreloadedLoad(c.Kind, c.Preload, equivalent); err != nil {
			return Output{}, err
		}
	}
	if err := out.static(in); err != nil {
		return Output{}, err
	}
	if err := out.life(in, steps); err != nil {
		return Output{}, err
	}
	return out, nil
}

func (out *Output) hold(name string, demand, limit float64, unit string) {
	out.Checks = append(out.Checks, Check{name, demand, limit, unit, demand <= limit})
}

// static holds the worst moment against its limits.
func (out *Output) static(in Input) (err error) {
	c, limits := in.Carriage, in.Limits
	if out.PeakLoad > 0 {
		if out.StaticSafety, err = StaticSafety(c.Static, out.PeakLoad); err != nil {
			return err
		}
	}
	rating, err := RatingAt(c.Kind, c.Dynamic, c.Base, Base100)
	if err != nil {
		return err
	}
	out.hold(RuleStaticLoad, out.PeakLoad, c.Static/limits.StaticSafety, "N")
	out.hold(RuleLiftOff, out.LiftOff, limits.LiftOff*rating, "N")
	side := math.Inf(1)
	if !in.RailShoulder {
		side = math.Min(side, limits.RailSide*rating)
	}
	if !in.CarriageShoulder {
		side = math.Min(side, limits.CarriageSide*rating)
	}
	if !in.RailShoulder || !in.CarriageShoulder {
		out.hold(RuleLateralLoad, out.SideLoad, side, "N")
	}
	var g guard
	g.Finite("lift-off force", out.LiftOff)
	g.Finite("lateral load", out.SideLoad)
	for _, check := range out.Checks {
		g.Finite("limit of "+check.Name, check.Limit)
	}
	return g.Err
}

// life works out the rated life of the duty.
func (out *Output) life(in Input, steps []Step) (err error) {
	c, limits := in.Carriage, in.Limits
	if len(steps) == 0 {
		return nil
	}
	if out.MeanLoad, err = MeanLoad(c.Kind, steps); err != nil || out.MeanLoad == 0 {
		return err
	}
	rated, err := Life(c.Kind, c.Dynamic, c.Base, out.MeanLoad)
	if err != nil {
		return err
	}
	a1, err := ReliabilityFactor(limits.Reliability)
	if err != nil {
		return err
	}
	out.Life = a1 * rated
	if in.MeanSpeed > 0 {
		if out.LifeTime, err = LifeTime(out.Life, in.MeanSpeed); err != nil {
			return err
		}
	}
	if in.TravelWanted > 0 {
		out.hold(RuleLife, in.TravelWanted, out.Life, "m")
	}
	const highest = 0.5
	var g guard
	share, err := g.Answer("mean load over the rating", out.MeanLoad/c.Dynamic)
	if share > highest {
		out.Violations = append(out.Violations, Violation{ValidLifeLoad, share, highest})
	}
	return err
}
