// Package compiler turns a machine spec into a build: it solves the machine, finds
// what it can cut and what would better it, and writes one sheet for each question,
// in the order in which a builder meets them.
package compiler

import (
	"errors"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/change"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/compiler/sheet/axes"
	"ironbed/compiler/sheet/structure"
	"ironbed/compiler/sheet/verdict"
	"ironbed/spec"
)

// sheets are the questions in the order in which a builder meets them.
var sheets = []sheet.Sheet{
	structure.Sections,  // what are the members made of?
	structure.Shrinkage, // what does the fill do as it cures?
	structure.Mass,      // what does it weigh, and how is it lifted?
	structure.Stiffness, // how stiff is it at the tool tip?
	structure.Stance,    // is everything where it can be?
	structure.Gravity,   // how far do weight and acceleration deflect it?
	verdict.Cutting,     // what can it cut?
	structure.Shares,    // which part is the most compliant?
	structure.Modes,     // at which frequencies does it vibrate?
	structure.Usual,     // is that usual?
	verdict.Chatter,     // when does it chatter?
	verdict.Cuts,        // how is it cut, at the machine?
	structure.Bond,      // what if the fill debonds?
	structure.Joints,    // how stiff are the joints?
	axes.Drives,         // will it move?
	axes.Motion,         // will it follow?
	axes.Racking,        // does it stay square?
	axes.Rails,          // will the rails last?
	axes.Mounting,       // how straight and parallel must their surfaces be?
	axes.Cables,         // will the cables last, and what do covers cost?
	structure.Trials,    // what will a bench test read?
	structure.Pictures,  // what does it look like?
	structure.Model,     // what is the model made of?
	verdict.Changes,     // what is the next move?
	verdict.Assumptions, // what rests on a guess?
	verdict.Cautions,    // where can it hurt someone?
}

// Compile computes everything that the machine's spec allows. A machine that
// cannot be compiled gives no build but the findings that say why.
func Compile(m *spec.Machine, tool build.Tool, progress func(step string)) (*build.Build, []build.Finding) {
	return compile(m, tool, true, progress)
}

// Answers computes the findings, the verdicts with the moves that better them, and
// the weak points, as [Compile] does, and leaves out what only a report prints:
// pictures, maps, moves that better no verdict, what a move does besides, and what
// rests on each assumption.
func Answers(m *spec.Machine, tool build.Tool, progress func(step string)) (*build.Build, []build.Finding) {
	return compile(m, tool, false, progress)
}

func compile(m *spec.Machine, tool build.Tool, report bool, progress func(step string)) (*build.Build, []build.Finding) {
	step := ""
	begin := func(name string) { step = name; progress(name) }
	out := &build.Build{Machine: m.Name.Text, Purpose: m.Purpose.Text, Tool: tool, Spec: build.Spec{Digest: m.Source.Digest, Files: m.Source.Files}}
	solved, err := solve(m, report, begin)
	if err != nil {
		return nil, refusal(m, step, err)
	}
	book := sheet.NewBook(solved, out, report)
	for _, s := range sheets {
		if !book.Wants(s) {
			continue
		}
		begin(s.Name)
		if err := book.Write(s); err != nil {
			return nil, refusal(m, step, err)
		}
	}
	book.Close()
	return out, nil
}

// solve computes what the sheets read.
func solve(m *spec.Machine, report bool, begin func(step string)) (s sheet.Solutions, err error) {
	begin("machine")
	if s.Machine, err = machine.Analyse(m); err != nil {
		return s, err
	}
	begin("cuts")
	if s.Cuts, err = cut.Search(s.Machine); err != nil {
		return s, err
	}
	begin("axes")
	if s.Axes, err = axis.Analyse(s.Machine, s.Cuts.Demand); err != nil {
		return s, err
	}
	begin("changes")
	s.Changes, err = change.Search(s.Machine, s.Cuts, report)
	return s, err
}

// refusal is what is said of a machine that cannot be compiled.
func refusal(m *spec.Machine, step string, err error) []build.Finding {
	var r *machine.Refused
	if !errors.As(err, &r) {
		return []build.Finding{{Rule: step, Severity: build.SeverityError, Message: err.Error()}}
	}
	return append(sheet.Unlikely(m), build.Finding{Rule: r.Rule, Severity: build.SeverityError, Message: r.Message, At: build.Place(r.At)})
}
