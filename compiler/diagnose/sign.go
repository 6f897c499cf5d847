package diagnose

import (
	"fmt"
	"strings"

	"ironbed/spec/quantity"
)

// How far a mark or a tone may be off where its text does not say, one standard deviation over it [-]: ten marks by a steel rule, a peak of a
// spectrum on a telephone; common practice.
const markOff, soundOff = 0.03, 0.01

// Mark reads the pitch of a mark and the feed at which it was made: "2.5 mm at 1200 mm/min".
func Mark(text string) (Sign, error) {
	pitch, feed, ok := strings.Cut(text, " at ")
	if !ok {
		return Sign{}, fmt.Errorf(`%q has no feed; write the pitch and the feed, as in "2.5 mm at 1200 mm/min"`, text)
	}
	p, err := above(pitch, quantity.Length, "pitch", "2.5 mm")
	if err != nil {
		return Sign{}, err
	}
	v, err := above(feed, quantity.Speed, "feed", "1200 mm/min")
	if err != nil {
		return Sign{}, err
	}
	return Sign{Pitch: p.Value, Feed: v.Value, Off: off(p, markOff)}, nil
}

// Sound reads the frequency of a sound: "310 Hz"; with the feed at which it is heard, "310 Hz at 1200 mm/min".
func Sound(text string) (Sign, error) {
	tone, feed, moving := strings.Cut(text, " at ")
	f, err := above(tone, quantity.Frequency, "frequency", "310 Hz")
	if err != nil {
		return Sign{}, err
	}
	s := Sign{Heard: f.Value, Off: off(f, soundOff)}
	if moving {
		v, err := above(feed, quantity.Speed, "feed", "1200 mm/min")
		if err != nil {
			return Sign{}, err
		}
		s.Feed = v.Value
	}
	return s, nil
}

// Turning reads the speed of the spindle: "6000 rpm".
func Turning(text string) (float64, error) {
	n, err := above(text, quantity.Frequency, "speed of the spindle", "6000 rpm")
	return n.Value, err
}

// off is the standard deviation of a quantity that says its uncertainty, two of which that is, over its value.
func off(q quantity.Quantity, usual float64) float64 {
	if q.High > q.Low {
		return (q.High - q.Low) / 4 / q.Value
	}
	return usual
}

// above reads a quantity above zero.
func above(text string, want quantity.Dimension, what, like string) (quantity.Quantity, error) {
	text = strings.TrimSpace(text)
	q, err := quantity.ParseAs(text, want)
	switch {
	case err != nil:
		return q, fmt.Errorf("%q is no %s: %w; write it as in %q", text, what, err, like)
	case q.Low <= 0:
		return q, fmt.Errorf("the %s %q is not above zero; write it as in %q", what, text, like)
	}
	return q, nil
}
