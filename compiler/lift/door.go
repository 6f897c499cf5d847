package lift

import (
	"math"
	"slices"

	"ironbed/compiler/domain"
)

// Clearance returns by how much a box clears a door at the side where it is the nearest, below zero where it does not pass [m]: carried along its longest side, upright
// or on its side, by its three sides [m] and the door's width and height [m].
//
//	c = max(min(w − a, h − b), min(w − b, h − a)),  a ≤ b ≤ l
//
// Valid: straight through; tilted about its length, or turned on its way, a box may pass where this is below zero.
//
// Source: derived here.
func Clearance(sides [3]float64, width, height float64) (float64, error) {
	var g domain.Guard
	for _, s := range sides {
		g.Positive("side of a box", s)
	}
	g.Positive("width of the door", width)
	g.Positive("height of the door", height)
	list := slices.Clone(sides[:])
	slices.Sort(list)
	return g.Answer("clearance", math.Max(math.Min(width-list[0], height-list[1]), math.Min(width-list[1], height-list[0])))
}
