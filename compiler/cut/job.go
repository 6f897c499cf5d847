package cut

import (
	"math"

	"ironbed/compiler/cutting"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// A Job is a target's part: how much is cut away from it, and how it may be finished.
type Job struct {
	Removed   float64 // volume to be cut away [m3]
	Finished  float64 // area to be finished [m2]
	TimeInCut float64 // share of the time in which the cutter cuts [-]

	Limit        float64 // time that it may take, 0 for any [s]
	InsideRadius float64 // smallest inside radius of the walls, 0 for any [m]
	Roughness    float64 // Ra that is wanted on the walls, 0 for any [m]
	Log          *spec.Log
}

// JobOf reads what a target says of its part.
func JobOf(read spec.Reader, e *spec.Entry[spec.Target]) Job {
	log := &spec.Log{}
	read = read.Into(log)
	t := &e.Item
	return Job{
		Removed: read.Of(t.Removed), Finished: read.Of(t.Finished), TimeInCut: read.Of(t.TimeInCut),
		Limit: read.Of(t.MachiningTime), InsideRadius: read.Of(t.InsideRadius), Roughness: read.Of(t.Roughness), Log: log,
	}
}

// Roughing is how long it takes to cut the part out at a removal rate [m3/s]; 0 where that is not
// known [s].
func (j *Job) Roughing(rate float64) float64 {
	return known(cutting.RoughingTime(j.Removed, rate, j.TimeInCut))
}

// Finishing is how long a finish pass takes over the part; 0 where that is not known [s].
func (j *Job) Finishing(p *FinishPass) float64 {
	if p == nil || p.Refusal != "" {
		return 0
	}
	return known(cutting.FinishingTime(j.Finished, p.Feed, p.Cut.Depth, j.TimeInCut))
}

// known is a time, 0 where it is not known.
func known(t float64, err error) float64 {
	if err != nil {
		return 0
	}
	return t
}

// TooLong reports whether a time is more than the job may take.
func (j *Job) TooLong(time float64) bool { return j.Limit > 0 && rank.More(time, j.Limit) }

// Fits reports whether a cutter of a diameter [m] finishes the smallest inside radius.
func (j *Job) Fits(diameter float64) bool {
	return j.InsideRadius == 0 || !rank.More(diameter, 2*j.InsideRadius)
}

// A Fast is the cut of an answer that removes most, whatever its grade: of any cutter in any
// operation, at least as deep as a light cut.
type Fast struct {
	Attempt *Attempt // nil where no cut is as deep as that
	Outcome *reach.Outcome
	Point   *reach.Point
	Ends    []*reach.Point // of that operation with every uncertain value at its worse end, and at its better end, where one goes
}

// FastestOf finds the cut that removes most, held against chatter by several frequencies.
func FastestOf(attempts []Attempt) (out Fast, err error) {
	type candidate struct {
		attempt *Attempt
		outcome *reach.Outcome
	}
	var list []candidate
	for i := range attempts {
		for k := range attempts[i].Outcomes {
			if o := &attempts[i].Outcomes[k]; o.Fastest != nil && o.Grade >= reach.LightCuts {
				list = append(list, candidate{&attempts[i], o})
			}
		}
	}
	most := func(c candidate) float64 {
		if c.attempt.sure[c.outcome] {
			return math.Inf(1) // its fastest is that of the cuts looked at
		}
		return c.outcome.Fastest.RemovalRate // what an operation has by the search alone is never less
	}
	rank.By(list, most)
	for _, c := range list {
		if out.Point != nil && !rank.More(most(c), out.Point.RemovalRate) {
			break
		}
		p, err := c.attempt.fastest(c.outcome)
		if err != nil {
			return out, err
		}
		if p != nil && (out.Point == nil || rank.More(p.RemovalRate, out.Point.RemovalRate)) {
			out = Fast{Attempt: c.attempt, Outcome: c.outcome, Point: p}
		}
	}
	return out, nil
}

// fastest is the fastest cut of an operation that is at least a light one; nil where none
// is stable.
func (a *Attempt) fastest(o *reach.Outcome) (*reach.Point, error) {
	if a.sure[o] && o.Grade == reach.LightCuts {
		return o.Best, nil // the fastest of its grade
	}
	if len(a.Input.Machine.Planes) == 0 || a.Input.Cutter.Corner > 0 { // several frequencies tell no more
		if o.Fastest.DepthRatio < o.Operation.LightDepth*(1-rank.Alike) {
			return o.Best, nil
		}
		return o.Fastest, nil
	}
	if err := a.hear(); err != nil {
		return nil, err
	}
	alike := *o
	alike.Operation.FullDepth = alike.Operation.LightDepth // which makes the fastest light cut the best
	found, err := reach.Confirm(a.Input, alike, a.band)
	if err != nil || found.Grade == reach.OutOfReach {
		return nil, err
	}
	return found.Best, nil
}

// job finds how long the part of an answer takes.
func (a *Answer) job(s *machine.Solution, f *found) (err error) {
	if a.Fastest, err = FastestOf(a.Attempts); err != nil || a.Fastest.Attempt == nil {
		return err
	}
	for i, end := range f.ends {
		a.JobEnds[i] = JobOf([]*machine.Model{s.SoftModel, s.StiffModel}[i].Read, a.Entry)
		there, err := end.Of(a.Fastest.Attempt.Cutter)
		if err != nil {
			return err
		}
		if there == nil {
			continue
		}
		for k := range there.Outcomes {
			if o := &there.Outcomes[k]; sameOperation(o, a.Fastest.Outcome) && o.Fastest != nil {
				a.Fastest.Ends = append(a.Fastest.Ends, o.Fastest)
			}
		}
	}
	return nil
}

// Roughness is the least Ra that a pass leaves, by its feed, its runout and its vibration, at a corner
// radius of the cutter, 0 for none [m].
func (p *FinishPass) Roughness(corner float64) float64 {
	height := math.Max(p.Static.CuspHeight, p.Around.Ripple)
	if floor, err := cutting.CornerMarks(corner, p.Cut.FeedPerTooth); err == nil {
		height = math.Max(height, floor)
	}
	return cutting.ArithmeticRoughness(height)
}
