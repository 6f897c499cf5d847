package compiler_test

import (
	"math"
	"math/cmplx"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/spec"
)

// TestStabilityRecomputed: whoever has the derivations alone can compute the depth that is
// stable at any speed. The frame's receptance at the nose follows from the modes as printed,
// the chain of shaft, holder and cutter from its beams by their transfer matrices (Pestel and
// Leckie 1963), both are joined at the bearings, and the zero-order solution of Altintas and
// Budak 1995 gives the limit. All of it stands here anew and shares nothing with ours: the
// housing is first relieved of the chain's mass, and then carries the chain itself.
//
// Here feeds in 24 directions are looked at, so that ours, which are fewer, are enough.
func TestStabilityRecomputed(t *testing.T) {
	least := 2 // cuts that are compared
	if sample.Thorough() {
		least = 10
	}
	compared, off := 0, 0
	for _, name := range sample.Some(sample.Names, 2) {
		b := example(t, name)
		p := readModel(t, name, b)
		printed := readStability(p, b)
		for i := range b.Targets {
			target := &b.Targets[i]
			f, ok := b.Figures.Get("target." + spec.IDWord(target.Name) + ".stable_depth")
			if !ok {
				continue
			}
			want := printed.limit(p.printedCut(strings.Join(f.Notes, "; ")))
			if math.Abs(want/f.Value-1) > 0.02 {
				off++
			}
			if math.Abs(want/f.Value-1) > 0.055 {
				t.Errorf("%s, %s: recomputed %.4g mm, printed %.4g mm", name, target.Name, want, f.Value)
			}
			compared++
		}
	}
	if off > 2 {
		t.Errorf("%d limits are off by more than 2 %%", off)
	}
	if compared < least {
		t.Errorf("%d limits are compared, want %d", compared, least)
	}
}

// A printedCut is what the note of a limit says of its cut.
type printedCut struct {
	cutter        string
	kt, kr, teeth float64
	entry, exit   float64 // [rad]
}

func (p *printedModel) printedCut(note string) printedCut {
	p.t.Helper()
	m := regexp.MustCompile(`Kt = ([\d.]+) MPa.*Kr = ([\d.]+).*N = (\d+), the teeth of the (.+), in the cut from ([\d.]+)° to ([\d.]+)°`).FindStringSubmatch(note)
	if m == nil {
		p.t.Fatalf("%s: no cut in %q", p.name, note)
	}
	return printedCut{m[4], p.number(m[1]) * 1e6, p.number(m[2]), p.number(m[3]), p.number(m[5]) * math.Pi / 180, p.number(m[6]) * math.Pi / 180}
}

// A printedBeam is a row of the chain, and what is in front of it on the chain.
type printedBeam struct {
	length, ei, kga, mass, rotary, loss float64
	joint                               *printedJoint // between it and the beam behind it
}

type printedJoint struct{ across, tilt, lever, loss float64 }

// A printedHold is a bearing or a mass, at a distance from the rear end.
type printedHold struct{ at, across, tilt, loss, mass float64 }

// A printedStability is what the derivations say of stability.
type printedStability struct {
	*printedModel
	common   []printedBeam
	taper    map[float64]*printedJoint // by the distance from the rear end
	holds    []printedHold
	nose     float64
	cutters  map[string][]printedBeam
	places   []printedNose
	tool     r3.Vec
	averaged [2]float64 // β far above, and the frequency from which on
	highest  float64
}

// A printedNose are the modes in one position.
type printedNose struct {
	modes []printedMode
	still [6][6]complex128
}

type printedMode struct {
	omega, loss float64
	shape       [6]complex128
}

// complexNumber reads a number that may have an imaginary part: "0.0123 −0.0045i".
func (p *printedModel) complexNumber(text string) complex128 {
	re, im, ok := strings.Cut(text, " ")
	if !ok {
		return complex(p.number(re), 0)
	}
	return complex(p.number(re), p.number(strings.TrimPrefix(strings.TrimSuffix(im, "i"), "+")))
}

// readStability reads what the appendix says of stability.
func readStability(p *printedModel, b *build.Build) *printedStability {
	s := &printedStability{printedModel: p, taper: map[float64]*printedJoint{}, cutters: map[string][]printedBeam{}}
	text := func(c build.Cell) string { return strings.ReplaceAll(c.Text, `\*`, "*") }
	value := func(c build.Cell) float64 {
		if text(c) == "–" {
			return 0
		}
		return p.number(text(c))
	}
	beam := func(row []build.Cell) printedBeam {
		return printedBeam{
			value(row[0]) * 1e-3, value(row[1]), value(row[2]) * 1e6, value(row[3]), value(row[4]) * 1e-6, value(row[5]), nil,
		}
	}
	collets := map[string]*printedJoint{}
	for _, block := range b.Appendix[0].Blocks {
		if block, ok := block.(build.Table); ok {
			for i, row := range block.Rows {
				switch begins := func(with string) bool { return strings.HasPrefix(block.Caption, with) }; {
				case begins("Beams from the rear end"):
					s.common = append(s.common, beam(row[1:]))
				case begins("Bearings, joints and masses"):
					h := printedHold{value(row[1]) * 1e-3, value(row[2]) * 1e6, value(row[3]) * 1e3, value(row[4]), value(row[5])}
					switch row[0].Text {
					case "spindle nose":
						s.nose = h.at
					case "taper":
						s.taper[h.at] = &printedJoint{h.across, h.tilt, 0, h.loss}
					default:
						s.holds = append(s.holds, h)
					}
				case begins("Collets"):
					collets[text(row[0])] = &printedJoint{value(row[1]) * 1e6, value(row[2]) * 1e3, value(row[3]) * 1e-3, value(row[4])}
				case begins("Cutters, beams"):
					next := beam(row[2:])
					if list := s.cutters[text(row[0])]; len(list) == 0 {
						next.joint = collets[text(row[0])]
					}
					s.cutters[text(row[0])] = append(s.cutters[text(row[0])], next)
				case begins("Modes at the spindle nose"):
					if i == 0 {
						s.places = append(s.places, printedNose{})
					}
					m := printedMode{omega: 2 * math.Pi * value(row[1]), loss: value(row[2])}
					for k := range 6 {
						m.shape[k] = p.complexNumber(text(row[3+k]))
					}
					last := &s.places[len(s.places)-1]
					last.modes = append(last.modes, m)
				case begins("C and L at the spindle nose"):
					for k := range 6 {
						v := complex(value(row[1+k])*1e-9, 0)
						if strings.HasPrefix(row[0].Text, "L") {
							v *= -1i
						}
						s.places[len(s.places)-1].still[i/2][k] += v
					}
				}
			}
		}
	}
	s.tool = p.vector(p.found(`the tool points along ([^.]+)\. `)[0])
	mean := p.found(`above (\d+) Hz .* with β = ([\d.]+) `)
	s.averaged = [2]float64{p.number(mean[1]), p.number(mean[0])}
	s.highest = p.number(p.found(`ω' = 2πf up to (\d+) Hz`)[0])
	return s
}

// frame is the receptance at the nose in one position.
func (s *printedStability) frame(n *printedNose, hz float64) (h [6][6]complex128) {
	w := complex(2*math.Pi*hz, 0)
	if hz > s.averaged[1] {
		w *= complex(1, -s.averaged[0]*(1-s.averaged[1]/hz))
	}
	h = n.still
	for _, m := range n.modes {
		stiff := complex(m.omega*m.omega, m.omega*m.omega*m.loss)
		gain := 1/(stiff-w*w) - 1/stiff
		for i := range 6 {
			for j := range 6 {
				h[i][j] += m.shape[i] * m.shape[j] * gain
			}
		}
	}
	return h
}

// A state is w, θ, M and Q at a place of the chain, as they go with the motion w and θ of
// its rear end, the motion w and θ of the housing at the nose, and 1.
type state [4][4]complex128

// passed is the state at the other end of a beam: w' = θ + Q/κGA, θ' = M/EI,
// M' = −Q − ω² ρI θ, Q' = −ω² ρA w, by the exponential of the matrix times the length.
func (b *printedBeam) passed(s state, w2 float64) state {
	lossy := complex(1, b.loss)
	var a state
	a[0][1], a[0][3] = 1, 1/(complex(b.kga, 0)*lossy)
	a[1][2] = 1 / (complex(b.ei, 0) * lossy)
	a[2][1], a[2][3] = complex(-w2*b.rotary, 0), -1
	a[3][0] = complex(-w2*b.mass, 0)
	const pieces, terms = 4, 14
	for range pieces {
		term := s
		for k := 1; k <= terms; k++ {
			var next state
			by := complex(b.length/pieces/float64(k), 0)
			for i := range 4 {
				for m := range 4 {
					if a[i][m] == 0 {
						continue
					}
					for j := range 4 {
						next[i][j] += a[i][m] * term[m][j] * by
					}
				}
			}
			term = next
			for i := range 4 {
				for j := range 4 {
					s[i][j] += term[i][j]
				}
			}
		}
	}
	return s
}

// chain is the state at the tip, and the force and the moment about the nose of the
// bearings on the housing.
func (s *printedStability) chain(beams []printedBeam, w2 float64) (tip state, onHousing [2][4]complex128) {
	tip[0][0], tip[1][1] = 1, 1
	held := make([]bool, len(s.holds))
	hold := func(at float64) {
		for i, h := range s.holds {
			if held[i] || math.Abs(h.at-at) > 1e-5 {
				continue
			}
			held[i] = true
			arm := complex(h.at-s.nose, 0)
			k, turn := complex(h.across, h.across*h.loss), complex(h.tilt, h.tilt*h.loss)
			for j := range 4 {
				housing := [4]complex128{0, 0, 1, arm}[j]
				force := k * (tip[0][j] - housing)
				moment := turn * (tip[1][j] - [4]complex128{0, 0, 0, 1}[j])
				onHousing[0][j] += force
				onHousing[1][j] += arm*force + moment
				tip[3][j] += force - complex(w2*h.mass, 0)*tip[0][j]
				tip[2][j] += moment
			}
		}
	}
	at := 0.0
	hold(at)
	for i := range beams {
		b := &beams[i]
		if g := b.joint; g != nil {
			for j := range 4 {
				turn := (tip[2][j] + complex(g.lever, 0)*tip[3][j]) / complex(g.tilt, g.tilt*g.loss)
				tip[1][j] += turn
				tip[0][j] += tip[3][j]/complex(g.across, g.across*g.loss) + complex(g.lever, 0)*turn
			}
		}
		tip = b.passed(tip, w2)
		at += b.length
		hold(at)
	}
	if slices.Contains(held, false) {
		s.t.Fatalf("%s: a bearing or a mass is at no end of a beam", s.name)
	}
	return tip, onHousing
}

// chainAtRest is the compliance across the tool at a cutter's tip in a housing that does not
// move [m/N].
func (s *printedStability) chainAtRest(cutter string) float64 {
	beams, _ := s.beamsOf(cutter)
	tip, _ := s.chain(beams, 0)
	// With w and θ of the rear end as unknowns: M = 0, Q = 1.
	det := tip[2][0]*tip[3][1] - tip[2][1]*tip[3][0]
	return real((tip[0][1]*tip[2][0] - tip[0][0]*tip[2][1]) / det)
}

// beamsOf is the chain of a cutter, and its mass as a rigid body about the nose.
func (s *printedStability) beamsOf(cutter string) (beams []printedBeam, mass [2][2]float64) {
	if len(s.cutters[cutter]) == 0 {
		s.t.Fatalf("%s: no beams of %s", s.name, cutter)
	}
	beams = append(slices.Clone(s.common), s.cutters[cutter]...)
	add := func(m, at, own float64) {
		arm := at - s.nose
		mass[0][0] += m
		mass[0][1] += m * arm
		mass[1][0] += m * arm
		mass[1][1] += m*arm*arm + own
	}
	at, tapers := 0.0, 0
	for i := range beams {
		b := &beams[i]
		for place, joint := range s.taper {
			if math.Abs(place-at) < 1e-5 {
				b.joint = joint
				tapers++
			}
		}
		add(b.mass*b.length, at+b.length/2, b.mass*math.Pow(b.length, 3)/12+b.rotary*b.length)
		at += b.length
	}
	for _, h := range s.holds {
		add(h.mass, h.at, 0)
	}
	if tapers != len(s.taper) {
		s.t.Fatalf("%s: %d of %d tapers found", s.name, tapers, len(s.taper))
	}
	return beams, mass
}

// tip is the receptance across the tool at the tip: along e1 and e2, which with the tool are
// a right-handed set.
func (s *printedStability) tip(h *[6][6]complex128, planes *[4][6]float64, beams []printedBeam, mass *[2][2]float64, hz float64) (g [4]complex128) {
	w2 := math.Pow(2*math.Pi*hz, 2)
	end, onHousing := s.chain(beams, w2)
	var nose [4][4]complex128
	for i := range 4 {
		for j := range 4 {
			for a := range 6 {
				for b := range 6 {
					nose[i][j] += complex(planes[i][a]*planes[j][b], 0) * h[a][b]
				}
			}
		}
	}
	// Unknown are w and θ of the rear end and those of the housing, in both planes; at the
	// tip M = 0 and Q is the force, and the housing moves by H (F − (−ω² m) q).
	var m [8][10]complex128
	for p := range 2 {
		for k := range 4 {
			m[2*p][4*p+k], m[2*p+1][4*p+k] = end[2][k], end[3][k]
		}
		m[2*p+1][8+p] = 1
	}
	for i := range 4 {
		row := &m[4+i]
		row[4*(i/2)+2+i%2]++
		for j := range 4 {
			for k := range 4 {
				row[4*(j/2)+k] -= nose[i][j] * onHousing[j%2][k]
			}
			for k := range 2 {
				row[4*(j/2)+2+k] += nose[i][j] * complex(w2*mass[j%2][k], 0)
			}
		}
	}
	solve(&m)
	for load := range 2 {
		for p := range 2 {
			for k := range 4 {
				g[2*p+load] += end[0][k] * m[4*p+k][8+load]
			}
		}
	}
	return g
}

// solve eliminates with row pivots, after every row was scaled to its largest entry.
func solve(m *[8][10]complex128) {
	for i := range m {
		most := 0.0
		for _, v := range m[i][:8] {
			most = math.Max(most, cmplx.Abs(v))
		}
		for j := range m[i] {
			m[i][j] /= complex(most, 0)
		}
	}
	for c := range m {
		pivot := c
		for i := c + 1; i < len(m); i++ {
			if cmplx.Abs(m[i][c]) > cmplx.Abs(m[pivot][c]) {
				pivot = i
			}
		}
		m[c], m[pivot] = m[pivot], m[c]
		for i := range m {
			if i == c {
				continue
			}
			by := m[i][c] / m[c][c]
			for j := range m[i] {
				m[i][j] -= by * m[c][j]
			}
		}
		by := m[c][c]
		for j := range m[c] {
			m[c][j] /= by
		}
	}
}

// limit is the depth that is stable at any speed [mm].
func (s *printedStability) limit(cut printedCut) float64 {
	beams, mass := s.beamsOf(cut.cutter)
	across := r3.Unit(r3.Cross(r3.Vec{X: s.tool.Y, Y: s.tool.Z, Z: s.tool.X}, s.tool))
	other := r3.Cross(s.tool, across)
	var planes [4][6]float64
	for i, v := range []r3.Vec{across, other, other, r3.Scale(-1, across)} {
		for k, c := range []float64{v.X, v.Y, v.Z} {
			planes[i][i%2*3+k] = c
		}
	}
	// The mean factors, by the integral over the arc of cut.
	var mean [4]float64
	const steps = 720
	for i := range steps {
		sin, cos := math.Sincos(cut.entry + (cut.exit-cut.entry)*(float64(i)+0.5)/steps)
		chip, fx, fy := [2]float64{sin, cos}, -cos-cut.kr*sin, sin-cut.kr*cos
		for k := range mean {
			mean[k] += [2]float64{fx, fy}[k/2] * chip[k%2] * (cut.exit - cut.entry) / steps
		}
	}
	least := math.Inf(1)
	const step, directions = 1.0015, 24
	for i := range s.places {
		for hz := 5.0; hz < s.highest; hz *= step {
			h := s.frame(&s.places[i], hz)
			g := s.tip(&h, &planes, beams, &mass, hz)
			for k := range directions {
				sin, cos := math.Sincos(math.Pi * float64(k) / directions)
				c, d := complex(cos, 0), complex(sin, 0)
				xx := c*c*g[0] + c*d*(g[1]+g[2]) + d*d*g[3]
				yy := d*d*g[0] - c*d*(g[1]+g[2]) + c*c*g[3]
				xy := c*c*g[1] - d*d*g[2] + c*d*(g[3]-g[0])
				yx := c*c*g[2] - d*d*g[1] + c*d*(g[3]-g[0])
				var a [4]complex128
				for n, f := range mean {
					x, y := xx, xy
					if n%2 == 1 {
						x, y = yx, yy
					}
					a[n/2*2] += complex(f, 0) * x
					a[n/2*2+1] += complex(f, 0) * y
				}
				// 1 = a (N Kt/2π) (1 − e^{−iωT}) λ, and the real part of 1/(1 − e^{−iωT}) is ½
				// whatever the speed.
				half, det := (a[0]+a[3])/2, a[0]*a[3]-a[1]*a[2]
				root := cmplx.Sqrt(half*half - det)
				for _, v := range []complex128{half + root, half - root} {
					if depth := 1 / (2 * real(v) * cut.teeth * cut.kt / (2 * math.Pi)); depth > 0 {
						least = math.Min(least, depth)
					}
				}
			}
		}
	}
	return least * 1e3
}
