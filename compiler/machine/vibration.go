package machine

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/chatter"
	"ironbed/compiler/frame"
	"ironbed/compiler/modal"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// PlanesIn are the planes in the two poses that a cut is held against.
func (d *Model) PlanesIn(worst, leastStable *Solved) (map[string][]chatter.Plane, error) {
	poses := []*Solved{worst}
	if !slices.Equal(worst.Pose, leastStable.Pose) {
		poses = append(poses, leastStable)
	}
	vibrations, err := d.Vibrations(poses, StabilityModes)
	if err != nil {
		return nil, err
	}
	return d.AllPlanes(vibrations)
}

// StabilityModes is how many modes the receptance at the tip sums, where a cut is
// held against it. Those left out are in it as they are at rest; twice as many move no
// limit near a cut of the examples by more than 2 %.
const StabilityModes = 50

// SweepModes is how many modes are found in every pose, to see which pose that
// is.
const SweepModes = 12

const (
	// feedDirections is how many directions of feed are held against chatter:
	// a feed and its opposite are alike.
	feedDirections = 6
	// slowestChatter is where the search for chatter starts, below all modes [Hz].
	slowestChatter = 5
	// StableShare is the share of the limiting depth that a cut may use; common
	// practice.
	StableShare = 0.8
	// SpeedDoubt is how far the lobes may lie from where they are computed, as
	// a share of the speed; common practice.
	SpeedDoubt = 0.1
)

// A Vibration is how a machine vibrates in one pose.
type Vibration struct {
	Solved *Solved
	Modes  *frame.Modes
	Nose   *modal.Receptance // between the nose and the workpiece, forces and moments
	tool   float64           // loss factor of spindle, holder and cutter [-]
}

// vibration finds the modes of a solved pose and the receptance that they make. The
// highest frequency that is expected saves a search; 0 where it is not known.
func (d *Model) vibration(s *Solved, count int, highest float64) (Vibration, error) {
	modes, err := s.System.Modes(frame.Search{Count: count, Highest: highest})
	if err != nil {
		return Vibration{}, d.explain(err, s.Posed)
	}
	work, err := d.WorkPoints(s.Posed, d.NosePoint())
	if err != nil {
		return Vibration{}, err
	}
	return d.withLosses(s, modes, work)
}

// withLosses is how a solved pose vibrates with this model's loss factors.
func (d *Model) withLosses(s *Solved, modes *frame.Modes, work []rest) (Vibration, error) {
	read := d.Read.Into(d.Damping)
	loss := d.losses(read)
	nose, err := modal.OfFrame(modes, s.Solution, func(part int) frame.Loss { return frame.EvenLoss(loss[part]) }, d.loads(work, NoseOnly)...)
	if err != nil {
		return Vibration{}, err
	}
	return d.asMeasured(Vibration{s, modes, nose, read.Of(d.Spec.Damping.Tool)}, read)
}

// WithLossesOf are vibrations of a machine whose frame is this one's, with the loss factors of
// this one.
func (d *Model) WithLossesOf(vibrations []Vibration) ([]Vibration, error) {
	list := make([]Vibration, len(vibrations))
	for i, r := range vibrations {
		work, err := d.WorkPoints(r.Solved.Posed, d.NosePoint())
		if err != nil {
			return nil, err
		}
		if list[i], err = d.withLosses(r.Solved, r.Modes, work); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// Vibrations finds how the machine vibrates in several solved poses, on all cores. Poses
// of one machine end at much the same frequency, which the first one finds.
func (d *Model) Vibrations(poses []*Solved, count int) ([]Vibration, error) {
	list := make([]Vibration, len(poses))
	errs := make([]error, len(poses))
	if len(poses) == 0 {
		return nil, nil
	}
	if list[0], errs[0] = d.vibration(poses[0], count, 0); errs[0] != nil {
		return nil, errs[0]
	}
	if err := d.stiffEnough(&list[0]); err != nil {
		return nil, err // the others would take long
	}
	highest := list[0].Highest()
	EachParallel(len(poses)-1, func(i int) { list[i+1], errs[i+1] = d.vibration(poses[i+1], count, highest) })
	for i, err := range errs {
		if err != nil {
			return nil, err
		}
		if err := d.stiffEnough(&list[i]); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// stiffEnough refuses a machine whose modes all lie below the frequencies that matter.
func (d *Model) stiffEnough(r *Vibration) error {
	highest := r.Highest()
	if highest > 1.05*slowestChatter {
		return nil
	}
	most := d.ModeShares(r.Modes, 0)[0]
	return &Refused{Rule: "too-soft", At: most.At, Message: fmt.Sprintf(
		"the machine is nearly a mechanism: its %d lowest modes are all below %s, and %s is the most compliant; "+
			"look for a size or a mass that is a thousand times off", r.Modes.Count(), quantity.Measure(highest, "Hz"), most.Name)}
}

// Highest is the frequency up to which it is known [Hz].
func (r *Vibration) Highest() float64 { return r.Modes.Frequency(r.Modes.Count()-1) * 1.05 }

// TipModes are the modes of the frame as they move a tip at an arm from the nose, against
// the workpiece, along the machine's axes.
func (r *Vibration) TipModes(arm r3.Vec) ([]modal.Mode, error) {
	tip, err := r.Nose.Seen(tipRows(arm))
	if err != nil {
		return nil, err
	}
	return tip.Modes(), nil
}

// tip is the receptance at a cutter's tip over the frequencies that matter.
func (r *Vibration) tip(end toolEnd) (*modal.Grid, error) {
	tip, err := r.Nose.Seen(tipRows(end.Arm))
	if err != nil {
		return nil, err
	}
	soft := mat.NewSymDense(3, nil)
	total := end.Total()
	for a := range 3 {
		for b := a; b < 3; b++ {
			soft.SetSym(a, b, total[a][b])
		}
	}
	if tip, err = tip.InSeries(soft, r.tool); err != nil {
		return nil, err
	}
	return tip.Grid(slowestChatter, r.Highest())
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

// Planes are the receptances at a cutter's tip in the planes of all directions of
// feed, over all of them.
func (d *Model) Planes(vibrations []Vibration, cutter *spec.Cutter) ([]chatter.Plane, error) {
	end, err := ToolEndOf(d.Spec, cutter, d.Read)
	if err != nil {
		return nil, err
	}
	var list []chatter.Plane
	for i := range vibrations {
		grid, err := vibrations[i].tip(end)
		if err != nil {
			return nil, err
		}
		eachFeed(Pointing(d.Spec.Spindle), func(feed, normal r3.Vec) { list = append(list, planeOf(grid, feed, normal)) })
	}
	return list, nil
}

// AllPlanes are the planes of every cutter, by name.
func (d *Model) AllPlanes(vibrations []Vibration) (map[string][]chatter.Plane, error) {
	if len(vibrations) == 0 {
		return nil, nil
	}
	lists := make([][]chatter.Plane, len(d.Spec.Cutters))
	errs := make([]error, len(d.Spec.Cutters))
	EachParallel(len(lists), func(i int) { lists[i], errs[i] = d.Planes(vibrations, &d.Spec.Cutters[i].Item) })
	out := map[string][]chatter.Plane{}
	for i, e := range d.Spec.Cutters {
		if errs[i] != nil {
			return nil, errs[i]
		}
		out[e.Name] = lists[i]
	}
	return out, nil
}

// eachFeed calls with the directions of feed perpendicular to the tool's axis, and their
// normals.
func eachFeed(axis r3.Vec, with func(feed, normal r3.Vec)) {
	u := r3.Cross(axis, r3.Vec{Y: 1})
	if r3.Norm(u) < 0.1 {
		u = r3.Cross(axis, r3.Vec{X: 1})
	}
	u = r3.Unit(u)
	v := r3.Cross(axis, u)
	for k := range feedDirections {
		sin, cos := math.Sincos(math.Pi * float64(k) / feedDirections)
		feed := r3.Add(r3.Scale(cos, u), r3.Scale(sin, v))
		with(feed, r3.Cross(axis, feed))
	}
}

// planeOf is a receptance in the plane of a feed and its normal.
func planeOf(g *modal.Grid, feed, normal r3.Vec) chatter.Plane {
	d := [2][3]float64{XYZ(feed), XYZ(normal)}
	var weight [4][9]float64
	for a := range 2 {
		for b := range 2 {
			for x := range 3 {
				for y := range 3 {
					weight[2*a+b][3*x+y] = d[a][x] * d[b][y]
				}
			}
		}
	}
	p := chatter.Plane{Frequency: g.Frequency, G: make([][4]complex128, len(g.H))}
	for i, h := range g.H {
		for k := range weight {
			var re, im float64
			for n, w := range weight[k] {
				re += w * real(h[n])
				im += w * imag(h[n])
			}
			p.G[i][k] = complex(re, im)
		}
	}
	return p
}

// referenceCut is the cut by which poses are compared: a slot with two teeth, and
// a force perpendicular to the cut of a third of the cutting force.
var referenceCut = chatter.Cut{Teeth: 2, Exit: math.Pi, Tangential: 1, Radial: 0.33}

// stableDepth is the depth that is stable at every speed, at the tip of a cutter and in
// any direction of feed, for the reference cut.
func (d *Model) stableDepth(r *Vibration, cutter *spec.Cutter) (float64, error) {
	list, err := d.Planes([]Vibration{*r}, cutter)
	if err != nil {
		return 0, err
	}
	least := math.Inf(1)
	for _, p := range list {
		limit, err := chatter.Unconditional(p, referenceCut)
		if err != nil {
			return 0, err
		}
		least = math.Min(least, limit.Depth)
	}
	return least, nil
}

// ByStability returns the places of vibrations in the order of the depth that they allow
// before the reference cutter chatters, the least first.
func (d *Model) ByStability(list []Vibration) ([]int, error) {
	_, cutter := d.Reference()
	depth := make([]float64, len(list))
	errs := make([]error, len(list))
	EachParallel(len(list), func(i int) { depth[i], errs[i] = d.stableDepth(&list[i], cutter) })
	order := make([]int, len(list))
	for i := range list {
		if errs[i] != nil {
			return nil, errs[i]
		}
		order[i] = i
	}
	// What differs by rounding alone keeps its order.
	slices.SortStableFunc(order, func(a, b int) int {
		if math.Abs(depth[a]-depth[b]) <= 1e-9*math.Abs(depth[a]) {
			return 0
		}
		return cmp.Compare(depth[a], depth[b])
	})
	return order, nil
}

// LeastStablePoses is in how many of the liveliest poses a changed machine is heard.
const LeastStablePoses = 4

// LargestMode is the mode that moves a cutter's tip most at a frequency, square to
// the tool's axis.
func (r *Vibration) LargestMode(hz float64, end toolEnd, axis r3.Vec) (int, error) {
	tip, err := r.Nose.Seen(tipRows(end.Arm))
	if err != nil {
		return 0, err
	}
	best, most := 0, 0.0
	omega := 2 * math.Pi * hz
	for k, m := range tip.Modes() {
		u := r3.Vec{X: m.Shape[0], Y: m.Shape[1], Z: m.Shape[2]}
		across := r3.Norm2(u) - math.Pow(r3.Dot(u, axis), 2)
		w := m.Omega * m.Omega
		if size := across / math.Hypot(w-omega*omega, m.Loss*w); size > most {
			best, most = k, size
		}
	}
	return best, nil
}
