package spec

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/spec/quantity"
)

// A Riding is a part of a drive by its mass.
type Riding struct {
	Kind RidingKind
	Node Text  // that carries it, or its first end
	Mass Value // as the spec or a rule has it; of rack and belt for each length, of a screw none where its size says it

	Offset Vector // from the node to its centre of mass, of a motor and a reduction

	listed *Entry[Mass] // the mass of its body that is named for it
}

// A RidingKind says which part of a drive it is.
type RidingKind string

// The parts of a drive that weigh.
const (
	RidingMotor     RidingKind = "motor"
	RidingReduction RidingKind = "reduction"
	RidingScrew     RidingKind = "screw"
	RidingNut       RidingKind = "nut"
	RidingPinion    RidingKind = "pinion"
	RidingRack      RidingKind = "rack"
	RidingPulleys   RidingKind = "pulleys"
	RidingBelt      RidingKind = "belt"
)

// ridingKinds are all of them.
var ridingKinds = [...]RidingKind{RidingMotor, RidingReduction, RidingScrew, RidingNut, RidingPinion, RidingRack, RidingPulleys, RidingBelt}

// otherNames are what a mass of a body, or a part in the supply, may be named for a part of a drive, beside the part's own
// name and its plural.
var otherNames = map[RidingKind][]string{
	RidingReduction: {"gearhead", "gearheads", "gearbox", "gearboxes"},
	RidingPulleys:   {"pulley"},
}

// Listed is the name of the mass of its body that stands for the part; empty where the part
// is counted by itself.
func (p Riding) Listed() string {
	if p.listed == nil || p.Mass.Given {
		return ""
	}
	return p.listed.Name
}

// Motorside is the node at which a drive's motor rides.
func (d *Drive) Motorside() Text {
	nodes, _ := d.Ends()
	if d.Screw != nil && !d.Screw.NutTurns() || d.Belt != nil {
		return nodes[1]
	}
	return nodes[0]
}

// Riding are the parts of a drive that weigh.
func (m *Machine) Riding(axis *Entry[Axis], e *Entry[Drive]) (list []Riding) {
	d := &e.Item
	nodes, _ := d.Ends()
	add := func(kind RidingKind, node Text, mass Value) {
		list = append(list, Riding{Kind: kind, Node: node, Mass: mass, listed: m.listedFor(kind, node, axis.Name, e.Name)})
	}
	switch {
	case d.Rack != nil:
		add(RidingPinion, nodes[0], d.Rack.PinionMass)
		add(RidingRack, nodes[1], d.Rack.Mass)
	case d.Belt != nil:
		add(RidingPulleys, nodes[1], d.Belt.PulleyMass)
		if d.Belt.Omega() {
			add(RidingBelt, nodes[0], d.Belt.Mass)
		} else {
			add(RidingBelt, nodes[1], d.Belt.Mass)
		}
	case d.Screw != nil:
		add(RidingNut, nodes[0], d.Screw.NutMass)
		add(RidingScrew, nodes[1], d.Screw.Mass)
	}
	if d.Motor != nil {
		add(RidingMotor, d.Motorside(), d.Motor.Mass)
		list[len(list)-1].Offset = d.Motor.Offset
	}
	if d.Reduction != nil {
		add(RidingReduction, d.Motorside(), d.Reduction.Mass)
		list[len(list)-1].Offset = d.Reduction.Offset
	}
	return list
}

// Omega reports whether the belt is stationary and its pulley runs along it.
func (b *Belt) Omega() bool { return b.Run.Text == "omega" }

// listedFor is the mass of a node's body that is named for a part of a drive, the one named
// for the axis or the drive before one for all, nil for none.
func (m *Machine) listedFor(kind RidingKind, node Text, axis, drive string) (found *Entry[Mass]) {
	body, _, _ := strings.Cut(node.Text, ".")
	b := m.Bodies.Find(body)
	if b == nil {
		return nil
	}
	most := 0
	for i := range b.Masses {
		if n := kind.namedBy(b.Masses[i].Name, axis, drive); n > most {
			found, most = &b.Masses[i], n
		}
	}
	return found
}

// namedBy is how many words a name has, if they name a part of that kind of an axis, a drive or all: "motor", "motor_x",
// "x_near_motor"; 0 if they do not.
func (kind RidingKind) namedBy(name, axis, drive string) int {
	names := append([]string{string(kind), string(kind) + "s"}, otherNames[kind]...)
	words := nameWords(name)
	n := len(words)
	of := slices.ContainsFunc(words, func(w string) bool { return slices.Contains(names, w) })
	words = slices.DeleteFunc(words, func(w string) bool {
		return slices.Contains(names, w) || strings.Trim(w, "0123456789") == "" || slices.Contains(nameWords(axis), w) || slices.Contains(nameWords(drive), w)
	})
	if !of || len(words) > 0 {
		return 0
	}
	return n
}

// nameWords are the words that a name is made of: "motor" and "x" of "motor_x".
func nameWords(name string) []string {
	return strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return strings.ContainsRune("_- .", r) })
}

// twiceWeighed checks that no part of a drive has a mass of its own and is listed beside it.
func (r *resolver) twiceWeighed() {
	type use struct {
		axis string
		part Riding
	}
	var listings []*Entry[Mass]
	given, stands := map[*Entry[Mass]]use{}, map[*Entry[Mass]]bool{}
	for i := range r.m.Axes {
		a := &r.m.Axes[i]
		for k := range a.Item.Drives {
			for _, part := range r.m.Riding(a, &a.Item.Drives[k]) {
				switch _, met := given[part.listed]; {
				case part.listed == nil:
				case !part.Mass.Given:
					stands[part.listed] = true
				case !met:
					listings = append(listings, part.listed)
					given[part.listed] = use{a.Name, part}
				}
			}
		}
	}
	for _, mass := range listings {
		if u := given[mass]; !stands[mass] {
			r.say(RuleGeometry, mass.At, "the mass %s weighs the %s of axis %s a second time, beside the mass of its own; take one of the two out, "+
				"or name this one for what it is", mass.Name, u.part.Kind, u.axis)
		}
	}
}

// servoMass is the usual mass of a servo by its rated torque [N·m], without a brake [kg]: catalogue
// values from 0.3 to 14 N·m lie within a fifth of it.
func servoMass(torque float64) float64 { return 1.25 * math.Pow(torque, 0.85) }

// stepperMass is the usual mass of a stepper by its holding torque [N·m] [kg].
func stepperMass(torque float64) float64 { return 0.57 * math.Pow(torque, 0.9) }

// A holding brake adds a fifth to a servo's mass; from memory.
const brakeMass = 1.2

// usualMass is the mass of a motor by its torque, in kilograms, and what that rests on.
func (v *Motor) usualMass() (mass float64, what string) {
	if s := v.Stepper; s != nil {
		mass, what = stepperMass(s.Holding.q.Value), "mass of a stepper of "+s.Holding.Text
	} else {
		mass, what = servoMass(v.RatedTorque.q.Value), "mass of a servo of "+v.RatedTorque.Text
	}
	if v.Brake {
		return brakeMass * mass, what + " with a brake"
	}
	return mass, what
}

// usualNut is the mass of a screw's nut by its diameter, in kilograms, and what that rests on.
func (s *Screw) usualNut(density float64) (mass float64, uncertainty, what string) {
	across := s.Diameter.q.Value
	if s.NutTurns() {
		return density * ring(2.7*across, across, 3.2*across), "± 40 %", "mass of a rotating nut of " + s.Diameter.Text +
			" with bearing and pulley: a steel ring 2.7 screw diameters wide and 3.2 long"
	}
	return density * ring(2*across, across, 2*across), "± 50 %", "mass of a nut of " + s.Diameter.Text +
		": a steel ring two screw diameters wide and long"
}

// OtherWay is a screw drive with its nut rotating in place of the screw, or the other way round,
// by what is usual for such a nut.
func (m *Machine) OtherWay(e *Entry[Drive]) *Entry[Drive] {
	out, screw := *e, *e.Item.Screw
	screw.Rotating.Text = "nut"
	if e.Item.Screw.NutTurns() {
		screw.Rotating.Text = "screw"
	}
	mass, uncertainty, _ := screw.usualNut(m.steel().Density.q.Value)
	usual := func(v *Value, text string, dimension quantity.Dimension) {
		v.Text = text
		v.q, _ = quantity.ParseAs(text, dimension) // of a text of our own
	}
	screw.NutMass = Value{}
	usual(&screw.NutMass, kilogramText(mass, uncertainty), quantity.Mass)
	if screw.NutTurns() {
		usual(&screw.NutBearing, nutBearingText, quantity.Stiffness)
	}
	out.Item.Screw = &screw
	return &out
}

func kilogramText(mass float64, uncertainty string) string {
	return fmt.Sprintf("%.2g kg %s", mass, uncertainty)
}

// assumeRiding fills in what the parts of a drive weigh that no body lists.
func (m *Machine) assumeRiding(axis *Entry[Axis], e *Entry[Drive]) {
	d := &e.Item
	listed := map[RidingKind]bool{}
	for _, part := range m.Riding(axis, e) {
		listed[part.Kind] = part.Listed() != ""
	}
	kilograms := func(v *Value, kind RidingKind, mass float64, uncertainty, what, source string) {
		if !listed[kind] {
			m.assume(v, quantity.Mass, what, kilogramText(mass, uncertainty), source, e.At)
		}
	}
	steel := m.steel().Density.q.Value
	switch {
	case d.Rack != nil:
		if face := d.Rack.Face.q.Value; !listed[RidingRack] {
			m.assume(&d.Rack.Mass, quantity.LinearDensity, "mass of a rack: a steel bar as high as its teeth are wide",
				fmt.Sprintf("%.3g kg/m ± 15 %%", steel*face*face), "common practice", e.At)
		}
		pitch := d.Rack.Module.q.Value * float64(d.Rack.Teeth.N) / math.Cos(d.Rack.Helix.q.Value)
		kilograms(&d.Rack.PinionMass, RidingPinion, 1.3*steel*ring(pitch, 0, d.Rack.Face.q.Value), "± 30 %",
			"mass of a pinion: solid steel, with its shaft", "derived here")
	case d.Belt != nil:
		b := d.Belt
		across := b.Pitch.q.Value * float64(b.Teeth.N) / math.Pi
		kilograms(&b.PulleyMass, RidingPulleys, 2*m.Material("aluminium").Density.q.Value*ring(across, 0, b.Width.q.Value+0.01), "± 40 %",
			"mass of a belt's pulleys: two of solid aluminium", "derived here")
	case d.Screw != nil:
		mass, uncertainty, what := d.Screw.usualNut(steel)
		kilograms(&d.Screw.NutMass, RidingNut, mass, uncertainty, what, "from memory")
	}
	motor := d.Motor
	if motor == nil && axis.Item.Alternatives.Find(e.Name) == d && len(axis.Item.Drives) > 0 {
		motor = axis.Item.Drives[0].Item.Motor // which an alternative without one takes over
	}
	if motor == nil {
		return
	}
	mass, what := motor.usualMass()
	kilograms(&motor.Mass, RidingMotor, mass, "± 35 %", what+", by its torque", "from memory")
	if d.Ratio.q.Value != 1 && !listed[RidingReduction] {
		const belt, middle, gearbox = 0.3, 0.7, 1.2 // over the motor's mass
		if motor.Mass.Given {
			mass = motor.Mass.q.Value
		}
		m.said(&d.Reduction.Mass, belt*mass, middle*mass, gearbox*mass,
			fmt.Sprintf("%.2g kg, from %.2g to %.2g kg", middle*mass, belt*mass, gearbox*mass),
			"mass of a reduction: 0.3 of its motor's for a belt to 1.2 for a gearbox", "from memory", e.At)
	}
}

// ring is the volume of a ring [m³].
func ring(outer, inner, length float64) float64 {
	return math.Pi / 4 * (outer*outer - inner*inner) * length
}
