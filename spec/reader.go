package spec

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// A Bound says which of a value's numbers is read.
type Bound int

// The bounds. Worse is where a value makes the machine softer, weaker, heavier or harder
// worked, Better the other way round; each field of the spec says which way that is.
// Values that one line gives lie at the same end.
const (
	Middle Bound = iota
	Worse
	Better
	Low
	High
)

// Ends are where a number is computed again for its bounds. All four count: a value that
// is worse for one thing may be better for another.
var Ends = [...]Bound{Worse, Better, Low, High}

// A Reader is the one door through which values enter physics. It picks the number of
// a value, and keeps in its log that it was used. The zero Reader picks the middle and
// keeps no log.
type Reader struct {
	end  Bound
	pick func(Uncertainty) float64 // nil for the end
	held map[string]Bound          // another end for some values, by path
	log  *Log
}

// At is a reader that picks an end of every value.
func At(end Bound) Reader { return Reader{end: end} }

// Picking is a reader that picks what a function does of what is known of a value. Values of one
// origin are to move together.
func Picking(pick func(Uncertainty) float64) Reader { return Reader{pick: pick} }

// Draws is what a reader that draws picks of what is known of a value, the middle with any other reader.
func (r Reader) Draws(u Uncertainty) float64 {
	if r.pick == nil {
		return u.Middle
	}
	return r.pick(u)
}

// Except is the reader with another end picked of some values.
func (r Reader) Except(values []*Value, end Bound) Reader {
	held := maps.Clone(r.held)
	if held == nil {
		held = map[string]Bound{}
	}
	for _, v := range values {
		held[v.path] = end
	}
	r.held = held
	return r
}

// Into is the reader with a log of its own.
func (r Reader) Into(log *Log) Reader {
	r.log = log
	return r
}

// Log is where the reader keeps what was read, nil for nowhere.
func (r Reader) Log() *Log { return r.log }

// Bound is the end that the reader picks.
func (r Reader) Bound() Bound { return r.end }

// Of picks the number of a value.
func (r Reader) Of(v Value) float64 {
	r.log.note(Input{v.path, v.Text, v.At})
	return r.picked(v)
}

// Span picks all three numbers of a value, for what is a range by its nature: speeds
// that an edge may run at, tolerances, what a model takes both ends of. Of a value that
// is held at an end it is that number three times.
func (r Reader) Span(v Value) (low, middle, high float64) {
	r.log.note(Input{v.path, v.Text, v.At})
	if end, ok := r.held[v.path]; ok {
		n := v.at(end)
		return n, n, n
	}
	return v.q.Low, v.q.Value, v.q.High
}

// Between picks of a range that a model itself gives, of which the low end is the worse. What says which model it is:
// all that it gives moves together.
func (r Reader) Between(what string, low, middle, high float64) float64 {
	if r.pick != nil && low < high {
		u := Uncertainty{Origin: what, Text: what, Low: low, Middle: middle, High: high}
		if low > 0 {
			u.Spread = ByFactors
		}
		return r.pick(u)
	}
	switch r.end {
	case Worse, Low:
		return low
	case Better, High:
		return high
	}
	return middle
}

// Count reads a whole number.
func (r Reader) Count(c Count) int {
	r.log.note(Input{c.path, strconv.Itoa(c.N), c.At})
	return c.N
}

// Word reads a word.
func (r Reader) Word(t Text) string {
	r.log.note(Input{t.path, t.Text, t.At})
	return t.Text
}

// Vector picks the numbers of a vector.
func (r Reader) Vector(v Vector) [3]float64 { return [3]float64{r.Of(v[0]), r.Of(v[1]), r.Of(v[2])} }

func (r Reader) picked(v Value) float64 {
	if end, ok := r.held[v.path]; ok {
		return v.at(end)
	}
	if r.pick != nil {
		return r.pick(v.Uncertainty())
	}
	return v.at(r.end)
}

// at is the number of a value at an end.
func (v Value) at(end Bound) float64 {
	if end == Worse && v.less || end == Better && !v.less {
		end = Low
	} else if end == Worse || end == Better {
		end = High
	}
	switch end {
	case Low:
		return v.q.Low
	case High:
		return v.q.High
	}
	return v.q.Value
}

// An Input is a value that something was computed from.
type Input struct {
	Path string // "axes.x.rapid"
	Text string // as the spec has it, or as a rule supplies it
	At   Place  // where it stands, or where the spec would have it
}

// A Log is what was read for a result: values, and the logs of the results that it was
// computed from. A nil log keeps nothing.
type Log struct {
	mu    sync.Mutex
	seen  map[Input]bool
	parts []*Log
	rests map[*Log]bool // the same
}

// unsaid begins the path of what a name in the spec stands for.
const unsaid = "catalogue"

// note keeps an input; not what the spec leaves out without a rule for it.
func (l *Log) note(s Input) {
	if l == nil || s.Path == "" || s.Text == "" || strings.HasPrefix(s.Path, unsaid) {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.seen == nil {
		l.seen = map[Input]bool{}
	}
	l.seen[s] = true
}

// Rest says that a result rests on others.
func (l *Log) Rest(on ...*Log) {
	if l == nil {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, part := range on {
		if part == nil || part == l || l.rests[part] {
			continue
		}
		if l.rests == nil {
			l.rests = map[*Log]bool{}
		}
		l.rests[part] = true
		l.parts = append(l.parts, part)
	}
}

// Over is a log of what rests on others.
func Over(on ...*Log) *Log {
	l := &Log{}
	l.Rest(on...)
	return l
}

// Only is a log of those inputs of this one and of what it rests on that a test keeps.
func (l *Log) Only(keep func(Input) bool) *Log {
	out := &Log{}
	l.Walk(func(part *Log) bool {
		for _, in := range part.Own() {
			if keep(in) {
				out.note(in)
			}
		}
		return true
	})
	return out
}

// Walk visits the log and the logs that it rests on, each once; what visit does not
// want to go into is left out with all that it rests on.
func (l *Log) Walk(visit func(*Log) bool) { l.walk(visit, map[*Log]bool{}) }

func (l *Log) walk(visit func(*Log) bool, met map[*Log]bool) {
	if l == nil || met[l] {
		return
	}
	met[l] = true
	if !visit(l) {
		return
	}
	l.mu.Lock()
	parts := slices.Clone(l.parts)
	l.mu.Unlock()
	for _, part := range parts {
		part.walk(visit, met)
	}
}

// Own are the values that were read for the result itself, in the order of the spec.
func (l *Log) Own() []Input {
	if l == nil {
		return nil
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	var list []Input
	for s := range l.seen {
		list = append(list, s)
	}
	SortInputs(list)
	return list
}

// SortInputs puts sources in the order of the spec.
func SortInputs(list []Input) {
	slices.SortFunc(list, func(a, b Input) int {
		return cmp.Or(
			cmp.Compare(a.At.File, b.At.File),
			cmp.Compare(a.At.Line, b.At.Line),
			cmp.Compare(a.At.Column, b.At.Column),
			cmp.Compare(a.Path, b.Path),
			cmp.Compare(a.Text, b.Text),
		)
	})
}
