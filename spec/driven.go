package spec

import (
	"math"
	"slices"
	"strings"

	"ironbed/spec/quantity"
)

// screwGrades are the tolerance grades of ball screws; ISO 3408-3.
var screwGrades = []int{1, 3, 5, 7, 10}

// steepest is the largest lead of a screw over its diameter: no ball screw is sold with
// more than 4.
const steepest = 10

// drive checks one drive of an axis.
func (r *resolver) drive(e *Entry[Axis], d *Entry[Drive]) {
	v := &d.Item
	if v.Screw != nil {
		for _, end := range []struct {
			node Text
			name string
		}{{v.Nut, "nut"}, {v.Bearing, "bearing"}} {
			if end.node.Text == "" {
				r.say(RuleMissingField, d.At, "drive %s has a screw and no `%s`; name the node that carries it, as \"body.node\"", d.Name, end.name)
			}
		}
	} else {
		for _, end := range []Text{v.Nut, v.Bearing} {
			if end.Text != "" {
				r.say(RuleReference, end.At, "drive %s has no screw, so it has no nut and no bearing; take this line out", d.Name)
			}
		}
	}
	nodes, carry := v.Ends()
	if nodes[0].Text != "" && nodes[1].Text != "" && r.node(nodes[0]) && r.node(nodes[1]) {
		one, _, _ := strings.Cut(nodes[0].Text, ".")
		other, _, _ := strings.Cut(nodes[1].Text, ".")
		r.twoBodies(e, nodes[0], one, other, carry[0], carry[1])
	}
	if v.Screw != nil {
		r.screw(v.Screw)
	}
	if v.Belt != nil {
		r.belt(v.Belt)
	}
	if v.Motor != nil {
		r.motor(v.Motor)
	}
}

func (r *resolver) screw(s *Screw) {
	if s.Root.Given && s.Root.q.Value >= s.Diameter.q.Value {
		r.say(RuleGeometry, s.Root.At, "the root diameter %s is not below the screw's %s", s.Root.Text, s.Diameter.Text)
	}
	if most := steepest * middle(s.Diameter); middle(s.Lead) > most {
		r.say(RuleGeometry, s.Lead.At, "the lead %s is more than %d times the screw's diameter of %s, and no nut runs up a thread so steep; %s is the most",
			s.Lead.Text, steepest, s.Diameter.Text, millimetres(most))
	}
	if s.Grade.Given && !slices.Contains(screwGrades, s.Grade.N) {
		r.say(RuleRange, s.Grade.At, "there is no screw of grade %d; 1, 3, 5, 7 or 10 is expected", s.Grade.N)
	}
	if s.Tension.Given && s.Ends.Text != "fixed-fixed" {
		r.say(RuleGeometry, s.Tension.At, "a screw with %s ends cannot be stretched; that takes fixed-fixed", s.Ends.Text)
	}
	if s.Tension.q.Value < 0 {
		r.say(RuleRange, s.Tension.At, "the tension %s is below zero", s.Tension.Text)
	}
	if s.NutTurns() && s.Ends.Text == "fixed-free" {
		r.say(RuleGeometry, s.Ends.At, "a stationary screw with a rotating nut needs a bearing at both ends; \"fixed-fixed\" is usual")
	}
}

// belt checks that the pulley fits.
func (r *resolver) belt(b *Belt) {
	across := float64(b.Teeth.N) * middle(b.Pitch) / math.Pi
	if across >= middle(b.CentreDistance) {
		r.say(RuleGeometry, b.Pitch.At, "a pulley of %d teeth at a pitch of %s is %s across, and the belt's centre distance is %s; "+
			"fewer teeth, a smaller pitch or a longer span is expected",
			b.Teeth.N, b.Pitch.Text, quantity.Print(across, "mm"), b.CentreDistance.Text)
	}
}

func (r *resolver) motor(v *Motor) {
	if v.Poles.Given && v.Poles.N%2 != 0 {
		r.say(RuleRange, v.Poles.At, "a motor has poles in pairs; %d is odd", v.Poles.N)
	}
	if v.Stepper == nil {
		if !v.RatedSpeed.Given {
			r.say(RuleMissingField, v.At, "the motor has a rated torque and no `rated_speed` up to which it is available; a speed such as \"3000 rpm\" is expected")
		}
		if v.MaxSpeed.Given && v.RatedSpeed.Given && v.MaxSpeed.q.Value < v.RatedSpeed.q.Value*(1-1e-9) {
			r.say(RuleRange, v.MaxSpeed.At, "the motor's maximum speed %s is below its rated %s", v.MaxSpeed.Text, v.RatedSpeed.Text)
		}
		if v.PeakTorque.Given && v.PeakTorque.q.Value < v.RatedTorque.q.Value*(1-1e-9) {
			r.say(RuleRange, v.PeakTorque.At, "the motor's peak torque %s is below its rated %s", v.PeakTorque.Text, v.RatedTorque.Text)
		}
		return
	}
	points := v.Stepper.PullOut
	if len(points) < 2 {
		r.say(RuleMissingField, v.At, "the stepper's `pull_out` needs two points or more, from a low speed such as \"10 rpm\" to the highest that it shall run")
	}
	for i := 1; i < len(points); i++ {
		if points[i].Speed.q.Value <= points[i-1].Speed.q.Value {
			r.say(RuleRange, points[i].Speed.At, "the pull-out curve's speeds must rise: %s comes after %s", points[i].Speed.Text, points[i-1].Speed.Text)
		}
	}
}

// crossShaft checks that a cross shaft has two drives to turn and one motor.
func (r *resolver) crossShaft(e *Entry[Axis]) {
	a := &e.Item
	if a.CrossShaft == nil {
		return
	}
	motors := 0
	for _, d := range a.Drives {
		if d.Item.Motor != nil {
			motors++
		}
	}
	if len(a.Drives) != 2 || motors != 1 {
		r.say(
			RuleGeometry,
			a.CrossShaft.Diameter.At,
			"a cross shaft turns two drives from one motor; axis %s has %d drives with %d motors",
			e.Name,
			len(a.Drives),
			motors,
		)
	}
}

// duty checks that the moves of a duty stay within the travel.
func (r *resolver) duty(e *Entry[Axis]) {
	travel := e.Item.Travel
	if v := r.m.Envelope.Find(e.Name); !travel.Given && v != nil {
		travel = *v
	}
	for _, s := range e.Item.Duty {
		switch {
		case s.Rest.Given:
		case s.Move.q.Value == 0:
			r.say(RuleRange, s.Move.At, "a move of %s is no move; write `rest` for a rest", s.Move.Text)
		case math.Abs(s.Move.q.Value) > travel.q.Value*(1+1e-9):
			r.say(RuleRange, s.Move.At, "a move of %s is longer than the travel of axis %s, %s", s.Move.Text, e.Name, travel.Text)
		}
	}
}
