package guide

import "math"

// RoundRows are the angles of the rows of balls around the shaft of a round
// guide, from the side of the bushing that is pressed onto the rail. A closed
// bushing has its rows all around; an open one, which rides on a supported
// shaft, lacks those over the support.
type RoundRows []float64

// OpenRows returns the rows of an open bushing: count of them, spread evenly
// over what the opening leaves, half a gap between the outer rows and its
// edges, and the opening on the side of the support.
func OpenRows(count int, opening float64) RoundRows {
	rows := make(RoundRows, max(count, 0))
	gap := (2*math.Pi - opening) / float64(count)
	for i := range rows {
		rows[i] = gap * (float64(i) - float64(count-1)/2)
	}
	return rows
}

// mostRows is far above what any bushing has.
const mostRows = 32

func (r RoundRows) check(g *guard) {
	g.Demand(len(r) >= 1 && len(r) <= mostRows, "rows of balls", float64(len(r)), "1 to 32")
	for _, angle := range r {
		g.Demand(math.Abs(angle) <= 4*math.Pi, "angle of a row", angle, "within two turns")
	}
}

// push returns the force on the shaft, and the load of the most heavily loaded row,
// when the bushing is shifted by one unit at the angle. Each row pushes along
// its own radius, by the 3/2 power of its approach.
func (r RoundRows) push(angle float64) (x, y, highest float64) {
	for _, row := range r {
		approach := math.Cos(row - angle)
		if approach <= 0 {
			continue
		}
		load := approach * math.Sqrt(approach)
		x += load * math.Cos(row)
		y += load * math.Sin(row)
		highest = math.Max(highest, load)
	}
	return x, y, highest
}

// RowFactor returns the load that a bushing carries over the load of its
// most heavily loaded row.
//
//	F/Qmax, with Qi = cos^(3/2)(θi - φ) and F = |Σ Qi ni|   [-]
//
// for a load at the angle given: 0 presses onto the rail, π pulls off. The
// shift φ that goes with the load is sought, since an open bushing does not
// yield along its load. Zero where no rows stand against the load.
//
// It holds for balls without clearance or preload, and a stiff housing. Published
// ratios of the best to the worst turn of a closed bushing, 1.41, 1.46 and 1.28
// for four, five and six rows, come out of it.
//
// Source: derived here, Hertz contact of each row and the balance of forces. The force is the gradient of a convex energy of the shift, so its angle never runs back while the shift turns, and halving finds it.
func RowFactor(rows RoundRows, angle float64) (float64, error) {
	var g guard
	rows.check(&g)
	g.Demand(math.Abs(angle) <= 4*math.Pi, "angle of the load", angle, "within two turns")
	if g.Err != nil {
		return 0, g.Err
	}
	// across is how far the force has turned past the load.
	across := func(shift float64) float64 {
		x, y, _ := rows.push(shift)
		return y*math.Cos(angle) - x*math.Sin(angle)
	}
	low, high := angle-math.Pi/2, angle+math.Pi/2
	for range 60 {
		middle := (low + high) / 2
		if across(middle) > 0 {
			high = middle
		} else {
			low = middle
		}
	}
	x, y, highest := rows.push((low + high) / 2)
	along := x*math.Cos(angle) + y*math.Sin(angle)
	const least = 1e-9 // rows that all but touch carry nothing
	if highest < least || along < least || math.Abs(across((low+high)/2)) > 1e-6*along {
		return 0, nil
	}
	return g.Answer("row factor", along/highest)
}

// DirectionFactor returns the share of its rating that a bushing carries under
// a load at an angle; 0 presses onto the rail, π/2 is lateral, π pulls
// off.
//
//	f = (F/Qmax at the angle)/(F/Qmax pressed on)   [-]
//
// For open bushings the lift-off share lies between about a third and three
// quarters; many makers print 0.5.
//
// Source: derived here, the ratio of two values of [RowFactor].
func DirectionFactor(rows RoundRows, angle float64) (float64, error) {
	pressed, err := RowFactor(rows, 0)
	if err != nil {
		return 0, err
	}
	var g guard
	g.Positive("row factor, pressed on", pressed)
	at, err := RowFactor(rows, angle)
	if err != nil {
		return 0, err
	}
	return g.Answer("direction factor", at/pressed)
}
