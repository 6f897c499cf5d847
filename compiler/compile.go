// Package compiler turns a machine spec into a build: it puts each discipline's
// question to the machine, in the order in which a builder meets it, and writes
// the answers down as figures, findings, verdicts and sheets.
package compiler

import (
	"errors"
	"slices"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// A pass answers one discipline's questions.
type pass struct {
	name string
	run  func(*job) error
}

// passes are the questions in the order in which a builder meets them.
var passes = []pass{
	{"sections", sectionPass},       // what are the members made of?
	{"shrinkage", shrinkPass},       // what does the fill do as it sets?
	{"mass", massPass},              // what does it weigh, and who lifts it?
	{"frame", framePass},            // how does the machine give?
	{"stance", stancePass},          // does everything stand where it can?
	{"gravity", gravityPass},        // what does its weight do?
	{"ring", ringPass},              // where does it ring?
	{"reach", reachPass},            // what can it cut?
	{"shares", sharePass},           // which part gives most?
	{"modes", modePass},             // how does it shake?
	{"usual", usualPass},            // is that usual?
	{"chatter", chatterPass},        // when does it sing?
	{"cuts", cutPass},               // how is it cut, at the machine?
	{"bond", bondPass},              // what if the fill comes loose?
	{"joints", jointPass},           // what gives at the joints?
	{"drives", drivePass},           // will it move?
	{"motion", motionPass},          // will it follow?
	{"square", squarePass},          // does it stay square?
	{"rails", railPass},             // will the rails last?
	{"seats", seatPass},             // how true must they lie?
	{"cables", cablePass},           // will the cables last, and what do covers cost?
	{"trials", trialPass},           // what will a bench test show?
	{"pictures", picturePass},       // what does it look like?
	{"changes", changePass},         // what is the next move?
	{"assumptions", assumptionPass}, // what rests on a guess?
	{"cautions", cautionPass},       // where can it hurt someone?
}

// printed are the passes that find nothing and answer nothing: they are for the
// report alone.
var printed = []string{"pictures", "assumptions"}

// Compile computes everything that the machine's spec allows. A machine that
// cannot be compiled gives no build but the findings that say why.
func Compile(m *spec.Machine, tool build.Tool, progress func(pass string)) (*build.Build, []build.Finding) {
	return compile(m, tool, false, progress)
}

// Answers computes the findings, the verdicts with the moves that better them, and
// the weak points, as [Compile] does, and leaves out what only a report prints:
// pictures, maps, moves that better no verdict, what a move does besides, and what
// rests on each assumption.
func Answers(m *spec.Machine, tool build.Tool, progress func(pass string)) (*build.Build, []build.Finding) {
	return compile(m, tool, true, progress)
}

func compile(m *spec.Machine, tool build.Tool, brief bool, progress func(pass string)) (*build.Build, []build.Finding) {
	j := &job{m: m, brief: brief, b: &build.Build{
		Machine: m.Name.Text, Purpose: m.Purpose.Text, Tool: tool,
		Spec: build.Spec{Digest: m.Source.Digest, Files: m.Source.Files},
	}}
	var unlikely []build.Finding
	for _, d := range m.Unlikely {
		unlikely = append(unlikely, build.Finding{Rule: d.Rule, Severity: build.SeverityCaution, At: build.Place(d.At), Message: d.Message})
	}
	j.b.Findings = append(j.b.Findings, unlikely...)
	for _, p := range passes {
		if brief && slices.Contains(printed, p.name) {
			continue
		}
		progress(p.name)
		if err := p.run(j); err != nil {
			var r *machine.Refused
			if errors.As(err, &r) {
				return nil, append(unlikely, build.Finding{Rule: r.Rule, Severity: build.SeverityError, Message: r.Message, At: build.Place(r.At)})
			}
			return nil, []build.Finding{{Rule: p.name, Severity: build.SeverityError, Message: err.Error()}}
		}
	}
	j.b.Limits = j.limits()
	j.sayNotComputed()
	j.b.Findings = build.SortFindings(j.b.Findings)
	j.cite()
	return j.b, nil
}

// A modelLimit is what the models leave out, where it matters.
type modelLimit struct {
	words  string
	matter func(*job) bool // nil for always
}

// modelLimits are what the models leave out.
var modelLimits = []modelLimit{
	{"Depths of cut keep clear of chatter on the frame's own modes, by the zero-order method: mean directional factors, no very narrow cuts, no help from the edge's flank at low speed. The modes of the spindle and the cutter themselves are not in it, and fast small cutters meet those first. Start at half the depth printed, and stop when it sings.", nil},
	{"The chips must find room. No slot is taken deeper than one and a half diameters, whatever the machine can hold; beyond one diameter they begin to pack and burn: clear them with air or coolant, and take hard stuff in passes (common practice).", nil},
	{"A joint between members of one body is rigid unless the spec says how its end holds. A beam model without that was two thirds too stiff for a T of hollow sections, and right to some ten per cent with it; a welded corner gives a little, a bolted joint gives more. The stiffness of joints is known to a factor, not to a per cent.", nil},
	{"Members are straight and linear, small movements are small, sections do not warp or buckle, walls do not drum, and a force on an open section acts in its shear centre.", nil},
	{"Filled, built-up and drawn sections are solved by finite elements, to some per mille in torsion; that steel and fill swell differently sideways, which stiffens shear by up to 3 %, is left out.", (*job).hasFill},
	{"A listed section bends and twists as its data sheet has it; what is left out there, its shear above all, is left out here.", func(j *job) bool {
		return slices.ContainsFunc(j.m.Sections, func(e spec.Entry[spec.Section]) bool { return e.Item.Listed != nil })
	}},
	{"Ball and bull cutters are searched as square ones. A ball cuts with less than its diameter where it is shallow, and pushes more along its axis.", func(j *job) bool {
		return slices.ContainsFunc(j.m.Cutters, func(e spec.Entry[spec.Cutter]) bool { return e.Item.Kind.Text == "ball" || e.Item.Kind.Text == "bull" })
	}},
	{"The work is rigid and rests on the nodes that the spec names, the near ones carrying most. A thin or badly clamped piece gives more than the machine does.", nil},
	{"A fill that the spec calls bonded is taken as bonded everywhere and not cracked. Look at the two bounds before you rest a verdict on it.", (*job).hasFill},
	{"A servo is taken as holding its shaft dead still unless the spec gives its `stiffness`.", func(j *job) bool { return j.hasMotor(false) }},
	{"A stepper gives in its field, as it does standing; that is in the stiffness along its axis. Its supply voltage is in its pull-out curve and nowhere else: a curve taken at another voltage is another motor.", func(j *job) bool { return j.hasMotor(true) }},
	{"The spindle's bearings give sideways and endways; their tilting is not in it.", nil},
	{"Nothing here is a check of strength: not of welds, lifting points, bolts or guards. That needs its own sums and a qualified person.", nil},
}

// hasMotor reports whether any axis has a stepper, or a servo.
func (j *job) hasMotor(stepper bool) bool {
	for _, a := range j.m.Axes {
		for _, d := range a.Item.Drives {
			if m := d.Item.Motor; m != nil && (m.Stepper != nil) == stepper {
				return true
			}
		}
	}
	return false
}

// limits are what the models leave out of this machine.
func (j *job) limits() (list []string) {
	for _, l := range modelLimits {
		if l.matter == nil || l.matter(j) {
			list = append(list, l.words)
		}
	}
	return list
}
