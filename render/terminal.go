package render

import (
	"fmt"
	"io"
	"iter"
	"slices"
	"strings"
	"unicode/utf8"

	"ironbed/compiler/build"
)

// terminalWidth is the number of columns that the terminal's summary keeps to.
const terminalWidth = 100

// Terminal prints the summary of a check: a verdict a target with its best cut
// and what stops it, the weak points, and how many findings there are.
func Terminal(w io.Writer, b *build.Build, color bool) error {
	t := terminal{color: color}
	t.lines(t.paint(bold, oneLine(b.Machine)))
	t.verdicts(b)
	t.weakPoints(b)
	t.lines("", tallyLine(b))
	_, err := io.WriteString(w, t.text.String())
	return err
}

// The terminal's few colours. Every one of them only repeats what words say.
const (
	bold   = "\x1b[1m"
	green  = "\x1b[32m"
	yellow = "\x1b[33m"
	red    = "\x1b[31m"
	reset  = "\x1b[0m"
)

type terminal struct {
	text  strings.Builder
	color bool
}

func (t *terminal) lines(lines ...string) {
	for _, line := range lines {
		t.text.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

func (t *terminal) paint(color, s string) string {
	if !t.color || s == "" {
		return s
	}
	return color + s + reset
}

// verdicts prints one entry a target: name, ambition and verdict in columns, the
// best cut and what stops it beside them.
func (t *terminal) verdicts(b *build.Build) {
	if len(b.Targets) == 0 {
		t.lines("", "The spec names nothing to cut.")
		return
	}
	names, ambitions, verdicts := 0, 0, 0
	for _, a := range b.Targets {
		names = max(names, width(a.Name))
		ambitions = max(ambitions, width(a.Ambition))
		verdicts = max(verdicts, width(string(a.Verdict)))
	}
	names = min(names, 24)
	lead := names + ambitions + verdicts + 8
	t.lines("")
	for _, a := range b.Targets {
		var beside []string
		beside = append(beside, wrap(or(oneLine(bestCut(a)), "no cut found"), terminalWidth-lead)...)
		if a.Limiting != "" {
			beside = append(beside, wrap("stopped by: "+oneLine(a.Limiting), terminalWidth-lead)...)
		}
		if a.Next != "" {
			beside = append(beside, wrap("to go on: "+oneLine(a.Next), terminalWidth-lead)...)
		}
		if len(a.Changes) > 0 && a.Changes[0].Moves {
			beside = append(beside, wrap("next move: "+oneLine(a.Changes[0].What), terminalWidth-lead)...)
		}
		name := wrap(oneLine(a.Name), names)
		for i := range max(len(beside), len(name)) {
			cells := [3]string{at(name, i)}
			if i == 0 {
				cells[1], cells[2] = a.Ambition, string(a.Verdict)
			}
			t.lines("  " + pad(cells[0], names) + "  " + pad(cells[1], ambitions) + "  " +
				t.paint(verdictColor(a.Verdict), cells[2]) + strings.Repeat(" ", verdicts-width(cells[2])) + "  " + at(beside, i))
		}
	}
}

func verdictColor(v build.Verdict) string {
	switch v {
	case build.WithinReach:
		return bold + green
	case build.LightCuts:
		return bold + yellow
	case build.OutOfReach:
		return bold + red
	}
	return bold
}

// weakPoints prints the parts that give most, with their share.
func (t *terminal) weakPoints(b *build.Build) {
	if len(b.WeakPoints) == 0 {
		return
	}
	parts := 0
	for _, p := range b.WeakPoints {
		parts = max(parts, width(p.Part))
	}
	parts = min(parts, 32)
	lead := parts + 14
	t.lines("", "Weak points")
	for _, p := range b.WeakPoints {
		name := wrap(oneLine(p.Part), parts)
		says := wrap(oneLine(p.Sentence), terminalWidth-lead)
		for i := range max(len(name), len(says)) {
			share, along := "", ""
			if i == 0 {
				share, along = percent(p.Share), p.Direction
			}
			t.lines("  " + pad(at(name, i), parts) + "  " + pad(along, 1) + "  " + fmt.Sprintf("%5s", share) + "  " + at(says, i))
		}
	}
}

// tallyLine counts the findings.
func tallyLine(b *build.Build) string {
	if len(b.Findings) == 0 {
		return "No findings."
	}
	return capital(tally(b.Findings)) + "."
}

// width is the number of columns that text takes.
func width(s string) int { return utf8.RuneCountInString(s) }

func pad(s string, columns int) string {
	return s + strings.Repeat(" ", max(0, columns-width(s)))
}

// at returns the element, or nothing beyond the end.
func at(list []string, i int) string {
	if i < len(list) {
		return list[i]
	}
	return ""
}

// wrap breaks text into lines of at most columns characters, at spaces where it
// can, but not between a number and its unit. The result has at least one line.
func wrap(s string, columns int) []string {
	var lines []string
	line := ""
	for word := range wordsOf(s) {
		for width(word) > columns {
			if line != "" {
				lines, line = append(lines, line), ""
			}
			r := []rune(word)
			lines, word = append(lines, string(r[:columns])), string(r[columns:])
		}
		switch {
		case line == "":
			line = word
		case width(line)+1+width(word) > columns:
			lines, line = append(lines, line), word
		default:
			line += " " + word
		}
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return slices.Clip(lines)
}

// wordsOf yields the words of a text, a number together with its unit.
func wordsOf(s string) iter.Seq[string] {
	words := strings.Split(s, " ")
	return func(yield func(string) bool) {
		for i := 0; i < len(words); i++ {
			word := words[i]
			if i+1 < len(words) && isNumber(word) && isUnit(words[i+1]) {
				word += " " + words[i+1]
				i++
			}
			if !yield(word) {
				return
			}
		}
	}
}

func isNumber(s string) bool { return s != "" && strings.Trim(s, "0123456789.,-") == "" }

var units = []string{"%", "mm", "µm", "m", "kg", "N", "kN", "W", "kW", "Hz", "rpm", "°"}

// isUnit reports whether a word behind a number looks like its unit.
func isUnit(s string) bool {
	s = strings.TrimRight(s, ".,;:")
	return slices.Contains(units, s) || strings.ContainsAny(s, "/·²³") && width(s) <= 7
}
