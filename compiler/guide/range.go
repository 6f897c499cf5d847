package guide

// A Range is a value with bounds: what is usual, where nothing is measured.
type Range struct {
	Low     float64 // lower bound [unit of the quantity]
	Nominal float64 // value to compute with [unit of the quantity]
	High    float64 // upper bound [unit of the quantity]
}

func (r Range) times(factor float64) Range {
	return Range{r.Low * factor, r.Nominal * factor, r.High * factor}
}
