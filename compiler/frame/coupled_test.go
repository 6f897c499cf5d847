package frame_test

import (
	"math"
	"slices"
	"testing"

	"ironbed/compiler/chatter"
	"ironbed/compiler/frame"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/compiler/section"
	"ironbed/compiler/spindle"
	"ironbed/spec"
)

// TestLimitsWithoutModes: the depths stable at any speed of the examples' cutters are the same
// within 1 % from the direct complex solution of the frame at each frequency, and of the chain
// of spindle, holder and cutter with elements half as long, as from the modes of both, which
// the losses of the parts couple.
func TestLimitsWithoutModes(t *testing.T) {
	const (
		moved  = 0.01
		pieces = 4 // that members are cut into
	)
	compared := 0
	for _, name := range sample.Names {
		m, err := sample.Example(t, name).Designed() // what is measured of a mode is in no part
		if err != nil {
			t.Fatal(err)
		}
		s, err := machine.Analyse(m)
		if err != nil {
			t.Fatal(err)
		}
		axis := machine.Pointing(s.Spec.Spindle)
		planes := make([][]chatter.Plane, len(s.Vibrations))
		housings := make([]*direct, len(s.Vibrations))
		for v := range s.Vibrations {
			housings[v] = newDirect(t, s.Model, &s.Vibrations[v], pieces)
		}
		for i := range s.Spec.Cutters {
			c := &s.Spec.Cutters[i]
			if c.Item.Kind.Text == "drill" {
				continue
			}
			for v := range s.Vibrations {
				if planes[v], err = s.Model.Planes(s.Vibrations[v:v+1], &c.Item); err != nil {
					t.Fatal(err)
				}
			}
			end, err := s.Model.ToolEnd(&c.Item)
			if err != nil {
				t.Fatal(err)
			}
			mesh, err := end.Chain().Mesh(2*machine.HighestChatter, 2)
			if err != nil {
				t.Fatal(err)
			}
			for _, cut := range []chatter.Cut{
				{Teeth: 2, Exit: math.Pi, Tangential: 1e9, Radial: 0.3},
				{Teeth: 2, Entry: 2 * math.Pi / 3, Exit: math.Pi, Tangential: 1e9, Radial: 0.3},
			} {
				all := slices.Concat(planes...)
				modal, k := least(t, all, cut)
				// A mode of a cutter is as narrow as a few thousandths of its frequency.
				var direct chatter.Limit
				for about, width := modal.Frequency, 0.015; width > 1e-3; width /= 6 {
					at := chatter.Plane{Feed: all[k].Feed}
					for by := -6.0; by <= 6; by++ {
						hz := about * (1 + width/6*by)
						response, err := mesh.At(hz, end.Nose())
						if err != nil {
							t.Fatal(err)
						}
						tip, err := response.OnHousingAcross(housings[k/len(planes[0])].across(hz, spindle.Planes(axis)))
						if err != nil {
							t.Fatal(err)
						}
						at.Frequency, at.G = append(at.Frequency, hz), append(at.G, [4]complex128{tip[0][0], -tip[0][2], -tip[2][0], tip[2][2]})
					}
					direct, _ = least(t, []chatter.Plane{at}, cut)
					about = direct.Frequency
				}
				compared++
				if math.Abs(direct.Depth/modal.Depth-1) > moved {
					t.Errorf("%s, %s, from %.0f°: %.4g mm at %.4g Hz by modes, %.4g mm at %.4g Hz without",
						name, c.Name, cut.Entry*180/math.Pi, modal.Depth*1e3, modal.Frequency, direct.Depth*1e3, direct.Frequency)
				}
			}
		}
	}
	if compared < 16 {
		t.Errorf("only %d limits are compared", compared)
	}
}

// least is the lowest limit at any speed, and the plane that has it.
func least(t *testing.T, planes []chatter.Plane, c chatter.Cut) (limit chatter.Limit, plane int) {
	t.Helper()
	limit.Depth = math.Inf(1)
	for k, p := range planes {
		l, err := chatter.Unconditional(p, c)
		if err != nil {
			t.Fatal(err)
		}
		if l.Depth < limit.Depth {
			limit, plane = l, k
		}
	}
	return limit, plane
}

// A direct is a frame in one pose, solved at each frequency.
type direct struct {
	t      *testing.T
	system *frame.System
	loads  []frame.Load
	loss   []frame.Loss
	known  map[float64][6][6]complex128
}

func newDirect(t *testing.T, d *machine.Model, v *machine.Vibration, pieces int) *direct {
	t.Helper()
	posed := v.Solved.Posed
	system, err := posed.Frame.Subdivided(pieces).Factorise()
	if err != nil {
		t.Fatal(err)
	}
	out := &direct{t: t, system: system, known: map[float64][6][6]complex128{}}
	work, err := d.WorkPoints(posed, d.NosePoint())
	if err != nil {
		t.Fatal(err)
	}
	for i := range 6 {
		var f [6]float64
		f[i] = 1
		load := frame.Load{Forces: []frame.Force{{At: d.NosePoint(), F: f}}}
		for _, w := range work {
			load.Forces = append(load.Forces, frame.Force{At: frame.At(w.Node), F: w.Share(f, -1)})
		}
		out.loads = append(out.loads, load)
	}
	for part := range d.Parts {
		out.loss = append(out.loss, frame.EvenLoss(d.Read.Of(lossOf(d, part))))
	}
	return out
}

// lossOf is the loss factor of a part, as the derivations have it by kind.
func lossOf(d *machine.Model, part int) spec.Value {
	of := d.Spec.Damping
	switch p := d.Parts[part]; p.Kind() {
	case machine.CarriagePart:
		return of.Carriages
	case machine.DrivePart:
		return of.Drives
	case machine.FootPart:
		return of.Feet
	case machine.JointPart:
		return of.Joints
	case machine.MemberPart:
		s := d.Bars[d.ByName[p.Name()]].Section
		_, listed := s.Shape.(section.Listed)
		if s.Fill != nil {
			return s.Fill.Loss
		}
		if listed || s.Material.E < 60e9 {
			return of.Profiles
		}
	}
	return of.Members
}

// across is the receptance of the nose against the workpiece across the tool.
func (f *direct) across(hz float64, planes [4][6]float64) *spindle.Across {
	h, ok := f.known[hz]
	if !ok {
		omega := complex(2*math.Pi*hz, 0)
		if hz > machine.AveragedFrom {
			omega *= complex(1, -machine.AveragedShare*(1-machine.AveragedFrom/hz))
		}
		u := f.system.Harmonic(f.t, omega, func(part int) frame.Loss { return f.loss[part] }, f.loads...)
		for i, l := range f.loads {
			for j := range f.loads {
				for _, force := range l.Forces {
					moved := carried(u[j][force.At.Node], force.At)
					for k, v := range force.F {
						h[i][j] += complex(v, 0) * moved[k]
					}
				}
			}
		}
		f.known[hz] = h
	}
	var out spindle.Across
	for i := range out {
		for j := range out {
			for a := range 6 {
				for b := range 6 {
					out[i][j] += complex(planes[i][a]*planes[j][b], 0) * h[a][b]
				}
			}
		}
	}
	return &out
}

// carried is the motion of a point on an arm of a node: u + θ × r.
func carried(u [6]complex128, at frame.Point) [6]complex128 {
	x, y, z := complex(at.Arm.X, 0), complex(at.Arm.Y, 0), complex(at.Arm.Z, 0)
	u[0] += u[4]*z - u[5]*y
	u[1] += u[5]*x - u[3]*z
	u[2] += u[3]*y - u[4]*x
	return u
}
