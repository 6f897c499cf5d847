package compiler

import (
	"ironbed/compiler/build"
	"ironbed/spec"
)

// A refusal is why a machine cannot be compiled, with the place in the spec
// that causes it.
type refusal struct {
	rule    string
	at      spec.Place
	message string
	notes   []build.Remark
}

// Error returns the sentence.
func (r *refusal) Error() string { return r.message }

// finding makes the diagnostic that the user sees.
func (r *refusal) finding() build.Finding {
	return build.Finding{Rule: r.rule, Severity: build.SeverityError, Message: r.message, At: build.Place(r.at), Notes: r.notes}
}
