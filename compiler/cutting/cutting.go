// Package cutting computes what a milling cut asks of a machine: the specific
// cutting force of the work material, the chip, the forces, torque and power of a cut,
// and how a cutter bends and when it breaks.
//
// The cutter is an end mill with a square or rounded corner, a ball, or a face
// mill with a cutting edge angle. The chip is that of a circular tooth path and a
// stiff machine: chatter and edge wear are not modelled.
//
// # Signs
//
// Forces act on the tool. The axes are right-handed and move with the cut:
//
//	feed    along the tool's motion relative to the workpiece
//	normal  to the left of the feed, seen from the spindle
//	axial   from the tip into the spindle
//
// The tool turns clockwise seen from the spindle. The rotation angle φ of a
// tooth is measured in the sense of rotation from the normal axis: a tooth at
// φ = π/2 is at the front of the tool. Up milling cuts from φ = 0 on, with
// the wall on the left of the feed; down milling cuts up to φ = π, with the
// wall on the right; a slot is cut from 0 to π.
package cutting

import "math"

func positive(x float64) bool    { return x > 0 && !math.IsInf(x, 1) }
func notNegative(x float64) bool { return x >= 0 && !math.IsInf(x, 1) }

// finite reports whether all the numbers are.
func finite(numbers ...float64) bool {
	for _, x := range numbers {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
