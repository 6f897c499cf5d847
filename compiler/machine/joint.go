package machine

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/joint"
	"ironbed/compiler/section"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// FixedPart is the part of the joint that holds a node of a member's end.
func (d *Model) FixedPart(node int) int {
	for i := range d.Fixed {
		if d.Fixed[i].B.Node == node {
			return d.Fixed[i].Part
		}
	}
	return -1
}

// barely is how much stiffer than the member beside it a joint counts as rigid [-].
const barely = 1e4

// addEnds makes the springs of a member's flexible ends with the nodes that they hang on.
func (d *Model) addEnds(b *Bar) error {
	for which, end := range [2]*spec.End{b.Member.FromEnd, b.Member.ToEnd} {
		b.End[which] = -1
		if b.Zones[which].Kind == HollowZone {
			d.addFace(b, which)
		}
		if end == nil {
			continue
		}
		node := [2]spec.Text{b.Member.From, b.Member.To}[which]
		out := r3.Scale([2]float64{1, -1}[which], r3.Unit(r3.Sub(b.To, b.From))) // from the joint into the member
		body := d.Spec.Bodies[b.Body].Name
		h := Hinge{Name: b.Name + " at " + node.Text, Place: end.At}
		h.part = d.addPart(part{name: "joint of " + h.Name, group: "joints of " + body, kind: JointPart, body: body, At: end.At})
		own := d.reading(h.part)
		h.Log = own.Log()
		h.Log.Rest(b.Section.Log, b.Lies)
		var err error
		switch {
		case end.OnFace != nil:
			err = d.onFace(&h, b, which, end.OnFace, out, own)
		case end.Mitre != nil:
			err = d.mitre(&h, b, end.Mitre, node, out, own)
		case end.Open != nil:
			err = openEnd(&h, b, end.Open, out, own)
		}
		if err != nil {
			at := end.At
			var line *misfit
			if errors.As(err, &line) {
				at = line.at
			}
			return &Refused{Rule: "joint", At: at, Message: fmt.Sprintf("the end of %s at %s: %v", b.Name, node.Text, err)}
		}
		h.Fixed = len(d.Fixed)
		d.spring(b, which, h.Axes, h.K, own, h.part)
		d.Hinges = append(d.Hinges, h)
	}
	return nil
}

// hollowOfBar is a bar's section as a rectangular hollow.
func hollowOfBar(f Filled) (section.HollowRectangle, error) {
	h, ok := f.Shape.(section.HollowRectangle)
	if !ok {
		return h, fmt.Errorf("this kind of joint is computed for rectangular hollow sections, and the section is %s", f.Words)
	}
	return h, nil
}

// steelOf is a section's material as the joints see it.
func steelOf(f Filled) joint.Material { return jointed(f.Material) }

// sides are a hollow section's outer sizes along two directions perpendicular to the
// member.
func sides(h section.HollowRectangle, orient, along r3.Vec) (wide float64) {
	if math.Abs(r3.Dot(orient, along)) > math.Sqrt2/2 {
		return h.Height
	}
	return h.Width
}

// onFace is a branch on the face of a hollow member, as the spec describes it.
func (d *Model) onFace(h *Hinge, b *Bar, which int, end *spec.OnFace, out r3.Vec, read spec.Reader) error {
	body := &d.Spec.Bodies[b.Body]
	on, known := d.ByName[body.Name+"."+end.Member.Text]
	if !known {
		return fmt.Errorf("there is no member %s in body %s; there are %s", end.Member.Text, body.Name, strings.Join(body.Item.Members.Names(), ", "))
	}
	h.Log.Rest(d.Bars[on].Section.Log)
	j, axes, err := d.hollowFace(b, which, &d.Bars[on], out, read)
	if err != nil {
		return err
	}
	j.Length = read.Of(end.KeepsShape)
	if p := end.Doubler; p != nil {
		j.Doubler = joint.Doubler{Thickness: read.Of(p.Thickness), Width: j.Width, Length: 2 * j.BranchLength}
		if p.Width.Given {
			j.Doubler.Width = read.Of(p.Width)
		}
		if p.Length.Given {
			j.Doubler.Length = read.Of(p.Length)
		}
	}
	if end.InnerPlates.Given {
		t := read.Of(end.InnerPlates)
		j.Plates = []joint.InnerPlate{{At: (j.BranchLength - j.BranchWall) / 2, Thickness: t}}
	}
	if err := fits(&j, end); err != nil {
		return err
	}
	s, err := springsOf(j)
	if err != nil {
		return err
	}
	h.What = "on the face of " + body.Name + "." + end.Member.Text
	h.Axes = axes
	h.K = faceSprings(s, b.Span())
	h.violations(s.Violations)
	return nil
}

// faceSprings are the springs of a face along and about its axes, under a branch that is so long.
func faceSprings(s joint.Springs, span float64) [6]joint.Bounds {
	return [6]joint.Bounds{0: s.Axial, 3: s.Torsion, 4: s.OutOfPlaneUnder(span), 5: s.InPlane}
}

// hollowFace is a branch of hollow section on the middle of the face of a hollow member, without plates; with its axes: along the
// branch, along the member and across its face.
func (d *Model) hollowFace(b *Bar, end int, against *Bar, out r3.Vec, read spec.Reader) (j joint.HollowJoint, axes [3]r3.Vec, err error) {
	f := against.Section
	name := strings.TrimPrefix(against.Name, d.Spec.Bodies[against.Body].Name+".")
	chord, err := hollowOfBar(f)
	if err != nil {
		return j, axes, fmt.Errorf("member %s: %w", name, err)
	}
	branch, err := hollowOfBar(b.Section)
	if err != nil {
		return j, axes, err
	}
	along := r3.Unit(r3.Sub(against.To, against.From))
	lean := math.Acos(math.Min(1, math.Abs(r3.Dot(along, out))))
	square := r3.Sub(along, r3.Scale(r3.Dot(along, out), out))
	if r3.Norm(square) < 0.3 {
		return j, axes, fmt.Errorf("it is parallel to member %s instead of meeting its face", name)
	}
	across := r3.Unit(square) // along the chord, perpendicular to the branch
	normal := r3.Cross(out, across)
	width := sides(chord, against.Orient, normal)
	depth := chord.Height + chord.Width - width
	j = joint.HollowJoint{Material: steelOf(f), Width: width, Depth: depth, Wall: chord.Wall,
		BranchWidth: sides(branch, b.Orient, normal), BranchLength: sides(branch, b.Orient, across), BranchWall: branch.Wall,
		AtEnd: d.endsAt(against, d.memberNode(b, end))}
	switch {
	case j.BranchWidth > width*(1+1e-9):
		err = fmt.Errorf("it is %s mm wide, wider than the face of %s mm", quantity.Number(j.BranchWidth*1e3), quantity.Number(width*1e3))
	case j.BranchWall <= width/2000:
		err = fmt.Errorf("its wall is %s thick; the model needs more than %s, a 2000th of the width of the face",
			quantity.Print(j.BranchWall, "mm"), quantity.Print(width/2000, "mm"))
	case j.BranchLength >= 20*width:
		err = fmt.Errorf("it covers %s of the face; the model needs less than %s, 20 widths of the face",
			quantity.Print(j.BranchLength, "mm"), quantity.Print(20*width, "mm"))
	case width <= 3*chord.Wall || depth <= 3*chord.Wall:
		err = fmt.Errorf("member %s has walls of %s in %s × %s mm; the model of a bending face needs walls below %s",
			name, quantity.Print(chord.Wall, "mm"), quantity.Number(chord.Height*1e3), quantity.Number(chord.Width*1e3),
			quantity.Print(math.Min(width, depth)/3, "mm"))
	}
	if err != nil {
		return j, axes, err
	}
	if skew := math.Pi/2 - lean; math.Abs(skew) > 0.02 {
		j.Angle = lean
	}
	if f.Fill != nil {
		core := FillMaterial(f.Fill, read)
		j.Fill = joint.Fill{E: core.E, Poisson: core.Poisson(), Bonded: f.Fill.Bond.Text == "bonded"}
	}
	return j, [3]r3.Vec{out, across, normal}, nil
}

// A misfit is a dimension that does not fit where it is, with its own place.
type misfit struct {
	at   spec.Place
	text string
}

func (m *misfit) Error() string { return m.text }

// fits holds what is welded to a face to the sizes of branch and face.
func fits(j *joint.HollowJoint, end *spec.OnFace) error {
	mm := func(v float64) string { return quantity.Print(v, "mm") }
	foot := j.BranchLength
	if j.Angle != 0 {
		foot /= math.Sin(j.Angle)
	}
	if p := end.Doubler; p != nil {
		d := j.Doubler
		switch {
		case d.Width < j.BranchWidth || d.Width > j.Width*(1+1e-9):
			return &misfit{p.Width.At, fmt.Sprintf("its doubler is %s wide; the width must be between %s, that of the branch, and %s, that of the face",
				mm(d.Width), mm(j.BranchWidth), mm(j.Width))}
		case d.Length < foot:
			at := p.Length.At
			if !p.Length.Given {
				at = p.Thickness.At
			}
			return &misfit{at, fmt.Sprintf("its doubler is %s long, less than %s, the length of the foot of the branch", mm(d.Length), mm(foot))}
		case d.Thickness >= j.Width:
			return &misfit{p.Thickness.At, fmt.Sprintf("its doubler is %s thick; it must be thinner than %s, the width of the face",
				mm(d.Thickness), mm(j.Width))}
		}
	}
	if t := end.InnerPlates; t.Given && j.Plates[0].Thickness <= j.Width/2000 {
		return &misfit{t.At, fmt.Sprintf("its inner plates are %s thick; the model needs more than %s, a 2000th of the width of the face",
			mm(j.Plates[0].Thickness), mm(j.Width/2000))}
	}
	if l := end.KeepsShape; l.Given && (j.Length <= foot+j.Width/2 || j.Length >= 200*j.Width) {
		return &misfit{l.At, fmt.Sprintf("member %s keeps its shape over %s; the model needs more than %s, the foot of the branch and half the width of the face, "+
			"and less than %s, 200 such widths",
			end.Member.Text, mm(j.Length), mm(foot+j.Width/2), mm(200*j.Width))}
	}
	return nil
}

// violations words the ranges that a joint's model leaves.
func (h *Hinge) violations(list []joint.Violation) {
	for _, v := range list {
		h.Notes = append(
			h.Notes,
			fmt.Sprintf(
				"%s is %s, valid from %s to %s",
				rangeWords(v.Name),
				quantity.Number(v.Value),
				quantity.Number(v.Low),
				quantity.Number(v.High),
			),
		)
	}
}

// mitre is a corner of two hollow sections.
func (d *Model) mitre(h *Hinge, b *Bar, end *spec.Mitre, node spec.Text, out r3.Vec, read spec.Reader) error {
	hollow, err := hollowOfBar(b.Section)
	if err != nil {
		return err
	}
	// The other leg: a member of the same section at the same node.
	body := &d.Spec.Bodies[b.Body]
	var other r3.Vec
	found := false
	for i := range body.Item.Members {
		m := &body.Item.Members[i].Item
		if m == b.Member || m.Section.Text != b.Member.Section.Text || m.From.Text != node.Text && m.To.Text != node.Text {
			continue
		}
		from, to := Vector(read, *body.Item.Nodes.Find(m.From.Text)), Vector(read, *body.Item.Nodes.Find(m.To.Text))
		leg := r3.Unit(r3.Sub(to, from))
		if m.To.Text == node.Text {
			leg = r3.Scale(-1, leg)
		}
		if math.Abs(r3.Dot(leg, out)) < 0.95 {
			other, found = leg, true
		}
	}
	if !found {
		return fmt.Errorf("no other member of section %s makes a corner with it there", b.Member.Section.Text)
	}
	normal := r3.Unit(r3.Cross(out, other))
	half := r3.Unit(r3.Add(out, other))
	width := sides(hollow, b.Orient, normal)
	if most := math.Min(hollow.Width, hollow.Height) / 3; hollow.Wall > most {
		return fmt.Errorf("the model of a mitre needs walls up to %s, a third of the side of the section; they are %s",
			quantity.Print(most, "mm"), quantity.Print(hollow.Wall, "mm"))
	}
	k, err := joint.Corner{Material: steelOf(b.Section), Width: width, Depth: hollow.Height + hollow.Width - width, Wall: hollow.Wall,
		Angle: math.Acos(r3.Dot(out, other)), Plate: end.Plate}.Knee()
	if err != nil {
		return err
	}
	h.What = "mitred corner"
	if end.Plate {
		h.What = "mitred corner with a plate in it"
	}
	h.Axes = [3]r3.Vec{normal, half, r3.Cross(normal, half)}
	h.K = [6]joint.Bounds{3: k.InPlane, 4: k.OutOfPlane}
	h.violations(k.Violations)
	return nil
}

// openEnd is a hollow section that ends without a plate.
func openEnd(h *Hinge, b *Bar, end *spec.Open, out r3.Vec, read spec.Reader) error {
	hollow, err := hollowOfBar(b.Section)
	if err != nil {
		return err
	}
	length := b.Span()
	if end.Held.Given {
		length = read.Of(end.Held)
	}
	box := joint.Box{Material: steelOf(b.Section), Width: math.Max(hollow.Width, hollow.Height), Depth: math.Min(hollow.Width, hollow.Height),
		SideWall: hollow.Wall, FaceWall: hollow.Wall, Torsion: b.Section.Loose.GJ, Length: length, SideShare: 1}
	x, err := box.Distortion()
	if err != nil {
		return err
	}
	more := func(turn float64) float64 { return 1 / math.Max(turn-x.Beam, 1e-15) }
	side := r3.Unit(r3.Cross(out, perpendicular(out)))
	h.What = fmt.Sprintf("open end; a welded end plate of %s prevents its distortion", quantity.Print(x.EndPlate, "mm"))
	h.Axes = [3]r3.Vec{out, side, r3.Cross(out, side)}
	h.K = [6]joint.Bounds{3: {Low: more(x.Mean.High), Middle: more(x.Mean.Middle), High: more(x.Mean.Low)}}
	h.violations(x.Violations)
	return nil
}

// perpendicular is a direction that is not along another.
func perpendicular(v r3.Vec) r3.Vec {
	if math.Abs(v.Z) < 0.9 {
		return r3.Vec{Z: 1}
	}
	return r3.Vec{X: 1}
}

// boltedJoint makes the springs of bolts through a flat face.
func boltedJoint(h *Hinge, s *spec.Bolted, steel float64, read spec.Reader) error {
	diameter := 0.0
	fmt.Sscanf(read.Word(s.Size), "M%g", &diameter)
	thread, ok := joint.MetricThread(diameter * 1e-3)
	if !ok {
		return fmt.Errorf("there is no thread %s", s.Size.Text)
	}
	class := read.Word(s.Class)
	if class == "" {
		class = "8.8"
	}
	j := joint.BoltedJoint{Thread: thread, Modulus: steel, Class: class, Face: 1, Area: read.Of(s.Area)}
	j.Friction.Low, j.Friction.Middle, j.Friction.High = read.Span(s.Friction)
	for _, l := range s.Layers {
		j.Layers = append(j.Layers, joint.Clamped{Thickness: read.Of(l), E: steel})
	}
	for _, p := range s.Places {
		j.Places = append(j.Places, joint.Place{X: read.Of(p.X), Y: read.Of(p.Y)})
	}
	switch read.Word(s.Surface) {
	case "ground":
		j.Surface = joint.Ground
	case "milled":
		j.Surface = joint.Milled
	default:
		j.Surface = joint.Painted
	}
	grip := 0.0
	for _, l := range j.Layers {
		grip += l.Thickness
	}
	j.Threaded = grip / 3 // the thread reaches into a third of the grip: common practice
	var err error
	if s.Torque.Given {
		j.Preload, err = joint.TighteningPreload(thread, read.Of(s.Torque), joint.ThreadFriction())
	} else {
		j.Preload, err = proofPreload(thread, class, s.Preload, read)
	}
	if err != nil {
		return err
	}
	b, err := j.Bolting()
	if err != nil {
		return err
	}
	h.What = fmt.Sprintf("%d bolts %s of class %s", len(j.Places), s.Size.Text, class)
	h.K = [6]joint.Bounds{b.Shear, b.Shear, b.Normal, b.TiltX, b.TiltY, b.Twist}
	h.Bolts = &j
	h.violations(b.Violations)
	return nil
}

// proofPreload is the preload of a bolt that is tightened to a share of its proof load.
func proofPreload(thread joint.Thread, class string, share spec.Value, read spec.Reader) (b joint.Bounds, err error) {
	low, middle, high := read.Span(share)
	for _, end := range []struct {
		share float64
		to    *float64
	}{{low, &b.Low}, {middle, &b.Middle}, {high, &b.High}} {
		if *end.to, err = joint.ProofPreload(thread, class, end.share); err != nil {
			return b, err
		}
	}
	return b, nil
}

// bondedJoint makes the springs of a layer of resin.
func bondedJoint(h *Hinge, l *spec.Layer, read spec.Reader) error {
	s, err := layerOf(read, l.Modulus, l.Poisson, read.Of(l.Width), read.Of(l.Length), read.Of(l.Thickness)).Stiffness()
	if err != nil {
		return err
	}
	h.What = fmt.Sprintf("resin, %s thick", quantity.Print(read.Of(l.Thickness), "mm"))
	// The width lies along the first axis, the length along the second.
	h.K = [6]joint.Bounds{s.Shear, s.Shear, s.Normal, s.TiltLength, s.TiltWidth, s.Twist}
	h.violations(s.Violations)
	return nil
}

// layerOf is a layer of resin whose modulus carries its uncertainty.
func layerOf(read spec.Reader, modulus, poisson spec.Value, width, length, thickness float64) joint.Layer {
	low, middle, high := read.Span(modulus)
	spread := 0.0
	if middle > 0 {
		spread = math.Min(0.9, math.Max(high/middle-1, 1-low/middle))
	}
	return joint.Layer{Material: joint.Material{E: middle, Poisson: read.Of(poisson)}, Width: width, Length: length, Thickness: thickness, Spread: spread}
}

// CarriageStiffness is the stiffness of a carriage with its rail and mounting surface,
// radial and lateral [N/m].
func CarriageStiffness(read spec.Reader, r *spec.Rail) (radial, lateral float64, err error) {
	left := read.Of(r.MountingFactor)
	radial, lateral = read.Of(r.Radial)*left, read.Of(r.Lateral)*left
	if r.Resin == nil {
		return radial, lateral, nil
	}
	s, err := layerOf(read, r.Resin.Modulus, r.Resin.Poisson, read.Of(r.Resin.Width), read.Of(r.Resin.Length), read.Of(r.Resin.Thickness)).Stiffness()
	if err != nil {
		return 0, 0, err
	}
	return 1 / (1/radial + 1/bound(read, s.Normal)), 1 / (1/lateral + 1/bound(read, s.Shear)), nil
}

// knownJoints keeps what has been solved, as the sections do.
var knownJoints sync.Map // joint.HollowJoint as text: springsResult

type springsResult struct {
	s   joint.Springs
	err error
}

// springsOf solves a hollow joint once.
func springsOf(j joint.HollowJoint) (joint.Springs, error) {
	key := fmt.Sprintf("%v", j)
	r, ok := knownJoints.Load(key)
	if !ok {
		s, err := j.Springs()
		r, _ = knownJoints.LoadOrStore(key, springsResult{s, err})
	}
	return r.(springsResult).s, r.(springsResult).err
}

// rangeWords are the ranges of the joints' models in words.
func rangeWords(name string) string {
	if w, ok := map[string]string{
		joint.ValidBeta:            "the width of the branch over that of the chord",
		joint.ValidSlenderness:     "the chord's width over its wall",
		joint.ValidBranchWall:      "the branch's wall over the chord's",
		joint.ValidGap:             "the gap to the next branch over the chord's width",
		joint.ValidSkew:            "the sine of the branch's angle",
		joint.ValidChordLength:     "the length in which the chord keeps its shape, over its width",
		joint.ValidDoubler:         "how far the doubler reaches beyond the branch, over its thickness",
		joint.ValidInnerPlate:      "the inner plate's place",
		joint.ValidGrip:            "the bolt's grip over its diameter",
		joint.ValidPressure:        "the pressure on the face in MPa",
		joint.ValidPattern:         "the lever arm of the bolts",
		joint.ValidOpening:         "the load that separates the faces",
		joint.ValidSlipping:        "the load at which the faces slip",
		joint.ValidThinLayer:       "the layer's size over its edge",
		joint.ValidSoftLayer:       "the layer's Poisson's ratio",
		joint.ValidLayerRatio:      "the layer's length over its width",
		joint.ValidKneeSlenderness: "the corner's width over its wall",
		joint.ValidKneeAngle:       "the corner's angle",
		joint.ValidKneeShape:       "the corner's depth over its width",
		joint.ValidBoxWall:         "the box's width over its wall",
		joint.ValidBoxShape:        "the box's longer side over the shorter",
	}[name]; ok {
		return w
	}
	return strings.ReplaceAll(name, "-", " ")
}
