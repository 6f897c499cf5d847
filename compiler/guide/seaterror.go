package guide

import "math"

// A SeatError is by how much the seats of a table's two rails are off.
type SeatError struct {
	Height   float64 // of one carriage's seat, out of the plane of the other three [m]
	Parallel float64 // of the distance between the rails, from that between the carriages [m]
	Twist    float64 // turn of one seat about its rail, against the other carriages [rad]
}

// A SeatStiffness is what an error of the seats works against. Give is that of
// the structure, table and bed together, zero for a stiff one.
type SeatStiffness struct {
	Radial     float64 // of one carriage, seat included [N/m]
	Lateral    float64 // of one carriage, seat included [N/m]
	Roll       float64 // of one carriage about its rail, zero for none [N·m/rad]
	WarpGive   float64 // rise of each corner for a force there, up and down in turn: see [WarpGive] [m/N]
	SpreadGive float64 // spreading of the rails for a side load at each front and rear carriage [m/N]
	RollGive   float64 // turn of the structure under a carriage for a roll moment on it [rad/(N·m)]
}

// A SeatLoad is what an error of the seats puts into one carriage, on top of
// its share of weight and cut.
type SeatLoad struct {
	Radial  float64 // of each carriage, up and down in turn [N]
	Lateral float64 // of each carriage, those of the two rails against each other [N]
	Roll    float64 // of the carriage whose seat is turned [N·m]
}

// Loads returns the carriage loads that an error of the seats makes on a table
// with four carriages.
//
//	radial  = (δ/4)/(1/k + cw)
//	lateral = δ'/(2/k' + cs)
//	roll    = θ/(1/kr + cr)
//
// with k, k', kr the stiffness of one carriage radially, laterally and in roll,
// cw, cs, cr the gives of the structure, δ the height error of one seat, δ' the
// error of the spread and θ the turn of one seat. All are linear: with unit
// errors it gives the load per metre. Rolling against the seat is held by the
// rest of the table, so the moment is the most that it can be.
//
// Source: derived here, see above.
//
// Of a height error at one of four corners, heave, pitch and roll of the table
// take up all but a quarter, in the pattern + - + -, and each carriage springs by
// that quarter less the warp of the table. An error of the spread is shared by
// one carriage on each rail and the structure between them, in series, in front
// and behind alike.
func (s SeatStiffness) Loads(e SeatError) (SeatLoad, error) {
	var g guard
	s.check(&g)
	g.Finite("height error", e.Height)
	g.Finite("parallelism error", e.Parallel)
	g.Finite("twist error", e.Twist)
	l := SeatLoad{
		Radial:  math.Abs(e.Height) / 4 / (1/s.Radial + s.WarpGive),
		Lateral: math.Abs(e.Parallel) / (2/s.Lateral + s.SpreadGive),
	}
	if s.Roll > 0 {
		l.Roll = math.Abs(e.Twist) / (1/s.Roll + s.RollGive)
	}
	g.Finite("radial load", l.Radial)
	g.Finite("lateral load", l.Lateral)
	g.Finite("roll moment", l.Roll)
	if g.Err != nil {
		return SeatLoad{}, g.Err
	}
	return l, nil
}

// Allowed returns the error of the seats that makes a radial and a lateral load
// of the given size [N]: how true a seat has to be for this machine.
//
//	δ = 4 F (1/k + cw),  δ' = F (2/k' + cs)   [m]
//
// Source: derived here, the inverse of [SeatStiffness.Loads].
func (s SeatStiffness) Allowed(load float64) (height, parallel float64, err error) {
	var g guard
	s.check(&g)
	g.ZeroOrMore("load allowed", load)
	if height, err = g.Answer("height error", 4*load*(1/s.Radial+s.WarpGive)); err != nil {
		return 0, 0, err
	}
	if parallel, err = g.Answer("parallelism error", load*(2/s.Lateral+s.SpreadGive)); err != nil {
		return 0, 0, err
	}
	return height, parallel, nil
}

func (s SeatStiffness) check(g *guard) {
	g.Positive("radial stiffness of a carriage", s.Radial)
	g.Positive("lateral stiffness of a carriage", s.Lateral)
	g.ZeroOrMore("roll stiffness of a carriage", s.Roll)
	g.ZeroOrMore("give of the structure in warp", s.WarpGive)
	g.ZeroOrMore("give of the structure across", s.SpreadGive)
	g.ZeroOrMore("give of the structure in roll", s.RollGive)
}

// WarpGive returns the give of a table that twists between its front and rear
// carriages, for [SeatStiffness].
//
//	cw = a²/(4 Kt)   [m/N]
//
// with a the spread of the rails [m] and Kt the torque over the twist between
// front and rear [N·m/rad].
//
// Source: derived here, corner forces F in turn up and down twist the table with F a, and corners that rise and sink by w turn front against rear by 4 w/a.
func WarpGive(spread, twistStiffness float64) (float64, error) {
	var g guard
	g.Positive("distance between the rails", spread)
	g.Positive("twist stiffness of the table", twistStiffness)
	return g.Answer("give in warp", spread*(spread/(4*twistStiffness)))
}
