package section

// A filling says what a cell of a torsion grid is made of.
type filling uint8

const (
	cellEmpty filling = iota
	cellSteel
	cellFill
)

// A torsionGrid is the upper half of a section that is symmetric about z = 0,
// cut into rectangular blocks of one material.
type torsionGrid struct {
	y, z    []float64   // lines between the blocks, z from 0 up [m]
	cutsY   []int       // cells across each column of blocks
	cutsZ   []int       // cells across each row of blocks
	content [][]filling // content[column][row]
}

// The numbers of cells that bring the result within 1 % of the finest grid's.
const (
	cellsBlock = 10 // across a block of fill
	cellsWall  = 3  // across a wall
	cellsBare  = 2  // along a bare outstand
)

// filledGrid returns the blocks of an I section with filled pockets. Fillets
// count as fill, which is on the safe side.
func (s RolledI) filledGrid(where FillPlace) torsionGrid {
	b, w, f, h := s.Width/2, s.WebThickness/2, s.Height/2-s.FlangeThickness, s.Height/2
	g := torsionGrid{
		y: []float64{-b, -w, w, b}, cutsY: []int{cellsBlock, cellsWall, cellsBlock},
		z: []float64{0, f, h}, cutsZ: []int{cellsBlock, cellsWall},
		content: [][]filling{{cellFill, cellSteel}, {cellSteel, cellSteel}, {cellFill, cellSteel}},
	}
	// A single pocket is taken as the +y one: a mirror image is as stiff.
	if where != FillBothPockets {
		g.content[0][0] = cellEmpty
		g.cutsY[0] = cellsBare
	}
	return g
}

// filledGrid returns the blocks of a channel with a filled inside.
func (s Channel) filledGrid(FillPlace) torsionGrid {
	return torsionGrid{
		y: []float64{0, s.WebThickness, s.Width}, cutsY: []int{cellsWall, cellsBlock},
		z: []float64{0, s.Height/2 - s.FlangeThickness, s.Height / 2}, cutsZ: []int{cellsBlock, cellsWall},
		content: [][]filling{{cellSteel, cellSteel}, {cellFill, cellSteel}},
	}
}

// filledTorsion returns a lower bound of the torsion stiffness of an open
// section whose pockets are filled with a bonded fill.
//
//	GJ = max over φ of 4∫φ dA - ∫ |∇φ|²/G dA,  φ = 0 on the boundary
//
// Every admissible φ gives a lower bound. Here φ is bilinear on a grid whose
// lines follow the walls, and the best such φ is found by solving the linear
// system. A flush fill turns an open section into a solid bar with a stiff
// skin: the sum of the separate torsion stiffnesses of steel and fill is 3 to
// 5 times too low. Against two-dimensional finite elements the bound is 0.7 %
// low for an IPE 200 with both pockets filled, 2.6 % with one, and 1.4 % for a
// UPE 160.
//
// Source: Timoshenko Goodier, art. 104 and 111; derived here, the grid.
func filledTorsion(g torsionGrid, steelG, fillG float64) float64 {
	modulus := [...]float64{cellSteel: steelG, cellFill: fillG}
	ys, columns := divided(g.y, g.cutsY)
	zs, rows := divided(g.z, g.cutsZ)
	// Node (i, j) stands at ys[i], zs[j]. Free ones lie off the outer boundary;
	// those on z = 0 are free by symmetry. Numbering runs along z first, which
	// keeps the band narrow.
	ny, nz := len(ys)-2, len(zs)-1
	n, band := ny*nz, nz+1
	index := func(i, j int) int { return (i-1)*nz + j }
	free := func(i, j int) bool { return i > 0 && i <= ny && j < nz }

	fixed := make([]bool, n)
	matrix := make([]float64, n*(band+1)) // upper band, row by row
	load := make([]float64, n)
	at := func(a, b int) *float64 { return &matrix[a*(band+1)+b-a] }
	for i := range columns {
		for j := range rows {
			nodes := [4][2]int{{i, j}, {i + 1, j}, {i, j + 1}, {i + 1, j + 1}}
			content := g.content[columns[i]][rows[j]]
			a, b := ys[i+1]-ys[i], zs[j+1]-zs[j]
			for p, u := range nodes {
				if !free(u[0], u[1]) {
					continue
				}
				iu := index(u[0], u[1])
				if content == cellEmpty {
					fixed[iu] = true
					continue
				}
				load[iu] += 2 * a * b / 4
				for q, v := range nodes {
					if iv := index(v[0], v[1]); free(v[0], v[1]) && iv >= iu {
						*at(iu, iv) += bilinear(p, q, a, b) / modulus[content]
					}
				}
			}
		}
	}
	// A node at an empty cell lies on the boundary: φ = 0.
	for k, isFixed := range fixed {
		if !isFixed {
			continue
		}
		load[k] = 0
		for m := max(0, k-band); m < min(n, k+band+1); m++ {
			*at(min(k, m), max(k, m)) = 0
		}
		*at(k, k) = 1
	}
	var gj float64
	for k, phi := range solveBand(matrix, append([]float64(nil), load...), band) {
		gj += 2 * load[k] * phi // GJ = 2∫φ; the load holds 2∫N and the grid one half
	}
	return gj
}

// solveBand solves a symmetric positive definite system by elimination inside
// its band. The upper band is stored row by row, the diagonal first. Both
// arguments are overwritten; the second becomes the solution.
func solveBand(matrix, x []float64, band int) []float64 {
	n, width := len(x), band+1
	for k := range n {
		row := matrix[k*width : (k+1)*width]
		for d := 1; d <= band && k+d < n; d++ {
			if row[d] == 0 {
				continue
			}
			factor := row[d] / row[0]
			below := matrix[(k+d)*width : (k+d+1)*width]
			for e, v := range row[d:] {
				below[e] -= factor * v
			}
			x[k+d] -= factor * x[k]
		}
	}
	for k := n - 1; k >= 0; k-- {
		row := matrix[k*width : (k+1)*width]
		for d := 1; d <= band && k+d < n; d++ {
			x[k] -= row[d] * x[k+d]
		}
		x[k] /= row[0]
	}
	return x
}

// bilinear returns the integral of ∇Np·∇Nq over a rectangle a by b, with the
// corners numbered along a first.
func bilinear(p, q int, a, b float64) float64 {
	sameY, sameZ := p&1 == q&1, p>>1 == q>>1
	dy, ny := -1.0, 1.0/6 // derivative product and mean product along y
	if sameY {
		dy, ny = 1, 1.0/3
	}
	dz, nz := -1.0, 1.0/6
	if sameZ {
		dz, nz = 1, 1.0/3
	}
	return dy/a*nz*b + dz/b*ny*a
}

// divided returns the grid lines with each interval cut into equal cells, and
// for each cell the number of its interval.
func divided(lines []float64, cuts []int) (at []float64, interval []int) {
	for k, n := range cuts {
		for c := range n {
			x := float64(c) / float64(n)
			at = append(at, lines[k]+(lines[k+1]-lines[k])*x)
			interval = append(interval, k)
		}
	}
	return append(at, lines[len(lines)-1]), interval
}
