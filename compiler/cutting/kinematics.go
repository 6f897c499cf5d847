package cutting

import (
	"fmt"
	"math"
)

// SurfaceSpeed returns the speed of the cutter's edge, in m/s.
//
//	vc = π D n
//
// where D [m] is the diameter and n [rev/s] the spindle speed.
//
// Source: ISO 3002-3, cutting speed.
func SurfaceSpeed(diameter, speed float64) float64 { return math.Pi * diameter * speed }

// SpindleSpeed returns the spindle speed at which the cutter's edge has a
// surface speed, in rev/s.
//
//	n = vc / (π D)
//
// where vc [m/s] is the surface speed and D [m] the diameter.
//
// Source: ISO 3002-3, cutting speed.
func SpindleSpeed(diameter, surfaceSpeed float64) (float64, error) {
	if !positive(diameter) {
		return 0, fmt.Errorf("cutter diameter must be above zero, got %g m", diameter)
	}
	return surfaceSpeed / (math.Pi * diameter), nil
}

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

// RemovalRate returns the volume of work cut away in a second, in m3/s.
//
//	Q = ae ap vf
//
// where ae [m] is the width of cut, ap [m] its depth along the tool's axis and
// vf [m/s] the feed speed.
//
// Source: ISO 3002-3, material removal rate.
func RemovalRate(width, depth, feedRate float64) float64 { return width * depth * feedRate }
