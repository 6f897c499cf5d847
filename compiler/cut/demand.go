package cut

import (
	"math"
	"slices"

	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// A Load is what one cut, one finish pass or one hole puts on the machine.
type Load struct {
	Lateral  float64     // across the cutter [N]
	Axial    float64     // along it [N]
	Axials   reach.Range // the same at the ends of its uncertainty [N]
	Torque   float64     // about it [N·m]
	Feed     float64     // [m/s]
	Plunging bool        // it is fed along the cutter and pushes it off the workpiece alone: a drill

	Cutter     *spec.Cutter
	CutterName string
	Operation  string
	Target     string
	Log        *spec.Log // what was read for it
}

// A Demand is what the cuts of a machine ask of it.
type Demand struct {
	Load        // the best cut with the largest force across the cutter, over all targets
	List []Load // of every cut, finish pass and hole those that no other exceeds in everything
}

// Finishing and Drilling are the loads that are no roughing cut.
const (
	Finishing = "finishing"
	Drilling  = "drilling"
)

// AxialAt is the force along the cutter at an end of the uncertainty [N].
func (l *Load) AxialAt(end spec.Bound) float64 {
	switch {
	case l.Axials == (reach.Range{}):
	case end == spec.Worse, end == spec.High:
		return l.Axials.Max
	case end == spec.Better, end == spec.Low:
		return l.Axials.Min
	}
	return l.Axial
}

// Loads are the loads that everything which bears the cut is held against. The demand's own
// stands for them where no others were found.
func (d *Demand) Loads() []Load {
	if len(d.List) == 0 {
		return []Load{d.Load}
	}
	return d.List
}

// Across is the load with the largest force across the cutter.
func (d *Demand) Across() Load { return d.most(func(l *Load) float64 { return l.Lateral }) }

// Along is the load with the largest force along it.
func (d *Demand) Along() Load { return d.most(func(l *Load) float64 { return l.Axial }) }

func (d *Demand) most(of func(*Load) float64) Load {
	list := d.Loads()
	most := &list[0]
	for i := range list {
		if rank.More(of(&list[i]), of(most)) {
			most = &list[i]
		}
	}
	return *most
}

// demand keeps the best cut that pushes hardest across its cutter.
func (out *Answers) demand(m *spec.Machine, a *Answer) {
	if p := a.Point(); p != nil && rank.More(p.PeakLateral, out.Demand.Lateral) {
		out.Demand.Load = loadOf(m, a, a.Best(), a.Best().Operation, p)
	}
}

// loadOf is the load of a working point.
func loadOf(m *spec.Machine, a *Answer, by *Attempt, operation string, p *reach.Point) Load {
	return Load{Lateral: p.PeakLateral, Axial: p.PeakAxial, Torque: p.Torque, Feed: p.Feed,
		Cutter: m.Cutters.Find(by.Cutter), CutterName: by.Cutter, Operation: operation, Target: a.Entry.Name, Log: by.Log}
}

// loads gathers the loads of all that a machine is told to do: the best cut of each cutter,
// face milling, the fastest cut, the holes.
func (out *Answers) loads(s *machine.Solution) {
	m := s.Spec
	var all []Load
	if out.Demand.Target != "" {
		all = append(all, out.Demand.Load) // of equals the one that is named first
	}
	for i := range out.List {
		a := &out.List[i]
		for k := range a.Attempts {
			at := &a.Attempts[k]
			if at.Best.Best != nil {
				all = append(all, loadOf(m, a, at, at.Operation, at.Best.Best))
			}
			for n := range at.Outcomes {
				if o := &at.Outcomes[n]; o.Operation.Name == FaceMilling && o.Best != nil {
					all = append(all, loadOf(m, a, at, FaceMilling, o.Best))
				}
			}
		}
		if a.Fastest.Point != nil {
			all = append(all, loadOf(m, a, a.Fastest.Attempt, a.Fastest.Outcome.Operation.Name, a.Fastest.Point))
		}
	}
	for i := range out.Holes {
		h := &out.Holes[i]
		all = append(all, Load{Axial: h.Thrust, Axials: h.Thrusts, Torque: h.Torque, Feed: h.Feed, Plunging: true,
			Cutter: &h.Drill.Item, CutterName: h.Drill.Name, Operation: Drilling, Target: h.Target.Name, Log: h.Log})
	}
	out.Demand.List = unexceeded(s.Model.Read, all)
}

// With is the demand with more loads, and whether one of them exceeds its own.
func (d Demand) With(read spec.Reader, more []Load) (Demand, bool) {
	all := append(slices.Clone(d.List), more...)
	out := Demand{Load: d.Load, List: unexceeded(read, all)}
	return out, slices.ContainsFunc(out.List, func(l Load) bool { return l.Operation == Finishing })
}

// Load is the load of a finish pass along a wall.
func (p *Finisher) Load(m *spec.Machine, a *Answer, pass *FinishPass) (Load, error) {
	f, err := withCutter(&p.Attempt.Input, pass.Cut).Forces(p.Attempt.Input.Work)
	return Load{Lateral: f.PeakLateral, Axial: math.Abs(f.PeakAxial), Torque: f.MeanTorque, Feed: pass.Feed,
		Cutter: m.Cutters.Find(p.Attempt.Cutter), CutterName: p.Attempt.Cutter, Operation: Finishing, Target: a.Entry.Name, Log: p.Log}, err
}

// unexceeded leaves out the loads that another one exceeds, or equals, in everything: its
// forces, its torque, its arm, both ways along the cutter.
func unexceeded(read spec.Reader, all []Load) (list []Load) {
	arm := func(l *Load) float64 { return read.Of(l.Cutter.StickOut) }
	holds := func(a, b *Load) bool {
		return !rank.More(b.Lateral, a.Lateral) && !rank.More(b.Axial, a.Axial) && !rank.More(b.Axials.Max, max(a.Axial, a.Axials.Max)) &&
			!rank.More(b.Torque, a.Torque) && !rank.More(arm(b), arm(a)) && (b.Plunging || !a.Plunging)
	}
	for i := range all {
		exceeded := false
		for k := range all {
			// Of two that are alike the first stays.
			if k != i && holds(&all[k], &all[i]) && !(k > i && holds(&all[i], &all[k])) {
				exceeded = true
				break
			}
		}
		if !exceeded {
			list = append(list, all[i])
		}
	}
	return list
}
