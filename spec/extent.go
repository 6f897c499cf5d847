package spec

import (
	"fmt"
	"math"

	"ironbed/spec/quantity"
)

// Sizes of parts over what the spec or the catalogue says of them; from memory of catalogues.
const (
	// A profiled rail's carriage with flanges: length, width, and height over the rail's base, over the size of the rail [-].
	profiledLength, profiledWidth, profiledHeight = 4.0, 2.4, 1.55
	// The same of an open block on a round rail with its support.
	roundLength, roundWidth, roundHeight = 2.6, 2.5, 2.6
	// A motor's length over the side of its flange [-], and its mass over that of the box about it [kg/m³].
	motorSlender, motorDensity = 1.6, 3500.0
	// From a screw's first bearing to its motor's face, over its diameter [-]: half of a bearing's block, and a coupling.
	standOff = 3.0
	// A cover over a carriage [m].
	coverHigher, coverWider = 10e-3, 20e-3
	// What a rail without a size has [m].
	usualRail = 20e-3
)

// Walls of a cable chain: its outside over its inside; from memory of catalogues [m].
const ChainHigher, ChainWider = 10e-3, 16e-3

// Known reports whether a value is given or assumed.
func (v Value) Known() bool { return v.known() }

// RailSize is the size of a rail, the usual one where the spec has none [m].
func (r *Rail) RailSize() float64 {
	if r.Size.q.Value > 0 {
		return r.Size.q.Value
	}
	return usualRail
}

// assumeShapes fills in how large parts are that the spec gives no size.
func (m *Machine) assumeShapes() {
	long := func(v *Value, what string, length float64, uncertainty string, at Place) {
		m.assume(v, quantity.Length, what, fmt.Sprintf("%.3g mm%s", 1e3*length, uncertainty), "from memory", at)
	}
	for i := range m.Rails {
		r, at := &m.Rails[i].Item, m.Rails[i].At
		length, width, height := profiledLength, profiledWidth, profiledHeight
		if r.Shape.Text == "round" {
			length, width, height = roundLength, roundWidth, roundHeight
		}
		size := r.RailSize()
		long(&r.CarriageLength, fmt.Sprintf("length of a carriage: %.3g sizes of its rail", length), length*size, " ± 15 %", at)
		long(&r.CarriageWidth, fmt.Sprintf("width of a carriage: %.3g sizes of its rail", width), width*size, " ± 25 %", at)
		long(&r.Height, fmt.Sprintf("height of a carriage over the base of its rail: %.3g sizes", height), height*size, " ± 10 %", at)
	}
	for i := range m.Axes {
		a := &m.Axes[i]
		for k := range a.Item.Drives {
			m.assumeDriveShape(&a.Item.Drives[k])
		}
		if c := a.Item.Covers; c != nil && len(a.Item.Guides) > 0 {
			if r := m.Rails.Find(a.Item.Guides[0].Item.Rail.Text); r != nil {
				long(&c.Height, "height of a cover over the base of its rail: 10 mm over the carriage", r.Height.q.Value+coverHigher, " ± 10 %", a.At)
				if len(a.Item.Guides) == 1 {
					long(&c.Width, "width of a cover: 20 mm over the carriage", r.CarriageWidth.q.Value+coverWider, " ± 15 %", a.At)
				}
			}
		}
	}
	for i := range m.Chains {
		c, at := &m.Chains[i].Item, m.Chains[i].At
		if c.BendSide.Text == "" {
			c.BendSide.Text = "forward"
		}
		if c.InnerHeight.Given {
			long(&c.OuterHeight, "outer height of a cable chain: 10 mm over the inner one", c.InnerHeight.q.Value+ChainHigher, " ± 10 %", at)
		}
		if c.InnerWidth.Given {
			long(&c.OuterWidth, "outer width of a cable chain: 16 mm over the inner one", c.InnerWidth.q.Value+ChainWider, " ± 10 %", at)
		}
	}
}

// assumeDriveShape fills in how large a drive's nut and motor are.
func (m *Machine) assumeDriveShape(e *Entry[Drive]) {
	if s := e.Item.Screw; s != nil {
		// Across the flats of their flanges nuts of screws of 16 to 50 mm have 40, 44, 48, 62, 70 and 85 mm.
		across, long := 1.3*s.Diameter.q.Value+20e-3, 30e-3+5*s.Lead.q.Value
		words := ""
		if s.NutTurns() {
			across, long, words = 2.7*s.Diameter.q.Value, 3.2*s.Diameter.q.Value, "rotating "
		}
		m.assume(&s.NutDiameter, quantity.Length, "diameter of a "+words+"nut, across the flats of its flange, by its screw of "+s.Diameter.Text, fmt.Sprintf("%.3g mm ± 15 %%", 1e3*across), "from memory", e.At)
		m.assume(&s.NutLength, quantity.Length, "length of a "+words+"nut, by its screw of "+s.Diameter.Text+" by "+s.Lead.Text, fmt.Sprintf("%.3g mm ± 30 %%", 1e3*long), "from memory", e.At)
	}
	motor := e.Item.Motor
	if motor == nil {
		return
	}
	mass, _ := motor.usualMass()
	if motor.Mass.known() {
		mass = motor.Mass.q.Value
	}
	side := math.Cbrt(mass / (motorDensity * motorSlender))
	m.assume(&motor.Flange, quantity.Length, "side of a motor's flange, by its mass", fmt.Sprintf("%.2g mm ± 20 %%", 1e3*side), "from memory", motor.At)
	m.assume(&motor.Length, quantity.Length, "length of a motor: 1.6 times the side of its flange", fmt.Sprintf("%.3g mm ± 30 %%", 1e3*motorSlender*motor.Flange.q.Value), "from memory", motor.At)
	if s := e.Item.Screw; s != nil && !s.NutTurns() {
		m.assume(&motor.StandOff, quantity.Length, "from a screw's first bearing to the face of its motor: 3 diameters", fmt.Sprintf("%.3g mm ± 40 %%", 1e3*standOff*s.Diameter.q.Value), "from memory", motor.At)
	}
}
