package axis

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/drive"
	"ironbed/compiler/guide"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

const (
	// skew is by how much the two sides are set apart to see what it does [m].
	skew = 0.1e-3
	// trialShaft is the shaft that is tried across where the spec has none: as thick
	// as a fortieth of its length [-]; common practice.
	trialShaft = 1.0 / 40
	// leastApart is how far apart two drives stand at the least to hold an axis
	// square [m].
	leastApart = 1e-3
)

// rack computes how every axis on two drives stays square.
func (s *Solution) rack() error {
	if s.Worst == nil {
		return nil
	}
	for i := range s.Spec.Axes {
		a := &s.Spec.Axes[i]
		if len(a.Item.Drives) != 2 {
			continue
		}
		r := &Racking{Axis: i}
		if err := s.racks(r); err != nil {
			return &machine.Refused{Rule: "racking", At: a.At, Message: fmt.Sprintf("axis %s: %v", a.Name, err)}
		}
		s.Racking = append(s.Racking, r)
	}
	return nil
}

// racks computes how one axis on two drives stays square.
func (s *Solution) racks(r *Racking) error {
	var drives []*Driven
	for _, v := range s.Drives {
		if v.Axis == r.Axis {
			drives = append(drives, v)
		}
	}
	copy(r.Sides[:], drives)
	var err error
	r.log = &spec.Log{}
	if r.at, err = everyEnd(r.log, func(read spec.Reader) (gantry, error) { return s.gantry(r, read) }); err != nil {
		return err
	}
	middle := &r.at[spec.Middle]
	r.Loose, r.Known = middle.loose, middle.known
	if !r.Known {
		return nil
	}
	for end := range r.at {
		if !r.at[end].known {
			r.at[end] = *middle
		}
	}
	r.Force, _ = s.LoadAlong(machine.Unit(s.Spec.Axes[r.Axis].Item.Direction.XYZ), spec.Middle)
	r.Place = middle.place
	for _, step := range []func(*Racking) error{s.underCut, s.setApart, s.runApart} {
		if err := step(r); err != nil {
			return err
		}
	}
	return nil
}

// gantry measures an axis on two drives.
func (s *Solution) gantry(r *Racking, read spec.Reader) (g gantry, err error) {
	a, d := &s.Spec.Axes[r.Axis].Item, s.modelAt(read.Bound())
	posed, err := d.At(d.Middle())
	if err != nil {
		return g, err
	}
	layout, ok := d.LayoutOf(r.Axis, &machine.Solved{Posed: posed})
	if g.layout, g.loose = layout, !ok; g.loose {
		return g, nil
	}
	for i := range a.Guides {
		s.readNodes(read, a.Guides[i].Item.Carriages...)
	}
	var across, shares, stiffness [2]float64
	for k, v := range r.Sides {
		in, out := v.at(read.Bound())
		shares[k], stiffness[k] = in.CutShare, out.Stiffness
		nodes, _ := v.Entry.Item.Ends()
		s.readNodes(read, nodes[0])
		across[k] = r3.Dot(layout.Axes[1], r3.Sub(d.Nodes[d.Node[nodes[0].Text]], layout.Centre))
	}
	if g.apart = math.Abs(across[0] - across[1]); g.apart < leastApart {
		return g, nil
	}
	radial, lateral, err := machine.CarriageStiffness(read, s.Spec.Rails.Find(a.Guides[0].Item.Rail.Text))
	if err != nil {
		return g, err
	}
	held, err := (guide.Table{Spread: layout.Spread, Pitch: layout.Pitch}).Stiffness(radial, lateral)
	if err != nil {
		return g, err
	}
	g.known, g.yaw = true, held.Yaw
	g.place = math.Copysign(math.Max(0, 2*(shares[0]-0.5)), across[0]) * g.apart / 2
	g.left = guide.Side{Across: across[0], Stiffness: stiffness[0]}
	g.right = guide.Side{Across: across[1], Stiffness: stiffness[1]}
	if a.CrossShaft != nil {
		g.right.Stiffness = g.left.Stiffness // its own has the shaft's twist in it
	}
	return g, nil
}

// readNodes keeps in the reader's log where nodes lie.
func (s *Solution) readNodes(read spec.Reader, nodes ...spec.Text) {
	for _, n := range nodes {
		body, node, _ := strings.Cut(n.Text, ".")
		if b := s.Spec.Bodies.Find(body); b != nil {
			if at := b.Nodes.Find(node); at != nil {
				read.Vector(*at)
			}
		}
	}
}

// underCut racks an axis by the most demanding cut, driven in each of three ways.
func (s *Solution) underCut(r *Racking) error {
	var err error
	if r.One, err = s.way(r, func(_ spec.Reader, g gantry) ([]guide.Side, error) { return []guide.Side{g.left}, nil }); err != nil {
		return err
	}
	if r.Two, err = s.way(r, func(_ spec.Reader, g gantry) ([]guide.Side, error) { return []guide.Side{g.left, g.right}, nil }); err != nil {
		return err
	}
	r.Coupled, err = s.way(r, func(read spec.Reader, g gantry) ([]guide.Side, error) {
		// The far side stands behind the shaft's twist.
		shaft, err := s.shaftAcross(r.Axis, read, g.apart)
		if err != nil {
			return nil, err
		}
		far, err := guide.ShaftedSide(g.right.Stiffness, shaft, r.Sides[0].Lead(read)/(2*math.Pi))
		return []guide.Side{g.left, {Across: g.right.Across, Stiffness: far}}, err
	})
	return err
}

// way racks an axis by the most demanding cut, with what drives its sides.
func (s *Solution) way(r *Racking, sides func(spec.Reader, gantry) ([]guide.Side, error)) (Way, error) {
	type racked struct{ angle, apart, side float64 }
	log := spec.Over(r.log)
	at, err := everyEnd(log, func(read spec.Reader) (racked, error) {
		g := r.at[read.Bound()]
		drives, err := sides(read, g)
		if err != nil {
			return racked{}, err
		}
		by, err := worseEnd(guide.Gantry{Drives: drives, Yaw: g.yaw}, r.Force, g.place)
		if err != nil {
			return racked{}, err
		}
		side, err := by.SideLoad(g.layout.Pitch)
		return racked{math.Abs(by.Angle), math.Abs(by.Angle) * g.layout.Spread, side}, err
	})
	return Way{
		Angle: pick(at, log, func(k racked) float64 { return k.angle }),
		Apart: pick(at, log, func(k racked) float64 { return k.apart }),
		Side:  pick(at, log, func(k racked) float64 { return k.side }),
	}, err
}

// worseEnd racks a gantry by a cut at each of its ends, and takes the worse: one drive
// racks most under a cut at the far end.
func worseEnd(g guide.Gantry, force, place float64) (worse guide.Racked, err error) {
	for _, end := range []float64{-place, place} {
		at, err := g.Under(force, end)
		if err != nil {
			return worse, err
		}
		// By rounding alone the second end is not the worse.
		if rank.More(math.Abs(at.Angle), math.Abs(worse.Angle)) {
			worse = at
		}
	}
	return worse, nil
}

// shaftAcross is how stiffly a shaft across turns: the one of the spec, or one that
// stands for it [N·m/rad].
func (s *Solution) shaftAcross(axis int, read spec.Reader, apart float64) (float64, error) {
	shaft := s.Spec.Axes[axis].Item.CrossShaft
	diameter, length := trialShaft*apart, apart
	if shaft != nil {
		diameter, length = read.Of(shaft.Diameter), read.Of(shaft.Length)
	}
	twist, err := drive.TwistStiffness(machine.ShaftSteel(s.Spec, "steel", machine.ReadDrive(read), machine.Coupling), diameter, length)
	couplings := twist // of a shaft that is tried: as soft as the shaft
	if shaft != nil {
		couplings = read.Of(shaft.Couplings)
	}
	return machine.InSeries(twist, couplings), err
}

// setApart sets the two sides of an axis apart.
func (s *Solution) setApart(r *Racking) error {
	type skewed struct{ side, drive float64 }
	at, err := everyEnd(nil, func(read spec.Reader) (skewed, error) {
		g := r.at[read.Bound()]
		g.left.Offset = skew
		by, err := guide.Gantry{Drives: []guide.Side{g.left, g.right}, Yaw: g.yaw}.Under(0, 0)
		if err != nil {
			return skewed{}, err
		}
		side, err := by.SideLoad(g.layout.Pitch)
		return skewed{side, math.Abs(by.Forces[0])}, err
	})
	r.OffsetSide = pick(at, r.log, func(k skewed) float64 { return k.side })
	r.OffsetDrive = pick(at, r.log, func(k skewed) float64 { return k.drive })
	return err
}

// runApart sets the gains of an axis's two servos apart.
func (s *Solution) runApart(r *Racking) error {
	for _, v := range r.Sides {
		if v.Stepping != nil {
			return nil
		}
	}
	gain := s.Follower(r.Axis).Gain
	apart, err := ends(func(read spec.Reader) (float64, error) {
		k := gain.At[read.Bound()]
		lag, err := guide.FollowingDifference(read.Of(s.Spec.Axes[r.Axis].Item.Rapid), k*(1+s.gainDifference(r.Axis, read)), k)
		return math.Abs(lag), err
	})
	if err != nil {
		return err
	}
	r.Servos = &ServoPair{Apart: apart, Side: apart.Middle() / skew * r.OffsetSide.Middle()}
	return nil
}
