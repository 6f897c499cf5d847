package machine

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/cutting"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// ToolAxis is the way that the cutter points; down without a spindle.
func (s *Solution) ToolAxis() r3.Vec {
	if s.Spec.Spindle == nil {
		return r3.Vec{Z: -1}
	}
	return Pointing(s.Spec.Spindle)
}

// AlongTool tells whether an axis feeds along the tool rather than across it.
func (s *Solution) AlongTool(axis r3.Vec) bool { return math.Abs(r3.Dot(axis, s.ToolAxis())) > 0.7 }

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
	machine.Add(end.spindle)
	machine.Add(end.holder)
	whole = machine
	whole.Add(end.cutter)
	return whole, machine, nil
}

// softest is the largest compliance in any direction [m/N].
func (a Matrix) softest() float64 {
	s := mat.NewSymDense(3, nil)
	for i := range 3 {
		for j := i; j < 3; j++ {
			s.SetSym(i, j, a[i][j])
		}
	}
	var e mat.EigenSym
	if !e.Factorize(s, false) {
		return 0
	}
	return e.Values(nil)[2]
}

// SoftestPose returns the solved poses in which the machine, cutter taken as
// rigid, gives most and least.
func (d *Model) SoftestPose(poses []*Solved) (worst, best *Solved, err error) {
	_, cutter := d.Reference()
	least, most := 0.0, 0.0
	for _, s := range poses {
		_, machine, err := d.TipCompliance(s, cutter)
		if err != nil {
			return nil, nil, err
		}
		soft := machine.softest()
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

// Along is a matrix's value along a unit vector.
func (a Matrix) Along(n [3]float64) float64 {
	u := a.times(n)
	return u[0]*n[0] + u[1]*n[1] + u[2]*n[2]
}

// A Matrix is a 3 by 3 compliance in machine axes [m/N].
type Matrix [3][3]float64

func (a *Matrix) Add(b Matrix) {
	for i := range 3 {
		for j := range 3 {
			a[i][j] += b[i][j]
		}
	}
}

// times returns the displacement under a force.
func (a Matrix) times(f [3]float64) [3]float64 {
	var u [3]float64
	for i := range 3 {
		for j := range 3 {
			u[i] += a[i][j] * f[j]
		}
	}
	return u
}

// A Six is a compliance between forces and moments at one point [m/N], [1/N],
// [rad/(N·m)].
type Six [6][6]float64

// AtTip carries a compliance from the nose to a point that stands off it
// rigidly: a force there is the same force at the nose and its moment.
//
//	C_tip = Tᵀ C T,  T = (I; [r]×)
func (c Six) AtTip(r r3.Vec) Matrix {
	// The columns of T: what a unit force at the tip is at the nose.
	var t [3][6]float64
	for i := range 3 {
		e := r3.Vec{}
		switch i {
		case 0:
			e.X = 1
		case 1:
			e.Y = 1
		case 2:
			e.Z = 1
		}
		m := r3.Cross(r, e)
		t[i] = [6]float64{e.X, e.Y, e.Z, m.X, m.Y, m.Z}
	}
	var out Matrix
	for i := range 3 {
		for j := range 3 {
			for k := range 6 {
				for l := range 6 {
					out[i][j] += t[i][k] * c[k][l] * t[j][l]
				}
			}
		}
	}
	return out
}

// A toolEnd is what stands beyond the spindle's nose with one cutter in it, or
// a rigid stub in its place.
type toolEnd struct {
	Arm     r3.Vec // from the nose to the tip [m]
	spindle Matrix // what the bearings give, at the tip
	holder  Matrix
	cutter  Matrix // zero for a stub
}

// Total is the give of all of it.
func (t toolEnd) Total() Matrix {
	sum := t.spindle
	sum.Add(t.holder)
	sum.Add(t.cutter)
	return sum
}

// Pointing returns the unit vector along which the cutter points.
func Pointing(s *spec.Spindle) r3.Vec {
	if s.Points.Given {
		return Unit(s.Points.XYZ)
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
	out := toolEnd{spindle: alongAndAcross(axis, 1/by.spindle.Of(s.Axial), 1/by.spindle.Of(s.Radial))}
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
		out.holder = alongAndAcross(axis, g.Axial, g.Lateral+2*stickOut*g.Slope+stickOut*stickOut*g.Tilt)
	}
	g, err := CutterTool(c, by.cutter).Compliance()
	if err != nil {
		return out, err
	}
	out.cutter = alongAndAcross(axis, g.Axial, g.Lateral)
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

// ToolLogs are what the give at the tip of a cutter rests on.
type ToolLogs struct {
	Spindle, Holder, Cutter *spec.Log
	Stub                    *spec.Log // all but the cutter's own give, frame and all
	Whole                   *spec.Log
}

// ToolLogs are the logs of a cutter, made once for each; nil for the nose alone.
func (d *Model) ToolLogs(c *spec.Cutter) *ToolLogs {
	d.toolLock.Lock()
	defer d.toolLock.Unlock()
	if known := d.toolLogs[c]; known != nil {
		return known
	}
	l := &ToolLogs{Spindle: &spec.Log{}, Holder: &spec.Log{}, Cutter: &spec.Log{}}
	// What does not hold here is refused where the give itself is computed.
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
