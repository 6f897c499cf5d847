package accuracy

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/geometry"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/compiler/verify"
)

// A joint is an axis of a layout, written by hand from the nodes of the spec: which way it travels, where it stands as the nodes are
// written, the middle of its carriages there [m], and whether they ride on the body that it moves.
type joint struct {
	axis   geometry.Axis
	way    r3.Vec
	at     float64
	centre r3.Vec
	rides  bool
}

// transform is the 4×4 matrix of a joint at a position with a shift and a turn by small angles, as a product of plain matrices.
func (j joint) transform(position float64, shift, turn r3.Vec) *mat.Dense {
	move := func(v r3.Vec) *mat.Dense {
		return mat.NewDense(4, 4, []float64{1, 0, 0, v.X, 0, 1, 0, v.Y, 0, 0, 1, v.Z, 0, 0, 0, 1})
	}
	sx, cx := math.Sincos(turn.X)
	sy, cy := math.Sincos(turn.Y)
	sz, cz := math.Sincos(turn.Z)
	product := func(list ...*mat.Dense) *mat.Dense {
		out := mat.NewDense(4, 4, []float64{1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1})
		for _, m := range list {
			var next mat.Dense
			next.Mul(out, m)
			out = &next
		}
		return out
	}
	rotate := product(
		mat.NewDense(4, 4, []float64{cz, -sz, 0, 0, sz, cz, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1}),
		mat.NewDense(4, 4, []float64{cy, 0, sy, 0, 0, 1, 0, 0, -sy, 0, cy, 0, 0, 0, 0, 1}),
		mat.NewDense(4, 4, []float64{1, 0, 0, 0, 0, cx, -sx, 0, 0, sx, cx, 0, 0, 0, 0, 1}),
	)
	travel := r3.Scale(position-j.at, j.way)
	around := product(move(j.centre), rotate, move(r3.Scale(-1, j.centre)))
	if j.rides {
		return product(move(r3.Add(travel, shift)), around)
	}
	return product(move(shift), around, move(travel))
}

// TestLayouts: what each error motion of each axis does between tool and workpiece is what homogeneous transforms of the layout give, with
// the layout written down by hand: a gantry that carries all three axes on a fixed bed, with carriages on the moved bodies; the same with
// the carriages of z on the saddle; and a table on a saddle under a head, with the rails of the table on it.
// Source: Slocum 1992, 2, chains of homogeneous transforms.
func TestLayouts(t *testing.T) {
	for _, c := range []struct {
		example, part   string
		workpiece, tool []joint // from the frame outwards
		tip             [2]float64
	}{
		{"slipway-gantry", "planking", nil, []joint{
			{geometry.X, r3.Vec{X: 1}, 0, r3.Vec{X: 0.4, Z: 0.63}, true},
			{geometry.Y, r3.Vec{Y: 1}, 0, r3.Vec{X: 0.5, Y: -0.35, Z: 0.96}, true},
			{geometry.Z, r3.Vec{Z: -1}, 0, r3.Vec{X: 0.565, Y: -0.35, Z: 1.09}, true},
		}, [2]float64{0.715, -0.35}},
		{"sign-router", "letters", nil, []joint{
			{geometry.X, r3.Vec{X: 1}, 0, r3.Vec{X: 0.14, Z: 0.17}, true},
			{geometry.Y, r3.Vec{Y: 1}, 0, r3.Vec{X: 0.19, Y: -0.3, Z: 0.33}, true},
			{geometry.Z, r3.Vec{Z: -1}, 0, r3.Vec{X: 0.225, Y: -0.3, Z: 0.33}, false},
		}, [2]float64{0.29, -0.3}},
		{"clockroom-mill", "clock plate", []joint{
			{geometry.Y, r3.Vec{Y: 1}, 0.11, r3.Vec{Z: 0.215}, true},
			{geometry.X, r3.Vec{X: 1}, 0.16, r3.Vec{Z: 0.275}, false},
		}, []joint{{geometry.Z, r3.Vec{Z: -1}, 0, r3.Vec{Y: 0.095, Z: 0.71}, false}}, [2]float64{0, 0}},
	} {
		m := sample.Example(t, c.example)
		w, cuts := budgeted(t, m, nil)
		made := partOfTarget(t, w, cuts, c.part)
		pose := make(machine.Pose, len(m.Axes))
		for i, share := range []float64{0.2, 0.7, 0.4} {
			pose[i] = share * w.Model.Read.Of(m.Axes[i].Item.Travel)
		}
		chain, positions := w.chain.at(made, pose)
		if math.Abs(chain.Tip.X-c.tip[0]) > 1e-9 || math.Abs(chain.Tip.Y-c.tip[1]) > 1e-9 {
			t.Errorf("%s: the tip is at %v, by hand %v", c.example, chain.Tip, c.tip)
		}
		given, err := chain.Sensitivities(positions)
		if err != nil {
			t.Fatal(err)
		}
		// tip is the tip in the coordinates of the workpiece, with one axis off.
		tip := func(off geometry.Axis, shift, turn r3.Vec) r3.Vec {
			along := func(list []joint) *mat.Dense {
				out := mat.NewDense(4, 4, []float64{1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1})
				for _, j := range list {
					e, r := r3.Vec{}, r3.Vec{}
					if j.axis == off {
						e, r = shift, turn
					}
					var next mat.Dense
					next.Mul(out, j.transform(pose[w.axis[j.axis]], e, r))
					out = &next
				}
				return out
			}
			var world, at mat.VecDense
			world.MulVec(along(c.tool), mat.NewVecDense(4, []float64{chain.Tip.X, chain.Tip.Y, chain.Tip.Z, 1}))
			if err := at.SolveVec(along(c.workpiece), &world); err != nil {
				t.Fatal(err)
			}
			return r3.Vec{X: at.AtVec(0), Y: at.AtVec(1), Z: at.AtVec(2)}
		}
		const size = 1e-6
		for _, axis := range []geometry.Axis{geometry.X, geometry.Y, geometry.Z} {
			still := tip(axis, r3.Vec{}, r3.Vec{})
			for k, unit := range directions {
				for _, e := range []struct {
					motion      geometry.Motion
					shift, turn r3.Vec
				}{
					{geometry.ShiftOf(axis, geometry.Axis(k)), r3.Scale(size, unit), r3.Vec{}},
					{geometry.TurnOf(axis, geometry.Axis(k)), r3.Vec{}, r3.Scale(size, unit)},
				} {
					want := r3.Scale(1/size, r3.Sub(tip(axis, e.shift, e.turn), still))
					unit := "-"
					if e.motion.IsAngle() {
						unit = "m/rad"
					}
					for d, wanted := range machine.XYZ(want) {
						verify.Check(t, verify.Case{
							ID: fmt.Sprintf("layout %s %v %c", c.example, e.motion, "XYZ"[d]), Quantity: "error motion at the tip", Unit: unit,
							Source: "Slocum 1992, 2: homogeneous transforms, with the layout written by hand", Want: wanted, AbsTol: 1e-6, Why: "differences of a motion of 1 µm, with levers of a few hundred mm",
						}, machine.XYZ(given[e.motion])[d])
					}
				}
			}
		}
	}
}
