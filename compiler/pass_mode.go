package compiler

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/frame"
	"ironbed/compiler/modal"
	"ironbed/compiler/rank"
	"ironbed/compiler/section"
	"ironbed/spec/quantity"
)

const (
	// modeCount is how many modes the report names.
	modeCount = 8
	// drawnModes is how many of them it draws.
	drawnModes = 3
	// ringModes is how many modes the receptance at the tip sums, where a cut is
	// held against it.
	ringModes = 20
	// sweepModes is how many modes are found in every pose, to see which pose that
	// is.
	sweepModes = 12
)

// modePass finds how the machine shakes in its softest pose.
func modePass(j *job) error {
	if j.worst == nil {
		return nil
	}
	middle, low, high := j.modes, j.softRings[0].modes, j.stiffRings[0].modes
	table := build.Table{Caption: "The lowest modes, softest pose (" + j.model.poseWords(j.worst.pose) + ")", Columns: []build.Column{{Head: "mode", Right: true}, {Head: "Hz", Right: true},
		{Head: "over the travel, Hz", Right: true}, {Head: "what moves"}, {Head: "what gives most"}, {Head: "damping ratio, %", Right: true}}}
	for k := range min(modeCount, middle.Count()) {
		id := fmt.Sprintf("mode.%d.", k+1)
		f := build.Figure{ID: id + "frequency", Label: fmt.Sprintf("frequency of mode %d", k+1), Value: middle.Frequency(k), Unit: "Hz", Bounded: true, Low: middle.Frequency(k), High: middle.Frequency(k),
			Formula: "K φ = ω² M φ, consistent mass, undamped", Source: "Przemieniecki 1968; Ericsson and Ruhe 1980", Inputs: append(from("mass.total"), j.frameInputs()...),
			Notes: []string{"the bounds take every doubt about stiffness at its low end, and at its high end"}}
		if k < low.Count() && k < high.Count() {
			f.Low, f.High = min(low.Frequency(k), f.Value), max(high.Frequency(k), f.Value)
		}
		j.b.Figures.Add(f)
		moves := j.model.motion(middle, k)
		most := j.model.modeShares(middle, k)[0]
		gives := fmt.Sprintf("%s, %s", most.name, quantity.Percent(most.part))
		loss, err := j.model.modeLoss(middle, k)
		if err != nil {
			return err
		}
		j.b.Figures.Add(build.Figure{ID: id + "damping", Label: fmt.Sprintf("damping ratio of mode %d", k+1), Value: 50 * loss[1], Unit: "%", Bounded: true, Low: 50 * loss[0], High: 50 * loss[2],
			Formula: "ζ = η/2, η = Σ ηj Uj/U over the parts' strain energies", Source: "Johnson and Kienholz 1982; from memory", Inputs: from(id + "frequency"),
			Notes: []string{"loss factors of parts are from memory; a tap test on the machine beats them"}})
		table.Rows = append(table.Rows, []build.Cell{{Text: fmt.Sprint(k + 1)}, {Figure: id + "frequency", Plain: true}, {Text: j.overTravel(k)}, {Text: moves}, {Text: gives}, {Figure: id + "damping", Plain: true}})
	}
	blocks := []build.Block{
		build.Text("A mode is a way in which the machine likes to swing. A cutter whose teeth strike at a mode's frequency, or at a half or a third of it, shakes the machine. The modes are of the machine standing still, servos holding, on its feet. Damping is the least known number of a machine: tap the spindle with a mallet, record the ring, and believe that."),
		table,
	}
	for k := range min(drawnModes, middle.Count()) {
		if p, ok := j.modePicture(middle, k); ok {
			blocks = append(blocks, p)
		}
	}
	j.sheet("modes", "How it shakes", blocks...)
	return nil
}

// overTravel is the range of a mode's frequency over the poses.
func (j *job) overTravel(k int) string {
	low, high := math.Inf(1), 0.0
	for i := range j.everyRing {
		if m := j.everyRing[i].modes; k < m.Count() {
			low, high = math.Min(low, m.Frequency(k)), math.Max(high, m.Frequency(k))
		}
	}
	if a, b := quantity.Number(low), quantity.Number(high); a != b {
		return a + " to " + b
	}
	return quantity.Number(low)
}

// A losses is a loss factor with its bounds: low, middle, high [-].
type losses [3]float64

// driveLoss is that of a screw, rack or belt with its bearings; from memory.
var driveLoss = losses{0.02, 0.05, 0.12}

// lossOf is what a part loses of its strain energy in a swing. The numbers are
// from memory: bare weldments ring with a damping ratio of 0.1 to 0.3 per cent,
// profiles bolted together with some five times as much, a mineral fill and what
// it rubs on adds more; then the rolling contacts and grease of carriages and
// screws, and a foot on its pad.
func (d *model) lossOf(part int) losses {
	p := d.parts[part]
	switch p.kind {
	case memberPart:
		for i := range d.bars {
			b := &d.bars[i]
			if b.part != part {
				continue
			}
			_, listed := b.section.shape.(section.Listed)
			switch {
			case b.section.fill != nil:
				return losses{0.008, 0.02, 0.05}
			case b.section.material.E < 60e9, listed:
				return losses{0.005, 0.015, 0.04}
			}
			return losses{0.002, 0.004, 0.008}
		}
	case carriagePart:
		return losses{0.02, 0.04, 0.1}
	case drivePart:
		return driveLoss
	case footPart:
		return losses{0.04, 0.08, 0.2}
	case jointPart:
		return losses{0.02, 0.04, 0.1}
	}
	return losses{0.002, 0.004, 0.008}
}

// A modeShare is what one part stands for in a mode's strain energy.
type modeShare struct {
	share
	part float64 // its share [-]
}

// modeShares splits a mode's strain energy by part, the largest first.
func (d *model) modeShares(modes *frame.Modes, k int) []modeShare {
	var list []modeShare
	index := map[string]int{}
	for _, e := range modes.Energies(k) {
		p := d.parts[e.Part]
		name := shareName(p)
		if p.kind == footPart {
			name = "feet"
		}
		n, ok := index[name]
		if !ok {
			n = len(list)
			index[name] = n
			list = append(list, modeShare{share: share{name: name, kind: p.kind, at: p.at}})
		}
		list[n].part += e.Strain()
		list[n].parts = append(list[n].parts, e.Part)
	}
	rank.By(list, func(s modeShare) float64 { return math.Round(s.part * 1e9) })
	return list
}

// modeLoss is a mode's loss factor with its bounds.
func (d *model) modeLoss(modes *frame.Modes, k int) (loss losses, err error) {
	energies := modes.Energies(k)
	for end := range loss {
		loss[end], _, err = modal.LossFactor(energies, func(part int) frame.Loss { return frame.EvenLoss(d.lossOf(part)[end]) })
		if err != nil {
			return loss, err
		}
	}
	return loss, nil
}

// motion words what moves in a mode: the body with most of the kinetic energy,
// and whether it slides, turns or bends.
func (d *model) motion(modes *frame.Modes, k int) string {
	energy := make([]float64, len(d.m.Bodies))
	for _, e := range modes.Energies(k) {
		for b := range d.m.Bodies {
			if d.bodyParts[b][e.Part] {
				energy[b] += e.Kinetic
			}
		}
	}
	body := 0
	for b := range energy {
		if energy[b] > energy[body] {
			body = b
		}
	}
	name := d.m.Bodies[body].Name
	var places, moves []r3.Vec
	for n := range d.nodes {
		if d.nodeBody[n] == body {
			u := modes.Displacement(k, frame.At(n))
			places = append(places, d.nodes[n])
			moves = append(moves, r3.Vec{X: u[0], Y: u[1], Z: u[2]})
		}
	}
	slide, turn, centre, rigid := fitRigid(places, moves)
	reach := 0.0
	for _, p := range places {
		reach = math.Max(reach, r3.Norm(r3.Sub(p, centre)))
	}
	switch {
	case !rigid && twists(places, moves, slide, turn, centre):
		return name + " twists"
	case !rigid:
		return name + " bends"
	case r3.Norm(turn)*reach > r3.Norm(slide):
		return fmt.Sprintf("%s rocks about %s", name, directionWords([3]float64{turn.X, turn.Y, turn.Z}))
	}
	return fmt.Sprintf("%s slides along %s", name, directionWords([3]float64{slide.X, slide.Y, slide.Z}))
}

// fitRigid fits a rigid motion to the motions of points by least squares: a
// slide of their middle and a turn about it. Rigid reports whether it stands for
// more than half of the motion.
func fitRigid(places, moves []r3.Vec) (slide, turn, centre r3.Vec, rigid bool) {
	n := float64(len(places))
	if n == 0 {
		return slide, turn, centre, true
	}
	for i := range places {
		centre = r3.Add(centre, r3.Scale(1/n, places[i]))
		slide = r3.Add(slide, r3.Scale(1/n, moves[i]))
	}
	// Normal equations of u − slide = θ × r.
	a := mat.NewSymDense(3, nil)
	b := mat.NewVecDense(3, nil)
	for i := range places {
		r, u := r3.Sub(places[i], centre), r3.Sub(moves[i], slide)
		size := r3.Norm2(r)
		v := [3]float64{r.X, r.Y, r.Z}
		for k := range 3 {
			for l := k; l < 3; l++ {
				sum := a.At(k, l) - v[k]*v[l]
				if k == l {
					sum += size
				}
				a.SetSym(k, l, sum)
			}
		}
		m := r3.Cross(r, u)
		for k, w := range []float64{m.X, m.Y, m.Z} {
			b.SetVec(k, b.AtVec(k)+w)
		}
	}
	for k := range 3 {
		a.SetSym(k, k, a.At(k, k)+1e-9) // points on a line do not turn about it
	}
	var theta mat.VecDense
	if theta.SolveVec(a, b) == nil {
		turn = r3.Vec{X: theta.AtVec(0), Y: theta.AtVec(1), Z: theta.AtVec(2)}
	}
	left, whole := 0.0, 0.0
	for i := range places {
		fit := r3.Add(slide, r3.Cross(turn, r3.Sub(places[i], centre)))
		left += r3.Norm2(r3.Sub(moves[i], fit))
		whole += r3.Norm2(moves[i])
	}
	return slide, turn, centre, left <= 0.25*whole
}

// twists reports whether most of what a rigid motion leaves of a body's motion is
// a twist about its long axis: a turn that grows from one end to the other.
func twists(places, moves []r3.Vec, slide, turn, centre r3.Vec) bool {
	long := r3.Vec{}
	for _, p := range places {
		if r := r3.Sub(p, centre); r3.Norm2(r) > r3.Norm2(long) {
			long = r
		}
	}
	if r3.Norm(long) == 0 {
		return false
	}
	long = alongNearest(long)
	var with, own, left float64
	for i := range places {
		r := r3.Sub(places[i], centre)
		u := r3.Sub(moves[i], r3.Add(slide, r3.Cross(turn, r)))
		w := r3.Scale(r3.Dot(r, long), r3.Cross(long, r))
		with += r3.Dot(u, w)
		own += r3.Norm2(w)
		left += r3.Norm2(u)
	}
	return own > 0 && with*with/own > 0.5*left
}

// alongNearest is the machine's direction nearest to a vector.
func alongNearest(v r3.Vec) r3.Vec {
	size := [3]float64{math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z)}
	switch {
	case size[0] >= size[1] && size[0] >= size[2]:
		return r3.Vec{X: 1}
	case size[1] >= size[2]:
		return r3.Vec{Y: 1}
	}
	return r3.Vec{Z: 1}
}

// modePicture draws a mode.
func (j *job) modePicture(modes *frame.Modes, k int) (build.Picture, bool) {
	if j.brief {
		return build.Picture{}, false
	}
	d, s := j.model, j.worst
	scene := d.scene(s.posed)
	scene.Small = true
	var rest, moved [][]r3.Vec
	most := 0.0
	for _, pieces := range s.posed.pieces {
		var line, motion []r3.Vec
		for _, piece := range pieces {
			for _, st := range modes.Shape(k, piece, 9) {
				line = append(line, st.Position)
				motion = append(motion, st.Displacement)
				most = math.Max(most, r3.Norm(st.Displacement))
			}
		}
		rest, moved = append(rest, line), append(moved, motion)
	}
	if most == 0 {
		return build.Picture{}, false
	}
	factor := 0.1 * d.size() / most
	for b := range rest {
		l := build.Line3{Body: d.bars[b].body}
		for i := range rest[b] {
			l.Points = append(l.Points, xyz(r3.Add(rest[b][i], r3.Scale(factor, moved[b][i]))))
		}
		scene.Moved = append(scene.Moved, l)
	}
	return build.Picture{ID: fmt.Sprintf("mode-%d", k+1), Title: fmt.Sprintf("Mode %d", k+1), Drawing: scene,
		Caption: fmt.Sprintf("%s: %s. The size of the motion is not to scale.", quantity.Measure(modes.Frequency(k), "Hz"), d.motion(modes, k))}, true
}

// strikes compares how often the teeth of each target's best cut strike with the
// modes.
func (j *job) strikes(modes *frame.Modes) build.Table {
	t := build.Table{Caption: "How often the teeth strike", Columns: []build.Column{{Head: "target"}, {Head: "cutter"}, {Head: "teeth strike, Hz", Right: true}, {Head: "nearest mode"}}}
	for i := range j.answers {
		best := j.answers[i].best()
		if best == nil || best.best.Best == nil {
			continue
		}
		p := best.best.Best
		hz := p.Cut.Speed * float64(p.Cut.Teeth)
		near := nearestMode(modes, hz)
		words := "one at " + quantity.Measure(modes.Frequency(near), "Hz")
		if near < modeCount {
			words = fmt.Sprintf("mode %d, %s", near+1, quantity.Measure(modes.Frequency(near), "Hz"))
		}
		switch ratio := hz / modes.Frequency(near); {
		case ratio > 2:
			words = "far above the modes of the frame: the cutter and the spindle swing first, not the frame"
		case ratio > 0.85 && ratio < 1.18:
			words += ": close; the depth keeps clear of singing, but a wall may come out rippled: try another speed"
		}
		t.Rows = append(t.Rows, []build.Cell{{Text: j.answers[i].entry.Name}, {Text: best.cutter}, {Text: quantity.Number(hz)}, {Text: words}})
	}
	return t
}
