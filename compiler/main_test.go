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
