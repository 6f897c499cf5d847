package frame

import "math"

// resolve chooses the order of the interior so that the action's own share in
// the error of a frequency up to ω stays below the tolerance.
func (st *action) resolve(omega, tolerance float64) {
	st.order, st.thick = 0, false
	if st.stiff[0] == 0 || st.inertia[0] == 0 {
		return // nothing that could vibrate
	}
	if st.motion > torsion {
		st.thick = st.rotaryError(omega) > tolerance/2 && st.phi > 0
	}
	for st.order < mostInterior && st.error(omega) > tolerance {
		st.order++
	}
}

// error estimates by how much the frequency ω of a mode comes out too high if
// the action were the whole structure. A wave of number k along the member
// has a strain that the functions fit as a polynomial of degree q − 1, and
// what that leaves is
//
//	Δω/ω = ½ [q!/(2q)!]² (kL)^2q / (2q + 1)
//
// with q = n + 1 for axial motion and torsion, where an element without an
// interior gives the well-known (kL)²/24. In bending q = n + 2 for the
// curvature, and the shear adds the same with q = n + 1, in the proportion
// k² EI/GA of its energy to that of the curvature.
//
// Source: Ainsworth 2004, the leading term of the dispersion; derived here.
//
// The Legendre coefficient of degree q of a wave of unit amplitude is
// q!/(2q)! (kL)^q, its mean square that over 2q + 1; the strain energy that
// the fit lacks is the error of ω², half of it that of ω.
func (st *action) error(omega float64) float64 {
	if st.stiff[0] == 0 || st.inertia[0] == 0 || omega == 0 {
		return 0
	}
	k := st.waveNumber(omega)
	if st.motion <= torsion {
		return misfit(st.order+1, k*st.length)
	}
	e := misfit(st.order+2, k*st.length)
	if st.phi > 0 {
		e += k * k * st.stiff[0] / st.stiff[1] * misfit(st.order+1, k*st.length)
	}
	if !st.thick {
		e += st.rotaryError(omega)
	}
	return e
}

// misfit returns ½ [q!/(2q)!]² κ^2q / (2q + 1).
func misfit(q int, kappa float64) float64 {
	e := 0.5 / float64(2*q+1)
	for i := 1; i <= q; i++ {
		// q!/(2q)! is the product of 1/(q+i).
		r := kappa / float64(q+i)
		e *= r * r
	}
	return e
}

// rotaryError estimates what the slender functions leave out: the shear that
// balances the rotary inertia.
//
//	Δω/ω = ½ (ρI)² ω² k² / (GA ρA)
//
// Source: derived here.
//
// Moment balance with rotary inertia is EI θ″ + GA γ + ρI ω² θ = 0. Leaving
// out the last term makes γ wrong by ρI ω² θ/GA, and the strain energy by
// ½ GA times the square of that, which is held against the kinetic energy
// ½ ρA ω² v² with θ = k v.
func (st *action) rotaryError(omega float64) float64 {
	if st.stiff[1] == 0 {
		return 0
	}
	k := st.waveNumber(omega)
	return 0.5 * math.Pow(st.inertia[1]*omega*k, 2) / (st.stiff[1] * st.inertia[0])
}

// waveNumber returns the number k [rad/m] of the running wave at a frequency.
//
//	k² = ω² m/EA                                          axial, and GJ likewise
//	k² = ½ [a + √(b² + 4 ω² ρA/EI)],  a, b = ω² (ρI/EI ± ρA/GA)    bending
//
// Source: Graff 1975, chapter 3, waves in a Timoshenko beam.
func (st *action) waveNumber(omega float64) float64 {
	w2 := omega * omega
	along := w2 * st.inertia[0] / st.stiff[0]
	if st.motion <= torsion {
		return math.Sqrt(along)
	}
	rotary, shear := w2*st.inertia[1]/st.stiff[0], 0.0
	if st.stiff[1] > 0 {
		shear = w2 * st.inertia[0] / st.stiff[1]
	}
	return math.Sqrt((rotary + shear + math.Sqrt((rotary-shear)*(rotary-shear)+4*along)) / 2)
}
