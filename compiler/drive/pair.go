package drive

// A Side is one of the drives that move an axis side by side.
type Side struct {
	Offset    float64 // place across the axis, from its middle [m]
	Stiffness float64 // along the axis, motor held; one drive's Output.Stiffness [N/m]
	Error     float64 // how far it holds its side ahead: skewed homing, difference of following errors [m]
}

// A Racked is an axis on its drives under a force off its middle.
type Racked struct {
	Move   float64   // of the middle along the axis, with the force positive [m]
	Angle  float64   // racking, positive when the side of positive offset runs ahead [rad]
	Loads  []float64 // force of each drive on the axis, against the force [N]
	Moment float64   // that the guides take up against racking [N·m]
}

// Racking returns how an axis on its drives gives and racks under a force
// along it at an offset from its middle.
//
//	Σ ki (x + θ oi - ei) = F
//	Σ ki (x + θ oi - ei) oi + K θ = F o
//
// with K the stiffness of the guides against racking [N·m/rad], zero for none.
// One drive holds an axis only with guides that resist racking. Two drives that
// are driven separately stand here each with its own stiffness; for two coupled
// by a shaft see [Coupled].
//
// Source: derived here, the balance of forces and of moments of a rigid axis on springs.
func Racking(sides []Side, guides, force, offset float64) (Racked, error) {
	var g guard
	g.Demand(len(sides) > 0, "number of drives", 0, "at least one")
	g.ZeroOrMore("racking stiffness of the guides", guides)
	g.Finite("force", force)
	g.Finite("offset of the force", offset)
	along, mixed, across := 0.0, 0.0, guides
	pull, turn := force, force*offset
	for _, s := range sides {
		g.Positive("stiffness of a drive", s.Stiffness)
		g.Finite("offset of a drive", s.Offset)
		g.Finite("error of a drive", s.Error)
		along += s.Stiffness
		mixed += s.Stiffness * s.Offset
		across += s.Stiffness * s.Offset * s.Offset
		pull += s.Stiffness * s.Error
		turn += s.Stiffness * s.Error * s.Offset
	}
	// About the centre of the drives' stiffness the two equations part.
	centre := mixed / along
	held := across - mixed*centre
	g.Demand(held > 1e-12*across, "stiffness against racking", held, "above zero: two drives apart, or guides that resist")
	if g.Err != nil {
		return Racked{}, g.Err
	}
	r := Racked{Angle: (turn - pull*centre) / held, Loads: make([]float64, len(sides))}
	r.Move = pull/along - r.Angle*centre
	r.Moment = guides * r.Angle
	for i, s := range sides {
		r.Loads[i] = s.Stiffness * (r.Move + r.Angle*s.Offset - s.Error)
		g.Finite("load of a drive", r.Loads[i])
	}
	for _, v := range []float64{r.Angle, r.Move, r.Moment} {
		g.Finite("racking", v)
	}
	if g.Err != nil {
		return Racked{}, g.Err
	}
	return r, nil
}

// Coupled returns the two sides of an axis whose drives one motor turns through
// a shaft across: the near one, at the motor, and the far one, which gives by
// the shaft's twist as well. The shaft keeps them in step, so no difference of
// following errors is left; what the two were set apart stays as skew.
//
//	1/k far = 1/k + (p/2π)²/kφ,  seats at -s/2 and s/2
//
// with kφ the shaft's stiffness with its couplings [N·m/rad] and s the distance
// between the drives. The motor's own give is common to both and left to the
// servo.
//
// Source: derived here, springs in series with AxialFromTwist.
func Coupled(stiffness, shaft, lead, apart, skew float64) ([]Side, error) {
	var g guard
	g.Positive("stiffness of a drive", stiffness)
	g.Positive("distance between the drives", apart)
	g.Finite("skew", skew)
	twist, err := AxialFromTwist(shaft, lead)
	if err != nil {
		return nil, err
	}
	g.Positive("stiffness of the shaft across", twist)
	far, err := g.Answer("stiffness of the far drive", 1/(1/stiffness+1/twist))
	if err != nil {
		return nil, err
	}
	return []Side{{Offset: -apart / 2, Stiffness: stiffness}, {Offset: apart / 2, Stiffness: far, Error: skew}}, nil
}
