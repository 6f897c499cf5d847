package axis

import (
	"slices"
	"strings"

	"ironbed/compiler/guide"
	"ironbed/compiler/machine"
	"ironbed/compiler/making"
	"ironbed/spec"
)

// A surfaceError is the error of a mounting surface by the way it is made: over any
// length, and for each metre of it.
type surfaceError struct {
	local guide.Range // [m]
	slope guide.Range // [-]
}

// straightnesses are the errors of the ways of making a mounting surface; from memory.
var straightnesses = map[string]surfaceError{
	"rolled":   {guide.Range{Low: 0.1e-3, Nominal: 0.3e-3, High: 0.6e-3}, guide.Range{Low: 0.5e-3, Nominal: 1e-3, High: 2e-3}},
	"extruded": {guide.Range{Low: 10e-6, Nominal: 30e-6, High: 80e-6}, guide.Range{Low: 0.1e-3, Nominal: 0.3e-3, High: 0.7e-3}},
	"milled":   {guide.Range{Low: 5e-6, Nominal: 10e-6, High: 20e-6}, guide.Range{Low: 10e-6, Nominal: 20e-6, High: 40e-6}},
	"ground":   {guide.Range{Low: 2e-6, Nominal: 4e-6, High: 8e-6}, guide.Range{Low: 4e-6, Nominal: 8e-6, High: 15e-6}},
	"squeezed": {guide.Range{Low: 5e-6, Nominal: 10e-6, High: 25e-6}, guide.Range{Low: 10e-6, Nominal: 20e-6, High: 40e-6}},
	"poured":   {guide.Range{Low: 10e-6, Nominal: 20e-6, High: 50e-6}, guide.Range{Low: 10e-6, Nominal: 20e-6, High: 60e-6}},
}

// over is the error of a mounting surface over a length.
func (t surfaceError) over(length float64) guide.Range {
	return guide.Range{Low: t.local.Low + t.slope.Low*length, Nominal: t.local.Nominal + t.slope.Nominal*length, High: t.local.High + t.slope.High*length}
}

// Aligned is how parallel two rails without a shoulder are set with an indicator
// [m]; common practice.
var Aligned = guide.Range{Low: 10e-6, Nominal: 20e-6, High: 40e-6}

// preloads are the classes by their names.
var preloads = map[string]guide.Preload{"clearance": guide.Clearance, "light": guide.Light, "medium": guide.Medium, "heavy": guide.Heavy}

// MountingGap is the error of a mounting surface that loads are stated for [m].
const MountingGap = 10e-6

// The fits.
const (
	FitUnknown       Fit = iota
	FitOK                // at its worst
	FitLikelyOK          // as it usually comes out
	FitWidestOK          // by the loosest table alone
	FitExceeded          // at its best
	FitFrameYields       // the same, and the frame forgives it
	FitMayBeExceeded     // as it usually comes out, by any table
	FitHardlyAligned     // rails without a shoulder are not set as parallel as they need
)

// mountings computes the mounting surfaces of every axis whose carriages stand two by two.
func (s *Solution) mountings() error {
	if s.Worst == nil || len(s.Spec.Axes) == 0 {
		return nil
	}
	middle := len(s.Poses) / 2
	s.solveEnds(middle)
	beds := making.Beds(s.Solution)
	for i := range s.Spec.Axes {
		a := &s.Spec.Axes[i]
		v := &Mounting{Axis: i, OneMember: oneMember(a.Item.Guides)}
		layout := &spec.Log{}
		l, ok := s.layout(s.Model.Read.Into(layout), i, s.halfway())
		if !ok {
			continue
		}
		v.Guide = &a.Item.Guides[0]
		v.Rail = s.Spec.Rails.Find(v.Guide.Item.Rail.Text)
		v.Survey = s.Survey(i)
		for _, b := range beds {
			if b.Axis == a.Name && b.Refused == nil && b.Rail.Item.Levelling.Said() {
				v.Beds = append(v.Beds, b)
			}
		}
		if err := s.loadErrors(v, middle); err != nil {
			return err
		}
		if err := s.rest(v); err != nil {
			return err
		}
		v.Sized = v.Rail.Shape.Text != "round" && s.Model.Read.Of(v.Rail.Size) > 0
		if v.Sized {
			s.tolerate(v, l, layout)
		}
		if v.Tolerances != nil {
			s.reach(v, l, layout)
			v.fit()
		}
		s.Mountings = append(s.Mountings, v)
	}
	return nil
}

// oneMember reports whether all rails of an axis lie on the same members.
func oneMember(guides spec.Map[spec.Guide]) bool {
	names := func(g spec.Entry[spec.Guide]) (list []string) {
		for _, over := range g.Item.Over {
			list = append(list, over.Text)
		}
		return list
	}
	return !slices.ContainsFunc(guides, func(g spec.Entry[spec.Guide]) bool { return !slices.Equal(names(g), names(guides[0])) })
}

// tolerate finds what errors the rails of an axis tolerate: by the table, or as the spec has it.
func (s *Solution) tolerate(v *Mounting, l machine.Layout, layout *spec.Log) {
	words := &spec.Log{}
	size := spec.Over(words)
	table := func(words, size spec.Reader, l machine.Layout) (guide.MountingTolerance, error) {
		return guide.MountingToleranceFor(kindOf(words, v.Rail), size.Of(v.Rail.Size), preloads[words.Word(v.Rail.Preload)], l.Spread, l.Pitch)
	}
	tolerances, err := table(s.Model.Read.Into(words), s.Model.Read.Into(size), l)
	if err != nil {
		return
	}
	ends := atEnds(func(read spec.Reader) (guide.MountingTolerance, error) {
		l, _ := s.layout(read, v.Axis, s.halfway())
		return table(read, read, l)
	})
	own := v.Rail.Tolerance
	if own == nil {
		own = &spec.Tolerance{}
	}
	v.Tolerances = &Tolerances{Twist: tolerances.Twist, Own: own.Parallel.Given || own.Height.Given || own.Along.Given}
	for _, t := range []struct {
		to    *Straightness
		given spec.Value
		of    func(guide.MountingTolerance) guide.Range
		log   *spec.Log
	}{
		{&v.Tolerances.Parallel, own.Parallel, func(s guide.MountingTolerance) guide.Range { return s.Parallelism }, size},
		{&v.Tolerances.Height, own.Height, func(s guide.MountingTolerance) guide.Range { return s.Height }, spec.Over(words, layout)},
		{&v.Tolerances.Along, own.Along, func(s guide.MountingTolerance) guide.Range { return s.Along }, spec.Over(words, layout)},
	} {
		if t.given.Given {
			*t.to = s.given(t.given)
			continue
		}
		t.to.Range, t.to.Log = t.of(tolerances), t.log
		for _, end := range ends {
			t.to.Ends = append(t.to.Ends, t.of(end))
		}
	}
}

// given is a surfaceError that the spec gives, a range by its nature.
func (s *Solution) given(v spec.Value) (t Straightness) {
	t.Log = &spec.Log{}
	t.Low, t.Nominal, t.High = s.Model.Read.Into(t.Log).Span(v)
	return t
}

// reach finds the errors of the mounting surfaces: as they were measured, or by the way
// they are made.
func (s *Solution) reach(v *Mounting, l machine.Layout, layout *spec.Log) {
	v.Made, v.At = v.Rail.Surface.Text, v.Rail.Surface.At
	way, known := straightnesses[v.Made]
	switch {
	case v.Survey.Stands():
		t := Straightness{Log: spec.Over(v.Survey.Log, layout)}
		for k, p := range v.Survey.Normal {
			step, u := v.Survey.Step(k)
			t.Low, t.Nominal, t.High = max(t.Low, step-u), max(t.Nominal, step), max(t.High, step+u)
			v.At = p.Entry.At
		}
		v.Reached, v.Made = &t, "measured"
	case v.Rail.Straightness.Given:
		t := s.given(v.Rail.Straightness)
		v.Reached, v.Made, v.At = &t, "measured", v.Rail.Straightness.At
	case len(v.Beds) > 0:
		t, _ := v.poured(l.Pitch)
		v.Reached, v.At = &Straightness{Range: t, Log: spec.Over(v.bedLogs(), layout)}, v.Rail.Levelling.At
	case known:
		v.Reached = &Straightness{Range: way.over(l.Pitch), Log: spec.Over(layout)}
		s.Model.Read.Into(v.Reached.Log).Word(v.Rail.Surface)
		v.Reached.Ends = atEnds(func(read spec.Reader) (guide.Range, error) {
			l, _ := s.layout(read, v.Axis, s.halfway())
			return way.over(l.Pitch), nil
		})
	}
}

// Surface is the error of a mounting surface over a length [m], and that of one against the other: as measured, or by
// the way they are made. Surfaces on one member bend with it and differ by what is local alone. Where
// it is not known how they are made, they are stock as delivered, or better.
func (v *Mounting) Surface(length float64) (one, other guide.Range) {
	if v.Reached != nil && v.Rail.Straightness.Given && !v.Survey.Stands() {
		return v.Reached.Range, v.Reached.Range
	}
	if len(v.Beds) > 0 {
		return v.poured(length)
	}
	way, known := straightnesses[v.Rail.Surface.Text]
	if !known {
		fine, coarse := straightnesses["milled"], straightnesses["rolled"]
		way = straightnesses["extruded"]
		way.local.Low, way.slope.Low = fine.local.Low, fine.slope.Low
		way.local.High, way.slope.High = coarse.local.High, coarse.slope.High
	}
	return v.made(way, length)
}

// Squeezed is the error that a mounting surface and one against the other would have, bedded on resin squeezed out under a straight edge [m].
func (v *Mounting) Squeezed(length float64) (one, other guide.Range) {
	return v.made(straightnesses["squeezed"], length)
}

// made is the error of surfaces over a length by the way they are made.
func (v *Mounting) made(way surfaceError, length float64) (one, other guide.Range) {
	if v.OneMember {
		return way.over(length), way.local
	}
	return way.over(length), way.over(length)
}

// poured is what the pours of the beds leave over a length, the worse of them, and of one bed against the other: beds that a channel joins have one level.
func (v *Mounting) poured(length float64) (one, other guide.Range) {
	for i := range v.Beds {
		if least, middle, most, ok := v.Beds[i].Leaves(length); ok {
			one = guide.Range{Low: max(one.Low, least), Nominal: max(one.Nominal, middle), High: max(one.High, most)}
		}
	}
	return one, one
}

// bedLogs are what the beds rest on.
func (v *Mounting) bedLogs() *spec.Log {
	log := &spec.Log{}
	for i := range v.Beds {
		log.Rest(v.Beds[i].Log)
	}
	return log
}

// rest finds what surfaces as they were read load the carriages with.
func (s *Solution) rest(v *Mounting) error {
	if !v.Survey.Stands() {
		return nil
	}
	gap, at, err := v.Survey.Gap(s.Model.Read.Of(s.Spec.Axes[v.Axis].Item.Travel))
	if err != nil {
		return err
	}
	_, apart := v.Survey.Doubt()
	v.Rest = &Rest{Gap: gap, Position: at, Load: gap / MountingGap * v.Height, U: apart / MountingGap * v.Height, Log: spec.Over(v.Survey.Log, v.Logs.Frame)}
	return nil
}

// Log is what the error of a surface rests on.
func (v *Mounting) Log() *spec.Log {
	switch {
	case v.Survey.Stands():
		return v.Survey.Log
	case len(v.Beds) > 0 && !v.Rail.Straightness.Given:
		return v.bedLogs()
	}
	return nil
}

// fit compares the errors of the surfaces with what the rails tolerate, and against the error
// that the frame forgives.
func (v *Mounting) fit() {
	if v.Reached == nil {
		return
	}
	comes, along := v.Reached, v.Tolerances.Along
	v.Fits = FitWidestOK
	switch {
	case comes.High <= along.Nominal:
		v.Fits = FitOK
	case comes.Nominal <= along.Nominal:
		v.Fits = FitLikelyOK
	case comes.Low > along.High && comes.Low > v.AllowedError:
		v.Fits = FitExceeded
	case comes.Low > along.High:
		v.Fits = FitFrameYields
	case comes.Nominal > along.High:
		v.Fits = FitMayBeExceeded
	case !v.Rail.Shoulder && kindOf(spec.Reader{}, v.Rail) == guide.Roller && Aligned.Nominal > v.Tolerances.Parallel.High:
		v.Fits = FitHardlyAligned
	}
}

// loadErrors finds the load that an error of a mounting surface makes, in the middle of the travels.
func (s *Solution) loadErrors(v *Mounting, middle int) error {
	stiff := &spec.Log{}
	v.Logs = ErrorLogs{
		Frame:       spec.Over(s.Model.Stiff),
		HeightStiff: stiff, ParallelStiff: stiff,
		AllowedError: &spec.Log{},
	}
	var err error
	if v.ErrorLoads, err = s.errorLoads(v, s.Model, s.Poses[middle]); err != nil {
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
		loads, err := s.errorLoads(v, end.model, end.Solved)
		if err != nil {
			return err
		}
		v.LoadsAtEnds = append(v.LoadsAtEnds, loads)
	}
	v.forgive(s.Model.Read.Into(v.Logs.AllowedError))
	return nil
}

// forgive finds the error of height that the frame forgives.
func (v *Mounting) forgive(read spec.Reader) {
	rating := read.Of(v.Rail.Dynamic)
	if rating <= 0 || v.Height <= 0 {
		return
	}
	v.AllowedError = 0.1 * rating / (v.Height / MountingGap)
	// A rating's uncertainty and the frame's have nothing to do with each other.
	for _, end := range []spec.Bound{spec.Worse, spec.Better} {
		for _, loads := range append([]ErrorLoads{v.ErrorLoads}, v.LoadsAtEnds...) {
			if loads.Height > 0 {
				v.AllowedErrorAtEnds = append(v.AllowedErrorAtEnds, 0.1*spec.At(end).Of(v.Rail.Dynamic)/(loads.Height/MountingGap))
			}
		}
	}
}

// errorLoads finds it by a frame that has been solved.
func (s *Solution) errorLoads(v *Mounting, d *machine.Model, p *machine.Solved) (out ErrorLoads, err error) {
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
	stiff, err := (guide.MountingStiffness{Radial: k[2], Lateral: k[1]}).Loads(guide.MountingError{Height: MountingGap, Parallel: MountingGap})
	if err != nil {
		return out, &machine.Refused{Rule: "rails", At: a.At, Message: err.Error()}
	}
	return ErrorLoads{Height: MountingGap * height, HeightStiff: stiff.Radial, Parallel: MountingGap * parallel, ParallelStiff: stiff.Lateral}, nil
}
