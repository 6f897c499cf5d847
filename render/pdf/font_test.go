package pdf

import (
	"testing"
)

// neededRunes are the characters of the report's formulas, units and words.
const neededRunes = "µμ≤≥<>²³¹⁰⁴⁵⁶⁷⁸⁹⁻⁺₀₁₂×·±–—−°′″√∞≈≠∂∆∑∫→←↑↓…•‰½¼¾‘’“”«»" +
	"αβγδεζηθικλμνξοπρσςτυφχψωΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩ" +
	"ÄÖÜäöüßÅåÆæØøÉéèêçñŁłŠšŽžČčŐőŰűŞşĞğİı§&@#%/\\|~^_{}[]()*+=-'\"`$€£" +
	"0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ .,;:!?□"

func fonts(t *testing.T) *fontSet {
	t.Helper()
	set, err := newFontSet()
	if err != nil {
		t.Fatal(err)
	}
	return set
}

func TestFontsHaveWhatReportsNeed(t *testing.T) {
	set := fonts(t)
	for _, r := range neededRunes {
		if !set.has(r) {
			t.Errorf("a font lacks %q (%U)", r, r)
		}
	}
}

func TestStandInsCanBeShown(t *testing.T) {
	set := fonts(t)
	for r, instead := range standIns {
		if set.has(r) && instead != "" && r != '\u2007' {
			t.Errorf("%q (%U) needs no stand-in", r, r)
		}
		for _, s := range instead {
			if !set.has(s) {
				t.Errorf("the stand-in for %q holds %q, which a font lacks", r, s)
			}
		}
	}
}

func TestPrintable(t *testing.T) {
	set := fonts(t)
	for text, want := range map[string]string{
		"41 µm ≤ 10⁻⁴ m²":       "41 µm ≤ 10⁻⁴ m²",
		"⌀ 25\u202fmm":          "Ø 25\u00a0mm",
		"a\tb\u200bc\x00d\x1be": "a bcde",
		"machine 🛠":             "machine □",
		"日本":                    "□□",
		"e\u0301":               "e",
		"a\uffffb":              "a□b",
	} {
		if got := set.printable(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
}

func TestWidthAdds(t *testing.T) {
	set := fonts(t)
	for _, st := range []style{0, bold, italic, bold | italic, mono, mono | bold} {
		whole := set.width(st, 10*pt, "moment of inertia")
		parts := set.width(st, 10*pt, "moment of") + set.width(st, 10*pt, " inertia")
		if whole != parts || whole <= 0 {
			t.Errorf("style %d: %d is not %d", st, whole, parts)
		}
	}
	if a, b := set.width(mono, 10*pt, "iiii"), set.width(mono, 10*pt, "MMMM"); a != b {
		t.Errorf("the code font is not of one width: %d and %d", a, b)
	}
}
