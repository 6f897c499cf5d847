// Package literal holds what keeps the texts of a spec texts: which characters none
// may hold, and how a backtick of theirs is told from one of the compiler's sentences,
// where it stands round a word of the spec.
package literal

import (
	"strings"
	"unicode"
)

// backtick stands for a backtick of the spec until an output prints it. It is from the
// private use area, so that no text needs it.
const backtick = '\ue060'

// Unfit returns the first character of a text that no text may hold: control characters,
// those that turn the direction of writing or hide, and those that are no characters.
// Line breaks and tabs are fit for a text, not for a name.
func Unfit(text string) (r rune, found bool) {
	for _, r := range text {
		if unfit(r) {
			return r, true
		}
	}
	return 0, false
}

func unfit(r rune) bool {
	switch {
	case r == '\n', r == '\r', r == '\t':
		return false
	case unicode.IsControl(r), r == backtick, r == unicode.ReplacementChar,
		r == 0x061c, r >= 0x200e && r <= 0x200f, r >= 0x2028 && r <= 0x202e, r >= 0x2066 && r <= 0x2069,
		r >= 0xfdd0 && r <= 0xfdef, r == 0xfeff, r >= 0xfff9 && r <= 0xfffb, r&0xfffe == 0xfffe,
		r >= 0xe0000 && r <= 0xe007f:
		return true
	}
	return false
}

// Keep returns a text of the spec as the compiler carries it.
func Keep(text string) string { return strings.ReplaceAll(text, "`", string(backtick)) }

// Show returns a text as an output prints it: backticks are backticks again, and no
// character is left that none may hold.
func Show(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == backtick:
			return '`'
		case unfit(r):
			return -1
		}
		return r
	}, text)
}

// Unquoted is Show of a sentence in which strconv.Quote has quoted texts of the spec.
func Unquoted(text string) string { return Show(strings.ReplaceAll(text, `\ue060`, "`")) }

// Line is Show on one line.
func Line(text string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if r == '\n' || r == '\r' || r == '\t' {
			return ' '
		}
		return r
	}, Show(text)))
}
