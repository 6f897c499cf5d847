package machine

import (
	"math"

	"ironbed/compiler/fill"
	"ironbed/compiler/rank"
	"ironbed/compiler/section"
	"ironbed/spec"
)

// A Shrinking is what a fill's shrinkage does to the members of one kind.
type Shrinking struct {
	Bar             *Bar
	Strain          fill.Bounds
	Creep           float64
	Out             fill.Shrunk // at the middle of the strain
	Bow             float64     // lateral and vertical together [m]
	TensileStrength float64     // of the fill, 0 where not known [Pa]
	Shear           float64     // shear of the interface at the ends [Pa]
	BondStrength    float64     // of plain steel and concrete [Pa]
	Gap             float64     // between a core and its wall, 0 for pockets [m]

	Free *spec.Log // what was read for the strain
	Log  *spec.Log // what was read for all of it
}

// A Setting is what shrinkage does to the members of one section and fill, at the one
// that runs on longest: at the middle of every value, and beyond.
type Setting struct {
	Section, Fill string
	Shrinking
	Known bool // false where the mix's shrinkage is not known

	ends []Shrinking
}

// Ends are a number at both ends of the strain, in the model at the middle of every
// value and at both ends of its uncertainty, with the least creep and the most.
func (s *Setting) Ends(of func(*Shrinking) float64) (list []float64) {
	for i := range s.ends {
		end := &s.ends[i]
		if end.Strain.Middle > 0 { // all of it goes with the strain
			list = append(list, of(end)*end.Strain.Low/end.Strain.Middle, of(end)*end.Strain.High/end.Strain.Middle)
		}
	}
	return list
}

// Settings finds what shrinkage does to the members that are filled.
func (s *Solution) Settings() []Setting {
	var list []Setting
	var longest []int // by setting: the bar
	at := map[[2]string]int{}
	for i := range s.Model.Bars {
		b := &s.Model.Bars[i]
		if b.Section.Fill == nil {
			continue
		}
		kind := [2]string{b.Member.Section.Text, b.Member.Fill.Text}
		if k, met := at[kind]; !met {
			at[kind] = len(list)
			list, longest = append(list, Setting{Section: kind[0], Fill: kind[1]}), append(longest, i)
		} else if b.Run > s.Model.Bars[longest[k]].Run*(1+noise) {
			longest[k] = i
		}
	}
	for k, i := range longest {
		out := &list[k]
		low, _, high := s.Model.Read.Span(s.Model.Bars[i].Section.Fill.Creep)
		out.Shrinking, out.Known = Shrink(s.Model.Read, &s.Model.Bars[i])
		if !out.Known {
			continue
		}
		for _, d := range append(s.Ends(), s.Model) {
			for _, creep := range []float64{low, high} {
				if end, ok := shrink(d.Read, &d.Bars[i], creep); ok {
					out.ends = append(out.ends, end)
				}
			}
		}
	}
	return list
}

// noise is by how much two numbers that ought to be equal may differ [-].
const noise = 1e-9

// Shrink finds what shrinkage does to a member; false where the mix's shrinkage is
// not known.
func Shrink(read spec.Reader, b *Bar) (Shrinking, bool) {
	log := &spec.Log{}
	s, ok := shrink(read, b, read.Into(log).Of(b.Section.Fill.Creep))
	s.Log.Rest(log)
	return s, ok
}

func shrink(read spec.Reader, b *Bar, creep float64) (Shrinking, bool) {
	f := b.Section.Fill
	s := Shrinking{Bar: b, Creep: creep, Free: &spec.Log{}}
	s.Log = spec.Over(s.Free, b.Section.Log, b.Line)
	core := FillMaterial(f, read)
	shell, pieces, err := section.FillParts(b.Section.Shape, b.Section.Material, core, b.Section.Place, b.Section.Hollows...)
	if err != nil {
		return s, false // listed properties: no outline to work with
	}
	whole := together(pieces)
	area := whole.EA / core.E
	pocket := f.Place.Text != "hollow"
	width, height := Extent(b.Section)
	if pocket {
		s.Free.Rest(b.Section.Log)
	}
	var ok bool
	// The size of a pocket's open face is twice the area over it.
	if s.Strain, ok = freeStrain(read.Into(s.Free), f, pocket, 2*area/float64(len(pieces))/height); !ok {
		return s, false
	}
	if f.Strength.Given {
		if s.TensileStrength, err = fill.MeanTensileStrength(read.Of(f.Strength)); err != nil {
			s.TensileStrength = 0
		}
	}
	if !s.hold(shell, whole, area) {
		return s, false
	}
	shares := make([]float64, len(pieces)) // of the force
	for i, p := range pieces {
		shares[i] = p.EA / whole.EA
	}
	s.atTheWall(shares, pocket, math.Min(width, height))
	return s, true
}

// together are the pieces of a fill as one, which the section's walls bend as one.
func together(pieces []section.Stiffness) (whole section.Stiffness) {
	for _, p := range pieces {
		whole.EA += p.EA
		whole.CentroidY += p.EA * p.CentroidY
		whole.CentroidZ += p.EA * p.CentroidZ
	}
	whole.CentroidY, whole.CentroidZ = whole.CentroidY/whole.EA, whole.CentroidZ/whole.EA
	for _, p := range pieces {
		y, z := p.CentroidY-whole.CentroidY, p.CentroidZ-whole.CentroidZ
		whole.EIy += p.EIy + p.EA*z*z
		whole.EIz += p.EIz + p.EA*y*y
	}
	return whole
}

// freeStrain is how much a fill would shrink with nothing to hold it; false where that
// is not known. A pocket's open face dries, the more the less there is behind it.
func freeStrain(read spec.Reader, f *spec.Fill, pocket bool, size float64) (out fill.Bounds, ok bool) {
	read.Word(f.Mix)
	switch {
	case f.Shrinkage.Given:
		out.Low, out.Middle, out.High = read.Span(f.Shrinkage)
		return out, true
	case !f.Strength.Given:
		return out, false
	}
	own, err := fill.AutogenousShrinkage(read.Of(f.Strength))
	if err != nil {
		return out, false
	}
	out = fill.Bounds{Low: 0.7 * own, Middle: own, High: 1.3 * own}
	if !pocket {
		return out, true
	}
	factor := fill.SizeFactor(size)
	arid, humidity, wet := read.Span(f.Humidity)
	for _, end := range []struct {
		to       *float64
		humidity float64
		k        float64
	}{{&out.Low, wet, 0.7}, {&out.Middle, humidity, 1}, {&out.High, arid, 1.3}} {
		dry, err := fill.DryingShrinkage(read.Of(f.Strength), end.humidity)
		if err != nil {
			return out, false
		}
		*end.to += end.k * factor * dry
	}
	return out, true
}

// hold fills in what the steel does as it restrains the fill, in both planes.
func (s *Shrinking) hold(shell, whole section.Stiffness, area float64) bool {
	y := fill.Restrained{
		Steel:  fill.Part{EA: shell.EA, EI: shell.EIz, Place: shell.CentroidY},
		Fill:   fill.Part{EA: whole.EA, EI: whole.EIz, Place: whole.CentroidY},
		Strain: s.Strain.Middle, Creep: s.Creep, Length: s.Bar.Run}
	z := y
	z.Steel.EI, z.Steel.Place, z.Fill.EI, z.Fill.Place = shell.EIy, shell.CentroidZ, whole.EIy, whole.CentroidZ
	along, err := fill.Shrink(y, area)
	if err != nil {
		return false
	}
	up, err := fill.Shrink(z, area)
	if err != nil {
		return false
	}
	s.Out = along
	if rank.More(along.Force, up.Force) { // the weaker hold counts
		s.Out = up
	}
	if s.Bow = math.Hypot(along.Bow, up.Bow); s.Bow < noise*s.Bar.Run {
		s.Bow = 0 // it lies in the middle
	}
	return true
}

// atTheWall fills in the shear at the ends of the piece of fill that has the least wall for its area, the bond strength
// there, and the gap round the largest. Each piece is held by its own wall, over a length that goes with the smaller side of the
// section, or of its hollow where the section has more than one wall round it.
func (s *Shrinking) atTheWall(shares []float64, pocket bool, side float64) {
	f := s.Bar.Section
	s.BondStrength = float64(fill.RectangularHollow)
	_, round := f.Shape.(section.HollowRound)
	_, square := f.Shape.(section.HollowRectangle)
	switch {
	case f.Fill.Resin:
		s.BondStrength = float64(fill.ResinBound)
	case round:
		s.BondStrength = float64(fill.RoundHollow)
	case pocket:
		s.BondStrength = float64(fill.Flanges)
	}
	outline, err := section.FillOutline(f.Shape, f.Place, f.Hollows...)
	if err != nil {
		return
	}
	for i, r := range outline {
		width, height := spread(outline[i : i+1])
		if !pocket {
			s.Gap = math.Max(s.Gap, s.Strain.Middle*math.Max(width, height)/2)
		}
		own := side
		if !pocket && !round && !square {
			own = math.Min(width, height)
		}
		if shear, err := fill.TransferStress(s.Out.Force*shares[i], section.FillInterface(r, f.Place), own, s.Bar.Run); err == nil {
			s.Shear = math.Max(s.Shear, shear)
		}
	}
}
