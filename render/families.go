package render

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"ironbed/compiler/build"
)

// A group is the figures of one subject: those whose ids share their first part, or
// that are of one kind for all axes.
type group struct {
	key    string
	title  string
	tables []matrix
}

// A family is figures that one formula gives: the same quantity of several parts.
type family struct {
	name    string // what their labels share
	id      string // what their ids share
	figures []build.Figure
	labels  []string // what tells each figure's label from the others'
}

// A matrix is families of the same parts, a row or a column each.
type matrix []family

// groupKey is the group of a figure: "axis.drive" for axis.x.drive.growth.
func groupKey(id string) string {
	parts := strings.Split(id, ".")
	if parts[0] == "axis" && len(parts) > 3 {
		return parts[0] + "." + parts[2]
	}
	return parts[0]
}

// groups sorts a build's figures into groups, families and tables, in the order of
// their first figures.
func groups(b *build.Build) []group {
	index := map[string]int{}
	var list []group
	var members [][]build.Figure
	for _, f := range b.Figures.All() {
		key := groupKey(f.ID)
		i, ok := index[key]
		if !ok {
			i = len(list)
			index[key] = i
			list = append(list, group{key: key, title: capital(strings.NewReplacer(".", ": ", "_", " ").Replace(key))})
			members = append(members, nil)
		}
		members[i] = append(members[i], f)
	}
	for i := range list {
		list[i].tables = matrices(families(members[i]))
	}
	return list
}

// families puts figures together that have the same formula and source. First those
// of one quantity, then what is alone of its quantity.
func families(figures []build.Figure) []family {
	same := func(f build.Figure) string {
		return strings.Join([]string{f.Formula, f.Source, f.Unit}, "\x00")
	}
	quantity := func(f build.Figure) string { return same(f) + "\x00" + f.ID[strings.LastIndexByte(f.ID, '.')+1:] }
	size := map[string]int{}
	for _, f := range figures {
		size[quantity(f)]++
	}
	index := map[string]int{}
	var list []family
	for _, f := range figures {
		key := same(f)
		if size[quantity(f)] > 1 {
			key = quantity(f)
		}
		i, ok := index[key]
		if !ok {
			i = len(list)
			index[key] = i
			list = append(list, family{})
		}
		list[i].figures = append(list[i].figures, f)
	}
	for i := range list {
		list[i].settle()
	}
	return list
}

// settle finds what the family's labels and ids share, and what tells them apart.
func (f *family) settle() {
	var labels, ids [][]string
	for _, g := range f.figures {
		labels = append(labels, strings.Fields(g.Label))
		ids = append(ids, strings.Split(g.ID, "."))
	}
	head, tail := shared(labels)
	f.name, f.labels = apart(labels, head, tail, " ", "…")
	if short := ownPart.ReplaceAllString(f.name, ""); len(f.figures) > 1 && tail == 0 {
		f.name = or(short, f.name)
	}
	head, tail = shared(ids)
	f.id, _ = apart(ids, head, tail, ".", "*")
}

// shared counts the words that all lists begin with, and those that all end with.
func shared(lists [][]string) (head, tail int) {
	least := len(lists[0])
	for _, l := range lists {
		least = min(least, len(l))
	}
	equal := func(at func(l []string) string) bool {
		return !slices.ContainsFunc(lists, func(l []string) bool { return at(l) != at(lists[0]) })
	}
	for head < least && equal(func(l []string) string { return l[head] }) {
		head++
	}
	for tail < least-head && equal(func(l []string) string { return l[len(l)-1-tail] }) {
		tail++
	}
	return head, tail
}

// apart returns what the lists share, with a mark for what they do not, and the rest
// of each.
func apart(lists [][]string, head, tail int, glue, mark string) (common string, rest []string) {
	first := lists[0]
	words := slices.Clone(first[:head])
	if head+tail < len(first) || len(lists) > 1 {
		if tail > 0 || glue == "." {
			words = append(words, mark)
		}
	}
	words = append(words, first[len(first)-tail:]...)
	for _, l := range lists {
		rest = append(rest, strings.Trim(strings.Join(l[head:len(l)-tail], glue), " ,;"))
	}
	return strings.Trim(strings.Join(words, glue), " ,;"), rest
}

// ownPart ends what labels of a quantity share: "of member", ", axis".
var ownPart = regexp.MustCompile(`( of| of \pL+|, \pL+)$`)

// matrices puts families of the same parts into one table, a figure alone into none.
func matrices(families []family) []matrix {
	index := map[string]int{}
	var list []matrix
	for _, f := range families {
		key := strings.Join(f.labels, "\x00")
		i, ok := index[key]
		if !ok {
			i = len(list)
			index[key] = i
			list = append(list, nil)
		}
		list[i] = append(list[i], f)
	}
	// What is said in a list stands before the tables of its group.
	slices.SortStableFunc(list, func(a, b matrix) int { return cmp.Compare(min(len(a[0].figures), 2), min(len(b[0].figures), 2)) })
	return list
}
