// Package compiler turns a machine spec into a build: it solves the machine, finds
// what it can cut and what would better it, and writes one sheet for each question,
// in the order in which a builder meets them.
package compiler

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/asbuilt"
	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/chance"
	"ironbed/compiler/change"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/compiler/sheet/axes"
	"ironbed/compiler/sheet/structure"
	"ironbed/compiler/sheet/verdict"
	"ironbed/compiler/sheet/work"
	"ironbed/compiler/spindles"
	"ironbed/spec"
)

// A depth is how far the machine is solved. Each needs those before.
type depth int

const (
	statics depth = iota // displacements in every position
	cutting              // modes, cuts, the axes under them, and the accuracy of the parts
	chances              // what becomes of machines whose values are drawn
	changes              // recommended changes, and what rests on assumptions
)

// sheets are the questions in the order in which a builder meets them, how far the machine
// has to be solved to answer each, and how the ids of the answer's figures begin.
var sheets = []struct {
	sheet.Sheet
	reads depth
	ids   string // {…} stands for a name
}{
	{structure.Sections, statics, "section.{section} member.{body}"},                      // what are the members made of?
	{structure.Shrinkage, statics, "member.{body}"},                                       // what does the fill do as it cures?
	{structure.Mass, statics, "mass"},                                                     // what does it weigh, and how is it lifted?
	{structure.Solids, statics, "member.{body} bar mass clearance"},                       // how long is each bar, and do the parts clear each other?
	{structure.Stiffness, statics, "machine position tool"},                               // how stiff is it at the tool tip?
	{structure.Stance, statics, "room"},                                                   // is everything where it can be?
	{structure.Gravity, statics, "axis.{axis}.acceleration_error foot gravity"},           // how far do weight and acceleration deflect it?
	{work.Route, statics, ""},                                                             // in which order is it made?
	{work.Survey, statics, "bill"},                                                        // is what is at hand what was computed?
	{work.Materials, statics, "bill"},                                                     // what is bought, and how is it cut?
	{work.Drawings, statics, "drawing"},                                                   // what does each part look like, and where is it drilled?
	{work.Weld, statics, "weld"},                                                          // what is welded, and in which order?
	{work.Fill, statics, "cavity pour"},                                                   // what is mixed, and how is it poured?
	{work.Lifting, statics, "lift"},                                                       // what is lifted, and how does it hang?
	{work.Floor, statics, "floor foot"},                                                   // does it stand, and what does the floor hold?
	{work.Levelling, statics, "levelling"},                                                // does the resin under the rails level before it sets?
	{work.Bonding, statics, "bonding"},                                                    // what is bonded, and what does it carry?
	{work.Drilling, statics, "rails"},                                                     // do the rails' bolts meet steel?
	{verdict.Cutting, cutting, "cuts cutter spindle.power spindle.range target.{target}"}, // what can it cut?
	{verdict.Chances, chances, "target.{target} chance"},                                  // how sure is that?
	{structure.Shares, cutting, "share"},                                                  // which part is the most compliant?
	{structure.Modes, cutting, "mode"},                                                    // at which frequencies does it vibrate?
	{structure.Usual, cutting, ""},                                                        // is that usual?
	{verdict.Chatter, cutting, "target.{target}"},                                         // when does it chatter?
	{verdict.Cuts, cutting, "target.{target}"},                                            // how is it cut, at the machine?
	{structure.Bond, changes, "bond"},                                                     // what if the fill debonds?
	{structure.Joints, cutting, "joint"},                                                  // how stiff are the joints?
	{axes.Drives, cutting, "axis.{axis}.drive"},                                           // will it move?
	{axes.Motion, cutting, "axis.{axis}.motion motion"},                                   // will it follow?
	{axes.Racking, cutting, "axis.{axis}.racking"},                                        // does it stay square?
	{axes.Rails, cutting, "axis.{axis}.rail"},                                             // will the rails last?
	{axes.Crash, cutting, "axis.{axis}.crash axis.{axis}.drive"},                          // what does a crash ask?
	{axes.Mounting, cutting, "axis.{axis}.mounting"},                                      // how straight and parallel must their surfaces be?
	{axes.Surfaces, cutting, "axis.{axis}.surface"},                                       // how straight are they as read?
	{work.Straight, cutting, ""},                                                          // what is scraped, and what is shimmed?
	{verdict.Budget, cutting, "target.{target}"},                                          // how accurate is the finished part?
	{verdict.Heat, cutting, "heat"},                                                       // how long to wait before zero is set?
	{axes.Cables, cutting, "axis.{axis}.cover cable chain"},                               // will the cables last, and what do covers cost?
	{work.Rails, cutting, "rails"},                                                        // how are the rails set, and what do they read?
	{work.Drives, cutting, "setup"},                                                       // how are the drives set?
	{work.Electrics, cutting, "electrics axis.{axis}.runaway"},                            // what runs where, and what stops an axis?
	{work.FirstTurns, cutting, "setup"},                                                   // how are the drives switched on?
	{work.Acceptance, cutting, "acceptance"},                                              // what should its tests read?
	{work.FirstCuts, chances, "target.{target}"},                                          // how is the first chip made?
	{work.Diagnosis, cutting, ""},                                                         // what does a mark or a sound come from?
	{work.Upkeep, cutting, "upkeep"},                                                      // when is what done again?
	{structure.Trials, cutting, "trial.{trial}"},                                          // what will a bench test read?
	{verdict.AsBuilt, cutting, "axis.{axis}.positioning trial"},                           // is it the machine that was computed?
	{structure.Pictures, cutting, ""},                                                     // what does it look like?
	{structure.Model, cutting, ""},                                                        // what is the model made of?
	{verdict.Changes, changes, ""},                                                        // what is the next move?
	{work.Deviations, changes, "deviation"},                                               // what if what is at hand is less than was computed?
	{work.Money, changes, "money"},                                                        // what does the money buy?
	{verdict.Assumptions, changes, ""},                                                    // what rests on a guess?
	{verdict.Condition, changes, "condition"},                                             // what do second-hand parts cost?
	{verdict.Cautions, cutting, ""},                                                       // where can it hurt someone?
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

// Figure computes no more than one figure needs, with what it was computed from. Where no figure has
// the id it gives what those are among which it would be.
func Figure(id string) func(*spec.Machine, build.Tool, func(step string)) (*build.Build, []build.Finding) {
	return func(m *spec.Machine, tool build.Tool, progress func(step string)) (*build.Build, []build.Finding) {
		built, standing, refused := asBuilt(m)
		if refused != nil {
			return nil, refused
		}
		mounted, refused := mountings(built)
		if refused != nil {
			return nil, refused
		}
		last, _ := deepest(m, id)
		if last == changes && len(mounted) > 1 { // the solutions of all at once take too much memory
			return compile(m, tool, true, progress)
		}
		var list []*compilation
		for _, one := range mounted {
			list = append(list, &compilation{machine: one, tool: tool, report: true, progress: progress, standing: standing})
		}
		for to := statics; ; to++ {
			var builds []*build.Build
			for _, c := range list {
				if err := c.solve(to); err != nil {
					return nil, c.refusal(err)
				}
				b, err := c.write(to)
				if err != nil {
					return nil, c.refusal(err)
				}
				if builds = append(builds, b); to == last { // one of them at a time
					c.solved = sheet.Solutions{}
				}
			}
			out := joined(mounted, builds)
			if _, ok := out.Figures.Get(id); ok || to == last {
				return out, nil
			}
		}
	}
}

// Diagnose ranks what a mark or a sound may come from, and computes no more than that needs. Texts that cannot be read are its error.
func Diagnose(m *spec.Machine, mark, sound, moving, turning string) (func(*spec.Machine, build.Tool, func(step string)) (*build.Build, []build.Finding), error) {
	sign, seen, err := work.Signed(m, mark, sound, moving, turning)
	if err != nil {
		return nil, err
	}
	return func(m *spec.Machine, tool build.Tool, progress func(step string)) (*build.Build, []build.Finding) {
		mounted, refused := mountings(m)
		if refused != nil {
			return nil, refused
		}
		var list []spindles.Cutting
		for _, one := range mounted {
			c := compilation{machine: one, tool: tool, progress: progress}
			for to := statics; to <= cutting; to++ {
				if err := c.solve(to); err != nil {
					return nil, c.refusal(err)
				}
			}
			out := &build.Build{Machine: m.Name.Text, Tool: tool}
			c.begin("diagnosis")
			book := sheet.NewBook(c.solved, out, false)
			if out.Diagnosis, err = work.Diagnose(book, sign, seen); err != nil {
				return nil, c.refusal(err)
			}
			list = append(list, spindles.Cutting{Spindle: one.Mounted(), Build: out})
		}
		return spindles.Diagnosis(list), nil
	}, nil
}

// beginnings are how ids of a machine's figures begin, and how far it has to be solved for those.
func beginnings(m *spec.Machine) map[string]depth {
	names := map[string][]string{
		"{section}": m.Sections.Names(),
		"{body}":    m.Bodies.Names(),
		"{axis}":    m.Axes.Names(),
		"{target}":  m.TargetNames(),
		"{trial}":   m.Trials.Names(),
	}
	list := map[string]depth{}
	for _, s := range sheets {
		for _, begins := range strings.Fields(s.ids) {
			stand := standIn.FindString(begins)
			if stand == "" {
				list[begins] = max(list[begins], s.reads)
			}
			for _, name := range names[stand] {
				one := strings.Replace(begins, stand, spec.IDWord(name), 1)
				list[one] = max(list[one], s.reads)
			}
		}
	}
	if len(m.Spindles) < 2 {
		return list
	}
	all := maps.Clone(list)
	for begins, to := range list {
		for _, name := range m.Spindles.Names() {
			all["spindle."+spec.IDWord(name)+"."+begins] = to
		}
	}
	return all
}

// standIn is what stands for a name in how an id begins.
var standIn = regexp.MustCompile(`\{\w+\}`)

// deepest is how far a machine has to be solved for all figures that begin as an id does; false where none do.
func deepest(m *spec.Machine, id string) (to depth, ok bool) {
	for begins, reads := range beginnings(m) {
		if strings.HasPrefix(id+".", begins+".") {
			to, ok = max(to, reads), true
		}
	}
	return to, ok
}

// NoFigure says that none of a machine's figures begins as an id does, and how those that are near to it do; nil where some may.
func NoFigure(m *spec.Machine, id string) error {
	if _, ok := deepest(m, id); ok {
		return nil
	}
	list := slices.Sorted(maps.Keys(beginnings(m)))
	var near, first []string
	words := strings.Split(id, ".")
	for n := range words {
		alike := slices.DeleteFunc(slices.Clone(list), func(begins string) bool { return strings.Count(begins, ".") != n })
		if like := spec.Nearest(strings.Join(words[:n+1], "."), alike); like != "" {
			near = append(near, like)
		}
	}
	if len(near) > 0 {
		return fmt.Errorf("there is no figure %q; nearest are ids that begin with %s", id, strings.Join(near, ", "))
	}
	for _, begins := range list {
		word, _, _ := strings.Cut(begins, ".")
		if !slices.Contains(first, word) {
			first = append(first, word)
		}
	}
	return fmt.Errorf("there is no figure %q; ids begin with %s, and the derivations list all", id, strings.Join(first, ", "))
}

// compile compiles a machine with each of its spindles cutting, one after another, and joins what comes out.
func compile(m *spec.Machine, tool build.Tool, report bool, progress func(step string)) (*build.Build, []build.Finding) {
	built, standing, refused := asBuilt(m)
	if refused != nil {
		return nil, refused
	}
	mounted, refused := mountings(built)
	if refused != nil {
		return nil, refused
	}
	var builds []*build.Build
	for _, one := range mounted {
		c := compilation{machine: one, tool: tool, report: report, progress: progress, standing: standing}
		if report && m.Read() {
			c.solved.Design = designed(m, one.Mounted(), tool, progress)
		}
		for to := statics; to <= changes; to++ {
			if err := c.solve(to); err != nil {
				return nil, c.refusal(err)
			}
		}
		b, err := c.write(changes)
		if err != nil {
			return nil, c.refusal(err)
		}
		builds = append(builds, b)
	}
	return joined(mounted, builds), nil
}

// asBuilt is the machine with what was measured alone in place of what is assumed of it.
func asBuilt(m *spec.Machine) (*spec.Machine, []spec.Standing, []build.Finding) {
	built, standing, err := asbuilt.Build(m)
	if err != nil {
		c := compilation{machine: m, step: "measured"}
		return nil, nil, c.refusal(err)
	}
	return built, standing, nil
}

// designed compiles the machine before anything of it was measured, as far as the report compares it; nil where that cannot be.
func designed(m *spec.Machine, spindle string, tool build.Tool, progress func(step string)) *build.Build {
	bare, err := m.Designed()
	if err == nil && len(m.Spindles) > 1 {
		bare, err = bare.Mounting(spindle)
	}
	if err != nil {
		return nil
	}
	c := compilation{machine: bare, tool: tool, report: true, progress: progress}
	for to := statics; to <= cutting; to++ {
		if err := c.solve(to); err != nil {
			return nil
		}
	}
	b, err := c.write(cutting)
	if err != nil {
		return nil
	}
	return b
}

// mountings are the machine with each of its spindles cutting.
func mountings(m *spec.Machine) (list []*spec.Machine, refused []build.Finding) {
	names := m.Spindles.Names()
	if len(names) < 2 {
		return []*spec.Machine{m}, nil
	}
	for _, name := range names {
		one, err := m.Mounting(name)
		if err != nil {
			return nil, []build.Finding{{Rule: "spindles", Severity: build.SeverityError, Message: err.Error(), At: build.Place(m.Spindles.Find(name).At)}}
		}
		list = append(list, one)
	}
	return list, nil
}

// joined is one build of the builds of a machine with each of its spindles cutting.
func joined(mounted []*spec.Machine, builds []*build.Build) *build.Build {
	if len(builds) == 1 {
		return builds[0]
	}
	var list []spindles.Cutting
	for i, b := range builds {
		list = append(list, spindles.Cutting{Spindle: mounted[i].Mounted(), Build: b})
	}
	return spindles.Join(list, mounted[0].TargetNames(), spec.IDWord)
}

// A compilation is a machine on its way to a build.
type compilation struct {
	machine  *spec.Machine
	tool     build.Tool
	report   bool
	progress func(step string)
	step     string // that runs
	standing []spec.Standing
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
	case chances:
		c.begin("chances")
		exactly := 0
		if c.report {
			exactly = exactMachines
		}
		s.Chances, err = chance.Search(s.Machine, s.Cuts, s.Accuracy, exactly)
	case changes:
		c.begin("changes")
		s.Changes, err = change.Search(s.Machine, s.Cuts, c.report)
	}
	return err
}

// exactMachines is how many of the machines drawn a report judges with nothing reduced, too.
const exactMachines = 8

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
	c.solved.Standing = c.standing
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
