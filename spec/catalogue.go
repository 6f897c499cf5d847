package spec

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"cuelang.org/go/cue/cuecontext"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/parser"

	"ironbed/schema"
)

// A Kind is a part of the catalogue.
type Kind string

// The kinds of the catalogue.
const (
	KindSections      Kind = "sections"
	KindMaterials     Kind = "materials"
	KindMixes         Kind = "mixes"
	KindRails         Kind = "rails"
	KindSpindles      Kind = "spindles"
	KindWorkMaterials Kind = "work_materials"
)

// Kinds lists the kinds of the catalogue in the order of the report.
var Kinds = []Kind{KindSections, KindMaterials, KindMixes, KindRails, KindSpindles, KindWorkMaterials}

// shapeNames are the schema's definitions of the rows.
var shapeNames = map[Kind]string{
	KindSections:      "Section",
	KindMaterials:     "Material",
	KindMixes:         "Mix",
	KindRails:         "Rail",
	KindSpindles:      "Shaft",
	KindWorkMaterials: "WorkMaterial",
}

// rows holds the text of the catalogue's rows. They are plain values, so a row is
// parsed and evaluated only when it is asked for.
type rows struct {
	names map[Kind][]string
	texts map[Kind]map[string]string // each a struct in its braces
}

var readCatalogue = sync.OnceValue(func() rows {
	r := rows{names: map[Kind][]string{}, texts: map[Kind]map[string]string{}}
	for _, f := range schema.Catalogue() {
		r.read(string(f.Text))
	}
	return r
})

// read finds the rows in the text of a file: the structs inside the structs at its
// top. All that it has to know of CUE is braces, quotes and comments.
func (r *rows) read(text string) {
	var kind Kind
	label, row := "", ""
	depth, from := 0, 0
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case strings.HasPrefix(text[i:], "//"):
			i += strings.IndexByte(text[i:], '\n')
		case c == '"':
			end := i + 1
			for ; text[end] != '"'; end++ {
				if text[end] == '\\' {
					end++
				}
			}
			label, _ = literal.Unquote(text[i : end+1])
			i = end
		case c == '_' || 'a' <= c && c <= 'z':
			end := i + 1
			for ; text[end] == '_' || 'a' <= text[end] && text[end] <= 'z'; end++ {
			}
			label = text[i:end]
			i = end - 1
		case c == '{':
			switch depth++; depth {
			case 1:
				kind = Kind(label)
				if r.texts[kind] == nil {
					r.texts[kind] = map[string]string{}
				}
			case 2:
				row, from = label, i
			}
		case c == '}':
			if depth--; depth == 1 {
				r.names[kind] = append(r.names[kind], row)
				r.texts[kind][row] = text[from : i+1]
			}
		}
	}
}

// CatalogueNames returns the names of a kind, in the order of the catalogue.
func CatalogueNames(kind Kind) []string { return slices.Clone(readCatalogue().names[kind]) }

// CatalogueNamesWith returns the names of the rows of a kind whose first field has
// the name.
func CatalogueNamesWith(kind Kind, field string) []string {
	r := readCatalogue()
	return slices.DeleteFunc(CatalogueNames(kind), func(name string) bool {
		return !strings.HasPrefix(r.texts[kind][name], "{"+field+":")
	})
}

// evaluated holds the rows that have been asked for, by kind and name.
var evaluated sync.Map

// FromCatalogue reads one row, or returns nil if there is none of the name. The
// caller may change the row, but not what it points to.
func FromCatalogue[T any](kind Kind, name string) *T {
	text, ok := readCatalogue().texts[kind][name]
	if !ok {
		return nil
	}
	key := [2]string{string(kind), name}
	if row, ok := evaluated.Load(key); ok {
		c := *row.(*T)
		return &c
	}
	expr, err := parser.ParseExpr("catalogue", text)
	if err != nil {
		panic("catalogue: " + name + ": " + err.Error()) // the catalogue is ours
	}
	shapes := schemaShapes()
	w := walker{outline: newOutline(), shapes: shapes}
	path := join(string(kind), name)
	if kind == KindSections { // its name stands for the row
		path = unsaid
	}
	tree := w.walk(path, cuecontext.New().BuildExpr(expr), shapes[shapeNames[kind]])
	if len(w.diagnostics) > 0 {
		panic("catalogue: " + name + ": " + w.diagnostics[0].Message) // the catalogue is ours
	}
	item := new(T)
	decode(tree, item)
	evaluated.Store(key, item)
	c := *item
	return &c
}

// lookup finds a part by name among the spec's own, then in the catalogue.
func lookup[T any](own Map[T], kind Kind, name string) *T {
	if item := own.Find(name); item != nil {
		return item
	}
	return FromCatalogue[T](kind, name)
}

// known lists the names that lookup would find.
func known[T any](own Map[T], kind Kind) []string {
	return append(own.Names(), CatalogueNames(kind)...)
}

// Material returns a structural material by name, nil if there is none.
func (m *Machine) Material(name string) *Material {
	return lookup(m.Materials, KindMaterials, name)
}

// Mix returns a mix by name, nil if there is none.
func (m *Machine) Mix(name string) *Mix { return lookup(m.Mixes, KindMixes, name) }

// WorkMaterial returns a material to be cut by name, nil if there is none.
func (m *Machine) WorkMaterial(name string) *WorkMaterial {
	return lookup(m.WorkMaterials, KindWorkMaterials, name)
}

// railSize is the nominal size in a catalogue rail's name.
var railSize = regexp.MustCompile(`\d+`)

// RailSeries splits the name of a catalogue rail: of "profiled rail 25, balls" the series
// "profiled rail , balls" and the nominal size "25" [mm], "" where the name has none.
func RailSeries(stock string) (series, size string) {
	at := railSize.FindStringIndex(stock)
	if at == nil {
		return stock, ""
	}
	return stock[:at[0]] + stock[at[1]:], stock[at[0]:at[1]]
}
