package spec

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// A Difference is one value that two specs give differently.
type Difference struct {
	Path string // "rails.cross.stock"
	Old  string // as the old spec has it, empty where it has none
	New  string // as the new spec has it, empty where it has none
	At   Place  // where the new spec has it, or the old one where the new has none
}

// Differences are the values that two specs give differently, in the order of the new
// spec, with what the old one alone gives behind them.
func Differences(before, after *Machine) []Difference {
	var list []Difference
	differ(&list, "", before.tree, after.tree)
	return list
}

// differ walks two trees; either may be missing.
func differ(list *[]Difference, path string, before, after *tree) {
	if before.isLeaf() && after.isLeaf() {
		if was, is := before.words(), after.words(); was != is && !before.alike(after) {
			d := Difference{Path: path, Old: was, New: is}
			if after != nil {
				d.At = after.at
			} else {
				d.At = before.at
			}
			*list = append(*list, d)
		}
		return
	}
	if before == nil || after == nil { // a whole part came or went: one line says it
		whole := Difference{Path: path, Old: before.summary(), New: after.summary()}
		switch {
		case after != nil:
			whole.At = after.label
		default:
			whole.At = before.label
		}
		*list = append(*list, whole)
		return
	}
	var names []string
	for _, t := range []*tree{after, before} {
		for _, n := range t.parts() {
			if !slices.Contains(names, n) {
				names = append(names, n)
			}
		}
	}
	for _, n := range names {
		differ(list, join(path, n), before.part(n), after.part(n))
	}
	// A value that became a struct, or the other way round.
	if was, is := before.ownWords(), after.ownWords(); was != is {
		differ(list, path, before.bare(), after.bare())
	}
}

// alike reports whether two leaves are one quantity, in whatever unit.
func (t *tree) alike(o *tree) bool {
	if t == nil || o == nil {
		return false
	}
	a, b := t.quantity, o.quantity
	near := func(x, y float64) bool { return math.Abs(x-y) <= 1e-9*math.Max(math.Abs(x), math.Abs(y)) }
	return a.Value != 0 && near(a.Value, b.Value) && near(a.Low, b.Low) && near(a.High, b.High)
}

func (t *tree) isLeaf() bool { return t == nil || t.fields == nil && t.list == nil }

// words is a leaf as the spec writes it; empty for none.
func (t *tree) words() string {
	switch {
	case t == nil:
		return ""
	case t.text != "":
		return t.text
	}
	return fmt.Sprint(t.number)
}

// ownWords are the words of a leaf, nothing for what has parts.
func (t *tree) ownWords() string {
	if t == nil || !t.isLeaf() {
		return ""
	}
	return t.words()
}

// summary is a part in one line, as CUE has it; empty for none.
func (t *tree) summary() string {
	switch {
	case t == nil:
		return ""
	case t.isLeaf():
		return t.words()
	case t.fields == nil:
		var parts []string
		for _, p := range t.list {
			parts = append(parts, p.summary())
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	var parts []string
	for _, n := range t.names {
		if p := t.fields[n]; p != nil {
			parts = append(parts, n+": "+p.summary())
		}
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// bare is a leaf, nil for what has parts.
func (t *tree) bare() *tree {
	if t == nil || !t.isLeaf() {
		return nil
	}
	return t
}

// parts are the names of what a tree holds: its fields, or its list's places.
func (t *tree) parts() []string {
	if t == nil {
		return nil
	}
	if t.fields != nil {
		return t.names
	}
	names := make([]string, len(t.list))
	for i := range t.list {
		names[i] = fmt.Sprint(i)
	}
	return names
}

// part is a part of a tree by its name, nil where there is none.
func (t *tree) part(name string) *tree {
	if t == nil {
		return nil
	}
	if t.fields != nil {
		return t.fields[name]
	}
	for i := range t.list {
		if fmt.Sprint(i) == name {
			return t.list[i]
		}
	}
	return nil
}
