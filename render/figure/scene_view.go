package figure

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/plot/vg"
)

// The viewer stands to the front right, above the machine: X runs to the right,
// Y away from the viewer, Z up.
const (
	turned = 33 * math.Pi / 180 // of the viewer from the front toward X
	raised = 26 * math.Pi / 180 // of the viewer above the floor
)

var (
	toViewer = r3.Vec{X: math.Sin(turned) * math.Cos(raised), Y: -math.Cos(turned) * math.Cos(raised), Z: math.Sin(raised)}
	across   = r3.Vec{X: math.Cos(turned), Y: math.Sin(turned)}
	upward   = r3.Cross(toViewer, across)
	toLight  = r3.Unit(r3.Vec{X: -0.25, Y: -0.55, Z: 0.8})
)

// project returns a point's place in the picture plane, in metres.
func project(p r3.Vec) (x, y float64) { return r3.Dot(p, across), r3.Dot(p, upward) }

// light is the brightness of a face by its outward normal, 0 to 1.
func light(normal r3.Vec) float64 { return 0.5 + 0.5*r3.Dot(normal, toLight) }

// A view maps space onto the sheet.
type view struct {
	scale  float64  // points for a metre
	origin vg.Point // where space's origin falls
}

func (v view) at(p r3.Vec) vg.Point {
	x, y := project(p)
	return vg.Point{X: v.origin.X + vg.Length(v.scale*x), Y: v.origin.Y + vg.Length(v.scale*y)}
}

// An extent is the part of the picture plane that is in use, in metres.
type extent struct{ left, bottom, right, top float64 }

func emptyExtent() extent {
	return extent{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
}

func (e *extent) add(p r3.Vec) {
	x, y := project(p)
	e.left, e.right = math.Min(e.left, x), math.Max(e.right, x)
	e.bottom, e.top = math.Min(e.bottom, y), math.Max(e.top, y)
}

func (e extent) empty() bool { return e.left > e.right }

// fit returns the view that brings the extent into a width and a height with
// its upper left corner at a point, and the height it takes.
func (e extent) fit(width, height vg.Length, corner vg.Point) (view, vg.Length) {
	w, h := e.right-e.left, e.top-e.bottom
	scale := math.Inf(1)
	if w > 0 {
		scale = float64(width) / w
	}
	if h > 0 {
		scale = math.Min(scale, float64(height)/h)
	}
	if math.IsInf(scale, 0) {
		scale = 1
	}
	used := vg.Length(scale * w)
	return view{scale: scale, origin: vg.Point{
		X: corner.X + (width-used)/2 - vg.Length(scale*e.left),
		Y: corner.Y - vg.Length(scale*e.top),
	}}, vg.Length(scale * h)
}
