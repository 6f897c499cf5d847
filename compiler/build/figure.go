package build

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A Figure is one number of the report.
type Figure struct {
	ID      string   // stable from version to version: "axis.x.drive.whip_speed"
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
	Detail  bool     // one of many alike: in report.json, not in the report's own table
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

// Number prints a value with four significant digits at most, never in a form
// that a workshop reader must decode while a plain one fits.
func Number(v float64) string {
	if v == 0 {
		return "0"
	}
	a := math.Abs(v)
	if a >= 1e7 || a < 1e-4 {
		s := strconv.FormatFloat(v, 'e', 2, 64)
		mantissa, exponent, _ := strings.Cut(s, "e")
		n, _ := strconv.Atoi(exponent)
		return mantissa + "·10" + superscript(n)
	}
	digits := 3 - int(math.Floor(math.Log10(a)))
	if digits < 0 {
		scale := math.Pow(10, float64(-digits))
		return strconv.FormatFloat(math.Round(v/scale)*scale, 'f', 0, 64)
	}
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

var superscripts = strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³",
	"4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

func superscript(n int) string { return superscripts.Replace(strconv.Itoa(n)) }

// Measure prints a value with its unit.
func Measure(v float64, unit string) string {
	if unit == "" {
		return Number(v)
	}
	return Number(v) + " " + raised.Replace(unit)
}

// raised writes powers of units as a reader does; a spec may write them flat.
var raised = strings.NewReplacer("m2", "m²", "m3", "m³", "m4", "m⁴", "s2", "s²")

// String prints the figure's value, unit and bounds: "41 µm (33 to 52)".
func (f Figure) String() string {
	s := Measure(f.Value, f.Unit)
	if low, high := Number(f.Low), Number(f.High); f.Bounded && low != high {
		s += " (" + low + " to " + high + ")"
	}
	return s
}
