package accuracy

import (
	"math"
	"slices"

	"ironbed/compiler/budget"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// A Means is what makes a part truer without another machine.
type Means int

// The means, the least work first; common practice.
const (
	EqualGains   Means = iota // the same position-loop gain in the axes across the tool
	Feedforward               // velocity fed forward in them
	WarmedUp                  // spindle and axes run longer before zero is set
	Squared                   // axes set perpendicular
	EvenRoom                  // a room that keeps its temperature
	Mapped                    // an error map of an axis in the control
	PreloadedNut              // nuts of an axis without backlash
	Bedded                    // the mounting surfaces of a rail bedded on resin squeezed out under a straight edge
)

const (
	// FedForward is the share of the velocity that is fed forward [-]; common practice.
	FedForward = 0.9
	// SquaredTo is how far axes are out of square that were set with a square turned over, or by diagonals [-]; from memory.
	SquaredTo = 20e-6
	// EvenTo is how much the temperature of an even room changes over a job [K]; from memory.
	EvenTo = 1
	// leastRemedy is the least that rests on a remedy, as a share of the likely error with all [-].
	leastRemedy = 0.01
)

// A Remedy is one thing that makes a part truer.
type Remedy struct {
	Means Means
	Axes  []int   // that it is for
	Rail  string  // that is bedded
	Time  float64 // that spindle and axes run [s]

	after func(Part) Part // an error with it
}

// A Way is remedies that are taken together: with none of them left out the part is within its accuracy, or as near to it as they bring it.
type Way struct {
	Remedies []Remedy
	Likely   float64 // likely error of the part with all of them [m]
	Largest  *Part   // what then has the largest share, nil where nothing is left
	Share    float64 // of it [-]
	Within   bool
}

// remedy finds what brings a part within its accuracy, its finish pass as it is: of all remedies, the hardest work first, each is left out
// that is not needed for it; where all of them together do not do, each that next to nothing rests on.
func (t *target) remedy(b *Budget) {
	if b.Grade != Exceeds || b.Chatters() || b.Shortage != "" {
		return
	}
	list := t.remedies()
	slices.SortStableFunc(list, func(a, b Remedy) int { return int(b.Means) - int(a.Means) })
	all := t.way(b, list)
	most := b.Accuracy
	if !all.Within {
		most = all.Likely * (1 + leastRemedy)
	}
	if rank.More(most, b.Worst.Likely.Nominal) {
		return // nothing gains
	}
	b.Way = all
	for _, r := range list {
		rest := slices.DeleteFunc(slices.Clone(b.Way.Remedies), func(kept Remedy) bool { return kept.is(r) })
		if fewer := t.way(b, rest); !rank.More(fewer.Likely, most) {
			b.Way = fewer
		}
	}
}

// is reports whether two remedies are one.
func (r Remedy) is(other Remedy) bool {
	return r.Means == other.Means && r.Rail == other.Rail && slices.Equal(r.Axes, other.Axes)
}

// way is some remedies taken together.
func (t *target) way(b *Budget, list []Remedy) Way {
	with := t.with(list...)
	after := with.judged(b.Finisher, b.Pass)
	t.keep(with.err)
	w := Way{Remedies: slices.Clone(list), Likely: after.Worst.Likely.Nominal, Within: after.Grade == Within}
	if s, ok := after.Worst.Largest(); ok {
		w.Largest, w.Share = after.Worst.Part(s), s.Share
	}
	return w
}

// with is the target with remedies taken.
func (t *target) with(list ...Remedy) *target {
	out := *t
	change := func(parts []Part) []Part {
		parts = slices.Clone(parts)
		for i := range parts {
			for _, r := range list {
				parts[i] = r.after(parts[i])
			}
		}
		return parts
	}
	out.fixed, out.places = change(t.fixed), slices.Clone(t.places)
	for i := range out.places {
		out.places[i].parts = change(t.places[i].parts)
	}
	for _, r := range list {
		switch r.Means {
		case EqualGains:
			out.tuned.Equal = true
		case Feedforward:
			out.tuned.Forward = FedForward
		}
	}
	return &out
}

// remedies are those that the machine has not got.
func (t *target) remedies() (list []Remedy) {
	for k := range directions {
		f := t.follower(k)
		if f == nil {
			continue
		}
		if left, ok := f.Preloaded(); ok && t.across[k] {
			list = append(list, Remedy{Means: PreloadedNut, Axes: []int{f.Axis}, after: func(p Part) Part {
				if p.Cause == Reversal && p.Axis == f.Axis {
					p.Sizes[k] = rangeOf(left[spec.Middle]/2, half(left[:])...)
				}
				return p
			}})
		}
		if f.Drive.In.Travel > 0 && !t.Spec.Axes[f.Axis].Item.ErrorMap {
			list = append(list, Remedy{Means: Mapped, Axes: []int{f.Axis}, after: scaled([]Cause{Lead}, []int{f.Axis}, 1-mapped, 1-mapped, 1-mapped)})
		}
	}
	if t.pair[0] != nil {
		for _, means := range []Means{EqualGains, Feedforward} {
			list = append(list, Remedy{Means: means, Axes: []int{t.pair[0].Axis, t.pair[1].Axis}, after: func(p Part) Part { return p }})
		}
	}
	list = append(append(list, t.warmer()...), t.bedded()...)
	if s := t.span(nil, t.Spec.Squareness); s[1] > SquaredTo {
		list = append(list, Remedy{Means: Squared, after: scaled([]Cause{Squareness}, nil, share(SquaredTo, s[0]), share(SquaredTo, s[1]), share(SquaredTo, s[2]))})
	}
	if t.Spec.Room != nil {
		if s := t.span(nil, t.Spec.Room.TemperatureChange); s[1] > EvenTo {
			list = append(list, Remedy{Means: EvenRoom, after: scaled([]Cause{Expansion, FrameDrift, FillBow}, nil, share(EvenTo, s[0]), share(EvenTo, s[1]), share(EvenTo, s[2]))})
		}
	}
	return list
}

// wholeMinutes is what a time is rounded up to [s].
const wholeMinutes = 300

// warmer is the time after which little is still to come of the growths.
func (t *target) warmer() []Remedy {
	h := t.heat
	// Along the tool zero is set again before the finish pass.
	wait := 0.0
	for k := range directions {
		if t.across[k] {
			wait = math.Max(wait, h.WaitAlong[k])
		}
	}
	r := Remedy{Means: WarmedUp, Time: math.Ceil(wait/wholeMinutes) * wholeMinutes}
	if r.Time <= h.WarmUp[1] {
		return nil
	}
	r.after = func(p Part) Part { return p }
	for i := range h.Growths {
		g, before := &h.Growths[i], r.after
		cause := ScrewDrift
		if g.Axis < 0 {
			cause = SpindleGrowth
		}
		left := func(end int) float64 {
			return math.Exp(-math.Max(0, r.Time-h.WarmUp[2-end]) / g.End[1].TimeConstant)
		}
		own := scaled([]Cause{cause}, []int{g.Axis}, left(0), left(1), left(2))
		r.after = func(p Part) Part { return own(before(p)) }
	}
	return []Remedy{r}
}

// share is what is left of a number that becomes another one, never more than all of it [-].
func share(to, from float64) float64 {
	if from <= to {
		return 1
	}
	return to / from
}

// bedded are the rails of which surfaces bedded on resin would be straighter.
func (t *target) bedded() (list []Remedy) {
	if t.chain == nil {
		return nil
	}
	at := map[string]int{}
	for _, table := range t.chain.tables {
		if table == nil {
			continue
		}
		for _, v := range t.axes.Mountings {
			if v.Axis != table.axis || v.Rail.Straightness.Given {
				continue
			}
			one, other := v.Squeezed(table.reach)
			if one.Nominal >= table.error[1] {
				continue
			}
			turned := scaled([]Cause{Straightness, Pitch, Yaw}, []int{v.Axis},
				share(one.Low, table.error[0]), share(one.Nominal, table.error[1]), share(one.High, table.error[2]))
			rolled := scaled([]Cause{Roll}, []int{v.Axis},
				share(other.Low, table.apart[0]), share(other.Nominal, table.apart[1]), share(other.High, table.apart[2]))
			name := v.Guide.Item.Rail.Text
			n, known := at[name]
			if !known {
				n = len(list)
				at[name] = n
				list = append(list, Remedy{Means: Bedded, Rail: name, after: func(p Part) Part { return p }})
			}
			before := list[n].after
			list[n].Axes = append(list[n].Axes, v.Axis)
			list[n].after = func(p Part) Part { return rolled(turned(before(p))) }
		}
	}
	return list
}

// scaled takes errors of some causes, of some axes or of all, times what is left of their low, middle and high end.
func scaled(causes []Cause, axes []int, low, middle, high float64) func(Part) Part {
	return func(p Part) Part {
		if !slices.Contains(causes, p.Cause) || axes != nil && !slices.Contains(axes, p.Axis) {
			return p
		}
		for k, s := range p.Sizes {
			p.Sizes[k] = budget.Range{Nominal: s.Nominal * middle}
			p.Sizes[k].Low = math.Min(s.Low*low, p.Sizes[k].Nominal)
			p.Sizes[k].High = math.Max(s.High*high, p.Sizes[k].Nominal)
		}
		return p
	}
}
