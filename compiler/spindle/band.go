package spindle

// width is the number of diagonals of a chain's matrices from the main one down:
// an element couples two neighbouring places with two coordinates each.
const width = 4

// A number is what a system may be solved in.
type number interface{ float64 | complex128 }

// A band is a symmetric matrix with few diagonals: row i holds the entries
// (i, i), (i, i−1), and so on.
type band[T number] [][width]T

// add adds k v vᵀ at a row and those below it.
func (b band[T]) add(from int, v *[width]float64, k T) {
	for p, x := range v {
		for q, y := range v[:p+1] {
			if x != 0 && y != 0 {
				b[from+p][p-q] += k * toNumber[T](x*y)
			}
		}
	}
}

// toNumber turns a real number into one of the system.
func toNumber[T number](x float64) T {
	var out T
	switch p := any(&out).(type) {
	case *float64:
		*p = x
	case *complex128:
		*p = complex(x, 0)
	}
	return out
}

// factor writes L D Lᵀ over the matrix: D on the diagonal, L below it.
func (b band[T]) factor() {
	for i := range b {
		row := &b[i]
		reach := min(i, width-1)
		for k := reach; k > 0; k-- {
			j := i - k
			sum := row[k]
			for m := k + 1; m <= reach && m-k < width; m++ {
				sum -= row[m] * b[j][m-k]
			}
			row[k] = sum // L D so far
		}
		for k := 1; k <= reach; k++ {
			scaled := row[k] / b[i-k][0]
			row[0] -= row[k] * scaled
			row[k] = scaled
		}
	}
}

// solve writes the solution over the right-hand side of a factored system.
func (b band[T]) solve(x []T) {
	for i := range b {
		for k := 1; k <= min(i, width-1); k++ {
			x[i] -= b[i][k] * x[i-k]
		}
	}
	for i := range b {
		x[i] /= b[i][0]
	}
	for i := len(b) - 1; i >= 0; i-- {
		for k := 1; k <= min(i, width-1); k++ {
			x[i-k] -= b[i][k] * x[i]
		}
	}
}

// times returns the product with a vector.
func times(b band[float64], x, out []float64) {
	clear(out)
	for i := range b {
		out[i] += b[i][0] * x[i]
		for k := 1; k <= min(i, width-1); k++ {
			out[i] += b[i][k] * x[i-k]
			out[i-k] += b[i][k] * x[i]
		}
	}
}

func dot(a, b []float64) (sum float64) {
	for i, x := range a {
		sum += x * b[i]
	}
	return sum
}
