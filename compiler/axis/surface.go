package axis

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/acceptance"
	"ironbed/compiler/geometry"
	"ironbed/compiler/machine"
	"ironbed/compiler/profile"
	"ironbed/spec"
)

// A Pass is one pass of readings along a rail.
type Pass struct {
	*profile.Pass
	Stands bool // no later one stands in its place
}

// A Bridge is the turn about the travel of what stands on both rails.
type Bridge struct {
	Entry *spec.Entry[spec.AcrossReadings] // nil where it is that of the two profiles
	At    []float64                        // [m]
	Rolls []float64                        // rising towards the second rail, the first of them 0 [rad]
	U     float64                          // of each, as two standard deviations [rad]
	Log   *spec.Log

	ends []*Bridge // with its places, its readings and its instrument at their ends
}

// RollU is what the turn at a place is uncertain by, as two standard deviations, and what its places, its readings and its instrument add [rad].
func (b *Bridge) RollU(i int) float64 {
	most := 0.0
	for _, end := range b.ends {
		most = math.Max(most, math.Abs(end.at(b.At[i])-b.Rolls[i])+math.Max(0, end.U-b.U))
	}
	return b.U + most
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
				if g.Item.Readings[n].Item.Land() {
					continue
				}
				p := &Pass{Pass: profile.Of(s.Spec, s.Model.Read, a, g, &g.Item.Readings[n])}
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

// twice compares two passes over the places of the first that the other covers.
func twice(one, other *Pass) Twice {
	t := Twice{One: one, Other: other}
	for _, x := range one.At {
		if x >= other.At[0] && x <= other.At[len(other.At)-1] {
			t.Apart = math.Max(t.Apart, math.Abs(one.Off(x)-other.Off(x)))
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
	if both && one.Level() && other.Level() {
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
		along.U = profile.Coverage * math.Hypot(u, w) / v.Gauge
		v.Bridge = along
	}
	var latest *spec.Entry[spec.AcrossReadings]
	for i := range a.Across {
		if e := &a.Across[i]; latest == nil || e.Item.Date.Later(latest.Item.Date) {
			latest = e
		}
	}
	if latest != nil && v.Gauge > 0 {
		across, err := bridged(s.Model.Read, latest)
		if err != nil {
			return err
		}
		for _, end := range spec.Ends {
			if b, err := bridged(spec.At(end), latest); err == nil { // an end may lie where a formula does not hold
				across.ends = append(across.ends, b)
			}
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

// bridged is the turn by a level on a bridge.
func bridged(read spec.Reader, e *spec.Entry[spec.AcrossReadings]) (*Bridge, error) {
	b := &Bridge{Entry: e, Log: &spec.Log{}}
	read = read.Into(b.Log)
	var u float64
	var err error
	b.At = profile.Places(read, e.Item.Stations)
	if b.Rolls, u, err = profile.Numbers(read, e.Item.Read, read.Of(e.Item.Division)); err != nil {
		return nil, err
	}
	if e.Item.Turned != nil {
		turned, _, err := profile.Numbers(read, e.Item.Turned, 0)
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
	b.Rolls, b.U = fromFirst(b.Rolls), profile.Coverage*math.Sqrt2*u
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

// TwistU is what that is uncertain by, as two standard deviations, and what places, readings and instrument add [rad].
func (v *Survey) TwistU() float64 {
	most, _ := v.Twist()
	more := 0.0
	for _, end := range v.Bridge.ends {
		other := *v
		other.Bridge = end
		t, _ := other.Twist()
		more = math.Max(more, math.Abs(t-most)+math.Max(0, end.U-v.Bridge.U))
	}
	return v.Bridge.U + more
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
		most = math.Max(most, math.Abs(p.Off(x+v.Pitch)-p.Off(x)))
	}
	return most, profile.Coverage * math.Hypot(math.Sqrt2*p.Point, math.Sqrt(v.Pitch*math.Max(p.Farthest(), v.Pitch))*p.Slope)
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
			d.Normal[side[i]] = v.Normal[k].Off(x) + lean*(x-middle)
			if p := v.lateral(k); p != nil {
				d.Lateral[side[i]] = p.Off(x)
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
