package sparse

import "slices"

// Order numbers the nodes of a graph so that joined nodes get numbers close to
// each other, which keeps the band of the stiffness matrix narrow: reverse
// Cuthill-McKee, each component from a node at its rim.
//
// Source: Cuthill and McKee 1969; George and Liu 1981, chapter 4.
func Order(neighbours [][]int) []int {
	n := len(neighbours)
	placed := make([]bool, n)
	numbered := make([]int, 0, n)
	for first := range n {
		if placed[first] {
			continue
		}
		// The walk marks nodes as it takes them, so the component is walked
		// as it stands now: nothing of it is placed yet.
		numbered = walk(neighbours, rim(neighbours, first), placed, numbered)
	}
	slices.Reverse(numbered)
	return numbered
}

// walk appends the nodes reached from a start, breadth first, those with few
// neighbours before those with many.
func walk(neighbours [][]int, start int, placed []bool, numbered []int) []int {
	placed[start] = true
	numbered = append(numbered, start)
	for at := len(numbered) - 1; at < len(numbered); at++ {
		from := len(numbered)
		for _, next := range neighbours[numbered[at]] {
			if !placed[next] {
				placed[next] = true
				numbered = append(numbered, next)
			}
		}
		slices.SortStableFunc(numbered[from:], func(a, b int) int {
			return len(neighbours[a]) - len(neighbours[b])
		})
	}
	return numbered
}

// rim finds a node that is far from some other: it moves to the last level of
// a breadth-first walk for as long as that deepens the walk.
func rim(neighbours [][]int, start int) int {
	depth, last := levels(neighbours, start)
	for {
		next := last[0]
		for _, node := range last {
			if len(neighbours[node]) < len(neighbours[next]) {
				next = node
			}
		}
		deeper, ends := levels(neighbours, next)
		if deeper <= depth {
			return next
		}
		depth, last = deeper, ends
	}
}

// levels walks breadth first and returns the number of levels and the nodes of
// the last one.
func levels(neighbours [][]int, start int) (depth int, last []int) {
	seen := make([]bool, len(neighbours))
	seen[start] = true
	for level := []int{start}; len(level) > 0; depth++ {
		last = level
		var next []int
		for _, node := range level {
			for _, n := range neighbours[node] {
				if !seen[n] {
					seen[n] = true
					next = append(next, n)
				}
			}
		}
		level = next
	}
	return depth, last
}
