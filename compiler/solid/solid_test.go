package solid_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/section"
	"ironbed/compiler/solid"
)

const (
	inch  = 25.4e-3
	tenth = 0.05e-3 // half of 0.1 mm, to which lengths are wanted [m]
	steel = 7850.0
)

var up = r3.Vec{Z: 1}

// rectangle is the outline of a bar, width along y and height along z.
func rectangle(width, height float64) [][]section.Point {
	return [][]section.Point{{{Y: -width / 2, Z: -height / 2}, {Y: width / 2, Z: -height / 2}, {Y: width / 2, Z: height / 2}, {Y: -width / 2, Z: height / 2}}}
}

// bar is a solid rectangular member between two nodes.
func bar(from, to r3.Vec, width, height float64, nodes [2]int) solid.Member {
	return solid.Member{From: from, To: to, Up: up, Outline: rectangle(width, height), Area: width * height, MassPerLength: steel * width * height,
		Nodes: nodes, On: [2]int{-1, -1}}
}

func cut(t *testing.T, list []solid.Member) *solid.Frame {
	t.Helper()
	f, err := solid.Cuts(list)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within {
		t.Errorf("%s: %.5g, want %.5g", what, got, want)
	}
}

func degrees(v float64) float64 { return v * 180 / math.Pi }

// loop is a closed frame in the plane z = 0 through corners.
func loop(corners []r3.Vec, width, height float64) (list []solid.Member) {
	for i := range corners {
		next := (i + 1) % len(corners)
		list = append(list, bar(corners[i], corners[next], width, height, [2]int{i, next}))
	}
	return list
}

// TestMitredFrame holds a mitred frame to published lengths: a frame about 16 × 20 in of stock 2 in wide takes "two
// sticks of 20" (16+2+2), and two sticks of 24" (20"+2"+2")", mitred at 45°.
// Source: framing4yourself.com, "More on How to Figure the Right Lengths of Moulding to Make a Picture Frame".
func TestMitredFrame(t *testing.T) {
	const width = 2 * inch
	x, y := 16*inch+width, 20*inch+width // between the middles of the stock
	list := loop([]r3.Vec{{}, {X: x}, {X: x, Y: y}, {Y: y}}, width, 1*inch)
	f := cut(t, list)
	volume := 0.0
	for i, s := range f.Solids {
		near(t, "length", s.Length, []float64{20 * inch, 24 * inch}[i%2], tenth)
		for _, e := range s.Ends {
			if e.Cut != solid.InMitre {
				t.Errorf("member %d: cut %d, want a mitre", i, e.Cut)
			}
			near(t, "angle", degrees(e.Angle), 45, 0.01)
		}
		volume += s.Volume
	}
	// Nothing is counted twice: the ring of the outside less the inside.
	near(t, "volume", volume, (20*24-16*20)*inch*inch*inch, 1e-12)
}

// TestStockForAFrame: "for a 3-inch wide moulding on a 10×10 frame, you actually need 64 inches of material".
// Source: calculator.city, "Frame Moulding Calculator".
func TestStockForAFrame(t *testing.T) {
	a := 13 * inch
	sum := 0.0
	for _, s := range cut(t, loop([]r3.Vec{{}, {X: a}, {X: a, Y: a}, {Y: a}}, 3*inch, inch)).Solids {
		sum += s.Length
	}
	near(t, "stock", sum, 64*inch, tenth)
}

// TestHexagon: the mitre of a regular frame of n sides is half of its outer angle, 180°/n; 30° for six.
// Source: plane geometry.
func TestHexagon(t *testing.T) {
	var corners []r3.Vec
	for k := range 6 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 3)
		corners = append(corners, r3.Vec{X: 0.5 * cos, Y: 0.5 * sin})
	}
	for _, s := range cut(t, loop(corners, 0.06, 0.04)).Solids {
		near(t, "angle", degrees(s.Ends[0].Angle), 30, 1e-6)
		near(t, "length", s.Length, 0.5+2*0.03*math.Tan(math.Pi/6), tenth)
	}
}

// TestGateBrace holds a brace between two rails to the published relations
//
//	bL = √(rL² + dBR² − bW²),  mA = 90° − atan(dBR/rL) − asin(bW/√(rL² + dBR²))
//
// with bW the brace's width, rL the length of the rails between the stiles, dBR the distance between the rails; bL is the length between the
// outermost points, mA the angle off square.
// Source: tp69.blog, "Mitre Angles For Gate Braces" (2022).
func TestGateBrace(t *testing.T) {
	const rail, between, width, depth = 1.1, 0.9, 0.095, 0.045
	length := math.Sqrt(rail*rail + between*between - width*width)
	angle := 90 - degrees(math.Atan(between/rail)) - degrees(math.Asin(width/math.Hypot(rail, between)))
	// The brace's slope is 90° − mA; its axis crosses the rails' axes half a rail beyond their faces.
	slope := (90 - angle) * math.Pi / 180
	run := (between + depth) / math.Tan(slope)
	mid := r3.Vec{X: 0.5 * rail, Y: 0.5 * between}
	low, high := r3.Vec{X: mid.X - run/2, Y: -depth / 2}, r3.Vec{X: mid.X + run/2, Y: between + depth/2}
	list := []solid.Member{
		bar(r3.Vec{X: -0.2, Y: low.Y}, low, depth, 0.045, [2]int{0, 1}), // each rail in two pieces, with the brace's node between
		bar(low, r3.Vec{X: 1.3, Y: low.Y}, depth, 0.045, [2]int{1, 2}),
		bar(r3.Vec{X: -0.2, Y: high.Y}, high, depth, 0.045, [2]int{3, 4}),
		bar(high, r3.Vec{X: 1.3, Y: high.Y}, depth, 0.045, [2]int{4, 5}),
		bar(low, high, width, 0.045, [2]int{1, 4}),
	}
	f := cut(t, list)
	brace := f.Solids[4]
	near(t, "length of the brace", brace.Length, length, tenth)
	for _, e := range brace.Ends {
		near(t, "angle off square", degrees(e.Angle), angle, 0.01)
	}
	if len(f.Bars) != 3 {
		t.Errorf("%d bars, want two rails and a brace", len(f.Bars))
	}
	near(t, "a rail of two pieces", f.Bars[0].Length, 1.5, tenth)
}

// TestLadder cuts a ladder by hand: sides 200 × 100 over 2400 between the middles of the first and the last rung, 1100
// apart; rungs 150 × 100. The sides run past the end rungs by 50 each way, the rungs stop at the sides' inner faces.
func TestLadder(t *testing.T) {
	var list []solid.Member
	at := func(i, side int) (r3.Vec, int) {
		return r3.Vec{X: 1.2 * float64(i), Y: 1.1*float64(side) - 0.55}, 2*i + side
	}
	for side := range 2 {
		for i := range 2 {
			a, na := at(i, side)
			b, nb := at(i+1, side)
			m := bar(a, b, 0.1, 0.2, [2]int{na, nb})
			m.Stock = 1
			list = append(list, m)
		}
	}
	for i := range 3 {
		a, na := at(i, 0)
		b, nb := at(i, 1)
		list = append(list, bar(a, b, 0.1, 0.15, [2]int{na, nb}))
	}
	f := cut(t, list)
	if len(f.Bars) != 5 {
		t.Fatalf("%d bars, want 5", len(f.Bars))
	}
	near(t, "side", f.Bars[0].Length, 2.5, tenth)
	near(t, "piece of a side", f.Solids[0].Length, 1.25, tenth)
	near(t, "rung", f.Bars[2].Length, 1.0, tenth)
	near(t, "rung in the middle", f.Bars[3].Length, 1.0, tenth)
	near(t, "mass of a rung", f.Bars[2].Mass, steel*0.1*0.15*1.0, 1e-9)
}

// TestWords: each word does what it says, or says why not.
func TestWords(t *testing.T) {
	corner := func(a, b solid.Trim) []solid.Member {
		list := []solid.Member{
			bar(r3.Vec{}, r3.Vec{X: 1}, 0.1, 0.1, [2]int{0, 1}),
			bar(r3.Vec{}, r3.Vec{Y: 1}, 0.1, 0.1, [2]int{0, 2}),
		}
		list[0].Trim[0], list[1].Trim[0] = a, b
		return list
	}
	for _, c := range []struct {
		a, b     solid.Trim
		one, two float64
		unmet    solid.Unmet
	}{
		{solid.ByRule, solid.ByRule, 1.05, 1.05, solid.Met},
		{solid.Through, solid.ByRule, 1.05, 0.95, solid.Met},
		{solid.Butt, solid.ByRule, 0.95, 1.05, solid.Met},
		{solid.ByRule, solid.AsDrawn, 1, 1, solid.Met},
		{solid.Through, solid.Through, 1.05, 0.95, solid.Outranked},
		{solid.Mitre, solid.Through, 0.95, 1.05, solid.NoPartner},
	} {
		f := cut(t, corner(c.a, c.b))
		near(t, "first", f.Solids[0].Length, c.one, tenth)
		near(t, "second", f.Solids[1].Length, c.two, tenth)
		got := max(f.Solids[0].Ends[0].Unmet, f.Solids[1].Ends[0].Unmet)
		if got != c.unmet {
			t.Errorf("%v, %v: unmet %v, want %v", c.a, c.b, got, c.unmet)
		}
	}
	// A mitre that misses: one is wider than the other.
	list := corner(solid.Mitre, solid.Mitre)
	list[1].Outline = rectangle(0.06, 0.1)
	if f := cut(t, list); f.Solids[0].Ends[0].Unmet != solid.Unequal {
		t.Errorf("a mitre of unlike sections is not said")
	}
}

// TestWeb: a bar that fits between the flanges of an I runs to its web, one that does not stops at the flanges. IPE 200: 200 × 100, web
// 5.6, flanges 8.5 (EN 10365).
func TestWeb(t *testing.T) {
	regions, err := section.RolledI{Height: 0.2, Width: 0.1, WebThickness: 5.6e-3, FlangeThickness: 8.5e-3, RootRadius: 12e-3}.Outline()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ height, taken float64 }{{0.15, 2.8e-3}, {0.19, 0.05}} {
		list := []solid.Member{
			bar(r3.Vec{X: -1}, r3.Vec{}, 0.1, 0.2, [2]int{1, 0}), bar(r3.Vec{}, r3.Vec{X: 1}, 0.1, 0.2, [2]int{0, 2}),
			bar(r3.Vec{}, r3.Vec{Y: 1}, 0.08, c.height, [2]int{0, 3}),
		}
		list[0].Outline = [][]section.Point{regions[0].Outer}
		list[1].Outline = list[0].Outline
		list[2].MassPerLength = 1
		near(t, "taken off", cut(t, list).Solids[2].Ends[0].Taken, c.taken, tenth)
	}
}

// TestBodyOfASolid: the corners of a mitred bar's body are where the faces meet, by hand.
func TestBodyOfASolid(t *testing.T) {
	list := loop([]r3.Vec{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}}, 0.1, 0.06)
	f := cut(t, list)
	body, ok := f.Solids[0].Body(&list[0])
	if !ok {
		t.Fatal("no body")
	}
	low, high := body.Bounds()
	near(t, "low x", low.X, -0.05, 1e-9)
	near(t, "high x", high.X, 1.05, 1e-9)
	near(t, "low y", low.Y, -0.05, 1e-9)
	near(t, "high z", high.Z, 0.03, 1e-9)
	// Its neighbour touches it in the mitre and does not overlap it.
	other, _ := f.Solids[1].Body(&list[1])
	near(t, "overlap with its neighbour", solid.Overlap(body, other, nil), 0, 1e-9)
}

// tube is a round member between two nodes.
func tube(from, to r3.Vec, diameter float64, nodes [2]int) solid.Member {
	m := bar(from, to, diameter, diameter, nodes)
	const corners = 720
	var loop []section.Point
	for k := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / corners)
		loop = append(loop, section.Point{Y: diameter / 2 * cos, Z: diameter / 2 * sin})
	}
	m.Outline = [][]section.Point{loop}
	m.Up = r3.Vec{Y: 1} // square to all of them
	return m
}

// TestSaddle holds tubes on tubes to published saddles: one of 2 in on one of 6 in has a long point 3.00 in and a short point 2.83 in from the
// axis of the larger one and a saddle 0.172 in deep; one of 4.5 in on one of 6.625 in a saddle of 0.882 in, one of 2.375 in a saddle of 0.22017 in, from
// 3.3125 to 3.0923 in.
// Source: machinecalcs.com, "Pipe Saddle Cut Calculator", worked example and default result; calcady.com, "Pipe Saddle Cuts", step-by-step example, with
// a root rounded to three digits.
func TestSaddle(t *testing.T) {
	for _, c := range []struct{ header, branch, long, short, depth, within float64 }{
		{6, 2, 3.00, 2.83, 0.172, 0.0005}, {6.625, 4.5, 3.3125, 2.431, 0.882, 0.001}, {6.625, 2.375, 3.3125, 3.0923, 0.22017, 0.000005},
	} {
		list := []solid.Member{
			tube(r3.Vec{X: -1}, r3.Vec{}, c.header*inch, [2]int{0, 1}), tube(r3.Vec{}, r3.Vec{X: 1}, c.header*inch, [2]int{1, 2}),
			tube(r3.Vec{}, r3.Vec{Z: 1}, c.branch*inch, [2]int{1, 3}),
		}
		f := cut(t, list)
		e := f.Solids[2].Ends[0]
		if e.Cut != solid.Back {
			t.Fatalf("cut %d", e.Cut)
		}
		near(t, "depth, in", e.Notch/inch, c.depth, c.within)
		near(t, "short point, in", e.Taken/inch, c.short, 0.005) // the ears reach farthest toward the axis
		near(t, "long point, in", (e.Taken+e.Notch)/inch, c.long, 0.005)
		near(t, "length", f.Solids[2].Length, 1-e.Taken, 1e-9)
		// It rises and falls twice: no shorter than straight lines, and no longer than steps.
		rise := 4 * e.Notch / (math.Pi * c.branch * inch)
		if seam := f.Seam(list, 2, 0); seam < math.Hypot(1, rise) || seam > 1+rise {
			t.Errorf("the seam is %g of the girth", seam)
		}
	}
	// At 45°, by w(θ) = (√(R² − r² sin²θ) − r cos θ cos β)/sin β: a tube of 60 on one of 100 runs from (50 - 21.2)/0.7071 to (50 + 21.2)/0.7071.
	slant := r3.Vec{X: math.Sqrt2 / 2, Z: math.Sqrt2 / 2}
	list := []solid.Member{
		tube(r3.Vec{X: -1}, r3.Vec{}, 0.1, [2]int{0, 1}), tube(r3.Vec{}, r3.Vec{X: 1}, 0.1, [2]int{1, 2}), tube(r3.Vec{}, slant, 0.06, [2]int{1, 3}),
	}
	e := cut(t, list).Solids[2].Ends[0]
	near(t, "outermost point", e.Taken, (0.05-0.03*math.Sqrt2/2)*math.Sqrt2, 1e-6)
	near(t, "deepest point", e.Taken+e.Notch, (0.05+0.03*math.Sqrt2/2)*math.Sqrt2, 1e-6)
	near(t, "lean", degrees(e.Angle), 45, 1e-6)
	// A tube that is wider than the one that it stands on has no saddle.
	list[2] = tube(r3.Vec{}, r3.Vec{Z: 1}, 0.12, [2]int{1, 3})
	if f := cut(t, list); f.Solids[2].Ends[0].Notch != 0 {
		t.Error("a tube wider than the one that it stands on is coped")
	}
}

// TestSeams: a weld runs round what stands on a face, by hand. A bar of 100 × 60 square on a wider face: all of its girth; leaning by 30° over
// its height of 60: 2·100 + 2·60/cos 30°; in a mitre of 45° 2·60 + 2·100·√2; 20 mm wider than the face: without its sides, 2·80 of 320.
func TestSeams(t *testing.T) {
	on := func(face float64) []solid.Member {
		return []solid.Member{bar(r3.Vec{X: -1}, r3.Vec{}, face, 0.2, [2]int{0, 1}), bar(r3.Vec{}, r3.Vec{X: 1}, face, 0.2, [2]int{1, 2})}
	}
	square := append(on(0.2), bar(r3.Vec{}, r3.Vec{Y: 1}, 0.1, 0.06, [2]int{1, 3}))
	near(t, "square", cut(t, square).Seam(square, 2, 0), 1, 1e-9)
	lean := append(on(0.2), bar(r3.Vec{}, r3.Vec{Y: math.Cos(math.Pi / 6), X: math.Sin(math.Pi / 6)}, 0.06, 0.1, [2]int{1, 3}))
	near(t, "leaning", cut(t, lean).Seam(lean, 2, 0), (2*0.1+2*0.06/math.Cos(math.Pi/6))/0.32, 1e-9)
	corner := []solid.Member{bar(r3.Vec{}, r3.Vec{X: 1}, 0.1, 0.06, [2]int{0, 1}), bar(r3.Vec{}, r3.Vec{Y: 1}, 0.1, 0.06, [2]int{0, 2})}
	near(t, "mitre", cut(t, corner).Seam(corner, 0, 0), (2*0.06+2*0.1*math.Sqrt2)/0.32, 1e-9)
	narrow := append(on(0.2), bar(r3.Vec{}, r3.Vec{Y: 1}, 0.08, 0.24, [2]int{1, 3}))
	near(t, "wider than the face", cut(t, narrow).Seam(narrow, 2, 0), 2*0.2/0.64, 0.02)
	near(t, "what runs through", cut(t, square).Seam(square, 0, 1), 0, 0)
}

// TestPairs: two braces at 45° from one node on a chord 100 high, by hand: their axes meet the face at ±50, and each covers 80·√2 of it: 2·50 − 113.1 mm are
// between them, so that they overlap by 13.1; with braces of 60 there is a gap of 15.1.
func TestPairs(t *testing.T) {
	for width, gap := range map[float64]float64{0.08: 0.1 - 0.08*math.Sqrt2, 0.06: 0.1 - 0.06*math.Sqrt2} {
		list := []solid.Member{
			bar(r3.Vec{X: -1}, r3.Vec{}, 0.1, 0.1, [2]int{0, 1}), bar(r3.Vec{}, r3.Vec{X: 1}, 0.1, 0.1, [2]int{1, 2}),
			bar(r3.Vec{}, r3.Vec{X: 1, Y: 1}, width, 0.05, [2]int{1, 3}), bar(r3.Vec{}, r3.Vec{X: -1, Y: 1}, width, 0.05, [2]int{1, 4}),
		}
		f := cut(t, list)
		pairs := f.Pairs(list)
		if len(pairs) != 1 || !pairs[0].Touches {
			t.Fatalf("%+v", pairs)
		}
		near(t, "gap", pairs[0].Gap, gap, 1e-9)
	}
}
