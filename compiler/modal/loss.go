package modal

import (
	"cmp"
	"math"
	"slices"

	"ironbed/compiler/domain"
	"ironbed/compiler/frame"
)

// A Share is what one part stands for.
type Share struct {
	Part  int
	Share float64 // its share in the whole [-]
}

// LossFactor returns the loss factor of a mode by the method of modal strain
// energy,
//
//	η = Σ ηj Uj / U
//
// over the stiffnesses of all parts, with Uj/U their shares in the strain
// energy of the undamped mode, and the shares of the parts in what is lost,
// the largest first. A rigid mode loses nothing. Half of η is the damping ratio
// ζ of viscous damping with the same peak.
//
// It holds for small loss factors, up to about 0.2: the undamped shape is
// taken for the damped one. What a mode loses through others is not in it: a
// [Pole] has that. An error means a loss factor out of range.
//
// Source: Johnson and Kienholz 1982, modal strain energy.
func LossFactor(energies []frame.Energy, loss func(part int) frame.Loss) (eta float64, shares []Share, err error) {
	var g domain.Guard
	for _, e := range energies {
		l := loss(e.Part)
		lost := 0.0
		askLosses(&g, &l)
		for k := range e.Members {
			lost += l.Members[k]*e.Members[k] + l.Springs[k]*e.Springs[k]
		}
		eta += lost
		shares = append(shares, Share{e.Part, lost})
	}
	if g.Err != nil {
		return 0, nil, g.Err
	}
	for i := range shares {
		if eta > 0 {
			shares[i].Share /= eta
		}
	}
	slices.SortStableFunc(shares, func(a, b Share) int { return cmp.Compare(b.Share, a.Share) })
	return eta, shares, nil
}

// askLosses asks for loss factors that can be ones.
func askLosses(g *domain.Guard, l *frame.Loss) {
	for k := range l.Members {
		askLoss(g, l.Members[k])
		askLoss(g, l.Springs[k])
	}
}

// askLoss asks for a loss factor that can be one.
func askLoss(g *domain.Guard, eta float64) {
	g.Demand(eta >= 0 && eta < 2, "loss factor", eta, "zero or more and below 2")
}

func finite(list ...float64) bool {
	for _, v := range list {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
