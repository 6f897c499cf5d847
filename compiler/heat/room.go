package heat

import "math"

// A Swing is how a body follows a room whose temperature goes up and down.
type Swing struct {
	Share float64 // of the room's swing that the body makes [-]
	Lag   float64 // behind the room [s]
}

// Follow returns how a body with one temperature follows a swing of the room.
//
//	share = 1/√(1 + (ω τ)²),  lag = atan(ω τ)/ω   [-], [s]
//
// with τ the time constant and ω = 2π over the period.
//
// Source: derived here, the first-order answer to a sine.
func Follow(timeConstant, period float64) (Swing, error) {
	var g guard
	g.Positive("time constant", timeConstant)
	g.Positive("period", period)
	turn := 2 * math.Pi * (timeConstant / period)
	lag, err := g.Answer("lag", math.Atan(turn)*period/(2*math.Pi))
	if err != nil {
		return Swing{}, err
	}
	return Swing{Share: 1 / math.Hypot(1, turn), Lag: lag}, nil
}

// RampLag returns how far a body stays behind a room that warms up steadily.
//
//	ΔT = r τ   [K]
//
// with r the rate [K/s] and τ the time constant [s], after some time constants.
//
// Source: derived here, the first-order answer to a ramp.
func RampLag(rate, timeConstant float64) (float64, error) {
	var g guard
	g.Finite("rate", rate)
	g.Positive("time constant", timeConstant)
	return g.Answer("lag in temperature", rate*timeConstant)
}

// A Room is a room that changes by a step, with a machine and a workpiece in it.
type Room struct {
	Step      float64 // change of temperature [K]
	Machine   float64 // time constant of the machine [s]
	Workpiece float64 // time constant of the workpiece [s]
}

func (r Room) check(g *guard) {
	g.Finite("change of temperature", r.Step)
	g.Positive("time constant of the machine", r.Machine)
	g.Positive("time constant of the workpiece", r.Workpiece)
}

// Difference returns the temperature of the workpiece less that of the machine after a
// time.
//
//	ΔT (e^(−t/τm) − e^(−t/τw))   [K]
//
// Source: derived here, the difference of two first-order answers.
func (r Room) Difference(time float64) (float64, error) {
	var g guard
	r.check(&g)
	g.ZeroOrMore("time", time)
	return g.Answer("difference in temperature", r.Step*(math.Exp(-time/r.Machine)-math.Exp(-time/r.Workpiece)))
}

// LargestDifferenceAfter returns when the difference between machine and workpiece is the largest.
//
//	t = ln(τm/τw)/(1/τw − 1/τm)   [s], τ where both are the same
//
// Source: derived here, where the slope of [Room.Difference] is zero.
func (r Room) LargestDifferenceAfter() (float64, error) {
	var g guard
	r.check(&g)
	// With τw = τm/(1 + x) it is τm ln(1 + x)/x.
	x := (r.Machine - r.Workpiece) / r.Workpiece
	if math.Abs(x) < 1e-9 {
		return g.Answer("time", r.Machine)
	}
	return g.Answer("time", r.Machine*math.Log1p(x)/x)
}

// SizeError returns the error of a length that is cut a time after the step and
// measured when all is back at the temperature before it.
//
//	L ΔT (αm (1 − e^(−t/τm)) − αw (1 − e^(−t/τw)))   [m]
//
// with α the coefficients of expansion of the machine's scale and of the workpiece.
//
// Source: derived here, [SizeError] with both temperatures after the time.
func (r Room) SizeError(length, machineExpansion, workpieceExpansion, time float64) (float64, error) {
	machine, err := Warming{r.Step, r.Machine}.At(time)
	if err != nil {
		return 0, err
	}
	workpiece, err := Warming{r.Step, r.Workpiece}.At(time)
	if err != nil {
		return 0, err
	}
	return SizeError(length, Thermal{machineExpansion, machine}, Thermal{workpieceExpansion, workpiece})
}

// A Thermal is a body that is warmer than the reference temperature, 20 °C.
type Thermal struct {
	Expansion float64 // coefficient [1/K]
	Rise      float64 // over 20 °C [K]
}

func (b Thermal) check(g *guard) {
	g.Demand(math.Abs(b.Expansion) <= 1e-3, "coefficient of expansion", b.Expansion, "at most 1e-3 either way")
	g.Demand(math.Abs(b.Rise) <= 500, "rise in temperature", b.Rise, "at most 500 K either way")
}

// SizeError returns the error at 20 °C of a length that is cut with a warm scale in a
// warm workpiece.
//
//	δ = L (αs ΔTs − αw ΔTw)   [m]
//
// with s the scale, a screw or a rack, and w the workpiece; the error is that of the
// part, above zero where it is too large. First order: [ExactSizeError] has both.
//
// Source: ISO 1; ISO/TR 16015.
func SizeError(length float64, scale, workpiece Thermal) (float64, error) {
	var g guard
	g.Positive("length", length)
	scale.check(&g)
	workpiece.check(&g)
	return g.Answer("size error", length*(scale.Expansion*scale.Rise-workpiece.Expansion*workpiece.Rise))
}

// ExactSizeError returns the error of [SizeError] without leaving products of
// expansions out.
//
//	δ = L (1 + αs ΔTs)/(1 + αw ΔTw) − L   [m]
//
// Source: ISO 1.
func ExactSizeError(length float64, scale, workpiece Thermal) (float64, error) {
	first, err := SizeError(length, scale, workpiece)
	if err != nil {
		return 0, err
	}
	var g guard
	return g.Answer("size error", first/(1+workpiece.Expansion*workpiece.Rise))
}

// SizeUncertainty returns the standard uncertainty of [SizeError], with the
// temperatures and coefficients of both bodies known independently.
//
//	u = L √((αs uT)² + (ΔTs uα)² + (αw uT)² + (ΔTw uα)²)   [m]
//
// with uT the standard uncertainty of each temperature [K] and uα that of each
// coefficient [1/K].
//
// Source: ISO/TR 16015; JCGM 100, 5.1.2.
func SizeUncertainty(length float64, scale, workpiece Thermal, temperature, expansion float64) (float64, error) {
	var g guard
	g.Positive("length", length)
	scale.check(&g)
	workpiece.check(&g)
	g.ZeroOrMore("uncertainty of a temperature", temperature)
	g.ZeroOrMore("uncertainty of a coefficient of expansion", expansion)
	sum := 0.0
	for _, b := range []Thermal{scale, workpiece} {
		sum = math.Hypot(sum, math.Hypot(b.Expansion*temperature, b.Rise*expansion))
	}
	return g.Answer("uncertainty of the size error", length*sum)
}
