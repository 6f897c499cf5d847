package cut

import (
	"math"

	"ironbed/compiler/chatter"
	"ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
)

// ModeUncertainty is by how much the modes may lie elsewhere before a grade that hangs on
// them is called fragile [-]: stiffness and mass known to a third.
const ModeUncertainty = 0.2

// RequiredDepth is the depth that an answer's grade asks of its best cut [m].
func (a *Answer) RequiredDepth() float64 {
	ratio := a.Best().Best.Operation.LightDepth
	if a.Best().Grade == reach.WithinReach {
		ratio = a.Best().Best.Operation.FullDepth
	}
	return ratio * a.Point().Cut.Diameter
}

// Allowed is the depth that a cut may use of a limit [m].
func Allowed(l chatter.Limit) float64 { return machine.StableShare * l.Depth }

// OnLobe reports whether a grade is had only between the lobes of modes that are not
// known so well.
func (a *Answer) OnLobe() bool {
	return a.Best().Grade != reach.OutOfReach && Allowed(a.Stability.Shifted) < a.RequiredDepth()
}

// Limits of the ratio of the teeth's frequency to that of a mode: far above it a
// machine no longer follows, close to it a wall comes out rippled [-]; common practice.
const (
	farAbove = 2
	closeLow = 0.85
	closeTop = 1.18
)

// toothPassingOf holds a cut's teeth against modes.
func toothPassingOf(modes *frame.Modes, p *reach.Point) ToothPassing {
	out := ToothPassing{Hz: p.Cut.Speed * float64(p.Cut.Teeth)}
	nearest := math.Inf(1)
	for k := range modes.Count() {
		// Of modes that lie alike the first is named.
		if d := math.Abs(math.Log(modes.Frequency(k) / out.Hz)); d < nearest-1e-9 {
			nearest, out.Mode = d, k
		}
	}
	out.ModeHz = modes.Frequency(out.Mode)
	ratio := out.Hz / out.ModeHz
	out.Above, out.Close = ratio > farAbove, ratio > closeLow && ratio < closeTop
	return out
}

// judgeStability finds where each best cut stands against the machine's own vibration.
func (out *Answers) judgeStability(s *machine.Solution) error {
	ends := [3]struct {
		d          *machine.Model
		vibrations []machine.Vibration
	}{{s.Model, s.Vibrations}, {s.SoftModel, s.SoftVibrations}, {s.StiffModel, s.StiffVibrations}}
	errs := make([]error, len(ends)*len(out.List))
	machine.EachParallel(len(errs), func(k int) {
		a, end := &out.List[k/len(ends)], k%len(ends)
		if a.Point() == nil {
			return
		}
		to, several := &a.Stability, a.Point().Several
		if end > 0 {
			// What several frequencies find there is known of the cut that goes there.
			if to, several = &a.StabilityEnds[end-1], (reach.Onset{}); a.Ends[end-1].Point != nil {
				several = a.Ends[end-1].Point.Several
			}
		}
		*to, errs[k] = stabilityOf(ends[end].d, ends[end].vibrations, a, several)
	})
	for k, err := range errs {
		if err != nil {
			return &machine.Refused{Rule: "chatter", At: out.List[k/len(ends)].Entry.At, Message: err.Error()}
		}
	}
	for i := range out.List {
		a := &out.List[i]
		if a.Point() == nil {
			continue
		}
		if !math.IsInf(a.Stability.At.Depth, 0) {
			a.StableRatio = Allowed(a.Stability.At) / a.RequiredDepth()
		}
		a.ToothPassing = toothPassingOf(s.Vibrations[0].Modes, a.Point())
		if a.Stability.Hz > 0 && a.Point().Limit == reach.Chatter {
			a.ModeShares = a.Stability.Largest.Shares
		}
	}
	return nil
}

// stabilityOf finds the limits of an answer's best cut over the directions of feed and the
// poses of the vibrations; several is where it chatters by several frequencies.
func stabilityOf(d *machine.Model, vibrations []machine.Vibration, a *Answer, several reach.Onset) (Stability, error) {
	p, best := a.Point(), a.Best()
	cut, err := best.Input.StabilityCut(p)
	if err != nil {
		return Stability{}, err
	}
	damped := chatter.Milling{Cut: cut, Diameter: p.Cut.Diameter, Damping: d.Read.Of(a.Entry.Item.ProcessDamping)}
	cutter := d.Spec.Cutters.Find(best.Cutter)
	never := chatter.Limit{Depth: math.Inf(1)}
	out := Stability{At: never, Any: never, Shifted: never}
	atRing, anyRing := 0, 0
	for i := range vibrations {
		own, err := d.Planes(vibrations[i:i+1], cutter)
		if err != nil {
			return Stability{}, err
		}
		at, err := chatter.DampedLimits(own, damped, []float64{p.Cut.Speed}, machine.SpeedDoubt, math.Inf(1))
		if err != nil {
			return Stability{}, err
		}
		if rank.More(out.At.Depth, at[0].Depth) {
			out.At, atRing = at[0], i
		}
		shifted, err := chatter.DampedLimits(own, damped, []float64{p.Cut.Speed}, ModeUncertainty, math.Inf(1))
		if err != nil {
			return Stability{}, err
		}
		if shifted[0].Depth < out.Shifted.Depth {
			out.Shifted = shifted[0]
		}
		for _, plane := range own {
			limit, err := chatter.Unconditional(plane, cut)
			if err != nil {
				return Stability{}, err
			}
			if rank.More(out.Any.Depth, limit.Depth) {
				out.Any, anyRing = limit, i
			}
		}
	}
	if several.Kind != chatter.Never && several.Depth < out.At.Depth {
		out.At, out.Kind = several.Limit, several.Kind
	}
	first, where := out.At, atRing
	if math.IsInf(first.Depth, 0) {
		first, where = out.Any, anyRing
	}
	if out.Hz = first.Frequency; out.Hz > 0 {
		if out.Largest, err = d.LargestMode(&vibrations[where], cutter, out.Hz); err != nil {
			return Stability{}, err
		}
	}
	return out, nil
}

// Lobes are a cut's limits over the speeds that spindle and material take.
type Lobes struct {
	Speeds []float64    // [rev/s]
	Limit  []float64    // the depth above which it chatters, endless where nothing does [m]
	Ends   [2][]float64 // the same with every uncertain value at its worse end, and at its better end [m]
	Used   []float64    // the depth that is used at most, with the speed uncertain [m]
}

// lobeSteps is how many speeds lobes have.
const lobeSteps = 240

// Lobes finds the limits of an answer's best cut over the speed, for a picture.
func (a *Answer) Lobes(s *machine.Solution) (out Lobes, err error) {
	slow, fast := speedsDrawn(&a.Best().Input, a.Point())
	for i := range lobeSteps {
		out.Speeds = append(out.Speeds, slow*math.Pow(fast/slow, float64(i)/(lobeSteps-1)))
	}
	if out.Limit, err = a.limitsOver(s.Model, s.Vibrations, out.Speeds, 0); err != nil {
		return out, err
	}
	for i, end := range []struct {
		d          *machine.Model
		vibrations []machine.Vibration
	}{{s.SoftModel, s.SoftVibrations}, {s.StiffModel, s.StiffVibrations}} {
		if out.Ends[i], err = a.limitsOver(end.d, end.vibrations, out.Speeds, 0); err != nil {
			return out, err
		}
	}
	out.Used, err = a.limitsOver(s.Model, s.Vibrations, out.Speeds, machine.SpeedDoubt)
	for i := range out.Used {
		out.Used[i] *= machine.StableShare
	}
	return out, err
}

// limitsOver are the depths above which an answer's best cut chatters at speeds that are
// known to a share of themselves [m].
func (a *Answer) limitsOver(d *machine.Model, vibrations []machine.Vibration, speeds []float64, doubt float64) ([]float64, error) {
	best := a.Best()
	cut, err := best.Input.StabilityCut(a.Point())
	if err != nil {
		return nil, err
	}
	planes, err := d.Planes(vibrations, d.Spec.Cutters.Find(best.Cutter))
	if err != nil {
		return nil, err
	}
	mill := chatter.Milling{Cut: cut, Diameter: a.Point().Cut.Diameter, Damping: best.Input.ProcessDamping}
	limits, err := chatter.DampedLimits(planes, mill, speeds, doubt, math.Inf(1))
	depths := make([]float64, len(limits))
	for i, l := range limits {
		depths[i] = l.Depth
	}
	return depths, err
}

// speedsDrawn are the ends of a lobe picture: the speeds that spindle and material
// take, with a margin on both sides.
func speedsDrawn(in *reach.Input, p *reach.Point) (slow, fast float64) {
	slow, fast = speedsTaken(in)
	return math.Min(slow, p.Cut.Speed) / 1.3, math.Max(fast, p.Cut.Speed) * 1.15
}

// speedsTaken are the speeds that spindle and material take.
func speedsTaken(in *reach.Input) (slow, fast float64) {
	curve := in.Machine.SpindleCurve
	around := math.Pi * in.Cutter.Diameter
	return math.Max(curve[0].Speed, in.SurfaceSpeed.Min/around), math.Min(curve[len(curve)-1].Speed, in.SurfaceSpeed.Max/around)
}

// A Pocket is a speed between two lobes of a best cut.
type Pocket struct {
	Speed float64 // [rev/s]
	Lobe  int     // how many vibrations pass from tooth to tooth
}

// Known reports whether the lobes beside a pocket lie farther apart than a speed is known: below and above by its share.
func (p Pocket) Known() bool { return 1/float64(p.Lobe) > 2*machine.SpeedDoubt }

// Pockets are the speeds next below and above that of an answer's best cut between the lobes of the frequency at which it would chatter,
// as spindle, cutter and material take them; nil for none.
func (a *Answer) Pockets() (slower, faster *Pocket, err error) {
	if a.Stability.Hz == 0 {
		return nil, nil, nil
	}
	in, now := &a.Best().Input, a.Point().Cut
	slow, fast := speedsTaken(in)
	if in.Cutter.MaxSpeed > 0 {
		fast = math.Min(fast, in.Cutter.MaxSpeed)
	}
	for lobe := 1; ; lobe++ {
		n, err := chatter.PocketSpeed(a.Stability.Hz, now.Teeth, lobe)
		if err != nil || rank.More(slow, n) {
			return slower, faster, err
		}
		switch {
		case rank.More(n, fast):
		case rank.More(n, now.Speed):
			faster = &Pocket{n, lobe}
		case rank.More(now.Speed, n):
			return &Pocket{n, lobe}, faster, nil
		}
	}
}
