package pdf

import (
	"strings"
	"testing"
)

// wordsOf returns lines as text, for reading.
func wordsOf(lines []line) string {
	var all []string
	for _, l := range lines {
		var s strings.Builder
		for _, f := range l.fragments {
			s.WriteString(f.text)
		}
		all = append(all, strings.ReplaceAll(s.String(), "\u00a0", "_"))
	}
	return strings.Join(all, "/")
}

func sized(text string, st style) span { return span{text: text, size: 10 * pt, style: st} }

func TestLinesBreakWhereTheyMay(t *testing.T) {
	set := typesetter{fonts(t)}
	width := func(text string) length { return set.fonts.width(0, 10*pt, text) }
	for _, c := range []struct {
		spans []span
		width length
		want  string
	}{
		{[]span{sized("one two three", 0)}, width("one two"), "one two/three"},
		{[]span{sized("one  two", 0)}, width("one two"), "one two"},
		{[]span{sized("a depth of 1.5 mm, then", 0)}, width("a depth of 1.5"), "a depth of/1.5_mm, then"},
		{[]span{sized("hollow 150 × 100 × 6 steel", 0)}, width("hollow 150 × 100 ×"), "hollow/150_×_100_×_6/steel"},
		{[]span{sized("41 (33 to 52) or so", 0)}, width("(33 to 52) or"), "41/(33_to_52) or/so"},
		{[]span{sized("from 2 to many", 0)}, width("from 2"), "from 2/to/many"},
		{[]span{sized("moving-gantry", 0)}, width("moving-"), "moving-/gantry"},
		{[]span{sized("-5 to -3", 0)}, width("-5 to"), "-5_to/_-3"},
		{[]span{sized("unbreakable", 0)}, width("unbre"), "unbre/akabl/e"},
		{[]span{sized("a\nb", 0)}, width("a b c d"), "a/b"},
		{[]span{sized("one ", 0), sized("two", bold), sized(", three", 0)}, width("one two,") * 11 / 10, "one two,/three"},
		{nil, width("x"), ""},
	} {
		if got := wordsOf(set.lines(c.spans, c.width)); got != c.want {
			t.Errorf("%q broken to %q, want %q", wordsOf(set.lines(c.spans, 1000*mm)), got, c.want)
		}
	}
}

func TestLongCodeBreaksAtItsDots(t *testing.T) {
	set := typesetter{fonts(t)}
	width := set.fonts.width(mono, 10*pt, "axis.x.drive.critical_")
	if got := wordsOf(set.lines([]span{sized("axis.x.drive.critical_speed_margin", mono)}, width)); got != "axis.x.drive.critical_/speed_margin" {
		t.Errorf("long code is broken to %q", got)
	}
	if got := wordsOf(set.lines([]span{sized("stiffness ", 0), sized("member.bed.near_1.bending_y", mono)}, width*13/10)); got != "stiffness/member.bed.near_1.bending_y" {
		t.Errorf("code that fits on a line of its own is broken to %q", got)
	}
	if got := wordsOf(set.lines([]span{sized("see machine.cue:34", mono)}, set.fonts.width(mono, 10*pt, "see machine."))); got != "see/machine.cue:/34" &&
		got != "see/machine.cue:3/4" &&
		got != "see/machine.cue/:34" {
		t.Errorf("short code is broken to %q", got)
	}
}

func TestNoLineIsTooWide(t *testing.T) {
	set := typesetter{fonts(t)}
	spans := []span{sized("The gantry beam: hollow 200 × 100 × 8 in place of 150 × 100 × 6; ", 0), sized("deflection 19 µm", bold),
		sized(" (", 0), sized("bodies.gantry.members.beam.section.of.a.rather.long.name", mono), sized(") thewordthathasnoendanywhereinsight", italic)}
	for width := 20 * pt; width < 500*pt; width += 7 * pt {
		for _, l := range set.lines(spans, width) {
			if l.width > width {
				t.Fatalf("a line of %d is wider than %d: %s", l.width, width, wordsOf([]line{l}))
			}
			var sum length
			for _, f := range l.fragments {
				if f.x != sum {
					t.Fatalf("a piece stands at %d, want %d", f.x, sum)
				}
				sum += f.width
			}
		}
	}
	least, most := set.extent(spans)
	if got := set.lines(spans, most); len(got) != 1 {
		t.Errorf("text does not fit on a line of its own width")
	}
	for _, l := range set.lines(spans, least) {
		for _, f := range l.fragments {
			if strings.HasPrefix(f.text, "endanywhere") {
				t.Error("a word is broken though the line is as wide as it")
			}
		}
	}
}
