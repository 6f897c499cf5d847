package render

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"ironbed/compiler/build"
)

// pages makes the HTML documents of a build.
func pages(t *testing.T, b *build.Build) map[string]string {
	t.Helper()
	d := newDocuments(b)
	out := map[string]string{}
	for name, w := range map[string]*writer{reportName: d.report(true), derivationsName: d.derivations(true), bookName: d.book(true)} {
		content, err := d.html(name, w.bytes())
		if err != nil {
			t.Fatal(err)
		}
		out[name+".html"] = string(content)
	}
	return out
}

// TestEveryFigureIsDerived finds each figure once in the derivations.
func TestEveryFigureIsDerived(t *testing.T) {
	b := testBuild()
	page := pages(t, b)["derivations.html"]
	for _, f := range b.Figures.All() {
		if n := strings.Count(page, `id="`+anchorID(f.ID)+`"`); n != 1 {
			t.Errorf("figure %s stands there %d times", f.ID, n)
		}
	}
}

// TestLinksLeadSomewhere follows the links of the documents, in HTML and Markdown.
func TestLinksLeadSomewhere(t *testing.T) {
	b := testBuild()
	html := pages(t, b)
	ids := map[string][]string{}
	for name, page := range html {
		for _, m := range regexp.MustCompile(` id="([^"]+)"`).FindAllStringSubmatch(page, -1) {
			if slices.Contains(ids[name], m[1]) {
				t.Errorf("%s has the id %s twice", name, m[1])
			}
			ids[name] = append(ids[name], m[1])
		}
	}
	followed := map[string]int{}
	follow := func(from, to string) {
		name, id, _ := strings.Cut(to, "#")
		if name == "" {
			name = from
		}
		name = strings.TrimSuffix(name, ".md")
		if !strings.HasSuffix(name, ".html") {
			name += ".html"
		}
		if html[name] == "" || id != "" && !slices.Contains(ids[name], id) {
			t.Errorf("a link of %s leads to %s", from, to)
		}
		followed[from+" "+name]++
	}
	for name, page := range html {
		for _, m := range regexp.MustCompile(`href="([^"]+)"`).FindAllStringSubmatch(page, -1) {
			follow(name, m[1])
		}
	}
	for name, md := range map[string][]byte{"report.md": Markdown(b), "derivations.md": Derivations(b), "build-book.md": BuildBook(b)} {
		for _, m := range regexp.MustCompile(`[^!]\[[^\]]+\]\(([^)]+)\)`).FindAllStringSubmatch(string(md), -1) {
			follow(name, m[1])
		}
	}
	for _, way := range []string{"report.html derivations.html", "derivations.html report.html", "report.md derivations.html", "derivations.md report.html",
		"derivations.html build-book.html", "build-book.html derivations.html", "derivations.md build-book.html", "build-book.md report.html"} {
		if followed[way] == 0 {
			t.Errorf("no link leads from %s", way)
		}
	}
}

func TestNoRawHTMLInMarkdown(t *testing.T) {
	for _, md := range [][]byte{Markdown(testBuild()), Derivations(testBuild())} {
		if m := regexp.MustCompile("(?m)^<|[^`\\\\]<[a-z/!]").Find(md); m != nil {
			t.Errorf("raw HTML: %q", m)
		}
	}
}

func TestFold(t *testing.T) {
	for _, c := range []struct {
		paths []string
		want  string
	}{
		{[]string{"axes.x.friction", "axes.y.friction"}, "axes.{x, y}.friction"},
		{[]string{"spindle.radial", "spindle.axial"}, "spindle.{radial, axial}"},
		{[]string{`cutters."a.b".teeth`, `cutters."c".teeth`}, `cutters.{"a.b", "c"}.teeth`},
		{[]string{"b.1.m", "b.2.m", "b.3.m", "b.4.m", "b.5.m"}, "b.*.m"},
		{[]string{"a.x", "b.x", "a.x"}, "a.x b.x"},
		{[]string{"cabinet"}, "cabinet"},
	} {
		if got := strings.Join(fold(c.paths), " "); got != c.want {
			t.Errorf("%v: got %s, want %s", c.paths, got, c.want)
		}
	}
}

func TestFamilies(t *testing.T) {
	figure := func(id, label, formula string) build.Figure {
		return build.Figure{ID: id, Label: label, Formula: formula}
	}
	got := families([]build.Figure{
		figure("s.a.area", "area of section a", "A"), figure("s.b.area", "area of section b", "A"),
		figure("m.x", "mass of body x", "M"), figure("m.y", "mass of body y", "M"),
		figure("f", "alone", "F"),
	})
	var words []string
	for _, f := range got {
		words = append(words, f.name+" "+f.id+" "+strings.Join(f.labels, ","))
	}
	want := []string{"area s.*.area a,b", "mass m.* x,y", "alone f "}
	if !slices.Equal(words, want) {
		t.Errorf("got %q, want %q", words, want)
	}
}

func TestRowsOfEqualValuesFold(t *testing.T) {
	var tab table
	for _, part := range []string{"a", "b", "c", "d"} {
		tab.add(part, "[1](#"+part+")")
	}
	tab.add("e", "[2](#e)")
	tab.fold()
	want := [][]string{{"a … d (4)", "[1](#a)[](#b)[](#c)[](#d)"}, {"e", "[2](#e)"}}
	if len(tab.rows) != 2 || !slices.Equal(tab.rows[0], want[0]) || !slices.Equal(tab.rows[1], want[1]) {
		t.Errorf("got %q, want %q", tab.rows, want)
	}
}

func TestLimitsAreDemandAndLimit(t *testing.T) {
	limits := []build.Limit{
		{Name: "chatter", Depth: 1.5, Limiting: true, Demand: "1.5 mm", Limit: "1.5 mm", Note: "at 80 %"},
		{Name: "deflection", Depth: 2.5, Demand: "30 µm", Limit: "50 µm"},
		{Name: "flute length", Depth: 30, Demand: "1.5 mm", Limit: "30 mm"},
	}
	rows := func(a build.Target) string {
		w := newDocuments(&build.Build{}).writer(false)
		w.limitTable(a)
		return w.text.String()
	}
	cut := rows(build.Target{Limits: limits, Cut: []build.Setting{{Name: "depth", Value: 1.5, Unit: "mm"}}})
	for _, want := range []string{
		"| Chatter | 1.5 mm | 1.5 mm | 1.5 | **limits the cut** |",
		"| Deflection | 30 µm | 50 µm | 2.5 | ok |",
		"Chatter: at 80 %. Not limiting, with more than 5 times the depth: flute length.",
	} {
		if !strings.Contains(cut, want) {
			t.Errorf("no %q in\n%s", want, cut)
		}
	}
	none := rows(build.Target{Limits: []build.Limit{{Name: "spindle speed", Limiting: true, Demand: "3000 rpm", Limit: "2000 rpm"}}})
	if want := "| Spindle speed | 3000 rpm | 2000 rpm | – | **exceeded** |"; !strings.Contains(none, want) {
		t.Errorf("no %q in\n%s", want, none)
	}
}

func TestWeakPointsOfAPartStandTogether(t *testing.T) {
	var got []string
	for _, p := range byPart([]build.WeakPoint{{Part: "a", Direction: "X"}, {Part: "b", Direction: "Z"}, {Part: "c", Direction: "Y"},
		{Part: "b", Direction: "Y"}, {Part: "a", Direction: "Z"}}) {
		got = append(got, p.Part+p.Direction)
	}
	if want := []string{"aX", "aZ", "bZ", "bY", "cY"}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}
