package machine

import (
	"fmt"
	"math"
	"math/rand"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/guide"
	"ironbed/compiler/internal/sample"
	"ironbed/spec"
)

func solvedAt(t testing.TB, m *spec.Machine, p func(*Model) Pose) (*Model, *Solved) {
	t.Helper()
	d, err := New(m, spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := d.Solve(p(d))
	if err != nil {
		t.Fatal(err)
	}
	return d, s
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s: got %.9g, want %.9g", what, got, want)
	}
}

// TestSharesAddUp: each part's share is not negative, and they add up to the
// compliance at the tip in every direction.
func TestSharesAddUp(t *testing.T) {
	for _, name := range sample.Names {
		d, s := solvedAt(t, sample.Example(t, name), (*Model).Middle)
		_, cutter := d.Reference()
		whole, _, err := d.TipCompliance(s, cutter)
		if err != nil {
			t.Fatal(err)
		}
		list, total, err := d.TipShares(s, cutter)
		if err != nil {
			t.Fatal(err)
		}
		for i := range 3 {
			near(t, name+" sum of shares", total[i][i], whole[i][i], 1e-9)
			for _, part := range list {
				if part.Compliance[i][i] < -1e-12*whole[i][i] {
					t.Errorf("%s: %s has a negative share", name, part.Name)
				}
				if part.Torsion[i][i] > part.Compliance[i][i]*(1+1e-9)+1e-18 {
					t.Errorf("%s: %s has more compliance by torsion than in all", name, part.Name)
				}
			}
		}
	}
}

// TestReciprocity: the compliance between nose and work is symmetric (Maxwell).
func TestReciprocity(t *testing.T) {
	for _, name := range sample.Names {
		_, s := solvedAt(t, sample.Example(t, name), (*Model).Middle)
		for i := range 6 {
			for j := range i {
				scale := math.Sqrt(s.Nose[i][i] * s.Nose[j][j])
				if math.Abs(s.Nose[i][j]-s.Nose[j][i]) > 1e-9*scale {
					t.Errorf("%s: C[%d][%d] = %g, C[%d][%d] = %g", name, i, j, s.Nose[i][j], j, i, s.Nose[j][i])
				}
			}
		}
	}
}

// edits writes a field of every part.
func edits[T any](path string, value func(T) string, parts spec.Map[T]) (list []spec.Edit) {
	for _, e := range parts {
		list = append(list, spec.Edit{Path: strings.Replace(path, "*", e.Name, 1), Value: strconv.Quote(value(e.Item))})
	}
	return list
}

// TestShareForetells: to first order, a part that is a little stiffer takes its
// share of that little off the compliance. The frame is solved anew with every
// carriage one per cent stiffer.
func TestShareForetells(t *testing.T) {
	m := sample.Example(t, "slipway-gantry")
	d, s := solvedAt(t, m, (*Model).Middle)
	list, total, err := d.TipShares(s, nil)
	if err != nil {
		t.Fatal(err)
	}
	const more = 0.01
	m = sample.With(t, m, edits("rails.*.mounting_factor", func(rail spec.Rail) string { return rail.MountingFactor.Times(1+more, "") }, m.Rails)...)
	e, again := solvedAt(t, m, (*Model).Middle)
	_, after, err := e.TipShares(again, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 3 {
		carriages := 0.0
		for _, p := range list {
			if p.Kind == CarriagePart {
				carriages += p.Compliance[i][i]
			}
		}
		near(t, "change along "+AxisWords[i], (total[i][i]-after[i][i])/total[i][i], more*carriages/total[i][i], 2*more)
	}
}

// TestTipIsRigidlyCarried: the compliance carried from the nose to a tip equals
// that of a frame with a node at the tip, linked rigidly.
func TestTipIsRigidlyCarried(t *testing.T) {
	m := sample.Example(t, "clockroom-mill")
	d, s := solvedAt(t, m, (*Model).Middle)
	arm := r3.Vec{X: 0.013, Y: -0.021, Z: -0.088}
	got := s.Nose.AtTip(arm)

	posed, err := d.At(d.Middle())
	if err != nil {
		t.Fatal(err)
	}
	nose := d.NosePoint()
	tip := frame.Point{Node: nose.Node, Arm: r3.Add(nose.Arm, arm)}
	system, err := posed.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	// Forces at the tip, and their reactions on the workpiece by the rests' own rule
	// about the tip: the rule about the nose must give the same forces.
	work, err := d.WorkPoints(posed, nose)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 3 {
		var f [6]float64
		f[i] = 1
		force := r3.Vec{X: f[0], Y: f[1], Z: f[2]}
		moment := r3.Cross(arm, force)
		wrench := [6]float64{force.X, force.Y, force.Z, moment.X, moment.Y, moment.Z}
		load := frame.Load{Forces: []frame.Force{{At: tip, F: f}}}
		for _, w := range work {
			load.Forces = append(load.Forces, frame.Force{At: frame.At(w.Node), F: w.Share(wrench, -1)})
		}
		solution, err := system.Solve(load)
		if err != nil {
			t.Fatal(err)
		}
		u := solution.Displacement(0, tip)
		v := [6]float64{}
		for _, w := range work {
			n := solution.Displacement(0, frame.At(w.Node))
			for a := range 6 {
				for b := range 6 {
					v[a] += w.Fit[b][a] * n[b]
				}
			}
		}
		carried := r3.Add(r3.Vec{X: v[0], Y: v[1], Z: v[2]}, r3.Cross(r3.Vec{X: v[3], Y: v[4], Z: v[5]}, arm))
		for k, x := range []float64{u[0] - carried.X, u[1] - carried.Y, u[2] - carried.Z} {
			if math.Abs(x-got[k][i]) > 1e-9*got[i][i] {
				t.Errorf("C[%d][%d]: carried %.12g, solved %.12g", k, i, got[k][i], x)
			}
		}
	}
}

// TestFeetCarryTheWeight: the feet push up with what the machine weighs, and
// their moments balance about the centre of gravity.
func TestFeetCarryTheWeight(t *testing.T) {
	for _, name := range sample.Names {
		d, s := solvedAt(t, sample.Example(t, name), (*Model).Middle)
		var whole Heap
		for _, b := range d.Weigh(s.Pose) {
			whole.Mass += b.Mass
			whole.Moment = r3.Add(whole.Moment, b.Moment)
		}
		sum, x, y := 0.0, 0.0, 0.0
		for i, foot := range d.FootNames {
			if foot == "" {
				continue
			}
			up := s.Solution.SpringForce(GravityCase, i)[2]
			at := s.Posed.Frame.Nodes[d.Fixed[i].A.Node].Position
			sum += up
			x += up * at.X
			y += up * at.Y
		}
		near(t, name+" weight", sum, whole.Mass*-Gravity.Z, 1e-9)
		c := whole.Centre()
		if math.Abs(x/sum-c.X) > 1e-7 || math.Abs(y/sum-c.Y) > 1e-7 {
			t.Errorf("%s: feet balance about %.6f, %.6f, centre of gravity %.6f, %.6f", name, x/sum, y/sum, c.X, c.Y)
		}
	}
}

// TestDrawnAnywhere: where in its travel an axis is drawn changes nothing, if the
// nodes are drawn accordingly.
func TestDrawnAnywhere(t *testing.T) {
	m := sample.Example(t, "slipway-gantry")
	_, s := solvedAt(t, m, (*Model).Middle)
	const by = "123 mm"
	moved := sample.Example(t, "slipway-gantry")
	list := []spec.Edit{{Path: "axes.x.modelled_at", Value: strconv.Quote("(" + moved.Axes.Find("x").ModelledAt.Text + ") + " + by)}}
	for _, name := range moved.CarriedBy("gantry") {
		for _, n := range moved.Bodies.Find(name).Nodes {
			list = append(list, spec.Edit{Path: "bodies." + name + ".nodes." + n.Name,
				Value: fmt.Sprintf("[%q, %q, %q]", "("+n.Item[0].Text+") + "+by, n.Item[1].Text, n.Item[2].Text)})
		}
	}
	moved = sample.With(t, moved, list...)
	_, again := solvedAt(t, moved, (*Model).Middle)
	for i := range 6 {
		near(t, "compliance", again.Nose[i][i], s.Nose[i][i], 1e-9)
	}
}

// TestCarriageLoads holds the carriages' loads of a rigid table against the
// closed formula of the four-carriage table, for forces from anywhere.
func TestCarriageLoads(t *testing.T) {
	d, err := New(sample.Written(t, rigidTable), spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	posed, err := d.At(Pose{0})
	if err != nil {
		t.Fatal(err)
	}
	system, err := posed.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	place := map[string]int{
		"table.far_front":  guide.FrontLeft,
		"table.near_front": guide.FrontRight,
		"table.far_back":   guide.RearLeft,
		"table.near_back":  guide.RearRight,
	}
	random := rand.New(rand.NewSource(7))
	between := func(most float64) float64 { return most * (2*random.Float64() - 1) }
	for range 200 {
		f := r3.Vec{X: between(800), Y: between(800), Z: between(800)}
		// From the node in the middle, which stands 50 mm above the carriages.
		arm := r3.Vec{X: between(0.3), Y: between(0.3), Z: between(0.3)}
		solution, err := system.Solve(
			frame.Load{Forces: []frame.Force{{At: frame.Point{Node: d.Node["table.middle"], Arm: arm}, F: [6]float64{f.X, f.Y, f.Z}}}},
		)
		if err != nil {
			t.Fatal(err)
		}
		// Across positive is to the left of the travel: +Y for a travel along +X.
		want, _, err := guide.Table{
			Spread:      0.3,
			Pitch:       0.2,
			DriveHeight: 0.05,
		}.Loads(
			[]guide.Force{{X: f.X, Y: f.Y, Z: f.Z, Along: arm.X, Across: arm.Y, Height: arm.Z + 0.05}},
		)
		if err != nil {
			t.Fatal(err)
		}
		most := 0.0
		for _, w := range want {
			most = math.Max(most, math.Max(math.Abs(w.Radial), math.Abs(w.Lateral)))
		}
		for _, c := range posed.Carriages {
			force := solution.SpringForce(0, c.Spring)
			w := want[place[c.Node]]
			// The spring's force acts on the rail, the formula's on the carriage.
			if math.Abs(-force[2]-w.Radial) > 0.01*most || math.Abs(math.Abs(force[1])-math.Abs(w.Lateral)) > 0.01*most {
				t.Fatalf(
					"%v at %v, %s: %g N radial and %g N lateral, by the formula %g and %g",
					f,
					arm,
					c.Node,
					-force[2],
					force[1],
					w.Radial,
					w.Lateral,
				)
			}
		}
	}
}

// TestSagOfAnArm: a light arm with a weight at its end, held at the root, sags by
// W L³/3EI + W L/κGA (Timoshenko and Gere). The spindle stands on the arm's end
// and the workpiece on a node that does not move.
func TestSagOfAnArm(t *testing.T) {
	m := sample.Written(t, `machine.#Machine & {
	name: "arm"
	sections: {
		arm: listed: {area: "20 cm2", iy: "400 cm4", iz: "400 cm4", torsion: "600 cm4", shear_y: 0.5, shear_z: 0.5, mass: "0.000001 kg/m"}
	}
	bodies: base: {
		nodes: {
			root: ["0 mm", "0 mm", "1 m"]
			end: ["800 mm", "0 mm", "1 m"]
			table: ["800 mm", "0 mm", "500 mm"]
		}
		members: arm: {from: "root", to: "end", section: "arm"}
		supports: {
			root: ["x", "y", "z", "rx", "ry", "rz"]
			table: ["x", "y", "z", "rx", "ry", "rz"]
		}
	}
	spindle: {
		at: "base.end", nose: ["0 mm", "0 mm", "0 mm"], mass: "25 kg", min_speed: "1000 rpm", max_speed: "2000 rpm"
		torque: [{speed: "1000 rpm", torque: "1 N·m"}, {speed: "2000 rpm", torque: "1 N·m"}]
	}
	workpiece: {on: "base", nodes: ["table"]}
}
`)
	_, s := solvedAt(t, m, (*Model).Middle)
	const e, g = 210e9, 80.77e9
	w := 25 * 9.80665
	want := w*math.Pow(0.8, 3)/(3*e*400e-8) + w*0.8/(0.5*g*20e-4)
	near(t, "sag", -s.Sag.Z, want, 1e-6)
	// And the stiffness at the nose is that of the arm.
	near(t, "compliance along z", s.Nose[2][2], math.Pow(0.8, 3)/(3*e*400e-8)+0.8/(0.5*g*20e-4), 1e-6)
}

// rigidTable is a table on four carriages, all of it far stiffer than the
// carriages.
const rigidTable = `machine.#Machine & {
	name: "table"
	sections: stiff: listed: {area: "9000 cm2", iy: "900000000 cm4", iz: "900000000 cm4", torsion: "900000000 cm4", mass: "0.001 kg/m"}
	bodies: base: {
		nodes: {
			n0: ["0 mm", "-150 mm", "0 mm"]
			n1: ["1 m", "-150 mm", "0 mm"]
			f0: ["0 mm", "150 mm", "0 mm"]
			f1: ["1 m", "150 mm", "0 mm"]
		}
		members: {
			near: {from: "n0", to: "n1", section: "stiff"}
			far: {from: "f0", to: "f1", section: "stiff"}
		}
		supports: {
			n0: ["x", "y", "z", "rx", "ry", "rz"]
			n1: ["x", "y", "z", "rx", "ry", "rz"]
			f0: ["x", "y", "z", "rx", "ry", "rz"]
			f1: ["x", "y", "z", "rx", "ry", "rz"]
		}
	}
	bodies: table: {
		nodes: {
			middle: ["400 mm", "0 mm", "50 mm"]
			near_front: ["500 mm", "-150 mm", "0 mm"]
			near_back: ["300 mm", "-150 mm", "0 mm"]
			far_front: ["500 mm", "150 mm", "0 mm"]
			far_back: ["300 mm", "150 mm", "0 mm"]
		}
		links: {near_front: "middle", near_back: "middle", far_front: "middle", far_back: "middle"}
	}
	rails: r: {radial: "200 N/µm", lateral: "150 N/µm", mounting_factor: 1}
	axes: x: {
		moves: "table", on: "base", direction: "x", travel: "100 mm"
		guides: {
			near: {rail: "r", over: ["base.near"], carriages: ["table.near_front", "table.near_back"]}
			far: {rail: "r", over: ["base.far"], carriages: ["table.far_front", "table.far_back"]}
		}
		drives: s: {screw: {diameter: "20 mm", lead: "5 mm", length: "900 mm", ends: "fixed-supported"}, nut: "table.middle", bearing: "base.n0"}
	}
}
`

// TestSeatErrorLoads: what a seat's error does on a rigid table is the closed
// formula's answer, and less on a frame that yields.
func TestSeatErrorLoads(t *testing.T) {
	d, err := New(sample.Written(t, rigidTable), spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := d.Solve(Pose{0})
	if err != nil {
		t.Fatal(err)
	}
	own := s.Posed.Carriages
	spring := s.Posed.Frame.Springs[own[0].Spring]
	want, err := guide.MountingStiffness{Radial: spring.K[2], Lateral: spring.K[1]}.Loads(guide.MountingError{Height: 1e-5, Parallel: 1e-5})
	if err != nil {
		t.Fatal(err)
	}
	height, err := d.GapLoad(s, own[:1], 2)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "one seat 10 µm too high", height*1e-5, want.Radial, 0.01)
	var rail []Carriage
	for _, c := range own {
		if c.Guide == own[0].Guide {
			rail = append(rail, c)
		}
	}
	parallel, err := d.GapLoad(s, rail, 1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rails 10 µm out of parallel", parallel*1e-5, want.Lateral, 0.01)
}
