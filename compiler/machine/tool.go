package machine

import (
	"fmt"
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/cutting"
	"ironbed/compiler/rank"
	"ironbed/compiler/spindle"
	"ironbed/spec"
	"ironbed/spec/quantity"
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
	end, err := d.ToolEnd(c)
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

// A ToolEnd is the spindle's shaft with one cutter in it, or the shaft alone: what lies
// between the housing, at the spindle nose, and the tool tip.
type ToolEnd struct {
	Arm     r3.Vec // from the nose to the tip [m]
	Spindle Matrix // compliance of shaft and bearings, at the tip
	Holder  Matrix // of the holder, its taper and its collet
	Cutter  Matrix // zero without one

	lateral, loss float64 // compliance across the axis [m/N], and its loss factor [-]

	like  func() (*ToolEnd, error) // the same end of a machine that is nearly alike, whose modes it starts from; nil for none
	chain *spindle.Assembly        // nil for the shaft alone
	nose  float64                  // the nose on the chain, from its rear end [m]
	once  sync.Once
	modes *spindle.Modes
	err   error
}

// Modes are the modes of the chain in a housing that does not move, found once.
func (t *ToolEnd) Modes() (*spindle.Modes, error) {
	t.once.Do(func() {
		// A mesh holds well up to half of the frequency that it is made for.
		mesh, err := t.chain.Mesh(2*HighestChatter, 1)
		if err != nil {
			t.err = err
			return
		}
		var modes *spindle.Modes
		if t.like != nil {
			if like, err := t.like(); err == nil {
				modes, _ = like.Modes() // none: from nothing
			}
		}
		t.modes, t.err = mesh.ModesLike(t.nose, modes)
	})
	return t.modes, t.err
}

// Chain is the chain of shaft, holder and cutter.
func (t *ToolEnd) Chain() *spindle.Assembly { return t.chain }

// Nose is where the spindle nose is on the chain, from its rear end [m].
func (t *ToolEnd) Nose() float64 { return t.nose }

// Total is the compliance of all of it.
func (t *ToolEnd) Total() Matrix {
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

// ToolEnd is the end of the tool for a cutter, made once for each; nil for the shaft
// alone.
func (d *Model) ToolEnd(c *spec.Cutter) (*ToolEnd, error) {
	d.toolLock.Lock()
	defer d.toolLock.Unlock()
	if known := d.toolEnds[c]; known != nil {
		return known, nil
	}
	end, err := endOf(d.Spec, c, endReaders{d.Read, d.Read, d.Read})
	if err != nil {
		return nil, err
	}
	if d.like != nil {
		end.like = func() (*ToolEnd, error) { return d.like.ToolEnd(c) }
	}
	d.toolEnds[c] = end
	return end, nil
}

// endReaders read what lies beyond the housing, thing by thing.
type endReaders struct{ spindle, holder, cutter spec.Reader }

// spindleOf makes the shaft in its bearings.
func spindleOf(m *spec.Machine, read spec.Reader) (spindle.Spindle, error) {
	s, loss := m.Spindle, m.Damping
	v := spindle.Spindle{
		Diameter:     read.Of(s.Shaft.Diameter),
		Bore:         read.Of(s.Shaft.Bore),
		Behind:       read.Of(s.Shaft.Behind),
		Span:         read.Of(s.Shaft.Span),
		Overhang:     read.Of(s.Shaft.Overhang),
		RotorMass:    read.Of(s.Shaft.RotorMass),
		DrivenMass:   read.Of(s.Shaft.DrivenMass),
		FrontRadial:  read.Of(s.Radial),
		FrontAxial:   read.Of(s.Axial),
		RearRadial:   read.Of(s.Radial) * read.Of(s.Shaft.RearRatio),
		BearingLoss:  read.Of(loss.Spindle),
		MaterialLoss: read.Of(loss.Shaft),
	}
	return v.WithNose(read.Of(s.Radial), read.Of(s.Axial))
}

// endOf makes the end of the tool by a reader for each of its things.
func endOf(m *spec.Machine, c *spec.Cutter, by endReaders) (*ToolEnd, error) {
	s := m.Spindle
	axis := Pointing(s)
	shaft, err := spindleOf(m, by.spindle)
	if err != nil {
		return nil, err
	}
	length := holderOverhang(by.holder, s)
	if c == nil {
		return &ToolEnd{Arm: r3.Scale(length, axis), Spindle: alongAndAcross(axis, 1/by.spindle.Of(s.Axial), 1/by.spindle.Of(s.Radial))}, nil
	}
	var holder []spindle.Cylinder
	if s.Holder != nil {
		holder = []spindle.Cylinder{{Length: length, Outer: by.holder.Of(s.Holder.Diameter)}}
		if taper := by.holder.Of(s.Shaft.Taper); taper > 0 {
			shaft.Taper = &spindle.Joint{
				Lateral: taper, Rotational: by.holder.Of(s.Shaft.TaperTilt), Loss: by.holder.Of(m.Damping.Clamping), Part: spindle.Taper,
			}
		}
	}
	clamping := spindle.Clamping{
		Diameter: by.cutter.Of(c.Shank), Length: by.cutter.Of(c.Clamped),
		Contact: by.holder.Of(s.Shaft.Grip) / (1e-3 * 1e-3), // for each mm²
		Loss:    by.holder.Of(m.Damping.Clamping),
	}
	density := float64(spindle.CarbideDensity)
	if by.cutter.Word(c.Material) == "high-speed steel" {
		density = spindle.HighSpeedSteelDensity
	}
	cutter := spindle.Cutter{Tool: CutterTool(c, by.cutter), Density: density, Loss: by.cutter.Of(m.Damping.Tool)}
	out := &ToolEnd{Arm: ToolArm(s, c, by.holder)}
	if out.chain, out.nose, err = shaft.Assembly(holder, clamping, cutter); err != nil {
		return nil, err
	}
	return out, out.solve(axis)
}

// solve finds the compliance at the tip in a housing that does not move, part by part.
func (t *ToolEnd) solve(axis r3.Vec) error {
	const still = 1 // frequency for which a mesh is made that stands still [Hz]
	mesh, err := t.chain.Mesh(still, 1)
	if err != nil {
		return err
	}
	static, err := mesh.Static()
	if err != nil {
		return err
	}
	t.lateral, t.loss = static.Lateral, static.Loss
	of := func(part int) *Matrix {
		switch part {
		case spindle.Shaft, spindle.RearBearing, spindle.FrontBearing:
			return &t.Spindle
		case spindle.Taper, spindle.Holder, spindle.Collet:
			return &t.Holder
		}
		return &t.Cutter
	}
	for _, share := range static.LateralShares {
		of(share.Part).Add(alongAndAcross(axis, 0, share.Share*static.Lateral))
	}
	for _, share := range static.AxialShares {
		of(share.Part).Add(alongAndAcross(axis, share.Share*static.Axial, 0))
	}
	return nil
}

// spindleInertia is the moment of inertia of the spindle about its mass centre and the
// machine's axes [kg·m²], from its mass and where that is: the shaft with the reference
// cutter, and a housing of the rest, a rod as long as the shaft, where the mass centre of
// the whole asks for it.
func (d *Model) spindleInertia(mass float64, at r3.Vec) (inertia [3]float64, err error) {
	s := d.Spec.Spindle
	_, cutter := d.Reference()
	if cutter == nil {
		return inertia, nil
	}
	end, err := d.ToolEnd(cutter)
	if err != nil {
		return inertia, err
	}
	axis := Pointing(s)
	rigid := end.chain.Rigid(end.nose)
	shaft, behind := rigid[0][0], -rigid[0][1]/rigid[0][0]
	housing := mass - shaft
	if !(housing > 0) {
		return inertia, &Refused{Rule: "spindle-mass", At: s.Mass.At, Message: fmt.Sprintf(
			"the spindle weighs %s, and its shaft with holder and cutter %s; give the mass of the whole spindle, or a smaller `shaft`",
			quantity.Print(mass, "kg"), quantity.Print(shaft, "kg"))}
	}
	off := behind + r3.Dot(r3.Sub(at, Vector(d.Read, s.Nose)), axis) // from the mass centre of the whole to that of the shaft
	length := d.Read.Of(s.Shaft.Behind) + d.Read.Of(s.Shaft.Span) + d.Read.Of(s.Shaft.Overhang)
	across := rigid[1][1] - shaft*behind*behind + shaft*off*off + housing*length*length/12 + math.Pow(shaft*off, 2)/housing
	for i, a := range XYZ(axis) {
		inertia[i] = across * (1 - a*a)
	}
	return inertia, nil
}

// CutterTool makes the beam that a cutter is.
func CutterTool(c *spec.Cutter, read spec.Reader) cutting.Tool {
	material := cutting.Carbide()
	if read.Word(c.Material) == "high-speed steel" {
		material = cutting.HighSpeedSteel()
	}
	material.Modulus = read.Between("Young's modulus of the cutter", material.ModulusLow, material.Modulus, material.ModulusHigh)
	return cutting.Tool{
		Diameter:      read.Of(c.Diameter),
		ShankDiameter: read.Of(c.Shank),
		FluteLength:   math.Min(read.Of(c.FluteLength), read.Of(c.StickOut)),
		StickOut:      read.Of(c.StickOut),
		Core:          read.Of(c.FlutedRatio),
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
