package spec

import (
	"strings"

	"github.com/agnivade/levenshtein"
)

// Nearest returns the known word that is closest to a misspelt one, or "" when
// none is close. The measure is the edit distance, letters' case aside; a third
// of the word may be wrong. Failing that, it is the shortest one that begins with
// the word.
func Nearest(word string, known []string) string {
	best, least := "", len([]rune(word))/3+2
	for _, k := range known {
		if d := levenshtein.ComputeDistance(strings.ToLower(word), strings.ToLower(k)); d < least {
			best, least = k, d
		}
	}
	if best != "" || len([]rune(word)) < 3 {
		return best
	}
	for _, k := range known {
		if strings.HasPrefix(strings.ToLower(k), strings.ToLower(word)) && (best == "" || len(k) < len(best)) {
			best = k
		}
	}
	return best
}
