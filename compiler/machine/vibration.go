package machine

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/chatter"
	"ironbed/compiler/frame"
	"ironbed/compiler/modal"
	"ironbed/compiler/rank"
	"ironbed/compiler/spindle"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// VibrationsIn are those in poses, each once.
func (d *Model) VibrationsIn(list ...*Solved) ([]Vibration, error) {
	var poses []*Solved
	for _, p := range list {
		if !slices.ContainsFunc(poses, func(other *Solved) bool { return slices.Equal(p.Pose, other.Pose) }) {
			poses = append(poses, p)
		}
	}
	swept, err := d.Sweep(poses)
	if err != nil {
		return nil, err
	}
	return d.Respond(swept, ResponseVectors)
}

// VibrationIn is how a machine vibrates in a solved pose, as a cut feels it: without its lowest modes.
func (d *Model) VibrationIn(s *Solved) (Vibration, error) {
	list, err := d.Respond([]Vibration{{Solved: s}}, ResponseVectors)
	if err != nil {
		return Vibration{}, err
	}
	return list[0], nil
}

const (
	// SweepModes is how many modes are found in every pose.
	SweepModes = 12
	// ResponseVectors is to how many vectors the frame is reduced where a cut is held
	// against it; twice as many move no limit near a cut of the examples by more than 2 %.
	ResponseVectors = 96
	// responseTop is the frequency up to which the members' interiors are resolved there [Hz].
	responseTop = 1000
	// atRestFrom is the frequency from which on modes count as they are at rest, twice
	// as high as chatter is looked for [Hz].
	atRestFrom = 2 * HighestChatter
	// AveragedFrom is the frequency from which on the frame's modes are no longer told
	// apart [Hz]: its members are beams, and a beam model of a welded frame is known to
	// hold no higher; common practice. AveragedShare is the half width of the band over
	// which they are averaged far above it, as a share of the frequency: stiffness and
	// mass known to a third [-].
	AveragedFrom, AveragedShare = 600, 0.2
)

const (
	// FeedDirections is how many directions of feed are held against chatter: a feed and its opposite are alike. A narrow cut pushes
	// one way, and chatters in the direction in which that is the way of a mode. Twice as many move no limit near a cut of the examples by more than 4 %.
	FeedDirections = 16
	// slowestChatter is where the search for chatter starts, below all modes [Hz].
	slowestChatter = 5
	// HighestChatter is the frequency up to which chatter is looked for [Hz]: a cutter of
	// 6 mm that stands out by three diameters bends at 8 kHz.
	HighestChatter = 12000
	// perOctave is the number of frequencies an octave between the frame's peaks: two or
	// three across one with a loss factor of 0.03.
	perOctave = 32
	// StableShare is the share of the limiting depth that a cut may use; common
	// practice.
	StableShare = 0.8
	// SpeedDoubt is how far the lobes may lie from where they are computed, as
	// a share of the speed; common practice.
	SpeedDoubt = 0.1
)

// A Vibration is how a machine vibrates in one pose.
type Vibration struct {
	Solved   *Solved
	Modes    *frame.Modes      // its lowest modes
	Response *frame.Modes      // the modes that the nose's motion against the workpiece is made of; in a sweep the lowest ones
	Nose     *modal.Receptance // between the nose and the workpiece, forces and moments
	made     *made
}

// Sweep finds the lowest modes of solved poses, on all cores, and the receptance that they
// make. Poses of one machine end at much the same frequency, which the first one finds.
func (d *Model) Sweep(poses []*Solved) ([]Vibration, error) {
	list := make([]Vibration, len(poses))
	errs := make([]error, len(poses))
	if len(poses) == 0 {
		return nil, nil
	}
	sweep := func(i int, highest float64) {
		s := poses[i]
		modes, err := s.System.Modes(frame.Search{Count: SweepModes, Highest: highest})
		if err != nil {
			errs[i] = d.explain(err, s.Posed)
			return
		}
		if errs[i] = d.stiffEnough(modes); errs[i] == nil {
			list[i], errs[i] = d.withLosses(s, modes, modes)
		}
	}
	if sweep(0, 0); errs[0] != nil {
		return nil, errs[0] // the others would take long
	}
	highest := top(list[0].Modes)
	EachParallel(len(poses)-1, func(i int) { sweep(i+1, highest) })
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return list, nil
}

// Respond reduces the frame in poses that were swept to so many vectors that make up how
// the nose moves against the workpiece, up to the frequencies of a cutter, on all cores.
func (d *Model) Respond(swept []Vibration, vectors int) ([]Vibration, error) {
	list := make([]Vibration, len(swept))
	errs := make([]error, len(swept))
	EachParallel(len(swept), func(i int) {
		s := swept[i].Solved
		work, err := d.WorkPoints(s.Posed, d.NosePoint())
		if err != nil {
			errs[i] = err
			return
		}
		response, err := s.System.ResponseModes(vectors, responseTop, d.loads(work, NoseOnly)...)
		if err != nil {
			errs[i] = d.explain(err, s.Posed)
			return
		}
		list[i], errs[i] = d.withLosses(s, swept[i].Modes, response.Below(atRestFrom))
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return list, nil
}

// RespondAs is how a solved pose vibrates in the space of the shapes of the same pose of a model by other numbers that matter most, so many of
// them; see [frame.System.Onto]. Where other numbers leave other members, it is reduced to [ResponseVectors] as a machine that is not drawn.
func (d *Model) RespondAs(s *Solved, like *Vibration, shapes int) (Vibration, error) {
	work, err := d.WorkPoints(s.Posed, d.NosePoint())
	if err != nil {
		return Vibration{}, err
	}
	response, err := s.System.Onto(like.Response, like.foremost(shapes), d.loads(work, NoseOnly)...)
	if errors.Is(err, frame.ErrUnlike) {
		if response, err = s.System.ResponseModes(ResponseVectors, responseTop, d.loads(work, NoseOnly)...); err == nil {
			response = response.Below(atRestFrom)
		}
	}
	if err != nil {
		return Vibration{}, d.explain(err, s.Posed)
	}
	return d.withLosses(s, response, response)
}

// foremost are the modes by which the nose answers most at their own frequencies, so many of them, and the lowest ones. What is left out by it is no more
// than a ranking: how far drawn machines are off is computed and printed.
//
//	|φ|²/(ω² (η + 2β)),  with a turn counted at an arm, and β of the mean over a band
//
// It is the height of the mode's peak; the arm is common practice for a holder with its cutter.
func (r *Vibration) foremost(count int) []int {
	const (
		arm    = 0.15 // at which a turn counts as much as a displacement [m]
		lowest = 8
	)
	modes := r.Nose.Modes()
	list := make([]int, len(modes))
	peak := make([]float64, len(modes))
	for k := range modes {
		m := &modes[k]
		list[k] = k
		if k < lowest {
			peak[k] = math.Inf(1)
			continue
		}
		size := 0.0
		for i, v := range m.Shape {
			if i >= 3 {
				v *= arm
			}
			size += v * v
		}
		peak[k] = size / (m.Omega * m.Omega * (m.Loss + 2*averaged(m.Omega/(2*math.Pi))))
	}
	rank.By(list, func(k int) float64 { return peak[k] })
	return list[:min(count, len(list))]
}

// withLosses is how a solved pose vibrates with this model's loss factors.
func (d *Model) withLosses(s *Solved, modes, response *frame.Modes) (Vibration, error) {
	work, err := d.WorkPoints(s.Posed, d.NosePoint())
	if err != nil {
		return Vibration{}, err
	}
	loss := d.losses(d.Read.Into(d.Damping))
	nose, err := modal.OfFrame(response, s.Solution, func(part int) frame.Loss { return frame.EvenLoss(loss[part]) }, d.loads(work, NoseOnly)...)
	if err != nil {
		return Vibration{}, err
	}
	return d.asMeasured(Vibration{s, modes, response, nose.Averaged(averaged), &made{planes: map[*ToolEnd]func() ([]chatter.Plane, error){}}})
}

// averaged is the half width of the band over which the frame's modes are averaged at a
// frequency [Hz], as a share of it [-].
func averaged(frequency float64) float64 {
	return AveragedShare * max(0, 1-AveragedFrom/frequency)
}

// WithLossesOf is a vibration of a machine whose frame is this one's, with the loss factors of
// this one.
func (d *Model) WithLossesOf(r *Vibration) (Vibration, error) {
	return d.withLosses(r.Solved, r.Modes, r.Response)
}

// stiffEnough refuses a machine whose modes all lie below the frequencies that matter.
func (d *Model) stiffEnough(modes *frame.Modes) error {
	highest := top(modes)
	if highest > 1.05*slowestChatter {
		return nil
	}
	most := d.ModeShares(modes, 0)[0]
	return &Refused{Rule: "too-soft", At: most.At, Message: fmt.Sprintf(
		"the machine is nearly a mechanism: its %d lowest modes are all below %s, and %s is the most compliant; "+
			"look for a size or a mass that is a thousand times off", modes.Count(), quantity.Measure(highest, "Hz"), most.Name)}
}

// top is a frequency a little above modes [Hz].
func top(modes *frame.Modes) float64 { return modes.Frequency(modes.Count()-1) * 1.05 }

// made holds what is made of a vibration when it is first asked for.
type made struct {
	once sync.Once
	grid *modal.Grid // of the nose
	err  error

	lock   sync.Mutex
	planes map[*ToolEnd]func() ([]chatter.Plane, error)
}

// noseAcross is the receptance at the nose across the tool, displacements and slopes in
// both planes, over the frequencies that matter; made once for all cutters.
func (r *Vibration) noseAcross(axis r3.Vec) (*modal.Grid, error) {
	r.made.once.Do(func() {
		rows := mat.NewDense(4, 6, nil)
		for i, row := range spindle.Planes(axis) {
			rows.SetRow(i, row[:])
		}
		var nose *modal.Receptance
		if nose, r.made.err = r.Nose.Seen(rows); r.made.err == nil {
			r.made.grid, r.made.err = nose.Grid(slowestChatter, HighestChatter, perOctave)
		}
	})
	return r.made.grid, r.made.err
}

// tip is the receptance at a cutter's tip across the tool, in both planes, over the
// frequencies that matter, with the shaft, the holder and the cutter as they vibrate on
// the housing.
//
// What the shaft's own bending adds to its inertia acts on the motion of the nose against
// the workpiece in place of the nose's own: the difference matters only where a mode moves
// the workpiece near a mode of the shaft.
func (r *Vibration) tip(end *ToolEnd, axis r3.Vec) (*modal.Grid, error) {
	modes, err := end.Modes()
	if err != nil {
		return nil, err
	}
	nose, err := r.noseAcross(axis)
	if err != nil {
		return nil, err
	}
	t := tipper{nose: nose, modes: modes}
	for i, f := range nose.Frequency {
		h, err := t.coupled(f, nose.H[i])
		if err != nil {
			return nil, err
		}
		if i > 0 && t.peaks(nose.Frequency[i-1], f) {
			last := len(t.frequency) - 1
			if err := t.refine(i, t.frequency[last], f, [4]complex128(t.values[4*last:]), h, 0); err != nil {
				return nil, err
			}
		}
		t.keep(f, h)
	}
	return t.grid(), nil
}

// A tipper finds the receptance at a tip, at a rising list of frequencies.
type tipper struct {
	nose      *modal.Grid
	modes     *spindle.Modes
	frequency []float64
	values    []complex128 // four for each
}

func (t *tipper) keep(f float64, h [4]complex128) {
	t.frequency, t.values = append(t.frequency, f), append(t.values, h[:]...)
}

// grid is what was kept.
func (t *tipper) grid() *modal.Grid {
	out := &modal.Grid{Size: 2, Frequency: t.frequency, H: make([][]complex128, len(t.frequency))}
	for i := range out.H {
		out.H[i] = t.values[4*i : 4*i+4 : 4*i+4]
	}
	return out
}

// coupled is the receptance at a frequency, from that of the nose.
func (t *tipper) coupled(f float64, nose []complex128) ([4]complex128, error) {
	var housing spindle.Across
	for k := range housing {
		copy(housing[k][:], nose[4*k:])
	}
	return t.modes.TipAcross(f, &housing)
}

// peaks tells whether a mode of the shaft may lie between two frequencies: a housing that
// moves shifts it from where it lies in one that does not.
func (t *tipper) peaks(from, to float64) bool {
	const shift = 1.25
	for i := range t.modes.List {
		f := t.modes.List[i].Omega / (2 * math.Pi)
		if from < f*shift && to > f/shift {
			return true
		}
	}
	return false
}

const (
	// straight is how far a receptance may lie from a straight line between two
	// frequencies of the list, as a share of the larger one [-].
	straight = 0.01
	// halvings bounds how often an interval is halved for that.
	halvings = 8
)

// refine adds frequencies between two in an interval of the nose's list until straight
// lines do. The nose's receptance runs straight there.
func (t *tipper) refine(interval int, from, to float64, a, b [4]complex128, depth int) error {
	middle := (from + to) / 2
	nose := between(t.nose, interval, middle)
	m, err := t.coupled(middle, nose[:])
	if err != nil {
		return err
	}
	off, size := 0.0, 0.0
	for k := range m {
		off = math.Max(off, cmplx.Abs(m[k]-(a[k]+b[k])/2))
		size = math.Max(size, math.Max(cmplx.Abs(a[k]), math.Max(cmplx.Abs(b[k]), cmplx.Abs(m[k]))))
	}
	if off <= straight*size || depth == halvings {
		return nil
	}
	if err := t.refine(interval, from, middle, a, m, depth+1); err != nil {
		return err
	}
	t.keep(middle, m)
	return t.refine(interval, middle, to, m, b, depth+1)
}

// between is the nose's receptance across the tool at a frequency in an interval of its
// list, along which it runs straight.
func between(nose *modal.Grid, interval int, frequency float64) (h [16]complex128) {
	from, to := nose.Frequency[interval-1], nose.Frequency[interval]
	share := complex((frequency-from)/(to-from), 0)
	for k, v := range nose.H[interval-1] {
		h[k] = v + share*(nose.H[interval][k]-v)
	}
	return h
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
// feed, over all vibrations.
func (d *Model) Planes(vibrations []Vibration, cutter *spec.Cutter) ([]chatter.Plane, error) {
	measured, err := d.measuredTip(cutter)
	if err != nil {
		return nil, err
	}
	if measured != nil { // alike in every position
		return measuredPlanes(measured)
	}
	end, err := d.ToolEnd(cutter)
	if err != nil {
		return nil, err
	}
	var list []chatter.Plane
	for i := range vibrations {
		planes, err := vibrations[i].planes(end, Pointing(d.Spec.Spindle))
		if err != nil {
			return nil, err
		}
		list = append(list, planes...)
	}
	return list, nil
}

// planes are those at the tip of a cutter, made once.
func (r *Vibration) planes(end *ToolEnd, axis r3.Vec) ([]chatter.Plane, error) {
	r.made.lock.Lock()
	known := r.made.planes[end]
	if known == nil {
		known = sync.OnceValues(func() ([]chatter.Plane, error) {
			grid, err := r.tip(end, axis)
			if err != nil {
				return nil, err
			}
			return planesOf(grid), nil
		})
		r.made.planes[end] = known
	}
	r.made.lock.Unlock()
	return known()
}

// planesOf are the planes of a receptance across the tool, for all directions of feed: y is to the left of x as seen against the way that
// the tool points.
func planesOf(grid *modal.Grid) []chatter.Plane {
	g := make([][4]complex128, len(grid.H))
	for i, h := range grid.H {
		g[i] = [4]complex128{h[0], -h[1], -h[2], h[3]}
	}
	list := make([]chatter.Plane, FeedDirections)
	for k := range list {
		list[k] = chatter.Plane{Frequency: grid.Frequency, G: g, Feed: math.Pi * float64(k) / FeedDirections}
	}
	return list
}

// A LargestMode is the mode that moves a tip most at a frequency: one of the frame, or one
// of the shaft with its cutter.
type LargestMode struct {
	Mode     int           // of the frame's response
	Tool     *spindle.Mode // of the shaft with its cutter, nil where the frame's is larger
	Measured string        // name of the mode measured at the tip, in place of both; empty for none
	In       *Vibration    // the pose
	Shares   []PartShare   // of its strain energy, the largest first
}

// LargestMode finds the mode that moves a cutter's tip most across the tool's axis at a
// frequency. Of the frame it is an undamped mode, with its own loss factor, since the shares
// of parts are those of its strain energy.
func (d *Model) LargestMode(r *Vibration, c *spec.Cutter, hz float64) (*LargestMode, error) {
	measured, err := d.measuredTip(c)
	if err != nil {
		return nil, err
	}
	if measured != nil {
		return d.measuredLargest(r, c, measured, hz), nil
	}
	end, err := d.ToolEnd(c)
	if err != nil {
		return nil, err
	}
	tip, err := r.Nose.Seen(tipRows(end.Arm))
	if err != nil {
		return nil, err
	}
	modes, err := end.Modes()
	if err != nil {
		return nil, err
	}
	axis := Pointing(d.Spec.Spindle)
	omega := 2 * math.Pi * hz
	out, most := &LargestMode{In: r}, 0.0
	larger := func(across, loss, w float64) bool {
		size := across / math.Hypot(w-omega*omega, loss*w)
		if !rank.More(size, most) {
			return false
		}
		most = size
		return true
	}
	for k, m := range tip.Modes() {
		u := r3.Vec{X: m.Shape[0], Y: m.Shape[1], Z: m.Shape[2]}
		if larger(r3.Norm2(u)-math.Pow(r3.Dot(u, axis), 2), m.Loss+2*averaged(hz), m.Omega*m.Omega) {
			out.Mode = k
		}
	}
	for k := range modes.List {
		if m := &modes.List[k]; larger(m.Tip[0]*m.Tip[0], m.Loss, m.Omega*m.Omega) {
			out.Tool = m
		}
	}
	if out.Tool == nil {
		out.Shares = d.ModeShares(r.Response, out.Mode)
		return out, nil
	}
	out.Shares = d.toolShares(out.Tool, c)
	return out, nil
}

// toolWords name the parts of the shaft with its cutter that have much of the strain
// energy of its mode.
func (m *LargestMode) toolWords() string {
	const much = 0.15 // of the strain energy
	if len(m.Shares) > 1 && m.Shares[1].Part > much {
		return m.Shares[0].Name + " and " + m.Shares[1].Name
	}
	return m.Shares[0].Name
}

// toolShares splits the strain energy of a mode of the shaft with its cutter by part, the
// largest first.
func (d *Model) toolShares(m *spindle.Mode, c *spec.Cutter) []PartShare {
	var list []PartShare
	for _, s := range m.Shares {
		name, at := ChainPart(s.Part), d.Spec.Spindle.At
		kind := SpindlePart
		if s.Part >= spindle.Taper {
			kind = holderPart
		}
		if s.Part >= spindle.Collet {
			kind, at = CutterPart, c.StickOut.At
		}
		i := slices.IndexFunc(list, func(p PartShare) bool { return p.Name == name })
		if i < 0 {
			i = len(list)
			list = append(list, PartShare{Share: Share{Name: name, Kind: kind, At: at}})
		}
		list[i].Part += s.Share
	}
	rank.By(list, func(p PartShare) float64 { return p.Part })
	return list
}

// ChainPart is the name of a part of the chain from the shaft to the cutter.
func ChainPart(part int) string {
	switch part {
	case spindle.Shaft:
		return "spindle shaft"
	case spindle.RearBearing, spindle.FrontBearing:
		return "spindle bearings"
	case spindle.Taper:
		return "taper"
	case spindle.Holder:
		return "holder"
	case spindle.Collet:
		return "collet"
	}
	return "cutter"
}
