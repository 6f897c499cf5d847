package cut

import (
	"fmt"
	"slices"

	"ironbed/spec"
)

// A Hearing is how an attempt is held against chatter.
type Hearing int

// Each finds no deeper cut than the one before, and takes longer.
const (
	Steady    Hearing = iota // not at all
	ByMean                   // by the mean of the factors
	BySeveral                // by several frequencies, where these tell more
)

// A Ranking is the attempts of a target in their order. Each is held against chatter when
// it would be the first: those that are behind without chatter stay there with it.
type Ranking struct {
	question Question
	target   *spec.Target
	list     []Attempt
}

// Rank ranks a target's attempts without chatter. What was ranked before, for a question that has
// fewer vibrations and no other difference, is taken from there.
func (q Question) Rank(t *spec.Target, before *Ranking) (*Ranking, error) {
	r := &Ranking{question: q, target: t}
	if before != nil {
		r.list = before.list
		return r, nil
	}
	steady := q
	steady.Vibrations = nil
	for _, name := range q.cutters(t) {
		if err := r.try(name, steady); err != nil {
			return nil, err
		}
	}
	return r, nil
}

// try puts a cutter's attempt in its place.
func (r *Ranking) try(name string, q Question) error {
	a, err := q.TryCutter(r.target, q.Model.Spec.WorkMaterial(r.target.Material.Text), name)
	if err != nil {
		return r.explain(name, err)
	}
	if a != nil {
		r.list = placed(r.list, *a)
	}
	return nil
}

func (r *Ranking) explain(cutter string, err error) error {
	return fmt.Errorf("target with cutter %s: %w", cutter, err)
}

// Of is the attempt of a cutter, held against chatter by the mean of the factors; nil where there is none.
func (r *Ranking) Of(cutter string) (*Attempt, error) {
	at := r.place(cutter)
	if at < 0 {
		return nil, nil
	}
	if r.list[at].heard < len(r.question.Vibrations) {
		r.list = slices.Delete(slices.Clone(r.list), at, at+1)
		if err := r.try(cutter, r.question); err != nil {
			return nil, err
		}
		at = r.place(cutter)
	}
	return &r.list[at], nil
}

// place is the place of a cutter's attempt; -1 where there is none.
func (r *Ranking) place(cutter string) int {
	return slices.IndexFunc(r.list, func(a Attempt) bool { return a.Cutter == cutter })
}

// First is the best attempt as it is heard so; nil where there is none.
func (r *Ranking) First(by Hearing) (*Attempt, error) {
	for len(r.list) > 0 {
		a := r.list[0]
		switch {
		case by >= ByMean && a.heard < len(r.question.Vibrations):
			r.list = r.list[1:]
			if err := r.try(a.Cutter, r.question); err != nil {
				return nil, err
			}
		case by >= BySeveral && !a.sure[a.Best]:
			r.list = r.list[1:]
			if err := a.confirm(); err != nil {
				return nil, r.explain(a.Cutter, err)
			}
			r.list = placed(r.list, a)
		default:
			return &a, nil
		}
	}
	return nil, nil
}
