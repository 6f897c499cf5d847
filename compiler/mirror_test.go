package compiler_test

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"ironbed/compiler/internal/sample"
)

var (
	coordinates = regexp.MustCompile(`(size: )?\[("[^"]*"), "([^"]*)", ("[^"]*")\]`)
	sides       = regexp.MustCompile(`near|far`)
	acrossWay   = regexp.MustCompile(`(direction|normal):(\s+)"(-?)y"`)
)

// mirrored is a spec with left and right swapped: Y the other way, near for far.
func mirrored(text string) string {
	var lines []string
	for _, line := range strings.Split(text, "\n") {
		code, _, _ := strings.Cut(line, "//")
		code = sides.ReplaceAllStringFunc(code, func(side string) string { return map[string]string{"near": "far", "far": "near"}[side] })
		code = acrossWay.ReplaceAllStringFunc(code, func(found string) string {
			if strings.Contains(found, `"-y"`) {
				return strings.Replace(found, `"-y"`, `"y"`, 1)
			}
			return strings.Replace(found, `"y"`, `"-y"`, 1)
		})
		lines = append(lines, coordinates.ReplaceAllStringFunc(code, func(found string) string {
			part := coordinates.FindStringSubmatch(found)
			if part[1] != "" {
				return found
			}
			other := "-" + part[3]
			if rest, ok := strings.CutPrefix(part[3], "-"); ok {
				other = rest
			}
			return "[" + part[2] + `, "` + other + `", ` + part[4] + "]"
		}))
	}
	return strings.Join(lines, "\n")
}

// TestMirror: a machine with left and right swapped has the same verdicts, and its parts the same errors but for what the cutter does, which
// turns the same way in both: a change of 1 % is left to it. It is damped so well that chatter, which sees that way, picks no other speed.
func TestMirror(t *testing.T) {
	undrawn(t)
	m, files := sample.Edited(t, "sign-router", [2]string{`workpiece: {on: "bed"`,
		"damping: {members: 0.5, carriages: 0.5, drives: 0.5, feet: 0.5, spindle: 0.5, shaft: 0.5, clamping: 0.5, tool: 0.5}\n\tworkpiece: {on: \"bed\""})
	for name, text := range files {
		files[name] = mirrored(text)
	}
	was, is := answered(t, m), answered(t, sample.Load(t, sample.Folder(t, files)))
	moved := 0
	for i := range was.Targets {
		a, b := &was.Targets[i], &is.Targets[i]
		if a.Name != b.Name || a.Verdict != b.Verdict || a.Decides != b.Decides {
			t.Errorf("%s is %s by %s, mirrored %s by %s", a.Name, a.Verdict, a.Decides, b.Verdict, b.Decides)
		}
		if a.Budget == nil || b.Budget == nil {
			t.Fatal(a.Name, "has no budget")
		}
		if off := math.Abs(a.Budget.Likely/b.Budget.Likely - 1); off > 0.01 {
			t.Errorf("%s: likely error %g µm, mirrored %g", a.Name, a.Budget.Likely, b.Budget.Likely)
		}
	}
	for _, f := range was.Figures.All() {
		if g, ok := is.Figures.Get(f.ID); ok && strings.HasPrefix(f.ID, "tool.stiffness") {
			moved++
			if math.Abs(f.Value/g.Value-1) > 1e-6 {
				t.Errorf("%s is %g, mirrored %g", f.ID, f.Value, g.Value)
			}
		}
	}
	if moved == 0 {
		t.Error("no stiffness was compared")
	}
}
