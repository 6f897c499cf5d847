// Package modal turns the undamped modes of a frame into what a machine does
// under a harmonic force: what modes lose by themselves and through each other,
// the receptance at the cutter, and what kind of motion a mode is.
//
// Damping is hysteretic: a stiffness k with the loss factor η is k (1 + iη),
// the same at every frequency. The time factor is exp(+iωt), so that a lag is
// a negative imaginary part. Frequencies are in Hz, angular ones in rad/s.
package modal

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"ironbed/compiler/domain"
	"ironbed/compiler/frame"
	"ironbed/compiler/principal"
)

// A Mode is one undamped mode as seen from the coordinates of a receptance.
type Mode struct {
	Omega float64   // natural angular frequency, 0 for a rigid motion [rad/s]
	Loss  float64   // its own loss factor, by strain energy or as measured; what it loses through others is not in it [-]
	Shape []float64 // by coordinate: its motion at unit modal mass [1/√kg]
}

// A Pole is one damped mode: what the mode of the same place becomes through the
// others. Far in frequency from all others it is that mode, with its loss factor; of
// two that are near, each takes from the other.
type Pole struct {
	Omega float64      // root of the real part of its stiffness over its mass, λ = ω² (1 + iη) [rad/s]
	Loss  float64      // imaginary part of λ over the real one [-]
	Shape []complex128 // by coordinate, with ψᵀ M ψ = 1 [1/√kg]
}

// A Receptance is the matrix of motions per harmonic force between a few
// coordinates: displacements or rotations of places, or differences of them,
// each with the force or moment that does work on it.
type Receptance struct {
	size     int
	modes    []Mode
	poles    []Pole        // the modes with their losses
	coupling *mat.SymDense // of the modes by their losses [1/s²]; nil for none
	residual []complex128  // of the modes that are left out; by row
	spread   func(frequency float64) float64
}

var errShape = errors.New("modal: all modes and the compliance need the same number of coordinates, one at least")

// New returns the receptance
//
//	H(ω) = Σ φ φᵀ / (ωr² (1 + iηr) − ω²) + R
//	R = (1 − iη) (C − Σ φ φᵀ / ωr²),  η = mean of L_kk/C_kk
//
// of modes that lose nothing through each other and what the left-out ones add, taken as static: C is the static
// compliance between the coordinates [m/N] and L its lag, see
// [frame.Solution.Lag]; nil for none. Without C there is no residual, as for a
// machine that floats. The residual is right well below the first mode left
// out, and within ω²/ω² of that mode of itself.
//
// Source: Ewins 2000, chapters 2 and 4, receptance with residual terms; derived here, its loss.
//
// L less what the modes lose is no loss of the left-out ones: it also holds what two
// modes lose through each other, φi κ″ij φjᵀ/(ωi² ωj²). That dies away above them with
// the fourth power of the frequency. Kept as at rest it would damp what vibrates far
// above, or feed it.
func New(modes []Mode, compliance, lag mat.Symmetric) (*Receptance, error) {
	r := &Receptance{modes: slices.Clone(modes), poles: alone(modes)}
	switch {
	case compliance != nil:
		r.size = compliance.SymmetricDim()
	case len(modes) > 0:
		r.size = len(modes[0].Shape)
	}
	if r.size == 0 || lag != nil && (compliance == nil || lag.SymmetricDim() != r.size) {
		return nil, errShape
	}
	r.residual = make([]complex128, r.size*r.size)
	var g domain.Guard
	for i := range modes {
		m := &modes[i]
		if len(m.Shape) != r.size {
			return nil, errShape
		}
		g.ZeroOrMore("mode's frequency", m.Omega)
		for _, v := range m.Shape {
			g.Finite("mode's shape", v)
		}
		askLoss(&g, m.Loss)
	}
	if g.Err != nil {
		return nil, g.Err
	}
	if compliance == nil {
		return r, nil
	}
	eta := lossAtRest(compliance, lag)
	for i := range r.size {
		for j := range r.size {
			value := compliance.At(i, j)
			for k := range modes {
				if m := &modes[k]; m.Omega > 0 {
					value -= m.Shape[i] * m.Shape[j] / (m.Omega * m.Omega)
				}
			}
			if !finite(value, eta) {
				return nil, fmt.Errorf("modal: compliance %d, %d is not a number", i, j)
			}
			r.residual[i*r.size+j] = complex(value, -eta*value)
		}
	}
	return r, nil
}

// lossAtRest is what the coordinates lose at rest, as the mean of their loss factors.
func lossAtRest(compliance, lag mat.Symmetric) (eta float64) {
	if lag == nil {
		return 0
	}
	n := compliance.SymmetricDim()
	for i := range n {
		if c := compliance.At(i, i); c > 0 {
			eta += lag.At(i, i) / c / float64(n)
		}
	}
	return eta
}

// OfFrame returns the receptance of a frame,
//
//	H(ω) = φᵀ (Ω² + iκ″ − ω²)⁻¹ φ + R = Σ ψ ψᵀ / (λr − ω²) + R,  Ω² + iκ″ = X Λ Xᵀ,  ψ = φ X
//
// with κ″ what its modes lose, by themselves and through each other, see
// [frame.Modes.Losses], and R as [New] has it: the response by direct solution, but for
// the modes that are left out. Each load stands for a coordinate: its forces are those
// that do work on it, so that a unit force on the cutter with its opposite on the work
// makes their relative motion one. The solution is that of the same loads, in the same
// order and before any others; nil leaves the residual out. Beside what [New] says an
// error means [principal.ErrNotFound].
//
//	φ_i = Σ F_i · φ(at its point),  C_ij = Σ F_i · u_j(at its point)
//
// Source: Ewins 2000, chapters 2 and 4, with complex modes; Johnson and Kienholz 1982, for the loss factors.
func OfFrame(modes *frame.Modes, solution *frame.Solution, loss func(part int) frame.Loss, loads ...frame.Load) (*Receptance, error) {
	var g domain.Guard
	coupling := modes.Losses(func(part int) frame.Loss {
		l := loss(part)
		askLosses(&g, &l)
		return l
	})
	if g.Err != nil {
		return nil, g.Err
	}
	list := make([]Mode, modes.Count())
	for i := range list {
		list[i] = Mode{Omega: modes.Omega(i), Shape: make([]float64, len(loads))}
		if w := list[i].Omega; w > 0 {
			list[i].Loss = max(0, coupling.At(i, i)/(w*w)) // below zero by rounding alone
		}
		for k, l := range loads {
			list[i].Shape[k] = work(l, func(at frame.Point) [6]float64 { return modes.Displacement(i, at) })
		}
	}
	r, err := withResidual(list, solution, loss, loads)
	if err != nil {
		return nil, err
	}
	r.coupling = coupling
	return r, r.couple()
}

// withResidual is the receptance of modes of a frame without what they lose through each other.
func withResidual(list []Mode, solution *frame.Solution, loss func(part int) frame.Loss, loads []frame.Load) (*Receptance, error) {
	if solution == nil {
		return New(list, nil, nil)
	}
	if len(loads) == 0 || solution.Loads() < len(loads) {
		return nil, errShape
	}
	compliance := mat.NewSymDense(len(loads), nil)
	index := make([]int, len(loads))
	for j := range loads {
		index[j] = j
		for i := range j + 1 {
			compliance.SetSym(i, j, work(loads[i], func(at frame.Point) [6]float64 { return solution.Displacement(j, at) }))
		}
	}
	return New(list, compliance, solution.Lag(loss, index...))
}

// work is what the forces of a load do on a motion.
func work(l frame.Load, motion func(at frame.Point) [6]float64) (sum float64) {
	for _, f := range l.Forces {
		u := motion(f.At)
		for k, v := range f.F {
			sum += v * u[k]
		}
	}
	return sum
}

// Averaged returns the receptance averaged over a band about each frequency, by a
// distribution 1/(1 + x²) whose half width is a share of the frequency. Where modes lie is
// not known well enough to tell them apart at high frequencies; the mean of what they do is.
//
//	H̄(ω) = H(ω (1 − iβ))
//
// with the share β [-] at a frequency [Hz].
//
// Source: Skudrzyk 1980, the mean-value method; derived here.
//
// H is analytic in the lower half of the plane, where all its poles have been left above,
// so that the integral over the distribution is the value at its own pole, ω − iβω.
func (r *Receptance) Averaged(share func(frequency float64) float64) *Receptance {
	out := *r
	out.spread = share
	return &out
}

// lossless is a loss factor that is rounding [-].
const lossless = 1e-12

// Damped returns the receptance with other loss factors of some modes, by their
// place: measured ones [-]. They take the place of the modes' own; what a mode loses
// through others changes with the root of its own,
//
//	κ″rs = κ″rs √(ηr/ηr0) √(ηs/ηs0)
//
// so that a loss factor that is the computed one changes nothing, and no motion gains
// energy. A mode that lost nothing loses nothing through others. What the left-out modes
// add stays as it was. An error means a mode that there is not, a loss factor out of
// range, or [principal.ErrNotFound].
//
// Source: Ewins 2000, chapter 2, structural damping of a mode; derived here, for the coupling.
func (r *Receptance) Damped(loss map[int]float64) (*Receptance, error) {
	out := *r
	out.modes = slices.Clone(r.modes)
	var g domain.Guard
	for k, eta := range loss {
		if k < 0 || k >= len(out.modes) {
			return nil, fmt.Errorf("modal: there is no mode %d among %d", k, len(out.modes))
		}
		askLoss(&g, eta)
		out.modes[k].Loss = eta
	}
	if g.Err != nil {
		return nil, g.Err
	}
	if r.coupling == nil {
		out.poles = alone(out.modes)
		return &out, nil
	}
	n := len(out.modes)
	by := make([]float64, n)
	for k := range by {
		by[k] = 1
		if was := r.modes[k].Loss; was > lossless {
			by[k] = math.Sqrt(out.modes[k].Loss / was)
		}
	}
	out.coupling = mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i {
			out.coupling.SetSym(i, j, by[i]*by[j]*r.coupling.At(i, j))
		}
		out.coupling.SetSym(i, i, out.modes[i].Loss*out.modes[i].Omega*out.modes[i].Omega)
	}
	return &out, out.couple()
}

// alone are the poles of modes that lose nothing through each other.
func alone(modes []Mode) []Pole {
	poles := make([]Pole, len(modes))
	for k := range modes {
		m := &modes[k]
		poles[k] = Pole{Omega: m.Omega, Loss: m.Loss, Shape: make([]complex128, len(m.Shape))}
		for i, v := range m.Shape {
			poles[k].Shape[i] = complex(v, 0)
		}
	}
	return poles
}

// couple makes the poles of the modes and of what they lose.
func (r *Receptance) couple() error {
	n := len(r.modes)
	stiff := make([]complex128, n*n)
	for i := range n {
		for j := range n {
			stiff[i*n+j] = complex(0, r.coupling.At(i, j))
		}
		stiff[i*n+i] += complex(r.modes[i].Omega*r.modes[i].Omega, 0)
	}
	r.poles = alone(r.modes)
	rows := make([][]complex128, r.size)
	for c := range rows {
		rows[c] = make([]complex128, n)
		for k := range n {
			rows[c][k] = r.poles[k].Shape[c]
		}
	}
	values, err := principal.Axes(stiff, rows...)
	if err != nil {
		return err
	}
	for k, v := range values {
		p := &r.poles[k]
		if p.Omega = math.Sqrt(max(0, real(v))); p.Omega > 0 {
			p.Loss = max(0, imag(v)/real(v)) // below zero by rounding alone
		}
		for c := range rows {
			p.Shape[c] = rows[c][k]
		}
	}
	return nil
}

// Modes returns the undamped modes.
func (r *Receptance) Modes() []Mode { return slices.Clone(r.modes) }

// Poles returns the damped modes, which the receptance is the sum of.
func (r *Receptance) Poles() []Pole { return slices.Clone(r.poles) }

// AtRest returns the matrix at rest, row by row: compliance less i times its lag [m/N].
// Without a residual it holds the modes alone.
//
// Source: Ewins 2000, chapter 2.
func (r *Receptance) AtRest() []complex128 {
	h := make([]complex128, r.size*r.size)
	r.at(0, r.products(), h)
	return h
}

// products returns the products of each pole's coordinates with each other, pole by
// pole, those of the lower half row by row.
func (r *Receptance) products() []complex128 {
	list := make([]complex128, 0, len(r.poles)*r.size*(r.size+1)/2)
	for k := range r.poles {
		shape := r.poles[k].Shape
		for i, a := range shape {
			for _, b := range shape[:i+1] {
				list = append(list, a*b)
			}
		}
	}
	return list
}

// at writes the matrix at an angular frequency, from the products of the poles.
func (r *Receptance) at(omega float64, products []complex128, h []complex128) {
	n := r.size * (r.size + 1) / 2
	sums := h[:n] // of the lower half, row by row; spread over the matrix in the end
	clear(sums)
	above2, below2 := omega*omega, 0.0 // both parts of the square of the frequency
	if r.spread != nil {
		share := r.spread(omega / (2 * math.Pi))
		above2, below2 = omega*omega*(1-share*share), 2*share*omega*omega
	}
	for k := range r.poles {
		m := &r.poles[k]
		// 1 / (ωr² (1 + iη) − ω²), ω with its part for a mean over a band
		w2 := m.Omega * m.Omega
		re, im := w2-above2, w2*m.Loss+below2
		square := re*re + im*im
		gain := complex(re/square, -im/square)
		for i, p := range products[k*n : k*n+n] {
			sums[i] += p * gain
		}
	}
	for i := r.size - 1; i >= 0; i-- {
		for j := i; j >= 0; j-- {
			h[i*r.size+j] = r.residual[i*r.size+j] + sums[i*(i+1)/2+j]
		}
	}
	for i := range r.size {
		for j := range i {
			h[j*r.size+i] = h[i*r.size+j]
		}
	}
}

// Seen returns the receptance of other coordinates that follow from these,
// with a row of t for each: what a point sees that is carried by another, or
// other axes.
//
//	H′ = T H Tᵀ
//
// An error means a matrix of another width.
//
// Source: derived here.
//
// The motion of the new coordinates is T times that of the old ones, and the
// same work makes the forces on the old ones Tᵀ times those on the new.
func (r *Receptance) Seen(t mat.Matrix) (*Receptance, error) {
	rows, columns := t.Dims()
	if columns != r.size || rows == 0 {
		return nil, errShape
	}
	out := *r
	out.size, out.residual = rows, make([]complex128, rows*rows)
	out.modes, out.poles = slices.Clone(r.modes), slices.Clone(r.poles)
	for k := range out.modes {
		mode, pole := make([]float64, rows), make([]complex128, rows)
		for i := range rows {
			for j := range columns {
				mode[i] += t.At(i, j) * r.modes[k].Shape[j]
				pole[i] += complex(t.At(i, j), 0) * r.poles[k].Shape[j]
			}
		}
		out.modes[k].Shape, out.poles[k].Shape = mode, pole
	}
	for i := range rows {
		for j := range rows {
			for a := range columns {
				for b := range columns {
					out.residual[i*rows+j] += complex(t.At(i, a)*t.At(j, b), 0) * r.residual[a*r.size+b]
				}
			}
		}
	}
	return &out, nil
}
