package render

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"ironbed/compiler/build"
	"ironbed/spec/literal"
)

// markdownSpecial holds the characters that may mean something inside a line of
// Markdown. An underscore or a tilde between letters means nothing and stays
// readable, see plain.
const markdownSpecial = "\\`*_[]<>&|~!$#"

// plain returns text so that Markdown prints it as it stands inside a line. What a
// viewer would make a link of by itself, a web or mail address, becomes a code span:
// in the dialects that link bare addresses no escape keeps them from it.
func plain(s string) string {
	s = literal.Line(s)
	var out strings.Builder
	for s != "" {
		at := address.FindStringIndex(s)
		if at == nil {
			out.WriteString(escaped(s))
			break
		}
		out.WriteString(escaped(s[:at[0]]))
		out.WriteString(code(s[at[0]:at[1]]))
		s = s[at[1]:]
	}
	return out.String()
}

// address matches what viewers of Markdown make links of: a scheme or www and what
// follows, a mail address, a name in one of the domains that everybody knows.
var address = regexp.MustCompile(`(?i)[^\s]*(?:[a-z][a-z0-9+.-]*://|\bwww\.|\b(?:mailto|xmpp|tel|javascript|data):|[^\s@]@[^\s@])[^\s]*` +
	`|[^\s]*[\pL\d-]\.(?:biz|com|edu|gov|info|io|mil|museum|name|net|org|pro|shop|web|xxx|aero|asia|coop|dev|app|рф)\b[^\s]*` +
	`|[^\s]*[\pL\d-]\.[a-z]{2,}/[^\s]*`)

// escaped returns one line with a backslash before what could be read as Markdown.
func escaped(s string) string {
	runes := []rune(s)
	var out strings.Builder
	for i, r := range runes {
		if strings.ContainsRune(markdownSpecial, r) && needsEscape(runes, i) {
			out.WriteByte('\\')
		}
		out.WriteRune(r)
	}
	return out.String()
}

// inline returns a text of a sheet, with its bold parts and its words of the spec. It is
// the one place where a sheet's text becomes Markdown.
func inline(s string) string {
	var out strings.Builder
	for s != "" {
		before, rest, found := strings.Cut(s, build.BoldBegins)
		out.WriteString(spaced(before))
		if !found {
			break
		}
		bold, after, _ := strings.Cut(rest, build.BoldEnds)
		if words := prose(bold); words != "" {
			out.WriteString("**" + words + "**")
		}
		s = after
	}
	return strings.TrimSpace(out.String())
}

// spaced is prose that keeps the spaces round it.
func spaced(s string) string {
	words := prose(s)
	if words == "" {
		return s[:min(len(s), 1)]
	}
	if strings.HasPrefix(s, " ") {
		words = " " + words
	}
	if strings.HasSuffix(s, " ") {
		words += " "
	}
	return words
}

// prose returns a sentence of the compiler's: what stands between backticks in it is
// a word of the spec, and printed as one. A backtick of the spec's own is none of
// these, see [literal.Keep].
func prose(s string) string {
	parts := strings.Split(strings.TrimSpace(s), "`")
	if len(parts)%2 == 0 { // a backtick without its fellow
		return plain(s)
	}
	var out strings.Builder
	for i, part := range parts {
		switch {
		case i%2 == 1 && strings.TrimSpace(part) != "":
			out.WriteString(code(part))
		case i%2 == 1:
			out.WriteString(plain("`" + part + "`"))
		default:
			space := part[:len(part)-len(strings.TrimLeft(part, " "))]
			out.WriteString(space + plain(part))
			if strings.TrimSpace(part) != "" && strings.HasSuffix(part, " ") {
				out.WriteByte(' ')
			}
		}
	}
	return strings.TrimSpace(out.String())
}

// opening returns text so that Markdown prints it as it stands at the start of
// a line, where it might begin a heading, a list or a quotation.
func opening(s string) string { return startOfLine(plain(s)) }

// needsEscape reports whether the special character at i could be read as
// Markdown where it stands.
func needsEscape(runes []rune, i int) bool {
	next := func(offset int) rune {
		if j := i + offset; j >= 0 && j < len(runes) {
			return runes[j]
		}
		return ' '
	}
	word := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
	switch runes[i] {
	case '_':
		return !(word(next(-1)) && word(next(1)))
	case '&':
		return word(next(1)) || next(1) == '#'
	case '!':
		return next(1) == '['
	case '<':
		return !unicode.IsSpace(next(1)) && !unicode.IsDigit(next(1))
	case '*':
		inside := i > 0 && i < len(runes)-1
		return !inside || !(unicode.IsSpace(next(-1)) && unicode.IsSpace(next(1)))
	case '>':
		return i == 0
	case '$': // some sites read mathematics between two of them
		return !unicode.IsSpace(next(1))
	case '#': // at the end of a heading
		return next(1) == ' '
	}
	return true
}

// startOfLine escapes what would begin a heading, a list or a rule.
func startOfLine(s string) string {
	first, _, _ := strings.Cut(s, " ")
	switch {
	case first == "":
		return s
	case strings.Trim(first, "#") == "", first == "-", first == "+", first == "*", strings.HasPrefix(first, "--"):
		return "\\" + s
	}
	digits := strings.TrimRight(first, ".)")
	if len(digits) == len(first)-1 && strings.Trim(digits, "0123456789") == "" && digits != "" {
		return digits + "\\" + s[len(digits):]
	}
	return s
}

// code returns text as a code span.
func code(s string) string {
	s = literal.Line(s)
	if s == "" {
		return ""
	}
	fence := "`"
	for strings.Contains(s, fence) {
		fence += "`"
	}
	if strings.HasPrefix(s, "`") || strings.HasSuffix(s, "`") {
		s = " " + s + " "
	}
	return fence + s + fence
}

// cell returns a line of Markdown so that it stays inside one table cell.
func cell(s string) string {
	s = literal.Line(s)
	var out strings.Builder
	backslashes := 0
	for _, r := range s {
		if r == '|' && backslashes%2 == 0 {
			out.WriteByte('\\')
		}
		if r == '\\' {
			backslashes++
		} else {
			backslashes = 0
		}
		out.WriteRune(r)
	}
	return out.String()
}

// sentence returns text that ends in a full stop.
func sentence(s string) string {
	s = strings.TrimSpace(s)
	if s != "" && !strings.ContainsAny(s[len(s)-1:], ".!?:") {
		s += "."
	}
	return s
}

// place prints a position as file:line, or nothing for an unknown one.
func place(p build.Place) string {
	if !p.Known() {
		return ""
	}
	return fmt.Sprintf("%s:%d", p.File, p.Line)
}

// fullPlace prints a position as file:line:column.
func fullPlace(p build.Place) string {
	if !p.Known() {
		return ""
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// join strings together a list in words: "oak, ash and aluminium".
func join(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

// count prints a number of things: "1 caution", "3 cautions", "no cautions".
func count(n int, one, many string) string {
	switch n {
	case 0:
		return "no " + many
	case 1:
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
