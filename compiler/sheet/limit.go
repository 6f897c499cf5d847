package sheet

import (
	"slices"

	"ironbed/compiler/machine"
	"ironbed/spec"
)

// A modelLimit is what the models leave out, where it matters.
type modelLimit struct {
	words  string
	matter func(*Book) bool // nil for always
}

// modelLimits are what the models leave out.
var modelLimits = []modelLimit{
	{"Depths of cut are stable against chatter on the modes of frame, spindle and cutter together, by the zero-order method, " +
		"with mean directional factors. Each target's best cut is checked by several frequencies too, at five speeds, on the modes below 3.3 times the " +
		"tooth-passing frequency; above, the zero-order limit was within 20 % of the true one. " +
		"They are held against five positions, several frequencies in the first two: the least stiff one, the middle of the travels with the tool farthest out and farthest back, the latter at the least stiff end of the shorter travel as well, " +
		"and the other end of the longest travel; over all positions no limit of the example machines lay below the depth of its cut. " +
		"Start at the depths of the first cuts, and stop at the first chatter.", nil},
	{"The spindle's shaft stands still: gyroscopic moments, bearings that soften with speed and with heat, and drawbars are left out. " +
		"Stiffness and loss of collets, tapers and bearings are known to a factor of two or three: a tap test at the cutter, written as `tip_modes`, is worth more.",
		func(book *Book) bool { return book.Spec.Spindle != nil }},
	{"Each spindle cuts alone, the others carried along as masses in one point, without heat; whether they stand in the way of the workpiece is not looked at. " +
		"A part roughed with one and finished with another has to be set by what the finishing one cuts.", func(book *Book) bool { return len(book.Spec.Idle()) > 0 }},
	{"Ranges are corners: every value at its unfavourable end at once, and every value at its favourable end. " +
		"Where a value acts both ways, as a thin wall that lowers stiffness and mass, " +
		"the true range of a frequency or of a stable depth may be wider than the one printed.", nil},
	{"Chip evacuation limits slots to one and a half diameters, whatever the machine can do. " +
		"Beyond one diameter chips pack: clear them with air or coolant, and cut hard materials in several passes (common practice).", nil},
	{"A member bends between the faces to which it is cut, and is rigid from there to the axis of the other one. On the middle of a hollow member's face a hollow one turns as that face bends: " +
		"a T of hollow sections was two thirds too stiff without it, and within about 10 % with it. On something solid a member is rigid but for what that yields; T's of solid bars " +
		"bent and twisted then within 5 % of solid elements, from axis to axis by 13 to 48 % too much. Where the walls at the node are known to neither model, as of an I, of listed profiles, of tubes that do not stand in the middle of a face, it bends on to the axis, " +
		"and is rigid there. A bolted joint is compliant, too, and belongs in the spec. Joint stiffness is known to a factor, not to a per cent.", nil},
	{"Members are straight and linear-elastic with small displacements; buckling and local vibration of walls are left out, " +
		"and a force on an open section acts in its shear centre.", nil},
	{"An open section is free to warp at the ends of its line; for what turns it between them the least is counted that its warping holds, GJ + π² EIw/L², which under one moment in the " +
		"middle was a fifth too compliant beside solid elements. Held ends make a short one many times as stiff, 8 times a channel UPE 160 of 0.6 m from end to end: " +
		"where that counts at the tool, a finding at the member gives the bound.", func(book *Book) bool {
		return slices.ContainsFunc(book.Model.Bars, func(b machine.Bar) bool { return b.Warps > 0 })
	}},
	{"Filled, built-up and outlined sections are solved by finite elements, within a few per mille in torsion. " +
		"The different lateral strain of steel and fill, which stiffens shear by up to 3 %, is left out.", func(book *Book) bool { return book.Model.HasFill() }},
	{"A force on a section of parts, or of an outline, that is filled to one side acts in its shear centre.", func(book *Book) bool {
		return slices.ContainsFunc(book.Model.Bars, func(b machine.Bar) bool { return b.Section.CellsFilled() })
	}},
	{"A plate is a grid of bars that has its stiffness against even bending, twist and strain. With 4 × 4 cells the deflection of a square plate on its edges or " +
		"corners, under an even load or one in the middle, was within 6 % of published values, with 8 × 8 within 2 %; twisted by forces at its corners it was 7 to 10 % too compliant with 4 × 4, " +
		"half of that with 8 × 8. A carriage or a foot between two crossings stands on one bar of it. T-slots and holes are not seen.", func(book *Book) bool {
		return slices.ContainsFunc(book.Spec.Sections, func(e spec.Entry[spec.Section]) bool { return e.Item.Plate != nil })
	}},
	{"A listed section has the properties of its data sheet; what the sheet leaves out, above all shear, is left out here.", func(book *Book) bool {
		return slices.ContainsFunc(book.Spec.Sections, func(e spec.Entry[spec.Section]) bool { return e.Item.Listed != nil })
	}},
	{"The forces of ball and corner-radius cutters are summed along the rounded edge, with the chip, the diameter and the surface speed of each height. " +
		"The very tip of a ball has no surface speed: it rubs and pushes harder than computed. " +
		"The stability limit takes the mean direction of the force over the height; vibration along the tool's axis is left out.", func(book *Book) bool {
		return slices.ContainsFunc(book.Spec.Cutters, func(e spec.Entry[spec.Cutter]) bool {
			return e.Item.Kind.Text == "ball" || e.Item.Kind.Text == "corner radius"
		})
	}},
	{"A face mill has its diameter over the whole depth; what a leaning edge adds, 2 ap/tan κ, is left out, " +
		"and so is the nose radius of its inserts.", func(book *Book) bool {
		return slices.ContainsFunc(book.Spec.Cutters, func(e spec.Entry[spec.Cutter]) bool { return e.Item.Kind.Text == "face" })
	}},
	{"The workpiece is rigid and rests on the nodes that the spec names; those nearest to the tool carry most. " +
		"A thin or badly clamped workpiece is more compliant than the machine.", nil},
	{"A fill specified as bonded is bonded everywhere and not cracked. " +
		"Check the values for a loose fill before you rely on a verdict.", func(book *Book) bool { return book.Model.HasFill() }},
	{"A servo holds its shaft rigidly unless the spec gives its `stiffness`.", func(book *Book) bool { return hasMotor(book, false) }},
	{"The magnetic stiffness of a stepper at standstill is part of the axial stiffness of its drive. " +
		"Its supply voltage enters by its pull-out curve alone: a curve taken at another voltage does not apply.",
		func(book *Book) bool { return hasMotor(book, true) }},
	{"The spindle bearings have radial and axial compliance; their tilting is left out.", nil},
	{"Strength is not checked: not of welds, lifting points, guards, or bolts other than those of the joints listed. " +
		"That needs its own calculation by a qualified person.", nil},
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
