package guide

// A Preload is how tightly the carriages sit on their rail. Zero is no class.
type Preload int

// The classes. Rollers are not made with clearance.
const (
	Clearance Preload = iota + 1
	Light
	Medium
	Heavy
)

// A MountingTolerance is the errors that the mounting surfaces of two rails may have.
type MountingTolerance struct {
	Parallelism Range // change of the distance between the rails [m]
	Height      Range // difference in height between the rails [m]
	Along       Range // difference in height between the carriages of one rail [m]
	Twist       Range // turn of one rail's surface from carriage to carriage [rad]
}

// A toleranceRow is the parallelism of one size, by class [µm].
type toleranceRow struct {
	size      float64 // [mm]
	tolerance [4]float64
}

// The rows of one maker each. What others print for the same sizes lies within
// the bounds below.
var (
	ballTolerances = []toleranceRow{
		{15, [4]float64{19, 13, 10, 9}}, {20, [4]float64{23, 17, 14, 11}}, {25, [4]float64{29, 21, 17, 14}}, {30, [4]float64{35, 25, 20, 16}},
		{35, [4]float64{40, 29, 23, 19}}, {45, [4]float64{52, 38, 29, 24}}, {55, [4]float64{62, 46, 36, 30}}, {65, [4]float64{81, 59, 46, 38}},
	}
	rollerTolerances = []toleranceRow{
		{15, [4]float64{0, 5, 3, 3}}, {20, [4]float64{0, 8, 6, 4}}, {25, [4]float64{0, 9, 7, 5}}, {30, [4]float64{0, 11, 8, 6}},
		{35, [4]float64{0, 14, 10, 7}}, {45, [4]float64{0, 17, 13, 9}}, {55, [4]float64{0, 21, 14, 11}}, {65, [4]float64{0, 27, 18, 14}},
	}
)

// The difference in height of two rails over their distance [-], by class, and
// the loosest printed for any class without and with clearance.
var (
	ballHeights   = [4]float64{0.30e-3, 0.15e-3, 0.10e-3, 0.08e-3}
	rollerHeights = [4]float64{0, 0.22e-3, 0.17e-3, 0.12e-3}
)

const (
	loosestHeight     = 0.66e-3
	loosestClearance  = 1.2e-3
	alongLow          = 30e-6 // long carriages
	alongNominal      = 42e-6
	alongLoosest      = 0.21e-3
	alongClearance    = 0.6e-3
	rollerHeightDoubt = 1.5
)

// MountingToleranceFor returns the errors that the mounting surfaces of two rails may have, by kind, nominal
// size [m] from 15 to 65 mm and preload class, the rails' spread [m] apart and
// the carriages of one rail the pitch [m]. Sizes between the table's are
// interpolated.
//
//	height = K a, along = K' b, twist = K
//
// with a the spread and b the pitch; K' is 42e-6, and for balls 0.21e-3 is printed
// too, 0.6e-3 with clearance. Twist takes K as the angle by which a table on
// rails of unequal height leans against each of them.
//
// Makers disagree: on parallelism by a third either way, on height by far more.
// The nominal is the tight table, the high bound the loosest one found. The
// user's own rail table goes before it. Resin and a frame that yields allow
// more: see [MountingError].
//
// Source: common practice; from memory, height of rollers; derived here, twist.
func MountingToleranceFor(kind Kind, size float64, class Preload, spread, pitch float64) (MountingTolerance, error) {
	var g guard
	g.kind(kind)
	g.Demand(class >= Clearance && class <= Heavy, "preload class", float64(class), "one of the four classes")
	g.Demand(kind != Roller || class != Clearance, "preload class of rollers", float64(class), "light, medium or heavy")
	g.Demand(size >= 15e-3*(1-1e-9) && size <= 65e-3*(1+1e-9), "size of the rail", size, "15 to 65 mm")
	g.Positive("distance between the rails", spread)
	g.Positive("distance between the carriages", pitch)
	if g.Err != nil {
		return MountingTolerance{}, g.Err
	}
	n := class - Clearance
	rows := ballTolerances
	height := Range{Low: ballHeights[n], Nominal: ballHeights[n], High: loosestHeight}
	along := Range{Low: alongLow, Nominal: alongNominal, High: alongLoosest}
	switch {
	case kind == Roller:
		rows = rollerTolerances
		height = Range{Low: rollerHeights[n], Nominal: rollerHeights[n], High: rollerHeightDoubt * rollerHeights[n]}
		along.High = along.Nominal
	case class == Clearance:
		height.High, along.High = loosestClearance, alongClearance
	}
	i := 1
	for i < len(rows)-1 && size*1e3 > rows[i].size {
		i++
	}
	low, high := rows[i-1], rows[i]
	share := (size*1e3 - low.size) / (high.size - low.size)
	parallel := (low.tolerance[n] + share*(high.tolerance[n]-low.tolerance[n])) * 1e-6
	s := MountingTolerance{
		Parallelism: Range{Low: 0.7, Nominal: 1, High: 1.5}.Times(parallel),
		Height:      height.Times(spread),
		Along:       along.Times(pitch),
		Twist:       height,
	}
	for _, r := range []Range{s.Height, s.Along} {
		g.Finite("tolerance", r.High)
	}
	if g.Err != nil {
		return MountingTolerance{}, g.Err
	}
	return s, nil
}
