package frame

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/sparse"
)

// A massive is a member with its inertia: the mass matrix over the twelve
// motions of its root nodes and the motions of its interior. Those are measured
// so that the stiffness of the interior, which nothing couples to the ends, is
// the unit matrix: with the stiffness K = L Lᵀ of an action's functions, their
// coordinates are c = L⁻ᵀ x.
type massive struct {
	member   int
	ends     [2]int
	numbers  [12]int // of the motions of the root nodes, −1 for none
	actions  [4]action
	carried  [2][6][6]float64 // local motions of each end from those of its root node
	interior int              // number of motions of the interior
	from     int              // number of the first of them
	mass     []float64        // square, of size 12 + interior
	root     [4][]float64     // by action: L, square, its lower half [√N·m]
}

// Interiors choose how far the interior of a member is resolved: the order of each of its actions.
type interiors func(member int, a *[4]action)

// upTo resolves interiors for frequencies up to ω; with ω = 0 there are none.
func upTo(omega, tolerance float64) interiors {
	return func(_ int, a *[4]action) {
		for m := range a {
			if omega > 0 {
				a[m].resolve(omega, tolerance)
			}
		}
	}
}

// inertias works out the inertia of every member, its interior resolved.
//
// It fails where the functions of an interior cannot be told apart.
//
//	M = Σ ∫ (ρA uᵀu + ρ(Iy+Iz) φᵀφ + ρA vᵀv + ρIz θzᵀθz + ρA wᵀw + ρIy θyᵀθy) dx
//
// over the functions of the four actions. Without an interior it is the
// consistent mass matrix of Timoshenko's beam.
//
// Source: Friedman and Kosmatka 1993, consistent mass matrix; Szabo and Babuska 2011, chapter 2, for the interior.
func (s *System) inertias(resolve interiors) (members []massive, ok bool) {
	list := make([]massive, len(s.beams))
	next := s.unknowns
	for i := range s.beams {
		b := &s.beams[i]
		w := &list[i]
		*w = massive{member: i, ends: s.members[i].ends, from: next}
		w.numbers = s.numbers(w.ends)
		w.actions = actions(&s.model.Members[i].Section, b.length)
		resolve(i, &w.actions)
		for m := range w.actions {
			w.interior += w.actions[m].interior()
		}
		next += w.interior
		for end, c := range b.end {
			w.carried[end] = b.carried(c.arm)
		}
		w.integrate()
		if !w.measure() {
			return nil, false
		}
		w.toRoots()
	}
	return list, true
}

// carried returns the motions in a member's local axes of a point on an arm
// from those of the node that carries it.
func (b *beam) carried(arm r3.Vec) (m [6][6]float64) {
	for k, axis := range b.axes {
		turn := r3.Cross(arm, axis)
		m[k] = [6]float64{axis.X, axis.Y, axis.Z, turn.X, turn.Y, turn.Z}
		m[3+k] = [6]float64{3: axis.X, 4: axis.Y, 5: axis.Z}
	}
	return m
}

// integrate fills in the mass, the rows of the ends in local motions, and the
// stiffness of each action's interior.
func (w *massive) integrate() {
	size := 12 + w.interior
	w.mass = make([]float64, size*size)
	var f sample
	var place [mostFunctions]int
	var sign [mostFunctions]float64
	inside := 12
	for m := range w.actions {
		st := &w.actions[m]
		ends, count := st.ends(), st.ends()+st.interior()
		for j := range count {
			if j < ends {
				place[j], sign[j] = st.endMotion(j)
			} else {
				place[j], sign[j] = inside, 1
				inside++
			}
		}
		n := count - ends
		stiff := make([]float64, n*n)
		w.root[m] = stiff
		rule := gauss[st.points()]
		for p := range rule {
			st.at(&rule[p], &f)
			weight := rule[p].weight * st.length / 2
			m0, m1 := weight*st.inertia[0], weight*st.inertia[1]
			k0, k1 := weight*st.stiff[0], weight*st.stiff[1]
			for i := range count {
				a, b := m0*sign[i]*f.first[i], m1*sign[i]*f.second[i]
				row := w.mass[place[i]*size:]
				for j := range i + 1 {
					row[place[j]] += sign[j] * (a*f.first[j] + b*f.second[j])
				}
				if i < ends {
					continue
				}
				c, d := k0*f.strain[i], k1*f.shear[i]
				row = stiff[(i-ends)*n:]
				for j := ends; j <= i; j++ {
					row[j-ends] += c*f.strain[j] + d*f.shear[j]
				}
			}
		}
	}
	for i := range size {
		for j := range i {
			w.mass[j*size+i] = w.mass[i*size+j]
		}
	}
}

// measure turns the stiffness of each action's interior into L, and the rows
// and columns of the interior into the coordinates that L gives.
func (w *massive) measure() bool {
	size := 12 + w.interior
	from := 12
	for m := range w.root {
		root := w.root[m]
		n := w.actions[m].interior()
		if !cholesky(root, n) {
			return false
		}
		for i := range n { // rows, M ← L⁻¹ M
			row := w.mass[(from+i)*size : (from+i)*size+size]
			for k := range i {
				floats.AddScaled(row, -root[i*n+k], w.mass[(from+k)*size:(from+k)*size+size])
			}
			floats.Scale(1/root[i*n+i], row)
		}
		for r := range size { // columns, M ← M L⁻ᵀ
			row := w.mass[r*size+from : r*size+from+n]
			for i := range row {
				for k, l := range root[i*n : i*n+i] {
					row[i] -= l * row[k]
				}
				row[i] /= root[i*n+i]
			}
		}
		from += n
	}
	return true
}

// cholesky replaces the lower half of a small matrix by its factor L.
//
// Source: Golub and Van Loan 2013, section 4.2.
func cholesky(a []float64, n int) bool {
	for i := range n {
		row := a[i*n : i*n+i+1]
		was := row[i]
		for j := range i {
			for k, l := range a[j*n : j*n+j] {
				row[j] -= row[k] * l
			}
			row[j] /= a[j*n+j]
			row[i] -= row[j] * row[j]
		}
		if !(row[i] > sparse.SmallestPivot*was) {
			return false
		}
		row[i] = math.Sqrt(row[i])
	}
	return true
}

// functions writes how much of each function of an action's interior there is
// in its coordinates: Lᵀ c = x.
func (w *massive) functions(action int, x []float64) {
	root, n := w.root[action], len(x)
	for i := n - 1; i >= 0; i-- {
		x[i] /= root[i*n+i]
		for k, l := range root[i*n : i*n+i] {
			x[k] -= l * x[i]
		}
	}
}

// coordinates writes how much an action's interior has in its coordinates of what there is of each of its functions: x = Lᵀ c.
func (w *massive) coordinates(action int, c []float64) {
	root, n := w.root[action], len(c)
	for i := range n {
		x := 0.0
		for k := i; k < n; k++ {
			x += root[k*n+i] * c[k]
		}
		c[i] = x
	}
}

// toRoots turns the rows and columns of the ends from local motions to those
// of the root nodes.
func (w *massive) toRoots() {
	size := 12 + w.interior
	var turned [6]float64
	for end := range 2 {
		t := &w.carried[end]
		for i := range size { // columns
			row := w.mass[i*size+6*end : i*size+6*end+6]
			turned = [6]float64{}
			for a, v := range row {
				for k := range 6 {
					turned[k] += v * t[a][k]
				}
			}
			copy(row, turned[:])
		}
	}
	for end := range 2 {
		t := &w.carried[end]
		for j := range size { // rows
			turned = [6]float64{}
			for a := range 6 {
				v := w.mass[(6*end+a)*size+j]
				for k := range 6 {
					turned[k] += v * t[a][k]
				}
			}
			for k := range 6 {
				w.mass[(6*end+k)*size+j] = turned[k]
			}
		}
	}
}

// local returns the motions of both ends in local axes from the motions of the
// root nodes.
func (w *massive) local(u [][6]float64) (ends [12]float64) {
	for end, node := range w.ends {
		if node == Ground {
			continue
		}
		for a := range 6 {
			for k, v := range u[node] {
				ends[6*end+a] += w.carried[end][a][k] * v
			}
		}
	}
	return ends
}

// A lump is a mass carried by a root node.
type lump struct {
	node   int
	part   int
	matrix [6][6]float64
}

// lumps returns the masses that can move.
//
//	M = m (1, −[a]×; [a]×, (a·a) 1 − a aᵀ) + I
//
// with the arm a from the root node to the mass centre.
//
// Source: derived here.
//
// The kinetic energy is ½ m (u̇ + θ̇ × a)² + ½ θ̇ᵀ I θ̇.
func (s *System) lumps() []lump {
	var list []lump
	for _, w := range s.model.Masses {
		c := s.carrier(w.At)
		if c.root == Ground {
			continue
		}
		l := lump{node: c.root, part: w.Part}
		// Rows of the motion of the mass centre from that of the node.
		a := c.arm
		carried := [3][6]float64{{1, 0, 0, 0, a.Z, -a.Y}, {0, 1, 0, -a.Z, 0, a.X}, {0, 0, 1, a.Y, -a.X, 0}}
		for _, row := range carried {
			for i := range 6 {
				for j := range 6 {
					l.matrix[i][j] += w.Mass * row[i] * row[j]
				}
			}
		}
		for k, inertia := range w.Inertia {
			l.matrix[3+k][3+k] += inertia
		}
		list = append(list, l)
	}
	return list
}
