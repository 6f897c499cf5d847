package guide

import "math"

// A MountingError is the errors of the mounting surfaces of a table's two rails.
type MountingError struct {
	Height   float64 // of one carriage's surface, out of the plane of the other three [m]
	Parallel float64 // of the distance between the rails, from that between the carriages [m]
	Twist    float64 // turn of one surface about its rail, against the other carriages [rad]
}

// A MountingStiffness is the stiffness that an error of the mounting surfaces works against. Compliance is that of
// the structure, table and bed together, zero for a stiff one.
type MountingStiffness struct {
	Radial           float64 // of one carriage, mounting surface included [N/m]
	Lateral          float64 // of one carriage, mounting surface included [N/m]
	Roll             float64 // of one carriage about its rail, zero for none [N·m/rad]
	WarpCompliance   float64 // rise of each corner for a force there, up and down in turn: a²/(4 Kt) of rails a apart on a table of twist stiffness Kt [m/N]
	SpreadCompliance float64 // spreading of the rails for a lateral load at each front and rear carriage [m/N]
	RollCompliance   float64 // turn of the structure under a carriage for a roll moment on it [rad/(N·m)]
}

// A MountingLoad is the load of one carriage by an error of the mounting surfaces, on top of
// its share of weight and cut.
type MountingLoad struct {
	Radial  float64 // of each carriage, up and down in turn [N]
	Lateral float64 // of each carriage, those of the two rails against each other [N]
	Roll    float64 // of the carriage whose surface is turned [N·m]
}

// Loads returns the carriage loads that an error of the mounting surfaces makes on a table
// with four carriages.
//
//	radial  = (δ/4)/(1/k + cw)
//	lateral = δ'/(2/k' + cs)
//	roll    = θ/(1/kr + cr)
//
// with k, k', kr the stiffness of one carriage radially, laterally and in roll,
// cw, cs, cr the compliances of the structure, δ the height error of one surface, δ' the
// error of the spread and θ the turn of one surface. All are linear: with unit
// errors it gives the load per metre. Rolling against the surface is held by the
// rest of the table, so the moment is the most that it can be.
//
// Source: derived here, see above.
//
// Of a height error at one of four corners, heave, pitch and roll of the table
// take up all but a quarter, in the pattern + - + -, and each carriage springs by
// that quarter less the warp of the table. An error of the spread is shared by
// one carriage on each rail and the structure between them, in series, in front
// and behind alike.
func (s MountingStiffness) Loads(e MountingError) (MountingLoad, error) {
	var g guard
	s.check(&g)
	g.Finite("height error", e.Height)
	g.Finite("parallelism error", e.Parallel)
	g.Finite("twist error", e.Twist)
	l := MountingLoad{
		Radial:  math.Abs(e.Height) / 4 / (1/s.Radial + s.WarpCompliance),
		Lateral: math.Abs(e.Parallel) / (2/s.Lateral + s.SpreadCompliance),
	}
	if s.Roll > 0 {
		l.Roll = math.Abs(e.Twist) / (1/s.Roll + s.RollCompliance)
	}
	g.Finite("radial load", l.Radial)
	g.Finite("lateral load", l.Lateral)
	g.Finite("roll moment", l.Roll)
	if g.Err != nil {
		return MountingLoad{}, g.Err
	}
	return l, nil
}

func (s MountingStiffness) check(g *guard) {
	g.Positive("radial stiffness of a carriage", s.Radial)
	g.Positive("lateral stiffness of a carriage", s.Lateral)
	g.ZeroOrMore("roll stiffness of a carriage", s.Roll)
	g.ZeroOrMore("compliance of the structure in warp", s.WarpCompliance)
	g.ZeroOrMore("compliance of the structure across", s.SpreadCompliance)
	g.ZeroOrMore("compliance of the structure in roll", s.RollCompliance)
}
