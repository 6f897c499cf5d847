package figure

import (
	"fmt"
	"sync"

	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// Typeface is the typeface of all text on pictures.
const Typeface font.Typeface = "Go"

// Fonts returns the fonts of the pictures: the typeface "Go" in regular, bold
// and italic, and its variant "Mono".
var Fonts = sync.OnceValue(func() *font.Cache {
	load := func(f font.Font, data []byte) font.Face {
		parsed, err := opentype.Parse(data)
		if err != nil {
			panic(fmt.Sprintf("embedded font %s: %v", f.Name(), err))
		}
		return font.Face{Font: f, Face: parsed}
	}
	return font.NewCache(font.Collection{
		load(font.Font{Typeface: Typeface}, goregular.TTF),
		load(font.Font{Typeface: Typeface, Weight: xfont.WeightBold}, gobold.TTF),
		load(font.Font{Typeface: Typeface, Style: xfont.StyleItalic}, goitalic.TTF),
		load(font.Font{Typeface: Typeface, Variant: "Mono"}, gomono.TTF),
	})
})

func regular(size vg.Length) font.Face {
	return Fonts().Lookup(font.Font{Typeface: Typeface}, size)
}

func bold(size vg.Length) font.Face {
	return Fonts().Lookup(font.Font{Typeface: Typeface, Weight: xfont.WeightBold}, size)
}
