package build

import (
	"cmp"
	"fmt"
	"slices"

	"ironbed/spec/literal"
)

// A Severity says how much a finding weighs.
type Severity string

// The severities. SeverityError means that the spec cannot be compiled, SeverityFail that
// the machine as described will not do, SeverityCaution that it may not, and
// SeverityNote is worth knowing.
const (
	SeverityError   Severity = "error"
	SeverityFail    Severity = "fail"
	SeverityCaution Severity = "caution"
	SeverityNote    Severity = "note"
)

// RuleTarget is the rule of a finding that says that a target misses its ambition.
const RuleTarget = "target-reach"

// A Finding is one statement of judgement.
type Finding struct {
	Rule     string   // in plain words, stable: "critical-speed"
	Severity Severity // how much it weighs
	Message  string   // a sentence without a full stop: part, number, limit, fix
	At       Place    // the place in the spec that caused it
	Notes    []Remark // further places that belong to it, and what would fix it
	Figures  []string // ids of the figures it rests on
}

// A Remark is a finding's side note, with a place of its own where it has one.
type Remark struct {
	Message string
	At      Place
}

// String prints the finding as a diagnostic line, with its remarks below it.
func (f Finding) String() string {
	line := func(s string) string { return literal.Line(literal.Unquoted(s)) }
	s := line(fmt.Sprintf("%s%s: %s [%s]", f.At.prefix(), f.Severity, f.Message, f.Rule))
	for _, n := range f.Notes {
		s += "\n    " + line(n.At.prefix()+n.Message)
	}
	return s
}

func (p Place) prefix() string {
	if !p.Known() {
		return ""
	}
	return fmt.Sprintf("%s:%d:%d: ", p.File, p.Line, p.Column)
}

// SortFindings puts findings in file order and drops repeated ones.
func SortFindings(list []Finding) []Finding {
	slices.SortStableFunc(list, func(a, b Finding) int {
		return cmp.Or(
			cmp.Compare(a.At.File, b.At.File),
			cmp.Compare(a.At.Line, b.At.Line),
			cmp.Compare(a.At.Column, b.At.Column),
			cmp.Compare(a.Rule, b.Rule),
			cmp.Compare(a.Message, b.Message))
	})
	return slices.CompactFunc(list, func(a, b Finding) bool {
		return a.At == b.At && a.Rule == b.Rule && a.Message == b.Message
	})
}
