package spec

import (
	"slices"
	"time"

	"ironbed/spec/quantity"
)

// A SurfaceReadings is a pass of readings along one rail's mounting surface.
type SurfaceReadings struct {
	Level        *LevelReadings     `cue:"level"`
	Straightedge *StraightReadings  `cue:"straightedge"`
	Wire         *WireReadings      `cue:"wire"`
	Indicator    *IndicatorReadings `cue:"indicator"`
	Of           Text               `cue:"of"`
	Way          Text               `cue:"way"`
	Date         Text               `cue:"date"`
	Note         Text               `cue:"note"`

	At Place
}

// A LevelReadings is slopes, from foot to foot.
type LevelReadings struct {
	From     Value   `cue:"from"`
	Foot     Value   `cue:"foot"`
	Division Value   `cue:"division"`
	Read     []Value `cue:"read"`
	Turned   []Value `cue:"turned"`
}

// A StraightReadings is heights over a straightedge.
type StraightReadings struct {
	At           []Value `cue:"at"`
	Division     Value   `cue:"division"`
	Read         []Value `cue:"read"`
	Turned       []Value `cue:"turned"`
	Straightness Value   `cue:"straightness"`
}

// A WireReadings is heights over a wire.
type WireReadings struct {
	At       []Value `cue:"at"`
	Division Value   `cue:"division"`
	Read     []Value `cue:"read"`
	Diameter Value   `cue:"diameter"`
	Span     Value   `cue:"span"`
	From     Value   `cue:"from"`
	Pull     Value   `cue:"pull" worse:"low"`
	Pitch    Value   `cue:"pitch" worse:"low"`
}

// An IndicatorReadings is heights by an indicator that is moved along something straight.
type IndicatorReadings struct {
	At           []Value `cue:"at"`
	Division     Value   `cue:"division"`
	Read         []Value `cue:"read"`
	Straightness Value   `cue:"straightness"`
}

// An AcrossReadings is a level on a bridge from rail to rail.
type AcrossReadings struct {
	Stations []Value `cue:"at"`
	Division Value   `cue:"division"`
	Read     []Value `cue:"read"`
	Turned   []Value `cue:"turned"`
	Date     Text    `cue:"date"`
	Note     Text    `cue:"note"`

	At Place
}

// A PositioningReadings is a test of positioning over the travel.
type PositioningReadings struct {
	Instrument Text                `cue:"instrument"`
	Resolution Value               `cue:"resolution"`
	Targets    []PositioningTarget `cue:"targets"`
	Date       Text                `cue:"date"`
	Note       Text                `cue:"note"`

	At Place
}

// A PositioningTarget is what was read at one position.
type PositioningTarget struct {
	Position Value   `cue:"at"`
	Up       []Value `cue:"up"`
	Down     []Value `cue:"down"`

	At Place
}

// A Measured is one number that was measured.
type Measured struct {
	Figure     Text       `cue:"figure"`
	Value      Text       `cue:"value"`
	Read       Text       `cue:"read"`
	Instrument Text       `cue:"instrument"`
	Resolution Text       `cue:"resolution"`
	Date       Text       `cue:"date"`
	Position   Map[Value] `cue:"position"`
	Note       Text       `cue:"note"`

	Reading Value // what was read, with its uncertainty
}

// Lateral reports whether a pass reads across the rail's normal.
func (s *SurfaceReadings) Lateral() bool { return s.Way.Text == "lateral" }

// Land reports whether a pass reads the steel before resin is poured on it.
func (s *SurfaceReadings) Land() bool { return s.Of.Text == "land" }

// Instrument is what a pass was read with.
func (s *SurfaceReadings) Instrument() string {
	switch {
	case s.Level != nil:
		return "level"
	case s.Straightedge != nil:
		return "straightedge"
	case s.Wire != nil:
		return "wire"
	}
	return "indicator"
}

// shownDate is how a date is written.
const shownDate = "2006-01-02"

// date says when a date is none.
func (r *resolver) date(t Text) {
	if t.Text == "" {
		return
	}
	if _, err := time.Parse(shownDate, t.Text); err != nil {
		r.say(RuleText, t.At, "%q is no date; write year, month and day as \"2026-05-03\"", t.Text)
	}
}

// asMany says when a list has not as many readings as there are places.
func (r *resolver) asMany(who, what string, list, places []Value, at Place) {
	if list == nil {
		return
	}
	if len(list) > 0 {
		at = list[0].At
	}
	if len(list) != len(places) {
		word := "readings"
		if len(list) == 1 {
			word = "reading"
		}
		r.say(RuleGeometry, at, "%s: %d %s%s for %d places; give as many", who, len(list), word, what, len(places))
	}
}

// places says when places of readings are too few, or do not rise.
func (r *resolver) places(who string, list []Value, at Place) {
	if len(list) < 3 {
		r.say(RuleGeometry, at, "%s has %d places; three or more are expected", who, len(list))
	}
	for i := 1; i < len(list); i++ {
		if list[i].q.Value <= list[i-1].q.Value {
			r.say(RuleGeometry, list[i].At, "%s: place %d, %s, does not lie past the one before; give the places in order", who, i+1, list[i].Text)
			return
		}
	}
}

// readings checks what was read along the surfaces of an axis, and over its travel.
func (r *resolver) readings(e *Entry[Axis]) {
	for i := range e.Item.Guides {
		g := &e.Item.Guides[i]
		for k := range g.Item.Readings {
			pass := &g.Item.Readings[k]
			who := "readings " + pass.Name + " of rail " + g.Name + ", axis " + e.Name
			r.pass(who, &pass.Item, pass.At)
		}
	}
	for i := range e.Item.Across {
		a := &e.Item.Across[i]
		who := "readings " + a.Name + " across axis " + e.Name
		r.date(a.Item.Date)
		r.places(who, a.Item.Stations, a.At)
		r.asMany(who, "", a.Item.Read, a.Item.Stations, a.At)
		r.asMany(who, " turned", a.Item.Turned, a.Item.Stations, a.At)
		if len(e.Item.Guides) != 2 {
			r.say(RuleGeometry, a.At, "%s bridge two rails, and the axis has %d", who, len(e.Item.Guides))
		}
	}
	p := e.Item.Positioning
	if p == nil {
		return
	}
	r.date(p.Date)
	if len(p.Targets) < 3 {
		r.say(RuleGeometry, p.At, "positioning of axis %s has %d targets; three or more are expected, five a metre", e.Name, len(p.Targets))
	}
	for _, t := range p.Targets {
		if len(t.Up) < 2 || len(t.Down) < 2 {
			r.say(RuleGeometry, t.Position.At, "positioning of axis %s at %s: two approaches or more are expected from below and from above; there are %d and %d", e.Name, t.Position.Text, len(t.Up), len(t.Down))
		}
	}
}

// pass checks one pass of readings along a surface.
func (r *resolver) pass(who string, s *SurfaceReadings, at Place) {
	r.date(s.Date)
	switch {
	case s.Level != nil:
		if len(s.Level.Read) < 2 {
			r.say(RuleGeometry, at, "%s has %d readings; two or more are expected", who, len(s.Level.Read))
		}
		r.asMany(who, " turned", s.Level.Turned, s.Level.Read, at)
	case s.Straightedge != nil:
		r.places(who, s.Straightedge.At, at)
		r.asMany(who, "", s.Straightedge.Read, s.Straightedge.At, at)
		r.asMany(who, " turned", s.Straightedge.Turned, s.Straightedge.At, at)
	case s.Wire != nil:
		w := s.Wire
		r.places(who, w.At, at)
		r.asMany(who, "", w.Read, w.At, at)
		for _, v := range w.At {
			if from := v.q.Value - w.From.q.Value; from < 0 || from > w.Span.q.Value {
				r.say(RuleGeometry, v.At, "%s: place %s lies beyond the wire, which runs from %s to %s", who, v.Text, quantity.Print(w.From.q.Value, "mm"), quantity.Print(w.From.q.Value+w.Span.q.Value, "mm"))
				break
			}
		}
	case s.Indicator != nil:
		r.places(who, s.Indicator.At, at)
		r.asMany(who, "", s.Indicator.Read, s.Indicator.At, at)
	}
}

// measured reads what was measured.
func (r *resolver) measured() {
	seen := map[string]string{}
	for i := range r.m.Measured {
		e := &r.m.Measured[i]
		x := &e.Item
		r.date(x.Date)
		r.position("measured "+e.Name, x.Position)
		q, ok := r.read("measured "+e.Name, x.Read)
		if !ok {
			continue
		}
		x.Reading = Value{q: q, Text: x.Read.Text, At: x.Read.At, Given: true, path: x.Read.path, origin: x.Read.path}
		if x.Resolution.Text != "" {
			division, ok := r.read("resolution of measured "+e.Name, x.Resolution)
			if ok && division.Dim != q.Dim {
				r.say(RuleDimension, x.Resolution.At, "resolution of measured %s is %s, and what was read is %s", e.Name, division.Dim.Word(), q.Dim.Word())
			} else if half := division.Value / 2; ok && !q.Uncertain() {
				// Without an uncertainty of its own a reading is known to the nearest division.
				x.Reading.q.Low, x.Reading.q.High = q.Value-half, q.Value+half
			}
		} else if !q.Uncertain() {
			r.say(RuleMissingField, x.Read.At, "measured %s says neither its uncertainty nor the instrument's resolution; write %q or give `resolution`", e.Name, x.Read.Text+" ± 5 %")
		}
		what := x.Figure.Text + x.Value.Text
		if other, twice := seen[what]; twice && x.Value.Text != "" {
			r.say(RuleDuplicate, x.Value.At, "measured %s and %s both stand in place of %s; keep one of them, with an uncertainty that covers both", other, e.Name, what)
		}
		seen[what] = e.Name
	}
}

// read reads a quantity of any dimension.
func (r *resolver) read(who string, t Text) (quantity.Quantity, bool) {
	q, err := quantity.Parse(t.Text)
	if err != nil {
		r.say(RuleQuantity, t.At, "%s: %v", who, err)
		return q, false
	}
	return q, true
}

// assumeReadings fills in how straight what was measured along is.
func (m *Machine) assumeReadings() {
	for i := range m.Axes {
		for k := range m.Axes[i].Item.Guides {
			for n := range m.Axes[i].Item.Guides[k].Item.Readings {
				p := &m.Axes[i].Item.Guides[k].Item.Readings[n]
				const what, text = "straightness of what a surface was measured along", "20 µm ± 50 %"
				if s := p.Item.Straightedge; s != nil && s.Turned == nil {
					m.assume(&s.Straightness, quantity.Length, what, text, "from memory", p.At)
				}
				if s := p.Item.Indicator; s != nil {
					m.assume(&s.Straightness, quantity.Length, what, text, "from memory", p.At)
				}
			}
		}
	}
}

// Later reports whether a date is later than another; what has none is the earliest.
func (t Text) Later(than Text) bool { return t.Text > than.Text }

// Latest are the passes of one way along a rail's surface of the latest date.
func (g *Guide) Latest(lateral bool) []*Entry[SurfaceReadings] {
	return g.latest(func(s *SurfaceReadings) bool { return !s.Land() && s.Lateral() == lateral })
}

// LatestLand are the passes along the steel below a rail's resin of the latest date.
func (g *Guide) LatestLand() []*Entry[SurfaceReadings] {
	return g.latest(func(s *SurfaceReadings) bool { return s.Land() && !s.Lateral() })
}

func (g *Guide) latest(wanted func(*SurfaceReadings) bool) (list []*Entry[SurfaceReadings]) {
	for i := range g.Readings {
		p := &g.Readings[i]
		switch {
		case !wanted(&p.Item) || len(list) > 0 && list[0].Item.Date.Later(p.Item.Date):
			continue
		case len(list) > 0 && p.Item.Date.Later(list[0].Item.Date):
			list = list[:0]
		}
		list = append(list, p)
	}
	return slices.Clip(list)
}
