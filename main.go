// Command ironbed compiles a written description of a home-built milling machine
// into a build report.
package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"slices"
	"strings"
	"time"

	"github.com/alecthomas/kong"
	"golang.org/x/term"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/compiler/keep"
	"ironbed/compiler/section"
	"ironbed/compiler/sheet"
	"ironbed/examples"
	"ironbed/render"
	"ironbed/render/folder"
	"ironbed/spec"
	"ironbed/spec/bound"
	"ironbed/spec/literal"
)

// version is what the report calls the program.
const version = "0.1.0"

// The exit statuses, which scripts rely on.
const (
	exitPassed   = 0 // compiled; every `must` target is within reach and nothing fails
	exitShort    = 1 // compiled, but not that
	exitRefused  = 2 // the spec is not valid or cannot be compiled
	exitInternal = 3 // anything else
)

type cli struct {
	Init      initCommand      `cmd:"" help:"Write a commented spec that compiles, with what an editor and cue vet need.\n\nExample: ironbed init my-mill --like clockroom-mill"`
	Check     checkCommand     `cmd:"" help:"Print verdicts, weak points, the best change and the findings.\n\nExample: ironbed check my-mill"`
	Report    reportCommand    `cmd:"" help:"Write the build report.\n\nExample: ironbed report my-mill --out my-mill/report"`
	Explain   explainCommand   `cmd:"" help:"Show how one figure is computed, down to the lines of the spec; or rank what a mark on a part or a sound comes from.\n\nExample: ironbed explain my-mill tool.stiffness.y\n\nExample: ironbed explain my-mill --mark '2.5 mm at 1200 mm/min'\n\nExample: ironbed explain my-mill --sound '310 Hz' --speed '6000 rpm'"`
	Diff      diffCommand      `cmd:"" help:"Show what changed between two specs: values, verdicts, findings, figures. The exit status is that of the new spec.\n\nExample: ironbed diff my-mill my-mill-with-a-larger-beam"`
	Catalogue catalogueCommand `cmd:"" help:"List the stock, fills, rails and materials that a spec may name.\n\nExample: ironbed catalogue sections 'RHS 1'"`
	Version   kong.VersionFlag `help:"Print the version."`
}

func main() {
	if !bound.Child() {
		os.Exit(run(os.Args[1:], os.Stdout, os.Stderr, nil))
	}
	collectSeldom(&collected{})
	watch, diagnostics := bound.Begin()
	status := run(os.Args[1:], os.Stdout, diagnostics, watch)
	watch.End(status)
	os.Exit(status)
}

// Collecting seldom saves time while the memory is small, as it is for most machines.
const (
	smallMemory = 128 << 20 // bytes
	seldom      = 250       // per cent of growth
	often       = 40
)

// A collected is garbage: its end tells of a collection.
type collected struct{ _ [16]byte }

// collectSeldom sets how often memory is collected, anew after each collection.
func collectSeldom(*collected) {
	live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(live)
	percent := seldom
	if live[0].Value.Uint64() > smallMemory {
		percent = often
	}
	debug.SetGCPercent(percent)
	runtime.SetFinalizer(&collected{}, collectSeldom)
}

// A streams is where a command writes, and the status that it ends with.
type streams struct {
	out    *output
	err    io.Writer
	watch  *bound.Watch // nil where the work is not bounded
	status int
}

// An output keeps the first error of what is written to it.
type output struct {
	io.Writer
	err error
}

func (o *output) Write(p []byte) (int, error) {
	n, err := o.Writer.Write(p)
	if o.err == nil {
		o.err = err
	}
	return n, err
}

// onSpecs are the commands that work on specs, which a child process does within bounds.
var onSpecs = []string{"check", "report", "explain", "diff"}

// run carries out one command line and returns the exit status. With a watch this is the
// child that works on a spec.
func run(args []string, out, errOut io.Writer, watch *bound.Watch) (status int) {
	say := func(err error) int {
		fmt.Fprintln(errOut, "ironbed:", literal.Unquoted(err.Error()))
		return exitInternal
	}
	defer func() {
		if p := recover(); p != nil {
			fmt.Fprintf(errOut, "ironbed: internal error: %s\n%s", literal.Show(fmt.Sprint(p)), debug.Stack())
			status = exitInternal
		}
	}()
	stdout := &output{Writer: out}
	defer func() {
		if stdout.err != nil {
			status = say(fmt.Errorf("standard output: %w", stdout.err))
		}
	}()
	exited := -1
	parser, err := kong.New(&cli{}, kong.Name("ironbed"),
		kong.Description("ironbed compiles a written description of a milling machine into a build report: what it can cut, which part is the weak one, and what to change.\n\nExit status: 0 every must target is within reach and nothing fails; 1 compiled, but not that; 2 the spec cannot be compiled; 3 anything else.\n\nComputed sections are kept in the user's cache folder, in ironbed/sections, which may be deleted; "+keep.Variable+"=off keeps none."),
		kong.Writers(stdout, errOut), kong.Vars{"version": "ironbed " + version, "examples": strings.Join(examples.Names(), ", ")},
		kong.Exit(func(code int) { exited = code }))
	if err != nil {
		return say(err)
	}
	context, err := parser.Parse(args)
	if exited >= 0 {
		return exited // --help and --version
	}
	if err != nil && stdout.err == nil {
		return say(fmt.Errorf("%w; see ironbed --help", err))
	}
	if err != nil {
		return exitInternal
	}
	if name := context.Selected().Name; watch == nil && slices.Contains(onSpecs, name) {
		status, outcome, err := bound.Run(args)
		switch {
		case outcome != nil:
			return ended(errOut, outcome)
		case !errors.Is(err, errors.ErrUnsupported):
			if err != nil {
				return say(err)
			}
			return status
		}
	}
	s := &streams{out: stdout, err: errOut, watch: watch}
	if err := context.Run(s); err != nil && stdout.err == nil {
		return say(err)
	}
	return s.status
}

// compiling is compiler.Compile, its Answers, or a Figure of it.
type compiling func(*spec.Machine, build.Tool, func(pass string)) (*build.Build, []build.Finding)

// compile loads and compiles a spec. With findings that refuse it the build is
// nil: they have been printed, and the status is set.
func (s *streams) compile(dir string, with compiling) (*build.Build, error) {
	_, b, err := s.compiled(dir, with)
	return b, err
}

// compiled is compile with the machine that it compiled.
func (s *streams) compiled(dir string, with compiling) (*spec.Machine, *build.Build, error) {
	s.watch.Step(stepSpec, bound.EvaluationTime)
	if s.watch != nil {
		s.note(dir)
	}
	machine, diagnostics, err := spec.Load(dir)
	if err != nil {
		return nil, nil, err
	}
	var findings []build.Finding
	for _, d := range diagnostics {
		f := build.Finding{Rule: d.Rule, Severity: build.SeverityError, Message: d.Message, At: build.Place(d.At)}
		for _, n := range d.Notes {
			f.Notes = append(f.Notes, build.Remark{Message: n.Message, At: build.Place(n.At)})
		}
		findings = append(findings, f)
	}
	var b *build.Build
	if machine != nil {
		if kept := keep.Open("sections"); kept != nil {
			section.Keep(kept)
			defer kept.Trim()
		}
		s.watch.Step("machine", bound.CompileTime)
		progress := newProgress(s.err)
		b, findings = with(machine, build.Tool{Name: "ironbed", Version: version}, func(pass string) {
			s.watch.Continue(pass)
			progress.step(pass)
		})
		progress.done()
		s.watch.Step(stepOutput, 0)
	}
	if b == nil {
		s.print(dir, build.SortFindings(findings))
		s.status = exitRefused
		return nil, nil, nil
	}
	if !b.Passed() {
		s.status = exitShort
	}
	return machine, b, nil
}

// mostFindings is how many findings are printed one by one.
const mostFindings = 50

// print writes findings as diagnostics, with paths relative to where the user
// stands.
func (s *streams) print(dir string, findings []build.Finding) {
	for _, f := range findings[:min(len(findings), mostFindings)] {
		f.At = under(dir, f.At)
		f.Notes = slices.Clone(f.Notes)
		for i := range f.Notes {
			f.Notes[i].At = under(dir, f.Notes[i].At)
		}
		fmt.Fprintln(s.err, f)
	}
	if more := len(findings) - mostFindings; more > 0 {
		fmt.Fprintf(s.err, "and %d more\n", more)
	}
}

// under is a place in a spec as a place for who stands in the working folder.
func under(dir string, at build.Place) build.Place {
	if !at.Known() {
		return at
	}
	if filepath.IsAbs(dir) {
		if here, err := os.Getwd(); err == nil {
			if within, err := filepath.Rel(here, dir); err == nil && within != ".." && !strings.HasPrefix(within, ".."+string(filepath.Separator)) {
				dir = within
			}
		}
	}
	at.File = filepath.ToSlash(filepath.Join(dir, at.File))
	return at
}

type checkCommand struct {
	Dir string `arg:"" help:"Folder of the spec."`
}

// Run prints verdicts, weak points, the best change and the findings.
func (c *checkCommand) Run(s *streams) error {
	b, err := s.compile(c.Dir, compiler.Answers)
	if b == nil || err != nil {
		return err
	}
	if err := render.Terminal(s.out, b, styleOf(s.out.Writer)); err != nil {
		return err
	}
	s.print(c.Dir, b.Findings)
	return nil
}

type reportCommand struct {
	Dir    string   `arg:"" help:"Folder of the spec."`
	Out    string   `required:"" help:"Folder to write the report into. The report that it holds is replaced; what ironbed did not write stays." placeholder:"OUT"`
	Format []string `help:"Formats to write: ${enum}." enum:"md,pdf,html,json,sarif" default:"md,pdf,json"`
	Force  bool     `help:"Overwrite what stands in the way, even if ironbed did not write it."`
}

// Run writes the report.
func (c *reportCommand) Run(s *streams) error {
	if len(c.Format) == 0 {
		return fmt.Errorf("--format: no format; the formats are %s", strings.Join(render.Formats, ", "))
	}
	b, err := s.compile(c.Dir, compiler.Compile)
	if b == nil || err != nil {
		return err
	}
	s.print(c.Dir, b.Findings)
	left, err := render.Write(c.Out, b, c.Format, c.Force)
	var foreign *folder.Foreign
	if errors.As(err, &foreign) {
		return fmt.Errorf("%s: %w; name another folder with --out, or overwrite with --force", c.Out, err)
	}
	if err != nil {
		return err
	}
	for _, name := range left {
		fmt.Fprintf(s.err, "ironbed: %s is not of this report, and ironbed did not write it: left alone\n", filepath.ToSlash(filepath.Join(c.Out, name)))
	}
	for _, format := range c.Format {
		for _, name := range render.Documents(format) {
			fmt.Fprintln(s.out, filepath.ToSlash(filepath.Join(c.Out, name)))
		}
	}
	return nil
}

type explainCommand struct {
	Dir    string `arg:"" help:"Folder of the spec."`
	Figure string `arg:"" optional:"" help:"Id of the figure, as report.json has it."`
	Mark   string `help:"In place of a figure: rank what makes a mark of a pitch at a feed, as '2.5 mm at 1200 mm/min'." placeholder:"PITCH at FEED"`
	Sound  string `help:"In place of a figure: rank what makes a sound, as '310 Hz', or '310 Hz at 1200 mm/min' where it is heard as an axis moves." placeholder:"FREQUENCY"`
	Speed  string `help:"Speed of the spindle at that mark or sound, as '6000 rpm'." placeholder:"SPEED"`
	Axis   string `help:"Axis that moved at that mark or sound." placeholder:"NAME"`
}

// Run prints one figure's derivation, or a diagnosis. An unknown figure is not the spec's fault:
// it ends with status 3.
func (c *explainCommand) Run(s *streams) error {
	if err := c.asked(); err != nil {
		return err
	}
	var unknown error
	b, err := s.compile(c.Dir, func(m *spec.Machine, tool build.Tool, progress func(string)) (*build.Build, []build.Finding) {
		with := compiler.Figure(c.Figure)
		if c.Figure != "" {
			unknown = compiler.NoFigure(m, c.Figure)
		} else {
			with, unknown = compiler.Diagnose(m, c.Mark, c.Sound, c.Axis, c.Speed)
		}
		if unknown != nil {
			return nil, nil
		}
		return with(m, tool, progress)
	})
	if unknown != nil {
		return unknown
	}
	if b == nil || err != nil {
		return err
	}
	s.status = exitPassed
	if b.Diagnosis != nil {
		return render.Diagnosis(s.out, b.Diagnosis, styleOf(s.out.Writer))
	}
	text, err := render.Explain(b, c.Figure)
	if err != nil {
		return err
	}
	_, err = io.WriteString(s.out, text)
	return err
}

// asked is an error where the command line asks for nothing, or for two things.
func (c *explainCommand) asked() error {
	n := 0
	for _, text := range []string{c.Figure, c.Mark, c.Sound} {
		if text != "" {
			n++
		}
	}
	switch {
	case n == 0:
		return errors.New("explain what? name a figure, or give --mark 'PITCH at FEED' or --sound 'FREQUENCY'; see ironbed explain --help")
	case n > 1:
		return errors.New("explain one thing at a time: a figure, --mark or --sound")
	case c.Figure != "" && (c.Speed != "" || c.Axis != ""):
		return errors.New("--speed and --axis go with --mark or --sound")
	}
	return nil
}

type diffCommand struct {
	Old string `arg:"" help:"Folder of the old spec."`
	New string `arg:"" help:"Folder of the new spec."`
	All bool   `help:"List every figure that changes."`
}

// Run prints what changed. The status is that of the new spec.
func (c *diffCommand) Run(s *streams) error {
	before, old, err := s.compiled(c.Old, compiler.Compile)
	if old == nil || err != nil {
		return err
	}
	s.status = exitPassed
	after, new, err := s.compiled(c.New, compiler.Compile)
	if new == nil || err != nil {
		return err
	}
	var given []render.Given
	for _, d := range spec.Differences(before, after) {
		given = append(given, render.Given{Path: d.Path, Old: d.Old, New: d.New, At: build.Place(d.At)})
	}
	_, err = io.WriteString(s.out, render.Difference(old, new, given, c.All))
	return err
}

type catalogueCommand struct {
	Kind   string `arg:"" optional:"" help:"Kind: sections, materials, mixes, rails or work_materials."`
	Filter string `arg:"" optional:"" help:"Text that the name must contain."`
}

// Run lists the catalogue.
func (c *catalogueCommand) Run(s *streams) error {
	text, err := sheet.Catalogue(c.Kind, c.Filter)
	if err != nil {
		return err
	}
	_, err = io.WriteString(s.out, text)
	return err
}

type initCommand struct {
	Dir  string `arg:"" help:"Folder to make. It must not contain CUE files; nothing is overwritten."`
	Like string `help:"Start from an example: ${examples}." placeholder:"NAME"`
}

// Run writes a first spec.
func (c *initCommand) Run(s *streams) error {
	if err := examples.Start(c.Dir, c.Like); err != nil {
		return err
	}
	fmt.Fprintf(s.out, "wrote %s; next: ironbed check %s\n", c.Dir, c.Dir)
	return nil
}

// A progress shows on a terminal which pass is running.
type progress struct {
	to      io.Writer
	started time.Time
	shown   bool
}

// newProgress makes a progress that prints to a terminal only.
func newProgress(to io.Writer) *progress {
	if !isTerminal(to) {
		to = nil
	}
	return &progress{to: to, started: time.Now()}
}

// step says which pass begins, once the run has lasted over a second.
func (p *progress) step(pass string) {
	if p.to == nil || time.Since(p.started) < time.Second {
		return
	}
	fmt.Fprintf(p.to, "\r\x1b[K%s ...", pass)
	p.shown = true
}

// done takes the line away.
func (p *progress) done() {
	if p.shown {
		fmt.Fprint(p.to, "\r\x1b[K")
	}
}

// isTerminal reports whether a writer is a terminal that can move its cursor.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd())) && os.Getenv("TERM") != "dumb"
}

// styleOf is how to print to a writer: the width of its terminal, where it is one, and
// whether in colour.
func styleOf(w io.Writer) (style render.TerminalStyle) {
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		style.Width, _, _ = term.GetSize(int(f.Fd())) // 0 where it does not say
	}
	style.Color = isTerminal(w) && os.Getenv("NO_COLOR") == ""
	return style
}

// The steps before and after those of the compiler.
const (
	stepSpec   = "evaluation"
	stepOutput = "output"
)

// ended says how the child ended that did not end by itself.
func ended(errOut io.Writer, o *bound.Outcome) (status int) {
	at := "in the step " + o.Step
	switch o.Step {
	case "":
		at = "at the start"
	case stepSpec:
		at = "in the evaluation of the spec"
	}
	var says string
	status = exitRefused
	switch o.Cause {
	case bound.Time:
		says = fmt.Sprintf("it takes longer than %.0f s %s", bound.EvaluationTime.Seconds(), at)
		if o.Step != stepSpec {
			says = fmt.Sprintf("it takes longer than %.0f s of the processor; the last of it %s", bound.CompileTime.Seconds(), at)
		}
	case bound.Space:
		says = fmt.Sprintf("it takes more than %d GB of memory %s", bound.Memory>>30, at)
	case bound.Depth:
		status, says = exitInternal, "its parts stand too deep within each other "+at
	case bound.NoMemory:
		status, says = exitInternal, "the system ended it, for want of memory or by somebody's order, "+at
	case bound.Stopped:
		return exitInternal
	default:
		fmt.Fprintf(errOut, "ironbed: internal error %s: %s\n", at, literal.Show(o.Says))
		return exitInternal
	}
	var suspect build.Finding
	if err := json.Unmarshal([]byte(o.Note), &suspect); err == nil {
		suspect.Message = says + "; " + suspect.Message
		fmt.Fprintln(errOut, suspect)
		return status
	}
	fmt.Fprintf(errOut, "ironbed: the spec is too large: %s\n", says)
	return status
}

// note tells the parent what to say of a spec whose evaluation comes to no end.
func (s *streams) note(dir string) {
	for _, d := range spec.Suspects(dir) {
		text, err := json.Marshal(build.Finding{Rule: d.Rule, Severity: build.SeverityError, Message: d.Message, At: under(dir, build.Place(d.At))})
		if err == nil {
			s.watch.Note(string(text))
		}
	}
}
