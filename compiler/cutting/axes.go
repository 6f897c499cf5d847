package cutting

import (
	"fmt"
	"math"
)

// A Vector is a direction, or what has one, in the machine's axes.
type Vector [3]float64

func dot(a, b Vector) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func cross(a, b Vector) Vector {
	return Vector{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// A Basis is how the cut's axes stand in the machine's.
type Basis struct {
	Feed   Vector // unit vector along the tool's motion relative to the work
	Normal Vector // unit vector to the left of it
	Axial  Vector // unit vector from the tip into the spindle
}

// NewBasis returns the axes of a cut whose feed runs along a direction. What the
// direction has along the tool's axis is taken off it. An error means that one
// of them has no length, or that both point the same way.
func NewBasis(toolAxis, feed Vector) (Basis, error) {
	unit := func(v Vector) (Vector, bool) {
		length := math.Sqrt(dot(v, v))
		if !positive(length) {
			return v, false
		}
		return Vector{v[0] / length, v[1] / length, v[2] / length}, true
	}
	var b Basis
	var ok bool
	if b.Axial, ok = unit(toolAxis); !ok {
		return Basis{}, fmt.Errorf("the tool's axis has no direction: %v", toolAxis)
	}
	if feed, ok = unit(feed); !ok {
		return Basis{}, fmt.Errorf("the feed has no direction: %v", feed)
	}
	along := dot(feed, b.Axial)
	for k := range feed {
		feed[k] -= along * b.Axial[k]
	}
	if dot(feed, feed) < 1e-12 {
		return Basis{}, fmt.Errorf("the feed %v runs along the tool's axis", feed)
	}
	b.Feed, _ = unit(feed)
	b.Normal = cross(b.Axial, b.Feed)
	return b, nil
}

// turned returns the basis with its feed turned about the tool's axis.
func (b Basis) turned(angle float64) Basis {
	sin, cos := math.Sincos(angle)
	t := Basis{Axial: b.Axial}
	for k := range b.Feed {
		t.Feed[k] = cos*b.Feed[k] + sin*b.Normal[k]
		t.Normal[k] = cos*b.Normal[k] - sin*b.Feed[k]
	}
	return t
}

// A Reading is what a turn of the cutter does along one direction.
type Reading struct {
	Mean  float64 // [N]
	Peak  float64 // largest in size, with its sign [N]
	RMS   float64 // root mean square [N]
	Angle float64 // of the feed, from that of the basis towards the normal [rad]
}

// Along returns the force of the turn along a direction of the machine, for a
// feed along that of the basis.
//
//	F = (d·feed) Ff + (d·normal) Fn + (d·axial) Fa
//
// The direction need not be of unit length: with a row of a compliance [m/N]
// for it the readings are deflections. An error means that it is no number.
//
// Source: derived here, the projection of the force.
func (t *Turn) Along(b Basis, direction Vector) (Reading, error) {
	feed, normal, axial := dot(direction, b.Feed), dot(direction, b.Normal), dot(direction, b.Axial)
	var r Reading
	for i := range t.Feed {
		f := feed*t.Feed[i] + normal*t.Normal[i] + axial*t.Axial[i]
		if math.Abs(f) > math.Abs(r.Peak) {
			r.Peak = f
		}
		r.RMS += f * f
	}
	r.RMS = math.Sqrt(r.RMS / float64(len(t.Feed)))
	r.Mean = feed*t.Forces.MeanFeed + normal*t.Forces.MeanNormal + axial*t.Forces.MeanAxial
	if !finite(feed, normal, axial, r.Mean, r.Peak, r.RMS) {
		return Reading{}, fmt.Errorf("no force along %v", direction)
	}
	return r, nil
}

// Worst returns the force of the turn along a direction of the machine for that
// feed, among all feeds square to the tool, at which its peak is largest.
//
//	peak = max over θ of (|d_lateral| √(Ff² + Fn²) + |d_axial Fa|)
//
// No feed need be searched for: turning the feed turns the lateral force with
// it, so that at each position of the cutter there is a feed that lays it
// along d.
//
// Source: derived here, the largest projection of a vector that may be turned.
func (t *Turn) Worst(b Basis, direction Vector) (Reading, error) {
	feed, normal, axial := dot(direction, b.Feed), dot(direction, b.Normal), dot(direction, b.Axial)
	lateral := math.Hypot(feed, normal)
	largest, at := -1.0, 0
	for i := range t.Feed {
		if peak := lateral*math.Hypot(t.Feed[i], t.Normal[i]) + math.Abs(axial*t.Axial[i]); peak > largest {
			largest, at = peak, i
		}
	}
	// The lateral force is to point along d, or against it where the axial
	// force does.
	sign := 1.0
	if axial*t.Axial[at] < 0 {
		sign = -1
	}
	angle := math.Atan2(sign*normal, sign*feed) - math.Atan2(t.Normal[at], t.Feed[at])
	angle = math.Mod(angle+4*math.Pi, 2*math.Pi)
	r, err := t.Along(b.turned(angle), direction)
	if err == nil {
		r.Angle = angle
	}
	return r, err
}

// Sweep returns the worst reading along each of the machine's axes for feeds in
// every direction square to the tool, see [Turn.Worst].
func (t *Turn) Sweep(b Basis) (worst [3]Reading, err error) {
	for k := range worst {
		var axis Vector
		axis[k] = 1
		if worst[k], err = t.Worst(b, axis); err != nil {
			return [3]Reading{}, err
		}
	}
	return worst, nil
}
