package machine

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/spec"
)

// lines says of a body's members how far their steel and fill run on in one line.
type lines struct {
	model   *Model
	members []spec.Entry[spec.Member]
	ends    [][2]r3.Vec       // by member, as drawn
	alike   map[stock][]int   // members by what they are made of
	known   map[lineKey]*line // what has been found
	body    int
}

// A stock is a section with its fill, by their names, and the cell of a plate as the spec has it.
type stock struct{ section, fill, cell string }

// A lineKey tells lines apart: where a line passes the origin, and which way it runs.
type lineKey struct {
	stock
	foot, along r3.Vec
}

// A line is how far the members on a line run [m], and what that was read from.
type line struct {
	run float64
	log *spec.Log
}

// linesOf prepares the lines of a body, the nodes of which have been added.
func (d *Model) linesOf(body int) *lines {
	l := &lines{model: d, members: d.Spec.Bodies[body].Item.Members, alike: map[stock][]int{}, known: map[lineKey]*line{}, body: body}
	for i := range l.members {
		m := &l.members[i].Item
		from, to := d.ends(body, m, d.Read)
		l.ends = append(l.ends, [2]r3.Vec{from, to})
		l.alike[stockOf(m)] = append(l.alike[stockOf(m)], i)
	}
	return l
}

func stockOf(m *spec.Member) stock {
	s := stock{section: m.Section.Text, fill: m.Fill.Text}
	if c := m.Cell; c != nil {
		s.cell = fmt.Sprint(c.Length.Text, ";", c.Width.Text, c.Edge, c.Diagonal)
	}
	return s
}

// of returns how far a member runs on: the members of its body that lie on its line with
// the same section and fill [m]; and what that was read from. Members of one line share
// it: it is looked for once.
func (l *lines) of(m *spec.Member, from, to r3.Vec) (run float64, log *spec.Log) {
	along := r3.Unit(r3.Sub(to, from))
	key := lineKey{stock: stockOf(m), along: rounded(forward(along))}
	key.foot = rounded(r3.Sub(from, r3.Scale(r3.Dot(from, along), along)))
	if known := l.known[key]; known != nil {
		return known.run, known.log
	}
	found := &line{log: &spec.Log{}}
	read := l.model.Read.Into(found.log)
	off := func(p r3.Vec) float64 { return r3.Norm(r3.Cross(along, r3.Sub(p, from))) }
	l.model.ends(l.body, m, read)
	for _, i := range l.alike[key.stock] {
		a, b := l.ends[i][0], l.ends[i][1]
		if off(a) < lineWidth && off(b) < lineWidth {
			l.model.ends(l.body, &l.members[i].Item, read)
			found.run += r3.Norm(r3.Sub(b, a))
		}
	}
	l.known[key] = found
	return found.run, found.log
}

// forward is a direction or its opposite, whichever points ahead, so that members drawn
// either way lie on one line.
func forward(v r3.Vec) r3.Vec {
	for _, c := range XYZ(v) {
		if math.Abs(c) > 1e-9 {
			return r3.Scale(math.Copysign(1, c), v)
		}
	}
	return v
}

// rounded is a vector without the digits that rounding leaves. Two members of one line
// that it tells apart all the same are looked for twice.
func rounded(v r3.Vec) r3.Vec {
	const digits = 1e9
	of := func(c float64) float64 { return math.Round(c*digits)/digits + 0 }
	return r3.Vec{X: of(v.X), Y: of(v.Y), Z: of(v.Z)}
}
