package spec

import (
	"fmt"
	"math"
	"path"
	"strings"

	"ironbed/spec/quantity"
)

// A resolver checks that every name refers to something and that the bodies and
// axes make a machine.
type resolver struct {
	m           *Machine
	diagnostics []Diagnostic
}

// workMaterial checks the cutting data that the spec gives itself.
func (r *resolver) workMaterial(e *Entry[WorkMaterial]) {
	if w := &e.Item; w.LightDepth.q.Value > w.FullDepth.q.Value {
		r.say(RuleRange, w.LightDepth.At, "%s: a light cut of %s is deeper than a full one of %s", e.Name, w.LightDepth.Text, w.FullDepth.Text)
	}
	for _, edge := range []*Edge{e.Item.Carbide, e.Item.HighSpeedSteel} {
		if edge == nil {
			continue
		}
		if len(edge.FeedPerTooth) == 0 {
			r.say(RuleMissingField, edge.SurfaceSpeed.At, "%s: an edge needs a feed per tooth at one diameter at least; "+
				"give `feed_per_tooth`, as [{diameter: \"10 mm\", feed: \"0.03..0.08 mm\"}]", e.Name)
		}
		for i := 1; i < len(edge.FeedPerTooth); i++ {
			if a, b := edge.FeedPerTooth[i-1].Diameter, edge.FeedPerTooth[i].Diameter; b.q.Value <= a.q.Value {
				r.say(RuleRange, b.At, "%s: the diameters of `feed_per_tooth` must rise: %s comes after %s", e.Name, b.Text, a.Text)
			}
		}
	}
}

// resolve checks the machine and fills in what it leaves out.
func (m *Machine) resolve() []Diagnostic {
	r := &resolver{m: m}
	r.mount()
	for i := range m.Sections {
		r.section(&m.Sections[i])
		r.condition(&m.Sections[i])
	}
	for i := range m.WorkMaterials {
		r.workMaterial(&m.WorkMaterials[i])
	}
	r.supply()
	r.making()
	for i := range m.Fills {
		if f := &m.Fills[i]; f.Item.Bond.Text == "keyed" && f.Item.ShearKeys == nil {
			r.say(RuleGeometry, f.Item.Bond.At, "%s is keyed, and the spec does not say by what; give `shear_keys` with their diameter and pitch", f.Name)
		}
		if f := m.Fills[i].Item; f.Mix.Text != "" && m.Mix(f.Mix.Text) == nil {
			r.unknown(f.Mix, "mix", known(m.Mixes, KindMixes))
		}
		if f := &m.Fills[i]; len(f.Item.Hollows) > 0 && f.Item.Place.Text != "" && f.Item.Place.Text != "hollow" {
			r.say(RuleGeometry, f.Item.Hollows[0].At, "%s is in %s, and `hollows` names hollows; leave out one of the two", f.Name, f.Item.Place.Text)
		}
	}
	for i := range m.Bodies {
		r.body(&m.Bodies[i])
	}
	for i := range m.Joints {
		r.joint(&m.Joints[i])
	}
	for i := range m.Rails {
		if s := m.Rails[i].Item.Stock; s.Text != "" && FromCatalogue[Rail](KindRails, s.Text) == nil {
			r.unknown(s, "rail in the catalogue", CatalogueNames(KindRails))
		}
	}
	for _, s := range m.everySpindle() {
		if s.Class.Text != "" && FromCatalogue[Shaft](KindSpindles, s.Class.Text) == nil {
			r.unknown(s.Class, "class of spindle in the catalogue", CatalogueNames(KindSpindles))
		}
	}
	for i := range m.Axes {
		r.axis(&m.Axes[i])
		r.readings(&m.Axes[i])
	}
	if len(r.diagnostics) == 0 {
		for i := range m.Bodies {
			r.together(&m.Bodies[i])
		}
	}
	r.envelope()
	if len(r.diagnostics) == 0 {
		r.chain()
	}
	for i := range m.Chains {
		r.cableChain(&m.Chains[i])
	}
	r.tools()
	r.trials()
	r.measuredModes()
	r.measured()
	if len(r.diagnostics) == 0 {
		r.twiceWeighed()
	}
	if len(r.diagnostics) == 0 {
		m.leaveOut()
		m.assumeAll()
	}
	return r.diagnostics
}

func (r *resolver) say(rule string, at Place, format string, args ...any) {
	r.diagnostics = append(r.diagnostics, Diagnostic{Rule: rule, At: at, Message: fmt.Sprintf(format, args...)})
}

// doubt says what is hardly meant, though the machine can be compiled with it.
func (r *resolver) doubt(rule string, at Place, format string, args ...any) {
	r.m.Unlikely = append(r.m.Unlikely, Diagnostic{Rule: rule, At: at, Message: fmt.Sprintf(format, args...)})
}

// unknown reports a name that refers to nothing, or a pattern that no name is like, with
// the nearest known one. What may say where: "node in body bed".
func (r *resolver) unknown(name Text, what string, known []string) {
	kind, where, _ := strings.Cut(what, " in ")
	message := fmt.Sprintf("there is no %s %q", kind, name.Text)
	if where != "" {
		message += " in " + where
	}
	if strings.ContainsAny(name.Text, "*?[") {
		known = likePatterns(known)
	}
	message += instead(name.Text, known, where != "")
	r.diagnostics = append(r.diagnostics, Diagnostic{Rule: RuleReference, At: name.At, Message: message})
}

// instead says what a name may have been meant to be: the nearest of the known ones, or which there are; of those of a body
// or the spec alone, not of a catalogue, some of many.
func instead(name string, known []string, some bool) string {
	near := Nearest(name, known)
	var begin []string
	for _, k := range known {
		if len(name) >= 3 && strings.HasPrefix(strings.ToLower(k), strings.ToLower(name)) {
			begin = append(begin, k)
		}
	}
	switch {
	case len(begin) > 1 && len(begin) <= 12:
		message := fmt.Sprintf("; there are %q", begin[0])
		for i, k := range begin[1:] {
			sep := ","
			if i == len(begin)-2 {
				sep = " and"
			}
			message += fmt.Sprintf("%s %q", sep, k)
		}
		return message
	case near != "":
		return fmt.Sprintf("; did you mean %q", near)
	case len(known) == 0:
		return "; the spec has none"
	case len(known) == 1:
		return fmt.Sprintf("; there is only %q", known[0])
	case len(known) <= 12:
		return "; there are " + strings.Join(known, ", ")
	case some:
		return fmt.Sprintf("; it has %s and %d more", strings.Join(known[:6], ", "), len(known)-6)
	}
	return "; `ironbed catalogue` lists what there is"
}

// filledApart refuses a fill that is to act together with parts that are not joined all along: how much of
// the joint the fill then makes is not computed.
func (r *resolver) filledApart(who string, m *Member) {
	s, f := r.m.Sections.Find(m.Section.Text), r.m.Fills.Find(m.Fill.Text)
	if s == nil || f == nil || s.BuiltUp == nil || f.Bond.Text == "loose" {
		return
	}
	if joined := s.BuiltUp.Joined.Text; joined == "stitched" || joined == "loose" {
		r.say(RuleGeometry, m.Fill.At, "%s: the section %s has parts that are %s, and the fill %s is %s; what such a fill adds is computed for parts "+
			"that are welded along their whole length: weld them so, or say `bond: \"loose\"`, which counts the fill's mass alone",
			who, m.Section.Text, joined, m.Fill.Text, f.Bond.Text)
	}
}

// cell says when a plate is not a member of cells, or cells are of what is no plate.
func (r *resolver) cell(who string, m *Member) {
	for _, word := range []Text{m.FromTrim, m.ToTrim} {
		if m.Cell != nil && word.Text != "" {
			r.say(RuleGeometry, word.At, "%s: a cell of a plate is cut in one piece with the others; leave its trim out", who)
		}
	}
	s := r.m.Sections.Find(m.Section.Text)
	switch {
	case s == nil:
	case s.Plate == nil && m.Cell != nil:
		r.say(RuleGeometry, m.Section.At, "%s: the section %s of a plate's cells is no plate; give `plate: {thickness: ...}` there", who, m.Section.Text)
	case s.Plate != nil && m.Cell == nil:
		r.say(RuleGeometry, m.Section.At, "%s: the section %s is a plate, which bends both ways; make a grid of its cells with the template `#Plate`, "+
			"or give a `bar` for a strip of it", who, m.Section.Text)
	case s.Plate != nil && m.Fill.Text != "":
		r.say(RuleGeometry, m.Fill.At, "%s: a cell of a plate has no hollow to fill", who)
	}
}

func (r *resolver) body(e *Entry[Body]) {
	b := &e.Item
	node := func(name Text) bool {
		if b.Nodes.Find(name.Text) == nil {
			r.unknown(name, "node in body "+e.Name, b.Nodes.Names())
			return false
		}
		return true
	}
	type pair struct {
		one, other string
		cell       bool
	}
	seen := map[pair]string{}
	made := map[Place]int{} // members, by where they are written
	for i := range b.Members {
		made[b.Members[i].At]++
	}
	for i := range b.Members {
		m := &b.Members[i]
		from, to := node(m.Item.From), node(m.Item.To)
		if r.m.Sections.Find(m.Item.Section.Text) == nil {
			r.unknown(m.Item.Section, "section", r.m.Sections.Names())
		}
		if m.Item.Fill.Text != "" && r.m.Fills.Find(m.Item.Fill.Text) == nil {
			r.unknown(m.Item.Fill, "fill", r.m.Fills.Names())
		}
		who := "member " + e.Name + "." + m.Name
		if made[m.At] > 1 { // by a template or a pattern: what is wrong with one is so with all, and is said once
			who = "members of body " + e.Name
		}
		r.filledApart(who, &m.Item)
		r.cell(who, &m.Item)
		if !from || !to {
			continue
		}
		if m.Item.From.Text == m.Item.To.Text {
			r.say(RuleGeometry, m.Item.To.At, "member %s.%s starts and ends at node %s", e.Name, m.Name, m.Item.To.Text)
			continue
		}
		// A rib of a plate joins two nodes that a side of a cell joins too.
		ends := pair{min(m.Item.From.Text, m.Item.To.Text), max(m.Item.From.Text, m.Item.To.Text), m.Item.Cell != nil}
		if other, ok := seen[ends]; ok {
			r.say(RuleDuplicate, m.At, "member %s.%s joins the same two nodes as member %s", e.Name, m.Name, other)
		}
		seen[ends] = m.Name
		if b.lengthSquared(m.Item) < 1e-12 {
			r.say(RuleGeometry, m.At, "member %s.%s has no length: its ends lie at the same point", e.Name, m.Name)
		}
	}
	for _, m := range b.Masses {
		node(m.Item.Node)
	}
	for _, f := range b.Feet {
		node(f.Item.Node)
	}
	for _, s := range b.Supports {
		node(Text{Text: s.Name, At: s.At})
	}
	for _, l := range b.Links {
		if node(Text{Text: l.Name, At: l.At}) {
			node(l.Item)
		}
	}
	r.links(e)
}

// lengthSquared returns the square of a member's length between its ends [m2].
func (b *Body) lengthSquared(m Member) float64 {
	from, to := b.Nodes.Find(m.From.Text), b.Nodes.Find(m.To.Text)
	sum := 0.0
	for k := range 3 {
		d := to[k].q.Value + m.ToOffset[k].q.Value - from[k].q.Value - m.FromOffset[k].q.Value
		sum += d * d
	}
	return sum
}

// links checks that no node carries itself round a loop.
func (r *resolver) links(e *Entry[Body]) {
	carrier := map[string]string{}
	for _, l := range e.Item.Links {
		carrier[l.Name] = l.Item.Text
	}
	for _, l := range e.Item.Links {
		at := l.Name
		for range len(carrier) + 1 {
			next, ok := carrier[at]
			if !ok {
				break
			}
			if next == l.Name {
				r.say(RuleReference, l.At, "node %s.%s is carried by itself, round a loop of links", e.Name, l.Name)
				break
			}
			at = next
		}
	}
}

// node checks a reference "body.node".
func (r *resolver) node(ref Text) bool {
	body, name, ok := strings.Cut(ref.Text, ".")
	if !ok {
		r.say(RuleReference, ref.At, "%q does not name its body; write \"body.%s\"", ref.Text, ref.Text)
		return false
	}
	b := r.m.Bodies.Find(body)
	if b == nil {
		r.unknown(Text{Text: body, At: ref.At}, "body", r.m.Bodies.Names())
		return false
	}
	if b.Nodes.Find(name) == nil {
		r.unknown(Text{Text: name, At: ref.At}, "node in body "+body, b.Nodes.Names())
		return false
	}
	return true
}

func (r *resolver) joint(e *Entry[Joint]) {
	j := &e.Item
	for i, ref := range j.Between {
		if ref.Text == "floor" {
			if i == 0 {
				r.say(RuleReference, ref.At, "joint %s: name the node first and \"floor\" second", e.Name)
			}
			continue
		}
		r.node(ref)
	}
	if one, other := j.Between[0], j.Between[1]; one.Text == other.Text {
		r.say(RuleGeometry, other.At, "joint %s holds %s to itself; name the node on the other side", e.Name, one.Text)
	}
	given := 0
	for _, is := range []bool{j.Rigid, j.Stiffness != nil, j.Bolted != nil, j.Bonded != nil} {
		if is {
			given++
		}
	}
	switch {
	case given > 1:
		r.say(RuleChoice, j.Between[0].At, "joint %s is given in more ways than one; one of stiffness, bolted, bonded and rigid is expected", e.Name)
	case j.Rigid && j.Between[1].Text == "floor":
		r.say(RuleReference, j.Between[1].At, "joint %s holds a node rigidly to the floor; write that as a support of the body", e.Name)
	case given == 0:
		r.say(RuleMissingField, e.At, "joint %s has no stiffness; give it one, or bolts, or a bonded layer, or rigid: true", e.Name)
	}
	if j.Bolted != nil {
		r.bolts(e)
	}
	for _, d := range j.Axes {
		r.direction(d)
	}
}

// bolts checks that bolts have places of their own, and something to clamp.
func (r *resolver) bolts(e *Entry[Joint]) {
	b := e.Item.Bolted
	if len(b.Places) == 0 || len(b.Layers) < 2 {
		r.say(RuleGeometry, e.At, "joint %s needs a place for each bolt, and two layers at least that they clamp", e.Name)
	}
	size := 0.0
	if _, err := fmt.Sscanf(b.Size.Text, "M%g", &size); err != nil {
		return // the schema has said so
	}
	for i, p := range b.Places {
		for k, other := range b.Places[:i] {
			if apart := math.Hypot(middle(p.X)-middle(other.X), middle(p.Y)-middle(other.Y)); apart < size*1e-3 {
				r.say(RuleGeometry, p.X.At, "joint %s: bolt %d stands %s from bolt %d, and two %s are %s apart at least",
					e.Name, i+1, quantity.Print(apart, "mm"), k+1, b.Size.Text, quantity.Print(size*1e-3, "mm"))
			}
		}
	}
}

func (r *resolver) direction(d Direction) {
	if d.Given && d.XYZ == [3]float64{} {
		r.say(RuleRange, d.At, "a direction of no length")
	}
}

// Match returns the members "body.member" that a pattern such as "bed.left_*"
// names, in the order of the spec.
func (m *Machine) Match(pattern string) (body string, members []string) {
	body, glob, _ := strings.Cut(pattern, ".")
	if b := m.Bodies.Find(body); b != nil {
		for _, e := range b.Members {
			if ok, err := path.Match(glob, e.Name); ok && err == nil {
				members = append(members, e.Name)
			}
		}
	}
	return body, members
}

// MatchNodes returns the nodes of a body that a pattern such as "t_*" names, in
// the order of the spec.
func (b *Body) MatchNodes(pattern string) []string {
	var list []string
	for _, e := range b.Nodes {
		if ok, err := path.Match(pattern, e.Name); ok && err == nil {
			list = append(list, e.Name)
		}
	}
	return list
}
