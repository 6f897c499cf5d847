package pdf

import (
	"bytes"
	"testing"
)

// FuzzRender lays out any Markdown: there is a PDF, with no link but those of the report.
func FuzzRender(f *testing.F) {
	for _, md := range []string{
		"", "# a\n\n## b\n\ntext **bold** *it* `code` [l](#b)\n", "| a | b |\n| :-- | --: |\n| 1 | 2 |\n", "- a\n  - b\n\n1. c\n", "> q\n\n```\nx\n```\n\n---\n",
		"![p](figures/whip.svg)\n\n*caption*\n", "| ![a](figures/whip.svg) | ![b](figures/overview.svg) |\n| :-- | :-- |\n| *c* | *d* |\n", "<div>x</div>\n", "a\\\nb  \nc &amp; &#x41;\n",
		"## Contents\n\n- [a](#a)\n\n## a\n", "[x]: http://y\n\n[x] <http://z> <a@b.c>\n", "\xff\x00\u202e", "#### d\n\n# e\n",
	} {
		f.Add([]byte(md))
	}
	f.Fuzz(func(t *testing.T, md []byte) {
		if len(md) > 4000 {
			return
		}
		file, err := Render(md, testPictures(), Meta{Title: "t", Header: "h", Footer: "f", Creator: "c"})
		if err != nil || !bytes.HasPrefix(file, []byte("%PDF-")) || !bytes.HasSuffix(bytes.TrimSpace(file), []byte("%%EOF")) {
			t.Fatalf("%v", err)
		}
		for _, bad := range []string{"/URI (http", "/URI (mailto", "/JavaScript", "/Launch"} {
			if bytes.Contains(file, []byte(bad)) {
				t.Errorf("the file holds %s", bad)
			}
		}
	})
}
