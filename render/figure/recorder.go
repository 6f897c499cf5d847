package figure

import (
	"image"
	"image/color"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// A recorder is a canvas that puts what is drawn on it onto a sheet, so that a
// plot is laid out like every other picture. What a plot draws is moved at
// most, never turned or stretched.
type recorder struct {
	sheet *sheet
	state recorderState
	stack []recorderState
}

// A recorderState is what Push keeps and Pop brings back.
type recorderState struct {
	color  color.Color
	width  vg.Length
	dash   []vg.Length
	origin vg.Point
}

// newRecorder returns a canvas whose origin is a point of the sheet.
func newRecorder(s *sheet, origin vg.Point) *recorder {
	return &recorder{sheet: s, state: recorderState{color: ink, width: thin, origin: origin}}
}

func (r *recorder) SetLineWidth(w vg.Length) { r.state.width = w }
func (r *recorder) SetLineDash(d []vg.Length, _ vg.Length) {
	r.state.dash = append([]vg.Length(nil), d...)
}
func (r *recorder) SetColor(c color.Color) { r.state.color = c }
func (r *recorder) Translate(by vg.Point)  { r.state.origin = r.state.origin.Add(by) }
func (r *recorder) Push()                  { r.stack = append(r.stack, r.state) }

func (r *recorder) Pop() {
	r.state = r.stack[len(r.stack)-1]
	r.stack = r.stack[:len(r.stack)-1]
}

func (r *recorder) Stroke(p vg.Path) {
	if r.state.width > 0 {
		r.sheet.marks = append(r.sheet.marks, mark{path: shifted(p, r.state.origin), color: r.state.color, width: r.state.width, dash: r.state.dash})
	}
}

func (r *recorder) Fill(p vg.Path) {
	r.sheet.marks = append(r.sheet.marks, mark{path: shifted(p, r.state.origin), fill: true, color: r.state.color})
}

func (r *recorder) FillString(f font.Face, at vg.Point, text string) {
	if text != "" {
		r.sheet.marks = append(r.sheet.marks, mark{text: text, face: f, at: at.Add(r.state.origin), color: r.state.color})
	}
}

func (r *recorder) Rotate(float64)                      { panic("a chart is not turned") }
func (r *recorder) Scale(float64, float64)              { panic("a chart is not stretched") }
func (r *recorder) DrawImage(vg.Rectangle, image.Image) { panic("a chart holds a bitmap") }
