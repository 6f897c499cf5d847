package build

import (
	"fmt"
	"strings"
)

// A Verdict is the answer for one target material.
type Verdict string

// The verdicts, best first.
const (
	WithinReach Verdict = "within reach"
	LightCuts   Verdict = "light cuts only"
	OutOfReach  Verdict = "out of reach"
	NotKnown    Verdict = "not known"
)

// Rank orders verdicts: the larger, the better. NotKnown ranks lowest.
func (v Verdict) Rank() int {
	switch v {
	case WithinReach:
		return 3
	case LightCuts:
		return 2
	case OutOfReach:
		return 1
	}
	return 0
}

// Worse is the worse of two verdicts; what is not known is no better than the other.
func Worse(a, b Verdict) Verdict {
	if b != NotKnown && b.Rank() < a.Rank() {
		return b
	}
	return a
}

// WithinAccuracy is what is said of a finished part that is as accurate as it is wanted.
const WithinAccuracy = "within the accuracy"

// FinishingMark begins what is said of finishing among what limits a target.
const FinishingMark = "finishing: "

// roughings are what is said of roughing.
var roughings = map[string]Verdict{"full cuts": WithinReach, "light cuts": LightCuts, "no cuts": OutOfReach}

// ByRoughingAlone is the verdict of roughing alone.
func (t *Target) ByRoughingAlone() Verdict {
	if v, ok := roughings[t.Roughing]; ok {
		return v
	}
	return NotKnown
}

// ByFinishingAlone is the verdict of the finished part alone.
func (t *Target) ByFinishingAlone() Verdict {
	switch t.Finishing {
	case WithinAccuracy:
		return WithinReach
	case "", string(NotKnown):
		return NotKnown
	}
	return OutOfReach
}

// What decides a verdict.
const (
	byRoughing  = "roughing"
	byFinishing = "finishing"
	byBoth      = "roughing and finishing"
)

// Decide gives a target the worse of the verdicts on roughing and on finishing at the middle of every value, and says which it is. Where
// machines were drawn its verdict is the one that enough of them reach.
func (t *Target) Decide(rough, fine Verdict) {
	t.Middle, t.Decides = Worse(rough, fine), ""
	if t.Chance != nil {
		t.Verdict, t.Decides = t.Chance.Verdict(), t.Chance.Decides()
		return
	}
	t.Verdict = t.Middle
	switch {
	case t.Verdict == WithinReach:
	case fine == NotKnown || fine.Rank() > rough.Rank():
		t.Decides = byRoughing
	case fine.Rank() < rough.Rank():
		t.Decides = byFinishing
	default:
		t.Decides = byBoth
	}
}

// A Target is one target material's answer.
type Target struct {
	Name        string    // the target's name in the spec
	Material    string    // what is to be cut
	Ambition    string    // "must", "should" or "hope"
	Verdict     Verdict   // the answer: the best that enough of the machines that the spec could mean reach, and where none were drawn that of the middle
	Middle      Verdict   // the answer at the middle of every value: the worse of roughing and finishing
	Chance      *Chance   // how many of the machines do so well, nil where none were drawn
	Decides     string    // which of them is the worse: "roughing", "finishing" or "roughing and finishing"; empty where neither is short
	Roughing    string    // "full cuts", "light cuts", "no cuts" or "not known"
	Finishing   string    // "within the accuracy", "exceeds the accuracy", "no stable pass" or "not known"
	Budget      *Budget   // the errors of the finished part, nil where they were not computed
	Job         *Job      // its part and how long that takes, nil where no cut is found
	Uncertainty string    // what the uncertainty in the spec does to the verdict, a sentence
	Operation   string    // the operation that decides it: "slot with the 8 mm end mill"
	Cut         []Setting // the best cut found, empty if there is none
	Limits      []Limit   // every limit, the one that limits the cut first
	Limiting    string    // what limits it, a sentence that names part and number
	Next        string    // what the next better verdict needs, empty where there is none
	Dominant    string    // the part with the largest share of what limits it, may be empty
	Changes     []Change  // recommended changes, the smallest first
	At          Place
}

// Missing is the finding that a target misses its ambition, and whether it does. How says by what it is cut, after the verdict.
func (t *Target) Missing(how string) (Finding, bool) {
	severity := SeverityNote
	switch t.Ambition {
	case "must":
		severity = SeverityFail
	case "should":
		severity = SeverityCaution
	}
	says := t.Limiting
	if t.Next != "" {
		says += "; " + t.Next
	}
	return Finding{
		Rule:     RuleTarget,
		Severity: severity,
		At:       t.At,
		Message:  fmt.Sprintf("%s (%s) is %s%s, limited by %s", t.Name, t.Material, t.Verdict, how, says),
	}, t.Verdict != WithinReach
}

// A Budget is the error of a finished part against its accuracy, either way.
type Budget struct {
	Accuracy float64 // [µm]
	Likely   float64 // likely error where the part comes out least accurate [µm]
	Low      float64 // a tenth of the machines drawn have less; with every uncertain value at its end where none were drawn [µm]
	High     float64 // [µm]
	Upper    float64 // all errors added up [µm]
	Largest  string  // the error with the largest share
	Share    float64 // of the likely error [-]
	Lower    string  // what would lower it
	Without  float64 // likely error without it [µm]
	Way      string  // the remedies that bring the part within its accuracy together, or all there are; empty where none gains
	WayTo    float64 // likely error with them [µm]
}

// ByRoughing reports whether roughing is what keeps a target from a better verdict, alone or with finishing.
func (t *Target) ByRoughing() bool { return strings.Contains(t.Decides, byRoughing) }

// ByFinishing reports whether a target's finished part is what keeps it from a better verdict, alone or with roughing.
func (t *Target) ByFinishing() bool { return strings.Contains(t.Decides, byFinishing) }

// A Setting is one number of a cut: "depth of cut", 1.5, "mm".
type Setting struct {
	Name  string
	Value float64
	Unit  string
}

// A Limit is one thing that bounds the cut.
type Limit struct {
	Name     string  // in plain words: "deflection", "spindle torque"
	Depth    float64 // depth of cut that this limit alone would allow [mm]
	Limiting bool    // the smallest
	Exceeded bool    // it is no limit of the cut, and is not kept
	Demand   string  // what the cut needs, with its unit: "41 µm"
	Limit    string  // what the machine, the cutter or the material has: "50 µm"
	Note     string  // what the limit is or where it was found, may be empty
}

// A Change is one alteration of the machine, solved anew.
type Change struct {
	What      string   // "gantry beam: hollow 200×100×8 in place of 150×100×5"
	Effect    string   // what it does, with numbers
	Others    []string // what it does to each other target, empty where that is little
	Verdict   Verdict  // the verdict with the change at the middle of every value; a change of the frame leaves finishing as it is, one of the error budget roughing
	Roughing  string   // roughing with the change
	Finishing string   // finishing with the change
	Moves     bool     // the verdict at the middle of every value is better than without it
	Step               // what to write into the spec, of a single change
	Steps     []Step   // the same of several changes made together, none of a single one
}

// A Step is one of the things that a change is.
type Step struct {
	New   bool   `json:"new"`   // the field is not in the spec yet
	Edits []Edit `json:"edits"` // what to write into the spec
	At    Place  `json:"at"`    // where it stands now
}

// Passed reports whether every target that must be within reach is, and no
// finding fails.
func (b *Build) Passed() bool {
	for _, t := range b.Targets {
		if t.Ambition == "must" && t.Verdict != WithinReach {
			return false
		}
	}
	for _, f := range b.Findings {
		if f.Severity == SeverityFail || f.Severity == SeverityError {
			return false
		}
	}
	return true
}

// An Edit is a field of the spec and what to write there, as CUE has it.
type Edit struct {
	Path  string `json:"path"`  // "axes.x.rapid"
	Value string `json:"value"` // `"8 m/min"`
}
