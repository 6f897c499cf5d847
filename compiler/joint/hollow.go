package joint

import (
	"fmt"
	"math"
	"sync"

	"ironbed/compiler/domain"
)

// A HollowJoint is a branch of rectangular hollow section welded all round on
// the face of a rectangular hollow chord, its middle on the chord's.
type HollowJoint struct {
	Material Material // of both
	Width    float64  // outer width of the chord's face that carries the branch [m]
	Depth    float64  // outer depth of the chord, along the branch [m]
	Wall     float64  // wall of the chord [m]

	BranchWidth  float64 // outer width of the branch, across the chord [m]
	BranchLength float64 // outer width of the branch, along the chord [m]
	BranchWall   float64 // wall of the branch [m]
	Angle        float64 // between branch and chord, 0 for a square one [rad]

	// Length is the distance between the sections on either side at which the
	// chord keeps its shape: end plates, diaphragms, other joints. The branch
	// stands midway. With 0 it is taken as the foot's length and nine times the width.
	Length float64 // distance between sections that keep their shape [m]
	Fixed  bool    // whether those sections can't warp either, as on a base
	Gap    float64 // to the next branch of a K joint, 0 for a lone branch [m]
	AtEnd  bool    // whether the chord ends flush with the branch; the middle is that of one that goes on

	Plates  []InnerPlate // welded all round inside the chord under the branch
	Doubler Doubler      // plate on the face, under the branch
	Fill    Fill         // what fills the chord under the branch
}

// An InnerPlate stands square across the inside of a chord, welded all round;
// one away from the middle stands for two, on either side of it.
type InnerPlate struct {
	At        float64 // distance from the branch's middle along the chord [m]
	Thickness float64 // thickness [m]
}

// A Doubler is a plate welded all round its edges on a chord's face.
type Doubler struct {
	Thickness float64 // thickness, 0 for none [m]
	Width     float64 // width across the chord [m]
	Length    float64 // length along the chord [m]
}

// A Fill is an elastic filling of a chord under a branch.
type Fill struct {
	E       float64 // Young's modulus, 0 for none [Pa]
	Poisson float64 // Poisson's ratio [-]
	Bonded  bool    // whether it holds the face when that is pulled
}

// Springs are what a joint adds to a model in which the branch's foot stands on
// a rigid arm from the chord's axis to its face.
type Springs struct {
	InPlane    Bounds // in the plane of branch and chord [N·m/rad]
	OutOfPlane Bounds // across the chord, about its axis [N·m/rad]
	Torsion    Bounds // about the branch [N·m/rad]
	Axial      Bounds // along the branch [N/m]

	// A force across the chord also makes its section lean over, against the turn
	// that its moment makes. So the out-of-plane turn is about a point above the
	// face, see [Springs.OutOfPlaneUnder].
	Rise float64 // height above the face at which a force across doesn't turn the foot [m]

	Violations []Violation
}

// OutOfPlaneUnder returns the out-of-plane spring to put on the face where a force
// across the chord acts at a height above it: it does the work that the true
// one does at the rise e.
//
//	k = kθ/(1 − e/h)²,  no lower than kθ, for h ≥ 2e
//
// Source: derived here, h² /k = (h − e)²/kθ.
func (s Springs) OutOfPlaneUnder(height float64) Bounds {
	h := math.Max(height, 2*s.Rise)
	if !(h > 0) || math.IsInf(h, 0) {
		return s.OutOfPlane
	}
	return s.OutOfPlane.times(1 / square(1-s.Rise/h))
}

// The names of the ranges of validity of [HollowJoint.Springs].
const (
	ValidBeta        = "width-ratio"        // width of the branch over that of the chord
	ValidSlenderness = "chord-slenderness"  // width of the chord over its wall
	ValidBranchWall  = "branch-wall"        // wall of the branch over that of the chord
	ValidGap         = "branch-gap"         // gap of a K joint over the width of the chord
	ValidSkew        = "branch-angle"       // sine of the angle between branch and chord
	ValidChordLength = "chord-length"       // chord's length over its width and the branch's length
	ValidDoubler     = "doubler-overhang"   // doubler beyond the branch's foot, over the doubler's thickness
	ValidInnerPlate  = "inner-plate-offset" // an inner plate's place over half the foot's length
)

// Shares of the middle value within which solid finite-element models lay,
// rounded outwards: of bare joints, about the branch's axis, of joints with inner
// plates or a doubler.
const (
	lowFace, highFace   = 0.7, 1.5
	lowTwist, highTwist = 0.5, 1.25
	lowCure, highCure   = 0.6, 1.8
)

// The same at the end of a chord: open, solid models were 0.6 times as stiff as on a chord that goes on, and closed by a plate as thick as the
// wall 1.6 times in plane and 3.1 times out of plane.
const lowEnd, highEndIn, highEndOut = 0.5, 2, 3.5

// doublerParts is how the middle value is taken between a doubler that bends by
// itself and one that bends as one with the face: the geometric mean.
func doublerParts(low, high float64) float64 { return math.Sqrt(low * high) }

// Springs returns the joint's springs.
//
// The chord is a folded plate, each wall with its membrane and bending stiffness,
// solved in waves along it; the branch's foot is a rigid outline that the face is
// free to turn under, and the face is also compliant in transverse shear. From the foot's
// motion that of a beam under the same load is taken away. Against ten solid
// finite-element models with width ratios of 0.4 to 1 and slendernesses of 10 to 33 the
// tip of a branch five widths long moved within 13 % of theirs, 17 % along the branch. As springs,
// those of joints up to a ratio of 0.8 lie within 13 %; at 0.9 and 1, where the branch's
// own walls begin to bend, they are up to 38 % too stiff in plane. The weld's bead is left
// out; it stiffens.
//
// The branches of a K joint have the same springs each, without what one does to the
// other: with a gap in range their walls stand apart, but their forces still bend one
// face, and opposite ones bend it less than these springs say.
//
//	inner plates   rigid in their own plane but for the compliance of a column under the face
//	doubler        the face as thick as doubler and face together along the whole
//	               chord; as low, bending without each other
//	fill           an elastic half-space under the foot, beside the walls
//
// No spring is stiffer than a stub of the branch as long as the chord's wall is
// thick: there, the face no longer decides.
//
// Source: derived here: strips as in the comments of this package; Cheung 1976,
// finite strips; Gazetas 1991, rigid footings on a half-space.
func (j HollowJoint) Springs() (Springs, error) {
	if err := j.ask(); err != nil {
		return Springs{}, err
	}
	var out Springs
	low, rise, err := j.face(false)
	if err != nil {
		return Springs{}, err
	}
	high := low
	if j.Doubler.Thickness > 0 {
		if high, _, err = j.face(true); err != nil {
			return Springs{}, err
		}
	}
	fill := j.footing()
	stub := j.stub()
	bound := func(i int, below, above float64) Bounds {
		b := Bounds{below * low[i], doublerParts(low[i], high[i]), above * high[i]}.plus(fill[i])
		return Bounds{min(b.Low, below*stub[i]), min(b.Middle, stub[i]), min(b.High, above*stub[i])}
	}
	below, above := lowFace, highFace
	if len(j.Plates) > 0 || j.Doubler.Thickness > 0 {
		below, above = lowCure, highCure
	}
	out.InPlane, out.OutOfPlane, out.Axial = bound(0, below, above), bound(1, below, above), bound(2, below, above)
	if j.AtEnd {
		out.InPlane, out.OutOfPlane = bound(0, lowEnd, highEndIn), bound(1, lowEnd, highEndOut)
	}
	out.Torsion = bound(3, lowTwist, highTwist)
	for _, b := range []Bounds{out.InPlane, out.OutOfPlane, out.Axial, out.Torsion} {
		if !b.valid() {
			return Springs{}, ErrNotFinite
		}
	}
	out.Rise, out.Violations = rise, j.violations()
	return out, nil
}

// ask asks for inputs that can be computed with.
func (j HollowJoint) ask() error {
	var g domain.Guard
	j.Material.ask(&g, "chord")
	g.Demand(j.Wall > 1e-5 && finite(j.Wall), "chord's wall", j.Wall, "finite and more than 0.01 mm")
	g.Demand(j.Width > 3*j.Wall && j.Width < min(1e3, 500*j.Wall), "chord's width", j.Width, "more than 3 and less than 500 of its walls, and less than 1 km")
	g.Demand(j.Depth > 3*j.Wall && j.Depth < 1e3, "chord's depth", j.Depth, "more than 3 of its walls and less than 1 km")
	g.Demand(j.Depth < 20*j.Width && j.Width < 20*j.Depth, "chord's depth", j.Depth, "more than a twentieth and less than 20 times its width")
	g.Demand(j.BranchWall > j.Width/2000 && finite(j.BranchWall), "branch's wall", j.BranchWall, "finite and more than a 2000th of the chord's width")
	g.Demand(j.BranchWidth <= j.Width*(1+1e-9), "branch's width", j.BranchWidth, "no more than the chord's")
	g.Demand(j.BranchWidth > max(2*j.BranchWall, j.Width/50), "branch's width", j.BranchWidth, "more than 2 of its walls and a fiftieth of the chord's width")
	g.Demand(j.BranchLength > max(2*j.BranchWall, j.Width/50), "branch's length", j.BranchLength, "more than 2 of its walls and a fiftieth of the chord's width")
	g.Demand(j.BranchLength < 20*j.Width, "branch's length", j.BranchLength, "less than 20 times the chord's width")
	g.Demand(math.Abs(math.Sin(j.angle())) > 0.2, "branch's angle", j.Angle, "0 for square, or a sine of more than 0.2")
	g.Demand(j.length() > j.foot()+j.Width/2 && j.length() < 200*j.Width, "length between sections that keep their shape", j.Length,
		"0 for usual, or more than the foot and half the chord's width, and less than 200 of its widths")
	g.ZeroOrMore("gap", j.Gap)
	g.Demand(len(j.Plates) <= 8, "number of inner plates", float64(len(j.Plates)), "8 at most")
	for i, p := range j.Plates {
		g.Demand(math.Abs(p.At) < j.length()/2, fmt.Sprintf("place of inner plate %d", i+1), p.At, "within the length between sections that keep their shape")
		g.Demand(p.Thickness > j.Width/2000 && finite(p.Thickness), fmt.Sprintf("thickness of inner plate %d", i+1), p.Thickness,
			"finite and more than a 2000th of the chord's width")
	}
	if d := j.Doubler; d != (Doubler{}) {
		g.Demand(d.Thickness > 0 && d.Thickness < j.Width, "doubler's thickness", d.Thickness, "above zero and less than the chord's width")
		g.Demand(d.Width >= j.BranchWidth && d.Width <= j.Width*(1+1e-9), "doubler's width", d.Width, "no less than the branch's and no more than the chord's")
		g.Demand(d.Length >= j.foot() && finite(d.Length), "doubler's length", d.Length, "finite and no less than the branch's foot")
	}
	if j.Fill.E != 0 {
		Material{j.Fill.E, j.Fill.Poisson}.ask(&g, "fill")
	}
	return g.Err
}

// angle returns the angle between branch and chord.
func (j HollowJoint) angle() float64 {
	if j.Angle == 0 {
		return math.Pi / 2
	}
	return j.Angle
}

// foot returns the length of the branch's outline on the chord.
func (j HollowJoint) foot() float64 { return j.BranchLength / math.Abs(math.Sin(j.angle())) }

// length returns the chord's length between sections that keep their shape.
func (j HollowJoint) length() float64 {
	if j.Length == 0 {
		return j.foot() + 9*j.Width
	}
	return j.Length
}

// leaning returns the length between sections that keep their shape but may warp,
// for motions under which the chord's section leans over. Sections that can't warp
// are as near as ones at 4^(−⅓) of the distance: a short beam on an elastic bed, as
// which the distortion acts, is four times as stiff with its ends clamped.
func (j HollowJoint) leaning() float64 {
	if j.Fixed {
		return max(j.length()/math.Cbrt(4), j.foot()+j.Width/2)
	}
	return j.length()
}

// violations returns what lies outside the joints that were held against solid
// models. The gap is that of EN 1993-1-8, table 7.8.
func (j HollowJoint) violations() []Violation {
	var v violations
	beta := j.BranchWidth / j.Width
	v.hold(ValidBeta, beta, 0.3, 1)
	v.hold(ValidSlenderness, j.Width/j.Wall, 10, 35)
	v.hold(ValidBranchWall, j.BranchWall/j.Wall, 0.5, 2)
	v.hold(ValidSkew, math.Sin(j.angle()), 0.5, 1)
	v.hold(ValidChordLength, (j.length()-j.foot())/j.Width, 3, math.Inf(1))
	if j.Gap > 0 {
		v.hold(ValidGap, j.Gap/j.Width, math.Max(0.5*(1-beta), 2*j.BranchWall/j.Width), math.Inf(1))
	}
	if d := j.Doubler; d.Thickness > 0 {
		v.hold(ValidDoubler, (d.Length-j.foot())/2/d.Thickness, 2, math.Inf(1))
	}
	for _, p := range j.Plates {
		v.hold(ValidInnerPlate, math.Abs(p.At)/(j.foot()/2), 0, 1)
	}
	return v
}

// stub returns the stiffness of a stub of the branch as long as the chord's wall
// is thick: bending in and out of plane, stretch, twist, by thin walls.
func (j HollowJoint) stub() [4]float64 {
	along, across, t, l := j.foot()-j.BranchWall, j.BranchWidth-j.BranchWall, j.BranchWall, j.Wall
	inertia := func(h, b float64) float64 { return t * h * h * (h/6 + b/2) }
	e := j.Material.E / l
	return [4]float64{e * inertia(along, across), e * inertia(across, along), e * 2 * t * (along + across),
		j.Material.shear() / l * 2 * t * square(along*across) / (along + across)}
}

func square(x float64) float64 { return x * x }

// footing returns the stiffness of the fill under the foot, a rigid rectangle on
// a half-space, half width b and half length l, l ≥ b:
//
//	vertical     2Gl/(1 − ν) (0.73 + 1.54 (b/l)^¾)
//	rocking      about the long side's axis  G/(1 − ν) I^¾ (l/b)^¼ (2.4 + 0.5 b/l),
//	             about the short side's      3G/(1 − ν) I^¾ (l/b)^0.15
//
// The face spreads the foot's load, so that b and l are greater by the length over
// which a plate on a half-space carries, ℓ = (2D(1 − ν²)/E)^⅓, up to the walls.
// A fill that is not bonded carries pressure alone: half of it, for rocking.
// It shrinks from the face or is pressed to it, hence wide bounds. It does not
// help the foot to twist.
func (j HollowJoint) footing() (out [4]Bounds) {
	if j.Fill.E == 0 {
		return out
	}
	g := Material{j.Fill.E, j.Fill.Poisson}.shear() / (1 - j.Fill.Poisson)
	spread := math.Cbrt(2 * j.bending(j.Wall) * (1 - square(j.Fill.Poisson)) / j.Fill.E)
	l, b := j.foot()/2, j.BranchWidth/2
	l, b = l+min(spread, j.Width/4), min(b+spread, j.Width/2)
	rock := func(arm, other float64) float64 {
		inertia := 4. / 3 * arm * arm * arm * other
		if arm < other { // about the long axis
			return g * math.Pow(inertia, 0.75) * math.Pow(other/arm, 0.25) * (2.4 + 0.5*arm/other)
		}
		return 3 * g * math.Pow(inertia, 0.75) * math.Pow(arm/other, 0.15)
	}
	long, short := max(l, b), min(l, b)
	vertical := 2 * g * long * (0.73 + 1.54*math.Pow(short/long, 0.75))
	hold := 0.5
	if j.Fill.Bonded {
		hold = 1
	}
	out[0], out[1] = within(hold*rock(l, b), 0.4, 2), within(hold*rock(b, l), 0.4, 2)
	out[2] = within(hold*vertical, 0.4, 2)
	return out
}

// How finely a chord and a foot are cut.
const (
	halfStrips  = 4   // across half a foot, and other short walls
	finestShare = 1.5 // largest wave number by the smallest half length of a cell [rad]
)

// face returns the stiffness of the foot on the chord's face in plane, out of
// plane, along and about the branch, and the rise of the out-of-plane spring:
// the height at which a force across does not turn the foot.
//
// From the compliance of the foot on the folded plate that of the chord as a beam on fork
// supports is taken, under the same load:
//
//	in plane      L/(12 EI) + 1/(GA L)
//	out of plane  L/(4 GJ), coupled with a force across by half the depth
//	along         L³/EI (1/48 − 1/(4π²)), balanced as in [footing.compliance]
//	about         L/(12 EI) + 1/(GA L), of the other bending
//
// It is solved once for a shape: it is in proportion to Young's modulus, and goes with Poisson's ratio by so little that steps of poissonStep do.
func (j HollowJoint) face(oneWithFace bool) (out [4]float64, rise float64, err error) {
	unit := j
	unit.Fill, unit.Material = Fill{}, Material{E: unitModulus, Poisson: math.Round(j.Material.Poisson/poissonStep) * poissonStep}
	key := fmt.Sprintf("%t %v", oneWithFace, unit)
	known, ok := faces.Load(key)
	if !ok {
		f := &solvedFace{}
		f.stiffness, f.rise, f.err = unit.solveFace(oneWithFace)
		known, _ = faces.LoadOrStore(key, f)
	}
	f := known.(*solvedFace)
	for i, k := range f.stiffness {
		out[i] = k * j.Material.E / unitModulus
	}
	return out, f.rise, f.err
}

// A solvedFace is what face says of a shape.
type solvedFace struct {
	stiffness [4]float64
	rise      float64
	err       error
}

// faces are the shapes that were solved, by all that they are.
var faces sync.Map // of *solvedFace

const (
	unitModulus = 210e9 // that shapes are solved with [Pa]
	poissonStep = 0.005 // half of a step changes a plate's stiffness by a thousandth and a half [-]
)

// solveFace is face without what is known already.
func (j HollowJoint) solveFace(oneWithFace bool) (out [4]float64, rise float64, err error) {
	f := j.model(oneWithFace, halfStrips)
	s, stub := j.thinBox(), j.stub()
	for i, p := range []parity{inPlane, outOfPlane, alongAxis, twisting} {
		l := j.length()
		if p == outOfPlane {
			l = j.leaning()
		}
		f.length = l
		c, err := f.compliance(p)
		if err != nil {
			return out, 0, err
		}
		soft := c[1][1]
		switch p {
		case inPlane:
			soft -= l/(12*s.bendingFace) + 1/(l*s.shearFace)
		case outOfPlane:
			soft -= l / (4 * s.torsion)
			if soft > 0 {
				rise = (c[0][1] + s.depth/2*l/(4*s.torsion)) / soft
			}
		case alongAxis:
			soft = c[0][0] - l*l*l/s.bendingFace*(1./48-1/(4*math.Pi*math.Pi))
		case twisting:
			soft -= l/(12*s.bendingSide) + 1/(l*s.shearSide)
		}
		// A rigid foot can stiffen the chord by more than the face is compliant.
		out[i] = 1 / max(soft, 1/stub[i])
	}
	// Where the face is nearly rigid, the rise means nothing.
	return out, max(0, min(rise, j.Depth/2)), nil
}

// beam is a thin-walled box as a beam.
type beam struct {
	depth                    float64 // between the middles of the walls [m]
	bendingFace, bendingSide float64 // that moves the face, that moves the sides [N·m²]
	shearFace, shearSide     float64 // [N]
	torsion                  float64 // [N·m²]
}

// thinBox returns the chord as the beam that the folded plate is.
func (j HollowJoint) thinBox() beam {
	b, h, t := j.Width-j.Wall, j.Depth-j.Wall, j.Wall
	e, g := j.Material.E, j.Material.shear()
	inertia := func(h, b float64) float64 { return t * h * h * (h/6 + b/2) }
	return beam{depth: h, bendingFace: e * inertia(h, b), bendingSide: e * inertia(b, h),
		shearFace: g * t * shearArea(h, b), shearSide: g * t * shearArea(b, h), torsion: g * 2 * t * square(b*h) / (b + h)}
}

// shearArea returns the shear area of a thin box by its wall, for a force along
// its depth, from the energy of the shear flow.
//
//	A/t = (∫ q² ds / V²)⁻¹,  q = V S/I,  S/t = h s/2 in the flanges, h b/4 + (h²/4 − z²)/2 in the webs
func shearArea(h, b float64) float64 {
	inertia := h * h * (h/6 + b/2)
	flange := 4 * h * h / 4 * b * b * b / 24
	a := h*b/4 + h*h/8
	web := 2 * (a*a*h - a*h*h*h/12 + h*h*h*h*h/320)
	return inertia * inertia / (flange + web)
}

// model sets up the folded plate and the foot; a doubler bends by itself or as one
// with the face.
func (j HollowJoint) model(oneWithFace bool, strips int) *footing {
	b, h, t, d := j.Width-j.Wall, j.Depth-j.Wall, j.Wall, j.Doubler
	wall := plate{membrane: t, bending: j.bending(t)}
	plated := wall
	plated.bending += j.bending(d.Thickness)
	if oneWithFace {
		plated.bending = j.bending(t + d.Thickness)
	}
	c := newChain(j.Material, h)
	c.to(b/2, -h/2, strips, wall)
	bottom := c.last()
	c.to(b/2, h/2, 2*strips, wall)
	c.corner = c.last()
	// From the corner inward: to the doubler's edge, to the foot's, to the middle.
	edge, rim := min(d.Width/2, b/2), min(j.BranchWidth/2, b/2)
	if d.Thickness == 0 {
		edge = rim
	}
	at := b / 2
	for _, part := range []struct {
		to float64
		p  plate
	}{{edge, wall}, {rim, plated}, {0, plated}} {
		if part.to < at-1e-6*b {
			c.to(part.to, h/2, strips, part.p)
			at = part.to
		}
	}
	c.shear = 5. / 6 * j.Material.shear() * t
	f := &footing{length: j.length(), bodies: 1 + len(j.Plates)}
	foot := j.foot() / 2
	seat := min(j.BranchWall, foot) / 4
	first := c.corner
	for first < c.last() && c.y[first] > rim*(1+1e-9) {
		first++
	}
	for line := first; line <= c.last(); line++ {
		f.cells = append(f.cells, cell{line: line, x: foot - seat, half: seat})
	}
	side := (foot - 2*seat) / float64(2*strips)
	for i := range strips {
		f.cells = append(f.cells, cell{line: first, x: side * float64(2*i+1), half: side})
	}
	smallest := seat
	for i, p := range j.Plates {
		smallest = min(smallest, p.Thickness/2)
		f.innerPlate(&c, i+1, p, bottom)
	}
	f.chain = c
	f.finest = finestShare / smallest
	return f
}

// innerPlate adds the edges of an inner plate: at the face, as columns of half
// the plate's depth, and at the corners.
func (f *footing) innerPlate(c *chain, body int, p InnerPlate, bottom int) {
	at, half := math.Abs(p.At), p.Thickness/2
	if at < half {
		at = 0
	}
	depth := c.z[c.corner]
	for line := c.corner; line <= c.last(); line++ {
		own := cell{body: body, line: line, x: at, half: half}
		left, right := c.y[max(line-1, c.corner)], c.y[min(line+1, c.last())]
		own.compliance = depth / (c.material.E * p.Thickness * (left - right) / 2)
		f.cells = append(f.cells, own)
	}
	f.cells = append(f.cells, cell{body: body, line: bottom, x: at, half: half, compliance: 1 / (c.material.E * p.Thickness)})
}

// bending returns a plate's bending stiffness.
//
//	D = E t³/(12 (1 − ν²))
func (j HollowJoint) bending(t float64) float64 {
	return j.Material.E * t * t * t / (12 * (1 - square(j.Material.Poisson)))
}
