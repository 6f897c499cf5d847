package spec

import (
	"regexp"
	"slices"
	"sync"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/cuecontext"
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

// rows holds the syntax of the catalogue's rows. They are plain values, so a
// row is evaluated only when it is asked for.
type rows struct {
	names map[Kind][]string
	exprs map[Kind]map[string]ast.Expr
}

var readCatalogue = sync.OnceValue(func() rows {
	r := rows{names: map[Kind][]string{}, exprs: map[Kind]map[string]ast.Expr{}}
	for _, f := range schema.Catalogue() {
		parsed, err := parser.ParseFile("catalogue/"+f.Name, f.Text)
		if err != nil {
			panic(err) // the catalogue is ours
		}
		for _, d := range parsed.Decls {
			field, ok := d.(*ast.Field)
			if !ok {
				continue
			}
			name, _, _ := ast.LabelName(field.Label)
			kind := Kind(name)
			if r.exprs[kind] == nil {
				r.exprs[kind] = map[string]ast.Expr{}
			}
			for _, row := range field.Value.(*ast.StructLit).Elts {
				if row, ok := row.(*ast.Field); ok {
					key, _, _ := ast.LabelName(row.Label)
					r.names[kind] = append(r.names[kind], key)
					r.exprs[kind][key] = row.Value
				}
			}
		}
	}
	return r
})

// CatalogueNames returns the names of a kind, in the order of the catalogue.
func CatalogueNames(kind Kind) []string { return slices.Clone(readCatalogue().names[kind]) }

// evaluated holds the rows that have been asked for, by kind and name.
var evaluated sync.Map

// FromCatalogue reads one row, or returns nil if there is none of the name. The
// caller may change the row, but not what it points to.
func FromCatalogue[T any](kind Kind, name string) *T {
	expr, ok := readCatalogue().exprs[kind][name]
	if !ok {
		return nil
	}
	key := [2]string{string(kind), name}
	if row, ok := evaluated.Load(key); ok {
		c := *row.(*T)
		return &c
	}
	shapes := catalogueShapes()
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

var catalogueShapes = sync.OnceValue(func() map[string]*shape { return readShapes(parseSchema()) })

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
