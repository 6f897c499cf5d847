package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/cutting"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// Reference returns the cutter by which the machine's stiffness is stated: the
// thickest end mill. Nil where the spec has none.
func (d *Model) Reference() (string, *spec.Cutter) {
	var best *spec.Entry[spec.Cutter]
	for i := range d.Spec.Cutters {
		c := &d.Spec.Cutters[i]
		if kind := c.Item.Kind.Text; kind == "face" || kind == "drill" {
			continue
		}
		if best == nil || d.Read.Of(c.Item.Diameter) > d.Read.Of(best.Item.Diameter) {
			best = c
		}
	}
	if best == nil {
		return "", nil
	}
	return best.Name, &best.Item
}

// TipCompliance is the compliance at a cutter's tip in a solved pose: of the
// whole path, and of the machine with a rigid stub in the cutter's place.
func (d *Model) TipCompliance(s *Solved, c *spec.Cutter) (whole, machine Matrix, err error) {
	end, err := ToolEndOf(d.Spec, c, d.Read)
	if err != nil {
		return whole, machine, err
	}
	machine = s.Nose.AtTip(end.Arm)
	machine.Add(end.Spindle)
	machine.Add(end.Holder)
	whole = machine
	whole.Add(end.Cutter)
	return whole, machine, nil
}

// LeastStiffPose returns the solved poses in which the machine, cutter taken as
// rigid, is least stiff and stiffest.
func (d *Model) LeastStiffPose(poses []*Solved) (worst, best *Solved, err error) {
	_, cutter := d.Reference()
	least, most := 0.0, 0.0
	for _, s := range poses {
		_, machine, err := d.TipCompliance(s, cutter)
		if err != nil {
			return nil, nil, err
		}
		soft := machine.largest()
		// What is alike but for rounding leaves the first.
		if worst == nil || rank.More(soft, most) {
			worst, most = s, soft
		}
		if best == nil || rank.More(least, soft) {
			best, least = s, soft
		}
	}
	return worst, best, nil
}

// A toolEnd is what stands beyond the spindle's nose with one cutter in it, or
// a rigid stub in its place.
type toolEnd struct {
	Arm     r3.Vec // from the nose to the tip [m]
	Spindle Matrix // compliance of the bearings, at the tip
	Holder  Matrix
	Cutter  Matrix // zero for a stub
}

// Total is the compliance of all of it.
func (t toolEnd) Total() Matrix {
	sum := t.Spindle
	sum.Add(t.Holder)
	sum.Add(t.Cutter)
	return sum
}

// Pointing returns the unit vector along which the cutter points.
func Pointing(s *spec.Spindle) r3.Vec {
	if s.ToolDirection.Given {
		return Unit(s.ToolDirection.XYZ)
	}
	return r3.Vec{Z: -1}
}

// alongAndAcross makes a compliance that differs along and across an axis.
func alongAndAcross(axis r3.Vec, along, across float64) Matrix {
	a := [3]float64{axis.X, axis.Y, axis.Z}
	var m Matrix
	for i := range 3 {
		for j := range 3 {
			m[i][j] = (along - across) * a[i] * a[j]
			if i == j {
				m[i][j] += across
			}
		}
	}
	return m
}

// holderOverhang is the length of holder that the spec gives [m].
func holderOverhang(read spec.Reader, s *spec.Spindle) float64 {
	if s.Holder == nil {
		return 0
	}
	return read.Of(s.Holder.Length)
}

// ToolArm is how a cutter's tip stands off the nose [m].
func ToolArm(s *spec.Spindle, c *spec.Cutter, read spec.Reader) r3.Vec {
	return r3.Scale(holderOverhang(read, s)+read.Of(c.StickOut), Pointing(s))
}

// ToolEndOf makes the end of the tool for a cutter; nil for the nose alone.
func ToolEndOf(m *spec.Machine, c *spec.Cutter, read spec.Reader) (toolEnd, error) {
	return endOf(m, c, endReaders{read, read, read})
}

// endReaders read what stands beyond the nose, thing by thing.
type endReaders struct{ spindle, holder, cutter spec.Reader }

// endOf makes the end of the tool by a reader for each of its things.
func endOf(m *spec.Machine, c *spec.Cutter, by endReaders) (toolEnd, error) {
	s := m.Spindle
	axis := Pointing(s)
	out := toolEnd{Spindle: alongAndAcross(axis, 1/by.spindle.Of(s.Axial), 1/by.spindle.Of(s.Radial))}
	length := holderOverhang(by.holder, s)
	if c == nil {
		out.Arm = r3.Scale(length, axis)
		return out, nil
	}
	stickOut := by.holder.Of(c.StickOut)
	out.Arm = ToolArm(s, c, by.holder)
	if s.Holder != nil {
		// A steel holder bends like the cylinder that the spec gives.
		body := cutting.HighSpeedSteel()
		body.Modulus = MaterialOf(m, "steel", by.holder).E
		h := cutting.Tool{Diameter: by.holder.Of(s.Holder.Diameter), FluteLength: 0, StickOut: length, Core: 1, Substance: body}
		g, err := h.Compliance()
		if err != nil {
			return out, err
		}
		// A force at the tip is a force and a moment at the holder's end.
		out.Holder = alongAndAcross(axis, g.Axial, g.Lateral+2*stickOut*g.Slope+stickOut*stickOut*g.Tilt)
	}
	g, err := CutterTool(c, by.cutter).Compliance()
	if err != nil {
		return out, err
	}
	out.Cutter = alongAndAcross(axis, g.Axial, g.Lateral)
	return out, nil
}

// CutterTool makes the beam that a cutter is.
func CutterTool(c *spec.Cutter, read spec.Reader) cutting.Tool {
	material := cutting.Carbide()
	if read.Word(c.Material) == "high-speed steel" {
		material = cutting.HighSpeedSteel()
	}
	material.Modulus = read.Between(material.ModulusLow, material.Modulus, material.ModulusHigh)
	return cutting.Tool{
		Diameter:      read.Of(c.Diameter),
		ShankDiameter: read.Of(c.Shank),
		FluteLength:   math.Min(read.Of(c.FluteLength), read.Of(c.StickOut)),
		StickOut:      read.Of(c.StickOut),
		Substance:     material,
	}
}

// ToolLogs are the logs of a cutter, made once for each; nil for the nose alone.
func (d *Model) ToolLogs(c *spec.Cutter) *ToolLogs {
	d.toolLock.Lock()
	defer d.toolLock.Unlock()
	if known := d.toolLogs[c]; known != nil {
		return known
	}
	l := &ToolLogs{Spindle: &spec.Log{}, Holder: &spec.Log{}, Cutter: &spec.Log{}}
	// What does not hold here is refused where the compliance itself is computed.
	_, _ = endOf(d.Spec, c, endReaders{d.Read.Into(l.Spindle), d.Read.Into(l.Holder), d.Read.Into(l.Cutter)})
	l.Stub = spec.Over(d.Stiff, l.Spindle, l.Holder)
	l.Whole = spec.Over(l.Stub, l.Cutter)
	d.toolLogs[c] = l
	return l
}

// ToolLog is what the compliance at the tip of a cutter rests on: the frame, the
// spindle, its holder and the cutter; nil for the nose alone. It is one log for each
// cutter.
func (d *Model) ToolLog(c *spec.Cutter) *spec.Log { return d.ToolLogs(c).Whole }
