package cutting

import (
	"fmt"
	"math"
)

// RoughingTime returns the time in which a volume is cut away, in s.
//
//	t = V / (Q s)
//
// where V [m3] is the volume, Q [m3/s] the removal rate in the cut and s [-], above 0 and at
// most 1, the share of the time in which the cutter cuts; the rest goes into approaches,
// returns and changes of cutter.
//
// Error is an input out of range.
//
// Source: Altintas 2012, the removal rate of milling; common practice.
func RoughingTime(volume, rate, share float64) (float64, error) {
	if !positive(volume) || !positive(rate) || !(share > 0 && share <= 1) {
		return 0, fmt.Errorf("no time for %g m3 at %g m3/s over a share of %g", volume, rate, share)
	}
	return duration(volume / rate / share)
}

// FinishingTime returns the time in which an area is finished, in s.
//
//	t = A / (vf b s)
//
// where A [m2] is the area, vf [m/s] the feed, b [m] the width of the strip that a pass
// finishes, along a wall the depth of cut, and s [-] as for [RoughingTime].
//
// Error is an input out of range.
//
// Source: derived here, a strip b wide grows by vf each second; common practice.
func FinishingTime(area, feed, width, share float64) (float64, error) {
	if !positive(area) || !positive(feed) || !positive(width) || !(share > 0 && share <= 1) {
		return 0, fmt.Errorf("no time for %g m2 at %g m/s, %g m wide, over a share of %g", area, feed, width, share)
	}
	return duration(area / feed / width / share)
}

// duration is a time, unless it is beyond the range of numbers.
func duration(t float64) (float64, error) {
	if !positive(t) {
		return 0, fmt.Errorf("a time of %g s is beyond the range of numbers", t)
	}
	return t, nil
}

// CornerMarks returns the height of the marks on a floor by teeth with a corner radius,
// peak to valley, in m.
//
//	Rt = r − √(r² − fz²/4) ≈ fz²/(8 r)
//
// where r [m] is the corner radius and fz [m] the feed per tooth, at most twice that. Teeth
// that do not run true along the axis make them higher.
//
// Error is an input out of range.
//
// Source: Qu Shih 2003, circular arcs.
func CornerMarks(corner, feedPerTooth float64) (float64, error) {
	if !positive(corner) || !positive(feedPerTooth) || feedPerTooth > 2*corner {
		return 0, fmt.Errorf("no marks of a corner radius of %g m at %g m a tooth", corner, feedPerTooth)
	}
	half := feedPerTooth / 2
	// The difference, without one of near numbers.
	height := half * (half / (corner + math.Sqrt((corner-half)*(corner+half))))
	if !positive(height) {
		return 0, fmt.Errorf("marks of %g m are beyond the range of numbers", height)
	}
	return height, nil
}
