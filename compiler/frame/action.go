package frame

import "math"

// A motion is one of the four ways in which a straight member moves.
type motion int

const (
	axial    motion = iota
	torsion         // twist about x
	bendingY        // deflection along y, rotation about z
	bendingZ        // deflection along z, rotation about −y
)

// mostInterior is the largest order to which a member's interior is resolved:
// enough for six half waves along it.
const mostInterior = 12

// mostFunctions is the largest number of functions of an action: four of its
// ends, and those of its interior.
const mostFunctions = 4 + 2*mostInterior + 3

// An action is one motion of a member: how its two fields along x follow from
// the motions of its ends and from those of its interior. The fields are u
// alone, or the twist alone, or deflection v and rotation θ. The functions
// that belong to the ends are the member's static shapes, those of the
// interior vanish at both ends; between the two kinds there is no stiffness,
// because a static shape takes no force but at its ends.
//
// The interior is resolved to an order n:
//
//	axial, torsion    u = Nk,  k = 2 … n+1
//	bending           θ = Nk + c N2,  k = 3 … n+2,  with v from EI θ″ + GA (v′ − θ) = 0
//	thick bending     v = Nk,  k = 2 … n+3;  θ = Nk,  k = 2 … n+2
//
// The bending functions are the deflections of the clamped member under loads
// that are polynomials along it: what its inertia needs. Thick members at high
// frequencies also need what the rotary inertia does to the shear.
type action struct {
	motion  motion
	length  float64
	stiff   [2]float64 // EA, GJ or EI; GA
	inertia [2]float64 // per length, against the first and the second field
	phi     float64    // Φ of the stiffness, 0 without shear deformation
	bar     bool       // a member without this bending stiffness: it stays straight
	order   int        // of the interior
	thick   bool
}

// actions returns the four motions of a member.
func actions(s *Section, length float64) [4]action {
	bend := func(m motion, ei, ga, rotary float64) action {
		return action{
			motion: m, length: length,
			stiff: [2]float64{ei, ga}, inertia: [2]float64{s.MassPerLength, rotary},
			phi: shearParameter(ei, ga, length), bar: ei == 0,
		}
	}
	return [4]action{
		{motion: axial, length: length, stiff: [2]float64{s.EA}, inertia: [2]float64{s.MassPerLength}},
		{motion: torsion, length: length, stiff: [2]float64{s.GJ}, inertia: [2]float64{s.RotaryY + s.RotaryZ}},
		bend(bendingY, s.EIz, s.GAy, s.RotaryZ),
		bend(bendingZ, s.EIy, s.GAz, s.RotaryY),
	}
}

// ends returns how many functions belong to the ends.
func (st *action) ends() int {
	if st.motion <= torsion {
		return 2
	}
	return 4
}

// interior returns how many functions belong to the interior.
func (st *action) interior() int {
	if st.thick {
		return 2*st.order + 3
	}
	return st.order
}

// endMotion returns which of the member's twelve local end motions a function
// of the ends stands for, and with which sign: θ is −θy in bending along z.
func (st *action) endMotion(function int) (number int, sign float64) {
	end, second := function, 0
	if st.motion > torsion {
		end, second = function/2, function%2
	}
	number = 6*end + [4][2]int{{0}, {3}, {1, 5}, {2, 4}}[st.motion][second]
	if number%6 == 4 {
		return number, -1
	}
	return number, 1
}

// A sample holds an action's functions at one place.
type sample struct {
	first, second [mostFunctions]float64 // u or the twist or v; θ
	strain, shear [mostFunctions]float64 // slope of u, of the twist or of θ; v′ − θ
}

// at fills in the functions at a place.
func (st *action) at(p *polynomials, f *sample) {
	xi, l := (1+p.s)/2, st.length
	if st.motion <= torsion {
		f.first[0], f.first[1] = 1-xi, xi
		f.strain[0], f.strain[1] = -1/l, 1/l
		for j := range st.order {
			f.first[2+j] = p.value[2+j]
			f.strain[2+j] = p.slope[2+j] * 2 / l
		}
		return
	}
	st.static(xi, f)
	if st.thick {
		st.independent(p, f)
	} else {
		st.loaded(p, f)
	}
}

// static fills in the four static shapes of bending, see [Solution.Shape]; a
// bar without bending stiffness stays straight.
func (st *action) static(xi float64, f *sample) {
	l, phi := st.length, st.phi
	if st.bar {
		f.first = [mostFunctions]float64{1 - xi, 0, xi, 0}
		f.second = [mostFunctions]float64{-1 / l, 0, 1 / l, 0}
		f.strain, f.shear = [mostFunctions]float64{}, [mostFunctions]float64{}
		return
	}
	b := bend{ei: st.stiff[0], ga: st.stiff[1], length: l}
	for j := range 4 {
		var unit [4]float64
		unit[j] = 1
		f.first[j], f.second[j] = b.at(xi, unit[0], unit[1], unit[2], unit[3])
	}
	c := 1 / (l * (1 + phi))
	turn, bow := 6*(1-2*xi)*c/l, phi/(1+phi)
	f.strain[0], f.strain[2] = -turn, turn
	f.strain[1], f.strain[3] = (6*xi-4-phi)*c, (6*xi-2+phi)*c
	f.shear[0], f.shear[2] = -bow/l, bow/l
	f.shear[1], f.shear[3] = -bow/2, -bow/2
}

// loaded fills in the functions of the interior of a slender member. From
// moment balance v′ = θ − (EI/GA) θ″, and so with s = 2x/L − 1
//
//	v = (L/2) [∫θ ds − (Φ/3) dθ/ds + constant]
//
// which vanishes at both ends by the choice of the constant and of c.
func (st *action) loaded(p *polynomials, f *sample) {
	half := st.length / 2
	deflection := func(k int) float64 { // less its value at s = −1
		return half * (p.area[k] - st.phi/3*(p.slope[k]-endSlope(k, -1)))
	}
	// What a single Nk leaves at s = +1; the odd ones leave nothing.
	left := func(k int) float64 {
		area := 0.0
		if k == 2 {
			area = -2 / math.Sqrt(6)
		}
		return area - st.phi/3*(endSlope(k, 1)-endSlope(k, -1))
	}
	for j := range st.order {
		k, c := j+3, 0.0
		if k%2 == 0 {
			c = -left(k) / left(2)
		}
		f.first[4+j] = deflection(k) + c*deflection(2)
		f.second[4+j] = p.value[k] + c*p.value[2]
		f.strain[4+j] = (p.slope[k] + c*p.slope[2]) / half
		f.shear[4+j] = 0
		if st.phi > 0 {
			// v′ − θ = −(Φ/3) d²θ/ds²
			f.shear[4+j] = -st.phi / 3 * (p.curve(k) + c*p.curve(2))
		}
	}
}

// endSlope returns dNk/ds at an end, s = ±1.
func endSlope(k int, s float64) float64 {
	slope := math.Sqrt(float64(2*k-1) / 2)
	if s < 0 && k%2 == 0 {
		return -slope
	}
	return slope
}

// curve returns d²Nk/ds² = √((2k−1)/2) P′k−1, from P′n = (2n−1) Pn−1 + P′n−2.
func (p *polynomials) curve(k int) float64 {
	sum := 0.0
	for n := k - 1; n >= 1; n -= 2 {
		legendre := 1.0 // P0
		if n > 1 {
			legendre = p.slope[n] / math.Sqrt(float64(2*n-1)/2)
		}
		sum += float64(2*n-1) * legendre
	}
	return math.Sqrt(float64(2*k-1)/2) * sum
}

// independent fills in the functions of the interior of a thick member.
func (st *action) independent(p *polynomials, f *sample) {
	half := st.length / 2
	at := 4
	for k := 2; k <= st.order+3; k++ {
		f.first[at], f.second[at] = half*p.value[k], 0
		f.strain[at], f.shear[at] = 0, p.slope[k]
		at++
	}
	for k := 2; k <= st.order+2; k++ {
		f.first[at], f.second[at] = 0, p.value[k]
		f.strain[at], f.shear[at] = p.slope[k]/half, -p.value[k]
		at++
	}
}

// points returns how many points of Gauss's quadrature integrate the products
// of the functions exactly.
func (st *action) points() int {
	if st.motion <= torsion {
		return st.order + 2
	}
	return st.order + 4
}
