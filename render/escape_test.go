package render

import (
	"strings"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/text"

	"ironbed/compiler/build"
	"ironbed/render/document"
	"ironbed/spec/literal"
)

// nastyTexts would be Markdown if nothing escaped them.
var nastyTexts = []string{
	"plain words", "a_b_c", "_a_ b", "tool_steel*", "2 * 3 * 4", "**bold**", "`code`", "[x](http://a.b)", "![x](y)",
	"<script>alert(1)</script>", "a < b > c", "AT&T", "&lt;", "&#60;", "a|b", "~~gone~~", `C:\dir`, `\*`, "# title",
	"- item", "+ item", "1. item", "2) item", "1.5 mm", "-5 °C", "> quote", "---", "===", "a\nb", "  padded  ",
	"µ ≤ ≥ ² φ", "x!", "*", "_", "```", "| a | b |",
	"https://example.org", "see http://example.org/a?b=c&d, and more", "(www.example.org)", "WWW.EXAMPLE.ORG", "ftp://x.y", "a@b.c", "mailto:a@b.c",
	"example.com", "shop.example.co.uk/x", "<https://example.org>", "<a@b.c>", "[a]: https://b.c", "[^1]", "[^1]: note", "- [ ] task", "[x] done", "$x$ and $y$",
	"$$x$$", "<!-- x", "<?x", "<![CDATA[", "</table>", "<details>", "a  ", "a\\", "~~~", "&copy;", "&#x41;", "javascript:alert(1)", "`a", "a`", "``a`",
	"size #", "name ##", ": definition", "term\n: definition", "||", "\\|", "a \\| b", "***", "* * *", "_ _ _", "==", "1)", "١. x", "\u00a0# x", "a\u2028# b",
}

// shown returns the text that a reader sees, and whether it is one paragraph of
// nothing but text.
func shown(md string) (string, bool) {
	source := []byte(md)
	tree := document.Parse(source)
	if _, ok := tree.FirstChild().(*ast.Paragraph); !ok || tree.FirstChild().NextSibling() != nil {
		return "", false
	}
	var out strings.Builder
	for c := tree.FirstChild().FirstChild(); c != nil; c = c.NextSibling() {
		switch v := c.(type) {
		case *ast.Text:
			out.WriteString(document.Text(v, source))
		case *ast.CodeSpan: // addresses stand in these
			words := document.Words(v, source)
			if !mayBeLinked(words) {
				return "", false
			}
			out.WriteString(words)
		default:
			return "", false
		}
	}
	return out.String(), true
}

// mayBeLinked reports whether a viewer of Markdown may make a link of a bare text: by
// the rules of GitHub Flavored Markdown, 6.9, and of viewers that look for domains.
func mayBeLinked(s string) bool {
	return strings.ContainsAny(s, ":@./") && !strings.Contains(s, " ")
}

// linking is Markdown as sites read it that make links of bare addresses.
var linking = goldmark.New(goldmark.WithExtensions(extension.GFM, extension.Footnote, extension.DefinitionList))

// TestNothingBecomesMarkup reads user text by the rules of GitHub Flavored Markdown.
func TestNothingBecomesMarkup(t *testing.T) {
	for _, s := range nastyTexts {
		for _, md := range []string{
			opening(s), "So: " + plain(s) + " it is", "**" + plain(s) + "**", "- " + opening(s),
			"| a |\n| - |\n" + tableRow([]string{plain(s)}), "### " + plain(s), inline(build.Bold("x") + " " + literal.Keep(s)),
		} {
			source := []byte(md)
			_ = ast.Walk(linking.Parser().Parse(text.NewReader(source)), func(n ast.Node, entering bool) (ast.WalkStatus, error) {
				switch n.Kind() {
				case ast.KindLink, ast.KindAutoLink, ast.KindImage, ast.KindRawHTML, ast.KindHTMLBlock, ast.KindThematicBreak, ast.KindBlockquote,
					extast.KindStrikethrough, extast.KindTaskCheckBox, extast.KindFootnoteLink, ast.KindFencedCodeBlock, ast.KindCodeBlock:
					t.Errorf("%q is written %q and becomes %v", s, md, n.Kind())
				}
				return ast.WalkContinue, nil
			})
		}
	}
}

// TestHeadingsKeepTheirText reads user text that ends as a heading may.
func TestHeadingsKeepTheirText(t *testing.T) {
	for _, s := range []string{"size #", "size ##", "# #", "a#", "#", "name `#`"} {
		source := []byte("### " + plain(s) + "\n")
		heading := document.Parse(source).FirstChild()
		if got := document.Words(heading, source); got != s {
			t.Errorf("%q reads %q in a heading", s, got)
		}
	}
}

func TestControlCharactersReachNoOutput(t *testing.T) {
	for _, r := range "\x00\x07\x1b\x7f\u0085\u009b\u2028\u2029\u202e\u2066\u200f\ufeff\U000e0041" {
		s := "a" + string(r) + "b"
		for how, got := range map[string]string{"plain": plain(s), "code": code(s), "inline": inline(s), "prose": prose(s)} {
			if strings.ContainsRune(got, r) {
				t.Errorf("%s lets %U through", how, r)
			}
		}
	}
}

// TestPortableNames: distinct names never share a file, be it on a system that takes
// capitals for small letters or that has accents of its own.
func TestPortableNames(t *testing.T) {
	names := []string{
		"6/8", "6-8", "6_8", "6 8", "6--8", "ось", "ось икс", "шпиндель", "轴", "主轴", "A", "a", "é", "e\u0301", "CON", "con", "con.x", "com1", "x.", ".x", "..",
		"", " ", "-", "--", "name", "Name", "NAME", strings.Repeat("n", 59), strings.Repeat("n", 60), strings.Repeat("n", 61), strings.Repeat("n", 5000),
		strings.Repeat("轴", 200), "a:b", "a%b", "a\\b", "../x", "lobes-6/8", "lobes-6-8",
	}
	seen := map[string]string{}
	for _, name := range names {
		file := portable(name)
		if other, ok := seen[strings.ToLower(file)]; ok {
			t.Errorf("%q and %q share %s", name, other, file)
		}
		seen[strings.ToLower(file)] = name
		if strings.Trim(file, "abcdefghijklmnopqrstuvwxyz0123456789_.-") != "" || len(file) > 64 || strings.HasPrefix(file, ".") || strings.HasSuffix(file, ".") {
			t.Errorf("%q becomes %q", name, file)
		}
	}
	if got := portable("lobes-name_board"); got != "lobes-name_board" {
		t.Errorf("a plain name becomes %q", got)
	}
}

func TestUserTextStaysText(t *testing.T) {
	for _, s := range nastyTexts {
		want := literal.Line(s)
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
		if text.String() != literal.Line(s) {
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
		want := literal.Line(s)
		if want == "" || strings.ContainsFunc(want, func(r rune) bool { return r > 127 }) {
			return
		}
		if got, ok := shown(opening(s)); !ok || got != want {
			t.Errorf("%q is written %q and reads %q", s, opening(s), got)
		}
	})
}
