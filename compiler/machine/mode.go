package machine

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
)

// Motion words what moves in a mode: the body with most of the kinetic energy,
// and whether it moves as a whole, rocks, twists or bends.
func (d *Model) Motion(modes *frame.Modes, k int) string {
	energy := make([]float64, len(d.Spec.Bodies))
	for _, e := range modes.Energies(k) {
		for b := range d.Spec.Bodies {
			if d.bodyParts[b][e.Part] {
				energy[b] += e.Kinetic
			}
		}
	}
	body := 0
	for b := range energy {
		if energy[b] > energy[body] {
			body = b
		}
	}
	name := d.Spec.Bodies[body].Name
	var places, moves []r3.Vec
	for n := range d.Nodes {
		if d.NodeBody[n] == body {
			u := modes.Displacement(k, frame.At(n))
			places = append(places, d.Nodes[n])
			moves = append(moves, r3.Vec{X: u[0], Y: u[1], Z: u[2]})
		}
	}
	slide, turn, centre, rigid := fitRigid(places, moves)
	reach := 0.0
	for _, p := range places {
		reach = math.Max(reach, r3.Norm(r3.Sub(p, centre)))
	}
	switch {
	case !rigid && twists(places, moves, slide, turn, centre):
		return name + " twists"
	case !rigid:
		return name + " bends"
	case r3.Norm(turn)*reach > r3.Norm(slide):
		return fmt.Sprintf("%s rocks about %s", name, DirectionWords([3]float64{turn.X, turn.Y, turn.Z}))
	}
	return fmt.Sprintf("%s moves along %s", name, DirectionWords([3]float64{slide.X, slide.Y, slide.Z}))
}

// fitRigid fits a rigid motion to the motions of points by least squares: a
// slide of their middle and a turn about it. Rigid reports whether it stands for
// more than half of the motion.
func fitRigid(places, moves []r3.Vec) (slide, turn, centre r3.Vec, rigid bool) {
	n := float64(len(places))
	if n == 0 {
		return slide, turn, centre, true
	}
	for i := range places {
		centre = r3.Add(centre, r3.Scale(1/n, places[i]))
		slide = r3.Add(slide, r3.Scale(1/n, moves[i]))
	}
	// Normal equations of u − slide = θ × r.
	a := mat.NewSymDense(3, nil)
	b := mat.NewVecDense(3, nil)
	for i := range places {
		r, u := r3.Sub(places[i], centre), r3.Sub(moves[i], slide)
		size := r3.Norm2(r)
		v := [3]float64{r.X, r.Y, r.Z}
		for k := range 3 {
			for l := k; l < 3; l++ {
				sum := a.At(k, l) - v[k]*v[l]
				if k == l {
					sum += size
				}
				a.SetSym(k, l, sum)
			}
		}
		m := r3.Cross(r, u)
		for k, w := range []float64{m.X, m.Y, m.Z} {
			b.SetVec(k, b.AtVec(k)+w)
		}
	}
	for k := range 3 {
		a.SetSym(k, k, a.At(k, k)+1e-9) // points on a line do not turn about it
	}
	var theta mat.VecDense
	if theta.SolveVec(a, b) == nil {
		turn = r3.Vec{X: theta.AtVec(0), Y: theta.AtVec(1), Z: theta.AtVec(2)}
	}
	left, whole := 0.0, 0.0
	for i := range places {
		fit := r3.Add(slide, r3.Cross(turn, r3.Sub(places[i], centre)))
		left += r3.Norm2(r3.Sub(moves[i], fit))
		whole += r3.Norm2(moves[i])
	}
	return slide, turn, centre, left <= 0.25*whole
}

// twists reports whether most of what a rigid motion leaves of a body's motion is
// a twist about its long axis: a turn that grows from one end to the other.
func twists(places, moves []r3.Vec, slide, turn, centre r3.Vec) bool {
	long := r3.Vec{}
	for _, p := range places {
		if r := r3.Sub(p, centre); r3.Norm2(r) > r3.Norm2(long) {
			long = r
		}
	}
	if r3.Norm(long) == 0 {
		return false
	}
	long = alongNearest(long)
	var with, own, left float64
	for i := range places {
		r := r3.Sub(places[i], centre)
		u := r3.Sub(moves[i], r3.Add(slide, r3.Cross(turn, r)))
		w := r3.Scale(r3.Dot(r, long), r3.Cross(long, r))
		with += r3.Dot(u, w)
		own += r3.Norm2(w)
		left += r3.Norm2(u)
	}
	return own > 0 && with*with/own > 0.5*left
}

// alongNearest is the machine's direction nearest to a vector.
func alongNearest(v r3.Vec) r3.Vec {
	size := [3]float64{math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z)}
	switch {
	case size[0] >= size[1] && size[0] >= size[2]:
		return r3.Vec{X: 1}
	case size[1] >= size[2]:
		return r3.Vec{Y: 1}
	}
	return r3.Vec{Z: 1}
}
