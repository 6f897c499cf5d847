package axis

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/cable"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

const (
	// tightBellows and looseBellows are a bellows' length drawn out over the travel,
	// on rails from the size largeRail and on smaller ones [-]; common practice.
	tightBellows, looseBellows = 1.11, 1.28
	largeRail                  = 30e-3
	// bellowsEnds is what the end frames of a bellows take, boxOverlap how far two
	// boxes of a telescopic cover overlap, boxLip how far each stands out of the next
	// [m], and mostBoxes how many one has; common practice.
	bellowsEnds, boxOverlap, boxLip = 20e-3, 30e-3, 15e-3
	mostBoxes                       = 12
	// coveredTravel is the travel from which on covers are computed where the spec has
	// none [m].
	coveredTravel = 1.0
)

// cover computes the covers of every axis.
func (s *Solution) cover() error {
	read := s.Model.Read
	for i := range s.Spec.Axes {
		a := &s.Spec.Axes[i]
		if len(a.Item.Guides) == 0 || read.Of(a.Item.Travel) <= 0 {
			continue
		}
		c := &Cover{Axis: i, RoomLog: &spec.Log{}}
		for _, boxes := range kindsOfCover(read, &a.Item) {
			k := &Covering{Boxes: boxes, Made: &spec.Log{}}
			k.Log = spec.Over(k.Made)
			var err error
			if k.Covered, err = s.covered(i, boxes, read.Into(k.Log), read.Into(k.Made)); err != nil {
				return &machine.Refused{Rule: "cover", At: a.At, Message: fmt.Sprintf("axis %s: its covers: %v", a.Name, err)}
			}
			k.Ends = atEnds(func(read spec.Reader) (Covered, error) { return s.covered(i, boxes, read, read) })
			if boxes && (a.Item.Covers == nil || !a.Item.Covers.Boxes.Given) {
				k.Made = k.Log // the travel says how many boxes close shortest
			}
			c.Kinds = append(c.Kinds, k)
		}
		if len(c.Kinds) == 0 {
			continue
		}
		c.Room = s.railRoom(read.Into(c.RoomLog), &a.Item)
		c.RoomEnds = atEnds(func(read spec.Reader) (float64, error) { return s.railRoom(read, &a.Item), nil })
		s.Covers = append(s.Covers, c)
	}
	return nil
}

// railRoom is how far the carriages of an axis can run on the shortest of its rails
// [m].
func (s *Solution) railRoom(read spec.Reader, a *spec.Axis) float64 {
	travel := machine.Unit(a.Direction.XYZ)
	room := math.Inf(1)
	for i := range a.Guides {
		g := &a.Guides[i].Item
		var rail, runs machine.ReachAlong
		for _, over := range g.Over {
			body, members := s.Spec.Match(over.Text)
			for _, name := range members {
				m := s.Spec.Bodies.Find(body).Members.Find(name)
				rail.Take(r3.Dot(travel, r3.Add(s.drawn(read, body+"."+m.From.Text), machine.Vector(read, m.FromOffset))))
				rail.Take(r3.Dot(travel, r3.Add(s.drawn(read, body+"."+m.To.Text), machine.Vector(read, m.ToOffset))))
			}
		}
		for _, c := range g.Carriages {
			runs.Take(r3.Dot(travel, s.drawn(read, c.Text)))
		}
		room = math.Min(room, rail.Length()-runs.Length()-read.Of(s.Spec.Rails.Find(g.Rail.Text).CarriageLength))
	}
	return room
}

// kindsOfCover are the covers to compute, true for a telescopic one: that which the spec
// gives, or both on a long axis.
func kindsOfCover(read spec.Reader, a *spec.Axis) []bool {
	switch {
	case a.Covers != nil:
		return []bool{a.Covers.Kind.Text != "bellows"}
	case read.Of(a.Travel) < coveredTravel:
		return nil
	}
	return []bool{false, true}
}

// covered computes one cover by the numbers that readers pick, one for the travel and
// one for how the cover is made. The room on the rails has a log of its own.
func (s *Solution) covered(axis int, boxes bool, read, made spec.Reader) (Covered, error) {
	a := &s.Spec.Axes[axis].Item
	room, travel := s.railRoom(spec.At(read.Bound()), a), read.Of(a.Travel)
	given := a.Covers
	if given == nil {
		given = &spec.Covers{}
	}
	var out Covered
	var err error
	if boxes {
		count := 0
		if given.Boxes.Given {
			count = made.Count(given.Boxes)
		}
		out, err = telescopic(travel, room, count, orElse(made, given.Overlap, boxOverlap), orElse(made, given.Lip, boxLip))
	} else {
		factor := given.ExtendedRatio
		usual := looseBellows
		if !factor.Given && made.Of(s.Spec.Rails.Find(a.Guides[0].Item.Rail.Text).Size) >= largeRail {
			usual = tightBellows
		}
		out, err = bellows(travel, room, orElse(made, factor, usual), orElse(made, given.Ends, bellowsEnds))
	}
	out.Wants = travel + 2*out.Closed
	return out, err
}

// bellows is a bellows that takes a share of the travel.
func bellows(travel, room, factor, ends float64) (out Covered, err error) {
	if out.Cover, err = cable.Bellows(travel, factor, ends); err != nil {
		return out, err
	}
	if room > 2*ends {
		out.Left, err = cable.TravelLeft(room, factor, ends)
	}
	return out, err
}

// telescopic is a cover of so many boxes, or of as many as close shortest.
func telescopic(travel, room float64, boxes int, overlap, lip float64) (out Covered, err error) {
	if boxes == 0 {
		out.Cover, err = cable.BestTelescopic(travel, overlap, lip, mostBoxes)
	} else {
		out.Cover, err = cable.Telescopic(travel, boxes, overlap, lip)
	}
	if err != nil {
		return out, err
	}
	// What it takes beside the travel's own share, at both ends.
	if fixed := 2 * (out.Closed - travel/float64(out.Folds-1)); room > fixed {
		out.Left, err = cable.TelescopicTravelLeft(room, out.Folds, overlap, lip)
	}
	return out, err
}
