// Package diagnose ranks what a mark on a part or a sound comes from, by what is computed already of the machine: its modes, its tools, what repeats
// along its axes, its teeth and its loops. It words nothing.
package diagnose

import (
	"math"
	"slices"

	"ironbed/compiler/axis"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
)

// A Sign is what was seen on a part, or heard.
type Sign struct {
	Pitch float64 // of a mark, from crest to crest along the way of the tool; 0 for a sound [m]
	Feed  float64 // at which it was made; 0 where that of a sound is not known [m/s]
	Heard float64 // frequency of a sound; 0 for a mark [Hz]
	Off   float64 // standard deviation of the pitch or the frequency, as a share of it [-]
	Axis  string  // that moved; empty where it is not known
	Speed float64 // of the spindle; 0 where it is not known [Hz]
}

// Hz is the frequency at which the cause acts, as long as it keeps to the time: a mark's feed over its pitch [Hz].
func (s Sign) Hz() float64 {
	if s.Heard > 0 {
		return s.Heard
	}
	return s.Feed / s.Pitch
}

// A Kind is a kind of cause.
type Kind int

// The kinds.
const (
	Repeats     Kind = iota // something repeats along an axis: the mark keeps its pitch at any feed
	HalfTurn                // twice a turn of what the motor drives
	Runout                  // once a turn of the spindle
	Teeth                   // once a tooth
	TwiceATooth             // twice a tooth
	Chatter                 // a cut of a target chatters
	FrameMode               // a mode of the frame vibrates
	ToolMode                // a cutter vibrates in its holder
	DriveMode               // the moved mass vibrates on its drive
	Loop                    // the position loop hunts
	Stepping                // a stepper vibrates about its steps
	Mains                   // a motor, a transformer or a contactor hums at twice the mains' frequency
	kinds
)

// What each kind weighs before anything is compared; common practice. Teeth are always heard; a hum of the mains leaves no mark to speak of.
var weights = [kinds]float64{
	Repeats:     1.5,
	HalfTurn:    0.2,
	Runout:      1,
	Teeth:       1.5,
	TwiceATooth: 0.3,
	Chatter:     1,
	FrameMode:   1.5,
	ToolMode:    0.5,
	DriveMode:   0.5,
	Loop:        0.3,
	Stepping:    0.5,
	Mains:       0.2,
}

// How far a computed cause may be off its number where its bounds do not say more, one standard deviation over it [-]; common practice.
const (
	exact    = 0.005 // a lead, a pitch of teeth, a spindle's speed
	balls    = 0.1   // where balls pass: their size is an estimate
	modelled = 0.05  // a mode of a model of beams, with whatever it leaves out
)

// sameMode is how far a mode's frequency moves over the uncertainty at most [-]; common practice.
const sameMode = 1.6

// What is not in the spec may have any frequency between these, each octave alike [Hz].
const lowestOther, highestOther, otherWeight = 1, 10e3, 1

// mains are twice the frequencies of the world's mains [Hz].
var mains = [...]float64{100, 120}

// A Cause is one that a sign may have.
type Cause struct {
	Kind   Kind
	Axis   int            // of the spec; -1 for none
	Follow *axis.Follower // of that axis
	What   axis.Repeating // that repeats
	Mode   int            // of the frame
	Answer *cut.Answer    // that chatters
	Cutter string         // that vibrates
	Count  int            // of teeth

	Travel   float64 // after which it repeats; 0 for what keeps to the time [m]
	Middle   float64 // its frequency [Hz]
	Low, Top float64 // and its range; the same as the middle where it has none [Hz]
	Spread   bool    // it may lie anywhere in its range: the spindle's speed is not known
	Share    float64 // of all that it might be [-]

	off   float64 // standard deviation over the middle, of what its range does not tell [-]
	prior float64 // weight before comparing [-]
}

// Causes are all that may mark a part of a machine or sound, in no order. What repeats along an axis has a frequency by its feed.
func Causes(s *machine.Solution, cuts *cut.Answers, axes *axis.Solution, sign Sign) ([]Cause, error) {
	c := collector{machine: s, sign: sign}
	c.alongAxes(axes)
	c.turning()
	c.chattering(cuts)
	if err := c.vibrating(); err != nil {
		return nil, err
	}
	for _, hz := range mains {
		if sign.Heard > 0 {
			c.add(Cause{Kind: Mains, Axis: -1, Middle: hz, off: exact, prior: 1})
		}
	}
	c.weigh()
	return c.list, nil
}

// A collector gathers causes.
type collector struct {
	machine *machine.Solution
	sign    Sign
	list    []Cause
}

func (c *collector) add(one Cause) {
	if one.Low == 0 {
		one.Low, one.Top = one.Middle, one.Middle
	}
	c.list = append(c.list, one)
}

// alongAxes adds what repeats along the axes, and how their drives and loops vibrate.
func (c *collector) alongAxes(axes *axis.Solution) {
	for _, f := range axes.Followers {
		if c.sign.Axis != "" && c.sign.Axis != c.machine.Spec.Axes[f.Axis].Name {
			continue
		}
		for _, r := range f.Repeats {
			one := Cause{Kind: Repeats, Axis: f.Axis, Follow: f, What: r.What, Travel: r.Travel, Middle: c.sign.Feed / r.Travel, off: exact, prior: 1}
			if r.What == axis.NutBalls || r.What == axis.CarriageBalls {
				one.off = balls
			}
			if c.sign.Feed > 0 {
				c.add(one)
				if r.What == axis.Turn {
					one.Kind, one.Travel, one.Middle = HalfTurn, one.Travel/2, 2*one.Middle
					c.add(one)
				}
			}
		}
		if hz := f.Drive.Out.AxialFrequency; hz > 0 {
			one := Cause{Kind: DriveMode, Axis: f.Axis, Follow: f, Middle: hz, Low: hz, Top: hz, off: modelled, prior: 1}
			for _, end := range f.Drive.Ends {
				if v := end.Out.AxialFrequency; v > 0 {
					one.Low, one.Top = math.Min(one.Low, v), math.Max(one.Top, v)
				}
			}
			c.add(one)
		}
		if !f.Open {
			// A loop hunts about the frequency at which it stops following, up to where the lowest mode turns its phase.
			one := Cause{Kind: Loop, Axis: f.Axis, Follow: f, Middle: f.Bandwidth.Middle(), Low: slices.Min(f.Bandwidth.At[:]), Top: slices.Max(f.Bandwidth.At[:]), off: 0.3, prior: 1}
			c.add(one)
		}
		if st := f.Drive.Stepping; st != nil && st.Frequency > 0 {
			c.add(Cause{Kind: Stepping, Axis: f.Axis, Follow: f, Middle: st.Frequency, off: 0.2, prior: 1})
		}
	}
}

// turning adds the spindle's turns and teeth: at its speed, or anywhere within its range.
func (c *collector) turning() {
	v := c.machine.Spec.Spindle
	if v == nil {
		return
	}
	var counts []int
	for i := range c.machine.Spec.Cutters {
		if n := c.machine.Model.Read.Count(c.machine.Spec.Cutters[i].Item.Teeth); n > 1 && !slices.Contains(counts, n) {
			counts = append(counts, n)
		}
	}
	slices.Sort(counts)
	low, high := c.machine.Model.Read.Of(v.MinSpeed), c.machine.Model.Read.Of(v.MaxSpeed)
	turn := func(kind Kind, count, times int) {
		n := float64(count * times)
		one := Cause{Kind: kind, Axis: -1, Count: count, off: exact, prior: 1}
		if c.sign.Speed > 0 {
			one.Middle = n * c.sign.Speed
		} else {
			one.Spread, one.Low, one.Top = true, n*low, n*high
			one.Middle = math.Min(math.Max(c.sign.Hz(), one.Low), one.Top)
		}
		c.add(one)
	}
	turn(Runout, 1, 1)
	for _, n := range counts {
		turn(Teeth, n, 1)
		if c.sign.Speed > 0 { // without it, that tells nothing
			turn(TwiceATooth, n, 2)
		}
	}
}

// chattering adds the tones at which the best cuts would chatter.
func (c *collector) chattering(cuts *cut.Answers) {
	for i := range cuts.List {
		a := &cuts.List[i]
		if a.Stability.Hz == 0 {
			continue
		}
		one := Cause{Kind: Chatter, Axis: -1, Answer: a, Middle: a.Stability.Hz, Low: a.Stability.Hz, Top: a.Stability.Hz, off: modelled, prior: 1}
		for _, end := range a.StabilityEnds {
			if r := end.Hz / one.Middle; r > 1/sameMode && r < sameMode { // farther off it is another mode that limits it there
				one.Low, one.Top = math.Min(one.Low, end.Hz), math.Max(one.Top, end.Hz)
			}
		}
		c.add(one)
	}
}

// vibrating adds the modes of the frame, by how far they move the nose, and of each cutter in its holder.
func (c *collector) vibrating() error {
	s := c.machine
	if s.Worst == nil {
		return nil
	}
	nose := s.Vibrations[0].Nose.Modes()
	for k := range s.Vibrations[0].Modes.Count() {
		hz := s.ModeFrequency(k)
		one := Cause{Kind: FrameMode, Axis: -1, Mode: k, Middle: hz.Middle, Low: hz.Middle, Top: hz.Middle, off: modelled}
		for _, v := range hz.Ends {
			one.Low, one.Top = math.Min(one.Low, v), math.Max(one.Top, v)
		}
		for _, m := range nose {
			if omega := 2 * math.Pi * hz.Middle; math.Abs(m.Omega-omega) < 0.01*omega {
				for _, x := range m.Shape[:3] {
					one.prior += x * x / (omega * omega)
				}
			}
		}
		c.add(one)
	}
	for i := range s.Spec.Cutters {
		one := Cause{Kind: ToolMode, Axis: -1, Cutter: s.Spec.Cutters[i].Name, off: modelled, prior: 1}
		for n, d := range append([]*machine.Model{s.Model}, s.Ends()...) {
			end, err := d.ToolEnd(d.Spec.Cutters.Find(one.Cutter))
			if err != nil {
				return err
			}
			modes, err := end.Modes()
			if err != nil {
				return err
			}
			for _, m := range modes.List {
				if hz := m.Omega / (2 * math.Pi); hz > 0 {
					if n == 0 {
						one.Middle, one.Low, one.Top = hz, hz, hz
					}
					one.Low, one.Top = math.Min(one.Low, hz), math.Max(one.Top, hz)
					break
				}
			}
		}
		if one.Middle > 0 {
			c.add(one)
		}
	}
	return nil
}

// weigh makes the weights of each kind's causes together that of the kind.
func (c *collector) weigh() {
	var sums [kinds]float64
	for _, one := range c.list {
		sums[one.Kind] += one.prior
	}
	for i := range c.list {
		if one := &c.list[i]; sums[one.Kind] > 0 {
			one.prior *= weights[one.Kind] / sums[one.Kind]
		}
	}
}

// Rank returns the causes with the share that each has in what a sign may be, the largest first, and the share of what is not in the spec.
//
//	pᵢ = wᵢ gᵢ/(Σ w g + w₀ g₀)
//
// with w the weights and g the density of what was seen about ln f: a normal one, of the sign's and the cause's spread together; an even one for a
// speed anywhere in a range, and for what is not in the spec. By Bayes' rule. A cause that fits well but widely says less than one that fits narrowly.
func Rank(list []Cause, sign Sign) (ranked []Cause, other float64) {
	seen := math.Log(sign.Hz())
	even := func(low, high float64) float64 {
		if seen < math.Log(low)-2*sign.Off || seen > math.Log(high)+2*sign.Off {
			return 0
		}
		return 1 / math.Max(math.Log(high/low), sign.Off)
	}
	other = otherWeight * even(math.Min(lowestOther, sign.Hz()), math.Max(highestOther, sign.Hz()))
	sum := other
	ranked = slices.Clone(list)
	for i := range ranked {
		c := &ranked[i]
		g := 0.0
		if c.Spread {
			g = even(c.Low, c.Top)
		} else {
			g = split(seen-math.Log(c.Middle), math.Hypot(c.off, sign.Off), math.Log(c.Middle/c.Low), math.Log(c.Top/c.Middle))
		}
		c.Share = c.prior * g
		sum += c.Share
	}
	for i := range ranked {
		ranked[i].Share /= sum
	}
	rank.By(ranked, func(c Cause) float64 { return c.Share })
	return ranked, other / sum
}

// split is the density of a normal distribution whose two halves have standard deviations of their own: half of the bound on that side, and what
// adds to both.
func split(off, both, below, above float64) float64 {
	low, high := math.Hypot(both, below/2), math.Hypot(both, above/2)
	sd := high
	if off < 0 {
		sd = low
	}
	z := off / sd
	return 2 / (math.Sqrt(2*math.Pi) * (low + high)) * math.Exp(-z*z/2)
}
