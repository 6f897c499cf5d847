package verify

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
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

// Rows holds the formulas of a discipline against a table of checks, a CSV file with the
// columns id, what, inputs, expected, unit, tolerance and source. A formula is found by
// the whole id of the row, or by its part before the point. Every row has to have its
// formula and every formula a row.
func Rows(t testing.TB, file string, formulas map[string]func(in Inputs) []float64) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	table, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := func(row []string, column string) string {
		i := slices.Index(table[0], column)
		if i < 0 {
			t.Fatalf("%s: no column %q", file, column)
		}
		return row[i]
	}
	used := map[string]bool{}
	for _, row := range table[1:] {
		id := at(row, "id")
		formula, ok := formulas[id]
		key := id
		if !ok {
			key, _, _ = strings.Cut(id, ".")
			formula, ok = formulas[key]
		}
		if !ok {
			t.Errorf("%s: no formula", id)
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
		c := Case{ID: id, Quantity: at(row, "what"), Unit: at(row, "unit"), Source: at(row, "source")}
		words := strings.Fields(at(row, "tolerance"))
		if len(words) < 2 {
			t.Fatalf("%s: no tolerance", id)
		}
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
	for key := range formulas {
		if !used[key] {
			t.Errorf("%s: a formula without a row", key)
		}
	}
}
