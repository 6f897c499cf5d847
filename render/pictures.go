package render

import (
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"

	"ironbed/compiler/build"
	"ironbed/render/figure"
)

// pictures returns the pictures of both documents in the order in which they stand
// there. A picture that is used twice is listed once.
func pictures(b *build.Build) []build.Picture {
	var list []build.Picture
	seen := map[string]bool{}
	add := func(p build.Picture) {
		if name := pictureFile(p.ID); !seen[name] {
			seen[name] = true
			list = append(list, p)
		}
	}
	if b.Overview != nil {
		add(*b.Overview)
	}
	for _, s := range slices.Concat(b.Sheets, b.Appendix) {
		for _, block := range s.Blocks {
			if p, ok := block.(build.Picture); ok {
				add(p)
			}
		}
	}
	return list
}

// linked returns the pictures under the links that the Markdown uses.
func linked(b *build.Build) map[string]build.Picture {
	m := map[string]build.Picture{}
	for _, p := range pictures(b) {
		m[pictureLink(p.ID)] = p
	}
	return m
}

// pictureWidth is the width for which a picture is drawn.
func pictureWidth(p build.Picture) vg.Length {
	if p.Half {
		return figure.HalfWidth
	}
	return figure.FullWidth
}

// figuresFolder is the folder of the pictures, beside the report.
const figuresFolder = "figures"

// pictureLink is the picture's place, seen from the report.
func pictureLink(id string) string { return figuresFolder + "/" + pictureFile(id) }

// pictureFile is the name of the picture's file. What a file name or a link
// cannot hold everywhere becomes a hyphen.
func pictureFile(id string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '_', r == '.', r == '-':
			return r
		}
		return '-'
	}, id)
	return strings.TrimLeft(name, ".") + ".svg"
}
