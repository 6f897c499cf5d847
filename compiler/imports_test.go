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

// allowed are the imports between the packages of the house. Data flows one
// way: schema, spec, compiler, render. A new edge is a decision.
var allowed = map[string][]string{
	".":                     {"compiler", "compiler/build", "examples", "render", "spec"},
	"schema":                {},
	"examples":              {"schema"},
	"spec/quantity":         {},
	"spec":                  {"schema", "spec/quantity"},
	"compiler/works":        {},
	"compiler/build":        {"spec/quantity"},
	"compiler/rank":         {},
	"compiler/verify":       {},
	"compiler/verify/table": {"compiler/verify"},
	"compiler/mesh":         {},
	"compiler/warping":      {"compiler/mesh", "compiler/sparse"},
	"compiler/section":      {"compiler/mesh", "compiler/warping"},
	"compiler/sparse":       {},
	"compiler/fill":         {},
	"compiler/frame":        {"compiler/sparse"},
	"compiler/cutting":      {},
	"compiler/reach":        {"compiler/chatter", "compiler/cutting"},
	"compiler/domain":       {},
	"compiler/motor":        {"compiler/domain"},
	"compiler/drive":        {"compiler/domain", "compiler/motor"},
	"compiler/guide":        {"compiler/domain"},
	"compiler/motion":       {"compiler/domain"},
	"compiler/cable":        {"compiler/domain"},
	"compiler/chatter":      {},
	"compiler/joint":        {"compiler/domain"},
	"compiler/modal":        {"compiler/frame"},
	"compiler/machine":      {"compiler/chatter", "compiler/cutting", "compiler/drive", "compiler/fill", "compiler/frame", "compiler/joint", "compiler/modal", "compiler/motor", "compiler/rank", "compiler/section", "spec", "spec/quantity"},
	"compiler":              {"compiler/machine", "compiler/build", "compiler/cable", "compiler/chatter", "compiler/cutting", "compiler/drive", "compiler/fill", "compiler/frame", "compiler/guide", "compiler/joint", "compiler/modal", "compiler/motion", "compiler/motor", "compiler/rank", "compiler/reach", "compiler/section", "compiler/works", "spec", "spec/quantity"},
	"render/document":       {},
	"render/figure":         {"compiler/build", "spec/quantity"},
	"render/pdf":            {"compiler/build", "render/document", "render/figure"},
	"render":                {"compiler/build", "spec/quantity", "render/document", "render/figure", "render/pdf"},
}

// pure are the packages that may import nothing but the standard library and
// gonum: a handbook's worth of formulas.
var pure = []string{"compiler/mesh", "compiler/warping", "compiler/section", "compiler/fill", "compiler/joint", "compiler/sparse", "compiler/frame", "compiler/cutting", "compiler/reach", "compiler/domain", "compiler/motor", "compiler/drive", "compiler/guide", "compiler/motion", "compiler/cable", "compiler/chatter", "compiler/modal"}

// TestImports holds the house to the table.
func TestImports(t *testing.T) {
	root := ".."
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
		checkImports(t, name, filepath.ToSlash(rel))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for from := range allowed {
		if _, err := os.Stat(filepath.Join(root, from)); err != nil {
			t.Errorf("the table speaks of %s, which is not there", from)
		}
	}
}

func checkImports(t *testing.T, name, from string) {
	edges, ok := allowed[from]
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
