package machine_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/solid"
)

// TestCutLengthsByHand cuts slipway-gantry by hand, in millimetres: sides 200 × 100 over 2400, 1100 apart, with cross members 150 × 100; a beam
// 250 × 150 at 960 on uprights 150 × 150 from 680, 1100 apart; a plate from 760 to 1220; a ram from 905 to 1205.
func TestCutLengthsByHand(t *testing.T) {
	bars, err := middleOf(t, sample.Example(t, "slipway-gantry")).CutBars()
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{
		"bed.near_1":         2400 + 2*50,     // past the end cross members by half of their width
		"bed.cross_3_near":   1100 - 2*50,     // between the sides' inner faces
		"gantry.beam":        1100 + 2*75,     // heavier than the uprights: flush with their outer faces
		"gantry.far_upright": 960 - 125 - 680, // up to the beam's lower face
		"saddle.plate_1":     1220 - 760,
		"ram.lower":          1205 - 905,
	}
	cut, whole := 0.0, 0.0
	for _, c := range bars {
		cut += c.Mass
		for _, b := range c.Members {
			whole += b.Whole.MassPerLength * b.Length()
		}
		if v, ok := want[c.Members[0].Name]; ok {
			delete(want, c.Members[0].Name)
			if math.Abs(c.Length*1e3-v) > 0.05 {
				t.Errorf("%s: %.2f mm, by hand %g", c.Members[0].Name, c.Length*1e3, v)
			}
		}
	}
	if len(want) > 0 {
		t.Errorf("not cut: %v", want)
	}
	// By hand from the masses per metre m of sides, cross members, beam and uprights: what the cuts change.
	m := map[string]float64{}
	for _, c := range bars {
		m[c.Members[0].Member.Section.Text] = c.Members[0].Whole.MassPerLength
	}
	change := 2*0.1*m["bed_side"] - 7*0.1*m["bed_cross"] + 0.15*m["beam"] - 2*0.125*m["upright"]
	if math.Abs(cut-whole-change) > 1e-6*whole {
		t.Errorf("cut %g kg, between the nodes %g kg: a change of %g, by hand %g", cut, whole, cut-whole, change)
	}
}

// TestBraceByHand cuts a brace of clockroom-mill by hand: 100 × 100 from a sill 120 high at (640, 120) to an upright 250 deep at (190, 520), which is
// 602.08 long and rises by 400. Up to the sill's top 60·602.08/400 are taken off, at acos(400/602.08) off square, up to the upright's back
// 125·602.08/450, at acos(450/602.08); what is left is as long as its longest edge, 50 mm times both tangents more.
func TestBraceByHand(t *testing.T) {
	bars, err := middleOf(t, sample.Example(t, "clockroom-mill")).CutBars()
	if err != nil {
		t.Fatal(err)
	}
	whole := math.Hypot(450, 400)
	low, high := math.Acos(400/whole), math.Acos(450/whole)
	length := whole - 60*whole/400 - 125*whole/450 + 50*(math.Tan(low)+math.Tan(high))
	for _, c := range bars {
		if c.Members[0].Name != "base.brace_left" {
			continue
		}
		if math.Abs(c.Length*1e3-length) > 0.05 {
			t.Errorf("%.2f mm long, by hand %.2f", c.Length*1e3, length)
		}
		for end, want := range []float64{low, high} {
			if got := c.Ends[end].Angle; math.Abs(got-want) > 1e-4 {
				t.Errorf("end %d is %.3f° off square, by hand %.3f", end, got*180/math.Pi, want*180/math.Pi)
			}
		}
		return
	}
	t.Error("there is no brace")
}

// TestTrimsOfTheSpec: each word of the spec reaches the cuts, and so do the ends that it describes for their stiffness.
func TestTrimsOfTheSpec(t *testing.T) {
	const corner = `machine.#Machine & {
	name: "corner"
	sections: tube: stock: "SHS 100x100x5 cold"
	bodies: bed: {
		nodes: {a: ["0 mm", "0 mm", "0 mm"], b: ["1000 mm", "0 mm", "0 mm"], c: ["0 mm", "1000 mm", "0 mm"]}
		members: {
			one: {from: "a", to: "b", section: "tube" /* ONE */}
			two: {from: "a", to: "c", section: "tube" /* TWO */}
		}
		supports: b: ["x", "y", "z", "rx", "ry", "rz"]
	}
}`
	for _, c := range []struct {
		one, two string
		lengths  [2]float64
		cut      solid.Cut
	}{
		{"", "", [2]float64{1050, 1050}, solid.InMitre},
		{`, from_trim: "through"`, "", [2]float64{1050, 950}, solid.Past},
		{`, from_trim: "butt"`, "", [2]float64{950, 1050}, solid.Back},
		{`, from_trim: "as drawn"`, `, from_trim: "as drawn"`, [2]float64{1000, 1000}, solid.Drawn},
		{`, from_trim: "mitre"`, `, from_trim: "mitre"`, [2]float64{1050, 1050}, solid.InMitre},
		{`, from_end: mitre: {plate: true}`, "", [2]float64{1050, 1050}, solid.InMitre},
		{`, from_end: on_face: member: "two"`, "", [2]float64{950, 1050}, solid.Back},
	} {
		bars, err := middleOf(t, sample.Written(t, strings.NewReplacer("/* ONE */", c.one, "/* TWO */", c.two).Replace(corner))).CutBars()
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range c.lengths {
			if math.Abs(bars[i].Length*1e3-want) > 0.05 {
				t.Errorf("%s%s: bar %d is %.2f mm, by hand %g", c.one, c.two, i, bars[i].Length*1e3, want)
			}
		}
		if bars[0].Ends[0].Cut != c.cut {
			t.Errorf("%s%s: cut %d, want %d", c.one, c.two, bars[0].Ends[0].Cut, c.cut)
		}
	}
}

// TestRoomByHand: slipway-gantry has 950 mm between its uprights, and 160 mm under its saddle's plate over the sides' tops at 600; its tool
// travels 1600 × 700 and comes down by 200.
func TestRoomByHand(t *testing.T) {
	r, err := middleOf(t, sample.Example(t, "slipway-gantry")).Room()
	if err != nil || r == nil {
		t.Fatal(r, err)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"along x", r.Tip[0], 1.6},
		{"along y", r.Tip[1], 0.7},
		{"stroke", r.High - r.Low, 0.2},
		{"tip, down", r.Low, 0.905 - 0.020 - 0.045 - 0.040 - 0.2 - 0.6},
		{"under the plate", r.Under, 0.76 - 0.6},
		{"between the uprights", r.Beside[1].Width, 1.1 - 0.15},
	} {
		if math.Abs(c.got-c.want) > 1e-9 {
			t.Errorf("%s: %g m, by hand %g", c.what, c.got, c.want)
		}
	}
}

// TestAxisAtCentroid: the axis of a member goes through the centroid of its section. Of an angle 100 × 100 × 10 that lies 28.2 mm from the heel
// (EN 10056-1), so that it reaches 28.2 mm to one side and 71.8 mm to the other, and a strut on its flat side is cut back by the first.
func TestAxisAtCentroid(t *testing.T) {
	const frame = `machine.#Machine & {
	name: "angle"
	sections: {
		angle: {stock: "L 100x100x10"}
		strut: bar: {height: "40 mm", width: "40 mm"}
	}
	bodies: bed: {
		nodes: {a: ["-1000 mm", "0 mm", "0 mm"], b: ["0 mm", "0 mm", "0 mm"], c: ["1000 mm", "0 mm", "0 mm"], low: ["0 mm", "0 mm", "-500 mm"]}
		members: {
			one: {from: "a", to: "b", section: "angle"}
			two: {from: "b", to: "c", section: "angle"}
			low: {from: "b", to: "low", section: "strut"}
		}
		supports: a: ["x", "y", "z", "rx", "ry", "rz"]
	}
}`
	d := middleOf(t, sample.Written(t, frame))
	var reach []float64
	for _, way := range []r3.Vec{{Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}} {
		reach = append(reach, d.Bars[0].Reaches(way)*1e3)
	}
	slices.Sort(reach)
	for i, want := range []float64{28.2, 28.2, 71.8, 71.8} {
		if math.Abs(reach[i]-want) > 0.05 {
			t.Errorf("reach %d is %.2f mm, by the table %g", i, reach[i], want)
		}
	}
	bars, err := d.CutBars()
	if err != nil {
		t.Fatal(err)
	}
	below := d.Bars[0].Reaches(r3.Vec{Z: -1})
	if got := bars[1].Length; math.Abs(got-(0.5-below)) > 1e-6 {
		t.Errorf("the strut is %g m long, want %g", got, 0.5-below)
	}
}

// TestRoomOfALevelTool: the heavy spindle of keel-mill lies along -Y, its axis 740 mm high at the lower end of Z over a table up to 390, and its tip
// 290 mm before the front of the ram at -340, 140 mm past the table's edge at -490.
func TestRoomOfALevelTool(t *testing.T) {
	r, err := middleOf(t, whole(t)["keel-mill, heavy"]).Room()
	if err != nil || r == nil || !r.Level || r.Along != 1 || !r.Backward {
		t.Fatalf("%+v, %v", r, err)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"along x", r.Tip[0], 2.5},
		{"axis, lowered", r.Low, 0.740 - 0.390},
		{"axis, raised", r.High, 0.740 - 0.390 + 0.45},
		{"tip, retracted", r.In, 0.63 - 0.49},
		{"tip, out", r.Out, 0.63 - 0.49 + 0.5},
	} {
		if math.Abs(c.got-c.want) > 1e-9 {
			t.Errorf("%s: %g m, by hand %g", c.what, c.got, c.want)
		}
	}
}
