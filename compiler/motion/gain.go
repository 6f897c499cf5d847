package motion

import "math"

// StabilityLimit returns the velocity gain at which a position loop around a
// mode becomes unstable.
//
//	Kv < 2 ζ ω0   [1/s]
//
// with ω0 = 2π f and ζ the mode's damping ratio. The loop is s (s²/ω0² + 2 ζ s/ω0 +
// 1) + Kv = 0: motor and velocity loop follow at once, and the encoder sees the
// mode. A scale on the table is that case; an encoder on the motor sees less of
// the mode, and a velocity loop that damps it raises ζ.
//
// Source: derived here, Routh's condition for the cubic; Nise 2011, 6.
func StabilityLimit(m Mode) (float64, error) {
	var g guard
	m.check(&g)
	return g.Answer("velocity gain", 2*m.Damping*2*math.Pi*m.Frequency)
}

// UsualGain returns the velocity gain that is usual for a first mode: a position
// bandwidth of a tenth to a fifth of it.
//
//	Kv = 2π f/10 .. 2π f/5   [1/s]
//
// At 40 Hz that is 25 to 50 1/s. It counts on a velocity loop that damps the
// mode, which [StabilityLimit] does not.
//
// Source: common practice.
func UsualGain(frequency float64) (Range, error) {
	var g guard
	g.Positive("frequency of the mode", frequency)
	omega := 2 * math.Pi * frequency
	if _, err := g.Answer("velocity gain", omega); err != nil {
		return Range{}, err
	}
	return Range{Low: omega / 10, Nominal: omega / 7, High: omega / 5}, nil
}

// PositionBandwidth returns the bandwidth of a position loop.
//
//	f = Kv/(2π)   [Hz]
//
// Source: Ogata 2010, 5; derived here, the corner of a first-order lag with time constant 1/Kv.
func PositionBandwidth(gain float64) (float64, error) {
	var g guard
	g.Positive("velocity gain", gain)
	return g.Answer("bandwidth", gain/(2*math.Pi))
}

// Carried is the velocity gain that an axis can carry, and the mode that says
// so.
type Carried struct {
	Limit float64 // no loop is stable above it without damping the mode [1/s]
	Usual Range   // for the lowest mode
	First int     // index of the lowest mode
	Bound int     // index of the mode that sets Limit
}

// CarriedGain returns the gains that an axis with the modes can carry: the
// lowest limit of all, and what is usual for the first.
//
// Source: derived here, the least of [StabilityLimit] over the modes; common practice, [UsualGain].
func CarriedGain(modes []Mode) (Carried, error) {
	var g guard
	g.Demand(len(modes) > 0, "number of modes", float64(len(modes)), "one or more")
	if g.Err != nil {
		return Carried{}, g.Err
	}
	var c Carried
	for i, m := range modes {
		limit, err := StabilityLimit(m)
		if err != nil {
			return Carried{}, err
		}
		if i == 0 || limit < c.Limit {
			c.Limit, c.Bound = limit, i
		}
		if m.Frequency < modes[c.First].Frequency {
			c.First = i
		}
	}
	var err error
	if c.Usual, err = UsualGain(modes[c.First].Frequency); err != nil {
		return Carried{}, err
	}
	return c, nil
}
