package machine

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/rank"
	"ironbed/compiler/section"
)

// An open line is a run of members that warp as one: of one section with one fill, end to end.
type openLine struct {
	bars   []int     // in order
	ends   [2][2]int // its two ends: the bar, and which end of it
	length float64   // [m]
	relief float64   // stiffness that a turn from end to end does not find [N·m/rad]
}

// leastWarping is how much of the torsion stiffness warping has to add to be counted [-].
const leastWarping = 0.01

// findOpenLines finds the lines whose torsion hangs on warping.
//
// A section that is free to warp at the ends of a line is held against it within the line, where something turns it there: a carriage, a
// cross member. What turns it so finds more than GJ, see [section.WithinTorsion]; a turn in line from end to end finds GJ alone, and the two do
// not work on each other. So the members have the larger stiffness, and a spring from end to end takes the difference off again.
func (d *Model) findOpenLines() error {
	used := make([]bool, len(d.Bars))
	for i := range d.Bars {
		if used[i] {
			continue
		}
		eiw, err := section.Warping(d.Bars[i].Section.Shape, d.Bars[i].Section.Material)
		if err != nil {
			return err
		}
		if eiw == 0 {
			continue
		}
		line := d.lineThrough(i)
		for _, b := range line.bars {
			used[b] = true
		}
		adds := section.WithinTorsion(eiw, line.length)
		if adds < leastWarping*d.Bars[i].Used.GJ {
			continue
		}
		for _, b := range line.bars {
			d.Bars[b].Warps = adds
		}
		line.relief = adds / line.length
		d.openLines = append(d.openLines, line)
	}
	return nil
}

// touching is how near two ends on a line are one [m].
const touching = 1e-6

// lineThrough is the run of members on either side of a bar that warp with it.
func (d *Model) lineThrough(first int) openLine {
	b := &d.Bars[first]
	along := r3.Unit(r3.Sub(b.To, b.From))
	place := func(p r3.Vec) float64 { return r3.Dot(r3.Sub(p, b.From), along) }
	type span struct{ bar, low, high int } // which end of the bar lies low, which high
	at := func(s span, end int) float64 { return place([2]r3.Vec{d.Bars[s.bar].From, d.Bars[s.bar].To}[end]) }
	var spans []span
	for i := range d.Bars {
		o := &d.Bars[i]
		off := func(p r3.Vec) float64 { return r3.Norm(r3.Cross(along, r3.Sub(p, b.From))) }
		if o.Body != b.Body || stockOf(o.Member) != stockOf(b.Member) || off(o.From) > lineWidth || off(o.To) > lineWidth {
			continue
		}
		s := span{i, 0, 1}
		if place(o.From) > place(o.To) {
			s = span{i, 1, 0}
		}
		spans = append(spans, s)
	}
	rank.By(spans, func(s span) float64 { return -at(s, s.low) })
	var line openLine
	for k, s := range spans {
		if k > 0 {
			last := spans[k-1]
			apart := math.Abs(at(s, s.low)-at(last, last.high)) > touching
			hinged := d.Bars[s.bar].End[s.low] >= 0 || d.Bars[last.bar].End[last.high] >= 0
			if apart || hinged {
				if slices.Contains(line.bars, first) {
					break
				}
				line = openLine{}
			}
		}
		if len(line.bars) == 0 {
			line.ends[0] = [2]int{s.bar, s.low}
		}
		line.bars = append(line.bars, s.bar)
		line.ends[1] = [2]int{s.bar, s.high}
		line.length += d.Bars[s.bar].Span()
	}
	return line
}

// addRelief adds the springs that take off from end to end of each open line what warping adds within it, to each of its bars by its length.
func (d *Model) addRelief(out *Posed) {
	for _, line := range d.openLines {
		ends := [2]frame.Point{}
		for k, e := range line.ends {
			ends[k] = d.endPoint(&d.Bars[e[0]], e[1])
		}
		first := &d.Bars[line.bars[0]]
		along := r3.Unit(r3.Sub(first.To, first.From))
		axes := [3]r3.Vec{along, r3.Cross(first.turned, along), first.turned}
		for _, i := range line.bars {
			b := &d.Bars[i]
			out.relief = append(out.relief, len(out.Frame.Springs))
			out.Frame.Springs = append(out.Frame.Springs, frame.Spring{A: ends[0], B: ends[1], Axes: axes,
				K: [6]float64{3: -line.relief * b.Span() / line.length}, Part: b.Part, Relieves: true})
		}
	}
}
