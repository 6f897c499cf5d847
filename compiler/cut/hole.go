package cut

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/cutting"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// drillTooFast is by how much the speed of a drill's corner may be over the fastest
// before the spindle is called too fast: rounding of the catalogue [-].
const drillTooFast = 1.01

// drill finds what each drill asks in each target's material.
func (out *Answers) drill(s *machine.Solution) error {
	for i := range s.Spec.Targets {
		target := &s.Spec.Targets[i]
		for k := range s.Spec.Cutters {
			c := &s.Spec.Cutters[k]
			named := len(target.Item.Cutters) == 0 || slices.ContainsFunc(target.Item.Cutters, func(n spec.Text) bool { return n.Text == c.Name })
			if c.Item.Kind.Text != "drill" || !named {
				continue
			}
			w := s.Spec.WorkMaterial(target.Item.Material.Text)
			edge := EdgeOf(w, &c.Item)
			if edge == nil {
				continue
			}
			h := Hole{Target: target, Drill: c, Log: &spec.Log{}}
			if err := h.drill(s.Model.Read, w, edge, out.Spindle); err != nil {
				return &machine.Refused{Rule: "drilling", At: c.At, Message: fmt.Sprintf("drill %s in %s: %v", c.Name, target.Item.Material.Text, err)}
			}
			h.HasThrust = out.feedThrust(s)
			_, _, fast := s.Model.Read.Span(edge.SurfaceSpeed)
			tooMuch := reach.AxisThrust
			if carries, _, _ := s.Model.Read.Span(s.Spec.Spindle.BearingAxial); carries > 0 && carries < h.HasThrust {
				h.HasThrust, tooMuch = carries, reach.Bearings
			}
			switch {
			case h.Torque > h.HasTorque:
				h.LimitedBy = reach.SpindleTorque
			case h.Thrust > h.HasThrust:
				h.LimitedBy = tooMuch
			case cutting.SurfaceSpeed(s.Model.Read.Of(c.Item.Diameter), h.Speed) > fast*drillTooFast:
				h.LimitedBy = reach.SpindleSpeed
			}
			out.Holes = append(out.Holes, h)
		}
	}
	return nil
}

// drill sets the drill and computes its loads, and the same with every uncertain value at an end.
func (h *Hole) drill(read spec.Reader, w *spec.WorkMaterial, edge *spec.Edge, curve []reach.CurvePoint) error {
	c := &h.Drill.Item
	d := read.Of(c.Diameter)
	slow, _, fast := read.Span(edge.SurfaceSpeed)
	// The slower half of the speeds: a drill's corner cannot cool.
	h.Speed = math.Sqrt(slow*math.Sqrt(slow*fast)) / (math.Pi * d)
	h.Speed = math.Min(math.Max(h.Speed, curve[0].Speed), curve[len(curve)-1].Speed)
	h.HasTorque, _, _, _ = reach.SpindleAt(curve, h.Speed)
	read = read.Into(h.Log) // the loads do not rest on the speed
	chip := ChipThickness(read, edge, d)
	lips := read.Count(c.Teeth)
	turn := float64(lips) * (chip.Min + chip.Max) / 2
	h.Feed = turn * h.Speed
	drilled := func(read spec.Reader) (cutting.Drilled, error) {
		return cutting.Drilling{Diameter: read.Of(c.Diameter), Lips: lips, Point: read.Of(c.PointAngle), Feed: turn, Speed: h.Speed}.Drilled(WorkOf(read, w))
	}
	out, err := drilled(read)
	if err != nil {
		return err
	}
	h.Torque, h.Thrust = out.Torque, out.Thrust
	h.Torques, h.Thrusts = reach.Range{Min: out.Torque, Max: out.Torque}, reach.Range{Min: out.ThrustLow, Max: out.ThrustHigh}
	for _, end := range spec.Ends {
		// An end may lie where the formula does not hold.
		if at, err := drilled(spec.At(end)); err == nil {
			h.Torques = reach.Range{Min: math.Min(h.Torques.Min, at.Torque), Max: math.Max(h.Torques.Max, at.Torque)}
			h.Thrusts = reach.Range{Min: math.Min(h.Thrusts.Min, at.ThrustLow), Max: math.Max(h.Thrusts.Max, at.ThrustHigh)}
		}
	}
	return nil
}

// feedThrust is the thrust of the axis that feeds along the tool, at its slowest: a
// drill is fed slowly [N].
func (out *Answers) feedThrust(s *machine.Solution) (most float64) {
	for _, a := range out.Axes[len(out.Axes)-1] {
		if s.AlongTool(r3.Vec{X: a.Direction[0], Y: a.Direction[1], Z: a.Direction[2]}) {
			most = math.Max(most, a.Thrust)
		}
	}
	return most
}

// TopEdgeSpeed is the speed of a cutter's edge as fast as a spindle turns [m/s].
func TopEdgeSpeed(read spec.Reader, c *spec.Cutter, s *spec.Spindle) float64 {
	return cutting.SurfaceSpeed(read.Of(c.Diameter), read.Of(s.MaxSpeed))
}
