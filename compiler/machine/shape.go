package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/spec"
)

// A Motion is how a solved pose moves: under a force, or in a mode.
type Motion struct {
	Bars  [][]frame.Station // by bar: some places along it, its ends among them
	Nodes []frame.Station   // by node of the spec
	Tip   r3.Vec            // how far the tool tip moves beyond what the spindle nose does [m]
	Most  float64           // the largest displacement of a bar or a node [m]
	Turn  float64           // the largest rotation of one [rad]
}

// stations is at how many places a piece of a bar is looked at.
const stations = 9

// motion is how a solved pose moves, as one function gives the stations of a frame
// member and another the displacement of a node.
func (d *Model) motion(s *Solved, along func(member int) []frame.Station, of func(at frame.Point) [6]float64) *Motion {
	out := &Motion{}
	take := func(at frame.Station) {
		out.Most = math.Max(out.Most, r3.Norm(at.Displacement))
		out.Turn = math.Max(out.Turn, r3.Norm(at.Rotation))
	}
	for i, pieces := range s.Posed.Pieces {
		b := &d.Bars[i]
		var bar []frame.Station
		add := func(list ...frame.Station) {
			for _, at := range list {
				bar = append(bar, at)
				take(at)
			}
		}
		rigid := func(end int, axis r3.Vec) { // what lies between its node and where it bends
			if axis == b.Flex[end] {
				return
			}
			node := d.memberNode(b, end)
			at := frame.Point{Node: node, Arm: r3.Sub(axis, d.Nodes[node])}
			u := of(at)
			add(frame.Station{
				Position:     r3.Add(s.Posed.Frame.Nodes[node].Position, at.Arm),
				Displacement: r3.Vec{X: u[0], Y: u[1], Z: u[2]},
				Rotation:     r3.Vec{X: u[3], Y: u[4], Z: u[5]},
			})
		}
		rigid(0, b.From)
		for _, piece := range pieces {
			add(along(piece)...)
		}
		rigid(1, b.To)
		out.Bars = append(out.Bars, bar)
	}
	for i := range d.Nodes {
		u := of(frame.At(i))
		at := frame.Station{
			Position:     s.Posed.Frame.Nodes[i].Position,
			Displacement: r3.Vec{X: u[0], Y: u[1], Z: u[2]},
			Rotation:     r3.Vec{X: u[3], Y: u[4], Z: u[5]},
		}
		out.Nodes = append(out.Nodes, at)
		take(at)
	}
	return out
}

// ModeMotion is how a solved pose moves in a mode; its size has no meaning.
func (d *Model) ModeMotion(s *Solved, modes *frame.Modes, k int) *Motion {
	return d.motion(s,
		func(member int) []frame.Station { return modes.Shape(k, member, stations) },
		func(at frame.Point) [6]float64 { return modes.Displacement(k, at) },
	)
}

// Deflection is how a solved pose moves under a force at a cutter's tip, against the
// workpiece.
func (d *Model) Deflection(s *Solved, c *spec.Cutter, force r3.Vec) (*Motion, error) {
	end, err := d.ToolEnd(c)
	if err != nil {
		return nil, err
	}
	moment := r3.Cross(end.Arm, force)
	wrench := [6]float64{force.X, force.Y, force.Z, moment.X, moment.Y, moment.Z}
	out := d.motion(s,
		func(member int) []frame.Station {
			sum := make([]frame.Station, stations)
			for load := range wrench {
				for k, at := range s.Solution.Shape(load, member, stations) {
					sum[k].Position = at.Position
					sum[k].Displacement = r3.Add(sum[k].Displacement, r3.Scale(wrench[load], at.Displacement))
					sum[k].Rotation = r3.Add(sum[k].Rotation, r3.Scale(wrench[load], at.Rotation))
				}
			}
			return sum
		},
		func(at frame.Point) (sum [6]float64) {
			for load := range wrench {
				for k, u := range s.Solution.Displacement(load, at) {
					sum[k] += wrench[load] * u
				}
			}
			return sum
		},
	)
	give, f := end.Total(), XYZ(force)
	var tip [3]float64
	for i := range give {
		for k := range give[i] {
			tip[i] += give[i][k] * f[k]
		}
	}
	out.Tip = Unit(tip)
	out.Most = math.Max(out.Most, r3.Norm(out.Tip))
	return out, nil
}
