package cut

import (
	"math"

	"ironbed/compiler/cutting"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

const (
	// finishWidth is the width of a finish pass over the diameter, where the finish allowance is not
	// less; common practice [-].
	finishWidth = 0.04
	// finishDepth is its depth over the diameter, at most; common practice [-].
	finishDepth = 2
	// finishChip is its thickest chip over the thinnest that cuts; common practice [-].
	finishChip = 1.5
	// finishFeed is its feed per tooth over the diameter, at most: a narrow cut is not
	// fed without end to keep its chip; common practice [-].
	finishFeed = 1.0 / 30
	// finishStep is from a depth of it that is tried to the next: a wall is cut in twice as
	// many steps [-].
	finishStep = 0.5
	// leastFinish is its least depth over the diameter; common practice [-].
	leastFinish = 0.05
)

// finishers are the end mills of an answer's attempts that cut, with a thin pass each.
func (a *Answer) finishers(s *machine.Solution, f *found) (list []Finisher, err error) {
	for i := range a.Attempts {
		p := Finisher{Attempt: &a.Attempts[i], Accuracy: s.Model.Read.Of(a.Entry.Item.Accuracy), Allowance: s.Model.Read.Of(a.Entry.Item.FinishAllowance)}
		if p.Attempt.Best.Best == nil || s.Spec.Cutters.Find(p.Attempt.Cutter).Kind.Text == "face" {
			continue // a face mill finishes no wall
		}
		for k, end := range f.ends {
			if at := end.place(p.Attempt.Cutter); at >= 0 {
				p.Ends[k] = &end.list[at]
			}
		}
		if p.Finish, err = p.finish(s, finishFeeds[0]); err != nil {
			return nil, err
		}
		list = append(list, p)
	}
	return list, nil
}

// finishFeeds are the feeds per tooth that a finish pass is tried at, over that of a chip finishChip times as thick as the
// thinnest that cuts; the last is that of the thinnest [-].
var finishFeeds = [...]float64{1, 0.9, 0.8, 0.73, 1 / finishChip}

// Slower are the same end mill's passes at lower feeds per tooth, the fastest first, as far as the chip
// still cuts: they leave lower cusps.
func (p *Finisher) Slower(s *machine.Solution) (list []Finisher, err error) {
	for _, share := range finishFeeds[1:] {
		if share*p.Cut.FeedPerTooth < p.LeastFeed*(1-rank.Alike) {
			break
		}
		slow := *p
		if slow.Finish, err = p.finish(s, share); err != nil {
			return nil, err
		}
		list = append(list, slow)
	}
	return list, nil
}

// finish computes a thin pass along a wall, at a share of its feed per tooth: as deep as its static error, the
// thrust of the axes and the torque of the spindle allow, or the least depth.
func (p *Finisher) finish(s *machine.Solution, share float64) (Finish, error) {
	best := p.Attempt
	in := &best.Input
	read := s.Model.Read.Into(spec.Over(best.Log))
	out := Finish{Log: read.Log()}
	helix, size := s.Spec.Cutters.Find(best.Cutter).Helix, in.Cutter.Diameter
	out.Cut = cutting.Cut{
		Diameter: size, Teeth: in.Cutter.Teeth, Helix: read.Of(helix),
		Width: math.Min(p.Allowance, finishWidth*size), Depth: math.Min(in.Cutter.FluteLength, finishDepth*size),
		Speed: best.Best.Best.Cut.Speed, Mode: cutting.Down,
	}
	thinning, err := cutting.ThinningFactor(out.Cut.Width / size)
	if err != nil {
		return out, err
	}
	// The thinnest chip that cuts, thickened back for the narrow cut and for an edge that
	// leans, as far as the axes can feed.
	thinning *= in.Cutter.EdgeSine(out.Cut.Depth)
	out.Cut.FeedPerTooth = math.Min(in.ChipThickness.Min*finishChip/thinning, size*finishFeed)
	fastest, _, err := reach.FeedLimit(in.Machine.Axes, in.Machine.ToolAxis)
	if err != nil {
		return out, err
	}
	out.Cut.FeedPerTooth = share * math.Min(out.Cut.FeedPerTooth, fastest/(out.Cut.Speed*float64(out.Cut.Teeth)))
	out.LeastFeed = in.ChipThickness.Min / thinning
	out.Feed = cutting.FeedRate(out.Cut.FeedPerTooth, out.Cut.Teeth, out.Cut.Speed)
	for {
		if out.Wall, err = wallOf(in, out.Cut); err != nil {
			return out, err
		}
		held, err := driven(in, out.Cut)
		if err != nil {
			return out, err
		}
		if held && math.Abs(out.Wall.Climb) <= p.Accuracy || out.Cut.Depth*finishStep < leastFinish*size {
			break
		}
		out.Cut.Depth *= finishStep
	}
	for i, d := range []*machine.Model{s.SoftModel, s.StiffModel} {
		if p.Ends[i] == nil {
			continue
		}
		pass := out.Cut
		pass.Helix = d.Read.Of(helix)
		// An end may lie where the formula does not hold.
		if wall, err := wallOf(&p.Ends[i].Input, pass); err == nil {
			out.EndWalls = append(out.EndWalls, wall)
		}
	}
	return out, nil
}

// withCutter is a pass with the cutter of a search, as it runs.
func withCutter(in *reach.Input, pass cutting.Cut) cutting.Cut {
	pass.Diameter, pass.Runout, pass.RunoutAngle = in.Cutter.Diameter, in.Cutter.Runout, cutting.WorstRunoutAngle(pass.Teeth)
	pass.Corner, pass.CuttingEdgeAngle = in.Cutter.Corner, in.Cutter.EdgeAngle
	return pass
}

// driven reports whether the axes and the spindle have the thrust and the torque for a pass.
func driven(in *reach.Input, pass cutting.Cut) (bool, error) {
	f, err := withCutter(in, pass).Forces(in.Work)
	if err != nil {
		return false, err
	}
	for _, a := range in.Machine.Axes {
		along := math.Abs(a.Direction[0]*in.Machine.ToolAxis[0] + a.Direction[1]*in.Machine.ToolAxis[1] + a.Direction[2]*in.Machine.ToolAxis[2])
		if need := f.PeakLateral*math.Sqrt(max(0, 1-along*along)) + math.Abs(f.PeakAxial)*along; rank.More(need, a.Thrust) {
			return false, nil
		}
	}
	torque, _, _, ok := reach.SpindleAt(in.Machine.SpindleCurve, pass.Speed)
	return !ok || !rank.More(f.MeanTorque, torque), nil
}

// wallOf is the wall that a pass leaves, as it is set, with the cutter, the work material and
// the machine of a search.
func wallOf(in *reach.Input, pass cutting.Cut) (out Wall, err error) {
	pass = withCutter(in, pass)
	soft, _, err := reach.WorstDeflection(in.Machine.Compliance, in.Machine.ToolAxis, 1, 0)
	if err != nil {
		return out, err
	}
	pass.Mode = cutting.Down
	climbing, err := pass.Form(in.Work, soft)
	if err != nil {
		return out, err
	}
	pass.Mode = cutting.Up
	conventional, err := pass.Form(in.Work, soft)
	if err != nil {
		return out, err
	}
	out.Climb, out.Conventional = climbing.Error, conventional.Error
	out.CuspHeight, err = cutting.UnevenMarks(pass.Diameter, pass.FeedPerTooth, cutting.ToothRadii(pass.Runout, pass.RunoutAngle, pass.Teeth))
	return out, err
}
