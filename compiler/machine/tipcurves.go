package machine

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/rank"
	"ironbed/compiler/spindle"
	"ironbed/spec"
)

// TipCurves are how far a cutter's tip moves under a harmonic force of one newton there, of
// the whole and with its parts apart, over one list of frequencies. All are along one
// direction across the tool, the one in which the whole has its highest peak.
type TipCurves struct {
	Along     r3.Vec    // the direction, a unit vector
	Frequency []float64 // rising [Hz]
	Frame     []float64 // of the frame, which carries a rigid tool at its spindle nose [m/N]
	Tool      []float64 // of shaft, holder and cutter in a housing that does not move [m/N]
	Whole     []float64 // of all of it coupled [m/N]
}

// curveDirections is in how many directions across the tool the highest peak is looked
// for: a direction and its opposite are alike.
const curveDirections = 36

// TipCurves finds the receptances at a cutter's tip in a vibration, part by part.
func (d *Model) TipCurves(r *Vibration, c *spec.Cutter) (*TipCurves, error) {
	end, err := d.ToolEnd(c)
	if err != nil {
		return nil, err
	}
	modes, err := end.Modes()
	if err != nil {
		return nil, err
	}
	axis := Pointing(d.Spec.Spindle)
	whole, err := r.tip(end, axis)
	if err != nil {
		return nil, err
	}
	nose, err := r.noseAcross(axis)
	if err != nil {
		return nil, err
	}
	lever := complex(r3.Dot(end.Arm, axis), 0)
	angle := highestPeak(whole.H)
	sin, cos := math.Sincos(angle)
	out := &TipCurves{Frequency: whole.Frequency}
	planes := spindle.Planes(axis)
	for i, to := range []*float64{&out.Along.X, &out.Along.Y, &out.Along.Z} {
		*to = cos*planes[0][i] + sin*planes[2][i]
	}
	interval := 1
	for i, f := range whole.Frequency {
		for interval < len(nose.Frequency)-1 && nose.Frequency[interval] < f {
			interval++
		}
		h := between(nose, interval, f)
		frame := make([]complex128, 4)
		for a := range 2 {
			for b := range 2 { // displacement and slope, carried by the lever
				frame[2*a+b] = h[8*a+2*b] + lever*(h[8*a+2*b+1]+h[8*a+4+2*b]) + lever*lever*h[8*a+4+2*b+1]
			}
		}
		tool, err := modes.At(f)
		if err != nil {
			return nil, err
		}
		out.Frame = append(out.Frame, cmplx.Abs(along(frame, angle)))
		out.Tool = append(out.Tool, cmplx.Abs(tool.Tip[0][0]))
		out.Whole = append(out.Whole, cmplx.Abs(along(whole.H[i], angle)))
	}
	return out, nil
}

// along is a receptance across the tool along a direction at an angle from its first
// coordinate.
func along(h []complex128, angle float64) complex128 {
	sin, cos := math.Sincos(angle)
	return complex(cos*cos, 0)*h[0] + complex(cos*sin, 0)*(h[1]+h[2]) + complex(sin*sin, 0)*h[3]
}

// highestPeak is the angle at which a receptance across the tool is largest at any of its
// frequencies.
func highestPeak(list [][]complex128) (angle float64) {
	most := 0.0
	for k := range curveDirections {
		at := math.Pi * float64(k) / curveDirections
		for _, h := range list {
			if size := cmplx.Abs(along(h, at)); rank.More(size, most) {
				most, angle = size, at
			}
		}
	}
	return angle
}
