// Package spec reads a machine spec: CUE files in, a typed machine in SI units
// out, every value with its bounds and its place in the user's files. All that
// is wrong with a spec is said in one run.
package spec

// A Place is a position in the user's spec. File is relative to the spec's
// folder. The zero Place is nowhere.
type Place struct {
	File   string
	Line   int
	Column int
}

// A Diagnostic is one thing that is wrong with a spec.
type Diagnostic struct {
	Rule    string   // stable, in plain words: "unknown-field"
	Message string   // a sentence without a full stop: found, expected, mend
	At      Place    // where it stands
	Notes   []Remark // other places that belong to it
}

// A Remark is a diagnostic's side note.
type Remark struct {
	Message string
	At      Place
}

// The rules under which a spec is refused.
const (
	RuleSyntax       = "syntax"
	RuleFolder       = "spec-folder"
	RuleImport       = "import"
	RuleEvaluation   = "evaluation"
	RuleConflict     = "conflict"
	RuleUnknownField = "unknown-field"
	RuleMissingField = "missing-field"
	RuleKind         = "wrong-kind"
	RuleDimension    = "wrong-dimension"
	RuleSize         = "size"
	RuleText         = "text"
	RuleUnit         = "unknown-unit"
	RuleQuantity     = "quantity"
	RuleRange        = "out-of-range"
	RuleChoice       = "one-of"
	RuleDuplicate    = "duplicate"
	RuleReference    = "unknown-name"
	RuleAxisChain    = "axis-chain"
	RuleGeometry     = "geometry"
	RuleUnlikely     = "unlikely-value" // no mistake for sure: the spec compiles
)
