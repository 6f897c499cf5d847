package whole

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/jung-kurt/gofpdf"

	"ironbed/examples"
)

// The page as render/pdf lays it out [pt], with y downwards.
const (
	bodyTop     = 66.0  // end of the page's head
	bodyBottom  = 785.0 // beginning of its foot
	paperHeight = 841.89
)

// What a page is held to.
const (
	mostBlank    = 1.0 / 3 // of the body, below the last thing on a page
	headingSize  = 10.5    // letters from which a line is a heading [pt]
	shortRows    = 12      // a table of fewer rows is not divided
	tallestTable = 0.25    // of the body; one taller than that may be
)

// A mark is a piece of text on a page, or a level line.
type mark struct {
	text        string // "" for a line
	size        float64
	x, y, width float64
	thick       float64 // of a line
}

// A sheetOfPaper is what stands on one page.
type sheetOfPaper struct {
	marks  []mark  // in the order in which they are drawn
	lowest float64 // of all that is drawn in the body, pictures too
}

// pdfPages reads the pages of a PDF that our own program wrote.
func pdfPages(t testing.TB, file []byte) (pages []sheetOfPaper) {
	t.Helper()
	start := regexp.MustCompile(`(?s)<<([^>]*)>>\s*stream\n`)
	for _, at := range start.FindAllSubmatchIndex(file, -1) {
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
		if bytes.Contains(content, []byte(" Tj ET")) {
			pages = append(pages, readPage(content))
		}
	}
	return pages
}

// A drawing is the state of a page's commands: the matrix, and how thick lines are.
type drawing struct{ a, b, c, d, e, f, width float64 }

// plain reports whether what is drawn stands on the page itself, in no picture.
func (d drawing) plain() bool { return d == drawing{a: 1, d: 1, width: d.width} }

var operators = regexp.MustCompile(`(?s)\((?:\\.|[^\\)])*\)|/?[A-Za-z][A-Za-z0-9]*\*?|[-+]?[0-9]*\.?[0-9]+`)

// readPage runs a page's commands, as far as places need them.
func readPage(content []byte) sheetOfPaper {
	page := sheetOfPaper{lowest: bodyTop}
	now := drawing{a: 1, d: 1}
	var saved []drawing
	var numbers []float64
	var text string
	var size float64
	var from, to [2]float64 // of the path's last piece
	number := func(i int) float64 {
		if i = len(numbers) - i; i >= 0 {
			return numbers[i]
		}
		return 0
	}
	place := func(x, y float64) [2]float64 {
		return [2]float64{now.a*x + now.c*y + now.e, paperHeight - (now.b*x + now.d*y + now.f)}
	}
	seen := func(p [2]float64) {
		if p[1] > bodyTop && p[1] < bodyBottom {
			page.lowest = math.Max(page.lowest, p[1])
		}
	}
	for _, word := range operators.FindAllString(string(content), -1) {
		if v, err := strconv.ParseFloat(word, 64); err == nil {
			numbers = append(numbers, v)
			continue
		}
		switch word {
		case "q":
			saved = append(saved, now)
		case "Q":
			if n := len(saved); n > 0 {
				now, saved = saved[n-1], saved[:n-1]
			}
		case "cm":
			m := now
			a, b, c, d, e, f := number(6), number(5), number(4), number(3), number(2), number(1)
			now.a, now.b = a*m.a+b*m.c, a*m.b+b*m.d
			now.c, now.d = c*m.a+d*m.c, c*m.b+d*m.d
			now.e, now.f = e*m.a+f*m.c+m.e, e*m.b+f*m.d+m.f
		case "w":
			now.width = number(1)
		case "Tf":
			size = number(1)
		case "m", "l":
			from, to = to, place(number(2), number(1))
			seen(to)
		case "re":
			seen(place(number(4), number(3)))
			seen(place(number(4), number(3)+number(1)))
		case "c":
			seen(place(number(2), number(1)))
		case "S":
			if from[1] == to[1] && now.plain() {
				page.marks = append(page.marks, mark{x: from[0], y: from[1], width: to[0] - from[0], thick: now.width})
			}
		case "Td":
			to = place(number(2), number(1))
		case "Tj":
			seen(to)
			if now.plain() && to[1] > bodyTop && to[1] < bodyBottom {
				page.marks = append(page.marks, mark{text: text, size: size, x: to[0], y: to[1]})
			}
		default:
			if word[0] == '(' {
				text = word
				continue
			}
		}
		numbers = numbers[:0]
	}
	return page
}

// A tableOnPage is the part of a table that stands on one page.
type tableOnPage struct {
	head        string // its words
	rows        int
	first       bool // nothing but its head stands above it
	last        bool // nothing stands below it
	top, bottom float64
}

// tablesOf finds the tables of a page by their rules: one of half a point below the
// head, and hair lines of the same width below the rows.
func tablesOf(page sheetOfPaper) (list []tableOnPage) {
	for i, m := range page.marks {
		if m.text != "" || math.Abs(m.thick-0.5) > 0.01 {
			continue
		}
		t := tableOnPage{top: m.y, bottom: m.y, first: true}
		y := m.y
		for k := i - 1; k >= 0; k-- { // the head's cells, drawn before its rule, cell by cell
			if above := page.marks[k]; above.text == "" {
				break
			} else {
				t.head = above.text + t.head
				y = math.Min(y, above.y)
			}
		}
		for _, above := range page.marks[:i] {
			if above.text != "" && above.y < y {
				t.first = false
			}
		}
		for _, row := range page.marks[i+1:] {
			if row.text == "" && math.Abs(row.thick-0.3) < 0.01 && math.Abs(row.width-m.width) < 0.1 && math.Abs(row.x-m.x) < 0.1 && row.y < bodyBottom {
				t.rows++
				t.bottom = row.y
			}
			if row.text == "" && math.Abs(row.thick-0.5) < 0.01 {
				break
			}
		}
		t.last = page.lowest <= t.bottom+0.5
		list = append(list, t)
	}
	return list
}

// faults says what is wrong with a document's pages: holes, headings without their
// text, short tables in two parts.
func faults(pages []sheetOfPaper) (list []string) {
	for i, page := range pages {
		if i == len(pages)-1 {
			break
		}
		if blank := (bodyBottom - page.lowest) / (bodyBottom - bodyTop); blank > mostBlank {
			list = append(list, fmt.Sprintf("page %d: %.0f %% of it is blank", i+1, 100*blank))
		}
		last := mark{y: bodyTop}
		for _, m := range page.marks {
			if m.text != "" && m.y >= last.y {
				last = m
			}
		}
		if last.size > headingSize && page.lowest < last.y+12 {
			list = append(list, fmt.Sprintf("page %d: it ends with a heading", i+1))
		}
		here, next := tablesOf(page), tablesOf(pages[i+1])
		if len(here) == 0 || len(next) == 0 {
			continue
		}
		a, b := here[len(here)-1], next[0]
		if a.last && b.first && a.head == b.head && a.rows+b.rows < shortRows && !b.last &&
			a.bottom-a.top+b.bottom-b.top < tallestTable*(bodyBottom-bodyTop) {
			list = append(list, fmt.Sprintf("page %d: a table of %d rows is divided", i+1, a.rows+b.rows))
		}
	}
	return list
}

// TestPagesAreFull measures the documents of the examples.
func TestPagesAreFull(t *testing.T) {
	for _, name := range examples.Names() {
		for _, document := range []string{"report", "derivations"} {
			file, err := os.ReadFile(filepath.Join(exampleDir(name), "report", document+".pdf"))
			if err != nil {
				t.Fatal(err)
			}
			pages := pdfPages(t, file)
			tables, headings := 0, 0
			for _, p := range pages {
				for _, found := range tablesOf(p) {
					if found.head != "" && found.rows > 0 {
						tables++
					}
				}
				for _, m := range p.marks {
					if m.text != "" && m.size > headingSize {
						headings++
					}
				}
			}
			if len(pages) < 10 || tables < len(pages) || headings < len(pages)/2 {
				t.Fatalf("%s, %s: only %d tables and %d headings are read on %d pages", name, document, tables, headings, len(pages))
			}
			for _, f := range faults(pages) {
				t.Errorf("%s, %s, %s", name, document, f)
			}
		}
	}
}

// TestFaultsOfPagesAreFound draws documents with a fault each.
func TestFaultsOfPagesAreFound(t *testing.T) {
	rule := func(doc *gofpdf.Fpdf, y, thick float64) {
		doc.SetLineWidth(thick)
		doc.Line(51, y, 300, y)
	}
	text := func(doc *gofpdf.Fpdf, y, size float64, words string) {
		doc.SetFont("Helvetica", "", size)
		doc.Text(51, y, words)
	}
	rows := func(doc *gofpdf.Fpdf, y float64, count int) {
		rule(doc, y-12, 0.8)
		text(doc, y, 8.5, "head")
		rule(doc, y+4, 0.5)
		for i := range count {
			text(doc, y+18+16*float64(i), 8.5, "row")
			rule(doc, y+22+16*float64(i), 0.3)
		}
	}
	for _, c := range []struct {
		what string
		draw func(doc *gofpdf.Fpdf)
		want string
	}{
		{"nothing", func(doc *gofpdf.Fpdf) {
			text(doc, 700, 9.5, "text")
			doc.AddPage()
			text(doc, 80, 9.5, "text")
		}, ""},
		{"a page half full", func(doc *gofpdf.Fpdf) {
			text(doc, 400, 9.5, "text")
			doc.AddPage()
			text(doc, 80, 9.5, "text")
		}, "page 1: 54 % of it is blank"},
		{"a heading at the end", func(doc *gofpdf.Fpdf) {
			text(doc, 700, 9.5, "text")
			text(doc, 770, 14.5, "Heading")
			rule(doc, 775, 0.7)
			doc.AddPage()
			text(doc, 80, 9.5, "text")
		}, "page 1: it ends with a heading"},
		{"a short table in two parts", func(doc *gofpdf.Fpdf) {
			rows(doc, 700, 3)
			doc.AddPage()
			rows(doc, 80, 4)
			text(doc, 300, 9.5, "text")
		}, "page 1: a table of 7 rows is divided"},
		{"a long table in two parts", func(doc *gofpdf.Fpdf) {
			rows(doc, 650, 7)
			doc.AddPage()
			rows(doc, 80, 6)
			text(doc, 300, 9.5, "text")
		}, ""},
	} {
		doc := gofpdf.New("P", "pt", "A4", "")
		doc.SetAutoPageBreak(false, 0)
		doc.AddPage()
		c.draw(doc)
		var file bytes.Buffer
		if err := doc.Output(&file); err != nil {
			t.Fatal(err)
		}
		pages := pdfPages(t, file.Bytes())
		if len(pages) != 2 {
			t.Fatalf("%s: %d pages are read", c.what, len(pages))
		}
		if got := strings.Join(faults(pages), "; "); got != c.want {
			t.Errorf("%s: found %q, want %q", c.what, got, c.want)
		}
	}
}
