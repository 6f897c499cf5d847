package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/spec"
)

// A Line is how one bar moves, at some places along it.
type Line struct {
	Rest []r3.Vec // where they lie unmoved [m]
	Move []r3.Vec // how far each is moved [m]
}

// stations is at how many places a piece of a bar is looked at.
const stations = 9

// lines are all bars of a solved pose, as a function gives the stations of a frame
// member, with the largest movement [m].
func (s *Solved) lines(of func(member int) []frame.Station) (list []Line, most float64) {
	for _, pieces := range s.Posed.Pieces {
		var l Line
		for _, piece := range pieces {
			for _, at := range of(piece) {
				l.Rest = append(l.Rest, at.Position)
				l.Move = append(l.Move, at.Displacement)
				most = math.Max(most, r3.Norm(at.Displacement))
			}
		}
		list = append(list, l)
	}
	return list, most
}

// Swing is how the bars move in a mode of a solved pose, by bar, and the largest
// movement; its size has no meaning [m].
func (s *Solved) Swing(modes *frame.Modes, k int) (list []Line, most float64) {
	return s.lines(func(member int) []frame.Station { return modes.Shape(k, member, stations) })
}

// Bent is how the bars move under a force at a cutter's tip, against the work, by bar,
// and the largest movement [m].
func (d *Model) Bent(s *Solved, c *spec.Cutter, force r3.Vec) (list []Line, most float64, err error) {
	end, err := ToolEndOf(d.Spec, c, d.Read)
	if err != nil {
		return nil, 0, err
	}
	moment := r3.Cross(end.Arm, force)
	wrench := [6]float64{force.X, force.Y, force.Z, moment.X, moment.Y, moment.Z}
	list, most = s.lines(func(member int) []frame.Station {
		sum := make([]frame.Station, stations)
		for load := range wrench {
			for k, at := range s.Solution.Shape(load, member, stations) {
				sum[k].Position = at.Position
				sum[k].Displacement = r3.Add(sum[k].Displacement, r3.Scale(wrench[load], at.Displacement))
			}
		}
		return sum
	})
	return list, most, nil
}
