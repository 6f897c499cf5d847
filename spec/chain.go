package spec

import (
	"math"
	"slices"
	"strings"
)

func (r *resolver) axis(e *Entry[Axis]) {
	a := &e.Item
	known := true
	for _, name := range []Text{a.Moves, a.On} {
		if r.m.Bodies.Find(name.Text) == nil {
			r.unknown(name, "body", r.m.Bodies.Names())
			known = false
		}
	}
	if known && a.Moves.Text == a.On.Text {
		r.say(RuleAxisChain, a.On.At, "axis %s moves %s on itself", e.Name, a.Moves.Text)
		known = false
	}
	r.direction(a.Direction)
	if !a.Travel.Given && r.m.Envelope.Find(e.Name) == nil {
		r.say(RuleMissingField, e.At, "axis %s has no travel, and the envelope has no %s; a length such as \"1600 mm\" is expected", e.Name, e.Name)
	}
	if len(a.Guides) == 0 {
		r.say(RuleMissingField, e.At, "axis %s has no guides; name its rails and carriages", e.Name)
	}
	if !known {
		return // where its rails and screws sit cannot be judged
	}
	for i := range a.Guides {
		r.guide(e, &a.Guides[i])
		for _, c := range a.Guides[i].Item.Carriages {
			for k := range a.Guides[:i] {
				for _, other := range a.Guides[k].Item.Carriages {
					if other.Text == c.Text {
						r.say(
							RuleDuplicate,
							c.At,
							"carriage %s is on two rails of axis %s, %s and %s; name the carriages of this one",
							c.Text,
							e.Name,
							a.Guides[k].Name,
							a.Guides[i].Name,
						)
					}
				}
			}
		}
	}
	if d := a.Direction.XYZ; a.Counterweight.Given && d[2] == 0 {
		r.say(RuleGeometry, a.Counterweight.At, "axis %s is horizontal and carries no weight along its travel; a counterweight belongs to a vertical axis", e.Name)
	}
	for _, drives := range []Map[Drive]{a.Drives, a.Alternatives} {
		for i := range drives {
			r.drive(e, &drives[i])
		}
	}
	if a.PositionLoop != nil {
		for _, d := range a.Drives {
			if m := d.Item.Motor; m != nil && m.Stepper != nil {
				r.say(RuleChoice, a.PositionLoop.Gain.At, "axis %s has a stepper, which has no position loop; take `position_loop` out", e.Name)
				break
			}
		}
	}
	r.crossShaft(e)
	r.duty(e)
	r.covers(e)
}

// twoBodies checks that two things sit one on each of the axis's bodies.
func (r *resolver) twoBodies(e *Entry[Axis], at Text, one, other, oneIs, otherIs string) {
	moves, on := e.Item.Moves.Text, e.Item.On.Text
	if (one == moves && other == on) || (one == on && other == moves) {
		return
	}
	r.say(RuleAxisChain, at.At, "axis %s moves %s on %s, but %s is on %s and %s on %s",
		e.Name, moves, on, oneIs, one, otherIs, other)
}

func (r *resolver) guide(e *Entry[Axis], g *Entry[Guide]) {
	if r.m.Rails.Find(g.Item.Rail.Text) == nil {
		r.unknown(g.Item.Rail, "kind of rail", r.m.Rails.Names())
	}
	r.direction(g.Item.Normal)
	railBody := ""
	for _, over := range g.Item.Over {
		body, members := r.m.Match(over.Text)
		b := r.m.Bodies.Find(body)
		switch {
		case !strings.Contains(over.Text, "."):
			r.say(RuleReference, over.At, "%q does not name its body; write \"body.%s\"", over.Text, over.Text)
		case b == nil:
			r.unknown(Text{Text: body, At: over.At}, "body", r.m.Bodies.Names())
		case len(members) == 0:
			_, name, _ := strings.Cut(over.Text, ".")
			r.unknown(Text{Text: name, At: over.At}, "member in body "+body, b.Members.Names())
		case railBody != "" && body != railBody:
			r.say(RuleAxisChain, over.At, "guide %s lies over two bodies, %s and %s", g.Name, railBody, body)
		default:
			railBody = body
		}
	}
	if len(g.Item.Over) == 0 {
		r.say(RuleMissingField, g.At, "guide %s lies over no member", g.Name)
	}
	if len(g.Item.Carriages) == 0 {
		r.say(RuleMissingField, g.At, "guide %s has no carriages", g.Name)
	}
	for i, c := range g.Item.Carriages {
		for _, other := range g.Item.Carriages[:i] {
			if other.Text == c.Text {
				r.say(RuleDuplicate, c.At, "carriage %s is named twice", c.Text)
			}
		}
		if r.node(c) && railBody != "" {
			body, _, _ := strings.Cut(c.Text, ".")
			r.twoBodies(e, c, body, railBody, "the carriage", "the rail")
		}
	}
}

// envelope checks that every travel of the envelope belongs to an axis.
func (r *resolver) envelope() {
	if len(r.m.Axes) == 0 {
		return
	}
	for _, e := range r.m.Envelope {
		if r.m.Axes.Find(e.Name) == nil {
			r.unknown(Text{Text: e.Name, At: e.At}, "axis", r.m.Axes.Names())
		}
	}
}

// chain checks that the axes make a tree that stands on the floor: no body is
// moved by two axes, none moves itself round a loop, none hangs in the air.
func (r *resolver) chain() {
	carrier := map[string]*Entry[Axis]{}
	for i := range r.m.Axes {
		e := &r.m.Axes[i]
		moves := e.Item.Moves
		if other, ok := carrier[moves.Text]; ok {
			r.diagnostics = append(r.diagnostics, Diagnostic{Rule: RuleAxisChain, At: moves.At,
				Message: "axis " + e.Name + " moves " + moves.Text + ", which axis " + other.Name + " moves already; put a body between them",
				Notes:   []Remark{{"it is moved here first", other.Item.Moves.At}}})
			continue
		}
		carrier[moves.Text] = e
	}
	for i := range r.m.Axes {
		e := &r.m.Axes[i]
		seen := []string{e.Item.Moves.Text}
		for at := e; at != nil; at = carrier[at.Item.On.Text] {
			if slices.Contains(seen, at.Item.On.Text) {
				if at.Item.On.Text == e.Item.Moves.Text {
					r.say(RuleAxisChain, e.Item.On.At, "the axes go round a loop: %s", strings.Join(append(seen, at.Item.On.Text), " on "))
				}
				break
			}
			seen = append(seen, at.Item.On.Text)
		}
	}
	if len(r.diagnostics) == 0 {
		r.standing()
	}
}

// standing checks that every body is held up by something.
func (r *resolver) standing() {
	held := map[string]bool{}
	for _, b := range r.m.Bodies {
		if len(b.Item.Feet) > 0 || len(b.Item.Supports) > 0 {
			held[b.Name] = true
		}
	}
	join := func(a, b string) bool {
		if a == "" || b == "" {
			held[a], held[b] = true, true
		}
		if held[a] == held[b] {
			return false
		}
		held[a], held[b] = true, true
		return true
	}
	for changed := true; changed; {
		changed = false
		for _, a := range r.m.Axes {
			changed = join(a.Item.Moves.Text, a.Item.On.Text) || changed
		}
		for _, j := range r.m.Joints {
			var ends [2]string
			for i, ref := range j.Item.Between {
				if ref.Text != "floor" {
					ends[i], _, _ = strings.Cut(ref.Text, ".")
				}
			}
			if ends[0] == "" || ends[1] == "" {
				body := ends[0] + ends[1]
				if !held[body] {
					held[body] = true
					changed = true
				}
				continue
			}
			changed = join(ends[0], ends[1]) || changed
		}
	}
	moved := map[string]bool{}
	for _, a := range r.m.Axes {
		moved[a.Item.Moves.Text] = true
	}
	feet, otherwise := 0, false
	for _, b := range r.m.Bodies {
		feet += len(b.Item.Feet)
		otherwise = otherwise || len(b.Item.Supports) > 0
		if moved[b.Name] && len(b.Item.Feet) > 0 {
			for _, a := range r.m.Axes {
				if a.Item.Moves.Text == b.Name {
					r.say(
						RuleAxisChain,
						a.Item.Moves.At,
						"axis %s moves %s, which stands on feet; change `moves` and `on` round, or take the feet off",
						a.Name,
						b.Name,
					)
				}
			}
		}
	}
	for _, j := range r.m.Joints {
		otherwise = otherwise || j.Item.Between[0].Text == "floor" || j.Item.Between[1].Text == "floor"
	}
	if feet > 0 && feet < 3 && !otherwise && len(r.m.Axes) > 0 {
		r.say(RuleGeometry, r.m.Bodies[0].At, "the machine stands on fewer than three feet (%d); three that do not lie in one line are needed", feet)
	}
	for _, b := range r.m.Bodies {
		// A body that an axis carries hangs by the one that it stands on.
		if !held[b.Name] && !moved[b.Name] {
			r.say(RuleAxisChain, b.At, "body %s hangs in the air: no axis moves it, no joint holds it, and it has no feet", b.Name)
		}
	}
}

// mostLips is how many lips a drill is computed with at most.
const mostLips = 10

// spindle checks a spindle.
func (r *resolver) spindle(s *Spindle) {
	r.node(s.Node)
	r.direction(s.ToolDirection)
	if s.MinSpeed.q.Value > s.MaxSpeed.q.Value {
		r.say(RuleRange, s.MinSpeed.At, "the slowest speed %s is above the fastest %s", s.MinSpeed.Text, s.MaxSpeed.Text)
	}
	for i := 1; i < len(s.Torque); i++ {
		if s.Torque[i].Speed.q.Value <= s.Torque[i-1].Speed.q.Value {
			r.say(
				RuleRange,
				s.Torque[i].Speed.At,
				"the torque curve's speeds must rise: %s comes after %s",
				s.Torque[i].Speed.Text,
				s.Torque[i-1].Speed.Text,
			)
		}
	}
	if n := len(s.Torque); n >= 2 && (s.Torque[n-1].Speed.q.Value < s.MinSpeed.q.Value || s.Torque[0].Speed.q.Value > s.MaxSpeed.q.Value) {
		r.say(
			RuleRange,
			s.Torque[0].Speed.At,
			"the torque curve runs from %s to %s, and the spindle from %s to %s; they have no speed in common",
			s.Torque[0].Speed.Text,
			s.Torque[n-1].Speed.Text,
			s.MinSpeed.Text,
			s.MaxSpeed.Text,
		)
	}
	if len(s.Torque) < 2 {
		r.say(RuleMissingField, s.At, "the spindle's torque needs two points or more, from its slowest speed to its fastest")
	}
}

// tools checks the spindle, the cutters, the workpiece and the targets.
func (r *resolver) tools() {
	for _, s := range r.m.everySpindle() {
		r.spindle(s)
	}
	for _, c := range r.m.Cutters {
		switch corner, kind := c.Item.Corner, c.Item.Kind.Text; {
		case kind == "corner radius" && !corner.Given:
			r.say(RuleMissingField, c.At, "cutter %s has no `corner`; give its corner radius", c.Name)
		case kind != "corner radius" && corner.Given:
			r.say(RuleGeometry, corner.At, "cutter %s has no corner radius; take `corner` out, or make it `kind: \"corner radius\"`", c.Name)
		case corner.Given && corner.q.Value > c.Item.Diameter.q.Value/2:
			r.say(RuleGeometry, corner.At, "cutter %s: a corner of %s is more than half of its %s", c.Name, corner.Text, c.Item.Diameter.Text)
		}
		if n := c.Item.Teeth; c.Item.Kind.Text == "drill" && n.N > mostLips {
			r.say(RuleRange, n.At, "cutter %s: a drill of %d teeth; 1 to %d is expected", c.Name, n.N, mostLips)
		}
		if out := c.Item.StickOut; out.q.Value > 15*c.Item.Diameter.q.Value {
			r.doubt(RuleUnlikely, out.At, "%s stands %s out of its holder, %.0f times its diameter; is its unit right, and its point in its place?",
				c.Name, out.Text, out.q.Value/c.Item.Diameter.q.Value)
		}
		if f := c.Item.FluteLength; f.Given && f.q.Value > c.Item.StickOut.q.Value*(1+1e-9) {
			r.say(RuleGeometry, f.At, "cutter %s: the flutes of %s are longer than the stick-out of %s", c.Name, f.Text, c.Item.StickOut.Text)
		}
	}
	for _, s := range r.m.everySpindle() {
		w := r.m.Workpiece
		if w == nil {
			break
		}
		if body, _, _ := strings.Cut(s.Node.Text, "."); body == w.On.Text && len(r.m.Axes) > 0 {
			r.say(RuleGeometry, w.On.At, "the workpiece is on %s, which carries the spindle; name the body that the workpiece is clamped to", body)
		}
	}
	if w := r.m.Workpiece; w != nil {
		if b := r.m.Bodies.Find(w.On.Text); b == nil {
			r.unknown(w.On, "body", r.m.Bodies.Names())
		} else {
			for _, n := range w.Nodes {
				if len(b.MatchNodes(n.Text)) == 0 {
					r.unknown(n, "node in body "+w.On.Text, b.Nodes.Names())
				}
			}
			for _, c := range w.Clamps {
				if b.Nodes.Find(c.Item.Node.Text) == nil {
					r.unknown(c.Item.Node, "node in body "+w.On.Text, b.Nodes.Names())
				}
			}
			if len(w.Nodes) == 0 {
				r.say(RuleMissingField, w.On.At, "the workpiece rests on no node of %s", w.On.Text)
			}
		}
	}
	for _, t := range r.m.Targets {
		if r.m.WorkMaterial(t.Item.Material.Text) == nil {
			r.unknown(t.Item.Material, "material to cut", known(r.m.WorkMaterials, KindWorkMaterials))
		}
		if t.Item.Cutters != nil && len(t.Item.Cutters) == 0 {
			r.say(RuleMissingField, t.At, "target %s names no cutter; take `cutters` out to have all of them tried", t.Name)
		}
		for _, c := range t.Item.Cutters {
			if r.m.Cutters.Find(c.Text) == nil {
				r.unknown(c, "cutter", r.m.Cutters.Names())
			}
		}
	}
}

// position checks where something puts the axes.
func (r *resolver) position(what string, position Map[Value]) {
	for _, p := range position {
		axis := r.m.Axes.Find(p.Name)
		if axis == nil {
			r.unknown(Text{Text: p.Name, At: p.At}, "axis", r.m.Axes.Names())
			continue
		}
		travel := axis.Travel
		if v := r.m.Envelope.Find(p.Name); !travel.Given && v != nil {
			travel = *v
		}
		if p.Item.q.Value < -1e-9 || p.Item.q.Value > travel.q.Value+1e-9 {
			r.say(RuleRange, p.Item.At, "%s puts axis %s at %s, outside its travel of %s", what, p.Name, p.Item.Text, travel.Text)
		}
	}
}

// measuredModes checks what measured modes refer to.
func (r *resolver) measuredModes() {
	for _, e := range r.m.MeasuredModes {
		if r.m.Spindle == nil || r.m.Workpiece == nil {
			r.say(RuleMissingField, e.At, "measured mode %s has no computed mode: modes are computed between the cutter and the workpiece; "+
				"give `spindle` and `workpiece`, or take it out", e.Name)
		}
		r.position("measured mode "+e.Name, e.Item.Position)
		if h := e.Item.HalfPower; h != nil && h.Below.q.High >= h.Above.q.Low {
			r.say(RuleRange, h.Above.At, "measured mode %s: %s above the peak is no more than %s below it, within their uncertainty", e.Name, h.Above.Text, h.Below.Text)
		}
	}
}

// trials checks what trials refer to.
func (r *resolver) trials() {
	for i := range r.m.Trials {
		t := &r.m.Trials[i]
		r.position("trial "+t.Name, t.Item.Position)
		r.date(t.Item.Date)
		for k := range t.Item.Reads { // without an uncertainty of its own a reading is known to the nearest division
			if v := &t.Item.Reads[k].Item.Read; v.Given && !v.Uncertain() && t.Item.Resolution.Given {
				half := t.Item.Resolution.q.Value / 2
				v.q.Low, v.q.High = v.q.Value-half, v.q.Value+half
			}
		}
		for _, d := range t.Item.Reads {
			if along := d.Item.Along.Text; d.Item.Read.Given && len(along) == 2 {
				r.say(
					RuleKind,
					d.Item.Read.At,
					"reading %s turns about %s, and `read` is a length; read a dial at an arm, or take this line out",
					d.Name,
					along[1:],
				)
			}
		}
		for _, l := range t.Item.Loads {
			r.node(l.Item.Node)
			if math.Abs(norm(l.Item.Force))+math.Abs(norm(l.Item.Moment)) == 0 {
				r.say(RuleRange, l.At, "trial %s: load %s pushes with nothing; give it a force or a moment", t.Name, l.Name)
			}
		}
		for _, d := range t.Item.Reads {
			r.node(d.Item.Node)
			if d.Item.Against.Text != "" {
				r.node(d.Item.Against)
			}
		}
	}
}

func norm(v Vector) float64 {
	x := v.xyz()
	return math.Hypot(math.Hypot(x[0], x[1]), x[2])
}

// CarriedBy returns a body and every body that it carries by axes, in the order
// of the spec.
func (m *Machine) CarriedBy(body string) []string {
	carried := map[string]bool{body: true}
	for changed := true; changed; {
		changed = false
		for _, a := range m.Axes {
			if carried[a.Item.On.Text] && !carried[a.Item.Moves.Text] {
				carried[a.Item.Moves.Text] = true
				changed = true
			}
		}
	}
	var list []string
	for _, b := range m.Bodies {
		if carried[b.Name] {
			list = append(list, b.Name)
		}
	}
	return list
}
