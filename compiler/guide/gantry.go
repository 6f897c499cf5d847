package guide

import "math"

// A Side is one drive of a gantry.
type Side struct {
	Across    float64 // place across the travel, positive to the left [m]
	Stiffness float64 // along the travel, from what the drive shares with others to the gantry [N/m]
	Offset    float64 // by which its home or its servo is ahead of the command [m]
}

// A Gantry is a stiff crossbeam on two rails, pushed by one drive or two.
type Gantry struct {
	Drives []Side  // one or two
	Yaw    float64 // how stiffly the carriages hold it square, see [Table.Stiffness] [N·m/rad]
	Shared float64 // compliance of what two coupled drives share: motor, gearbox, servo; zero for none [m/N]
}

// A Racked is where a gantry comes to rest.
type Racked struct {
	Angle  float64    // racking, positive turns the left side back [rad]
	Travel float64    // of the middle, along the push [m]
	Forces [2]float64 // of the drives on the gantry, along the travel [N]
	Moment float64    // with which the carriages turn the gantry back [N·m]
}

// A stiffness beyond these is as good as rigid, and one below them as good as none.
const (
	leastStiffness = 1e-9
	mostStiffness  = 1e30
)

func (r Gantry) check(g *guard) {
	g.Demand(len(r.Drives) == 1 || len(r.Drives) == 2, "drives of the gantry", float64(len(r.Drives)), "one or two")
	for _, d := range r.Drives {
		g.Finite("place of the drive", d.Across)
		g.Demand(d.Stiffness >= leastStiffness && d.Stiffness <= mostStiffness, "stiffness of the drive", d.Stiffness, "above zero and finite")
		g.Finite("offset of the drive", d.Offset)
	}
	g.Demand(r.Yaw >= leastStiffness && r.Yaw <= mostStiffness, "yaw stiffness", r.Yaw, "above zero and finite")
	g.ZeroOrMore("compliance shared by the drives", r.Shared)
}

// Under returns how the gantry racks under a force along the travel [N] that
// acts at a place across [m], with its drives offset as they are.
//
// The gantry moves by x(y) = u - φ y at the place y across; drive i stands at
// xi = ei - Fi/ki - c ΣF, with e the offsets, k the stiffness of each and c the
// shared compliance. Forces and moments balance:
//
//	ΣFi + F = 0,  K φ = -Σ yi Fi - y F
//
// One drive: F1 = -F, φ = (y1 - y) F/K. Two, s = y1 - y2 apart:
//
//	F2 = -((e1 - e2) + F/k1 + s (y1 - y) F/K) / (1/k1 + 1/k2 + s²/K)
//
// The crossbeam is stiff, or its compliance is reckoned into k; carriages are free
// along the rail. The kinds of gantry:
//
//   - one drive: the carriages alone hold it square;
//   - two drives coupled by a shaft: Shared is the compliance of motor and servo, and
//     [ShaftedSide] reckons the shaft's twist into the far side;
//   - two servos: Shared is zero, k holds each servo's own stiffness;
//   - skewed homing, following errors that differ: Offset.
//
// Source: derived here, statics of a stiff beam on springs.
func (r Gantry) Under(force, across float64) (Racked, error) {
	var g guard
	r.check(&g)
	g.Finite("force on the gantry", force)
	g.Finite("place of the force", across)
	if g.Err != nil {
		return Racked{}, g.Err
	}
	var out Racked
	first := r.Drives[0]
	arm := first.Across - across
	second := 0.0
	if len(r.Drives) == 2 {
		other := r.Drives[1]
		s := first.Across - other.Across
		g.Demand(s != 0, "distance between the drives", s, "other than zero")
		second = -(first.Offset - other.Offset + force/first.Stiffness + s*(arm*(force/r.Yaw))) /
			(1/first.Stiffness + 1/other.Stiffness + s*(s/r.Yaw))
		out.Moment = arm*force + s*second
	} else {
		out.Moment = arm * force
	}
	out.Forces = [2]float64{-force - second, second}
	out.Angle = out.Moment / r.Yaw
	out.Travel = first.Offset - out.Forces[0]/first.Stiffness + r.Shared*force + out.Angle*first.Across
	for _, v := range []float64{out.Angle, out.Travel, out.Forces[0], out.Forces[1], out.Moment} {
		g.Finite("racking", v)
	}
	if g.Err != nil {
		return Racked{}, g.Err
	}
	return out, nil
}

// SideLoad returns the lateral load of each carriage that squares the gantry.
//
//	F = |M|/(2 b)   [N]
//
// for two rails of two carriages, the pitch b apart [m]: front pair and rear
// pair make the couple.
//
// Source: derived here, the moment of [Gantry.Under] as four equal lateral loads.
func (r Racked) SideLoad(pitch float64) (float64, error) {
	var g guard
	g.Finite("moment of the carriages", r.Moment)
	g.Positive("distance between the carriages", pitch)
	return g.Answer("lateral load", math.Abs(r.Moment)/pitch/2)
}

// ShaftedSide returns the stiffness of a side that is driven through a shaft.
//
//	1/k = 1/k0 + i²/Kt   [N/m]
//
// with k0 the side's own stiffness from screw or pinion to gantry [N/m], Kt the
// shaft's torque over twist [N·m/rad] and i the travel for a turn of the shaft
// by one radian [m/rad]: lead/2π for a screw, the radius for a pinion or
// pulley.
//
// Source: derived here, a force F twists the shaft by F i/Kt, which is i times that in travel.
func ShaftedSide(own, shaft, travelPerRadian float64) (float64, error) {
	var g guard
	g.Positive("stiffness of the side", own)
	g.Positive("twist stiffness of the shaft", shaft)
	g.Positive("travel for a radian", travelPerRadian)
	return g.Answer("stiffness of the side", 1/(1/own+travelPerRadian*(travelPerRadian/shaft)))
}

// FollowingDifference returns by how much one servo runs ahead of the other at
// a feed, for [Side.Offset].
//
//	e = v (1/Kv2 - 1/Kv1)   [m]
//
// with v the feed [m/s] and Kv the gain of each position loop [1/s]; positive
// where the first is ahead. Feedforward lowers it by its share.
//
// Source: derived here, the difference of two following errors v/Kv.
func FollowingDifference(feed, firstGain, secondGain float64) (float64, error) {
	var g guard
	g.Finite("feed", feed)
	g.Positive("gain of the first servo", firstGain)
	g.Positive("gain of the second servo", secondGain)
	return g.Answer("following-error difference", feed/secondGain-feed/firstGain)
}
