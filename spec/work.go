package spec

import (
	"fmt"
	"math"

	"ironbed/spec/quantity"
)

// A Drilling is how a rail is bolted down.
type Drilling struct {
	Bolt  Value `cue:"bolt"`
	Pitch Value `cue:"pitch"`
	Piece Value `cue:"piece"`
	Yield Value `cue:"yield" worse:"low"`
}

// A Paste is a filled resin that is squeezed out between two faces.
type Paste struct {
	Density       Value `cue:"density"`
	Viscosity     Value `cue:"viscosity"`
	PotLife       Value `cue:"pot_life" worse:"low"`
	Line          Value `cue:"line"`
	ShearStrength Value `cue:"shear_strength" worse:"low"`
}

// Stops are the buffers at the ends of an axis.
type Stops struct {
	Stroke   Value `cue:"stroke" worse:"low"`
	Energy   Value `cue:"energy" worse:"low"`
	Together Count `cue:"together"`
}

// Carries is what a power cable carries.
type Carries struct {
	Current   Value `cue:"current"`
	Voltage   Value `cue:"voltage" worse:"low"`
	Conductor Value `cue:"conductor" worse:"low"`
	Supply    Text  `cue:"supply"`
}

// A Workshop is what there is to measure with.
type Workshop struct {
	Straightedge *Straightedge `cue:"straightedge"`
	Wire         *Wire         `cue:"wire"`
}

// A Straightedge is one of steel.
type Straightedge struct {
	Length       Value `cue:"length"`
	Straightness Value `cue:"straightness"`
	Height       Value `cue:"height" worse:"low"`
	Width        Value `cue:"width"`
}

// A Wire is one of steel.
type Wire struct {
	Diameter Value `cue:"diameter"`
	Pull     Value `cue:"pull" worse:"low"`
}

// An Upkeep is how a machine is used.
type Upkeep struct {
	Running      Value `cue:"running"`
	GreaseTravel Value `cue:"grease_travel" worse:"low"`
}

// railBolts are the bolts of profiled rails and their pitch by the nominal size of the rail, bolted from above [mm]; ISO 12090 has the dimensions,
// from memory, and makers' tables agree.
var railBolts = []struct{ size, bolt, pitch float64 }{{15, 4, 60}, {20, 5, 60}, {25, 6, 60}, {30, 8, 80}, {35, 8, 80}, {45, 12, 105}, {55, 14, 120}, {65, 16, 150}}

// assumeWork fills in what the sheets of the build book after the fill need.
func (m *Machine) assumeWork() {
	for i := range m.Rails {
		m.assumeDrilling(&m.Rails[i])
		if e := &m.Rails[i]; e.Item.Surface.Text == "squeezed" {
			m.assumePaste(&e.Item.Paste, "rails."+e.Name, e.At)
			if e.Item.Resin == nil {
				m.assume(&e.Item.Paste.Line, quantity.Length, "thickness of a resin that is squeezed out under a rail", "1.5 mm ± 50 %", "common practice", e.At)
			}
		}
	}
	for i := range m.Joints {
		if l := m.Joints[i].Item.Bonded; l != nil {
			m.assumePaste(&l.Paste, "joints."+m.Joints[i].Name+".bonded", m.Joints[i].At)
		}
	}
	for i := range m.Axes {
		m.assume(&m.Axes[i].Item.Overtravel, quantity.Length, "from the end of a travel to where its stop begins", "10 mm", "common practice", m.Axes[i].At)
		for k := range m.Axes[i].Item.Drives {
			e := &m.Axes[i].Item.Drives[k]
			if s := e.Item.Screw; s != nil {
				m.assume(&s.BearingBore, quantity.Length, fmt.Sprintf("bore of the first bearing of a screw of %.3g mm", s.Diameter.q.Value*1e3), fmt.Sprintf("%.3g mm", 0.75e3*s.Diameter.q.Value), "common practice", e.At)
			}
		}
		if s := m.Axes[i].Item.Stops; s != nil && !s.Together.Given {
			s.Together.N = max(1, len(m.Axes[i].Item.Drives))
		}
	}
	for i := range m.Chains {
		for k := range m.Chains[i].Item.Lines {
			if c := m.Chains[i].Item.Lines[k].Item.Carries; c != nil && c.Supply.Text == "" {
				c.Supply.Text = "single-phase"
			}
		}
	}
	if len(m.Axes) == 0 {
		return
	}
	at := m.Axes[0].At
	if m.Upkeep == nil {
		m.Upkeep = &Upkeep{}
		blank("upkeep", at, m.Upkeep)
	}
	m.assume(&m.Upkeep.Running, quantity.Time, "time that the axes run in a week", "10 h", "common practice", at)
	m.assume(&m.Upkeep.GreaseTravel, quantity.Length, "travel after which carriages and nuts are greased", "100 km", "common practice", at)
	if m.Workshop == nil {
		m.Workshop = &Workshop{}
		blank("workshop", at, m.Workshop)
	}
	if w := m.Workshop; w.Wire == nil {
		w.Wire = &Wire{}
		blank("workshop.wire", at, w.Wire)
	}
	w := m.Workshop.Wire
	m.assume(&w.Diameter, quantity.Length, "diameter of the wire that rails are set by", "0.3 mm", "common practice", at)
	// A third of the strength of spring steel wire, 2000 MPa.
	pull := 2000e6 / 3 * math.Pi / 4 * w.Diameter.q.Value * w.Diameter.q.Value
	m.assume(&w.Pull, quantity.Force, "pull of that wire, a third of its strength", fmt.Sprintf("%.2g N ± 2 %%", pull), "from memory", at)
	if e := m.Workshop.Straightedge; e != nil {
		l := e.Length.q.Value
		m.assume(&e.Straightness, quantity.Length, "straightness of a straightedge of grade 1", fmt.Sprintf("%.3g µm", 4+l*1e6/60e3), "DIN 874-1; from memory", e.Length.At)
		m.assume(&e.Height, quantity.Length, "height of a straightedge, a twentieth of its length", fmt.Sprintf("%.3g mm", l*1e3/20), "common practice", e.Length.At)
		m.assume(&e.Width, quantity.Length, "width of a straightedge, a fifth of its height", fmt.Sprintf("%.3g mm", e.Height.q.Value*1e3/5), "common practice", e.Length.At)
	}
}

// assumeDrilling fills in how a profiled rail of a known size is bolted down.
func (m *Machine) assumeDrilling(e *Entry[Rail]) {
	r := &e.Item
	if r.Drilling == nil {
		r.Drilling = &Drilling{}
		blank("rails."+e.Name+".drilling", e.At, r.Drilling)
	}
	d := r.Drilling
	if r.Bolts != nil && !d.Bolt.Given {
		d.Bolt = r.Bolts.Diameter
	}
	for _, row := range railBolts {
		if r.Shape.Text == "profiled" && math.Abs(r.Size.q.Value*1e3-row.size) < 0.5 {
			m.assume(&d.Bolt, quantity.Length, fmt.Sprintf("bolts of a rail of %g mm", row.size), fmt.Sprintf("%g mm", row.bolt), "ISO 12090-1; from memory", e.At)
			m.assume(&d.Pitch, quantity.Length, fmt.Sprintf("pitch of the bolts of a rail of %g mm", row.size), fmt.Sprintf("%g mm", row.pitch), "ISO 12090-1; from memory", e.At)
		}
	}
	m.assume(&d.Piece, quantity.Length, "longest piece of rail", "4 m", "common practice", e.At)
	m.assume(&d.Yield, quantity.Stress, "yield strength of what rails are bolted to, as of S235", "235 MPa", "EN 10025-2; from memory", e.At)
}

// assumePaste fills in a filled resin.
func (m *Machine) assumePaste(p **Paste, path string, at Place) {
	if *p == nil {
		*p = &Paste{}
		blank(path+".paste", at, *p)
	}
	m.assume(&(*p).Density, quantity.Density, "density of a filled resin with hardener", "1600 kg/m3 ± 10 %", "from memory", at)
	m.said(&(*p).Viscosity, 20, 60, 200, "60 Pa·s, from 20 to 200 Pa·s", "viscosity of a filled resin as it is pressed", "from memory", at)
	m.said(&(*p).PotLife, 1800, 2700, 3600, "45 min, from 30 to 60 min", "pot life at 20 °C of a filled resin", "common practice", at)
	m.said(&(*p).ShearStrength, 8e6, 12e6, 20e6, "12 MPa, from 8 to 20 MPa", "shear strength of a filled resin on blasted steel", "from memory", at)
	m.assumeRoomTemperature(at)
}
