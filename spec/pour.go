package spec

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"ironbed/spec/quantity"
)

// forTheBook assumes what the build book alone reads.
func (m *Machine) forTheBook(assume func()) {
	m.booking = true
	assume()
	m.booking = false
}

// Mixed reports whether a fill is mixed from parts that set: with cement or with resin.
func (f *Fill) Mixed() bool { return f.Cement || f.Resin }

// Proportioned reports whether a fill is a concrete, of which the parts follow from its strength. Other mixes with cement come in bags.
func (f *Fill) Proportioned() bool { return f.Cement && f.Strength.Given }

// usualPours are what stands in for a batch and its times, bound by cement and by resin.
var usualPours = map[bool]struct{ batch, open, words string }{
	false: {"40 L", "75 min ± 30 %", "a fill bound by cement"},
	true:  {"10 L", "40 min ± 30 %", "a fill bound by resin"},
}

// assumePour fills in how a fill is mixed and poured.
func (m *Machine) assumePour(e *Entry[Fill]) {
	f := &e.Item
	if !f.Mixed() {
		return
	}
	path := "fills." + e.Name
	if f.Modulus.path != "" { // quoted as the spec has it
		path = f.Modulus.path[:len(f.Modulus.path)-len(".modulus")]
	}
	if f.Pour == nil {
		f.Pour = &Pour{}
		blank(path+".pour", e.At, f.Pour)
	}
	p := f.Pour
	usual := usualPours[f.Resin]
	m.assume(&p.Batch, quantity.Volume, "largest batch of "+usual.words, usual.batch, "from memory", e.At)
	m.assume(&p.OpenTime, quantity.Time, "open time at 20 °C of "+usual.words, usual.open, "from memory", e.At)
	m.assume(&p.BatchTime, quantity.Time, "time to mix and place a batch", "15 min ± 30 %", "from memory", e.At)
	m.assume(&p.Waste, quantity.Ratio, "what is mixed over what the hollows hold", "0.1", "common practice", e.At)
	m.assume(&p.Opening, quantity.Length, "diameter of the openings of a hollow", "40 mm", "common practice", e.At)
	m.assume(&p.Grain, quantity.Length, "largest grain of a fill", "10 mm", "common practice", e.At)
	if !p.Openings.Given {
		p.Openings.N = 2
	}
	if p.Coarse == nil {
		p.Coarse = &Aggregate{}
		blank(path+".pour.coarse", e.At, p.Coarse)
	}
	m.assume(&p.Coarse.Density, quantity.Density, "density of dry grains with their pores", "2650 kg/m3 ± 4 %", "from memory", e.At)
	if f.Resin {
		m.said(&p.ResinShare, 0.07, 0.1, 0.12, "0.1, from 0.07 to 0.12", "resin and hardener in a fill, by mass", "common practice", e.At)
		m.assume(&p.ResinDensity, quantity.Density, "density of resin with hardener", "1150 kg/m3 ± 5 %", "from memory", e.At)
	}
	if f.Proportioned() {
		m.assumeHeaps(p, path, e.At)
	}
	if p.Bar == nil {
		p.Bar = &TapBar{}
		blank(path+".pour.bar", e.At, p.Bar)
	}
	m.assume(&p.Bar.Width, quantity.Length, "width of a tapped bar", "40 mm", "common practice", e.At)
	m.assume(&p.Bar.Height, quantity.Length, "height of a tapped bar", "40 mm", "common practice", e.At)
	m.assume(&p.Bar.Length, quantity.Length, "length of a tapped bar", "400 mm", "common practice", e.At)
	m.assumeRoomTemperature(e.At)
}

// assumeRoomTemperature fills in how warm the room is.
func (m *Machine) assumeRoomTemperature(at Place) {
	if m.Room == nil {
		m.Room = &Room{}
		blank("room", at, m.Room)
	}
	m.said(&m.Room.Temperature, 288.15, 293.15, 298.15, "20 °C, from 15 to 25 °C", "temperature of the room while a fill is mixed and cures", "from memory", at)
}

// Said reports whether the spec says anything of how a bed is poured: then the surface that it leaves is computed, and not assumed.
func (l *Levelling) Said() bool {
	return slices.ContainsFunc([]Value{l.Depth, l.Width, l.Uneven, l.Viscosity, l.Density, l.PotLife, l.SurfaceTension, l.Shrinkage}, func(v Value) bool { return v.Given })
}

// assumeLevelling fills in how the resin under a rail is poured: for the build book alone where the spec says nothing of it.
func (m *Machine) assumeLevelling(e *Entry[Rail]) {
	r := &e.Item
	if r.Surface.Text != "poured" {
		if r.Levelling != nil {
			m.Unlikely = append(m.Unlikely, Diagnostic{Rule: RuleUnlikely, At: r.Levelling.At,
				Message: fmt.Sprintf("rail %s: `levelling` says how a surface is poured, and its surface is %s; it changes nothing", e.Name, cmp.Or(r.Surface.Text, "not known"))})
		}
		return
	}
	if r.Levelling == nil {
		r.Levelling = &Levelling{}
		blank("rails."+e.Name+".levelling", e.At, r.Levelling)
	}
	l := r.Levelling
	m.booking = !l.Said()
	defer func() { m.booking = false }()
	if r.Resin == nil {
		m.assume(&l.Depth, quantity.Length, "depth of a levelling resin", "5 mm", "common practice", e.At)
	}
	m.assume(&l.Width, quantity.Length, "width of the bed of rail "+e.Name+" between its dams", fmt.Sprintf("%g mm", math.Round((r.Size.q.Value+40e-3)*1e3)), "common practice", e.At)
	m.assume(&l.Uneven, quantity.Length, "how uneven a land of steel is before resin is poured on it", "0.5 mm ± 50 %", "common practice", e.At)
	m.assume(&l.Viscosity, quantity.Viscosity, "viscosity of a levelling resin with hardener", "0.6 Pa·s ± 50 %", "from memory", e.At)
	m.assume(&l.Density, quantity.Density, "density of resin with hardener", "1150 kg/m3 ± 5 %", "from memory", e.At)
	m.said(&l.PotLife, 2400, 3600, 5400, "60 min, from 40 to 90 min", "pot life at 20 °C of a levelling resin", "common practice", e.At)
	m.assume(&l.SurfaceTension, quantity.Stiffness, "surface tension of a resin", "0.04 N/m ± 15 %", "from memory", e.At)
	m.said(&l.Shrinkage, 0.01, 0.05, 0.1, "0.05, from 0.01 to 0.1", "share of its depth that a levelling resin loses as it cures, on which sources differ", "from memory", e.At)
	m.assumeRoomTemperature(e.At)
}

// assumeHeaps fills in what a concrete is made of.
func (m *Machine) assumeHeaps(p *Pour, path string, at Place) {
	if p.Fine == nil {
		p.Fine = &Aggregate{}
		blank(path+".pour.fine", at, p.Fine)
	}
	m.assume(&p.Slump, quantity.Length, "slump that the water of a concrete is counted for", "90 mm", "common practice", at)
	m.assume(&p.CementDensity, quantity.Density, "density of cement", "3150 kg/m3", "ACI 211.1", at)
	m.assume(&p.Fine.Density, quantity.Density, "density of dry grains with their pores", "2650 kg/m3 ± 4 %", "from memory", at)
	m.said(&p.Coarse.Absorption, 0.003, 0.01, 0.02, "0.01, from 0.003 to 0.02", "water that the pores of an aggregate hold", "from memory", at)
	m.said(&p.Fine.Absorption, 0.003, 0.01, 0.02, "0.01, from 0.003 to 0.02", "water that the pores of an aggregate hold", "from memory", at)
	m.said(&p.Coarse.Moisture, 0, 0.01, 0.02, "0.01, from 0 to 0.02", "moisture of a heap of stone", "from memory", at)
	m.said(&p.Fine.Moisture, 0.01, 0.04, 0.08, "0.04, from 0.01 to 0.08", "moisture of a heap of sand", "from memory", at)
	m.assume(&p.Coarse.RoddedDensity, quantity.Density, "density of dry, rodded stone in a bucket", "1600 kg/m3 ± 6 %", "from memory", at)
	m.assume(&p.Fine.Fineness, quantity.Ratio, "fineness modulus of a sand", "2.8 ± 0.2", "from memory", at)
}

// castings are the materials that are not cut from bars.
var castings = map[string]bool{"grey cast iron": true, "mineral casting": true, "granite": true}

// Sawn reports whether a section is cut from bars. Plates, outlines and castings are made otherwise, built-up sections of their parts.
func (s *Section) Sawn() bool {
	return s.Plate == nil && len(s.Outline) == 0 && s.BuiltUp == nil && !castings[s.Material.Text]
}

// assumeSawing fills in what bars are cut from, and with what.
func (m *Machine) assumeSawing() {
	for i := range m.Sections {
		if e := &m.Sections[i]; e.Item.Sawn() {
			m.assume(&e.Item.StockLength, quantity.Length, "length of the bars that stock comes in", "6 m", "common practice", e.At)
		}
	}
	if len(m.Sections) == 0 {
		return
	}
	if m.Saw == nil {
		m.Saw = &Saw{}
		blank("saw", m.Sections[0].At, m.Saw)
	}
	m.assume(&m.Saw.Kerf, quantity.Length, "width of a saw's cut", "3 mm", "common practice", m.Sections[0].At)
}
