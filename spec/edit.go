package spec

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"cuelang.org/go/cue/cuecontext"
	"cuelang.org/go/cue/parser"
)

// An Edit is one thing written into a spec: a field and its new value, as CUE has
// it. Fields of a struct go beside those that are there; a value, or a list, takes
// the place of the one that is there.
type Edit struct {
	Path  string // "axes.x.rapid"; names that CUE does not take bare stand in quotes
	Value string // `"8 m/min"`, `{height: "200 mm"}`
	At    Place  // where the value is written, if not where it goes
}

// String writes the edit as CUE has fields.
func (e Edit) String() string {
	return strings.Join(pathNames(e.Path, true), ": ") + ": " + e.Value
}

// With returns a machine of its own: what this one was read from with edits made. An
// error says what the spec would be refused for.
func (m *Machine) With(edits ...Edit) (*Machine, error) {
	shapes := schemaShapes()
	t := m.tree
	for _, e := range edits {
		var err error
		if t, err = grafted(t, shapes["Machine"], shapes, pathNames(e.Path, false), "", e.Value); err != nil {
			return nil, fmt.Errorf("%s: %w", e.Path, err)
		}
		if e.At.Known() {
			t.stand(pathNames(e.Path, false), e.At)
		}
	}
	return m.of(t)
}

// of is a machine of its own that is read from a tree.
func (m *Machine) of(t *tree) (*Machine, error) {
	out := &Machine{Source: m.Source, tree: t, mounted: m.mounted}
	decode(t, out)
	if list := out.resolve(); len(list) > 0 {
		return nil, fmt.Errorf("%s", list[0].Message)
	}
	return out, nil
}

// stand gives a value that was just written the place where it is written.
func (t *tree) stand(names []string, at Place) {
	for _, n := range names {
		if t = t.part(n); t == nil {
			return
		}
	}
	t.at, t.label, t.origin = at, at, at
}

// pathNames cuts a path into its names; quoted keeps the quotes round those that
// have some.
func pathNames(path string, quoted bool) (names []string) {
	for path != "" {
		up := parent(path)
		name := strings.TrimPrefix(path[len(up):], ".")
		if !quoted {
			name = strings.Trim(name, `"`)
		}
		names, path = append(names, name), up
	}
	slices.Reverse(names)
	return names
}

// grafted is a tree with a value written below it; what is not on the way is shared
// with the old one.
func grafted(t *tree, s *shape, shapes map[string]*shape, names []string, path, value string) (*tree, error) {
	if len(names) == 0 {
		return merged(t, s, shapes, path, value)
	}
	if n, err := strconv.Atoi(names[0]); err == nil && t != nil && n >= 0 && n < len(t.list) {
		return t.withElement(n, s, shapes, names[1:], join(path, names[0]), value)
	}
	child := s.element
	if s.kind == structShape {
		f := s.field(names[0])
		if f == nil {
			return nil, fmt.Errorf("%s is not a field of %s", names[0], s.says(path))
		}
		child = f.shape
	}
	if child == nil {
		return nil, fmt.Errorf("%s has no %s", last(path), names[0])
	}
	var old *tree
	if t != nil {
		old = t.fields[names[0]]
	}
	grown, err := grafted(old, child, shapes, names[1:], join(path, names[0]), value)
	if err != nil {
		return nil, err
	}
	return t.with(names[0], grown, s), nil
}

// withElement is a list with an element of it written anew.
func (t *tree) withElement(n int, s *shape, shapes map[string]*shape, names []string, path, value string) (*tree, error) {
	child := s.element
	switch {
	case s.kind == tupleShape:
		child = s.tuple[n]
	case s.kind == directionShape:
		child = &shape{kind: numberShape}
	}
	grown, err := grafted(t.list[n], child, shapes, names, path, value)
	if err != nil {
		return nil, err
	}
	out := *t
	out.list = slices.Clone(t.list)
	out.list[n] = grown.placed(t)
	return &out, nil
}

// with is a tree with a part of it written anew.
func (t *tree) with(name string, part *tree, s *shape) *tree {
	out := &tree{}
	if t != nil {
		*out = *t
	}
	out.fields = maps.Clone(out.fields)
	if out.fields == nil {
		out.fields = map[string]*tree{}
	}
	out.names = slices.Clone(out.names)
	if slices.Contains(s.choice, name) { // of those that stand for each other one is left
		out.names = slices.DeleteFunc(out.names, func(n string) bool { return n != name && slices.Contains(s.choice, n) })
		maps.DeleteFunc(out.fields, func(n string, _ *tree) bool { return n != name && slices.Contains(s.choice, n) })
	}
	if !slices.Contains(out.names, name) {
		out.names = append(out.names, name)
	}
	out.fields[name] = part.placed(out)
	return out
}

// placed is a tree that stands where what holds it stands, as far as it has no place
// of its own.
func (t *tree) placed(in *tree) *tree {
	if t.at.Known() {
		return t
	}
	out := *t
	out.at, out.label = in.at, in.label
	out.fields = maps.Clone(t.fields)
	for name, part := range out.fields {
		out.fields[name] = part.placed(&out)
	}
	out.list = slices.Clone(t.list)
	for i, part := range out.list {
		out.list[i] = part.placed(&out)
	}
	return &out
}

// merged reads a value as CUE has it and puts it in the place of an old one.
func merged(old *tree, s *shape, shapes map[string]*shape, path, value string) (*tree, error) {
	expr, err := parser.ParseExpr("edit", value)
	if err != nil {
		return nil, err
	}
	w := walker{outline: newOutline(), shapes: shapes, partial: true}
	v := cuecontext.New().BuildExpr(expr)
	if err := v.Err(); err != nil {
		return nil, err
	}
	t := w.walk(path, v, s)
	if len(w.diagnostics) > 0 {
		return nil, fmt.Errorf("%s", w.diagnostics[0].Message)
	}
	return over(old, t, s), nil
}

// over lays a new tree over an old one.
func over(old, t *tree, s *shape) *tree {
	if old == nil || old.fields == nil || t.fields == nil {
		out := *t
		if old != nil {
			out.at, out.label = old.at, old.label
		}
		return &out
	}
	out := old
	for _, name := range t.names {
		child := s.element
		if f := s.field(name); s.kind == structShape && f != nil {
			child = f.shape
		}
		out = out.with(name, over(old.fields[name], t.fields[name], child), s)
	}
	return out
}

// Quantities are the dimensioned values that the spec gives, each as its path and as
// it is written.
func (m *Machine) Quantities() [][2]string {
	var list [][2]string
	m.tree.quantities(&list)
	return list
}

func (t *tree) quantities(list *[][2]string) {
	if t == nil {
		return
	}
	if t.isLeaf() {
		if t.measured {
			*list = append(*list, [2]string{t.path, t.text})
		}
		return
	}
	for _, n := range t.parts() {
		t.part(n).quantities(list)
	}
}
