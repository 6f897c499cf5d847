package whole

import (
	"regexp"
	"testing"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/spec"
)

// rawWords are words of the frame program and of its linear algebra, which no builder has written.
var rawWords = regexp.MustCompile(`(?i)\b(spring|link|node|member|mode|matrix|index) \d+\b|a band needs|eigen|pivot|singular|converge|panic|NaN|Inf\b`)

// TestExtremes: a value far from what is usual, or as uncertain as a beginner writes it, gives a report or is refused in the builder's
// words at a line of the spec.
func TestExtremes(t *testing.T) {
	m := sample.Example(t, "slipway-gantry")
	type extreme struct {
		path, value string
		compiles    bool // it has to
	}
	for _, c := range sample.Some([]extreme{
		// The middle of one of a screw's values meets the end of another.
		{"axes.y.drives.cross.screw.diameter", `"25 mm ± 20 %"`, true},
		{"axes.y.drives.cross.screw.lead", `"5 mm ± 20 %"`, true},
		{`cutters."12 mm three-flute".diameter`, `"12 mm ± 10 %"`, true},
		{"spindle.radial", `"1e-6 N/µm"`, false},
		{"spindle.radial", `"1e9 N/µm"`, false},
		{"spindle.axial", `"1e-9 N/µm"`, false},
		{"rails.long.lateral", `"1e-6 N/µm"`, false},
		{"rails.long.vertical", `"1e12 N/µm"`, false},
		{"materials.steel.elastic_modulus", `"1 Pa"`, false},
		{"bodies.bed.masses.table.mass", `"1e9 kg"`, false},
		{"axes.y.drives.cross.screw.diameter", `"1 mm"`, false},
		{"spindle.max_speed", `"1e9 rpm"`, false},
	}, 5) {
		with, err := m.With(spec.Edit{Path: c.path, Value: c.value})
		if err != nil {
			if c.compiles {
				t.Errorf("%s: %s: %v", c.path, c.value, err)
			}
			continue // said by the schema, with its line
		}
		b, findings := compiler.Answers(sample.Only(t, with, "keel band"), build.Tool{}, func(string) {})
		switch {
		case b == nil && c.compiles:
			t.Errorf("%s: %s: %v", c.path, c.value, findings)
		case b == nil && len(findings) == 0:
			t.Errorf("%s: %s: nothing is said", c.path, c.value)
		case b != nil:
			findings = b.Findings
		}
		for _, f := range findings {
			if raw := rawWords.FindString(f.Message); raw != "" {
				t.Errorf("%s: %s: %q in %s", c.path, c.value, raw, f)
			}
			if f.Severity == build.SeverityError && (f.At.File == "" || f.At.Line == 0) {
				t.Errorf("%s: %s: no place: %s", c.path, c.value, f)
			}
		}
	}
}
