package axis

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/cable"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// cableDensity and hoseDensity are the mass of a cable, and of a hose with water
// in it, over the room that it takes [kg/m³]; from memory.
const cableDensity, hoseDensity = 2300.0, 1200.0

// SpareCable is the share of a cable's way that is added for its ends and for
// corners [-]; common practice.
const SpareCable = 0.1

// KindOf is what sort of cable a line is.
func KindOf(l *spec.Line) cable.Kind { return machine.CableKinds[l.Kind.Text] }

// chainReaders read a chain, one for each of its logs.
type chainReaders struct{ height, width, bend, room, run, length spec.Reader }

// unlogged reads all of a chain by one reader's numbers, into no log.
func unlogged(read spec.Reader) chainReaders {
	quiet := spec.At(read.Bound())
	return chainReaders{quiet, quiet, quiet, quiet, quiet, quiet}
}

// chain sizes the cable chains, those that are carried by fewest axes first, and finds
// how long the cables are.
func (s *Solution) chain() error {
	for i := range s.Spec.Chains {
		e := &s.Spec.Chains[i]
		c := &Chain{Entry: e, Axis: s.Spec.Axes.Entry(e.Item.Axis.Text), Height: &spec.Log{}, Run: &spec.Log{}}
		c.Width, c.Bend, c.Log = spec.Over(c.Height), spec.Over(c.Height), spec.Over(c.Run)
		c.Room = spec.Over(c.Width, c.Bend)
		if !e.Item.Radius.Given {
			c.Log.Rest(c.Bend)
		}
		for k := range s.Spec.Axes {
			if slices.Contains(s.Spec.CarriedBy(s.Spec.Axes[k].Item.Moves.Text), c.Axis.Item.On.Text) {
				c.Depth++
			}
		}
		read := s.Model.Read
		var err error
		by := chainReaders{read.Into(c.Height), read.Into(c.Width), read.Into(c.Bend), read.Into(c.Room), read.Into(c.Run), read.Into(c.Log)}
		if c.Sized, err = s.sized(c, by); err != nil {
			return &machine.Refused{Rule: "cable-chain", At: e.At, Message: fmt.Sprintf("chain %s: %v", e.Name, err)}
		}
		c.Ends = atEnds(func(read spec.Reader) (Sized, error) { return s.sized(c, unlogged(read)) })
		s.Chains = append(s.Chains, c)
	}
	slices.SortStableFunc(s.Chains, func(a, b *Chain) int { return cmp.Compare(a.Depth, b.Depth) })
	return s.cables()
}

// sized sizes one chain by the numbers that readers pick.
func (s *Solution) sized(c *Chain, read chainReaders) (out Sized, err error) {
	e, a := &c.Entry.Item, &c.Axis.Item
	along := machine.Unit(a.Direction.XYZ)
	place := func(node string) r3.Vec {
		return s.shifted(read.run, s.apart(read.run, e.Fixed.Text, e.Moving.Text, along), node, s.halfway())
	}
	off := r3.Dot(along, r3.Sub(place(e.Moving.Text), place(e.Fixed.Text)))
	if e.MovedOffset[0].Given {
		off += r3.Dot(along, machine.Vector(read.run, e.MovedOffset))
	}
	if e.FixedOffset[0].Given {
		off -= r3.Dot(along, machine.Vector(read.run, e.FixedOffset))
	}
	travel, radius := read.run.Of(a.Travel), orElse(read.length, e.Radius, 0)
	out.Output, err = cable.Analyse(cable.Input{
		Lines:     linesOf(read, e),
		Travel:    travel,
		OffCentre: off,
		Speed:     read.width.Of(a.Rapid),
		Radius:    radius,
		Pitch:     orElse(read.length, e.Pitch, machine.ChainPitch),
		Separator: orElse(read.width, e.Separator, machine.ChainSeparator),
	})
	if err != nil {
		return out, err
	}
	lines := linesOf(read, e)
	out.Bends = make([]float64, len(lines))
	for i := range lines {
		if out.Bends[i], _, err = cable.BendRadius(lines[i : i+1]); err != nil {
			return out, err
		}
	}
	for _, of := range []struct {
		given spec.Value
		least float64
		to    *float64
	}{{e.InnerHeight, out.Section.Height, &out.Room.Height}, {e.InnerWidth, out.Section.Width, &out.Room.Width}, {e.Radius, out.LeastRadius, &out.Room.Radius}} {
		if of.given.Given {
			*of.to = read.room.Of(of.given) - of.least
		}
	}
	if !e.Radius.Given {
		radius = out.LeastRadius
	}
	if out.Apart, err = cable.MountHeight(radius); err != nil {
		return out, err
	}
	out.Reach, err = cable.LoopReach(out.Length, radius, travel/2+math.Abs(off), out.Section.Height)
	return out, err
}

// linesOf are what runs in a chain.
func linesOf(read chainReaders, c *spec.Chain) []cable.Line {
	var list []cable.Line
	for i := range c.Lines {
		l := &c.Lines[i].Item
		diameter := read.height.Of(l.Diameter)
		density := cableDensity
		if read.height.Word(l.Kind) == "hose" {
			density = hoseDensity
		}
		// What it weighs counts for the span alone, which is no figure.
		mass := orElse(spec.At(read.height.Bound()), l.Mass, density*math.Pi/4*diameter*diameter)
		list = append(list, cable.Line{Kind: KindOf(l), Diameter: diameter, Mass: mass, Bend: orElse(read.bend, l.Bend, 0)})
	}
	return list
}

// orElse is a value of the spec, or what is usual.
func orElse(read spec.Reader, v spec.Value, usual float64) float64 {
	if v.Given {
		return read.Of(v)
	}
	return usual
}

// cables finds how long every cable is, once for all chains that it runs through.
func (s *Solution) cables() error {
	seen := map[string]bool{}
	for first, chain := range s.Chains {
		for i := range chain.Entry.Item.Lines {
			e := &chain.Entry.Item.Lines[i]
			if seen[e.Name] {
				continue
			}
			seen[e.Name] = true
			c := &Cable{Entry: e, Log: &spec.Log{}}
			for _, next := range s.Chains[first:] {
				if l := next.Entry.Item.Lines.Find(e.Name); l != nil {
					c.Through, c.To = append(c.Through, next), l.Feeds.Text
					c.Log.Rest(next.Log)
				}
			}
			var err error
			if c.Length, err = s.length(c, s.Model.Read.Into(c.Log)); err != nil {
				return &machine.Refused{Rule: "cable-chain", At: e.At, Message: fmt.Sprintf("cable %s: %v", e.Name, err)}
			}
			c.Ends = atEnds(func(read spec.Reader) (float64, error) { return s.length(c, read) })
			s.Cables = append(s.Cables, c)
		}
	}
	return nil
}

// length is how long a cable is by the numbers that a reader picks.
func (s *Solution) length(c *Cable, read spec.Reader) (float64, error) {
	var ways []cable.Stretch
	at := s.stands(read, c.Through[0].Entry.Item.Fixed.Text, s.halfway())
	if s.Spec.Cabinet[0].Given {
		at = machine.Vector(read, s.Spec.Cabinet)
	}
	for _, next := range c.Through {
		sized, err := s.sized(next, unlogged(read)) // the chain has a log of its own
		if err != nil {
			return 0, err
		}
		fixed := s.stands(read, next.Entry.Item.Fixed.Text, s.halfway())
		ways = append(ways, cable.Stretch{Fixed: taxi(at, fixed), Chain: sized.Length})
		at = s.stands(read, next.Entry.Item.Moving.Text, s.halfway())
	}
	if c.To != "" {
		ways = append(ways, cable.Stretch{Fixed: taxi(at, s.stands(read, c.To, s.halfway()))})
	}
	return cable.RunLength(ways, read.Of(c.Entry.Item.Diameter), SpareCable)
}

// taxi is the way along a frame from one place to another, square to its members [m].
func taxi(a, b r3.Vec) float64 {
	d := r3.Sub(a, b)
	return math.Abs(d.X) + math.Abs(d.Y) + math.Abs(d.Z)
}
