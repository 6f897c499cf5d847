package section

import (
	"errors"
	"math"
	"testing"

	"ironbed/compiler/verify"
)

// boxed is an I with plates of its height welded on its flange tips: two cells.
func boxed(plate float64) BuiltUp {
	b := BuiltUp{Parts: []Part{{Name: "i", Shape: ipe200}}}
	for _, side := range []float64{-1, 1} {
		b.Parts = append(b.Parts, Part{Name: "plate", Shape: Bar{Width: plate, Height: ipe200.Height}, Y: side * (ipe200.Width + plate) / 2})
	}
	return b
}

// outlineOf150 is the RHS 150 x 100 x 6 of case S08 as an outline with a hole.
func outlineOf150() Drawn {
	box := func(name string, w, h, r float64) Loop {
		return Loop{Name: name, Corners: []Corner{{-w / 2, -h / 2, r}, {w / 2, -h / 2, r}, {w / 2, h / 2, r}, {-w / 2, h / 2, r}}}
	}
	return Drawn{Pieces: []Piece{{Name: "tube", Outer: box("", 0.100, 0.150, 0.012), Holes: []Loop{box("core", 0.088, 0.138, 0.006)}}}}
}

// halves are the same tube as two pieces that meet in the middle of the long walls: a cell between parts.
func halves() BuiltUp {
	half := Drawn{Pieces: []Piece{{Outer: Loop{Corners: []Corner{{-0.05, 0, 0}, {-0.05, -0.075, 0.012}, {0.05, -0.075, 0.012}, {0.05, 0, 0},
		{0.044, 0, 0}, {0.044, -0.069, 0.006}, {-0.044, -0.069, 0.006}, {-0.044, 0, 0}}}}}}
	return BuiltUp{Parts: []Part{{Shape: half}, {Shape: half, Angle: math.Pi}}}
}

// TestFilledCellsAreTheTube: the tube of case S08 said as an outline with a hole, and as two halves welded
// together, filled: what independent finite elements give for the filled tube.
func TestFilledCellsAreTheTube(t *testing.T) {
	for _, c := range []struct {
		name  string
		shape Shape
		only  []string
	}{{"as an outline", outlineOf150(), []string{"tube.core"}}, {"of two halves", halves(), nil}} {
		bonded, _, err := Composite(c.shape, feSteel, IsotropicMaterial(35e9, 0.2, 2400), FillHollow, c.only...)
		if err != nil {
			t.Fatal(c.name, err)
		}
		feCase{id: "S08 " + c.name, title: "RHS 150x100x6 filled, C40, " + c.name, ea: 1004249728.3678298, eiy: 2422425.1074037794, eiz: 1205130.543129113,
			gj: 1083204.4316949965, gjTol: 0.001, mass: 50.76327586638372, rhoIy: 0.11143725573226357, rhoIz: 0.053542804164085134,
			gay: 0.6656336618926079 * 399838305.9990436, gayTol: 0.03,
			gaz: 0.7588627252484139 * 399838305.9990436, gazTol: 0.03}.check(t, bonded)
	}
}

// core is the inside of a cell by hand: a rectangle without the spandrels that fillets of radius r leave in its four
// corners. Each has the area (1 - π/4) r², its centroid r (10 - 3π)/(12 - 3π) from both sides, and the second moment
// ∫(r - x)² (r - √(r² - x²)) dx = (1 - 5π/16) r⁴ about a side.
func core(width, height, r float64) (area, iy, iz float64) {
	spandrel, corner := (1-math.Pi/4)*r*r, (1-5*math.Pi/16)*r*r*r*r
	to := r * (10 - 3*math.Pi) / (12 - 3*math.Pi) // centroid from a side
	second := func(half float64) float64 {
		own := corner - spandrel*to*to
		return own + spandrel*(half-to)*(half-to)
	}
	return width*height - 4*spandrel, width*height*height*height/12 - 4*second(height/2), height*width*width*width/12 - 4*second(width/2)
}

// TestChannelsToeToeFilled: two UPE 160 toe to toe, filled: the welded box of case S11 by independent finite elements
// and, by hand, the rectangle between the walls without its fillets.
func TestChannelsToeToeFilled(t *testing.T) {
	bonded, loose, err := Composite(twoChannels(), feSteel, feConcrete, FillHollow)
	if err != nil {
		t.Fatal(err)
	}
	area, iy, iz := core(2*(0.070-0.0055), 0.160-2*0.0095, 0.012)
	for _, q := range []struct {
		quantity, unit string
		want, got      float64
	}{
		{"EA", "N", 910268238.1412716 + feConcrete.E*area, bonded.EA},
		{"EIy", "N·m2", 3826454.829533793 + feConcrete.E*iy, bonded.EIy},
		{"EIz", "N·m2", 2485579.9029335277 + feConcrete.E*iz, bonded.EIz},
		{"mass per length", "kg/m", 34.026693663852306 + feConcrete.Density*area, bonded.MassPerLength},
		{"EIz, loose", "N·m2", 2485579.9029335277, loose.EIz},
		{"mass per length, loose", "kg/m", 34.026693663852306 + feConcrete.Density*area, loose.MassPerLength},
	} {
		verify.Check(t, verify.Case{ID: "S11 filled " + q.quantity, Quantity: "two UPE 160 welded to a box, filled: " + q.quantity, Unit: q.unit,
			Source: feSource + "S11, and a rectangle less its fillets by hand", Want: q.want, RelTol: 1e-6}, q.got)
	}
	// St Venant's torsion lies above the box and the core side by side, whose stress functions together are one of the whole.
	if least := loose.GJ + 0.97*feConcrete.G*RectangleTorsion(0.129, 0.141); bonded.GJ < least {
		t.Errorf("GJ %.5g, at least %.5g", bonded.GJ, least)
	}
}

// TestFilledWithSteelIsSolid: a box of channels, and the two cells of an I with side plates, filled with what they are
// made of, are solid rectangles.
func TestFilledWithSteelIsSolid(t *testing.T) {
	for _, c := range []struct {
		name          string
		shape         Shape
		width, height float64
	}{{"two UPE 160", twoChannels(), 0.140, 0.160}, {"IPE 200 with plates 10", boxed(0.010), 0.120, 0.200}} {
		whole, _, err := SolveFilled(c.shape, feSteel, feSteel, FillHollow)
		if err != nil {
			t.Fatal(c.name, err)
		}
		b, h := c.width, c.height
		for _, q := range []struct {
			quantity, unit, source string
			want, tol, got         float64
		}{
			{"EA", "N", "Timoshenko Goodier, art. 102", feSteel.E * b * h, 1e-9, whole.EA},
			{"EIy", "N·m2", "Timoshenko Goodier, art. 102", feSteel.E * b * h * h * h / 12, 1e-9, whole.EIy},
			{"EIz", "N·m2", "Timoshenko Goodier, art. 102", feSteel.E * h * b * b * b / 12, 1e-9, whole.EIz},
			{"GJ", "N·m2", "Timoshenko Goodier, art. 109", feSteel.G * RectangleTorsion(b, h), 1e-3, whole.GJ},
			{"GAz", "N", "Pilkey 2002, example 6.5: 5/6 along the long side, at 2 : 1; at 1.1 : 1 within 3 %", 5.0 / 6 * feSteel.G * b * h, 0.03, whole.GAz},
		} {
			verify.Check(t, verify.Case{ID: "solid " + c.name + " " + q.quantity, Quantity: c.name + " filled with steel: " + q.quantity,
				Unit: q.unit, Source: q.source, Want: q.want, RelTol: q.tol}, q.got)
		}
		if s := math.Hypot(whole.ShearCentreY, whole.ShearCentreZ); s > 1e-4*h {
			t.Errorf("%s: shear centre %.3g m from the middle", c.name, s)
		}
	}
}

// TestOneCellFilled: in one of the two cells of an I with side plates, a fill moves centroid, mass and shear centre to
// its side; in the other it mirrors. By hand, sums over the plates' and the fill's rectangles; of the I, case S04.
func TestOneCellFilled(t *testing.T) {
	shape := boxed(0.010)
	list, err := Hollows(shape)
	if err != nil || len(list) != 2 {
		t.Fatal(list, err)
	}
	width, high := (ipe200.Width-ipe200.WebThickness)/2, ipe200.Height-2*ipe200.FlangeThickness
	fillets := 2 * (1 - math.Pi/4) * ipe200.RootRadius * ipe200.RootRadius
	area := width*high - fillets
	if math.Abs(list[0].Area-area) > 1e-9*area || list[0].Name != "" || !(list[0].CentroidY < 0 && list[1].CentroidY > 0) {
		t.Errorf("hollows %+v, area by hand %g", list, area)
	}
	left, _, err := SolveFilled(shape, feSteel, feConcrete, FillHollow, "1")
	if err != nil {
		t.Fatal(err)
	}
	right, empty, err := SolveFilled(shape, feSteel, feConcrete, FillHollow, "2")
	if err != nil {
		t.Fatal(err)
	}
	steel := 598166238.1535628 + 2*feSteel.E*0.010*0.200
	verify.Check(t, verify.Case{ID: "one cell EA", Quantity: "IPE 200 with plates, one cell filled: EA", Unit: "N",
		Source: feSource + "S04, and rectangles by hand", Want: steel + feConcrete.E*area, RelTol: 1e-6}, right.EA)
	// The fillets' centroid lies at 0.2234 r from the web.
	arm := (width*high*(ipe200.WebThickness+width)/2 - fillets*(ipe200.WebThickness/2+ipe200.RootRadius*(10-3*math.Pi)/(12-3*math.Pi))) / area
	verify.Check(t, verify.Case{ID: "one cell centroid", Quantity: "IPE 200 with plates, one cell filled: elastic centroid y", Unit: "m",
		Source: "rectangles by hand", Want: feConcrete.E * area * arm / (steel + feConcrete.E*area), RelTol: 1e-6}, right.CentroidY)
	if math.Abs(left.CentroidY+right.CentroidY) > 1e-9 || math.Abs(left.ShearCentreY+right.ShearCentreY) > 1e-4 || math.Abs(left.EIy/right.EIy-1) > 1e-9 {
		t.Errorf("one cell or the other: centroid %g and %g, shear centre %g and %g", left.CentroidY, right.CentroidY, left.ShearCentreY, right.ShearCentreY)
	}
	if !(right.ShearCentreY > 0) || !(right.GJ > empty.GJ) {
		t.Errorf("a fill at +y leaves the shear centre at %g m and GJ %g beside %g", right.ShearCentreY, right.GJ, empty.GJ)
	}
}

// TestHollowsFound: what is closed in, by whom, and in which order.
func TestHollowsFound(t *testing.T) {
	tube := HollowRectangle{Width: 0.06, Height: 0.10, Wall: 0.005, OuterRadius: 0.010, InnerRadius: 0.005}
	wide := HollowRectangle{Width: 0.16, Height: 0.20, Wall: 0.008}
	inner := 0.05*0.09 - (4-math.Pi)*0.005*0.005
	for _, c := range []struct {
		name  string
		shape Shape
		names []string
		areas []float64
	}{
		{"tube", tube, []string{""}, []float64{inner}},
		{"pipe", HollowRound{Diameter: 0.1, Wall: 0.005}, []string{""}, []float64{math.Pi / 4 * 0.09 * 0.09}},
		{"I", ipe200, nil, nil},
		{"channels back to back", BuiltUp{Parts: []Part{{Shape: upe160}, {Shape: upe160, Angle: math.Pi}}}, nil, nil},
		{"channels with a gap", BuiltUp{Parts: []Part{{Shape: upe160, Y: -0.0701}, {Shape: upe160, Y: 0.070, Angle: math.Pi}}}, nil, nil},
		{"two tubes and the gap between them, closed by plates", BuiltUp{Parts: []Part{{Name: "far", Shape: tube, Y: 0.1}, {Name: "near", Shape: tube, Y: -0.1},
			{Shape: Bar{Width: 0.26, Height: 0.01}, Z: 0.055}, {Shape: Bar{Width: 0.26, Height: 0.01}, Z: -0.055}}},
			[]string{"near", "", "far"}, []float64{inner, 0.14*0.1 + (4-math.Pi)*0.01*0.01, inner}},
		{"one over the other", BuiltUp{Parts: []Part{{Name: "top", Shape: tube, Z: 0.05}, {Name: "low", Shape: tube, Z: -0.05}}},
			[]string{"low", "top"}, []float64{inner, inner}},
		{"a tube loose in another", BuiltUp{Unconnected: true, Parts: []Part{{Name: "out", Shape: wide}, {Name: "in", Shape: tube}}},
			[]string{"out", "in"}, []float64{0.144*0.184 - 0.06*0.10 + (4-math.Pi)*0.010*0.010, inner}},
	} {
		list, err := Hollows(c.shape)
		if err != nil || len(list) != len(c.names) {
			t.Errorf("%s: %d hollows, want %d; %v", c.name, len(list), len(c.names), err)
			continue
		}
		for i, h := range list {
			if h.Name != c.names[i] || math.Abs(h.Area/c.areas[i]-1) > 1e-9 {
				t.Errorf("%s: hollow %d is %q of %g m2, by hand %q of %g m2", c.name, i+1, h.Name, h.Area, c.names[i], c.areas[i])
			}
		}
	}
}

// TestTurnedHollows: a turned and moved section has the same hollows and the same stiffness.
func TestTurnedHollows(t *testing.T) {
	plain, err := Hollows(boxed(0.010))
	if err != nil {
		t.Fatal(err)
	}
	b := boxed(0.010)
	const angle = 0.3
	for i, p := range b.Parts {
		b.Parts[i].Angle, b.Parts[i].Y, b.Parts[i].Z = angle, p.Y*math.Cos(angle)+0.5, p.Y*math.Sin(angle)-0.2
	}
	turned, err := Hollows(b)
	if err != nil || len(turned) != len(plain) {
		t.Fatal(turned, err)
	}
	for i, h := range turned {
		y, z := plain[i].CentroidY*math.Cos(angle)+0.5, plain[i].CentroidY*math.Sin(angle)-0.2
		if math.Abs(h.Area/plain[i].Area-1) > 1e-9 || math.Hypot(h.CentroidY-y, h.CentroidZ-z) > 1e-9 {
			t.Errorf("hollow %d turned: %+v", i+1, h)
		}
	}
}

// TestWhatCannotBeFilled: an open section, a hollow that is not there, a pocket of a box.
func TestWhatCannotBeFilled(t *testing.T) {
	back := BuiltUp{Parts: []Part{{Shape: upe160}, {Shape: upe160, Angle: math.Pi}}}
	var place *FillError
	if _, _, err := Composite(back, feSteel, feConcrete, FillHollow); !errors.As(err, &place) {
		t.Errorf("channels back to back: %v", err)
	}
	if _, _, err := Composite(twoChannels(), feSteel, feConcrete, FillBothPockets); !errors.As(err, &place) {
		t.Errorf("pockets of a box: %v", err)
	}
	if _, _, err := Composite(upe160, feSteel, feConcrete, FillBothPockets); !errors.As(err, &place) {
		t.Errorf("both pockets of a channel: %v", err)
	}
	var hollow *HollowError
	if _, _, err := Composite(boxed(0.010), feSteel, feConcrete, FillHollow, "1", "3"); !errors.As(err, &hollow) || hollow.Name != "3" || len(hollow.Have) != 2 {
		t.Errorf("the third of two hollows: %v", err)
	}
}

// TestEnvelope: round a box of channels runs its outside alone, and its inside is not in the way. By hand.
func TestEnvelope(t *testing.T) {
	loops, err := Envelope(twoChannels())
	if err != nil || len(loops) != 1 {
		t.Fatal(loops, err)
	}
	length := 0.0
	for i, p := range loops[0] {
		q := loops[0][(i+1)%len(loops[0])]
		length += math.Hypot(q.Y-p.Y, q.Z-p.Z)
	}
	if math.Abs(length-2*(0.140+0.160)) > 1e-12 {
		t.Errorf("round the box %g m, by hand 0.6 m", length)
	}
}

// TestBox: the box round a turned shape, by hand.
func TestBox(t *testing.T) {
	for _, c := range []struct {
		shape     Shape
		angle     float64
		low, high Point
	}{
		{upe160, math.Pi, Point{-0.070, -0.080}, Point{0, 0.080}},
		{upe160, math.Pi / 2, Point{-0.080, 0}, Point{0.080, 0.070}},
		{RoundBar{Diameter: 0.04}, 0.3, Point{-0.02, -0.02}, Point{0.02, 0.02}},
		{Bar{Width: 0.2, Height: 0.1}, math.Pi / 4, Point{-0.15 / math.Sqrt2, -0.15 / math.Sqrt2}, Point{0.15 / math.Sqrt2, 0.15 / math.Sqrt2}},
	} {
		low, high, err := Box(c.shape, c.angle)
		if err != nil || math.Hypot(low.Y-c.low.Y, low.Z-c.low.Z) > 1e-12 || math.Hypot(high.Y-c.high.Y, high.Z-c.high.Z) > 1e-12 {
			t.Errorf("%T turned %g: %v %v, by hand %v %v; %v", c.shape, c.angle, low, high, c.low, c.high, err)
		}
	}
}
