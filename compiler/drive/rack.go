package drive

import (
	"math"

	"ironbed/compiler/motor"
)

// PitchDiameter returns the diameter on which a pinion rolls on its rack.
//
//	d = m z/cos β   [m]
//
// with m the normal module [m], z the teeth and β the helix angle. One turn
// travels π d.
//
// Source: Shigley 2006, section 13-10.
func PitchDiameter(teeth, module, helix float64) (float64, error) {
	var g guard
	g.Positive("teeth of the pinion", teeth)
	g.Positive("module", module)
	g.Demand(math.Abs(helix) < math.Pi/3, "helix angle", helix, "below 60°")
	return g.Answer("pitch diameter", module*teeth/math.Cos(helix))
}

// formFactors are Lewis's Y by the number of teeth, full depth, 20°.
var formFactors = []struct{ teeth, y float64 }{
	{12, 0.245}, {13, 0.261}, {14, 0.277}, {15, 0.290}, {16, 0.296}, {17, 0.303}, {18, 0.309}, {19, 0.314}, {20, 0.322},
	{21, 0.328}, {22, 0.331}, {24, 0.337}, {26, 0.346}, {28, 0.353}, {30, 0.359}, {34, 0.371}, {38, 0.384}, {43, 0.397},
	{50, 0.409}, {60, 0.422}, {75, 0.435}, {100, 0.447}, {150, 0.460}, {300, 0.472},
}

// FormFactor returns Lewis's form factor Y of a pinion with full-depth teeth of
// 20°, straight between the rows of the table. Below 12 teeth there is none.
//
// Source: Shigley 2006, table 14-2, from memory.
func FormFactor(teeth float64) (float64, error) {
	var g guard
	last := formFactors[len(formFactors)-1]
	g.Demand(teeth >= formFactors[0].teeth, "teeth of the pinion", teeth, "12 or more")
	g.Finite("teeth of the pinion", teeth)
	if g.Err != nil {
		return 0, g.Err
	}
	for i, row := range formFactors {
		if teeth > row.teeth {
			continue
		}
		if i == 0 {
			return row.y, nil
		}
		before := formFactors[i-1]
		return before.y + (teeth-before.teeth)/(row.teeth-before.teeth)*(row.y-before.y), nil
	}
	return last.y, nil
}

// ToothForce returns the force at the pitch circle that a tooth carries under a
// bending stress.
//
//	F = σ b m Y/Kv,  Kv = (6.1 + v)/6.1   [N]
//
// with b the face width, m the module, Y Lewis's form factor and v the speed at
// the pitch circle [m/s], cut or milled teeth. It is bending alone; the wear of
// the flanks may bound it lower, as a maker's rated force has it.
//
// Source: Shigley 2006, equations 14-6b and 14-8.
func ToothForce(stress, face, module, form, speed float64) (float64, error) {
	var g guard
	g.Positive("bending stress", stress)
	g.Positive("face width", face)
	g.Positive("module", module)
	g.Positive("form factor", form)
	g.ZeroOrMore("speed", speed)
	return g.Answer("tooth force", stress*face*module*form*6.1/(6.1+speed))
}

// MeshStiffness returns the stiffness of steel teeth in mesh along the pitch
// line, as a mean over the mesh.
//
//	k = 20 N/(mm·µm) · b   [N/m]
//
// Source: ISO 6336-1, from memory.
func MeshStiffness(face float64) (float64, error) {
	var g guard
	g.Positive("face width", face)
	return g.Answer("mesh stiffness", 20e9*face)
}

// A Rack is a pinion on a rack, its gearbox in the [Reduction]. A stiffness of
// zero leaves that part out, as if it were rigid.
type Rack struct {
	Teeth          float64 // teeth of the pinion [-]
	Module         float64 // normal module [m]
	Helix          float64 // helix angle [rad]
	Face           float64 // face width, the narrower of pinion and rack [m]
	PinionInertia  float64 // pinion with its shaft [kg·m²]
	Efficiency     float64 // of the mesh, driving [-]
	BackEfficiency float64 // of the mesh driven by a load, zero for the same [-]
	Drag           float64 // drag torque at the pinion, from the preload of a pair [N·m]
	Mesh           float64 // stiffness of the teeth along the rack, see MeshStiffness [N/m]
	Shaft          float64 // stiffness of the pinion's shaft and bearings against the thrust [N/m]
	Bracket        float64 // stiffness of gearbox mount and rack fixing along the rack [N/m]
	Backlash       float64 // backlash between the teeth, zero for a preloaded pair [m]
	PitchError     float64 // summed pitch error for each metre of travel [-]
	RatedForce     float64 // maker's rated force, zero for not known [N]
	AllowedStress  float64 // bending stress that its teeth may bear, zero for not known [Pa]
}

// RackNumbers are what is known of a rack drive alone, zero for another.
type RackNumbers struct {
	PitchDiameter float64 // of the pinion [m]
	ToothForce    float64 // force that the teeth may carry [N]
}

func (r Rack) check(g *guard) {
	g.Positive("face width", r.Face)
	g.ZeroOrMore("pinion inertia", r.PinionInertia)
	g.ZeroOrMore("mesh stiffness", r.Mesh)
	g.ZeroOrMore("stiffness of the pinion's shaft", r.Shaft)
	g.ZeroOrMore("bracket stiffness", r.Bracket)
	g.ZeroOrMore("play", r.Backlash)
	g.ZeroOrMore("pitch error", r.PitchError)
	g.ZeroOrMore("rated force", r.RatedForce)
	g.ZeroOrMore("allowed bending stress", r.AllowedStress)
	_, err := PitchDiameter(r.Teeth, r.Module, r.Helix)
	g.keep(err)
}

func (r Rack) transmission() motor.Transmission {
	back := r.BackEfficiency
	if back == 0 {
		back = r.Efficiency
	}
	return motor.Transmission{
		Lead:           math.Pi * r.Module * r.Teeth / math.Cos(r.Helix),
		Efficiency:     r.Efficiency,
		BackEfficiency: back,
		Drag:           r.Drag,
	}
}

func (r Rack) turning() (Turning, error) { return Turning{Pinion: r.PinionInertia}, nil }

// at returns the compliance of teeth, shaft and fixing, the same all along the rack.
func (r Rack) at(float64) (Compliance, error) {
	var g guard
	r.check(&g)
	return Compliance{Mesh: softness(r.Mesh) + softness(r.Shaft), Bracket: softness(r.Bracket)}.summed(&g)
}

func (r Rack) leastStiff() (float64, Compliance, error) {
	c, err := r.at(0)
	return 0, c, err
}

func (r Rack) backlash() float64 { return r.Backlash }

func (r Rack) travelError(travel float64) (float64, error) {
	var g guard
	return g.Answer("pitch error", r.PitchError*travel)
}

// hold checks the teeth.
func (r Rack) hold(l *ledger, in Input) {
	o := &l.out
	o.PitchDiameter = l.take(PitchDiameter(r.Teeth, r.Module, r.Helix))
	o.ToothForce = r.RatedForce
	if o.ToothForce == 0 {
		if r.AllowedStress == 0 || r.Teeth < formFactors[0].teeth {
			l.skip(RuleRackForce, "rated force of rack and pinion, or the stress that its teeth may bear")
			return
		}
		// At the feed of the larger load: the faster of the two is safe.
		o.ToothForce = l.take(ToothForce(r.AllowedStress, r.Face, r.Module, l.take(FormFactor(r.Teeth)), in.RapidFeed))
	}
	l.hold(RuleRackForce, o.LargestLoad, o.ToothForce, "N")
}
