package axis

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/acceptance"
	"ironbed/compiler/geometry"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// Coverage is how many standard deviations a reading may be off before it counts as another thing [-].
const Coverage = 2

// WireStrength is the stress at which a wire of spring steel breaks [Pa]; from memory, 2 to 3 GPa.
const WireStrength = 3e9

// A Pass is one pass of readings along a rail, as a profile.
type Pass struct {
	Rail  *spec.Entry[spec.Guide]
	Entry *spec.Entry[spec.SurfaceReadings]
	acceptance.Profile
	acceptance.Straightness
	Refused *machine.Refused // why there is no profile, nil where there is one
	Stands  bool             // no later one stands in its place
	Log     *spec.Log

	level bool    // its slopes are those against the horizontal
	wire  float64 // stress of the wire; 0 for none [Pa]
}

// Level reports whether the slopes of a pass are those against the horizontal, so that those of two rails can be compared.
func (p *Pass) Level() bool { return p.level }

// Snaps reports whether the wire of a pass would have broken.
func (p *Pass) Snaps() bool { return p.wire > WireStrength }

// U is what the straightness of a pass is uncertain by, as two standard deviations [m].
func (p *Pass) U() float64 { return Coverage * p.ZoneUncertainty }

// Farthest is the longest way from one place to the next [m].
func (p *Pass) Farthest() (most float64) {
	for i := 1; i < len(p.At); i++ {
		most = math.Max(most, p.At[i]-p.At[i-1])
	}
	return most
}

// A Bridge is the turn about the travel of what stands on both rails.
type Bridge struct {
	Entry *spec.Entry[spec.AcrossReadings] // nil where it is that of the two profiles
	At    []float64                        // [m]
	Rolls []float64                        // rising towards the second rail, the first of them 0 [rad]
	U     float64                          // of each, as two standard deviations [rad]
	Log   *spec.Log
}

// A Survey is what was read of the mounting surfaces of an axis.
type Survey struct {
	Axis    int
	Passes  []*Pass
	Normal  [2]*Pass // by rail, the one that stands; nil for none
	Lateral [2]*Pass
	Bridge  *Bridge       // nil where the turn is not known
	Run     [2][2]float64 // by rail, from where to where its carriages run [m]
	Pitch   float64       // between the carriages of a rail [m]
	Gauge   float64       // between the rails [m]
	Closure *Closure      // nil where only one of the two was read
	Twice   []Twice
	Log     *spec.Log

	right bool    // the second rail lies to the right of the first
	way   float64 // of the carriages along the rail as the axis goes up: 1, or −1 where the rails move
	begin [2][2]float64
	tilt  float64 // slope of the second rail against the first [rad]
	tied  bool    // which is known
}

// A Closure is the slope of one rail against the other found in two ways: by a level along both, and by one across.
type Closure struct {
	Along, Across float64 // difference in height over the length that both read [m]
	U             float64 // of the difference of the two, as two standard deviations [m]
}

// Off reports whether the two contradict each other.
func (c *Closure) Off() bool { return math.Abs(c.Along-c.Across) > c.U }

// A Twice is two passes of one date.
type Twice struct {
	One, Other *Pass
	Apart      float64 // the most by which they differ, each from its best line [m]
	U          float64 // of that, as two standard deviations [m]
}

// Off reports whether the two contradict each other.
func (t *Twice) Off() bool { return t.Apart > t.U }

// surveys turns the readings along the mounting surfaces into profiles.
func (s *Solution) surveys() error {
	for i := range s.Spec.Axes {
		a := &s.Spec.Axes[i]
		v := &Survey{Axis: i, Log: &spec.Log{}}
		for k := range a.Item.Guides {
			g := &a.Item.Guides[k]
			normal, lateral := g.Item.Latest(false), g.Item.Latest(true)
			for n := range g.Item.Readings {
				p := s.pass(a, g, &g.Item.Readings[n])
				p.Stands = slices.Contains(normal, p.Entry) || slices.Contains(lateral, p.Entry)
				v.Passes = append(v.Passes, p)
				if !p.Stands || p.Refused != nil || k > 1 {
					continue
				}
				to := &v.Normal[k]
				if p.Entry.Item.Lateral() {
					to = &v.Lateral[k]
				}
				if *to != nil {
					v.Twice = append(v.Twice, twice(*to, p))
				}
				if *to == nil || p.ZoneUncertainty < (*to).ZoneUncertainty {
					*to = p
				}
			}
		}
		if len(v.Passes) == 0 && len(a.Item.Across) == 0 {
			continue
		}
		s.runs(v)
		if err := s.bridge(v); err != nil {
			return &machine.Refused{Rule: "readings", At: a.At, Message: "axis " + a.Name + ": " + err.Error()}
		}
		for _, p := range []*Pass{v.Normal[0], v.Normal[1], v.Lateral[0], v.Lateral[1]} {
			if p != nil {
				v.Log.Rest(p.Log)
			}
		}
		if v.Bridge != nil {
			v.Log.Rest(v.Bridge.Log)
		}
		s.Surveys = append(s.Surveys, v)
	}
	return nil
}

// Survey is what was read of the mounting surfaces of an axis, nil where nothing was.
func (s *Solution) Survey(axis int) *Survey {
	for _, v := range s.Surveys {
		if v.Axis == axis {
			return v
		}
	}
	return nil
}

// numbers are readings with the standard uncertainty of the least certain: to the nearest division, and what the spec says of each [unit of them].
func numbers(read spec.Reader, list []spec.Value, division float64) (out []float64, u float64, err error) {
	own := 0.0
	for _, v := range list {
		low, middle, high := read.Span(v)
		out = append(out, middle)
		own = math.Max(own, (high-low)/2/Coverage)
	}
	u, err = acceptance.ResolutionUncertainty(division)
	return out, math.Hypot(u, own), err
}

// pass makes a profile of a pass of readings.
func (s *Solution) pass(a *spec.Entry[spec.Axis], g *spec.Entry[spec.Guide], e *spec.Entry[spec.SurfaceReadings]) *Pass {
	p := &Pass{Rail: g, Entry: e, Log: &spec.Log{}}
	read := s.Model.Read.Into(p.Log)
	var err error
	switch x := &e.Item; {
	case x.Level != nil:
		p.level = true
		err = p.levelled(read, x.Level)
	case x.Straightedge != nil:
		err = p.edged(read, x.Straightedge)
	case x.Wire != nil:
		axes, wrong := machine.GuideAxes(machine.Unit(a.Item.Direction.XYZ), g)
		along := axes[2]
		if x.Lateral() {
			along = axes[1]
		}
		if err = wrong; err == nil {
			err = p.wired(read, x.Wire, r3.Dot(along, r3.Unit(machine.Gravity)), read.Of(s.Spec.Material("steel").Density))
		}
	default:
		p.At, _, _ = numbers(read, x.Indicator.At, 0)
		p.Heights, p.Point, err = numbers(read, x.Indicator.Read, read.Of(x.Indicator.Division))
		p.along(read, x.Indicator.Straightness)
	}
	if err == nil {
		p.Straightness, err = p.Profile.Straight()
	}
	if err != nil {
		p.Refused = &machine.Refused{Rule: "readings", At: e.At, Message: "readings " + e.Name + " of rail " + g.Name + ", axis " + a.Name + ", make no profile: " + err.Error()}
	}
	return p
}

// levelled makes the profile of a level's readings.
func (p *Pass) levelled(read spec.Reader, l *spec.LevelReadings) error {
	slopes, u, err := numbers(read, l.Read, read.Of(l.Division))
	if err != nil {
		return err
	}
	if l.Turned != nil {
		turned, _, err := numbers(read, l.Turned, 0)
		if err != nil {
			return err
		}
		for i := range slopes {
			if slopes[i], _, err = acceptance.LevelReversal(slopes[i], turned[i]); err != nil {
				return err
			}
		}
		u /= math.Sqrt2
	}
	at := []float64{read.Of(l.From)}
	for range slopes {
		at = append(at, at[len(at)-1]+read.Of(l.Foot))
	}
	p.Profile, err = acceptance.FromSlopes(at, slopes, u)
	return err
}

// edged makes the profile of heights over a straightedge.
func (p *Pass) edged(read spec.Reader, e *spec.StraightReadings) (err error) {
	p.At, _, _ = numbers(read, e.At, 0)
	if p.Heights, p.Point, err = numbers(read, e.Read, read.Of(e.Division)); err != nil || e.Turned == nil {
		p.along(read, e.Straightness)
		return err
	}
	turned, _, err := numbers(read, e.Turned, 0)
	if err != nil {
		return err
	}
	p.Heights, _, err = acceptance.Reversal(p.Heights, turned)
	p.Point /= math.Sqrt2
	return err
}

// along adds what is uncertain by that along which the readings were taken: anywhere within its straightness.
func (p *Pass) along(read spec.Reader, straightness spec.Value) {
	_, _, most := read.Span(straightness)
	p.Point = math.Hypot(p.Point, most/math.Sqrt(12))
}

// wired makes the profile of heights over a wire, its sag put in as far as it hangs along the way that is read.
func (p *Pass) wired(read spec.Reader, w *spec.WireReadings, hangs, density float64) (err error) {
	p.At, _, _ = numbers(read, w.At, 0)
	if p.Heights, p.Point, err = numbers(read, w.Read, read.Of(w.Division)); err != nil {
		return err
	}
	from := read.Of(w.From)
	wire := acceptance.Wire{Diameter: read.Of(w.Diameter), Density: density, Span: read.Of(w.Span)}
	low, middle, high := read.Span(w.Pull)
	if w.Pitch.Given {
		pulls := [3]float64{}
		pulls[0], pulls[1], pulls[2] = read.Span(w.Pitch)
		for i, f := range pulls {
			if pulls[i], err = wire.PullOfPitch(f); err != nil {
				return err
			}
		}
		low, middle, high = pulls[0], pulls[1], pulls[2]
	}
	least, most := wire, wire
	wire.Pull, least.Pull, most.Pull = middle, low, high
	if p.wire, err = wire.Stress(); err != nil {
		return err
	}
	doubt := 0.0
	for i, at := range p.At {
		sag, err := wire.Sag(at - from)
		if err != nil {
			return err
		}
		slack, err := least.Sag(at - from)
		if err != nil {
			return err
		}
		tight, err := most.Sag(at - from)
		if err != nil {
			return err
		}
		p.Heights[i] += hangs * sag
		doubt = math.Max(doubt, math.Abs(hangs)*(slack-tight)/2/Coverage)
	}
	p.Point = math.Hypot(p.Point, doubt)
	return nil
}

// heightsAt are the heights of a pass at places, from its best line.
func (p *Pass) heightsAt(places []float64) (list []float64) {
	for _, x := range places {
		list = append(list, p.off(x))
	}
	return list
}

// off is how far the surface is off its best line at a place [m].
func (p *Pass) off(place float64) float64 {
	h, err := p.Profile.HeightAt(place)
	if err != nil {
		return 0 // a profile that has a straightness has heights
	}
	x := math.Min(math.Max(place, p.At[0]), p.At[len(p.At)-1])
	return h - p.Best.Height - p.Best.Slope*x
}

// twice compares two passes over the places of the first that the other covers.
func twice(one, other *Pass) Twice {
	t := Twice{One: one, Other: other}
	for _, x := range one.At {
		if x >= other.At[0] && x <= other.At[len(other.At)-1] {
			t.Apart = math.Max(t.Apart, math.Abs(one.off(x)-other.off(x)))
		}
	}
	t.U = math.Hypot(one.U(), other.U())
	return t
}

// runs finds where along the rails the carriages run, from where the members under each begin.
func (s *Solution) runs(v *Survey) {
	a := &s.Spec.Axes[v.Axis].Item
	read := s.Model.Read
	u := machine.Unit(a.Direction.XYZ)
	travel, modelled := read.Of(a.Travel), read.Of(a.ModelledAt)
	drawn := func(node string) r3.Vec { return s.Model.Nodes[s.Model.Node[node]] }
	v.way = 1
	if len(a.Guides) > 0 && len(a.Guides[0].Item.Carriages) > 0 && !s.Carries(v.Axis, a.Guides[0].Item.Carriages[0].Text) {
		v.way = -1
	}
	for k := range min(len(a.Guides), 2) {
		begins := math.Inf(1)
		for _, over := range a.Guides[k].Item.Over {
			body, members := s.Spec.Match(over.Text)
			for _, name := range members {
				b := &s.Model.Bars[s.Model.ByName[body+"."+name]]
				begins = math.Min(begins, math.Min(r3.Dot(u, b.From), r3.Dot(u, b.To)))
			}
		}
		low, high := math.Inf(1), math.Inf(-1)
		for _, c := range a.Guides[k].Item.Carriages {
			at := r3.Dot(u, drawn(c.Text)) - begins - v.way*modelled
			low, high = math.Min(low, at), math.Max(high, at)
		}
		v.begin[k] = [2]float64{low, high}
		v.Run[k] = [2]float64{low + math.Min(0, v.way*travel), high + math.Max(0, v.way*travel)}
	}
	if l, ok := machine.LayoutBy(s.Spec, v.Axis, drawn); ok {
		v.Pitch, v.Gauge = l.Pitch, l.Spread
		apart := r3.Sub(drawn(a.Guides[1].Item.Carriages[0].Text), drawn(a.Guides[0].Item.Carriages[0].Text))
		v.right = r3.Dot(r3.Cross(u, l.Axes[2]), apart) > 0
	}
}

// bridge finds the turn about the travel: by a level across, and by levels along both rails.
func (s *Solution) bridge(v *Survey) error {
	a := &s.Spec.Axes[v.Axis].Item
	one, other := v.Normal[0], v.Normal[1]
	both := one != nil && other != nil && v.Gauge > 0
	var along *Bridge
	if both && one.level && other.level {
		along = &Bridge{At: one.At, Log: spec.Over(one.Log, other.Log)}
		var h [2][]float64
		for _, x := range along.At {
			for k, p := range []*Pass{one, other} {
				z, err := p.Profile.HeightAt(x)
				if err != nil {
					return err
				}
				h[k] = append(h[k], z)
			}
		}
		rolls, err := acceptance.Rolls(h[1], h[0], v.Gauge)
		if err != nil {
			return err
		}
		along.Rolls = fromFirst(rolls)
		// From end to end all slopes add up; over the carriages, fewer do.
		ends := make([]float64, len(one.At))
		ends[0], ends[len(ends)-1] = -1, 1
		u, err := one.Profile.Uncertainty(ends)
		if err != nil {
			return err
		}
		ends = make([]float64, len(other.At))
		ends[0], ends[len(ends)-1] = -1, 1
		w, err := other.Profile.Uncertainty(ends)
		if err != nil {
			return err
		}
		along.U = Coverage * math.Hypot(u, w) / v.Gauge
		v.Bridge = along
	}
	var latest *spec.Entry[spec.AcrossReadings]
	for i := range a.Across {
		if e := &a.Across[i]; latest == nil || e.Item.Date.Later(latest.Item.Date) {
			latest = e
		}
	}
	if latest != nil && v.Gauge > 0 {
		across, err := s.across(latest)
		if err != nil {
			return err
		}
		if along != nil {
			v.close(along, across)
		}
		v.Bridge = across
	}
	if v.Bridge != nil {
		fit, err := (acceptance.Profile{At: v.Bridge.At, Heights: v.Bridge.Rolls}).Straight()
		if err != nil {
			return err
		}
		v.tilt, v.tied = v.Gauge*fit.Best.Slope, true
	}
	return nil
}

// across is the turn by a level on a bridge.
func (s *Solution) across(e *spec.Entry[spec.AcrossReadings]) (*Bridge, error) {
	b := &Bridge{Entry: e, Log: &spec.Log{}}
	read := s.Model.Read.Into(b.Log)
	var u float64
	var err error
	b.At, _, _ = numbers(read, e.Item.Stations, 0)
	if b.Rolls, u, err = numbers(read, e.Item.Read, read.Of(e.Item.Division)); err != nil {
		return nil, err
	}
	if e.Item.Turned != nil {
		turned, _, err := numbers(read, e.Item.Turned, 0)
		if err != nil {
			return nil, err
		}
		for i := range b.Rolls {
			if b.Rolls[i], _, err = acceptance.LevelReversal(b.Rolls[i], turned[i]); err != nil {
				return nil, err
			}
		}
		u /= math.Sqrt2
	}
	b.Rolls, b.U = fromFirst(b.Rolls), Coverage*math.Sqrt2*u
	return b, nil
}

// fromFirst are numbers less the first of them.
func fromFirst(list []float64) []float64 {
	out := make([]float64, len(list))
	for i, v := range list {
		out[i] = v - list[0]
	}
	return out
}

// close compares the turn from end to end by both ways, over the length that both read.
func (v *Survey) close(along, across *Bridge) {
	from, to := math.Max(along.At[0], across.At[0]), math.Min(along.At[len(along.At)-1], across.At[len(across.At)-1])
	if to <= from {
		return
	}
	v.Closure = &Closure{
		Along: v.Gauge * (along.at(to) - along.at(from)), Across: v.Gauge * (across.at(to) - across.at(from)),
		U: v.Gauge * math.Hypot(along.U, across.U),
	}
}

// at is the turn at a place [rad].
func (b *Bridge) at(place float64) float64 {
	h, err := (acceptance.Profile{At: b.At, Heights: b.Rolls}).HeightAt(place)
	if err != nil {
		return 0 // its places were checked
	}
	return h
}

// Twist is the most by which the turn changes from one carriage of a rail to the other, and where the rear one then stands on the first rail [rad], [m].
func (v *Survey) Twist() (most, at float64) {
	for _, x := range v.rears() {
		if t := math.Abs(v.Bridge.at(x+v.Pitch) - v.Bridge.at(x)); t > most+1e-15 {
			most, at = t, x
		}
	}
	return most, at
}

// rears are the places of the rear carriage of the first rail at which either carriage of it passes a reading, and the ends of its run.
func (v *Survey) rears() []float64 {
	low, high := v.Run[0][0], v.Run[0][1]-v.Pitch
	list := []float64{low, high}
	add := func(places []float64) {
		for _, x := range places {
			for _, rear := range []float64{x, x - v.Pitch} {
				if rear > low && rear < high {
					list = append(list, rear)
				}
			}
		}
	}
	if v.Bridge != nil {
		add(v.Bridge.At)
	}
	for k, p := range v.Normal {
		if p != nil {
			for _, x := range p.At {
				add([]float64{x - v.Run[k][0] + v.Run[0][0]})
			}
		}
	}
	slices.Sort(list)
	return list
}

// Step is the most by which one carriage stands higher than the other on the same rail, off the rail's best line, and what that is
// uncertain by as two standard deviations [m].
func (v *Survey) Step(k int) (most, u float64) {
	p := v.Normal[k]
	for _, x := range v.rears() {
		x += v.Run[k][0] - v.Run[0][0]
		most = math.Max(most, math.Abs(p.off(x+v.Pitch)-p.off(x)))
	}
	return most, Coverage * math.Hypot(math.Sqrt2*p.Point, math.Sqrt(v.Pitch*math.Max(p.Farthest(), v.Pitch))*p.Slope)
}

// Covers reports whether a pass reaches as far as the carriages of its rail run, but for half a step of its readings.
func (v *Survey) Covers(k int, p *Pass) bool {
	slack := p.Farthest() / 2
	return p.At[0] <= v.Run[k][0]+slack && p.At[len(p.At)-1] >= v.Run[k][1]-slack
}

// Stands reports whether what was read stands in place of what is assumed: both rails along their normal, as far as the carriages run.
func (v *Survey) Stands() bool {
	if v == nil || v.Pitch == 0 {
		return false
	}
	for k, p := range v.Normal {
		if p == nil || !v.Covers(k, p) {
			return false
		}
	}
	return true
}

// Across reports whether a rail was read across its normal as far as the carriages run.
func (v *Survey) Across() bool {
	for k, p := range v.Lateral {
		if p != nil && v.Covers(k, p) {
			return true
		}
	}
	return false
}

// Deviations are how far the mounting surfaces are off under the carriages at a position of the axis: along the normal off the line that
// represents both rails, across off the best line of the one that was read, or of both.
func (v *Survey) Deviations(position float64) (d geometry.Deviations) {
	for k := range v.Normal {
		rear, front := v.begin[k][0]+v.way*position, v.begin[k][1]+v.way*position
		side := [2]geometry.Corner{geometry.FrontLeft, geometry.RearLeft}
		if (k == 1) == v.right {
			side = [2]geometry.Corner{geometry.FrontRight, geometry.RearRight}
		}
		// Half of the slope of one against the other is that of each against their mean.
		lean := v.tilt / 2
		if k == 0 {
			lean = -lean
		}
		middle := (v.Run[k][0] + v.Run[k][1]) / 2
		for i, x := range []float64{front, rear} {
			d.Normal[side[i]] = v.Normal[k].off(x) + lean*(x-middle)
			if p := v.lateral(k); p != nil {
				d.Lateral[side[i]] = p.off(x)
			}
		}
	}
	return d
}

// lateral is the pass across that stands for a rail: its own, or that of the other, which it is set by.
func (v *Survey) lateral(k int) *Pass {
	if v.Lateral[k] != nil {
		return v.Lateral[k]
	}
	return v.Lateral[1-k]
}

// Table is what rides on the rails.
func (v *Survey) Table() geometry.Table { return geometry.Table{Span: v.Pitch, Gauge: v.Gauge} }

// Gap is the most by which the surface of one carriage is out of the plane of the other three, over the travel, and the position of the axis [m].
func (v *Survey) Gap(travel float64) (most, at float64, err error) {
	for _, x := range v.rears() {
		position := (x - v.begin[0][0]) * v.way
		if v.way < 0 {
			position = math.Min(math.Max(position, 0), travel)
		}
		pose, err := v.Table().Pose(v.Deviations(position))
		if err != nil {
			return 0, 0, err
		}
		if gap := 4 * math.Abs(pose.Warp); gap > most+1e-15 {
			most, at = gap, position
		}
	}
	return most, at, nil
}

// Tied reports whether the slope of one rail against the other is known.
func (v *Survey) Tied() bool { return v.tied }

// Doubt is what the straightness of the less certain rail, and the height of one rail against the other, are uncertain by, as two standard
// deviations [m].
func (v *Survey) Doubt() (straight, apart float64) {
	for k, p := range v.Normal {
		straight = math.Max(straight, p.U())
		_, u := v.Step(k)
		apart = math.Hypot(apart, u)
	}
	return straight, apart
}

// PointU is the standard uncertainty of a point's deviation from the line through the ends [m].
func (p *Pass) PointU(i int) float64 {
	factors := make([]float64, len(p.At))
	last := len(p.At) - 1
	share := (p.At[i] - p.At[0]) / (p.At[last] - p.At[0])
	factors[i]++
	factors[0] -= 1 - share
	factors[last] -= share
	u, err := p.Profile.Uncertainty(factors)
	if err != nil {
		return 0 // a profile that has a straightness has uncertainties
	}
	return u
}
