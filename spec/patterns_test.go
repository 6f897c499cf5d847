package spec

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"testing"

	"ironbed/spec/quantity"
)

const patternsFile = "../schema/machine/quantities.cue"

// TestPatterns keeps the schema's quantity patterns true to the parser. With
// IRONBED_GOLDEN set the file is written anew.
func TestPatterns(t *testing.T) {
	want := patterns()
	if os.Getenv("IRONBED_GOLDEN") != "" {
		if err := os.WriteFile(patternsFile, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(patternsFile)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is stale; run `make golden`", patternsFile)
	}
}

// patterns writes the quantity definitions of the schema.
func patterns() []byte {
	var b bytes.Buffer
	b.WriteString("package machine\n\n// Quantities: strings with a unit. This file is generated from the parser by\n// `make golden`; do not edit it.\n")
	var names []string
	for name := range measures {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		m := measures[name]
		kind := "either sign"
		if m.positive {
			kind = "more than zero"
		}
		fmt.Fprintf(&b, "\n// #%s is %s such as %s, %s.\n", name, m.dimension.Word(), m.dimension.Example(), kind)
		plain := ""
		if m.dimension == quantity.Ratio {
			plain = "number | "
		}
		fmt.Fprintf(&b, "#%s: %s=~#\"%s\"#\n", name, plain, quantity.Pattern(m.dimension))
	}
	return b.Bytes()
}
