package machine

import (
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/spec"
)

// Mass is what a model weighs [kg].
func (d *Model) Mass() (sum float64) {
	for _, b := range d.Weigh(d.Middle()) {
		sum += b.Mass
	}
	return sum
}

// A Heap is mass with its centre.
type Heap struct {
	Mass   float64 // [kg]
	Moment r3.Vec  // mass times place [kg·m]
}

func (h *Heap) add(mass float64, at r3.Vec) {
	h.Mass += mass
	h.Moment = r3.Add(h.Moment, r3.Scale(mass, at))
}

func (h Heap) Centre() r3.Vec {
	if h.Mass == 0 {
		return r3.Vec{}
	}
	return r3.Scale(1/h.Mass, h.Moment)
}

// Weigh sums the mass of each body in a pose.
func (d *Model) Weigh(p Pose) []Heap {
	shift := d.Shifts(p)
	bodies := make([]Heap, len(d.Spec.Bodies))
	index := map[string]int{}
	for i, b := range d.Spec.Bodies {
		index[b.Name] = i
	}
	for i := range d.Bars {
		b := &d.Bars[i]
		bodies[b.Body].add(b.Mass(), r3.Add(b.middle(), shift[b.Body]))
		bodies[b.Body].add(b.rails*b.Length(), r3.Add(b.railMiddle(), shift[b.Body]))
	}
	for _, m := range d.masses {
		body := index[d.Parts[m.Part].body]
		bodies[body].add(m.Mass, r3.Add(r3.Add(d.Nodes[m.At.Node], m.At.Arm), shift[d.NodeBody[m.At.Node]]))
	}
	return bodies
}

// MovedMass is the mass that an axis moves [kg].
func (d *Model) MovedMass(axis int) float64 {
	bodies := d.Weigh(d.Middle())
	sum := 0.0
	for _, name := range d.Spec.CarriedBy(d.Spec.Axes[axis].Item.Moves.Text) {
		for i, b := range d.Spec.Bodies {
			if b.Name == name {
				sum += bodies[i].Mass
			}
		}
	}
	return sum
}

// Heaps are what each body weighs in a pose, by kind of part, with its centre.
func (d *Model) Heaps(p Pose) ([]map[MassKind]Heap, error) {
	shift := d.Shifts(p)
	bodies := make([]map[MassKind]Heap, len(d.Spec.Bodies))
	for i := range bodies {
		bodies[i] = map[MassKind]Heap{}
	}
	add := func(body int, kind MassKind, mass float64, at r3.Vec) {
		h := bodies[body][kind]
		h.add(mass, r3.Add(at, shift[body]))
		bodies[body][kind] = h
	}
	for i := range d.Bars {
		b := &d.Bars[i]
		fill, err := d.FillMass(b)
		if err != nil {
			return nil, err
		}
		add(b.Body, FillMass, fill, b.middle())
		add(b.Body, MemberMass, b.Mass()-fill, b.middle())
		add(b.Body, RailMass, b.rails*b.Length(), b.railMiddle())
	}
	for _, m := range d.masses {
		p := &d.Parts[m.Part]
		add(d.BodyIndex(p.body), p.weighs, m.Mass, r3.Add(d.Nodes[m.At.Node], m.At.Arm))
	}
	return bodies, nil
}

// Masses are what each body weighs, by kind of part [kg].
func (d *Model) Masses() ([]map[MassKind]float64, error) {
	heaps, err := d.Heaps(d.Middle())
	bodies := make([]map[MassKind]float64, len(heaps))
	for i, kinds := range heaps {
		bodies[i] = map[MassKind]float64{}
		for kind, h := range kinds {
			bodies[i][kind] = h.Mass
		}
	}
	return bodies, err
}

// A Lump is a part that weighs where it is, and is no member: a carriage, a screw, a motor, a spindle, a listed mass.
type Lump struct {
	Name string // "motor of axis z"
	Kind MassKind
	Body string
	Mass float64 // [kg]
	Log  *spec.Log
}

// Lumps are those parts, in the order in which they were read.
func (d *Model) Lumps() (list []Lump) {
	at := map[int]int{}
	for _, m := range d.masses {
		i, ok := at[m.Part]
		if !ok {
			p := &d.Parts[m.Part]
			i = len(list)
			at[m.Part] = i
			list = append(list, Lump{Name: p.name, Kind: p.weighs, Body: p.body, Log: p.Log})
		}
		list[i].Mass += m.Mass
	}
	return list
}

// RailKinds are the kinds of rail with the members under them: each member once a line of rail that lies on it.
func (d *Model) RailKinds() (names []string, under map[string][]*Bar) {
	under = map[string][]*Bar{}
	for _, a := range d.Spec.Axes {
		for _, g := range a.Item.Guides {
			name := g.Item.Rail.Text
			if under[name] == nil {
				names = append(names, name)
			}
			met := map[string]bool{} // patterns may name a member twice
			for _, over := range g.Item.Over {
				body, members := d.Spec.Match(over.Text)
				for _, member := range members {
					if full := body + "." + member; !met[full] {
						met[full] = true
						under[name] = append(under[name], &d.Bars[d.ByName[full]])
					}
				}
			}
		}
	}
	return names, under
}

// MassLog is what the mass of a kind of part rests on.
func (d *Model) MassLog(kind MassKind) *spec.Log {
	log := &spec.Log{}
	for i := range d.Bars {
		b := &d.Bars[i]
		switch {
		case kind == MemberMass, kind == FillMass && b.Section.Fill != nil:
			log.Rest(b.Section.Weighs, b.Lies)
		case kind == RailMass && b.Rails != nil:
			log.Rest(b.Rails, b.Lies)
		}
	}
	for _, p := range d.Parts {
		if p.kind == massPart && p.weighs == kind {
			log.Rest(p.Log)
		}
	}
	return log
}

// railMiddle is the middle of the rails on a bar, which reach from one end of its axis to the other.
func (b *Bar) railMiddle() r3.Vec { return r3.Scale(0.5, r3.Add(b.From, b.To)) }

// FillMass is what a bar's fill weighs, as the bar is cut [kg].
func (d *Model) FillMass(b *Bar) (float64, error) {
	if b.Section.Fill == nil {
		return 0, nil
	}
	bare, err := FillOf(b.Section.Stock, nil, d.Read)
	return (b.Whole.MassPerLength-bare.Loose.MassPerLength)*b.Long() - b.Displaced, err
}

// HasFill reports whether any member is filled.
func (d *Model) HasFill() bool {
	for i := range d.Bars {
		if d.Bars[i].Section.Fill != nil {
			return true
		}
	}
	return false
}

// Join adds another heap.
func (h *Heap) Join(other Heap) {
	h.Mass += other.Mass
	h.Moment = r3.Add(h.Moment, other.Moment)
}
