package change

import (
	"errors"
	"strconv"

	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// bonds solves the machine with every fill loose, and with every fill bonded. It is
// nil where no member is filled.
func bonds(s *machine.Solution, cuts *cut.Answers) (*Bond, error) {
	if s.Worst == nil || !s.Model.HasFill() {
		return nil, nil
	}
	find := &finder{s, cuts}
	_, cutter := s.Model.Reference()
	out := &Bond{Log: s.Model.ToolLog(cutter)}
	var err error
	if out.Whole, _, err = s.Model.TipCompliance(s.Worst, cutter); err != nil {
		return nil, err
	}
	var errs [4]error
	machine.EachParallel(len(errs), func(i int) {
		switch i {
		case 0:
			out.Loose, errs[i] = find.bonded("loose")
		case 1:
			out.Bonded, errs[i] = find.bonded("bonded")
		case 2:
			out.RestsEnds[0], errs[i] = find.restsAt(s.SoftModel, s.Soft, cutter)
		case 3:
			out.RestsEnds[1], errs[i] = find.restsAt(s.StiffModel, s.Stiff, cutter)
		}
	})
	if err := errors.Join(errs[:]...); err != nil {
		return nil, err
	}
	out.Rests = rests(out.Whole, out.Loose.Whole)
	return out, nil
}

// rests is the share of the stiffness that goes with the bond of the fills.
func rests(whole, loose machine.Matrix) (share [3]float64) {
	for i := range share {
		if left := whole[i][i] / loose[i][i]; left < 1 {
			share[i] = 1 - left
		}
	}
	return share
}

// restsAt is the same at an end of the uncertainty.
func (find *finder) restsAt(d *machine.Model, s *machine.Solved, cutter *spec.Cutter) (share [3]float64, err error) {
	whole, _, err := d.TipCompliance(s, cutter)
	if err != nil {
		return share, err
	}
	m, err := find.Spec.With(find.bondEdits("loose")...)
	if err != nil {
		return share, err
	}
	r := find.retry(m, d.Read)
	if r.err != nil {
		return share, r.err
	}
	loose, _, err := r.model.TipCompliance(&machine.Solved{Nose: r.nose}, cutter)
	return rests(whole, loose), err
}

// bondEdits write one bond into every fill.
func (find *finder) bondEdits(bond string) (edits []spec.Edit) {
	for _, f := range find.Spec.Fills {
		edits = append(edits, write(strconv.Quote(bond), "fills", f.Name, "bond")...)
	}
	return edits
}

func (find *finder) bonded(bond string) (*Judged, error) {
	same := true
	for i := range find.Spec.Fills {
		same = same && find.Spec.Fills[i].Item.Bond.Text == bond
	}
	if same { // as the spec has it
		_, cutter := find.Model.Reference()
		out := &Judged{}
		for i := range find.cuts.List {
			grade, known := reach.OutOfReach, false
			if best := find.cuts.List[i].Best(); best != nil {
				grade, known = best.Grade, true
			}
			out.Grades, out.Known = append(out.Grades, grade), append(out.Known, known)
		}
		var err error
		out.Whole, _, err = find.Model.TipCompliance(find.Worst, cutter)
		return out, err
	}
	return find.judged(find.retryWith(find.bondEdits(bond)...))
}

// judged is a retried machine judged for every answer.
func (find *finder) judged(r *retry) (*Judged, error) {
	if r.err != nil {
		return nil, r.err
	}
	_, cutter := r.model.Reference()
	out := &Judged{}
	var err error
	if out.Whole, _, err = r.model.TipCompliance(&machine.Solved{Nose: r.nose}, cutter); err != nil {
		return nil, err
	}
	for i := range find.cuts.List {
		grade, known := reach.OutOfReach, false
		if a := &find.cuts.List[i]; a.Best() != nil {
			grade, known = r.grade(a, true)
		}
		out.Grades, out.Known = append(out.Grades, grade), append(out.Known, known)
	}
	return out, nil
}
