package joint

import (
	"math"
	"strconv"

	"ironbed/compiler/domain"
)

// A Thread is a metric coarse thread with the hexagon head that goes with it.
type Thread struct {
	Diameter float64 // nominal diameter [m]
	Pitch    float64 // pitch [m]
	Bearing  float64 // diameter of the washer face under the head [m]
}

// threads are the coarse threads of ISO 724 with the least washer-face diameter of
// ISO 4014, from memory. [mm]
var threads = []Thread{
	{4, 0.7, 5.74}, {5, 0.8, 6.88}, {6, 1, 8.88}, {8, 1.25, 11.63}, {10, 1.5, 14.63}, {12, 1.75, 16.63}, {14, 2, 19.64}, {16, 2, 22.49},
	{18, 2.5, 25.34}, {20, 2.5, 28.19}, {22, 2.5, 31.71}, {24, 3, 33.61}, {27, 3, 38}, {30, 3.5, 42.75},
}

// MetricThread returns the coarse thread of a nominal diameter from M4 to M30, and
// whether there is one.
//
// Source: ISO 724; ISO 4014; from memory.
func MetricThread(diameter float64) (Thread, bool) {
	for _, t := range threads {
		if math.Abs(t.Diameter-1000*diameter) < 1e-6 {
			return Thread{t.Diameter / 1000, t.Pitch / 1000, t.Bearing / 1000}, true
		}
	}
	return Thread{}, false
}

// ask asks for the dimensions of a thread with its head.
func (t Thread) ask(g *domain.Guard) {
	g.Positive("thread's diameter", t.Diameter)
	g.Demand(t.Pitch > 0 && t.Pitch < t.Diameter/2, "thread's pitch", t.Pitch, "above zero and less than half the diameter")
	g.Demand(t.Bearing > t.Diameter && finite(t.Bearing), "diameter of the washer face", t.Bearing, "finite and more than the thread's diameter")
}

// StressArea returns the tensile stress area of a metric thread.
//
//	At = π/4 (d − 0.938194 p)²   [m²]
//
// Source: ISO 898-1, section 9.1.6; ISO 724.
func StressArea(t Thread) (float64, error) {
	var g domain.Guard
	t.ask(&g)
	return g.Answer("stress area", math.Pi/4*square(t.Diameter-0.938194*t.Pitch))
}

// ProofStress returns the proof stress of a property class for a diameter: the
// stress that a bolt bears without a lasting stretch. [Pa]
//
// Source: ISO 898-1, table 5; from memory.
func ProofStress(class string, diameter float64) (float64, error) {
	stress := map[string]float64{"4.6": 225e6, "4.8": 310e6, "5.6": 280e6, "5.8": 380e6, "6.8": 440e6, "8.8": 600e6, "9.8": 650e6, "10.9": 830e6, "12.9": 970e6}[class]
	if class == "8.8" && diameter <= 0.016*(1+1e-9) {
		stress = 580e6
	}
	var g domain.Guard
	g.Positive("bolt's diameter", diameter)
	g.Demand(stress > 0, "proof stress of class "+strconv.Quote(class), stress, "a property class from 4.6 to 12.9")
	return g.Answer("proof stress", stress)
}

// TighteningPreload returns the preload of a bolt by its tightening torque. The
// friction in the thread and under the head is taken as the same.
//
//	F = T/(0.159 p + 0.577 d₂ μ + ½ Dm μ),  d₂ = d − 0.649519 p,  Dm = (dw + 1.1 d)/2   [N]
//
// The low preload belongs to the high friction.
//
// Source: VDI 2230, tightening torque; ISO 724, pitch diameter.
func TighteningPreload(t Thread, torque float64, friction Bounds) (Bounds, error) {
	var g domain.Guard
	t.ask(&g)
	g.Positive("tightening torque", torque)
	friction.ask(&g, "friction")
	force := func(mu float64) float64 {
		pitch := t.Diameter - 0.649519*t.Pitch
		mean := (t.Bearing + 1.1*t.Diameter) / 2
		f, _ := g.Answer("preload", torque/(0.159*t.Pitch+0.577*pitch*mu+mean*mu/2))
		return f
	}
	b := Bounds{force(friction.High), force(friction.Middle), force(friction.Low)}
	if g.Err != nil {
		return Bounds{}, g.Err
	}
	return b, nil
}

// ThreadFriction returns the friction of steel bolts in the state in which they
// come, not cleaned and not greased [-].
//
// Source: from memory; common practice.
func ThreadFriction() Bounds { return Bounds{0.08, 0.13, 0.20} }

// ProofPreload returns the preload that is a share of the proof load.
//
//	F = s At Sp   [N]
//
// Source: ISO 898-1.
func ProofPreload(t Thread, class string, share float64) (float64, error) {
	area, err := StressArea(t)
	if err != nil {
		return 0, err
	}
	stress, err := ProofStress(class, t.Diameter)
	if err != nil {
		return 0, err
	}
	var g domain.Guard
	g.Fraction("share of the proof load", share)
	return g.Answer("preload", share*area*stress)
}

// StrippingForce returns the force along a bolt at which the thread in a tapped part strips.
//
//	F = 0.875 π d Le τ   [N]
//
// with Le the length of full thread [m] and τ the shear strength of the part [Pa], 0.58 of the yield strength for a thread that is not to give, 0.6 of the
// tensile strength for one that strips. By basic dimensions: π n Le d (1/(2n) + 0.57735 (d − d₂)), d₂ = d − 0.649519 p.
//
// Source: FED-STD-H28, shear area of internal threads; ISO 724, pitch diameter.
func StrippingForce(t Thread, engaged, shear float64) (float64, error) {
	var g domain.Guard
	t.ask(&g)
	g.ZeroOrMore("length of full thread", engaged)
	g.Positive("shear strength", shear)
	area := math.Pi * t.Diameter * engaged / t.Pitch * (t.Pitch/2 + 0.57735*0.649519*t.Pitch)
	return g.Answer("stripping force", area*shear)
}

// EngagedLength returns the length of full thread in a tapped part that bears a force along the bolt; see [StrippingForce].
//
// Source: FED-STD-H28, shear area of internal threads; ISO 724, pitch diameter.
func EngagedLength(t Thread, force, shear float64) (float64, error) {
	each, err := StrippingForce(t, 1, shear)
	if err != nil {
		return 0, err
	}
	var g domain.Guard
	g.ZeroOrMore("force along the bolt", force)
	return g.Answer("length of full thread", force/each)
}

// BoltStiffness returns the stiffness of a bolt in its grip.
//
//	kb = Ad At E/(Ad lt + At ld)   [N/m]
//
// with lt and ld the lengths with thread and without within the grip [m].
//
// Source: Shigley 2006, section 8-4.
func BoltStiffness(t Thread, e, threaded, plain float64) (float64, error) {
	var g domain.Guard
	at, err := StressArea(t)
	if err != nil {
		return 0, err
	}
	g.Positive("bolt's modulus", e)
	g.ZeroOrMore("threaded length in the grip", threaded)
	g.ZeroOrMore("plain length in the grip", plain)
	g.Positive("grip", threaded+plain)
	ad := math.Pi / 4 * square(t.Diameter)
	return g.Answer("bolt stiffness", ad*at*e/(ad*threaded+at*plain))
}

// FrustumStiffness returns the stiffness of a hollow frustum of clamped material
// with a half angle of 30°.
//
//	k = π E d tan α / ln [(2t tan α + D − d)(D + d)/((2t tan α + D + d)(D − d))]   [N/m]
//
// with d the hole, taken as the bolt's diameter, D the smaller diameter of the
// frustum and t its height [m].
//
// Source: Shigley 2006, section 8-5.
func FrustumStiffness(e, hole, height, diameter float64) (float64, error) {
	var g domain.Guard
	g.Positive("member's modulus", e)
	g.Positive("hole", hole)
	g.Positive("frustum's height", height)
	g.Demand(diameter > hole && finite(diameter), "frustum's diameter", diameter, "more than the hole")
	tan := 1 / math.Sqrt(3)
	grown := 2*height*tan + diameter
	return g.Answer("frustum stiffness", math.Pi*e*hole*tan/math.Log((grown-hole)*(diameter+hole)/((grown+hole)*(diameter-hole))))
}
