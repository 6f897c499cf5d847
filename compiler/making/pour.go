package making

import (
	"math"

	"ironbed/compiler/fill"
	"ironbed/compiler/machine"
	"ironbed/compiler/section"
	"ironbed/spec"
)

// A Pour is what one fill of the spec takes.
type Pour struct {
	Entry    *spec.Entry[spec.Fill]
	Cavities []Cavity
	Volume   float64 // that the hollows take [m3]
	Mass     float64 // by the density of the fill [kg]
	Instead  float64 // mass of fill in whose place conduits and inserts are: the machine is weighed with hollows that are full [kg]

	Batches *Batches // nil where the fill is not mixed from parts that set
	Lacking error    // why there are none, or why its parts are not known; nil where nothing is lacking

	ends []*Pour

	Log *spec.Log // what was read for the volume
}

// Ends are a number of a pour at the ends of the uncertainty.
func (p *Pour) Ends(of func(*Pour) float64) (list []float64) {
	for _, end := range p.ends {
		list = append(list, of(end))
	}
	return list
}

// Batches are how a fill is mixed.
type Batches struct {
	Mixed  float64 // volume that is mixed, with what is lost [m3]
	Count  float64 // how many batches of one size [-]
	Volume float64 // of a batch [m3]
	Mass   float64 // of a batch [kg]

	Concrete *Concrete // of a concrete
	Resin    *Resin    // of a mix bound by resin

	Temperature float64 // of the room [K]
	OpenTime    float64 // at that temperature [s]
	Each        float64 // time to mix and place a batch [s]

	Bar       fill.Prism
	Frequency float64 // of the tapped bar, at the modulus that the machine is computed with [Hz]
	BarMass   float64 // at the density of the fill [kg]

	Size *spec.Log // what was read for the number of batches
	Time *spec.Log // for the times
	Tap  *spec.Log // for the bar
}

// Concrete is what is weighed out for a batch of concrete.
type Concrete struct {
	WaterCement float64  // [-]
	Strength    float64  // mean, at 28 days, by the water over the cement [Pa]
	Modulus     float64  // by the strength of the mix and the stone [Pa]
	Density     float64  // fresh [kg/m3]
	Dry         fill.Mix // of a cubic metre, with dry aggregates
	Weighed     fill.Mix // of a batch, with the aggregates as they lie [kg]
	Rate        float64  // of hardening at the room's temperature over that at 20 °C [-]

	Log   *spec.Log // what was read for the weights of a batch
	Stiff *spec.Log // for the modulus
}

// Resin is what is weighed out for a batch that resin binds.
type Resin struct {
	Share   float64 // resin with hardener, by mass [-]
	Resin   float64 // of a batch, with hardener [kg]
	Grains  float64 // of a batch [kg]
	Voids   float64 // pores over the volume, below zero where the density of the fill cannot be [-]
	Warming float64 // the most that a batch warms by its own heat [K]

	Log *spec.Log // what was read for it
}

// Pours are what the fills take, in the order of the spec. Those that no member has are left out.
func Pours(s *machine.Solution) ([]Pour, error) {
	list, err := pours(s.Model)
	if err != nil {
		return nil, err
	}
	for _, d := range s.Ends() {
		end, err := pours(d)
		if err != nil || len(end) != len(list) {
			continue // an end may lie where a formula does not hold
		}
		for i := range list {
			if whole(&list[i], &end[i]) {
				list[i].ends = append(list[i].ends, &end[i])
			}
		}
	}
	return list, nil
}

// whole reports whether the end of a pour has all that the pour has.
func whole(p, end *Pour) bool {
	if len(p.Cavities) != len(end.Cavities) || (p.Batches == nil) != (end.Batches == nil) {
		return false
	}
	return p.Batches == nil || (p.Batches.Concrete == nil) == (end.Batches.Concrete == nil) && (p.Batches.Resin == nil) == (end.Batches.Resin == nil)
}

func pours(d *machine.Model) (list []Pour, err error) {
	for i := range d.Spec.Fills {
		p := Pour{Entry: &d.Spec.Fills[i], Log: &spec.Log{}}
		if p.Cavities, err = cavities(d, p.Entry.Name, d.Read.Into(p.Log)); err != nil {
			return nil, err
		}
		if len(p.Cavities) == 0 {
			continue
		}
		for k := range p.Cavities {
			c := &p.Cavities[k]
			p.Volume += c.Volume
			p.Mass += c.Mass
			if c.Volume > 0 {
				p.Instead += c.Mass / c.Volume * (c.Area*c.Length - c.Volume)
			}
			p.Log.Rest(c.Log)
		}
		if p.Entry.Item.Mixed() && p.Volume > 0 { // inserts may take all of it
			p.Batches, p.Lacking = batches(d, &p)
		}
		if err := p.bulge(d); err != nil {
			return nil, err
		}
		list = append(list, p)
	}
	return list, nil
}

// batches divides a pour into batches. Where the parts of the mix cannot be found, the batches are there without them, with the error.
func batches(d *machine.Model, p *Pour) (*Batches, error) {
	f, pour := &p.Entry.Item, p.Entry.Item.Pour
	b := &Batches{Size: spec.Over(p.Log), Time: &spec.Log{}, Tap: &spec.Log{}}
	size, time := d.Read.Into(b.Size), d.Read.Into(b.Time)
	var err error
	if b.Mixed, err = fill.Ordered(p.Volume, size.Of(pour.Waste)); err != nil {
		return nil, err
	}
	if b.Count, err = fill.Batches(b.Mixed, size.Of(pour.Batch)); err != nil {
		return nil, err
	}
	b.Volume = b.Mixed / b.Count
	b.Mass = b.Volume * size.Of(f.Density)
	b.Temperature, b.Each = time.Of(d.Spec.Room.Temperature), time.Of(pour.BatchTime)
	rate, err := fill.HardeningRate(b.Temperature)
	if err != nil {
		return nil, err
	}
	if b.OpenTime = time.Of(pour.OpenTime) / rate; f.Resin {
		if b.OpenTime, err = fill.PotLife(time.Of(pour.OpenTime), b.Temperature); err != nil {
			return nil, err
		}
	}
	for i := range p.Cavities {
		c := &p.Cavities[i]
		c.Mixed = b.Mixed * c.Volume / p.Volume
		c.Time = math.Ceil(c.Mixed/b.Volume-1e-9) * b.Each
	}
	if err := b.tap(d, f); err != nil {
		return nil, err
	}
	var lacking error
	switch {
	case f.Proportioned():
		b.Concrete, lacking = concrete(d, f, b)
		if b.Concrete != nil {
			b.Concrete.Rate = rate
		}
	case f.Resin:
		b.Resin, lacking = resin(d, f, b)
	}
	return b, lacking
}

// tap finds what a bar that is cast from the fill rings at.
func (b *Batches) tap(d *machine.Model, f *spec.Fill) (err error) {
	read := d.Read.Into(b.Tap)
	bar := f.Pour.Bar
	b.Bar = fill.Prism{Length: read.Of(bar.Length), Width: read.Of(bar.Width), Height: read.Of(bar.Height)}
	density := read.Of(f.Density)
	b.BarMass = density * b.Bar.Length * b.Bar.Width * b.Bar.Height
	b.Frequency, err = TapFrequency(b.Bar, read.Of(f.Modulus), density, f.Resin)
	return err
}

// TapFrequency is what a bar of a modulus under slow load rings at [Hz]. What resin binds is taken to be as stiff at once as slowly:
// no relation is known.
func TapFrequency(bar fill.Prism, modulus, density float64, resin bool) (float64, error) {
	if !resin {
		dynamic, err := fill.DynamicModulus(modulus)
		if err != nil {
			return 0, err
		}
		modulus = dynamic
	}
	return fill.PrismFrequency(bar, modulus, density)
}

// concrete finds the parts of a concrete by absolute volume.
func concrete(d *machine.Model, f *spec.Fill, b *Batches) (*Concrete, error) {
	pour := f.Pour
	c := &Concrete{Log: spec.Over(b.Size), Stiff: &spec.Log{}}
	read, stiff := d.Read.Into(c.Log), d.Read.Into(c.Stiff)
	fck := stiff.Of(f.Strength)
	var err error
	if c.Modulus, err = fill.SecantModulus(fck); err != nil {
		return nil, err
	}
	stone := stiff.Word(pour.Stone)
	if stone == "" {
		stone = "quartzite"
	}
	factor, err := fill.AggregateFactor(stone)
	if err != nil {
		return nil, err
	}
	c.Modulus *= factor
	mean, err := fill.MeanStrength(read.Of(f.Strength))
	if err != nil {
		return nil, err
	}
	if c.WaterCement = read.Of(pour.WaterCement); !pour.WaterCement.Given {
		if c.WaterCement, err = fill.WaterCement(mean); err != nil {
			return nil, err
		}
	}
	if c.Strength, err = fill.MeanStrengthOf(c.WaterCement); err != nil {
		return nil, err
	}
	heap := func(a *spec.Aggregate) fill.Aggregate {
		return fill.Aggregate{Density: read.Of(a.Density), Absorption: read.Of(a.Absorption), Moisture: read.Of(a.Moisture)}
	}
	r := fill.Recipe{WaterCement: c.WaterCement, CementDensity: read.Of(pour.CementDensity), Coarse: heap(pour.Coarse), Fine: heap(pour.Fine)}
	grain := read.Of(pour.Grain)
	if r.Water, r.Air, err = fill.MixingWater(read.Of(pour.Slump), grain); err != nil {
		return nil, err
	}
	share, err := fill.CoarseVolume(grain, read.Of(pour.Fine.Fineness))
	if err != nil {
		return nil, err
	}
	r.CoarseMass = share * read.Of(pour.Coarse.RoddedDensity)
	if c.Dry, err = fill.Proportions(r); err != nil {
		return nil, err
	}
	weighed, err := fill.Weighed(c.Dry, r.Coarse, r.Fine)
	if err != nil {
		return nil, err
	}
	c.Density = fill.FreshDensity(weighed)
	v := b.Volume
	c.Weighed = fill.Mix{Water: v * weighed.Water, Cement: v * weighed.Cement, Coarse: v * weighed.Coarse, Fine: v * weighed.Fine}
	b.Mass = v * c.Density
	return c, nil
}

// resin finds the parts of a mix that resin binds.
func resin(d *machine.Model, f *spec.Fill, b *Batches) (*Resin, error) {
	r := &Resin{Log: spec.Over(b.Size)}
	read := d.Read.Into(r.Log)
	r.Share = read.Of(f.Pour.ResinShare)
	solid, err := fill.SolidDensity(r.Share, read.Of(f.Pour.ResinDensity), read.Of(f.Pour.Coarse.Density))
	if err != nil {
		return nil, err
	}
	r.Voids = 1 - read.Of(f.Density)/solid
	r.Resin, r.Grains = r.Share*b.Mass, (1-r.Share)*b.Mass
	r.Warming, err = fill.Warming(r.Share)
	return r, err
}

// Fresh is the density of what is poured [kg/m3].
func (p *Pour) Fresh() float64 {
	if p.Batches != nil && p.Batches.Concrete != nil {
		return p.Batches.Concrete.Density
	}
	return p.Mass / p.Volume
}

// bulge finds what the fresh fill does to the flat walls of its hollows.
func (p *Pour) bulge(d *machine.Model) error {
	if p.Volume <= 0 {
		return nil
	}
	for i := range p.Cavities {
		c := &p.Cavities[i]
		f := c.Bars[0].Section
		h, ok := f.Shape.(section.HollowRectangle)
		if !ok || f.Place != section.FillHollow {
			continue
		}
		box := fill.Box{Wall: h.Wall, Modulus: f.Material.E, Poisson: math.Min(mostPoisson, math.Max(0, f.Material.Poisson())),
			Side: math.Max(h.Width, h.Height) - h.Wall, Other: math.Min(h.Width, h.Height) - h.Wall}
		c.Walls = &Walls{}
		for _, end := range []struct {
			to     *Bulge
			height float64
		}{{&c.Walls.Lying, c.Lying}, {&c.Walls.OnEnd, c.OnEnd}} {
			var err error
			if end.to.Pressure, err = fill.HeadPressure(p.Fresh(), end.height); err != nil {
				return err
			}
			if end.to.Out, end.to.Stress, err = fill.Bulge(box, end.to.Pressure); err != nil {
				return err
			}
			// A prop along the middle leaves two spans of half the width, held at the prop and, at the least, not at the corner.
			half := box
			half.Side, half.Other = box.Side/2, box.Side/2
			if end.to.Propped, _, err = fill.Bulge(half, end.to.Pressure); err != nil {
				return err
			}
		}
	}
	return nil
}

// mostPoisson is the largest Poisson's ratio that a plate's formula takes.
const mostPoisson = 0.49
