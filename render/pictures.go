package render

import (
	"crypto/sha256"
	"encoding/hex"
	"regexp"
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
	for _, s := range slices.Concat(b.Sheets, b.Appendix, b.Book) {
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

// pictureFile is the name of the picture's file.
func pictureFile(id string) string { return portable(id) + ".svg" }

// The longest word that a name becomes, and what begins the digest in one.
const (
	longestWord = 60
	digestMark  = "--"
)

// portable is a name as a word for the names of files and for links: short, of small
// letters, digits, hyphens, underscores and points, and never the same for two names,
// whatever a file system makes of capitals or accents. A name that is no such word has
// a digest at the end; a word with two hyphens in a row is always one of these.
func portable(name string) string {
	if len(name) <= longestWord && portableWord.MatchString(name) && !strings.Contains(name, digestMark) && !reserved.MatchString(name) {
		return name
	}
	readable := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r == '_':
			return r
		case r >= 'A' && r <= 'Z':
			return r - 'A' + 'a'
		}
		return '-'
	}, name)
	readable = strings.Trim(hyphens.ReplaceAllString(readable, "-"), "-")
	digest := sha256.Sum256([]byte(name))
	return strings.TrimRight(readable[:min(len(readable), longestWord/2)], "-") + digestMark + hex.EncodeToString(digest[:digestBytes])
}

// digestBytes make two names with the same digest as good as impossible: 128 bits.
const digestBytes = 16

var (
	portableWord = regexp.MustCompile(`^[a-z0-9][a-z0-9_.-]*[a-z0-9_]$|^[a-z0-9]$`)
	hyphens      = regexp.MustCompile(`-{2,}`)
	// reserved are names that some systems keep for devices, whatever their ending.
	reserved = regexp.MustCompile(`^(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\.|$)`)
)
