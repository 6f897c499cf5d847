package axis

import (
	"strings"

	"ironbed/compiler/guide"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// A trueness is how far off a seat comes out by the way it is made: over any
// length, and for each metre of it.
type trueness struct {
	local guide.Range // [m]
	slope guide.Range // [-]
}

// truenesses are what the ways of making a seat reach; from memory.
var truenesses = map[string]trueness{
	"rolled":   {guide.Range{Low: 0.1e-3, Nominal: 0.3e-3, High: 0.6e-3}, guide.Range{Low: 0.5e-3, Nominal: 1e-3, High: 2e-3}},
	"extruded": {guide.Range{Low: 10e-6, Nominal: 30e-6, High: 80e-6}, guide.Range{Low: 0.1e-3, Nominal: 0.3e-3, High: 0.7e-3}},
	"milled":   {guide.Range{Low: 5e-6, Nominal: 10e-6, High: 20e-6}, guide.Range{Low: 10e-6, Nominal: 20e-6, High: 40e-6}},
	"ground":   {guide.Range{Low: 2e-6, Nominal: 4e-6, High: 8e-6}, guide.Range{Low: 4e-6, Nominal: 8e-6, High: 15e-6}},
	"squeezed": {guide.Range{Low: 5e-6, Nominal: 10e-6, High: 25e-6}, guide.Range{Low: 10e-6, Nominal: 20e-6, High: 40e-6}},
	"poured":   {guide.Range{Low: 10e-6, Nominal: 20e-6, High: 50e-6}, guide.Range{Low: 10e-6, Nominal: 20e-6, High: 60e-6}},
}

// over is how far off a seat is over a length.
func (t trueness) over(length float64) guide.Range {
	return guide.Range{Low: t.local.Low + t.slope.Low*length, Nominal: t.local.Nominal + t.slope.Nominal*length, High: t.local.High + t.slope.High*length}
}

// Aligned is how parallel two rails without a shoulder are set with an indicator
// [m]; common practice.
var Aligned = guide.Range{Low: 10e-6, Nominal: 20e-6, High: 40e-6}

// preloads are the classes by their names.
var preloads = map[string]guide.Preload{"clearance": guide.Clearance, "light": guide.Light, "medium": guide.Medium, "heavy": guide.Heavy}

// SeatGap is the error of a seat that loads are stated for [m].
const SeatGap = 10e-6

// The fits.
const (
	FitUnknown       Fit = iota
	FitHolds             // at its worst
	FitLikelyHolds       // as it usually comes out
	FitLoosestHolds      // by the loosest table alone
	FitNotTrue           // at its best
	FitFrameYields       // the same, and the frame forgives it
	FitMayNotBeTrue      // as it usually comes out, by any table
	FitHardlyAligned     // rails without a shoulder are not set as parallel as they ask
)

// seat computes the seats of every axis whose carriages stand two by two.
func (s *Solution) seat() error {
	if s.Worst == nil || len(s.Spec.Axes) == 0 {
		return nil
	}
	middle := len(s.Poses) / 2
	s.solveEnds(middle)
	for i := range s.Spec.Axes {
		a := &s.Spec.Axes[i]
		v := &Seat{Axis: i}
		layout := &spec.Log{}
		l, ok := s.layout(s.Model.Read.Into(layout), i, s.halfway())
		if !ok {
			continue
		}
		v.Guide = &a.Item.Guides[0]
		v.Rail = s.Spec.Rails.Find(v.Guide.Item.Rail.Text)
		if err := s.loadSeat(v, middle); err != nil {
			return err
		}
		v.Sized = v.Rail.Shape.Text != "round" && s.Model.Read.Of(v.Rail.Size) > 0
		if v.Sized {
			s.askSeat(v, l, layout)
		}
		if v.Asked != nil {
			s.reachSeat(v, l, layout)
			v.fit()
		}
		s.Seats = append(s.Seats, v)
	}
	return nil
}

// askSeat finds what the rails of an axis ask: by the table, or as the spec has it.
func (s *Solution) askSeat(v *Seat, l machine.Layout, layout *spec.Log) {
	words := &spec.Log{}
	size := spec.Over(words)
	table := func(words, size spec.Reader, l machine.Layout) (guide.Seat, error) {
		return guide.SeatFor(kindOf(words, v.Rail), size.Of(v.Rail.Size), preloads[words.Word(v.Rail.Preload)], l.Spread, l.Pitch)
	}
	seat, err := table(s.Model.Read.Into(words), s.Model.Read.Into(size), l)
	if err != nil {
		return
	}
	ends := atEnds(func(read spec.Reader) (guide.Seat, error) {
		l, _ := s.layout(read, v.Axis, s.halfway())
		return table(read, read, l)
	})
	own := v.Rail.Tolerance
	if own == nil {
		own = &spec.Tolerance{}
	}
	v.Asked = &Asked{Twist: seat.Twist, Own: own.Parallel.Given || own.Height.Given || own.Along.Given}
	for _, t := range []struct {
		to    *Trueness
		given spec.Value
		of    func(guide.Seat) guide.Range
		log   *spec.Log
	}{
		{&v.Asked.Parallel, own.Parallel, func(s guide.Seat) guide.Range { return s.Parallelism }, size},
		{&v.Asked.Height, own.Height, func(s guide.Seat) guide.Range { return s.Height }, spec.Over(words, layout)},
		{&v.Asked.Along, own.Along, func(s guide.Seat) guide.Range { return s.Along }, spec.Over(words, layout)},
	} {
		if t.given.Given {
			*t.to = s.given(t.given)
			continue
		}
		t.to.Range, t.to.Log = t.of(seat), t.log
		for _, end := range ends {
			t.to.Ends = append(t.to.Ends, t.of(end))
		}
	}
}

// given is a trueness that the spec gives, a range by its nature.
func (s *Solution) given(v spec.Value) (t Trueness) {
	t.Log = &spec.Log{}
	t.Low, t.Nominal, t.High = s.Model.Read.Into(t.Log).Span(v)
	return t
}

// reachSeat finds how true the seats come out: as they were measured, or by the way
// they are made.
func (s *Solution) reachSeat(v *Seat, l machine.Layout, layout *spec.Log) {
	v.Made, v.At = v.Rail.Surface.Text, v.Rail.Surface.At
	way, known := truenesses[v.Made]
	switch {
	case v.Rail.Straightness.Given:
		t := s.given(v.Rail.Straightness)
		v.Comes, v.Made, v.At = &t, "measured", v.Rail.Straightness.At
	case known:
		v.Comes = &Trueness{Range: way.over(l.Pitch), Log: spec.Over(layout)}
		s.Model.Read.Into(v.Comes.Log).Word(v.Rail.Surface)
		v.Comes.Ends = atEnds(func(read spec.Reader) (guide.Range, error) {
			l, _ := s.layout(read, v.Axis, s.halfway())
			return way.over(l.Pitch), nil
		})
	}
}

// fit holds what the seats come to against what the rails ask, and against the error
// that the frame forgives.
func (v *Seat) fit() {
	if v.Comes == nil {
		return
	}
	comes, along := v.Comes, v.Asked.Along
	v.Fits = FitLoosestHolds
	switch {
	case comes.High <= along.Nominal:
		v.Fits = FitHolds
	case comes.Nominal <= along.Nominal:
		v.Fits = FitLikelyHolds
	case comes.Low > along.High && comes.Low > v.Forgives:
		v.Fits = FitNotTrue
	case comes.Low > along.High:
		v.Fits = FitFrameYields
	case comes.Nominal > along.High:
		v.Fits = FitMayNotBeTrue
	case !v.Rail.Shoulder && kindOf(spec.Reader{}, v.Rail) == guide.Roller && Aligned.Nominal > v.Asked.Parallel.High:
		v.Fits = FitHardlyAligned
	}
}

// loadSeat finds what a seat's error does, in the middle of the travels.
func (s *Solution) loadSeat(v *Seat, middle int) error {
	stiff := &spec.Log{}
	v.Logs = SeatLogs{
		Frame:       spec.Over(s.Model.Stiff),
		HeightStiff: stiff, ParallelStiff: stiff,
		Forgives: &spec.Log{},
	}
	var err error
	if v.SeatLoads, err = s.seatLoads(v, s.Model, s.Poses[middle]); err != nil {
		return err
	}
	if _, _, err := machine.CarriageStiffness(s.Model.Read.Into(stiff), v.Rail); err != nil {
		return err
	}
	of := func(other string) *spec.Log {
		return stiff.Only(func(in spec.Input) bool { return !strings.HasSuffix(in.Path, other) })
	}
	v.Logs.HeightStiff, v.Logs.ParallelStiff = of(".lateral"), of(".radial")
	for _, end := range s.Carriages.ends[middle] {
		loads, err := s.seatLoads(v, end.model, end.Solved)
		if err != nil {
			return err
		}
		v.LoadsAtEnds = append(v.LoadsAtEnds, loads)
	}
	v.forgive(s.Model.Read.Into(v.Logs.Forgives))
	return nil
}

// forgive finds the error of height that the frame forgives.
func (v *Seat) forgive(read spec.Reader) {
	rating := read.Of(v.Rail.Dynamic)
	if rating <= 0 || v.Height <= 0 {
		return
	}
	v.Forgives = 0.1 * rating / (v.Height / SeatGap)
	// A rating's doubt and the frame's have nothing to do with each other.
	for _, end := range []spec.Bound{spec.Worse, spec.Better} {
		for _, loads := range append([]SeatLoads{v.SeatLoads}, v.LoadsAtEnds...) {
			if loads.Height > 0 {
				v.ForgivesAtEnds = append(v.ForgivesAtEnds, 0.1*spec.At(end).Of(v.Rail.Dynamic)/(loads.Height/SeatGap))
			}
		}
	}
}

// seatLoads finds it by a frame that has been solved.
func (s *Solution) seatLoads(v *Seat, d *machine.Model, p *machine.Solved) (out SeatLoads, err error) {
	a := &s.Spec.Axes[v.Axis]
	var own, line []machine.Carriage
	for _, c := range p.Posed.Carriages {
		if c.Axis != a.Name {
			continue
		}
		if own = append(own, c); c.Guide == own[0].Guide {
			line = append(line, c)
		}
	}
	height, err := d.GapLoad(p, own[:1], 2)
	if err != nil {
		return out, err
	}
	parallel, err := d.GapLoad(p, line, 1)
	if err != nil {
		return out, err
	}
	k := p.Posed.Frame.Springs[own[0].Spring].K
	stiff, err := (guide.SeatStiffness{Radial: k[2], Lateral: k[1]}).Loads(guide.SeatError{Height: SeatGap, Parallel: SeatGap})
	if err != nil {
		return out, &machine.Refused{Rule: "rails", At: a.At, Message: err.Error()}
	}
	return SeatLoads{Height: SeatGap * height, HeightStiff: stiff.Radial, Parallel: SeatGap * parallel, ParallelStiff: stiff.Lateral}, nil
}
