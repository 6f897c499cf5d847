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

// A table is a load at rising depths. It never falls, and is straight between them, from
// nothing on and beyond the last.
type table struct {
	depths, loads []float64
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

// segment returns the ends of a stretch of the table; the first begins at nothing.
func (t *table) segment(i int) (fromDepth, toDepth, fromLoad, toLoad float64) {
	if i > 0 {
		fromDepth, fromLoad = t.depths[i-1], t.loads[i-1]
	}
	return fromDepth, t.depths[i], fromLoad, t.loads[i]
}

func (t *table) at(depth float64) float64 {
	i := min(sort.SearchFloat64s(t.depths, depth), len(t.depths)-1)
	fromDepth, toDepth, fromLoad, toLoad := t.segment(i)
	return fromLoad + (toLoad-fromLoad)*(depth-fromDepth)/(toDepth-fromDepth)
}

func (t *table) allows(have float64) float64 {
	i := min(sort.SearchFloat64s(t.loads, have), len(t.loads)-1)
	fromDepth, toDepth, fromLoad, toLoad := t.segment(i)
	if !(toLoad > fromLoad) {
		return math.Inf(1)
	}
	return fromDepth + (toDepth-fromDepth)*(have-fromLoad)/(toLoad-fromLoad)
}

// most returns the load at the last of the depths.
func (t *table) most() float64 { return t.loads[len(t.loads)-1] }

func (t *table) plus(factor float64, other *table, otherFactor float64) course {
	sum := &table{depths: t.depths, loads: make([]float64, len(t.loads))}
	for i, load := range t.loads {
		sum.loads[i] = factor*load + otherFactor*other.loads[i]
	}
	return course{table: sum}
}

// lateral is the course of the largest force across the tool's axis.
func (t *trial) lateral() course {
	if t.rounded != nil {
		return t.curves.lateral
	}
	return course{perDepth: t.loads.PeakLateral}
}

// axial is the course of the largest force along the tool's axis.
func (t *trial) axial() course {
	if t.rounded != nil {
		return t.curves.axial
	}
	return course{perDepth: t.loads.PeakAxial}
}

// torque is the course of the mean torque.
func (t *trial) torque() course {
	if t.rounded != nil {
		return t.curves.torque
	}
	return course{perDepth: t.loads.MeanTorque}
}

// deflection is the course of the deflection of the tip in the worst direction of feed.
func (t *trial) deflection() course {
	if t.rounded != nil {
		return t.curves.deflection
	}
	return course{perDepth: t.loads.PeakLateral * t.gain}
}

// of is the course of the force on the axis.
func (th *thrust) of(t *trial) course {
	return t.lateral().plus(th.lateral, t.axial(), th.axial)
}

// rootDepth returns the depth at which the cut bends a root by the moment allowed.
func (t *trial) rootDepth(root cutting.Root) float64 {
	if t.rounded != nil {
		return t.curves.moment(root).allows(root.Moment)
	}
	return rootDepth(root, t.loads.PeakLateral)
}

// rootMoment returns the moment at a root under a cut of some depth.
func (t *trial) rootMoment(root cutting.Root, depth float64) float64 {
	if t.rounded != nil {
		return t.curves.moment(root).at(depth)
	}
	return t.loads.PeakLateral * depth * math.Max(0, root.Lever-depth/2)
}

// chip returns the thickest chip of a true-running tooth, and of the hindmost one, at a
// depth.
func (t *trial) chip(depth float64) (most, hindmost float64) {
	if t.rounded != nil {
		return t.rounded.thinning.at(depth) * t.fz, t.curves.thin.at(depth)
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

// mostThinning returns the thickest chip over the feed per tooth at the depth that makes
// it largest, [-].
func (t *trial) mostThinning() float64 {
	if t.rounded != nil {
		return t.rounded.thinning.most()
	}
	return t.profile.Thinning()
}
