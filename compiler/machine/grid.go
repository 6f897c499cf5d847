package machine

import (
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A Pose says where each axis stands, from the start of its travel, in the
// order of the machine's axes [m].
type Pose []float64

// String prints the pose: "x 800, y 350, z 0 mm".
func (d *Model) PoseWords(p Pose) string {
	var words []string
	for i, a := range d.Spec.Axes {
		words = append(words, a.Name+" "+quantity.Number(p[i]*1e3))
	}
	if len(words) == 0 {
		return "as drawn"
	}
	return strings.Join(words, ", ") + " mm"
}

// gridShares are the places along each axis's travel at which the machine is solved [-].
var gridShares = [...]float64{0, 0.5, 1}

// Grid returns the poses with each axis at both ends and in the middle of its
// travel, the last axis running fastest.
func (d *Model) Grid() []Pose {
	list := []Pose{{}}
	for _, a := range d.Spec.Axes {
		var next []Pose
		for _, p := range list {
			for _, share := range gridShares {
				next = append(next, append(append(Pose{}, p...), share*d.Read.Into(d.Stiff).Of(a.Item.Travel)))
			}
		}
		list = next
	}
	return list
}

// Middle returns the pose with each axis in the middle of its travel.
func (d *Model) Middle() Pose {
	p := Pose{}
	for _, a := range d.Spec.Axes {
		p = append(p, d.Read.Of(a.Item.Travel)/2)
	}
	return p
}

// Shifts returns how far each body stands from where it is drawn.
func (d *Model) Shifts(p Pose) []r3.Vec {
	list := make([]r3.Vec, len(d.Spec.Bodies))
	for i, a := range d.Spec.Axes {
		shift := r3.Scale(p[i]-d.Read.Into(d.Stiff).Of(a.Item.ModelledAt), Unit(a.Item.Direction.XYZ))
		carried := d.Spec.CarriedBy(a.Item.Moves.Text)
		for b := range d.Spec.Bodies {
			for _, name := range carried {
				if d.Spec.Bodies[b].Name == name {
					list[b] = r3.Add(list[b], shift)
				}
			}
		}
	}
	return list
}

// A Carriage is one carriage of a guide in a pose.
type Carriage struct {
	Axis, Guide string
	Node        string // "body.node"
	Spring      int    // index of its spring in the frame
	Rail        *spec.Rail
}

// A Posed is the machine's frame in one pose.
type Posed struct {
	Frame     frame.Model
	Shift     []r3.Vec // by body
	Carriages []Carriage
	drives    map[string]int // spring index by "axis.drive"
	Pieces    [][]int        // by bar: its frame members, in order
	relief    []int          // springs that take off from end to end of a line what warping adds within it
}
