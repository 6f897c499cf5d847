package change

import (
	"strconv"

	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// A Bonded is a machine with every fill bonded in one way.
type Bonded struct {
	Whole  machine.Matrix // compliance at the tip of the reference cutter
	Grades []reach.Grade  // by answer
	Known  []bool         // by answer: whether it could be judged
}

// bonds solves the machine with every fill loose, and with every fill bonded. It is
// nil where no member is filled.
func bonds(s *machine.Solution, cuts *cut.Answers) (loose, bonded *Bonded, err error) {
	if s.Worst == nil || !s.Model.HasFill() {
		return nil, nil, nil
	}
	find := &finder{s, cuts}
	var out [2]*Bonded
	var errs [2]error
	machine.EachParallel(2, func(i int) { out[i], errs[i] = find.bonded([]string{"loose", "bonded"}[i]) })
	for _, err := range errs {
		if err != nil {
			return nil, nil, err
		}
	}
	return out[0], out[1], nil
}

func (find *finder) bonded(bond string) (*Bonded, error) {
	_, cutter := find.Model.Reference()
	out := &Bonded{}
	same := true
	for i := range find.Spec.Fills {
		same = same && find.Spec.Fills[i].Item.Bond.Text == bond
	}
	if same { // as the spec has it
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
	var edits []spec.Edit
	for _, f := range find.Spec.Fills {
		edits = append(edits, write(strconv.Quote(bond), "fills", f.Name, "bond")...)
	}
	r := find.retryWith(edits...)
	if r.err != nil {
		return nil, r.err
	}
	var err error
	if out.Whole, _, err = r.model.TipCompliance(&machine.Solved{Nose: r.nose}, cutter); err != nil {
		return nil, err
	}
	for i := range find.cuts.List {
		grade, known := reach.OutOfReach, false
		if a := &find.cuts.List[i]; a.Best() != nil {
			grade, known = r.grade(a.Entry.Name, true)
		}
		out.Grades, out.Known = append(out.Grades, grade), append(out.Known, known)
	}
	return out, nil
}
