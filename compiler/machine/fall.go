package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// A Fall is what an axis carries up and down.
type Fall struct {
	Axis   int
	Mass   float64 // that it carries [kg]
	Braked bool    // a motor has a brake
	Energy float64 // with which it lands, dropped through its travel [J]
}

// leastFall is the part of gravity along an axis from which it falls [m/s2].
const leastFall = 1

// Falls are the axes that carry weight up and down.
func (d *Model) Falls() (list []Fall) {
	for i := range d.Spec.Axes {
		a := &d.Spec.Axes[i].Item
		pull := math.Abs(r3.Dot(Gravity, Unit(a.Direction.XYZ)))
		if pull < leastFall {
			continue
		}
		f := Fall{Axis: i, Mass: d.MovedMass(i)}
		f.Energy = f.Mass * pull * d.Read.Of(a.Travel)
		for _, v := range a.Drives {
			f.Braked = f.Braked || v.Item.Motor != nil && v.Item.Motor.Brake
		}
		list = append(list, f)
	}
	return list
}
