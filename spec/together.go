package spec

import "strings"

// together checks that the nodes of a body hold together: that members, links or
// joints lead from each to the others, or that it stands or is joined elsewhere
// by itself.
func (r *resolver) together(e *Entry[Body]) {
	b := &e.Item
	group := map[string]string{}
	for _, n := range b.Nodes {
		group[n.Name] = n.Name
	}
	var root func(string) string
	root = func(name string) string {
		if group[name] != name {
			group[name] = root(group[name])
		}
		return group[name]
	}
	join := func(one, other string) { group[root(one)] = root(other) }
	held := map[string]bool{}
	hold := func(name string) { held[name] = true }
	for _, m := range b.Members {
		join(m.Item.From.Text, m.Item.To.Text)
	}
	for _, l := range b.Links {
		join(l.Name, l.Item.Text)
	}
	for _, j := range r.m.Joints {
		var own []string
		for _, ref := range j.Item.Between {
			if body, name, _ := strings.Cut(ref.Text, "."); body == e.Name {
				own = append(own, name)
			}
		}
		switch len(own) {
		case 1:
			hold(own[0])
		case 2:
			join(own[0], own[1])
		}
	}
	for _, f := range b.Feet {
		hold(f.Item.Node.Text)
	}
	for _, s := range b.Supports {
		hold(s.Name)
	}
	size, stands, first := map[string]int{}, map[string]bool{}, map[string]*Entry[Vector]{}
	largest := ""
	for i := range b.Nodes {
		n := &b.Nodes[i]
		g := root(n.Name)
		size[g]++
		stands[g] = stands[g] || held[n.Name]
		if first[g] == nil {
			first[g] = n
		}
		if largest == "" || size[g] > size[largest] {
			largest = g
		}
	}
	for i := range b.Nodes {
		n := &b.Nodes[i]
		g := root(n.Name)
		if g == largest || stands[g] || first[g] != n {
			continue
		}
		r.say(RuleGeometry, n.At, "node %s.%s is joined to nothing: no member, link or joint leads from it to the rest of %s", e.Name, n.Name, e.Name)
	}
}
