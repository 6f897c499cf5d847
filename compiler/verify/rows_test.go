package verify

import (
	"os"
	"path/filepath"
	"testing"
)

// A counter counts what a test would fail with.
type counter struct {
	testing.TB
	failed int
}

func (c *counter) Helper()               {}
func (c *counter) Errorf(string, ...any) { c.failed++ }

// A table fails where a value is off, where a row has no formula, where a formula has no row
// and where the number of values differs, and else not.
func TestRowsFail(t *testing.T) {
	t.Setenv("IRONBED_VERIFY", "")
	file := filepath.Join(t.TempDir(), "table.csv")
	table := "id,what,inputs,expected,unit,tolerance,source,mark\n" +
		`A1.1,double,"{""x"": 2}",4,m,abs 1e-9,by hand,independent` + "\n" +
		`A1.2,double,"{""x"": 3}",6.0001,m,rel 1e-4 (printed),by hand,independent` + "\n" +
		`A2.1,both,"{""list"": [1, 2], ""part"": {""word"": ""double""}}","[2, 4]",m,abs 1e-9,by hand,independent` + "\n"
	if err := os.WriteFile(file, []byte(table), 0o600); err != nil {
		t.Fatal(err)
	}
	double := func(in Inputs) []float64 { return []float64{2 * in.Number("x")} }
	both := func(in Inputs) (out []float64) {
		if in.Part("part").Text("word") != "double" {
			t.Error("the word is lost")
		}
		for _, v := range in.Numbers("list") {
			out = append(out, 2*v)
		}
		return out
	}
	for _, c := range []struct {
		what     string
		formulas map[string]func(Inputs) []float64
		want     int
	}{
		{"all right", map[string]func(Inputs) []float64{"A1": double, "A2.1": both}, 0},
		{"one value off", map[string]func(Inputs) []float64{
			"A1.1": func(in Inputs) []float64 { return []float64{4 + 1e-6} }, "A1.2": double, "A2.1": both}, 1},
		{"one of a list off", map[string]func(Inputs) []float64{"A1": double, "A2": func(Inputs) []float64 { return []float64{2, 5} }}, 1},
		{"too few values", map[string]func(Inputs) []float64{"A1": double, "A2": func(Inputs) []float64 { return []float64{2} }}, 1},
		{"no formula", map[string]func(Inputs) []float64{"A1": double}, 1},
		{"no row", map[string]func(Inputs) []float64{"A1": double, "A2": both, "A3": double}, 1},
	} {
		count := &counter{TB: t}
		Rows(count, file, c.formulas)
		if count.failed != c.want {
			t.Errorf("%s: %d failures, want %d", c.what, count.failed, c.want)
		}
	}
	for _, c := range []struct {
		what  string
		table Table
		want  int
	}{
		{"a row struck", Table{Formulas: map[string]func(Inputs) []float64{"A1": double}, Struck: map[string]string{"A2.1": "not of ours"}}, 0},
		{"no reason", Table{Formulas: map[string]func(Inputs) []float64{"A1": double}, Struck: map[string]string{"A2": ""}}, 1},
		{"struck and a formula", Table{Formulas: map[string]func(Inputs) []float64{"A1": double, "A2": both}, Struck: map[string]string{"A2": "no"}}, 1},
		{"struck without a row", Table{Formulas: map[string]func(Inputs) []float64{"A1": double, "A2": both}, Struck: map[string]string{"A3": "no"}}, 1},
		{"wider for samples", Table{Formulas: map[string]func(Inputs) []float64{"A1.1": func(Inputs) []float64 { return []float64{4.05} }, "A1": double, "A2": both},
			Sampled: map[string]Tolerance{"A1.1": {0.1, "few"}}}, 0},
		{"not wide enough", Table{Formulas: map[string]func(Inputs) []float64{"A1.1": func(Inputs) []float64 { return []float64{4.05} }, "A1": double, "A2": both},
			Sampled: map[string]Tolerance{"A1.1": {0.01, "few"}}}, 1},
		{"wider without a row", Table{Formulas: map[string]func(Inputs) []float64{"A1": double, "A2": both}, Sampled: map[string]Tolerance{"A3": {0.1, "few"}}}, 1},
	} {
		count := &counter{TB: t}
		c.table.File = file
		c.table.Check(count)
		if count.failed != c.want {
			t.Errorf("%s: %d failures, want %d", c.what, count.failed, c.want)
		}
	}
}
