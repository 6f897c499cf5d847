package whole

import (
	"os"
	"path/filepath"
	"testing"

	"cuelang.org/go/cue/cuecontext"
	"cuelang.org/go/cue/load"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/examples"
	"ironbed/spec"
)

// BenchmarkEvaluate is the raw cost of the same CUE: what `cue vet` does with
// the spec and the schema beside it.
func BenchmarkEvaluate(b *testing.B) {
	for _, name := range examples.Names() {
		b.Run(name, func(b *testing.B) {
			dir := b.TempDir()
			files, err := examples.Starter(name)
			if err != nil {
				b.Fatal(err)
			}
			for _, f := range files {
				path := filepath.Join(dir, filepath.FromSlash(f.Name))
				if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
					b.Fatal(err)
				}
				if err := os.WriteFile(path, f.Text, 0o644); err != nil {
					b.Fatal(err)
				}
			}
			for b.Loop() {
				instances := load.Instances([]string{"."}, &load.Config{Dir: dir})
				value := cuecontext.New().BuildInstance(instances[0])
				if err := value.Validate(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

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
