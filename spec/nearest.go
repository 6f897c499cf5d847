package spec

import (
	"math"
	"regexp"
	"strconv"
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

// sizes matches a designation such as "RHS 200x100x10 hot": what it is, its sizes, the
// last of them, and what follows.
var sizes = regexp.MustCompile(`^(\pL[\pL ]*?) ?(\d+(?:\.\d+)?(?:[x×]\d+(?:\.\d+)?)*)[x×](\d+(?:\.\d+)?)(.*)$`)

// nearestSize returns the known designations that differ from a word in the last of their
// sizes alone, a wall as a rule: the next one up and the next one down, "" where there is none.
func nearestSize(word string, known []string) string {
	word = strings.ReplaceAll(word, " x ", "x")
	m := sizes.FindStringSubmatch(word)
	if m == nil {
		return ""
	}
	wanted, err := strconv.ParseFloat(m[3], 64)
	if err != nil {
		return ""
	}
	below, above := "", ""
	least, most := math.Inf(-1), math.Inf(1)
	for _, k := range known {
		n := sizes.FindStringSubmatch(k)
		if n == nil || !strings.EqualFold(n[1], m[1]) || n[2] != m[2] {
			continue
		}
		size, err := strconv.ParseFloat(n[3], 64)
		switch {
		case err != nil:
		case size <= wanted && size > least:
			below, least = k, size
		case size > wanted && size < most:
			above, most = k, size
		}
	}
	switch {
	case below != "" && above != "" && least < wanted:
		return below + "\" or \"" + above
	case below != "":
		return below
	}
	return above
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
	if near := nearestSize(word, known); near != "" {
		return near
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

// likePatterns are patterns that some names are like, with their numbers, or what stands before or behind one of the first "_", left
// open; and the names.
func likePatterns(names []string) (list []string) {
	const most = 4 // places in a name where it is left open
	known := map[string]bool{}
	for _, name := range names {
		known[name] = true
	}
	for _, name := range names {
		like := []string{wholeNumbers.ReplaceAllString(name, "*")}
		for i, r := range name {
			if r == '_' && len(like) <= 2*most {
				like = append(like, name[:i+1]+"*", "*"+name[i:])
			}
		}
		for _, pattern := range like {
			if !known[pattern] {
				known[pattern] = true
				list = append(list, pattern)
			}
		}
	}
	return append(list, names...)
}

// wholeNumbers are the whole numbers in a name.
var wholeNumbers = regexp.MustCompile(`\d+`)
