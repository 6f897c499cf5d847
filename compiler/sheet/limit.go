package sheet

import (
	"slices"

	"ironbed/spec"
)

// A modelLimit is what the models leave out, where it matters.
type modelLimit struct {
	words  string
	matter func(*Book) bool // nil for always
}

// modelLimits are what the models leave out.
var modelLimits = []modelLimit{
	{"Depths of cut keep clear of chatter on the frame's own modes, by the zero-order method: " +
		"mean directional factors, no very narrow cuts, no help from the edge's flank at low speed. " +
		"The modes of the spindle and the cutter themselves are not in it, and fast small cutters meet those first. " +
		"Start at half the depth printed, and stop when it sings.", nil},
	{"Bounds are corners: every value at its bad end at once, and every value at its good end. " +
		"A value that works both ways, a wall that is thin and so soft and light, or a table whose mass keeps it still, " +
		"may leave the bounds of a frequency or of a silent depth narrower than they are.", nil},
	{"The chips must find room. No slot is taken deeper than one and a half diameters, whatever the machine can hold; " +
		"beyond one diameter they begin to pack and burn: clear them with air or coolant, and take hard stuff in passes (common practice).", nil},
	{"A joint between members of one body is rigid unless the spec says how its end holds. " +
		"A beam model without that was two thirds too stiff for a T of hollow sections, and right to some ten per cent with it; " +
		"a welded corner gives a little, a bolted joint gives more. The stiffness of joints is known to a factor, not to a per cent.", nil},
	{"Members are straight and linear, small movements are small, sections do not warp or buckle, walls do not drum, " +
		"and a force on an open section acts in its shear centre.", nil},
	{"Filled, built-up and drawn sections are solved by finite elements, to some per mille in torsion; " +
		"that steel and fill swell differently sideways, which stiffens shear by up to 3 %, is left out.", func(book *Book) bool { return book.Model.HasFill() }},
	{"A listed section bends and twists as its data sheet has it; what is left out there, its shear above all, is left out here.", func(book *Book) bool {
		return slices.ContainsFunc(book.Spec.Sections, func(e spec.Entry[spec.Section]) bool { return e.Item.Listed != nil })
	}},
	{"Ball and bull cutters are searched as square ones. " +
		"A ball cuts with less than its diameter where it is shallow, and pushes more along its axis.", func(book *Book) bool {
		return slices.ContainsFunc(book.Spec.Cutters, func(e spec.Entry[spec.Cutter]) bool {
			return e.Item.Kind.Text == "ball" || e.Item.Kind.Text == "corner radius"
		})
	}},
	{"The work is rigid and rests on the nodes that the spec names, the near ones carrying most. " +
		"A thin or badly clamped piece gives more than the machine does.", nil},
	{"A fill that the spec calls bonded is taken as bonded everywhere and not cracked. " +
		"Look at the two bounds before you rest a verdict on it.", func(book *Book) bool { return book.Model.HasFill() }},
	{"A servo is taken as holding its shaft dead still unless the spec gives its `stiffness`.", func(book *Book) bool { return hasMotor(book, false) }},
	{"A stepper gives in its field, as it does standing; that is in the stiffness along its axis. " +
		"Its supply voltage is in its pull-out curve and nowhere else: " +
		"a curve taken at another voltage is another motor.", func(book *Book) bool { return hasMotor(book, true) }},
	{"The spindle's bearings give sideways and endways; their tilting is not in it.", nil},
	{"Nothing here is a check of strength: not of welds, lifting points, bolts or guards. That needs its own sums and a qualified person.", nil},
}

// hasMotor reports whether any axis has a stepper, or a servo.
func hasMotor(book *Book, stepper bool) bool {
	for _, a := range book.Spec.Axes {
		for _, d := range a.Item.Drives {
			if m := d.Item.Motor; m != nil && (m.Stepper != nil) == stepper {
				return true
			}
		}
	}
	return false
}

// limits are what the models leave out of this machine.
func limits(book *Book) (list []string) {
	for _, l := range modelLimits {
		if l.matter == nil || l.matter(book) {
			list = append(list, l.words)
		}
	}
	return list
}
