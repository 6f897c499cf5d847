package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/rank"
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
// Source: common practice; derived here: what the cuts are, by plane geometry.
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

// facing is the normal of the face by which a line leaves a member: that of the box about its section, or of a round
// first is how far out along a normal a member's outline reaches between two lines beside each other; false where nothing
// finish computes a member's lengths. Of a piece of a longer bar nothing may be left, where the bar's cut lies in the next
