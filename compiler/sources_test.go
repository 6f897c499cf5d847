package compiler_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"ironbed/compiler/works"
)

// isMark reports whether a key stands for no publication.
func isMark(key string) bool {
	return key == works.DerivedHere || key == works.CommonPractice || key == works.FromMemory
}

// badSource says what is wrong with a source text.
func badSource(source string) string {
	for _, key := range works.Keys(source) {
		// "derived here: why" is a mark with its reason.
		mark, _, _ := strings.Cut(key, ":")
		if _, ok := works.Find(key); !ok && !isMark(mark) {
			return "unknown key " + key
		}
	}
	if len(works.Keys(source)) == 0 {
		return "no key"
	}
	return ""
}

var (
	sourceLine = regexp.MustCompile(`(?s)Source: (.*?)(\n\n|$)`)
	unitInLine = regexp.MustCompile(`\[[^\]]*\]`)
)

// TestSources holds that every exported formula of a discipline cites its
// source by a known key, and that every exported number says its unit.
func TestSources(t *testing.T) {
	for _, name := range disciplines(t) {
		set := token.NewFileSet()
		files, err := filepath.Glob(filepath.Join(name, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			if strings.HasSuffix(file, "_test.go") {
				continue
			}
			f, err := parser.ParseFile(set, file, nil, parser.ParseComments)
			if err != nil {
				t.Fatal(err)
			}
			for _, d := range f.Decls {
				switch d := d.(type) {
				case *ast.FuncDecl:
					checkFormula(t, set, d)
				case *ast.GenDecl:
					checkUnits(t, set, d)
				}
			}
		}
	}
}

func checkFormula(t *testing.T, set *token.FileSet, d *ast.FuncDecl) {
	if !d.Name.IsExported() {
		return
	}
	found := sourceLine.FindStringSubmatch(d.Doc.Text())
	if found == nil {
		if d.Recv == nil && returnsNumber(d) {
			t.Errorf("%s: %s has no Source: line", set.Position(d.Pos()), d.Name.Name)
		}
		return
	}
	if bad := badSource(strings.ReplaceAll(found[1], "\n", " ")); bad != "" {
		t.Errorf("%s: %s: %s", set.Position(d.Pos()), d.Name.Name, bad)
	}
}

// returnsNumber reports whether a function gives a float64: then it is a
// formula.
func returnsNumber(d *ast.FuncDecl) bool {
	if d.Type.Results == nil {
		return false
	}
	for _, r := range d.Type.Results.List {
		if id, ok := r.Type.(*ast.Ident); ok && id.Name == "float64" {
			return true
		}
	}
	return false
}

func checkUnits(t *testing.T, set *token.FileSet, d *ast.GenDecl) {
	for _, s := range d.Specs {
		spec, ok := s.(*ast.TypeSpec)
		if !ok || !spec.Name.IsExported() {
			continue
		}
		structure, ok := spec.Type.(*ast.StructType)
		if !ok {
			continue
		}
		for _, f := range structure.Fields.List {
			id, ok := f.Type.(*ast.Ident)
			if !ok || id.Name != "float64" || len(f.Names) == 0 || !f.Names[0].IsExported() {
				continue
			}
			if !unitInLine.MatchString(f.Comment.Text() + f.Doc.Text()) {
				t.Errorf("%s: %s.%s says no unit", set.Position(f.Pos()), spec.Name.Name, f.Names[0].Name)
			}
		}
	}
}

// TestWorks holds that the list of works has no key twice and none that is
// empty.
func TestWorks(t *testing.T) {
	seen := map[string]bool{}
	for _, w := range works.All() {
		if seen[w.Key] {
			t.Errorf("%s stands twice", w.Key)
		}
		seen[w.Key] = true
		if w.Author == "" || w.Title == "" || w.Year == "" {
			t.Errorf("%s is incomplete: %+v", w.Key, w)
		}
	}
}
