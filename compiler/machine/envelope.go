package machine

import (
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/rank"
	"ironbed/spec"
)

// envelope goes through the poses for what is most and least in them, and computes that
// at the ends of the uncertainty.
func (s *Solution) envelope() (err error) {
	s.Envelope = &Envelope{}
	e := newEnds(s)
	if s.Envelope.Weakest, err = s.weakest(e); err != nil {
		return err
	}
	if s.Envelope.Sag, err = s.sags(e); err != nil {
		return err
	}
	if s.Envelope.Lags, err = s.lags(e); err != nil {
		return err
	}
	s.Envelope.Feet, err = s.feet(e)
	return err
}

// weakest finds where each direction is least stiff, with the reference cutter.
func (s *Solution) weakest(e *ends) (list [3]Weakest, err error) {
	_, cutter := s.Model.Reference()
	soft := make([]Matrix, len(s.Poses))
	for k, p := range s.Poses {
		if soft[k], _, err = s.Model.TipCompliance(p, cutter); err != nil {
			return list, err
		}
	}
	for i := range list {
		w := &list[i]
		w.At = s.Poses[rank.Most(soft, func(c Matrix) float64 { return c[i][i] })]
		w.Whole, err = e.ranged(func(d *Model, in []*Solved) (float64, error) {
			whole, _, err := d.TipCompliance(in[0], cutter)
			return 1 / whole[i][i], err
		}, w.At)
		if err != nil {
			return list, err
		}
		w.Machine, err = e.ranged(func(d *Model, in []*Solved) (float64, error) {
			_, machine, err := d.TipCompliance(in[0], cutter)
			return 1 / machine[i][i], err
		}, w.At)
		if err != nil {
			return list, err
		}
	}
	return list, nil
}

// sags finds how much the sag changes over the poses, by direction.
func (s *Solution) sags(e *ends) (list [3]Ranged, err error) {
	for i := range list {
		least, most := s.extremes(func(p *Solved) float64 { return XYZ(p.Sag)[i] })
		list[i], err = e.ranged(func(_ *Model, in []*Solved) (float64, error) {
			return XYZ(r3.Sub(in[1].Sag, in[0].Sag))[i], nil
		}, least, most)
		if err != nil {
			return list, err
		}
	}
	return list, nil
}

// lags finds how far the tool tip is displaced while each axis accelerates.
func (s *Solution) lags(e *ends) (list []Lag, err error) {
	for i, a := range s.Spec.Axes {
		read := s.Model.Read.Into(spec.Over(s.Model.Stiff))
		l := Lag{Axis: i, Acceleration: read.Of(a.Item.Acceleration), Log: read.Log()}
		if !(l.Acceleration > 0) {
			continue
		}
		_, l.At = s.extremes(func(p *Solved) float64 { return r3.Norm(p.Lag[i]) })
		l.Off = l.At.Lag[i]
		l.Size, err = e.ranged(func(_ *Model, in []*Solved) (float64, error) { return r3.Norm(in[0].Lag[i]), nil }, l.At)
		if err != nil {
			return nil, err
		}
		list = append(list, l)
	}
	return list, nil
}

// feet finds what each foot carries.
func (s *Solution) feet(e *ends) (list []FootLoad, err error) {
	for i, name := range s.Model.FootNames {
		if name == "" {
			continue
		}
		load := func(p *Solved) float64 { return p.Solution.SpringForce(GravityCase, i)[2] }
		at := func(_ *Model, in []*Solved) (float64, error) { return load(in[0]), nil }
		f := FootLoad{Name: name, Place: s.Model.Parts[s.Model.Fixed[i].Part].At}
		least, most := s.extremes(load)
		if f.Least, err = e.ranged(at, least); err != nil {
			return nil, err
		}
		if f.Most, err = e.ranged(at, most); err != nil {
			return nil, err
		}
		list = append(list, f)
	}
	return list, nil
}

// extremes are the poses in which something is least and most.
func (s *Solution) extremes(of func(*Solved) float64) (least, most *Solved) {
	least = s.Poses[rank.Most(s.Poses, func(p *Solved) float64 { return -of(p) })]
	most = s.Poses[rank.Most(s.Poses, of)]
	return least, most
}

// ends are the answers at both ends of the uncertainty, in the poses that are wanted.
type ends struct {
	middle *Model
	models [2]*Model
	known  [2]map[*Solved]*Solved // by the answer at the middle; nil where the machine does not stand
}

func newEnds(s *Solution) *ends {
	return &ends{s.Model, [2]*Model{s.SoftModel, s.StiffModel}, [2]map[*Solved]*Solved{{s.Worst: s.Soft}, {s.Worst: s.Stiff}}}
}

// ranged computes something of the answers in some poses, at the middle of the values
// and at both ends of them.
func (e *ends) ranged(of func(d *Model, in []*Solved) (float64, error), at ...*Solved) (out Ranged, err error) {
	if out.Middle, err = of(e.middle, at); err != nil {
		return out, err
	}
	var values [2]float64
	var stands [2]bool
	EachParallel(2, func(k int) {
		var in []*Solved
		for _, p := range at {
			in = append(in, e.in(k, p))
		}
		// An end may lie where the machine does not stand in that pose.
		for _, p := range in {
			if p == nil {
				return
			}
		}
		v, err := of(e.models[k], in)
		values[k], stands[k] = v, err == nil
	})
	for k, v := range values {
		if stands[k] {
			out.Ends = append(out.Ends, v)
		}
	}
	return out, nil
}

// in solves a pose at an end of the uncertainty, once.
func (e *ends) in(k int, p *Solved) *Solved {
	s, known := e.known[k][p]
	if !known {
		s, _ = e.models[k].Solve(p.Pose)
		e.known[k][p] = s
	}
	return s
}
