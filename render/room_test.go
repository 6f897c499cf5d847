package render

import (
	"strings"
	"testing"

	"ironbed/compiler/build"
)

// TestSpaceStandsWithThePicture: what space there is for a workpiece stands under the picture of the machine, and nowhere without one.
func TestSpaceStandsWithThePicture(t *testing.T) {
	b := &build.Build{Machine: "mill", Room: []string{"Space for the workpiece: 300 mm"}, Overview: &build.Picture{ID: "machine", Title: "The machine", Drawing: build.Scene{}}}
	text := string(Markdown(b))
	if _, after, ok := strings.Cut(text, "figures/machine.svg"); !ok || !strings.Contains(after, "\n\nSpace for the workpiece: 300 mm.\n") {
		t.Errorf("not under the picture:\n%s", text)
	}
	b.Overview = nil
	if strings.Contains(string(Markdown(b)), "300 mm") {
		t.Error("it stands without a picture")
	}
}
