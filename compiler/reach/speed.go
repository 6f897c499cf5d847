package reach

import "math"

// RoundSpeed returns the greatest speed [rev/s] that is not above a speed and is set and
// remembered easily: a step of at most 2.5 % of it in revolutions a minute. No lobe is
// known better than that.
//
// Source: common practice.
func RoundSpeed(speed float64) float64 {
	rpm := 60 * speed * rounding
	decade := math.Pow(10, math.Floor(math.Log10(rpm)))
	step := 0.02 * decade
	switch {
	case rpm >= 5*decade:
		step = 0.1 * decade
	case rpm >= 2*decade:
		step = 0.05 * decade
	}
	return step * math.Floor(rpm/step) / 60
}

// set returns the speed that is set for one that the search comes to: the round one below
// it, where the material and the spindle take that too.
func (s *settled) set(speed float64) float64 {
	if round := RoundSpeed(speed); round*rounding >= s.low {
		return math.Min(speed, math.Max(round, s.low)) // no faster by its rounding
	}
	return speed
}
