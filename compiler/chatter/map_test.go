package chatter

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand"
	"testing"

	"ironbed/compiler/verify"
)

// after returns the motion and speed of a mode after a time, from those before and
// an acceleration that runs from f0 to f1.
func (c caseMode) after(time, u, v, f0, f1 float64) (float64, float64) {
	w := 2 * math.Pi * c.Fn
	// Under the straight force alone it would follow slope · t + start.
	slope := 0.0
	if time > 0 {
		slope = (f1 - f0) / (w * w * time)
	}
	start := f0/(w*w) - 2*c.Zeta*slope/w
	u, v = u-start, v-slope
	root := w * math.Sqrt(1-c.Zeta*c.Zeta)
	sin, cos := math.Sincos(root * time)
	fade := math.Exp(-c.Zeta * w * time)
	b := (v + c.Zeta*w*u) / root
	at := fade * (u*cos + b*sin)
	return at + start + slope*time, fade*root*(b*cos-u*sin) - c.Zeta*w*at + slope
}

// stepped returns the size of the largest multiplier over one tooth period of a cut
// on a machine of one mode in x and one in y: the force straight between steps over
// the arc of cut, the motion exact, and the free vibration after it. It holds where
// one tooth cuts at a time, and is independent of the receptances.
func stepped(modes [2]caseMode, m Milling, speed, depth float64, steps int) float64 {
	omega := 2 * math.Pi * speed
	h := (m.Exit - m.Entry) / omega / float64(steps)
	free := 1/(speed*float64(m.Teeth)) - (m.Exit-m.Entry)/omega
	// answer is the acceleration of the modes per motion between two teeth.
	answer := func(k int) (d [2][2]float64) {
		s, c := math.Sincos(m.Entry + omega*h*float64(k))
		kt, kn := m.Tangential, m.Radial*m.Tangential
		d = [2][2]float64{{-(kt*c + kn*s) * s, -(kt*c + kn*s) * c}, {(kt*s - kn*c) * s, (kt*s - kn*c) * c}}
		for i, mode := range modes {
			by := 0.0
			if mode.K > 0 {
				by = depth * math.Pow(2*math.Pi*mode.Fn, 2) / mode.K
			}
			d[i][0], d[i][1] = by*d[i][0], by*d[i][1]
		}
		return d
	}
	n := 4 + 2*(steps+1) // x, x', y, y', and the motion at the steps of the tooth before
	full := newMatrix(n)
	for column := range n {
		z := make([]float64, n)
		z[column] = 1
		x, next := [4]float64(z[:4]), make([]float64, n)
		var force [2]float64
		for k := range steps + 1 {
			d, before := answer(k), z[4+2*k:]
			var gain [2]float64
			if k > 0 {
				for i, mode := range modes {
					if mode.K > 0 {
						gain[i], _ = mode.after(h, 0, 0, 0, 1)
						x[2*i], x[2*i+1] = mode.after(h, x[2*i], x[2*i+1], force[i], 0)
					}
				}
			}
			// force = d (x + gain force − before)
			r0 := d[0][0]*(x[0]-before[0]) + d[0][1]*(x[2]-before[1])
			r1 := d[1][0]*(x[0]-before[0]) + d[1][1]*(x[2]-before[1])
			a, b, c, e := 1-d[0][0]*gain[0], -d[0][1]*gain[1], -d[1][0]*gain[0], 1-d[1][1]*gain[1]
			det := a*e - b*c
			force = [2]float64{(r0*e - b*r1) / det, (a*r1 - c*r0) / det}
			if k > 0 {
				for i, mode := range modes {
					if mode.K > 0 {
						u, v := mode.after(h, 0, 0, 0, force[i])
						x[2*i], x[2*i+1] = x[2*i]+u, x[2*i+1]+v
					}
				}
			}
			next[4+2*k], next[4+2*k+1] = x[0], x[2]
		}
		for i, mode := range modes {
			if mode.K > 0 {
				next[2*i], next[2*i+1] = mode.after(free, x[2*i], x[2*i+1], 0, 0)
			}
		}
		for i, v := range next {
			full.row(i)[column] = complex(v, 0)
		}
	}
	values, err := full.eigenvalues()
	if err != nil {
		panic(err)
	}
	most := 0.0
	for _, v := range values {
		most = math.Max(most, cmplx.Abs(v))
	}
	return most
}

// multiplier is stepped, carried on to endlessly many steps.
func multiplier(modes [2]caseMode, m Milling, speed, depth float64, steps int) float64 {
	return (4*stepped(modes, m, speed, depth, 2*steps) - stepped(modes, m, speed, depth, steps)) / 3
}

// modesOf returns the modes of a structure of one direction each.
func (s structure) modesOf() (list [2]caseMode) {
	for i, row := range s.Rows {
		w := math.Sqrt(s.K[i][i] / s.M[i][i])
		list[axisOf(row)] = caseMode{row, w / (2 * math.Pi), s.C[i][i] / (2 * s.M[i][i] * w), s.K[i][i]}
	}
	return list
}

// TestMultipliers: the steps that the limits are held against give the multipliers
// of the reference set.
func TestMultipliers(t *testing.T) {
	for _, name := range []string{"mult_1dof_is2004_slot", "mult_2dof_is2004_down_0p05"} {
		var c struct {
			ID, Source string
			Inputs     struct {
				Dynamics structure
				Cut      caseCut
			}
			Outputs struct {
				Points []struct {
					Rpm   float64 `json:"spindle_rpm"`
					Depth float64 `json:"axial_depth_m"`
					Size  float64 `json:"multiplier_modulus"`
				}
			}
		}
		load(t, name, &c)
		if len(c.Outputs.Points) == 0 {
			t.Fatal("no points")
		}
		for _, p := range c.Outputs.Points {
			verify.Check(
				t,
				verify.Case{
					ID:       fmt.Sprintf("%s %g, %g mm", c.ID, p.Rpm, p.Depth*1e3),
					Quantity: "size of the largest multiplier, by steps in the time",
					Unit:     "-",
					Source:   c.Source,
					Want:     p.Size,
					RelTol:   0.002,
				},
				multiplier(c.Inputs.Dynamics.modesOf(), c.Inputs.Cut.milling(), p.Rpm/60, p.Depth, 64),
			)
		}
	}
}

// randomMilling draws a machine of one mode each way and a cut by one tooth at a time.
func randomMilling(random *rand.Rand) ([2]caseMode, Milling) {
	draw := func(low, high float64) float64 { return low * math.Pow(high/low, random.Float64()) }
	modes := [2]caseMode{
		{"x", draw(300, 1500), draw(0.008, 0.06), draw(2e6, 2e7)},
		{"y", draw(300, 1500), draw(0.008, 0.06), draw(2e6, 2e7)},
	}
	m := Milling{Cut: Cut{Teeth: 1 + random.Intn(3), Tangential: draw(3e8, 2e9), Radial: draw(0.15, 0.6)}}
	arc := draw(0.2, math.Min(math.Pi, 2*math.Pi/float64(m.Teeth)))
	if random.Intn(2) == 0 {
		m.Exit = arc
	} else {
		m.Entry, m.Exit = math.Pi-arc, math.Pi
	}
	return modes, m
}

// TestLimitIsLowest: at the limit the largest multiplier has the size 1, and at no
// lower depth is it larger, by an independent method.
func TestLimitIsLowest(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	flips := 0
	for range 16 {
		modes, m := randomMilling(random)
		speed := 2 * modes[0].Fn / (float64(m.Teeth) * (1.5 + 4*random.Float64()))
		b := mustBand(t, sampled(modalOf(modes[:]), 5, 20000, 3000))
		got, err := b.Onsets(m, []float64{speed}, 0.1)
		if err != nil {
			t.Fatal(err)
		}
		at := got[0].Depth
		if got[0].Kind == Never {
			at = 0.1
		} else if size := multiplier(modes, m, speed, at, 64); math.Abs(size-1) > 2e-3 {
			t.Errorf("%+v %+v at %g/s: the multiplier at the limit %g is %g", modes, m, speed, at, size)
		}
		if got[0].Kind == Flip {
			flips++
		}
		for k := 1; k < 20; k++ {
			if size := stepped(modes, m, speed, at*float64(k)/20, 40); size > 1.0005 {
				t.Errorf("%+v %+v at %g/s: the multiplier at %d/20 of the limit %g is %g", modes, m, speed, k, at, size)
			}
		}
	}
	if flips == 0 {
		t.Error("no flip among the cases")
	}
}
