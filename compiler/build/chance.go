package build

import (
	"fmt"
	"math"
)

// Sure is the share of the machines that has to reach a verdict for it to be given [-].
const Sure = 0.9

// A Chance is how many of the machines that the spec could mean do so well with a target.
type Chance struct {
	Machines int     // that were judged
	Within   float64 // share within reach [-]
	Light    float64 // share that has light cuts at least [-]
	Low      float64 // of Within, with a confidence of 95 % [-]
	High     float64 // [-]
	Full     float64 // share with full cuts in roughing [-]
	Cuts     float64 // share with light cuts in roughing at least [-]
	Finishes bool    // finishing is judged
	Finished float64 // share on which the finished part is as it is wanted [-]
}

// Verdict is the best verdict that enough of the machines reach.
func (c *Chance) Verdict() Verdict {
	switch {
	case c.Within >= Sure:
		return WithinReach
	case c.Light >= Sure:
		return LightCuts
	}
	return OutOfReach
}

// Decides is what keeps the machines from the next better verdict, as [Target.Decides] has it.
func (c *Chance) Decides() string {
	rough := c.Full
	switch c.Verdict() {
	case WithinReach:
		return ""
	case OutOfReach:
		rough = c.Cuts
	}
	switch {
	case !c.Finishes || rough < Sure && c.Finished >= Sure:
		return byRoughing
	case rough >= Sure && c.Finished < Sure:
		return byFinishing
	case rough < Sure:
		return byBoth
	case rough < c.Finished: // each alone is sure enough
		return byRoughing
	}
	return byFinishing
}

// With is the chance of a part that is roughed by one machine and finished by another, as if one told nothing of the other: it is
// rather too low.
func (c *Chance) With(fine *Chance) *Chance {
	if c == nil || fine == nil {
		return nil
	}
	out := *c
	out.Finishes, out.Finished = fine.Finishes, fine.Finished
	if fine.Finishes {
		out.Within, out.Light = c.Full*fine.Finished, c.Cuts*fine.Finished
		out.Low, out.High = math.Min(c.Low, out.Within), math.Max(out.Within, c.High)
	}
	return &out
}

// InHundred says a share as so many of a hundred: none and all only where it is so.
func InHundred(share float64) string {
	n := math.Round(100 * share)
	switch {
	case share > 0 && n == 0:
		n = 1
	case share < 1 && n == 100:
		n = 99
	}
	return fmt.Sprintf("%.0f", n)
}

// Words say how many machines of a hundred reach the verdict, and where it is the worst one, how many do better.
func (c *Chance) Words() string {
	switch {
	case c.Verdict() == WithinReach:
		return InHundred(c.Within) + " in 100"
	case c.Verdict() == LightCuts:
		return InHundred(c.Light) + " in 100"
	case c.Within > 0:
		return "within reach on " + InHundred(c.Within) + " in 100"
	case c.Light > 0:
		return "light cuts on " + InHundred(c.Light) + " in 100"
	}
	return "100 in 100"
}

// A Measure is a value that is not known well, how to find it out, and what of a verdict hangs on it.
type Measure struct {
	What   string  // "feet: vertical stiffness of a foot"
	Value  string  // as it is taken now
	With   string  // instrument
	Test   string  // what is done with it
	Target string  // of which most is closed by it
	Share  float64 // of the variance of how near its verdict is [-]
	Left   float64 // of that variance, once it is measured [-]
	At     Place   // where it stands in the spec
}
