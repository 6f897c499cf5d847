package cable

import "math"

// A Cover is what a bellows or telescopic cover does at one end of a travel.
type Cover struct {
	Closed float64 // length pushed together, which the travel loses at this end [m]
	Open   float64 // length drawn out [m]
	Folds  int     // boxes of a telescopic cover, zero for a bellows
}

// mostFolds is more boxes than any cover has.
const mostFolds = 100000

func (g *guard) boxes(boxes int, overlap, lip float64) {
	g.Demand(boxes >= 2 && boxes <= mostFolds, "boxes", float64(boxes), "2 to 100 000")
	g.ZeroOrMore("overlap", overlap)
	g.ZeroOrMore("lip of a box", lip)
}

// Bellows returns the bellows that covers a travel on one side.
//
//	open = S q,  closed = S (q - 1) + e   [m]
//
// with S the travel [m], q the length drawn out over the travel, ends left off
// [-], and e what the end frames take [m]. q is 1.11 for a large rail and 1.28
// for a small one: drawn out 10 and 4.6 times as long as pushed together.
//
// Source: common practice, makers' factors for rail bellows.
func Bellows(travel, factor, ends float64) (Cover, error) {
	var g guard
	g.Positive("travel", travel)
	g.Demand(factor > 1 && !math.IsInf(factor, 0), "drawn length over travel", factor, "above 1")
	g.ZeroOrMore("end frames", ends)
	c := Cover{Closed: travel*(factor-1) + ends}
	c.Open = c.Closed + travel
	g.Finite("length of the bellows", c.Open)
	if g.Err != nil {
		return Cover{}, g.Err
	}
	return c, nil
}

// Telescopic returns the telescopic cover of so many boxes that covers a
// travel.
//
//	box = S/(n - 1) + o + w,  closed = box + (n - 1) w   [m]
//
// with S the travel, n the boxes, o the overlap that two keep drawn out, and w
// by how much each stands out of the next one pushed together [m]. More boxes
// close shorter, until their w add up: see [BestTelescopic].
//
// Source: derived here, each of n - 1 joints slides by box - o - w.
func Telescopic(travel float64, boxes int, overlap, lip float64) (Cover, error) {
	var g guard
	g.Positive("travel", travel)
	g.boxes(boxes, overlap, lip)
	joints := float64(boxes - 1)
	c := Cover{Folds: boxes, Closed: travel/joints + overlap + lip + joints*lip}
	c.Open = c.Closed + travel
	g.Finite("length of the cover", c.Open)
	if g.Err != nil {
		return Cover{}, g.Err
	}
	return c, nil
}

// BestTelescopic returns the cover of [Telescopic] that closes shortest, of at
// most so many boxes.
//
// Source: derived here, S/(n - 1) + (n - 1) w is least at n - 1 = √(S/w).
func BestTelescopic(travel, overlap, lip float64, most int) (Cover, error) {
	var g guard
	g.Positive("travel", travel)
	g.Positive("lip of a box", lip)
	g.Demand(most >= 2 && most <= mostFolds, "boxes at most", float64(most), "2 to 100 000")
	if g.Err != nil {
		return Cover{}, g.Err
	}
	joints := math.Min(math.Max(1, math.Floor(math.Sqrt(travel/lip))), float64(most-1))
	best, err := Telescopic(travel, int(joints)+1, overlap, lip)
	if err != nil || int(joints)+2 > most {
		return best, err
	}
	next, err := Telescopic(travel, int(joints)+2, overlap, lip)
	if err == nil && next.Closed < best.Closed {
		best = next
	}
	return best, err
}

// TravelLeft returns the travel that a room leaves with a bellows at both ends.
//
//	S = (W - 2 e)/(2 q - 1)   [m]
//
// with W the length of rail less the carriages' [m], q and e as in [Bellows].
//
// Source: derived here, at the end of the travel one is drawn out and one pushed together, W = S + 2 closed.
func TravelLeft(room, factor, ends float64) (float64, error) {
	var g guard
	g.Positive("room for travel", room)
	g.Demand(factor > 1 && !math.IsInf(factor, 0), "drawn length over travel", factor, "above 1")
	g.ZeroOrMore("end frames", ends)
	g.Demand(room > 2*ends, "room for travel", room, "more than the end frames take")
	return g.Answer("travel", (room-2*ends)/(2*factor-1))
}

// TelescopicTravelLeft returns the travel that a room leaves with a telescopic
// cover of so many boxes at both ends.
//
//	S = (W - 2 (o + n w))/(1 + 2/(n - 1))   [m]
//
// with W the length of rail less the carriages' [m], n, o and w as in
// [Telescopic].
//
// Source: derived here, at the end of the travel one is drawn out and one pushed together, W = S + 2 closed.
func TelescopicTravelLeft(room float64, boxes int, overlap, lip float64) (float64, error) {
	var g guard
	g.Positive("room for travel", room)
	g.boxes(boxes, overlap, lip)
	fixed := 2 * (overlap + float64(boxes)*lip)
	g.Demand(room > fixed, "room for travel", room, "more than the boxes take")
	return g.Answer("travel", (room-fixed)/(1+2/float64(boxes-1)))
}
