package machine

import (
	"math"

	"ironbed/compiler/fill"
	"ironbed/compiler/section"
	"ironbed/spec"
)

// A Shrinking is what a fill's shrinkage does to the members of one kind.
type Shrinking struct {
	Bar    *Bar
	Strain fill.Bounds
	Creep  float64
	Out    fill.Shrunk // at the middle of the strain
	Bow    float64     // sideways and up together [m]
	Crack  float64     // tension at which the fill cracks, 0 where not known [Pa]
	Shear  float64     // what the interface passes at the ends [Pa]
	Holds  float64     // what plain steel and concrete pass there [Pa]
	Gap    float64     // between a core and its wall, 0 for pockets [m]
}

// Shrink finds what shrinkage does to a member; false where the mix's shrinkage is
// not known.
func Shrink(read spec.Reader, b *Bar) (Shrinking, bool) {
	f := b.Section.Fill
	s := Shrinking{Bar: b, Creep: creepBounds[1]}
	core := FillMaterial(f, read)
	shell, pieces, err := section.FillParts(b.Section.Shape, b.Section.Material, core, b.Section.Place)
	if err != nil {
		return s, false // listed properties: no outline to work with
	}
	var whole section.Stiffness
	for _, p := range pieces {
		whole.EA += p.EA
		whole.EIy += p.EIy
		whole.EIz += p.EIz
		whole.CentroidY += p.EA * p.CentroidY
		whole.CentroidZ += p.EA * p.CentroidZ
	}
	whole.CentroidY, whole.CentroidZ = whole.CentroidY/whole.EA, whole.CentroidZ/whole.EA
	area := whole.EA / core.E
	pocket := f.Place.Text != "hollow"
	width, height := Extent(b.Section)
	switch {
	case f.Shrinkage.Given:
		s.Strain.Low, s.Strain.Middle, s.Strain.High = read.Span(f.Shrinkage)
	case f.Strength.Given:
		own, err := fill.AutogenousShrinkage(read.Of(f.Strength))
		if err != nil {
			return s, false
		}
		s.Strain = fill.Bounds{Low: 0.7 * own, Middle: own, High: 1.3 * own}
		if pocket {
			// An open face dries: its notional size is twice the area over it.
			size := fill.SizeFactor(2 * area / float64(len(pieces)) / height)
			arid, humidity, wet := read.Span(f.Humidity)
			for _, end := range []struct {
				to       *float64
				humidity float64
				k        float64
			}{{&s.Strain.Low, wet, 0.7}, {&s.Strain.Middle, humidity, 1}, {&s.Strain.High, arid, 1.3}} {
				dry, err := fill.DryingShrinkage(read.Of(f.Strength), end.humidity)
				if err != nil {
					return s, false
				}
				*end.to += end.k * size * dry
			}
		}
	default:
		return s, false
	}
	if f.Strength.Given {
		if s.Crack, err = fill.MeanTensileStrength(read.Of(f.Strength)); err != nil {
			s.Crack = 0
		}
	}
	y := fill.Restrained{Steel: fill.Part{EA: shell.EA, EI: shell.EIz, Place: shell.CentroidY}, Fill: fill.Part{EA: whole.EA, EI: whole.EIz, Place: whole.CentroidY},
		Strain: s.Strain.Middle, Creep: s.Creep, Length: b.Run}
	z := y
	z.Steel.EI, z.Steel.Place, z.Fill.EI, z.Fill.Place = shell.EIy, shell.CentroidZ, whole.EIy, whole.CentroidZ
	along, err := fill.Shrink(y, area)
	if err != nil {
		return s, false
	}
	up, err := fill.Shrink(z, area)
	if err != nil {
		return s, false
	}
	s.Out = along
	if up.Force < along.Force { // the weaker hold counts
		s.Out = up
	}
	s.Bow = math.Hypot(along.Bow, up.Bow)
	s.interfaceShear(pocket, float64(len(pieces)), width, height)
	if !pocket {
		inner, high := HollowExtent(b.Section)
		s.Gap = s.Strain.Middle * math.Max(inner, high) / 2
	}
	return s, true
}

// interfaceShear fills in what the ends have to pass, and what plain steel holds.
func (s *Shrinking) interfaceShear(pocket bool, pieces, width, height float64) {
	around := 2 * (width + height) // the wall of a hollow
	s.Holds = float64(fill.RectangularHollow)
	switch s.Bar.Section.Shape.(type) {
	case section.HollowRound:
		around, s.Holds = math.Pi*width, float64(fill.RoundHollow)
	default:
		if pocket { // the flanges hold, the web does not count
			around, s.Holds = pieces*width, float64(fill.Flanges)
		}
	}
	if shear, err := fill.TransferStress(s.Out.Force, around, math.Min(width, height), s.Bar.Run); err == nil {
		s.Shear = shear
	}
}
