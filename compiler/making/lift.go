package making

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/lift"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// A Stage is how far a body is made when it is lifted.
type Stage string

// The stages.
const (
	Welded   Stage = "members alone"
	Filled   Stage = "members and fill"
	Complete Stage = "complete"
)

// stageKinds are the kinds of mass that are there.
var stageKinds = map[Stage][]machine.MassKind{
	Welded:   {machine.MemberMass},
	Filled:   {machine.MemberMass, machine.FillMass},
	Complete: machine.MassKinds[:],
}

// A Lift is a body, or several that hang together, as it is lifted.
type Lift struct {
	Bodies []string // the one that carries the others first
	Whole  bool     // all of the machine
	Stage  Stage
	Mass   float64 // [kg]
	Centre [3]float64
	Low    [3]float64 // the corner of its box from which places are counted, members alone [m]
	Size   [3]float64 // of that box; zero where it has no members [m]

	ends []*Lift

	Log    *spec.Log // what its mass rests on
	Places *spec.Log // what its box rests on
}

// Ends are a number of a lift at the ends of the uncertainty.
func (l *Lift) Ends(of func(*Lift) float64) (list []float64) {
	for _, end := range l.ends {
		list = append(list, of(end))
	}
	return list
}

// Lifts are the bodies one by one as they are made, each with what it carries, and the whole machine, axes in the middle of their
// travel.
func Lifts(s *machine.Solution) ([]Lift, error) {
	list, err := lifts(s.Model)
	if err != nil {
		return nil, err
	}
	for _, d := range s.Ends() {
		end, err := lifts(d)
		if err != nil || len(end) != len(list) {
			continue
		}
		for i := range list {
			list[i].ends = append(list[i].ends, &end[i])
		}
	}
	return list, nil
}

func lifts(d *machine.Model) (list []Lift, err error) {
	heaps, err := d.Heaps(d.Middle())
	if err != nil {
		return nil, err
	}
	shift := d.Shifts(d.Middle())
	add := func(bodies []string, whole bool, stage Stage) {
		l := Lift{Bodies: bodies, Whole: whole, Stage: stage, Log: &spec.Log{}, Places: &spec.Log{}}
		var sum machine.Heap
		var box [3]machine.ReachAlong
		any := false
		for _, name := range bodies {
			body := d.BodyIndex(name)
			for _, kind := range stageKinds[stage] {
				sum.Join(heaps[body][kind])
			}
			l.Log.Rest(d.BodyWeight[body])
			for i := range d.Bars {
				b := &d.Bars[i]
				if b.Body != body {
					continue
				}
				any = true
				l.Places.Rest(b.Lies, shaping(b.Section.Weighs))
				for k, axis := range [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
					below, above := b.Reaches(r3.Scale(-1, axis)), b.Reaches(axis)
					for _, p := range []r3.Vec{b.From, b.To} {
						at := machine.XYZ(r3.Add(p, shift[body]))[k]
						box[k].Take(at - below)
						box[k].Take(at + above)
					}
				}
			}
		}
		if sum.Mass <= 0 {
			return
		}
		l.Mass, l.Centre = sum.Mass, machine.XYZ(sum.Centre())
		if any {
			for k := range box {
				l.Low[k], l.Size[k] = box[k].Low, box[k].Length()
			}
		}
		list = append(list, l)
	}
	for i, b := range d.Spec.Bodies {
		one := []string{b.Name}
		members, fills := heaps[i][machine.MemberMass].Mass, heaps[i][machine.FillMass].Mass
		all := 0.0
		for _, h := range heaps[i] {
			all += h.Mass
		}
		if fills > 0 {
			add(one, false, Welded)
			add(one, false, Filled)
		} else if members > 0 && members < all*(1-noise) {
			add(one, false, Welded)
		}
		if members+fills < all*(1-noise) || fills == 0 {
			add(one, false, Complete)
		}
	}
	for _, a := range d.Spec.Axes {
		if carried := d.Spec.CarriedBy(a.Item.Moves.Text); len(carried) > 1 && !slices.ContainsFunc(list, func(l Lift) bool { return len(l.Bodies) > 1 && l.Bodies[0] == a.Item.Moves.Text }) {
			carried = slices.Clone(carried)
			// The body that moves comes first.
			at := max(0, slices.Index(carried, a.Item.Moves.Text))
			carried[0], carried[at] = carried[at], carried[0]
			add(carried, false, Complete)
		}
	}
	if len(d.Spec.Bodies) > 1 {
		var all []string
		for _, b := range d.Spec.Bodies {
			all = append(all, b.Name)
		}
		add(all, true, Complete)
	}
	return list, nil
}

// noise is by how much two masses that ought to be equal may differ [-].
const noise = 1e-9

// A Stand is how the machine stands on its feet.
type Stand struct {
	Area   float64 // that the feet span [m2]
	Weight float64 // [N]
	Margin float64 // least over the positions, below zero where it tips [m]
	At     machine.Pose
	Slope  float64 // at which it tips there; 0 where it tips by itself [rad]
	Push   float64 // at its top that tips it there; 0 where it tips by itself [N]
	Top    float64 // height of that push over the lowest foot [m]

	Pads []Pad

	Log *spec.Log // what the margin rests on
}

// A Pad is what a foot asks of the floor.
type Pad struct {
	Name     string
	Force    machine.Ranged // the most over the positions [N]
	Pressure machine.Ranged // under its pad [Pa]
	Log      *spec.Log
}

// Standing is how the machine stands; nil where it has no three feet that span an area. The positions are those that were solved.
func Standing(s *machine.Solution) (*Stand, []*Stand, error) {
	middle, err := standing(s, s.Model)
	if middle == nil || err != nil {
		return nil, nil, err
	}
	var ends []*Stand
	for _, d := range s.Ends() {
		if end, err := standing(s, d); err == nil && end != nil {
			ends = append(ends, end)
		}
	}
	return middle, ends, pads(s, middle)
}

func standing(s *machine.Solution, d *machine.Model) (*Stand, error) {
	var feet []lift.Point
	low, top := math.Inf(1), math.Inf(-1)
	for _, b := range d.Spec.Bodies {
		for _, f := range b.Item.Feet {
			at := d.Nodes[d.Node[b.Name+"."+f.Item.Node.Text]]
			feet = append(feet, lift.Point{X: at.X, Y: at.Y})
			low = math.Min(low, at.Z)
		}
	}
	if _, _, err := lift.Margin(feet, lift.Point{}); err != nil {
		return nil, nil // they are on one line, or too few
	}
	poses := []machine.Pose{d.Middle()}
	for _, p := range s.Poses {
		poses = append(poses, p.Pose)
	}
	out := &Stand{Margin: math.Inf(1), Log: spec.Over(d.Weight)}
	var height float64
	for _, p := range poses {
		var sum machine.Heap
		for _, h := range d.Weigh(p) {
			sum.Join(h)
		}
		c := sum.Centre()
		m, area, err := lift.Margin(feet, lift.Point{X: c.X, Y: c.Y})
		if err != nil {
			return nil, err
		}
		out.Area, out.Weight = area, -machine.Gravity.Z*sum.Mass
		if rank.More(out.Margin, m) {
			out.Margin, out.At, height = m, p, c.Z-low
		}
	}
	for i := range d.Bars {
		for _, p := range []r3.Vec{d.Bars[i].From, d.Bars[i].To} {
			top = math.Max(top, p.Z+d.Bars[i].Reaches(r3.Vec{Z: 1}))
		}
	}
	out.Top = top - low
	if out.Margin <= 0 || height <= 0 || out.Top <= 0 {
		return out, nil
	}
	var err error
	if out.Slope, err = lift.TippingAngle(out.Margin, height); err != nil {
		return nil, err
	}
	out.Push, err = lift.TippingPush(out.Weight, out.Margin, out.Top)
	return out, err
}

// pads finds what the feet press on the floor.
func pads(s *machine.Solution, stand *Stand) error {
	if s.Envelope == nil {
		return nil
	}
	byName := map[string]*spec.Foot{}
	for i := range s.Spec.Bodies {
		b := &s.Spec.Bodies[i]
		for k := range b.Item.Feet {
			byName[b.Name+"."+b.Item.Feet[k].Name] = &b.Item.Feet[k].Item
		}
	}
	for _, load := range s.Envelope.Feet {
		f := byName[load.Name]
		if f == nil {
			continue
		}
		p := Pad{Name: load.Name, Force: load.Most, Log: spec.Over(s.Model.Stiff, s.Model.Weight)}
		read := s.Model.Read.Into(p.Log)
		low, middle, high := read.Span(f.Pad)
		of := func(force, diameter float64) (float64, error) { return lift.PadPressure(math.Max(0, force), diameter) }
		var err error
		if p.Pressure.Middle, err = of(p.Force.Middle, middle); err != nil {
			return err
		}
		for _, force := range append([]float64{p.Force.Middle}, p.Force.Ends...) {
			for _, d := range []float64{low, high} {
				v, err := of(force, d)
				if err != nil {
					return err
				}
				p.Pressure.Ends = append(p.Pressure.Ends, v)
			}
		}
		stand.Pads = append(stand.Pads, p)
	}
	return nil
}
