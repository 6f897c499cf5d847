package change

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// A Change is one alteration of the machine that a builder could make. What it writes
// into the spec is what it does to the machine.
type Change struct {
	What  string      // in words
	Edits []spec.Edit // what to write into the spec
	New   bool        // the fields are not in the spec yet
	Lists []Change    // of a new part: to the fields in which it is named, which are there already; its edits hold theirs
	Menu  string      // changes of which one is enough, from small to large; empty for those to one field
	At    spec.Place
	Parts []Change // the changes that it is, where it is several together; its edits are theirs
}

// write is one edit.
func write(value string, names ...string) []spec.Edit {
	return []spec.Edit{{Path: field(names...), Value: value}}
}

// identifier matches a name that CUE takes without quotes.
var identifier = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_]*$`)

// field writes the path of a field as CUE has it.
func field(names ...string) string {
	names = slices.Clone(names)
	for i, n := range names {
		if !identifier.MatchString(n) {
			names[i] = strconv.Quote(n)
		}
	}
	return strings.Join(names, ".")
}

// stiffenedParts is how many of the most compliant parts are tried.
const stiffenedParts = 4

// An Effect is what an assumption does over its bounds.
type Effect struct {
	Relative float64    // largest relative change of a stiffness at the tip [-]
	Ends     [2][]Shift // what becomes of the grades at its low and at its high end
}

// A Shift is a target's grade with something else assumed.
type Shift struct {
	Target string
	Grade  reach.Grade
}

// A Judged is a machine that differs from this one by some of its values, in the worst pose of this one.
type Judged struct {
	Whole  machine.Matrix // compliance at the tip of the reference cutter
	Grades []reach.Grade  // by answer
	Known  []bool         // by answer: whether it could be judged
}

// A Bond is how much of a machine's stiffness rests on the bond of its fills.
type Bond struct {
	Whole         machine.Matrix // compliance at the tip of the reference cutter, as the spec has the bond
	Loose, Bonded *Judged
	Rests         [3]float64    // share of the stiffness that goes when every fill comes loose, by direction [-]
	RestsEnds     [2][3]float64 // the same with every value at its worse and at its better end
	Log           *spec.Log     // what was read for it
}

// A finder is a solved machine with its answers, to which changes are tried.
type finder struct {
	*machine.Solution
	cuts *cut.Answers
}

// A Move is a change with what it does for one target.
type Move struct {
	*Change
	After  *cut.Attempt // the target's best attempt with the change
	Better bool         // its grade is better than before
	Rate   float64      // removal rate of the fastest cut with it, as far as that was looked for; 0 where it was not [m3/s]
	Gain   float64      // depth with the change over depth without, 0 where it is another cut [-]
	Mass   float64      // what the machine weighs more [kg]
	Others []Beside     // what it does to targets that it is not for

	of int // place in the list of all changes
}

// A Beside is what a change does to a target that it is not for.
type Beside struct {
	Answer *cut.Answer
	After  *cut.Attempt
}

// A menu is the changes to one field that an answer may call for, from small to
// large.
type menu struct {
	answer  int
	changes []int // places in the list of all changes
}

// tries are the changes with the machine solved anew, each at most once.
type tries struct {
	find             *finder
	all              []Change
	here, everywhere []func() *retry                              // in the least stiff position, and in all of them
	screened         map[*cut.Answer]func() (*cut.Attempt, error) // its best attempt without a change, as these are screened
}

// Changes are what was found by solving a machine anew. They are read only.
type Changes struct {
	Moves   [][]Move // by answer, the best first
	Most    []*Move  // by answer: the changes that gain most, made together; nil where one alone betters its grade, or fewer than two gain
	Bond    *Bond    // what rests on the bond of the fills; nil where there is none
	Effects []Effect // by assumption; none where a report is not asked for

	Deviations []Deviation // what becomes of the machine where a part that is surveyed is less than it is computed with; none where a report is not asked for

	Conditions *Conditions // what the condition of parts costs; nil where no part has one, or a report is not asked for
}

// A retry is a machine's answer with something changed: the compliance at the nose
// in the least stiff position, and how it vibrates, on request.
type retry struct {
	model      *machine.Model
	nose       machine.Six
	vibrations func(positions int) ([]machine.Vibration, error) // in so many of the positions in which cuts are held, the least stiff one first
	axes       func() [][]reach.Axis                            // what its axes can do
	same       bool                                             // the frame is as it was, so its answer here is its answer everywhere
	err        error
}
