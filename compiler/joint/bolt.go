package joint

import (
	"fmt"
	"math"

	"ironbed/compiler/domain"
)

// A Clamped is one layer in a bolt's grip, from the head on.
type Clamped struct {
	Thickness float64 // thickness [m]
	E         float64 // Young's modulus [Pa]
}

// A Place is where a bolt stands in the joint's face.
type Place struct {
	X float64 // along x [m]
	Y float64 // along y [m]
}

// Surface is how the two faces that meet were made.
type Surface int

// The kinds of faces.
const (
	Ground  Surface = iota // ground or scraped, both faces
	Milled                 // milled or planed, both faces
	Painted                // as rolled, sawn or painted: rust, scale and paint between
)

// A BoltedJoint is a set of equal bolts through a flat face. Its loads act at the
// origin of the bolts' places, on the part above: z is along the bolts.
type BoltedJoint struct {
	Thread   Thread
	Modulus  float64   // Young's modulus of the bolts [Pa]
	Class    string    // property class
	Preload  Bounds    // preload of one bolt [N]
	Layers   []Clamped // what is clamped, from head to nut or thread
	Threaded float64   // length of thread within the grip [m]
	Face     int       // the joint lies below this many layers
	Places   []Place   // the bolts
	Area     float64   // area of the faces that touch, 0 for no more than under the bolts [m²]
	Surface  Surface
	Friction Bounds // between the faces [-]

	Tension float64 // force that pulls the faces apart [N]
	ShearX  float64 // force along x [N]
	ShearY  float64 // force along y [N]
	MomentX float64 // moment about x [N·m]
	MomentY float64 // moment about y [N·m]
	MomentZ float64 // moment about z [N·m]
}

// A Bolting is how stiff a bolted joint is and how near it is to its limits.
type Bolting struct {
	Bolt     float64 // stiffness of one bolt [N/m]
	Members  float64 // stiffness of what it clamps [N/m]
	Constant float64 // share of a load along a bolt that the bolt takes, kb/(kb + km) [-]
	Cone     float64 // diameter of the pressed area under a bolt in the joint's face [m]

	Normal    Bounds  // along the bolts [N/m]
	Shear     Bounds  // in the face, as long as it doesn't slip [N/m]
	TiltX     Bounds  // about x [N·m/rad]
	TiltY     Bounds  // about y [N·m/rad]
	Twist     Bounds  // about z [N·m/rad]
	Opening   float64 // load on the worst bolt over that at which its face opens, with the low preload [-]
	Slipping  float64 // shear at the worst bolt over that at which it slips, with low preload and friction [-]
	ProofUsed float64 // load in the worst bolt over its proof load, with the high preload [-]

	Violations []Violation
}

// The names of the ranges of validity of [BoltedJoint.Bolting].
const (
	ValidGrip     = "bolt-grip"        // grip over the bolt's diameter
	ValidPressure = "face-pressure"    // pressure on the face, in MPa
	ValidOpening  = "face-opening"     // Opening
	ValidSlipping = "face-slipping"    // Slipping
	ValidPattern  = "bolt-pattern-arm" // moment without an arm of bolts to carry it
)

// ContactStiffness returns the stiffness per area of two faces pressed together,
// along the normal and in the face.
//
//	λ = C √p,  kn = dp/dλ = 2 √p/C   [Pa/m],  ks = 0.5 kn
//
// with C the approach in µm at 0.1 MPa: 0.15 to 0.6 for ground or scraped faces, 0.4 to
// 1.6 for milled, 1 to 10 for faces as rolled or painted, middles 0.3, 0.8, 3. Waviness
// is not in it: a face that doesn't lie flat touches on a part alone. In the face, a
// quarter to 0.82 of the normal one, the latter for smooth elastic contacts.
//
// Source: Back 1973, the form; from memory, the constants.
func ContactStiffness(s Surface, pressure Bounds) (normal, shear Bounds, err error) {
	constants := map[Surface]Bounds{Ground: {0.15, 0.3, 0.6}, Milled: {0.4, 0.8, 1.6}, Painted: {1, 3, 10}}
	c, ok := constants[s]
	var g domain.Guard
	g.Demand(ok, "kind of surface", float64(s), "ground, milled or painted")
	pressure.ask(&g, "pressure on the face")
	if g.Err != nil {
		return Bounds{}, Bounds{}, g.Err
	}
	of := func(p, c float64) float64 { return 2 * math.Sqrt(p*1e5) / (c * 1e-6) }
	normal = Bounds{of(pressure.Low, c.High), of(pressure.Middle, c.Middle), of(pressure.High, c.Low)}
	shear = Bounds{0.25 * normal.Low, 0.5 * normal.Middle, 0.82 * normal.High}
	return normal, shear, nil
}

// JointConstant returns the share of a load along a bolt that the bolt takes while the
// face is closed.
//
//	C = kb/(kb + km)   [-]
//
// Source: Shigley 2006, section 8-7.
func JointConstant(bolt, members float64) (float64, error) {
	var g domain.Guard
	g.Positive("bolt's stiffness", bolt)
	g.Positive("members' stiffness", members)
	g.Finite("bolt's and members' stiffness together", bolt+members)
	return g.Answer("joint constant", bolt/(bolt+members))
}

// grip returns the length that is clamped.
func (j BoltedJoint) grip() float64 {
	g := 0.0
	for _, l := range j.Layers {
		g += l.Thickness
	}
	return g
}

// MemberStiffness returns the stiffness of what one bolt clamps: frusta from both
// ends of the grip that meet in the middle.
//
//	1/km = Σ 1/kᵢ   [N/m]
//
// Source: Shigley 2006, section 8-5.
func (j BoltedJoint) MemberStiffness() (float64, error) {
	var g domain.Guard
	j.Thread.ask(&g)
	j.askLayers(&g)
	if g.Err != nil {
		return 0, g.Err
	}
	half := j.grip() / 2
	compliance, depth := 0.0, 0.0
	piece := func(e, from, to float64) error {
		if to-from <= 1e-9*half {
			return nil
		}
		near := min(from, 2*half-to)
		k, err := FrustumStiffness(e, j.Thread.Diameter, to-from, j.cone(near))
		compliance += 1 / k
		return err
	}
	for _, l := range j.Layers {
		to := depth + l.Thickness
		middle := min(max(half, depth), to)
		if err := piece(l.E, depth, middle); err != nil {
			return 0, err
		}
		if err := piece(l.E, middle, to); err != nil {
			return 0, err
		}
		depth = to
	}
	if k := 1 / compliance; finite(k) && k > 0 {
		return k, nil
	}
	return 0, ErrNotFinite
}

// cone returns the diameter of the pressed cone at a depth below its end.
func (j BoltedJoint) cone(depth float64) float64 { return j.Thread.Bearing + 2*depth/math.Sqrt(3) }

// askLayers asks for layers that can be clamped.
func (j BoltedJoint) askLayers(g *domain.Guard) {
	g.Demand(len(j.Layers) > 0, "number of layers", float64(len(j.Layers)), "one or more")
	for i, l := range j.Layers {
		g.Positive(fmt.Sprintf("thickness of layer %d", i+1), l.Thickness)
		g.Positive(fmt.Sprintf("Young's modulus of layer %d", i+1), l.E)
	}
}

// ask asks for inputs that can be computed with.
func (j BoltedJoint) ask() error {
	var g domain.Guard
	j.Thread.ask(&g)
	g.Positive("bolts' Young's modulus", j.Modulus)
	j.Preload.ask(&g, "preload")
	j.askLayers(&g)
	g.Demand(j.Face > 0 && j.Face < len(j.Layers), "number of layers above the face", float64(j.Face), "one or more, and fewer than all")
	g.Demand(j.Threaded >= 0 && j.Threaded <= j.grip()*(1+1e-9), "threaded length in the grip", j.Threaded, "zero or more, and no more than the grip")
	g.ZeroOrMore("area of the faces", j.Area)
	j.Friction.ask(&g, "friction between the faces")
	g.Demand(len(j.Places) > 0, "number of bolts", float64(len(j.Places)), "one or more")
	for i, p := range j.Places {
		g.Finite(fmt.Sprintf("x of bolt %d", i+1), p.X)
		g.Finite(fmt.Sprintf("y of bolt %d", i+1), p.Y)
	}
	g.Finite("tension", j.Tension)
	g.Finite("shear along x", j.ShearX)
	g.Finite("shear along y", j.ShearY)
	g.Finite("moment about x", j.MomentX)
	g.Finite("moment about y", j.MomentY)
	g.Finite("moment about z", j.MomentZ)
	return g.Err
}

// Bolting returns the stiffness of a bolted joint and its limits.
//
// Each bolt presses the face under it over its cone: there the faces act as a
// contact spring, behind the members and beside the bolt,
//
//	kᵢ = kb + 1/(1/km + 1/(kn Ac)),  kn by the preload over Ac
//	normal Σ kᵢ,  tilt Σ kᵢ (yᵢ² + De²/16),  shear Σ ks Ac,  twist Σ ks Ac (xᵢ² + yᵢ² + De²/8)
//
// As high, a face that touches all over: kn on the whole area. The external load on a
// bolt is that of a rigid plate, Pᵢ = N/n + Mx yᵢ/Σy² − My xᵢ/Σx² about the bolts' middle for a
// pattern with Σxy = 0, and with it otherwise;
//
//	opening   (1 − C) Pᵢ/F,   slip  Vᵢ/(μ (F − (1 − C) Pᵢ)),   proof  (F + C Pᵢ)/(At Sp)
//
// Source: Shigley 2006, sections 8-4 to 8-7 and 8-12; derived here, the bolts as springs in a rigid
// plate.
func (j BoltedJoint) Bolting() (Bolting, error) {
	if err := j.ask(); err != nil {
		return Bolting{}, err
	}
	var out Bolting
	var err error
	if out.Bolt, err = BoltStiffness(j.Thread, j.Modulus, j.Threaded, j.grip()-j.Threaded); err != nil {
		return Bolting{}, err
	}
	if out.Members, err = j.MemberStiffness(); err != nil {
		return Bolting{}, err
	}
	if out.Constant, err = JointConstant(out.Bolt, out.Members); err != nil {
		return Bolting{}, err
	}
	above := 0.0
	for _, l := range j.Layers[:j.Face] {
		above += l.Thickness
	}
	out.Cone = j.cone(min(above, j.grip()-above))
	n := float64(len(j.Places))
	cone := math.Pi / 4 * (square(out.Cone) - square(j.Thread.Diameter))
	if j.Area > 0 {
		cone = min(cone, j.Area/n)
	}
	pressure := j.Preload.times(1 / cone)
	if err := j.springs(&out, cone, pressure); err != nil {
		return Bolting{}, err
	}
	if err := j.limits(&out); err != nil {
		return Bolting{}, err
	}
	var v violations
	v.hold(ValidGrip, j.grip()/j.Thread.Diameter, 0.5, 10)
	v.hold(ValidPressure, pressure.Middle/1e6, 0.2, 200)
	v.hold(ValidOpening, out.Opening, math.Inf(-1), 1)
	v.hold(ValidSlipping, out.Slipping, 0, 1)
	out.Violations = append(out.Violations, v...)
	return out, nil
}

// springs fills in the joint's stiffness.
func (j BoltedJoint) springs(out *Bolting, cone float64, pressure Bounds) error {
	normal, shear, err := ContactStiffness(j.Surface, pressure)
	if err != nil {
		return err
	}
	n := float64(len(j.Places))
	whole := math.Max(cone, j.Area/n)
	wholeNormal, wholeShear, err := ContactStiffness(j.Surface, j.Preload.times(1/whole))
	if err != nil {
		return err
	}
	one := func(contact float64) float64 { return out.Bolt + 1/(1/out.Members+1/contact) }
	k := Bounds{one(normal.Low * cone), one(normal.Middle * cone), one(max(normal.High*cone, wholeNormal.High*whole))}
	s := Bounds{shear.Low * cone, shear.Middle * cone, max(shear.High*cone, wholeShear.High*whole)}
	_, _, xx, yy, _ := j.pattern()
	own := n * square(out.Cone) / 16
	out.Normal, out.Shear = k.times(n), s.times(n)
	out.TiltX, out.TiltY = k.times(yy+own), k.times(xx+own)
	out.Twist = s.times(xx + yy + 2*own)
	for _, b := range []Bounds{out.Normal, out.Shear, out.TiltX, out.TiltY, out.Twist} {
		if !b.valid() {
			return ErrNotFinite
		}
	}
	return nil
}

// pattern returns the bolts' middle and their second moments about it.
func (j BoltedJoint) pattern() (x0, y0, xx, yy, xy float64) {
	n := float64(len(j.Places))
	for _, p := range j.Places {
		x0 += p.X / n
		y0 += p.Y / n
	}
	for _, p := range j.Places {
		xx += square(p.X - x0)
		yy += square(p.Y - y0)
		xy += (p.X - x0) * (p.Y - y0)
	}
	return x0, y0, xx, yy, xy
}

// limits fills in how near the worst bolt is to opening, slip and its proof load.
func (j BoltedJoint) limits(out *Bolting) error {
	n := float64(len(j.Places))
	x0, y0, xx, yy, xy := j.pattern()
	mx, my := j.MomentX-j.Tension*y0, j.MomentY+j.Tension*x0
	mz := j.MomentZ - x0*j.ShearY + y0*j.ShearX
	over := func(m, second float64) float64 {
		if second == 0 {
			return 0
		}
		return m / second
	}
	// The tension grows by alongX and alongY: Mx = alongY Σy² + alongX Σxy, −My = alongY Σxy + alongX Σx².
	alongX, alongY := over(-my, xx), over(mx, yy)
	if det := xx*yy - xy*xy; det > 1e-9*xx*yy {
		alongX, alongY = (-my*yy-mx*xy)/det, (mx*xx+my*xy)/det
	}
	twist := over(mz, xx+yy)
	var v violations
	size := square(out.Cone) * n
	v.hold(ValidPattern, boolean(mx != 0 && yy < 1e-9*size || my != 0 && xx < 1e-9*size), 0, 0)
	at, err := StressArea(j.Thread)
	if err != nil {
		return err
	}
	stress, err := ProofStress(j.Class, j.Thread.Diameter)
	if err != nil {
		return err
	}
	out.Opening = math.Inf(-1)
	for _, p := range j.Places {
		x, y := p.X-x0, p.Y-y0
		tension := j.Tension/n + alongX*x + alongY*y
		side := math.Hypot(j.ShearX/n-twist*y, j.ShearY/n+twist*x)
		relief := (1 - out.Constant) * tension
		out.Opening = max(out.Opening, relief/j.Preload.Low)
		// Where the face has opened it carries no shear: as if a millionth were left.
		held := max(j.Friction.Low*(j.Preload.Low-relief), 1e-6*j.Preload.Low)
		out.Slipping = max(out.Slipping, side/held)
		// A face that has opened leaves all of the load to the bolt.
		bolt := max(j.Preload.High+out.Constant*tension, tension)
		out.ProofUsed = max(out.ProofUsed, bolt/(at*stress))
	}
	out.Violations = v
	if !finite(out.Opening, out.Slipping, out.ProofUsed) {
		return ErrNotFinite
	}
	return nil
}

// boolean is 1 for true.
func boolean(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
