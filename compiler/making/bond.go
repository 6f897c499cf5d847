package making

import (
	"math"

	"ironbed/compiler/fill"
	"ironbed/compiler/joint"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// What is common practice of bonding.
const (
	laidOver     = 3.0     // thickness of the bead as it is laid over the bond line, where the face is wetted [-]
	pasteWaste   = 0.3     // of what is mixed that squeezes out and stays in the pot [-]
	pressTime    = 10 * 60 // in which it is pressed down [s]
	creepShare   = 0.1     // of the short-time strength that a bond carries for good [-]
	momentShare  = 1.0 / 3 // and for a moment [-]
	LeastPress   = 20.0    // below which a bond needs no pressing beyond the weight of what is laid on it [N]
	carriageFoot = 4.0     // length of rail that carries a carriage over the size of the rail [-]
)

// A Bond is a layer of filled resin: of a joint, or under a rail that is replicated.
type Bond struct {
	Name      string     // "joint knee", "rail long under axis x, near"
	At        spec.Place // of the joint or the rail
	Joint     bool
	Width     float64 // [m]
	Length    float64 // [m]
	Line      float64 // bond line [m]
	Area      float64 // [m2]
	Volume    float64 // of the layer [m3]
	Mass      float64 // that is mixed [kg]
	PotLife   float64 // in the room [s]
	Press     float64 // force that presses it to its bond line in ten minutes [N]
	Normal    float64 // stiffness of a joint's layer along its normal; 0 of a rail, whose carriages have it [N/m]
	Shear     float64 // and in the face [N/m]
	ForGood   float64 // shear force that it carries for good: of a rail under one carriage [N]
	ForMoment float64 // and for a moment [N]
	Weight    float64 // that the weights put on a joint in shear, in the least stiff position; 0 of a rail, and where nothing was solved [N]

	Log     *spec.Log // what its mass rests on
	Force   *spec.Log // what it carries rests on
	Pressed *spec.Log // what its pressing rests on
	ends    []*Bond
}

// Ends are a number of a bond at the ends of the uncertainty.
func (b *Bond) Ends(of func(*Bond) float64) (list []float64) {
	for _, end := range b.ends {
		list = append(list, of(end))
	}
	return list
}

// Creeps reports whether a joint's bond is loaded by weights alone with more than it carries for good.
func (b *Bond) Creeps() bool { return rank.More(b.Weight, b.ForGood) }

// Bonds are the bonded joints and the squeezed rails of a machine, in the order of the spec.
func Bonds(s *machine.Solution) ([]Bond, error) {
	list, err := bonds(s.Model)
	if err != nil {
		return nil, err
	}
	for _, d := range s.Ends() {
		end, err := bonds(d)
		if err != nil {
			continue // an end may lie where a formula does not hold
		}
		for i := range list {
			list[i].ends = append(list[i].ends, &end[i])
		}
	}
	for i := range list {
		b := &list[i]
		for k := range s.Model.Hinges {
			if h := &s.Model.Hinges[k]; b.Joint && h.Name == b.Name {
				b.Normal, b.Shear = h.K[2].Middle, h.K[0].Middle
				if s.Worst != nil {
					f := s.Worst.Solution.SpringForce(machine.GravityCase, h.Fixed)
					b.Weight = math.Hypot(f[0], f[1])
				}
			}
		}
	}
	return list, nil
}

func bonds(d *machine.Model) (list []Bond, err error) {
	for i := range d.Spec.Joints {
		e := &d.Spec.Joints[i]
		l := e.Item.Bonded
		if l == nil {
			continue
		}
		b := Bond{Name: "joint " + e.Name, At: e.At, Joint: true, Log: &spec.Log{}}
		read := d.Read.Into(b.Log)
		b.Width, b.Length, b.Line = read.Of(l.Width), read.Of(l.Length), read.Of(l.Thickness)
		b.Area = b.Width * b.Length
		if err := b.paste(d, l.Paste, b.Area); err != nil {
			return nil, &machine.Refused{Rule: "joint", At: e.At, Message: b.Name + ": its resin: " + err.Error()}
		}
		list = append(list, b)
	}
	for i := range d.Spec.Axes {
		a := &d.Spec.Axes[i]
		for k := range a.Item.Guides {
			g := &a.Item.Guides[k]
			rail := d.Spec.Rails.Entry(g.Item.Rail.Text)
			if rail.Item.Surface.Text != "squeezed" {
				continue
			}
			b := Bond{Name: "rail " + g.Name + " of axis " + a.Name, At: rail.At, Log: &spec.Log{}}
			read := d.Read.Into(b.Log)
			for _, bar := range under(d, &g.Item) {
				b.Length += bar.Length()
				b.Log.Rest(bar.Lies)
			}
			b.Width = read.Of(rail.Item.Size)
			if r := rail.Item.Resin; r != nil {
				b.Width, b.Line = read.Of(r.Width), read.Of(r.Thickness)
			} else {
				b.Line = read.Of(rail.Item.Paste.Line)
			}
			if b.Width <= 0 || b.Line <= 0 || b.Length <= 0 {
				continue
			}
			b.Area = b.Width * b.Length
			foot := math.Min(b.Length, carriageFoot*b.Width)
			if err := b.paste(d, rail.Item.Paste, b.Width*foot); err != nil {
				return nil, &machine.Refused{Rule: "rail", At: rail.At, Message: "rail " + rail.Name + ": its resin: " + err.Error()}
			}
			list = append(list, b)
		}
	}
	return list, nil
}

// paste computes what a bond takes, and what an area of it carries.
func (b *Bond) paste(d *machine.Model, p *spec.Paste, carries float64) (err error) {
	b.Volume = b.Area * b.Line
	b.Mass = (1 + pasteWaste) * b.Volume * d.Read.Into(b.Log).Of(p.Density)
	b.Pressed = spec.Over(b.Log)
	press := d.Read.Into(b.Pressed)
	if b.PotLife, err = fill.PotLife(press.Of(p.PotLife), press.Of(d.Spec.Room.Temperature)); err != nil {
		return err
	}
	impulse, err := joint.Squeeze{Width: b.Width, Length: b.Length, Viscosity: press.Of(p.Viscosity), Laid: laidOver * b.Line, Line: b.Line}.Impulse()
	if err != nil {
		return err
	}
	b.Press = impulse / pressTime
	b.Force = spec.Over(b.Log)
	strength := d.Read.Into(b.Force).Of(p.ShearStrength)
	b.ForGood, b.ForMoment = creepShare*strength*carries, momentShare*strength*carries
	return nil
}
