package compiler

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/frame"
	"ironbed/compiler/modal"
)

const (
	// modeCount is how many modes the report names.
	modeCount = 8
	// chatterModes is how many modes the receptance at the tip sums.
	chatterModes = 20
)

// modePass finds how the machine shakes in its softest pose.
func modePass(j *job) error {
	if j.worst == nil {
		return nil
	}
	middle, err := j.modesAt(j.model, j.worst, chatterModes)
	if err != nil {
		return err
	}
	j.modes = middle
	low, err := j.modesAt(j.softModel, j.soft, modeCount)
	if err != nil {
		return err
	}
	high, err := j.modesAt(j.stiffModel, j.stiff, modeCount)
	if err != nil {
		return err
	}
	table := build.Table{Caption: "The lowest modes, softest pose (" + j.model.poseWords(j.worst.pose) + ")", Columns: []build.Column{{Head: "mode", Right: true}, {Head: "Hz", Right: true},
		{Head: "what moves"}, {Head: "what gives most"}, {Head: "damping ratio, %", Right: true}}}
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
		gives, loss, err := j.model.gives(middle, k)
		if err != nil {
			return err
		}
		j.b.Figures.Add(build.Figure{ID: id + "damping", Label: fmt.Sprintf("damping ratio of mode %d", k+1), Value: 50 * loss[1], Unit: "%", Bounded: true, Low: 50 * loss[0], High: 50 * loss[2],
			Formula: "ζ = η/2, η = Σ ηj Uj/U over the parts' strain energies", Source: "Johnson and Kienholz 1982; from memory", Inputs: from(id + "frequency"),
			Notes: []string{"loss factors of parts are from memory; a tap test on the machine beats them"}})
		table.Rows = append(table.Rows, []build.Cell{{Text: fmt.Sprint(k + 1)}, {Figure: id + "frequency", Plain: true}, {Text: moves}, {Text: gives}, {Figure: id + "damping", Plain: true}})
	}
	blocks := []build.Block{
		build.Text("A mode is a way in which the machine likes to swing. A cutter whose teeth strike at a mode's frequency, or at a half or a third of it, shakes the machine. The modes are of the machine standing still, servos holding, on its feet. Damping is the least known number of a machine: tap the spindle with a mallet, record the ring, and believe that."),
		table,
	}
	if p, ok := j.modePicture(middle, 0); ok {
		blocks = append(blocks, p)
	}
	if t := j.strikes(middle); len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	j.sheet("modes", "How it shakes", blocks...)
	return nil
}

// modesAt computes the lowest modes of a solved pose.
func (j *job) modesAt(d *model, s *solved, count int) (*frame.Modes, error) {
	modes, err := s.system.Modes(frame.Search{Count: count})
	if err != nil {
		return nil, d.explain(err, s.posed)
	}
	return modes, nil
}

// A losses is a loss factor with its bounds: low, middle, high [-].
type losses [3]float64

// lossOf is what a part loses of its strain energy in a swing. The numbers are
// from memory, on the low side: bare steel, hysteresis of a mineral fill, the
// rolling contacts and grease of carriages and screws, a foot on its pad.
func (d *model) lossOf(part int) losses {
	p := d.parts[part]
	switch p.kind {
	case memberPart:
		for i := range d.bars {
			b := &d.bars[i]
			if b.part != part {
				continue
			}
			switch {
			case b.section.fill != nil:
				return losses{0.005, 0.01, 0.03}
			case b.section.material.E < 60e9:
				return losses{0.005, 0.01, 0.03}
			}
			return losses{0.001, 0.002, 0.005}
		}
	case carriagePart:
		return losses{0.02, 0.04, 0.1}
	case drivePart:
		return losses{0.02, 0.05, 0.12}
	case footPart:
		return losses{0.04, 0.08, 0.2}
	case jointPart:
		return losses{0.02, 0.04, 0.1}
	}
	return losses{0.001, 0.002, 0.005}
}

// gives names the part that holds most of a mode's strain energy, and returns
// the mode's loss factor with its bounds.
func (d *model) gives(modes *frame.Modes, k int) (words string, loss losses, err error) {
	energies := modes.Energies(k)
	shares := map[string]float64{}
	best := ""
	for _, e := range energies {
		name := shareName(d.parts[e.Part])
		if d.parts[e.Part].kind == footPart {
			name = "feet"
		}
		shares[name] += e.Strain()
	}
	for _, e := range energies { // in the order of the parts
		name := shareName(d.parts[e.Part])
		if d.parts[e.Part].kind == footPart {
			name = "feet"
		}
		if best == "" || shares[name] > shares[best]+1e-9 {
			best = name
		}
	}
	for end := range loss {
		loss[end], _, err = modal.LossFactor(energies, func(part int) frame.Loss { return frame.EvenLoss(d.lossOf(part)[end]) })
		if err != nil {
			return "", loss, err
		}
	}
	return fmt.Sprintf("%s, %s", best, percent(shares[best])), loss, nil
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

// modePicture draws a mode.
func (j *job) modePicture(modes *frame.Modes, k int) (build.Picture, bool) {
	d, s := j.model, j.worst
	scene := d.scene(s.posed)
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
	factor := 0.06 * d.size() / most
	for b := range rest {
		l := build.Line3{Body: d.bars[b].body}
		for i := range rest[b] {
			l.Points = append(l.Points, xyz(r3.Add(rest[b][i], r3.Scale(factor, moved[b][i]))))
		}
		scene.Moved = append(scene.Moved, l)
	}
	return build.Picture{ID: "mode-1", Title: "The lowest mode", Drawing: scene,
		Caption: fmt.Sprintf("%s: %s. The size of the motion is not to scale.", build.Measure(modes.Frequency(k), "Hz"), d.motion(modes, k))}, true
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
		near, at := 0, math.Inf(1)
		for k := range min(modeCount, modes.Count()) {
			if d := math.Abs(math.Log(modes.Frequency(k) / hz)); d < at {
				near, at = k, d
			}
		}
		words := fmt.Sprintf("mode %d, %s", near+1, build.Measure(modes.Frequency(near), "Hz"))
		switch ratio := hz / modes.Frequency(near); {
		case ratio > 2:
			words = "far above the modes of the frame: the cutter and the spindle swing first, not the frame"
		case ratio > 0.85 && ratio < 1.18:
			words = "**" + words + ": change the speed**"
		}
		t.Rows = append(t.Rows, []build.Cell{{Text: j.answers[i].entry.Name}, {Text: best.cutter}, {Text: build.Number(hz)}, {Text: words}})
	}
	return t
}
