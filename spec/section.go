package spec

import (
	"math"

	"ironbed/spec/quantity"
)

func (r *resolver) section(e *Entry[Section]) {
	s := &e.Item
	if s.Material.Text != "" && r.m.Material(s.Material.Text) == nil {
		r.unknown(s.Material, "material", known(r.m.Materials, KindMaterials))
	}
	switch {
	case s.Stock.Text != "":
		if FromCatalogue[Section](KindSections, s.Stock.Text) == nil {
			r.unknown(s.Stock, "section in the catalogue", CatalogueNames(KindSections))
		}
	case s.Hollow != nil:
		r.hollow(e.Name, s.Hollow)
	case s.Pipe != nil:
		r.wall(e.Name, s.Pipe.Wall, s.Pipe.Diameter, s.Pipe.Diameter, "a diameter of "+s.Pipe.Diameter.Text)
	case s.I != nil:
		r.rolled(e.Name, s.I, 2)
	case s.Channel != nil:
		r.rolled(e.Name, s.Channel, 1)
	case s.Angle != nil:
		r.angle(e.Name, s.Angle)
	case s.BuiltUp != nil:
		if b := s.BuiltUp; b.Joined.Text == "stitched" {
			switch {
			case b.Stitch == nil:
				r.say(RuleMissingField, b.Joined.At, "%s is stitched, and the spec does not say how; give `stitch` with weld, pitch and throat", e.Name)
			case len(b.Parts) != 2:
				r.say(RuleGeometry, b.Joined.At, "%s has %d parts; stitches are computed between two", e.Name, len(b.Parts))
			case b.Stitch.Weld.q.Value > b.Stitch.Pitch.q.Value:
				r.say(RuleGeometry, b.Stitch.Weld.At, "%s: welds of %s are longer than their pitch of %s", e.Name, b.Stitch.Weld.Text, b.Stitch.Pitch.Text)
			}
		}
		for _, p := range s.BuiltUp.Parts {
			if part := r.m.Sections.Find(p.Item.Section.Text); part == nil {
				r.unknown(p.Item.Section, "section", r.m.Sections.Names())
			} else if part.BuiltUp != nil {
				r.say(RuleReference, p.Item.Section.At, "%s is itself built up; name its parts here instead", p.Item.Section.Text)
			} else if part.Plate != nil {
				r.say(RuleReference, p.Item.Section.At, "%s is a plate that bends both ways; a part of a built-up section is a `bar`", p.Item.Section.Text)
			} else if part.Listed != nil {
				r.say(RuleReference, p.Item.Section.At, "%s is listed by its properties; a part of a built-up section needs a shape", p.Item.Section.Text)
			}
		}
	}
	for _, p := range s.Outline {
		if p.Item.Material.Text != "" && r.m.Material(p.Item.Material.Text) == nil {
			r.unknown(p.Item.Material, "material", known(r.m.Materials, KindMaterials))
		}
		r.corners(p.Name, p.Item.Corners, p.At)
		for _, h := range p.Item.Holes {
			r.corners(h.Name, h.Item.Corners, h.At)
		}
	}
}

// corners says when an outline has too few corners to enclose anything, two in one place,
// or radii that do not fit on its sides.
func (r *resolver) corners(name string, list []Corner, at Place) {
	n := len(list)
	if n == 1 || n == 2 {
		r.say(RuleGeometry, at, "%s: an outline of %d corners encloses nothing; give three or more", name, n)
	}
	if n < 3 {
		return
	}
	side := func(i int) (y, z, length float64) {
		from, to := list[i], list[(i+1)%n]
		y, z = middle(to.Y)-middle(from.Y), middle(to.Z)-middle(from.Z)
		return y, z, math.Hypot(y, z)
	}
	// A radius takes its tangent of half the turn off both sides.
	tangent := make([]float64, n)
	for i := range list {
		y1, z1, one := side((i + n - 1) % n)
		y2, z2, other := side(i)
		if other == 0 {
			r.say(RuleGeometry, list[(i+1)%n].Y.At, "%s: corners %d and %d lie in one place; take one of them out", name, i+1, (i+1)%n+1)
			return
		}
		turn := math.Abs(math.Atan2(y1*z2-z1*y2, y1*y2+z1*z2))
		if one > 0 && turn > 1e-6 {
			tangent[i] = math.Tan(turn / 2)
		}
	}
	said := map[int]bool{}
	for i := range list {
		next := (i + 1) % n
		taken := func(k int) float64 { return tangent[k] * middle(list[k].Round) }
		_, _, length := side(i)
		if taken(i)+taken(next) <= length*(1+1e-6) {
			continue
		}
		large, small := i, next
		if taken(next) > taken(i) {
			large, small = next, i
		}
		if !said[large] {
			said[large] = true
			r.say(RuleGeometry, list[large].Round.At, "%s: a radius of %s at corner %d does not fit on the side of %s to corner %d; %s is the most",
				name, list[large].Round.Text, large+1, quantity.Print(length, "mm"), small+1, millimetres(max(0, length-taken(small))/tangent[large]))
		}
	}
}

// ends are the bounds that values of one section stand at together.
var ends = []Bound{Middle, Worse, Better}

// everywhere tells whether a condition holds at every end of the values.
func everywhere(holds func(of func(Value) float64) bool) bool {
	for _, end := range ends {
		if !holds(func(v Value) float64 { return v.at(end) }) {
			return false
		}
	}
	return true
}

// middle is a value's middle, as the ends in [everywhere].
func middle(v Value) float64 { return v.at(Middle) }

// millimetres prints a length that a value may have at most, rounded down so that it may
// be written as it is printed.
func millimetres(v float64) string { return quantity.Print(math.Floor(v*1e5+1e-6)/1e5, "mm") }

// wall checks that two walls leave a hollow between them; in says in what.
func (r *resolver) wall(name string, wall, height, width Value, in string) bool {
	if everywhere(func(of func(Value) float64) bool { return 2*of(wall) < min(of(height), of(width)) }) {
		return true
	}
	r.say(RuleGeometry, wall.At, "%s: two walls of %s leave no hollow in %s", name, wall.Text, in)
	return false
}

// hollow checks that the walls leave a hollow, and the corners space for their radii.
func (r *resolver) hollow(name string, h *Hollow) {
	if !r.wall(name, h.Wall, h.Height, h.Width, h.Height.Text+" × "+h.Width.Text) {
		return
	}
	least := func(of func(Value) float64) float64 { return min(of(h.Height), of(h.Width)) }
	if everywhere(func(of func(Value) float64) bool { return of(h.Wall) <= ThickestWall(h.Make.Text, least(of))*(1+1e-9) }) {
		return
	}
	most, made := ThickestWall(h.Make.Text, least(middle)), h.Make.Text
	if made == "" {
		made = "cold"
	}
	r.say(RuleGeometry, h.Wall.At, "%s: a wall of %s leaves no space for the rounded corners of %s × %s, made %s; %s is the most, "+
		"or `make: \"sharp\"` for one welded from plate",
		name, h.Wall.Text, h.Height.Text, h.Width.Text, made, millimetres(most))
}

// ThickestWall is the thickest wall that a hollow section of a make can have whose shorter
// side is given: its four corners, by their outer radius, just meet [m]. The radii are
// those that the section is computed with.
func ThickestWall(made string, side float64) float64 {
	switch made {
	case "sharp":
		return side / 2
	case "hot":
		return side / 4
	case "imperial":
		return side / 4 / 0.93
	}
	// A thicker wall is rolled with a larger radius for its thickness.
	most := 0.0
	for _, band := range [][2]float64{{2, 0.006}, {2.5, 0.010}, {3, math.Inf(1)}} {
		if t := min(side/2/band[0], band[1]); t > most {
			most = t
		}
	}
	return most
}

// rolled checks that flanges, web and the radius between them fit into an I or, with its
// flanges on one side, a channel.
func (r *resolver) rolled(name string, s *Rolled, sides float64) {
	sound := true
	if !everywhere(func(of func(Value) float64) bool { return 2*of(s.Flange) < of(s.Height) }) {
		r.say(RuleGeometry, s.Flange.At, "%s: two flanges of %s do not fit in a height of %s", name, s.Flange.Text, s.Height.Text)
		sound = false
	}
	if !everywhere(func(of func(Value) float64) bool { return of(s.Web) < of(s.Width) }) {
		r.say(RuleGeometry, s.Web.At, "%s: the web of %s is not thinner than the width of %s", name, s.Web.Text, s.Width.Text)
		sound = false
	}
	space := func(of func(Value) float64) float64 {
		return min((of(s.Width)-of(s.Web))/sides, of(s.Height)/2-of(s.Flange))
	}
	for _, v := range []Value{s.Slope, s.Toe} {
		if v.Given && sides > 1 {
			r.say(RuleGeometry, v.At, "%s: flanges that slope are computed for a `channel`; draw such an I as an `outline`", name)
			return
		}
	}
	slopes := func(of func(Value) float64) float64 { return of(s.Slope) * of(s.Width) / 2 } // by which a flange is thicker at one end and thinner at the other
	if sound && !everywhere(func(of func(Value) float64) bool {
		return slopes(of) < of(s.Flange) && slopes(of) < of(s.Height)/2-of(s.Flange)
	}) {
		r.say(RuleGeometry, s.Slope.At, "%s: with a slope of %s over %s the flanges of %s end in nothing, or meet", name, s.Slope.Text, s.Width.Text, s.Flange.Text)
		return
	}
	most := func(of func(Value) float64) float64 { return space(of) - slopes(of) }
	if sound && !everywhere(func(of func(Value) float64) bool { return of(s.Root) <= most(of)*(1+1e-9) }) {
		r.say(RuleGeometry, s.Root.At, "%s: a radius of %s does not fit between web and flange; %s is the most",
			name, s.Root.Text, millimetres(most(middle)))
		return
	}
	toe := func(of func(Value) float64) float64 {
		return min(of(s.Width)-of(s.Web)-of(s.Root), of(s.Flange)-slopes(of)) / (1 + of(s.Slope))
	}
	if sound && !everywhere(func(of func(Value) float64) bool { return of(s.Toe) <= toe(of)*(1+1e-9) }) {
		r.say(RuleGeometry, s.Toe.At, "%s: a radius of %s does not fit the tip of a flange; %s is the most", name, s.Toe.Text, millimetres(toe(middle)))
	}
}

// angle checks that the walls and the radii of an angle fit into its legs.
func (r *resolver) angle(name string, s *Angle) {
	least := func(of func(Value) float64) float64 { return min(of(s.Height), of(s.Width)) }
	if !everywhere(func(of func(Value) float64) bool { return of(s.Wall) < least(of) }) {
		r.say(RuleGeometry, s.Wall.At, "%s: the wall %s is not thinner than the legs", name, s.Wall.Text)
		return
	}
	toe := func(of func(Value) float64) float64 { return min(of(s.Wall), least(of)-of(s.Wall)) }
	if !everywhere(func(of func(Value) float64) bool { return of(s.Toe) <= toe(of)*(1+1e-9) }) {
		r.say(RuleGeometry, s.Toe.At, "%s: a radius of %s does not fit on a toe; %s is the most", name, s.Toe.Text, millimetres(toe(middle)))
		return
	}
	root := func(of func(Value) float64) float64 { return least(of) - of(s.Wall) - of(s.Toe) }
	if !everywhere(func(of func(Value) float64) bool { return of(s.Root) <= root(of)*(1+1e-9) }) {
		r.say(RuleGeometry, s.Root.At, "%s: a radius of %s does not fit in the corner between the toes; %s is the most", name, s.Root.Text, millimetres(root(middle)))
	}
}
