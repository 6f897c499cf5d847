package drive

import "math"

// UsualSpeedValue returns the speed value DN of ball nuts [m·rad/s]: 70 000
// mm·rpm for a screw of unknown make, to 140 000 for an internal return.
//
// Source: common practice.
func UsualSpeedValue() Range {
	const tradeUnit = 1e-3 * 2 * math.Pi / 60 // 1 mm·rpm in m·rad/s
	return Range{Low: 70000 * tradeUnit, Nominal: 70000 * tradeUnit, High: 140000 * tradeUnit}
}
