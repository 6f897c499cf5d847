package pdf

import (
	"image/color"
	"math"
	"regexp"
	"strings"
	"testing"

	plotfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// drawn returns the commands that drawing puts on a page. The canvas's origin
// stands 100 points from the left and 500 from the top.
func drawn(t *testing.T, draw func(c *canvas)) string {
	t.Helper()
	p := newPainter(fonts(t), Meta{})
	p.doc.SetCompression(false)
	p.newPage()
	c := newCanvas(p, 100, 500)
	draw(c)
	c.restore()
	file, err := p.bytes()
	if err != nil {
		t.Fatal(err)
	}
	page := regexp.MustCompile(`(?s)stream\n(.*?)endstream`).FindSubmatch(file)
	return string(page[1])
}

func wantCommands(t *testing.T, got string, want ...string) {
	t.Helper()
	rest := got
	for _, w := range want {
		_, after, ok := strings.Cut(rest, w)
		if !ok {
			t.Fatalf("no %q, in this order, in\n%s", w, got)
		}
		rest = after
	}
}

func square(x, y, side vg.Length) vg.Path {
	var p vg.Path
	p.Move(vg.Point{X: x, Y: y})
	p.Line(vg.Point{X: x + side, Y: y})
	p.Line(vg.Point{X: x + side, Y: y + side})
	p.Close()
	return p
}

// A page's coordinates begin at the lower left: the origin is at 841.89 - 500.
func TestPathsStandWhereTheyBelong(t *testing.T) {
	got := drawn(t, func(c *canvas) {
		c.SetColor(color.RGBA{R: 255, A: 255})
		c.Fill(square(0, 0, 10))
		c.SetLineWidth(2)
		c.SetLineDash([]vg.Length{4, 2}, 1)
		c.Stroke(square(20, 30, 10))
	})
	wantCommands(t, got, "1.000 0.000 0.000 rg", "100.00 341.89 m", "110.00 341.89 l", "110.00 351.89 l", "h", "f",
		"1.000 0.000 0.000 RG", "2.00 w", "[4.00 2.00] 1.00 d", "120.00 371.89 m", "S", "[] 0.00 d")
}

func TestTransformations(t *testing.T) {
	got := drawn(t, func(c *canvas) {
		c.Push()
		c.Translate(vg.Point{X: 50, Y: 0})
		c.Rotate(math.Pi / 2)
		c.Scale(2, 2)
		c.SetLineWidth(1)
		c.Stroke(square(0, 0, 10)) // points up, twice as large
		c.Pop()
		c.Fill(square(0, 0, 10))
	})
	wantCommands(t, got, "2.00 w", "150.00 341.89 m", "150.00 361.89 l", "130.00 361.89 l", "S", "100.00 341.89 m", "f")
}

func TestArcEndsWhereItShould(t *testing.T) {
	got := drawn(t, func(c *canvas) {
		var p vg.Path
		p.Move(vg.Point{X: 10, Y: 0})
		p.Arc(vg.Point{}, 10, 0, math.Pi)
		c.Stroke(p)
	})
	wantCommands(t, got, "110.00 341.89 m", "100.00000 351.89000 c", "90.00000 341.89000 c", "S")
}

func TestTextOnPictures(t *testing.T) {
	face := plotfont.Face{Font: plotfont.Font{Typeface: "Go", Size: 8}}
	got := drawn(t, func(c *canvas) {
		c.FillString(face, vg.Point{X: 5, Y: 6}, "level")
		c.Rotate(math.Pi / 2)
		c.FillString(face, vg.Point{X: 7, Y: -9}, "upward")
	})
	wantCommands(t, got, "105.00 347.89 Td", "0.00000 1.00000 -1.00000 0.00000 109.00000 348.89000 cm", "0.00 0.00 Td", "Q")
	for f, want := range map[plotfont.Font]style{
		{Typeface: "Go"}:                  0,
		{Typeface: "Go", Weight: 3}:       bold,
		{Typeface: "Go", Style: 1}:        italic,
		{Typeface: "Go", Variant: "Mono"}: mono,
		{Typeface: "Go Mono", Weight: 3}:  mono | bold,
	} {
		if got := styleOf(f); got != want {
			t.Errorf("%v is style %d, want %d", f, got, want)
		}
	}
}

func TestTransparency(t *testing.T) {
	got := drawn(t, func(c *canvas) {
		c.Fill(square(0, 0, 10))
		c.SetColor(color.NRGBA{R: 255, A: 128})
		c.Fill(square(0, 0, 10))
	})
	wantCommands(t, got, "f", "/GS1 gs", "1.000 0.000 0.000 rg", "f", "/GS2 gs")
}

func TestBitmapsAreRefused(t *testing.T) {
	p := newPainter(fonts(t), Meta{})
	p.newPage()
	newCanvas(p, 0, 0).DrawImage(vg.Rectangle{}, nil)
	if _, err := p.bytes(); err == nil {
		t.Error("a bitmap was drawn")
	}
}
