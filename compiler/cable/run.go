package cable

// A Stretch is one piece of a cable's way: to a bracket, through a chain, on to
// the next.
type Stretch struct {
	Fixed float64 // along the frame, up to the chain [m]
	Chain float64 // through the chain, zero where there is none [m]
}

// RunLength returns how long a cable is from the cabinet to what it feeds.
//
//	L = (Σ (fixed + chain) + 20 d per end of a chain)(1 + spare)   [m]
//
// with the stretches in order, axis by axis, 20 d the straight piece between a
// chain's end and the strain relief, and spare a share for terminating and for
// ways round corners, 0.05 to 0.10.
//
// Source: common practice, the sum of the stretches.
func RunLength(stretches []Stretch, diameter, spare float64) (float64, error) {
	var g guard
	g.Positive("diameter of the cable", diameter)
	g.ZeroOrMore("spare length", spare)
	const relief = 20 // diameters
	length := 0.0
	for _, s := range stretches {
		g.ZeroOrMore("stretch along the frame", s.Fixed)
		g.ZeroOrMore("stretch through a chain", s.Chain)
		length += s.Fixed + s.Chain
		if s.Chain > 0 {
			length += 2 * relief * diameter
		}
	}
	return g.Answer("length of the cable", length*(1+spare))
}
