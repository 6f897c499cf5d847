package machine

import (
	"fmt"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/joint"
	"ironbed/spec"
)

// arm is an arm of hollow section that stands on another, with room for what is
// tried.
const arm = `machine.#Machine & {
	name: "arm"
	sections: {
		base: hollow: {height: "120 mm", width: "120 mm", wall: "5 mm"}
		post: hollow: {height: "60 mm", width: "60 mm", wall: "4 mm"}
		profile: i: {height: "160 mm", width: "100 mm", web: "6 mm", flange: "9 mm"}
		plate: bar: {height: "10 mm", width: "150 mm"}
		web: bar: {height: "120 mm", width: "10 mm"}
	}
	bodies: a: {
		nodes: {
			left: ["-500 mm", "0 mm", "0 mm"]
			foot: ["0 mm", "0 mm", "0 mm"]
			right: ["500 mm", "0 mm", "0 mm"]
			tip: ["0 mm", "0 mm", "560 mm"]
			end: ["1500 mm", "0 mm", "0 mm"]
		}
		members: {
			chord_1: {from: "left", to: "foot", section: "base"}
			chord_2: {from: "foot", to: "right", section: "base"}
			post: {from: "foot", to: "tip", section: "post", from_offset: ["0 mm", "0 mm", "60 mm"]}
			beam: {from: "right", to: "end"}
		}
		supports: {left: ["x", "y", "z", "rx", "ry", "rz"], right: ["x", "y", "z", "rx", "ry", "rz"]}
	}
	%s
}`

// give is how far a node of the arm moves under 1 kN.
func give(t *testing.T, more, node string, way int) float64 {
	t.Helper()
	if !strings.Contains(more, "beam:") {
		more += "\nbodies: a: members: beam: section: \"base\""
	}
	d, err := New(sample.Written(t, fmt.Sprintf(arm, more)), spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	posed, err := d.At(d.Middle())
	if err != nil {
		t.Fatal(err)
	}
	system, err := posed.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	at := frame.Point{Node: d.Node[node], Arm: r3.Vec{}}
	var f [6]float64
	f[way] = 1000
	s, err := system.Solve(frame.Load{Forces: []frame.Force{{At: at, F: f}}})
	if err != nil {
		t.Fatal(err)
	}
	return s.Displacement(0, at)[way]
}

// TestJointsInOrder: each way of holding a branch gives less than the one before, and what is not said is a bare face.
func TestJointsInOrder(t *testing.T) {
	last := 0.0
	for i, more := range []string{
		`bodies: a: members: post: from_trim: "as drawn"`, // rigid at the axis
		`bodies: a: members: post: from_end: on_face: {member: "chord_1", doubler: thickness: "20 mm"}`,
		`bodies: a: members: post: from_end: on_face: {member: "chord_1", doubler: thickness: "8 mm"}`,
		`bodies: a: members: post: from_end: on_face: {member: "chord_1"}`,
	} {
		u := give(t, more, "a.tip", 0)
		if u <= last {
			t.Errorf("way %d gives %g, the stiffer one before it %g", i, u, last)
		}
		last = u
	}
	bare := give(t, `bodies: a: members: post: from_end: on_face: {member: "chord_1"}`, "a.tip", 0)
	near(t, "an end of which nothing is said", give(t, ``, "a.tip", 0), bare, 1e-9)
	filled := give(t, `bodies: a: members: post: from_end: on_face: {member: "chord_1"}
		fills: core: {mix: "concrete C30/37", bond: "bonded"}
		bodies: a: members: {chord_1: fill: "core", chord_2: fill: "core"}`, "a.tip", 0)
	if filled > 0.8*bare {
		t.Errorf("a filled chord gives %g, an empty one %g", filled, bare)
	}
}

// TestBondInOrder: bonded, keyed closer and wider, loose; welded, stitched closer and
// wider, laid together.
func TestBondInOrder(t *testing.T) {
	fill := func(bond string) string {
		return `fills: side: {mix: "concrete C30/37", place: "left pocket", bond: ` + bond + `}
		bodies: a: members: beam: {section: "profile", fill: "side"}`
	}
	stitch := func(joined string) string {
		return `sections: girder: built_up: {parts: {low: {section: "plate", z: "-65 mm"}, mid: section: "web"}, joined: ` + joined + `}
		bodies: a: members: beam: section: "girder"`
	}
	for name, list := range map[string][]string{
		"fill": {fill(`"bonded"`), fill(`"keyed", shear_keys: {diameter: "16 mm", pitch: "100 mm", rows: 2}`), fill(`"keyed", shear_keys: {diameter: "10 mm", pitch: "500 mm"}`), fill(`"loose"`)},
		"weld": {stitch(`"welded"`), stitch(`"stitched", stitch: {weld: "50 mm", pitch: "100 mm", throat: "4 mm"}`), stitch(`"stitched", stitch: {weld: "20 mm", pitch: "400 mm", throat: "3 mm"}`), stitch(`"loose"`)},
	} {
		way := 2 // up: across the seam of the girder
		if name == "fill" {
			way = 1 // sideways: towards the pocket
		}
		last := 0.0
		for i, more := range list {
			u := give(t, more, "a.end", way)
			if u <= last {
				t.Errorf("%s, way %d gives %g, the stiffer one before it %g", name, i, u, last)
			}
			last = u
		}
	}
}

// TestResinSeat: a seat of resin is softer than steel, a thick one more so, and a rail
// on none is as before.
func TestResinSeat(t *testing.T) {
	seat := func(more string) float64 {
		m := sample.Written(t, `machine.#Machine & {name: "rail", bodies: {}, rails: r: {radial: "300 N/µm", lateral: "240 N/µm", mounting_factor: "0.6"`+more+`}}`)
		radial, _, err := CarriageStiffness(spec.Reader{}, m.Rails.Find("r"))
		if err != nil {
			t.Fatal(err)
		}
		return radial
	}
	steel, thin, thick := seat(""), seat(`, resin: {thickness: "2 mm", width: "23 mm"}`), seat(`, resin: {thickness: "15 mm", width: "23 mm"}`)
	near(t, "on steel", steel, 180e6, 1e-12)
	if !(thin < steel && thick < thin && thick > 0.2*steel) {
		t.Errorf("steel %g, thin resin %g, thick resin %g", steel, thin, thick)
	}
}

// TestResinNeverStiffens: a layer of resin in series makes no rail stiffer than the same rail without it, at the middle
// of every value, and what a machined face takes lies within the bounds of what bolts and steel leave. Source: Back 1973,
// the form of the law of the face, and the constants from memory; two springs in series, by hand.
func TestResinNeverStiffens(t *testing.T) {
	stiffness := func(more string) (radial, lateral float64) {
		m := sample.Written(t, `machine.#Machine & {name: "rail", bodies: {}, rails: r: {radial: "220 N/µm", lateral: "175 N/µm"`+more+`}}`)
		radial, lateral, err := CarriageStiffness(spec.At(spec.Middle), m.Rails.Find("r"))
		if err != nil {
			t.Fatal(err)
		}
		return radial, lateral
	}
	for _, surface := range []string{"rolled", "extruded", "milled", "ground", "squeezed", "poured"} {
		bare, bareSide := stiffness(fmt.Sprintf(`, surface: %q`, surface))
		before, beforeSide := bare, bareSide
		for _, thick := range []string{"1 mm", "3 mm", "10 mm", "30 mm"} {
			with, side := stiffness(fmt.Sprintf(`, surface: %q, resin: {thickness: %q, width: "20 mm"}`, surface, thick))
			if with >= before || side >= beforeSide {
				t.Errorf("%s, %s of resin: %.3g and %.3g N/m, less of it %.3g and %.3g N/m", surface, thick, with, side, before, beforeSide)
			}
			before, beforeSide = with, side
		}
	}
	// Four M5 of 5 kN over 150 × 20 mm.
	const area = 0.15 * 0.02
	p := 4 * 5e3 / area
	normal, _, err := joint.ContactStiffness(joint.Milled, joint.Bounds{Low: p, Middle: p, High: p})
	if err != nil {
		t.Fatal(err)
	}
	if face := 1 / (1 + 220e6/(normal.Low*area)); face < 0.8 {
		t.Errorf("a milled face leaves %.2f of a carriage's stiffness", face)
	}
}
