package motion

import "math"

// RampResidual returns the share of a mode's swing that a jerk limit leaves,
// against acceleration that comes at once.
//
//	|sin(π f t)/(π f t)|   [-]
//
// with f the frequency [Hz] and t the time in which the acceleration rises [s].
// Nothing is left when t is a whole number of periods.
//
// Source: Thomson 1993, 4, the response of an undamped mass on a spring to a ramp that levels off.
func RampResidual(frequency, rise float64) (float64, error) {
	var g guard
	g.Positive("frequency", frequency)
	g.ZeroOrMore("time of the rise", rise)
	x := math.Pi * frequency * rise
	g.Finite("rise in periods", x)
	if g.Err == nil && x == 0 {
		return 1, nil
	}
	return g.Answer("share of the swing", math.Abs(math.Sin(x)/x))
}

// StepSwing returns the swing of a mode, to either side, after one change of
// acceleration.
//
//	A = Δa/ω² · residual   [m]
//
// with Δa the change [m/s²], ω = 2π f, and the residual of [RampResidual]. A move
// has four changes, which at worst add up to 4 A; damping is neglected.
//
// Source: Thomson 1993, 4; derived here, the mode's rest shifts by m a/k = a/ω².
func StepSwing(change, frequency, rise float64) (float64, error) {
	residual, err := RampResidual(frequency, rise)
	if err != nil {
		return 0, err
	}
	var g guard
	g.Finite("change of acceleration", change)
	omega := 2 * math.Pi * frequency
	return g.Answer("swing", math.Abs(change)/omega/omega*residual)
}

// SettleTime returns how long a swing takes to die down to a tolerance.
//
//	t = ln(A/δ)/(ζ ω)   [s], zero for a swing within it
//
// with A the swing and δ the tolerance [m], ζ the damping ratio and ω = 2π f.
//
// Source: Thomson 1993, 2, decay of the envelope exp(-ζ ω t).
func SettleTime(swing, tolerance float64, m Mode) (float64, error) {
	var g guard
	g.ZeroOrMore("swing", swing)
	g.Positive("tolerance", tolerance)
	m.check(&g)
	g.damping(m.Damping)
	if g.Err == nil && swing <= tolerance {
		return 0, nil
	}
	return g.Answer("time to settle", (math.Log(swing)-math.Log(tolerance))/(m.Damping*2*math.Pi*m.Frequency))
}

// QuietJerk returns the jerk at which an acceleration rises in just one period
// of a mode, and leaves it still.
//
//	j = a f   [m/s³]
//
// with a the acceleration [m/s²] and f the frequency [Hz]. Slower rises
// leave 22 % at most.
//
// Source: derived here, the first zero of [RampResidual].
func QuietJerk(acceleration, frequency float64) (float64, error) {
	var g guard
	g.Positive("acceleration", acceleration)
	g.Positive("frequency", frequency)
	return g.Answer("jerk", acceleration*frequency)
}
