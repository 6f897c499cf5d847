package frame

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// Losses returns the imaginary part of the stiffness between the modes, at unit
// modal mass [1/s²],
//
//	κ″rs = φrᵀ K″ φs,  K″ = Σ ηj Kj
//
// over the stiffnesses of all parts. On its diagonal it is ω² times the loss
// factor by modal strain energy; beside that stands what one mode loses through
// another, by which modes of nearly one frequency drive each other. A rigid mode
// loses nothing.
//
// Source: Johnson and Kienholz 1982, modal strain energy; Ewins 2000, chapter 2, structural damping; derived here.
//
// A stiffness is a sum of squares, of deformations d at √k: φrᵀ K φs = Σ k dr ds, which
// over all parts is ω² on the diagonal and 0 beside it. So only what loses more or less
// than the commonest loss factor η0 has to be summed:
//
//	κ″ = η0 ω² + Σ (η − η0) k dr ds
func (ms *Modes) Losses(loss func(part int) Loss) *mat.SymDense {
	s := ms.system
	of := map[int]*Loss{}
	by := func(part int) *Loss {
		if of[part] == nil {
			l := loss(part)
			of[part] = &l
		}
		return of[part]
	}
	sum := &squares{modes: ms, common: ms.commonLoss(by)}
	sum.start()
	for i := range s.members {
		l := by(s.model.Members[i].Part)
		switch even, eta := l.even(); {
		case !even:
			sum.strains(i, &l.Members)
		case eta != sum.common:
			sum.deformations(&s.members[i], (*[6]float64)(&l.Members))
			sum.interior(i, eta)
		}
	}
	for i := range s.springs {
		sum.deformations(&s.springs[i], &by(s.model.Springs[i].Part).Springs)
	}
	return sum.whole()
}

// even tells whether members lose alike by all their stiffnesses, and what.
func (l *Loss) even() (bool, float64) {
	eta := l.Members[0]
	return l.Members == EvenLoss(eta).Members, eta
}

// commonLoss is the loss factor that most deformations have, of several the first.
func (ms *Modes) commonLoss(by func(part int) *Loss) (common float64) {
	s := ms.system
	count, most := map[float64]int{}, 0
	take := func(eta float64, deformations int) {
		if count[eta] += deformations; count[eta] > most {
			common, most = eta, count[eta]
		}
	}
	for i := range s.members {
		if even, eta := by(s.model.Members[i].Part).even(); even {
			take(eta, 6+ms.spans[i].to-ms.spans[i].from)
		}
	}
	for i := range s.springs {
		for _, eta := range by(s.model.Springs[i].Part).Springs {
			take(eta, 1)
		}
	}
	return common
}

// squaresAtOnce is how many deformations are gathered before they are summed.
const squaresAtOnce = 128

// squares sum products of the modes' deformations, times how much more each loses than is common.
type squares struct {
	modes  *Modes
	common float64           // loss factor [-]
	lists  [2]blas64.General // deformations by row and mode: of those that lose more, and less
	sum    blas64.Symmetric
}

func (q *squares) start() {
	n := len(q.modes.omega)
	q.sum = blas64.Symmetric{N: n, Stride: n, Data: make([]float64, n*n), Uplo: blas.Upper}
	for i := range q.lists {
		q.lists[i] = blas64.General{Cols: n, Stride: n, Data: make([]float64, squaresAtOnce*n)}
	}
	for mode := q.modes.rigid; mode < n; mode++ {
		q.sum.Data[mode*n+mode] = q.common * q.modes.omega[mode] * q.modes.omega[mode]
	}
}

// next is a row for the modes' deformations at √k, and the factor of each; nil for what
// loses as is common. It holds until room is made for more.
func (q *squares) next(eta float64) (row []float64, factor float64) {
	if eta == q.common {
		return nil, 0
	}
	a := &q.lists[0]
	if eta < q.common {
		a = &q.lists[1]
	}
	row = a.Data[a.Rows*a.Stride : (a.Rows+1)*a.Stride]
	a.Rows++
	return row, math.Sqrt(math.Abs(eta - q.common))
}

// room makes room for so many rows.
func (q *squares) room(rows int) {
	for i := range q.lists {
		if a := &q.lists[i]; a.Rows+rows > squaresAtOnce {
			if a.Rows > 0 {
				blas64.Syrk(blas.Trans, [2]float64{1, -1}[i], *a, 1, q.sum)
			}
			a.Rows = 0
		}
	}
}

// whole is the sum.
func (q *squares) whole() *mat.SymDense {
	q.room(squaresAtOnce + 1)
	return mat.NewSymDense(q.sum.N, q.sum.Data)
}

// deformations adds those of an element. Of two that are coupled the squares are those of
//
//	(a, c; c, b) = R Rᵀ,  R = (√a, 0; c/√a, √(b − c²/a))
func (q *squares) deformations(e *element, loss *[6]float64) {
	var root, factor [6]float64
	var beside [6]float64 // of the deformation after it
	for k, v := range e.stiff.diagonal {
		root[k] = math.Sqrt(math.Abs(v)) // a spring that relieves is negative, and its loss too
	}
	for plane, c := range e.stiff.cross {
		if a := 2 + 2*plane; c != 0 {
			beside[a] = c / root[a]
			root[a+1] = math.Sqrt(max(0, e.stiff.diagonal[a+1]-beside[a]*beside[a]))
		}
	}
	q.room(len(root))
	var rows [6][]float64
	some := false
	for k := range rows {
		if e.stiff.diagonal[k] != 0 && e.joins() {
			eta := loss[k]
			if e.stiff.diagonal[k] < 0 {
				eta = 2*q.common - eta
			}
			rows[k], factor[k] = q.next(eta)
			some = some || rows[k] != nil
		}
	}
	if !some {
		return
	}
	for mode, u := range q.modes.u {
		var d [6]float64
		if mode >= q.modes.rigid {
			d = e.deformations(u)
		}
		for k, row := range rows {
			if row != nil {
				v := root[k] * d[k]
				if beside[k] != 0 {
					v += beside[k] * d[k+1]
				}
				row[mode] = factor[k] * v
			}
		}
	}
}

// interior adds that of a member, whose stiffness is the unit matrix.
func (q *squares) interior(member int, eta float64) {
	for c := q.modes.spans[member].from; c < q.modes.spans[member].to; c++ {
		q.room(1)
		row, factor := q.next(eta)
		for mode := range row {
			row[mode] = 0
			if mode >= q.modes.rigid {
				row[mode] = factor * q.modes.inside[mode][c]
			}
		}
	}
}

// strains adds those of a member whose stiffnesses lose unlike, at the points along it that
// integrate them.
func (q *squares) strains(member int, loss *Terms) {
	ms := q.modes
	tables := &ms.strain()[member]
	coordinates := make([][4][]float64, len(ms.u))
	for mode := ms.rigid; mode < len(coordinates); mode++ {
		coordinates[mode] = ms.coordinates(mode, &ms.members()[member])
	}
	for m := range tables {
		t := &tables[m]
		of := func(table []float64, eta float64) {
			for from := 0; from < len(table); from += t.functions {
				q.room(1)
				row, factor := q.next(eta)
				for mode := range row {
					row[mode] = 0
					if mode >= ms.rigid {
						row[mode] = factor * floats.Dot(table[from:from+t.functions], coordinates[mode][m])
					}
				}
			}
		}
		of(t.strain, loss[strainTerm[m]])
		of(t.shear, loss[shearTerm[m]]) // no table where the action has none
	}
}
