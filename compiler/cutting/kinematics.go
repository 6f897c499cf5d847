package cutting

import "math"

// SurfaceSpeed returns the speed of the cutter's edge, in m/s.
//
//	vc = π D n
//
// where D [m] is the diameter and n [rev/s] the spindle speed.
//
// Source: ISO 3002-3, cutting speed.
func SurfaceSpeed(diameter, speed float64) float64 { return math.Pi * diameter * speed }

// FeedRate returns the speed of the feed, in m/s.
//
//	vf = fz z n
//
// where fz [m] is the feed per tooth, z [-] the number of teeth and n [rev/s]
// the spindle speed.
//
// Source: ISO 3002-3, feed speed.
func FeedRate(feedPerTooth float64, teeth int, speed float64) float64 {
	return feedPerTooth * float64(teeth) * speed
}
