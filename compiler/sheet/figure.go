package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ironbed/compiler/build"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A Figure is one number of the report, as a sheet adds it.
type Figure struct {
	ID      string
	Label   string
	Value   Number // in SI
	Unit    string // of the trade, to print it in
	Formula string
	Source  string
	From    []string  // ids of the figures that the formula names
	Log     *spec.Log // what was read for it
	Notes   []string
	Detail  bool // one of many alike: in report.json, not in the report's own table

	// Stands says that results which rest on the log name this figure in its place.
	Stands bool
}

// The figures of the largest loads of the cuts.
const (
	LargestForce  = "cuts.force"
	LargestThrust = "cuts.thrust"
)

// A Number is a value with what it is at the ends of the uncertainty.
type Number struct {
	Middle    float64
	Low, High float64
	Bounded   bool
}

// Plain is a number without bounds.
func Plain(v float64) Number { return Number{Middle: v} }

// Between is a number with bounds, in whichever order they are given; without where
// they differ from it by rounding alone.
func Between(middle float64, ends ...float64) Number {
	n := Number{Middle: middle, Low: middle, High: middle}
	for _, v := range ends {
		n.Low, n.High = math.Min(n.Low, v), math.Max(n.High, v)
	}
	n.Bounded = n.High-n.Low > 1e-9*math.Max(math.Abs(n.Low), math.Abs(n.High))
	return n
}

// Compute computes a number by a reader, and again with every value at its worse and
// at its better end, and at its low and at its high one. What is read for the middle
// is kept by the reader's log.
func Compute(read spec.Reader, of func(spec.Reader) (float64, error)) (Number, error) {
	middle, err := of(read)
	if err != nil {
		return Number{}, err
	}
	var ends []float64
	for _, end := range spec.Ends {
		// An end may lie where the formula does not hold.
		if v, err := of(spec.At(end)); err == nil && !math.IsNaN(v) && !math.IsInf(v, 0) {
			ends = append(ends, v)
		}
	}
	return Between(middle, ends...), nil
}

// Times is a number times a factor.
func (n Number) Times(k float64) Number {
	out := Number{Middle: k * n.Middle, Bounded: n.Bounded}
	if n.Bounded {
		out.Low, out.High = math.Min(k*n.Low, k*n.High), math.Max(k*n.Low, k*n.High)
	}
	return out
}

// AtLeast is a number whose low bound is no less than one that it cannot be below.
func (n Number) AtLeast(least float64) Number {
	n.Low = math.Max(n.Low, least)
	return n
}

// in is the number in a unit of the trade.
func (n Number) in(unit string) Number {
	if k, ok := ours[unit]; ok {
		return n.Times(k)
	}
	n.Middle = quantity.Convert(n.Middle, unit)
	if n.Bounded {
		n.Low, n.High = quantity.Convert(n.Low, unit), quantity.Convert(n.High, unit)
		if n.Low > n.High {
			n.Low, n.High = n.High, n.Low
		}
	}
	return n
}

// ours are units that the quantity package does not read, as factors of SI.
var ours = map[string]float64{"cm³/min": 6e7, "µrad": 1e6, "µm/m": 1e6}

// Add stores a figure and returns its id. What it rests on is what its log has kept:
// the figures that stand for results below it, and the values that were read.
func (book *Book) Add(f Figure) string {
	n := f.Value.in(f.Unit)
	book.Build.Figures.Add(build.Figure{ID: f.ID, Label: f.Label, Value: n.Middle, Unit: f.Unit, Bounded: n.Bounded, Low: n.Low, High: n.High,
		Formula: f.Formula, Source: f.Source, Inputs: book.inputs(f), Notes: f.Notes, Detail: f.Detail})
	if f.Stands {
		book.Stand(f.Log, f.ID)
	}
	return f.ID
}

// Stand says that figures stand for what was read for a result.
func (book *Book) Stand(log *spec.Log, ids ...string) {
	if book.stands == nil {
		book.stands = map[*spec.Log][]string{}
	}
	book.stands[log] = append(book.stands[log], ids...)
}

// Cell adds a figure and returns the cell that prints it, without its unit.
func (book *Book) Cell(f Figure) build.Cell { return build.Cell{Figure: book.Add(f), Plain: true} }

// inputs are what a figure rests on; none where no report prints them.
func (book *Book) inputs(f Figure) []build.Input {
	if !book.Reports {
		return nil
	}
	var list []build.Input
	named := map[string]bool{}
	all := map[spec.Input]bool{}
	name := func(id string) {
		if id == f.ID || named[id] {
			return
		}
		named[id] = true
		list = append(list, build.Input{Figure: id})
		for in := range book.rests[id] {
			all[in] = true
		}
	}
	for _, id := range f.From {
		name(id)
	}
	var own []spec.Input
	f.Log.Walk(func(l *spec.Log) bool {
		if ids := book.stands[l]; l != f.Log && len(ids) > 0 {
			for _, id := range ids {
				name(id)
			}
			return false
		}
		own = append(own, l.Own()...)
		return true
	})
	var left []spec.Input
	for _, in := range own {
		if !all[in] {
			all[in] = true
			left = append(left, in)
		}
	}
	if book.rests == nil {
		book.rests = map[string]map[spec.Input]bool{}
	}
	book.rests[f.ID] = all
	return append(list, condensed(left)...)
}

// condensed says values that belong together in one line: the three of a vector, the
// points of a curve, the nodes of a body.
func condensed(list []spec.Input) []build.Input {
	spec.SortInputs(list)
	var out []build.Input
	at := map[string]int{}
	count := map[string]int{}
	for _, in := range list {
		key := together(in.Path)
		i, ok := at[key]
		if !ok {
			at[key], count[key] = len(out), 1
			out = append(out, build.Input{Label: key, Value: in.Text, At: build.Place(in.At)})
			continue
		}
		count[key]++
		switch {
		case count[key] <= 3 && !strings.HasSuffix(key, ".nodes"):
			out[i].Value += ", " + in.Text
		default:
			out[i].Value = fmt.Sprintf("%d values", count[key])
		}
	}
	return out
}

// together is the path of what a value is a part of: of a list the list, of a node the
// nodes of its body.
func together(path string) string {
	names := strings.Split(path, ".")
	if len(names) > 3 && names[0] == "bodies" && names[2] == "nodes" {
		return strings.Join(names[:3], ".")
	}
	for i, n := range names {
		if _, err := strconv.Atoi(n); err == nil && i > 0 {
			return strings.Join(names[:i], ".")
		}
	}
	return path
}
