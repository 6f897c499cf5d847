package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// mapSteps is how many places along a travel the map of the sag has.
const mapSteps = 5

// A SagMap is the sag of the tool tip over the two travels perpendicular to the tool, the other axes
// in the middle of theirs.
type SagMap struct {
	X, Y     int         // the two axes
	AtX, AtY []float64   // the places along them [m]
	Higher   [][]float64 // by place along Y and X: how much higher the nose stands over the workpiece than in the middle [m]
}

// SagMap solves the poses of the map; nil where there are not two such axes.
func (s *Solution) SagMap() (*SagMap, error) {
	d := s.Model
	axis := r3.Scale(-1, s.ToolAxis()) // from the tip into the spindle
	var across []int
	for i, a := range d.Spec.Axes {
		if math.Abs(r3.Dot(Unit(a.Item.Direction.XYZ), axis)) < 0.3 {
			across = append(across, i)
		}
	}
	if len(across) != 2 {
		return nil, nil
	}
	m := &SagMap{X: across[0], Y: across[1]}
	for k := range mapSteps {
		share := float64(k) / (mapSteps - 1)
		m.AtX = append(m.AtX, d.Read.Of(d.Spec.Axes[m.X].Item.Travel)*share)
		m.AtY = append(m.AtY, d.Read.Of(d.Spec.Axes[m.Y].Item.Travel)*share)
	}
	var poses []Pose
	for _, y := range m.AtY {
		for _, x := range m.AtX {
			p := d.Middle()
			p[m.X], p[m.Y] = x, y
			poses = append(poses, p)
		}
	}
	list, err := d.SolveAll(poses, AllCases)
	if err != nil {
		return nil, err
	}
	middle := r3.Dot(list[len(list)/2].Sag, axis)
	for row := range mapSteps {
		var higher []float64
		for column := range mapSteps {
			higher = append(higher, r3.Dot(list[row*mapSteps+column].Sag, axis)-middle)
		}
		m.Higher = append(m.Higher, higher)
	}
	return m, nil
}
