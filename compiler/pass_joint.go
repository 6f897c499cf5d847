package compiler

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"ironbed/compiler/build"
	"ironbed/compiler/joint"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// knownJoints keeps what has been solved, as the sections do.
var knownJoints sync.Map // joint.HollowJoint as text: springsResult

type springsResult struct {
	s   joint.Springs
	err error
}

// springsOf solves a hollow joint once.
func springsOf(j joint.HollowJoint) (joint.Springs, error) {
	key := fmt.Sprintf("%v", j)
	r, ok := knownJoints.Load(key)
	if !ok {
		s, err := j.Springs()
		r, _ = knownJoints.LoadOrStore(key, springsResult{s, err})
	}
	return r.(springsResult).s, r.(springsResult).err
}

// rangeWords are the ranges of the joints' models in words.
func rangeWords(name string) string {
	if w, ok := map[string]string{
		joint.ValidBeta: "the branch's width over the chord's", joint.ValidSlenderness: "the chord's width over its wall", joint.ValidBranchWall: "the branch's wall over the chord's",
		joint.ValidGap: "the gap to the next branch over the chord's width", joint.ValidSkew: "the sine of the branch's angle", joint.ValidChordLength: "the length in which the chord keeps its shape, over its width",
		joint.ValidDoubler: "how far the doubler reaches beyond the branch, over its thickness", joint.ValidInnerPlate: "the inner plate's place",
		joint.ValidGrip: "the bolt's grip over its diameter", joint.ValidPressure: "the pressure on the face in MPa", joint.ValidPattern: "the bolts' arm",
		joint.ValidOpening: "what opens the face", joint.ValidSlipping: "what makes the face slip",
		joint.ValidThinLayer: "the layer's size over its edge", joint.ValidSoftLayer: "the layer's Poisson's ratio", joint.ValidLayerRatio: "the layer's length over its width",
		joint.ValidKneeSlenderness: "the corner's width over its wall", joint.ValidKneeAngle: "the corner's angle", joint.ValidKneeShape: "the corner's depth over its width",
		joint.ValidBoxWall: "the box's width over its wall", joint.ValidBoxShape: "the box's longer side over the shorter",
	}[name]; ok {
		return w
	}
	return strings.ReplaceAll(name, "-", " ")
}

// jointPass says what the joints give, and whether bolted ones hold the hardest cut.
func jointPass(j *job) error {
	if len(j.model.hinges) == 0 {
		return nil
	}
	table := build.Table{Caption: "What the joints give", Columns: []build.Column{{Head: "joint"}, {Head: "kind"}, {Head: "way"}, {Head: "stiffness", Right: true}}}
	bolts := build.Table{Caption: "Bolted joints under gravity and the hardest cut, worst pose solved", Columns: []build.Column{{Head: "joint"}, {Head: "face opens at, % used", Right: true}, {Head: "slips at, % used", Right: true}, {Head: "proof load, % used", Right: true}}}
	ways := [6]string{"along 1", "along 2", "along 3", "about 1", "about 2", "about 3"}
	var notes build.List
	for i := range j.model.hinges {
		h := &j.model.hinges[i]
		for k, b := range h.k {
			if b.Middle == 0 {
				continue
			}
			unit := "N/µm"
			if k >= 3 {
				unit = "kN·m/rad"
			}
			id := j.add(build.Figure{ID: fmt.Sprintf("joint.%s.%s", spec.IDWord(h.name), [6]string{"x", "y", "z", "rx", "ry", "rz"}[k]), Label: "stiffness of " + h.name + ", " + ways[k] + " " + directionWords(xyz(h.axes[k%3])), Value: b.Middle, Unit: unit, Bounded: true, Low: b.Low, High: b.High,
				Formula: h.what, Source: jointSource(h), Inputs: []build.Input{{Label: h.what, Value: h.name, At: build.Place(h.place)}}})
			table.Rows = append(table.Rows, []build.Cell{{Text: h.name}, {Text: h.what}, {Text: map[bool]string{false: "along ", true: "about "}[k >= 3] + directionWords(xyz(h.axes[k%3]))}, {Figure: id}})
		}
		for _, n := range h.notes {
			notes = append(notes, fmt.Sprintf("%s: %s", h.name, n))
		}
		if h.bolts != nil && j.worst != nil {
			row, err := j.boltRow(h)
			if err != nil {
				return err
			}
			bolts.Rows = append(bolts.Rows, row)
		}
	}
	blocks := []build.Block{
		build.Text("Joints are the least known part of a machine: the middle is the best guess, the bounds are wide, and they go into the bounds of the machine. A branch welded on the face of a hollow section bends that face; a plate on it, plates in it or a fill behind it hold it."),
		table,
	}
	if len(bolts.Rows) > 0 {
		blocks = append(blocks, bolts)
	}
	if len(notes) > 0 {
		blocks = append(blocks, build.Text("Outside what the models were held against:"), notes)
	}
	j.sheet("joints", "Joints", blocks...)
	return nil
}

// jointSource names where a joint's model comes from.
func jointSource(h *hinge) string {
	switch {
	case h.bolts != nil:
		return "Shigley 2006; from memory"
	case strings.HasPrefix(h.what, "on the face"):
		return "Cheung 1976; Gazetas 1991"
	case strings.HasPrefix(h.what, "resin"):
		return "derived here; Gent 1959"
	case strings.HasPrefix(h.what, "open end"):
		return "Wright 1968; Hetenyi 1946"
	}
	return "derived here"
}

// boltRow holds a bolted joint against gravity and the hardest cut.
func (j *job) boltRow(h *hinge) ([]build.Cell, error) {
	loaded := *h.bolts
	var force [6]float64
	s := j.worst.solution
	for k, v := range s.SpringForce(gravityCase, h.fixed) {
		force[k] = math.Abs(v)
	}
	cut := [3]float64{j.demand.lateral, j.demand.lateral, j.demand.lateral}
	for way := range cut {
		for k, v := range s.SpringForce(way, h.fixed) {
			force[k] += math.Abs(v) * cut[way]
		}
	}
	loaded.ShearX, loaded.ShearY, loaded.Tension, loaded.MomentX, loaded.MomentY, loaded.MomentZ = force[0], force[1], force[2], force[3], force[4], force[5]
	b, err := loaded.Bolting()
	if err != nil {
		return nil, &refusal{rule: "joint", at: h.place, message: fmt.Sprintf("%s under the hardest cut: %v", h.name, err)}
	}
	id := "joint." + spec.IDWord(h.name) + "."
	row := []build.Cell{{Text: h.name}}
	for _, c := range []struct {
		what, label, rule, says string
		used                    float64
	}{
		{"opening", "load that opens the face, share used", "joint-opens", "opens", b.Opening},
		{"slipping", "load that makes the face slip, share used", "joint-slips", "slips", b.Slipping},
		{"proof", "proof load, share used", "bolt-overloaded", "is loaded beyond its bolts' proof load", b.ProofUsed},
	} {
		j.add(build.Figure{ID: id + c.what, Label: c.label + ", " + h.name, Value: c.used, Unit: "%", Formula: "load on the worst bolt over what it holds, at the low end of preload and friction", Source: "Shigley 2006; EN 1993-1-8", Inputs: []build.Input{{Label: h.what, Value: h.name, At: build.Place(h.place)}}})
		row = append(row, build.Cell{Figure: id + c.what, Plain: true})
		if c.used > 1 {
			j.find(build.Finding{Rule: c.rule, Severity: build.SeverityFail, At: build.Place(h.place), Figures: []string{id + c.what},
				Message: fmt.Sprintf("%s %s under gravity and the hardest cut (%s of what it holds); take more or larger bolts, spread them, or tighten them further", h.name, c.says, quantity.Percent(c.used))})
		}
	}
	return row, nil
}
