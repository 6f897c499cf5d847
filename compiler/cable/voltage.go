package cable

import (
	"fmt"
	"math"
)

// A Conductor is how a copper conductor is made.
type Conductor int

// The ways.
const (
	Solid    Conductor = iota // one wire or a few, to lie still: class 1 and 2
	Flexible                  // many fine wires: class 5 and 6
)

// resistances are the largest of plain copper conductors by area [mm²], class 1 and 2, and class 5 and 6 [Ω/km] at 20 °C.
var resistances = []struct{ area, solid, flexible float64 }{
	{0.5, 36.0, 39.0}, {0.75, 24.5, 26.0}, {1, 18.1, 19.5}, {1.5, 12.1, 13.3}, {2.5, 7.41, 7.98}, {4, 4.61, 4.95}, {6, 3.08, 3.30}, {10, 1.83, 1.91},
	{16, 1.15, 1.21}, {25, 0.727, 0.780}, {35, 0.524, 0.554},
}

// nominal is how far a conductor may be off its nominal area [-].
const nominal = 0.05

// ConductorResistance returns the resistance of a copper conductor for its length, by its area [m²] and its temperature [°C].
//
//	R = R₂₀ (230 + θ)/250   [Ω/m]
//
// with R₂₀ the most that is allowed of its nominal area; of one that is a little off, in proportion. Valid: 0.5 to 35 mm², nominal areas.
//
// Source: IEC 60228, tables 1 to 3 and annex A.
func ConductorResistance(how Conductor, area, temperature float64) (float64, error) {
	var g guard
	g.Demand(how == Solid || how == Flexible, "kind of conductor", float64(how), "solid or flexible")
	g.Demand(temperature > -50 && temperature < 200, "temperature of the conductor", temperature, "from -50 to 200 °C")
	if g.Err != nil {
		return 0, g.Err
	}
	for _, r := range resistances {
		if math.Abs(area*1e6-r.area) < nominal*r.area {
			of := r.solid
			if how == Flexible {
				of = r.flexible
			}
			return g.Answer("resistance of a conductor", of/1e3*(r.area/(area*1e6))*(230+temperature)/250)
		}
	}
	return 0, fmt.Errorf("conductors are made of 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25 and 35 mm2, not of %.3g mm2", area*1e6)
}

// A Feed is a cable that carries a current.
type Feed struct {
	Resistance float64 // of one conductor for its length [Ω/m]
	Length     float64 // one way [m]
	Current    float64 // in one conductor [A]
	ThreePhase bool    // three conductors, not there and back
}

// VoltageDrop returns what a cable loses between its conductors.
//
//	U = 2 R l I, of three phases √3 R l I   [V]
//
// Its reactance is left out, and the current is taken as in phase: nearly so up to 16 mm².
//
// Source: IEC 60364-5-52, annex G.
func (f Feed) VoltageDrop() (float64, error) {
	var g guard
	g.Positive("resistance of a conductor", f.Resistance)
	g.ZeroOrMore("length of a cable", f.Length)
	g.ZeroOrMore("current", f.Current)
	ways := 2.0
	if f.ThreePhase {
		ways = math.Sqrt(3)
	}
	return g.Answer("voltage drop", ways*f.Resistance*f.Length*f.Current)
}

// Fill returns the share of a chain's inside that its cables take.
//
//	Σ π d²/4 over the inside [-]
//
// Source: derived here, areas.
func Fill(lines []Line, height, width float64) (float64, error) {
	var g guard
	g.lines(lines)
	g.Positive("inside height of a chain", height)
	g.Positive("inside width of a chain", width)
	sum := 0.0
	for _, l := range lines {
		sum += math.Pi / 4 * l.Diameter * l.Diameter
	}
	return g.Answer("fill of a chain", sum/(height*width))
}

// MostFill is the share of a chain's inside that cables take at the most [-]; common practice.
const MostFill = 0.6
