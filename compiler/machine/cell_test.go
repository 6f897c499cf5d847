package machine_test

import (
	"math"
	"strings"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/compiler/verify"
	"ironbed/spec"
)

// keel is two members of parts that close in hollows: channels toe to toe, and an I with side plates of
// which one cell is filled. Without fillets, so that sums over rectangles are exact.
const keel = `machine.#Machine & {
	name: "keel"
	materials: steel: {modulus: "210 GPa", density: "7850 kg/m3", expansion: "12 µm/m/K"}
	sections: {
		channel: channel: {height: "200 mm", width: "80 mm", web: "8 mm", flange: "10 mm"}
		beam: i: {height: "200 mm", width: "100 mm", web: "6 mm", flange: "10 mm"}
		plate: bar: {height: "200 mm", width: "10 mm"}
		side: built_up: {
			parts: {
				left: {section: "channel", y_edge: "high"}
				right: {section: "channel", y_edge: "low", turned: "180 deg"}
			}
			// JOINED
		}
		boxed: built_up: parts: {
			i: section: "beam"
			left: {section: "plate", y: "-50 mm", y_edge: "high"}
			right: {section: "plate", y: "50 mm", y_edge: "low"}
		}
	}
	mixes: grout: {modulus: "30 GPa", density: "2300 kg/m3", strength: "30 MPa", shrinkage: 0.0001, expansion: "8 µm/m/K"}
	fills: {
		core: {mix: "grout", bond: "bonded", creep: 2}
		one: {mix: "grout", bond: "bonded", creep: 2, hollows: ["2"]}
	}
	bodies: bed: {
		nodes: {a: ["0 mm", "0 mm", "0 mm"], b: ["3000 mm", "0 mm", "0 mm"], c: ["3000 mm", "1500 mm", "0 mm"]}
		members: {
			long: {from: "a", to: "b", section: "side", fill: "core"}
			cross: {from: "b", to: "c", section: "boxed", fill: "one"}
		}
		supports: a: ["x", "y", "z", "rx", "ry", "rz"]
	}
}`

// keelOf is a model of the keel with some of its words replaced.
func keelOf(t *testing.T, replace ...string) *machine.Model {
	t.Helper()
	d, err := machine.New(sample.Written(t, strings.NewReplacer(replace...).Replace(keel)), spec.At(spec.Middle))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestFillBetweenParts holds mass, shrinkage and heat of fills in hollows between parts against sums by hand.
// Source: derived here, two bars that bend alike, with Ghali and Favre 1994 for the age-adjusted modulus and EN 1994-1-1, 6.7.4.2
// (from memory) for the length of the transfer; Timoshenko 1925 for bonded layers that are warmed.
func TestFillBetweenParts(t *testing.T) {
	const es, ef, strain = 210e9, 30e9, 100e-6
	slow := ef / (1 + 0.8*2)
	d := keelOf(t)
	heats, err := d.MemberHeats(10)
	if err != nil {
		t.Fatal(err)
	}
	check := func(what, unit string, want, got float64) {
		t.Helper()
		verify.Check(t, verify.Case{ID: "keel " + what, Quantity: "fill between parts: " + what, Unit: unit,
			Source: "sums over rectangles by hand; Ghali and Favre 1994; EN 1994-1-1, 6.7.4.2 (from memory)", Want: want, RelTol: 1e-6}, got)
	}

	// Channels toe to toe: 160 × 200 outside, 144 × 180 inside.
	long := &d.Bars[d.ByName["bed.long"]]
	steel, core := 0.160*0.200-0.144*0.180, 0.144*0.180
	mass, err := d.FillMass(long)
	if err != nil {
		t.Fatal(err)
	}
	// Out to the far side of the I, the axis of which goes through the centroid of its steel and its one filled cell.
	iSteel, iCore := 0.120*0.200-2*0.047*0.180, 0.047*0.180
	off := ef * iCore * (0.003 + 0.047/2) / (es*iSteel + ef*iCore)
	check("mass of the fill, channels", "kg", 2300*core*(3+0.060+off), mass)
	check("EIy, channels", "N·m2", es*(0.160*math.Pow(0.2, 3)-0.144*math.Pow(0.18, 3))/12+ef*0.144*math.Pow(0.18, 3)/12, long.Whole.EIy)
	s, ok := machine.Shrink(d.Read, long)
	if !ok {
		t.Fatal("shrinkage of the long member is not known")
	}
	force := strain / (1/(es*steel) + 1/(slow*core))
	check("tension by shrinkage, channels", "Pa", force/core, s.Out.Stress)
	check("end shear, channels", "Pa", force/(2*(0.144+0.180)*2*0.144), s.Shear)
	check("gap at the wall, channels", "m", strain*0.180/2, s.Gap)
	check("bond strength, channels", "Pa", 0.40e6, s.BondStrength)
	if s.Bow != 0 {
		t.Errorf("a fill in the middle bows its member by %g m", s.Bow)
	}
	w := heats[d.ByName["bed.long"]]
	check("outside, channels", "m", 2*(0.160+0.200), w.Edge)
	check("expansion, channels", "1/K", (es*steel*12e-6+ef*core*8e-6)/(es*steel+ef*core), w.Expansion)
	if w.Slope != [2]float64{} {
		t.Errorf("a fill in the middle bends its member as it is warmed: %v", w.Slope)
	}

	// The I with plates: 120 × 200 outside, two cells of 47 × 180, the one at +y filled.
	cross := &d.Bars[d.ByName["bed.cross"]]
	steel, core = 0.120*0.200-2*0.047*0.180, 0.047*0.180
	const arm = 0.003 + 0.047/2
	cells := 2 * (0.180*math.Pow(0.047, 3)/12 + core*arm*arm)
	is, iF := 0.200*math.Pow(0.120, 3)/12-cells, 0.180*math.Pow(0.047, 3)/12
	if mass, err = d.FillMass(cross); err != nil {
		t.Fatal(err)
	}
	check("mass of the fill, one cell", "kg", 2300*core*(1.5-0.080), mass) // from the side of the channels
	if s, ok = machine.Shrink(d.Read, cross); !ok {
		t.Fatal("shrinkage of the cross member is not known")
	}
	bend := es*is + slow*iF
	force = strain / (1/(es*steel) + 1/(slow*core) + arm*arm/bend)
	check("bow by shrinkage, one cell", "m", force*arm/bend*1.5*1.5/8, s.Bow)
	check("end shear, one cell", "Pa", force/(2*(0.047+0.180)*2*0.047), s.Shear)
	w = heats[d.ByName["bed.cross"]]
	ea, ei := 1/(1/(es*steel)+1/(ef*core)), es*is+ef*iF
	check("bending as it is warmed, one cell", "1/(m·K)", (8e-6-12e-6)*arm/(ei/ea+arm*arm), w.Slope[0])
}

// TestLooseFillBetweenStitches: a loose fill between stitched parts adds its mass, by hand, and leaves the stiffness as it was.
func TestLooseFillBetweenStitches(t *testing.T) {
	const stitched = `joined: "stitched"
		stitch: {weld: "50 mm", pitch: "200 mm", throat: "4 mm"}`
	filled := keelOf(t, "// JOINED", stitched, `core: {mix: "grout", bond: "bonded"`, `core: {mix: "grout", bond: "loose"`)
	empty := keelOf(t, "// JOINED", stitched, `section: "side", fill: "core"`, `section: "side"`)
	a, b := filled.Bars[filled.ByName["bed.long"]], empty.Bars[empty.ByName["bed.long"]]
	if off := a.Whole.MassPerLength - b.Whole.MassPerLength - 2300*0.144*0.180; math.Abs(off) > 1e-9 {
		t.Errorf("the fill weighs %g kg/m more than by hand", off)
	}
	for k, pair := range [][2]float64{{a.Whole.EA, b.Whole.EA}, {a.Whole.EIy, b.Whole.EIy}, {a.Whole.EIz, b.Whole.EIz}, {a.Whole.GJ, b.Whole.GJ}} {
		if math.Abs(pair[0]/pair[1]-1) > 1e-9 {
			t.Errorf("stiffness %d: %g with a loose fill, %g without", k, pair[0], pair[1])
		}
	}
}
