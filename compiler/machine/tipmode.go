package machine

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/chatter"
	"ironbed/compiler/modal"
	"ironbed/compiler/spindle"
	"ironbed/spec"
)

// leastAcross is how much of a measured mode's direction must lie across the tool [-]:
// what moves along it does not chatter.
const leastAcross = 0.7

// measuredTip are the modes measured at a cutter's tip, across the tool in its two lateral
// planes; nil where there are none.
//
//	φ = d ω/√k
//
// with the direction d, at unit modal mass.
func (d *Model) measuredTip(c *spec.Cutter) ([]modal.Mode, error) {
	if len(c.TipModes) == 0 {
		return nil, nil
	}
	axis := Pointing(d.Spec.Spindle)
	planes := spindle.Planes(axis)
	read := d.Read.Into(d.Damping)
	list := make([]modal.Mode, len(c.TipModes))
	for i := range c.TipModes {
		m := &c.TipModes[i].Item
		way := Unit(m.Direction.XYZ)
		across := [2]float64{}
		for p := range across {
			across[p] = way.X*planes[2*p][0] + way.Y*planes[2*p][1] + way.Z*planes[2*p][2]
		}
		size := math.Hypot(across[0], across[1])
		if size < leastAcross {
			return nil, &Refused{Rule: "tip-mode", At: m.Direction.At, Message: fmt.Sprintf(
				"measured mode %s moves along the tool, %s; a mode that chatters moves across it: give the direction in which the tip was tapped",
				c.TipModes[i].Name, DirectionWords([3]float64{axis.X, axis.Y, axis.Z}))}
		}
		omega := 2 * math.Pi * read.Of(m.Frequency)
		by := omega / math.Sqrt(read.Of(m.Stiffness)) / size
		list[i] = modal.Mode{Omega: omega, Loss: measuredLoss(read, m.LossFactor, m.DampingRatio), Shape: []float64{across[0] * by, across[1] * by}}
	}
	return list, nil
}

// measuredPlanes are the planes of a cutter whose modes were measured.
func measuredPlanes(modes []modal.Mode) ([]chatter.Plane, error) {
	tip, err := modal.New(modes, nil, nil)
	if err != nil {
		return nil, err
	}
	grid, err := tip.Grid(slowestChatter, HighestChatter, perOctave)
	if err != nil {
		return nil, err
	}
	return planesOf(grid), nil
}

// measuredLargest is the measured mode that moves a cutter's tip most at a frequency.
func (d *Model) measuredLargest(r *Vibration, c *spec.Cutter, modes []modal.Mode, hz float64) *LargestMode {
	size := func(m *modal.Mode) float64 {
		w := m.Omega * m.Omega
		return r3.Norm2(r3.Vec{X: m.Shape[0], Y: m.Shape[1]}) / math.Hypot(w-math.Pow(2*math.Pi*hz, 2), m.Loss*w)
	}
	best := 0
	for k := range modes {
		if size(&modes[k]) > size(&modes[best]) {
			best = k
		}
	}
	at := &c.TipModes[best]
	return &LargestMode{In: r, Measured: at.Name, Shares: []PartShare{{Share: Share{Name: "measured mode " + at.Name, Kind: CutterPart, At: at.At}, Part: 1}}}
}
