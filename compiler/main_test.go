package compiler_test

import (
	"os"
	"testing"

	"ironbed/compiler/chance"
	"ironbed/compiler/internal/sample"
)

// TestMain draws fewer machines: the tests here compile machines by the dozen, and look at how sure their verdicts are in no more than one.
func TestMain(m *testing.M) {
	if !sample.Thorough() {
		chance.Drawn = 32
	}
	os.Exit(m.Run())
}

// undrawn is for a test of what no machine that is drawn tells.
func undrawn(t *testing.T) {
	was := chance.Drawn
	chance.Drawn = 0
	t.Cleanup(func() { chance.Drawn = was })
}
