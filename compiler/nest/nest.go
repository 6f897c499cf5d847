// Package nest is the cutting of pieces from bars of one length with little waste.
package nest

import (
	"cmp"
	"math"
	"slices"

	"ironbed/compiler/domain"
)

// A Bar is what is cut from one bar of stock.
type Bar struct {
	Pieces []int   // indices of the pieces, the longest first
	Left   float64 // what is left of it [m]
}

// grain is what lengths are rounded up to: lengths that differ by rounding count as alike [m].
const grain = 1e-5

// Cut returns a plan that cuts pieces [m] from bars of a length [m], each cut taking a kerf [m], and the least number of bars that could do.
// The last piece of a bar needs no cut where nothing is left:
//
//	Σ (l + k) ≤ L + k
//
// The best of three plans is taken: bar by bar the fullest set of what is left; each piece, the longest first, where it fits tightest; and
// the whole bars of the plan that would be best if bars could be divided, with what they leave by the first two. Where the number of its bars
// is the least, it is certainly the best.
//
// Source: Gilmore and Gomory 1961, the plan of divided bars; Gupta and Ho 1999, the fullest bar; Johnson 1974, where it fits tightest.
func Cut(pieces []float64, stock, kerf float64) (plan []Bar, least int, err error) {
	var g domain.Guard
	g.Positive("length of the stock", stock)
	g.ZeroOrMore("kerf", kerf)
	room := int(math.Floor((stock+kerf)/grain + 1e-6))
	sizes := make([]int, len(pieces))
	whole := 0
	for i, l := range pieces {
		g.Positive("length of a piece", l)
		g.Demand(l <= stock*(1+1e-9), "length of a piece", l, "no more than that of the stock")
		if g.Err != nil {
			return nil, 0, g.Err
		}
		sizes[i] = min(room, int(math.Ceil((l+kerf)/grain-1e-6)))
		whole += sizes[i]
	}
	if g.Err != nil {
		return nil, 0, g.Err
	}
	least = bound(sizes, whole, room)
	order := make([]int, len(pieces))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(sizes[b], sizes[a]) })
	best := quick(order, sizes, room)
	if len(best) > least {
		other, bars := divided(order, sizes, room)
		least = max(least, bars)
		if len(other) > 0 && len(other) < len(best) {
			best = other
		}
	}
	for _, list := range best {
		b := Bar{Pieces: list, Left: stock}
		for k, i := range list {
			b.Left -= pieces[i]
			if k < len(list)-1 || b.Left > grain {
				b.Left -= kerf
			}
		}
		b.Left = math.Max(0, b.Left)
		plan = append(plan, b)
	}
	return plan, least, nil
}

// quick is the better of the two plans that are made piece by piece.
func quick(order, sizes []int, room int) [][]int {
	best := tightest(order, sizes, room)
	if other := fullest(order, sizes, room); len(other) < len(best) {
		best = other
	}
	return best
}

// bound is the least number of bars: by the sum of all pieces, and by those of which no two fit one bar together with what
// else has to go beside them; Martello and Toth's L2.
func bound(sizes []int, whole, room int) int {
	least := (whole + room - 1) / room
	for _, small := range sizes {
		if small > room/2 {
			continue
		}
		alone, half, rest, beside := 0, 0, 0, 0
		for _, s := range sizes {
			switch {
			case s > room-small:
				alone++
			case s > room/2:
				half++
				beside += room - s
			case s >= small:
				rest += s
			}
		}
		more := 0
		if rest > beside {
			more = (rest - beside + room - 1) / room
		}
		least = max(least, alone+half+more)
	}
	return least
}

// tightest puts each piece into the bar that it leaves the least of.
func tightest(order, sizes []int, room int) (bars [][]int) {
	var left []int
	for _, i := range order {
		at := -1
		for b := range left {
			if left[b] >= sizes[i] && (at < 0 || left[b] < left[at]) {
				at = b
			}
		}
		if at < 0 {
			at = len(bars)
			bars, left = append(bars, nil), append(left, room)
		}
		bars[at], left[at] = append(bars[at], i), left[at]-sizes[i]
	}
	return bars
}

// tries bounds the search for the fullest bar.
const tries = 20000

// fullest takes, bar by bar, the longest piece that is left with the set of others that fills the bar best.
func fullest(order, sizes []int, room int) (bars [][]int) {
	rest := slices.Clone(order)
	for len(rest) > 0 {
		first := rest[0]
		best, used := []int{}, 0
		var now []int
		count := 0
		var search func(from, left, sum int)
		search = func(from, left, sum int) {
			if count++; sum > used {
				best, used = slices.Clone(now), sum
			}
			for k := from; k < len(rest) && used < room-sizes[first] && count < tries; k++ {
				if k > from && sizes[rest[k]] == sizes[rest[k-1]] || sizes[rest[k]] > left {
					continue // one like it has been tried in this place
				}
				now = append(now, k)
				search(k+1, left-sizes[rest[k]], sum+sizes[rest[k]])
				now = now[:len(now)-1]
			}
		}
		search(1, room-sizes[first], 0)
		bar := []int{first}
		for _, k := range best {
			bar = append(bar, rest[k])
		}
		bars = append(bars, bar)
		taken := map[int]bool{0: true}
		for _, k := range best {
			taken[k] = true
		}
		var left []int
		for k, i := range rest {
			if !taken[k] {
				left = append(left, i)
			}
		}
		rest = left
	}
	return bars
}
