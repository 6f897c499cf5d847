package solid

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/rank"
	"ironbed/compiler/section"
)

// A tip is an end of a member.
type tip struct{ member, end int }

// A line is what meets a node in one direction: one end, or two in a line.
type line struct {
	tips []tip
	on   bool // of two: the bar runs on
	bar  int
}

// A fitter cuts the members of a body.
type fitter struct {
	list   []Member
	out    []Solid
	barOf  []int     // by member
	length []float64 // by bar, as modelled
}

// Cuts cuts the members of a body at their ends. Of the members that meet at a node
//
//   - what runs on in a line, of one stock, is one bar and is not cut;
//   - one runs through: a bar that runs on before one that ends there, then the one that weighs more per
//     length, then the longer bar, then the first one;
//   - the others are cut back to its face: to what of its outline they meet first;
//   - where it ends at the node itself, it runs past the others, flush with their outer faces;
//   - two that end there alone, with sections that cover each other in the plane of the corner, are mitred.
//
// What the axis of a member only passes beside is not cut, and plates are not: members are cut back to their faces. A member's
// [Trim] is kept to where that can be done.
//
// Source: common practice; the geometry is derived here.
func Cuts(list []Member) (*Frame, error) {
	if err := check(list); err != nil {
		return nil, err
	}
	f := &fitter{list: list, out: make([]Solid, len(list)), barOf: make([]int, len(list))}
	nodes, order := map[int][]tip{}, []int{}
	for i := range list {
		for end := range 2 {
			f.out[i].Ends[end] = f.square(tip{i, end}, Plain, 0, -1)
			n := list[i].Nodes[end]
			if nodes[n] == nil {
				order = append(order, n)
			}
			nodes[n] = append(nodes[n], tip{i, end})
		}
	}
	bars := f.join(nodes, order)
	for _, n := range order {
		f.meet(nodes[n])
	}
	for i := range list {
		f.finish(i)
	}
	return &Frame{Solids: f.out, Bars: f.bars(bars)}, nil
}

// square is a square cut, some way past where the axis ends.
func (f *fitter) square(t tip, how Cut, past float64, against int) End {
	m := &f.list[t.member]
	out := r3.Scale(-1, m.inward(t.end))
	return End{Cut: how, At: r3.Add(m.at(t.end), r3.Scale(past, out)), Normal: out, Taken: -past, Against: against}
}

func (f *fitter) member(t tip) *Member { return &f.list[t.member] }
func (f *fitter) end(t tip) *End       { return &f.out[t.member].Ends[t.end] }
func (f *fitter) in(t tip) r3.Vec      { return f.member(t).inward(t.end) }
func (f *fitter) at(t tip) r3.Vec      { return f.member(t).at(t.end) }

// inOneLine reports whether two ends at a node lie in one line, and whether they are one bar.
func (f *fitter) inOneLine(a, b tip) (line, bar bool) {
	if r3.Dot(f.in(a), f.in(b)) > -math.Cos(inLine) || r3.Norm(r3.Sub(f.at(a), f.at(b))) > sameLine {
		return false, false
	}
	one, other := f.member(a), f.member(b)
	if one.Stock != other.Stock || !f.runsOn(a) || !f.runsOn(b) {
		return true, false
	}
	// Their sections cover each other.
	for _, n := range []r3.Vec{one.Up, r3.Cross(one.Up, one.along())} {
		lowA, highA := one.reaches(n)
		lowB, highB := other.reaches(n)
		if math.Abs(lowA-lowB) > touching || math.Abs(highA-highB) > touching {
			return true, false
		}
	}
	return true, math.Abs(r3.Dot(one.Up, other.Up)) > math.Cos(inLine) || len(one.Outline) > 0
}

// runsOn tells whether the spec's word lets an end run on.
func (f *fitter) runsOn(t tip) bool {
	m := f.member(t)
	return m.Trim[t.end] == ByRule || m.Trim[t.end] == Through
}

// join finds the bars, and how long they are.
func (f *fitter) join(nodes map[int][]tip, order []int) [][]int {
	next := map[tip]tip{}
	for _, n := range order {
		list := nodes[n]
		for i, a := range list {
			for _, b := range list[i+1:] {
				if _, taken := next[a]; taken || f.list[a.member].Sheet > 0 || f.list[b.member].Sheet > 0 || a.member == b.member {
					continue
				}
				if _, taken := next[b]; taken {
					continue
				}
				if _, bar := f.inOneLine(a, b); bar {
					next[a], next[b] = b, a
				}
			}
		}
	}
	var bars [][]int
	done := make([]bool, len(f.list))
	for i := range f.list {
		if done[i] {
			continue
		}
		// To the first end of the bar, and from there to its last. A ring has none.
		start := tip{i, 0}
		for range f.list {
			before, ok := next[start]
			if !ok {
				break
			}
			start = tip{before.member, 1 - before.end}
			if start.member == i {
				break
			}
		}
		var bar []int
		length := 0.0
		for at := start; !done[at.member]; {
			done[at.member] = true
			f.barOf[at.member] = len(bars)
			bar = append(bar, at.member)
			length += r3.Norm(r3.Sub(f.list[at.member].To, f.list[at.member].From))
			after, ok := next[tip{at.member, 1 - at.end}]
			if !ok {
				break
			}
			at = after
		}
		bars, f.length = append(bars, bar), append(f.length, length)
	}
	return bars
}

// linesOf are the lines that meet at a node.
func (f *fitter) linesOf(list []tip) (lines []line) {
	taken := map[tip]bool{}
	for i, a := range list {
		if taken[a] {
			continue
		}
		l := line{tips: []tip{a}, bar: f.barOf[a.member]}
		for _, b := range list[i+1:] {
			if taken[b] {
				continue
			}
			if inLine, _ := f.inOneLine(a, b); inLine {
				taken[b] = true
				l.tips = append(l.tips, b)
				l.on = f.barOf[b.member] == l.bar
				break
			}
		}
		lines = append(lines, l)
	}
	return lines
}

// says reports whether an end of a line has a word.
func (f *fitter) says(l line, word Trim) bool {
	for _, t := range l.tips {
		if f.member(t).Trim[t.end] == word {
			return true
		}
	}
	return false
}

// yields reports whether the spec has an end of a line stop at another member.
func (f *fitter) yields(l line) bool {
	for _, t := range l.tips {
		if f.member(t).On[t.end] >= 0 {
			return true
		}
	}
	return f.says(l, Butt)
}

// before reports whether a line runs through before another.
func (f *fitter) before(a, b line) bool {
	order := func(x, y bool) (bool, bool) { return x && !y, x != y }
	if first, decided := order(f.says(a, Through), f.says(b, Through)); decided {
		return first
	}
	if first, decided := order(!f.yields(a), !f.yields(b)); decided {
		return first
	}
	if first, decided := order(len(a.tips) > 1, len(b.tips) > 1); decided {
		return first
	}
	weight := func(l line) (most float64) {
		for _, t := range l.tips {
			most = math.Max(most, f.member(t).MassPerLength)
		}
		return most
	}
	switch {
	case rank.More(weight(a), weight(b)):
		return true
	case rank.More(weight(b), weight(a)):
		return false
	}
	return rank.More(f.length[a.bar], f.length[b.bar])
}

// meet cuts the ends that meet at a node.
func (f *fitter) meet(list []tip) {
	var plates, bars []tip
	for _, t := range list {
		if f.member(t).Sheet > 0 {
			plates = append(plates, t)
		} else {
			bars = append(bars, t)
		}
	}
	lines := f.linesOf(bars)
	for _, l := range lines {
		if len(l.tips) == 2 {
			how := Stepped
			if l.on {
				how = RunsOn
			}
			*f.end(l.tips[0]) = f.square(l.tips[0], how, 0, l.tips[1].member)
			*f.end(l.tips[1]) = f.square(l.tips[1], how, 0, l.tips[0].member)
		}
	}
	if len(plates) > 0 {
		for _, t := range bars {
			if !f.keptAsDrawn(t) {
				f.ontoPlate(t, plates[0])
			}
		}
		return
	}
	if len(lines) < 2 {
		for _, t := range bars {
			if on := f.member(t).On[t.end]; on >= 0 && f.member(t).Trim[t.end] != AsDrawn {
				f.back(t, []tip{{on, 0}})
				continue
			}
			f.unmet(t, NothingMet)
		}
		return
	}
	lines = f.mitres(lines)
	if len(lines) == 0 {
		return
	}
	main := 0
	for i := range lines {
		if f.before(lines[i], lines[main]) {
			main = i
		}
	}
	f.around(lines, main)
}

// keptAsDrawn keeps an end as it is drawn, where the spec says so.
func (f *fitter) keptAsDrawn(t tip) bool {
	if f.member(t).Trim[t.end] != AsDrawn {
		return false
	}
	*f.end(t) = f.square(t, Drawn, 0, -1)
	return true
}

// unmet keeps why an end's word is not followed.
func (f *fitter) unmet(t tip, why Unmet) {
	if f.keptAsDrawn(t) {
		return
	}
	switch word := f.member(t).Trim[t.end]; {
	case word == Mitre && why == NothingMet:
		f.end(t).Unmet = NoPartner
	case word != ByRule:
		f.end(t).Unmet = why
	}
}

// mitres cuts the mitre of a node, if there is one, and gives back the lines that are left to be cut: all where there is
// none.
func (f *fitter) mitres(lines []line) []line {
	var pair []int
	for i, l := range lines {
		if f.says(l, Mitre) {
			pair = append(pair, i)
		}
	}
	asked := len(pair) > 0
	if len(lines) == 2 {
		other := false // a word that is against it
		for _, l := range lines {
			other = other || len(l.tips) > 1 || f.says(l, Through) || f.says(l, AsDrawn) || f.yields(l)
		}
		if !other {
			pair = []int{0, 1}
		}
	}
	refuse := func(why Unmet) []line {
		for _, l := range lines {
			for _, t := range l.tips {
				if f.member(t).Trim[t.end] == Mitre {
					f.end(t).Unmet = why
				}
			}
		}
		return lines
	}
	if len(pair) != 2 || len(lines[pair[0]].tips) > 1 || len(lines[pair[1]].tips) > 1 {
		return refuse(NoPartner)
	}
	a, b := lines[pair[0]].tips[0], lines[pair[1]].tips[0]
	if !f.cover(a, b) {
		return refuse(Unequal)
	}
	if !asked && len(lines) > 2 {
		return lines
	}
	// The plane through the node that halves the corner.
	normal := r3.Unit(r3.Sub(f.in(b), f.in(a))) // out of a
	for _, t := range []struct {
		of, other tip
		normal    r3.Vec
	}{{a, b, normal}, {b, a, r3.Scale(-1, normal)}} {
		*f.end(t.of) = End{Cut: InMitre, At: f.at(t.of), Normal: t.normal, Against: t.other.member,
			Angle: math.Acos(math.Min(1, math.Abs(r3.Dot(t.normal, f.in(t.of)))))}
	}
	if len(lines) == 2 {
		return nil
	}
	// The others stop at the first of the two.
	var left []line
	left = append(left, lines[pair[0]])
	for i, l := range lines {
		if i != pair[0] && i != pair[1] {
			left = append(left, l)
		}
	}
	for _, l := range left[1:] {
		for _, t := range l.tips {
			f.back(t, []tip{a, b})
		}
	}
	return nil
}

// cover reports whether the sections of two ends cover each other in the plane of their mitre.
func (f *fitter) cover(a, b tip) bool {
	const alike = 0.5e-3 // [m]
	one, other := f.in(a), f.in(b)
	square := r3.Cross(one, other)
	if r3.Norm(square) < math.Sin(alongside) || r3.Norm(r3.Sub(f.at(a), f.at(b))) > sameLine ||
		len(f.member(a).Outline) == 0 || len(f.member(b).Outline) == 0 {
		return false
	}
	square = r3.Unit(square)
	outer := r3.Scale(-1, r3.Add(one, other)) // toward the outside of the corner
	same := func(na, nb r3.Vec) bool {
		lowA, highA := f.member(a).reaches(na)
		lowB, highB := f.member(b).reaches(nb)
		return math.Abs(lowA-lowB) < alike && math.Abs(highA-highB) < alike
	}
	off := func(in r3.Vec) r3.Vec { return r3.Unit(r3.Sub(outer, r3.Scale(r3.Dot(outer, in), in))) }
	return same(square, square) && same(off(one), off(other))
}

// around cuts all lines of a node back to the one that runs through, and lets that one run past them.
func (f *fitter) around(lines []line, main int) {
	through := lines[main]
	past, beyond := 0.0, -1
	for i, l := range lines {
		if i == main {
			continue
		}
		for _, t := range l.tips {
			if f.keptAsDrawn(t) {
				continue
			}
			against := through.tips
			if on := f.member(t).On[t.end]; on >= 0 {
				against = []tip{{on, 0}}
			}
			f.back(t, against)
			if f.member(t).Trim[t.end] == Through {
				f.end(t).Unmet = Outranked
			}
			if f.end(t).Cut != Back || len(through.tips) > 1 {
				continue
			}
			if reach := f.reach(t, through.tips[0]); rank.More(reach, past) {
				past, beyond = reach, t.member
			}
		}
		f.stillOn(l)
	}
	for _, t := range through.tips {
		switch {
		case f.keptAsDrawn(t):
		case f.member(t).Trim[t.end] == Butt:
			f.end(t).Unmet = NothingMet
		case len(through.tips) == 1 && beyond >= 0:
			why := f.end(t).Unmet
			*f.end(t) = f.square(t, Past, past, beyond)
			f.end(t).Unmet = why
		case len(through.tips) == 1 && f.member(t).Trim[t.end] == Through:
			f.end(t).Unmet = NothingMet
		}
	}
}

// stillOn lets a bar run on that only passes beside what runs through.
func (f *fitter) stillOn(l line) {
	if !l.on || f.end(l.tips[0]).Cut == Back || f.end(l.tips[1]).Cut == Back {
		return
	}
	*f.end(l.tips[0]) = f.square(l.tips[0], RunsOn, 0, l.tips[1].member)
	*f.end(l.tips[1]) = f.square(l.tips[1], RunsOn, 0, l.tips[0].member)
}

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

// facing is the normal of the face by which a line leaves a member: that of the box about its section, or of a round
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
		if len(loop) < 12 {
			return false
		}
		for _, p := range loop {
			r := math.Hypot(p.Y, p.Z)
			least, most = math.Min(least, r), math.Max(most, r)
		}
	}
	return most > 0 && least > 0.98*most
}

// first is how far out along a normal a member's outline reaches between two lines beside each other; false where nothing
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

// finish computes a member's lengths. Where its cuts leave nothing of it, it stays as drawn.
func (f *fitter) finish(i int) {
	m, s := &f.list[i], &f.out[i]
	if _, _, shortest := m.spans(s.Ends); shortest <= 0 && m.Sheet == 0 {
		for end := range s.Ends {
			if s.Ends[end].Cut != RunsOn {
				s.Ends[end] = f.square(tip{i, end}, CutAway, 0, s.Ends[end].Against)
			}
		}
	}
	s.Length, s.Centre = Length(m, s.Ends)
	s.Volume, s.Mass = m.Area*s.Centre, m.MassPerLength*s.Centre
}

// bars are the bars as they are cut: what was one bar is several where it is cut between.
func (f *fitter) bars(lists [][]int) (out []Bar) {
	for _, list := range lists {
		if f.list[list[0]].Sheet > 0 {
			continue
		}
		for from := 0; from < len(list); {
			to := from + 1
			for to < len(list) && f.joins(list[to-1], list[to]) {
				to++
			}
			out = append(out, f.bar(list[from:to]))
			from = to
		}
	}
	slices.SortStableFunc(out, func(a, b Bar) int { return slices.Min(a.Members) - slices.Min(b.Members) })
	return out
}

// joins reports whether a member runs on in another.
func (f *fitter) joins(a, b int) bool {
	for _, e := range f.out[a].Ends {
		if e.Cut == RunsOn && e.Against == b {
			return true
		}
	}
	return false
}

// bar is a bar of members that run on in each other, as one from its first cut to its last.
func (f *fitter) bar(members []int) Bar {
	b := Bar{Members: members, Solid: f.out[members[0]]}
	if len(members) == 1 {
		return b
	}
	first, last := members[0], members[len(members)-1]
	b.Ends = [2]End{f.outer(first, members[1]), f.outer(last, members[len(members)-2])}
	whole := f.list[first]
	whole.From, whole.To = b.Ends[0].At, b.Ends[1].At
	if r3.Dot(whole.along(), f.list[first].along()) < 0 { // the section's y turns with the axis
		whole.Outline = nil
		for _, loop := range f.list[first].Outline {
			var turned []section.Point
			for _, p := range loop {
				turned = append(turned, section.Point{Y: -p.Y, Z: p.Z})
			}
			whole.Outline = append(whole.Outline, turned)
		}
	}
	b.Length, b.Centre = Length(&whole, b.Ends)
	b.Volume, b.Mass = 0, 0
	for _, i := range members {
		b.Volume, b.Mass = b.Volume+f.out[i].Volume, b.Mass+f.out[i].Mass
	}
	return b
}

// outer is the end of a bar's outermost member that does not run on in its neighbour.
func (f *fitter) outer(member, neighbour int) End {
	ends := &f.out[member].Ends
	if ends[0].Cut == RunsOn && ends[0].Against == neighbour {
		return ends[1]
	}
	return ends[0]
}
