package chance

import (
	"math"
	"slices"

	"ironbed/compiler/accuracy"
	"ironbed/spec"
)

// A drawnError is how an error of the finished part follows the inputs.
//
// The error is known at the middle of every value and at the bounds of all together. It goes from one to the other by the inputs that it rests on,
// each with a part in proportion to its own relative width:
//
//	e = e₀ + (eₕ − e₀) Σ wₖ tₖ / Σ wₖ above,  e₀ + (e₀ − eₗ) Σ wₖ tₖ / Σ wₖ below
//
// with tₖ where an input lies, 0 at its middle and 1 at the bound at which it is worse. That is exact where an error rests on one value, or is a
// product of powers of one size; a single value that counts for nothing but is wide takes some of the width of the others.
type drawnError struct {
	part  *accuracy.Part
	terms []term // none where it is computed anew for each machine
}

// A term is one input of an error.
type term struct {
	spec.Uncertainty
	weight float64
}

// A drawnFactor is by how much what is computed anew for a machine differs from the machine at the middle of every value [-].
type drawnFactor struct {
	wall, runout float64
	sag          [3]float64
}

// errorsOf are the errors of a finished part, with the inputs that they rest on.
func (j *judge) errorsOf(b *accuracy.Budget, known map[string]spec.Uncertainty) (list []drawnError) {
	for i := range b.Worst.Parts {
		p := &b.Worst.Parts[i]
		if p.Cause != accuracy.Wall && p.Cause != accuracy.Runout && p.Cause != accuracy.Sag {
			list = append(list, drawnError{p, j.termsOf(p, known)})
		}
	}
	return list
}

// termsOf are the inputs that an error rests on, stiffness and weight of the frame left out; its own spread where it rests on none.
func (j *judge) termsOf(p *accuracy.Part, known map[string]spec.Uncertainty) (list []term) {
	p.Log.Walk(func(l *spec.Log) bool {
		if l == j.Model.Stiff || l == j.Model.Weight {
			return false
		}
		for _, in := range l.Own() {
			u, ok := known[in.Path]
			if !ok || chosen(u) || slices.ContainsFunc(list, func(t term) bool { return t.Origin == u.Origin }) {
				continue
			}
			weight := 1.0
			if u.Middle != 0 {
				weight = (u.High - u.Low) / 2 / math.Abs(u.Middle)
			}
			list = append(list, term{u, weight})
			j.meet(u)
		}
		return true
	})
	if len(list) > 0 || !p.Wide() {
		return list
	}
	// A screw has any share of its tolerance alike; half of it is the middle.
	u := spec.Uncertainty{Origin: string(p.Cause) + j.axesOf(p), Low: -1, High: 1}
	if p.Cause == accuracy.Lead {
		u.Spread = spec.Anywhere
	}
	if p.OfSurfaces() { // all errors of one axis's surfaces are of one size
		u.Origin = "mounting surfaces" + j.axesOf(p)
	}
	u.Text = u.Origin
	j.meet(u)
	return []term{{u, 1}}
}

// axesOf names the axes of an error, after what it is.
func (j *judge) axesOf(p *accuracy.Part) (words string) {
	if p.Axis >= 0 {
		words = " of axis " + j.Spec.Axes[p.Axis].Name
	}
	if p.Other >= 0 {
		words += " and " + j.Spec.Axes[p.Other].Name
	}
	return words
}

// likely is the likely error of the finished part on a machine [m].
func (t *judged) likely(j *judge, number int, f drawnFactor) (float64, error) {
	ways := make(map[*accuracy.Part]float64, len(t.errors))
	for i := range t.errors {
		e := &t.errors[i]
		whole, sum := 0.0, 0.0
		for k := range e.terms {
			u := &e.terms[k].Uncertainty
			v := j.inputs[u.Origin].at(*u, number) - u.Middle
			if v > 0 {
				v /= u.High - u.Middle
			} else if v < 0 {
				v /= u.Middle - u.Low
			}
			if u.WorseLow {
				v = -v
			}
			whole, sum = whole+e.terms[k].weight, sum+e.terms[k].weight*v
		}
		if whole > 0 {
			ways[e.part] = sum / whole
		}
	}
	return t.budget.LikelyOf(func(p *accuracy.Part, along int) float64 {
		size, way := p.Sizes[along], ways[p]
		switch {
		case p.Cause == accuracy.Wall:
			return size.Nominal * f.wall
		case p.Cause == accuracy.Runout:
			return size.Nominal * f.runout
		case p.Cause == accuracy.Sag:
			return size.Nominal * f.sag[along]
		case way > 0:
			return size.Nominal + way*(size.High-size.Nominal)
		}
		return size.Nominal + way*(size.Nominal-size.Low)
	})
}
