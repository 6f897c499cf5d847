package render

import (
	"strings"
	"testing"

	"github.com/yuin/goldmark/ast"

	"ironbed/render/document"
)

// nastyTexts would be Markdown if nothing escaped them.
var nastyTexts = []string{
	"plain words", "a_b_c", "_a_ b", "tool_steel*", "2 * 3 * 4", "**bold**", "`code`", "[x](http://a.b)", "![x](y)",
	"<script>alert(1)</script>", "a < b > c", "AT&T", "&lt;", "&#60;", "a|b", "~~gone~~", `C:\dir`, `\*`, "# title",
	"- item", "+ item", "1. item", "2) item", "1.5 mm", "-5 °C", "> quote", "---", "===", "a\nb", "  padded  ",
	"µ ≤ ≥ ² φ", "x!", "*", "_", "```", "| a | b |",
}

// shown returns the text that a reader sees, and whether it is one paragraph of
// nothing but text.
func shown(md string) (string, bool) {
	source := []byte(md)
	tree := document.Parse(source)
	if _, ok := tree.FirstChild().(*ast.Paragraph); !ok || tree.FirstChild().NextSibling() != nil {
		return "", false
	}
	var text strings.Builder
	for c := tree.FirstChild().FirstChild(); c != nil; c = c.NextSibling() {
		t, ok := c.(*ast.Text)
		if !ok {
			return "", false
		}
		text.WriteString(document.Text(t, source))
	}
	return text.String(), true
}

func TestUserTextStaysText(t *testing.T) {
	for _, s := range nastyTexts {
		want := oneLine(s)
		if got, ok := shown(opening(s)); !ok || got != want {
			t.Errorf("%q at the start of a line is written %q and reads %q", s, opening(s), got)
		}
		if got, ok := shown("So: " + plain(s) + " it is"); !ok || got != "So: "+want+" it is" {
			t.Errorf("%q in a line is written %q and reads %q", s, plain(s), got)
		}
	}
}

func TestCodeStaysCode(t *testing.T) {
	for _, s := range nastyTexts {
		md := code(s)
		tree := document.Parse([]byte("x " + md))
		span, ok := tree.FirstChild().LastChild().(*ast.CodeSpan)
		if !ok {
			t.Errorf("%q is written %s, which is no code", s, md)
			continue
		}
		var text strings.Builder
		for c := span.FirstChild(); c != nil; c = c.NextSibling() {
			text.Write(c.(*ast.Text).Value([]byte("x " + md)))
		}
		if text.String() != oneLine(s) {
			t.Errorf("%q is written %s and reads %q", s, md, text.String())
		}
	}
}

func TestCellsStayInTheirColumn(t *testing.T) {
	for _, s := range nastyTexts {
		for _, text := range []string{plain(s), code(s), s} {
			md := "| a | b |\n| :-- | :-- |\n" + tableRow([]string{text, "end"}) + "\n"
			tree := document.Parse([]byte(md))
			row := tree.FirstChild().LastChild()
			if tree.FirstChild().NextSibling() != nil || row == nil || row.ChildCount() != 2 {
				t.Errorf("%q breaks its table: %s", s, md)
			}
		}
	}
}

func FuzzUserTextStaysText(f *testing.F) {
	for _, s := range nastyTexts {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		want := oneLine(s)
		if want == "" || strings.ContainsFunc(want, func(r rune) bool { return r > 127 }) {
			return
		}
		if got, ok := shown(opening(s)); !ok || got != want {
			t.Errorf("%q is written %q and reads %q", s, opening(s), got)
		}
	})
}
