package compiler_test

import (
	"math"
	"math/cmplx"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"ironbed/compiler/build"
	"ironbed/spec"
)

// TestStabilityRecomputed: whoever has the derivations alone can compute the depth that is
// stable at any speed: from the modes at the tool tip, the static compliance and the force
// coefficients as they are printed, by the zero-order solution of Altintas and Budak 1995,
// which stands here anew and shares nothing with ours. A full slot has the same limit in
// every direction of feed.
func TestStabilityRecomputed(t *testing.T) {
	compared := 0
	for _, c := range []struct {
		example, target string
		teeth           float64
	}{
		{"slipway-gantry", "planking", 3},
		{"slipway-gantry", "bracket", 3},
		{"clockroom-mill", "pivot", 4},
		{"sign-router", "name board", 2},
		{"sign-router", "mooring ring", 2},
	} {
		b := example(t, c.example)
		f, ok := b.Figures.Get("target." + spec.IDWord(c.target) + ".stable_depth")
		if !ok {
			t.Fatalf("%s has no stable depth", c.target)
		}
		want := printedStability(t, b, f, c.teeth)
		if math.Abs(want/f.Value-1) > 0.02 {
			t.Errorf("%s, %s: recomputed %.4g mm, printed %.4g mm", c.example, c.target, want, f.Value)
		}
		compared++
	}
	if compared < 5 {
		t.Error("nothing is compared")
	}
}

// printedStability computes a limit [mm] from what is printed.
func printedStability(t *testing.T, b *build.Build, f build.Figure, teeth float64) float64 {
	t.Helper()
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(strings.ReplaceAll(s, "−", "-"), 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	find := func(pattern, text string) []string {
		m := regexp.MustCompile(pattern).FindStringSubmatch(text)
		if m == nil {
			t.Fatalf("no %s in %s", pattern, text)
		}
		return m
	}
	force := find(`Kt = ([\d.]+) MPa.*Kr = ([\d.]+)`, strings.Join(f.Notes, "; "))
	kt, kr := number(force[1])*1e6, number(force[2])
	var loss float64
	var tool [2]float64
	var tables []build.Table
	for _, block := range b.Appendix[0].Blocks {
		switch block := block.(type) {
		case build.Text:
			if m := regexp.MustCompile(`the tool's loss factor is ([\d.]+)\.`).FindStringSubmatch(string(block)); m != nil {
				loss = number(m[1])
			}
		case build.Table:
			switch {
			case strings.HasPrefix(block.Caption, "Modes at the tool tip"):
				tables = append(tables, block)
			case strings.HasPrefix(block.Caption, "Compliance at the tool tip"):
				for _, row := range block.Rows {
					if name := row[0].Text; !strings.HasPrefix(name, "frame") && !strings.Contains(name, "sum") {
						tool[0] += number(row[1].Text) * 1e-9
						tool[1] += number(row[2].Text) * 1e-9
					}
				}
			}
		}
	}
	least := math.Inf(1)
	for _, table := range tables {
		static := find(`XX (\S+), YY (\S+), ZZ \S+, XY (\S+),`, table.Caption)
		type mode struct{ omega, eta, x, y float64 }
		var modes []mode
		for _, row := range table.Rows {
			modes = append(modes, mode{2 * math.Pi * number(row[1].Text), number(row[2].Text), number(row[3].Text), number(row[4].Text)})
		}
		residual := [3]complex128{
			complex(number(static[1])*1e-9+tool[0], -loss*tool[0]),
			complex(number(static[2])*1e-9+tool[1], -loss*tool[1]),
			complex(number(static[3])*1e-9, 0),
		}
		sum := func(at func(m mode) complex128) (g [3]complex128) {
			for _, m := range modes {
				h := at(m)
				g[0] += complex(m.x*m.x, 0) * h
				g[1] += complex(m.y*m.y, 0) * h
				g[2] += complex(m.x*m.y, 0) * h
			}
			return g
		}
		stiff := func(m mode) complex128 { return complex(m.omega*m.omega, m.eta*m.omega*m.omega) }
		for i, v := range sum(func(m mode) complex128 { return 1 / stiff(m) }) {
			residual[i] -= v
		}
		for hz := 5.0; hz < modes[len(modes)-1].omega/(2*math.Pi); hz += 0.1 {
			w := 2 * math.Pi * hz
			g := sum(func(m mode) complex128 { return 1 / (stiff(m) - complex(w*w, 0)) })
			for i := range g {
				g[i] += residual[i]
			}
			// The mean directional factors of a full slot are −π Kr, −π, π and −π Kr.
			r := complex(kr, 0)
			a, bb := -r*g[0]-g[2], -r*g[2]-g[1]
			cc, d := g[0]-r*g[2], g[2]-r*g[1]
			det, trace := (a*d-bb*cc)*math.Pi*math.Pi, (a+d)*math.Pi
			root := cmplx.Sqrt(trace*trace - 4*det)
			for _, lambda := range []complex128{(-trace + root) / (2 * det), (-trace - root) / (2 * det)} {
				kappa := imag(lambda) / real(lambda)
				if depth := -2 * math.Pi * real(lambda) / (teeth * kt) * (1 + kappa*kappa); depth > 0 {
					least = math.Min(least, depth)
				}
			}
		}
	}
	return least * 1e3
}
