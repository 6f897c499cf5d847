package verify

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"iter"
	"maps"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Inputs are the named inputs of a check, with the units in their names.
type Inputs struct {
	t      testing.TB
	id     string
	values map[string]any
}

// Number returns an input that is a number.
func (in Inputs) Number(name string) float64 {
	in.t.Helper()
	v, ok := in.values[name].(float64)
	if !ok {
		in.t.Fatalf("%s: no number %q in %v", in.id, name, in.values)
	}
	return v
}

// Numbers returns an input that is a list of numbers.
func (in Inputs) Numbers(name string) []float64 {
	in.t.Helper()
	list, ok := in.values[name].([]any)
	if !ok {
		in.t.Fatalf("%s: no list %q in %v", in.id, name, in.values)
	}
	numbers := make([]float64, len(list))
	for i, v := range list {
		if numbers[i], ok = v.(float64); !ok {
			in.t.Fatalf("%s: %q holds %v", in.id, name, v)
		}
	}
	return numbers
}

// Text returns an input that is a word.
func (in Inputs) Text(name string) string {
	in.t.Helper()
	v, ok := in.values[name].(string)
	if !ok {
		in.t.Fatalf("%s: no word %q in %v", in.id, name, in.values)
	}
	return v
}

// Part returns an input that has inputs of its own.
func (in Inputs) Part(name string) Inputs {
	in.t.Helper()
	v, ok := in.values[name].(map[string]any)
	if !ok {
		in.t.Fatalf("%s: no part %q in %v", in.id, name, in.values)
	}
	return Inputs{in.t, in.id + " " + name, v}
}

// Parts returns an input that is a list of such.
func (in Inputs) Parts(name string) []Inputs {
	in.t.Helper()
	list, ok := in.values[name].([]any)
	if !ok {
		in.t.Fatalf("%s: no list %q in %v", in.id, name, in.values)
	}
	parts := make([]Inputs, len(list))
	for i, v := range list {
		values, ok := v.(map[string]any)
		if !ok {
			in.t.Fatalf("%s: %q holds %v", in.id, name, v)
		}
		parts[i] = Inputs{in.t, in.id, values}
	}
	return parts
}

// Has reports whether there is an input of the name.
func (in Inputs) Has(name string) bool {
	_, ok := in.values[name]
	return ok
}

// Rows holds the formulas of a discipline against a table of checks, see Table.
func Rows(t testing.TB, file string, formulas map[string]func(in Inputs) []float64) {
	t.Helper()
	Table{File: file, Formulas: formulas}.Check(t)
}

// A Table is a table of checks, a CSV file with the columns id, what, inputs, expected, unit, tolerance, source and mark, with
// the formulas of a discipline. A tolerance is "exact", "rel" or "abs" with a number, and after it the reason of a wide one. What belongs to a row is found by its whole id, or by the part before the point. Every row
// has either a formula or the reason why there is none, and nothing is without a row.
type Table struct {
	File     string
	Formulas map[string]func(in Inputs) []float64
	Sampled  map[string]Tolerance // the tolerance of a formula that draws samples, in place of that of the row
	Struck   map[string]string    // why a row has no formula
}

// A Tolerance is how far an answer may be off, with the reason.
type Tolerance struct {
	Absolute float64
	Why      string
}

// markKinds are the kinds by the marks of a table.
var markKinds = map[string]Kind{"published": Published, "independent": Independent, "memory": Memory, "common practice": Practice}

// whole is the tolerance of whole numbers.
const whole = 1e-9

// of finds what belongs to a row.
func of[T any](m map[string]T, id string) (value T, key string, ok bool) {
	if value, ok = m[id]; ok {
		return value, id, true
	}
	key, _, _ = strings.Cut(id, ".")
	value, ok = m[key]
	return value, key, ok
}

// Check holds the formulas against the table.
func (table Table) Check(t testing.TB) {
	t.Helper()
	f, err := os.Open(table.File)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := func(row []string, column string) string {
		i := slices.Index(rows[0], column)
		if i < 0 {
			t.Fatalf("%s: no column %q", table.File, column)
		}
		return row[i]
	}
	used := map[string]bool{}
	for _, row := range rows[1:] {
		id := at(row, "id")
		why, struck, out := of(table.Struck, id)
		if out {
			used[struck] = true
		}
		if out && why == "" {
			t.Errorf("%s: struck without a reason", id)
		}
		formula, key, ok := of(table.Formulas, id)
		if ok == out {
			t.Errorf("%s: a formula %v, struck %v", id, ok, out)
		}
		if !ok {
			continue
		}
		used[key] = true
		in := Inputs{t: t, id: id}
		if err := json.Unmarshal([]byte(at(row, "inputs")), &in.values); err != nil {
			t.Fatalf("%s: %v", id, err)
		}
		var want []float64
		expected := at(row, "expected")
		if !strings.HasPrefix(expected, "[") {
			expected = "[" + expected + "]"
		}
		if err := json.Unmarshal([]byte(expected), &want); err != nil {
			t.Fatalf("%s: %v", id, err)
		}
		c := Case{ID: id, Quantity: at(row, "what"), Unit: at(row, "unit"), Source: at(row, "source"), Kind: markKinds[at(row, "mark")]}
		if c.Kind == "" {
			t.Errorf("%s: mark %q", id, at(row, "mark"))
		}
		words := strings.Fields(at(row, "tolerance"))
		if len(words) == 1 && words[0] == "exact" {
			words = []string{"abs", fmt.Sprint(whole)}
		}
		if len(words) < 2 {
			t.Fatalf("%s: no tolerance", id)
		}
		c.Why = strings.Join(words[2:], " ")
		tolerance, err := strconv.ParseFloat(words[1], 64)
		if err != nil {
			t.Fatalf("%s: %v", id, err)
		}
		switch words[0] {
		case "abs":
			c.AbsTol = tolerance
		case "rel":
			c.RelTol = tolerance
		default:
			t.Fatalf("%s: tolerance %v", id, words)
		}
		if sampled, key, ok := of(table.Sampled, id); ok {
			used[key] = true
			if sampled.Why == "" {
				t.Errorf("%s: a tolerance without a reason", id)
			}
			c.AbsTol, c.RelTol, c.Why = sampled.Absolute, 0, sampled.Why
		}
		got := formula(in)
		if len(got) != len(want) {
			t.Errorf("%s: %d values, want %d", id, len(got), len(want))
			continue
		}
		for i := range want {
			one := c
			if one.Want = want[i]; len(want) > 1 {
				one.ID = fmt.Sprintf("%s[%d]", id, i+1)
			}
			Check(t, one, got[i])
		}
	}
	for _, keys := range []iter.Seq[string]{maps.Keys(table.Formulas), maps.Keys(table.Sampled), maps.Keys(table.Struck)} {
		for key := range keys {
			if !used[key] {
				t.Errorf("%s: without a row", key)
			}
		}
	}
}
