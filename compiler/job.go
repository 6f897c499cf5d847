package compiler

import (
	"fmt"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/compiler/works"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A job is one compilation: the machine, what the passes have found so far, and
// the build that they write into.
type job struct {
	m     *spec.Machine
	b     *build.Build
	brief bool // no pictures, no maps

	model *machine.Model    // at the middle of every doubt
	poses []*machine.Solved // the grid; the worst one is worst
	worst *machine.Solved

	stiffest *machine.Solved // the pose in which the machine gives least

	soft, stiff *machine.Solved // the worst pose at the ends of the doubts
	softModel   *machine.Model
	stiffModel  *machine.Model

	everyRing             []machine.Ring  // how it rings in each pose of the grid
	rings                 []machine.Ring  // in the poses that a cut is held against
	softRings, stiffRings []machine.Ring  // the same poses at the ends of the doubts
	modes                 *frame.Modes    // of the softest pose
	lively                *machine.Solved // the pose that feeds a cut's vibration most
	livelyOrder           []int           // the poses of the grid, the one that feeds it most first
	axes                  [][]reach.Axis  // what the axes can do, at the middle of every doubt
	answers               []answer        // by target
	drives                []*driven       // every drive, in the order of the spec
	gains                 map[int]float64 // velocity gain of the position loop by axis; none for steppers [1/s]
	gaps                  []gap
	demand                cutDemand
}

// in makes an input of a figure from a value of the spec.
func in(label string, v spec.Value) build.Input {
	return build.Input{Label: label, Value: v.Text, At: build.Place(v.At)}
}

// from makes inputs of a figure from other figures.
func from(ids ...string) []build.Input {
	var list []build.Input
	for _, id := range ids {
		list = append(list, build.Input{Figure: id})
	}
	return list
}

// add stores a figure whose value and bounds are in SI.
func (j *job) add(f build.Figure) string {
	f.Value = quantity.Convert(f.Value, f.Unit)
	if f.Bounded {
		f.Low, f.High = quantity.Convert(f.Low, f.Unit), quantity.Convert(f.High, f.Unit)
		if f.Low > f.High {
			f.Low, f.High = f.High, f.Low
		}
	}
	j.b.Figures.Add(f)
	return f.ID
}

// find adds a finding.
func (j *job) find(f build.Finding) { j.b.Findings = append(j.b.Findings, f) }

// sheet adds a sheet with its blocks.
func (j *job) sheet(id, title string, blocks ...build.Block) {
	j.b.Sheets = append(j.b.Sheets, build.Sheet{ID: id, Title: title, Blocks: blocks})
}

// A gap is something that could not be computed for want of an input.
type gap struct{ what, needs string }

// notComputed keeps what a pass could not compute, and what it needs.
func (j *job) notComputed(what, needs string) { j.gaps = append(j.gaps, gap{what, needs}) }

// sayNotComputed says each missing input once, with all that it would give.
func (j *job) sayNotComputed() {
	var needs []string
	gives := map[string][]string{}
	for _, g := range j.gaps {
		if gives[g.needs] == nil {
			needs = append(needs, g.needs)
		}
		gives[g.needs] = append(gives[g.needs], g.what)
	}
	for _, n := range needs {
		j.b.NotComputed = append(j.b.NotComputed, fmt.Sprintf("For want of %s: %s", n, strings.Join(gives[n], "; ")))
	}
}

// cite lists the works that the figures name.
func (j *job) cite() {
	used := map[string]bool{}
	for _, f := range j.b.Figures.All() {
		for _, key := range works.Keys(f.Source) {
			used[key] = true
		}
	}
	for _, w := range works.All() {
		if used[w.Key] {
			j.b.Works = append(j.b.Works, build.Work(w))
		}
	}
	slices.SortFunc(j.b.Works, func(a, b build.Work) int { return strings.Compare(a.Key, b.Key) })
}
