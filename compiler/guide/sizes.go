package guide

// A Size is what rails and carriages of one designation usually have. No data
// sheet stands behind the numbers: they are for a machine whose rails are not
// bought yet, or carry no readable number. The ratings' nominal values lie
// below what most standard-length carriages are rated.
type Size struct {
	Designation  int   // nominal rail width in mm, as the trade names it
	Kind         Kind  // balls or rollers
	Dynamic      Range // dynamic rating for 100 km [N]
	Static       Range // static rating [N]
	Stiffness    Range // radial stiffness of one carriage at medium preload, on a rigid seat [N/m]
	CarriageMass Range // mass of one carriage, flanged [kg]
	RailMass     Range // mass of the rail for each metre [kg/m]
	Drag         Range // seal and preload drag of one carriage, unloaded [N]
}

// around returns a range from the nominal value and its factors down and up.
func around(nominal, down, up float64) Range {
	return Range{Low: nominal * down, Nominal: nominal, High: nominal * up}
}

// The rows hold designation, dynamic and static rating [kN], stiffness [N/µm],
// carriage mass [kg], rail mass [kg/m], drag [N].
var sizeRows = map[Kind][][7]float64{
	Ball: {
		{15, 8, 13, 150, 0.20, 1.45, 6},
		{20, 13, 22, 220, 0.40, 2.2, 10},
		{25, 18.5, 30, 300, 0.60, 3.1, 14},
		{30, 26, 42, 380, 1.10, 4.5, 18},
		{35, 35, 55, 450, 1.60, 6.3, 24},
	},
	Roller: {
		{15, 11, 23, 300, 0.25, 1.5, 9},
		{20, 20, 42, 440, 0.48, 2.4, 15},
		{25, 26, 54, 600, 0.72, 3.2, 20},
		{30, 37, 78, 760, 1.25, 4.6, 27},
		{35, 53, 100, 900, 1.90, 6.5, 36},
	},
}

// Sizes returns the sizes of a kind, smallest first.
//
//	dynamic and static rating  0.8 to 1.4 of nominal
//	stiffness                  0.6 to 1.4 (balls), 0.5 to 1.5 (rollers, taken as twice the balls')
//	carriage mass              0.65 to 1.35: square and short to flanged and long
//	rail mass                  0.88 to 1.12
//	drag                       0.4 to 2
//
// Source: from memory.
func Sizes(kind Kind) ([]Size, error) {
	var g guard
	g.kind(kind)
	if g.err != nil {
		return nil, g.err
	}
	down, up := 0.6, 1.4
	if kind == Roller {
		down, up = 0.5, 1.5
	}
	var sizes []Size
	for _, r := range sizeRows[kind] {
		sizes = append(sizes, Size{
			Designation:  int(r[0]),
			Kind:         kind,
			Dynamic:      around(r[1]*1e3, 0.8, 1.4),
			Static:       around(r[2]*1e3, 0.8, 1.4),
			Stiffness:    around(r[3]*1e6, down, up),
			CarriageMass: around(r[4], 0.65, 1.35),
			RailMass:     around(r[5], 0.88, 1.12),
			Drag:         around(r[6], 0.4, 2),
		})
	}
	return sizes, nil
}

// SizeOf returns the size with a designation: 15, 20, 25, 30 or 35.
//
// Source: from memory.
func SizeOf(kind Kind, designation int) (Size, error) {
	sizes, err := Sizes(kind)
	if err != nil {
		return Size{}, err
	}
	for _, s := range sizes {
		if s.Designation == designation {
			return s, nil
		}
	}
	return Size{}, &InputError{"rail size", float64(designation), "15, 20, 25, 30 or 35"}
}

// Seat returns what is left of a carriage's stiffness on a real seat: bolts,
// a welded and resin-levelled land, and whatever the carriage is bolted to.
//
// Source: common practice.
func Seat() Range {
	return Range{Low: 0.4, Nominal: 0.5, High: 0.6}
}

// Seated returns a carriage's stiffness on a real seat, bounds with bounds.
//
//	k seated = k · seat   [N/m]
//
// Source: common practice.
func Seated(stiffness, seat Range) (Range, error) {
	var g guard
	for _, r := range []Range{stiffness, seat} {
		g.positive("lower bound", r.Low)
		g.demand(r.Nominal >= r.Low && r.High >= r.Nominal, "nominal value", r.Nominal, "between its bounds")
	}
	s := Range{Low: stiffness.Low * seat.Low, Nominal: stiffness.Nominal * seat.Nominal, High: stiffness.High * seat.High}
	g.positive("seated stiffness", s.Low)
	g.finite("seated stiffness", s.High)
	if g.err != nil {
		return Range{}, g.err
	}
	return s, nil
}

// LateralShare returns a carriage's lateral stiffness over its radial one: 1
// where four rows stand at 45° and press and pull give alike, less where they
// do not.
//
// Source: from memory.
func LateralShare() Range {
	return Range{Low: 0.6, Nominal: 0.8, High: 1}
}

// Friction returns the force that drags one carriage along its rail.
//
//	F = µ P + Fs   [N]
//
// with P the equivalent load, µ the rolling coefficient (0.002 to 0.005) and Fs
// the drag of seals and preload, [Size.Drag]. A twisted or unparallel seat adds
// to it, and can outgrow both.
//
// Source: common practice.
func Friction(load, coefficient, drag float64) (float64, error) {
	var g guard
	g.zeroOrMore("equivalent load", load)
	g.zeroOrMore("rolling coefficient", coefficient)
	g.zeroOrMore("drag", drag)
	return g.answer("friction", coefficient*load+drag)
}
