package nest

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// rounds bounds the search for the plan of divided bars, and small is what counts as nothing in it.
const (
	rounds = 400
	small  = 1e-9
)

// divided makes a plan from the one that would be best if bars could be divided: a linear program over all ways to cut a bar, of which those that
// better it are found one by one. What its whole bars leave is cut by the quick plans. The least number of bars is that of the program, rounded up; 0
// where it did not come to an end.
func divided(order, sizes []int, room int) (plan [][]int, least int) {
	var widths []int  // that differ, the largest first
	var wanted []int  // of each
	var which [][]int // the pieces of each
	for _, i := range order {
		if n := len(widths); n == 0 || widths[n-1] != sizes[i] {
			widths, wanted, which = append(widths, sizes[i]), append(wanted, 0), append(which, nil)
		}
		n := len(widths) - 1
		wanted[n]++
		which[n] = append(which[n], i)
	}
	n := len(widths)
	if n == 0 {
		return nil, 0
	}
	// One way to cut a bar for each width, at first as many of it as fit.
	ways := mat.NewDense(n, n, nil)
	for i := range n {
		ways.Set(i, i, float64(min(room/widths[i], wanted[i])))
	}
	demand := mat.NewVecDense(n, nil)
	ones := mat.NewVecDense(n, nil)
	for i := range n {
		demand.SetVec(i, float64(wanted[i]))
		ones.SetVec(i, 1)
	}
	bars, worth, step := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	for range rounds {
		if bars.SolveVec(ways, demand) != nil || worth.SolveVec(ways.T(), ones) != nil {
			return nil, 0
		}
		way, gain, exact := worthiest(worth.RawVector().Data, widths, wanted, room)
		if gain <= 1+small {
			if exact {
				sum := 0.0
				for i := range n {
					sum += bars.AtVec(i)
				}
				least = int(math.Ceil(sum - 1e-6))
			}
			break
		}
		entering := mat.NewVecDense(n, nil)
		for i, v := range way {
			entering.SetVec(i, float64(v))
		}
		if step.SolveVec(ways, entering) != nil {
			return nil, 0
		}
		leaves, ratio := -1, math.Inf(1)
		for i := range n {
			if d := step.AtVec(i); d > small {
				if r := math.Max(0, bars.AtVec(i)) / d; r < ratio-small {
					leaves, ratio = i, r
				}
			}
		}
		if leaves < 0 {
			return nil, 0
		}
		for i := range n {
			ways.Set(i, leaves, entering.AtVec(i))
		}
	}
	left := make([]int, n) // where the pieces of each width begin that are not cut yet
	for k := range n {
		for count := int(math.Floor(bars.AtVec(k) + 1e-6)); count > 0; count-- {
			var bar []int
			for i := range n {
				for c := int(ways.At(i, k)); c > 0 && left[i] < wanted[i]; c-- {
					bar = append(bar, which[i][left[i]])
					left[i]++
				}
			}
			if len(bar) > 0 {
				plan = append(plan, bar)
			}
		}
	}
	var rest []int
	for i := range n {
		rest = append(rest, which[i][left[i]:]...)
	}
	return append(plan, quick(rest, sizes, room)...), least
}

// worthiest finds the way to cut a bar that is worth most, each piece having a worth, and whether it is certainly that.
func worthiest(worth []float64, widths, wanted []int, room int) (best []int, most float64, exact bool) {
	n := len(widths)
	order := make([]int, 0, n)
	for i := range n {
		if worth[i] > small {
			order = append(order, i)
		}
	}
	for i := range order { // by what a length is worth
		for k := i; k > 0 && worth[order[k]]*float64(widths[order[k-1]]) > worth[order[k-1]]*float64(widths[order[k]]); k-- {
			order[k], order[k-1] = order[k-1], order[k]
		}
	}
	best, now := make([]int, n), make([]int, n)
	count := 0
	var search func(k, left int, sum float64)
	search = func(k, left int, sum float64) {
		if sum > most+small {
			most = sum
			copy(best, now)
		}
		if k == len(order) || count >= tries {
			return
		}
		i := order[k]
		if sum+float64(left)*worth[i]/float64(widths[i]) <= most+small {
			return // even a bar full of the worthiest is no better
		}
		for c := min(left/widths[i], wanted[i]); c >= 0; c-- {
			count++
			now[i] = c
			search(k+1, left-c*widths[i], sum+float64(c)*worth[i])
		}
		now[i] = 0
	}
	search(0, room, 0)
	return best, most, count < tries
}
