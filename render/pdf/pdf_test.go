package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/yuin/goldmark/ast"

	"ironbed/compiler/build"
	"ironbed/render/document"
)

// A parsed is what the tests read from a PDF.
type parsed struct {
	pages    []string // the text of each page, a line a piece
	outline  []string // the titles
	fonts    int
	contents []string // the pages' commands
}

var (
	streamStart = regexp.MustCompile(`(?s)<<([^>]*)>>\s*stream\n`)
	shownText   = regexp.MustCompile(`(?s)BT ([-\d.]+) ([-\d.]+) Td \(((?:\\.|[^\\)])*)\) Tj ET`)
	titles      = regexp.MustCompile(`(?s)<</Title \(((?:\\.|[^\\)])*)\)\n/Parent`)
)

func parsePDF(t *testing.T, file []byte) parsed {
	t.Helper()
	var p parsed
	for _, at := range streamStart.FindAllSubmatchIndex(file, -1) {
		dictionary := string(file[at[2]:at[3]])
		if !strings.Contains(dictionary, "/FlateDecode") || strings.Contains(dictionary, "/Length1") {
			continue
		}
		r, err := zlib.NewReader(bytes.NewReader(file[at[1]:]))
		if err != nil {
			t.Fatal(err)
		}
		content, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(content, []byte(" Tj ET")) {
			continue
		}
		var text strings.Builder
		for _, m := range shownText.FindAllSubmatch(content, -1) {
			text.WriteString(utf16Text(m[3]) + "\n")
		}
		p.pages = append(p.pages, text.String())
		p.contents = append(p.contents, string(content))
	}
	for _, m := range titles.FindAllSubmatch(file, -1) {
		p.outline = append(p.outline, strings.TrimPrefix(utf16Text(m[1]), "\ufeff"))
	}
	p.fonts = bytes.Count(file, []byte("/Subtype /Type0"))
	return p
}

// utf16Text decodes the characters of a PDF string.
func utf16Text(s []byte) string {
	var raw []byte
	for i := 0; i < len(s); i++ {
		if s[i] == '\\' {
			i++
			if s[i] == 'r' {
				raw = append(raw, '\r')
				continue
			}
		}
		raw = append(raw, s[i])
	}
	units := make([]uint16, len(raw)/2)
	for i := range units {
		units[i] = uint16(raw[2*i])<<8 | uint16(raw[2*i+1])
	}
	return string(utf16.Decode(units))
}

var testMeta = Meta{Title: "slipway-gantry: build report", Header: "slipway-gantry", Footer: "Advisory only.", Creator: "ironbed 0.1.0"}

func render(t *testing.T, md []byte) ([]byte, parsed) {
	t.Helper()
	file, err := Render(md, testPictures(), testMeta)
	if err != nil {
		t.Fatal(err)
	}
	return file, parsePDF(t, file)
}

func testPictures() map[string]build.Picture {
	bars := build.Bars{
		Unit: "µm",
		Rows: []build.BarRow{{Label: "X", Total: "7 µm", Parts: []build.BarPart{{Label: "gantry beam", Value: 4.3}, {Label: "rest", Value: 2.7}}}},
	}
	chart := build.Chart{X: build.AxisSpec{Label: "length, mm", Max: 2000}, Y: build.AxisSpec{Label: "speed, rpm", Max: 6000},
		Curves: []build.Curve{{Name: "critical", Points: [][2]float64{{600, 5800}, {2000, 950}}}}}
	return map[string]build.Picture{
		"figures/overview.svg": {Drawing: bars},
		"figures/whip.svg":     {Half: true, Drawing: chart},
	}
}

// reportMarkdown is the golden report of the package above.
func reportMarkdown(t *testing.T) []byte {
	t.Helper()
	md, err := os.ReadFile("../testdata/report.md")
	if err != nil {
		t.Fatal(err)
	}
	return md
}

func TestReportIsWhole(t *testing.T) {
	md := reportMarkdown(t)
	_, p := render(t, md)
	tree := document.Parse(md)
	text := strings.Join(p.pages, "\n")
	var headings []string
	for n := tree.FirstChild(); n != nil; n = n.NextSibling() {
		h, ok := n.(*ast.Heading)
		if !ok {
			continue
		}
		words := document.Words(h, md)
		if !strings.Contains(text, words) {
			t.Errorf("no page has the heading %q", words)
		}
		if h.Level > 1 {
			headings = append(headings, words)
		}
	}
	if got, want := strings.Join(p.outline, "\n"), strings.Join(headings, "\n"); got != want {
		t.Errorf("the outline is\n%s\nwant\n%s", got, want)
	}
	for i, page := range p.pages {
		number := fmt.Sprintf("%d of %d", i+1, len(p.pages))
		if !strings.Contains(page, number) || !strings.Contains(page, testMeta.Footer) {
			t.Errorf("page %d lacks its foot", i+1)
		}
	}
	if len(p.pages) < 5 || len(p.pages) > 14 {
		t.Errorf("the report has %d pages", len(p.pages))
	}
}

// TestContentsTellThePages holds the numbers of the contents against the pages
// on which the headings stand.
func TestContentsTellThePages(t *testing.T) {
	md := reportMarkdown(t)
	_, p := render(t, md)
	var lines []string
	start := -1
	for _, page := range p.pages[:3] {
		for i, l := range strings.Split(page, "\n") {
			if l == "Contents" && start < 0 {
				lines, start = strings.Split(page, "\n"), i
			}
		}
	}
	if start < 0 {
		t.Fatal("the first pages have no contents")
	}
	checked := 0
	sections := bytes.Count(md, []byte("\n## ")) - 1 // the contents do not list themselves
	for i := start + 1; i < len(lines) && checked < sections; i++ {
		page, err := strconv.Atoi(lines[i])
		if err != nil {
			continue
		}
		checked++
		if title := lines[i-1]; page < 1 || page > len(p.pages) || !strings.Contains(p.pages[page-1], title+"\n") {
			t.Errorf("%q is said to be on page %d", title, page)
		}
	}
	if checked != sections || sections < 10 {
		t.Errorf("the contents have %d entries of %d", checked, sections)
	}
}

func TestSameBytesEveryTime(t *testing.T) {
	md := reportMarkdown(t)
	first, _ := render(t, md)
	for range 20 {
		if again, _ := render(t, md); !bytes.Equal(first, again) {
			t.Fatal("two runs differ")
		}
	}
}

// TestNothingRunsOffThePage reads the place of every piece of text.
func TestNothingRunsOffThePage(t *testing.T) {
	_, p := render(t, reportMarkdown(t))
	right := length(pageWidth - marginLeft + 2*pt).points()
	for i, content := range p.contents {
		for _, m := range shownText.FindAllStringSubmatch(content, -1) {
			x, _ := strconv.ParseFloat(m[1], 64)
			y, _ := strconv.ParseFloat(m[2], 64)
			if x < 0 || x > right || y < 20 || y > length(pageHeight).points()-20 {
				t.Errorf("page %d: text at %.1f, %.1f", i+1, x, y)
			}
		}
	}
}

func TestTableHeadIsRepeated(t *testing.T) {
	var md strings.Builder
	md.WriteString("# t\n\n| left head | right head |\n| :-- | --: |\n")
	for i := range 150 {
		fmt.Fprintf(&md, "| row %d | %d |\n", i, i*i)
	}
	_, p := render(t, []byte(md.String()))
	if len(p.pages) != 4 {
		t.Errorf("150 rows take %d pages, want 4", len(p.pages))
	}
	for i, page := range p.pages {
		if strings.Count(page, "left head") != 1 || strings.Count(page, "right head") != 1 {
			t.Errorf("page %d has no head, or more than one", i+1)
		}
	}
	for i := range 150 {
		if n := strings.Count(strings.Join(p.pages, ""), fmt.Sprintf("row %d\n", i)); n != 1 {
			t.Errorf("row %d is shown %d times", i, n)
		}
	}
}

func TestRowTallerThanAPage(t *testing.T) {
	words := strings.Repeat("word ", 4000)
	_, p := render(t, []byte("# t\n\n| a | b |\n| :-- | :-- |\n| first | row |\n| "+words+" | short |\n| last | row |\n"))
	text := strings.Join(p.pages, "")
	if n := strings.Count(text, "word"); n != 4000 {
		t.Errorf("%d words of 4000 are shown", n)
	}
	if !strings.Contains(text, "last") || len(p.pages) < 3 {
		t.Errorf("%d pages", len(p.pages))
	}
}

func TestLinksLeadOnlyWhereTheyMay(t *testing.T) {
	file, _ := render(
		t,
		[]byte("# t\n\n## Here\n\nSee [here](#here), [nowhere](#nowhere), [bad](javascript:alert(1)), [file](/etc/passwd), [web](https://example.org/a(b)), <https://example.org>, <a@example.org>.\n"),
	)
	if n := bytes.Count(file, []byte("/Subtype /Link")); n != 1 {
		t.Errorf("%d links, want 1", n)
	}
	if bytes.Contains(file, []byte("javascript")) || bytes.Contains(file, []byte("passwd")) {
		t.Error("a link leads where it may not")
	}
	if bytes.Contains(file, []byte("/URI")) {
		t.Error("a link leads to the web")
	}
}

func TestLongNamesAreCutInThePageHead(t *testing.T) {
	name := strings.Repeat("a very long name ", 12)
	file, err := Render([]byte("# t\n\n## one\n\n## two\n\n## "+name+"\n\n"+strings.Repeat("text\n\n", 80)), nil, Meta{Header: name, Footer: name + name})
	if err != nil {
		t.Fatal(err)
	}
	p := parsePDF(t, file)
	if n := strings.Count(p.pages[1], "…\n"); n != 3 {
		t.Errorf("%d lines are cut, want the head's name, its section and the foot:\n%s", n, p.pages[1])
	}
}

func TestOddDocuments(t *testing.T) {
	for _, md := range []string{
		"", "\n\n", "# only a title\n", "text alone\n", "#### deep first\n\n# then a title\n\n### and down\n",
		"> a quotation\n\n```\ncode  with   spaces\n```\n\n    more code\n",
		"1. one\n2. two\n   - deeper\n\n     a paragraph\n3. three\n",
		"![no such picture](figures/none.svg)\n\n*its caption*\n",
		"| | |\n| :-- | :-- |\n| | |\n",
		"<div>raw</div>\n\ninline <b>raw</b> 🛠 text\n",
		"-\n-\n",
	} {
		file, err := Render([]byte(md), nil, Meta{})
		if err != nil || !bytes.HasPrefix(file, []byte("%PDF-")) {
			t.Errorf("%q: %v", md, err)
		}
	}
}
