// Package build is the result model: what the compiler found out about a
// machine, as figures, findings, verdicts and sheets. It knows no physics and
// no CUE; every report, picture and check on a machine is made from it.
package build

// A Build is the whole result of compiling one machine.
type Build struct {
	Machine     string       // the machine's name
	Purpose     string       // one sentence on what the machine is for, may be empty
	Spec        Spec         // what it was compiled from
	Tool        Tool         // what compiled it
	Figures     Registry     // every number
	Findings    []Finding    // every judgement, sorted
	Targets     []Target     // one answer a target material, in the order of the spec
	WeakPoints  []WeakPoint  // the most compliant parts, worst first
	Sheets      []Sheet      // one a discipline, in the order in which a builder asks
	Appendix    []Sheet      // what rebuilding the model takes, for the derivations alone
	Book        []Sheet      // the build book: what the work is done by, in the order of the work
	Measures    []Measure    // what to measure, what tells most first
	Assumptions []Assumption // what the spec left out, worst first
	Cautions    []Caution    // where the machine can hurt someone
	Limits      []string     // what the models leave out, a sentence each
	NotComputed []string     // what could not be computed, and what it needs
	Unvalidated []string     // tests without which the machine is not validated by measurement: "a push test"
	Overview    *Picture     // the machine in one picture, nil if it has no geometry
	Room        []string     // what room there is for a workpiece, a sentence each; none where it is not known
	Works       []Work       // the works cited by the figures, sorted by key
	Diagnosis   *Diagnosis   // of the mark or the sound that was asked about; nil for none
}

// A Spec names the files that the build was compiled from.
type Spec struct {
	Digest string   // SHA-256 over the names and contents of the files, hexadecimal
	Files  []string // names relative to the spec's folder, sorted
}

// A Tool names the program that made the build.
type Tool struct {
	Name    string
	Version string
}

// A Place is a position in the user's spec. The zero Place is nowhere.
type Place struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
}

// Known reports whether the place is somewhere.
func (p Place) Known() bool { return p.File != "" }

// A Sheet is one discipline's part of the report.
type Sheet struct {
	ID     string
	Title  string
	Blocks []Block
}

// A Block is one piece of a sheet: Text, List, Checklist, Table or Picture.
type Block interface{ isBlock() }

// Text is a paragraph of plain text, in which a word of the spec stands between
// backticks and [Bold] text between its marks. Nothing else in it is markup.
type Text string

// List is a bulleted list; each item is as a Text.
type List []string

// Checklist is a list whose items are ticked off by hand; each item is as a Text.
type Checklist []string

// The marks round bold text. No text of a spec holds them: control characters are
// refused where it is read.
const (
	BoldBegins = "\x02"
	BoldEnds   = "\x03"
)

// Bold is text that is printed in bold within a Text, a List or a Cell.
func Bold(s string) string { return BoldBegins + s + BoldEnds }

// A Table has one head row, repeated where the table crosses a page. In the build book a column
// whose cells are all empty is to be written on.
type Table struct {
	Caption string
	Columns []Column
	Rows    [][]Cell
}

// A Column is a table column's head and alignment.
type Column struct {
	Head  string
	Right bool // numbers are aligned to the right
}

// A Cell is a piece of text or, where Figure is set, that figure's value.
type Cell struct {
	Text   string // as a Text
	Figure string // a figure's id; printed as value, bounds and unit
	Plain  bool   // print the figure's value without its unit: the head has it
}

// A Picture is a drawing with its caption.
type Picture struct {
	ID      string // also the file's name in figures/
	Title   string
	Caption string
	Half    bool // it reads at half of a page's width, so that two stand side by side
	Drawing Drawing
}

func (Text) isBlock()      {}
func (List) isBlock()      {}
func (Checklist) isBlock() {}
func (Table) isBlock()     {}
func (Picture) isBlock()   {}

// A WeakPoint is a part of the machine that is compliant under the deciding cut.
type WeakPoint struct {
	Part      string  // the part's name
	Direction string  // "X", "Y" or "Z"
	Share     float64 // share of the compliance at the tool tip [-]
	Sentence  string  // what it means, in plain words
	Figure    string  // id of the figure behind it
	At        Place
}

// An Assumption is a value that the spec left out and a rule or a catalogue
// supplied.
type Assumption struct {
	What   string  // the quantity, in words
	Value  string  // the value used, with its bounds
	Source string  // where the value comes from
	Effect float64 // largest relative change of a tool stiffness over its bounds [-]
	Moves  bool    // roughing changes over its bounds
	Says   string  // what it does to the verdicts, a sentence
	Budget bool    // it is part of an error budget, whose bounds have it
	At     Place   // the place in the spec that would hold it
}

// leastEffect is the effect of an assumption from which it counts [-].
const leastEffect = 0.001

// Idle tells whether an assumption changes neither roughing nor a stiffness.
func (a *Assumption) Idle() bool { return !a.Moves && a.Effect < leastEffect }

// A Caution is a warning that the machine's own numbers call for.
type Caution struct {
	Subject string // "Lifting", "Wet cement"
	Why     string // what in this machine calls for it
	Advice  string // the usual precautions, deferring to local codes and licensed practice
}

// A Work is a cited publication.
type Work struct {
	Key    string
	Author string
	Title  string
	Year   string
}
