package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/section"
)

// edgePieces is in how many pieces each edge of an outline is looked at.
const edgePieces = 24

// eachPiece calls with the pieces of the edges of a member's outline: the middle of each from the axis, and where it begins and ends.
func (m *Member) eachPiece(with func(middle, from, to r3.Vec)) {
	for _, loop := range m.Outline {
		for i, p := range loop {
			q := loop[(i+1)%len(loop)]
			at := func(share float64) r3.Vec {
				return m.place(section.Point{Y: p.Y + share*(q.Y-p.Y), Z: p.Z + share*(q.Z-p.Z)})
			}
			pieces := edgePieces
			if len(loop) >= roundFrom {
				pieces = 1
			}
			for k := range pieces {
				with(at((float64(k)+0.5)/float64(pieces)), at(float64(k)/float64(pieces)), at(float64(k+1)/float64(pieces)))
			}
		}
	}
}

// roundFrom is from how many corners on an outline may stand for a round one.
const roundFrom = 12

// radius is the outside radius of a round section.
func (m *Member) radius() (most float64) {
	for _, loop := range m.Outline {
		for _, p := range loop {
			most = math.Max(most, math.Hypot(p.Y, p.Z))
		}
	}
	return most
}

// A saddle is the line in which a member meets a round one: for each point of its section the way along the member, from its end.
//
//	t = (−q·v + √((q·v)² − v²(q² − R²)))/v²
//
// q is the point from the round one's axis and v the way into the member, both square to that axis. For a tube of radius r whose axis
// meets that of the other at β this is w(θ) = (√(R² − r² sin²θ) − r cos θ cos β)/sin β.
type saddle struct {
	from, way r3.Vec // to the end of the axis, and the way in, square to the other's axis
	radius    float64
}

// along is where a line along the member leaves the round one; false where it passes beside it.
func (s saddle) along(w r3.Vec, axis r3.Vec) (float64, bool) {
	w = r3.Sub(w, r3.Scale(r3.Dot(w, axis), axis))
	q := r3.Add(s.from, w)
	a, b, c := r3.Norm2(s.way), r3.Dot(q, s.way), r3.Norm2(q)-s.radius*s.radius
	root := b*b - a*c
	if root < 0 {
		return 0, false
	}
	return (-b + math.Sqrt(root)) / a, true
}

// saddleOf is the saddle of an end on a round member; false where it passes beside that somewhere.
func (f *fitter) saddleOf(t, other tip) (s saddle, low, high, mean float64, ok bool) {
	m, o := f.member(t), f.member(other)
	in, axis := f.in(t), o.along()
	from := r3.Sub(f.at(t), o.From)
	s = saddle{r3.Sub(from, r3.Scale(r3.Dot(from, axis), axis)), r3.Sub(in, r3.Scale(r3.Dot(in, axis), axis)), o.radius()}
	low, high, ok = math.Inf(1), math.Inf(-1), true
	length := 0.0
	take := func(w r3.Vec) float64 {
		t, meets := s.along(w, axis)
		ok = ok && meets
		low, high = math.Min(low, t), math.Max(high, t)
		return t
	}
	m.eachPiece(func(middle, from, to r3.Vec) {
		take(from)
		size := r3.Norm(r3.Sub(to, from))
		mean, length = mean+size*take(middle), length+size
	})
	return s, low, high, mean / length, ok && length > 0
}

// cope is an end cut to the saddle that it makes on a round member: sawn square at its outermost point, and notched from there. False
// where a part of it passes beside.
//
// Source: plane geometry; see [saddle].
func (f *fitter) cope(t, other tip) (End, bool) {
	_, low, high, mean, ok := f.saddleOf(t, other)
	if !ok || low < -touching {
		return End{}, false
	}
	e := f.square(t, Back, -low, other.member)
	axis := f.member(other).along()
	e.Notch, e.notched = high-low, mean-low
	e.Angle = math.Asin(math.Min(1, math.Abs(r3.Dot(f.in(t), axis))))
	return e, true
}

// Seam returns how long the weld round a member's end is, where it lies on what the end is cut to, over the length of the line
// round its section: more than 1 where it is cut aslant or to a saddle, less where a part of it stands beside the other; of a
// mitre both share one. Zero where the end is cut to nothing.
//
// Source: derived here: the outline, laid into the cut along the member, piece by piece.
func (f *Frame) Seam(list []Member, member, end int) float64 {
	e, m := f.Solids[member].Ends[end], &list[member]
	if e.Against < 0 || e.Cut != Back && e.Cut != OnPlate && e.Cut != InMitre {
		return 0
	}
	o := &list[e.Against]
	in, axis := m.inward(end), o.along()
	lay := func(w r3.Vec) r3.Vec { return r3.Sub(w, r3.Scale(r3.Dot(e.Normal, w)/r3.Dot(e.Normal, in), in)) }
	whole, seam := 0.0, 0.0
	if e.Notch > 0 {
		from := r3.Sub(m.at(end), o.From)
		s := saddle{r3.Sub(from, r3.Scale(r3.Dot(from, axis), axis)), r3.Sub(in, r3.Scale(r3.Dot(in, axis), axis)), o.radius()}
		lay = func(w r3.Vec) r3.Vec {
			t, _ := s.along(w, axis)
			return r3.Add(w, r3.Scale(t, in))
		}
	}
	side := r3.Cross(axis, e.Normal)
	low, high := o.reaches(side)
	first, last := f.Solids[e.Against].Ends[0], f.Solids[e.Against].Ends[1]
	m.eachPiece(func(middle, from, to r3.Vec) {
		whole += r3.Norm(r3.Sub(to, from))
		p := r3.Add(e.At, lay(middle))
		if e.Cut == Back && e.Notch == 0 {
			if across := r3.Dot(side, r3.Sub(p, o.From)); across < low-touching || across > high+touching {
				return
			}
		}
		if e.Cut == Back && (pastEnd(first, p) || pastEnd(last, p)) {
			return
		}
		seam += r3.Norm(r3.Sub(lay(to), lay(from)))
	})
	if whole == 0 {
		return 0
	}
	return seam / whole
}

// pastEnd reports whether a point lies past an end at which a bar stops.
func pastEnd(e End, p r3.Vec) bool {
	return e.Cut != RunsOn && r3.Dot(e.Normal, r3.Sub(p, e.At)) > touching
}

// A Pair is two members that are cut back to one face at one node.
type Pair struct {
	A, B    int     // members
	On      int     // the one that runs through
	Gap     float64 // between them on that face, along the one that runs through; below zero where they overlap [m]
	Touches bool    // whether they stand in each other's way at all: where they stand side by side they do not
}

// Pairs are the members that stand side by side on a face of another one at a node.
//
// Source: derived here: their sections laid into the face, along the one that runs through and across it.
func (f *Frame) Pairs(list []Member) (out []Pair) {
	type foot struct {
		member, end int
		low, high   [2]float64 // along the other and across it
	}
	feet := map[[2]int][]foot{} // by the node and the other
	var order [][2]int
	for i := range list {
		for end, e := range f.Solids[i].Ends {
			if e.Cut != Back || e.Against < 0 || f.Solids[i].Length == 0 {
				continue
			}
			m, o := &list[i], &list[e.Against]
			in, axis := m.inward(end), o.along()
			s := foot{i, end, [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}}
			m.eachPiece(func(_, w, _ r3.Vec) {
				p := r3.Add(e.At, r3.Sub(w, r3.Scale(r3.Dot(e.Normal, w)/r3.Dot(e.Normal, in), in)))
				for k, way := range []r3.Vec{axis, r3.Cross(axis, e.Normal)} {
					v := r3.Dot(way, r3.Sub(p, o.From))
					s.low[k], s.high[k] = math.Min(s.low[k], v), math.Max(s.high[k], v)
				}
			})
			key := [2]int{m.Nodes[end], e.Against}
			if feet[key] == nil {
				order = append(order, key)
			}
			feet[key] = append(feet[key], s)
		}
	}
	for _, key := range order {
		for i, a := range feet[key] {
			for _, b := range feet[key][i+1:] {
				one, other := f.Solids[a.member].Ends[a.end], f.Solids[b.member].Ends[b.end]
				if r3.Dot(one.Normal, other.Normal) < math.Cos(inLine) {
					continue // on another face
				}
				out = append(out, Pair{A: a.member, B: b.member, On: key[1], Gap: math.Max(a.low[0]-b.high[0], b.low[0]-a.high[0]),
					Touches: a.low[1] < b.high[1]-touching && b.low[1] < a.high[1]-touching})
			}
		}
	}
	return out
}
