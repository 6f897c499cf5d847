package axis

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/guide"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// cutDirections is how many directions of feed a carriage is held against.
const cutDirections = 24

// take keeps what is worse of another, and reports whether its worst moment is.
func (p *Peak) take(o Peak) bool {
	pullOff, side := math.Max(p.LiftOff, o.LiftOff), math.Max(p.Side, o.Side)
	worse := rank.More(o.Equivalent, p.Equivalent)
	if worse {
		*p = o
	}
	p.LiftOff, p.Side = pullOff, side
	return worse
}

// openBlock are the rows of an open block on a supported shaft.
var openBlock = guide.OpenRows(5, math.Pi/3)

// directionsOf works out a round rail's shares.
func directionsOf(r *spec.Rail) (directions, error) {
	if r.Shape.Text != "round" {
		return nil, nil
	}
	list := make(directions, 37)
	for i := range list {
		f, err := guide.DirectionFactor(openBlock, math.Pi*float64(i)/float64(len(list)-1))
		if err != nil {
			return nil, err
		}
		list[i] = f
	}
	return list, nil
}

// equivalent is the one load that stands for a radial and a lateral load.
func (f directions) equivalent(radial, lateral float64) float64 {
	if f == nil {
		return math.Abs(radial) + math.Abs(lateral)
	}
	angle := math.Atan2(math.Abs(lateral), radial) / math.Pi * float64(len(f)-1)
	i := min(int(angle), len(f)-2)
	t := angle - float64(i)
	return math.Hypot(radial, lateral) / (f[i] + t*(f[i+1]-f[i]))
}

// carry reads the carriages' loads off the frame.
func (s *Solution) carry() error {
	if s.Worst == nil || len(s.Spec.Axes) == 0 {
		return nil
	}
	c := &Carriages{Log: spec.Over(s.Model.Stiff, s.Model.Weight), ends: map[int][]solvedEnd{}}
	read := s.Model.Read.Into(c.Log)
	loads := s.cutWrenches(read)
	for i := range s.Spec.Axes { // every pose hangs on them
		read.Of(s.Spec.Axes[i].Item.Travel)
		read.Of(s.Spec.Axes[i].Item.ModelledAt)
	}
	for i, carriage := range s.Poses[0].Posed.Carriages {
		w, err := s.carried(i, carriage, loads)
		if err != nil {
			return err
		}
		c.All = append(c.All, w)
	}
	s.Carriages = c
	if err := s.rails(); err != nil {
		return err
	}
	for i := range s.Spec.Axes {
		if n := s.nod(i); n != nil {
			c.Pitches = append(c.Pitches, n)
		}
		if t := s.stiffTable(i); t != nil {
			c.Stiff = append(c.Stiff, t)
		}
	}
	c.Over = s.loadMap()
	return nil
}

// cutWrenches are the forces of every load of the cuts at the nose, in all directions of feed:
// of milling with both signs along the cutter, of drilling away from the workpiece.
func (s *Solution) cutWrenches(read spec.Reader) (loads [][][6]float64) {
	axis := s.ToolAxis()
	u := r3.Cross(axis, r3.Vec{Y: 1})
	if r3.Norm(u) < 0.1 {
		u = r3.Cross(axis, r3.Vec{X: 1})
	}
	u = r3.Unit(u)
	v := r3.Cross(axis, u)
	for _, l := range s.Demand.Loads() {
		var arm r3.Vec
		if l.Cutter != nil {
			arm = machine.ToolArm(s.Spec.Spindle, l.Cutter, read)
		}
		// The spindle turns clockwise, seen the way that it points.
		torque := r3.Scale(-l.Torque, axis)
		var list [][6]float64
		add := func(f r3.Vec) {
			m := r3.Add(r3.Cross(arm, f), torque)
			list = append(list, [6]float64{f.X, f.Y, f.Z, m.X, m.Y, m.Z})
		}
		along := l.AxialAt(read.Bound())
		if l.Plunging {
			add(r3.Scale(-along, axis))
			loads = append(loads, list)
			continue
		}
		for i := range cutDirections {
			angle := 2 * math.Pi * float64(i) / cutDirections
			across := r3.Scale(l.Lateral, r3.Add(r3.Scale(math.Cos(angle), u), r3.Scale(math.Sin(angle), v)))
			for _, sign := range []float64{-1, 1} {
				add(r3.Add(across, r3.Scale(sign*along, axis)))
			}
		}
		loads = append(loads, list)
	}
	return loads
}

// LargestWrenches are the largest forces of every load of the cuts at the nose, along the machine's
// directions [N], and its largest moments about them [N·m].
func (s *Solution) LargestWrenches(read spec.Reader) (list [][6]float64) {
	for _, wrenches := range s.cutWrenches(read) {
		var most [6]float64
		for _, w := range wrenches {
			for k := range w {
				most[k] = max(most[k], math.Abs(w[k]))
			}
		}
		list = append(list, most)
	}
	return list
}

// carried holds a carriage in every pose against the worst before.
func (s *Solution) carried(index int, c machine.Carriage, loads [][][6]float64) (*Carried, error) {
	shares, err := directionsOf(c.Rail)
	if err != nil {
		return nil, err
	}
	w := &Carried{Carriage: c, shares: shares}
	sums := make([]float64, len(loads))
	for n, p := range s.Poses {
		peak, means := w.peak(p, p.Posed.Carriages[index].Spring, loads)
		if w.take(peak) {
			w.Pose = n
		}
		w.ByPose = append(w.ByPose, peak.Equivalent)
		for k, mean := range means {
			sums[k] += mean
		}
	}
	w.Mean = math.Cbrt(slices.Max(sums) / float64(len(s.Poses)))
	return w, nil
}

// peak is the worst that a carriage carries in one pose, and the mean of its load's
// third power under each load of the cuts. A carriage that is pressed onto the rail pushes its spring together: the
// force on the carriage along the rail's top is then positive.
func (w *Carried) peak(s *machine.Solved, spring int, loads [][][6]float64) (worst Peak, means []float64) {
	force := func(load int) (lateral, radial float64) {
		f := s.Solution.SpringForce(load, spring)
		// F acts as +F on the rail and −F on the carriage; pressed onto the rail
		// means that the rail is pushed against its top.
		return f[1], -f[2]
	}
	weightSide, weightOn := force(machine.GravityCase)
	accelerations := [][2]float64{{}}
	for i := machine.FirstAxis; i < s.Solution.Loads(); i++ {
		side, on := force(i)
		accelerations = append(accelerations, [2]float64{side, on}, [2]float64{-side, -on})
	}
	var unit [6][2]float64
	for i := range 6 {
		unit[i][0], unit[i][1] = force(i)
	}
	under := func(wrench [6]float64) float64 {
		side, on := weightSide, weightOn
		for i := range 6 {
			side += unit[i][0] * wrench[i]
			on += unit[i][1] * wrench[i]
		}
		for _, a := range accelerations {
			lateral, radial := side+a[0], on+a[1]
			worst.take(Peak{Radial: radial, Lateral: lateral, Equivalent: w.shares.equivalent(radial, lateral), LiftOff: -radial, Side: math.Abs(lateral)})
		}
		return math.Pow(w.shares.equivalent(on, side), 3)
	}
	under([6]float64{}) // nothing is cut
	for _, wrenches := range loads {
		mean := 0.0
		for _, wrench := range wrenches {
			mean += under(wrench) / float64(len(wrenches))
		}
		means = append(means, mean)
	}
	return worst, means
}

// solveEnds solves poses of the grid at both ends of the uncertainty. An end of a doubtful
// travel may lie where no rail is; it is left out.
func (s *Solution) solveEnds(poses ...int) {
	ends := s.Carriages.ends
	slices.Sort(poses)
	poses = slices.DeleteFunc(slices.Compact(poses), func(n int) bool { return ends[n] != nil })
	models, have := [2]*machine.Model{s.SoftModel, s.StiffModel}, [2]*machine.Solved{s.Soft, s.Stiff}
	solved := make([]*machine.Solved, 2*len(poses))
	machine.EachParallel(len(solved), func(k int) {
		pose := models[k%2].Grid()[poses[k/2]]
		if slices.Equal(pose, have[k%2].Pose) {
			solved[k] = have[k%2]
		} else if p, err := models[k%2].Solve(pose); err == nil {
			solved[k] = p
		}
	})
	for k, p := range solved {
		if p != nil {
			ends[poses[k/2]] = append(ends[poses[k/2]], solvedEnd{models[k%2], p})
		}
	}
}

// rails holds every rail's most heavily loaded carriage against its ratings.
func (s *Solution) rails() error {
	c := s.Carriages
	var poses []int
	for i := range s.Spec.Axes {
		a := &s.Spec.Axes[i]
		for k := range a.Item.Guides {
			r := &Rail{Axis: i, Guide: &a.Item.Guides[k], Log: spec.Over(c.Log)}
			for _, w := range c.All {
				if w.Axis == a.Name && w.Guide == r.Guide.Name && (r.Carried == nil || rank.More(w.Equivalent, r.Equivalent)) {
					r.Carried = w
				}
			}
			read := s.Model.Read.Into(r.Log)
			for k := range s.Spec.Axes {
				read.Of(s.Spec.Axes[k].Item.Acceleration)
			}
			poses = append(poses, r.Pose)
			c.Rails = append(c.Rails, r)
		}
	}
	s.solveEnds(poses...)
	for _, r := range c.Rails {
		for _, end := range c.ends[r.Pose] {
			p, _ := r.peak(end.Solved, r.Spring, s.cutWrenches(end.model.Read))
			r.Ends = append(r.Ends, p)
		}
		if err := s.rate(r); err != nil {
			return &machine.Refused{Rule: "rails", At: r.Guide.At, Message: fmt.Sprintf("rail %s of axis %s: %v", r.Guide.Name, s.Spec.Axes[r.Axis].Name, err)}
		}
	}
	return nil
}

// rate holds a rail's most heavily loaded carriage against its ratings and its bolts; a rail
// without ratings against neither.
func (s *Solution) rate(r *Rail) error {
	rail := r.Carried.Rail
	if s.Model.Read.Of(rail.Dynamic) == 0 || s.Model.Read.Of(rail.Static) == 0 {
		return nil
	}
	r.Static, r.Life = spec.Over(r.Log), &spec.Log{}
	// What the bolts hold is looked at for itself where they are known.
	held := rail.Shoulder || rail.Bolts != nil
	answer := func(static, life spec.Reader, p Peak) (guide.Output, error) {
		base := guide.Base100
		if life.Word(rail.DynamicFor) == "50 km" {
			base = guide.Base50
		}
		return guide.Analyse(guide.Input{
			Carriage:     guide.Carriage{Kind: kindOf(life, rail), Dynamic: life.Of(rail.Dynamic), Base: base, Static: static.Of(rail.Static)},
			Duty:         []guide.DutyStep{{Load: guide.Load{Radial: r.Mean}, Travel: 1}},
			Peaks:        []guide.Load{{Radial: p.Equivalent}, {Radial: -p.LiftOff}, {Lateral: p.Side}},
			RailShoulder: held, CarriageShoulder: held,
			Limits: guide.CommonLimits(),
		})
	}
	out, err := answer(s.Model.Read.Into(r.Static), s.Model.Read.Into(r.Life), r.Peak)
	if err != nil {
		return err
	}
	r.Out = &out
	// A rating's uncertainty and the load's have nothing to do with each other.
	for _, end := range []spec.Bound{spec.Worse, spec.Better} {
		for _, p := range append([]Peak{r.Peak}, r.Ends...) {
			if out, err := answer(spec.At(end), spec.At(end), p); err == nil {
				r.OutAtEnds = append(r.OutAtEnds, out)
			}
		}
	}
	if rail.Bolts != nil && !rail.Shoulder {
		r.Hold, err = s.hold(r)
	}
	return err
}

// kindOf is what rolls in a carriage.
func kindOf(read spec.Reader, r *spec.Rail) guide.Kind {
	if read.Word(r.Rolling) == "rollers" {
		return guide.Roller
	}
	return guide.Ball
}

const (
	// SideSafety is how many times the lateral load friction shall hold [-]; common
	// practice: a rail that has crept once does not come back.
	SideSafety = 2
)

// hold finds what the friction of a rail's bolts holds.
func (s *Solution) hold(r *Rail) (*Hold, error) {
	b := r.Carried.Rail.Bolts
	by := func(read spec.Reader, torque float64) (float64, error) {
		preload, err := guide.BoltPreload(torque, read.Of(b.Diameter), read.Of(b.TorqueCoefficient))
		if err != nil {
			return 0, err
		}
		return guide.Grip{Bolts: float64(read.Count(b.Shared)), Preload: preload, Friction: read.Of(b.Friction)}.LateralHold(-r.LiftOff)
	}
	h := &Hold{Log: spec.Over(r.Log)}
	read := s.Model.Read.Into(h.Log)
	torque, _, _ := read.Span(b.Torque)
	var err error
	if h.Force, err = by(read, torque); err != nil {
		return nil, err
	}
	h.Ends = atEnds(func(read spec.Reader) (float64, error) { return by(read, read.Of(b.Torque)) })
	h.Creeps = SideSafety*r.Side > h.Force
	return h, nil
}
