package frame

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/sparse"
)

// A System is a frame ready to be loaded. It does not change any more and may
// be used by several goroutines at once.
type System struct {
	model    Model
	carriers []carrier // by node
	beams    []beam    // by member
	members  []element // by member
	springs  []element // by spring

	unknown  [][6]int        // by root node: the number of each free motion, -1 for none
	unknowns int             // how many free motions there are
	first    []int           // by free motion: the first one that it is coupled to
	scale    []float64       // by free motion: the unit it is solved in
	factor   *sparse.Profile // of the stiffness matrix in those units
	held     bool            // the stiffness matrix has been factorised
}

// Factorise prepares a model for its loads: it takes links and held motions
// out, orders the rest for a narrow profile, assembles the stiffness matrix and
// factorises it as L D Lᵀ.
//
// A model with faults gives InputErrors; one that is not held, or so slackly
// that its answers would be rounding noise, gives a *MechanismError.
//
// Source: Przemieniecki 1968, chapters 5 and 6; George and Liu 1981, chapter 4.
func (m *Model) Factorise() (*System, error) {
	s, err := m.Assemble()
	if err != nil {
		return nil, err
	}
	s.held = true
	if s.unknowns == 0 {
		return s, nil
	}
	s.factor = s.scaledStiffness()
	negative, ok := s.factor.Factorise()
	// Two signs of a free motion. Rounding may let the factorisation of a
	// singular matrix pass, but then its solutions are huge.
	if failed := !ok || negative > 0; failed || s.softness() > suspectSoftness {
		if err := s.mechanism(failed); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// Assemble prepares a model that need not be held, for [System.Modes] alone: it
// takes links and held motions out and orders the rest for a narrow profile. A
// model with faults gives InputErrors.
//
// Source: Przemieniecki 1968, chapter 5.
func (m *Model) Assemble() (*System, error) {
	found := m.faults()
	if len(found) > 0 {
		return nil, found
	}
	s := &System{model: Model{
		Nodes:   slices.Clone(m.Nodes),
		Links:   slices.Clone(m.Links),
		Members: slices.Clone(m.Members),
		Springs: slices.Clone(m.Springs),
		Masses:  slices.Clone(m.Masses),
	}}
	if s.carriers, found = m.carriers(); len(found) > 0 {
		return nil, found
	}
	if found = s.build(); len(found) > 0 {
		return nil, found
	}
	s.number()
	return s, nil
}

// build makes the elements.
func (s *System) build() InputErrors {
	var found InputErrors
	s.beams = make([]beam, len(s.model.Members))
	s.members = make([]element, len(s.model.Members))
	s.springs = make([]element, len(s.model.Springs))
	for i, m := range s.model.Members {
		b, fault := s.beam(m)
		if fault != "" {
			found = append(found, &InputError{KindMember, i, fault})
			continue
		}
		s.beams[i] = b
		s.members[i] = b.element(m)
	}
	for i, sp := range s.model.Springs {
		s.springs[i] = s.spring(sp)
	}
	return found
}

// elements calls do with every element that can deform.
func (s *System) elements(do func(e *element)) {
	for _, list := range [][]element{s.members, s.springs} {
		for i := range list {
			if list[i].joins() {
				do(&list[i])
			}
		}
	}
}

// number numbers the free motions and finds which are coupled.
func (s *System) number() {
	roots := make([]int, 0, len(s.model.Nodes)) // root nodes with something free
	place := make([]int, len(s.model.Nodes))    // their place in roots, -1 for others
	s.unknown = make([][6]int, len(s.model.Nodes))
	allHeld := [6]bool{true, true, true, true, true, true}
	for i, n := range s.model.Nodes {
		place[i] = -1
		s.unknown[i] = [6]int{-1, -1, -1, -1, -1, -1}
		if s.carriers[i].root == i && n.Held != allHeld {
			place[i] = len(roots)
			roots = append(roots, i)
		}
	}
	neighbours := make([][]int, len(roots))
	join := func(a, b int) {
		if !slices.Contains(neighbours[a], b) {
			neighbours[a] = append(neighbours[a], b)
		}
	}
	s.elements(func(e *element) {
		if e.ends[0] == Ground || e.ends[1] == Ground {
			return
		}
		if a, b := place[e.ends[0]], place[e.ends[1]]; a >= 0 && b >= 0 {
			join(a, b)
			join(b, a)
		}
	})
	for _, at := range sparse.Order(neighbours) {
		for k := range 6 {
			if !s.model.Nodes[roots[at]].Held[k] {
				s.unknown[roots[at]][k] = s.unknowns
				s.unknowns++
			}
		}
	}
	s.first = make([]int, s.unknowns)
	for i := range s.first {
		s.first[i] = i
	}
	for i := range s.unknown {
		s.couple(s.unknown[i][:])
	}
	s.elements(func(e *element) {
		numbers := s.numbers(e.ends)
		s.couple(numbers[:])
	})
}

// couple notes that free motions are coupled, -1 standing for a held one.
func (s *System) couple(numbers []int) {
	low := math.MaxInt
	for _, g := range numbers {
		if g >= 0 {
			low = min(low, g)
		}
	}
	for _, g := range numbers {
		if g >= 0 {
			s.first[g] = min(s.first[g], low)
		}
	}
}

// numbers returns the numbers of the twelve motions of two root nodes.
func (s *System) numbers(ends [2]int) (n [12]int) {
	for end, node := range ends {
		for k := range 6 {
			n[6*end+k] = -1
			if node != Ground {
				n[6*end+k] = s.unknown[node][k]
			}
		}
	}
	return n
}

// stiffness returns the stiffness matrix over the free motions.
func (s *System) stiffness() *sparse.Profile {
	matrix := sparse.Empty(s.first)
	var m matrix12
	s.elements(func(e *element) {
		e.stiffness(&m)
		numbers := s.numbers(e.ends)
		matrix.Add(numbers[:], func(i, j int) float64 { return m[i][j] })
	})
	return matrix
}

const (
	suspectSoftness = 1e7   // frames softer than this are looked at closely
	noise           = 1e-13 // smaller stiffness beside larger of the same node is rounding
	noiseArm        = 1e-8  // shorter arms of a stiffness are rounding [m]
)

// softness returns how much longer than a right-hand side its solution is, in
// scaled unknowns, for a random one. It is at most the inverse of the least
// eigenvalue, and with n unknowns seldom below a hundredth of that over √n: a
// frame that counts as free, below 1e-12, shows at the first look.
func (s *System) softness() float64 {
	random := rand.New(rand.NewPCG(1, 2))
	x := make([]float64, s.unknowns)
	for g := range x {
		x[g] = random.NormFloat64()
	}
	before := floats.Norm(x, 2)
	s.factor.Solve(x)
	return floats.Norm(x, 2) / before
}

// scaledStiffness returns the stiffness matrix scaled to a unit diagonal, so
// that pivots and eigenvalues compare like with like: forces and moments, steel
// and feet. A stiffness that is there by rounding alone, such as the 1e-17 that
// the cosine of a right angle leaves, is not blown up to one.
func (s *System) scaledStiffness() *sparse.Profile {
	matrix := s.stiffness()
	diagonal := matrix.Diagonal()
	s.scale = make([]float64, s.unknowns)
	for _, numbers := range s.unknown {
		var most [2]float64 // of the displacements, of the rotations
		for k, g := range numbers {
			if g >= 0 {
				most[k/3] = max(most[k/3], diagonal[g])
			}
		}
		most[1] = max(most[1], noiseArm*noiseArm*most[0]/noise)
		for k, g := range numbers {
			if g < 0 {
				continue
			}
			s.scale[g] = 1
			if d := max(diagonal[g], noise*most[k/3]); d > 0 {
				s.scale[g] = 1 / math.Sqrt(d)
			}
		}
	}
	matrix.Scale(s.scale)
	return matrix
}

// rootForces carries forces at points to the root nodes.
func (s *System) rootForces(forces []Force, sum [][6]float64) {
	for _, f := range forces {
		if c := s.carrier(f.At); c.root != Ground {
			addForce(&sum[c.root], f.F, c.arm)
		}
	}
}

// fieldForces carries a load's fields to the root nodes.
func (s *System) fieldForces(l Load, sum [][6]float64) {
	if len(l.Fields) == 0 {
		return
	}
	for i := range s.beams {
		f := s.beams[i].spread(&s.model.Members[i].Section, s.perLength(l, i))
		for end, c := range s.beams[i].end {
			if c.root != Ground {
				addForce(&sum[c.root], s.beams[i].global(f[end]), c.arm)
			}
		}
	}
	for _, w := range s.model.Masses {
		c := s.carrier(w.At)
		if c.root == Ground {
			continue
		}
		f := r3.Scale(w.Mass, l.acceleration(w.Part))
		addForce(&sum[c.root], [6]float64{f.X, f.Y, f.Z}, c.arm)
	}
}

// perLength returns the force per length in local axes that a load's fields
// put on a member.
func (s *System) perLength(l Load, member int) [3]float64 {
	m := &s.model.Members[member]
	a := l.acceleration(m.Part)
	return components(r3.Scale(m.Section.MassPerLength, a), s.beams[member].axes)
}

// acceleration sums the fields that act on a part.
func (l Load) acceleration(part int) r3.Vec {
	var sum r3.Vec
	for _, f := range l.Fields {
		if f.acts(part) {
			sum = r3.Add(sum, f.Acceleration)
		}
	}
	return sum
}
