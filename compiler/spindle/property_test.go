package spindle

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/domain"
	"ironbed/compiler/verify"
)

var down = r3.Vec{Z: -1}

// assemblies are those of the reference set, by file.
func assemblies(t testing.TB) map[string]*Assembly {
	list := map[string]*Assembly{}
	for _, name := range files(t, "rec_asm_*.json") {
		list[name] = read(t, name).Inputs.Chain.assembly(t)
	}
	return list
}

// housing is a rigid body on springs, its receptance at a reference point in one
// plane, with the mass of a chain on it.
type housing struct {
	mass, inertia float64 // of the housing alone, about the reference point
	lateral, tilt complex128
}

func (h *housing) receptance(frequency float64, chain [2][2]float64) Matrix {
	w2 := complex(math.Pow(2*math.Pi*frequency, 2), 0)
	a := h.lateral - w2*complex(h.mass+chain[0][0], 0)
	b := -w2 * complex(chain[0][1], 0)
	d := h.tilt - w2*complex(h.inertia+chain[1][1], 0)
	det := a*d - b*b
	return Matrix{{d / det, -b / det}, {-b / det, a / det}}
}

// together is the receptance at the tip of the chain and the housing as one system,
// solved directly: the springs of the bearings hang between the two.
func together(m *Mesh, h *housing, reference, frequency float64) Matrix {
	w2 := math.Pow(2*math.Pi*frequency, 2)
	n := len(m.mass)
	a := make([][]complex128, n+2)
	for i := range a {
		a[i] = make([]complex128, n+2)
	}
	for i := range m.mass {
		for k, v := range m.mass[i] {
			if i-k >= 0 {
				a[i][i-k] -= complex(w2*v, 0)
				if k > 0 {
					a[i-k][i] -= complex(w2*v, 0)
				}
			}
		}
	}
	for i := range m.springs {
		s := &m.springs[i]
		v := make([]complex128, n+2)
		for k, x := range s.v {
			if x != 0 {
				v[s.from+k] = complex(x, 0)
			}
		}
		switch s.v {
		case [width]float64{1}:
			v[n], v[n+1] = -1, complex(reference-m.z[s.from/2], 0)
		case [width]float64{0, 1}:
			v[n+1] = -1
		}
		for p := range v {
			for q := range v {
				a[p][q] += s.damped * v[p] * v[q]
			}
		}
	}
	a[n][n] += h.lateral - complex(w2*h.mass, 0)
	a[n+1][n+1] += h.tilt - complex(w2*h.inertia, 0)
	b := make([][]complex128, n+2)
	for i := range b {
		b[i] = make([]complex128, 2)
	}
	b[n-2][0], b[n-1][1] = 1, 1
	solveDense(a, b)
	return Matrix{{b[n-2][0], b[n-2][1]}, {b[n-1][0], b[n-1][1]}}
}

// solveDense solves a system by Gaussian elimination, and writes over both sides.
func solveDense(a, b [][]complex128) {
	for c := range a {
		for i := c + 1; i < len(a); i++ {
			if cmplx.Abs(a[i][c]) > cmplx.Abs(a[c][c]) {
				a[i], a[c], b[i], b[c] = a[c], a[i], b[c], b[i]
			}
		}
		for i := range a {
			if i == c {
				continue
			}
			f := a[i][c] / a[c][c]
			for j := c; j < len(a); j++ {
				a[i][j] -= f * a[c][j]
			}
			for j := range b[i] {
				b[i][j] -= f * b[c][j]
			}
		}
	}
	for i := range b {
		for j := range b[i] {
			b[i][j] /= a[i][i]
		}
	}
}

// apart is the largest difference of two matrices, entry by entry.
func apart(a, b Matrix) (worst float64) {
	for i := range a {
		for j := range a[i] {
			worst = math.Max(worst, cmplx.Abs(a[i][j]-b[i][j])/cmplx.Abs(b[i][j]))
		}
	}
	return worst
}

// bodies are housings from a light one on soft springs to a heavy one.
var bodies = []housing{
	{8, 0.02, 2e7 * (1 + 0.03i), 3e5 * (1 + 0.03i)},
	{40, 0.5, 6e7 * (1 + 0.02i), 2e6 * (1 + 0.02i)},
	{300, 9, 5e7 * (1 + 0.05i), 5e6 * (1 + 0.05i)},
}

// TestCouplingAgainstOneSystem: the chain coupled to a housing is the two as one
// system, to rounding; with its mass in the housing's receptance or added to it.
func TestCouplingAgainstOneSystem(t *testing.T) {
	for name, a := range assemblies(t) {
		reference := a.Length() - 0.1
		m := mesh(t, a, 5e3, 1)
		_, mass := m.inertia(reference)
		worst := 0.0
		for _, body := range bodies {
			for f := 20.0; f <= 2500; f *= 1.07 {
				want := together(m, &body, reference, f)
				h := body.receptance(f, mass)
				r, err := m.At(f, reference)
				if err != nil {
					t.Fatal(err)
				}
				got, err := r.OnHousing(h)
				if err != nil {
					t.Fatal(err)
				}
				worst = math.Max(worst, apart(got, want))
				bare, err := r.WithMass().OnHousing(body.receptance(f, [2][2]float64{}))
				if err != nil {
					t.Fatal(err)
				}
				worst = math.Max(worst, apart(bare, want))
			}
		}
		if worst > 1e-6 {
			t.Errorf("%s: coupled and as one system differ by %g", name, worst)
		}
	}
}

// bodyInSpace is the receptance of a body on springs across a tool, with both planes
// coupled.
func bodyInSpace(mass, frequency float64) (h Across) {
	w2 := math.Pow(2*math.Pi*frequency, 2)
	for i := range h {
		m := mass
		if i%2 > 0 {
			m *= 0.01
		}
		h[i][i] = 1 / complex(m*(0.5+0.1*float64(i))*4e5-w2*m, 2e4*m)
	}
	for i := range h {
		for j := range i {
			h[i][j] = complex(0.2/float64(1+i+j), 0) * cmplx.Sqrt(h[i][i]*h[j][j])
			h[j][i] = h[i][j]
		}
	}
	return h
}

// TestCouplingInSpace: a housing that moves in one plane only is the coupling in that
// plane, one turned about the axis has the answer turned, and the result is symmetric.
func TestCouplingInSpace(t *testing.T) {
	a := read(t, "testdata/rec_asm_taper8k_16mm_oh60.json").Inputs.Chain.assembly(t)
	reference := a.Length() - 0.12
	m := mesh(t, a, 5e3, 1)
	for _, f := range []float64{60, 700, 1900} {
		bare, err := m.At(f, reference)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range []Response{bare, bare.WithMass()} {
			plane := Matrix{{2e-8 - 1e-9i, 3e-8 - 2e-9i}, {3e-8 - 2e-9i, 4e-7 - 1e-8i}}
			// The plane by the equations of one system: Z of the housing and the chain added.
			want := r.Tip
			h := plane
			w2 := complex(math.Pow(2*math.Pi*f, 2), 0)
			d := h[0][0]*h[1][1] - h[0][1]*h[1][0]
			z := Matrix{{h[1][1]/d - w2*r.Added[0][0], -h[0][1]/d - w2*r.Added[0][1]}, {-h[1][0]/d - w2*r.Added[1][0], h[0][0]/d - w2*r.Added[1][1]}}
			d = z[0][0]*z[1][1] - z[0][1]*z[1][0]
			c := Matrix{{z[1][1] / d, -z[0][1] / d}, {-z[1][0] / d, z[0][0] / d}}
			for i := range 2 {
				for j := range 2 {
					for p := range 2 {
						for q := range 2 {
							want[i][j] += r.Carried[i][p] * c[p][q] * r.Carried[j][q]
						}
					}
				}
			}
			for _, angle := range []float64{0, 0.7, math.Pi / 2, 2.5} {
				sin, cos := math.Sincos(angle)
				turn := [2]complex128{complex(cos, 0), complex(sin, 0)}
				var h Across
				for i := range 4 {
					for j := range 4 {
						h[i][j] = turn[i/2] * turn[j/2] * plane[i%2][j%2]
					}
				}
				got, err := r.OnHousingAcross(&h)
				if err != nil {
					t.Fatal(err)
				}
				other := [2]complex128{-turn[1], turn[0]}
				var along, square Matrix
				for i := range 4 {
					for j := range 4 {
						along[i%2][j%2] += turn[i/2] * turn[j/2] * got[i][j]
						square[i%2][j%2] += other[i/2] * other[j/2] * got[i][j]
					}
				}
				if worst := apart(along, want); worst > 1e-9 {
					t.Errorf("%g Hz, turned by %g: in its plane off by %g", f, angle, worst)
				}
				if worst := apart(square, r.Tip); worst > 1e-9 {
					t.Errorf("%g Hz, turned by %g: in the plane that does not move off by %g", f, angle, worst)
				}
			}
			full := bodyInSpace(50, f)
			whole, err := r.OnHousingAcross(&full)
			if err != nil {
				t.Fatal(err)
			}
			for i := range whole {
				for j := range i {
					if d := cmplx.Abs(whole[i][j] - whole[j][i]); d > 1e-9*cmplx.Abs(cmplx.Sqrt(whole[i][i]*whole[j][j])) {
						t.Errorf("%g Hz: not symmetric at %d, %d: %g", f, i, j, d)
					}
				}
			}
		}
	}
}

// TestHousingCarriesTheTip: at rest a housing that gives moves the tip as a rigid
// body on its arm does, u + θ × arm across the tool, in every direction of the tool.
func TestHousingCarriesTheTip(t *testing.T) {
	a := read(t, "testdata/rec_asm_er24k_8mm_oh35.json").Inputs.Chain.assembly(t)
	const arm = 0.09
	r, err := mesh(t, a, 5e3, 1).At(0, a.Length()-arm)
	if err != nil {
		t.Fatal(err)
	}
	var space [6][6]complex128 // a housing in space
	for i := range 6 {
		for j := range 6 {
			space[i][j] = complex(1e-8/float64(1+i+j), -1e-10)
		}
		space[i][i] += 5e-8
	}
	for _, tool := range []r3.Vec{down, {X: -1}, r3.Unit(r3.Vec{X: 2, Y: -1, Z: 1})} {
		planes := Planes(tool)
		var h Across
		for i := range 4 {
			for j := range 4 {
				for p := range 6 {
					for q := range 6 {
						h[i][j] += complex(planes[i][p]*planes[j][q], 0) * space[p][q]
					}
				}
			}
		}
		got, err := r.OnHousingAcross(&h)
		if err != nil {
			t.Fatal(err)
		}
		var carry [6][6]float64
		for k := range 6 {
			carry[k][k] = 1
		}
		for k, turn := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
			u := r3.Cross(turn, r3.Scale(arm, tool))
			carry[0][3+k], carry[1][3+k], carry[2][3+k] = u.X, u.Y, u.Z
		}
		for i := range 2 {
			for j := range 2 {
				var want complex128
				if i == j {
					want = r.Tip[0][0]
				}
				for p := range 6 {
					for q := range 6 {
						var x, y float64
						for k := range 3 {
							x += planes[2*i][k] * carry[k][p]
							y += planes[2*j][k] * carry[k][q]
						}
						want += complex(x*y, 0) * space[p][q]
					}
				}
				if cmplx.Abs(got[2*i][2*j]-want) > 1e-9*cmplx.Abs(want) {
					t.Errorf("tool %v: entry %d, %d is %v, want %v", tool, i, j, got[2*i][2*j], want)
				}
			}
		}
	}
}

// TestFinerMesh: twice the elements move natural frequencies by less than 0.05 %,
// the receptance up to half the highest frequency by less than 1 % of its peak, and
// the static compliance not at all.
func TestFinerMesh(t *testing.T) {
	for name, a := range assemblies(t) {
		coarse, fine := mesh(t, a, 5e3, 1), mesh(t, a, 5e3, 2)
		c, f := modes(t, coarse, 0.2), modes(t, fine, 0.2)
		if len(c.List) != len(f.List) {
			t.Fatalf("%s: %d and %d modes", name, len(c.List), len(f.List))
		}
		worst := 0.0
		for i := range c.List {
			worst = math.Max(worst, math.Abs(c.List[i].Omega/f.List[i].Omega-1))
		}
		if worst > 5e-4 {
			t.Errorf("%s: frequencies move by %g", name, worst)
		}
		peak, off := 0.0, 0.0
		for f := 20.0; f <= 2500; f *= 1.01 {
			want := directly(t, fine, f)[0][0]
			peak = math.Max(peak, cmplx.Abs(want))
			off = math.Max(off, cmplx.Abs(directly(t, coarse, f)[0][0]-want))
		}
		if off > 0.01*peak {
			t.Errorf("%s: the receptance moves by %g of its peak", name, off/peak)
		}
		t.Logf("%s: %d elements, frequencies %.2g, receptance %.2g", name, len(coarse.z)-1, worst, off/peak)
		if a, b := static(t, coarse).Lateral, static(t, fine).Lateral; math.Abs(a/b-1) > 1e-9 {
			t.Errorf("%s: static compliance %g and %g", name, a, b)
		}
	}
}

func static(t testing.TB, m *Mesh) Static {
	t.Helper()
	s, err := m.Static()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestDirectAgainstModes: with the modes up to 10 kHz, twice the highest frequency
// that is looked at, the modes and the direct solution agree to 1 % at the peaks,
// and everywhere to 2 % of the greatest, against a fixed housing and on those that
// move. What is left is truncation.
func TestDirectAgainstModes(t *testing.T) {
	for name, a := range assemblies(t) {
		reference := a.Length() - 0.1
		m := mesh(t, a, 10e3, 1)
		ms := modes(t, m, reference)
		for k := -1; k < len(bodies); k++ {
			var direct, modal []float64
			peak, off, everywhere := 0.0, 0.0, 0.0
			for f := 20.0; f < 5e3; f *= 1.002 {
				d, err := m.At(f, reference)
				if err != nil {
					t.Fatal(err)
				}
				s, err := ms.At(f)
				if err != nil {
					t.Fatal(err)
				}
				x, y := d.Tip, s.Tip
				if k >= 0 {
					h := bodies[k].receptance(f, ms.Mass)
					if x, err = d.OnHousing(h); err != nil {
						t.Fatal(err)
					}
					if y, err = s.OnHousing(h); err != nil {
						t.Fatal(err)
					}
				}
				direct, modal = append(direct, cmplx.Abs(x[0][0])), append(modal, cmplx.Abs(y[0][0]))
				everywhere = math.Max(everywhere, cmplx.Abs(x[0][0]-y[0][0]))
				peak = math.Max(peak, cmplx.Abs(x[0][0]))
			}
			for i := 1; i < len(direct)-1; i++ {
				if direct[i] > direct[i-1] && direct[i] > direct[i+1] {
					best := math.Inf(1)
					for j := max(0, i-3); j <= min(len(modal)-1, i+3); j++ {
						if j > 0 && j < len(modal)-1 && modal[j] >= modal[j-1] && modal[j] >= modal[j+1] {
							best = math.Min(best, math.Abs(modal[j]/direct[i]-1))
						}
					}
					off = math.Max(off, best)
				}
			}
			t.Logf("%s, housing %d: peaks %.2g, everywhere %.2g of the greatest", name, k, off, everywhere/peak)
			if off > 0.01 || everywhere > 0.02*peak {
				t.Errorf("%s, housing %d: peaks %.3g, everywhere %.3g of the greatest", name, k, off, everywhere/peak)
			}
		}
	}
}

// TestReciprocity: the receptance is symmetric.
func TestReciprocity(t *testing.T) {
	for name, a := range assemblies(t) {
		m := mesh(t, a, 5e3, 1)
		for _, f := range []float64{0, 300, 1500, 4000} {
			if r := directly(t, m, f); cmplx.Abs(r[0][1]-r[1][0]) > 1e-9*cmplx.Abs(r[0][1]) {
				t.Errorf("%s at %g Hz: %v and %v", name, f, r[0][1], r[1][0])
			}
		}
	}
}

// TestStifferIsNotSofter: more stiffness in any one spring or segment never gives a
// greater static compliance at the tip, and all shares add up to the whole.
func TestStifferIsNotSofter(t *testing.T) {
	for _, name := range files(t, "rec_asm_*.json") {
		chain := read(t, name).Inputs.Chain
		base := static(t, mesh(t, chain.assembly(t), 5e3, 1))
		sum, axial := 0.0, 0.0
		for _, s := range base.LateralShares {
			if s.Share < 0 {
				t.Errorf("%s: part %d has the share %g", name, s.Part, s.Share)
			}
			sum += s.Share
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("%s: shares add up to %g", name, sum)
		}
		stiffer := func(what string, change func(a *Assembly)) {
			a := chain.assembly(t)
			change(a)
			s := static(t, mesh(t, a, 5e3, 1))
			if s.Lateral > base.Lateral*(1+1e-9) || s.Tilt > base.Tilt*(1+1e-9) {
				t.Errorf("%s: %s gives %g and %g, before %g and %g", name, what, s.Lateral, s.Tilt, base.Lateral, base.Tilt)
			}
		}
		a := chain.assembly(t)
		for i := range a.Segments {
			stiffer(fmt.Sprint("bending of segment ", i), func(a *Assembly) { a.Segments[i].Section.Bending *= 1.5 })
			stiffer(fmt.Sprint("shear of segment ", i), func(a *Assembly) { a.Segments[i].Section.Shear *= 1.5 })
			if a.Segments[i].Joint != nil {
				stiffer(fmt.Sprint("joint ", i), func(a *Assembly) { a.Segments[i].Joint.Lateral *= 1.5; a.Segments[i].Joint.Rotational *= 1.5 })
			}
		}
		for i := range a.Bearings {
			stiffer(fmt.Sprint("bearing ", i), func(a *Assembly) { a.Bearings[i].Lateral *= 1.5; a.Bearings[i].Rotational *= 1.5 })
			a.Bearings[i].Axial = 1e8
		}
		for _, s := range static(t, mesh(t, a, 5e3, 1)).AxialShares {
			axial += s.Share
		}
		if math.Abs(axial-1) > 1e-9 {
			t.Errorf("%s: axial shares add up to %g", name, axial)
		}
	}
}

// TestLever: a rigid shaft on two bearings is the textbook's lever. With the span l
// and the overhang c from the front bearing the compliance at the tip is
// ((l + c)/l)²/k(front) + (c/l)²/k(rear).
func TestLever(t *testing.T) {
	const span, out, front, rear = 0.12, 0.09, 1.2e8, 6e7
	rigid := Section{Bending: 1e12, Mass: 1}
	a := &Assembly{
		Segments: []Segment{{Length: span, Section: rigid}, {Length: out, Section: rigid}},
		Bearings: []Bearing{{At: Place{0, false}, Lateral: rear, Part: 1}, {At: Place{0, true}, Lateral: front, Part: 2}},
	}
	s := static(t, mesh(t, a, 1000, 1))
	atFront, atRear := math.Pow((span+out)/span, 2)/front, math.Pow(out/span, 2)/rear
	if want := atFront + atRear; math.Abs(s.Lateral/want-1) > 1e-6 {
		t.Errorf("compliance %g, want %g", s.Lateral, want)
	}
	for _, share := range s.LateralShares {
		want := map[int]float64{0: 0, 1: atRear / (atFront + atRear), 2: atFront / (atFront + atRear)}[share.Part]
		if math.Abs(share.Share-want) > 1e-6 {
			t.Errorf("share of part %d is %g, want %g", share.Part, share.Share, want)
		}
	}
}

// TestJointLever: springs with their centre behind the plane add the lever's share.
func TestJointLever(t *testing.T) {
	rigid := Section{Bending: 1e9, Mass: 1}
	const length, lever, lateral, rotational = 0.03, 0.01, 5e7, 4e3
	a := &Assembly{Clamped: true, Segments: []Segment{
		{Length: 0.01, Section: rigid},
		{Length: length, Section: rigid, Joint: &Joint{Lateral: lateral, Rotational: rotational, Lever: lever}},
	}}
	s := static(t, mesh(t, a, 100, 1))
	want := 1/lateral + (length+lever)*(length+lever)/rotational
	if math.Abs(s.Lateral/want-1) > 1e-6 || math.Abs(s.Slope*rotational/(length+lever)-1) > 1e-6 {
		t.Errorf("compliance %g and slope %g, want %g and %g", s.Lateral, s.Slope, want, (length+lever)/rotational)
	}
}

// TestAxialInSeries: rods and interfaces in series from the bearing that holds, two
// bearings share what they carry.
func TestAxialInSeries(t *testing.T) {
	rod := Section{Bending: 1e3, Axial: 1e8, Mass: 1}
	a := &Assembly{
		Segments: []Segment{{Length: 0.1, Section: rod, Part: 1}, {Length: 0.2, Section: rod, Part: 2}, {Length: 0.05, Section: rod, Part: 3, Joint: &Joint{
			Lateral: 1e8, Rotational: 1e4, Axial: 2e8, Part: 4}}},
		Bearings: []Bearing{{At: Place{0, true}, Lateral: 1e8, Axial: 1e8, Part: 5}, {At: Place{1, true}, Lateral: 1e8, Part: 6}},
	}
	if got, want := static(t, mesh(t, a, 100, 1)).Axial, 1/1e8+0.25/1e8+1/2e8; math.Abs(got/want-1) > 1e-12 {
		t.Errorf("axial compliance %g, want %g", got, want)
	}
	a.Bearings[1].Axial = 5e7
	behind := 1/1e8 + 0.2/1e8
	if got, want := static(t, mesh(t, a, 100, 1)).Axial, 1/(1/behind+5e7)+0.05/1e8+1/2e8; math.Abs(got/want-1) > 1e-12 {
		t.Errorf("axial compliance with a second bearing %g, want %g", got, want)
	}
}

// TestRigidMass: the mass matrix as a rigid body is that of the cylinders about the
// reference point, and a chain that nothing holds moves as that body.
func TestRigidMass(t *testing.T) {
	a := read(t, "testdata/rec_beam_stepped_freefree16.json").Inputs.Chain.assembly(t)
	a.Lumps = []Lump{{At: Place{0, true}, Mass: 0.3, Inertia: 2e-5}}
	const reference = 0.02
	ms := modes(t, mesh(t, a, 20e3, 1), reference)
	var want [2][2]float64
	z := -reference
	for i, s := range a.Segments {
		mass, middle := s.Section.Mass*s.Length, z+s.Length/2
		want[0][0] += mass
		want[0][1] += mass * middle
		want[1][1] += mass*(middle*middle+s.Length*s.Length/12) + s.Section.Rotary*s.Length
		z += s.Length
		if i == 0 {
			want[0][0] += 0.3
			want[0][1] += 0.3 * z
			want[1][1] += 0.3*z*z + 2e-5
		}
	}
	want[1][0] = want[0][1]
	for i := range 2 {
		for j := range 2 {
			if math.Abs(ms.Mass[i][j]-want[i][j]) > 1e-9*math.Abs(want[i][j]) {
				t.Errorf("mass %d, %d: %g, want %g", i, j, ms.Mass[i][j], want[i][j])
			}
		}
	}
	// Both motions as a rigid body are there, and give back the mass.
	if ms.List[0].Omega != 0 || ms.List[1].Omega != 0 || ms.List[2].Omega == 0 {
		t.Fatalf("rigid motions: %g, %g, %g rad/s", ms.List[0].Omega, ms.List[1].Omega, ms.List[2].Omega)
	}
	for i := range 2 {
		for j := range 2 {
			sum := 0.0
			for k := range 2 {
				sum += ms.List[k].Participation[i] * ms.List[k].Participation[j]
			}
			if math.Abs(sum-want[i][j]) > 1e-9*math.Abs(want[i][j]) {
				t.Errorf("participation %d, %d: %g, want %g", i, j, sum, want[i][j])
			}
		}
	}
	for _, m := range ms.List[2:] {
		for _, l := range m.Participation {
			if math.Abs(l) > 1e-6 {
				t.Errorf("a free mode takes part with %g", l)
			}
		}
	}
}

// TestHeldInPart: with one bearing or against tilt alone the chain has one motion as
// a rigid body.
func TestHeldInPart(t *testing.T) {
	for _, b := range []Bearing{{At: Place{0, false}, Lateral: 1e8}, {At: Place{0, true}, Rotational: 1e5}} {
		a := read(t, "testdata/rec_beam_stepped_freefree16.json").Inputs.Chain.assembly(t)
		a.Bearings = []Bearing{b}
		m := mesh(t, a, 20e3, 1)
		ms := modes(t, m, 0)
		if ms.List[0].Omega != 0 || ms.List[1].Omega == 0 {
			t.Errorf("%+v: %g and %g rad/s", b, ms.List[0].Omega, ms.List[1].Omega)
		}
		if b.Lateral > 0 && math.Abs(ms.List[0].Tip[0]/ms.List[0].Tip[1]-a.Length()) > 1e-9 {
			t.Errorf("it does not turn about its bearing: %v", ms.List[0].Tip)
		}
		if b.Rotational > 0 && ms.List[0].Tip[1] != 0 {
			t.Errorf("it turns although it is held: %v", ms.List[0].Tip)
		}
		if _, err := m.Static(); err == nil {
			t.Errorf("%+v: has a static compliance", b)
		}
	}
}

// TestModesAreOrthogonal: unit modal mass, no modal mass between modes, none missed
// where two are equal.
func TestModesAreOrthogonal(t *testing.T) {
	for name, a := range assemblies(t) {
		m := mesh(t, a, 20e3, 1)
		found, err := m.search(math.Pow(2*math.Pi*20e3, 2))
		if err != nil {
			t.Fatal(err)
		}
		for i := range found {
			if i > 0 && found[i].lambda < found[i-1].lambda {
				t.Errorf("%s: modes do not rise", name)
			}
			for j := range i + 1 {
				want := 0.0
				if i == j {
					want = 1
				}
				if got := dot(found[i].mx, found[j].x); math.Abs(got-want) > 1e-6 {
					t.Errorf("%s: modal mass %d, %d is %g", name, i, j, got)
				}
			}
		}
	}
	// Two equal cantilevers back to back, nearly apart: each frequency twice.
	s := Section{Bending: 100, Mass: 1}
	a := &Assembly{
		Segments: []Segment{
			{Length: 0.1, Section: s}, {Length: 1e-3, Section: Section{Bending: 1e7, Mass: 1e-6}}, {Length: 0.1, Section: s},
		},
		Bearings: []Bearing{
			{At: Place{0, true}, Lateral: 1e14, Rotational: 1e11}, {At: Place{1, true}, Lateral: 1e14, Rotational: 1e11},
		},
	}
	list := modes(t, mesh(t, a, 10e3, 1), 0).List
	if len(list) != 6 {
		t.Fatalf("%d modes", len(list))
	}
	for i := 0; i < len(list); i += 2 {
		if math.Abs(list[i].Omega/list[i+1].Omega-1) > 1e-6 {
			t.Errorf("modes %d and %d: %g and %g rad/s", i, i+1, list[i].Omega, list[i+1].Omega)
		}
	}
	root := []float64{1.875104, 4.694091, 7.854757}
	for i := 0; i < len(list); i += 2 {
		want := root[i/2] * root[i/2] * math.Sqrt(100/math.Pow(0.1, 4))
		if math.Abs(list[i].Omega/want-1) > 1e-3 {
			t.Errorf("mode %d: %g rad/s, want %g", i, list[i].Omega, want)
		}
	}
}

// TestNamesTheArgument: an error says which argument is out of its range.
func TestNamesTheArgument(t *testing.T) {
	sound := func() *Assembly { return read(t, "testdata/rec_asm_er24k_8mm_oh35.json").Inputs.Chain.assembly(t) }
	meshed := func(change func(a *Assembly)) error {
		a := sound()
		change(a)
		_, err := a.Mesh(5e3, 1)
		return err
	}
	m := mesh(t, sound(), 5e3, 1)
	ms := modes(t, m, 0)
	only := func(_ any, err error) error { return err }
	for _, c := range []struct {
		quantity string
		err      error
	}{
		{"number of layers", only(Layered())},
		{"inner diameter", only(Layered(Layer{Outer: 1, Inner: 1, Modulus: 1, Density: 1}))},
		{"density", only(Layered(Layer{Outer: 1, Modulus: 1}))},
		{"number of segments", only((&Assembly{}).Mesh(1, 1))},
		{"length of a segment", meshed(func(a *Assembly) { a.Segments[2].Length = 0 })},
		{"bending stiffness", meshed(func(a *Assembly) { a.Segments[2].Section.Bending = math.NaN() })},
		{"lateral stiffness of a joint", meshed(func(a *Assembly) { a.Segments[7].Joint.Lateral = 0 })},
		{"radial stiffness of a bearing", meshed(func(a *Assembly) { a.Bearings[0].Lateral = -1 })},
		{"number of a segment", meshed(func(a *Assembly) { a.Bearings[0].At.Segment = 99 })},
		{"loss factor", meshed(func(a *Assembly) { a.Bearings[0].Loss = 2 })},
		{"mass on the chain", meshed(func(a *Assembly) { a.Lumps = []Lump{{Mass: -1}} })},
		{"highest frequency", only(sound().Mesh(0, 1))},
		{"highest frequency", only(sound().Mesh(1e12, 1))},
		{"fineness", only(sound().Mesh(1, 0))},
		{"frequency", only(m.At(5001, 0))},
		{"frequency", only(ms.At(-1))},
		{"reference point", only(m.Modes(math.Inf(1)))},
	} {
		if at := (*domain.InputError)(nil); !errors.As(c.err, &at) || at.Quantity != c.quantity {
			t.Errorf("%s: %v", c.quantity, c.err)
		}
	}
	if err := meshed(func(a *Assembly) { a.Segments[0].Joint = a.Segments[7].Joint }); err == nil {
		t.Error("a joint with nothing behind it")
	}
}

// TestOddNumbers: odd numbers give an error or finite answers.
func TestOddNumbers(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	computed := 0
	for range 1000 {
		a := read(t, "testdata/rec_asm_er24k_8mm_oh35.json").Inputs.Chain.assembly(t)
		a.Lumps = []Lump{{At: Place{2, true}, Mass: 0.5, Inertia: 1e-4}}
		verify.Spoil(random, a)
		m, err := a.Mesh(2e3, 1)
		if err != nil {
			continue
		}
		if s, err := m.Static(); err == nil && !verify.Finite(s) {
			t.Fatalf("%+v: %+v", a, s)
		}
		ms, err := m.Modes(0.1)
		if err != nil {
			continue
		}
		computed++
		if !verify.Finite(ms.List) {
			t.Fatalf("%+v: %+v", a, ms.List)
		}
	}
	if computed == 0 {
		t.Error("none computed")
	}
}

// TestTipAcross: the shorter way to the tip's displacements is the whole way's, by modes, in a body that moves in space.
func TestTipAcross(t *testing.T) {
	for name, a := range assemblies(t) {
		reference := a.Length() - 0.12
		ms := modes(t, mesh(t, a, 5e3, 1), reference)
		for _, f := range []float64{30, 240, 900, 1700, 2400} {
			r, err := ms.At(f)
			if err != nil {
				t.Fatal(err)
			}
			house := bodyInSpace(20, f)
			whole, err := r.OnHousingAcross(&house)
			if err != nil {
				t.Fatal(err)
			}
			tip, err := ms.TipAcross(f, &house)
			if err != nil {
				t.Fatal(err)
			}
			size := cmplx.Abs(whole[0][0]) + cmplx.Abs(whole[2][2])
			for k, v := range [4]complex128{whole[0][0], whole[0][2], whole[2][0], whole[2][2]} {
				if cmplx.Abs(tip[k]-v) > 1e-9*size {
					t.Errorf("%s, %g Hz, %d: %g, the whole way %g", name, f, k, tip[k], v)
				}
			}
		}
	}
}

// TestModesLike: started from the modes of a chain that is up to twice as stiff or soft in its bearings and its joints, they are those found from
// nothing, and none is missing; on other elements too. Nearly always nothing has to be looked for.
func TestModesLike(t *testing.T) {
	random := rand.New(rand.NewSource(8))
	tried, near := 0, 0
	for name, a := range assemblies(t) {
		if len(a.Bearings) == 0 {
			continue
		}
		reference := a.Length() - 0.12
		was := modes(t, mesh(t, a, 5e3, 1), reference)
		for trial := range 8 {
			other := *a
			other.Bearings, other.Segments = slices.Clone(a.Bearings), slices.Clone(a.Segments)
			by := func() float64 { return math.Exp2(2*random.Float64() - 1) }
			for i := range other.Bearings {
				other.Bearings[i].Lateral *= by()
			}
			for i := range other.Segments {
				if j := other.Segments[i].Joint; j != nil {
					joint := *j
					joint.Lateral, joint.Rotational = by()*joint.Lateral, by()*joint.Rotational
					other.Segments[i].Joint = &joint
				}
			}
			m := mesh(t, &other, 5e3, 1)
			if trial == 7 {
				m = mesh(t, &other, 5e3, 2)
			}
			want, err := m.Modes(reference)
			if err != nil {
				t.Fatal(err)
			}
			if tried++; m.near(math.Pow(2*math.Pi*m.top, 2), was) != nil {
				near++
			}
			got, err := m.ModesLike(reference, was)
			if err != nil {
				t.Fatal(err)
			}
			if len(got.List) != len(want.List) {
				t.Fatalf("%s: %d modes, want %d", name, len(got.List), len(want.List))
			}
			for k := range want.List {
				g, w := &got.List[k], &want.List[k]
				if math.Abs(g.Omega/w.Omega-1) > 1e-7 || math.Abs(g.Tip[0]-w.Tip[0]) > 1e-4*math.Abs(w.Tip[0])+1e-6 {
					t.Errorf("%s, mode %d: %g rad/s, tip %g; from nothing %g rad/s, tip %g", name, k, g.Omega, g.Tip[0], w.Omega, w.Tip[0])
				}
			}
		}
	}
	if near < 9*tried/10 {
		t.Errorf("%d of %d from near", near, tried)
	}
}
