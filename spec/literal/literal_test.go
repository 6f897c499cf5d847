package literal

import "testing"

func TestUnfit(t *testing.T) {
	for _, s := range []string{"", "a", "a\nb\tc\r\n", "µ ≤ ²", "ось", "主轴", "e\u0301", "👩\u200d🔧", "`", "<&>"} {
		if r, bad := Unfit(s); bad {
			t.Errorf("%q is refused for %U", s, r)
		}
	}
	// Unicode 16: control characters (Cc), bidirectional controls (UAX 9), separators,
	// noncharacters, tags.
	for _, r := range "\x00\x07\x1b\x7f\u0080\u009b\u061c\u200e\u202a\u202e\u2066\u2069\u2028\u2029\ufeff\ufdd0\uffff\U0001fffe\U000e0041\ufffd" {
		if got, bad := Unfit("a" + string(r)); !bad || got != r {
			t.Errorf("%U is fit", r)
		}
	}
}

func TestBackticksComeBack(t *testing.T) {
	for _, s := range []string{"`a` and `b", "```", "", "no backtick"} {
		if got := Show(Keep(s)); got != s {
			t.Errorf("%q comes back as %q", s, got)
		}
	}
}
