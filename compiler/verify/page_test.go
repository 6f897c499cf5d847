package verify

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

// A source tells its kind by its words, the weakest first; one that names nobody has none.
func TestKindOf(t *testing.T) {
	for source, want := range map[string]Kind{
		"EN 1992-1-1:2004, table 3.3":                                       Published,
		"NAFEMS R0015, 1987, test 4":                                        Published,
		"Shigley, Mechanical Engineering Design, example 8-1 (from memory)": Memory,
		"Mott, Machine Elements, equation 8-27, worked by hand":             ByHand,
		"two-dimensional finite elements, case S15":                         Independent,
		"servo handbook, lead-screw table":                                  Unnamed,
		"rail practice, worked by hand":                                     Practice,
	} {
		if got, ok := KindOf(source); !ok || got != want {
			t.Errorf("%q is %q, want %q", source, got, want)
		}
	}
	for _, source := range []string{"", "someone said so"} {
		if got, ok := KindOf(source); ok {
			t.Errorf("%q is %q", source, got)
		}
	}
}

// The page counts every row once, by its kind and its package, and names the row that takes most of its tolerance.
func TestPage(t *testing.T) {
	row := func(id, in string, kind Kind, want, got float64) Row {
		return Row{Case: Case{ID: id, Quantity: "length", Want: want, RelTol: 0.01, Kind: kind}, Got: got, Package: in}
	}
	page := string(Page([]Row{
		row("a", "section", Published, 1, 1.001), row("b", "section", ByHand, 2, 2.01), row("c", "heat", Published, 3, 3),
	}, [][3]string{{"C9-001", "temperature", "not computed"}}))
	for _, says := range []string{"3 numbers of ours", "| published | 2 |", "| by hand | 1 |", "| section | 2 | 1 | 0 | 1 | 0 | 0 | 0 | b, length | 50 % |", "| C9-001 | temperature | not computed |"} {
		if !strings.Contains(page, says) {
			t.Errorf("no %q in\n%s", says, page)
		}
	}
}

// The README says the counts of the committed page.
func TestReadmeSaysThePage(t *testing.T) {
	page, err := os.ReadFile("VERIFICATION.md")
	if err != nil {
		t.Fatal(err)
	}
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, section, _ := strings.Cut(string(readme), "## What it was checked against")
	section, _, _ = strings.Cut(section, "\n## ")
	counts := regexp.MustCompile(`(?m)^(\d+) numbers of ours|^\| [a-z ]+ \| (\d+) \| [a-z]`).FindAllStringSubmatch(string(page), -1)
	if len(counts) != 7 {
		t.Fatalf("%d counts on the page", len(counts))
	}
	for _, c := range counts {
		if n := c[1] + c[2]; !regexp.MustCompile(`\b` + n + `\b`).MatchString(section) {
			t.Errorf("the README does not say %s: write the counts of the page anew", n)
		}
	}
}
