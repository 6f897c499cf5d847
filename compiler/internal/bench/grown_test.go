//go:build unix

package main

import (
	"testing"

	"ironbed/compiler/internal/sample"
)

// TestGrown holds that the examples are still what the edits were made for, and that each size is allowed.
func TestGrown(t *testing.T) {
	t.Chdir(sample.Root())
	dir := t.TempDir()
	for _, f := range grown() {
		for _, s := range f.sizes {
			in, err := specLike(dir, f.what+" "+s.name, f.like, s.edits...)
			if err != nil {
				t.Error(err)
				continue
			}
			sample.Load(t, in)
		}
	}
}
