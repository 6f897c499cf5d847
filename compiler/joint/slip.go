package joint

import (
	"math"

	"ironbed/compiler/domain"
)

// A BuiltUp is two parts of a beam joined along it by a connection that slips.
type BuiltUp struct {
	EI1      float64 // bending stiffness of the first part about its own centroid [N·m²]
	EA1      float64 // axial stiffness of the first part [N]
	EI2      float64 // bending stiffness of the second part about its own centroid [N·m²]
	EA2      float64 // axial stiffness of the second part [N]
	Distance float64 // between the two centroids, perpendicular to the joint [m]
	Slip     float64 // stiffness of the connection per length, force per slip [N/m²]
	Length   float64 // between the points where the moment is zero [m]
}

// A Partial is what a connection that slips leaves of a built-up beam.
type Partial struct {
	EI    float64 // bending stiffness with the slip [N·m²]
	Loose float64 // bending stiffness of the two parts by themselves [N·m²]
	Full  float64 // bending stiffness without any slip [N·m²]
	Share float64 // share of the joint action that the connection leaves, 0 to 1 [-]
	Flow  float64 // shear flow in the connection under a unit shear force [1/m]
}

// Partial returns the bending stiffness of two parts with a connection that
// slips.
//
//	EI = EI1 + EI2 + γ EA* a²,  γ = 1/(1 + π² EA*/(k L²)),  EA* = EA1 EA2/(EA1 + EA2)
//	q/V = γ EA* a/EI
//
// It is exact for a simply supported beam under a sine-shaped load, and there the
// same as the γ method for two parts. Both parts bend alike; they don't part.
//
// Source: Newmark 1951; EN 1995-1-1, annex B; derived here: with N the force between the
// parts and w = W sin πx/L, N″ = k (N/EA* − a w″) gives N.
func (b BuiltUp) Partial() (Partial, error) {
	var g domain.Guard
	g.Positive("bending stiffness of the first part", b.EI1)
	g.Positive("axial stiffness of the first part", b.EA1)
	g.Positive("bending stiffness of the second part", b.EI2)
	g.Positive("axial stiffness of the second part", b.EA2)
	g.ZeroOrMore("distance of the centroids", b.Distance)
	g.ZeroOrMore("slip stiffness", b.Slip)
	g.Positive("length", b.Length)
	if g.Err != nil {
		return Partial{}, g.Err
	}
	axial := 1 / (1/b.EA1 + 1/b.EA2)
	joint := axial * b.Distance * b.Distance
	p := Partial{Loose: b.EI1 + b.EI2}
	p.Full = p.Loose + joint
	if b.Slip > 0 {
		p.Share = 1 / (1 + math.Pi*math.Pi*axial/(b.Slip*b.Length*b.Length))
	}
	p.EI = p.Loose + p.Share*joint
	p.Flow = p.Share * axial * b.Distance / p.EI
	if !finite(p.EI, p.Full, p.Share, p.Flow) || !(p.EI > 0) {
		return Partial{}, ErrNotFinite
	}
	return p, nil
}

// A Stitch is a row of equal fillet welds at a pitch.
type Stitch struct {
	Material Material
	Weld     float64 // length of each weld [m]
	Pitch    float64 // from middle to middle, no less than the weld [m]
	Throat   float64 // throat of the fillet [m]
	Thick1   float64 // thickness of the first part at the weld [m]
	Thick2   float64 // thickness of the second part at the weld [m]
	Rows     int     // rows of welds that act together
}

// Slip returns the stiffness of the stitches per length of the beam.
//
//	1/K = 1/(G Lw/√2) + Σ (2/(π E tᵢ)) Σ sinc²(nπ Lw/p)/n,  k = rows · K/p   [N/m²]
//
// The first term is the fillet itself: its shear over a layer as thick as its leg. The
// second is how the sheets give beside each weld, as half-planes under the part of
// the shear at their edges that changes along them; a sheet welded away from its
// edge gives half as much, which is taken as high. The fillet's root, its size and
// its faults are known to a factor of about two.
//
// Source: derived here, u = 2τ/(E k) at the edge of a half-plane under τ cos kx, τ in Fourier
// terms of the pitch; Timoshenko Goodier, art. 36 to 38, the half-plane.
func (s Stitch) Slip() (Bounds, error) {
	var g domain.Guard
	s.Material.ask(&g, "weld")
	g.Positive("pitch", s.Pitch)
	g.Positive("weld", s.Weld)
	g.Demand(s.Weld >= s.Pitch/1e4 && s.Weld <= s.Pitch, "weld", s.Weld, "a ten-thousandth of the pitch or more, and no more than the pitch")
	g.Positive("throat", s.Throat)
	g.Positive("thickness of the first part", s.Thick1)
	g.Positive("thickness of the second part", s.Thick2)
	g.Demand(s.Rows >= 1, "number of rows", float64(s.Rows), "one or more")
	if g.Err != nil {
		return Bounds{}, g.Err
	}
	sum := 0.0
	share := s.Weld / s.Pitch
	for n := 1.0; n*share < 30; n++ {
		z := math.Pi * n * share
		sum += square(math.Sin(z)/z) / n
	}
	sheets := 2 * sum / (math.Pi * s.Material.E) * (1/s.Thick1 + 1/s.Thick2)
	fillet := 1 / (s.Material.shear() / math.Sqrt2 * s.Weld)
	by := float64(s.Rows) / s.Pitch
	k := Bounds{by / (2*fillet + sheets), by / (fillet + sheets), by / (fillet/2 + sheets/2)}
	if !k.valid() || !(k.Low > 0) {
		return Bounds{}, ErrNotFinite
	}
	return k, nil
}
