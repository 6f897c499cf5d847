package spec

import (
	"fmt"
	"regexp"
	"strings"

	"ironbed/schema"
)

// Two slips that CUE's own parser words so that nobody finds them: a value with
// its unit that is not in quotes, and a decimal comma.
var (
	inQuotes  = regexp.MustCompile(`"(?:[^"\\]|\\.)*"`)
	bareUnit  = regexp.MustCompile(`[:\[,]\s*([-+]?\d+(?:\.\d+)?)\s*([a-zA-Zµ°][a-zA-Zµ°·/0-9]*)`)
	bareComma = regexp.MustCompile(`:\s*([-+]?\d+),(\d+)\b`)
	multiple  = regexp.MustCompile(`^(?:[eE][-+]?\d+|[kKMGTP]i?|[xob][0-9a-fA-F]+)$`) // CUE's own endings of numbers
)

// bareValues finds values that lack their quotes and numbers with a decimal
// comma.
func bareValues(f schema.File) []Diagnostic {
	var list []Diagnostic
	longText := false
	for i, line := range strings.Split(string(f.Text), "\n") {
		if fences := strings.Count(line, "\"\"\""); fences > 0 || longText {
			longText = longText != (fences%2 == 1)
			continue
		}
		// What stands in quotes or after // is blanked, so that places stay.
		line = inQuotes.ReplaceAllStringFunc(line, func(s string) string { return strings.Repeat("\"", len(s)) })
		line, _, _ = strings.Cut(line, "//")
		say := func(at int, format string, args ...any) {
			list = append(list, Diagnostic{Rule: RuleSyntax, At: Place{f.Name, i + 1, at + 1}, Message: fmt.Sprintf(format, args...)})
		}
		for _, m := range bareUnit.FindAllStringSubmatchIndex(line, -1) {
			value, unit := line[m[2]:m[3]], line[m[4]:m[5]]
			if !multiple.MatchString(unit) {
				say(m[2], "a value with its unit stands in quotes: \"%s %s\"", value, unit)
			}
		}
		for _, m := range bareComma.FindAllStringSubmatchIndex(line, -1) {
			whole, part := line[m[2]:m[3]], line[m[4]:m[5]]
			say(m[2], "the number %s,%s has a decimal comma; write %s.%s", whole, part, whole, part)
		}
	}
	return list
}
