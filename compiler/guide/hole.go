package guide

import (
	"math"

	"ironbed/compiler/domain"
)

// leastEdge is how near to a rail's end its first hole may lie, over the pitch [-]: no less than a maker's table has for any size.
const leastEdge = 1.0 / 6

// Holes returns where the first hole of a rail lies from its end [m], both ends alike, and how many there are, by its length and the pitch of
// its holes [m].
//
//	z = ⌊L/T⌋ + 1,  e = (L − T (z − 1))/2, with one hole less where e is too small
//
// Valid: rails that are cut to length with ends alike.
//
// Source: ISO 12090-1; common practice: the rule of makers for rails of any length.
func Holes(length, pitch float64) (first float64, count int, err error) {
	var g domain.Guard
	g.Positive("length of a rail", length)
	g.Positive("pitch of a rail's holes", pitch)
	g.Demand(length/pitch < 1e4, "holes of a rail", length/pitch, "below 10 000")
	if g.Err != nil {
		return 0, 0, g.Err
	}
	count = int(math.Floor(length/pitch+1e-9)) + 1
	if first = (length - pitch*float64(count-1)) / 2; first < leastEdge*pitch*(1-1e-9) && count > 1 {
		count--
		first = (length - pitch*float64(count-1)) / 2
	}
	return first, count, nil
}
