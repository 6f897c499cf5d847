package cut

import (
	"math"

	"ironbed/compiler/chatter"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
)

// LobeDoubt is by how much the modes may lie elsewhere before a grade that hangs on
// them is called fragile [-]: stiffness and mass known to a third.
const LobeDoubt = 0.2

// A Sung is what limits a cut by vibration: at its speed and at any speed.
type Sung struct {
	At, Any chatter.Limit
	Shifted chatter.Limit // at its speed, the modes anywhere within LobeDoubt
	Hz      float64       // the frequency at which a deeper cut would sing, 0 for none [Hz]
	Ring    *machine.Ring // the pose in which it sings first
	Mode    int           // the mode that moves the tip most when it sings
}

// AskedDepth is the depth that an answer's grade asks of its best cut [m].
func (a *Answer) AskedDepth() float64 {
	ratio := a.Best().Best.Operation.LightDepth
	if a.Best().Grade == reach.WithinReach {
		ratio = a.Best().Best.Operation.FullDepth
	}
	return ratio * a.Point().Cut.Diameter
}

// hear finds where each best cut stands against the machine's own vibration.
func (out *Answers) hear(s *machine.Solution) error {
	errs := make([]error, 2*len(out.List))
	machine.EachParallel(len(errs), func(k int) {
		a := &out.List[k/2]
		switch {
		case a.Point() == nil:
		case k%2 == 0:
			a.Sung, errs[k] = sings(s.Model, s.Rings, a)
		default:
			a.SungSoft, errs[k] = sings(s.SoftModel, s.SoftRings, a)
		}
	})
	for k, err := range errs {
		if err != nil {
			return &machine.Refused{Rule: "chatter", At: out.List[k/2].Entry.At, Message: err.Error()}
		}
	}
	for i := range out.List {
		a := &out.List[i]
		if a.Point() == nil {
			continue
		}
		if soft := a.SungSoft.At.Depth; !math.IsInf(soft, 0) {
			a.Quiet = machine.StableShare * soft
		}
		if depth := a.Sung.At.Depth; !math.IsInf(depth, 0) {
			a.Room = machine.StableShare * depth / a.AskedDepth()
		}
		if a.Sung.Hz > 0 && a.Point().Limit == reach.Chatter {
			a.Swinging = s.Model.ModeShares(a.Sung.Ring.Modes, a.Sung.Mode)
		}
	}
	return nil
}

// sings finds the limits of an answer's best cut over the directions of feed and the
// poses of the rings.
func sings(d *machine.Model, rings []machine.Ring, a *Answer) (Sung, error) {
	p, best := a.Point(), a.Best()
	cut, err := best.Input.StabilityCut(p)
	if err != nil {
		return Sung{}, err
	}
	cutter := d.Spec.Cutters.Find(best.Cutter)
	never := chatter.Limit{Depth: math.Inf(1)}
	out := Sung{At: never, Any: never, Shifted: never}
	atRing, anyRing := 0, 0
	for i := range rings {
		own, err := d.Planes(rings[i:i+1], cutter)
		if err != nil {
			return Sung{}, err
		}
		at, err := chatter.Limits(own, cut, []float64{p.Cut.Speed}, 0, math.Inf(1))
		if err != nil {
			return Sung{}, err
		}
		if at[0].Depth < out.At.Depth {
			out.At, atRing = at[0], i
		}
		shifted, err := chatter.Limits(own, cut, []float64{p.Cut.Speed}, LobeDoubt, math.Inf(1))
		if err != nil {
			return Sung{}, err
		}
		if shifted[0].Depth < out.Shifted.Depth {
			out.Shifted = shifted[0]
		}
		for _, plane := range own {
			limit, err := chatter.Unconditional(plane, cut)
			if err != nil {
				return Sung{}, err
			}
			if limit.Depth < out.Any.Depth {
				out.Any, anyRing = limit, i
			}
		}
	}
	first, where := out.At, atRing
	if math.IsInf(first.Depth, 0) {
		first, where = out.Any, anyRing
	}
	if out.Hz = first.Frequency; out.Hz > 0 {
		end, err := machine.ToolEndOf(d.Spec.Spindle, cutter, d.Read)
		if err != nil {
			return Sung{}, err
		}
		out.Ring = &rings[where]
		if out.Mode, err = out.Ring.Swinging(out.Hz, end, machine.Pointing(d.Spec.Spindle)); err != nil {
			return Sung{}, err
		}
	}
	return out, nil
}

// Lobes are a cut's limits over the speeds that spindle and material take.
type Lobes struct {
	Speeds []float64 // [rev/s]
	Limits []chatter.Limit
	Safe   []chatter.Limit // the same with the speed in doubt
}

// LobeSteps is how many speeds lobes have.
const LobeSteps = 240

// Lobes finds the limits of an answer's best cut over the speed, for a picture.
func (a *Answer) Lobes(s *machine.Solution) (Lobes, error) {
	p, best := a.Point(), a.Best()
	var out Lobes
	cut, err := best.Input.StabilityCut(p)
	if err != nil {
		return out, err
	}
	planes, err := s.Model.Planes(s.Rings, s.Spec.Cutters.Find(best.Cutter))
	if err != nil {
		return out, err
	}
	slow, fast := speedsDrawn(&best.Input, p)
	for i := range LobeSteps {
		out.Speeds = append(out.Speeds, slow*math.Pow(fast/slow, float64(i)/(LobeSteps-1)))
	}
	if out.Limits, err = chatter.Limits(planes, cut, out.Speeds, 0, math.Inf(1)); err != nil {
		return out, err
	}
	out.Safe, err = chatter.Limits(planes, cut, out.Speeds, machine.SpeedDoubt, math.Inf(1))
	return out, err
}

// speedsDrawn are the ends of a lobe picture: the speeds that spindle and material
// take, with some room on both sides.
func speedsDrawn(in *reach.Input, p *reach.Point) (slow, fast float64) {
	curve := in.Machine.SpindleCurve
	around := math.Pi * in.Cutter.Diameter
	slow = math.Max(curve[0].Speed, in.SurfaceSpeed.Min/around)
	fast = math.Min(curve[len(curve)-1].Speed, in.SurfaceSpeed.Max/around)
	return math.Min(slow, p.Cut.Speed) / 1.3, math.Max(fast, p.Cut.Speed) * 1.15
}
