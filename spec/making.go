package spec

import (
	"slices"
	"strings"

	"ironbed/spec/quantity"
)

// assumeWelding fills in how bodies are welded, where there are members.
func (m *Machine) assumeWelding() {
	i := slices.IndexFunc(m.Bodies, func(e Entry[Body]) bool { return len(e.Item.Members) > 1 })
	if i < 0 {
		return
	}
	at := m.Bodies[i].At
	if m.Welding == nil {
		m.Welding = &Welding{}
		blank("weld", at, m.Welding)
	}
	w := m.Welding
	if w.Process.Text == "" {
		w.Process.Text = "stick"
	}
	usual := map[string][2]string{"stick": {"0.12 m/min ± 40 %", "0.2 ± 40 %"}, "wire": {"0.25 m/min ± 40 %", "0.3 ± 40 %"}}[w.Process.Text]
	m.assume(&w.Speed, quantity.Speed, "how fast a run of weld goes on, by "+w.Process.Text, usual[0], "common practice", at)
	m.assume(&w.ArcTime, quantity.Ratio, "share of the time of welding for which the arc burns, by "+w.Process.Text, usual[1], "common practice", at)
}

// assumeDoor fills in what bodies pass on their way.
func (m *Machine) assumeDoor() {
	if len(m.Bodies) == 0 {
		return
	}
	at := m.Bodies[0].At
	if m.Door == nil {
		m.Door = &Door{}
		blank("door", at, m.Door)
	}
	m.assume(&m.Door.Width, quantity.Length, "clear width of the door", "0.9 m", "common practice", at)
	m.assume(&m.Door.Height, quantity.Length, "clear height of the door", "2 m", "common practice", at)
}

// making checks what is said of the work.
func (r *resolver) making() {
	if w := r.m.Welding; w != nil && w.Stitch != nil && w.Stitch.Length.q.Value > w.Stitch.Pitch.q.Value {
		r.say(RuleGeometry, w.Stitch.Length.At, "stitches of %s at a pitch of %s overlap; the pitch is from the beginning of one to that of the next", w.Stitch.Length.Text, w.Stitch.Pitch.Text)
	}
	for i := range r.m.Fills {
		f := &r.m.Fills[i]
		if f.Item.Pour == nil {
			continue
		}
		for k := range f.Item.Pour.Conduits {
			r.conduit(f, &f.Item.Pour.Conduits[k])
		}
	}
}

// conduit checks that a conduit runs through members with its fill.
func (r *resolver) conduit(f *Entry[Fill], e *Entry[Conduit]) {
	if len(e.Item.Over) == 0 {
		r.say(RuleMissingField, e.At, "conduit %s runs through no member", e.Name)
	}
	for _, over := range e.Item.Over {
		body, members := r.m.Match(over.Text)
		b := r.m.Bodies.Find(body)
		_, name, dotted := strings.Cut(over.Text, ".")
		switch {
		case !dotted:
			r.say(RuleReference, over.At, "%q does not name its body; write \"body.%s\"", over.Text, over.Text)
		case b == nil:
			r.unknown(Text{Text: body, At: over.At}, "body", r.m.Bodies.Names())
		case len(members) == 0:
			r.unknown(Text{Text: name, At: over.At}, "member in body "+body, b.Members.Names())
		}
		for _, member := range members {
			if b.Members.Find(member).Fill.Text != f.Name {
				r.say(RuleReference, over.At, "conduit %s runs through %s.%s, which is not filled with %s; name members with this fill", e.Name, body, member, f.Name)
				return
			}
		}
	}
}
