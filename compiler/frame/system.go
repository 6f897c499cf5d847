package frame

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
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

	unknown   [][6]int  // by root node: the number of each free motion, -1 for none
	unknowns  int       // how many free motions there are
	bandwidth int       // half bandwidth of the stiffness matrix
	scale     []float64 // by free motion: the unit it is solved in
	factor    mat.BandCholesky
	held      bool // the stiffness matrix has been factorised
}

// Factorise prepares a model for its loads: it takes links and held motions
// out, orders the rest for a narrow band, assembles the stiffness matrix and
// factorises it by Cholesky.
//
// A model with faults gives InputErrors; one that is not held, or so slackly
// that its answers would be rounding noise, gives a *MechanismError.
//
// Source: Przemieniecki 1968, chapters 5 and 6; Golub and Van Loan 2013, section 4.3.
func (m *Model) Factorise() (*System, error) {
	s, err := m.Assemble()
	if err != nil {
		return nil, err
	}
	s.held = true
	if s.unknowns == 0 {
		return s, nil
	}
	band := s.band()
	s.assemble(band)
	s.equilibrate(band)
	// Two signs of a free motion. Rounding may let the factorisation of a
	// singular matrix pass, but then the condition number shows it. (It is
	// estimated with the norm of the factor in place of the matrix, which for
	// a matrix of unit diagonal is no more than the band's width away.)
	factorised := s.factor.Factorize(band)
	if !factorised || s.factor.Cond() > suspectCondition {
		if err := s.mechanism(band, !factorised); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// Assemble prepares a model that need not be held, for [System.Modes] alone: it
// takes links and held motions out and orders the rest for a narrow band. A
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

// number numbers the free motions and finds the half bandwidth.
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
	s.bandwidth = min(5, max(0, s.unknowns-1))
	s.elements(func(e *element) {
		numbers := s.numbers(e.ends)
		low, high := math.MaxInt, -1
		for _, g := range numbers {
			if g >= 0 {
				low, high = min(low, g), max(high, g)
			}
		}
		if high >= 0 {
			s.bandwidth = max(s.bandwidth, high-low)
		}
	})
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

// band returns an empty matrix over the free motions.
func (s *System) band() *mat.SymBandDense {
	return mat.NewSymBandDense(s.unknowns, s.bandwidth, nil)
}

// add adds a matrix over the motions of two root nodes to a band matrix.
func (s *System) add(band *mat.SymBandDense, ends [2]int, m *matrix12) {
	raw := band.RawSymBand()
	numbers := s.numbers(ends)
	for i, gi := range numbers {
		if gi < 0 {
			continue
		}
		row := raw.Data[gi*raw.Stride:]
		for j, gj := range numbers {
			if gj >= gi {
				row[gj-gi] += m[i][j]
			}
		}
	}
}

// assemble adds the stiffness of every element.
func (s *System) assemble(band *mat.SymBandDense) {
	var m matrix12
	s.elements(func(e *element) {
		e.stiffness(&m)
		s.add(band, e.ends, &m)
	})
}

const (
	suspectCondition = 1e9   // stiffness matrices worse than this are looked at closely
	noise            = 1e-13 // smaller stiffness beside larger of the same node is rounding
	noiseArm         = 1e-8  // shorter arms of a stiffness are rounding [m]
)

// equilibrate scales the matrix to a unit diagonal, so that pivots and the
// condition number compare like with like: forces and moments, steel and feet.
// A stiffness that is there by rounding alone, such as the 1e-17 that the
// cosine of a right angle leaves, is not blown up to one.
func (s *System) equilibrate(band *mat.SymBandDense) {
	raw := band.RawSymBand()
	s.scale = make([]float64, s.unknowns)
	for _, numbers := range s.unknown {
		var most [2]float64 // of the displacements, of the rotations
		for k, g := range numbers {
			if g >= 0 {
				most[k/3] = max(most[k/3], raw.Data[g*raw.Stride])
			}
		}
		most[1] = max(most[1], noiseArm*noiseArm*most[0]/noise)
		for k, g := range numbers {
			if g < 0 {
				continue
			}
			s.scale[g] = 1
			if d := max(raw.Data[g*raw.Stride], noise*most[k/3]); d > 0 {
				s.scale[g] = 1 / math.Sqrt(d)
			}
		}
	}
	for i := range s.unknowns {
		row := raw.Data[i*raw.Stride : i*raw.Stride+raw.K+1]
		for j := range min(raw.K+1, s.unknowns-i) {
			row[j] *= s.scale[i] * s.scale[i+j]
		}
	}
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
