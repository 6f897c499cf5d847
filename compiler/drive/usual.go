package drive

import "math"

// UsualEfficiency returns the efficiency of ball screws as they are found:
// worn or stiffly preloaded ones at the low end.
//
// Source: from memory.
func UsualEfficiency() Range {
	return Range{Low: 0.80, Nominal: 0.90, High: 0.95}
}

// UsualRootDiameter returns the root diameter of a ball screw of which only
// the nominal diameter is known [m]. The finer the lead, the nearer to the
// high end.
//
//	0.80, 0.86, 0.90 of the nominal diameter
//
// Source: from memory.
func UsualRootDiameter(nominal float64) (Range, error) {
	var g guard
	g.positive("nominal diameter", nominal)
	if g.err != nil {
		return Range{}, g.err
	}
	return Range{Low: 0.80 * nominal, Nominal: 0.86 * nominal, High: 0.90 * nominal}, nil
}

// UsualNutStiffness returns the axial stiffness of ball nuts of 16 to 40 mm
// screws [N/m]: with play or light preload at the low end, a preloaded double
// nut at the high.
//
// Source: from memory.
func UsualNutStiffness() Range {
	return Range{Low: 200e6, Nominal: 350e6, High: 600e6}
}

// UsualBearingStiffness returns the axial stiffness of a preloaded pair of
// angular-contact support bearings [N/m].
//
// Source: from memory.
func UsualBearingStiffness() Range {
	return Range{Low: 80e6, Nominal: 140e6, High: 250e6}
}

// UsualBracketStiffness returns the axial stiffness of a bolted nut bracket or
// bearing bracket [N/m].
//
// Source: from memory.
func UsualBracketStiffness() Range {
	return Range{Low: 50e6, Nominal: 100e6, High: 200e6}
}

// UsualSpeedValue returns the speed value DN of ball nuts [m·rad/s]: 70 000
// mm·rpm for a screw of unknown make, to 140 000 for an internal return.
//
// Source: common practice.
func UsualSpeedValue() Range {
	const tradeUnit = 1e-3 * 2 * math.Pi / 60 // 1 mm·rpm in m·rad/s
	return Range{Low: 70000 * tradeUnit, Nominal: 70000 * tradeUnit, High: 140000 * tradeUnit}
}
