package machine

import (
	"fmt"
	"math"
)

// A BoltUse is the share used of the capacity of a bolted joint, by its most heavily
// loaded bolt [-].
type BoltUse struct {
	Opening  float64 // of the load that opens the face
	Slipping float64 // of the load that makes the face slip
	Proof    float64 // of the proof load
}

// Or is what two loads use at the most.
func (u BoltUse) Or(o BoltUse) BoltUse {
	return BoltUse{Opening: max(u.Opening, o.Opening), Slipping: max(u.Slipping, o.Slipping), Proof: max(u.Proof, o.Proof)}
}

// BoltsUnder checks a bolted joint under gravity and a cut that pushes from any side,
// in a solved pose. The cut's largest forces at the spindle nose are along the machine's
// directions [N], its largest moments about them [N·m].
func (h *Hinge) BoltsUnder(s *Solved, cut [6]float64) (BoltUse, error) {
	loaded := *h.Bolts
	var force [6]float64
	for k, v := range s.Solution.SpringForce(GravityCase, h.Fixed) {
		force[k] = math.Abs(v)
	}
	for way := range cut {
		for k, v := range s.Solution.SpringForce(way, h.Fixed) {
			force[k] += math.Abs(v) * cut[way]
		}
	}
	loaded.ShearX, loaded.ShearY, loaded.Tension = force[0], force[1], force[2]
	loaded.MomentX, loaded.MomentY, loaded.MomentZ = force[3], force[4], force[5]
	b, err := loaded.Bolting()
	if err != nil {
		return BoltUse{}, &Refused{Rule: "joint", At: h.Place, Message: fmt.Sprintf("%s under the loads of the cuts: %v", h.Name, err)}
	}
	return BoltUse{Opening: b.Opening, Slipping: b.Slipping, Proof: b.ProofUsed}, nil
}
