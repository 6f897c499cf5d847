package compiler

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/chatter"
	"ironbed/compiler/cutting"
	"ironbed/compiler/frame"
	"ironbed/compiler/modal"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

const (
	// feedDirections is how many directions of feed are held against chatter:
	// a feed and its opposite are alike.
	feedDirections = 8
	// toolLoss is the loss factor of spindle, holder and cutter together; from
	// memory.
	toolLoss = 0.02
	// slowest is where the search for chatter starts, below all modes [Hz].
	slowestChatter = 5
)

// chatterPass holds each target's best cut against the frame's own vibration.
func chatterPass(j *job) error {
	if j.modes == nil || j.demand.target == "" {
		return nil
	}
	modes := j.modes
	work, err := j.model.workPoints(j.worst.posed, j.model.nosePoint())
	if err != nil {
		return err
	}
	loads := j.model.loads(j.worst.posed, work, noseOnly)
	at := func(end int) (*modal.Receptance, error) {
		return modal.OfFrame(modes, j.worst.solution, func(part int) frame.Loss { return frame.EvenLoss(j.model.lossOf(part)[end]) }, loads...)
	}
	middle, err := at(1)
	if err != nil {
		return err
	}
	dull, err := at(0)
	if err != nil {
		return err
	}
	highest := modes.Frequency(modes.Count() - 1)
	table := build.Table{Caption: "Depth from which the frame sings, worst direction of feed", Columns: []build.Column{{Head: "target"}, {Head: "cut"}, {Head: "depth wanted, mm", Right: true},
		{Head: "limit at its speed, mm", Right: true}, {Head: "limit at any speed, mm", Right: true}, {Head: "sings at, Hz", Right: true}}}
	found := make([][2]sung, len(j.answers))
	errs := make([]error, 2*len(j.answers))
	eachParallel(2*len(j.answers), func(k int) {
		a, end := &j.answers[k/2], k%2
		if p := a.point(); p != nil {
			found[k/2][end], errs[k] = j.sings([]*modal.Receptance{middle, dull}[end], a, p, highest)
		}
	})
	for k, err := range errs {
		if err != nil {
			return &refusal{rule: "chatter", at: j.answers[k/2].entry.At, message: err.Error()}
		}
	}
	for i := range j.answers {
		if a := &j.answers[i]; a.point() != nil {
			table.Rows = append(table.Rows, j.chatterRow(a, found[i][0], found[i][1]))
		}
	}
	j.sheet("chatter", "When it sings",
		build.Text(fmt.Sprintf("A cut deeper than its limit feeds its own vibration: it sings, and the finish is gone. The limits are of the frame's modes up to %s, in the softest pose and the worst direction of feed; at any speed is the depth that is safe whatever the speed. The modes of the spindle and the cutter themselves lie above and are not in it: fast small cutters sing with those first. Damping is from memory: the bounds are its low end.", build.Measure(highest, "Hz"))),
		table)
	return nil
}

// A sung is a limiting depth at a speed, and at any speed.
type sung struct{ at, any chatter.Limit }

// point is the best cut of an answer, nil where there is none.
func (a *answer) point() *reach.Point {
	if best := a.best(); best != nil {
		return best.best.Best
	}
	return nil
}

// chatterRow words one target's limits.
func (j *job) chatterRow(a *answer, steady, low sung) []build.Cell {
	best, p := a.best(), a.point()
	w := j.m.WorkMaterial(a.entry.Item.Material.Text)
	id := "target." + idWord(a.entry.Name) + "."
	anyCell := build.Cell{Text: "none found"}
	if !math.IsInf(steady.any.Depth, 0) && !math.IsInf(low.any.Depth, 0) {
		anyCell = build.Cell{Plain: true, Figure: j.add(build.Figure{ID: id + "stable_depth", Label: "depth of cut that is stable at any speed, target " + a.entry.Name, Value: steady.any.Depth, Unit: "mm",
			Bounded: true, Low: low.any.Depth, High: steady.any.Depth,
			Formula: "least a = −(2π Λr/(N Kt))(1 + κ²) over frequency and direction of feed, Λ of the oriented receptance at the tip", Source: "Altintas Budak 1995; Ewins 2000",
			Inputs: append(from("mode.1.frequency", "mode.1.damping", "tool.stiffness.x", "tool.stiffness.y"), in("specific cutting force of "+a.entry.Item.Material.Text, w.SpecificForce)),
			Notes:  []string{"zero-order: not for cuts narrower than about a tenth of the diameter; the edge's own damping at low speed is not in it", "the lower bound takes every loss factor at its low end"}})}
	}
	atCell := build.Cell{Text: "none found"}
	if !math.IsInf(steady.at.Depth, 0) {
		atCell.Text = number(convert(steady.at.Depth, "mm"))
	}
	hz := "–"
	if steady.any.Frequency > 0 {
		hz = number(steady.any.Frequency)
	}
	if steady.at.Depth < p.Cut.Depth {
		severity := build.SeverityCaution
		if a.entry.Item.Ambition.Text == "hope" {
			severity = build.SeverityNote
		}
		j.find(build.Finding{Rule: "chatter", Severity: severity, At: build.Place(a.entry.At), Figures: []string{id + "depth"},
			Message: fmt.Sprintf("%s: %s deep at %s is over the %s from which the frame would sing, at %s; go shallower, or change the speed",
				a.entry.Name, measure(p.Cut.Depth, "mm"), measure(p.Cut.Speed, "rpm"), measure(steady.at.Depth, "mm"), build.Measure(steady.at.Frequency, "Hz"))})
	}
	return []build.Cell{{Text: a.entry.Name}, {Text: best.operation + ", " + best.cutter}, {Text: number(setting(convert(p.Cut.Depth, "mm"), 2))}, atCell, anyCell, {Text: hz}}
}

// chatterCut makes the cut as the stability limit sees it. The cutting stiffness
// is the specific force at the mean chip, which is on the high side: the slope of
// the Kienzle law is (1 − m) of it.
func chatterCut(w *spec.WorkMaterial, p *reach.Point) (chatter.Cut, error) {
	ratio := p.Cut.WidthRatio()
	arc, err := cutting.EngagedArc(ratio, p.Cut.Mode)
	if err != nil {
		return chatter.Cut{}, err
	}
	mean, err := cutting.MeanChipThickness(p.Cut.FeedPerTooth, ratio)
	if err != nil {
		return chatter.Cut{}, err
	}
	kc, err := cutting.SpecificForce(w.SpecificForce.Value, w.Exponent.Value, math.Max(mean, w.MinChip.Value))
	return chatter.Cut{Teeth: p.Cut.Teeth, Entry: arc.Entry, Exit: arc.Exit, Tangential: kc, Radial: w.NormalRatio.Value}, err
}

// sings finds the limits of an answer's best cut over the directions of feed.
func (j *job) sings(nose *modal.Receptance, a *answer, p *reach.Point, highest float64) (sung, error) {
	cut, err := chatterCut(j.m.WorkMaterial(a.entry.Item.Material.Text), p)
	if err != nil {
		return sung{}, err
	}
	end, err := toolEndOf(j.m.Spindle, j.m.Cutters.Find(a.best().cutter), nominal)
	if err != nil {
		return sung{}, err
	}
	tip, err := nose.Seen(tipRows(end.arm))
	if err != nil {
		return sung{}, err
	}
	give := mat.NewSymDense(3, nil)
	total := end.total()
	for a := range 3 {
		for b := a; b < 3; b++ {
			give.SetSym(a, b, total[a][b])
		}
	}
	if tip, err = tip.InSeries(give, toolLoss); err != nil {
		return sung{}, err
	}
	grid, err := tip.Grid(slowestChatter, highest*1.05)
	if err != nil {
		return sung{}, err
	}
	least := sung{chatter.Limit{Depth: math.Inf(1)}, chatter.Limit{Depth: math.Inf(1)}}
	axis := j.toolAxis()
	u := r3.Cross(axis, r3.Vec{Y: 1})
	if r3.Norm(u) < 0.1 {
		u = r3.Cross(axis, r3.Vec{X: 1})
	}
	u = r3.Unit(u)
	v := r3.Cross(axis, u)
	for k := range feedDirections {
		sin, cos := math.Sincos(math.Pi * float64(k) / feedDirections)
		feed := r3.Add(r3.Scale(cos, u), r3.Scale(sin, v))
		plane := planeOf(grid, feed, r3.Cross(axis, feed))
		for _, find := range []struct {
			limit func() (chatter.Limit, error)
			to    *chatter.Limit
		}{
			{func() (chatter.Limit, error) { return chatter.At(plane, cut, p.Cut.Speed) }, &least.at},
			{func() (chatter.Limit, error) { return chatter.Unconditional(plane, cut) }, &least.any},
		} {
			limit, err := find.limit()
			if err != nil {
				return sung{}, err
			}
			if limit.Depth < find.to.Depth {
				*find.to = limit
			}
		}
	}
	return least, nil
}

// tipRows is the matrix that takes the motion of the nose to that of a tip that it
// carries: u + θ × r.
func tipRows(r r3.Vec) *mat.Dense {
	b := carry(r)
	out := mat.NewDense(3, 6, nil)
	for i := range 3 {
		for k := range 6 {
			out.Set(i, k, b[i][k])
		}
	}
	return out
}

// planeOf is a receptance in the plane of a feed and its normal.
func planeOf(g *modal.Grid, feed, normal r3.Vec) chatter.Plane {
	d := [2][3]float64{xyz(feed), xyz(normal)}
	p := chatter.Plane{Frequency: g.Frequency, G: make([][4]complex128, len(g.H))}
	for i, h := range g.H {
		for a := range 2 {
			for b := range 2 {
				var sum complex128
				for x := range 3 {
					for y := range 3 {
						sum += complex(d[a][x]*d[b][y], 0) * h[3*x+y]
					}
				}
				p.G[i][2*a+b] = sum
			}
		}
	}
	return p
}
