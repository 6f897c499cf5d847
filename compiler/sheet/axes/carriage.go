package axes

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/guide"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

const (
	// railFriction is the friction of a rail on its seat, and boltDoubt the torque
	// coefficient of a dry bolt [-]; common practice.
	railFriction, boltDoubt = 0.12, 0.2
	// sideSafety is how many times the side load friction shall hold [-]; common
	// practice: a rail that has crept once does not come back.
	sideSafety = 2
)

// boltedRail holds a rail's side load against what the friction of its bolts holds.
func boltedRail(book *sheet.Book, a *spec.Entry[spec.Axis], g *spec.Entry[spec.Guide], w *carried, title, load string) error {
	b := w.Rail.Bolts
	if b == nil || w.Rail.Shoulder {
		return nil
	}
	torque, _, _ := book.Read().Span(b.Torque)
	preload, err := guide.BoltPreload(torque, book.Read().Of(b.Diameter), boltDoubt)
	if err != nil {
		return err
	}
	hold, err := guide.Grip{Bolts: float64(b.Shared.N), Preload: preload, Friction: railFriction}.SideHold(-w.pullOff)
	if err != nil {
		return err
	}
	id := book.Old(build.Figure{ID: "axis." + a.Name + ".rail." + g.Name + ".side_hold", Label: "side load that bolts hold by friction, " + title, Value: hold, Unit: "N", Formula: "F = μ (n T/(K d) − pull), μ = 0.12, K = 0.2", Source: "Shigley 2006; common practice", Inputs: []build.Input{sheet.In("bolts", b.Diameter), sheet.In("torque", b.Torque)}})
	if sideSafety*w.side > hold {
		book.Find(build.Finding{Rule: guide.RuleSideLoad, Severity: build.SeverityCaution, At: build.Place(b.Diameter.At), Figures: []string{id, load},
			Message: fmt.Sprintf("%s, carriage %s: the side load is %s, and the bolts hold %s by friction where %d times the load is wanted; give the rail a shoulder, pin it, or take more and tighter bolts", title, w.node, quantity.Print(w.side, "N"), quantity.Print(hold, "N"), sideSafety)})
	}
	return nil
}

// jointDip says what a gap between butted rails does.
func jointDip(book *sheet.Book, g *spec.Entry[spec.Guide], title string) {
	if !g.Item.JointGap.Given {
		return
	}
	usual := guide.UsualJointGap()
	if gap := g.Item.JointGap; book.Read().Of(gap) > usual.High {
		book.Find(build.Finding{Rule: "rail-joint-wide", Severity: build.SeverityCaution, At: build.Place(gap.At),
			Message: fmt.Sprintf("%s: pieces of rail stand %s apart, and %s is as much as a carriage should run over; push them together on a ground end, clamp a straight block over the joint while you bolt them, and stagger the joints of the two rails by more than a carriage", title, gap.Text, quantity.Print(usual.High, "mm"))})
	}
}

// overhang holds how far apart the carriages of an axis stand against the arm of a
// force at the cutter.
func overhang(book *sheet.Book, axis int) {
	a := &book.Spec.Axes[axis]
	var arm, pitch float64
	for _, s := range book.Poses {
		l, ok := book.Model.LayoutOf(axis, s)
		if !ok {
			return
		}
		nose := book.Model.NosePoint()
		tip := r3.Add(s.Posed.Frame.Nodes[nose.Node].Position, nose.Arm)
		off := r3.Sub(tip, l.Centre)
		// A force along the travel nods the axis by its height over the rails.
		arm, pitch = math.Max(arm, math.Abs(r3.Dot(l.Axes[2], off))), l.Pitch
	}
	ratio, err := guide.PitchRatio(pitch, math.Max(arm, 1e-3))
	if err != nil {
		return
	}
	id := book.Old(build.Figure{ID: "axis." + a.Name + ".rail.pitch_ratio", Label: "pitch of the carriages over the arm of the cutter, axis " + a.Name, Value: ratio, Formula: "b/h, h how far the nose stands off the rails", Source: "common practice"})
	if ratio >= guide.LeastPitch {
		return
	}
	at := a.Item.Guides[0].Item.Carriages[0].At
	book.Find(build.Finding{Rule: "carriages-too-close", Severity: build.SeverityCaution, At: build.Place(at), Figures: []string{id},
		Message: fmt.Sprintf("axis %s: the carriages stand %s apart for a cutter %s off their rails, less than half; the axis nods. Set them %s apart or more, or bring the cutter nearer", a.Name, quantity.Print(pitch, "mm"), quantity.Print(arm, "mm"), quantity.Print(arm*guide.LeastPitch, "mm"))})
}

// closedForm sets the frame's carriage loads under the weight alone beside the
// formula for a stiff table.
func closedForm(book *sheet.Book) build.Table {
	t := build.Table{Caption: "The hardest-worked carriage under the weight alone, axes in the middle", Columns: []build.Column{{Head: "axis"}, {Head: "by the frame, on or off the rail, N", Right: true}, {Head: "sideways, N", Right: true}, {Head: "by the formula, on or off the rail, N", Right: true}, {Head: "sideways, N", Right: true}}}
	size := func(v float64) build.Cell { return build.Cell{Text: quantity.Number(quantity.Settle(math.Abs(v)))} }
	s := book.Poses[len(book.Poses)/2]
	bodies := book.Model.Weigh(s.Pose)
	for i := range book.Spec.Axes {
		a := &book.Spec.Axes[i]
		l, ok := book.Model.LayoutOf(i, s)
		if !ok || l.Count != 4 {
			continue
		}
		var carriedHeap machine.Heap
		for _, name := range book.Spec.CarriedBy(a.Item.Moves.Text) {
			b := bodies[book.Model.BodyIndex(name)]
			carriedHeap.Mass += b.Mass
			carriedHeap.Moment = r3.Add(carriedHeap.Moment, b.Moment)
		}
		at := r3.Sub(carriedHeap.Centre(), l.Centre)
		along := func(v r3.Vec) [3]float64 {
			return [3]float64{r3.Dot(l.Axes[0], v), r3.Dot(l.Axes[1], v), r3.Dot(l.Axes[2], v)}
		}
		weight, place := along(r3.Scale(carriedHeap.Mass, machine.Gravity)), along(at)
		drive := along(r3.Sub(driveLine(book, i, s), l.Centre))
		loads, _, err := guide.Table{Spread: l.Spread, Pitch: l.Pitch, DriveAcross: drive[1], DriveHeight: drive[2]}.Loads([]guide.Force{{X: weight[0], Y: weight[1], Z: weight[2], Along: place[0], Across: place[1], Height: place[2]}})
		if err != nil {
			continue
		}
		var formula, byFrame guide.Load
		worst := func(to *guide.Load, radial, lateral float64) {
			if math.Abs(radial)+math.Abs(lateral) > math.Abs(to.Radial)+math.Abs(to.Lateral) {
				to.Radial, to.Lateral = radial, lateral
			}
		}
		for _, load := range loads {
			worst(&formula, load.Radial, load.Lateral)
		}
		for _, c := range s.Posed.Carriages {
			if c.Axis == a.Name {
				f := s.Solution.SpringForce(machine.GravityCase, c.Spring)
				worst(&byFrame, -f[2], f[1])
			}
		}
		t.Rows = append(t.Rows, []build.Cell{{Text: a.Name}, size(byFrame.Radial), size(byFrame.Lateral), size(formula.Radial), size(formula.Lateral)})
	}
	return t
}

// driveLine is where the drives of an axis push it, in the middle of them.
func driveLine(book *sheet.Book, axis int, s *machine.Solved) r3.Vec {
	drives := book.Spec.Axes[axis].Item.Drives
	if len(drives) == 0 {
		l, _ := book.Model.LayoutOf(axis, s)
		return l.Centre
	}
	var sum r3.Vec
	for i := range drives {
		nodes, _ := drives[i].Item.Ends()
		sum = r3.Add(sum, s.Posed.Frame.Nodes[book.Model.Node[nodes[0].Text]].Position)
	}
	return r3.Scale(1/float64(len(drives)), sum)
}

// loadMap draws how the hardest-worked carriage of the axis that moves most fares
// over the two longest travels; false where there are not two.
func loadMap(book *sheet.Book, loads []carried) (build.Picture, bool) {
	if len(book.Spec.Axes) < 2 {
		return build.Picture{}, false
	}
	heavy, first, second := 0, 0, 1
	for i := range book.Spec.Axes {
		if book.Model.MovedMass(i) > book.Model.MovedMass(heavy) {
			heavy = i
		}
	}
	travel := func(i int) float64 { return book.Read().Of(book.Spec.Axes[i].Item.Travel) }
	if travel(second) > travel(first) {
		first, second = second, first
	}
	for i := 2; i < len(book.Spec.Axes); i++ {
		switch {
		case travel(i) > travel(first):
			first, second = i, first
		case travel(i) > travel(second):
			second = i
		}
	}
	if first > second {
		first, second = second, first
	}
	drawn := build.Map{X: book.Spec.Axes[first].Name + ", mm", Y: book.Spec.Axes[second].Name + ", mm"}
	for _, share := range []float64{0, 0.5, 1} {
		drawn.AtX = append(drawn.AtX, share*travel(first)*1e3)
		drawn.AtY = append(drawn.AtY, share*travel(second)*1e3)
	}
	drawn.Values = make([][]float64, 3)
	for k := range drawn.Values {
		drawn.Values[k] = make([]float64, 3)
	}
	name := book.Spec.Axes[heavy].Name
	for n, s := range book.Poses {
		x, y := stand(s.Pose[first], travel(first)), stand(s.Pose[second], travel(second))
		for i := range loads {
			if loads[i].Axis == name {
				drawn.Values[y][x] = math.Max(drawn.Values[y][x], loads[i].byPose[n])
			}
		}
	}
	for _, row := range drawn.Values {
		for k := range row {
			row[k] = quantity.RoundDown(row[k], 3)
		}
	}
	return build.Picture{ID: "carriages", Title: "Carriages over the travel", Drawing: drawn,
		Caption: fmt.Sprintf("The load of the hardest-worked carriage of axis %s, N: weight, the hardest of the best cuts in every direction and acceleration, over the travels of %s and %s.", name, book.Spec.Axes[first].Name, book.Spec.Axes[second].Name)}, true
}

// stand is the place of an axis on the grid: at the start, in the middle, at the end.
func stand(at, travel float64) int { return int(math.Round(2 * at / travel)) }
