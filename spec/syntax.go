package spec

import (
	"strconv"
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/token"
)

// An outline says where the user wrote what: it maps the path of a value to the
// places at which the user's files speak of it. It is read from the syntax
// alone, because an evaluated CUE value does not say where the user wrote it.
type outline struct {
	labels    map[string][]Place // where the field's name stands, by path
	values    map[string][]Place // where the field's value stands, by path
	origins   map[string]Place   // where the value that a name stands for is written, by path
	templates map[string]string  // the template that a body is made by, by path
	children  map[string][]string
	repeats   []repeat
	root      Place // where the machine itself begins

	scopes    []map[string]ast.Expr // what the structs round a place name, the innermost last
	following int                   // how many names deep a value is being followed
}

// deepest is how many names a value is followed through: a name that stands for
// itself must come to an end.
const deepest = 8

// A repeat is a plain value that one struct gives twice, or a part that it gives twice with a value of its own each time.
type repeat struct {
	path          string
	part          bool
	first, second Place
}

func newOutline() *outline {
	return &outline{
		labels:    map[string][]Place{},
		values:    map[string][]Place{},
		origins:   map[string]Place{},
		templates: map[string]string{},
		children:  map[string][]string{},
	}
}

// add reads one of the user's files.
func (o *outline) add(f *ast.File) {
	o.decls("", f.Decls)
}

func placeOf(p token.Pos) Place {
	if !p.IsValid() {
		return Place{}
	}
	at := p.Position()
	return Place{File: at.Filename, Line: at.Line, Column: at.Column}
}

// join appends a name to a path. Names with a dot do not occur as labels of the
// schema, and a user's own are quoted.
func join(path, name string) string {
	if strings.ContainsAny(name, ". \"") {
		name = strconv.Quote(name)
	}
	if path == "" {
		return name
	}
	return path + "." + name
}

func (o *outline) decls(path string, decls []ast.Decl) {
	scope := map[string]ast.Expr{}
	for _, d := range decls {
		if f, ok := d.(*ast.Field); ok {
			if name, _, err := ast.LabelName(f.Label); err == nil && scope[name] == nil {
				scope[name] = f.Value
			}
		}
	}
	o.scopes = append(o.scopes, scope)
	defer func() { o.scopes = o.scopes[:len(o.scopes)-1] }()
	plain, within := map[string]Place{}, map[string]map[string]Place{}
	for _, d := range decls {
		switch d := d.(type) {
		case *ast.EmbedDecl:
			if path == "" && !o.root.Known() {
				o.root = placeOf(d.Pos())
			}
			o.expr(path, d.Expr)
		case *ast.Field:
			name, _, err := ast.LabelName(d.Label)
			if err != nil || strings.HasPrefix(name, "_") || strings.HasPrefix(name, "#") {
				continue
			}
			at, child := placeOf(d.Label.Pos()), join(path, name)
			if len(o.labels[child]) == 0 {
				o.children[path] = append(o.children[path], name)
			}
			o.labels[child] = append(o.labels[child], at)
			if !isStruct(d.Value) {
				if first, ok := plain[name]; ok && o.following == 0 {
					o.repeats = append(o.repeats, repeat{child, false, first, at})
				}
				plain[name] = at
			} else if s, ok := d.Value.(*ast.StructLit); ok {
				// A struct may be given in pieces, but not with a value of another piece.
				for _, field := range plainFields(s) {
					if first, ok := within[name][field]; ok && o.following == 0 {
						o.repeats = append(o.repeats, repeat{child, true, first, at})
						break
					}
				}
				if within[name] == nil {
					within[name] = map[string]Place{}
				}
				for _, field := range plainFields(s) {
					within[name][field] = at
				}
			}
			o.expr(child, d.Value)
		}
	}
}

// plainFields are the names of a struct's fields that are no structs themselves.
func plainFields(s *ast.StructLit) (names []string) {
	for _, d := range s.Elts {
		if f, ok := d.(*ast.Field); ok && !isStruct(f.Value) {
			if name, _, err := ast.LabelName(f.Label); err == nil {
				names = append(names, name)
			}
		}
	}
	return names
}

// isStruct reports whether an expression is a struct, which a spec may give in
// several pieces.
func isStruct(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.StructLit:
		return true
	case *ast.ParenExpr:
		return isStruct(e.X)
	case *ast.BinaryExpr:
		return e.Op == token.AND && (isStruct(e.X) || isStruct(e.Y))
	}
	return false
}

func (o *outline) expr(path string, e ast.Expr) {
	switch e := e.(type) {
	case *ast.StructLit:
		if path != "" {
			o.values[path] = append(o.values[path], placeOf(e.Pos()))
		}
		o.decls(path, e.Elts)
	case *ast.ParenExpr:
		o.expr(path, e.X)
	case *ast.BinaryExpr:
		if e.Op == token.AND {
			o.expr(path, e.X)
			o.expr(path, e.Y)
			return
		}
		o.values[path] = append(o.values[path], placeOf(e.Pos()))
	case *ast.SelectorExpr:
		if id, ok := e.X.(*ast.Ident); ok && id.Name == "machine" {
			if name, _, err := ast.LabelName(e.Sel); err == nil {
				o.templates[path] = strings.TrimPrefix(name, "#")
				return
			}
		}
		o.values[path] = append(o.values[path], placeOf(e.Pos()))
	case *ast.Ident:
		o.values[path] = append(o.values[path], placeOf(e.Pos()))
		o.follow(path, e.Name)
	case *ast.ListLit:
		o.values[path] = append(o.values[path], placeOf(e.Pos()))
		for i, x := range e.Elts {
			o.expr(join(path, strconv.Itoa(i)), x)
		}
	default:
		o.values[path] = append(o.values[path], placeOf(e.Pos()))
	}
}

// follow reads what a name stands for, so that a part of it has its own place:
// the screw that two drives share is mended where it is written. The value as a
// whole stands where the name is used.
func (o *outline) follow(path, name string) {
	if o.following == deepest {
		return
	}
	for i := len(o.scopes) - 1; i >= 0; i-- {
		value, ok := o.scopes[i][name]
		if !ok {
			continue
		}
		if isStruct(value) {
			inner := o.scopes
			o.scopes = o.scopes[: i+1 : i+1]
			o.following++
			o.expr(path, value)
			o.following--
			o.scopes = inner
		} else if id, ok := value.(*ast.Ident); ok && id.Name != name {
			o.following++
			o.follow(path, id.Name)
			o.following--
		} else {
			o.origins[path] = placeOf(value.Pos())
		}
		return
	}
}

// value returns where a value stands: its own place, or that of the nearest
// part of the spec that holds it. Exact reports which.
func (o *outline) value(path string) (at Place, exact bool) {
	if list := o.values[path]; len(list) > 0 {
		return list[0], true
	}
	return o.label(path), false
}

// label returns where a field's name stands, or that of the nearest field
// round it.
func (o *outline) label(path string) Place {
	for path != "" {
		if list := o.labels[path]; len(list) > 0 {
			return list[0]
		}
		if list := o.values[path]; len(list) > 0 {
			return list[0]
		}
		path = parent(path)
	}
	return o.root
}

// template returns where the template round a path stands, and the path of what it makes.
func (o *outline) template(path string) (at Place, made string, ok bool) {
	for ; path != ""; path = parent(path) {
		if _, found := o.templates[path]; found {
			return o.label(path), path, true
		}
	}
	return Place{}, "", false
}

// parent cuts the last name off a path.
func parent(path string) string {
	quoted := false
	for i := len(path) - 1; i >= 0; i-- {
		switch path[i] {
		case '"':
			quoted = !quoted
		case '.':
			if !quoted {
				return path[:i]
			}
		}
	}
	return ""
}

// unquoted returns the text of a string literal, if e is one.
func unquoted(e ast.Expr) (string, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	text, err := literal.Unquote(lit.Value)
	return text, err == nil
}
