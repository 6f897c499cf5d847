package compiler_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// allowed are the imports between the packages of the house, to the right of each
// package's name. Data flows one way: schema, spec, machine, cut, change, sheet,
// build, render. A new edge is a decision.
const allowed = `
schema:
examples:              schema
spec/nearest:
spec/quantity:         spec/nearest
spec/literal:
spec/bound:
spec:                  schema spec/literal spec/nearest spec/quantity
compiler/works:
compiler/rank:
compiler/keep:
compiler/build:        spec/literal spec/quantity
compiler/verify:
compiler/verify/mutate: compiler/verify
compiler/verify/table: compiler/verify
compiler/mesh:
compiler/sparse:
compiler/principal:    compiler/rank
compiler/domain:
compiler/fill:         compiler/domain
compiler/cutting:
compiler/chatter:      compiler/domain
compiler/warping:      compiler/domain compiler/mesh compiler/sparse
compiler/section:      compiler/domain compiler/mesh compiler/warping
compiler/frame:        compiler/sparse
compiler/modal:        compiler/domain compiler/frame compiler/principal
compiler/joint:        compiler/domain
compiler/motor:        compiler/domain
compiler/drive:        compiler/domain compiler/motor
compiler/guide:        compiler/domain
compiler/motion:       compiler/domain
compiler/cable:        compiler/domain
compiler/spindle:      compiler/domain compiler/principal compiler/section compiler/cutting
compiler/budget:       compiler/domain compiler/rank
compiler/geometry:     compiler/domain compiler/rank
compiler/acceptance:   compiler/domain
compiler/solid:        compiler/domain compiler/rank compiler/section
compiler/heat:         compiler/domain
compiler/lift:         compiler/domain
compiler/level:        compiler/domain
compiler/nest:         compiler/domain
compiler/weld:         compiler/domain
compiler/grease:       compiler/domain
compiler/sampling:     compiler/domain compiler/rank
compiler/reach:        compiler/chatter compiler/cutting compiler/rank
compiler/machine:      spec spec/quantity compiler/rank + disciplines
compiler/cut:          spec compiler/machine compiler/rank + disciplines
compiler/axis:         spec compiler/machine compiler/profile compiler/making compiler/cut compiler/rank + disciplines
compiler/accuracy:     spec compiler/machine compiler/cut compiler/axis compiler/rank + disciplines
compiler/chance:       spec compiler/machine compiler/cut compiler/accuracy compiler/rank + disciplines
compiler/making:       spec compiler/machine compiler/rank compiler/domain compiler/profile + disciplines
compiler/commission:   spec compiler/machine compiler/axis compiler/accuracy compiler/rank + disciplines
compiler/diagnose:     spec/quantity compiler/machine compiler/cut compiler/axis compiler/rank + disciplines
compiler/asbuilt:      spec compiler/machine compiler/profile + disciplines
compiler/change:       spec spec/quantity compiler/machine compiler/cut compiler/axis compiler/accuracy compiler/rank + disciplines
compiler/sheet:        spec spec/quantity compiler/rank compiler/machine compiler/cut compiler/axis compiler/accuracy compiler/chance compiler/change compiler/build compiler/works compiler/asbuilt compiler/profile + disciplines
compiler/sheet/structure: spec spec/quantity compiler/machine compiler/cut compiler/change compiler/build compiler/rank compiler/sheet compiler/asbuilt + disciplines
compiler/sheet/verdict: spec spec/quantity compiler/machine compiler/cut compiler/axis compiler/accuracy compiler/chance compiler/change compiler/build compiler/rank compiler/sheet compiler/asbuilt + disciplines
compiler/sheet/work:   spec spec/quantity compiler/machine compiler/cut compiler/axis compiler/accuracy compiler/change compiler/making compiler/commission compiler/build compiler/rank compiler/sheet compiler/asbuilt compiler/diagnose + disciplines
compiler/profile:      spec compiler/machine + disciplines
compiler/sheet/axes:      spec spec/quantity compiler/machine compiler/axis compiler/cut compiler/build compiler/rank compiler/sheet + disciplines
compiler/spindles:     compiler/build compiler/rank
compiler:              spec compiler/spindles compiler/machine compiler/cut compiler/axis compiler/accuracy compiler/chance compiler/change compiler/sheet compiler/sheet/structure compiler/sheet/verdict compiler/sheet/axes compiler/sheet/work compiler/build compiler/asbuilt
compiler/internal/sample: spec
compiler/internal/bench: examples spec/quantity
compiler/internal/bench/position: spec spec/quantity compiler/frame compiler/machine compiler/section
compiler/internal/whole:
render/document:
render/folder:
render/figure:         compiler/build spec/literal spec/quantity
render/pdf:            compiler/build render/document render/figure
render:                compiler/build spec/literal spec/nearest spec/quantity render/document render/figure render/folder render/pdf
.:                     spec spec/bound spec/literal compiler compiler/build compiler/keep compiler/section compiler/sheet render render/folder examples
`

// disciplines are the packages that may import nothing of the house but each other,
// and beside that the standard library and gonum: a handbook's worth of formulas. They
// are those that have a Source line.
func disciplines(t *testing.T) []string {
	t.Helper()
	folders, err := filepath.Glob("*")
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for _, name := range folders {
		files, err := filepath.Glob(filepath.Join(name, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasSuffix(file, "_test.go") && strings.Contains(string(text), "\n// Source: ") {
				list = append(list, name)
				break
			}
		}
	}
	return list
}

// edges reads the table: what each package may import.
func edges(t *testing.T) map[string][]string {
	t.Helper()
	table := map[string][]string{}
	for line := range strings.Lines(allowed) {
		from, to, ok := strings.Cut(strings.TrimSpace(line), ":")
		if !ok {
			continue
		}
		to, of, _ := strings.Cut(to, "+")
		list := strings.Fields(to)
		if strings.TrimSpace(of) == "disciplines" {
			for _, name := range disciplines(t) {
				list = append(list, "compiler/"+name)
			}
		}
		table[from] = list
	}
	return table
}

// TestImports holds the house to the table.
func TestImports(t *testing.T) {
	root := ".."
	table := edges(t)
	var pure []string
	for _, name := range disciplines(t) {
		pure = append(pure, "compiler/"+name)
	}
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (strings.HasPrefix(d.Name(), ".") && d.Name() != ".." || d.Name() == "testdata" || d.Name() == "out") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		rel, err := filepath.Rel(root, filepath.Dir(name))
		if err != nil {
			return err
		}
		checkImports(t, table, pure, name, filepath.ToSlash(rel))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for from := range table {
		if _, err := os.Stat(filepath.Join(root, from)); err != nil {
			t.Errorf("the table speaks of %s, which is not there", from)
		}
	}
}

func checkImports(t *testing.T, table map[string][]string, pure []string, name, from string) {
	edges, ok := table[from]
	if !ok {
		t.Errorf("package %s is not in the table of imports", from)
		return
	}
	f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
	if err != nil {
		t.Fatal(err)
	}
	for _, spec := range f.Imports {
		imported, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		if to, ours := strings.CutPrefix(imported, "ironbed/"); ours {
			if !slices.Contains(edges, to) {
				t.Errorf("%s: %s may not import %s", name, from, to)
			}
		} else if first, _, _ := strings.Cut(imported, "/"); slices.Contains(pure, from) && strings.Contains(first, ".") && !strings.HasPrefix(imported, "gonum.org/v1/gonum/") {
			t.Errorf("%s: %s is pure and may not import %s", name, path.Base(from), imported)
		}
	}
}
