package drive

import "math"

// RunawayEnergy returns what a stop has to take of an axis that runs into it with its motor still pushing.
//
//	E = ½ (m + mr) v² + F s   [J]
//
// with m the moved mass and mr all that turns, as a mass along the axis [kg], v the speed [m/s], F what pushes on, weight included [N], and s the way by
// which the stop yields [m].
//
// Source: derived here, kinetic energy and the work of the push.
func RunawayEnergy(mass, turning, speed, push, stroke float64) (float64, error) {
	var g guard
	g.ZeroOrMore("moved mass", mass)
	g.ZeroOrMore("turning mass", turning)
	g.ZeroOrMore("speed", speed)
	g.ZeroOrMore("push", push)
	g.ZeroOrMore("stroke", stroke)
	return g.Answer("energy of a runaway", (mass+turning)*speed*speed/2+push*stroke)
}

// StoppingDistance returns how far an axis runs from the moment that a switch is met.
//
//	s = v t + v²/(2 a)   [m]
//
// with v the speed [m/s], t until it begins to brake [s] and a the deceleration [m/s²].
//
// Source: derived here, even motion and even deceleration.
func StoppingDistance(speed, delay, deceleration float64) (float64, error) {
	var g guard
	g.ZeroOrMore("speed", speed)
	g.ZeroOrMore("delay", delay)
	g.Positive("deceleration", deceleration)
	return g.Answer("stopping distance", speed*delay+speed*speed/(2*deceleration))
}

// PreloadTorque returns the torque that turns a screw without load against the preload of its nut.
//
//	T = 0.05/√tan β · F p/2π,  tan β = p/(π D)   [N·m]
//
// with F the preload [N], p the lead and D the diameter of the ball circle [m]. Seals and grease come on top. It is right within a quarter to a half, the smaller the torque the wider.
//
// Source: JIS B 1192, the form; from memory, the factor.
func PreloadTorque(preload, lead, circle float64) (float64, error) {
	var g guard
	g.ZeroOrMore("preload", preload)
	g.Positive("lead", lead)
	g.Positive("ball circle", circle)
	return g.Answer("preload torque", 0.05/math.Sqrt(lead/(math.Pi*circle))*preload*lead/(2*math.Pi))
}

// OffLineForce returns the force across a screw that pulls its nut into line, as the nut stands a distance from the fixed bearing.
//
//	F = 3 E I δ/a³   [N]
//
// with I = π d⁴/64 of the root [m⁴], δ how far nut and bearing are out of line [m] and a their distance [m]. The far end is taken as free: with a
// bearing there it is more.
//
// Source: Timoshenko 1956, the cantilever.
func OffLineForce(modulus, root, off, distance float64) (float64, error) {
	var g guard
	g.Positive("modulus", modulus)
	g.Positive("root diameter", root)
	g.ZeroOrMore("out of line", off)
	g.Positive("distance from the bearing", distance)
	return g.Answer("force across the screw", 3*modulus*math.Pi/64*math.Pow(root, 4)*off/(distance*distance*distance))
}
