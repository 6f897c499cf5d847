package figure

import (
	"image/color"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
)

// TestLightness: black, white and the middle grey of the standards.
//
// IEC 61966-2-1 gives mid grey 119 a relative luminance of 0.1845, which CIE 1976 calls
// a lightness of 50.0.
func TestLightness(t *testing.T) {
	for _, c := range []struct {
		of   color.RGBA
		want float64
	}{{grey(0, 0, 0), 0}, {grey(255, 255, 255), 100}, {grey(119, 119, 119), 50.0}} {
		if got := lightness(c.of); math.Abs(got-c.want) > 0.05 {
			t.Errorf("lightness of %v is %.2f, want %.2f", c.of, got, c.want)
		}
	}
}

// TestBarsInGrey: fills that stand side by side in a bar are told apart without
// colour, and so are a part's words from its ground.
func TestBarsInGrey(t *testing.T) {
	for name, d := range samples() {
		bars, ok := d.(build.Bars)
		if !ok {
			continue
		}
		parts := partsOf(bars)
		for _, r := range bars.Rows {
			for i := 1; i < len(r.Parts); i++ {
				if r.Parts[i-1].Value <= 0 || r.Parts[i].Value <= 0 {
					continue
				}
				n, a := parts.of(r.Parts[i-1])
				m, b := parts.of(r.Parts[i])
				if got := a.difference(b); got < apart {
					t.Errorf("%s, %s: parts %d and %d differ by %.1f", name, r.Label, n, m, got)
				}
			}
		}
	}
	for i, f := range fillStyles {
		words := ink
		if lightness(f.color) < 55 {
			words = paper
		}
		if got := math.Abs(lightness(f.color) - lightness(words)); got < 40 {
			t.Errorf("words on fill %d differ from it by %.1f", i, got)
		}
		if f.hatch != nil && math.Abs(lightness(f.color)-lightness(grain)) < apart {
			t.Errorf("the hatching of fill %d is not seen", i)
		}
	}
}

// TestCurvesInGrey: curves are told apart by lightness or by their dashes, and from
// the paper and the grid.
func TestCurvesInGrey(t *testing.T) {
	for i, a := range solidCurves {
		for _, b := range solidCurves[:i] {
			if got := math.Abs(lightness(a.Color) - lightness(b.Color)); got < apart {
				t.Errorf("solid curves differ by %.1f", got)
			}
		}
		if got := lightness(faint) - lightness(a.Color); got < 2*apart {
			t.Errorf("curve %d and the grid differ by %.1f", i, got)
		}
	}
	for i, a := range dashedCurves {
		for _, b := range dashedCurves[:i] {
			if len(a.Dashes) == len(b.Dashes) && a.Dashes[0] < 2*b.Dashes[0] && b.Dashes[0] < 2*a.Dashes[0] {
				t.Errorf("dashes %v and %v look alike", a.Dashes, b.Dashes)
			}
		}
	}
}

// TestBodiesInGrey: bodies that follow each other in a chain, and what lies on them,
// are told apart by the shade of a face that looks the same way.
func TestBodiesInGrey(t *testing.T) {
	shaded := func(s build.Solid) []float64 {
		var list []float64
		for _, normal := range []r3.Vec{{Z: 1}, {Y: -1}, {X: 1}} {
			list = append(list, lightness(shade(s, normal)))
		}
		return list
	}
	check := func(what string, a, b build.Solid) {
		of, with := shaded(a), shaded(b)
		for i := range of {
			if got := math.Abs(of[i] - with[i]); got < 6 {
				t.Errorf("%s: a face of each differs by %.1f", what, got)
			}
		}
	}
	for i := range len(bodies) - 1 {
		check("bodies in a chain", build.Solid{Body: i}, build.Solid{Body: i + 1})
	}
	for i := range bodies {
		for _, kind := range []string{"rail", "carriage", "cutter"} {
			check(kind+" on a body", build.Solid{Body: i}, build.Solid{Kind: kind})
		}
	}
	for _, pair := range [][2]string{{"rail", "carriage"}, {"spindle", "holder"}, {"holder", "cutter"}, {"spindle", "cutter"}} {
		check(pair[0]+" and "+pair[1], build.Solid{Kind: pair[0]}, build.Solid{Kind: pair[1]})
	}
	// The faces of one body are told apart too.
	for i := range bodies {
		faces := shaded(build.Solid{Body: i})
		for k := range faces {
			for j := range faces[:k] {
				if got := math.Abs(faces[k] - faces[j]); got < 3 {
					t.Errorf("two faces of body %d differ by %.1f", i, got)
				}
			}
		}
	}
}
