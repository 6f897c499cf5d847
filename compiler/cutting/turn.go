package cutting

import "math"

const (
	arcPanels  = 64  // panels into which an arc is cut; even, for Simpson's rule
	turnSteps  = 360 // positions of the cutter over a turn, at least
	leastPitch = 24  // positions over a tooth pitch, at least
	peakSteps  = 72  // positions over a tooth pitch that are tried for peaks, at most
	onEdge     = 1e-9
	barely     = 1e-12 // sine at which a tooth has just entered, for the limit of its force
	leastLag   = 1e-6  // trailing angle below which an edge counts as straight [rad]
)

// simpsonWeight is the weight of step i of an even number of panels, before
// the factor of a third of the step.
func simpsonWeight(i int) float64 {
	switch {
	case i == 0 || i == arcPanels:
		return 1
	case i%2 == 1:
		return 4
	}
	return 2
}

// An arcTable holds the load of one edge at equal steps of the rotation angle,
// and its integral from the entry on.
type arcTable struct {
	slice *slice
	tooth int
	step  float64
	force [arcPanels + 1]load
	sum   [arcPanels + 1]load
}

func (t *arcTable) fill(e *edge) {
	t.slice, t.tooth = e.slice, e.tooth
	t.step = (e.arc.Exit - e.arc.Entry) / arcPanels
	for i := range t.force {
		sin, cos := math.Sincos(e.arc.Entry + float64(i)*t.step)
		t.force[i], _ = e.at(math.Max(sin, barely), cos)
		if i == 0 {
			continue
		}
		for k := range t.sum[i] {
			t.sum[i][k] = t.sum[i-1][k] + t.step/2*(t.force[i-1][k]+t.force[i][k])
		}
	}
}

// place returns the panel that holds an angle of the arc, and how far into it
// the angle lies.
func (t *arcTable) place(angle float64) (panel int, within float64) {
	x := (angle - t.slice.arc.Entry) / t.step
	panel = min(max(int(x), 0), arcPanels-1)
	return panel, (x - float64(panel)) * t.step
}

// addForce adds the load at an angle, taken as straight between the steps.
func (t *arcTable) addForce(to *load, angle float64) {
	i, d := t.place(angle)
	low, high, part := &t.force[i], &t.force[i+1], d/t.step
	for k := range to {
		to[k] += low[k] + part*(high[k]-low[k])
	}
}

// addIntegral adds the integral of the load from the entry to an angle.
func (t *arcTable) addIntegral(to *load, angle, factor float64) {
	i, d := t.place(angle)
	low, high, sum, bend := &t.force[i], &t.force[i+1], &t.sum[i], d/2/t.step
	for k := range to {
		to[k] += factor * (sum[k] + d*(low[k]+bend*(high[k]-low[k])))
	}
}

// add adds the load of the edge while its tooth's tip is at an angle, and at
// that angle by whole periods more.
func (t *arcTable) add(to *load, tip, period float64) {
	entry, exit := t.slice.arc.Entry, t.slice.arc.Exit
	lag, end := t.slice.lag, t.slice.lagEnd
	// The first passage whose lower end has entered.
	tip += period * math.Ceil((entry+lag-onEdge-tip)/period)
	for ; tip <= exit+end+onEdge; tip += period {
		if end-lag < leastLag {
			if tip-lag <= exit+onEdge {
				t.addForce(to, math.Min(math.Max(tip-lag, entry), exit))
			}
			continue
		}
		low, high := math.Max(tip-end, entry), math.Min(tip-lag, exit)
		if low < high {
			t.addIntegral(to, high, 1/(end-lag))
			t.addIntegral(to, low, -1/(end-lag))
		}
	}
}

// An engine gives the load of a cut at any position of the cutter.
type engine struct {
	cut    Cut
	slices []slice
	edges  []edge     // of each slice every tooth, or the one that stands for all
	tables []arcTable // of the edges
	period float64    // angle after which an edge of the list is back [rad]
}

func (c Cut) engine(w *Work) (*engine, error) {
	list, err := c.slices()
	if err != nil {
		return nil, err
	}
	e := &engine{cut: c, slices: list, period: 2 * math.Pi / float64(c.Teeth)}
	uneven := c.Runout > 0 && c.Teeth > 1
	if uneven {
		e.period = 2 * math.Pi
	}
	for i := range list {
		s := &list[i]
		if !uneven {
			e.edges = append(e.edges, edge{slice: s, work: w, feed: c.FeedPerTooth})
			continue
		}
		radii := ToothRadii(c.Runout, c.RunoutAngle+(s.lag+s.lagEnd)/2, c.Teeth)
		for j := range c.Teeth {
			e.edges = append(e.edges, edge{slice: s, work: w, feed: c.FeedPerTooth, radii: radii, tooth: j})
		}
	}
	e.tables = make([]arcTable, len(e.edges))
	for i := range e.edges {
		e.tables[i].fill(&e.edges[i])
	}
	return e, nil
}

// at returns the load of all teeth while the tip of tooth 0 is at an angle.
func (e *engine) at(position float64) (sum load) {
	pitch := 2 * math.Pi / float64(e.cut.Teeth)
	for i := range e.tables {
		t := &e.tables[i]
		t.add(&sum, position+float64(t.tooth)*pitch, e.period)
	}
	return sum
}

// mean returns the means of the load over a turn, and the specific energy: the
// specific force, weighted by the chip that it acts on.
func (e *engine) mean() (mean load, energy float64) {
	var work, volume float64
	repeats := 1.0
	if e.period < 2*math.Pi {
		repeats = float64(e.cut.Teeth)
	}
	for i := range e.edges {
		edge := &e.edges[i]
		sum, chip := edge.integral()
		for k := range mean {
			mean[k] += repeats * sum[k] / (2 * math.Pi)
		}
		work += sum[3]
		volume += chip * edge.length * edge.radius
	}
	return mean, work / volume
}

// events are positions of the cutter at which an end of an edge enters or
// leaves the arc: peaks often stand there, between two steps.
func (e *engine) events() []float64 {
	list := make([]float64, 0, 4*len(e.tables))
	pitch := 2 * math.Pi / float64(e.cut.Teeth)
	for i := range e.tables {
		s, shift := e.tables[i].slice, float64(e.tables[i].tooth)*pitch
		list = append(list, s.arc.Entry+s.lag-shift, s.arc.Exit+s.lag-shift)
		if s.lagEnd-s.lag >= leastLag {
			list = append(list, s.arc.Entry+s.lagEnd-shift, s.arc.Exit+s.lagEnd-shift)
		}
	}
	return list
}
