package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/rank"
)

// reach is how far past the end of the one that runs through another one reaches, which is cut back to it.
func (f *fitter) reach(t, through tip) float64 {
	m, e := f.member(t), f.end(t)
	in, out := f.in(t), r3.Scale(-1, f.in(through))
	most := math.Inf(-1)
	for _, loop := range m.Outline {
		for _, p := range loop {
			w := m.place(p)
			w = r3.Sub(w, r3.Scale(r3.Dot(e.Normal, w)/r3.Dot(e.Normal, in), in)) // along the member to its cut
			most = math.Max(most, r3.Dot(out, r3.Add(r3.Sub(e.At, f.at(through)), w)))
		}
	}
	return most
}

// back cuts an end back to the face of what runs through, to that of its members which lies farther out.
func (f *fitter) back(t tip, through []tip) {
	best := f.square(t, Gap, 0, through[0].member)
	found := false
	for _, other := range through {
		if other.member == t.member {
			continue
		}
		e := f.face(t, other)
		if e.Cut == Back && (!found || rank.More(e.Taken, best.Taken)) {
			best, found = e, true
		} else if !found {
			best = e
		}
	}
	if why := f.end(t).Unmet; why != Met {
		best.Unmet = why
	} else if f.member(t).Trim[t.end] == Butt && !found {
		best.Unmet = NothingMet
	}
	*f.end(t) = best
}

// face is an end cut back to the face of another member.
func (f *fitter) face(t, other tip) End {
	m, o := f.member(t), f.member(other)
	if len(m.Outline) == 0 || len(o.Outline) == 0 {
		return f.square(t, Unknown, 0, other.member)
	}
	in, axis := f.in(t), o.along()
	if math.Abs(r3.Dot(in, axis)) > math.Cos(alongside) {
		return f.square(t, Parallel, 0, other.member)
	}
	if round(o) {
		if e, ok := f.cope(t, other); ok {
			return e
		}
	}
	from := r3.Sub(f.at(t), o.From) // to the end, from the other's axis
	from = r3.Sub(from, r3.Scale(r3.Dot(from, axis), axis))
	n := f.facing(o, in, from)
	side := r3.Cross(axis, n)
	low, high := m.reaches(side)
	low, high = low+r3.Dot(side, from), high+r3.Dot(side, from)
	if math.Abs(r3.Dot(in, side)) > 0.02 { // it crosses the face aslant: the whole face counts
		low, high = math.Inf(-1), math.Inf(1)
	}
	height, meets := first(o, n, side, low, high)
	taken := (height - r3.Dot(n, from)) / r3.Dot(n, in)
	if !meets || taken < -touching {
		return f.square(t, Gap, 0, other.member)
	}
	return End{Cut: Back, At: r3.Add(f.at(t), r3.Scale(taken, in)), Normal: r3.Scale(-1, n), Against: other.member, Taken: taken,
		Angle: math.Acos(math.Min(1, r3.Dot(n, in)))}
}

// one toward the line.
func (f *fitter) facing(o *Member, in, from r3.Vec) r3.Vec {
	axis := o.along()
	if round(o) {
		return r3.Unit(r3.Sub(in, r3.Scale(r3.Dot(in, axis), axis)))
	}
	y := r3.Cross(o.Up, axis)
	best, least := r3.Vec{}, math.Inf(1)
	for _, n := range []r3.Vec{y, r3.Scale(-1, y), o.Up, r3.Scale(-1, o.Up)} {
		way := r3.Dot(n, in)
		if way < 1e-6 {
			continue
		}
		_, height := o.reaches(n)
		if to := (height - r3.Dot(n, from)) / way; rank.More(least, to) {
			best, least = n, to
		}
	}
	return best
}

// round reports whether a section is round about its axis.
func round(m *Member) bool {
	least, most := math.Inf(1), 0.0
	for _, loop := range m.Outline {
		if len(loop) < roundFrom {
			return false
		}
		for _, p := range loop {
			r := math.Hypot(p.Y, p.Z)
			least, most = math.Min(least, r), math.Max(most, r)
		}
	}
	return most > 0 && least > 0.98*most
}

// of it lies between them.
func first(m *Member, n, side r3.Vec, low, high float64) (float64, bool) {
	const edge = 0.2e-3 // a strip that only grazes an edge does not meet it [m]
	low, high = low+edge, high-edge
	most, any := math.Inf(-1), false
	take := func(v float64) { most, any = math.Max(most, v), true }
	for _, loop := range m.Outline {
		for i, p := range loop {
			a, b := m.place(p), m.place(loop[(i+1)%len(loop)])
			sa, sb := r3.Dot(side, a), r3.Dot(side, b)
			na, nb := r3.Dot(n, a), r3.Dot(n, b)
			if sa >= low && sa <= high {
				take(na)
			}
			for _, limit := range []float64{low, high} {
				if (sa-limit)*(sb-limit) < 0 {
					take(na + (nb-na)*(limit-sa)/(sb-sa))
				}
			}
		}
	}
	return most, any
}

// ontoPlate cuts an end back to the face of a plate.
func (f *fitter) ontoPlate(t, plate tip) {
	p := f.member(plate)
	in := f.in(t)
	n := p.Up
	if r3.Dot(n, in) < 0 {
		n = r3.Scale(-1, n)
	}
	lean := r3.Dot(n, in)
	if lean < math.Sin(alongside) {
		*f.end(t) = f.square(t, Parallel, 0, plate.member)
		return
	}
	taken := (p.Sheet/2 - r3.Dot(n, r3.Sub(f.at(t), f.at(plate)))) / lean
	if taken < -touching {
		return
	}
	*f.end(t) = End{Cut: OnPlate, At: r3.Add(f.at(t), r3.Scale(taken, in)), Normal: r3.Scale(-1, n), Against: plate.member, Taken: taken,
		Angle: math.Acos(math.Min(1, lean))}
}
