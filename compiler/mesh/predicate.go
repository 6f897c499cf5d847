package mesh

import "math/big"

// The signs of two determinants decide everything. They are computed in floating
// point with a bound of the error, and exactly where that leaves them open.
//
// Source: Shewchuk 1997, for the bounds.

const (
	orientBound = 4e-16
	circleBound = 2e-15
)

// orient is positive where a, b, c turn counter-clockwise.
func orient(a, b, c Point) float64 {
	left, right := (b.Y-a.Y)*(c.Z-a.Z), (b.Z-a.Z)*(c.Y-a.Y)
	d := left - right
	sum := left
	if sum < 0 {
		sum = -sum
	}
	if right < 0 {
		sum -= right
	} else {
		sum += right
	}
	if d > orientBound*sum || -d > orientBound*sum {
		return d
	}
	ay, az := exact(a)
	by, bz := exact(b)
	cy, cz := exact(c)
	l := mul(diff(by, ay), diff(cz, az))
	r := mul(diff(bz, az), diff(cy, ay))
	return sign(diff(l, r))
}

// inCircle is positive where d lies inside the circle through a, b, c, which turn
// counter-clockwise.
func inCircle(a, b, c, d Point) float64 {
	ay, az, by, bz, cy, cz := a.Y-d.Y, a.Z-d.Z, b.Y-d.Y, b.Z-d.Z, c.Y-d.Y, c.Z-d.Z
	a2, b2, c2 := ay*ay+az*az, by*by+bz*bz, cy*cy+cz*cz
	bc, ca, ab := by*cz-bz*cy, cy*az-cz*ay, ay*bz-az*by
	det := a2*bc + b2*ca + c2*ab
	size := a2*(abs(by*cz)+abs(bz*cy)) + b2*(abs(cy*az)+abs(cz*ay)) + c2*(abs(ay*bz)+abs(az*by))
	if det > circleBound*size || -det > circleBound*size {
		return det
	}
	dy, dz := exact(d)
	row := func(p Point) (y, z, square *big.Float) {
		y, z = exact(p)
		y, z = diff(y, dy), diff(z, dz)
		return y, z, sum(mul(y, y), mul(z, z))
	}
	py, pz, p2 := row(a)
	qy, qz, q2 := row(b)
	ry, rz, r2 := row(c)
	t := sum(mul(p2, diff(mul(qy, rz), mul(qz, ry))), mul(q2, diff(mul(ry, pz), mul(rz, py))))
	return sign(sum(t, mul(r2, diff(mul(py, qz), mul(pz, qy)))))
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// precise is enough for the products of four differences of coordinates near 1.
const precise = 600

func exact(p Point) (y, z *big.Float) {
	return new(big.Float).SetPrec(precise).SetFloat64(p.Y), new(big.Float).SetPrec(precise).SetFloat64(p.Z)
}
func diff(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(precise).Sub(a, b) }
func sum(a, b *big.Float) *big.Float  { return new(big.Float).SetPrec(precise).Add(a, b) }
func mul(a, b *big.Float) *big.Float  { return new(big.Float).SetPrec(precise).Mul(a, b) }
func sign(v *big.Float) float64       { return float64(v.Sign()) }
