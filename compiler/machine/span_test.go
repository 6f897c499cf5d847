package machine

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ironbed/compiler/frame"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/verify"
	"ironbed/spec"
)

// square is a square section in the words of a spec; a wall of 0 is a solid bar.
func square(side, wall float64) string {
	if wall == 0 {
		return fmt.Sprintf(`bar: {height: "%[1]g mm", width: "%[1]g mm"}`, side)
	}
	return fmt.Sprintf(`hollow: {height: "%[1]g mm", width: "%[1]g mm", wall: "%[2]g mm", make: "sharp"}`, side, wall)
}

// steel is that of the solid models.
const steel = `materials: steel: {modulus: "210 GPa", shear_modulus: "80.76923 GPa", density: "7850 kg/m3"}`

// tee is a chord of 600 mm between fixed ends with a branch on the middle of its face, 300 mm long, in the words of a spec.
func tee(chord, wall, branch, thick float64, more string) string {
	return fmt.Sprintf(`machine.#Machine & {
	name: "tee"
	%s
	sections: {chord: %s, branch: %s}
	bodies: t: {
		nodes: {left: ["-300 mm", "0 mm", "0 mm"], middle: ["0 mm", "0 mm", "0 mm"], right: ["300 mm", "0 mm", "0 mm"], tip: ["0 mm", "0 mm", "%g mm"]}
		members: {
			chord_1: {from: "left", to: "middle", section: "chord"}
			chord_2: {from: "middle", to: "right", section: "chord"}
			branch: {from: "middle", to: "tip", section: "branch"%s}
		}
		supports: {left: ["x", "y", "z", "rx", "ry", "rz"], right: ["x", "y", "z", "rx", "ry", "rz"]}
	}
}`, steel, square(chord, wall), square(branch, thick), 300+chord/2, more)
}

// ladder is two sides of 800 mm, 600 mm apart, of which the first is held at its ends, with a rung between their middles, in the words of a spec.
func ladder(side, wall, rung, thick float64, more string) string {
	return fmt.Sprintf(`machine.#Machine & {
	name: "ladder"
	%s
	sections: {side: %s, rung: %s}
	bodies: t: {
		nodes: {
			near_0: ["-400 mm", "-300 mm", "0 mm"], near_1: ["0 mm", "-300 mm", "0 mm"], near_2: ["400 mm", "-300 mm", "0 mm"]
			far_0: ["-400 mm", "300 mm", "0 mm"], far_1: ["0 mm", "300 mm", "0 mm"], far_2: ["400 mm", "300 mm", "0 mm"]
		}
		members: {
			for s in ["near", "far"] for i in [1, 2] {"\(s)_\(i)": {from: "\(s)_\(i-1)", to: "\(s)_\(i)", section: "side"}}
			rung: {from: "near_1", to: "far_1", section: "rung"%s}
		}
		supports: {near_0: ["x", "y", "z", "rx", "ry", "rz"], near_2: ["x", "y", "z", "rx", "ry", "rz"]}
	}
}`, steel, square(side, wall), square(rung, thick), more)
}

// axes has the members of a frame run from axis to axis.
const axes = `, from_trim: "as drawn", to_trim: "as drawn"`

// framed is the frame of a machine without axes.
func framed(t *testing.T, text string) (*Model, *frame.System) {
	t.Helper()
	return framedAt(t, text, spec.Reader{})
}

// framedAt is the same by the numbers that a reader picks.
func framedAt(t *testing.T, text string, read spec.Reader) (*Model, *frame.System) {
	t.Helper()
	d, err := New(sample.Written(t, text), read)
	if err != nil {
		t.Fatal(err)
	}
	posed, err := d.At(nil)
	if err != nil {
		t.Fatal(err)
	}
	system, err := posed.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	return d, system
}

// tipMotion is how a tee's tip moves: its shifts along the chord, across it and along the branch, and its turn about the branch, each under a
// unit load of its own.
func tipMotion(t *testing.T, text string) [4]float64 {
	t.Helper()
	return tipMotionAt(t, text, spec.Reader{})
}

// tipMotionAt is the same by the numbers that a reader picks.
func tipMotionAt(t *testing.T, text string, read spec.Reader) (u [4]float64) {
	t.Helper()
	d, system := framedAt(t, text, read)
	tip := frame.At(d.Node["t.tip"])
	for k, way := range [4]int{0, 1, 2, 5} {
		var f [6]float64
		f[way] = 1
		s, err := system.Solve(frame.Load{Forces: []frame.Force{{At: tip, F: f}}})
		if err != nil {
			t.Fatal(err)
		}
		u[k] = s.Displacement(0, tip)[way]
	}
	return u
}

const solids = "solid finite elements (CalculiX 2.20, 20-node bricks, compiler/machine/testdata/solids.py)"

// TestTeesAgainstSolids holds T's, by the rule alone and without a word about the joint in the spec, against solid finite elements, and has them
// nearer to these than members from axis to axis. C2 is the independent reference solution of three meshes, extrapolated.
func TestTeesAgainstSolids(t *testing.T) {
	quantities := [4]string{"shift along the chord", "shift across the chord", "shift along the branch", "turn about the branch"}
	for _, c := range []struct {
		name                       string
		chord, wall, branch, thick float64    // [mm]
		want                       [4]float64 // [m/N], [rad/(N·m)]
		tolerance                  [4]float64
		why                        string
		source                     string
	}{
		{"bar 30", 100, 0, 30, 0, [4]float64{6.865527e-7, 6.997878e-7, 2.453094e-9, 3.292491e-5}, [4]float64{0.05, 0.05, 0.05, 0.05}, "", solids},
		{"bar 60", 100, 0, 60, 0, [4]float64{4.954608e-8, 6.268012e-8, 1.186654e-9, 2.107809e-6}, [4]float64{0.05, 0.05, 0.09, 0.05},
			"the chord does not bend where the branch stands, in the model it does", solids},
		{"bar 100", 100, 0, 100, 0, [4]float64{9.333026e-9, 2.252408e-8, 8.481385e-10, 2.956974e-7}, [4]float64{0.05, 0.05, 0.21, 0.05},
			"the chord does not bend where the branch stands, in the model it does", solids},
		{"tube C2", 100, 6, 60, 5, [4]float64{0.0008161194963484291 / 2000, 0.0007992044158264927 / 2000, 7.72916211143279e-05 / 10000, 0.0013657746557225068 / 300},
			[4]float64{0.13, 0.13, 0.13, 0.05}, "ours is a plate on springs for the face of the chord, which it says is within 13 %",
			"solid finite elements (CalculiX 2.20, 20-node bricks on three meshes, extrapolated), case C2"},
		{"tube 100", 100, 6, 100, 6, [4]float64{4.299196e-8, 1.142571e-7, 3.698131e-9, 8.912041e-7}, [4]float64{0.05, 0.24, 0.14, 0.05},
			"walls of the branch stand on those of the chord, and hold its face more than an outline that is free to turn", solids},
	} {
		cut := tipMotion(t, tee(c.chord, c.wall, c.branch, c.thick, ""))
		drawn := tipMotion(t, tee(c.chord, c.wall, c.branch, c.thick, axes))
		for k, got := range cut {
			row := verify.Case{ID: fmt.Sprintf("SPAN-tee-%s-%d", c.name, k), Quantity: "T of " + c.name + ": " + quantities[k], Unit: "m/N", Source: c.source,
				Want: c.want[k], RelTol: c.tolerance[k]}
			if c.tolerance[k] > 0.05 {
				row.Why = c.why
			}
			if k == 3 {
				row.Unit = "rad/(N·m)"
			}
			verify.Check(t, row, got)
			off := func(u float64) float64 { return math.Abs(math.Log(u / c.want[k])) }
			if off(got) > off(drawn[k]) {
				t.Errorf("%s: %s: from axis to axis %.4g is nearer to %.4g than %.4g between the faces", c.name, quantities[k], drawn[k], c.want[k], got)
			}
		}
	}
}

// A swing is a natural frequency and the way in which a node moves most.
type swing struct {
	frequency float64 // [Hz]
	way       byte    // 'x', 'y', 'z'; 'r' where it turns alone
}

// swings are the lowest modes of a frame, by how a node moves.
func swings(t *testing.T, text, node string, count int) (list []swing) {
	t.Helper()
	d, system := framed(t, text)
	modes, err := system.Modes(frame.Search{Count: count})
	if err != nil {
		t.Fatal(err)
	}
	for k := range count {
		u := modes.Displacement(k, frame.At(d.Node["t."+node]))
		most := 0
		for i := range u {
			arm := 1.0
			if i >= 3 {
				arm = 1e-3 // a turn counts where nothing else moves
			}
			if arm*math.Abs(u[i]) > math.Abs(u[most]) {
				most = i
			}
		}
		list = append(list, swing{modes.Frequency(k), "xyzrrr"[most]})
	}
	return list
}

// TestModesAgainstSolids holds the lowest natural frequencies of T's and ladders, by the rule alone, against solid finite elements, each
// with that of the same way, and has them nearer to these than members from axis to axis.
func TestModesAgainstSolids(t *testing.T) {
	const walls = "the face of the chord is known within 13 %, and the solid model's own mesh leaves it up to 2 % too stiff in frequency"
	for _, c := range []struct {
		name, node string
		text       func(more string) string
		want       []swing
		tolerance  float64
		why        string
	}{
		{"T of bars", "tip", func(more string) string { return tee(100, 0, 60, 0, more) },
			[]swing{{400.1661, 'y'}, {476.2514, 'x'}, {1072.159, 'z'}, {1209.571, 'y'}}, 0.05, ""},
		{"ladder of bars", "far_1", func(more string) string { return ladder(100, 0, 60, 0, more) },
			[]swing{{31.90091, 'x'}, {34.10600, 'z'}, {45.73014, 'r'}, {135.3998, 'x'}, {313.2894, 'y'}, {434.5330, 'z'}}, 0.05, ""},
		{"T of tubes", "tip", func(more string) string { return tee(100, 6, 60, 5, more) },
			[]swing{{276.1104, 'x'}, {277.9238, 'y'}, {951.0151, 'z'}, {1169.895, 'y'}}, 0.06, walls},
		{"ladder of tubes", "far_1", func(more string) string { return ladder(100, 6, 60, 5, more) },
			[]swing{{29.35332, 'x'}, {31.33067, 'z'}, {64.92241, 'r'}, {101.6067, 'x'}, {297.2832, 'y'}, {332.3400, 'z'}}, 0.05, ""},
	} {
		ours, drawn := swings(t, c.text(""), c.node, 8), swings(t, c.text(axes), c.node, 8)
		met := map[byte]int{}
		sum, sumDrawn := 0.0, 0.0
		for _, w := range c.want {
			of := func(list []swing) float64 {
				n := met[w.way]
				for _, s := range list {
					if s.way == w.way {
						if n == 0 {
							return s.frequency
						}
						n--
					}
				}
				return math.NaN()
			}
			got, was := of(ours), of(drawn)
			verify.Check(t, verify.Case{ID: fmt.Sprintf("SPAN-modes-%s-%c%d", c.name, w.way, met[w.way]+1), Unit: "Hz", Source: solids, Want: w.frequency, RelTol: c.tolerance, Why: c.why,
				Quantity: fmt.Sprintf("natural frequency %d of the %s along %c", met[w.way]+1, c.name, w.way)}, got)
			sum += math.Abs(got/w.frequency - 1)
			sumDrawn += math.Abs(was/w.frequency - 1)
			met[w.way]++
		}
		t.Logf("%s: off by %.3f in the mean, from axis to axis by %.3f", c.name, sum/float64(len(c.want)), sumDrawn/float64(len(c.want)))
		if sum > sumDrawn/2 {
			t.Errorf("%s: frequencies are off by %.2g in the mean, from axis to axis by %.2g", c.name, sum/float64(len(c.want)), sumDrawn/float64(len(c.want)))
		}
	}
}

// TestEndOfAChord: where a tube ends flush with the one that stands on it, solid finite elements with an open end and with one closed by a plate lie
// between the ends of our range, which is wider there than where the tube goes on.
func TestEndOfAChord(t *testing.T) {
	text := strings.NewReplacer(`chord_2: {from: "middle", to: "right", section: "chord"}`, "", `, right: ["x", "y", "z", "rx", "ry", "rz"]}`, "}",
		`right: ["300 mm", "0 mm", "0 mm"], `, "").Replace(tee(100, 6, 60, 5, ""))
	var ends [2][4]float64
	for k, end := range []spec.Bound{spec.Worse, spec.Better} {
		ends[k] = tipMotionAt(t, text, spec.At(end))
	}
	middle := tipMotion(t, text)
	for _, c := range []struct {
		end  string
		want [2]float64 // shifts along the chord and across it [m/N]
	}{
		{"open", [2]float64{6.219289e-7, 6.961249e-7}},
		{"closed", [2]float64{3.223518e-7, 2.870043e-7}},
	} {
		for k, want := range c.want {
			if want > ends[0][k] || want < ends[1][k] {
				t.Errorf("%s, way %d: solid elements have %.4g, ours is %.4g, from %.4g to %.4g", c.end, k, want, middle[k], ends[1][k], ends[0][k])
			}
		}
	}
}
