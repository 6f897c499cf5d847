package document

import (
	"strings"
	"testing"

	"github.com/yuin/goldmark/ast"
)

func TestSlug(t *testing.T) {
	for heading, want := range map[string]string{
		"Weak points":            "weak-points",
		"How it bends & twists":  "how-it-bends--twists",
		"tool_steel* (annealed)": "tool_steel-annealed",
		"6082 aluminium":         "6082-aluminium",
		"Fräsmaschine":           "fräsmaschine",
	} {
		if got := Slug(heading); got != want {
			t.Errorf("%q becomes %q, want %q", heading, got, want)
		}
	}
}

func TestHeadingsOfOneNameAreNumbered(t *testing.T) {
	tree := Parse([]byte("# oak\n\n## oak\n\n### `oak`\n"))
	var ids []string
	for n := tree.FirstChild(); n != nil; n = n.NextSibling() {
		id, _ := n.AttributeString("id")
		ids = append(ids, string(id.([]byte)))
	}
	if got := strings.Join(ids, " "); got != "oak oak-1 oak-2" {
		t.Errorf("the ids are %s", got)
	}
}

func TestTextResolvesAsHTMLDoes(t *testing.T) {
	for md, want := range map[string]string{
		`a \* b`: "a * b", `\&lt;`: "&lt;", "&lt;&#181;&amp;": "<µ&", "`\\*&lt;`": `\*&lt;`, "one\ntwo": "one two", "one  \ntwo": "one\ntwo",
	} {
		source := []byte(md)
		if got := Words(Parse(source).FirstChild().(*ast.Paragraph), source); got != want {
			t.Errorf("%q reads %q, want %q", md, got, want)
		}
	}
}
