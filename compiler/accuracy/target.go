package accuracy

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/axis"
	"ironbed/compiler/budget"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// directions are X, Y and Z.
var directions = [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}

// flat is the height of a part over its length [-]; common practice.
const flat = 0.25

// along is the least cosine of the angle to a direction of a travel along it [-].
const along = 0.999

// A workshop is a machine as its parts see it.
type workshop struct {
	*machine.Solution
	axes   *axis.Solution
	axis   [3]int  // of the spec, by direction; −1 where none travels along it
	across [3]bool // the direction is across the tool
	chain  *stack  // nil where the axes are not perpendicular, or do not stand on each other
	heat   *Heat   // nil without a target
}

func newWorkshop(s *machine.Solution, axes *axis.Solution) (*workshop, error) {
	w := &workshop{Solution: s, axes: axes}
	for k, d := range directions {
		w.axis[k], w.across[k] = -1, !s.AlongTool(d)
		for i := range s.Spec.Axes {
			if math.Abs(r3.Dot(d, machine.Unit(s.Spec.Axes[i].Item.Direction.XYZ))) > along {
				w.axis[k] = i
			}
		}
	}
	if s.Worst == nil {
		return w, nil
	}
	w.chain = w.stacked()
	return w, nil
}

// A span is a number with its bounds: low, middle and high.
type span [3]float64

// span reads a value with its bounds.
func (w *workshop) span(log *spec.Log, v spec.Value) (s span) {
	s[0], s[1], s[2] = w.Model.Read.Into(log).Span(v)
	return s
}

// rangeOf is a range around the middle of numbers, whatever their order.
func rangeOf(middle float64, ends ...float64) budget.Range {
	r := budget.Range{Low: middle, Nominal: middle, High: middle}
	for _, v := range ends {
		r.Low, r.High = math.Min(r.Low, v), math.Max(r.High, v)
	}
	return r
}

// of computes a range of a number at the low, the middle and the high end.
func of(number func(end int) float64) budget.Range { return rangeOf(number(1), number(0), number(2)) }

// A target is what the budget of one answer is made with.
type target struct {
	*workshop
	answer   *cut.Answer
	accuracy float64
	size     span
	log      *spec.Log
	part     [3]span // size of the part along X, Y and Z [m]
	fixed    []Part  // the same everywhere, whatever the finish pass
	places   []place
	unknown  []Gap
	tuned    axis.Tuning       // of the loops, beyond the spec
	pair     [2]*axis.Follower // the axes across the tool, where both have a position loop
	rests    []rest            // the worst places along the directions across the tool
	err      error
}

// A place is where a part can lie, with the errors that depend on it.
type place struct {
	pose   machine.Pose
	parts  []Part // of the axes' error motions
	sag    Part
	solved bool // the sag is that of the machine solved there
}

// A rest is a place and a direction that may be the worst.
type rest struct{ place, along int }

// target makes an answer ready: all that does not depend on the finish pass.
func (w *workshop) target(a *cut.Answer) (*target, error) {
	item := &a.Entry.Item
	t := &target{workshop: w, answer: a, log: &spec.Log{}}
	t.accuracy = w.Model.Read.Into(t.log).Of(item.Accuracy)
	t.size = w.span(t.log, item.Size)
	t.part = w.partOf(t.size)
	for _, add := range []func() error{t.reversals, t.loops, t.leads, t.warm, t.warmed} {
		if err := add(); err != nil {
			return nil, err
		}
	}
	if err := t.place(); err != nil {
		return nil, err
	}
	return t, t.rest()
}

// partOf is the size of a part along X, Y and Z, no larger than the travels [m].
func (w *workshop) partOf(size span) (part [3]span) {
	for k := range directions {
		share := 1.0
		if !w.across[k] {
			share = flat
		}
		for end := range size {
			part[k][end] = share * size[end]
			if i := w.axis[k]; i >= 0 {
				part[k][end] = math.Min(part[k][end], w.Model.Read.Of(w.Spec.Axes[i].Item.Travel))
			}
		}
	}
	return part
}

// rest finds the places that may be the worst.
func (t *target) rest() error {
	for k := range directions {
		if !t.across[k] {
			continue
		}
		for {
			worst, most := -1, 0.0
			for i := range t.places {
				total, err := combined(t.parts(i), k, false)
				if err != nil {
					return err
				}
				if worst < 0 || rank.More(total.Likely.Nominal, most) {
					worst, most = i, total.Likely.Nominal
				}
			}
			if t.places[worst].solved {
				t.rests = append(t.rests, rest{worst, k})
				break
			}
			if err := t.solveSag(worst); err != nil {
				return err
			}
		}
	}
	return nil
}

// parts are the errors at a place, without those of the finish pass.
func (t *target) parts(place int) []Part {
	p := &t.places[place]
	return append(append(t.fixed[:len(t.fixed):len(t.fixed)], p.sag), p.parts...)
}

// combined adds up errors along a direction; with maps, as if every axis had one.
func combined(parts []Part, k int, maps bool) (budget.Total, error) {
	rule := budget.Rule{Coverage: coverage, Along: directions[k]}
	if maps {
		rule.Mapped = mapped
	}
	var list []budget.Contribution
	for i := range parts {
		if p := &parts[i]; p.Counts(k) {
			list = append(list, budget.Contribution{Name: p.name(), Kind: p.Kind, Size: p.Sizes[k], Direction: directions[k]})
		}
	}
	return budget.Combine(list, rule)
}

// total is the error of the part with a wall at a feed, along the directions across the tool.
func (t *target) total(wall cut.Forced, feed float64) (out cut.Sum) {
	own := t.passParts(wall, nil, nil)
	contour, err := t.contour(feed)
	if err != nil && t.err == nil {
		t.err = err
	}
	for _, r := range t.rests {
		sum, err := combined(append(append(t.parts(r.place), own...), contour...), r.along, false)
		if err != nil && t.err == nil {
			t.err = err
		}
		out.Likely, out.Sure, out.Upper = math.Max(out.Likely, sum.Likely.Nominal), math.Max(out.Sure, sum.Sure()), math.Max(out.Upper, sum.Upper.Nominal)
	}
	return out
}

// hopeless reports whether the part is not within the accuracy even where a finish pass leaves a perfect wall and
// the axes stand on their path.
func (t *target) hopeless() bool {
	return rank.More(t.total(cut.Forced{}, 0).Likely, t.accuracy)
}

// passParts are the errors of a finish pass: off a wall with the cutter running true, and what its runout adds.
func (t *target) passParts(wall cut.Forced, ends []cut.Forced, log *spec.Log) []Part {
	plain := func(f cut.Forced) float64 { return f.True }
	// A difference of near numbers: whole nanometres are what stands.
	runout := func(f cut.Forced) float64 { return math.Round((f.Off()-f.True)/leastError) * leastError }
	var list []Part
	for _, p := range []struct {
		cause Cause
		of    func(cut.Forced) float64
	}{{Wall, plain}, {Runout, runout}} {
		var at []float64
		for _, end := range ends {
			at = append(at, p.of(end))
		}
		one := Part{Cause: p.cause, Axis: -1, Other: -1, Kind: budget.Unmappable, Log: log}
		for k := range directions {
			if t.across[k] {
				one.Sizes[k] = rangeOf(p.of(wall), at...)
			}
		}
		list = append(list, one)
	}
	return list
}

// judged is the budget with a finish pass; without one it is not known.
func (t *target) judged(f *cut.Finisher, pass *cut.FinishPass) *Budget {
	b := &Budget{
		Answer: t.answer, Accuracy: t.accuracy, Size: of(func(end int) float64 { return t.size[end] }),
		Finisher: f, Pass: pass, Unknown: t.unknown, Log: t.log,
	}
	for k := range directions {
		b.Part[k] = t.part[k][1]
	}
	var own []Part
	if pass != nil {
		own = t.passParts(pass.Around, pass.Ends, f.Log)
		contour, err := t.contour(pass.Feed)
		t.keep(err)
		own = append(own, contour...)
	}
	for {
		places := t.sums(own)
		likely := func(p Place) float64 { return p.Likely.Nominal }
		worst, best := rank.Most(places, likely), rank.Most(places, func(p Place) float64 { return -likely(p) })
		b.Worst, b.Best = places[worst], places[best]
		if t.err != nil || t.places[worst].solved && t.places[best].solved {
			break
		}
		t.keep(t.solveSag(worst))
		t.keep(t.solveSag(best))
	}
	var err error
	b.Mapped, err = combined(b.Worst.Parts, b.Worst.Along, true)
	t.keep(err)
	switch {
	case pass == nil:
	case pass.Refusal == cut.FinishChatter || rank.More(b.Worst.Likely.Nominal, b.Accuracy):
		b.Grade = Exceeds
	default:
		b.Grade = Within
	}
	return b
}

// sums are the places with all errors, those of a finish pass among them.
func (t *target) sums(own []Part) (places []Place) {
	for i := range t.places {
		parts := append(t.parts(i), own...)
		p := Place{Pose: t.places[i].pose, Along: -1, Parts: parts}
		for k := range directions {
			total, err := combined(parts, k, false)
			t.keep(err)
			if p.Along < 0 || rank.More(total.Likely.Nominal, p.Likely.Nominal) {
				p.Along, p.Total = k, total
			}
		}
		places = append(places, p)
	}
	return places
}

// keep keeps the first error.
func (t *target) keep(err error) {
	if t.err == nil {
		t.err = err
	}
}
