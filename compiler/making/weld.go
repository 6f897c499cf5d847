package making

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/section"
	"ironbed/compiler/weld"
	"ironbed/spec"
)

// A Weld is where a member ends on another one of its body, welded all round.
type Weld struct {
	Branch, On *Run
	Wall       float64 // the thinner of the two [m]
	Leg        float64 // of the fillet [m]
	Length     float64 // round the branch [m]
	Metal      float64 // [kg]
	From       float64 // from the middle of the body, along its longest side [m]

	Log *spec.Log // what was read for it
}

// A Frame is a body that is welded.
type Frame struct {
	Body     string
	Along    int    // its longest side: 0, 1 or 2 for X, Y or Z
	Welds    []Weld // in the order in which they are made: from the middle outwards, a side after the other
	Length   float64
	Metal    float64 // [kg]
	Thickest float64 // wall [m]
	Closed   int     // hollow members that are closed by welds at both ends
	Across   float64 // by how much it may become shorter along its longest side, by the fillets that run across it [m]

	Log *spec.Log
}

// Frames are the bodies that are welded: of steel, from members that share nodes.
func Frames(d *machine.Model) (list []Frame, err error) {
	all := runs(d, weldable, sameStock)
	cuts, err := d.Cut()
	if err != nil {
		return nil, err
	}
	for i, b := range d.Spec.Bodies {
		var own []*Run
		for k := range all {
			if all[k].Bars[0].Body == i {
				own = append(own, &all[k])
			}
		}
		f, err := frame(b.Name, own, &cuts[i], d)
		if err != nil {
			return nil, err
		}
		if len(f.Welds) > 0 {
			list = append(list, f)
		}
	}
	return list, nil
}

// weldable reports whether a member is of steel, with an outline to weld round.
func weldable(b *machine.Bar) bool {
	if b.Member.Cell != nil || machine.Girth(b.Section) == 0 {
		return false
	}
	switch b.Section.Shape.(type) {
	case section.Drawn, section.Listed:
		return false
	}
	const steel, spread = 7850, 0.05 // [kg/m3], [-]
	return math.Abs(b.Section.Material.Density/steel-1) < spread || b.Section.Material.E > 180e9
}

// ends are the two ends of a run.
func (r *Run) ends() [2]r3.Vec {
	first := r.Bars[0]
	along := r3.Unit(r3.Sub(first.To, first.From))
	low, high := first.From, first.From
	for _, b := range r.Bars {
		for _, p := range []r3.Vec{b.From, b.To} {
			if r3.Dot(along, p) < r3.Dot(along, low) {
				low = p
			}
			if r3.Dot(along, p) > r3.Dot(along, high) {
				high = p
			}
		}
	}
	return [2]r3.Vec{low, high}
}

// meets reports whether a run has a node at a place.
func (r *Run) meets(at r3.Vec) bool {
	return slices.ContainsFunc(r.Bars, func(b *machine.Bar) bool {
		return r3.Norm(r3.Sub(b.From, at)) < lineWidth || r3.Norm(r3.Sub(b.To, at)) < lineWidth
	})
}

// frame finds the welds of a body.
func frame(body string, own []*Run, cuts *machine.CutBody, d *machine.Model) (f Frame, err error) {
	f = Frame{Body: body, Log: &spec.Log{}}
	var box [3]machine.ReachAlong
	for _, r := range own {
		for _, p := range r.ends() {
			for k, v := range machine.XYZ(p) {
				box[k].Take(v)
			}
		}
	}
	for k := range box {
		if rank.More(box[k].Length(), box[f.Along].Length()) {
			f.Along = k
		}
	}
	middle := (box[f.Along].Low + box[f.Along].High) / 2
	met := map[[2]int]bool{} // corners where both end are one weld
	for i, branch := range own {
		closed := 0
		for _, at := range branch.ends() {
			for k, on := range own {
				if k == i || !on.meets(at) {
					continue
				}
				closed++
				ends := on.ends()
				corner := r3.Norm(r3.Sub(ends[0], at)) < lineWidth || r3.Norm(r3.Sub(ends[1], at)) < lineWidth
				if pair := [2]int{min(i, k), max(i, k)}; corner && met[pair] {
					break
				} else if corner {
					met[pair] = true
				}
				from, to := branch, on
				if corner && machine.Girth(to.Bars[0].Section) < machine.Girth(from.Bars[0].Section)*(1-noise) {
					from, to = to, from // where both end, the smaller one ends on the larger
				}
				seam := seamOf(cuts, d, from, at)
				if other := seamOf(cuts, d, to, at); seam == 0 && other > 0 { // it is the other one that is cut back
					from, to, seam = to, from, other
				}
				w, err := welded(from, to, seam)
				if err != nil {
					return f, err
				}
				w.From = machine.XYZ(at)[f.Along] - middle
				f.Welds = append(f.Welds, w)
				break
			}
		}
		switch branch.Bars[0].Section.Shape.(type) {
		case section.HollowRectangle, section.HollowRound:
			if closed > 1 {
				f.Closed++
			}
		}
	}
	for i := range f.Welds {
		w := &f.Welds[i]
		f.Length += w.Length
		f.Metal += w.Metal
		f.Thickest = math.Max(f.Thickest, math.Max(machine.WallOf(w.Branch.Bars[0].Section.Shape), machine.WallOf(w.On.Bars[0].Section.Shape)))
		f.Log.Rest(w.Log)
	}
	f.order()
	return f, f.shrink()
}

// seamOf is how long the weld at a run's end is over its girth, as it is cut there; zero where it is cut to nothing, and for both of
// two that are mitred.
func seamOf(cuts *machine.CutBody, d *machine.Model, r *Run, at r3.Vec) float64 {
	for k, n := range cuts.Bars {
		b := &d.Bars[n]
		if !slices.Contains(r.Bars, b) {
			continue
		}
		for end, p := range []r3.Vec{b.From, b.To} {
			if r3.Norm(r3.Sub(p, at)) < lineWidth {
				if seam := cuts.Frame.Seam(cuts.Members, k, end); seam > 0 {
					return seam
				}
			}
		}
	}
	return 0
}

// welded is the weld of a branch on another run, along the line in which its outline is cut; all round it where no cut says more.
func welded(branch, on *Run, seam float64) (w Weld, err error) {
	a, b := branch.Bars[0].Section, on.Bars[0].Section
	w = Weld{Branch: branch, On: on, Wall: math.Min(machine.WallOf(a.Shape), machine.WallOf(b.Shape)), Length: machine.Girth(a), Log: spec.Over(a.Weighs, b.Weighs)}
	if seam > 0 {
		w.Length *= seam
	}
	if w.Leg, err = weld.Leg(w.Wall); err != nil {
		return w, err
	}
	w.Metal, err = weld.Metal(w.Leg, w.Length, a.Material.Density)
	return w, err
}

// order puts the welds of the middle first, and after each the one that mirrors it.
func (f *Frame) order() {
	rank.By(f.Welds, func(w Weld) float64 { return -math.Round(math.Abs(w.From) / lineWidth) })
	for start := 0; start < len(f.Welds); {
		end := start + 1
		for end < len(f.Welds) && math.Round(math.Abs(f.Welds[end].From)/lineWidth) == math.Round(math.Abs(f.Welds[start].From)/lineWidth) {
			end++
		}
		var ahead, behind, both []Weld
		for _, w := range f.Welds[start:end] {
			if w.From < 0 {
				behind = append(behind, w)
			} else {
				ahead = append(ahead, w)
			}
		}
		for k := range max(len(ahead), len(behind)) {
			if k < len(ahead) {
				both = append(both, ahead[k])
			}
			if k < len(behind) {
				both = append(both, behind[k])
			}
		}
		copy(f.Welds[start:end], both)
		start = end
	}
}

// shrink finds by how much the body may become shorter: by the fillets across the members that run along it, one on either side of
// each that ends on them, on the member that has most of them.
func (f *Frame) shrink() (err error) {
	count := map[*Run]int{}
	most := 0
	for i := range f.Welds {
		w := &f.Welds[i]
		ends := w.On.ends()
		way := machine.XYZ(r3.Unit(r3.Sub(ends[1], ends[0])))
		if math.Abs(way[f.Along]) < 0.9 {
			continue
		}
		count[w.On]++
		most = max(most, count[w.On])
	}
	f.Across, err = weld.Across(most)
	return err
}
