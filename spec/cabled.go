package spec

import (
	"math"
	"strings"
)

// cableChain checks that a cable chain follows an axis, from what stands to what
// moves, and that something runs in it.
func (r *resolver) cableChain(e *Entry[Chain]) {
	c := &e.Item
	axis := r.m.Axes.Entry(c.Axis.Text)
	if axis == nil {
		r.unknown(c.Axis, "axis", r.m.Axes.Names())
	}
	fixed, moving := r.node(c.Fixed), r.node(c.Moving)
	if axis != nil && fixed && moving && len(r.diagnostics) == 0 {
		one, _, _ := strings.Cut(c.Fixed.Text, ".")
		other, _, _ := strings.Cut(c.Moving.Text, ".")
		r.twoBodies(axis, c.Fixed, one, other, "the standing end of chain "+e.Name, "its moving end")
		if one == axis.Item.Moves.Text && other == axis.Item.On.Text {
			r.say(
				RuleAxisChain,
				c.Fixed.At,
				"chain %s: axis %s moves %s, so its end there is the moving one; change `fixed` and `moving` round",
				e.Name,
				axis.Name,
				one,
			)
		}
	}
	if len(c.Lines) == 0 {
		r.say(RuleMissingField, e.At, "nothing runs in chain %s; give `lines`, each with its kind and diameter", e.Name)
	}
	for i := range c.Lines {
		for k := range r.m.Chains {
			other := r.m.Chains[k].Item.Lines.Entry(c.Lines[i].Name)
			if &r.m.Chains[k] == e {
				break // those after this one look back at it
			}
			if other != nil &&
				(other.Item.Kind.Text != c.Lines[i].Item.Kind.Text || math.Abs(other.Item.Diameter.q.Value-c.Lines[i].Item.Diameter.q.Value) > 1e-6) {
				r.say(
					RuleConflict,
					c.Lines[i].At,
					"%s is another cable in chain %s; one that continues through both has one kind and one diameter, and another needs another name",
					c.Lines[i].Name,
					r.m.Chains[k].Name,
				)
			}
		}
		if l := &c.Lines[i].Item; l.Feeds.Text != "" {
			r.node(l.Feeds)
		}
	}
}

// covers checks that a cover is described as what it is.
func (r *resolver) covers(e *Entry[Axis]) {
	c := e.Item.Covers
	if c == nil {
		return
	}
	for _, given := range []struct {
		is    bool
		at    Place
		field string
		kind  string
	}{
		{c.ExtendedRatio.Given, c.ExtendedRatio.At, "extended_ratio", "bellows"},
		{c.Boxes.Given, c.Boxes.At, "boxes", "telescopic"},
		{c.Overlap.Given, c.Overlap.At, "overlap", "telescopic"},
		{c.Lip.Given, c.Lip.At, "lip", "telescopic"},
	} {
		if given.is && c.Kind.Text != given.kind {
			r.say(
				RuleGeometry,
				given.at,
				"`%s` belongs to a %s cover, and that of axis %s is %s; take this line out",
				given.field,
				given.kind,
				e.Name,
				c.Kind.Text,
			)
		}
	}
}
