// Package nearest finds the known words that are closest to a misspelt one.
package nearest

import (
	"cmp"
	"slices"
	"strings"

	"github.com/agnivade/levenshtein"
)

// Words returns the known words that take no more changes of letters than allowed says
// of each, letters' case aside: those that take fewest first, and of those the ones
// that stand first.
func Words(word string, known []string, allowed func(known string) int) []string {
	type candidate struct {
		word     string
		distance int
	}
	word = strings.ToLower(word)
	var list []candidate
	for _, k := range known {
		if d := levenshtein.ComputeDistance(word, strings.ToLower(k)); d <= allowed(k) {
			list = append(list, candidate{k, d})
		}
	}
	slices.SortStableFunc(list, func(a, b candidate) int { return cmp.Compare(a.distance, b.distance) })
	var words []string
	for _, c := range list {
		words = append(words, c.word)
	}
	return words
}

// First is the first of some words, "" where there are none.
func First(words []string) string {
	if len(words) == 0 {
		return ""
	}
	return words[0]
}
