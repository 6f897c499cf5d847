package render

import (
	"strings"

	"ironbed/compiler/build"
)

// pictures returns the report's pictures in the order in which they stand in
// it. A picture that is used twice is listed once.
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
	for _, s := range b.Sheets {
		for _, block := range s.Blocks {
			if p, ok := block.(build.Picture); ok {
				add(p)
			}
		}
	}
	return list
}

// drawings returns the report's drawings under the links that the Markdown uses.
func drawings(b *build.Build) map[string]build.Drawing {
	m := map[string]build.Drawing{}
	for _, p := range pictures(b) {
		m[pictureLink(p.ID)] = p.Drawing
	}
	return m
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
