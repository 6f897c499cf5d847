package machine

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/drive"
	"ironbed/compiler/frame"
	"ironbed/spec"
)

// A MassKind is the sort of thing that weighs.
type MassKind string

// The kinds of mass, in the order in which they are listed.
const (
	MemberMass   MassKind = "members"
	FillMass     MassKind = "fill"
	RailMass     MassKind = "rails"
	CarriageMass MassKind = "carriages"
	ScrewMass    MassKind = "screws and nuts"
	TrainMass    MassKind = "racks, pinions, belts, pulleys, cross shafts"
	MotorMass    MassKind = "motors and reductions"
	SpindleMass  MassKind = "spindle"
	ListedMass   MassKind = "masses listed by bodies"
)

// MassKinds are all of them.
var MassKinds = [...]MassKind{MemberMass, FillMass, RailMass, CarriageMass, ScrewMass, TrainMass, MotorMass, SpindleMass, ListedMass}

// ridingKinds say which kind of mass a part of a drive is; all others are in the train of a rack
// or a belt.
var ridingKinds = map[spec.RidingKind]MassKind{
	spec.RidingScrew:     ScrewMass,
	spec.RidingNut:       ScrewMass,
	spec.RidingMotor:     MotorMass,
	spec.RidingReduction: MotorMass,
}

// A riding is a part of a drive with its mass, where it rides.
type riding struct {
	what string // "screw"
	kind MassKind
	body int
	mass float64       // in all [kg]
	at   []frame.Point // the nodes that carry it, alike, with their arms to it
	log  *spec.Log     // what was read for it
}

// addRiding hangs the parts of an axis's drives on the nodes where they ride.
func (d *Model) addRiding(axis int) error {
	e := &d.Spec.Axes[axis]
	for i := range e.Item.Drives {
		v := &e.Item.Drives[i]
		list, err := d.ridingOf(axis, v)
		if err == nil && e.Item.CrossShaft != nil {
			list, err = d.withCrossShaft(axis, &v.Item, list)
		}
		if err != nil {
			return err
		}
		for _, r := range list {
			n := d.addPart(part{
				name:   r.what + " of axis " + e.Name + driveSuffix(e, v.Name),
				kind:   massPart,
				weighs: r.kind,
				body:   d.Spec.Bodies[r.body].Name,
				At:     v.At,
			})
			d.Parts[n].Log.Rest(r.log, d.places[r.body])
			for _, at := range r.at {
				d.masses = append(d.masses, frame.Mass{At: at, Mass: r.mass / float64(len(r.at)), Part: n})
			}
		}
	}
	return nil
}

// ridingOf gathers the parts of a drive that weigh and that no body lists. A screw, a rack and
// a belt reach along the travel, from their first node toward the other one of the drive, and weigh
// on their two ends alike; each end is carried by the nearest node of their body.
func (d *Model) ridingOf(axis int, e *spec.Entry[spec.Drive]) (list []riding, err error) {
	a, v := &d.Spec.Axes[axis], &e.Item
	for _, p := range d.Spec.Riding(a, e) {
		if p.Listed() != "" {
			continue
		}
		node := d.Node[p.Node.Text]
		read := d.Read.Into(&spec.Log{})
		r := riding{what: string(p.Kind), kind: TrainMass, body: d.NodeBody[node], log: read.Log(), mass: read.Of(p.Mass)}
		if kind, ok := ridingKinds[p.Kind]; ok {
			r.kind = kind
		}
		on := func(node int, place r3.Vec) {
			r.at = append(r.at, frame.Point{Node: node, Arm: r3.Sub(place, d.Nodes[node])})
		}
		spread := func(from, to r3.Vec) {
			on(d.nearestOf(r.body, from), from)
			on(d.nearestOf(r.body, to), to)
		}
		start, along := d.Nodes[node], d.driveDirection(axis, v, node)
		switch p.Kind {
		case spec.RidingScrew:
			length := read.Of(v.Screw.Length)
			if !p.Mass.Given {
				density := read.Of(d.Spec.Material("screw steel").Density)
				if r.mass, err = drive.ScrewMass(read.Of(v.Screw.Diameter), read.Of(v.Screw.Root), length, density); err != nil {
					return nil, err
				}
			}
			if read.Word(v.Screw.Ends) == drive.FixedFree.String() {
				on(node, r3.Add(start, r3.Scale(length/2, along)))
			} else {
				spread(start, r3.Add(start, r3.Scale(length, along)))
			}
		case spec.RidingBelt:
			length := read.Of(v.Belt.CentreDistance)
			r.mass *= length
			if !v.Belt.Omega() {
				r.mass *= 2
			}
			spread(start, r3.Add(start, r3.Scale(length, along)))
		case spec.RidingPulleys:
			if v.Belt.Omega() {
				on(node, start)
			} else {
				spread(start, r3.Add(start, r3.Scale(read.Of(v.Belt.CentreDistance), along)))
			}
		case spec.RidingRack:
			travel := read.Of(a.Item.Travel)
			r.mass *= travel
			middle := r3.Add(start, r3.Scale(d.driveOffset(axis, v, node), Unit(a.Item.Direction.XYZ)))
			spread(r3.Sub(middle, r3.Scale(travel/2, along)), r3.Add(middle, r3.Scale(travel/2, along)))
		default:
			on(node, r3.Add(start, Vector(read, p.Offset)))
		}
		if r.mass > 0 {
			list = append(list, r)
		}
	}
	return list, nil
}

// withCrossShaft adds a drive's half of the shaft that turns two of them, where it is turned.
func (d *Model) withCrossShaft(axis int, v *spec.Drive, list []riding) ([]riding, error) {
	a := &d.Spec.Axes[axis].Item
	read := d.Read.Into(&spec.Log{})
	mass, err := drive.ShaftMass(read.Of(a.CrossShaft.Diameter), read.Of(a.CrossShaft.Length), read.Of(d.Spec.Material("steel").Density))
	node := d.Node[v.Motorside().Text]
	half := mass / float64(len(a.Drives))
	return append(list, riding{"cross shaft", TrainMass, d.NodeBody[node], half, []frame.Point{frame.At(node)}, read.Log()}), err
}

// driveOffset is how far along the travel a drive's other node stands from one of its two, with the
// axis in the middle of its travel [m].
func (d *Model) driveOffset(axis int, v *spec.Drive, node int) float64 {
	nodes, _ := v.Ends()
	other := d.Node[nodes[0].Text]
	if other == node {
		other = d.Node[nodes[1].Text]
	}
	shift := d.Shifts(d.Middle())
	gap := r3.Sub(r3.Add(d.Nodes[other], shift[d.NodeBody[other]]), r3.Add(d.Nodes[node], shift[d.NodeBody[node]]))
	return r3.Dot(Unit(d.Spec.Axes[axis].Item.Direction.XYZ), gap)
}

// driveDirection points along the travel from one of a drive's two nodes to where the other
// stands in the middle of the travel.
func (d *Model) driveDirection(axis int, v *spec.Drive, node int) r3.Vec {
	travel := Unit(d.Spec.Axes[axis].Item.Direction.XYZ)
	if d.driveOffset(axis, v, node) < -sameSpot {
		return r3.Scale(-1, travel)
	}
	return travel
}

// sameSpot is how much nearer a node must be to a place than another one to be taken for it [m].
const sameSpot = 1e-6

// nearestOf is the node of a body that is nearest to a place, as drawn; the first of those that
// are alike.
func (d *Model) nearestOf(body int, place r3.Vec) int {
	nearest, best := -1, math.Inf(1)
	first := d.Node[d.Spec.Bodies[body].Name+"."+d.Spec.Bodies[body].Item.Nodes[0].Name]
	for n := first; n < first+len(d.Spec.Bodies[body].Item.Nodes); n++ {
		if away := r3.Norm(r3.Sub(d.Nodes[n], place)); away < best-sameSpot {
			nearest, best = n, away
		}
	}
	return nearest
}

// MovedMore is how much more an axis moves with other drives in place of its own, less where
// it is negative [kg].
func (d *Model) MovedMore(axis int, with []*spec.Entry[spec.Drive], log *spec.Log) (more float64, err error) {
	a := &d.Spec.Axes[axis].Item
	carried := d.Spec.CarriedBy(a.Moves.Text)
	sum := func(e *spec.Entry[spec.Drive]) (rides float64, err error) {
		list, err := d.ridingOf(axis, e)
		for _, r := range list {
			if slices.Contains(carried, d.Spec.Bodies[r.body].Name) {
				rides += r.mass
				log.Rest(r.log)
			}
		}
		return rides, err
	}
	for _, e := range with {
		rides, err := sum(e)
		if err != nil {
			return 0, err
		}
		more += rides
	}
	for i := range a.Drives {
		rides, err := sum(&a.Drives[i])
		if err != nil {
			return 0, err
		}
		more -= rides
	}
	return more, nil
}

// PartsListed are the parts of drives that a body's own list of masses stands for, each as
// "motor of axis z: saddle.motor".
func (d *Model) PartsListed() (list []string) {
	for i := range d.Spec.Axes {
		a := &d.Spec.Axes[i]
		for k := range a.Item.Drives {
			for _, p := range d.Spec.Riding(a, &a.Item.Drives[k]) {
				if name := p.Listed(); name != "" {
					body, _, _ := strings.Cut(p.Node.Text, ".")
					list = append(list, string(p.Kind)+" of axis "+a.Name+driveSuffix(a, a.Item.Drives[k].Name)+": "+body+"."+name)
				}
			}
		}
	}
	return list
}
