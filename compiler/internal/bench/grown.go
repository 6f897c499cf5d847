//go:build unix

package main

import (
	"fmt"
	"strings"
)

// An edit takes out a part of a file, from a text to another, for a new one.
type edit struct{ file, from, to, instead string }

// A family is one machine in several sizes.
type family struct {
	what, words string
	like        string // the example that is edited
	sizes       []size
}

type size struct {
	name  string
	edits []edit
}

// grown are the families, up to what spec/count.go allows.
func grown() []family {
	members := family{what: "members", words: "`sign-router` on ladder beds, members of the bed alone.", like: "sign-router"}
	for _, pairs := range []int{17, 34, 67, 134, 196} {
		members.sizes = append(members.sizes, size{fmt.Sprint(3*pairs - 2),
			[]edit{{"frame.cue", "\tbodies: bed: machine.#LadderBed & {", "\t\tmasses: board", ladder(pairs)}}})
	}
	targets := family{what: "targets × cutters", words: "`clockroom-mill` with as many cutters as targets.", like: "clockroom-mill"}
	for _, n := range []int{1, 3, 6, 10} {
		targets.sizes = append(targets.sizes, size{fmt.Sprintf("%d × %d", n, n),
			[]edit{{"cutting.cue", "\tcutters: {", "\n\t// Bench tests", cutting(n)}}})
	}
	return []family{members, axes(), targets}
}

// ladder is the bed of the router with many cross members, its nodes and members
// written out.
func ladder(pairs int) string {
	var nodes, members strings.Builder
	for i := range pairs {
		x := 1250 * float64(i) / float64(pairs-1)
		fmt.Fprintf(&nodes, "near_%d: [\"%.6g mm\", \"-390 mm\", \"120 mm\"]\nfar_%d: [\"%.6g mm\", \"390 mm\", \"120 mm\"]\n", i, x, i, x)
		fmt.Fprintf(&members, "cross_%d: {from: \"near_%d\", to: \"far_%d\", section: \"profile_40x40\"}\n", i, i, i)
		for _, side := range []string{"near", "far"} {
			if i > 0 {
				fmt.Fprintf(&members, "%s_%d: {from: \"%s_%d\", to: \"%s_%d\", section: \"profile_40x80\"}\n", side, i, side, i-1, side, i)
			}
		}
	}
	last := pairs - 1
	feet := fmt.Sprintf("near_a: {at: \"near_0\"}, near_b: {at: \"near_%d\"}, far_a: {at: \"far_0\"}, far_b: {at: \"far_%d\"}", last, last)
	return "\tbodies: bed: {\nnodes: {\n" + nodes.String() + "}\nmembers: {\n" + members.String() + "}\nfeet: {" + feet + "}\n"
}

// axes is the router with fewer axes, and all of its members: what an axis moved stands on feet.
func axes() family {
	const carriage = "\tbodies: carriage: {\n"
	feet := func(body string, nodes ...string) string {
		text := "\tbodies: " + body + ": feet: {"
		for _, n := range nodes {
			text += fmt.Sprintf("%s: {at: %q}, ", n, n)
		}
		return text + "}\n"
	}
	standing := feet("gantry", "near_front", "near_back", "far_front", "far_back")
	without := func(next, standing string) []edit {
		return []edit{
			{"machine.cue", "\t\tx: \"900", "\t\t" + next + ": \"", ""}, // of the envelope
			{"motion.cue", "\t\tx: {", "\t\t" + next + ": {", ""},
			{"cutting.cue", "\ttrials: {", "\tsupply: {", ""}, // at positions of all axes
			{"frame.cue", carriage, "", standing + carriage},
		}
	}
	// Something has to feed across the tool: with the slide alone it points along x.
	slide := append(without("z", standing+feet("carriage", "low_left", "low_right", "high_left", "high_right")),
		edit{"cutting.cue", "\tspindle: {\n", "", "\tspindle: {\n\t\ttool_direction: \"x\"\n"})
	return family{what: "positions", words: "`sign-router` with one, two and three axes, and the same members.", like: "sign-router",
		sizes: []size{{"3", slide}, {"9", without("y", standing)}, {"27", nil}}}
}

// cutting is the cutters and the targets of the mill, as many of one as of the other.
func cutting(n int) string {
	materials := []string{"brass", "mild steel", "stainless steel"}
	ambitions := []string{"must", "should", "hope"}
	var text strings.Builder
	text.WriteString("\tcutters: {\n")
	for i := range n {
		d := 4 + 7.25*float64(i)/float64(max(1, n-1))
		fmt.Fprintf(&text, "\"cutter %d\": {diameter: \"%.2f mm\", teeth: %d, stick_out: \"%.2f mm\", flute_length: \"%.2f mm\", ", i, d, 2+i%3, 2.8*d, 2.2*d)
		text.WriteString("material: \"carbide\", max_speed: \"15000 rpm\"}\n")
	}
	text.WriteString("}\n\tworkpiece: {on: \"table\", nodes: [\"t_*\"], load_spread: \"150 mm ± 30 %\"}\n\ttargets: {\n")
	for i := range n {
		fmt.Fprintf(&text, "\"target %d\": {material: %q, accuracy: \"%.3f mm\", ambition: %q}\n", i, materials[i%3], 0.02+0.002*float64(i), ambitions[i%3])
	}
	text.WriteString("}\n")
	return text.String()
}
