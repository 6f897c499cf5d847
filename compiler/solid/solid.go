// Package solid knows the machine's members as bodies of real length: each is its section swept along its axis
// between two cuts, and the cuts follow from what meets at its ends. It also knows how near convex bodies come to each
// other over their travels.
// Everything is SI: metres, kilograms and radians.
package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/domain"
	"ironbed/compiler/section"
)

// A Trim says how a member's end is cut, where the rule shall not choose.
type Trim int

// The ways to cut an end.
const (
	ByRule  Trim = iota
	Through      // past the others, flush with their outer faces
	Butt         // back to the face of the one that runs through
	Mitre        // in the plane that halves the corner
	AsDrawn      // square, where the axis ends
)

// A Member is a bar between two nodes, as the model has it.
type Member struct {
	From, To      r3.Vec            // ends of its axis [m]
	Up            r3.Vec            // direction of the section's z, square to the axis [-]
	Outline       [][]section.Point // outer boundaries about the axis, which goes through the centroid; none where they are not known
	MassPerLength float64           // with its fill [kg/m]
	Area          float64           // of the section without its fill [m2]
	Stock         int               // members of one stock, fill and section, that run on in a line are one bar
	Nodes         [2]int            // members whose ends share a node meet there
	Trim          [2]Trim
	On            [2]int  // the member on whose face the end stands by the spec, −1 for none
	Sheet         float64 // thickness of the plate that it is a part of, 0 for a bar; plates are not cut [m]
}

// along is the way from its first end to its second.
func (m *Member) along() r3.Vec { return r3.Unit(r3.Sub(m.To, m.From)) }

// inward is the way from an end into the member.
func (m *Member) inward(end int) r3.Vec {
	if end == 0 {
		return m.along()
	}
	return r3.Scale(-1, m.along())
}

// at is where an end of the axis lies.
func (m *Member) at(end int) r3.Vec { return [2]r3.Vec{m.From, m.To}[end] }

// place is a point of the section in space, from the axis.
func (m *Member) place(p section.Point) r3.Vec {
	y := r3.Cross(m.Up, m.along())
	return r3.Add(r3.Scale(p.Y, y), r3.Scale(p.Z, m.Up))
}

// reaches is how far the section reaches from the axis along a direction, either way.
func (m *Member) reaches(n r3.Vec) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, loop := range m.Outline {
		for _, p := range loop {
			v := r3.Dot(n, m.place(p))
			low, high = math.Min(low, v), math.Max(high, v)
		}
	}
	return low, high
}

// A Cut is how an end is cut, and why.
type Cut int

// The cuts.
const (
	Plain    Cut = iota // square where its axis ends: nothing meets it there
	RunsOn              // not cut: the bar runs on in the next member
	Back                // cut back to the face of another member
	Past                // runs past others, flush with their outer faces
	InMitre             // in the plane that halves the corner with another member
	Drawn               // square where its axis ends, by the spec's word
	OnPlate             // cut back to the face of a plate
	Gap                 // square where its axis ends: the next member lies beside it
	Stepped             // square where its axis ends: another section goes on in its line
	CutAway             // what would be left of it lies within its neighbours: there is nothing to cut
	Unknown             // square where its axis ends: the outline of its section or of the other's is not known
	Parallel            // square where its axis ends: the other runs along beside it
)

// An Unmet is why an end is not cut as its word says.
type Unmet int

// The reasons.
const (
	Met        Unmet = iota
	NoPartner        // there is no other end to make a mitre with, or there are several
	Unequal          // the sections that shall meet in a mitre do not cover each other in its plane
	Outranked        // another one runs through
	NothingMet       // there is no member to stop at, or to run past
)

// An End is a member's end as it is cut.
type End struct {
	Cut     Cut
	At      r3.Vec  // where the axis goes through the cut [m]
	Normal  r3.Vec  // of the cut, out of the member [-]
	Angle   float64 // between the cut and a square one; of a saddle between the member and what is square to the round one [rad]
	Taken   float64 // off the axis, from where the model ends it; below zero where it runs on past that [m]
	Against int     // the member that decides the cut, −1 for none
	Notch   float64 // depth of the saddle in which it meets a round one, from its outermost point; its cut is square there [m]
	Unmet   Unmet   // why the word was not followed

	notched float64 // what the saddle takes off it on average [m]
}

// A Solid is a member as it is cut.
type Solid struct {
	Ends   [2]End
	Centre float64 // length of its axis between the cuts [m]
	Length float64 // between its outermost points, along its axis [m]
	Volume float64 // of the section without its fill [m3]
	Mass   float64 // with its fill [kg]
}

// A Bar is what is cut in one piece: a member, or several of one stock that run on in a line.
type Bar struct {
	Members []int // in order from one end to the other
	Solid
}

// A Frame is the members of a body as they are cut.
type Frame struct {
	Solids []Solid // by member
	Bars   []Bar   // in the order of their first members; none of plates
}

const (
	sameLine  = 1e-3              // how far beside each other axes in one line may lie [m]
	touching  = 0.5e-3            // how far short of a face an end may stop and stand on it [m]
	inLine    = 1 * math.Pi / 180 // the angle up to which members run in one line [rad]
	alongside = 5 * math.Pi / 180 // the angle up to which they run beside each other [rad]
)

// check asks for members that can be cut.
func check(list []Member) error {
	var g domain.Guard
	for i := range list {
		m := &list[i]
		g.Positive("length of a member", r3.Norm(r3.Sub(m.To, m.From)))
		g.Demand(math.Abs(r3.Norm(m.Up)-1) < 1e-6, "length of the direction of the section's height", r3.Norm(m.Up), "1")
		g.ZeroOrMore("mass per length", m.MassPerLength)
		g.ZeroOrMore("area", m.Area)
	}
	return g.Err
}

// Length returns the length of a member between its outermost points, and that of its axis, both between two cuts [m].
//
//	s(w) = n·(p − w)/(n·u),  centre = s₂(0) − s₁(0),  length = max over w of s₂(w) − min over w of s₁(w)
//
// with u along the axis, n and p the normal and a point of a cut, and w a point of the section's outline from the axis.
//
// Source: derived here.
func Length(m *Member, ends [2]End) (length, centre float64) {
	first, last, _ := m.spans(ends)
	u := m.along()
	centre = r3.Dot(u, r3.Sub(ends[1].At, ends[0].At))
	return last - first, centre
}

// through is the length of the axis between two cuts, less what saddles take on average. The volume between them is the area times
// that, whatever their angles: s of [Length] is linear over the section, and its mean is at the centroid, where the axis lies.
func (m *Member) through(ends [2]End) float64 {
	return r3.Dot(m.along(), r3.Sub(ends[1].At, ends[0].At)) - ends[0].notched - ends[1].notched
}

// spans are where a member's outermost points lie along its axis, from its first cut, and the length of the shortest line
// along it that is left between the cuts.
func (m *Member) spans(ends [2]End) (first, last, shortest float64) {
	u := m.along()
	s := func(e End, w r3.Vec) float64 {
		return r3.Dot(u, r3.Sub(e.At, ends[0].At)) - r3.Dot(e.Normal, w)/r3.Dot(e.Normal, u)
	}
	first, last = s(ends[0], r3.Vec{}), s(ends[1], r3.Vec{})
	shortest = last - first
	for _, loop := range m.Outline {
		for _, p := range loop {
			w := m.place(p)
			a, z := s(ends[0], w), s(ends[1], w)
			first, last, shortest = math.Min(first, a), math.Max(last, z), math.Min(shortest, z-a)
		}
	}
	return first, last, shortest
}

// Body is the box about a member's section between its cuts; false where its outline is not known, or nothing is left.
func (s *Solid) Body(m *Member) (Convex, bool) {
	if len(m.Outline) == 0 || s.Length == 0 {
		return Convex{}, false
	}
	u := m.along()
	y := r3.Cross(m.Up, u)
	lowY, highY := m.reaches(y)
	lowZ, highZ := m.reaches(m.Up)
	out := Convex{Normals: []r3.Vec{y, m.Up}, Edges: []r3.Vec{u}}
	for _, e := range s.Ends {
		out.Normals = append(out.Normals, e.Normal)
		// The sides of the cut run along the faces of the box.
		for _, n := range []r3.Vec{y, m.Up} {
			out.Edges = append(out.Edges, r3.Unit(r3.Cross(n, e.Normal)))
		}
		for _, w := range []r3.Vec{
			r3.Add(r3.Scale(lowY, y), r3.Scale(lowZ, m.Up)), r3.Add(r3.Scale(highY, y), r3.Scale(lowZ, m.Up)),
			r3.Add(r3.Scale(highY, y), r3.Scale(highZ, m.Up)), r3.Add(r3.Scale(lowY, y), r3.Scale(highZ, m.Up)),
		} {
			back := r3.Dot(e.Normal, w) / r3.Dot(e.Normal, u)
			out.Corners = append(out.Corners, r3.Add(e.At, r3.Sub(w, r3.Scale(back, u))))
		}
	}
	return out, true
}
