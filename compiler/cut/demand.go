package cut

import (
	"ironbed/spec"
)

// A Demand is the most demanding cut of a machine: the largest of the peaks
// over the best cuts of all targets.
type Demand struct {
	Lateral float64 // across the cutter [N]
	Axial   float64 // along it [N]
	Feed    float64 // [m/s]
	Cutter  *spec.Cutter
	Target  string
}
