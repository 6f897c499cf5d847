package spec

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/spec/quantity"
)

// An Assumption is a value that the spec leaves out and a rule or a catalogue
// supplies. Values that one rule supplies in several places make one assumption.
type Assumption struct {
	What   string   // the quantity in words: "vertical stiffness of a foot"
	Text   string   // the value with its bounds: "60 N/µm ± 50 %"
	Source string   // keys of works, or "common practice", "from memory"
	At     Place    // the first place that would hold it
	Values []*Value // the values it fills in

	Condition bool // it is by the condition of a part that is used or salvaged, or by its delivery tolerances
	Book      bool // the build book alone reads it: no stiffness and no verdict does
	Shape     bool // how large a part is: clearances, lengths of rail and pictures alone read it
}

// assume fills in a value that the spec leaves out, unless that is done already.
func (m *Machine) assume(v *Value, dimension quantity.Dimension, what, text, source string, at Place) {
	if v.known() {
		return
	}
	q, err := quantity.ParseAs(text, dimension)
	if err != nil {
		panic(fmt.Sprintf("assumption %s: %v", what, err)) // ours
	}
	m.take(v, Value{q: q, Text: text}, what, source, at)
}

// within fills in a value that the spec leaves out with one that does not lie in the
// middle of its bounds.
func (m *Machine) within(v *Value, low, middle, high float64, what, source string, at Place) {
	m.said(v, low, middle, high, fmt.Sprintf("%.3g, from %.3g to %.3g", middle, low, high), what, source, at)
}

// said is [Machine.within] with the numbers as a spec would say them.
func (m *Machine) said(v *Value, low, middle, high float64, text, what, source string, at Place) {
	m.take(v, Value{q: quantity.Quantity{Value: middle, Low: low, High: high}, Text: text}, what, source, at)
}

// take fills in a value that the spec leaves out with one that is at hand,
// unless that is done already.
func (m *Machine) take(v *Value, from Value, what, source string, at Place) {
	if v.known() {
		return
	}
	v.q, v.Text, v.At = from.q, from.Text, at
	if v.origin = from.origin; v.origin == "" {
		v.origin = what // one rule is one origin
	}
	for i := range m.Assumptions {
		if a := &m.Assumptions[i]; a.What == what && a.Text == from.Text {
			a.Values, a.Book = append(a.Values, v), a.Book && m.booking
			return
		}
	}
	m.Assumptions = append(m.Assumptions, Assumption{What: what, Text: from.Text, Source: source, At: at, Values: []*Value{v}, Book: m.booking, Shape: m.shaping})
}

// assumeAll fills in everything that the spec may leave out and a calculation
// needs. The machine's maps do not grow after this: assumptions point into them.
func (m *Machine) assumeAll() {
	for i := range m.Materials {
		own := &m.Materials[i]
		m.assume(&own.Item.Expansion, quantity.Expansion, "thermal expansion of a material, as of steel", "12 µm/m/K", "EN1993-1-1, 3.2.6", own.At)
	}
	for i := range m.Sections {
		m.assumeSection(&m.Sections[i])
	}
	m.forTheBook(m.assumeSawing)
	m.forTheBook(m.assumeWelding)
	m.forTheBook(m.assumeDoor)
	for i := range m.Bodies {
		for j := range m.Bodies[i].Item.Feet {
			f := &m.Bodies[i].Item.Feet[j]
			m.assume(&f.Item.Vertical, quantity.Stiffness, "vertical stiffness of a foot", "80 N/µm ± 60 %", "from memory", f.At)
			if f.Item.Leg != nil { // in the face half of the normal one
				m.assume(&f.Item.Horizontal, quantity.Stiffness, "horizontal stiffness of a foot's pad, its leg apart", "40 N/µm ± 60 %", "Back 1973, the ratio; from memory", f.At)
			}
			m.assume(&f.Item.Horizontal, quantity.Stiffness, "horizontal stiffness of a foot on a short screw", "25 N/µm ± 60 %", "from memory", f.At)
			m.forTheBook(func() {
				m.assume(&f.Item.Pad, quantity.Length, "diameter of a foot's pad", "80 mm ± 40 %", "from memory", f.At)
			})
		}
	}
	for i := range m.Fills {
		m.assumeFill(&m.Fills[i])
		m.forTheBook(func() { m.assumePour(&m.Fills[i]) })
	}
	for i := range m.Rails {
		m.assumeRail(&m.Rails[i])
		m.assumeLevelling(&m.Rails[i])
	}
	for i := range m.Joints {
		if b := m.Joints[i].Item.Bolted; b != nil {
			m.assumeBolts(b, m.Joints[i].At)
		}
		if l := m.Joints[i].Item.Bonded; l != nil {
			m.assume(&l.Poisson, quantity.Ratio, "Poisson's ratio of a filled resin", "0.35", "from memory", m.Joints[i].At)
			m.assume(&l.Modulus, quantity.Stress, "modulus of the resin in joint "+m.Joints[i].Name, "8 GPa ± 50 %", "from memory", m.Joints[i].At)
		}
	}
	for i := range m.Axes {
		m.assumeAxis(&m.Axes[i])
		for g := range m.Axes[i].Item.Guides {
			if at := &m.Axes[i].Item.Guides[g].Item; !at.Normal.Given {
				at.Normal.XYZ = m.normal(&m.Axes[i], at)
			}
		}
	}
	if s := m.Spindle; s != nil {
		m.assumeSpindle(s)
		m.assume(&s.Runout, quantity.Length, "runout at the cutter", "0.015 mm ± 50 %", "common practice", s.At)
	}
	m.forTheBook(m.assumeWork)
	m.assumeDamping()
	m.assumeReadings()
	if w := m.Workpiece; w != nil {
		m.assume(&w.LoadSpread, quantity.Length, "load spread of the workpiece round the cutter", "300 mm ± 50 %", "common practice", w.On.At)
	}
	for i := range m.Cutters {
		m.assumeCutter(&m.Cutters[i])
	}
	for i := range m.Targets {
		t := &m.Targets[i].Item
		if name := t.Material.Text; m.WorkMaterial(name) != nil {
			own := m.WorkMaterials.Find(name) != nil
			m.supply(&t.ProcessDamping, m.WorkMaterial(name).ProcessDamping, own, "process damping coefficient in "+name, "from memory", t.Material.At)
			m.supply(&t.Expansion, m.WorkMaterial(name).Expansion, own, "thermal expansion of "+name, "from memory", t.Material.At)
			m.said(&t.Expansion, 10e-6, 25e-6, 80e-6, "25 µm/m/K, from 10 to 80 µm/m/K", "thermal expansion of a workpiece of any material", "from memory", t.Material.At)
		}
		m.assumeSize(&m.Targets[i])
		m.assume(&t.FinishAllowance, quantity.Length, "what roughing leaves for the finish pass", "0.3 mm", "common practice", t.Material.At)
		m.assumePart(t)
	}
	if len(m.Targets) > 0 {
		m.assumeSurroundings(m.Targets[0].At)
	}
	m.shaping = true
	m.assumeShapes()
	m.shaping = false
}

// A part is a third of the shortest travel across the tool, and no larger than this; common
// practice.
const partShare, mostPart = 3, 150e-3

// assumeSize fills in how large a part is.
func (m *Machine) assumeSize(e *Entry[Target]) {
	pointing := [3]float64{0, 0, -1}
	if m.Spindle != nil && m.Spindle.ToolDirection.Given {
		pointing = m.Spindle.ToolDirection.XYZ
	}
	size := math.Inf(1)
	for i := range m.Axes {
		a, along := &m.Axes[i].Item, 0.0
		for k, d := range a.Direction.XYZ {
			along += d * pointing[k]
		}
		if travel := a.Travel.q.Value; math.Abs(along) < 0.7 && travel > 0 {
			size = math.Min(size, travel/partShare)
		}
	}
	if math.IsInf(size, 1) {
		return
	}
	m.assume(&e.Item.Size, quantity.Length, "size of a part: a third of the shortest travel across the tool, 150 mm at most",
		fmt.Sprintf("%.3g mm ± 50 %%", 1e3*math.Min(size, mostPart)), "common practice", e.At)
}

// assumeSurroundings fills in what a machine's room and its setting up leave of its accuracy.
func (m *Machine) assumeSurroundings(at Place) {
	if m.Room == nil {
		m.Room = &Room{}
		blank("room", at, m.Room)
	}
	m.said(&m.Room.TemperatureChange, 2, 4, 8, "4 K, from 2 to 8 K", "temperature change of the room over a job", "from memory", at)
	m.said(&m.Room.Job, 1800, 3600, 10800, "1 h, from 0.5 to 3 h", "time from setting zero to the last finish pass", "common practice", at)
	m.said(&m.Room.Gradient, 0.2, 0.5, 1.5, "0.5 K/m, from 0.2 to 1.5 K/m", "gradient of the air's temperature over the height", "from memory", at)
	if m.Coolant == nil {
		m.Coolant = &Coolant{}
		blank("coolant", at, m.Coolant)
	}
	m.said(&m.Coolant.TemperatureDifference, 0, 1, 3, "1 K, from 0 to 3 K", "temperature of the workpiece over that of the machine", "from memory", at)
	m.said(&m.WarmUp, 300, 1200, 3600, "20 min, from 5 to 60 min", "time that spindle and axes run before zero is set", "common practice", at)
	if s := m.Spindle; s != nil {
		power := s.power()
		m.said(&s.Heat, 0.01*power, 0.02*power, 0.04*power, fmt.Sprintf("%.3g W, from half of that to twice that", 0.02*power),
			"heat that a spindle's bearings leave in its housing: 2 % of its power", "from memory", s.At)
	}
	m.said(&m.Squareness, 20e-6, 50e-6, 100e-6, "50 µm/m, from 20 to 100 µm/m", "squareness of two axes, set with a square and a dial gauge", "common practice", at)
}

// power is the most that a spindle has [W].
func (s *Spindle) power() (most float64) {
	for _, p := range s.Torque {
		most = math.Max(most, 2*math.Pi*p.Speed.q.Value*p.Torque.q.Value)
	}
	return most
}

// assumeSpindle fills in what a spindle's class says of it.
func (m *Machine) assumeSpindle(s *Spindle) {
	const (
		taperSpeed = 14000.0 / 60 // below which a spindle with a holder has a taper [rev/s]
		routerMass = 3.0          // below which a fast spindle is a router motor [kg]
	)
	if s.Class.Text == "" {
		switch {
		case s.Holder != nil && s.MaxSpeed.q.Value < taperSpeed:
			s.Class.Text = "belt-driven taper spindle"
		case s.Mass.q.Value < routerMass:
			s.Class.Text = "air-cooled router motor"
		default:
			s.Class.Text = "high-frequency electric spindle"
		}
	}
	if s.Shaft == nil {
		s.Shaft = &Shaft{}
		blank(strings.Join(m.SpindlePath(), ".")+".shaft", s.At, s.Shaft)
	}
	class := FromCatalogue[Shaft](KindSpindles, s.Class.Text)
	say := func(v *Value, from Value, what string) {
		m.supply(v, from, false, what+" of "+article(s.Class.Text), class.Source.Text, s.At)
	}
	own := s.Shaft
	length, mass := class.sizeFor(s.Mass.q.Value)
	say(&s.Radial, class.Radial, "radial stiffness at the nose")
	say(&s.Axial, class.Axial, "axial stiffness at the nose")
	say(&own.Diameter, class.Diameter.times(length), "shaft diameter")
	say(&own.Bore, class.Bore.times(length), "bore of the shaft")
	say(&own.Behind, class.Behind.times(length), "length of shaft behind the bearings")
	say(&own.Span, class.Span.times(length), "bearing span")
	say(&own.Overhang, class.Overhang.times(length), "overhang of the nose")
	say(&own.RotorMass, class.RotorMass.times(mass), "mass of the rotor")
	say(&own.DrivenMass, class.DrivenMass.times(mass), "mass at the rear end")
	say(&own.RearRatio, class.RearRatio, "stiffness of the rear over that of the front bearings")
	say(&own.Grip, class.Grip, "stiffness of the grip on a shank, for each mm²,")
	own.Cooled = own.Cooled || class.Cooled
	if s.Holder != nil {
		say(&own.Taper, class.Taper, "lateral stiffness of the taper")
		say(&own.TaperTilt, class.TaperTilt, "tilt stiffness of the taper")
	}
}

// shaftShare is the share of a spindle's mass that is in its shaft, at most [-]; common
// practice.
const shaftShare = 0.5

// sizeFor returns by what the lengths and the masses of a class are multiplied, so that
// its shaft is not heavier than a spindle's mass [kg] allows: a light spindle has a smaller one of the
// same shape.
func (s *Shaft) sizeFor(spindle float64) (length, mass float64) {
	const steel = 7850 // [kg/m³]
	d, b := s.Diameter.q.Value, s.Bore.q.Value
	whole := steel*math.Pi/4*(d*d-b*b)*(s.Behind.q.Value+s.Span.q.Value+s.Overhang.q.Value) + s.RotorMass.q.Value + s.DrivenMass.q.Value
	if !(whole > shaftShare*spindle) {
		return 1, 1
	}
	// Two digits, so that what is printed is what counts.
	length = math.Floor(100*math.Cbrt(shaftShare*spindle/whole)) / 100
	return length, length * length * length
}

// times is a value of a class multiplied.
func (v Value) times(by float64) Value {
	if by == 1 || !v.Given {
		return v
	}
	v.q.Value, v.q.Low, v.q.High = by*v.q.Value, by*v.q.Low, by*v.q.High
	v.Text = fmt.Sprintf("%.2g × %s", by, v.Text)
	return v
}

// article puts the article before a class of spindle.
func article(class string) string {
	if strings.ContainsRune("aeiou", rune(class[0])) {
		return "an " + class
	}
	return "a " + class
}

func (m *Machine) assumeFill(e *Entry[Fill]) {
	f := &e.Item
	if f.Mix.Text != "" {
		if mix := m.Mix(f.Mix.Text); mix != nil {
			own := m.Mixes.Find(f.Mix.Text) != nil
			m.supply(&f.Modulus, mix.Modulus, own, "modulus of "+f.Mix.Text, mix.Source.Text, f.Mix.At)
			m.supply(&f.Density, mix.Density, own, "density of "+f.Mix.Text, mix.Source.Text, f.Mix.At)
			m.supply(&f.Expansion, mix.Expansion, own, "thermal expansion of "+f.Mix.Text, "from memory", f.Mix.At)
			f.Strength, f.Shrinkage, f.Resin, f.Cement = mix.Strength, mix.Shrinkage, mix.Resin, mix.WetCement
		}
	}
	m.assumeFillLoss(e)
	m.said(&f.Expansion, 7e-6, 10e-6, 13e-6, "10 µm/m/K, from 7 to 13 µm/m/K", "thermal expansion of a mineral fill", "EN1992-1-1, 3.1.3; from memory, the bounds", e.At)
	m.assume(&f.Density, quantity.Density, "density of a mineral fill", "2350 kg/m3 ± 5 %", "common practice", e.At)
	if f.Place.Text == "" {
		f.Place.Text = "hollow"
	}
	m.within(&f.Creep, 1.2, 2.2, 3.5, "creep coefficient of a fill loaded young, in a dry room", "from memory", e.At)
	if f.ShearKeys != nil && !f.ShearKeys.Rows.Given {
		f.ShearKeys.Rows.N = 1
	}
	if f.Place.Text != "hollow" && f.Strength.Given { // an open face dries
		m.assume(&f.Humidity, quantity.Ratio, "humidity of the workshop", "0.35..0.65", "common practice", e.At)
	}
}

// looseFill is the modulus below which a fill is loose grains [Pa].
const looseFill = 1e9

// assumeFillLoss fills in what a member loses with its fill: the fill has a third of the
// strain energy of a filled box at most, so that its own loss factor counts for as much.
func (m *Machine) assumeFillLoss(e *Entry[Fill]) {
	f := &e.Item
	const what = "loss factor of members with a fill "
	mix := m.Mix(f.Mix.Text)
	switch {
	case mix != nil && mix.Resin:
		m.within(&f.Loss, 0.008, 0.018, 0.055, what+"bound by resin", "Suh Lee 2008, for the upper bound; from memory", e.At)
	case f.Modulus.q.Value < looseFill:
		m.within(&f.Loss, 0.008, 0.02, 0.06, what+"of loose grains", "from memory", e.At)
	default:
		m.within(&f.Loss, 0.004, 0.008, 0.025, what+"bound by cement", "Gidrao 2024; from memory", e.At)
	}
}

// supply takes a value from a part that the spec names. It counts as given if
// the part is the spec's own, and as an assumption if it is the catalogue's.
func (m *Machine) supply(v *Value, from Value, own bool, what, source string, at Place) {
	if v.known() || !from.Given {
		return
	}
	if own {
		from.path, from.less, from.log = v.path, v.less, v.log
		*v = from
		return
	}
	m.take(v, from, what, source, at)
}

func (m *Machine) assumeRail(e *Entry[Rail]) {
	r := &e.Item
	condition, words := m.conditionOf(e.Name, r.Condition).Text, ""
	if condition == "used" || condition == "salvaged" {
		words = ", " + condition + ","
	}
	if stock := FromCatalogue[Rail](KindRails, r.Stock.Text); stock != nil {
		say := func(v *Value, from Value, what string) {
			m.supply(v, from, false, what+" of "+r.Stock.Text, stock.Source.Text, r.Stock.At)
		}
		say(&r.Radial, stock.Radial.worn(condition), "radial stiffness of a carriage"+words)
		say(&r.Lateral, stock.Lateral.worn(condition), "lateral stiffness of a carriage"+words)
		if words != "" {
			m.byCondition(&r.Radial, &r.Lateral)
		}
		say(&r.Dynamic, stock.Dynamic, "dynamic rating")
		say(&r.Static, stock.Static, "static rating")
		say(&r.CarriageMass, stock.CarriageMass, "mass of a carriage")
		say(&r.RailMass, stock.RailMass, "mass of a rail")
		if r.Rolling.Text == "" {
			r.Rolling = stock.Rolling
		}
		if r.DynamicFor.Text == "" {
			r.DynamicFor = stock.DynamicFor
		}
		if r.Shape.Text == "" {
			r.Shape = stock.Shape
		}
	}
	if _, size := RailSeries(r.Stock.Text); !r.Size.Given && size != "" {
		if q, err := quantity.ParseAs(size+" mm", quantity.Length); err == nil {
			r.Size.q, r.Size.Text, r.Size.At = q, size+" mm", r.Stock.At
		}
	}
	for text, usual := range map[*Text]string{&r.Shape: "profiled", &r.Preload: "light"} {
		if text.Text == "" {
			text.Text = usual
		}
	}
	if r.Surface.Text == "" && r.Resin != nil {
		r.Surface.Text = "poured"
	}
	if r.Bolts != nil {
		if !r.Bolts.Shared.Given {
			r.Bolts.Shared.N = 4
		}
		m.assume(&r.Bolts.Friction, quantity.Ratio, "friction coefficient of a rail on its mounting surface", "0.12", "common practice", e.At)
		m.assume(&r.Bolts.TorqueCoefficient, quantity.Ratio, "torque coefficient of a dry bolt", "0.2", "common practice", e.At)
		// 0.7 of the proof load of an 8.8 bolt, K 0.2: T = 0.2 d · 0.7 · 600 MPa · 0.78 π d²/4.
		d := r.Bolts.Diameter.q.Value
		m.assume(
			&r.Bolts.Torque,
			quantity.Torque,
			"tightening torque of the bolts of rail "+e.Name,
			fmt.Sprintf("%.3g N·m ± 25 %%", 0.2*d*0.7*600e6*0.78*math.Pi/4*d*d),
			"common practice",
			e.At,
		)
	}
	if r.Resin != nil {
		m.assume(&r.Resin.Modulus, quantity.Stress, "modulus of the resin under rail "+e.Name, "8 GPa ± 50 %", "from memory", e.At)
		m.assume(&r.Resin.Poisson, quantity.Ratio, "Poisson's ratio of a filled resin", "0.35", "from memory", e.At)
		m.assume(&r.Resin.Length, quantity.Length, "length of rail that carries a carriage's load", "150 mm ± 30 %", "from memory", e.At)
	}
	m.assumeMounting(r, e.At)
	m.assume(&r.Radial, quantity.Stiffness, "radial stiffness of a carriage", "200 N/µm ± 50 %", "from memory", e.At)
	m.assume(&r.Lateral, quantity.Stiffness, "lateral stiffness of a carriage", "150 N/µm ± 50 %", "from memory", e.At)
	m.assume(&r.CarriageMass, quantity.Mass, "mass of a carriage", "0.4 kg ± 50 %", "from memory", e.At)
	m.assume(&r.RailMass, quantity.LinearDensity, "mass of a rail", "2.5 kg/m ± 50 %", "from memory", e.At)
	if r.Rolling.Text == "" {
		r.Rolling.Text = "balls"
	}
	if r.DynamicFor.Text == "" {
		r.DynamicFor.Text = "50 km"
	}
}

// assumeMounting fills in what bolts and the steel beneath leave of a carriage's stiffness. It is the same
// with resin and without: the compliance of a layer is added to it, so that resin never makes a rail stiffer. A face that
// is machined, or filled by resin, takes less than the bounds are wide; one that is not may touch at some bolts alone.
func (m *Machine) assumeMounting(r *Rail, at Place) {
	const what = "share of a carriage's stiffness left by bolts and steel"
	switch r.Surface.Text {
	case "milled", "ground", "squeezed", "poured":
		m.assume(&r.MountingFactor, quantity.Ratio, what, "0.65 ± 20 %", "common practice", at)
	default:
		if r.Resin != nil {
			m.assume(&r.MountingFactor, quantity.Ratio, what, "0.65 ± 20 %", "common practice", at)
			return
		}
		m.within(&r.MountingFactor, 0.35, 0.65, 0.78, what+" under a surface that is not machined", "common practice; Back 1973, for the face", at)
	}
}

func (m *Machine) assumeCutter(c *Entry[Cutter]) {
	m.take(&c.Item.Shank, c.Item.Diameter, "shank diameter of "+c.Name+": its cutting diameter", "common practice", c.At)
	m.assumeEdges(c)
	if kind := c.Item.Kind.Text; kind != "drill" && kind != "face" {
		m.within(&c.Item.FlutedRatio, 0.74, 0.8, 0.85, "diameter of the cylinder that bends like the flutes over the cutting diameter, "+c.Name,
			"Kops 1990, the middle; from memory, the bounds", c.At)
	}
	clamped := c.Item.Shank
	const grips = 3.5
	clamped.q.Value, clamped.q.Low, clamped.q.High = grips*clamped.q.Value, grips*clamped.q.Low, grips*clamped.q.High
	clamped.Text = "3.5 × " + clamped.Text
	m.take(&c.Item.Clamped, clamped, "clamped length of "+c.Name+": 3.5 diameters of its shank", "common practice", c.At)
	if c.Item.Kind.Text == "face" {
		m.assume(&c.Item.CuttingEdgeAngle, quantity.Angle, "cutting edge angle of "+c.Name, "45 deg", "common practice", c.At)
	}
	m.assume(&c.Item.Helix, quantity.Angle, "helix angle of "+c.Name, "30 deg ± 10 deg", "common practice", c.At)
}

// assumeEdges fills in the length of a cutter's edges, and how fast a face mill may turn.
func (m *Machine) assumeEdges(c *Entry[Cutter]) {
	d := c.Item.Diameter.q.Value
	if c.Item.Kind.Text != "face" {
		flute := c.Item.Diameter
		flute.q.Value, flute.q.Low, flute.q.High = 2*flute.q.Value, 2*flute.q.Low, 2*flute.q.High
		flute.Text = "2 × " + flute.Text
		what := "flute length of " + c.Name + ": two diameters"
		if out := c.Item.StickOut; out.q.Value < flute.q.Value {
			flute, what = out, "flute length of "+c.Name+": its stick-out"
		}
		m.take(&c.Item.FluteLength, flute, what, "common practice", c.At)
		return
	}
	// Two thirds of the edge of an insert of 12.7 mm at 45° are 6 mm; small face mills have small inserts.
	const share, most = 8, 6e-3
	depth := min(d/share, most)
	m.assume(&c.Item.FluteLength, quantity.Length, "depth that the inserts of "+c.Name+" reach", fmt.Sprintf("%.3g mm", depth*1e3), "common practice", c.At)
	// High-speed milling begins at 1000 m/min, for which a face mill has to be rated.
	const high = 1000.0 / 60
	m.assume(&c.Item.MaxSpeed, quantity.Frequency, "speed of "+c.Name+", which has no rating: 1000 m/min at its edge",
		fmt.Sprintf("%.4g rpm", high/(math.Pi*d)*60), "from memory", c.At)
}

// usualFriction is what seals and rolling take, a fifth of a newton for each
// millimetre of each carriage's size, and 25 N for the drive and what rubs besides.
func (m *Machine) usualFriction(a *Axis) string {
	const perSize, drive = 200.0, 25.0 // [N/m], [N]
	force := drive
	for _, g := range a.Guides {
		size := 20e-3
		if r := m.Rails.Find(g.Item.Rail.Text); r != nil && r.Size.q.Value > 0 {
			size = r.Size.q.Value
		}
		force += perSize * size * float64(len(g.Item.Carriages))
	}
	return fmt.Sprintf("%.0f N ± 50 %%", force)
}

func (m *Machine) assumeAxis(e *Entry[Axis]) {
	a := &e.Item
	if !a.Travel.Given {
		if v := m.Envelope.Find(e.Name); v != nil {
			a.Travel = *v
		}
	}
	m.assume(&a.ModelledAt, quantity.Length, "position of the axis in the model: the start of its travel", "0 mm", "common practice", e.At)
	m.assume(
		&a.Friction,
		quantity.Force,
		"friction of axis "+e.Name+": seals of its carriages by their size, and its drive",
		m.usualFriction(a),
		"from memory",
		e.At,
	)
	m.assume(&a.Rapid, quantity.Speed, "rapid feed demanded", "5 m/min", "common practice", e.At)
	m.assume(&a.Acceleration, quantity.Acceleration, "acceleration demanded", "0.5 m/s2", "common practice", e.At)
	for i := range a.Drives {
		if d := &a.Drives[i]; d.Item.Screw != nil {
			d.Item.Screw.Condition = m.screwCondition(e.Name, d.Name, d.Item.Screw.Condition)
		}
	}
	for _, drives := range []Map[Drive]{a.Drives, a.Alternatives} {
		for i := range drives {
			m.assumeDrive(e, &drives[i])
		}
	}
	if slices.ContainsFunc(a.Drives, func(d Entry[Drive]) bool { return d.Item.Motor == nil || d.Item.Motor.Stepper == nil }) {
		m.assume(&a.GainDifference, quantity.Ratio, "difference between the gains of two servos set alike", "0.05", "common practice", e.At)
	}
	if c := a.CrossShaft; c != nil {
		// A shaft of steel, twisted: G π d⁴/32 L.
		k := m.steel().ShearModulus.q.Value * math.Pi / 32 * math.Pow(c.Diameter.q.Value, 4) / c.Length.q.Value
		m.assume(&c.Couplings, quantity.RotationalStiffness, "couplings of a cross shaft: as compliant in torsion as the shaft",
			fmt.Sprintf("%.4g N·m/rad ± 50 %%", k), "common practice", e.At)
	}
}

func (m *Machine) assumeDrive(axis *Entry[Axis], e *Entry[Drive]) {
	d := &e.Item
	switch {
	case d.Screw != nil:
		m.assumeScrew(d.Screw, e.At)
	case d.Rack != nil:
		m.assumeRack(d.Rack, e.At)
	case d.Belt != nil:
		m.assumeBelt(d.Belt, e.At)
	}
	m.assume(&d.Ratio, quantity.Ratio, "ratio of the drive: direct", "1", "common practice", e.At)
	if d.Reduction == nil {
		d.Reduction = &Reduction{}
		blank(d.Ratio.path[:len(d.Ratio.path)-len("ratio")]+"reduction", e.At, d.Reduction)
	}
	if d.Ratio.q.Value != 1 {
		m.assume(&d.Reduction.Efficiency, quantity.Ratio, "efficiency of a reduction", "0.92..0.98", "common practice", e.At)
	} else if !d.Reduction.Efficiency.known() {
		d.Reduction.Efficiency.q.Value, d.Reduction.Efficiency.q.Low, d.Reduction.Efficiency.q.High = 1, 1, 1
	}
	m.assumeRiding(axis, e)
	motor := d.Motor
	if motor == nil {
		return
	}
	if s := motor.Stepper; s != nil {
		m.assume(&s.Share, quantity.Ratio, "usable share of a stepper's pull-out torque", "0.5 ± 20 %", "common practice", motor.At)
		for c, n := range map[*Count]int{&s.Steps: 200, &s.Microsteps: 1} {
			if !c.Given {
				c.N = n
			}
		}
		if motor.Brake {
			m.take(&motor.BrakeTorque, s.Holding, "torque of a brake: the stepper's holding torque", "common practice", motor.At)
		}
		return
	}
	m.take(&motor.PeakTorque, motor.RatedTorque, "peak torque of a motor: its rated torque", "common practice", motor.At)
	m.take(&motor.MaxSpeed, motor.RatedSpeed, "maximum speed of a motor: its rated speed", "common practice", motor.At)
	if motor.Brake {
		m.take(&motor.BrakeTorque, motor.RatedTorque, "torque of a brake: the motor's rated torque", "common practice", motor.At)
	}
}

// The bearing in which a rotating nut turns, where the spec does not say.
const (
	nutBearing     = "axial stiffness of the bearing in which a rotating nut turns"
	nutBearingText = "300 N/µm ± 50 %"
)

func (m *Machine) assumeScrew(s *Screw, at Place) {
	root := s.Diameter
	root.q.Value, root.q.Low, root.q.High = 0.88*root.q.Value, 0.86*root.q.Low, 0.9*root.q.High
	root.Text = "0.88 × " + root.Text
	m.take(&s.Root, root, "root diameter of a screw: 0.86 to 0.90 of the nominal", "common practice", at)
	m.assume(&s.TemperatureRise, quantity.Temperature, "temperature rise of a screw over its frame in use", "10 K", "common practice", at)
	m.assume(&s.Efficiency, quantity.Ratio, "efficiency of a ball screw", "0.85..0.95", "common practice", at)
	m.assumeWear(s, at)
	m.assume(&s.NutStiffness, quantity.Stiffness, "axial stiffness of a nut", "300 N/µm ± 50 %", "from memory", at)
	m.assume(&s.BearingStiffness, quantity.Stiffness, "axial stiffness of a fixed bearing with its bracket", "90 N/µm ± 50 %", "from memory", at)
	if !s.Preload.Given {
		m.assume(&s.Backlash, quantity.Length, "backlash of a nut without preload", "0.03..0.08 mm", "common practice", at)
	}
	if !s.Grade.Given {
		s.Grade.N = 7
	}
	if s.NutTurns() {
		m.assume(&s.NutBearing, quantity.Stiffness, nutBearing, nutBearingText, "from memory", at)
		// A nut with its sleeve and pulley, as a ring of steel.
		d := s.Diameter.q.Value
		m.assume(&s.NutInertia, quantity.Inertia, "inertia of a rotating nut with its pulley: a steel ring 2.1 screw diameters wide and 3 long",
			inertiaText(m.steelRing(2.1*d, d, 3*d), "± 40 %"), "from memory", at)
	}
}

// steel is the material of what is made of steel and says no more.
func (m *Machine) steel() *Material { return m.Material("steel") }

// steelRing is the inertia of a ring of steel about its axis [kg·m²].
func (m *Machine) steelRing(outer, inner, length float64) float64 {
	return math.Pi * m.steel().Density.q.Value * length * (math.Pow(outer, 4) - math.Pow(inner, 4)) / 32
}

func inertiaText(v float64, uncertainty string) string {
	return fmt.Sprintf("%.3g kg·cm2 %s", v*1e4, uncertainty)
}

func (m *Machine) assumeRack(r *Rack, at Place) {
	m.assume(&r.Helix, quantity.Angle, "helix of a rack: straight teeth", "0 deg", "common practice", at)
	m.assume(&r.Efficiency, quantity.Ratio, "efficiency of rack and pinion", "0.92..0.97", "common practice", at)
	m.assume(&r.PitchError, quantity.Ratio, "summed pitch error of a milled rack, quality 8: 0.1 mm for each metre", "0.0001", "from memory", at)
	if !r.RatedForce.Given {
		m.assume(&r.ToothStress, quantity.Stress, "allowed bending stress of rack teeth of plain steel", "120 MPa ± 50 %", "from memory", at)
	}
	m.assume(&r.Bracket, quantity.Stiffness, "stiffness of a pinion's bracket, along the rack", "60 N/µm ± 50 %", "from memory", at)
	if r.Preloaded {
		m.assume(&r.Backlash, quantity.Length, "backlash of a preloaded pinion", "0 mm", "common practice", at)
	}
	m.assume(&r.Backlash, quantity.Length, "backlash of a pinion in its rack", "0.03..0.12 mm", "from memory", at)
	pitch := r.Module.q.Value * float64(r.Teeth.N) / math.Cos(r.Helix.q.Value)
	m.assume(
		&r.PinionInertia,
		quantity.Inertia,
		"inertia of a pinion: solid steel, with its shaft",
		inertiaText(1.3*m.steelRing(pitch, 0, r.Face.q.Value), "± 30 %"),
		"derived here",
		at,
	)
}

func (m *Machine) assumeBelt(b *Belt, at Place) {
	if b.Run.Text == "" {
		b.Run.Text = "closed"
	}
	pitch, width := b.Pitch.q.Value, b.Width.q.Value
	m.assume(
		&b.CordStiffness,
		quantity.Stiffness,
		"stiffness of a belt's cords for each width: by its pitch, glass to steel",
		fmt.Sprintf("%.3g kN/mm ± 50 %%", 2.6e9*pitch/1e6),
		"from memory",
		at,
	)
	m.assume(
		&b.AllowedTension,
		quantity.Force,
		"allowed tension of a belt's cords: 0.4 % strain",
		fmt.Sprintf("%.3g kN ± 30 %%", 4e-6*b.CordStiffness.q.Value*width),
		"from memory",
		at,
	)
	m.assume(
		&b.Pretension,
		quantity.Force,
		"pretension of a belt, in each span: half of its allowed tension",
		fmt.Sprintf("%.3g kN ± 20 %%", 0.5e-3*b.AllowedTension.q.Value),
		"common practice",
		at,
	)
	m.assume(
		&b.ToothForce,
		quantity.Stiffness,
		"allowed force on a belt's tooth, for each width",
		fmt.Sprintf("%.3g N/mm ± 40 %%", 0.6e6*pitch/1e3),
		"from memory",
		at,
	)
	m.assume(&b.Wrap, quantity.Ratio, "share of a pulley's teeth that a belt wraps", "0.5", "common practice", at)
	m.assume(&b.Mass, quantity.LinearDensity, "mass of a belt", fmt.Sprintf("%.3g kg/m ± 30 %%", 650*pitch*width), "from memory", at)
	m.assume(&b.Efficiency, quantity.Ratio, "efficiency of a belt drive", "0.92..0.98", "common practice", at)
	m.assume(&b.Bracket, quantity.Stiffness, "stiffness of a belt's clamps and pulley shafts", "40 N/µm ± 50 %", "from memory", at)
	m.said(&b.PitchError, 0.0001, 0.0002, 0.0005, "200 µm/m, from 100 to 500 µm/m", "pitch error of a belt over its length, fitted and calibrated", "from memory", at)
	// Driving pulley and idler, of solid aluminium.
	m.assume(
		&b.PulleyInertia,
		quantity.Inertia,
		"inertia of a belt's pulleys: two of solid aluminium",
		inertiaText(
			2*m.Material("aluminium").Density.q.Value/m.steel().Density.q.Value*m.steelRing(pitch*float64(b.Teeth.N)/math.Pi, 0, width+0.01),
			"± 40 %",
		),
		"derived here",
		at,
	)
}

// normal is the way that a rail's top faces where the spec leaves it out: along z,
// or along y where the axis runs along z, to the side on which the carriages stand.
func (m *Machine) normal(e *Entry[Axis], g *Guide) [3]float64 {
	along := 2
	if d := e.Item.Direction.XYZ; math.Abs(d[2]) > 0.9*math.Sqrt(d[0]*d[0]+d[1]*d[1]+d[2]*d[2]) {
		along = 1
	}
	place := func(body, node string) float64 {
		if at := m.Bodies.Find(body).Nodes.Find(node); at != nil {
			return at[along].q.Value
		}
		return 0
	}
	var carriages, rail, ends float64
	for _, c := range g.Carriages {
		body, node, _ := strings.Cut(c.Text, ".")
		carriages += place(body, node) / float64(len(g.Carriages))
	}
	for _, over := range g.Over {
		body, members := m.Match(over.Text)
		for _, name := range members {
			b := m.Bodies.Find(body).Members.Find(name)
			rail += place(body, b.From.Text) + b.FromOffset[along].q.Value + place(body, b.To.Text) + b.ToOffset[along].q.Value
			ends += 2
		}
	}
	var way [3]float64
	way[along] = 1
	if carriages < rail/ends-1e-6 {
		way[along] = -1
	}
	return way
}

// assumeDamping fills in the loss factors of those kinds of part that the machine has.
// Bare weldments have a damping ratio of 0.1 to 0.3 per cent, profiles bolted
// together some five times as much; a mineral fill and what it rubs on adds more,
// then the rolling contacts and grease of carriages and screws, and a foot on its pad.
func (m *Machine) assumeDamping() {
	at := Place{}
	if len(m.Bodies) > 0 {
		at = m.Bodies[0].At
	}
	if m.Damping == nil {
		m.Damping = &Damping{}
		blank("damping", at, m.Damping)
	}
	d := m.Damping
	const what = "loss factor of "
	m.within(&d.Members, 0.001, 0.003, 0.008, what+"members of steel or iron", "from memory", at)
	m.within(&d.Profiles, 0.005, 0.015, 0.04, what+"members of slotted profile, casting or wood", "from memory", at)
	m.within(&d.Joints, 0.01, 0.04, 0.1, what+"joints", "Ito 2008, for the upper bound; from memory", at)
	if len(m.Axes) > 0 {
		m.within(&d.Carriages, 0.02, 0.04, 0.1, what+"carriages on their rails", "from memory", at)
		m.within(&d.Drives, 0.02, 0.05, 0.12, what+"drives", "from memory", at)
	}
	if m.softFeet() {
		m.within(&d.Feet, 0.08, 0.15, 0.4, what+"feet with rubber", "from memory", at)
	} else {
		m.within(&d.Feet, 0.02, 0.05, 0.12, what+"feet of steel", "from memory", at)
	}
	s := m.Spindle
	if s == nil {
		return
	}
	m.within(&d.Spindle, 0.02, 0.05, 0.12, what+"spindle bearings", "from memory", s.At)
	// Steel alone loses a tenth of this; assembled spindles show 1 to 4 % of critical at the tool.
	m.within(&d.Shaft, 0.008, 0.02, 0.04, what+"shaft with what is fitted to it, and holder", "from memory", s.At)
	m.within(&d.Clamping, 0.02, 0.04, 0.1, what+"collet and taper", "from memory", s.At)
	m.within(&d.Tool, 0.0005, 0.002, 0.004, what+"cutter", "from memory", s.At)
}

// rubberFoot is the stiffness of a foot below which it stands on rubber: feet of steel
// on concrete are ten times as stiff [N/m].
const rubberFoot = 10e6

// softFeet tells whether the machine stands on rubber.
func (m *Machine) softFeet() bool {
	for i := range m.Bodies {
		for k := range m.Bodies[i].Item.Feet {
			if m.Bodies[i].Item.Feet[k].Item.Vertical.q.Value < rubberFoot {
				return true
			}
		}
	}
	return false
}

// assumeBolts fills in how bolts are tightened and the friction of the faces.
func (m *Machine) assumeBolts(b *Bolted, at Place) {
	if !b.Torque.Given {
		m.within(&b.Preload, 0.5, 2.0/3, 2.5/3, "preload of bolts over their proof load", "common practice", at)
	}
	m.within(&b.Friction, 0.12, 0.2, 0.35, "friction coefficient of bolted faces", "from memory", at)
}
