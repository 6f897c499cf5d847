package reach

import (
	"math"
	"sort"

	"ironbed/compiler/cutting"
)

// A course is a load of a cut over its depth.
type course struct {
	perDepth float64 // of a square corner: in proportion to the depth
	table    *table  // of a rounded one, in its place
}

// A table is a load at rising depths. It never falls. Between the depths of the corner it
// goes with a power of the depth, as the loads of a ball do near its tip; above the
// corner, and beyond the last depth, it is straight.
type table struct {
	depths, loads []float64
	corner        float64 // [m]
}

// at returns the load at a depth.
func (c course) at(depth float64) float64 {
	if c.table != nil {
		return c.table.at(depth)
	}
	return c.perDepth * depth
}

// allows returns the depth at which the load reaches what there is, infinite where it
// never does.
func (c course) allows(have float64) float64 {
	if c.table != nil {
		return c.table.allows(have)
	}
	if c.perDepth <= 0 {
		return math.Inf(1)
	}
	return have / c.perDepth
}

// times returns the course of a load that is a multiple of another.
func (c course) times(factor float64) course {
	if c.table != nil {
		return c.table.plus(factor, c.table, 0)
	}
	return course{perDepth: factor * c.perDepth}
}

// plus returns the course of a load that is so much of one and so much of another of the
// same cut.
func (c course) plus(factor float64, other course, otherFactor float64) course {
	if c.table != nil {
		return c.table.plus(factor, other.table, otherFactor)
	}
	return course{perDepth: factor*c.perDepth + otherFactor*other.perDepth}
}

// A segment is the stretch of a table between two of its depths.
type segment struct {
	fromDepth, toDepth, fromLoad, toLoad float64
	power                                bool // the load goes with a power of the depth
}

func (t *table) segment(i int) segment {
	last := len(t.depths) - 1
	if i = min(i, last); i == 0 {
		// Below the first depth as between it and the next.
		if last > 0 && t.depths[1] <= t.corner*rounding && t.loads[0] > 0 && t.loads[1] > t.loads[0] {
			return segment{t.depths[0], t.depths[1], t.loads[0], t.loads[1], true}
		}
		return segment{toDepth: t.depths[0], toLoad: t.loads[0]}
	}
	s := segment{fromDepth: t.depths[i-1], toDepth: t.depths[i], fromLoad: t.loads[i-1], toLoad: t.loads[i]}
	s.power = s.fromLoad > 0 && s.toDepth <= t.corner*rounding
	return s
}

func (t *table) at(depth float64) float64 {
	s := t.segment(sort.SearchFloat64s(t.depths, depth))
	if s.power && depth < s.toDepth {
		return s.fromLoad * math.Pow(s.toLoad/s.fromLoad, math.Log(depth/s.fromDepth)/math.Log(s.toDepth/s.fromDepth))
	}
	return s.fromLoad + (s.toLoad-s.fromLoad)*(depth-s.fromDepth)/(s.toDepth-s.fromDepth)
}

func (t *table) allows(have float64) float64 {
	s := t.segment(sort.SearchFloat64s(t.loads, have))
	if !(s.toLoad > s.fromLoad) {
		return math.Inf(1)
	}
	if s.power && have < s.toLoad {
		return s.fromDepth * math.Pow(s.toDepth/s.fromDepth, math.Log(have/s.fromLoad)/math.Log(s.toLoad/s.fromLoad))
	}
	return s.fromDepth + (s.toDepth-s.fromDepth)*(have-s.fromLoad)/(s.toLoad-s.fromLoad)
}

// with returns the table of another load at the same depths.
func (t *table) with(load func(i int) float64) *table {
	other := &table{depths: t.depths, corner: t.corner, loads: make([]float64, len(t.depths))}
	for i := range other.loads {
		other.loads[i] = load(i)
	}
	return other
}

// most returns the load at the last of the depths.
func (t *table) most() float64 { return t.loads[len(t.loads)-1] }

func (t *table) plus(factor float64, other *table, otherFactor float64) course {
	return course{table: t.with(func(i int) float64 { return factor*t.loads[i] + otherFactor*other.loads[i] })}
}

// lateral is the course of the largest force across the tool's axis.
func (t *trial) lateral() course {
	if t.rounded != nil {
		return t.rounded.curves.lateral
	}
	return course{perDepth: t.loads.PeakLateral}
}

// axial is the course of the largest force along the tool's axis.
func (t *trial) axial() course {
	if t.rounded != nil {
		return t.rounded.curves.axial
	}
	return course{perDepth: t.loads.PeakAxial}
}

// torque is the course of the mean torque.
func (t *trial) torque() course {
	if t.rounded != nil {
		return t.rounded.curves.torque
	}
	return course{perDepth: t.loads.MeanTorque}
}

// deflection is the course of the deflection of the tip in the worst direction of feed.
func (t *trial) deflection() course {
	if t.rounded != nil {
		return t.rounded.curves.deflection
	}
	return course{perDepth: t.loads.PeakLateral * t.gain}
}

// of is the course of the force on the axis, by those across and along the tool's axis.
func (th *thrust) of(lateral, axial course) course {
	return lateral.plus(th.lateral, axial, th.axial)
}

// rootDepth returns the depth at which the cut bends a root by the moment allowed.
func (t *trial) rootDepth(root cutting.Root) float64 {
	if t.rounded != nil {
		return t.rounded.curves.moment(root).allows(root.Moment)
	}
	return rootDepth(root, t.loads.PeakLateral)
}

// rootMoment returns the moment at a root under a cut of some depth.
func (t *trial) rootMoment(root cutting.Root, depth float64) float64 {
	if t.rounded != nil {
		return t.rounded.curves.moment(root).at(depth)
	}
	return t.loads.PeakLateral * depth * math.Max(0, root.Lever-depth/2)
}

// chip returns the thickest chip of a true-running tooth, and of the hindmost one, at a
// depth.
func (t *trial) chip(depth float64) (most, hindmost float64) {
	if t.rounded != nil {
		return t.rounded.thinning.at(depth) * t.fz, t.rounded.curves.thin.at(depth)
	}
	return t.loads.MaxChip, t.loads.ThinChip
}

// thinningAt returns the thickest chip over the feed per tooth at a depth, [-].
func (t *trial) thinningAt(depth float64) float64 {
	if t.rounded != nil {
		return t.rounded.thinning.at(depth)
	}
	return t.profile.Thinning()
}

// lightThinning returns the same for the lightest cut that counts, [-].
func (t *trial) lightThinning() float64 {
	if t.rounded != nil {
		return t.rounded.thinning.at(t.rounded.shallow)
	}
	return t.profile.Thinning()
}

// mostThinning returns the thickest chip over the feed per tooth at the depth that makes
// it largest, [-].
func (t *trial) mostThinning() float64 {
	if t.rounded != nil {
		return t.rounded.thinning.most()
	}
	return t.profile.Thinning()
}
