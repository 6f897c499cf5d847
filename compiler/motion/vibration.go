package motion

// QuietJerk returns the jerk at which an acceleration rises in just one period
// of a mode, and leaves it still.
//
//	j = a f   [m/s³]
//
// with a the acceleration [m/s²] and f the frequency [Hz]. Slower rises
// leave 22 % at most.
//
// Source: Thomson 1993, 4; derived here, the first zero of |sin(π f t)/(π f t)|, the share of an undamped mode's amplitude that a rise within t leaves.
func QuietJerk(acceleration, frequency float64) (float64, error) {
	var g guard
	g.Positive("acceleration", acceleration)
	g.Positive("frequency", frequency)
	return g.Answer("jerk", acceleration*frequency)
}
