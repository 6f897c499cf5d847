package spec

import "strings"

// Nearest returns the known word that is closest to a misspelt one, or "" when
// none is close. The measure is the edit distance, letters' case aside; a third
// of the word may be wrong.
func Nearest(word string, known []string) string {
	best, least := "", len([]rune(word))/3+2
	for _, k := range known {
		if d := distance(strings.ToLower(word), strings.ToLower(k)); d < least {
			best, least = k, d
		}
	}
	return best
}

// distance is the number of letters to change, add or drop to make b of a.
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	row := make([]int, len(y)+1)
	for j := range row {
		row[j] = j
	}
	for i := range x {
		previous := row[0]
		row[0] = i + 1
		for j := range y {
			cost := previous
			if x[i] != y[j] {
				cost++
			}
			previous = row[j+1]
			row[j+1] = min(cost, row[j]+1, previous+1)
		}
	}
	return row[len(y)]
}
