package compiler

import (
	"path/filepath"
	"strings"
	"testing"

	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/sheet"
)

// TestIDsBegin: every id begins as the list of sheets says of the sheet that adds the figure, so that what begins otherwise is refused
// without computing anything, and a wrong end no later than where a right one would be found.
func TestIDsBegin(t *testing.T) {
	folders := []string{"examples/clockroom-mill"}
	if sample.Thorough() {
		for _, pattern := range []string{"examples/*/machine.cue", "compiler/internal/whole/testdata/machines/*/machine.cue"} {
			list, err := filepath.Glob(filepath.Join(sample.Root(), pattern))
			if err != nil || len(list) < 4 {
				t.Fatal(list, err)
			}
			for _, file := range list {
				folder, err := filepath.Rel(sample.Root(), filepath.Dir(file))
				if err != nil {
					t.Fatal(err)
				}
				folders = append(folders, folder)
			}
		}
	}
	for _, folder := range folders {
		m := sample.Load(t, filepath.Join(sample.Root(), folder))
		mounted, refused := mountings(m)
		if refused != nil {
			t.Fatal(refused)
		}
		for _, one := range mounted {
			c := compilation{machine: one, report: true, progress: func(string) {}}
			for to := statics; to <= changes; to++ {
				if err := c.solve(to); err != nil {
					t.Fatal(err)
				}
			}
			out := &build.Build{}
			book := sheet.NewBook(c.solved, out, true)
			for _, s := range sheets {
				if !book.Wants(s.Sheet) {
					continue
				}
				before := len(out.Figures.All())
				if err := book.Write(s.Sheet); err != nil {
					t.Fatal(err)
				}
				for _, f := range out.Figures.All()[before:] {
					if !beginsAs(f.ID, s.ids) {
						t.Errorf("%s: %s is a figure of %s, whose ids begin with %q", folder, f.ID, s.Name, s.ids)
					}
					if to, ok := deepest(one, f.ID); !ok || to < s.reads {
						t.Errorf("%s: %s is looked for to depth %d (%v), and found at %d", folder, f.ID, to, ok, s.reads)
					}
				}
			}
		}
	}
	// What is wrong is said with what is near.
	m := sample.Load(t, filepath.Join(sample.Root(), "compiler/internal/whole/testdata/machines/keel-mill"))
	for id, says := range map[string]string{
		"target.keel_flang.depth":       "nearest are ids that begin with target.keel_flange",
		"spindle.fst.mode.1.frequency":  "spindle.fast.mode",
		"masss":                         "nearest are ids that begin with mass",
		"width":                         "ids begin with acceptance, axis, ",
		"spindle.fast.tool.stiffness.x": "",
		"mode.1.frequenzy":              "", // known when the modes are
	} {
		switch err := NoFigure(m, id); {
		case says == "" && err != nil:
			t.Errorf("%s: %v", id, err)
		case says != "" && (err == nil || !strings.Contains(err.Error(), says)):
			t.Errorf("%s: %v, which does not say %q", id, err, says)
		}
	}
}

// beginsAs reports whether an id begins in one of some ways.
func beginsAs(id, ways string) bool {
	for _, begins := range strings.Fields(ways) {
		words := strings.Split(id, ".")
		for i, w := range strings.Split(begins, ".") {
			if i >= len(words) || !standIn.MatchString(w) && w != words[i] {
				break
			}
			if i == strings.Count(begins, ".") {
				return true
			}
		}
	}
	return false
}
