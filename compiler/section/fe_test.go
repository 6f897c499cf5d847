package section

import (
	"math"
	"strings"
	"testing"

	"ironbed/compiler/verify"
)

// The sections below were solved with two-dimensional finite elements: T6
// triangles with exact arcs on three nested meshes, extrapolated; the estimated
// errors are below 5e-6. EA, EI and ρI are integrals and must agree to rounding
// of the mesh. GJ, GAy and GAz come from formulas or bounds here; their
// tolerances state how far the formulas are off, and the doc comments say so.
const feSource = "two-dimensional finite elements, T6 mesh extrapolated, case "

var (
	feSteel    = IsotropicMaterial(210e9, 0.3, 7850)
	feConcrete = IsotropicMaterial(33e9, 0.2, 2400)
	ipe200     = RolledI{Height: 0.200, Width: 0.100, WebThickness: 0.0056, FlangeThickness: 0.0085, RootRadius: 0.012}
	upe160     = Channel{Height: 0.160, Width: 0.070, WebThickness: 0.0055, FlangeThickness: 0.0095, RootRadius: 0.012}
)

// twoChannels are two UPE 160 toe to toe.
func twoChannels() BuiltUp {
	return BuiltUp{Parts: []Part{{Shape: upe160, Y: -0.070}, {Shape: upe160, Y: 0.070, Angle: math.Pi}}}
}

// feCase is a finite-element result. The three allowances are the known errors
// of our torsion and shear models; zero leaves a quantity unchecked.
type feCase struct {
	id, title                        string
	ea, eiy, eiz, eiyz, gj, gay, gaz float64
	mass, rhoIy, rhoIz, yc, ym       float64
	gjTol, gayTol, gazTol            float64
	bound                            bool // our GJ must not be above theirs
}

func (c feCase) check(t *testing.T, s Stiffness) {
	t.Helper()
	one := func(quantity, unit string, want, tolerance, got float64, why ...string) {
		t.Helper()
		verify.Check(t, verify.Case{ID: c.id + " " + quantity, Quantity: c.title + ": " + quantity, Unit: unit,
			Source: feSource + c.id, Want: want, RelTol: tolerance, AbsTol: absolute(want), Why: strings.Join(why, "")}, got)
	}
	gjWhy, shear := "", shearWhy
	switch {
	case c.gjTol > 0.002:
		gjWhy = "ours is the formula of the standard's tables, which is fitted"
	case c.gayTol > 0.02:
		shear = "ours leaves out that steel and fill strain sideways by different amounts"
	}
	one("EA", "N", c.ea, 1e-6, s.EA)
	one("EIy", "N·m2", c.eiy, 1e-6, s.EIy)
	one("EIz", "N·m2", c.eiz, 1e-6, s.EIz)
	one("EIyz", "N·m2", c.eiyz, 1e-6, s.EIyz)
	one("mass per length", "kg/m", c.mass, 1e-6, s.MassPerLength)
	one("rotary inertia y", "kg·m", c.rhoIy, 1e-6, s.RotaryInertiaY)
	one("rotary inertia z", "kg·m", c.rhoIz, 1e-6, s.RotaryInertiaZ)
	one("elastic centroid y", "m", c.yc, 1e-6, s.CentroidY)
	one("centre of mass y", "m", c.ym, 1e-6, s.MassCentreY)
	one("GJ", "N·m2", c.gj, c.gjTol, s.GJ, gjWhy)
	if c.gayTol != 0 {
		one("GAy", "N", c.gay, c.gayTol, s.GAy, shear)
	}
	if c.gazTol != 0 {
		one("GAz", "N", c.gaz, c.gazTol, s.GAz, shear)
	}
	if c.bound && (s.GJ > c.gj || !s.TorsionLowerBound) {
		t.Errorf("%s: GJ %.6g is not a marked lower bound of %.6g", c.id, s.GJ, c.gj)
	}
}

// absolute allows the rounding noise of a value that is zero by symmetry.
func absolute(want float64) float64 {
	if want == 0 {
		return 1e-9
	}
	return 0
}

func TestFiniteElementsPlain(t *testing.T) {
	feCase{id: "S03", title: "flat bar 10 x 100", ea: 209999999.9999998, eiy: 174999.99999999983, eiz: 1749.999999999998,
		gj: 2522.6252163513595, gjTol: 1e-6, mass: 7.85, rhoIy: 0.006541666666666661, rhoIz: 6.54166666666666e-05,
		gaz: 0.8333326162445575 * 80769230.7692307, gazTol: 1e-5,
	}.check(t, plain(t, Bar{Width: 0.010, Height: 0.100}, feSteel))

	feCase{id: "S04", title: "IPE 200", ea: 598166238.1535628, eiy: 4080653.3272603145, eiz: 298973.4872991491,
		gj: 5529.622683838923, gjTol: 0.011, mass: 22.360023664311747, rhoIy: 0.1525387077094927, rhoIz: 0.011175913691896763,
		gay: 0.5539964805196916 * 230063937.75137025, gayTol: 0.01,
		gaz: 0.38487989860933125 * 230063937.75137025, gazTol: 0.01,
	}.check(t, plain(t, ipe200, feSteel))
	verify.Check(t, verify.Case{ID: "S04 EIw", Quantity: "IPE 200: EIw", Unit: "N·m4", Source: feSource + "S04",
		Want: 2676.694549629463, RelTol: 0.025, Why: "ours is that of two flanges, without the fillets and the web"}, feSteel.E*properties(t, ipe200, 0.3).Iw)

	angle := plain(t, Angle{Height: 0.100, Width: 0.100, Thickness: 0.010, RootRadius: 0.012, ToeRadius: 0.006}, feSteel)
	feCase{id: "S15", title: "L 100x100x10", ea: 402244779.7757254, eiy: 371020.3769140478, eiz: 371020.37691404787,
		eiyz: -217708.9261725577, gj: 5508.8931107885555, gjTol: 0.002, mass: 15.036292958283072,
		rhoIy: 0.013869095041787027, rhoIz: 0.013869095041787021, yc: 0.028224545531318156, ym: 0.028224545531318153,
		gay: 0.4416886728695232 * 154709530.68297136, gayTol: 0.01,
		gaz: 0.4416886730302242 * 154709530.68297136, gazTol: 0.01,
	}.check(t, angle)
	ei1, ei2, turn := angle.Principal()
	for _, q := range []struct {
		quantity, unit string
		want, got      float64
	}{{"EI max", "N·m2", 588729.3030866056, ei1}, {"EI min", "N·m2", 153311.45074149012, ei2},
		{"principal angle", "deg", 45.00000000000001, turn * 180 / math.Pi}} {
		verify.Check(t, verify.Case{ID: "S15 " + q.quantity, Quantity: "L 100x100x10: " + q.quantity, Unit: q.unit,
			Source: feSource + "S15", Want: q.want, RelTol: 1e-6}, q.got)
	}
}

// TestFiniteElementsCastBed: an outline with fillets, holes and re-entrant corners
// that no shape of the catalogue has.
func TestFiniteElementsCastBed(t *testing.T) {
	bed := Drawn{Pieces: []Piece{{Outer: Loop{Corners: []Corner{{-0.16, 0, 0}, {-0.05, 0, 0}, {-0.05, 0.016, 0}, {-0.054, 0.016, 0},
		{-0.054, 0.178, 0.008}, {0.054, 0.178, 0.008}, {0.054, 0.016, 0}, {0.05, 0.016, 0}, {0.05, 0, 0},
		{0.16, 0, 0}, {0.16, 0.2, 0}, {0.155, 0.2, 0}, {0.155, 0.218, 0}, {0.095, 0.218, 0}, {0.095, 0.2, 0.008},
		{-0.095, 0.2, 0.008}, {-0.095, 0.218, 0}, {-0.155, 0.218, 0}, {-0.155, 0.2, 0}, {-0.16, 0.2, 0}}}}}}
	for _, side := range []float64{-0.106, 0.106} {
		bed.Pieces[0].Holes = append(bed.Pieces[0].Holes, Loop{Corners: []Corner{{side - 0.040, 0.016, 0.008}, {side + 0.040, 0.016, 0.008},
			{side + 0.040, 0.178, 0.008}, {side - 0.040, 0.178, 0.008}}})
	}
	n, err := Solve(bed, IsotropicMaterial(110e9, 0.26, 7200))
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range []struct {
		quantity, unit string
		want, tol, got float64
	}{{"EA", "N", 2343969562.9436655, 1e-6, n.EA}, {"centroid z", "m", 0.12428327802315497, 1e-6, n.CentroidZ},
		{"EIy", "N·m2", 13057677.751094365, 1e-6, n.EIy}, {"EIz", "N·m2", 28472367.89018273, 1e-6, n.EIz}, {"GJ", "N·m2", 3091859.444407611, 1e-3, n.GJ},
		{"GAy", "N", 0.2776667290801681 * 930146651.9617721, 1e-3, n.GAy}, {"GAz", "N", 0.4649207721153052 * 930146651.9617721, 1e-3, n.GAz},
		{"EIw", "N·m4", 206379.3046204039, 1e-3, n.EIw}, {"shear centre z", "m", 0.23160788154633144, 1e-4, n.ShearCentreZ}} {
		verify.Check(t, verify.Case{ID: "S14 " + q.quantity, Quantity: "ribbed cast bed: " + q.quantity, Unit: q.unit,
			Source: feSource + "S14", Want: q.want, RelTol: q.tol}, q.got)
	}
}

func TestFiniteElementsBuiltUp(t *testing.T) {
	box := twoChannels() // the welds make one cell
	feCase{id: "S11", title: "two UPE 160 welded to a box", ea: 910268238.1412716, eiy: 3826454.829533793, eiz: 2485579.9029335277,
		gj: 1713829.7361263032, gjTol: 0.001, mass: 34.026693663852306, rhoIy: 0.14303652577066797, rhoIz: 0.09291334399061042,
		gay: 0.49465534592763505 * 350103168.51587373, gayTol: 0.001,
		gaz: 0.36923953824595424 * 350103168.51587373, gazTol: 0.001,
	}.check(t, plain(t, box, feSteel))

	loose := twoChannels()
	loose.Unconnected = true
	s := plain(t, loose, feSteel)
	for _, q := range []struct {
		quantity, unit       string
		want, tolerance, got float64
	}{{"EA", "N", 910268238.1535621, 1e-6, s.EA}, {"EIy", "N·m2", 3826454.829592131, 1e-6, s.EIy},
		{"EIz, independent", "N·m2", 448663.9263260014, 1e-6, s.EIz},
		{"EIz, plane sections kept", "N·m2", 2485579.902982102, 1e-6, plain(t, twoChannels(), feSteel).EIz},
		{"GJ, independent", "N·m2", 8393.135705944016, 0.005, s.GJ}} {
		verify.Check(t, verify.Case{ID: "S18 " + q.quantity, Quantity: "two UPE 160 unwelded: " + q.quantity, Unit: q.unit,
			Source: feSource + "S18", Want: q.want, RelTol: q.tolerance}, q.got)
	}
}

func TestFiniteElementsFilled(t *testing.T) {
	for _, c := range []struct {
		fe    feCase
		shape Shape
		fill  Material
		where FillPlace
	}{
		{feCase{id: "S08", title: "RHS 150x100x6 filled, C40", ea: 1004249728.3678298, eiy: 2422425.1074037794, eiz: 1205130.543129113,
			gj: 1083204.4316949965, gjTol: 0.001, mass: 50.76327586638372, rhoIy: 0.11143725573226357, rhoIz: 0.053542804164085134,
			gay: 0.6656336618926079 * 399838305.9990436, gayTol: 0.03,
			gaz: 0.7588627252484139 * 399838305.9990436, gazTol: 0.03},
			HollowRectangle{Height: 0.150, Width: 0.100, Wall: 0.006, OuterRadius: 0.012, InnerRadius: 0.006},
			IsotropicMaterial(35e9, 0.2, 2400), FillHollow},
		{feCase{id: "S09", title: "IPE 200, both pockets filled", ea: 1164168686.188835, eiy: 5639407.802341609, eiz: 801991.9392930042,
			gj: 783885.5564254547, gjTol: 0.001, mass: 63.52383807756579, rhoIy: 0.26590266962012293, rhoIz: 0.04775907383698795,
			gay: 0.7349472195300665 * 465898291.10909265, gayTol: 0.03,
			gaz: 0.7023719282495137 * 465898291.10909265, gazTol: 0.03},
			ipe200, feConcrete, FillBothPockets},
		{feCase{id: "S10", title: "IPE 200, +y pocket filled", ea: 881167462.2505323, eiy: 4860030.565443307, eiz: 486410.120320929,
			gj: 229917.4569076117, gjTol: 0.001, mass: 42.941930873209486, rhoIy: 0.20922068868319377, rhoIz: 0.02251334803706516,
			yc: 0.00852720932088479, ym: 0.012725683256553781,
			gay: 0.5440183191453833 * 347981114.4601143, gayTol: 0.03,
			gaz: 0.5933916757961997 * 347981114.4601143, gazTol: 0.03},
			ipe200, feConcrete, FillPocketPlusY},
		{feCase{id: "S16", title: "CHS 168.3x6 filled", ea: 1275621525.2000172, eiy: 3085021.713343772, eiz: 3085021.713343771,
			gj: 2435065.5742936735, gjTol: 0.001, mass: 70.06425174970508, rhoIy: 0.14949254320945082, rhoIz: 0.14949254320945082,
			gay: 0.7588192929388584 * 510917641.44635624, gayTol: 0.03,
			gaz: 0.7588192929454658 * 510917641.44635624, gazTol: 0.03},
			HollowRound{Diameter: 0.1683, Wall: 0.006}, feConcrete, FillHollow},
		{feCase{id: "S17", title: "UPE 160 filled", ea: 753213043.1998556, eiy: 2401057.3923665183, eiz: 368498.879563431,
			gj: 365434.0185220616, gjTol: 0.001, mass: 38.69181404202944, rhoIy: 0.10699680671411027, rhoIz: 0.018040316261236602,
			yc: 0.028733324292021443, ym: 0.031243709281241726,
			gay: 0.6567129698870072 * 299251135.97908473, gayTol: 0.03,
			gaz: 0.6636696714476337 * 299251135.97908473, gazTol: 0.03},
			upe160, feConcrete, FillPocketPlusY},
	} {
		bonded, loose, err := Composite(c.shape, feSteel, c.fill, c.where)
		if err != nil {
			t.Fatal(err)
		}
		c.fe.check(t, bonded)
		steel, err := Solve(c.shape, feSteel)
		if err != nil {
			t.Fatal(err)
		}
		if loose.EIy != steel.EIy || loose.GJ != steel.GJ || loose.MassPerLength != bonded.MassPerLength {
			t.Errorf("%s: a loose fill must add its mass and nothing else", c.fe.id)
		}
	}
}
