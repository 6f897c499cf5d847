package making

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	beams "ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/weld"
	"ironbed/spec"
)

// A Plan is how a body is welded, as the spec says that it is done.
type Plan struct {
	*Frame
	Beads    float64 // length of what is welded, stitches counted as they are [m]
	Runs     float64 // length of all runs [m]
	Filler   float64 // that is bought [kg]
	Time     float64 // [s]
	Lean     float64 // most by which the far end of a branch leans over where one side is welded out before the other [m]
	Leaning  *Weld
	Bead     float64 // of a stitch; 0 where all is continuous [m]
	Pitch    float64
	Stitched int     // welds that are
	Gap      float64 // open between two stitches [m]
	MostGap  float64 // that is left open at the most, by the thinnest wall of a stitched weld [m]

	ends []*Plan

	Log *spec.Log
}

// Ends are a number of a plan at the ends of the uncertainty.
func (p *Plan) Ends(of func(*Plan) float64) (list []float64) {
	for _, end := range p.ends {
		list = append(list, of(end))
	}
	return list
}

// Plans are the plans for some frames, in their order.
func Plans(d *machine.Model, frames []Frame) (list []Plan, err error) {
	for i := range frames {
		p, err := plan(d, &frames[i], d.Read)
		if err != nil {
			return nil, err
		}
		for _, end := range []spec.Bound{spec.Worse, spec.Better} {
			if at, err := plan(d, &frames[i], spec.At(end)); err == nil {
				p.ends = append(p.ends, &at)
			}
		}
		list = append(list, p)
	}
	return list, nil
}

// tight reports whether a weld has to be: a fill would leak.
func (w *Weld) tight() bool {
	return w.Branch.Bars[0].Section.Fill != nil || w.On.Bars[0].Section.Fill != nil
}

func plan(d *machine.Model, f *Frame, reader spec.Reader) (p Plan, err error) {
	p = Plan{Frame: f, Log: spec.Over(f.Log)}
	read := reader.Into(p.Log)
	how := d.Spec.Welding
	wire := read.Word(how.Process) == "wire"
	metal := 0.0
	for i := range f.Welds {
		w := &f.Welds[i]
		length := w.Length
		if how.Stitch != nil && !w.tight() {
			p.Bead, p.Pitch = read.Of(how.Stitch.Length), read.Of(how.Stitch.Pitch)
			if length, err = weld.Stitched(w.Length, p.Bead, p.Pitch); err != nil {
				return p, err
			}
			most, err := weld.MostGap(w.Wall)
			if err != nil {
				return p, err
			}
			if p.Stitched++; p.Stitched == 1 || most < p.MostGap {
				p.MostGap = most
			}
			p.Gap = p.Pitch - p.Bead
		}
		runs, err := weld.Runs(w.Leg)
		if err != nil {
			return p, err
		}
		p.Beads += length
		p.Runs += runs * length
		metal += w.Metal * length / w.Length
		if err := p.lean(w); err != nil {
			return p, err
		}
	}
	if p.Filler, err = weld.Filler(metal, wire); err != nil {
		return p, err
	}
	p.Time, err = weld.Time(p.Runs, read.Of(how.Speed), read.Of(how.ArcTime))
	return p, err
}

// lean finds by how much a branch may lean over.
func (p *Plan) lean(w *Weld) error {
	b := w.Branch.Bars[0]
	along := r3.Unit(r3.Sub(b.To, b.From))
	side := r3.Cross(b.Orient, along)
	width := 2 * math.Min(b.Reaches(side), b.Reaches(b.Orient))
	d, err := weld.Lean(width, w.Branch.Length)
	if err == nil && rank.More(d, p.Lean) {
		p.Lean, p.Leaning = d, w
	}
	return err
}

// A FreeMode is a mode of a bare weldment that nothing holds.
type FreeMode struct {
	Frequency float64 // [Hz]
	Most      Spot    // where it moves the most
	Other     Spot    // where it moves most, of what is far from there
	Still     []Spot  // where it moves the least, far from each other
}

// A Spot is a place on a body.
type Spot struct {
	Bar    *machine.Bar
	Along  float64 // from the member's first node, over its length [-]
	Motion r3.Vec  // in a mode, over the most of any place [-]
	at     r3.Vec
}

// Free are the lowest modes of the bare weldment of a frame, of which all six rigid motions are left out; those of members that hang together only.
func (f *Frame) Free(d *machine.Model, count int) (list []FreeMode, log *spec.Log, err error) {
	body := d.BodyIndex(f.Body)
	bare, err := d.BareFrame(body, weldable)
	if err != nil {
		return nil, nil, err
	}
	s, err := bare.Frame.Assemble()
	if err != nil {
		return nil, nil, err
	}
	modes, err := s.Modes(beams.Search{Count: rigid + count})
	if err != nil {
		return nil, nil, err
	}
	for i := range modes.Count() {
		if modes.Frequency(i) <= 0 {
			continue
		}
		list = append(list, freeMode(d, &bare, modes, i))
	}
	if modes.Count()-len(list) != rigid {
		return nil, bare.Log, nil // in several pieces
	}
	return list, bare.Log, nil
}

// rigid are the motions of a body that nothing holds.
const rigid = 6

// still is the motion, over the most, below which a place is held up without holding the body [-].
const still = 0.3

// freeMode finds where a mode moves the most and the least, a few places of each member looked at.
func freeMode(d *machine.Model, bare *machine.BareFrame, modes *beams.Modes, i int) FreeMode {
	const looked = 9
	m := FreeMode{Frequency: modes.Frequency(i)}
	var spots []Spot
	most := 0.0
	for k, bar := range bare.Bars {
		for n, at := range modes.Shape(i, k, looked) {
			spots = append(spots, Spot{Bar: &d.Bars[bar], Along: float64(n) / (looked - 1), Motion: at.Displacement, at: at.Position})
			most = math.Max(most, r3.Norm(at.Displacement))
		}
	}
	var size machine.ReachAlong
	for j := range spots {
		spots[j].Motion = r3.Scale(1/most, spots[j].Motion)
		for _, v := range machine.XYZ(spots[j].at) {
			size.Take(v)
		}
	}
	rank.By(spots, func(s Spot) float64 { return r3.Norm(s.Motion) })
	m.Most = spots[0]
	far := size.Length() / 4
	apart := func(s Spot, from ...Spot) bool {
		for _, o := range from {
			if r3.Norm(r3.Sub(s.at, o.at)) < far {
				return false
			}
		}
		return true
	}
	for _, s := range spots {
		if apart(s, m.Most) {
			m.Other = s
			break
		}
	}
	for j := len(spots) - 1; j >= 0 && len(m.Still) < 3; j-- {
		if apart(spots[j], m.Still...) && r3.Norm(spots[j].Motion) < still {
			m.Still = append(m.Still, spots[j])
		}
	}
	return m
}
