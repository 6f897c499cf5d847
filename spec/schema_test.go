package spec

import (
	"reflect"
	"slices"
	"testing"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/parser"

	"ironbed/schema"
)

// TestSchemaAndStructs holds the schema and the Go structs together: every field
// of the one is a field of the other.
func TestSchemaAndStructs(t *testing.T) {
	shapes := readShapes(parseSchema())
	compareShape(t, "Machine", shapes["Machine"], reflect.TypeFor[Machine](), map[reflect.Type]bool{})
}

func compareShape(t *testing.T, path string, s *shape, typ reflect.Type, seen map[reflect.Type]bool) {
	for typ.Kind() == reflect.Pointer {
		typ = typ.Elem()
	}
	switch s.kind {
	case mapShape, listShape, tupleShape:
		element := s.element
		if s.kind == tupleShape {
			element = s.tuple[0]
		}
		if typ.Kind() != reflect.Slice && typ.Kind() != reflect.Array {
			t.Errorf("%s is a list or a map in the schema and %v in Go", path, typ)
			return
		}
		inner := typ.Elem()
		if s.kind == mapShape {
			field, ok := inner.FieldByName("Item")
			if !ok {
				t.Errorf("%s is a map in the schema and %v in Go", path, typ)
				return
			}
			inner = field.Type
		}
		compareShape(t, path+".*", element, inner, seen)
	case measureShape:
		if typ != valueType {
			t.Errorf("%s is a quantity in the schema and %v in Go", path, typ)
		}
	case structShape:
		if seen[typ] {
			return
		}
		seen[typ] = true
		var tags []string
		for i := range typ.NumField() {
			tag, ok := typ.Field(i).Tag.Lookup("cue")
			if !ok {
				continue
			}
			tags = append(tags, tag)
			f := s.field(tag)
			if f == nil {
				t.Errorf("%s.%s is in Go and not in the schema", path, tag)
				continue
			}
			compareShape(t, path+"."+tag, f.shape, typ.Field(i).Type, seen)
		}
		for _, f := range s.fields {
			if f.name != "template" && !slices.Contains(tags, f.name) {
				t.Errorf("%s.%s is in the schema and not in Go", path, f.name)
			}
		}
	}
}

// TestCatalogueRows: the rows that are found in the text of the catalogue are those that
// CUE's parser finds, in its order.
func TestCatalogueRows(t *testing.T) {
	count := 0
	for _, f := range schema.Catalogue() {
		parsed, err := parser.ParseFile(f.Name, f.Text)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range parsed.Decls {
			field, ok := d.(*ast.Field)
			if !ok {
				continue
			}
			name, _, _ := ast.LabelName(field.Label)
			names := CatalogueNames(Kind(name))
			for i, row := range field.Value.(*ast.StructLit).Elts {
				row := row.(*ast.Field)
				key, _, _ := ast.LabelName(row.Label)
				if i >= len(names) || names[i] != key {
					t.Fatalf("row %d of %s is %q and missing among the names", i, name, key)
				}
				text := string(f.Text[row.Value.Pos().Offset():row.Value.End().Offset()])
				if got := readCatalogue().texts[Kind(name)][key]; got != text {
					t.Errorf("%s of %s is read as %s", key, name, got)
				}
				count++
			}
			if n := len(field.Value.(*ast.StructLit).Elts); n != len(names) {
				t.Errorf("%s has %d rows and %d names", name, n, len(names))
			}
		}
	}
	if count < 500 {
		t.Errorf("%d rows", count)
	}
}

// TestCatalogue reads every row of the catalogue: a row that the schema does not
// allow panics.
func TestCatalogue(t *testing.T) {
	for _, name := range CatalogueNames(KindSections) {
		if FromCatalogue[Section](KindSections, name) == nil {
			t.Error(name)
		}
	}
	for _, name := range CatalogueNames(KindMaterials) {
		FromCatalogue[Material](KindMaterials, name)
	}
	for _, name := range CatalogueNames(KindMixes) {
		FromCatalogue[Mix](KindMixes, name)
	}
	for _, name := range CatalogueNames(KindRails) {
		FromCatalogue[Rail](KindRails, name)
	}
	for _, name := range CatalogueNames(KindSpindles) {
		FromCatalogue[Shaft](KindSpindles, name)
	}
	for _, name := range CatalogueNames(KindWorkMaterials) {
		w := FromCatalogue[WorkMaterial](KindWorkMaterials, name)
		if w.Carbide == nil && w.HighSpeedSteel == nil {
			t.Errorf("%s has no edge", name)
		}
		if w.Mark.Text == "" {
			t.Errorf("%s has no mark", name)
		}
	}
}

// TestNearest: letters' case aside, a third of a word may be wrong.
func TestNearest(t *testing.T) {
	words := []string{"sections", "spindle", "supply"}
	for word, want := range map[string]string{"section": "sections", "Spindel": "spindle", "suply": "supply", "colour": "", "": ""} {
		if got := Nearest(word, words); got != want {
			t.Errorf("%q: got %q, want %q", word, got, want)
		}
	}
}
