package machine

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/drive"
	"ironbed/compiler/internal/sample"
	"ironbed/spec"
)

// machines are the examples and the machines that the whole program is tested with.
func machines(t *testing.T) map[string]*spec.Machine {
	t.Helper()
	list := map[string]*spec.Machine{}
	for _, name := range sample.Names {
		list[name] = sample.Example(t, name)
	}
	folders, err := filepath.Glob(filepath.Join(sample.Root(), "compiler", "internal", "whole", "testdata", "machines", "*"))
	if err != nil || len(folders) < 4 {
		t.Fatal(folders, err)
	}
	for _, dir := range folders {
		list[filepath.Base(dir)] = sample.Load(t, dir)
	}
	return list
}

// hangs is the weight that the carriages and the drives of an axis hold up, by the forces of their springs [N].
func hangs(d *Model, s *Solved, axis string, carried []string) (up float64) {
	body := map[int]string{}
	for name, n := range d.Node {
		body[n], _, _ = strings.Cut(name, ".")
	}
	add := func(spring int) {
		at := &s.Posed.Frame.Springs[spring]
		force, axes := s.Solution.SpringForce(GravityCase, spring), at.Axes
		if axes == ([3]r3.Vec{}) {
			axes = [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
		}
		sign := -1.0 // F = K (uB − uA) acts on A
		if !slices.Contains(carried, body[at.B.Node]) {
			sign = 1
		}
		for k := range axes {
			up += sign * force[k] * axes[k].Z
		}
	}
	for _, c := range s.Posed.Carriages {
		if c.Axis == axis {
			add(c.Spring)
		}
	}
	for name, spring := range s.Posed.drives {
		if strings.HasPrefix(name, axis+".") {
			add(spring)
		}
	}
	return up
}

// TestMassAddsUp: the mass by kind of part adds up to what the frame weighs on its feet, and
// of the bodies that an axis carries to what it moves and to what hangs on its carriages and drives; every screw, nut and motor is
// among them, and of every member that is filled its fill.
func TestMassAddsUp(t *testing.T) {
	for name, m := range machines(t) {
		d, s := solvedAt(t, m, (*Model).Middle)
		bodies, err := d.Masses()
		if err != nil {
			t.Fatal(name, err)
		}
		whole := 0.0
		moved := make([]float64, len(m.Axes))
		for i, b := range m.Bodies {
			for _, kind := range MassKinds {
				whole += bodies[i][kind]
				for k, a := range m.Axes {
					if slices.Contains(m.CarriedBy(a.Item.Moves.Text), b.Name) {
						moved[k] += bodies[i][kind]
					}
				}
			}
			for kind := range bodies[i] {
				if !slices.Contains(MassKinds[:], kind) {
					t.Errorf("%s: body %s weighs by %q, which is not listed", name, b.Name, kind)
				}
			}
		}
		up := 0.0
		for i, foot := range d.FootNames {
			if foot != "" {
				up += s.Solution.SpringForce(GravityCase, i)[2]
			}
		}
		near(t, name+" mass by part against the load on its feet", whole, up/-Gravity.Z, 1e-9)
		near(t, name+" whole mass", d.Mass(), whole, 1e-12)
		for k, a := range m.Axes {
			near(t, name+" moved by "+a.Name, d.MovedMass(k), moved[k], 1e-12)
			near(t, name+" moved by "+a.Name+" against what hangs on it", hangs(d, s, a.Name, m.CarriedBy(a.Item.Moves.Text))/-Gravity.Z, moved[k], 1e-9)
		}
		for i, b := range m.Bodies {
			fill := 0.0
			for k := range d.Bars {
				if bar := &d.Bars[k]; bar.Member.Fill.Text != "" && strings.HasPrefix(bar.Name, b.Name+".") {
					mass, err := d.FillMass(bar)
					if err != nil || mass <= 0 {
						t.Errorf("%s: the fill of %s weighs %g kg, %v", name, bar.Name, mass, err)
					}
					fill += mass
				}
			}
			near(t, name+" fill of "+b.Name, bodies[i][FillMass], fill, 1e-9)
		}
		for _, a := range m.Axes {
			for k := range a.Item.Drives {
				for _, p := range m.Riding(&a, &a.Item.Drives[k]) {
					rides := string(p.Kind) + " of axis " + a.Name + driveSuffix(&a, a.Item.Drives[k].Name)
					counted := slices.ContainsFunc(d.Parts, func(q part) bool { return q.name == rides })
					coupling := p.Kind == spec.RidingReduction && d.Read.Of(p.Mass) == 0
					if counted == (p.Listed() != "") && !coupling {
						t.Errorf("%s: %s is counted: %v, listed as %q", name, rides, counted, p.Listed())
					}
				}
			}
		}
	}
}

// TestGantryByHand: what the axes of the slipway gantry move, summed by hand from handbook
// values: RHS 200 x 100 x 8 at 33.9 kg/m, SHS 150 x 8 at 33.9, RHS 250 x 150 x 8 at 46.5 (tables to EN 10219-2,
// from memory), plate of 7850 kg/m3, round steel of 20, 25 and 32 mm at 2.47, 3.85 and 6.31 kg/m (EN 10060),
// of which a thread with a root of 0.88 d leaves (1 + 0.88²)/2 = 0.887. The beam reaches over both uprights, which end under it.
func TestGantryByHand(t *testing.T) {
	const thread = 0.887
	d, err := New(sample.Example(t, "slipway-gantry"), spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	ram := 0.300*33.9 + 4*0.35 + 0.3 + 14                                                         // tube, carriages, nut, spindle
	saddle := 0.46*0.34*0.04*7850 + 4*0.6 + 2*0.46*2.2 + 0.58 + 3.5 + thread*2.47*0.36            // plate, carriages, rails, nut, motor, screw
	gantry := 1.25*46.5 + 2*(0.28-0.125)*33.9 + 4*0.6 + 2*1.1*3.0 + 2*1.2 + 2.7 + thread*3.85*1.1 // beam, uprights, carriages, rails, nuts, motor, screw
	onBed := 2*2.7 + 2*thread*6.31*2.3                                                            // motors and screws along x
	near(t, "moved by z", d.MovedMass(2), ram, 0.005)
	near(t, "moved by y", d.MovedMass(1), ram+saddle, 0.005)
	near(t, "moved by x", d.MovedMass(0), ram+saddle+gantry, 0.005)
	rides := 0.0
	for _, p := range d.masses {
		if q := d.Parts[p.Part]; q.body == "bed" && q.weighs != ListedMass {
			rides += p.Mass
		}
	}
	near(t, "drives on the bed", rides, onBed, 0.005)
}

// TestKeelMillByHand: mass and fill of the keel mill's bodies, summed by hand. Channels with their sizes and mass by EN 10365 (tables
// from memory): UPE 200 at 22.8 kg/m, UPE 270 at 35.2, h 270, b 95, web 7.5, flange 13.5, r 14 mm, UPE 300 at 44.4, h 300, b 100, web 9.5,
// flange 15, r 15. Two of them toe to toe leave a hollow of (h - 2 tf)(2 b - 2 tw) less four fillets of (1 - π/4) r². Tubes to
// EN 10219-2 and EN 10210-2 (from memory). Concrete of 2350 kg/m3, epoxy granite 2250, sand 1600; steel 7850, grey iron 7200. Lengths are those of
// the pieces: the sides reach over the cross members at their ends, 160 mm wide, and the uprights over the cap, 250 mm high; cross members and arms end at the
// sides, 190 mm wide, the cap at the uprights, 200 mm wide, the stays at the uprights, 300 mm deep, and on the plate of 60 mm.
func TestKeelMillByHand(t *testing.T) {
	toeToToe := func(h, b, tw, tf, r float64) float64 { return (h-2*tf)*(2*b-2*tw) - 4*(1-math.Pi/4)*r*r }
	m := machines(t)["keel-mill"]
	d, err := New(m, spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	bodies, err := d.Masses()
	if err != nil {
		t.Fatal(err)
	}
	sides := 2 * (3.6 + 0.16) // length [m]
	uprights, stay := 1.197+0.125, math.Hypot(0.48, 1.227)
	stay *= 1 - 0.15/0.48 - 0.03/1.227
	for name, want := range map[string]map[MassKind]float64{
		"bed": {
			MemberMass: sides*2*35.2 + (6*(0.64-0.19)+4*(0.62-0.095))*2*22.8,
			FillMass:   sides * toeToToe(0.270, 0.095, 0.0075, 0.0135, 0.014) * 2350,
		},
		"table": {MemberMass: 2.52 * 0.6 * 0.08 * 7200},
		"column": {
			MemberMass: 1.2*0.96*0.06*7850 + 2*uprights*2*44.4 + (0.8-0.2)*57.0 + 2*stay*17.0,
			FillMass:   2 * uprights * toeToToe(0.300, 0.100, 0.0095, 0.015, 0.015) * 2250,
		},
		"ram": {
			MemberMass: 1.18 * 91.9,
			FillMass:   1.18 * (0.225*0.225 - (4-math.Pi)*0.0125*0.0125) * 1600,
		},
	} {
		i := slices.IndexFunc(m.Bodies, func(b spec.Entry[spec.Body]) bool { return b.Name == name })
		for kind, mass := range want {
			near(t, name+": "+string(kind), bodies[i][kind], mass, 0.01)
		}
	}
}

// TestNutTurns: with a rotating nut the motor rides with it and the screw stays. By hand: rings of steel,
// 7850 kg/m3, of 32 mm inside: a nut of 64 mm, 64 mm long, 1.2 kg; a unit of 86.4 mm, 102.4 mm long, 4.1 kg; the
// motor's 2.7 kg; two of each.
func TestNutTurns(t *testing.T) {
	m := sample.Example(t, "slipway-gantry")
	before, err := New(m, spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	after, err := New(sample.With(t, m, edits("axes.x.drives.*.screw.rotating", func(spec.Drive) string { return "nut" }, m.Axes[0].Item.Drives)...), spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "more is moved", after.MovedMass(0)-before.MovedMass(0), 2*(4.1-1.2+2.7), 1e-6)
	near(t, "more in all", after.Mass()-before.Mass(), 2*(4.1-1.2), 1e-6)
}

// TestScrewRidesWithItsBearings: the table's screw of the clockroom mill has its bearings and its
// motor on the table, and only its nut on the saddle.
func TestScrewRidesWithItsBearings(t *testing.T) {
	d, err := New(sample.Example(t, "clockroom-mill"), spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	bodies := map[string]string{}
	for _, p := range d.Parts {
		if p.kind == massPart {
			bodies[p.name] = p.body
		}
	}
	for name, want := range map[string]string{"screw of axis x": "table", "motor of axis x": "table", "nut of axis x": "saddle", "screw of axis y": "base"} {
		if bodies[name] != want {
			t.Errorf("%s rides on %q, want %q", name, bodies[name], want)
		}
	}
	if list := d.PartsListed(); len(list) > 0 {
		t.Errorf("the spindle's motor stands for %q", list)
	}
}

// centreOf is the mass of a part of a drive and its centre as drawn.
func centreOf(d *Model, name string) (h Heap) {
	for _, m := range d.masses {
		if d.Parts[m.Part].name == name {
			h.add(m.Mass, r3.Add(d.Nodes[m.At.Node], m.At.Arm))
		}
	}
	return h
}

// TestMassLiesAlongTheDrive: a screw's centre of gravity is half of its length from its first
// bearing, toward the nut, whether it weighs on both ends or hangs on one; a belt's is between its pulleys.
func TestMassLiesAlongTheDrive(t *testing.T) {
	all := machines(t)
	for _, c := range []struct {
		machine, part string
		from, along   r3.Vec
		length        float64
	}{
		{"slipway-gantry", "screw of axis x, near", r3.Vec{Y: -0.55, Z: 0.5}, r3.Vec{X: 1}, 2.3},
		{"slipway-gantry", "screw of axis y", r3.Vec{X: 0.4, Y: -0.55, Z: 0.96}, r3.Vec{Y: 1}, 1.1},
		{"slipway-gantry", "screw of axis z", r3.Vec{X: 0.53, Y: -0.35, Z: 1.18}, r3.Vec{Z: -1}, 0.36},
		{"garage-router", "screw of axis z", r3.Vec{X: 0.19, Y: -0.3, Z: 0.46}, r3.Vec{Z: -1}, 0.2},
	} {
		d, err := New(all[c.machine], spec.Reader{})
		if err != nil {
			t.Fatal(err)
		}
		h := centreOf(d, c.part)
		if off := r3.Norm(r3.Sub(h.Centre(), r3.Add(c.from, r3.Scale(c.length/2, c.along)))); h.Mass <= 0 || off > 1e-9 {
			t.Errorf("%s, %s: %g kg at %v, %g m off", c.machine, c.part, h.Mass, h.Centre(), off)
		}
	}
	d, err := New(all["sign-router"], spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	belt, pulleys := centreOf(d, "belt of axis y"), centreOf(d, "pulleys of axis y")
	near(t, "belt between its pulleys", r3.Norm(r3.Sub(belt.Centre(), pulleys.Centre()))+1, 1, 1e-9)
}

// TestListedMotor: a motor that its body lists is not counted again, by hand: the garage router's
// carriage lists 1.2 kg for the motor of z, and an equal mass of another name comes on top.
func TestListedMotor(t *testing.T) {
	m := machines(t)["garage-router"]
	d, err := New(m, spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	if list := strings.Join(d.PartsListed(), ";"); list != "motor of axis z: carriage.motor" {
		t.Errorf("listed: %q", list)
	}
	if h := centreOf(d, "motor of axis z"); h.Mass != 0 {
		t.Errorf("the motor of axis z is counted with %g kg beside its listing", h.Mass)
	}
	if h := centreOf(d, "motor of axis y"); h.Mass <= 0 {
		t.Error("the motor of axis y, on another body, is not counted")
	}
}

// TestAlternativeCarriesItsMotor: a rack in place of the two screws of the spar bench takes motors, reductions
// and pinions along, and leaves the nuts. By hand: nuts of 32 mm 1.2 kg; each side a motor of
// 2.7 kg, 0.7 of that for a reduction, and a pinion of 40 mm, 20 mm wide, of steel with its shaft,
// 1.3·7850·π/4·0.04²·0.02 = 0.256 kg. With rotating nuts, 4.1 kg each, it carries the motors too.
func TestAlternativeCarriesItsMotor(t *testing.T) {
	m := sample.Example(t, "spar-bench")
	d, err := New(m, spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	axis := slices.IndexFunc(m.Axes, func(a spec.Entry[spec.Axis]) bool { return a.Name == "x" })
	a := &m.Axes[axis].Item
	rack, motor := *a.Alternatives.Entry("rack"), 2.7 // as the spec has it [kg]
	rack.Item.Motor = a.Drives[0].Item.Motor
	more, err := d.MovedMore(axis, []*spec.Entry[spec.Drive]{&rack, &rack}, &spec.Log{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "more is moved with racks", more, 2*(motor+0.7*motor+0.256-1.2), 5e-3)
	more, err = d.MovedMore(axis, []*spec.Entry[spec.Drive]{m.OtherWay(&a.Drives[0]), m.OtherWay(&a.Drives[1])}, &spec.Log{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "more is moved with rotating nuts", more, 2*(4.1-1.2+motor), 1e-6)
}

// TestRotatingNutsBearing: the bearing in which a nut turns is a spring in series with the nut: 300 and
// 300 N/µm make 150, by 1/k = 1/k₁ + 1/k₂; a nut that does not turn has none.
func TestRotatingNutsBearing(t *testing.T) {
	m := sample.Example(t, "slipway-gantry")
	screw := *m.Axes[0].Item.Drives[0].Item.Screw
	near(t, "nut that stands", NutStiffness(&screw, spec.Reader{}), 300e6, 1e-9)
	after := sample.With(t, m, edits("axes.x.drives.*.screw.rotating", func(spec.Drive) string { return "nut" }, m.Axes[0].Item.Drives)...)
	d, err := New(after, spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	in, err := DriveInput(d, 0, &after.Axes[0].Item.Drives[0].Item, ReadDrive(spec.Reader{}), 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "nut in its bearing", in.Mechanism.(drive.RotatingNut).Nut, 150e6, 1e-9)
	near(t, "the same, weighed beside a screw", NutStiffness(m.OtherWay(&m.Axes[0].Item.Drives[0]).Item.Screw, spec.Reader{}), 150e6, 1e-9)
}

// TestMotorStandsOff: a motor's and a reduction's centre of mass stands off their node by what the spec says, and the moment of the
// body about its origin grows by mass times that.
func TestMotorStandsOff(t *testing.T) {
	m := sample.Example(t, "slipway-gantry")
	before, err := New(m, spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	after, err := New(sample.With(t, m, spec.Edit{Path: "axes.z.drives.lift.motor.offset", Value: `["0 mm", "-40 mm", "150 mm"]`}), spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	a, b := centreOf(before, "motor of axis z"), centreOf(after, "motor of axis z")
	if a.Mass <= 0 || a.Mass != b.Mass {
		t.Fatalf("the motor weighs %g and %g kg", a.Mass, b.Mass)
	}
	off := r3.Sub(b.Centre(), a.Centre())
	near(t, "off the node along y", off.Y, -0.040, 1e-9)
	near(t, "off the node along z", off.Z, 0.150, 1e-9)
}
