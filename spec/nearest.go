package spec

import (
	"strings"
	"unicode"

	"ironbed/spec/nearest"
)

// folded is a designation without its order and its spaces: "HEB 240" and
// "HE 240 B" are one.
func folded(word string) string {
	var letters, numbers []rune
	for _, r := range strings.ToLower(word) {
		switch {
		case unicode.IsLetter(r):
			letters = append(letters, r)
		case !unicode.IsSpace(r):
			numbers = append(numbers, r)
		}
	}
	return string(letters) + " " + string(numbers)
}

// Holds reports whether a catalogue's name holds what is looked for, letters' case
// and the order within a designation aside.
func Holds(name, filter string) bool {
	return strings.Contains(strings.ToLower(name), strings.ToLower(filter)) ||
		len(filter) > 1 && strings.HasPrefix(folded(name), strings.TrimSpace(folded(filter)))
}

// Nearest returns the known word that is closest to a misspelt one, or "" when
// none is close. The measure is the edit distance, letters' case aside; a third
// of the word may be wrong; other names of the same thing are known. Failing that, it is
// the shortest one that begins with the word.
func Nearest(word string, known []string) string {
	if other := otherName(word, known); other != "" {
		return other
	}
	for _, k := range known {
		if folded(k) == folded(word) {
			return k
		}
	}
	if len([]rune(word)) < 3 { // a letter is near to any other
		return ""
	}
	third := len([]rune(word))/3 + 1
	if near := nearest.Words(word, known, func(string) int { return third }); len(near) > 0 {
		return near[0]
	}
	best := ""
	for _, k := range known {
		if strings.HasPrefix(strings.ToLower(k), strings.ToLower(word)) && (best == "" || len(k) < len(best)) {
			best = k
		}
	}
	return best
}
