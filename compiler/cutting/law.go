package cutting

import (
	"fmt"
	"math"
)

// unitChip is the chip thickness and width at which Kienzle's main value is
// stated [m].
const unitChip = 1e-3

// A Work is a work material as a cutter meets it. Its force law is Kienzle's,
// of Kc11 and Exponent, unless Measured coefficients are given.
type Work struct {
	Kc11     float64 // specific cutting force at a chip of 1 mm × 1 mm [Pa]
	Exponent float64 // exponent mc of the chip thickness, 0 to below 1 [-]

	// MinChip is where the law stops being trusted. Published values are fitted
	// above about 0.05 mm; below 10 to 20 µm the edge ploughs, and a power law
	// run on to zero would give an unlimited specific force. What a thinner chip
	// is given instead is said by Thin. 0 sets no floor.
	MinChip float64 // chip thickness below which Kienzle's law is left [m]
	Thin    Thin    // what a thinner chip is given

	// The ratios are taken as the same at every chip thickness. In truth both
	// grow as the chip thins, because the edge's share of the force grows:
	// measured edge and shear coefficients of aluminium give a normal ratio of
	// about 0.2 at 0.2 mm and 0.5 to 0.7 at 0.02 mm (Duan 2021, table 5).
	NormalRatio float64 // normal (radial) force over tangential force [-]
	AxialRatio  float64 // axial force over tangential force, positive where the helix pulls the tool out of its holder [-]

	// Measured coefficients take the place of all of the above but MinChip,
	// which then only says where a chip counts as rubbing.
	Measured Coefficients
}

// leastEdgeAngle is the flattest cutting edge angle that is computed [rad].
const leastEdgeAngle = 5 * math.Pi / 180

// A Thin says what force a chip thinner than the work material's MinChip is given.
type Thin int

// The ways to leave Kienzle's law.
const (
	// HeldForce holds the specific force at that of a chip of MinChip: the force
	// falls to nothing with the chip. A guess on the low side.
	HeldForce Thin = iota
	// EdgeForce follows the straight line that touches the law at MinChip: what
	// is left of it at no chip is the force of the edge. See [Work.SpecificForce].
	EdgeForce
)

// Coefficients are shear and edge coefficients fitted to measured forces: the
// force of a chip is proportional to its thickness but for what the edge takes,
// which is proportional to its width alone. The zero value has none.
type Coefficients struct {
	TangentialShear float64 // Ktc [Pa]
	NormalShear     float64 // Krc [Pa]
	AxialShear      float64 // Kac, positive where the helix pulls the tool out [Pa]
	TangentialEdge  float64 // Kte [N/m]
	NormalEdge      float64 // Kre [N/m]
	AxialEdge       float64 // Kae [N/m]
}

// given reports whether there are coefficients.
func (k Coefficients) given() bool { return k != (Coefficients{}) }

// check reports what makes a work material unusable.
func (w Work) check() error {
	if w.Measured.given() {
		k := w.Measured
		switch {
		case !positive(k.TangentialShear):
			return fmt.Errorf("tangential shear coefficient must be above zero, got %g Pa", k.TangentialShear)
		case !notNegative(k.TangentialEdge) || !notNegative(k.NormalEdge):
			return fmt.Errorf("edge coefficients must not be negative, got %g and %g N/m", k.TangentialEdge, k.NormalEdge)
		case !finite(k.NormalShear, k.AxialShear, k.AxialEdge):
			return fmt.Errorf("normal and axial coefficients must be numbers")
		}
	} else if !positive(w.Kc11) {
		return fmt.Errorf("specific cutting force must be above zero, got %g Pa", w.Kc11)
	}
	switch {
	case !(w.Exponent >= 0 && w.Exponent < 1):
		return fmt.Errorf("chip thickness exponent must be from 0 to below 1, got %g", w.Exponent)
	case !(w.MinChip >= 0 && w.MinChip <= unitChip):
		return fmt.Errorf("least chip thickness must be from 0 to 1 mm, got %g m", w.MinChip)
	case w.Thin != HeldForce && w.Thin != EdgeForce:
		return fmt.Errorf("force of a thin chip must be held or of the edge, got %d", w.Thin)
	case !(w.NormalRatio >= 0 && w.NormalRatio <= 3):
		return fmt.Errorf("normal force ratio must be from 0 to 3, got %g", w.NormalRatio)
	case !(math.Abs(w.AxialRatio) <= 3):
		return fmt.Errorf("axial force ratio must be from -3 to 3, got %g", w.AxialRatio)
	}
	return nil
}

// SpecificForce returns the specific cutting force of a chip, in Pa.
//
//	kc = kc1.1 (h / 1 mm)^-mc
//
// where kc1.1 [Pa] is the value at a chip of 1 mm × 1 mm, mc [-] the exponent
// and h [m] the chip thickness. The law is an interpolation: it holds where
// kc1.1 and mc were measured, about 0.05 to 2.5 mm, at the rake angle of that
// measurement. An error means that h or kc1.1 is not above zero, or mc outside
// 0 to below 1.
//
// Source: Kienzle 1957, the cutting force law; Dietrich Tschaetsch 2014, chapter on the specific cutting force.
func SpecificForce(kc11, mc, h float64) (float64, error) {
	if err := (Work{Kc11: kc11, Exponent: mc}).check(); err != nil {
		return 0, err
	}
	if !positive(h) {
		return 0, fmt.Errorf("chip thickness must be above zero, got %g m", h)
	}
	return kc11 * math.Pow(h/unitChip, -mc), nil
}

// SpecificForce returns the specific cutting force of a chip in the work material, in
// Pa, and whether the chip is thinner than MinChip, so that Kienzle's law was
// left.
//
//	kc = kc1.1 (h / 1 mm)^-mc                       from h_min on
//	   = kc(h_min)                                  below it, held
//	   = kc(h_min) (1 - mc + mc h_min/h)            below it, with the edge's force
//	kc = Ktc + Kte/h                                with measured coefficients
//
// A held value is a guess on the low side: a ploughing edge needs a force even
// at no chip at all. The other, taken to no chip, leaves mc kc(h_min) h_min for
// each metre of edge: for aged aluminium 6 N/mm, against 8 to 28 measured (Duan
// 2021, table 5).
//
// Source: Kienzle 1957, the cutting force law; Altintas 2012, chapter 2, edge forces; common practice, for the floor.
func (w Work) SpecificForce(h float64) (kc float64, held bool, err error) {
	if err := w.check(); err != nil {
		return 0, false, err
	}
	if !positive(h) {
		return 0, false, fmt.Errorf("chip thickness must be above zero, got %g m", h)
	}
	kc = w.chipForce(h) / h
	if !finite(kc) {
		return 0, false, fmt.Errorf("specific force of a chip of %g m is beyond the range of numbers", h)
	}
	return kc, h < w.MinChip, nil
}

// Leaning returns the work material as a square edge would meet it that is to stand for
// one with a cutting edge angle κ [rad], as of a face mill: with it the cheap
// [Profile] serves for face milling.
//
//	kc1.1' = kc1.1 (sin κ)^-mc,  h_min' = h_min / sin κ
//	rn' = rn sin κ + ra cos κ,  ra' = ra sin κ - rn cos κ
//
// and of measured coefficients the edge ones over sin κ, normal and axial
// likewise turned. Feeds per tooth stay those of the cut; chips come out as those
// of a square edge and are to be multiplied by sin κ. An error means an angle
// outside 5 to 90 degrees, or a normal force that would pull.
//
// Source: derived here, h = fz sin φ sin κ on an edge longer by 1/sin κ, the force perpendicular to it turned by 90° - κ.
func (w Work) Leaning(edgeAngle float64) (Work, error) {
	if !(edgeAngle >= leastEdgeAngle && edgeAngle <= math.Pi/2*(1+1e-12)) {
		return Work{}, fmt.Errorf("cutting edge angle must be from 5 to 90 degrees, got %g rad", edgeAngle)
	}
	sin, cos := math.Sincos(edgeAngle)
	turn := func(normal, along float64) (float64, float64) {
		return normal*sin + along*cos, along*sin - normal*cos
	}
	w.Kc11 *= math.Pow(sin, -w.Exponent)
	w.MinChip /= sin
	w.NormalRatio, w.AxialRatio = turn(w.NormalRatio, w.AxialRatio)
	k := &w.Measured
	k.NormalShear, k.AxialShear = turn(k.NormalShear, k.AxialShear)
	k.TangentialEdge /= sin
	k.NormalEdge, k.AxialEdge = turn(k.NormalEdge/sin, k.AxialEdge/sin)
	return w, w.check()
}

// chipForces are the forces of a chip per metre of edge [N/m]: tangential,
// normal to the edge, and along the edge out of the holder. The work material has been
// checked.
func (w *Work) chipForces(h float64) (tangential, normal, along float64) {
	if h <= 0 {
		return 0, 0, 0
	}
	if k := &w.Measured; k.given() {
		return k.TangentialShear*h + k.TangentialEdge, k.NormalShear*h + k.NormalEdge, k.AxialShear*h + k.AxialEdge
	}
	tangential = w.chipForce(h)
	return tangential, w.NormalRatio * tangential, w.AxialRatio * tangential
}

// raise is by how much the forces of a tooth rise when it takes a thick chip in place
// of its share: that of the three which the thick chip raises most [-].
func (w *Work) raise(share, thick float64) float64 {
	t, n, a := w.chipForces(share)
	tThick, nThick, aThick := w.chipForces(thick)
	raise := tThick / t
	for _, pair := range [2][2]float64{{n, nThick}, {a, aThick}} {
		if pair[0] > 0 {
			raise = math.Max(raise, pair[1]/pair[0])
		}
	}
	return math.Min(raise, thick/share)
}

// chipForce is the tangential force of a chip per metre of edge, kc h [N/m].
// The work material has been checked.
func (w *Work) chipForce(h float64) float64 {
	switch {
	case h <= 0:
		return 0
	case w.Measured.given():
		return w.Measured.TangentialShear*h + w.Measured.TangentialEdge
	case h >= w.MinChip:
		return w.powerForce(h)
	}
	return w.thinForce(h, w.powerForce(w.MinChip))
}

// thinForce is the tangential force of a chip thinner than MinChip, whose own force is
// the floor, per metre of edge [N/m].
func (w *Work) thinForce(h, floor float64) float64 {
	if w.Thin == EdgeForce {
		return floor * (w.Exponent + (1-w.Exponent)*h/w.MinChip)
	}
	return floor / w.MinChip * h
}

// powerForce is kc h of Kienzle's law without its floor [N/m].
func (w *Work) powerForce(h float64) float64 {
	return w.Kc11 * math.Pow(h/unitChip, -w.Exponent) * h
}

// plain reports whether the force is that of the power law, held below its
// floor.
func (w *Work) plain() bool { return !w.Measured.given() && w.Thin == HeldForce }
