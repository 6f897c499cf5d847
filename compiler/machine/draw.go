package machine

import (
	"math"
	"slices"
	"strings"

	"ironbed/compiler/section"
	"ironbed/spec"
)

// A Draw makes models of one machine by drawn numbers. It solves each section at the middle and at both bounds of each value that it
// rests on, and goes between them from there: a section by finite elements takes longer than all the rest of a model.
type Draw struct {
	spec   *spec.Machine
	stocks []spanned
	like   *Model
}

// A spanned is a section over the values that it rests on.
type spanned struct {
	stocked
	middle Filled
	over   []spannedBy
	err    error // that leaves it to the member that asks for it
}

// A spannedBy is a section at both bounds of one of its values, with all others at the middle.
type spannedBy struct {
	spec.Uncertainty
	ends [2]Filled
}

// NewDraw solves the sections of a machine.
func NewDraw(m *spec.Machine) *Draw {
	w := &Draw{spec: m}
	for _, s := range stocksOf(m) {
		w.stocks = append(w.stocks, spanned{stocked: s})
	}
	EachParallel(len(w.stocks), func(i int) { w.stocks[i].solve(m) })
	return w
}

// solve solves a section where it is looked at. A bound at which it cannot be is left out with its value.
func (s *spanned) solve(m *spec.Machine) {
	seen := map[string]spec.Uncertainty{}
	at := func(pick func(spec.Uncertainty) float64) (Filled, error) {
		return (&Model{Spec: m, Read: spec.Picking(pick)}).fill(s.member)
	}
	if s.middle, s.err = at(func(u spec.Uncertainty) float64 {
		if u.Uncertain() {
			seen[u.Origin] = u
		}
		return u.Middle
	}); s.err != nil {
		return
	}
	for _, u := range seen {
		by, errs := spannedBy{Uncertainty: u}, [2]error{}
		for end := range by.ends {
			by.ends[end], errs[end] = at(func(v spec.Uncertainty) float64 {
				switch {
				case v.Origin != u.Origin:
					return v.Middle
				case end == 0:
					return v.Low
				}
				return v.High
			})
		}
		if errs[0] == nil && errs[1] == nil {
			s.over = append(s.over, by)
		}
	}
	slices.SortFunc(s.over, func(a, b spannedBy) int { return strings.Compare(a.Origin, b.Origin) })
}

// Model reads the machine into a model as a reader draws its values.
//
// Sections are products of what each value does alone: by parabolas through its middle and its bounds, of the logarithm
// where a property is above zero.
func (w *Draw) Model(read spec.Reader) (*Model, error) {
	return build(w.spec, read, func(d *Model) {
		d.like = w.like
		for i := range w.stocks {
			if s := &w.stocks[i]; s.err == nil {
				d.stocks[s.stock] = s.drawn(w.spec, read)
			}
		}
	})
}

// From makes the models that are drawn from now on start from what was found of one of them.
func (w *Draw) From(d *Model) { w.like = d }

// drawn is the section as a reader draws its values.
func (s *spanned) drawn(m *spec.Machine, read spec.Reader) Filled {
	out := s.middle
	// The shape and the material are quick to read, and what is put together from them is exact.
	if exact, err := (&Model{Spec: m, Read: read}).stockOf(s.member, read); err == nil {
		out.Stock = exact
	}
	if len(s.over) == 0 {
		return out
	}
	ways := make([]float64, len(s.over))
	for k := range s.over {
		u := &s.over[k].Uncertainty
		ways[k] = read.Draws(*u) - u.Middle
		if ways[k] > 0 {
			ways[k] /= u.High - u.Middle
		} else if ways[k] < 0 {
			ways[k] /= u.Middle - u.Low
		}
	}
	out.Bonded = s.between(ways, func(f *Filled) *section.Stiffness { return &f.Bonded })
	out.Loose = s.between(ways, func(f *Filled) *section.Stiffness { return &f.Loose })
	return out
}

// between goes from the middle of each value to where it is drawn, in units of the way to its bound.
func (s *spanned) between(ways []float64, of func(*Filled) *section.Stiffness) section.Stiffness {
	out := *of(&s.middle)
	numbers := numbersOf(&out)
	for k, way := range ways {
		low, high := *of(&s.over[k].ends[0]), *of(&s.over[k].ends[1])
		lows, highs, middles := numbersOf(&low), numbersOf(&high), numbersOf(of(&s.middle))
		for i, n := range numbers {
			l, c, h := *lows[i], *middles[i], *highs[i]
			if l > 0 && c > 0 && h > 0 {
				*n *= math.Exp(parabola(math.Log(l/c), math.Log(h/c), way))
			} else {
				*n += parabola(l-c, h-c, way)
			}
		}
	}
	return out
}

// parabola is the value at x of the parabola that is low at −1, 0 at 0, and high at 1.
func parabola(low, high, x float64) float64 { return x * ((high-low)/2 + x*(high+low)/2) }

// numbersOf are the numbers of a stiffness.
func numbersOf(s *section.Stiffness) []*float64 {
	return []*float64{&s.EA, &s.EIy, &s.EIz, &s.EIyz, &s.GJ, &s.GAy, &s.GAz, &s.GAyz, &s.CentroidY, &s.CentroidZ,
		&s.MassPerLength, &s.MassCentreY, &s.MassCentreZ, &s.RotaryInertiaY, &s.RotaryInertiaZ, &s.RotaryInertiaYZ}
}
