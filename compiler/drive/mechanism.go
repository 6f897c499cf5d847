package drive

import (
	"math"

	"ironbed/compiler/motor"
)

// A Mechanism turns the turning of its driven shaft into travel: a
// [RotatingScrew], a [RotatingNut], a [Rack] or a [Belt].
type Mechanism interface {
	check(g *guard)
	transmission() motor.Transmission            // from the driven shaft to travel, without a reduction
	turning() (Turning, error)                   // what turns with the driven shaft
	at(position float64) (Compliance, error)     // compliance with the driven shaft held
	leastStiff() (float64, Compliance, error)    // the least stiff position, and its compliance
	backlash() float64                           // play along the axis
	travelError(travel float64) (float64, error) // error of position over a travel
	hold(l *ledger, in Input)                    // numbers and checks of its own
	carries(o *Output) []Part                    // what its parts carry once
	reach() []float64                            // positions at the ends of the travel
}

// A Reduction is a gear or belt between motor and driven shaft. Ratio 1 and
// efficiency 1 stand for a motor coupled to it.
type Reduction struct {
	Ratio         float64 // motor turns for each turn of the driven shaft [-]
	Efficiency    float64 // of the gear or belt, either way [-]
	MotorInertia  float64 // turning at motor speed, rotor not counted [kg·m²]
	DrivenInertia float64 // turning with the driven shaft: coupling, driven pulley or gear [kg·m²]
	Stiffness     float64 // in torsion at the driven shaft: coupling, gearbox, belt; zero for rigid [N·m/rad]
	Backlash      float64 // angle of backlash at the driven shaft [rad]
	RatedTorque   float64 // that is rated at the driven shaft, zero for not known [N·m]
	TopSpeed      float64 // that its motor side may turn, zero for no bound [rad/s]
}

func (r Reduction) check(g *guard) {
	g.Positive("reduction ratio", r.Ratio)
	g.Fraction("reduction efficiency", r.Efficiency)
	g.ZeroOrMore("reduction inertia", r.MotorInertia)
	g.ZeroOrMore("inertia at the driven shaft", r.DrivenInertia)
	g.ZeroOrMore("stiffness of the reduction", r.Stiffness)
	g.ZeroOrMore("backlash of the reduction", r.Backlash)
	g.ZeroOrMore("rated torque of the reduction", r.RatedTorque)
	g.ZeroOrMore("top speed of the reduction", r.TopSpeed)
}

// through returns the mechanism's transmission with the reduction before it.
func (r Reduction) through(t motor.Transmission) motor.Transmission {
	t.Ratio, t.RatioEfficiency = r.Ratio, r.Efficiency
	return t
}

// Turning is the inertia of what turns with the driven shaft, by part.
type Turning struct {
	Screw     float64 // screw shaft [kg·m²]
	Nut       float64 // nut with its sleeve [kg·m²]
	Pulleys   float64 // pulleys and idlers [kg·m²]
	Pinion    float64 // pinion with its shaft [kg·m²]
	Belt      float64 // belt that runs with the axis [kg·m²]
	Reduction float64 // coupling, driven pulley or gear [kg·m²]
	Total     float64 // sum of the parts [kg·m²]
}

func (t Turning) summed(g *guard) (Turning, error) {
	t.Total = t.Screw + t.Nut + t.Pulleys + t.Pinion + t.Belt + t.Reduction
	if _, err := g.Answer("turning inertia", t.Total); err != nil {
		return Turning{}, err
	}
	return t, nil
}

// StiffnessAt returns the compliance of a whole drive between the motor's rotor and
// the moved part, with the mechanism at a position: a nut's distance from the
// driven bearing, the length of a belt's span; a rack has it the same all
// along. The servo's stiffness is that at the motor's shaft, zero for held.
//
//	C = C mechanism + (p/2π)² (1/kr + 1/(ks i²))   [m/N]
//
// Source: derived here, equal strain energy with φ = 2π x/p at the driven shaft and i φ at the motor.
func StiffnessAt(m Mechanism, r Reduction, servo, position float64) (Compliance, error) {
	var g guard
	g.mechanism(m)
	if g.Err != nil {
		return Compliance{}, g.Err
	}
	c, err := m.at(position)
	if err != nil {
		return Compliance{}, err
	}
	return c.behind(m, r, servo)
}

// behind adds what is before the driven shaft.
func (c Compliance) behind(m Mechanism, r Reduction, servo float64) (Compliance, error) {
	var g guard
	r.check(&g)
	g.ZeroOrMore("stiffness of the servo", servo)
	turn := m.transmission().Lead / (2 * math.Pi)
	c.Coupling = softness(r.Stiffness) * turn * turn
	c.Servo = softness(servo) / r.Ratio / r.Ratio * turn * turn
	return c.summed(&g)
}
