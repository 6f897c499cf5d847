// Package compiler turns a machine spec into a build: it solves the machine, finds
// what it can cut and what would better it, and writes one sheet for each question,
// in the order in which a builder meets them.
package compiler

import (
	"errors"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/change"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/compiler/sheet/axes"
	"ironbed/compiler/sheet/structure"
	"ironbed/compiler/sheet/verdict"
	"ironbed/compiler/spindles"
	"ironbed/spec"
)

// A depth is how far the machine is solved. Each needs those before.
type depth int

const (
	statics depth = iota // displacements in every position
	cutting              // modes, cuts, the axes under them, and the accuracy of the parts
	changes              // recommended changes, and what rests on assumptions
)

// sheets are the questions in the order in which a builder meets them, and how far
// the machine has to be solved to answer each.
var sheets = []struct {
	sheet.Sheet
	reads depth
}{
	{structure.Sections, statics},  // what are the members made of?
	{structure.Shrinkage, statics}, // what does the fill do as it cures?
	{structure.Mass, statics},      // what does it weigh, and how is it lifted?
	{structure.Solids, statics},    // how long is each bar, and do the parts clear each other?
	{structure.Stiffness, statics}, // how stiff is it at the tool tip?
	{structure.Stance, statics},    // is everything where it can be?
	{structure.Gravity, statics},   // how far do weight and acceleration deflect it?
	{verdict.Cutting, cutting},     // what can it cut?
	{structure.Shares, cutting},    // which part is the most compliant?
	{structure.Modes, cutting},     // at which frequencies does it vibrate?
	{structure.Usual, cutting},     // is that usual?
	{verdict.Chatter, cutting},     // when does it chatter?
	{verdict.Cuts, cutting},        // how is it cut, at the machine?
	{structure.Bond, changes},      // what if the fill debonds?
	{structure.Joints, cutting},    // how stiff are the joints?
	{axes.Drives, cutting},         // will it move?
	{axes.Motion, cutting},         // will it follow?
	{axes.Racking, cutting},        // does it stay square?
	{axes.Rails, cutting},          // will the rails last?
	{axes.Crash, cutting},          // what does a crash ask?
	{axes.Mounting, cutting},       // how straight and parallel must their surfaces be?
	{verdict.Budget, cutting},      // how accurate is the finished part?
	{verdict.Heat, cutting},        // how long to wait before zero is set?
	{axes.Cables, cutting},         // will the cables last, and what do covers cost?
	{structure.Trials, cutting},    // what will a bench test read?
	{structure.Pictures, cutting},  // what does it look like?
	{structure.Model, cutting},     // what is the model made of?
	{verdict.Changes, changes},     // what is the next move?
	{verdict.Assumptions, changes}, // what rests on a guess?
	{verdict.Condition, changes},   // what do second-hand parts cost?
	{verdict.Cautions, cutting},    // where can it hurt someone?
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

// Figure computes no more than one figure needs, with what it was computed from. It
// gives the whole build where no figure has the id.
func Figure(id string) func(*spec.Machine, build.Tool, func(step string)) (*build.Build, []build.Finding) {
	return func(m *spec.Machine, tool build.Tool, progress func(step string)) (*build.Build, []build.Finding) {
		if len(m.Spindles) > 1 { // which of them it is of is not known before
			return compile(m, tool, true, progress)
		}
		c := compilation{machine: m, tool: tool, report: true, progress: progress}
		for to := statics; ; to++ {
			if err := c.solve(to); err != nil {
				return nil, c.refusal(err)
			}
			out, err := c.write(to)
			if err != nil {
				return nil, c.refusal(err)
			}
			if _, ok := out.Figures.Get(id); ok || to == changes {
				return out, nil
			}
		}
	}
}

func compile(m *spec.Machine, tool build.Tool, report bool, progress func(step string)) (*build.Build, []build.Finding) {
	if names := m.Spindles.Names(); len(names) > 1 {
		return compileEach(m, names, tool, report, progress)
	}
	return compileOne(m, tool, report, progress)
}

// compileOne compiles a machine with the spindle that cuts.
func compileOne(m *spec.Machine, tool build.Tool, report bool, progress func(step string)) (*build.Build, []build.Finding) {
	c := compilation{machine: m, tool: tool, report: report, progress: progress}
	for to := statics; to <= changes; to++ {
		if err := c.solve(to); err != nil {
			return nil, c.refusal(err)
		}
	}
	out, err := c.write(changes)
	if err != nil {
		return nil, c.refusal(err)
	}
	return out, nil
}

// compileEach compiles a machine with each of its spindles cutting, and joins what comes out.
func compileEach(m *spec.Machine, names []string, tool build.Tool, report bool, progress func(step string)) (*build.Build, []build.Finding) {
	var list []spindles.Cutting
	for _, name := range names {
		mounted, err := m.Mounting(name)
		if err != nil {
			return nil, []build.Finding{{Rule: "spindles", Severity: build.SeverityError, Message: err.Error(), At: build.Place(m.Spindles.Find(name).At)}}
		}
		b, findings := compileOne(mounted, tool, report, progress)
		if b == nil {
			return nil, findings
		}
		list = append(list, spindles.Cutting{Spindle: name, Build: b})
	}
	return spindles.Join(list, m.TargetNames(), spec.IDWord), nil
}

// A compilation is a machine on its way to a build.
type compilation struct {
	machine  *spec.Machine
	tool     build.Tool
	report   bool
	progress func(step string)
	step     string // that runs
	solved   sheet.Solutions
}

func (c *compilation) begin(step string) {
	c.step = step
	c.progress(step)
}

// solve computes what the sheets read at a depth. The depths before are solved.
func (c *compilation) solve(to depth) (err error) {
	s := &c.solved
	switch to {
	case statics:
		c.begin("machine")
		s.Machine, err = machine.Statics(c.machine)
	case cutting:
		if err = s.Machine.Dynamics(); err != nil {
			return err
		}
		c.begin("cuts")
		if s.Cuts, err = cut.Search(s.Machine); err != nil {
			return err
		}
		c.begin("axes")
		if s.Axes, err = axis.Analyse(s.Machine, s.Cuts.Demand); err != nil {
			return err
		}
		c.begin("accuracy")
		err = c.accuracy()
	case changes:
		c.begin("changes")
		s.Changes, err = change.Search(s.Machine, s.Cuts, c.report)
	}
	return err
}

// accuracy makes the error budgets. Their finish passes load the axes, too: where one of them asks more
// than the cuts do, the axes are looked at again.
func (c *compilation) accuracy() (err error) {
	s := &c.solved
	if s.Accuracy, err = accuracy.Search(s.Machine, s.Cuts, s.Axes); err != nil {
		return err
	}
	demand, more, err := s.Accuracy.Demand(s.Machine, s.Cuts)
	if err != nil || !more {
		return err
	}
	cuts := *s.Cuts
	cuts.Demand, s.Cuts = demand, &cuts
	if s.Axes, err = axis.Analyse(s.Machine, demand); err != nil {
		return err
	}
	s.Accuracy, err = accuracy.Search(s.Machine, s.Cuts, s.Axes)
	return err
}

// write writes the sheets that read no more than is solved.
func (c *compilation) write(solved depth) (*build.Build, error) {
	m := c.machine
	out := &build.Build{Machine: m.Name.Text, Purpose: m.Purpose.Text, Tool: c.tool, Spec: build.Spec{Digest: m.Source.Digest, Files: m.Source.Files}}
	book := sheet.NewBook(c.solved, out, c.report)
	for _, s := range sheets {
		if s.reads > solved || !book.Wants(s.Sheet) {
			continue
		}
		c.begin(s.Name)
		if err := book.Write(s.Sheet); err != nil {
			return nil, err
		}
	}
	book.Close()
	return out, nil
}

// refusal is what is said of a machine that cannot be compiled.
func (c *compilation) refusal(err error) []build.Finding {
	var r *machine.Refused
	if !errors.As(err, &r) {
		return append(sheet.Unlikely(c.machine), build.Finding{Rule: c.step, Severity: build.SeverityError, At: build.Place(c.machine.Name.At),
			Message: "the machine cannot be computed; a value far from what is usual is the likely cause: " + err.Error()})
	}
	return append(sheet.Unlikely(c.machine), build.Finding{Rule: r.Rule, Severity: build.SeverityError, Message: r.Message, At: build.Place(r.At)})
}
