package machine

import (
	"ironbed/spec"
)

// A Refused is why a machine cannot be compiled, with the place in the spec
// that causes it.
type Refused struct {
	Rule    string
	At      spec.Place
	Message string
}

// Error returns the sentence.
func (r *Refused) Error() string { return r.Message }
