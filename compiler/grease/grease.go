// Package grease computes when rolling bearings are greased again. Everything is SI.
package grease

import (
	"math"

	"ironbed/compiler/domain"
)

// Deep is the factor of deep groove and angular contact ball bearings in [Interval] [-]; rollers have 5.
const Deep = 10

// longest is how long grease lasts however slowly a bearing turns [s]: five years; common practice.
const longest = 5 * 365.25 * 24 * 3600

// Interval returns the running time after which a bearing is greased again, by its factor [-], its speed [1/s] and its bore [m].
//
//	t = k (14·10⁶/(n √d) − 4 d)   [h], n in rpm, d in mm
//
// A clean bearing that lies level, below 70 °C: half of it for each 15 K above, half of it on an upright shaft. Grease ages in any case: five years at the
// most. Valid: where it comes out above zero; faster bearings take oil, or grease for life.
//
// Source: common practice, the older formula of bearing makers.
func Interval(factor, speed, bore float64) (float64, error) {
	var g domain.Guard
	g.Positive("factor of the bearing", factor)
	g.ZeroOrMore("speed", speed)
	g.Positive("bore", bore)
	if g.Err != nil {
		return 0, g.Err
	}
	if speed == 0 {
		return longest, nil
	}
	hours := factor * (14e6/(60*speed*math.Sqrt(1e3*bore)) - 4e3*bore)
	g.Positive("interval of a bearing so fast", hours)
	return g.Answer("interval", math.Min(longest, 3600*hours))
}

// After returns the time after which something has travelled a distance, of what it runs in each second of a duty.
//
//	t = L/v   [s]
//
// Source: derived here.
func After(distance, speed float64) (float64, error) {
	var g domain.Guard
	g.Positive("distance", distance)
	g.Positive("mean speed", speed)
	return g.Answer("time to a distance", distance/speed)
}
