package acceptance

// Reversal returns the error of a way and of the straightedge that it was read against, from readings before and after the edge was turned by
// 180° about its length, the indicator then on its other side.
//
//	w = (m₁ + m₂)/2, e = (m₁ − m₂)/2   [m]
//
// with m₁ = w + e and m₂ = w − e. What the indicator is off by at each place drops out of neither.
//
// Source: Evans Hocken Estler 1996.
func Reversal(before, after []float64) (way, edge []float64, err error) {
	var g guard
	g.Demand(len(before) == len(after), "readings after the turn", float64(len(after)), "as many as before")
	if g.Err != nil {
		return nil, nil, g.Err
	}
	for i := range before {
		g.Finite("reading", before[i])
		g.Finite("reading after the turn", after[i])
		way = append(way, (before[i]+after[i])/2)
		edge = append(edge, (before[i]-after[i])/2)
	}
	return way, edge, g.Err
}

// SquareReversal returns the angle that two axes are out of square by, and that a square is, from readings before and after the square was
// turned over.
//
//	γ = (r₁ + r₂)/2, s = (r₁ − r₂)/2   [rad]
//
// Source: Evans Hocken Estler 1996.
func SquareReversal(before, after float64) (axes, square float64, err error) {
	way, edge, err := Reversal([]float64{before}, []float64{after})
	if err != nil {
		return 0, 0, err
	}
	return way[0], edge[0], nil
}

// LevelReversal returns the tilt of a surface and the zero error of a level, from readings before and after the level was turned end for end.
//
//	θ = (r₁ − r₂)/2, z = (r₁ + r₂)/2   [rad]
//
// Source: Evans Hocken Estler 1996.
func LevelReversal(before, after float64) (tilt, zero float64, err error) {
	zero, tilt, err = SquareReversal(before, after)
	return tilt, zero, err
}
