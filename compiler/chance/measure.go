package chance

import (
	"math"
	"slices"
	"strings"

	"ironbed/compiler/rank"
	"ironbed/compiler/sampling"
)

// An Instrument is what a value is measured with, and how well.
type Instrument struct {
	Name     string
	Test     string  // what is done with it
	Relative float64 // standard uncertainty of the reading over it [-]
	Absolute float64 // standard uncertainty of the reading, in the unit of the value
}

// The instruments of a workshop. How well a reading does is common practice: a push against a scale and a dial gauge repeats within a tenth, a decay
// that a phone hears within a sixth.
var (
	scale       = Instrument{Name: "luggage scale", Test: "weigh it", Relative: 0.01}
	kitchen     = Instrument{Name: "kitchen scale", Test: "weigh a cast block of known size", Relative: 0.01}
	tube        = Instrument{Name: "luggage scale and tape", Test: "weigh a length of it: its mass per metre tells its wall", Relative: 0.015}
	push        = Instrument{Name: "luggage scale and dial gauge", Test: "pull on it with a known force and read how far it gives", Relative: 0.1}
	pull        = Instrument{Name: "luggage scale", Test: "pull the axis slowly with its drive disconnected", Relative: 0.05}
	bar         = Instrument{Name: "phone", Test: "cast a test bar, tap it and read its frequency", Relative: 0.02}
	decay       = Instrument{Name: "phone", Test: "tap the part and let the decay be heard", Relative: 0.15}
	dial        = Instrument{Name: "dial gauge", Test: "read it with a dial gauge of 2 µm", Absolute: 1e-6}
	tape        = Instrument{Name: "tape", Test: "measure it, or ask for the drawing", Absolute: 0.5e-3}
	calliper    = Instrument{Name: "calliper", Test: "measure it", Absolute: 0.03e-3}
	power       = Instrument{Name: "power meter", Test: "cut a test slot and take the power of the spindle less that in air", Relative: 0.08}
	thermometer = Instrument{Name: "thermometer", Test: "write the room's temperature down over a few jobs", Absolute: 0.3}
	clock       = Instrument{Name: "clock", Test: "keep to a time and write it into the spec", Absolute: 60}
	square      = Instrument{Name: "square and dial gauge", Test: "turn the square over and read the dial gauge both ways", Absolute: 2e-5}
	straight    = Instrument{Name: "precision level or straightedge", Test: "read the surface along its length", Relative: 0.3}
	lead        = Instrument{Name: "gauge block and dial gauge", Test: "compare travels with a gauge block", Relative: 0.2}
	loop        = Instrument{Name: "the control", Test: "set the gains of both axes to one number", Relative: 0.01}
)

// instruments are what values are measured with, by how their paths or rules end or begin.
var instruments = []struct {
	like string // "*" stands for anything
	with *Instrument
}{
	{"*.stiffness_ratio", &tube}, {"*.mass_ratio", &tube},
	{"fills.*.density", &kitchen}, {"fills.*.modulus", &bar}, {"mixes.*.modulus", &bar},
	{"*.mass", &scale}, {"*_mass", &scale},
	{"damping.*", &decay}, {"fills.*.loss", &decay},
	{"*.radial", &push}, {"*.lateral", &push}, {"spindle*.axial", &push}, {"*.mounting_factor", &push}, {"*stiffness", &push},
	{"*.bearing_tilt", &push}, {"*bracket", &push}, {"*.vertical", &push}, {"*.horizontal", &push}, {"*.taper", &push}, {"*.taper_tilt", &push}, {"*.grip", &push},
	{"*.runout", &dial}, {"*.backlash", &dial}, {"*.wear", &dial},
	{"*.friction", &pull},
	{"*.specific_force", &power},
	{"*.shaft.*", &tape}, {"*.root", &calliper},
	{"room.temperature_change", &thermometer}, {"room.gradient", &thermometer},
	{"warm_up", &clock}, {"room.job", &clock},
	{"squareness", &square}, {"squareness of *", &square}, {"*.straightness", &straight}, {"mounting surfaces of *", &straight}, {"lead or pitch error of *", &lead},
	{"*.gain_difference", &loop},
}

// like reports whether a text is like a pattern.
func like(pattern, text string) bool {
	pieces := strings.Split(pattern, "*")
	if !strings.HasPrefix(text, pieces[0]) {
		return false
	}
	text = text[len(pieces[0]):]
	for i, piece := range pieces[1:] {
		if i == len(pieces)-2 {
			return strings.HasSuffix(text, piece)
		}
		at := strings.Index(text, piece)
		if at < 0 {
			return false
		}
		text = text[at+len(piece):]
	}
	return text == ""
}

// Instrument is what an input is measured with; nil where nothing in a workshop tells it.
func (in *Input) Instrument() *Instrument {
	text := in.Path
	if text == "" {
		text = in.Origin
	}
	for _, i := range instruments {
		if like(i.like, text) {
			return i.with
		}
	}
	return nil
}

// A Measure is an input that can be measured.
type Measure struct {
	Input int
	With  *Instrument
	By    []Remaining // by target of which the verdict is open and rests on it, the one that it helps most first
	gain  float64
}

// A Remaining is what a measurement leaves of what is open about a target.
type Remaining struct {
	Target int
	Share  float64 // of the variance of its margin that the input has [-]
	Left   float64 // of that variance that remains [-]
}

// open is how open a verdict is: most where half of the machines reach it [-].
func (t *Target) open() (most float64) {
	for g := range t.Together {
		most = math.Max(most, 4*t.Together[g]*(1-t.Together[g]))
	}
	return most
}

// leastOpen is how open a verdict is of which it is worth to know more, one machine in fifty [-].
const leastOpen = 4 * 0.02 * 0.98

// measures are what to measure, what closes most of the open verdicts first.
func (out *Chances) measures() (list []Measure, err error) {
	for i, t := range out.List {
		if t == nil || t.open() < leastOpen {
			continue
		}
		for _, s := range t.Shares {
			in := &out.Inputs[s.Input]
			with := in.Instrument()
			if with == nil {
				continue
			}
			left, err := sampling.Remaining(s.Share, in.deviation(), math.Hypot(with.Absolute, with.Relative*in.size()))
			if err != nil {
				return nil, err
			}
			at := slices.IndexFunc(list, func(m Measure) bool { return m.Input == s.Input })
			if at < 0 {
				at, list = len(list), append(list, Measure{Input: s.Input, With: with})
			}
			m := &list[at]
			m.By, m.gain = append(m.By, Remaining{i, s.Share, left}), m.gain+t.open()*(1-left)
		}
	}
	for i := range list {
		rank.By(list[i].By, func(r Remaining) float64 { return (1 - r.Left) * out.List[r.Target].open() })
	}
	rank.By(list, func(m Measure) float64 { return m.gain })
	return list, nil
}

// deviation is the standard deviation of an input.
func (in *Input) deviation() float64 {
	if d := distribution(in.Uncertainty); d.Shape == sampling.Uniform {
		return (d.High - d.Low) / math.Sqrt(12)
	}
	return (in.High - in.Low) / 4
}

// size is what a relative reading of an input is relative to.
func (in *Input) size() float64 {
	if in.Middle == 0 { // a spread of its own
		return (in.High - in.Low) / 2
	}
	return math.Abs(in.Middle)
}
