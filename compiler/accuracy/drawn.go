package accuracy

import (
	"math"

	"ironbed/compiler/budget"
)

// LikelyOf is the likely error of the part at its worst place with errors of other sizes, in the direction in which it is largest [m].
func (b *Budget) LikelyOf(size func(p *Part, along int) float64) (float64, error) {
	parts := make([]Part, len(b.Worst.Parts))
	for i := range parts {
		p := &b.Worst.Parts[i]
		parts[i] = Part{Cause: p.Cause, Axis: p.Axis, Other: p.Other, Kind: p.Kind}
		for k := range p.Sizes {
			if p.Counts(k) {
				v := math.Max(0, size(p, k))
				parts[i].Sizes[k] = budget.Range{Low: v, Nominal: v, High: v}
			}
		}
	}
	likely := 0.0
	for k := range directions {
		total, err := combined(parts, k, false)
		if err != nil {
			return 0, err
		}
		likely = math.Max(likely, total.Likely.Nominal)
	}
	return likely, nil
}

// Wide reports whether an error has bounds apart from its middle.
func (p *Part) Wide() bool {
	for _, s := range p.Sizes {
		if s.Low < s.High {
			return true
		}
	}
	return false
}

// OfSurfaces reports whether the mounting surfaces of an axis make an error.
func (p *Part) OfSurfaces() bool {
	return p.Cause == Straightness || p.Cause == Pitch || p.Cause == Yaw || p.Cause == Roll
}
