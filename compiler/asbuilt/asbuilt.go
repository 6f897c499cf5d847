// Package asbuilt puts what was measured alone in place of what the spec assumes of it, and holds readings against predictions.
package asbuilt

import (
	"errors"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/acceptance"
	"ironbed/compiler/fill"
	"ironbed/compiler/machine"
	"ironbed/compiler/profile"
	"ironbed/compiler/section"
	"ironbed/spec"
)

// Build returns the machine with the measurements that stand in place of values, and which they are.
func Build(m *spec.Machine) (*spec.Machine, []spec.Standing, error) {
	built, list, err := m.Built(func(x *spec.Measured) (string, func(float64) (float64, error)) {
		for i := range m.Sections {
			if e := &m.Sections[i]; x.Figure.Text == "bill."+spec.IDWord(e.Name)+".mass_per_length" {
				return "sections." + e.Name + ".mass_ratio", func(reading float64) (float64, error) { return massRatio(m, e, reading) }
			}
		}
		for i := range m.Fills {
			if e := &m.Fills[i]; x.Figure.Text == "pour."+spec.IDWord(e.Name)+".bar.frequency" && e.Item.Pour != nil {
				return "fills." + e.Name + ".modulus", func(reading float64) (float64, error) { return modulus(&e.Item, reading) }
			}
		}
		return "", nil
	})
	var unfit *spec.Unfit
	if errors.As(err, &unfit) {
		err = &machine.Refused{Rule: "measured", At: unfit.At, Message: unfit.Message}
	}
	return built, list, err
}

// massRatio is what a length of a section weighs over what it would by its nominal dimensions.
func massRatio(m *spec.Machine, e *spec.Entry[spec.Section], reading float64) (float64, error) {
	read := spec.At(spec.Middle)
	stock, err := machine.StockOf(m, &e.Item, read)
	if err != nil {
		return 0, err
	}
	plain, err := section.Plain(stock.Shape, stock.Material)
	if err != nil {
		return 0, err
	}
	nominal := plain.MassPerLength
	if k := read.Of(e.Item.MassRatio); k > 0 {
		nominal /= k
	}
	return reading / nominal, nil
}

// modulus is that of a fill under a slow load, by the frequency of its witness bar.
func modulus(f *spec.Fill, reading float64) (float64, error) {
	read := spec.At(spec.Middle)
	bar := fill.Prism{Length: read.Of(f.Pour.Bar.Length), Width: read.Of(f.Pour.Bar.Width), Height: read.Of(f.Pour.Bar.Height)}
	mass := read.Of(f.Density) * bar.Length * bar.Width * bar.Height
	dynamic, err := fill.PrismModulus(bar, mass, reading)
	if err != nil || f.Resin { // as making.TapFrequency has it
		return dynamic, err
	}
	return fill.StaticModulus(dynamic)
}

// A Verdict is what a reading says of a prediction.
type Verdict struct {
	Surprise float64 // by how many standard deviations the reading is more [-]
	Beyond   bool    // by more than two
}

// Against holds a reading with its bounds against a prediction with its own: half of either range, on the side of the other, counts as
// two standard deviations.
func Against(read, least, most, predicted, low, high float64) (Verdict, error) {
	u, s := (most-least)/2, predicted-low
	if read > predicted {
		s = high - predicted
	}
	z, err := acceptance.Surprise(read, u/profile.Coverage, predicted, math.Max(0, s)/profile.Coverage)
	return Verdict{z, math.Abs(z) > profile.Coverage}, err
}

// Missing are the tests without which a machine is not validated by measurement: a push and a tap.
func Missing(m *spec.Machine) (list []string) {
	measured := func(begins ...string) bool {
		return slices.ContainsFunc(m.Measured, func(e spec.Entry[spec.Measured]) bool {
			return slices.ContainsFunc(begins, func(b string) bool { return strings.HasPrefix(e.Item.Figure.Text, b) })
		})
	}
	pushed := measured("acceptance.push.", "tool.stiffness.", "trial.")
	for i := range m.Trials {
		for k := range m.Trials[i].Item.Reads {
			pushed = pushed || m.Trials[i].Item.Reads[k].Item.Read.Given
		}
	}
	if !pushed {
		list = append(list, "a push test")
	}
	if !measured("mode.") && len(m.MeasuredModes) == 0 {
		list = append(list, "a tap test")
	}
	return list
}

// Positioned evaluates a test of positioning, and what its numbers are uncertain by as two standard deviations [m].
func Positioned(read spec.Reader, p *spec.PositioningReadings) (acceptance.Positioning, float64, error) {
	var list []acceptance.Target
	for i := range p.Targets {
		t := acceptance.Target{Position: read.Of(p.Targets[i].Position)}
		for _, v := range p.Targets[i].Up {
			t.Forward = append(t.Forward, read.Of(v))
		}
		for _, v := range p.Targets[i].Down {
			t.Backward = append(t.Backward, read.Of(v))
		}
		list = append(list, t)
	}
	out, err := acceptance.Evaluate(list, acceptance.Coverage)
	if err != nil {
		return out, 0, err
	}
	u, err := acceptance.ResolutionUncertainty(read.Of(p.Resolution))
	// A range is of two numbers.
	return out, profile.Coverage * math.Sqrt2 * u, err
}
