package spec

import (
	"fmt"
	"math"
	"reflect"
)

var (
	valueType     = reflect.TypeFor[Value]()
	textType      = reflect.TypeFor[Text]()
	countType     = reflect.TypeFor[Count]()
	directionType = reflect.TypeFor[Direction]()
	placeType     = reflect.TypeFor[Place]()
)

// decode fills a struct of the machine from a checked tree. The walker has made
// sure that the tree fits.
func decode(t *tree, into any) {
	fill(t, reflect.ValueOf(into).Elem(), "")
}

// blank makes a part of the machine that the spec leaves out: its values know where
// they would stand.
func blank(path string, at Place, into any) {
	fill(&tree{path: path, at: at, label: at, fields: map[string]*tree{}}, reflect.ValueOf(into).Elem(), "")
}

// fill fills a value of the machine; tag is that of the field that holds it.
func fill(t *tree, v reflect.Value, tag reflect.StructTag) {
	if t == nil {
		return
	}
	switch v.Type() {
	case valueType:
		v.Set(reflect.ValueOf(Value{q: t.quantity, Text: t.text, At: t.at, Given: true, path: t.path, origin: t.from(), less: tag.Get("worse") == "low", log: tag.Get("spread") == "log"}))
		return
	case textType:
		v.Set(reflect.ValueOf(Text{Text: t.text, At: t.at, path: t.path}))
		return
	case countType:
		v.Set(reflect.ValueOf(Count{N: int(t.number), At: t.at, Given: true, path: t.path}))
		return
	case directionType:
		v.Set(reflect.ValueOf(t.direction()))
		return
	}
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(t.truth)
	case reflect.Pointer:
		item := reflect.New(v.Type().Elem())
		fill(t, item.Elem(), tag)
		v.Set(item)
	case reflect.Array:
		for i := range min(v.Len(), len(t.list)) {
			fill(t.list[i], v.Index(i), tag)
		}
	case reflect.Slice:
		fillSlice(t, v)
	case reflect.Struct:
		for i := range v.NumField() {
			field := v.Type().Field(i)
			if name, ok := field.Tag.Lookup("cue"); ok {
				if part := t.fields[name]; part != nil {
					fill(part, v.Field(i), field.Tag)
				} else if path := join(t.path, name); field.Type == valueType {
					v.Field(i).Set(reflect.ValueOf(Value{path: path, less: field.Tag.Get("worse") == "low", log: field.Tag.Get("spread") == "log"}))
				} else if field.Type == textType {
					v.Field(i).Set(reflect.ValueOf(Text{path: path}))
				} else if field.Type == countType {
					v.Field(i).Set(reflect.ValueOf(Count{path: path}))
				}
			} else if field.Type == placeType {
				v.Field(i).Set(reflect.ValueOf(t.label))
			}
		}
	}
}

// fillSlice fills a list, or a Map: a slice of entries.
func fillSlice(t *tree, v reflect.Value) {
	element := v.Type().Elem()
	if element.Kind() == reflect.Struct && element.NumField() == 3 && element.Field(2).Name == "Item" {
		for _, name := range t.names {
			entry := reflect.New(element).Elem()
			entry.Field(0).SetString(name)
			if c := t.fields[name]; c != nil {
				entry.Field(1).Set(reflect.ValueOf(c.label))
				fill(c, entry.Field(2), "")
			}
			v.Set(reflect.Append(v, entry))
		}
		return
	}
	if t.list != nil {
		v.Set(reflect.MakeSlice(v.Type(), 0, len(t.list)))
	}
	for _, c := range t.list {
		item := reflect.New(element).Elem()
		fill(c, item, "")
		v.Set(reflect.Append(v, item))
	}
}

// direction reads a word such as "-y" or three numbers as a unit vector; the
// zero vector where they have no length.
func (t *tree) direction() Direction {
	d := Direction{At: t.at, Given: true}
	if len(t.list) == 3 {
		length := math.Hypot(math.Hypot(t.list[0].number, t.list[1].number), t.list[2].number)
		for i, c := range t.list {
			if length > 0 {
				d.XYZ[i] = c.number / length
			}
		}
		return d
	}
	sign, word := 1.0, t.text
	if len(word) == 2 {
		sign, word = -1, word[1:]
	}
	d.XYZ[word[0]-'x'] = sign
	return d
}

// from says where a number is written.
func (t *tree) from() string {
	at := t.at
	if t.origin.Known() {
		at = t.origin
	}
	if !at.Known() {
		return t.path
	}
	return fmt.Sprintf("%s:%d:%d", at.File, at.Line, at.Column)
}
