package cut

import (
	"math"
	"slices"

	"ironbed/compiler/chatter"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// An Attempt is one cutter's best at a target.
type Attempt struct {
	Cutter    string
	Input     reach.Input
	Outcomes  []reach.Outcome
	Grade     reach.Grade
	Best      *reach.Outcome // the operation that decides
	Operation string
	Log       *spec.Log // what was read for it

	heard int                     // in how many poses by the mean of the factors
	near  []chatter.Plane         // those of its planes in which several frequencies are heard
	band  *chatter.Band           // these; nil until an operation is confirmed
	sure  map[*reach.Outcome]bool // the operations that are confirmed
}

// A Question is a target put to a machine.
type Question struct {
	Model      *machine.Model
	Compliance machine.Six         // at the nose
	Axes       [][]reach.Axis      // what they can do at their fastest, and at slower feeds
	Vibrations []machine.Vibration // in the poses that a cut is held against; none leaves chatter out
	Log        *spec.Log           // what was read for the axes
	Only       []reach.Operation   // those that are looked at, with their widths; all where there are none
}

// Try searches every cutter of a target and returns the attempts, the best
// first. That one holds against chatter by several frequencies.
func (q Question) Try(t *spec.Target) ([]Attempt, error) {
	r := &Ranking{question: q, target: t}
	for _, name := range q.cutters(t) {
		if err := r.try(name, q); err != nil {
			return nil, err
		}
	}
	_, err := r.First(BySeveral)
	return r.list, err
}

// cutters are those that a target may use.
func (q Question) cutters(t *spec.Target) []string {
	if len(t.Cutters) == 0 {
		return q.Model.Spec.Cutters.Names()
	}
	var names []string
	for _, c := range t.Cutters {
		names = append(names, c.Text)
	}
	return names
}

// placed puts an attempt in its place.
func placed(list []Attempt, a Attempt) []Attempt {
	at := len(list)
	for at > 0 && a.better(list[at-1]) {
		at--
	}
	return slices.Insert(slices.Clone(list), at, a)
}

// confirm holds the operation that decides against chatter by several frequencies, which may
// make another one decide. What an attempt has by the search alone is never worse, so that
// the first one that is confirmed and still first is the best.
func (a *Attempt) confirm() error {
	if err := a.hear(); err != nil {
		return err
	}
	if a.sure == nil {
		a.Outcomes, a.sure = slices.Clone(a.Outcomes), map[*reach.Outcome]bool{}
		a.judge()
	}
	o, err := reach.Confirm(a.Input, *a.Best, a.band)
	if err != nil {
		return err
	}
	*a.Best, a.sure[a.Best] = o, true
	a.judge()
	return nil
}

// hear makes the planes of an attempt ready for several frequencies.
func (a *Attempt) hear() (err error) {
	if a.band == nil {
		a.band, err = chatter.NewBand(a.near)
	}
	return err
}

// better orders attempts: by verdict, then a slot before what is easier, then by how
// much they remove.
func (a *Attempt) better(b Attempt) bool {
	if a.Grade != b.Grade {
		return a.Grade > b.Grade
	}
	if slot := a.Operation == Slot; slot != (b.Operation == Slot) {
		return slot
	}
	return rank.More(a.removal(), b.removal())
}

func (a Attempt) removal() float64 {
	if a.Best == nil || a.Best.Best == nil {
		return 0
	}
	return a.Best.Best.RemovalRate
}

// roughShare is the share of the finish allowance by which the tool tip may deflect in roughing [-]: the finish pass then cuts everywhere,
// by half of the allowance at least; common practice.
const roughShare = 0.5

// AllowedDeflection is how far the tool tip may deflect in roughing: no more than the finish pass takes off, and where the accuracy is coarser
// than that, the accuracy [m].
func AllowedDeflection(read spec.Reader, t *spec.Target) float64 {
	return math.Max(read.Of(t.Accuracy), roughShare*read.Of(t.FinishAllowance))
}

// severalHeld is in how many of the poses that a cut is held against several frequencies are heard; in the others the mean of the
// factors is.
const severalHeld = 2

// TryCutter searches one cutter; nil where the material has no values for its
// edge.
func (q Question) TryCutter(t *spec.Target, w *spec.WorkMaterial, name string) (*Attempt, error) {
	ready, err := q.Prepare(t, w, name)
	if ready == nil || err != nil {
		return nil, err
	}
	var best *Attempt
	for _, axes := range q.Axes {
		a := *ready
		a.Input.Machine.Axes = axes
		if a.Outcomes, err = reach.Search(a.Input); err != nil {
			return nil, err
		}
		a.judge()
		if best == nil || a.better(*best) {
			best = &a
		}
		if !best.lacksThrust() {
			break // slower axes would not help
		}
	}
	return best, nil
}

// Prepare makes a search of one cutter ready, with the axes at their fastest; nil where the material has no values for its edge.
func (q Question) Prepare(t *spec.Target, w *spec.WorkMaterial, name string) (*Attempt, error) {
	d := q.Model
	log := spec.Over(d.Stiff, q.Log)
	if q.Vibrations != nil {
		log.Rest(d.Weight, d.Damping)
	}
	read := d.Read.Into(log)
	c := d.Spec.Cutters.Find(name)
	edge := EdgeOf(w, c)
	if edge == nil || c.Kind.Text == "drill" {
		return nil, nil // a drill makes holes, see the sheet of the cuts
	}
	log.Rest(d.ToolLog(c))
	end, err := d.ToolEnd(c)
	if err != nil {
		return nil, err
	}
	compliance := q.Compliance.AtTip(end.Arm)
	compliance.Add(end.Total())
	cutter, err := cutterOf(read, c, d.Spec.Spindle)
	if err != nil {
		return nil, err
	}
	chip := ChipThickness(read, edge, read.Of(c.Diameter))
	if c.Kind.Text == "face" { // its edges do not grow with its body
		chip = ChipThickness(read, edge, math.Min(read.Of(c.Diameter), faceEdge))
	}
	slow, _, fast := read.Span(edge.SurfaceSpeed)
	a := &Attempt{Cutter: name, Log: log, heard: len(q.Vibrations), Input: reach.Input{
		Machine: machineOf(d, read, compliance, AllowedDeflection(read, t), q.Axes[0]), Cutter: cutter, Work: WorkOf(read, w),
		SurfaceSpeed:   reach.Range{Min: slow, Max: fast},
		ProcessDamping: read.Of(t.ProcessDamping),
		ChipThickness:  chip, Operations: operations(read, w, c.Kind.Text, read.Of(c.Diameter)),
	}}
	in := &a.Input
	if len(q.Only) > 0 {
		in.Operations = q.Only
	}
	in.Machine.StableShare, in.Machine.SpeedDoubt = machine.StableShare, machine.SpeedDoubt
	if q.Vibrations != nil {
		if in.Machine.Planes, err = d.Planes(q.Vibrations, c); err != nil {
			return nil, err
		}
		if a.near, err = d.Planes(q.Vibrations[:min(severalHeld, len(q.Vibrations))], c); err != nil {
			return nil, err
		}
	}
	return a, nil
}

// SameOperation reports whether two attempts are decided by one operation.
func (a *Attempt) SameOperation(b *Attempt) bool { return sameOperation(a.Best, b.Best) }

// lacksThrust reports whether an axis's thrust is what stops the cut.
func (a *Attempt) lacksThrust() bool {
	if a.Best.Best == nil {
		return slices.ContainsFunc(a.Best.Shortfalls, func(s reach.Shortfall) bool { return s.Limit == reach.AxisThrust })
	}
	return a.Best.Best.Limit == reach.AxisThrust || a.Best.Deepest != nil && a.Best.Deepest.Limit == reach.AxisThrust
}

// judge turns the outcomes of the operations into one grade: a full slot is
// within reach; a light slot, or side milling at any depth of the list, is light
// cuts only.
func (a *Attempt) judge() {
	a.Grade = reach.OutOfReach
	a.Best = &a.Outcomes[0]
	for i := range a.Outcomes {
		o := &a.Outcomes[i]
		g := reach.OutOfReach
		switch {
		case o.Grade == reach.WithinReach && o.Operation.Name == Slot:
			g = reach.WithinReach
		case o.Grade >= reach.LightCuts:
			g = reach.LightCuts
		}
		if g > a.Grade {
			a.Grade, a.Best = g, o
		}
	}
	a.Operation = a.Best.Operation.Name
}

// Nearest is the slot that comes nearest to a grade better than the attempts have,
// as a share of the depth that the grade asks for; nil where there is none.
func Nearest(attempts []Attempt) (a *Attempt, o *reach.Outcome, required, share float64) {
	share = -1
	for i := range attempts {
		for k := range attempts[i].Outcomes {
			out := &attempts[i].Outcomes[k]
			if out.Operation.Name != Slot {
				continue
			}
			depth := out.Operation.FullDepth
			if attempts[0].Grade == reach.OutOfReach {
				depth = out.Operation.LightDepth
			}
			depth *= attempts[i].Input.Cutter.Diameter
			goes := 0.0
			if out.Deepest != nil {
				goes = out.Deepest.Cut.Depth / depth
			}
			if rank.More(goes, share) {
				a, o, required, share = &attempts[i], out, depth, goes
			}
		}
	}
	return a, o, required, share
}
