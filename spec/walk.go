package spec

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"cuelang.org/go/cue"

	"ironbed/spec/literal"
	"ironbed/spec/quantity"
)

// A tree is a checked value of the spec, ready to be decoded.
type tree struct {
	path     string // "axes.x.rapid"
	at       Place  // where the value stands
	label    Place  // where its name stands
	origin   Place  // where its number is written, if a name stands for it
	text     string
	quantity quantity.Quantity
	measured bool // it is a quantity
	number   float64
	truth    bool
	names    []string // of a struct or map, in the order of the spec
	isMap    bool     // the names are the user's own
	fields   map[string]*tree
	list     []*tree
}

// A walker holds a spec against the shapes of the schema and gathers what is
// wrong with it.
type walker struct {
	outline     *outline
	shapes      map[string]*shape
	diagnostics []Diagnostic
	unlikely    []Diagnostic // what can be, and is hardly meant
	partial     bool         // what is walked may be a part of a struct: nothing is missing in it
}

func (w *walker) say(rule string, at Place, format string, args ...any) {
	w.diagnostics = append(w.diagnostics, Diagnostic{Rule: rule, At: at, Message: fmt.Sprintf(format, args...)})
}

// walk checks one value and everything in it. It returns nil where there is
// nothing to decode.
func (w *walker) walk(path string, v cue.Value, s *shape) *tree {
	if template, ok := w.outline.templates[path]; ok && s.name == "Body" && w.shapes[template] != nil {
		s = w.shapes[template]
	}
	at, _ := w.outline.value(path)
	t := &tree{path: path, at: at, label: w.outline.label(path), origin: w.outline.origins[path]}
	switch s.kind {
	case anyShape:
		return t
	case structShape, mapShape:
		return w.structure(path, v, s, t)
	case listShape, tupleShape:
		return w.list(path, v, s, t)
	case directionShape:
		if v.IncompleteKind() == cue.ListKind {
			three := &shape{kind: numberShape}
			return w.list(path, v, &shape{kind: tupleShape, tuple: []*shape{three, three, three}}, t)
		}
		return w.word(path, v, []string{"x", "-x", "y", "-y", "z", "-z"}, t)
	case measureShape:
		return w.measure(path, v, s, t)
	case wordShape:
		return w.word(path, v, s.words, t)
	case textShape:
		text, err := v.String()
		if err != nil {
			return w.wrongKind(path, v, t, "a text in quotes")
		}
		t.text = literal.Keep(text)
		if r, bad := literal.Unfit(text); bad {
			w.say(RuleText, t.at, "%s holds the character %U, which prints nothing or hides what is printed; take it out", last(path), r)
		} else if n := utf8.RuneCountInString(text); n > longestText {
			w.say(RuleText, t.at, "%s has %d characters; %d are allowed", last(path), n, longestText)
		}
	case integerShape:
		n, err := v.Int64()
		if err != nil {
			return w.wrongKind(path, v, t, "a whole number")
		}
		t.number = float64(n)
		if s.low != nil && t.number < *s.low || s.high != nil && t.number > *s.high {
			w.say(RuleRange, t.at, "%s is %d; %s", last(path), n, s.bounds())
		}
	case numberShape:
		n, err := v.Float64()
		if err != nil {
			return w.wrongKind(path, v, t, "a plain number")
		}
		t.number = n
		if beyond(n, quantity.Ratio) {
			w.say(RuleRange, t.at, "%s is %v; is its exponent right?", last(path), n)
		}
	case boolShape:
		b, err := v.Bool()
		if err != nil {
			return w.wrongKind(path, v, t, "true or false")
		}
		t.truth, t.text = b, strconv.FormatBool(b)
	}
	return t
}

// bounds words the range of an integer.
func (s *shape) bounds() string {
	switch {
	case s.low != nil && s.high != nil:
		return fmt.Sprintf("from %.0f to %.0f is expected", *s.low, *s.high)
	case s.low != nil:
		return fmt.Sprintf("%.0f or more is expected", *s.low)
	}
	return fmt.Sprintf("%.0f or less is expected", *s.high)
}

// last returns the last name of a path.
func last(path string) string {
	name := path
	if p := parent(path); p != "" {
		name = path[len(p)+1:]
	}
	if n, err := strconv.Atoi(name); err == nil { // a place in a list
		return fmt.Sprintf("number %d of %s", n+1, last(parent(path)))
	}
	return strings.Trim(name, `"`)
}

// wrongKind reports a value of another kind than the schema asks for.
func (w *walker) wrongKind(path string, v cue.Value, t *tree, want string) *tree {
	switch {
	case v.Err() != nil && v.IncompleteKind() == cue.BottomKind:
		// CUE has reported it.
	case w.reported(t.at):
		// The name that stands here refers to nothing.
	case !v.IsConcrete():
		w.say(RuleMissingField, t.at, "%s has no value; %s is expected", last(path), want)
	case v.Kind() == cue.BytesKind: // what is expected may be just that
		w.say(RuleKind, t.at, "%s is %s", last(path), kindWord(v))
	default:
		w.say(RuleKind, t.at, "%s is %s; %s is expected", last(path), kindWord(v), want)
	}
	return nil
}

// reported reports whether something is said of a place already.
func (w *walker) reported(at Place) bool {
	return slices.ContainsFunc(w.diagnostics, func(d Diagnostic) bool { return d.At == at && d.Rule == RuleReference })
}

func kindWord(v cue.Value) string {
	switch v.Kind() {
	case cue.StringKind:
		text, _ := v.String()
		return strconv.Quote(text)
	case cue.IntKind, cue.FloatKind, cue.NumberKind:
		return fmt.Sprintf("the plain number %v", v)
	case cue.BoolKind:
		return fmt.Sprintf("%v", v)
	case cue.BytesKind:
		text, _ := v.Bytes()
		return fmt.Sprintf("in single quotes; write it in double quotes, %q", text)
	case cue.ListKind:
		return "a list"
	case cue.StructKind:
		return "in braces"
	case cue.NullKind:
		return "null"
	}
	return "something else"
}

// A member is one field of a CUE struct.
type member struct {
	name  string
	value cue.Value
}

// members lists the fields of a struct. Where CUE has found a conflict inside
// it, the fields that the user wrote are looked up one by one.
func (w *walker) members(path string, v cue.Value) []member {
	var list []member
	if it, err := v.Fields(); err == nil {
		for it.Next() {
			list = append(list, member{it.Selector().Unquoted(), it.Value()})
		}
		return list
	}
	for _, name := range w.outline.children[path] {
		if c := v.LookupPath(cue.MakePath(cue.Str(name))); c.Exists() {
			list = append(list, member{name, c})
		}
	}
	return list
}

func (w *walker) structure(path string, v cue.Value, s *shape, t *tree) *tree {
	switch k := v.IncompleteKind(); {
	case k == cue.BottomKind && len(w.outline.children[path]) == 0:
		return t // CUE has reported it
	case k != cue.StructKind && k != cue.BottomKind:
		return w.wrongKind(path, v, t, "a struct in braces")
	}
	t.fields, t.isMap = map[string]*tree{}, s.kind == mapShape
	members := w.members(path, v)
	// A template is checked first: what a broken template makes is not worth a word.
	if template := s.field("template"); template != nil && template.shape.kind == structShape {
		before := len(w.diagnostics)
		for _, m := range members {
			if m.name == "template" {
				w.walk(join(path, "template"), m.value, template.shape)
			}
		}
		if len(w.diagnostics) > before {
			return t
		}
		members = slices.DeleteFunc(members, func(m member) bool { return m.name == "template" })
	}
	words := map[string]string{}  // names by their words in ids
	misnamed := map[string]bool{} // fields that unknown ones may mean, "" among them
	for _, m := range members {
		child := join(path, m.name)
		element := s.element
		if s.kind == structShape {
			f := s.field(m.name)
			if f == nil {
				misnamed[w.unknown(child, m, s)] = true
				continue
			}
			element = f.shape
		} else if wrong := unfitName(m.name); wrong != "" {
			w.say(RuleKind, w.outline.label(child), "%s", wrong)
			continue
		}
		if s.kind == mapShape {
			if same, ok := words[IDWord(m.name)]; ok {
				w.say(RuleDuplicate, w.outline.label(child), "%q and %q differ by a space or a comma alone; name them further apart", m.name, same)
				continue
			}
			words[IDWord(m.name)] = m.name
		}
		t.names = append(t.names, m.name)
		if c := w.walk(child, m.value, element); c != nil {
			t.fields[m.name] = c
		}
	}
	if !w.partial {
		w.complete(path, s, members, misnamed)
	}
	return t
}

// The longest text and the longest name of a spec, in characters. A name stands in heads of
// tables and beside drawings.
const (
	longestText = 2000
	longestName = 100
)

// unfitName says what is wrong with a name, "" for one that is fit.
func unfitName(name string) string {
	if n := utf8.RuneCountInString(name); n > longestName {
		return fmt.Sprintf("a name of %d characters, %q and so on: %d are allowed", n, string([]rune(name)[:20]), longestName)
	}
	if r, bad := literal.Unfit(name); bad {
		return fmt.Sprintf("%q cannot be a name: it holds the character %U, which prints nothing or hides what is printed", name, r)
	}
	if strings.ContainsAny(name, ".*?[]\\\"`\n\r\t") || name != strings.TrimSpace(name) || name == "" {
		return fmt.Sprintf("%q cannot be a name: it is empty, has a space at an end, or holds a line break or one of . * ? [ ] \\ ` and the quote", name)
	}
	return ""
}

// IDWord is a name as it stands in a figure's id.
func IDWord(name string) string { return idWords.Replace(name) }

var idWords = strings.NewReplacer(" ", "_", ",", "_")

// complete checks that required fields are there, and one of those that stand
// for each other.
// What a misspelt field is meant to be is not missing.
func (w *walker) complete(path string, s *shape, members []member, misnamed map[string]bool) {
	has := func(name string) bool {
		return slices.ContainsFunc(members, func(m member) bool { return m.name == name })
	}
	what := last(path)
	if what == "" {
		what = "the machine"
	}
	for _, f := range s.fields {
		if f.required && !has(f.name) && f.name != "template" && !misnamed[f.name] {
			w.say(RuleMissingField, w.outline.label(path), "%s has no field `%s`; %s", what, f.name, f.shape.wanted())
		}
	}
	if len(s.choice) == 0 || len(misnamed) > 0 {
		return
	}
	var given []string
	for _, name := range s.choice {
		if has(name) {
			given = append(given, name)
		}
	}
	switch len(given) {
	case 0:
		w.say(RuleChoice, w.outline.label(path), "%s needs one of %s", what, strings.Join(s.choice, ", "))
	case 1:
	default:
		w.say(RuleChoice, w.outline.label(join(path, given[1])), "%s has %s; one of them is expected", what, strings.Join(given, " and "))
	}
}

// wanted says what a value of the shape looks like.
func (s *shape) wanted() string {
	switch s.kind {
	case measureShape:
		return fmt.Sprintf("%s such as %s is expected", s.measure.dimension.Word(), s.measure.dimension.Example())
	case wordShape:
		return "one of " + quoted(s.words) + " is expected"
	case textShape:
		return "a text in quotes is expected"
	case integerShape:
		return "a whole number is expected"
	case listShape:
		return "a list is expected"
	case tupleShape:
		return "a list of three is expected"
	case structShape, mapShape:
		return "a struct in braces is expected"
	}
	return "a value is expected"
}

// wantedList says what a list looks like, to one who has written something else.
func (s *shape) wantedList(v cue.Value) string {
	if s.kind == tupleShape {
		return "a list in square brackets such as " + s.exampleList()
	}
	if text, err := v.String(); err == nil {
		return fmt.Sprintf("a list in square brackets, even of one: [%q],", text)
	}
	return "a list in square brackets, [...],"
}

// exampleList is a list of a fixed length as it is written.
func (s *shape) exampleList() string {
	var list []string
	for _, of := range s.tuple {
		example := "..."
		if of.kind == measureShape {
			example = of.measure.dimension.Example()
		}
		list = append(list, example)
	}
	return "[" + strings.Join(list, ", ") + "]"
}

func quoted(words []string) string {
	list := make([]string, len(words))
	for i, word := range words {
		list[i] = strconv.Quote(word)
	}
	return strings.Join(list, ", ")
}

// unknown reports a field that the schema does not have, with the nearest one, which it
// returns.
func (w *walker) unknown(path string, m member, s *shape) (near string) {
	name := m.name
	names := make([]string, len(s.fields))
	for i, f := range s.fields {
		names[i] = f.name
	}
	d := Diagnostic{Rule: RuleUnknownField, At: w.outline.label(path),
		Message: fmt.Sprintf("%s is not a field of %s", name, s.says(parent(path)))}
	if hint := fieldHints[strings.ToLower(s.name+"."+name)]; hint != "" {
		d.Message += "; " + hint
	} else if text, err := m.value.String(); err == nil && s.field("stock") != nil && ofCatalogue(text) {
		near = "stock"
		d.Message += fmt.Sprintf("; %q is a name of the catalogue, write `stock: %q`", text, text)
	} else if near = Nearest(name, names); near != "" {
		d.Message += fmt.Sprintf("; did you mean %s", near)
	} else {
		d.Message += "; it has " + strings.Join(names, ", ")
	}
	w.diagnostics = append(w.diagnostics, d)
	return near
}

// ofCatalogue reports whether a text is the name of a size that can be bought.
func ofCatalogue(text string) bool {
	return slices.Contains(CatalogueNames(KindSections), text) || slices.Contains(CatalogueNames(KindRails), text)
}

// capital finds where a word begins within a definition's name.
var capital = regexp.MustCompile(`([a-z])([A-Z])`)

// says names a struct of the schema in words.
func (s *shape) says(path string) string {
	if path == "" {
		return "a machine"
	}
	if s.name == "" {
		return last(path)
	}
	kind := strings.ToLower(capital.ReplaceAllString(s.name, "$1 $2"))
	if kind == strings.ToLower(last(path)) {
		return last(path)
	}
	return fmt.Sprintf("%s, a %s", last(path), kind)
}

func (w *walker) list(path string, v cue.Value, s *shape, t *tree) *tree {
	it, err := v.List()
	if err != nil {
		return w.wrongKind(path, v, t, s.wantedList(v))
	}
	t.list = []*tree{} // an empty list is not none
	for i := 0; it.Next(); i++ {
		element := s.element
		if s.kind == tupleShape {
			if i >= len(s.tuple) {
				w.say(RuleKind, t.at, "%s has more than %d values, such as %s", last(path), len(s.tuple), s.exampleList())
				return nil
			}
			element = s.tuple[i]
		}
		c := w.walk(join(path, strconv.Itoa(i)), it.Value(), element)
		if c == nil {
			c = &tree{}
		}
		t.list = append(t.list, c)
	}
	if s.kind == tupleShape && len(t.list) < len(s.tuple) {
		w.say(RuleKind, t.at, "%s has %d values; %d are expected, such as %s", last(path), len(t.list), len(s.tuple), s.exampleList())
		return nil
	}
	return t
}

func (w *walker) word(path string, v cue.Value, words []string, t *tree) *tree {
	text, err := v.String()
	if err != nil {
		return w.wrongKind(path, v, t, "one of "+quoted(words))
	}
	if !slices.Contains(words, text) {
		w.say(RuleKind, t.at, "%s is %q; one of %s is expected", last(path), text, quoted(words))
		return nil
	}
	t.text = text
	return t
}

func (w *walker) measure(path string, v cue.Value, s *shape, t *tree) *tree {
	dimension := s.measure.dimension
	if n, err := v.Float64(); err == nil && dimension == quantity.Ratio {
		t.text = fmt.Sprint(v)
		t.quantity = quantity.Quantity{Value: n, Low: n, High: n}
	} else if text, err := v.String(); err == nil {
		q, err := quantity.ParseAs(text, dimension)
		if err != nil {
			w.badQuantity(path, text, err, dimension, t.at)
			return nil
		}
		t.text, t.quantity = text, q
	} else if v.Kind() == cue.IntKind || v.Kind() == cue.FloatKind {
		w.say(RuleUnit, t.at, "%s is the plain number %v; %s such as %s is expected", last(path), v, dimension.Word(), dimension.Example())
		return nil
	} else {
		return w.wrongKind(path, v, t, fmt.Sprintf("%s such as %s", dimension.Word(), dimension.Example()))
	}
	t.measured = true
	q := t.quantity
	switch {
	case beyond(q.Low, dimension), beyond(q.Value, dimension), beyond(q.High, dimension):
		w.say(RuleRange, t.at, "%s is %q; no machine has that: is its exponent right?", last(path), t.text)
	case s.measure.positive && q.Low <= 0:
		over := ""
		if q.Value > 0 {
			over = " over its whole uncertainty"
		}
		w.say(RuleRange, t.at, "%s is %q; more than zero is expected%s", last(path), t.text, over)
	case s.low != nil && q.Low < *s.low || s.high != nil && q.High > *s.high:
		w.say(RuleRange, t.at, "%s is %q; %s is expected", last(path), t.text, s.rangeOf)
	case s.usual != nil && (q.Value < s.usual[0].Value || q.Value > s.usual[1].Value):
		w.unlikely = append(
			w.unlikely,
			Diagnostic{
				Rule:    RuleUnlikely,
				At:      t.at,
				Message: fmt.Sprintf("%s is %q, and %s is usual; is its unit right, and its point in its place?", last(path), t.text, s.usualOf),
			},
		)
	}
	return t
}

// No quantity of a machine is larger or, but for zero, smaller than these, in SI. A length
// of a kilometre is more than a machine has, and squares of it can still be computed with.
const (
	largestLength = 1e3
	largest       = 1e16
	smallest      = 1e-20
)

// beyond reports whether a value is beyond what a machine can have.
func beyond(v float64, d quantity.Dimension) bool {
	v = math.Abs(v)
	return v > largest || d == quantity.Length && v > largestLength || v != 0 && v < smallest
}

// badQuantity words a quantity that cannot be read.
func (w *walker) badQuantity(path, text string, err error, d quantity.Dimension, at Place) {
	rule, hint := RuleQuantity, ""
	var q *quantity.Error
	if errors.As(err, &q) {
		switch q.Kind {
		case quantity.UnknownUnit, quantity.MissingUnit:
			rule = RuleUnit
			if digits := digitsFor(text); digits != text {
				if _, err := quantity.ParseAs(digits, d); err == nil {
					w.say(rule, at, "%s is %q, with a letter where a digit stands; did you mean %q?", last(path), text, digits)
					return
				}
			}
			if q.Kind == quantity.UnknownUnit && !strings.Contains(err.Error(), "did you mean") {
				hint = fmt.Sprintf(" in %q; %s such as %s is expected", text, d.Word(), d.Example())
			}
		case quantity.WrongDimension:
			rule = RuleDimension
		}
	}
	w.say(rule, at, "%s: %v%s", last(path), err, hint)
}

// lettered are letters that stand beside a digit and look like one.
var lettered = regexp.MustCompile(`[0-9.][OoIl]+|\b[OoIl]+[0-9.]`)

// digitsFor is a text with digits in place of letters that look like them.
func digitsFor(text string) string {
	return lettered.ReplaceAllStringFunc(text, func(s string) string { return strings.NewReplacer("O", "0", "o", "0", "I", "1", "l", "1").Replace(s) })
}

// repeats reports values that one struct gives twice. Conflicts within them are their
// echoes.
func (w *walker) repeats() {
	for _, r := range w.outline.repeats {
		w.diagnostics = slices.DeleteFunc(w.diagnostics, func(d Diagnostic) bool {
			return d.Rule == RuleConflict && (strings.HasPrefix(d.Message, r.path+": ") || strings.HasPrefix(d.Message, r.path+"."))
		})
		w.diagnostics = append(w.diagnostics, Diagnostic{Rule: RuleDuplicate, At: r.second,
			Message: r.says(),
			Notes:   []Remark{{"it is given here first", r.first}}})
	}
}

// says words a repeat: two parts of one name are more often two parts than one that is given twice.
func (r *repeat) says() string {
	if r.part {
		return fmt.Sprintf("there are two %s in %s; give one of them another name, or take out what is written twice", last(r.path), parent(r.path))
	}
	return fmt.Sprintf("%s is given twice; take one of them out", r.path)
}
