// Package acceptance evaluates the tests of a machine's geometry: positioning along
// an axis, circles in a plane, straightness of a surface. The same figures state
// what a machine promises and what is measured on it.
// Everything is SI.
package acceptance

import (
	"math"

	"ironbed/compiler/domain"
)

// A guard knows this package's own conditions besides those of every formula.
type guard struct{ domain.Guard }

// A Target is one position of a positioning test, with what was measured there.
type Target struct {
	Position float64   // [m]
	Forward  []float64 // deviations, actual less commanded, approached in the positive direction [m]
	Backward []float64 // the same in the negative direction [m]
}

// A Deviation is the evaluation of one target.
type Deviation struct {
	Position          float64 // [m]
	Forward           float64 // mean in the positive direction [m]
	Backward          float64 // mean in the negative direction [m]
	ForwardDeviation  float64 // standard deviation, with n − 1 [m]
	BackwardDeviation float64 // the same in the negative direction [m]
	Reversal          float64 // forward less backward mean [m]
}

// A Positioning is the evaluation of an axis.
type Positioning struct {
	Targets               []Deviation
	Reversal              float64 // largest reversal error of a target, B [m]
	MeanReversal          float64 // mean of the reversal errors, with its sign, B̄ [m]
	RepeatabilityForward  float64 // R↑ [m]
	RepeatabilityBackward float64 // R↓ [m]
	Repeatability         float64 // bidirectional, R [m]
	SystematicForward     float64 // E↑ [m]
	SystematicBackward    float64 // E↓ [m]
	Systematic            float64 // bidirectional, E [m]
	MeanBidirectional     float64 // range of the means of both directions, M [m]
	AccuracyForward       float64 // A↑ [m]
	AccuracyBackward      float64 // A↓ [m]
	Accuracy              float64 // bidirectional, A [m]
}

// Coverage is how many standard deviations to either side count since the edition of
// 1997; before, it was 3 [-].
const Coverage = 2

// Evaluate returns the accuracy and repeatability of positioning of an axis.
//
//	Rᵢ = max(k s↑ + k s↓ + |Bᵢ|, 2 k s↑, 2 k s↓)   [m]
//	E  = max x̄ − min x̄, over both directions        [m]
//	M  = max (x̄↑ + x̄↓)/2 − min (x̄↑ + x̄↓)/2         [m]
//	A  = max(x̄ + k s) − min(x̄ − k s)                [m]
//
// with x̄ the means and s the standard deviations of a target in one direction,
// Bᵢ = x̄↑ − x̄↓ and k the coverage, [Coverage] today. Two approaches or more from
// each direction. R, B and the one-directional figures are the largest of the targets.
//
// Source: ISO 230-2, 3 and 5.
func Evaluate(targets []Target, coverage float64) (Positioning, error) {
	var g guard
	g.Demand(len(targets) >= 1, "targets", float64(len(targets)), "one or more")
	g.Positive("coverage factor", coverage)
	for _, target := range targets {
		g.Finite("position of a target", target.Position)
		for _, list := range [][]float64{target.Forward, target.Backward} {
			g.Demand(len(list) >= 2, "approaches of a target", float64(len(list)), "two or more from each direction")
			for _, v := range list {
				g.Finite("deviation", v)
			}
		}
	}
	if g.Err != nil {
		return Positioning{}, g.Err
	}
	var out Positioning
	var forward, backward, both, edgesForward, edgesBackward, middles band
	for _, target := range targets {
		d := Deviation{Position: target.Position}
		d.Forward, d.ForwardDeviation = meanAndDeviation(target.Forward)
		d.Backward, d.BackwardDeviation = meanAndDeviation(target.Backward)
		d.Reversal = d.Forward - d.Backward
		out.Targets = append(out.Targets, d)
		up, down := coverage*d.ForwardDeviation, coverage*d.BackwardDeviation
		out.Reversal = math.Max(out.Reversal, math.Abs(d.Reversal))
		out.MeanReversal += d.Reversal / float64(len(targets))
		out.RepeatabilityForward = math.Max(out.RepeatabilityForward, 2*up)
		out.RepeatabilityBackward = math.Max(out.RepeatabilityBackward, 2*down)
		out.Repeatability = math.Max(out.Repeatability, math.Max(up+down+math.Abs(d.Reversal), math.Max(2*up, 2*down)))
		forward.add(d.Forward)
		backward.add(d.Backward)
		both.add(d.Forward, d.Backward)
		middles.add((d.Forward + d.Backward) / 2)
		edgesForward.add(d.Forward-up, d.Forward+up)
		edgesBackward.add(d.Backward-down, d.Backward+down)
	}
	edges := edgesForward
	edges.add(edgesBackward.low, edgesBackward.high)
	out.SystematicForward, out.SystematicBackward, out.Systematic = forward.width(), backward.width(), both.width()
	out.MeanBidirectional = middles.width()
	out.AccuracyForward, out.AccuracyBackward, out.Accuracy = edgesForward.width(), edgesBackward.width(), edges.width()
	for _, v := range []float64{out.Accuracy, out.Repeatability, out.MeanReversal} {
		g.Finite("accuracy of positioning", v)
	}
	if g.Err != nil {
		return Positioning{}, g.Err
	}
	return out, nil
}

// meanAndDeviation are the mean and the standard deviation of readings.
func meanAndDeviation(list []float64) (mean, deviation float64) {
	for _, v := range list {
		mean += v / float64(len(list))
	}
	for _, v := range list {
		deviation = math.Hypot(deviation, v-mean)
	}
	return mean, deviation / math.Sqrt(float64(len(list)-1))
}

// A band grows to hold values.
type band struct {
	low, high float64
	holds     bool
}

func (b *band) add(values ...float64) {
	for _, v := range values {
		if !b.holds {
			*b = band{v, v, true}
		}
		b.low, b.high = math.Min(b.low, v), math.Max(b.high, v)
	}
}

func (b band) width() float64 { return b.high - b.low }
