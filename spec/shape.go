package spec

import (
	"fmt"
	"strconv"
	"strings"
	"sync"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/parser"
	"cuelang.org/go/cue/token"

	"ironbed/schema"
	"ironbed/spec/quantity"
)

// A shapeKind is what sort of value the schema asks for.
type shapeKind int

const (
	anyShape       shapeKind = iota
	structShape              // named fields
	mapShape                 // fields of any name, all alike
	listShape                // a list of any length
	tupleShape               // a list of fixed length
	measureShape             // a quantity with its unit
	textShape                // a string
	wordShape                // one of a few strings
	integerShape             // a whole number
	numberShape              // a plain number
	boolShape                // true or false
	directionShape           // a word or three numbers
)

// A shape is what the schema says of one value. It is read from the schema's
// own syntax, so that the schema is written once: the CUE files are what editors
// and `cue vet` check with, and what the loader checks with.
type shape struct {
	kind    shapeKind
	name    string // the definition's name, without #
	fields  []shapeField
	element *shape   // of a map or list
	tuple   []*shape // of a tuple
	words   []string // of a wordShape
	choice  []string // exactly one of these fields must be given
	measure measure
	low     *float64 // range of an integer or a measure, SI
	high    *float64
	rangeOf string                // the range as written
	usual   *[2]quantity.Quantity // the usual range of a measure; nil where any value is
	usualOf string                // the same as written
}

// A shapeField is one field of a struct shape.
type shapeField struct {
	name     string
	required bool
	shape    *shape
}

func (s *shape) field(name string) *shapeField {
	for i := range s.fields {
		if s.fields[i].name == name {
			return &s.fields[i]
		}
	}
	return nil
}

// A shapeReader reads definitions from the schema's files.
type shapeReader struct {
	definitions map[string]ast.Expr
	done        map[string]*shape
}

// parseSchema parses the schema's files. The result is fresh: callers may
// change it.
func parseSchema() []*ast.File {
	var list []*ast.File
	for _, f := range schema.Machine() {
		parsed, err := parser.ParseFile("schema/"+f.Name, f.Text)
		if err != nil {
			panic(err) // the schema is ours
		}
		list = append(list, parsed)
	}
	return list
}

// shapesOnce keeps the shapes of the schema.
var shapesOnce struct {
	sync.Once
	shapes map[string]*shape
}

// schemaShapes returns the shapes of the schema.
func schemaShapes() map[string]*shape { return shapesIn(nil) }

// shapesIn is schemaShapes for one who has just parsed the schema, which saves doing it
// again.
func shapesIn(files []*ast.File) map[string]*shape {
	shapesOnce.Do(func() {
		if files == nil {
			files = parseSchema()
		}
		shapesOnce.shapes = readShapes(files)
	})
	return shapesOnce.shapes
}

// readShapes reads every definition of the schema.
func readShapes(files []*ast.File) map[string]*shape {
	r := shapeReader{definitions: map[string]ast.Expr{}, done: map[string]*shape{}}
	var names []string
	for _, f := range files {
		for _, d := range f.Decls {
			field, ok := d.(*ast.Field)
			if !ok {
				continue
			}
			if id, ok := field.Label.(*ast.Ident); ok && strings.HasPrefix(id.Name, "#") {
				r.definitions[id.Name] = field.Value
				names = append(names, id.Name)
			}
		}
	}
	for _, name := range names {
		r.definition(name)
	}
	return r.done
}

func (r *shapeReader) definition(name string) *shape {
	bare := strings.TrimPrefix(name, "#")
	if s, ok := r.done[bare]; ok {
		return s
	}
	s := &shape{name: bare}
	r.done[bare] = s
	if m, ok := measures[bare]; ok {
		s.kind, s.measure = measureShape, m
		return s
	}
	switch bare {
	case "Direction":
		s.kind = directionShape
		return s
	}
	*s = *r.expr(r.definitions[name])
	s.name = bare
	return s
}

// expr reads one type expression. An expression that it does not know is a
// mistake in our own schema, and panics.
func (r *shapeReader) expr(e ast.Expr) *shape {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return r.expr(e.X)
	case *ast.Ident:
		switch e.Name {
		case "string":
			return &shape{kind: textShape}
		case "int":
			return &shape{kind: integerShape}
		case "number":
			return &shape{kind: numberShape}
		case "bool":
			return &shape{kind: boolShape}
		case "_":
			return &shape{kind: anyShape}
		}
		if strings.HasPrefix(e.Name, "#") {
			return r.definition(e.Name)
		}
	case *ast.BasicLit:
		if text, err := literal.Unquote(e.Value); err == nil {
			return &shape{kind: wordShape, words: []string{text}}
		}
	case *ast.BinaryExpr:
		return r.binary(e)
	case *ast.StructLit:
		return r.structure(e)
	case *ast.ListLit:
		if len(e.Elts) == 1 {
			if rest, ok := e.Elts[0].(*ast.Ellipsis); ok {
				return &shape{kind: listShape, element: r.expr(rest.Type)}
			}
		}
		s := &shape{kind: tupleShape}
		for _, x := range e.Elts {
			s.tuple = append(s.tuple, r.expr(x))
		}
		return s
	}
	panic(fmt.Sprintf("schema: unknown type expression %T", e))
}

// binary reads a | b, a & b and defaults.
func (r *shapeReader) binary(e *ast.BinaryExpr) *shape {
	if e.Op == token.AND {
		s := *r.expr(e.X)
		if u, ok := e.Y.(*ast.UnaryExpr); ok {
			limit := number(u.X)
			switch u.Op {
			case token.GEQ:
				s.low = &limit
			case token.LEQ:
				s.high = &limit
			default:
				panic("schema: unknown bound " + u.Op.String())
			}
			return &s
		}
		r.template(&s, e.Y.(*ast.StructLit))
		return &s
	}
	if u, ok := e.Y.(*ast.UnaryExpr); ok && u.Op == token.MUL {
		return r.expr(e.X) // a default
	}
	x, y := r.expr(e.X), r.expr(e.Y)
	if x.kind != wordShape || y.kind != wordShape {
		panic("schema: only words may be alternatives")
	}
	return &shape{kind: wordShape, words: append(append([]string{}, x.words...), y.words...)}
}

// template reads a template, #Body & {template!: ...; nodes: ...}: a body whose template field has
// a shape of its own. What the template makes of it needs no shape.
func (r *shapeReader) template(body *shape, e *ast.StructLit) {
	for _, d := range e.Elts {
		f, ok := d.(*ast.Field)
		if !ok {
			continue
		}
		if name, _, _ := ast.LabelName(f.Label); name == "template" {
			body.fields = append([]shapeField{}, body.fields...)
			*body.field("template") = shapeField{name: "template", required: true, shape: r.expr(f.Value)}
		}
	}
}

func number(e ast.Expr) float64 {
	lit, ok := e.(*ast.BasicLit)
	if !ok {
		panic("schema: a bound must be a number")
	}
	v, err := strconv.ParseFloat(lit.Value, 64)
	if err != nil {
		panic(err)
	}
	return v
}

// structure reads a struct literal: a map if it has one pattern field, named
// fields otherwise.
func (r *shapeReader) structure(e *ast.StructLit) *shape {
	s := &shape{kind: structShape}
	for _, d := range e.Elts {
		switch d := d.(type) {
		case *ast.Attribute:
			if key, body := d.Split(); key == "oneof" {
				s.choice = strings.Split(body, ",")
			}
		case *ast.Ellipsis:
			return &shape{kind: anyShape}
		case *ast.Field:
			if _, ok := d.Label.(*ast.ListLit); ok {
				return &shape{kind: mapShape, element: withAttributes(r.expr(d.Value), d.Attrs)}
			}
			name, _, err := ast.LabelName(d.Label)
			if err != nil {
				panic(err)
			}
			s.fields = append(s.fields, shapeField{name: name, required: d.Constraint == token.NOT, shape: withAttributes(r.expr(d.Value), d.Attrs)})
		}
	}
	return s
}

// withAttributes is a shape with the range, and with what is usual, that a field's
// attributes give it.
func withAttributes(s *shape, list []*ast.Attribute) *shape {
	for _, a := range list {
		own := *s
		switch key, body := a.Split(); key {
		case "range":
			own.readRange(body)
		case "usual":
			own.readUsual(body)
		default:
			continue
		}
		s = &own
	}
	return s
}

// readUsual reads the body of an attribute of what is usual, in quotes since it
// holds units: "1 mm", "50 mm".
func (s *shape) readUsual(body string) {
	low, high, ok := strings.Cut(strings.ReplaceAll(body, `"`, ""), ",")
	if !ok {
		panic("schema: usual " + body)
	}
	s.usual = &[2]quantity.Quantity{}
	for i, text := range []string{low, high} {
		q, err := quantity.ParseAs(strings.TrimSpace(text), s.measure.dimension)
		if err != nil {
			panic(err)
		}
		s.usual[i] = q
	}
	s.usualOf = strings.TrimSpace(low) + " to " + strings.TrimSpace(high)
}

// readRange reads the body of a range attribute, "0.05, 1" or "0 deg, 60 deg", in quotes where a unit needs them.
func (s *shape) readRange(body string) {
	low, high, ok := strings.Cut(strings.ReplaceAll(body, `"`, ""), ",")
	if !ok {
		panic("schema: range " + body)
	}
	s.rangeOf = strings.TrimSpace(low) + " to " + strings.TrimSpace(high)
	for text, to := range map[string]**float64{low: &s.low, high: &s.high} {
		q, err := quantity.ParseAs(strings.TrimSpace(text), s.measure.dimension)
		if err != nil {
			panic(err)
		}
		v := q.Value
		*to = &v
	}
}
