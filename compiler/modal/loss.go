package modal

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"ironbed/compiler/frame"
)

// A Share is what one part stands for.
type Share struct {
	Part  int
	Share float64 // its share in the whole [-]
}

// errLoss reports a loss factor that is none.
var errLoss = errors.New("modal: a loss factor must be from 0 to below 2")

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
// taken for the damped one. An error means a loss factor out of range.
//
// Source: Johnson and Kienholz 1982, modal strain energy.
func LossFactor(energies []frame.Energy, loss func(part int) frame.Loss) (eta float64, shares []Share, err error) {
	for _, e := range energies {
		l := loss(e.Part)
		lost := 0.0
		for k := range e.Members {
			if !inRange(l.Members[k]) || !inRange(l.Springs[k]) {
				return 0, nil, errLoss
			}
			lost += l.Members[k]*e.Members[k] + l.Springs[k]*e.Springs[k]
		}
		eta += lost
		shares = append(shares, Share{e.Part, lost})
	}
	for i := range shares {
		if eta > 0 {
			shares[i].Share /= eta
		}
	}
	slices.SortStableFunc(shares, func(a, b Share) int { return cmp.Compare(b.Share, a.Share) })
	return eta, shares, nil
}

func inRange(eta float64) bool { return eta >= 0 && eta < 2 }

func finite(list ...float64) bool {
	for _, v := range list {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
