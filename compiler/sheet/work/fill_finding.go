package work

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/fill"
	"ironbed/compiler/making"
	"ironbed/compiler/rank"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// grainsAcross is how many of the largest grains pass an opening or a hollow side by side without bridging [-]; common practice.
const grainsAcross = 3

// findings says what of the pour cannot be, or is not what the machine counts on.
func (s *fillSheet) findings() {
	f := &s.pour.Entry.Item
	if f.Pour == nil {
		return
	}
	s.openings(f)
	s.insertsFit(f)
	if s.pour.Batches == nil {
		return
	}
	s.times(f)
	s.cold(f)
	if c := s.pour.Batches.Concrete; c != nil {
		s.concreteFindings(f, c)
	}
	if r := s.pour.Batches.Resin; r != nil && r.Voids < 0 {
		s.find("fill-too-dense", build.SeverityCaution, f.Density.At, []string{s.id + ".voids"},
			"fill %s: no mix with %s of resin by mass weighs %s: its parts without any pores weigh %s less; give the density that you weigh, or another `resin_share`",
			s.name, quantity.Percent(r.Share), quantity.Print(s.book.Read().Of(f.Density), "kg/m3"), quantity.Percent(-r.Voids/(1-r.Voids)))
	}
}

func (s *fillSheet) find(rule string, severity build.Severity, at spec.Place, figures []string, message string, args ...any) {
	s.book.Find(build.Finding{Rule: rule, Severity: severity, At: build.Place(at), Figures: figures, Message: fmt.Sprintf(message, args...)})
}

// openings holds the openings and the hollows against the air that has to leave, and against the largest grain.
func (s *fillSheet) openings(f *spec.Fill) {
	read, p := s.book.Read(), f.Pour
	if n := read.Count(p.Openings); f.Place.Text == "hollow" && n < 2 {
		s.find("fill-without-vent", build.SeverityFail, p.Openings.At, nil,
			"fill %s: hollows with %d %s cannot be filled: the air that the fill pushes out has no way; give each two, and the second at its highest point",
			s.name, n, plural(n, "opening", "openings"))
	}
	grain := read.Of(p.Grain)
	if opening := read.Of(p.Opening); f.Place.Text == "hollow" && rank.More(grainsAcross*grain, opening) {
		s.find("grain-over-opening", build.SeverityCaution, p.Grain.At, nil, "fill %s: grains of %s bridge in openings of %s; take no larger ones than a third of the opening, %s",
			s.name, quantity.Print(grain, "mm"), quantity.Print(opening, "mm"), quantity.Print(opening/grainsAcross, "mm"))
	}
	var narrow *making.Cavity
	for i := range s.pour.Cavities {
		if c := &s.pour.Cavities[i]; c.Clear > 0 && rank.More(grainsAcross*grain, c.Clear) && (narrow == nil || rank.More(narrow.Clear, c.Clear)) {
			narrow = c
		}
	}
	if narrow != nil {
		s.find("grain-over-hollow", build.SeverityCaution, p.Grain.At, nil, "fill %s: grains of %s bridge in %s, which is %s wide inside; take no larger ones than a third of that, %s",
			s.name, quantity.Print(grain, "mm"), narrow.Words(), quantity.Print(narrow.Clear, "mm"), quantity.Print(narrow.Clear/grainsAcross, "mm"))
	}
}

// insertsFit holds the inserts against the hollows.
func (s *fillSheet) insertsFit(f *spec.Fill) {
	if s.pour.Volume > 0 {
		return
	}
	s.find("inserts-over-hollow", build.SeverityFail, f.Pour.Inserts.At, []string{s.id + ".volume"}, "fill %s: its inserts take %s, which is all that the hollows hold; give their volume alone",
		s.name, quantity.Print(s.book.Read().Of(f.Pour.Inserts), "L"))
}

// times holds the time that a hollow takes against the time that a batch can be worked. In one that lies the first batch has to move on
// until the last is in.
func (s *fillSheet) times(f *spec.Fill) {
	b := s.pour.Batches
	if rank.More(b.Each, b.OpenTime) {
		s.find("batch-over-open-time", build.SeverityFail, f.Pour.BatchTime.At, []string{s.id + ".open_time"},
			"fill %s: a batch takes %s to mix and place, and can be worked for %s at %s; make smaller batches, cool the parts, or take a slower %s",
			s.name, minutes(b.Each), minutes(b.OpenTime), quantity.Print(b.Temperature, "°C"), map[bool]string{true: "hardener", false: "cement, or a retarder"}[f.Resin])
		return
	}
	slowest := s.slowest()
	if p := f.Pour; slowest == nil || !p.Batch.Given && !p.OpenTime.Given && !p.BatchTime.Given {
		return // where all of it is a guess, the sheet says it
	}
	s.find("pour-over-open-time", build.SeverityCaution, f.Pour.Batch.At, []string{s.id + ".open_time", "cavity." + slowest.Name() + ".time"}, "fill %s: %s", s.name, s.slowWords(slowest))
}

// Temperatures of the room below which a fill is not poured [K]; common practice.
const (
	coldCement = 278.15
	coldResin  = 283.15
)

// cold holds the room against what the fill sets in.
func (s *fillSheet) cold(f *spec.Fill) {
	room, least := s.book.Spec.Room.Temperature, coldCement
	if f.Resin {
		least = coldResin
	}
	if t := s.pour.Batches.Temperature; room.Given && rank.More(least, t) {
		s.find("pour-too-cold", build.SeverityFail, room.At, []string{s.id + ".open_time"}, "fill %s: the room has %s, and a fill bound by %s hardens poorly below %s; heat the room and the parts, or wait",
			s.name, quantity.Print(t, "°C"), map[bool]string{true: "resin", false: "cement"}[f.Resin], quantity.Print(least, "°C"))
	}
}

// slowest is the hollow that takes longest of those that take longer than a batch can be worked, nil for none. In one that stands, and in an open
// pocket, each batch has to be soft until the next is on it, no longer.
func (s *fillSheet) slowest() (slowest *making.Cavity) {
	if s.pour.Batches == nil || s.pour.Entry.Item.Place.Text != "hollow" {
		return nil
	}
	for i := range s.pour.Cavities {
		if c := &s.pour.Cavities[i]; c.Lies && rank.More(c.Time, s.pour.Batches.OpenTime) && (slowest == nil || rank.More(c.Time, slowest.Time)) {
			slowest = c
		}
	}
	return slowest
}

// slowWords say what is wrong with such a hollow.
func (s *fillSheet) slowWords(c *making.Cavity) string {
	b := s.pour.Batches
	return fmt.Sprintf("%s lies, takes %s in batches of %s, and a batch can be worked for %s at %s: the first stiffens before the last has pushed it to the end; "+
		"stand the member on its end and fill it layer by layer, take larger batches or a slower mix, or weld plates in that divide the hollow",
		c.Words(), minutes(c.Time), quantity.Print(b.Volume, "L"), minutes(b.OpenTime), quantity.Print(b.Temperature, "°C"))
}

func minutes(seconds float64) string { return build.Duration(seconds / 60) }

// belowMean is how far below the mean strength that a class wants a mix may come out before it is told [-]: what the table is read to.
const belowMean = 0.97

// concreteFindings holds what the parts give against what the machine is computed with.
func (s *fillSheet) concreteFindings(f *spec.Fill, c *making.Concrete) {
	read, p := s.book.Read(), f.Pour
	if wanted, err := fill.MeanStrength(read.Of(f.Strength)); err == nil && p.WaterCement.Given && rank.More(belowMean*wanted, c.Strength) {
		s.find("water-cement", build.SeverityCaution, p.WaterCement.At, []string{s.id + ".strength"},
			"fill %s: water over cement of %s gives a mean strength of %s, and %s wants %s; less water, and plasticiser to make it flow",
			s.name, quantity.Number(c.WaterCement), quantity.Print(c.Strength, "MPa"), s.mixWords(), quantity.Print(wanted, "MPa"))
	}
	if low, _, high := read.Span(f.Modulus); p.Stone.Text != "" && (rank.More(low, c.Modulus) || rank.More(c.Modulus, high)) {
		s.find("fill-modulus", build.SeverityCaution, p.Stone.At, []string{s.id + ".modulus"},
			"fill %s: with %s its modulus is about %s, outside of the %s to %s that the machine is computed with; write that as its `modulus`, with its uncertainty",
			s.name, p.Stone.Text, quantity.Print(c.Modulus, "GPa"), quantity.Print(low, "GPa"), quantity.Print(high, "GPa"))
	}
	if low, _, high := read.Span(f.Density); rank.More(low, c.Density) || rank.More(c.Density, high) {
		s.find("fill-density", build.SeverityCaution, f.Density.At, []string{s.id + ".density"},
			"fill %s: its parts weigh %s when fresh, outside of the %s to %s that the machine is weighed with; write that as its `density`",
			s.name, quantity.Print(c.Density, "kg/m3"), quantity.Print(low, "kg/m3"), quantity.Print(high, "kg/m3"))
	}
}
