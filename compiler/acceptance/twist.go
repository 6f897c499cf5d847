package acceptance

// Rolls returns the turn about the travel of a bridge from rail to rail, at each place.
//
//	ρᵢ = (h₁ᵢ − h₂ᵢ)/a   [rad]
//
// with h the heights of the two rails and a the distance between them.
//
// Source: ISO 230-1; derived here.
func Rolls(one, other []float64, gauge float64) ([]float64, error) {
	var g guard
	g.Positive("distance between the rails", gauge)
	g.Demand(len(one) == len(other), "heights of the other rail", float64(len(other)), "as many as of the one")
	if g.Err != nil {
		return nil, g.Err
	}
	rolls := make([]float64, len(one))
	for i := range one {
		rolls[i] = (one[i] - other[i]) / gauge
		g.Finite("roll", rolls[i])
	}
	return rolls, g.Err
}
