package axis

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/drive"
	"ironbed/compiler/grease"
	"ironbed/compiler/machine"
	"ironbed/compiler/motor"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// OffLine is how far nut and bearing are out of line where their force is stated [m].
const OffLine = 0.1e-3

// An Alignment is how a screw's nut stands to its fixed bearing.
type Alignment struct {
	*Driven
	Nearest Ends // of the nut to the fixed bearing, over the travel [m]
	Force   Ends // across the screw there, [OffLine] out of line; zero where the two are too near to tell [N]
	Preload Ends // torque that turns the screw against its preload and its drag; zero without a preload [N·m]
}

// nearBearing is how near nut and bearing may stand over the screw's diameter, so that the screw still bends like a beam [-].
const nearBearing = 2

// Alignments are those of the drives with a screw that turns, one of those that are alike.
func (s *Solution) Alignments() (list []Alignment, err error) {
	for _, v := range s.Drives {
		screw := v.Entry.Item.Screw
		if screw == nil || v.Same || v.Entry.Item.Nut.Text == "" {
			continue
		}
		a := Alignment{Driven: v}
		along := machine.Unit(s.Spec.Axes[v.Axis].Item.Direction.XYZ)
		if a.Nearest, err = ends(func(read spec.Reader) (float64, error) {
			least := math.Inf(1)
			for _, share := range []float64{0, 1} {
				shares := s.halfway()
				shares[v.Axis] = share
				nut, bearing := v.Entry.Item.Nut.Text, v.Entry.Item.Bearing.Text
				apart := s.apart(read, nut, bearing, along)
				d := r3.Sub(s.shifted(read, apart, nut, shares), s.shifted(read, apart, bearing, shares))
				least = math.Min(least, math.Abs(r3.Dot(along, d)))
			}
			return least, nil
		}); err != nil {
			return nil, err
		}
		if least, diameter := a.Nearest.Middle(), s.Model.Read.Of(screw.Diameter); rank.More(least, nearBearing*diameter) {
			steel := machine.MaterialOf(s.Spec, "screw steel", s.Model.Read)
			if a.Force, err = ends(func(read spec.Reader) (float64, error) {
				return drive.OffLineForce(steel.E, read.Of(screw.Root), OffLine, a.Nearest.At[read.Bound()])
			}); err != nil {
				return nil, err
			}
			a.Force.Log.Rest(a.Nearest.Log)
		}
		if screw.Preload.Given {
			if a.Preload, err = ends(func(read spec.Reader) (float64, error) {
				t, err := drive.PreloadTorque(read.Of(screw.Preload), read.Of(screw.Lead), read.Of(screw.Diameter))
				return t + read.Of(screw.Drag), err
			}); err != nil {
				return nil, err
			}
		}
		list = append(list, a)
	}
	return list, nil
}

// tripShare is the share of a carriage's dynamic rating that its lateral load may take before two sides are stopped [-]; common practice.
const tripShare = 0.1

// TripApart is how far the two sides of an axis may run apart before their drives have to stop: a tenth of a carriage's rating; false where that is not known [m].
func (s *Solution) TripApart(r *Racking) (e Ends, known bool) {
	if !r.Known {
		return e, false
	}
	rail := s.Spec.Rails.Find(s.Spec.Axes[r.Axis].Item.Guides[0].Item.Rail.Text)
	e, err := ends(func(read spec.Reader) (float64, error) {
		if load := r.OffsetSide.At[read.Bound()]; load > 0 {
			return skew * tripShare * read.Of(rail.Dynamic) / load, nil
		}
		return 0, nil
	})
	if err != nil || e.Middle() <= 0 {
		return e, false
	}
	e.Log.Rest(r.OffsetSide.Log)
	return e, true
}

// A Greasing is when the rails, the nut and the first bearing of an axis are greased again.
type Greasing struct {
	Axis    int
	Mean    Ends // speed over its duty [m/s]
	Rails   Ends // running time of carriages and nut [s]
	Bearing Ends // of a screw's first bearing; zero where there is none that turns [s]
	Weekly  Ends // time that the axes run in a week [s]
}

// Greasings are those of the axes with a drive.
func (s *Solution) Greasings() (list []Greasing, err error) {
	u := s.Spec.Upkeep
	for _, f := range s.Followers {
		g, v := Greasing{Axis: f.Axis}, f.Drive
		log := v.Read.Log(machine.Duty)
		if g.Mean, err = ends(func(read spec.Reader) (float64, error) {
			in, out := v.at(read.Bound())
			return meanSpeed(in.Duty, out.Duty), nil
		}); err != nil {
			return nil, err
		}
		g.Mean.Log.Rest(log)
		if g.Mean.Middle() <= 0 {
			continue
		}
		if g.Rails, err = ends(func(read spec.Reader) (float64, error) {
			return grease.After(read.Of(u.GreaseTravel), g.Mean.At[read.Bound()])
		}); err != nil {
			return nil, err
		}
		g.Rails.Log.Rest(log)
		if screw := v.Entry.Item.Screw; screw != nil && !screw.NutTurns() {
			if g.Bearing, err = ends(func(read spec.Reader) (float64, error) {
				return grease.Interval(grease.Deep, g.Mean.At[read.Bound()]/read.Of(screw.Lead), read.Of(screw.BearingBore))
			}); err != nil {
				return nil, err
			}
			g.Bearing.Log.Rest(log)
		}
		if g.Weekly, err = ends(func(read spec.Reader) (float64, error) { return read.Of(u.Running), nil }); err != nil {
			return nil, err
		}
		list = append(list, g)
	}
	return list, nil
}

// meanSpeed is the way of a duty over its time [m/s].
func meanSpeed(duty []motor.Segment, demand motor.Demand) float64 {
	way := 0.0
	for _, d := range duty {
		way += d.Distance
	}
	if demand.Time <= 0 {
		return 0
	}
	return way / demand.Time
}
