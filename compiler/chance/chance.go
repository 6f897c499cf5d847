// Package chance draws machines that the spec could mean and judges each: of a hundred machines like this one, how many cut a
// target, how stiff they are, and which of the values that are not known decides. It words nothing and knows no report.
package chance

import (
	"hash/fnv"
	"math"
	"slices"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/compiler/sampling"
	"ironbed/spec"
)

const (
	// A machine with more than manyBars members is drawn less often, since its time goes with their number, and fewestDrawn times at least.
	manyBars    = 250
	fewestDrawn = 64
	// SureDepth is the share of the machines on which a first cut has to be stable [-].
	SureDepth = 0.95
	// shapes is how many of the shapes of the machine at the middle of every value a drawn one is reduced to, those by which the nose answers
	// most, beside its own.
	shapes = 50
)

// Drawn is how many machines are drawn. Tests that look at something else draw fewer.
var Drawn = 256

// Chances are what becomes of a machine as its values are drawn. They are read only.
type Chances struct {
	Inputs   []Input   // what was drawn, in the order of the spec
	Judged   int       // machines that could be computed
	Refused  int       // machines that could not
	Stiff    [3]Spread // stiffness at the tip of the reference cutter along X, Y and Z, in the least stiff position [N/m]
	Mode     Spread    // lowest mode, in the position in which a best cut is limited [Hz]
	Mass     Spread    // of the whole machine [kg]
	List     []*Target // by answer; nil where there is none
	Off      Off       // how far the machines are off
	Measures []Measure // what to measure, what tells most first
}

// A Spread is a number over the machines: a tenth of them has less than Low, half less than Middle, and a tenth more than High.
type Spread struct{ Low, Middle, High float64 }

// A Target is how the drawn machines do with one target.
type Target struct {
	Answer *cut.Answer
	Budget *accuracy.Budget // nil where the finished part is not known

	Roughing [reach.WithinReach + 1]float64 // share of the machines that rough it at least so well [-]
	Finished float64                        // share on which the finished part is as it is wanted; 0 where that is not known [-]
	Finishes bool                           // a finished part counts for the verdict
	Together [reach.WithinReach + 1]float64 // share that do both [-]
	Range    [2]float64                     // of the share within reach, with a confidence of 95 % [-]

	Error      Spread  // likely error of the finished part [m]
	Depth      Spread  // deepest slot over the one that full cuts ask for [-]
	FirstDepth float64 // depth that is stable on nearly all of them, at the speed of the best cut; 0 where nothing chatters [m]

	Shares []Share // what decides how near the verdict is, the largest first
}

// A Share is what the variance of a target's margin owes to one input.
type Share struct {
	Input int
	sampling.Index
}

// An Input is a value that is drawn: what one line or one rule gives.
type Input struct {
	spec.Uncertainty
	Rule   bool // a rule of the program or the spread of an error of the finished part gives it: its origin is in words
	levels []float64
}

// at is what the input is in a machine.
func (in *Input) at(u spec.Uncertainty, machine int) float64 {
	return distribution(u).Quantile(in.levels[machine])
}

// distribution is how a value is spread.
func distribution(u spec.Uncertainty) sampling.Distribution {
	shape := sampling.Normal
	switch u.Spread {
	case spec.Anywhere:
		shape = sampling.Uniform
	case spec.ByFactors:
		shape = sampling.LogNormal
	}
	return sampling.Distribution{Shape: shape, Low: u.Low, Middle: u.Middle, High: u.High}
}

// Search draws machines and judges each, where a machine was solved and has something to cut. So many of them are judged once more with nothing
// reduced, which says how far off the others are.
func Search(s *machine.Solution, cuts *cut.Answers, budgets *accuracy.Budgets, exactly int) (*Chances, error) {
	machines := Drawn
	if bars := len(s.Model.Bars); bars > manyBars {
		machines = max(min(fewestDrawn, Drawn), Drawn*manyBars/bars)
	}
	return search(s, cuts, budgets, machines, exactly)
}

// search is [Search] with another number of machines.
func search(s *machine.Solution, cuts *cut.Answers, budgets *accuracy.Budgets, machines, exactly int) (*Chances, error) {
	if machines == 0 || s.Worst == nil || len(s.Vibrations) == 0 || len(cuts.List) == 0 {
		return &Chances{}, nil
	}
	j, err := newJudge(s, cuts, budgets, machines)
	if err != nil {
		return nil, err
	}
	outcomes := j.each(machines, false)
	out, err := j.sum(outcomes)
	if err != nil || !out.Told() || exactly == 0 {
		return out, err
	}
	for i, e := range j.each(exactly, true) {
		if e != nil && outcomes[i] != nil {
			out.Off.take(outcomes[i], e)
		}
	}
	return out, nil
}

// each judges the first machines.
func (j *judge) each(machines int, exactly bool) []*outcome {
	list := make([]*outcome, machines)
	machine.EachParallel(machines, func(i int) { list[i] = j.judge(i, exactly) })
	return list
}

// An Off is how far machines are off where models of them are reduced.
type Off struct {
	Machines  int     // that were judged both ways
	Stiffness float64 // largest error of the stiffness at the tip, over it [-]
	Mode      float64 // of the lowest mode [-]
	Depth     float64 // median error of the deepest cuts [-]
	Most      float64 // the largest of them [-]
	Verdicts  int     // verdicts that are others
	depths    []float64
}

// take takes in a machine that was judged both ways.
func (f *Off) take(reduced, exact *outcome) {
	off := func(a, b float64) float64 { return math.Abs(a/b - 1) }
	f.Machines++
	for k := range exact.stiff {
		f.Stiffness = math.Max(f.Stiffness, off(reduced.stiff[k], exact.stiff[k]))
	}
	f.Mode = math.Max(f.Mode, off(reduced.mode, exact.mode))
	for i := range exact.targets {
		a, b := &reduced.targets[i], &exact.targets[i]
		if b.light > 0 {
			f.depths = append(f.depths, off(a.light, b.light))
		}
		if a.grade() != b.grade() || a.fine() != b.fine() {
			f.Verdicts++
		}
	}
	if slices.Sort(f.depths); len(f.depths) > 0 {
		f.Depth, f.Most = f.depths[len(f.depths)/2], f.depths[len(f.depths)-1]
	}
}

// Told reports whether enough of the machines could be computed to tell anything.
func (out *Chances) Told() bool { return out.Judged >= fewest && out.Judged >= out.Refused }

// fewest is how many machines tell anything at least.
const fewest = 32

// seed makes the machines those of this spec.
func seed(m *spec.Machine) uint64 {
	h := fnv.New64a()
	h.Write([]byte(m.Name.Text))
	return h.Sum64()
}

// spreadOf is a number over the machines.
func spreadOf(list []float64) (out Spread, err error) {
	for _, to := range []struct {
		share float64
		at    *float64
	}{{0.1, &out.Low}, {0.5, &out.Middle}, {0.9, &out.High}} {
		if *to.at, err = sampling.Quantile(list, to.share); err != nil {
			return out, err
		}
	}
	return out, nil
}

// sum turns what became of the machines into chances.
func (j *judge) sum(outcomes []*outcome) (*Chances, error) {
	out := &Chances{List: make([]*Target, len(j.cuts.List))}
	var judged []*outcome
	var which []int
	for i, o := range outcomes {
		if o != nil {
			judged, which = append(judged, o), append(which, i)
		}
	}
	out.Judged, out.Refused = len(judged), len(outcomes)-len(judged)
	if !out.Told() {
		return out, nil
	}
	var err error
	over := func(of func(*outcome) float64) (s Spread) {
		if err == nil {
			s, err = spreadOf(numbers(judged, of))
		}
		return s
	}
	for k := range out.Stiff {
		out.Stiff[k] = over(func(o *outcome) float64 { return o.stiff[k] })
	}
	out.Mode, out.Mass = over(func(o *outcome) float64 { return o.mode }), over(func(o *outcome) float64 { return o.mass })
	if err != nil {
		return nil, err
	}
	inputs := j.sorted()
	columns := make([][]float64, len(inputs))
	for i, in := range inputs {
		out.Inputs = append(out.Inputs, *in)
		for _, k := range which {
			columns[i] = append(columns[i], in.levels[k])
		}
	}
	var ready *sampling.Inputs
	if len(columns) > 0 {
		if ready, err = sampling.Prepare(columns); err != nil {
			return nil, err
		}
	}
	for i := range j.targets {
		if t := &j.targets[i]; t.answer != nil {
			if out.List[i], err = t.sum(i, judged, ready); err != nil {
				return nil, err
			}
		}
	}
	out.Measures, err = out.measures()
	return out, err
}

// numbers are one number of each machine.
func numbers(list []*outcome, of func(*outcome) float64) []float64 {
	out := make([]float64, len(list))
	for i, o := range list {
		out[i] = of(o)
	}
	return out
}

// share is the share of the machines that do something.
func share(list []*outcome, does func(*outcome) bool) float64 {
	n := 0
	for _, o := range list {
		if does(o) {
			n++
		}
	}
	return float64(n) / float64(len(list))
}

// confidence is that of the range of a chance [-].
const confidence = 0.95

// sum is how the machines do with a target.
func (t *judged) sum(number int, list []*outcome, ready *sampling.Inputs) (*Target, error) {
	out := &Target{Answer: t.answer, Budget: t.budget, Finishes: t.finishes()}
	of := func(o *outcome) *done { return &o.targets[number] }
	for g := range out.Roughing {
		out.Roughing[g] = share(list, func(o *outcome) bool { return of(o).grade() >= reach.Grade(g) })
		out.Together[g] = share(list, func(o *outcome) bool { return of(o).grade() >= reach.Grade(g) && (!t.finishes() || of(o).fine()) })
	}
	if t.finishes() {
		out.Finished = share(list, func(o *outcome) bool { return of(o).fine() })
	}
	r, err := sampling.Chance(int(math.Round(out.Together[reach.WithinReach]*float64(len(list)))), len(list), confidence)
	if err != nil {
		return nil, err
	}
	out.Range = [2]float64{r.Low, r.High}
	if out.Depth, err = spreadOf(numbers(list, func(o *outcome) float64 { return of(o).full })); err != nil {
		return nil, err
	}
	if t.budget != nil {
		if out.Error, err = spreadOf(numbers(list, func(o *outcome) float64 { return of(o).error })); err != nil {
			return nil, err
		}
	}
	if stable := numbers(list, func(o *outcome) float64 { return of(o).stable }); !slices.ContainsFunc(stable, func(v float64) bool { return math.IsInf(v, 0) }) {
		if out.FirstDepth, err = sampling.Held(stable, SureDepth, 0.5); err != nil {
			return nil, err
		}
	}
	if ready == nil {
		return out, nil
	}
	indices, err := ready.FirstOrder(numbers(list, func(o *outcome) float64 { return t.margin(of(o)) }))
	if err != nil {
		return nil, err
	}
	for i, index := range indices.Inputs {
		if index.Share > indices.Noise {
			out.Shares = append(out.Shares, Share{i, index})
		}
	}
	rank.By(out.Shares, func(s Share) float64 { return s.Share })
	return out, nil
}
