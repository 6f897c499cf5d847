package change_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/cuecontext"
	"cuelang.org/go/cue/format"
	"cuelang.org/go/cue/load"
	"cuelang.org/go/cue/parser"

	"ironbed/compiler"
	"ironbed/compiler/accuracy"
	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/cut"
	"ironbed/compiler/internal/sample"
	"ironbed/examples"
	"ironbed/render"
	"ironbed/spec"
)

// TestPrintedChanges writes the printed text of every recommended change of the
// examples and of four more machines into the spec's own files, as a builder would,
// solves what is written there, and finds the promise kept: the grade, and what the
// best cut removes.
func TestPrintedChanges(t *testing.T) {
	kept := 0
	folders, err := filepath.Glob(filepath.Join(sample.Root(), "compiler", "internal", "whole", "testdata", "machines", "*"))
	if err != nil || len(folders) != 4 {
		t.Fatal(folders, err)
	}
	for i, name := range []string{"clockroom-mill", "spar-bench", "slipway-gantry", "sign-router"} {
		folders = slices.Insert(folders, i, filepath.Join(sample.Root(), "examples", name))
	}
	for _, dir := range sample.Some(folders, 1) {
		t.Run(filepath.Base(dir), func(t *testing.T) {
			b, findings := compiler.Compile(looked(t, sample.Load(t, dir)), build.Tool{Name: "ironbed"}, func(string) {})
			if b == nil {
				t.Fatal(findings)
			}
			said := printed(t, string(render.Markdown(b)))
			known := map[string]*judged{} // by what is written: many changes serve several targets
			for _, target := range b.Targets {
				for _, c := range target.Changes {
					text, ok := said[plain(c.What)]
					if !ok {
						t.Errorf("%q is not printed", c.What)
						continue
					}
					kept++
					spindle := spindleOf(target, c)
					key := spindle + fmt.Sprint(text)
					if known[key] == nil {
						known[key] = with(t, dir, spindle, text)
					}
					keeps(t, known[key], text, target.Name, c)
				}
			}
		})
	}
	if kept < 1 || sample.Thorough() && kept < 15 {
		t.Errorf("only %d changes were tried", kept)
	}
}

// looked is a machine with the targets that are looked at: in the ordinary run the first.
func looked(t *testing.T, m *spec.Machine) *spec.Machine {
	if sample.Thorough() {
		return m
	}
	return sample.Only(t, m, m.Targets[0].Name)
}

// A judged is a machine with its answers, and on request its budgets.
type judged struct {
	cuts    *cut.Answers
	budgets func() *accuracy.Budgets
}

// spindleOf is the one of several spindles that a change serves: that of the finish pass, where it is for the error of the part, else
// that of the roughing cut; empty for the only spindle.
func spindleOf(target build.Target, c build.Change) string {
	_, spindle, _ := strings.Cut(target.Operation, ", spindle ")
	if _, fine, two := strings.Cut(target.Finishing, ", spindle "); two && likelyNow.MatchString(c.Effect) {
		return fine
	}
	return spindle
}

// with writes a change into the files of a spec and finds what they then say, with one of several spindles cutting.
func with(t *testing.T, dir, spindle string, text change) *judged {
	t.Helper()
	s := open(t, dir)
	for _, step := range text {
		for _, e := range step.edits {
			if step.way == "Add" {
				s.files = append(s.files, parsed(t, fmt.Sprintf("package %s\n\n%s\n", s.files[0].PackageName(), e)))
				s.names = append(s.names, fmt.Sprintf("added_%d.cue", len(s.files)))
				continue
			}
			s.write(parsed(t, e).Decls, step.way == "Write")
		}
	}
	m := looked(t, sample.Load(t, s.folder(t)))
	if spindle != "" {
		var err error
		if m, err = m.Mounting(spindle); err != nil {
			t.Fatal(err)
		}
	}
	solved, cuts := answered(t, m)
	return &judged{cuts, sync.OnceValue(func() *accuracy.Budgets {
		axes, err := axis.Analyse(solved, cuts.Demand)
		if err != nil {
			t.Fatal(err)
		}
		b, err := accuracy.Search(solved, cuts, axes)
		if err != nil {
			t.Fatal(err)
		}
		return b
	})}
}

var likelyNow = regexp.MustCompile(`^likely error of the finished part ([0-9.]+) µm`)

// finishes holds the budget of a target with a change of the error budget against its promise. Where it leaves room, a faster finish pass
// takes it: the number is that of the pass as it was.
func finishes(t *testing.T, b *accuracy.Budget, text change, c build.Change) {
	t.Helper()
	promised, _ := strconv.ParseFloat(likelyNow.FindStringSubmatch(c.Effect)[1], 64)
	if got := b.Worst.Likely.Nominal * 1e6; got < 0.97*promised || b.Grade != accuracy.Within {
		t.Errorf("%s with %v: likely error %.4g µm, promised %g; accuracy %g", b.Answer.Entry.Name, text, got, promised, b.Accuracy*1e6)
	}
}

// keeps holds the answers with a change against its promise.
func keeps(t *testing.T, by *judged, text change, target string, c build.Change) {
	t.Helper()
	cuts := by.cuts
	// What takes longer and is no deeper a verdict is not recommended.
	if rates := removalNow.FindStringSubmatch(c.Effect); rates != nil && !c.Moves {
		is, _ := strconv.ParseFloat(rates[1], 64)
		was, _ := strconv.ParseFloat(rates[2], 64)
		if is < 0.999*was {
			t.Errorf("%s with %v removes %g cm³/min, %g without it", target, text, is, was)
		}
	}
	for i := range cuts.List {
		a := &cuts.List[i]
		if a.Entry.Name != target {
			continue
		}
		if likelyNow.MatchString(c.Effect) {
			finishes(t, by.budgets().List[i], text, c)
		}
		if got := a.Best().Grade.String(); got != c.Roughing {
			t.Errorf("%s with %v is %s, promised %s", target, text, got, c.Roughing)
		}
		for _, removed := range regexp.MustCompile(`removal rate (?:of the deeper slot )?([0-9.]+) cm³/min`).FindAllStringSubmatch(c.Effect, 1) {
			want, _ := strconv.ParseFloat(removed[1], 64)
			if got := a.Point().RemovalRate * 6e7; math.Abs(got-want) > 0.03*want+0.001 {
				t.Errorf("%s with %v removes %.4g cm³/min, promised %g", target, text, got, want)
			}
		}
	}
}

var removalNow = regexp.MustCompile(`removal rate ([0-9.]+) cm³/min, now ([0-9.]+) cm³/min`)

// A change is a printed one: what to do with which fields.
type change []step

type step struct {
	way   string // Add, Write or Change
	edits []string
}

var (
	changeLine = regexp.MustCompile(`(?m)^\d+\. \*\*(.*?)\.\*\*(.*(?:\n +- (?:Add|Write|Change) .*)*)$`)
	stepWords  = regexp.MustCompile(`(?m)(Add|Write|Change) (.*)$`)
	codeSpan   = regexp.MustCompile("`([^`]*)`")
)

// printed reads the recommended changes of a report, by what they are.
func printed(t *testing.T, markdown string) map[string]change {
	t.Helper()
	out := map[string]change{}
	for _, found := range changeLine.FindAllStringSubmatch(markdown, -1) {
		var c change
		for _, line := range stepWords.FindAllStringSubmatch(found[2], -1) {
			words, _, _ := strings.Cut(line[2], " in place of what ")
			var codes []string
			for _, code := range codeSpan.FindAllStringSubmatch(words, -1) {
				codes = append(codes, code[1])
			}
			if line[1] == "Change" { // `field` to `value`, at `place`
				codes = []string{codes[0] + ": " + codes[1]}
			}
			c = append(c, step{line[1], codes})
		}
		out[plain(found[1])] = c
	}
	return out
}

// plain is a text without marks and capitals.
func plain(s string) string { return strings.ToLower(strings.ReplaceAll(s, `\`, "")) }

func parsed(t *testing.T, text string) *ast.File {
	t.Helper()
	f, err := parser.ParseFile("edit", text)
	if err != nil {
		t.Fatal(text, err)
	}
	return f
}

// A source is the files of a spec, as a builder has them.
type source struct {
	t     *testing.T
	names []string
	files []*ast.File
	value cue.Value // what they come to
}

func open(t *testing.T, dir string) *source {
	t.Helper()
	s := &source{t: t}
	whole := t.TempDir() // with the schema beside it
	starter, err := examples.Starter("")
	if err != nil {
		t.Fatal(err)
	}
	write := func(name string, text []byte) {
		path := filepath.Join(whole, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, f := range starter {
		if strings.HasPrefix(f.Name, "cue.mod") {
			write(f.Name, f.Text)
		}
	}
	paths, err := filepath.Glob(filepath.Join(dir, "*.cue"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		f, err := parser.ParseFile(filepath.Base(path), text, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		s.names, s.files = append(s.names, filepath.Base(path)), append(s.files, f)
		write(filepath.Base(path), text)
	}
	s.value = cuecontext.New().BuildInstance(load.Instances([]string{"."}, &load.Config{Dir: whole})[0])
	if err := s.value.Err(); err != nil {
		t.Fatal(err)
	}
	return s
}

// folder writes the files into a folder of their own.
func (s *source) folder(t *testing.T) string {
	t.Helper()
	files := map[string]string{}
	for i, f := range s.files {
		text, err := format.Node(f)
		if err != nil {
			t.Fatal(err)
		}
		files[s.names[i]] = string(text)
	}
	return sample.Folder(t, files)
}

// write puts each value of some fields in the place of what stands there.
func (s *source) write(decls []ast.Decl, whole bool, path ...string) {
	for _, d := range decls {
		f := d.(*ast.Field)
		name, _, err := ast.LabelName(f.Label)
		if err != nil {
			s.t.Fatal(err)
		}
		at := append(path[:len(path):len(path)], name)
		// A section is of one make: another takes the place of the whole.
		if inner, ok := f.Value.(*ast.StructLit); ok && !(whole && len(at) == 2 && at[0] == "sections") {
			s.write(inner.Elts, whole, at...)
			continue
		}
		s.put(at, f.Value)
	}
}

// put writes one value. Where a name or a template stands for what holds it, that is
// written out first: other parts that share the line keep what they have.
func (s *source) put(path []string, value ast.Expr) {
	var deepest *ast.Field
	depth := 0
	for _, f := range s.files {
		if field, n := find(f.Decls, path); field != nil && n > depth {
			deepest, depth = field, n
		}
	}
	switch inner, isStruct := deepest.Value.(*ast.StructLit); {
	case depth == len(path):
		deepest.Value = value
	case isStruct:
		field := &ast.Field{Label: ast.NewString(path[depth]), Value: nested(path[depth+1:], value)}
		inner.Elts = append(inner.Elts, field)
	default:
		at := s.value
		for _, name := range path[:depth] {
			at = at.LookupPath(cue.MakePath(cue.Str(name)))
		}
		whole, ok := at.Syntax(cue.Final(), cue.Concrete(true)).(*ast.StructLit)
		if !ok {
			s.t.Fatalf("%v is not a struct", path[:depth])
		}
		deepest.Value = whole
		s.put(path, value)
	}
}

func nested(path []string, value ast.Expr) ast.Expr {
	for i := len(path) - 1; i >= 0; i-- {
		value = ast.NewStruct(&ast.Field{Label: ast.NewString(path[i]), Value: value})
	}
	return value
}

// find follows a path through literal structs and returns the last field that it
// meets, and how many names lie behind it.
func find(decls []ast.Decl, path []string) (last *ast.Field, depth int) {
	for _, d := range decls {
		switch d := d.(type) {
		case *ast.EmbedDecl:
			for _, inner := range literals(d.Expr) {
				if f, n := find(inner.Elts, path); n > depth {
					last, depth = f, n
				}
			}
		case *ast.Field:
			if name, _, err := ast.LabelName(d.Label); err != nil || name != path[0] {
				continue
			}
			if depth == 0 {
				last, depth = d, 1
			}
			if inner, ok := d.Value.(*ast.StructLit); ok && len(path) > 1 {
				if f, n := find(inner.Elts, path[1:]); n+1 > depth {
					last, depth = f, n+1
				}
			}
		}
	}
	return last, depth
}

// literals are the structs that are written out in an expression.
func literals(e ast.Expr) []*ast.StructLit {
	switch e := e.(type) {
	case *ast.StructLit:
		return []*ast.StructLit{e}
	case *ast.BinaryExpr:
		return append(literals(e.X), literals(e.Y)...)
	}
	return nil
}
