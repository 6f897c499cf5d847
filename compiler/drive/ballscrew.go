package drive

import (
	"math"

	"ironbed/compiler/motor"
)

// A Screw is one ball screw between its ends.
type Screw struct {
	Material        Material // shaft material
	NominalDiameter float64  // outer diameter [m]
	RootDiameter    float64  // diameter at the bottom of the thread [m]
	BallCircle      float64  // diameter through the ball centres, zero for the nominal diameter [m]
	Lead            float64  // travel for each turn [m]
	Length          float64  // whole length, for its inertia [m]
	Unsupported     float64  // longest length between bearings [m]
	Loaded          float64  // longest length under compression, zero for the unsupported length [m]
	Efficiency      float64  // driving a load [-]
	BackEfficiency  float64  // driven by a load, zero to take it from Efficiency [-]
	Drag            float64  // drag torque at the driven shaft, from preload, seals and bearings [N·m]
	Preload         float64  // preload of the nut, zero for a nut with backlash [N]
	Backlash        float64  // backlash of the nut along the axis [m]
	Tension         float64  // tension between two fixed ends, zero for none [N]
	Variation       float64  // travel variation within 300 mm, see ScrewVariation [m]
	Wear            float64  // wear of its tracks along the axis, where it has run most [m]
	DynamicRating   float64  // dynamic axial rating Ca, zero for not known [N]
	StaticRating    float64  // static axial rating C0a, zero for not known [N]
}

// Supports are what holds the screw and the nut. A stiffness of zero leaves
// that part out, as if it were rigid.
type Supports struct {
	Ends          Ends    // how the screw's ends are held
	Bearing       float64 // axial stiffness of the thrust bearing or anchor at one end, a pair counted as one [N/m]
	Housing       float64 // axial stiffness of its housing and bracket [N/m]
	Nut           float64 // axial stiffness of the nut, with the bearing in which it turns [N/m]
	NutBracket    float64 // axial stiffness of the nut's bracket [N/m]
	Tilt          float64 // stiffness of the first end's bracket against tilting, where that end is fixed [N·m/rad]
	Between       float64 // distance between the two ends, zero for the unsupported length [m]
	NutFrom       float64 // nearest distance from the first end to the nut [m]
	NutTo         float64 // farthest distance from the first end to the nut [m]
	BearingRating float64 // static axial rating of the first bearing, zero for not known [N]
}

// A RotatingScrew is a ball screw that its motor turns at the first end, its nut
// carried along by the axis.
type RotatingScrew struct {
	Screw
	Supports
}

// A RotatingNut is a ball nut that its motor turns, by a belt as a rule, on a
// stationary screw. The screw does not rotate: its sag, its tension and its own frequency
// against the turning of the nut matter instead of a critical speed.
type RotatingNut struct {
	Screw
	Supports
	NutInertia    float64 // nut with its sleeve and bearing ring [kg·m²]
	PulleyInertia float64 // pulley on the nut [kg·m²]
	NutTopSpeed   float64 // speed that the nut's bearing may turn, zero for no bound [rad/s]
}

// tilts reports whether the first end is called fixed on a compliant bracket.
func (u Supports) tilts() bool {
	first, _ := u.Ends.each()
	return first == fixed && u.Tilt > 0
}

// ScrewNumbers are what is known of a screw drive alone, zero for another.
type ScrewNumbers struct {
	CriticalSpeed     float64 // critical speed of the screw, without the nut's help; zero for a stationary one [rad/s]
	StiffSpeed        float64 // the same on a bracket that does not tilt [rad/s]
	AllowedSpeed      float64 // critical speed with the margin; of a nut on a stationary screw, its natural frequency with the nut on it with the margin [rad/s]
	CriticalAtFrom    float64 // critical speed with the nut, which holds it, at its nearest [rad/s]
	CriticalAtTo      float64 // the same with the nut at its farthest [rad/s]
	SpeedByValue      float64 // screw or nut speed by the speed value DN [rad/s]
	Slenderness       float64 // unsupported length over nominal diameter [-]
	BucklingLoad      float64 // Euler's load [N]
	AllowedLoad       float64 // buckling load with its margin [N]
	PressedLoad       float64 // largest compression in the shaft [N]
	LiftOffLoad       float64 // force at which the nut loses its preload [N]
	Sag               float64 // of a stationary screw by its weight [m]
	ShaftFrequency    float64 // first bending frequency of a stationary screw [Hz]
	FreeFrequencyFrom float64 // first bending frequency of a stationary screw with the nut, which holds it, at its nearest [Hz]
	FreeFrequencyTo   float64 // the same with the nut at its farthest [Hz]
	ResonanceFeed     float64 // feed at which a nut turns at the lower of the two [m/s]
	TensionElongation float64 // elongation of the shaft by its tension [m]
	Growth            float64 // of the shaft from its first end to the farthest nut, if free to grow [m]
	SlackAt           float64 // warming over its frame at which a stretched shaft goes slack [K]
	MeanLoad          float64 // mean axial load of the duty, preload within [N]
	WearError         float64 // error of position by the wear of its tracks [m]
	LifeTurns         float64 // rated life [rev]
	LifeTravel        float64 // rated life as travel [m]
	LifeTime          float64 // rated life as running time of the duty [s]
}

// defaulted fills in the documented zero values of both.
func defaulted(s Screw, u Supports) (Screw, Supports) {
	if s.BallCircle == 0 {
		s.BallCircle = s.NominalDiameter
	}
	if s.Loaded == 0 {
		s.Loaded = s.Unsupported
	}
	if u.Between == 0 {
		u.Between = s.Unsupported
	}
	return s, u
}

func checkScrew(g *guard, s Screw, u Supports) {
	s, u = defaulted(s, u)
	g.material(s.Material)
	g.Positive("root diameter", s.RootDiameter)
	g.Demand(s.NominalDiameter >= s.RootDiameter, "nominal diameter", s.NominalDiameter, "no less than the root diameter")
	g.Positive("lead", s.Lead)
	g.Positive("unsupported length", s.Unsupported)
	g.ZeroOrMore("preload", s.Preload)
	g.ZeroOrMore("play", s.Backlash)
	g.ZeroOrMore("tension", s.Tension)
	g.Demand(s.Tension == 0 || u.Ends == FixedFixed, "tension", s.Tension, "none unless both ends are fixed")
	g.ZeroOrMore("travel variation", s.Variation)
	g.ZeroOrMore("wear of the tracks", s.Wear)
	g.ZeroOrMore("dynamic rating", s.DynamicRating)
	g.ZeroOrMore("static rating", s.StaticRating)
	g.ZeroOrMore("static rating of the bearing", u.BearingRating)
	g.ZeroOrMore("backward efficiency", s.BackEfficiency)
	g.ZeroOrMore("stiffness of the bracket against tilting", u.Tilt)
	g.Demand(u.NutTo <= u.Between, "farthest nut position", u.NutTo, "within the distance between the bearings")
}

func (s Screw) transmission() motor.Transmission {
	back := s.BackEfficiency
	if back == 0 && s.Efficiency > 0 {
		// Zero for an efficiency that is refused elsewhere.
		back, _ = BackwardEfficiency(s.Efficiency)
	}
	return motor.Transmission{Lead: s.Lead, Efficiency: s.Efficiency, BackEfficiency: back, Drag: s.Drag}
}

func (s Screw) backlash() float64 { return s.Backlash }

// travelError has half of the wear besides: where the tracks are worn, the balls lie as much deeper on either flank.
func (s Screw) travelError(travel float64) (float64, error) {
	lead, err := LeadError(s.Variation, travel)
	return lead + s.wearError(), err
}

// wearError is the error of position where the screw has run most against where it has not [m].
func (s Screw) wearError() float64 { return s.Wear / 2 }

// train returns the springs of a screw in its supports.
func train(s Screw, u Supports, standing bool) Train {
	s, u = defaulted(s, u)
	return Train{
		Ends:         u.Ends,
		Material:     s.Material,
		RootDiameter: s.RootDiameter,
		Lead:         s.Lead,
		Between:      u.Between,
		Bearing:      u.Bearing,
		Housing:      u.Housing,
		Nut:          u.Nut,
		NutBracket:   u.NutBracket,
		Standing:     standing,
	}
}

func (t RotatingScrew) check(g *guard) { checkScrew(g, t.Screw, t.Supports) }

func (t RotatingScrew) turning() (Turning, error) {
	inertia, err := ShaftInertia(t.NominalDiameter, t.Length, t.Material.Density)
	return Turning{Screw: inertia}, err
}

func (t RotatingScrew) at(position float64) (Compliance, error) {
	return train(t.Screw, t.Supports, false).At(position)
}

func (t RotatingScrew) leastStiff() (float64, Compliance, error) {
	return train(t.Screw, t.Supports, false).LeastStiff(t.NutFrom, t.NutTo)
}

// hold works out critical speed, speed value, buckling and life.
func (t RotatingScrew) hold(l *ledger, in Input) {
	o := &l.out
	s, u := defaulted(t.Screw, t.Supports)
	o.StiffSpeed = l.take(CriticalSpeed(u.Ends, s.RootDiameter, s.Unsupported, s.Material))
	o.CriticalSpeed = o.StiffSpeed
	if u.tilts() {
		o.CriticalSpeed = l.take(CriticalSpeedTilting(u.Ends, s.RootDiameter, s.Unsupported, u.Tilt, s.Material))
	}
	o.AllowedSpeed = in.Limits.CriticalSpeedMargin * o.CriticalSpeed
	o.CriticalAtFrom = l.criticalAt(s, u, u.NutFrom)
	o.CriticalAtTo = l.criticalAt(s, u, u.NutTo)
	l.bound(o.AllowedSpeed, RuleCriticalSpeed)
	const slenderShaft = 10
	if r := s.Unsupported / s.RootDiameter; r < slenderShaft {
		o.Violations = append(o.Violations, Violation{ValidSlenderShaft, r, slenderShaft})
	}
	o.PressedLoad = o.LargestLoad
	l.ballScrew(in, s, u)
	l.hold(RuleScrewSlenderness, o.Slenderness, in.Limits.Slenderness, "-")
}

// criticalAt is the critical speed with the nut's help, which a nut that stands
// on a bearing can't change.
func (l *ledger) criticalAt(s Screw, u Supports, position float64) float64 {
	if position >= u.Between {
		return l.take(CriticalSpeed(u.Ends, s.RootDiameter, u.Between, s.Material))
	}
	return l.take(CriticalSpeedAt(u.Ends, s.RootDiameter, u.Between, position, s.Material))
}

func (t RotatingNut) check(g *guard) {
	checkScrew(g, t.Screw, t.Supports)
	g.Demand(t.Ends != FixedFree, "end fixity", float64(t.Ends), "two fixed ends for a stationary screw")
	g.ZeroOrMore("nut inertia", t.NutInertia)
	g.ZeroOrMore("pulley inertia", t.PulleyInertia)
	g.ZeroOrMore("top speed of the nut", t.NutTopSpeed)
}

func (t RotatingNut) turning() (Turning, error) {
	return Turning{Nut: t.NutInertia, Pulleys: t.PulleyInertia}, nil
}

func (t RotatingNut) at(position float64) (Compliance, error) {
	return train(t.Screw, t.Supports, true).At(position)
}

func (t RotatingNut) leastStiff() (float64, Compliance, error) {
	return train(t.Screw, t.Supports, true).LeastStiff(t.NutFrom, t.NutTo)
}

// hold works out sag, tension, frequency and life. The two sides of the nut share
// the force where both ends hold it.
func (t RotatingNut) hold(l *ledger, in Input) {
	o := &l.out
	s, u := defaulted(t.Screw, t.Supports)
	span := Span{Material: s.Material, RootDiameter: s.RootDiameter, Length: u.Between, Tension: s.Tension, Clamped: u.Ends == FixedFixed}
	o.Sag = l.take(span.Sag())
	o.ShaftFrequency = l.take(span.Frequency())
	at := u.reach()
	o.FreeFrequencyFrom = l.free(s, u, span, at[0])
	o.FreeFrequencyTo = l.free(s, u, span, at[1])
	lowest := math.Min(o.FreeFrequencyFrom, o.FreeFrequencyTo)
	o.ResonanceFeed = l.number("feed at the screw's natural frequency", lowest*s.Lead)
	o.AllowedSpeed = l.number("speed of the nut below the screw's natural frequency", in.Limits.CriticalSpeedMargin*2*math.Pi*lowest)
	l.hold(RuleScrewResonance, o.RapidSpeed, o.AllowedSpeed, "rad/s")
	if t.NutTopSpeed > 0 {
		l.bound(t.NutTopSpeed, RuleNutSpeed)
	}
	o.PressedLoad = o.LargestLoad
	if u.Ends == FixedFixed {
		farthest := math.Max(u.NutTo, u.Between-u.NutFrom)
		if farthest < u.Between {
			o.PressedLoad = math.Max(0, -l.take(span.LeastTension(o.LargestLoad, farthest)))
		}
	}
	l.ballScrew(in, s, u)
	if s.Tension > 0 {
		l.hold(RuleScrewTension, l.number("tension taken off", o.PressedLoad), 0, "N")
	}
}

// free is the first bending frequency of a stationary screw with the nut at a position. Each turn of
// the nut pushes it once, by what is out of balance or out of line.
func (l *ledger) free(s Screw, u Supports, span Span, position float64) float64 {
	if s.Tension > 0 {
		return l.take(span.FrequencyBeside(position))
	}
	return l.take(CriticalSpeedAt(u.Ends, s.RootDiameter, u.Between, position, s.Material)) / (2 * math.Pi)
}

// ballScrew works out what a screw has in common whether it turns or stands.
func (l *ledger) ballScrew(in Input, s Screw, u Supports) {
	o := &l.out
	o.SpeedByValue = l.take(SpeedAtValue(in.Limits.SpeedValue, s.BallCircle))
	l.bound(o.SpeedByValue, RuleScrewDN)
	o.Slenderness = l.take(Slenderness(s.Unsupported, s.NominalDiameter))
	o.BucklingLoad = l.take(BucklingLoad(u.Ends, s.RootDiameter, s.Loaded, s.Material))
	if u.tilts() {
		o.BucklingLoad = l.take(BucklingLoadTilting(u.Ends, s.RootDiameter, s.Loaded, u.Tilt, s.Material))
	}
	o.AllowedLoad = in.Limits.BucklingMargin * o.BucklingLoad
	l.hold(RuleScrewBuckling, o.PressedLoad, o.AllowedLoad, "N")
	const slenderColumn = 100
	if r := l.take(ColumnSlenderness(u.Ends, s.RootDiameter, s.Loaded)); r < slenderColumn {
		o.Violations = append(o.Violations, Violation{ValidSlenderColumn, r, slenderColumn})
	}
	if s.StaticRating > 0 {
		l.hold(RuleScrewStaticLoad, o.LargestLoad, l.number("allowed static load", s.StaticRating/in.Limits.StaticSafety), "N")
	} else {
		l.skip(RuleScrewStaticLoad, "static axial rating")
	}
	if s.Preload > 0 {
		o.LiftOffLoad = l.take(LiftOffLoad(s.Preload))
		l.hold(RuleScrewPreload, o.CuttingLoad, o.LiftOffLoad, "N")
	}
	o.WearError = s.wearError()
	o.Growth = l.take(Growth(s.Material.Expansion, u.NutTo, in.Warming))
	if s.Tension > 0 && s.Material.Expansion > 0 {
		o.TensionElongation = l.take(Stretch(s.Material, s.RootDiameter, u.Between, s.Tension))
		o.SlackAt = l.take(SlackAt(s.Material, s.RootDiameter, s.Tension))
		l.hold(RuleScrewSlack, math.Max(0, in.Warming), o.SlackAt, "K")
	}
	l.life(in, s)
}

// life works out the screw's rated life. Without a duty, the screw is taken as
// cutting with the force wanted, all the time.
func (l *ledger) life(in Input, s Screw) {
	o := &l.out
	var steps []LoadStep
	for _, p := range o.Duty.Phases {
		if p.Travel != 0 && p.Time > 0 {
			steps = append(steps, LoadStep{Force: p.Force, Speed: 2 * math.Pi * math.Abs(p.Travel) / p.Time / s.Lead, Share: p.Time})
		}
	}
	if len(in.Duty) == 0 && in.CuttingFeed > 0 {
		steps = []LoadStep{{Force: o.CuttingLoad, Speed: 2 * math.Pi * in.CuttingFeed / s.Lead, Share: 1}}
	}
	loaded := false
	for _, step := range steps {
		loaded = loaded || step.Force != 0 || s.Preload > 0
	}
	switch {
	case s.DynamicRating == 0:
		l.skip(RuleScrewLife, "dynamic axial rating")
		return
	case !loaded:
		l.skip(RuleScrewLife, "duty with a force, or cutting force and feed")
		return
	}
	turns, mean, err := DutyLife(s.DynamicRating, s.Preload, steps)
	l.take(0, err)
	if l.err != nil {
		return
	}
	o.LifeTurns, o.MeanLoad = turns, mean
	o.LifeTravel = l.number("life as travel", turns*s.Lead)
	o.LifeTime = l.take(LifeTime(turns, l.take(MeanSpeed(steps))))
	if in.LifeWanted > 0 {
		l.hold(RuleScrewLife, in.LifeWanted, o.LifeTime, "s")
	}
}
