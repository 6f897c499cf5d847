// Package verify holds computed numbers against published ones. Each reference
// test of a discipline calls Check with the printed value and its source; with
// IRONBED_VERIFY set to a folder the rows are also written there, and
// `make verify` prints them as one table.
package verify

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A Case is one published value.
type Case struct {
	ID       string  `json:"id"`       // id of the check, unique in its package
	Quantity string  `json:"quantity"` // what is compared, in words
	Unit     string  `json:"unit"`     // unit of Want, "-" for none
	Source   string  `json:"source"`   // the publication, with page or table
	Want     float64 `json:"want"`     // the published value
	RelTol   float64 `json:"rel_tol"`  // allowed relative difference, from the printed digits
	AbsTol   float64 `json:"abs_tol"`  // allowed absolute difference, where a relative one has no meaning
	Why      string  `json:"why"`      // why the tolerance is wider than the printed digits
	Kind     Kind    `json:"kind"`     // where Want comes from; told by the words of the source where left out
}

// A Row is a case together with our own number.
type Row struct {
	Case
	Got        float64 `json:"got"`        // our value, in the case's unit
	Difference float64 `json:"difference"` // relative difference, absolute where Want is 0
	Package    string  `json:"package"`    // the package that was tested
}

// Check fails the test when got differs from the published value by more than
// the tolerance, and records the comparison for the verification table.
func Check(t testing.TB, c Case, got float64) {
	t.Helper()
	difference := got - c.Want
	if c.Want != 0 {
		difference /= math.Abs(c.Want)
	}
	if c.Kind == "" {
		var ok bool
		if c.Kind, ok = KindOf(c.Source); !ok {
			t.Errorf("%s %s: the source %q names no author with year or page, and says no other kind", c.ID, c.Quantity, c.Source)
		}
	}
	if c.RelTol == 0 && c.AbsTol == 0 {
		t.Errorf("%s %s: no tolerance", c.ID, c.Quantity)
	}
	if c.wide() && c.Why == "" {
		t.Errorf("%s %s: a tolerance of %.3g without a reason", c.ID, c.Quantity, math.Max(c.RelTol, c.AbsTol/math.Abs(c.Want)))
	}
	off := math.Abs(got - c.Want)
	if math.IsNaN(got) || off > math.Max(c.AbsTol, c.RelTol*math.Abs(c.Want)) {
		t.Errorf("%s %s: got %.6g %s, want %.6g (%s), off by %.3g, allowed %.3g relative or %.3g absolute",
			c.ID, c.Quantity, got, c.Unit, c.Want, c.Source, difference, c.RelTol, c.AbsTol)
	}
	record(t, Row{Case: c, Got: got, Difference: difference})
}

// wide reports whether the tolerance is more than a twentieth of the published value. A value that is nothing beside its tolerance is a zero that
// somebody rounded.
func (c *Case) wide() bool {
	want := math.Abs(c.Want)
	return c.RelTol > 0.05 || c.AbsTol > 0.05*want && want > 1e-6*c.AbsTol
}

// record appends the row to the table file of the running package.
func record(t testing.TB, row Row) {
	dir := os.Getenv("IRONBED_VERIFY")
	if dir == "" {
		return
	}
	wd, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	row.Package = filepath.Base(wd)
	line, err := json.Marshal(row)
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(dir, strings.ReplaceAll(row.Package, "/", "-")+".jsonl")
	f, err := os.OpenFile(name, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err := f.Write(append(line, '\n')); err != nil {
		t.Fatal(err)
	}
}
