package making

import (
	"errors"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/domain"
	"ironbed/compiler/fill"
	"ironbed/compiler/joint"
	"ironbed/compiler/level"
	"ironbed/compiler/machine"
	"ironbed/compiler/profile"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// What is common practice of levelling pours.
const (
	Level      = 10e-6 // to which a surface has to level [m]
	firstShare = 0.1   // of its depth by which a film is uneven as it is poured, in equal portions by weight [-]
	levelFace  = 0.999 // cosine of the slope up to which a face counts as level: 2.6°
	levelWaste = 0.1   // of what is mixed that stays in the pot [-]
	waterTime  = 600   // that water is left to level, for a check of a land by its surface [s]
	waterFirst = 1e-3  // by which it is uneven as it is let in [m]
	channel    = 3     // how often deeper than the beds a channel between them is: it is cut or dammed so [-]
	unevenLoad = 0.1   // of the resin, which one bed has more than the other as they are poured [-]
)

// A Bed is the resin under one rail of an axis.
type Bed struct {
	Axis, Guide string
	Rail        *spec.Entry[spec.Rail]
	Length      float64    // of the members that the rail lies on [m]
	Width       float64    // between the dams [m]
	Depth       float64    // mean [m]
	Volume      float64    // [m3]
	Mass        float64    // that is mixed, with what is lost [kg]
	PotLife     float64    // at the room's temperature [s]
	Time        float64    // that the film takes to level from end to end [s]
	Reach       float64    // over which it levels within its pot life [m]
	Capillary   float64    // length [m]
	Strip       float64    // along each dam that is not level [m]
	Flat        float64    // what is left between the strips [m]
	Lies        bool       // its face is level as the machine stands
	Channel     float64    // width that a channel to the other bed of the axis needs, three times as deep as they are; 0 for a single bed [m]
	Water       float64    // least depth of a film of water that shows the land [m]
	WaterStrip  float64    // along each dam where that is not level [m]
	Settles     float64    // what it gives under a carriage by the weight that is moved; 0 where the rail has no layer of resin [m]
	Creeps      float64    // what it gives more in time [m]
	Residual    [2]float64 // what shrinkage leaves of the land, after one pour and after two [m]

	Land *profile.Pass // as it was read before the pour, nil where it was not

	Refused *machine.Refused // why it cannot be computed, nil where it can: then its numbers are none

	film  level.Film
	first float64 // by which it is uneven as it is poured [m]
	ends  []*Bed

	Log    *spec.Log // what was read for it
	Loaded *spec.Log // the same for what it gives
}

// Ends are a number of a bed at the ends of the uncertainty.
func (b *Bed) Ends(of func(*Bed) float64) (list []float64) {
	for _, end := range b.ends {
		list = append(list, of(end))
	}
	return list
}

// Sets reports whether a bed's resin sets before it is level from end to end.
func (b *Bed) Sets() bool { return rank.More(b.Time, b.PotLife) }

// Pours is how many pours bring what shrinkage leaves down to what a film levels to, twice that; two where they do not, either.
func (b *Bed) Pours() int {
	if rank.More(b.Residual[0], 2*Level) {
		return 2
	}
	return 1
}

// Leaves is by how much the surface of a bed is uneven over a length [m]: to what counts as level, by what shrinkage leaves after the pours
// that it takes, and by what had not flowed away when it set; at its least, middle and most. False where the bed is not computed.
func (b *Bed) Leaves(length float64) (least, middle, most float64, ok bool) {
	of := func(b *Bed, pours int) (float64, bool) {
		if b.Refused != nil {
			return 0, false
		}
		left, err := b.film.Left(length, b.first, b.PotLife)
		return Level + b.Residual[pours-1] + left, err == nil
	}
	pours := b.Pours()
	if middle, ok = of(b, pours); !ok {
		return 0, 0, 0, false
	}
	least, most = middle, middle
	for _, end := range b.ends {
		if v, ok := of(end, pours); ok {
			least, most = min(least, v), max(most, v)
		}
	}
	return least, middle, most, true
}

// Beds are the poured beds of a machine, in the order of its axes.
func Beds(s *machine.Solution) []Bed {
	list := beds(s.Model)
	for _, d := range s.Ends() {
		for i, end := range beds(d) {
			if end.Refused == nil { // an end may lie where a formula does not hold
				list[i].ends = append(list[i].ends, &end)
			}
		}
	}
	return list
}

func beds(d *machine.Model) (list []Bed) {
	for i := range d.Spec.Axes {
		a := &d.Spec.Axes[i]
		for k := range a.Item.Guides {
			g := &a.Item.Guides[k]
			rail := d.Spec.Rails.Entry(g.Item.Rail.Text)
			if rail.Item.Surface.Text != "poured" {
				continue
			}
			b, err := bed(d, rail, under(d, &g.Item), landRead(d, a, g))
			if err == nil {
				err = b.gives(d, i)
			}
			if err != nil {
				b.Refused = &machine.Refused{Rule: "levelling", At: blamed(d.Spec, rail, err), Message: "rail " + rail.Name + ": its levelling resin cannot be computed: " + err.Error()}
			}
			b.Axis, b.Guide = a.Name, g.Name
			if axes, err := machine.GuideAxes(machine.Unit(a.Item.Direction.XYZ), g); err == nil { // what has no axes is refused with the carriages
				b.Lies = math.Abs(r3.Dot(axes[2], r3.Unit(machine.Gravity))) > levelFace
			}
			list = append(list, b)
		}
		join(d, i, list)
	}
	return list
}

// wetWater is water with a wetting agent, at room temperature; from memory, its tension half of that of clean water.
var wetWater = level.Film{Density: 998, Viscosity: 1e-3, Tension: 0.03}

// creep is what a filled epoxy gives in years under a load that stays, over what it gives at once, at its least, middle and most [-]; from memory.
var creep = [3]float64{0.3, 1, 3}

// join finds the channel between the two beds of an axis.
func join(d *machine.Model, number int, list []Bed) {
	var own []*Bed
	for i := range list {
		if list[i].Axis == d.Spec.Axes[number].Name && list[i].Refused == nil {
			own = append(own, &list[i])
		}
	}
	l, ok := machine.LayoutBy(d.Spec, number, func(node string) r3.Vec { return d.Nodes[d.Node[node]] })
	if len(own) != 2 || !ok {
		return
	}
	deep := own[0].film
	deep.Depth *= channel
	width, err := deep.ChannelWidth(l.Spread, own[0].Length*own[0].Width, own[1].Length*own[1].Width, unevenLoad*own[0].Depth, Level, own[0].PotLife)
	if err != nil { // a pour that is too thin to need one
		return
	}
	own[0].Channel, own[1].Channel = width, width
}

// gives finds what the resin gives under the weight that an axis moves.
func (b *Bed) gives(d *machine.Model, number int) error {
	r := b.Rail.Item.Resin
	if r == nil {
		return nil
	}
	b.Loaded = spec.Over(b.Log, d.Weight)
	read, carriages := d.Read.Into(b.Loaded), 0
	for _, g := range d.Spec.Axes[number].Item.Guides {
		carriages += len(g.Item.Carriages)
	}
	layer := joint.Layer{Material: joint.Material{E: read.Of(r.Modulus), Poisson: read.Of(r.Poisson)}, Width: read.Of(r.Width), Length: read.Of(r.Length), Thickness: b.Depth}
	k, err := layer.Stiffness()
	if err != nil {
		return err
	}
	b.Settles = d.MovedMass(number) * r3.Norm(machine.Gravity) / float64(carriages) / k.Normal.Middle
	b.Creeps = -read.Between("creep of a filled epoxy", -creep[2], -creep[1], -creep[0]) * b.Settles
	return nil
}

// blamed is the line of what a formula of a bed refuses.
func blamed(m *spec.Machine, rail *spec.Entry[spec.Rail], err error) spec.Place {
	var fault *domain.InputError
	if !errors.As(err, &fault) {
		return rail.At
	}
	l := rail.Item.Levelling
	for _, c := range []struct {
		word string
		v    spec.Value
	}{{"temperature", m.Room.Temperature}, {"pot life", l.PotLife}, {"viscosity", l.Viscosity}, {"density", l.Density}, {"tension", l.SurfaceTension},
		{"shrinkage", l.Shrinkage}, {"unevenness of the land", l.Uneven}, {"depth", l.Depth}, {"length", l.Depth}} {
		if strings.Contains(fault.Quantity, c.word) && c.v.Given {
			return c.v.At
		}
	}
	return rail.At
}

// under are the members that a rail lies on.
func under(d *machine.Model, g *spec.Guide) (list []*machine.Bar) {
	for _, over := range g.Over {
		body, members := d.Spec.Match(over.Text)
		for _, name := range members {
			if b := &d.Bars[d.ByName[body+"."+name]]; !slices.Contains(list, b) { // patterns may name a member twice
				list = append(list, b)
			}
		}
	}
	return list
}

// landRead is the steel under a rail as it was read; nil where it was not.
func landRead(d *machine.Model, a *spec.Entry[spec.Axis], g *spec.Entry[spec.Guide]) *profile.Pass {
	for _, e := range g.Item.LatestLand() {
		return profile.Of(d.Spec, d.Read, a, g, e)
	}
	return nil
}

// bed is the bed of a rail along members, on a land that was read or nil.
func bed(d *machine.Model, rail *spec.Entry[spec.Rail], bars []*machine.Bar, land *profile.Pass) (b Bed, err error) {
	b = Bed{Rail: rail, Land: land, Log: &spec.Log{}}
	for _, bar := range bars {
		b.Length += bar.Length()
	}
	l, read := rail.Item.Levelling, d.Read.Into(b.Log)
	depth := l.Depth
	if r := rail.Item.Resin; r != nil && !depth.Given {
		depth = r.Thickness
	}
	b.Depth, b.Width = read.Of(depth), read.Of(l.Width)
	uneven := 0.0
	if land != nil && land.Refused == nil && !l.Uneven.Given {
		b.Log.Rest(land.Log)
		uneven = max(0, land.LeastZone+read.Between("readings of the land of rail "+rail.Name, -land.U(), 0, land.U()))
	} else {
		uneven = read.Of(l.Uneven)
	}
	film := level.Film{Depth: b.Depth, Density: read.Of(l.Density), Viscosity: read.Of(l.Viscosity), Tension: read.Of(l.SurfaceTension)}
	b.Volume = b.Length * b.Width * b.Depth
	b.Mass = (1 + levelWaste) * b.Volume * film.Density
	if b.PotLife, err = fill.PotLife(read.Of(l.PotLife), read.Of(d.Spec.Room.Temperature)); err != nil {
		return b, err
	}
	b.film, b.first = film, max(firstShare*b.Depth, 2*Level)
	if b.Time, err = film.Time(b.Length, b.first, Level); err != nil {
		return b, err
	}
	if b.Reach, err = film.Reach(b.PotLife, b.first, Level); err != nil {
		return b, err
	}
	if b.Capillary, err = film.CapillaryLength(); err != nil {
		return b, err
	}
	if b.Strip, err = film.EdgeStrip(Level); err != nil {
		return b, err
	}
	b.Flat = b.Width - 2*b.Strip
	if b.Water, err = wetWater.DepthFor(b.Length, waterFirst, Level, waterTime); err != nil {
		return b, err
	}
	wet := wetWater
	wet.Depth = b.Water
	if b.WaterStrip, err = wet.EdgeStrip(Level); err != nil {
		return b, err
	}
	for n := range b.Residual {
		if b.Residual[n], err = level.Residual(read.Of(l.Shrinkage), uneven, n+1); err != nil {
			return b, err
		}
	}
	return b, nil
}
