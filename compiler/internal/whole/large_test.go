package whole

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/examples"
	"ironbed/spec"
)

// likeExample writes an example into a new folder with a part of one of its files, from
// a text to another, taken out for a new one.
func likeExample(b *testing.B, example, file, from, to, instead string) (dir string) {
	b.Helper()
	dir = b.TempDir()
	files, err := examples.Starter(example)
	if err != nil {
		b.Fatal(err)
	}
	found := false
	for _, f := range files {
		if filepath.Dir(filepath.FromSlash(f.Name)) != "." {
			continue
		}
		text := string(f.Text)
		if f.Name == file {
			before, rest, ok := strings.Cut(text, from)
			_, after, there := strings.Cut(rest, to)
			if found = ok && there; found {
				text = before + instead + to + after
			}
		}
		if err := os.WriteFile(filepath.Join(dir, f.Name), []byte(text), 0o644); err != nil {
			b.Fatal(err)
		}
	}
	if !found {
		b.Fatalf("%s of %s is not what it was", file, example)
	}
	return dir
}

// checked runs what `check` does.
func checked(b *testing.B, dir string) {
	b.Helper()
	b.ReportAllocs()
	for b.Loop() {
		machine, diagnostics, err := spec.Load(dir)
		if err != nil || machine == nil {
			b.Fatal(err, diagnostics)
		}
		if built, findings := compiler.Answers(machine, build.Tool{}, func(string) {}); built == nil {
			b.Fatal(findings)
		}
	}
}

// BenchmarkMembers is a router on ladder beds of more and more members.
func BenchmarkMembers(b *testing.B) {
	for _, pairs := range []int{6, 67, 267, 1067} {
		b.Run(fmt.Sprint(3*pairs-2), func(b *testing.B) {
			checked(b, likeExample(b, "sign-router", "frame.cue", "\tbodies: bed: machine.#LadderBed & {", "\t\tmasses: board", ladder(pairs)))
		})
	}
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

// BenchmarkTargets is a mill with more and more targets and as many cutters.
func BenchmarkTargets(b *testing.B) {
	materials := []string{"brass", "mild steel", "stainless steel"}
	ambitions := []string{"must", "should", "hope"}
	for _, n := range []int{3, 10, 30} {
		var text strings.Builder
		text.WriteString("\tcutters: {\n")
		for i := range n {
			d := 4 + 7.25*float64(i)/float64(n-1)
			fmt.Fprintf(&text, "\"cutter %d\": {diameter: \"%.2f mm\", teeth: %d, stick_out: \"%.2f mm\", flute_length: \"%.2f mm\", ", i, d, 2+i%3, 2.8*d, 2.2*d)
			text.WriteString("material: \"carbide\", max_speed: \"15000 rpm\"}\n")
		}
		text.WriteString("}\n\tworkpiece: {on: \"table\", nodes: [\"t_*\"], load_spread: \"150 mm ± 30 %\"}\n\ttargets: {\n")
		for i := range n {
			fmt.Fprintf(&text, "\"target %d\": {material: %q, accuracy: \"%.3f mm\", ambition: %q}\n", i, materials[i%3], 0.02+0.002*float64(i), ambitions[i%3])
		}
		text.WriteString("}\n")
		b.Run(fmt.Sprintf("%dx%d", n, n), func(b *testing.B) {
			checked(b, likeExample(b, "clockroom-mill", "cutting.cue", "\tcutters: {", "\n\t// Bench tests", text.String()))
		})
	}
}
