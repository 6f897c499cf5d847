package render

import (
	"fmt"
	"io"
	"iter"
	"slices"
	"strings"
	"unicode/utf8"

	"ironbed/compiler/build"
	"ironbed/spec/literal"
	"ironbed/spec/quantity"
)

// The widths of a terminal, in columns.
const (
	usualWidth = 80 // where nothing is known of it
	leastWidth = 40 // nothing is set narrower than this
)

// A TerminalStyle is what a terminal can do.
type TerminalStyle struct {
	Width int  // its columns, 0 where they are not known
	Color bool // it shows colours, and they are wanted
}

// Terminal prints the summary of a check: a verdict a target with its best cut and what
// limits it, the first weak points, the best change, and how many findings there are.
func Terminal(w io.Writer, b *build.Build, style TerminalStyle) error {
	t := terminal{color: style.Color, width: max(style.Width, leastWidth)}
	if style.Width == 0 {
		t.width = usualWidth
	}
	for _, line := range wrap(literal.Line(b.Machine), t.width) {
		t.lines(t.paint(bold, line))
	}
	t.verdicts(b)
	t.weakPoints(b)
	t.bestChange(b)
	t.measureNext(b)
	t.lines("")
	t.wrapped("", tallyLine(b))
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
	width int // [columns]
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

// wrapped prints text within the width, behind an indent.
func (t *terminal) wrapped(indent, text string) {
	for _, line := range wrap(literal.Line(text), t.width-width(indent)) {
		t.lines(indent + line)
	}
}

// verdicts prints one entry a target: name, ambition and verdict in one line, the best
// cut and what limits it below.
func (t *terminal) verdicts(b *build.Build) {
	if len(b.Targets) == 0 {
		t.lines("")
		t.wrapped("", "The spec names nothing to cut.")
		return
	}
	names, ambitions, verdicts := 0, 0, 0
	for _, a := range b.Targets {
		names = max(names, width(literal.Line(a.Name)))
		ambitions = max(ambitions, width(a.Ambition))
		verdicts = max(verdicts, width(verdictWords(a)))
	}
	const gap = "  "
	names = max(1, min(names, t.width-ambitions-verdicts-2*len(gap)))
	for _, a := range b.Targets {
		t.lines("")
		for i, name := range wrap(literal.Line(a.Name), names) {
			if i > 0 {
				t.lines(name)
				continue
			}
			t.lines(pad(name, names) + gap + pad(a.Ambition, ambitions) + gap + t.paint(verdictColor(a.Verdict), verdictWords(a)))
		}
		if a.Chance != nil && a.Verdict != build.NotKnown {
			t.wrapped(gap, a.Chance.Words()+" machines like this one")
		}
		t.wrapped(gap, or(terminalCut(a), "no cut found"))
		if words := terminalJob(a.Job); words != "" {
			t.wrapped(gap, words)
		}
		switch {
		case a.Limiting == "":
		case a.Verdict == build.NotKnown:
			t.wrapped(gap, a.Limiting) // what is missing
		default:
			t.wrapped(gap, "limited by "+a.Limiting)
		}
	}
}

// cutSettings is how many numbers of a cut the terminal prints: those that are set.
const cutSettings = 4

// terminalCut is a target's best cut as the terminal prints it; nothing where there is
// none. Speed and feed are known by their units.
func terminalCut(a build.Target) string {
	var words []string
	for _, s := range a.Cut[:min(len(a.Cut), cutSettings)] {
		word := quantity.Measure(s.Value, s.Unit)
		if s.Unit != "rpm" && s.Unit != "mm/min" {
			word = s.Name + " " + word
		}
		words = append(words, word)
	}
	if len(words) == 0 {
		return ""
	}
	return strings.TrimPrefix(a.Operation+": "+strings.Join(words, ", "), ": ")
}

// terminalJob is how long a part takes, with its fastest cut and with its deepest.
func terminalJob(j *build.Job) string {
	if j == nil {
		return ""
	}
	var words []string
	for i, c := range j.Cuts {
		word := c.Words() + " " + build.Duration(c.Roughing)
		if i == 0 {
			word = quantity.Measure(j.Removed, "cm³") + " by the " + word
		}
		words = append(words, word)
	}
	if j.Finishing > 0 {
		words = append(words, "finished in "+build.Duration(j.Finishing))
	}
	return strings.Join(words, ", ")
}

// finishing prints what would lower the largest error of the target with the highest ambition whose finished part
// is not within its accuracy.
func (t *terminal) finishing(b *build.Build) {
	for _, ambition := range []string{"must", "should", "hope"} {
		for i := range b.Targets {
			a := &b.Targets[i]
			if a.Ambition != ambition || !a.ByFinishing() || a.Budget == nil || a.Budget.Largest == "" {
				continue
			}
			if a.Job != nil && a.Job.Lacks != "" {
				t.lines("", t.paint(bold, "Finishing"))
				t.wrapped("  ", a.Name+": "+a.Job.Lacks)
				return
			}
			t.lines("", t.paint(bold, "Largest error"))
			t.wrapped("  ", fmt.Sprintf("%s: %s, %s of %s; without it %s, accuracy %s", a.Name, a.Budget.Largest, percent(a.Budget.Share),
				quantity.Measure(a.Budget.Likely, "µm"), quantity.Measure(a.Budget.Without, "µm"), quantity.Measure(a.Budget.Accuracy, "µm")))
			if a.Budget.Way != "" {
				t.wrapped("  ", fmt.Sprintf("%s with %s", quantity.Measure(a.Budget.WayTo, "µm"), a.Budget.Way))
				return
			}
			t.wrapped("  ", "to lower it, "+a.Budget.Lower)
			return
		}
	}
}

// verdictWords are a target's verdict and which of roughing and finishing decides it.
func verdictWords(a build.Target) string {
	switch a.Decides {
	case "":
		return string(a.Verdict)
	case "roughing and finishing": // in a line of a terminal
		return string(a.Verdict) + ", by both"
	}
	return string(a.Verdict) + ", by " + a.Decides
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

// weakest is how many weak points the terminal prints.
const weakest = 3

// weakPoints prints the most compliant parts with their shares of the compliance, each
// part once.
func (t *terminal) weakPoints(b *build.Build) {
	var parts []string
	shares := map[string][]string{}
	for _, p := range b.WeakPoints {
		name := literal.Line(p.Part)
		if shares[name] == nil {
			if len(parts) == weakest {
				continue
			}
			parts = append(parts, name)
		}
		shares[name] = append(shares[name], percent(p.Share)+" along "+p.Direction)
	}
	if len(parts) == 0 {
		return
	}
	t.lines("", t.paint(bold, "Weak points")+", share of compliance")
	for _, name := range parts {
		t.wrapped("  ", name+": "+strings.Join(shares[name], ", "))
	}
}

// bestChange prints the change that is worth most: one that betters the verdict of the
// target with the highest ambition, else the first change to a target short of its
// ambition.
func (t *terminal) bestChange(b *build.Build) {
	var best *build.Change
	var target *build.Target
	for _, ambition := range []string{"must", "should", "hope"} {
		for i := range b.Targets {
			a := &b.Targets[i]
			if a.Ambition != ambition || a.Verdict == build.WithinReach {
				continue
			}
			for k := range a.Changes {
				// What leaves finishing short of its accuracy is no best change.
				if c := &a.Changes[k]; c.Moves && (best == nil || !best.Moves) || best == nil && !a.ByFinishing() {
					best, target = c, a
				}
			}
		}
	}
	if best == nil {
		t.finishing(b)
		return
	}
	t.lines("", t.paint(bold, "Best change"))
	t.wrapped("  ", best.What)
	verdict := "the verdict at the middle stays " + string(best.Verdict)
	if best.Moves {
		verdict = "the verdict at the middle becomes " + string(best.Verdict)
	}
	words := target.Name + ": " + verdict
	if best.Effect != "" {
		words += "; " + best.Effect
	}
	t.wrapped("  ", words)
}

// measureNext prints what tells most about the verdicts that are open.
func (t *terminal) measureNext(b *build.Build) {
	if len(b.Measures) == 0 {
		return
	}
	m := b.Measures[0]
	t.lines("", t.paint(bold, "Measure next"))
	t.wrapped("  ", fmt.Sprintf("%s, with a %s: %s; %s of what is open about %s hangs on it, %s is left then", m.What, m.With, m.Test, percent(m.Share), m.Target, percent(m.Left)))
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
