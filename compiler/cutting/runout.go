package cutting

import "math"

// RunoutChip returns the most that runout adds to one tooth's chip, and takes
// from another's, in m.
//
//	Δh = t sin(π/z)
//
// where t [m] is the total indicator reading at the teeth and z [-] their
// number. An axis off by e = t/2 puts tooth j at the radius R + e cos(α + 2πj/z);
// the chip grows by the difference of two successive radii, at most 2 e sin(π/z).
// With two teeth the whole reading goes from one tooth's chip to the other's;
// with one tooth there is no other to differ from.
//
// Source: derived here, from the radii above.
func RunoutChip(runout float64, teeth int) float64 {
	if teeth < 2 || !positive(runout) {
		return 0
	}
	return runout * math.Sin(math.Pi/float64(teeth))
}

// ToothChips returns the thickest chip that the foremost and the hindmost
// tooth take, in m, when the mean tooth would take h and the cutter runs out.
//
//	thickest = min(h + Δh, z h),  thinnest = max(h - Δh, 0)
//
// where Δh is the [RunoutChip]. A tooth left behind altogether leaves its
// chip to the next one; no tooth takes more than the feed of a whole turn. A
// thinnest chip of 0 means that not all the teeth cut.
//
// Source: derived here, from the path that each tooth leaves to the next.
func ToothChips(h, runout float64, teeth int) (thickest, thinnest float64) {
	change := RunoutChip(runout, teeth)
	return math.Min(h+change, float64(max(teeth, 1))*h), math.Max(h-change, 0)
}

// WorstRunoutAngle returns the angle between tooth 0 and the offset of the axis
// at which two successive teeth differ most, in rad.
//
//	α = π/z - π/2
//
// where z [-] is the number of teeth. Where nobody has measured which tooth
// stands out, this is the angle to compute with: the chips then differ by the
// whole of [RunoutChip].
//
// Source: derived here, the greatest of cos(-α) - cos(2π/z - α) = 2 sin(π/z) sin(π/z - α), where the sine is 1.
func WorstRunoutAngle(teeth int) float64 {
	return math.Pi/float64(max(teeth, 1)) - math.Pi/2
}

// ToothRadii returns how far each tooth stands out of the true circle, in m.
//
//	Δr_j = e cos(2π j/z - α)
//
// where e = t/2 [m] is the offset of the axis, half the total indicator reading
// t, α [rad] the angle of the offset from tooth 0 in the sense of rotation and
// z [-] the number of teeth. Tooth j+1 runs ahead of tooth j. Higher up a
// helical cutter the teeth trail and α grows by the angle by which they do. An
// axis that is tilted rather than offset gives a t that grows along the cutter;
// the t to use is that at the depth of the cut.
//
// Source: Kline 1983, the radial runout of an end mill.
func ToothRadii(runout, angle float64, teeth int) []float64 {
	radii := make([]float64, max(teeth, 0))
	for j := range radii {
		radii[j] = toothRadius(runout, angle, j, teeth)
	}
	return radii
}

func toothRadius(runout, angle float64, tooth, teeth int) float64 {
	return runout / 2 * math.Cos(2*math.Pi*float64(tooth)/float64(teeth)-angle)
}

// runoutChip returns the chip that a tooth takes where a true-running one would
// take h, in m.
//
//	h_j = max(0, min over k = 1 … z of (k h + Δr_j - Δr_(j+k)))
//
// Tooth j+k passed k teeth earlier, k feeds back. A tooth whose chip would be
// below zero cuts nothing, and what it leaves is there for the next: the chips
// of a turn add up to z h whatever the runout.
//
// Source: Kline 1983, chip thickness under runout; derived here, the deepest of the surfaces that the teeth before have left.
func runoutChip(h float64, tooth int, radii []float64) float64 {
	chip := math.Inf(1)
	for k := 1; k <= len(radii); k++ {
		chip = math.Min(chip, float64(k)*h+radii[tooth]-radii[(tooth+k)%len(radii)])
	}
	return math.Max(0, chip)
}
