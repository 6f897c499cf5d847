package drive

import (
	"math"

	"ironbed/compiler/motor"
)

// BeltStiffness returns the stiffness of a belt between two clamps, seen at the
// pulley or carriage that divides it into two spans, both of them taut.
//
//	k = c b (1/L1 + 1/L2)   [N/m], least where the two are equal: 4 c b/L
//
// with c the specific stiffness, the force that would double a span's length
// for each width of belt [N/m], and b the width.
//
// Source: common practice; derived here, each span c b/L and both hold against the force.
func BeltStiffness(specific, width, first, second float64) (float64, error) {
	var g guard
	g.Positive("specific stiffness", specific)
	g.Positive("belt width", width)
	g.Positive("first span", first)
	g.Positive("second span", second)
	return g.Answer("belt stiffness", specific*width*(1/first+1/second))
}

// SpanFrequency returns the frequency of a span, by
// which its tension is set.
//
//	f = √(T/µ)/2l   [Hz], T = 4 µ l² f²
//
// with µ the belt's mass for each metre and l the free span.
//
// Source: Thomson 1993, section 9.2.
func SpanFrequency(tension, massPerMetre, span float64) (float64, error) {
	var g guard
	g.Positive("tension", tension)
	g.Positive("mass for each metre", massPerMetre)
	g.Positive("span", span)
	return g.Answer("span frequency", math.Sqrt(tension/massPerMetre)/(2*span))
}

// Spans returns the tensions of the two spans under a force.
//
//	tight  Fpre + F L2/L,  slack  Fpre - F L1/L,  L = L1 + L2   [N]
//
// with L1 the span that pulls. Below zero, the slack span is slack and the
// tight one carries the force alone.
//
// Source: derived here, both spans change their length by the same and share the force by 1/L1 and 1/L2.
func Spans(pretension, force, pulling, other float64) (tight, slack float64, err error) {
	var g guard
	g.ZeroOrMore("pretension", pretension)
	g.ZeroOrMore("force", force)
	g.Positive("pulling span", pulling)
	g.Positive("other span", other)
	share := pulling / (pulling + other)
	tight, err = g.Answer("tension of the tight span", pretension+force*(1-share))
	if err != nil {
		return 0, 0, err
	}
	slack, err = g.Answer("tension of the slack span", pretension-force*share)
	if err != nil {
		return 0, 0, err
	}
	return tight, slack, nil
}

// BeltRun says how a belt runs. Zero is not a run.
type BeltRun int

// The runs. In a loop the belt moves with the carriage, the motor stands at one
// end and an idler at the other. In an omega the belt lies still, clamped at
// both ends, and the motor's pulley rides along it between two idlers.
const (
	Loop BeltRun = iota + 1
	Omega
)

// A Belt is a toothed belt that moves an axis, with a reduction before it or
// none. Zero for one of the limits leaves its check out.
type Belt struct {
	Run            BeltRun // loop or omega
	Pitch          float64 // of the teeth [m]
	Teeth          float64 // of the driving pulley [-]
	Width          float64 // [m]
	Length         float64 // belt from clamp to clamp, both spans [m]
	SpanFrom       float64 // shortest span from the driving pulley to a clamp over the travel [m]
	SpanTo         float64 // longest of that same span [m]
	Specific       float64 // specific stiffness for each width, see BeltStiffness [N/m]
	MassPerMetre   float64 // [kg/m]
	Pretension     float64 // in each span [N]
	AllowedTension float64 // of the belt's cords, the whole width [N]
	ToothForce     float64 // that one tooth may carry for each width [N/m]
	Meshing        float64 // teeth in mesh with the driving pulley [-]
	MaxFeed        float64 // speed that the belt may run, zero for no bound [m/s]
	PulleyInertia  float64 // driving pulley [kg·m²]
	IdlerInertia   float64 // idlers, each times the square of driving over its own radius [kg·m²]
	Efficiency     float64 // driving, either way [-]
	Drag           float64 // drag torque at the driving pulley [N·m]
	Bracket        float64 // stiffness of clamps and pulley bearings along the belt, zero for rigid [N/m]
	Backlash       float64 // play of the teeth [m]
	PitchError     float64 // length error for each metre of travel [-]
}

// BeltNumbers are what is known of a belt drive alone, zero for another.
type BeltNumbers struct {
	TightSpan     float64 // tension of the tight span, worst place [N]
	SlackSpan     float64 // tension of the slack span, worst place; below zero it is slack [N]
	ShaftLoad     float64 // force of both spans on the driving pulley, at rest [N]
	Elongation    float64 // of the whole belt by its pretension [m]
	SpanFrequency float64 // frequency of the longest span at its pretension [Hz]
}

func (b Belt) check(g *guard) {
	g.Demand(b.Run == Loop || b.Run == Omega, "run of the belt", float64(b.Run), "loop or omega")
	g.Positive("pitch", b.Pitch)
	g.Positive("teeth of the pulley", b.Teeth)
	g.Positive("belt width", b.Width)
	g.Positive("belt length", b.Length)
	g.Positive("shortest span", b.SpanFrom)
	g.Demand(b.SpanTo >= b.SpanFrom && b.SpanTo < b.Length, "longest span", b.SpanTo, "from the shortest up to less than the belt")
	g.Positive("specific stiffness", b.Specific)
	g.ZeroOrMore("mass for each metre", b.MassPerMetre)
	g.ZeroOrMore("pretension", b.Pretension)
	g.ZeroOrMore("allowed tension", b.AllowedTension)
	g.ZeroOrMore("force of a tooth", b.ToothForce)
	g.ZeroOrMore("teeth in mesh", b.Meshing)
	g.ZeroOrMore("max feed of the belt", b.MaxFeed)
	g.ZeroOrMore("pulley inertia", b.PulleyInertia)
	g.ZeroOrMore("idler inertia", b.IdlerInertia)
	g.ZeroOrMore("bracket stiffness", b.Bracket)
	g.ZeroOrMore("play", b.Backlash)
	g.ZeroOrMore("pitch error", b.PitchError)
}

func (b Belt) transmission() motor.Transmission {
	return motor.Transmission{Lead: b.Pitch * b.Teeth, Efficiency: b.Efficiency, BackEfficiency: b.Efficiency, Drag: b.Drag}
}

func (b Belt) turning() (Turning, error) {
	var g guard
	t := Turning{Pulleys: b.PulleyInertia + b.IdlerInertia}
	if b.Run == Loop {
		r := b.Pitch * b.Teeth / (2 * math.Pi)
		t.Belt = b.MassPerMetre * b.Length * r * r
	}
	_, err := g.Answer("inertia of the belt", t.Belt+t.Pulleys)
	return t, err
}

// at returns the belt's compliance where one of its spans is a long.
func (b Belt) at(a float64) (Compliance, error) {
	var g guard
	b.check(&g)
	g.Demand(a > 0 && a < b.Length, "span", a, "above zero and less than the belt")
	if g.Err != nil {
		return Compliance{}, g.Err
	}
	k, err := BeltStiffness(b.Specific, b.Width, a, b.Length-a)
	if err != nil {
		return Compliance{}, err
	}
	return Compliance{Belt: softness(k), Bracket: softness(b.Bracket)}.summed(&g)
}

// leastStiff is as near to the middle of the belt as the travel comes.
func (b Belt) leastStiff() (float64, Compliance, error) {
	a := math.Min(math.Max(b.Length/2, b.SpanFrom), b.SpanTo)
	c, err := b.at(a)
	return a, c, err
}

func (b Belt) backlash() float64 { return b.Backlash }

func (b Belt) travelError(travel float64) (float64, error) {
	var g guard
	return g.Answer("length error", b.PitchError*travel)
}

// hold checks the spans at the ends of the travel, the force either way.
func (b Belt) hold(l *ledger, _ Input) {
	o := &l.out
	o.SlackSpan = math.Inf(1)
	for _, a := range []float64{b.SpanFrom, b.Length - b.SpanFrom, b.SpanTo, b.Length - b.SpanTo} {
		tight, slack, err := Spans(b.Pretension, o.LargestLoad, a, b.Length-a)
		l.take(0, err)
		if slack < 0 {
			tight = o.LargestLoad
		}
		o.TightSpan, o.SlackSpan = math.Max(o.TightSpan, tight), math.Min(o.SlackSpan, slack)
	}
	l.hold(RuleBeltPretension, l.number("pretension needed", b.Pretension-o.SlackSpan), b.Pretension, "N")
	o.ShaftLoad = l.number("force on the pulley", 2*b.Pretension)
	o.Elongation = l.number("elongation", b.Pretension*b.Length/(b.Specific*b.Width))
	if b.MassPerMetre > 0 && b.Pretension > 0 {
		o.SpanFrequency = l.take(SpanFrequency(b.Pretension, b.MassPerMetre, math.Max(b.SpanTo, b.Length-b.SpanFrom)))
	}
	if b.AllowedTension > 0 {
		l.hold(RuleBeltTension, o.TightSpan, b.AllowedTension, "N")
	} else {
		l.skip(RuleBeltTension, "tension that the belt may bear")
	}
	if b.ToothForce > 0 && b.Meshing > 0 {
		l.hold(RuleBeltTeeth, o.LargestLoad, l.number("force of the teeth", b.teethForce()), "N")
	} else {
		l.skip(RuleBeltTeeth, "force that a tooth may carry, and teeth in mesh")
	}
	if b.MaxFeed > 0 {
		l.bound(l.number("pulley speed", 2*math.Pi*b.MaxFeed/(b.Pitch*b.Teeth)), RuleBeltSpeed)
	}
}

// teethForce is what the teeth in mesh carry [N]. More teeth than twelve don't share the force by the trade's rule.
func (b Belt) teethForce() float64 { return b.ToothForce * b.Width * math.Min(b.Meshing, 12) }
