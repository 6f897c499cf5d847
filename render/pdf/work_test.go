package pdf

import (
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// sheetsToWorkBy are two sheets: with boxes, a table to be written on, and one that is not.
const sheetsToWorkBy = "# book\n\n## Contents\n\n- [Lift](#lift)\n- [Fill](#fill)\n\n## Lift\n\n- [ ] the hoist is rated\n- [ ] the way is clear\n\n" +
	"| lift | mass, kg | weighed, kg | signed |\n| :-- | --: | --: | :-- |\n| bed | 722 |  |  |\n| gantry | 88 |  |  |\n\n## Fill\n\n| part | kg |\n| :-- | --: |\n| cement | 18.9 |\n| sand | 29.8 |\n"

// TestSheetsToWorkBy: each sheet begins a page, boxes stand for the bullets, and there is room to write, in that document alone.
func TestSheetsToWorkBy(t *testing.T) {
	made := func(work bool) parsed {
		file, err := Render([]byte(sheetsToWorkBy), nil, Meta{Title: "t", Work: work})
		if err != nil {
			t.Fatal(err)
		}
		return parsePDF(t, file)
	}
	sheets, report := made(true), made(false)
	if len(sheets.pages) != 3 || len(report.pages) != 1 {
		t.Fatalf("%d pages of sheets, %d of a report", len(sheets.pages), len(report.pages))
	}
	if !strings.Contains(sheets.pages[0], "Contents") || !strings.Contains(sheets.pages[1], "rated") || !strings.Contains(sheets.pages[2], "cement") {
		t.Errorf("%q", sheets.pages)
	}
	if n := strings.Count(sheets.pages[1], "□"); n != 2 {
		t.Errorf("%d boxes", n)
	}
	upright := func(content string) (n int) { // lines down the page
		for _, m := range regexp.MustCompile(`([-\d.]+) ([-\d.]+) m ([-\d.]+) ([-\d.]+) l S`).FindAllStringSubmatch(content, -1) {
			if m[1] == m[3] && m[2] != m[4] {
				n++
			}
		}
		return n
	}
	if n := upright(sheets.contents[1]); n != 2*3 { // two columns, in the head and two rows
		t.Errorf("%d lines where to write", n)
	}
	if n := upright(sheets.contents[2]) + upright(report.contents[0]); n != 0 {
		t.Errorf("%d lines where nothing is written", n)
	}
	if a, b := betweenRows(t, sheets.contents[1]), betweenRows(t, report.contents[0]); !(a >= 8*float64(mm)/1000-0.01 && b < a) {
		t.Errorf("rows of %g and %g", a, b)
	}
}

// betweenRows is how far the first two names in a table stand apart [pt].
func betweenRows(t *testing.T, content string) float64 {
	t.Helper()
	var y []float64
	for _, m := range shownText.FindAllStringSubmatch(content, -1) {
		if text := utf16Text([]byte(m[3])); text == "bed" || text == "gantry" {
			v, err := strconv.ParseFloat(m[2], 64)
			if err != nil {
				t.Fatal(err)
			}
			y = append(y, v)
		}
	}
	if len(y) != 2 {
		t.Fatalf("%d names", len(y))
	}
	return y[0] - y[1]
}
