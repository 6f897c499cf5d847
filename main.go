// Command ironbed compiles a written description of a home-built milling machine
// into a build report.
package main

import (
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
	"ironbed/compiler/sheet"
	"ironbed/examples"
	"ironbed/render"
	"ironbed/spec"
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
	Explain   explainCommand   `cmd:"" help:"Show how one figure is computed, down to the lines of the spec.\n\nExample: ironbed explain my-mill tool.stiffness.y"`
	Diff      diffCommand      `cmd:"" help:"Show what changed between two specs: values, verdicts, findings, figures. The exit status is that of the new spec.\n\nExample: ironbed diff my-mill my-mill-with-a-larger-beam"`
	Catalogue catalogueCommand `cmd:"" help:"List the stock, fills, rails and materials that a spec may name.\n\nExample: ironbed catalogue sections 'RHS 1'"`
	Version   kong.VersionFlag `help:"Print the version."`
}

func main() {
	collectSeldom(&collected{})
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
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
	out, err io.Writer
	status   int
}

// run carries out one command line and returns the exit status.
func run(args []string, out, errOut io.Writer) (status int) {
	defer func() {
		if p := recover(); p != nil {
			fmt.Fprintf(errOut, "ironbed: internal error: %v\n%s", p, debug.Stack())
			status = exitInternal
		}
	}()
	exited := -1
	parser, err := kong.New(&cli{}, kong.Name("ironbed"),
		kong.Description("ironbed compiles a written description of a milling machine into a build report: what it can cut, which part is the weak one, and what to change.\n\nExit status: 0 every must target is within reach and nothing fails; 1 compiled, but not that; 2 the spec cannot be compiled; 3 anything else."),
		kong.Writers(out, errOut), kong.Vars{"version": "ironbed " + version, "examples": strings.Join(examples.Names(), ", ")},
		kong.Exit(func(code int) { exited = code }))
	if err != nil {
		fmt.Fprintln(errOut, "ironbed:", err)
		return exitInternal
	}
	context, err := parser.Parse(args)
	if exited >= 0 {
		return exited // --help and --version
	}
	if err != nil {
		fmt.Fprintf(errOut, "ironbed: %v; see ironbed --help\n", err)
		return exitInternal
	}
	s := &streams{out: out, err: errOut}
	if err := context.Run(s); err != nil {
		fmt.Fprintln(errOut, "ironbed:", err)
		return exitInternal
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
		progress := newProgress(s.err)
		b, findings = with(machine, build.Tool{Name: "ironbed", Version: version}, progress.step)
		progress.done()
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

// print writes findings as diagnostics, with paths relative to where the user
// stands.
func (s *streams) print(dir string, findings []build.Finding) {
	for _, f := range findings {
		f.At = under(dir, f.At)
		f.Notes = slices.Clone(f.Notes)
		for i := range f.Notes {
			f.Notes[i].At = under(dir, f.Notes[i].At)
		}
		fmt.Fprintln(s.err, f)
	}
}

func under(dir string, at build.Place) build.Place {
	if at.Known() {
		at.File = filepath.ToSlash(filepath.Join(dir, at.File))
	}
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
	if err := render.Terminal(s.out, b, styleOf(s.out)); err != nil {
		return err
	}
	s.print(c.Dir, b.Findings)
	return nil
}

type reportCommand struct {
	Dir    string   `arg:"" help:"Folder of the spec."`
	Out    string   `required:"" help:"Folder to write the report into." placeholder:"OUT"`
	Format []string `help:"Formats to write: ${enum}." enum:"md,pdf,html,json,sarif" default:"md,pdf,json"`
}

// Run writes the report.
func (c *reportCommand) Run(s *streams) error {
	b, err := s.compile(c.Dir, compiler.Compile)
	if b == nil || err != nil {
		return err
	}
	s.print(c.Dir, b.Findings)
	if err := render.Write(c.Out, b, c.Format); err != nil {
		return err
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
	Figure string `arg:"" help:"Id of the figure, as report.json has it."`
}

// Run prints one figure's derivation. An unknown figure is not the spec's fault:
// it ends with status 3.
func (c *explainCommand) Run(s *streams) error {
	b, err := s.compile(c.Dir, compiler.Figure(c.Figure))
	if b == nil || err != nil {
		return err
	}
	text, err := render.Explain(b, c.Figure)
	if err != nil {
		return err
	}
	s.status = exitPassed
	_, err = io.WriteString(s.out, text)
	return err
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
	Dir  string `arg:"" help:"Folder to make. It must not contain CUE files."`
	Like string `help:"Start from an example: ${examples}." placeholder:"NAME"`
}

// Run writes a first spec.
func (c *initCommand) Run(s *streams) error {
	files, err := examples.Starter(c.Like)
	if err != nil {
		return err
	}
	if found, _ := filepath.Glob(filepath.Join(c.Dir, "*.cue")); len(found) > 0 {
		return fmt.Errorf("%s has CUE files already; init writes into a new folder", c.Dir)
	}
	for _, f := range files {
		name := filepath.Join(c.Dir, filepath.FromSlash(f.Name))
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(name, f.Text, 0o644); err != nil {
			return err
		}
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
