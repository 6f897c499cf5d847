package change

import (
	"slices"
	"strings"

	"ironbed/compiler/cut"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// mostTogether is how many changes are made together at most.
const mostTogether = 3

// together makes the changes that gain most for an answer together, each at its largest. Where
// that betters the grade, those that it takes none of are left out again, the one that gains
// least first. Nil where fewer than two gain.
func (t *tries) together(a *cut.Answer, singles []Move, before float64) (*Move, error) {
	parts := slices.DeleteFunc(slices.Clone(singles), func(m Move) bool { return m.Gain < LeastGain })
	rank.By(parts, func(m Move) float64 { return m.Gain })
	var list []Change
	for _, m := range parts {
		if len(list) < mostTogether && !slices.ContainsFunc(list, func(c Change) bool { return overlap(c.Edits, m.Edits) }) {
			list = append(list, *m.Change)
		}
	}
	if len(list) < 2 {
		return nil, nil
	}
	best, err := t.tryTogether(a, list, before)
	if err != nil || best == nil || !best.Better {
		return best, err
	}
	for i := len(list) - 1; i >= 0 && len(list) > 2; i-- {
		fewer := slices.Delete(slices.Clone(list), i, i+1)
		m, err := t.tryTogether(a, fewer, before)
		if err != nil {
			return nil, err
		}
		if m != nil && m.Better {
			best, list = m, fewer
		}
	}
	return best, nil
}

// tryTogether judges several changes made together; over the whole travel, where they better
// the grade in the least stiff position.
func (t *tries) tryTogether(a *cut.Answer, list []Change, before float64) (*Move, error) {
	c := Change{Parts: slices.Clone(list), At: list[0].At}
	var names []string
	for _, part := range list {
		names = append(names, part.What)
		c.Edits = append(c.Edits, part.Edits...)
	}
	c.What = "together: " + strings.Join(names, "; and ")
	of := slices.IndexFunc(t.all, func(known Change) bool { return known.What == c.What })
	if of < 0 {
		of = t.add(c)
	}
	here, err := t.propose(a, of, t.here[of](), fully, before)
	if err != nil || here == nil || !here.Better {
		return here, err
	}
	return t.propose(a, of, t.everywhere[of](), fully, before)
}

// overlap reports whether edits write to the same field, or one into the other's.
func overlap(a, b []spec.Edit) bool {
	return slices.ContainsFunc(a, func(x spec.Edit) bool {
		return slices.ContainsFunc(b, func(y spec.Edit) bool {
			return strings.HasPrefix(x.Path+".", y.Path+".") || strings.HasPrefix(y.Path+".", x.Path+".")
		})
	})
}
