package cutting

import (
	"fmt"
	"math"
)

// A Drilling is a twist drill going into full material.
type Drilling struct {
	Diameter float64 // diameter of the drill [m]
	Lips     int     // cutting edges, 2 on a twist drill
	Point    float64 // point angle, 0 for 118° [rad]
	Feed     float64 // feed per turn [m]
	Speed    float64 // spindle speed [rev/s]
	Bore     float64 // diameter of the hole that is there, 0 for none [m]
}

// Drilled is what drilling asks of the machine.
type Drilled struct {
	Chip        float64 // thickness of the chip [m]
	LipForce    float64 // cutting force of one lip [N]
	Torque      float64 // torque on the spindle [N·m]
	Power       float64 // power at the drill [W]
	Thrust      float64 // force along the drill, the middle of what handbooks give [N]
	ThrustLow   float64 // the least of it: a thinned point [N]
	ThrustHigh  float64 // the most of it: a plain chisel edge [N]
	RemovalRate float64 // volume cut in a second [m3/s]
	Held        bool    // the chip is thinner than the work material's MinChip
}

// Shares of the cutting force of the lips that push along the drill, over their
// sine of half the point angle. Handbooks differ by two; what the chisel edge
// adds is in the higher ones.
//
// Source: from memory, 0.5 and 0.7 in makers' handbooks, 1 in Dietrich and Tschätsch.
const (
	thrustLow  = 0.5
	thrust     = 0.7
	thrustHigh = 1.0
)

// Drilled returns the torque, power and thrust of drilling in the work material.
//
//	h  = (f/z) sin(σ/2),  b = (D - d) / (2 sin(σ/2))
//	Fc = kc(h) b h = kc(h) (f/z) (D - d)/2
//	M  = z Fc (D + d)/4 = kc f (D² - d²)/8
//	Ff = x z Fc sin(σ/2),  x = 0.5 … 1
//
// where f [m] is the feed per turn, z [-] the lips, D and d [m] the diameters of
// drill and bore, σ [rad] the point angle. kc is the specific force at the
// chip: nothing is added for a dull edge or for chips that jam, which take half
// as much again. The thrust is of sharp lips; it jumps when the point breaks
// through. It holds for holes to about three diameters deep.
//
// Source: Dietrich Tschaetsch 2014, chapter on drilling; from memory, for the thrust.
func (d Drilling) Drilled(w Work) (Drilled, error) {
	if err := w.check(); err != nil {
		return Drilled{}, err
	}
	point := d.Point
	if point == 0 {
		point = 118 * math.Pi / 180
	}
	switch {
	case !positive(d.Diameter) || !(d.Bore >= 0 && d.Bore < d.Diameter):
		return Drilled{}, fmt.Errorf("drill must be above zero and wider than its bore, got %g m and %g m", d.Diameter, d.Bore)
	case d.Lips < 1 || d.Lips > 10:
		return Drilled{}, fmt.Errorf("number of lips must be from 1 to 10, got %d", d.Lips)
	case !(point >= 60*math.Pi/180 && point <= math.Pi):
		return Drilled{}, fmt.Errorf("point angle must be from 60 to 180 degrees, got %g rad", point)
	case !positive(d.Feed) || !positive(d.Speed):
		return Drilled{}, fmt.Errorf("feed and speed must be above zero, got %g m and %g rev/s", d.Feed, d.Speed)
	}
	lean := math.Sin(point / 2)
	width := (d.Diameter - d.Bore) / 2 / lean
	r := Drilled{Chip: d.Feed / float64(d.Lips) * lean}
	r.Held = r.Chip < w.MinChip
	r.LipForce = w.chipForce(r.Chip) * width
	all := float64(d.Lips) * r.LipForce
	r.Torque = all * (d.Diameter + d.Bore) / 4
	r.Power = 2 * math.Pi * d.Speed * r.Torque
	r.Thrust, r.ThrustLow, r.ThrustHigh = thrust*all*lean, thrustLow*all*lean, thrustHigh*all*lean
	r.RemovalRate = math.Pi / 4 * (d.Diameter*d.Diameter - d.Bore*d.Bore) * d.Feed * d.Speed
	if !finite(r.Torque, r.Power, r.ThrustHigh, r.RemovalRate) {
		return Drilled{}, fmt.Errorf("loads of the drill are beyond the range of numbers")
	}
	return r, nil
}
