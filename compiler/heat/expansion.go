package heat

// A Material is one whose coefficient of expansion is known within bounds. Zero is
// none.
type Material int

// The materials.
const (
	Steel Material = iota + 1
	GreyIron
	AluminiumWrought
	Concrete
	MineralCasting
	NickelIron
)

// Expansion returns the coefficient of expansion of a material [1/K] with its usual
// bounds. Concrete goes with its stone, mineral casting with its resin.
//
// Source: EN 1992-1-1, 3.1.3, concrete; from memory, the others, of handbooks and suppliers.
func Expansion(m Material) (Range, error) {
	var g guard
	r, ok := map[Material]Range{
		Steel:            {Low: 10.5e-6, Nominal: 11.7e-6, High: 12.5e-6},
		GreyIron:         {Low: 10e-6, Nominal: 10.5e-6, High: 11.5e-6},
		AluminiumWrought: {Low: 22.5e-6, Nominal: 23.4e-6, High: 24.2e-6},
		Concrete:         {Low: 7e-6, Nominal: 10e-6, High: 13e-6},
		MineralCasting:   {Low: 10e-6, Nominal: 14e-6, High: 18e-6},
		NickelIron:       {Low: 0.6e-6, Nominal: 1.3e-6, High: 2e-6},
	}[m]
	g.Demand(ok, "material", float64(m), "one of the six materials")
	if g.Err != nil {
		return Range{}, g.Err
	}
	return r, nil
}
