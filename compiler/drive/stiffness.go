package drive

import "math"

// TwistStiffness returns the stiffness of a shaft in torsion.
//
//	k = G J/a,  J = π d⁴/32   [N·m/rad]
//
// Source: Shigley 2006, section 3-12.
func TwistStiffness(m Material, diameter, a float64) (float64, error) {
	var g guard
	g.material(m)
	g.Positive("shaft diameter", diameter)
	g.Positive("shaft length", a)
	return g.Answer("twist stiffness", m.ShearModulus*math.Pi*math.Pow(diameter, 4)/32/a)
}

// A Train is what stands between the driven shaft and the moved part, as springs.
// A stiffness of zero leaves that part out, as if it were rigid.
type Train struct {
	Ends         Ends     // how the screw's ends are held
	Material     Material // screw material
	RootDiameter float64  // screw root diameter [m]
	Lead         float64  // screw lead [m]
	Between      float64  // distance between the two bearings [m]
	Bearing      float64  // axial stiffness of the thrust bearing at one end, a pair counted as one [N/m]
	Housing      float64  // axial stiffness of that bearing's housing and its bracket [N/m]
	Nut          float64  // axial stiffness of the nut [N/m]
	NutBracket   float64  // axial stiffness of the nut's bracket [N/m]
	Standing     bool     // whether the screw stands and the nut turns: its ends take up the torque
}

// A Compliance is a drive train's compliance under a unit force, by part.
type Compliance struct {
	Shaft    float64 // screw shaft in tension and compression [m/N]
	Supports float64 // thrust bearings and their housings [m/N]
	Nut      float64 // nut, and the bearing in which it turns [m/N]
	Bracket  float64 // bracket of the nut, the rack or the belt's clamps [m/N]
	WindUp   float64 // screw shaft in torsion [m/N]
	Mesh     float64 // pinion and rack, and the pinion's shaft in bending [m/N]
	Belt     float64 // the belt's spans [m/N]
	Coupling float64 // coupling, gearbox or belt before the driven shaft, in torsion [m/N]
	Servo    float64 // the motor's shaft against its servo loop [m/N]
	Total    float64 // sum of the parts [m/N]
}

// Stiffness returns the stiffness of the whole train [N/m], zero where the
// train was not computed.
//
//	k = 1/C   [N/m]
//
// Source: derived here, by the meaning of compliance.
func (c Compliance) Stiffness() float64 {
	if c.Total <= 0 {
		return 0
	}
	return 1 / c.Total
}

// At returns the train's compliance with the nut at distance a from the driven
// thrust bearing.
//
//	one thrust bearing    C = a/AE + Cb + ...
//	two thrust bearings   C = (a/AE + Cb)(b/AE + Cb)/(L/AE + 2 Cb) + ...
//	... = Cnut + Cbracket + w/GJ (p/2π)²
//	w = a, and a b/L for a stationary screw of two fixed ends
//
// with Cb the compliance of one bearing and its housing, b = L - a. Into a
// rotating screw torque comes from the driven end alone, so wind-up grows with
// a; a standing one hands it to both its ends. The driven shaft is taken as
// held: [StiffnessAt] adds what is before it.
//
// Source: derived here, springs in series and, for two bearings, the two sides in parallel; ME EN 7960, ball screw lecture.
func (t Train) At(a float64) (Compliance, error) {
	var g guard
	t.check(&g)
	g.Positive("distance from the thrust bearing", a)
	b := t.Between - a
	g.Demand(b > 0 || t.Ends != FixedFixed, "distance from the thrust bearing", a, "less than the distance between the bearings")
	area, polar := shaftArea(t.RootDiameter), math.Pi*math.Pow(t.RootDiameter, 4)/32
	perMetre := 1 / (area * t.Material.Modulus)
	support := softness(t.Bearing) + softness(t.Housing)
	turn := t.Lead / (2 * math.Pi)
	c := Compliance{
		Shaft:    a * perMetre,
		Supports: support,
		Nut:      softness(t.Nut),
		Bracket:  softness(t.NutBracket),
		WindUp:   a / (t.Material.ShearModulus * polar) * turn * turn,
	}
	if t.Ends == FixedFixed {
		if t.Standing {
			c.WindUp *= b / t.Between
		}
		near, far := a*perMetre+support, b*perMetre+support
		c.Shaft = a * b / t.Between * perMetre
		c.Supports = near*far/(near+far) - c.Shaft
	}
	return c.summed(&g)
}

// summed fills in the total.
func (c Compliance) summed(g *guard) (Compliance, error) {
	c.Total = c.Shaft + c.Supports + c.Nut + c.Bracket + c.WindUp + c.Mesh + c.Belt + c.Coupling + c.Servo
	if _, err := g.Answer("drive compliance", c.Total); err != nil {
		return Compliance{}, err
	}
	return c, nil
}

// LeastStiff returns the nut position between from and to at which the train
// is most compliant, and its compliance there.
//
//	one thrust bearing    a = to
//	two thrust bearings   a = L/2 + τ (c L + 2 Cb)/(2 c²), held within from..to
//
// with c = 1/AE and τ the wind-up for each metre of a, which for a standing
// screw is the same seen from either end: τ = 0.
//
// Source: derived here, the compliance of Train.At is a parabola in a, open downward.
func (t Train) LeastStiff(from, to float64) (float64, Compliance, error) {
	var g guard
	t.check(&g)
	g.Positive("nearest nut position", from)
	g.Demand(to >= from, "farthest nut position", to, "no less than the nearest")
	if g.Err != nil {
		return 0, Compliance{}, g.Err
	}
	a := to
	if t.Ends == FixedFixed {
		perMetre := 1 / (shaftArea(t.RootDiameter) * t.Material.Modulus)
		support := softness(t.Bearing) + softness(t.Housing)
		turn := t.Lead / (2 * math.Pi)
		polar := math.Pi * math.Pow(t.RootDiameter, 4) / 32
		windUp := turn * turn / (t.Material.ShearModulus * polar)
		if t.Standing {
			windUp = 0
		}
		a = t.Between/2 + windUp*(perMetre*t.Between+2*support)/(2*perMetre*perMetre)
		a = math.Min(math.Max(a, from), to)
	}
	c, err := t.At(a)
	return a, c, err
}

func (t Train) check(g *guard) {
	g.ends(t.Ends)
	g.material(t.Material)
	g.Positive("root diameter", t.RootDiameter)
	g.Positive("lead", t.Lead)
	g.Positive("distance between the bearings", t.Between)
	g.ZeroOrMore("bearing stiffness", t.Bearing)
	g.ZeroOrMore("housing stiffness", t.Housing)
	g.ZeroOrMore("nut stiffness", t.Nut)
	g.ZeroOrMore("nut bracket stiffness", t.NutBracket)
}

// softness returns 1/k, and none for a part that was left out.
func softness(k float64) float64 {
	if k == 0 {
		return 0
	}
	return 1 / k
}

func shaftArea(d float64) float64 { return math.Pi * d * d / 4 }
