package whole

import (
	"testing"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/examples"
	"ironbed/spec"
)

// BenchmarkCheck is load and compile, as `check` does them.
func BenchmarkCheck(b *testing.B) {
	for _, name := range examples.Names() {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				machine, diagnostics, err := spec.Load(exampleDir(name))
				if err != nil || machine == nil {
					b.Fatal(err, diagnostics)
				}
				if built, findings := compiler.Answers(machine, build.Tool{}, func(string) {}); built == nil {
					b.Fatal(findings)
				}
			}
		})
	}
}

// BenchmarkReport is load, compile and write, as `report` does them.
func BenchmarkReport(b *testing.B) {
	for _, name := range examples.Names() {
		b.Run(name, func(b *testing.B) {
			out := b.TempDir()
			for b.Loop() {
				report(b, exampleDir(name), out, committedFormats)
			}
		})
	}
}
