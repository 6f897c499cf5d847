package spec

import (
	"fmt"
	"slices"
	"strings"
)

// The most of each that a machine may have. What a machine costs to solve grows with
// these, and a spec may come from a stranger: with all at half of their most a check
// takes ten seconds on two cores at 3 GHz. A machine is solved with each axis at both ends
// and in the middle of its travel, so that positions are 3 to the power of the axes.
const (
	mostAxes    = 4
	mostTargets = 12
	mostPairs   = 100   // targets × cutters
	mostWork    = 16200 // members × positions: 600 members of a machine with three axes
	mostShares  = 2.0   // the sum of the three before, each as a share of its most
	mostNames   = 300   // entries of one map, or of all maps of one name
	mostList    = 500   // elements of a list
)

// fewer are the maps of which a machine may have fewer than of others, or more, by their name: each
// entry is a thing to be solved.
var fewer = map[string]int{"axes": mostAxes, "targets": mostTargets, "cutters": mostPairs, "members": 600, "sections": 60, "bodies": 40, "trials": 40,
	"measured_modes": 40, "tip_modes": 40, "alternatives": 40, "drives": 16, "chains": 16, "guides": 24, "rails": 60, "fills": 60, "mixes": 60, "nodes": 1200}

// counts finds what a machine has too many of.
func (w *walker) counts(machine *tree) {
	totals := map[string]int{}
	var order []string
	var count func(t *tree, name string)
	first := map[string]Place{}
	count = func(t *tree, name string) {
		if t == nil {
			return
		}
		if len(t.list) > mostList {
			w.say(RuleSize, t.label, "%s has %d elements; %d are allowed", last(t.path), len(t.list), mostList)
		}
		if t.isMap {
			if _, ok := totals[name]; !ok {
				order = append(order, name)
				first[name] = t.label
			}
			totals[name] += len(t.names)
			if len(t.names) > totals[name]/2 {
				first[name] = t.label // the one that has most of them
			}
		}
		for _, n := range t.names {
			inner := n
			if t.isMap {
				inner = name
			}
			count(t.fields[n], inner)
		}
		for _, c := range t.list {
			count(c, name)
		}
	}
	count(machine, "")
	for _, name := range order {
		most := mostNames
		if n, ok := fewer[name]; ok {
			most = n
		}
		if totals[name] > most {
			why := ""
			if name == "axes" {
				why = ": it is solved with each at both ends and in the middle of its travel"
			}
			w.say(RuleSize, first[name], "the machine has %d %s; %d are allowed%s", totals[name], strings.ReplaceAll(name, "_", " "), most, why)
		}
	}
	if len(w.diagnostics) > 0 {
		return
	}
	positions := 1
	for range totals["axes"] {
		positions *= 3
	}
	type share struct {
		of    float64
		at    Place
		words string
	}
	pairs, work := totals["targets"]*totals["cutters"], totals["members"]*positions
	shares := []share{
		{float64(totals["targets"]) / mostTargets, first["targets"], fmt.Sprintf("%d targets of %d", totals["targets"], mostTargets)},
		{float64(pairs) / mostPairs, first["cutters"], fmt.Sprintf("%d targets × %d cutters = %d of %d", totals["targets"], totals["cutters"], pairs, mostPairs)},
		{float64(work) / mostWork, first["members"], fmt.Sprintf("%d members × %d positions = %d of %d", totals["members"], positions, work, mostWork)},
	}
	sum := 0.0
	var words []string
	for _, s := range shares {
		if s.of > 1 {
			w.say(RuleSize, s.at, "the machine is too large to be solved: %s", s.words)
		}
		sum += s.of
		words = append(words, s.words)
	}
	if len(w.diagnostics) == 0 && sum > mostShares {
		largest := slices.MaxFunc(shares, func(a, b share) int { return int(1000*a.of) - int(1000*b.of) })
		w.say(RuleSize, largest.at, "the machine is too large to be solved: %s; the shares may sum to %.0f %%, and sum to %.0f %%",
			strings.Join(words, ", "), 100*mostShares, 100*sum)
	}
}
