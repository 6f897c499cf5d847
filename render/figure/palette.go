package figure

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
)

// The palette. Its lightness alone tells things apart; the blue and the warm
// greys only help where there is colour.
var (
	ink    = grey(0x1c, 0x21, 0x27) // words, strong lines
	muted  = grey(0x56, 0x60, 0x6b) // leaders, side notes
	faint  = grey(0xd8, 0xdd, 0xe2) // grids
	paper  = grey(0xff, 0xff, 0xff)
	accent = grey(0xa6, 0x3c, 0x24) // the weak part, the limit, the state asked about
	edge   = grey(0x3a, 0x43, 0x4d) // outlines of bodies
	metal  = grey(0x4c, 0x58, 0x65) // cut metal
	filler = grey(0xec, 0xe9, 0xe1) // cut fill
	grain  = grey(0x8d, 0x87, 0x7a) // hatching of cut fill
)

// bodies are the shades of a scene's bodies, neighbours far apart in lightness.
var bodies = []color.RGBA{
	grey(0xd0, 0xd8, 0xe0),
	grey(0x97, 0xa8, 0xb9),
	grey(0xe0, 0xdc, 0xd2),
	grey(0xb2, 0xaf, 0xa8),
	grey(0xd9, 0xe1, 0xe8),
	grey(0x7f, 0x8f, 0xa0),
}

// kinds are the shades of solids that look the same whatever their body.
var kinds = map[string]color.RGBA{
	"spindle":  grey(0x5d, 0x6a, 0x78),
	"holder":   grey(0xc9, 0xce, 0xd3),
	"cutter":   grey(0x2a, 0x30, 0x37),
	"carriage": grey(0x48, 0x50, 0x59),
	"foot":     grey(0x80, 0x7d, 0x77),
	"mass":     grey(0xb8, 0xb1, 0xa2),
	"rail":     grey(0xfb, 0xfc, 0xfd),
	"screw":    grey(0x6b, 0x67, 0x60),
	"nut":      grey(0x86, 0x81, 0x78),
	"motor":    grey(0x6f, 0x79, 0x84),
	"clamp":    grey(0xc8, 0xa9, 0x7e),

	"cable chain": grey(0x55, 0x58, 0x5c),
}

// Line widths.
const (
	hairline = vg.Length(0.4)
	restLine = vg.Length(0.45)
	thin     = vg.Length(0.6)
	strong   = vg.Length(1.6)
)

// Text sizes. Nothing on a picture is smaller than smallSize.
const (
	labelSize = vg.Length(8)
	smallSize = vg.Length(7.5)
)

func grey(r, g, b uint8) color.RGBA { return color.RGBA{R: r, G: g, B: b, A: 0xff} }

// mix returns the colour that lies a share of the way from a to b.
func mix(a, b color.RGBA, share float64) color.RGBA {
	part := func(a, b uint8) uint8 {
		return uint8(math.Round(float64(a) + share*(float64(b)-float64(a))))
	}
	return grey(part(a.R, b.R), part(a.G, b.G), part(a.B, b.B))
}

// luminance is the relative luminance of a colour, 0 to 1.
//
// Source: IEC 61966-2-1, the primaries and the transfer of sRGB.
func luminance(c color.Color) float64 {
	r, g, b, _ := c.RGBA()
	linear := func(v uint32) float64 {
		s := float64(v) / 0xffff
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
}

// lightness is how light a colour looks in a grey print, 0 to 100: equal steps look
// equal.
//
// Source: CIE 1976 L*.
func lightness(c color.Color) float64 {
	y := luminance(c)
	if y <= 216.0/24389 {
		return y * 24389 / 27
	}
	return 116*math.Cbrt(y) - 16
}
