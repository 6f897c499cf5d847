package build

import (
	"fmt"
	"math"
	"strings"

	"ironbed/spec/quantity"
)

// A Figure is one number of the report.
type Figure struct {
	ID      string   // stable from version to version: "axis.x.drive.critical_speed"
	Label   string   // in words
	Value   float64  // in Unit
	Unit    string   // the trade's unit; "" for none
	Bounded bool     // Low and High hold bounds
	Low     float64  // in Unit, meaningful if Bounded
	High    float64  // in Unit, meaningful if Bounded
	Formula string   // in words and symbols; empty for a value read from the spec
	Source  string   // keys of works, or "common practice", "from memory", "derived here"
	Inputs  []Input  // what it was computed from
	Notes   []string // limits that belong to the number
	Detail  bool     // one of many alike: no sheet prints it
}

// SourceText is a source as a report prints it: the mark of a value without one says so.
func SourceText(source string) string {
	return strings.ReplaceAll(source, "from memory", "estimate (from memory, no source)")
}

// An Input is what a figure was computed from: another figure, or a value with
// its place in the spec.
type Input struct {
	Figure string // another figure's id, or empty
	Label  string // name of the spec value
	Value  string // the spec value as written
	At     Place  // where it was written; unknown for an assumption
}

// A Registry holds the figures in the order in which they were added.
type Registry struct {
	list  []Figure
	index map[string]int
}

// Add stores a figure. Two figures of one id, or a number that is not finite,
// are a programmer's mistake and panic.
func (r *Registry) Add(f Figure) {
	if r.index == nil {
		r.index = map[string]int{}
	}
	if _, ok := r.index[f.ID]; ok {
		panic(fmt.Sprintf("figure %s added twice", f.ID))
	}
	for _, v := range []float64{f.Value, f.Low, f.High} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			panic(fmt.Sprintf("figure %s is not finite", f.ID))
		}
	}
	r.index[f.ID] = len(r.list)
	r.list = append(r.list, f)
}

// All returns the figures in order. The caller must not change them.
func (r *Registry) All() []Figure { return r.list }

// Get returns the figure with the id, and whether there is one.
func (r *Registry) Get(id string) (Figure, bool) {
	i, ok := r.index[id]
	if !ok {
		return Figure{}, false
	}
	return r.list[i], true
}

// String prints the figure's value, unit and bounds: "41 µm (33 to 52)".
func (f Figure) String() string {
	s := quantity.Measure(f.Value, f.Unit)
	if low, high := quantity.Number(f.Low), quantity.Number(f.High); f.Bounded && low != high {
		s += " (" + low + " to " + high + ")"
	}
	return s
}
