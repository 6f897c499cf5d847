package spec

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"ironbed/spec/quantity"
)

// A Standing is a measurement that stands in place of a value.
type Standing struct {
	Entry    *Entry[Measured]
	Path     string // of the value
	Designed Value  // as it is written or assumed
	Built    Value  // as it was measured
}

// A Unfit is why a measurement cannot stand where it is to.
type Unfit struct {
	At      Place
	Message string
}

// Error returns the sentence.
func (u *Unfit) Error() string { return u.Message }

// Built returns the machine with what was measured alone in place of what it is measured of: the values that measurements name, and those that
// a function finds for the figures that they name, by the path of the value and by what it is times the reading; an empty path for none. It is this machine where
// nothing stands.
func (m *Machine) Built(of func(*Measured) (path string, convert func(reading float64) (float64, error))) (*Machine, []Standing, error) {
	var edits []Edit
	var list []Standing
	values := m.values()
	for i := range m.Measured {
		e := &m.Measured[i]
		path, reading := e.Item.Value.Text, e.Item.Reading
		at := e.Item.Value.At
		if path == "" {
			var convert func(float64) (float64, error)
			if path, convert = of(&e.Item); path == "" {
				continue
			}
			at = e.Item.Figure.At
			for _, end := range []*float64{&reading.q.Low, &reading.q.Value, &reading.q.High} {
				v, err := convert(*end)
				if err != nil {
					return nil, nil, &Unfit{e.Item.Read.At, "measured " + e.Name + ": " + err.Error()}
				}
				*end = v
			}
			reading.q.Dim = values[path].q.Dim
		}
		old, ok := values[path]
		if !ok {
			return nil, nil, &Unfit{at, fmt.Sprintf("measured %s: the spec has no value %s%s", e.Name, path, instead(path, near(path, values), true))}
		}
		if known := old.Given || old.Text != ""; known && old.q.Dim != reading.q.Dim {
			return nil, nil, &Unfit{e.Item.Read.At, fmt.Sprintf("measured %s reads %s, and %s is %s", e.Name, reading.q.Dim.Word(), path, old.q.Dim.Word())}
		}
		edits = append(edits, Edit{Path: path, Value: strconv.Quote(reading.words(e.Item.Value.Text != "")), At: e.Item.Read.At})
		list = append(list, Standing{Entry: e, Path: path, Designed: old})
	}
	if len(edits) == 0 {
		return m, nil, nil
	}
	out, err := m.With(edits...)
	if err != nil {
		return nil, nil, &Unfit{list[0].Entry.Item.Read.At, "what was measured cannot stand in the spec: " + err.Error()}
	}
	out.Unlikely = m.Unlikely
	built := out.values()
	for i := range list {
		list[i].Built = built[list[i].Path]
	}
	return out, list, nil
}

// written are the units in which a reading is written where it stands.
var written = map[quantity.Dimension]string{quantity.Length: "mm", quantity.Stress: "GPa", quantity.Stiffness: "N/µm", quantity.RotationalStiffness: "kN·m/rad"}

// words write a reading as a spec has it: in the user's own where they say its uncertainty.
func (v Value) words(own bool) string {
	if own && strings.ContainsAny(v.Text, "±+.") {
		if q, err := quantity.Parse(v.Text); err == nil && q == v.q {
			return v.Text
		}
	}
	unit := v.q.Dim.String()
	if u, ok := written[v.q.Dim]; ok {
		unit = u
	}
	number := func(si float64, digits int) string {
		return strings.TrimSpace(strconv.FormatFloat(quantity.Convert(si, unit), 'g', digits, 64) + " " + unit)
	}
	if !v.Uncertain() {
		return number(v.q.Value, 5)
	}
	return number(v.q.Value, 5) + " ± " + number((v.q.High-v.q.Low)/2, 3)
}

// near are the paths of values that have as many names as a path.
func near(path string, values map[string]Value) []string {
	list := slices.Sorted(maps.Keys(values))
	return slices.DeleteFunc(list, func(p string) bool { return strings.Count(p, ".") != strings.Count(path, ".") })
}

// Value is a value of the spec by its path, as it is written or assumed; false where there is none.
func (m *Machine) Value(path string) (Value, bool) {
	v, ok := m.values()[path]
	return v, ok
}

// values are all values of the machine by their paths, those that nothing fills in as well.
func (m *Machine) values() map[string]Value {
	list := map[string]Value{}
	gather(reflect.ValueOf(m).Elem(), list)
	return list
}

// gather finds the values within a part of the machine.
func gather(v reflect.Value, into map[string]Value) {
	if v.Type() == valueType {
		if x := v.Interface().(Value); x.path != "" {
			into[x.path] = x
		}
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() && v.Type().Elem().Kind() == reflect.Struct {
			gather(v.Elem(), into)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			gather(v.Index(i), into)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			_, tagged := f.Tag.Lookup("cue")
			if tagged || f.Name == "Item" {
				gather(v.Field(i), into)
			}
		}
	}
}

// Designed returns the machine as it was before anything of it was measured: without readings.
func (m *Machine) Designed() (*Machine, error) {
	t := m.tree.without("measured", "measured_modes")
	t = t.each("axes", func(a *tree) *tree {
		return a.without("across", "positioning").each("guides", func(g *tree) *tree { return g.without("readings") })
	})
	t = t.each("trials", func(trial *tree) *tree {
		return trial.each("reads", func(r *tree) *tree { return r.without("read") })
	})
	out, err := m.of(t)
	if out != nil {
		out.Unlikely = m.Unlikely
	}
	return out, err
}

// each is a tree with every part of a map in it changed; what it shares with others stays.
func (t *tree) each(name string, change func(*tree) *tree) *tree {
	if t.fields[name] == nil {
		return t
	}
	all, out := *t.fields[name], *t
	all.fields, out.fields = maps.Clone(all.fields), maps.Clone(t.fields)
	for n, part := range all.fields {
		all.fields[n] = change(part)
	}
	out.fields[name] = &all
	return &out
}

// without is a tree less some of its parts.
func (t *tree) without(names ...string) *tree {
	out := *t
	out.fields, out.names = maps.Clone(t.fields), slices.Clone(t.names)
	for _, n := range names {
		delete(out.fields, n)
	}
	out.names = slices.DeleteFunc(out.names, func(n string) bool { return slices.Contains(names, n) })
	return &out
}

// Read reports whether anything of the machine was measured.
func (m *Machine) Read() bool {
	if len(m.Measured)+len(m.MeasuredModes) > 0 {
		return true
	}
	for i := range m.Trials {
		for k := range m.Trials[i].Item.Reads {
			if m.Trials[i].Item.Reads[k].Item.Read.Given {
				return true
			}
		}
	}
	for i := range m.Axes {
		a := &m.Axes[i].Item
		if len(a.Across) > 0 || a.Positioning != nil {
			return true
		}
		for k := range a.Guides {
			if len(a.Guides[k].Item.Readings) > 0 {
				return true
			}
		}
	}
	return false
}

// In is what was read, in a unit, low, middle and high; an error where it is of another kind.
func (x *Measured) In(unit string) (low, middle, high float64, err error) {
	one, err := quantity.Parse("1 " + unit)
	if unit == "" {
		one, err = quantity.Quantity{}, nil
	}
	if err != nil {
		return 0, 0, 0, err
	}
	if one.Dim != x.Reading.q.Dim {
		return 0, 0, 0, fmt.Errorf("it reads %s, and the figure is %s", x.Reading.q.Dim.Word(), one.Dim.Word())
	}
	return quantity.Convert(x.Reading.q.Low, unit), quantity.Convert(x.Reading.q.Value, unit), quantity.Convert(x.Reading.q.High, unit), nil
}
