package drive

import "math"

// A LoadStep is one part of a screw's duty.
type LoadStep struct {
	Force float64 // axial force, of either sign [N]
	Speed float64 // screw speed [rad/s]
	Share float64 // share of the running time; the shares need not add up to 1 [-]
}

// MeanLoad returns the constant axial force with the same life as a duty.
//
//	Fm = (Σ |F|³ n q/Σ n q)^(1/3)   [N]
//
// with n the speeds and q the shares of time.
//
// Source: ISO 3408-5, 7.1.
func MeanLoad(steps []LoadStep) (float64, error) {
	var g guard
	checkSteps(&g, steps)
	if g.Err != nil {
		return 0, g.Err
	}
	// Taken over the largest force, so that a cube can't overflow.
	largest := 0.0
	for _, s := range steps {
		largest = math.Max(largest, math.Abs(s.Force))
	}
	if largest == 0 {
		return 0, nil
	}
	sum, turns := 0.0, 0.0
	for _, s := range steps {
		sum += math.Pow(math.Abs(s.Force)/largest, 3) * s.Speed * s.Share
		turns += s.Speed * s.Share
	}
	return g.Answer("mean load", largest*math.Cbrt(sum/turns))
}

// MeanSpeed returns the mean screw speed of a duty.
//
//	nm = Σ n q/Σ q   [rad/s]
//
// Source: ISO 3408-5, 7.1.
func MeanSpeed(steps []LoadStep) (float64, error) {
	var g guard
	checkSteps(&g, steps)
	turns, time := 0.0, 0.0
	for _, s := range steps {
		turns += s.Speed * s.Share
		time += s.Share
	}
	return g.Answer("mean speed", turns/time)
}

func checkSteps(g *guard, steps []LoadStep) {
	turns := 0.0
	for _, s := range steps {
		g.Finite("axial force", s.Force)
		g.ZeroOrMore("screw speed", s.Speed)
		g.ZeroOrMore("share of time", s.Share)
		turns += s.Speed * s.Share
	}
	g.Positive("turns in the duty", turns)
}

// ScrewLife returns the turns that nine of ten ball screws outlast.
//
//	L10 = (Ca/Fm)³ · 10⁶   [rev]
//
// with Ca the dynamic axial rating and Fm the mean load [N]. It is fatigue
// alone: dirt, misalignment and starved grease end most screws sooner.
//
// Source: ISO 3408-5, 7.2.
func ScrewLife(dynamicRating, meanLoad float64) (float64, error) {
	var g guard
	g.Positive("dynamic rating", dynamicRating)
	g.Positive("mean load", meanLoad)
	return g.Answer("screw life", math.Pow(dynamicRating/meanLoad, 3)*1e6)
}

// LifeTime returns how long a number of turns lasts.
//
//	t = 2π L/ω   [s]
//
// Source: derived here, L turns of 2π each.
func LifeTime(turns, meanSpeed float64) (float64, error) {
	var g guard
	g.ZeroOrMore("turns", turns)
	g.Positive("mean speed", meanSpeed)
	return g.Answer("life", turns*2*math.Pi/meanSpeed)
}

// LiftOffLoad returns the force at which a preloaded nut loses its preload and
// the drive starts to show backlash.
//
//	F = 2^1.5 Fpr   [N]
//
// The exponent is that of ball contact, where deflection goes with F^(2/3).
//
// Source: ISO 3408-5, 7.1.3.
func LiftOffLoad(preload float64) (float64, error) {
	var g guard
	g.ZeroOrMore("preload", preload)
	return g.Answer("lift-off load", math.Sqrt2*2*preload)
}

// PreloadedLoads returns what the two halves of a preloaded nut carry under an
// axial force: the half that takes it, and the one that is relieved.
//
//	F1 = Fpr (1 + F/(2^1.5 Fpr))^1.5,  F2 = F1 - F   [N]
//
// and F and 0 above the lift-off load.
//
// Source: ISO 3408-5, 7.1.3.
func PreloadedLoads(preload, force float64) (working, relieved float64, err error) {
	var g guard
	g.ZeroOrMore("preload", preload)
	g.Finite("axial force", force)
	f := math.Abs(force)
	liftOff := math.Sqrt2 * 2 * preload
	if f >= liftOff {
		_, err = g.Answer("nut load", f)
		if err != nil {
			return 0, 0, err
		}
		return f, 0, nil
	}
	working, err = g.Answer("nut load", preload*math.Pow(1+f/liftOff, 1.5))
	if err != nil {
		return 0, 0, err
	}
	return working, math.Max(0, working-f), nil
}

// CombinedLife returns the turns that nine of ten nuts outlast when both
// halves are loaded.
//
//	L = (L1^(-10/9) + L2^(-10/9))^(-9/10)   [rev]
//
// Source: ISO 3408-5, 7.2.3.
func CombinedLife(first, second float64) (float64, error) {
	var g guard
	g.Positive("life of the first half", first)
	g.Positive("life of the second half", second)
	// Taken over the shorter life, so that a power can't underflow.
	short, long := math.Min(first, second), math.Max(first, second)
	return g.Answer("screw life", short*math.Pow(1+math.Pow(long/short, -10.0/9), -0.9))
}

// DutyLife returns the turns that nine of ten screws outlast under a duty, and
// the mean load of the half of the nut that carries more. A positive force
// works the first half, a negative one the second; with zero preload, a nut
// with play, the halves are the two flanks of the thread. A duty without any
// force has no life, which is an error.
//
//	each half: Fm by MeanLoad of PreloadedLoads, L by ScrewLife; then CombinedLife
//
// Source: ISO 3408-5, 7.2.
func DutyLife(dynamicRating, preload float64, steps []LoadStep) (turns, meanLoad float64, err error) {
	first, second := make([]LoadStep, len(steps)), make([]LoadStep, len(steps))
	for i, s := range steps {
		working, relieved, err := PreloadedLoads(preload, s.Force)
		if err != nil {
			return 0, 0, err
		}
		if s.Force < 0 {
			working, relieved = relieved, working
		}
		first[i], second[i] = s, s
		first[i].Force, second[i].Force = working, relieved
	}
	one, err := MeanLoad(first)
	if err != nil {
		return 0, 0, err
	}
	two, err := MeanLoad(second)
	if err != nil {
		return 0, 0, err
	}
	heavy, light := math.Max(one, two), math.Min(one, two)
	turns, err = ScrewLife(dynamicRating, heavy)
	if err != nil || light == 0 {
		return turns, heavy, err
	}
	other, err := ScrewLife(dynamicRating, light)
	if err != nil {
		return 0, 0, err
	}
	turns, err = CombinedLife(turns, other)
	return turns, heavy, err
}
