package spec

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"regexp"
	"slices"
	"strings"
	"syscall"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/build"
	"cuelang.org/go/cue/cuecontext"
	"cuelang.org/go/cue/errors"
	"cuelang.org/go/cue/parser"
	"cuelang.org/go/cue/token"

	"ironbed/schema"
	"ironbed/spec/literal"
)

// The bounds on a spec: it may come from someone whom the user does not know.
const (
	largestSpec = 1 << 20 // bytes over all files
	mostFiles   = 200
)

// A Source is what a machine was read from.
type Source struct {
	Files  []string // names relative to the folder, sorted
	Digest string   // SHA-256 over names and contents, hexadecimal
}

// Load reads the spec in a folder. With any diagnostic the machine is nil. An
// error means that the folder could not be read at all.
func Load(dir string) (*Machine, []Diagnostic, error) {
	texts, source, diagnostics, err := readFolder(dir)
	if err != nil || len(diagnostics) > 0 {
		return nil, diagnostics, err
	}
	machine, diagnostics := compile(texts)
	if len(diagnostics) > 0 {
		return nil, diagnostics, nil
	}
	machine.Source = source
	return machine, nil, nil
}

// readFolder reads the CUE files of the folder itself. The root keeps links
// from leading outside it.
func readFolder(dir string) ([]schema.File, Source, []Diagnostic, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, Source{}, nil, err
	}
	defer root.Close()
	entries, err := fs.ReadDir(root.FS(), ".")
	if err != nil {
		return nil, Source{}, nil, err
	}
	var texts []schema.File
	var source Source
	refuse := func(file, format string, args ...any) ([]schema.File, Source, []Diagnostic, error) {
		return nil, Source{}, []Diagnostic{{Rule: RuleFolder, Message: fmt.Sprintf(format, args...), At: Place{File: file, Line: 1, Column: 1}}}, nil
	}
	digest := sha256.New()
	size := 0
	for _, e := range entries {
		if e.IsDir() || !strings.HasSuffix(e.Name(), ".cue") {
			continue
		}
		if _, bad := literal.Unfit(e.Name()); bad || strings.ContainsAny(e.Name(), "\n\r\t") {
			return refuse("", "the name of the file %q holds characters that print nothing or hide what is printed", e.Name())
		}
		text, regular, err := readRegular(root, e.Name())
		if err != nil {
			return nil, Source{}, nil, fmt.Errorf("%s: %w", e.Name(), err)
		}
		if !regular {
			return refuse(e.Name(), "%s is no plain file; a spec is read from plain files alone", e.Name())
		}
		size += len(text)
		switch {
		case len(texts) >= mostFiles:
			return refuse(e.Name(), "the folder has more than %d CUE files, which is as many as a spec may have", mostFiles)
		case size > largestSpec:
			return refuse(e.Name(), "with this file the spec is larger than %d MB, which is as large as it may be", largestSpec>>20)
		}
		texts = append(texts, schema.File{Name: e.Name(), Text: text})
		source.Files = append(source.Files, e.Name())
		fmt.Fprintf(digest, "%s\n%d\n", e.Name(), len(text))
		digest.Write(text)
	}
	if len(texts) == 0 {
		return nil, Source{}, []Diagnostic{{Rule: RuleFolder,
			Message: fmt.Sprintf("no CUE files in %s; `ironbed init %s` writes a first spec", dir, dir)}}, nil
	}
	source.Digest = hex.EncodeToString(digest.Sum(nil))
	return texts, source, nil, nil
}

// readRegular reads a plain file. What is none, such as a named pipe, is not waited for.
func readRegular(root *os.Root, name string) (text []byte, regular bool, err error) {
	f, err := root.OpenFile(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		if info, second := root.Lstat(name); second == nil && info.Mode()&(fs.ModeSocket|fs.ModeDevice|fs.ModeNamedPipe) != 0 {
			return nil, false, nil
		}
		return nil, false, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() {
		return nil, false, err
	}
	text, err = io.ReadAll(io.LimitReader(f, largestSpec+1))
	return text, true, err
}

// compile turns the files of a spec into a machine, or into all that is wrong
// with them.
func compile(texts []schema.File) (*Machine, []Diagnostic) {
	files, diagnostics := parseFiles(texts)
	if len(diagnostics) > 0 {
		return nil, diagnostics
	}
	own := newOutline()
	for _, f := range files {
		own.add(f)
	}
	schemaFiles := parseSchema()
	shapes := shapesIn(schemaFiles)
	defined := definitions(schemaFiles)
	diagnostics = append(unresolved(files, defined), undefined(files, defined)...)
	if len(diagnostics) > 0 && !slices.ContainsFunc(files, usesSchema) {
		return nil, diagnostics // what else is said of it is an echo
	}
	value, found := evaluate(files, schemaFiles, own)
	diagnostics = append(diagnostics, found...)
	w := walker{outline: own, shapes: shapes, diagnostics: diagnostics}
	tree := w.walk("", value, shapes["Machine"])
	w.repeats()
	if len(w.diagnostics) == 0 {
		w.counts(tree)
	}
	if len(w.diagnostics) > 0 {
		return nil, w.diagnostics
	}
	machine := &Machine{tree: tree, Unlikely: w.unlikely}
	decode(tree, machine)
	if d := machine.resolve(); len(d) > 0 {
		return nil, append(d, w.unlikely...)
	}
	return machine, nil
}

// parseFiles parses the user's files and checks what they may import.
func parseFiles(texts []schema.File) ([]*ast.File, []Diagnostic) {
	var files []*ast.File
	var diagnostics []Diagnostic
	packageName, packageAt := "", Place{}
	for _, t := range texts {
		if long := tooLong(t); len(long) > 0 {
			diagnostics = append(diagnostics, long...)
			continue
		}
		f, err := parser.ParseFile(t.Name, t.Text, parser.ParseComments)
		slips := slipsIn(t, err != nil)
		diagnostics = append(diagnostics, slips...)
		if err != nil || len(slips) > 0 {
			if len(slips) > 0 {
				// What the parser says besides is an echo.
			} else if d := unbalanced(t); len(d) > 0 {
				diagnostics = append(diagnostics, d...)
			} else {
				diagnostics = append(diagnostics, fromParser(errors.Errors(err)[0])) // the others are its echoes, as a rule
			}
			continue
		}
		name := f.PackageName()
		switch {
		case name == "":
			diagnostics = append(diagnostics, Diagnostic{Rule: RuleFolder, At: Place{t.Name, 1, 1},
				Message: "the file has no package clause; write `package mill` first"})
		case packageName == "":
			packageName, packageAt = name, placeOf(f.Decls[0].Pos())
		case name != packageName:
			diagnostics = append(diagnostics, Diagnostic{Rule: RuleFolder, At: Place{t.Name, 1, 1},
				Message: fmt.Sprintf("package %s, but the rest of the spec is package %s; a spec is one package", name, packageName),
				Notes:   []Remark{{"the package is named here", packageAt}}})
		}
		for imported := range f.ImportSpecs() {
			path, ok := unquoted(imported.Path)
			if !ok || path == schema.ImportPath {
				continue
			}
			first, _, _ := strings.Cut(path, "/")
			if strings.Contains(first, ".") || first == "tool" {
				says := fmt.Sprintf("a spec cannot import %q, but %q and CUE's own packages alone; take this line out", path, schema.ImportPath)
				if Nearest(path, []string{schema.ImportPath}) != "" {
					says = fmt.Sprintf("there is no %q to import; did you mean %q", path, schema.ImportPath)
				}
				diagnostics = append(diagnostics, Diagnostic{Rule: RuleImport, At: placeOf(imported.Path.Pos()), Message: says})
			}
		}
		files = append(files, f)
	}
	return files, diagnostics
}

// fromParser words an error of CUE's parser.
func fromParser(e errors.Error) Diagnostic {
	format, args := e.Msg()
	d := Diagnostic{Rule: RuleSyntax, Message: fmt.Sprintf(format, args...), At: placeOf(e.Position())}
	switch {
	case strings.Contains(d.Message, "string literal not terminated"):
		d.Message = "no quote ends the text that begins here"
	case strings.HasPrefix(d.Message, "missing ','"):
		d.Message = "a comma, or a new line, is missing before this"
	case strings.HasPrefix(d.Message, "expected label or ':'"):
		d.Message = "a colon is missing between a name and its value, as in `name: \"mill\"`"
	}
	return d
}

// unresolved reports the names that refer to nothing, and takes them out, so
// that the rest of the spec can still be evaluated: CUE would stop at them.
func unresolved(files []*ast.File, defined map[string]bool) []Diagnostic {
	declared := map[string]bool{}
	for _, f := range files {
		for _, d := range f.Decls {
			if field, ok := d.(*ast.Field); ok {
				if name, _, err := ast.LabelName(field.Label); err == nil {
					declared[name] = true
				}
			}
		}
	}
	var list []Diagnostic
	for _, f := range files {
		declared[f.PackageName()] = true
		for _, id := range f.Unresolved {
			if declared[id.Name] || predeclared[id.Name] || strings.HasPrefix(id.Name, "__") {
				continue
			}
			says := fmt.Sprintf("%s refers to nothing; a text stands in quotes, %q", id.Name, id.Name)
			switch bare := strings.TrimPrefix(id.Name, "#"); {
			case id.Name == schemaName:
				says = fmt.Sprintf("%s is not imported; write the line `import %q` below the line that begins with package", id.Name, schema.ImportPath)
			case bare != id.Name && defined[bare]:
				says = fmt.Sprintf("%s is not of this package; write %s.%s", id.Name, schemaName, id.Name)
			}
			list = append(list, Diagnostic{Rule: RuleReference, At: placeOf(id.Pos()), Message: says})
			id.Name, id.Node = "_", nil
		}
	}
	return list
}

// schemaName is what the package of the schema is called in a spec.
const schemaName = "machine"

// definitions are the names of what the schema defines.
func definitions(files []*ast.File) map[string]bool {
	names := map[string]bool{}
	for _, f := range files {
		for _, d := range f.Decls {
			if field, ok := d.(*ast.Field); ok {
				if name, _, err := ast.LabelName(field.Label); err == nil {
					names[strings.TrimPrefix(name, "#")] = true
				}
			}
		}
	}
	return names
}

// undefined reports where a spec takes from the schema what it does not define.
func undefined(files []*ast.File, defined map[string]bool) (list []Diagnostic) {
	for _, f := range files {
		ast.Walk(f, func(n ast.Node) bool {
			s, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if of, ok := s.X.(*ast.Ident); !ok || of.Name != schemaName {
				return true
			}
			name, _, err := ast.LabelName(s.Sel)
			bare, hash := strings.CutPrefix(name, "#")
			if err != nil || hash && defined[bare] {
				return true
			}
			says := fmt.Sprintf("there is no %s.%s", schemaName, name)
			if near := Nearest(bare, slices.Sorted(maps.Keys(defined))); near != "" {
				says += fmt.Sprintf("; did you mean %s.#%s", schemaName, near)
			}
			list = append(list, Diagnostic{Rule: RuleReference, At: placeOf(s.Pos()), Message: says})
			return true
		}, nil)
	}
	return list
}

// usesSchema reports whether a file takes the machine from the schema.
func usesSchema(f *ast.File) (uses bool) {
	ast.Walk(f, func(n ast.Node) bool {
		if s, ok := n.(*ast.SelectorExpr); ok {
			if of, ok := s.X.(*ast.Ident); ok && of.Name == schemaName {
				name, _, err := ast.LabelName(s.Sel)
				uses = uses || err == nil && name == "#Machine"
			}
		}
		return true
	}, nil)
	return uses
}

// predeclared are the names that CUE itself gives.
var predeclared = func() map[string]bool {
	names := map[string]bool{}
	for _, n := range strings.Fields("_ null bool int float string bytes number len close and or div mod quo rem error self uint uint8 int8 uint16 int16 rune uint32 int32 uint64 int64 uint128 int128 float32 float64 true false matchN matchIf") {
		names[n] = true
	}
	return names
}()

// evaluate unifies the user's files with the schema. The schema is loosened
// first: its templates and names stay, its checks are left to the walker, which
// finds every mistake where CUE would stop at the first of a struct.
func evaluate(files, schemaFiles []*ast.File, own *outline) (cue.Value, []Diagnostic) {
	machine := build.NewContext().NewInstance("machine", nil)
	machine.ImportPath = schema.ImportPath
	machine.PkgName = "machine"
	for _, f := range schemaFiles {
		if err := machine.AddSyntax(loosened(f)); err != nil {
			panic(err) // the schema is ours
		}
	}
	loader := func(_ token.Pos, path string) *build.Instance {
		if path == schema.ImportPath {
			return machine
		}
		return nil
	}
	instance := build.NewContext(build.Loader(loader)).NewInstance("spec", loader)
	var diagnostics []Diagnostic
	note := func(err error) {
		for _, e := range errors.Errors(err) {
			diagnostics = append(diagnostics, fromCUE(e, own))
		}
	}
	for _, f := range files {
		if err := instance.AddSyntax(f); err != nil {
			note(err)
		}
	}
	if err := machine.Complete(); err != nil {
		panic(err)
	}
	if err := instance.Complete(); err != nil {
		note(err)
	}
	value := cuecontext.New().BuildInstance(instance)
	if len(diagnostics) == 0 {
		note(value.Validate())
	}
	return value, diagnostics
}

// loosened takes the checks out of a schema file: quantities become any value,
// required fields optional, and every struct open.
func loosened(f *ast.File) *ast.File {
	ast.Walk(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.Field:
			if n.Constraint == token.NOT {
				n.Constraint = token.OPTION
			}
			if id, ok := n.Label.(*ast.Ident); ok {
				if _, ok := measures[strings.TrimPrefix(id.Name, "#")]; ok {
					n.Value = ast.NewIdent("_")
					return false
				}
			}
			n.Value = loosenedExpr(n.Value)
		case *ast.StructLit:
			if !slices.ContainsFunc(n.Elts, isEllipsis) {
				n.Elts = append(n.Elts, &ast.Ellipsis{})
			}
		}
		return true
	}, nil)
	return f
}

func isEllipsis(d ast.Decl) bool { _, ok := d.(*ast.Ellipsis); return ok }

// loosenedExpr keeps structs, templates and defaults and lets any value stand where
// the schema asks for a plain type.
func loosenedExpr(e ast.Expr) ast.Expr {
	switch e := e.(type) {
	case *ast.Ident:
		if !strings.HasPrefix(e.Name, "#") {
			return ast.NewIdent("_")
		}
	case *ast.BinaryExpr:
		if e.Op == token.OR {
			if u, ok := e.Y.(*ast.UnaryExpr); ok && u.Op == token.MUL {
				e.X = ast.NewIdent("_")
				return e
			}
			return ast.NewIdent("_")
		}
		if _, ok := e.Y.(*ast.UnaryExpr); ok {
			return ast.NewIdent("_")
		}
	case *ast.ListLit:
		if !slices.ContainsFunc(e.Elts, isInterpolation) {
			return ast.NewIdent("_")
		}
	}
	return e
}

func isInterpolation(e ast.Expr) bool { _, ok := e.(*ast.Interpolation); return ok }

// mismatch matches what CUE says of values of different kinds.
var mismatch = regexp.MustCompile(`\(mismatched types (\w+) and (\w+)\)`)

// fromCUE words an error of the CUE evaluator as a diagnostic at the user's own
// line.
func fromCUE(e errors.Error, own *outline) Diagnostic {
	format, args := e.Msg()
	d := Diagnostic{Rule: RuleEvaluation, Message: strings.TrimSuffix(fmt.Sprintf(format, args...), ".")}
	for _, p := range append([]token.Pos{e.Position()}, e.InputPositions()...) {
		if at := placeOf(p); at.File != "" && !strings.HasPrefix(at.File, "schema/") {
			d.At = at
			break
		}
	}
	path := ""
	for _, name := range e.Path() {
		path = join(path, strings.Trim(name, `"`))
	}
	if kinds := mismatch.FindStringSubmatch(d.Message); kinds != nil {
		d.Rule, d.Message = RuleKind, fmt.Sprintf("a %s and a %s do not go together", kinds[1], kinds[2])
	} else if strings.HasPrefix(d.Message, "conflicting values") {
		d.Rule = RuleConflict
		d.Message += "; a value may be given once"
	}
	if path == "" {
		return d
	}
	d.Message = path + ": " + d.Message
	if at, exact := own.value(path); exact || !d.At.Known() {
		d.At = at
	}
	if d.Rule == RuleEvaluation {
		return d
	}
	for _, at := range own.values[path] {
		if at != d.At {
			d.Notes = append(d.Notes, Remark{"it is given here too", at})
		}
	}
	if at, made, ok := own.template(path); ok && len(d.Notes) == 0 {
		d.Notes = append(d.Notes, Remark{"the template of " + made + " gives it already", at})
	}
	return d
}

// Known reports whether the place is somewhere.
func (p Place) Known() bool { return p.File != "" }
