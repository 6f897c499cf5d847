package spindle

import (
	"cmp"
	"math"
	"slices"

	"ironbed/compiler/domain"
	"ironbed/compiler/principal"
)

// A Share is what one part stands for.
type Share struct {
	Part  int
	Share float64 // its share in the whole [-]
}

// A Mode is one mode of the chain in a housing that does not move.
type Mode struct {
	Omega         float64    // natural angular frequency without the losses, 0 for a motion as a rigid body [rad/s]
	Loss          float64    // loss factor [-]
	Tip           [2]float64 // displacement and rotation of the tip at unit modal mass
	Participation [2]float64 // inertia that it takes part with as the housing moves by 1 and turns by 1
	Shares        []Share    // shares of the parts in its strain energy, by part
}

// Modes are the modes of the chain up to a frequency, and what those above it add,
// taken as static. They stand for the chain in any housing.
//
// # How a housing that moves is coupled
//
// The housing is a rigid body as far as the bearings go. Its displacement and its
// rotation at a reference point on the axis are q. The chain's motion is the
// rigid-body motion T q and what it bends, in modes of the chain in a fixed housing
// (Craig and Bampton's fixed-interface modes, with a rigid interface):
//
//	u = T q + Σ φk pk
//
// With φk of unit modal mass the equations of motion under a force f at the tip are
//
//	(κ − ω²) p − ω² L q = φ(tip)ᵀ f,  L = φᵀ M T,  κ = φᵀ K(1 + iη) φ
//	H⁻¹ q − ω² Lᵀ p = T(tip)ᵀ f
//
// κ has ωk² (1 + iηk) on its diagonal and, where the losses sit in a few places,
// imaginary terms beside it, through which one mode drives another. They decide the
// height of a peak when modes lie close, so that κ is turned to its principal axes,
// κ = X Λ Xᵀ with XᵀX = 1, and the modes with it: below, φ stands for the complex
// φ X, L for Xᵀ L. H is the receptance of the housing with the chain's mass on it as
// a rigid body, as a frame has it that carries the spindle as a mass; see
// [Response.WithMass]. With the modes eliminated, gk = 1/(Λk − ω²):
//
//	R  = Σ gk φk(tip) φk(tip)ᵀ               the tip against the housing
//	B  = T(tip) + ω² Σ gk φk(tip) Lk         the tip as the housing moves
//	dM = ω² Σ gk Lkᵀ Lk                      mass that the modes add to the rigid one
//	u(tip) = (R + B (H⁻¹ − ω² dM)⁻¹ Bᵀ) f
//
// Each sum holds what the modes that are left out add to it at ω = 0, as a residual
// term: the sum over all modes at rest, less the modes that are there. With E picking
// the coordinates of the tip the three sums over all modes at rest are
//
//	Eᵀ K(1 + iη)⁻¹ E,  Eᵀ K(1 + iη)⁻¹ M T,  Tᵀ M K(1 + iη)⁻¹ M T
//
// Source: Craig and Bampton 1968; Ewins 2000, chapters 2 and 4, for the residual terms; Johnson and Kienholz 1982, for the loss factors.
type Modes struct {
	List []Mode
	// Mass is the mass matrix of the chain as a rigid body about the reference
	// point: its mass, first moment and moment of inertia.
	Mass [2][2]float64

	poles    []pole
	lever    float64 // from the reference point to the tip [m]
	residual [3]Matrix
	mesh     *Mesh
	found    []eigenpair
}

// The three sums over modes.
const (
	atTip   = iota // φ φᵀ
	between        // φ L
	atBase         // Lᵀ L
)

// Modes returns the modes up to the highest frequency of the mesh. The reference
// point of the housing is at a distance from the rear end [m], such as that of the
// spindle nose. Loss factors are those of the strain energies,
//
//	ηk = Σ ηj Uj / Σ Uj
//
// which holds for loss factors up to about 0.2. A chain that nothing holds has
// modes with the frequency 0, and no residual. Beside arguments out of range an error
// means modes that were not found, or [principal.ErrNotFound].
//
// Source: Craig and Bampton 1968; Johnson and Kienholz 1982, modal strain energy.
func (m *Mesh) Modes(reference float64) (*Modes, error) { return m.ModesLike(reference, nil) }

// ModesLike is [Mesh.Modes] of a chain that differs little from another, whose modes it starts from: the same modes, sooner.
func (m *Mesh) ModesLike(reference float64, like *Modes) (*Modes, error) {
	var g domain.Guard
	g.Finite("reference point", reference)
	if g.Err != nil {
		return nil, g.Err
	}
	limit := math.Pow(2*math.Pi*m.top, 2)
	found := m.near(limit, like)
	if found == nil {
		var err error
		if found, err = m.search(limit); err != nil {
			return nil, err
		}
	}
	inertia, mass := m.inertia(reference)
	out := &Modes{Mass: mass, lever: m.z[len(m.z)-1] - reference, mesh: m, found: found}
	for i := range found {
		x := found[i].x
		mode := Mode{Omega: math.Sqrt(found[i].lambda), Tip: [2]float64{x[len(x)-2], x[len(x)-1]}}
		for k := range 2 {
			mode.Participation[k] = dot(x, inertia[k][m.fixed:])
		}
		var lost, whole float64
		mode.Shares, lost, whole = m.energies(x)
		if mode.Omega > 0 {
			mode.Loss = lost / whole
		} else {
			mode.Shares = nil
		}
		g.Finite("frequency of a mode", mode.Omega)
		for k := range 2 {
			g.Finite("mode at the tip", mode.Tip[k])
			g.Finite("participation of a mode", mode.Participation[k])
		}
		out.List = append(out.List, mode)
	}
	if g.Err != nil {
		return nil, g.Err
	}
	var err error
	if out.poles, err = m.damp(found, out.List); err != nil {
		return nil, err
	}
	if m.free > 0 {
		return out, nil
	}
	out.residual = m.solved(0, &inertia)
	for s, still := range out.sums(0) {
		for i := range 2 {
			for j := range 2 {
				out.residual[s][i][j] -= still[i][j]
			}
			if err := check(out.residual[s][i][:]...); err != nil {
				return nil, err
			}
		}
	}
	return out, nil
}

// inertia returns the inertia forces M T of the chain as its housing moves, by
// coordinate, and its mass matrix as a rigid body.
func (m *Mesh) inertia(reference float64) (forces [2][]float64, mass [2][2]float64) {
	motions := m.rigid(reference)
	for i := range forces {
		forces[i] = make([]float64, len(m.mass))
		times(m.mass, motions[i], forces[i])
		for j := range i + 1 {
			mass[i][j] = dot(forces[i], motions[j])
			mass[j][i] = mass[i][j]
		}
	}
	return forces, mass
}

// solved returns the three sums over all modes, by a direct solution.
func (m *Mesh) solved(w2 float64, inertia *[2][]float64) (sum [3]Matrix) {
	system := m.dynamic(w2)
	n := len(system)
	x := make([]complex128, n)
	for c := range 2 {
		clear(x)
		x[n-2+c] = 1
		system.solve(x)
		sum[atTip][0][c], sum[atTip][1][c] = x[n-2], x[n-1]
		for i := range x {
			x[i] = complex(inertia[c][i+m.fixed], 0)
		}
		system.solve(x)
		sum[between][0][c], sum[between][1][c] = x[n-2], x[n-1]
		for r := range 2 {
			for i, v := range x {
				sum[atBase][r][c] += complex(inertia[r][i+m.fixed], 0) * v
			}
		}
	}
	return sum
}

// A pole is a mode with its losses, whose shape is complex.
type pole struct {
	square        complex128 // ω² (1 + iη) [1/s²]
	tip           [2]complex128
	participation [2]complex128
	products      [6]complex128 // of what moves the tip across with itself and with both participations, and of these with each other
}

// damp turns modes without their losses into those with them.
func (m *Mesh) damp(found []eigenpair, modes []Mode) ([]pole, error) {
	n := len(found)
	a := make([]complex128, n*n)
	var tip, participation [2][]complex128
	for c := range 2 {
		for i := range modes {
			tip[c] = append(tip[c], complex(modes[i].Tip[c], 0))
			participation[c] = append(participation[c], complex(modes[i].Participation[c], 0))
		}
	}
	for i := range found {
		a[i*n+i] = complex(found[i].lambda, 0)
	}
	strains := make([]float64, n)
	for i := range m.springs {
		s := &m.springs[i]
		loss := s.k * imag(s.damped) / real(s.damped)
		if loss == 0 {
			continue
		}
		for k := range found {
			strains[k] = m.strain(s, found[k].x)
		}
		for p := range n {
			for q := range n {
				a[p*n+q] += complex(0, loss*strains[p]*strains[q])
			}
		}
	}
	squares, err := principal.Axes(a, tip[0], tip[1], participation[0], participation[1])
	if err != nil {
		return nil, err
	}
	poles := make([]pole, n)
	for i := range poles {
		poles[i].square = squares[i]
		for c := range 2 {
			poles[i].tip[c], poles[i].participation[c] = tip[c][i], participation[c][i]
		}
		t, l := poles[i].tip[0], poles[i].participation
		poles[i].products = [6]complex128{t * t, t * l[0], t * l[1], l[0] * l[0], l[0] * l[1], l[1] * l[1]}
	}
	return poles, nil
}

// sums returns the three sums over the modes that are there.
func (ms *Modes) sums(w2 float64) (sum [3]Matrix) {
	for k := range ms.poles {
		p := &ms.poles[k]
		g := 1 / (p.square - complex(w2, 0))
		for i := range 2 {
			for j := range 2 {
				sum[atTip][i][j] += p.tip[i] * p.tip[j] * g
				sum[between][i][j] += p.tip[i] * p.participation[j] * g
				sum[atBase][i][j] += p.participation[i] * p.participation[j] * g
			}
		}
	}
	return sum
}

// energies returns the shares of the parts in the strain energy of a motion, by
// part, and twice the energy: what is lost of it and the whole.
func (m *Mesh) energies(x []float64) (shares []Share, lost, whole float64) {
	for i := range m.springs {
		s := &m.springs[i]
		d := m.strain(s, x)
		u := s.k * d * d
		whole += u
		lost += u * imag(s.damped) / real(s.damped)
		tally(&shares, s.part, u)
	}
	for i := range shares {
		if whole > 0 {
			shares[i].Share /= whole
		}
	}
	return shares, lost, whole
}

// tally adds to the share of a part, in a list that rises by part.
func tally(shares *[]Share, part int, amount float64) {
	at, ok := slices.BinarySearchFunc(*shares, part, func(a Share, part int) int { return cmp.Compare(a.Part, part) })
	if !ok {
		*shares = slices.Insert(*shares, at, Share{Part: part})
	}
	(*shares)[at].Share += amount
}
