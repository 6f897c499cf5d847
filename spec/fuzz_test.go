package spec

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ironbed/schema"
)

// smallMachine is a machine that is evaluated in milliseconds: what is written into it
// meets every kind of field.
const smallMachine = `package m

import "ironbed.example/machine"

machine.#Machine & {
	name: "m"
	sections: box: hollow: {height: "100 mm", width: "100 mm", wall: "5 mm ± 10 %"}
	fills: sand: mix: "dry sand"
	bodies: base: {
		nodes: {a: ["0 mm", "0 mm", "0 mm"], b: ["1 m", "0 mm", "0 mm"]}
		members: bar: {from: "a", to: "b", section: "box", fill: "sand"}
		masses: m: {at: "b", mass: "0.9..1.4 kg"}
		feet: {a: at: "a", b: at: "b"}
	}
	envelope: x: "400 mm"
	targets: t: {material: "brass", accuracy: "0.1 mm", ambition: "must"}
	cutters: c: {diameter: "6 mm", teeth: 2, stick_out: "25 mm", flute_length: "20 mm", material: "carbide"}
	trials: p: {position: {}, loads: l: {at: "base.b", force: ["50 N", "0 N", "0 N"]}, reads: r: {at: "base.b", along: "x"}}
	supply: s: {note: "a note", price: "22"}
}
`

// syntaxSeeds are one seed for each feature of CUE's syntax: what a spec may be written with.
var syntaxSeeds = []string{
	`_a: 1 + 2*3 - 4/5`, `_a: "x\(1+1)y"`, "_a: \"\"\"\n\ttext\n\t\"\"\"", `_a: #"raw \#(1)"#`, `_a: 'bytes'`, `_a: [1, 2, ...]`, `_a: [for x in [1, 2] if x > 1 {x}]`,
	`_a: {for k, v in {b: 1} {"\(k)": v}}`, `_a: *1 | int`, `_a: int & >0 & <=5`, `_a: =~"^a"`, `_a: !="b"`, `#D: {x!: int, y?: string, ...}`, `_a: #D & {x: 1}`,
	`_a: [string]: int`, `let X = 3`, `_a: X`, `_a: b: c: 1`, `_a: {b: 1, c: b}`, `_a: len([1])`, `_a: true && !false || 1 == 2`, `_a: null`, `_a: _|_`, `_a: 1e3`, `_a: 1.5Ki`,
	`_a: 0x1F`, `if true {_a: 1}`, `_a: {1}`, `"quoted name": 1`, `_a: b: _a`, `// comment`, `_a: 1 @attr(x)`, `X=_a: 1`, `_a: [...int]`, `_a: close({b: 1})`, `_a: 5 div 2`,
	`_a: (1)`, `_a: -1`, `_a: {b: 1}.b`, `_a: [1][0]`, `_a: [1, 2][0:1]`, `bodies: c: machine.#LadderBed & {template: {}}`, `sections: box: hollow: wall: "6 mm"`, `name: "other"`,
}

// FuzzLoad writes text into a machine, and whole texts: a spec is refused with words and a
// place, or is a machine. The evaluator runs, and no physics.
func FuzzLoad(f *testing.F) {
	for _, s := range syntaxSeeds {
		f.Add(s)
	}
	files, err := filepath.Glob("../examples/sign-router/*.cue")
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		for line := range strings.SplitSeq(string(text), "\n") {
			f.Add(strings.TrimSpace(line))
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 2000 {
			return // bounded elsewhere; what takes long is not looked for here
		}
		whole := smallMachine + text + "\n"
		if strings.HasPrefix(text, "package ") {
			whole = text
		}
		machine, diagnostics := compile([]schema.File{{Name: "m.cue", Text: []byte(whole)}})
		if machine == nil && len(diagnostics) == 0 {
			t.Fatal("refused without a word")
		}
		for _, d := range diagnostics {
			if d.Message == "" || d.Rule == "" || d.At.Known() && (d.At.Line < 1 || d.At.Column < 1 || d.At.Line > 1+strings.Count(whole, "\n")) {
				t.Errorf("%+v", d)
			}
		}
	})
}

// FuzzText gives text to what reads it before CUE does.
func FuzzText(f *testing.F) {
	for _, s := range syntaxSeeds {
		f.Add(s)
	}
	f.Add(smallMachine)
	for _, s := range []string{"a: [", "}", "a: \"\\(", "name = 1", "a: 5mm", "a: 0,4", "a-b: 1", "2nd: 1", "a: “b”", "a: 1;", "x # y", "@a((((", "\x00", "\xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		file := schema.File{Name: "m.cue", Text: []byte(text)}
		for _, list := range [][]Diagnostic{tooLong(file), slipsIn(file, true), unbalanced(file)} {
			for _, d := range list {
				if d.Message == "" || d.At.Line < 1 || d.At.Column < 1 {
					t.Errorf("%+v", d)
				}
			}
		}
		if len(tooLong(file)) == 0 {
			_, _ = parseFiles([]schema.File{file})
			suspectsIn([]schema.File{file})
		}
	})
}
