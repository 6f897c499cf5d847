package solid

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/section"
)

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

// piece.
func (f *fitter) finish(i int) {
	m, s := &f.list[i], &f.out[i]
	s.Length, s.Centre = Length(m, s.Ends)
	s.Volume, s.Mass = m.Area*m.through(s.Ends), m.MassPerLength*m.through(s.Ends)
	if _, _, shortest := m.spans(s.Ends); shortest <= 0 && m.Sheet == 0 {
		s.nothing()
	}
}

// nothing says that the cuts leave nothing of it.
func (s *Solid) nothing() {
	s.Length, s.Centre, s.Volume, s.Mass = 0, 0, 0, 0
	for end := range s.Ends {
		if s.Ends[end].Cut != RunsOn {
			s.Ends[end].Cut = CutAway
		}
	}
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
	b.Volume, b.Mass = whole.Area*whole.through(b.Ends), whole.MassPerLength*whole.through(b.Ends)
	if _, _, shortest := whole.spans(b.Ends); shortest <= 0 {
		b.nothing()
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
