// Package examples holds the example machines, from which a first spec can be
// started.
package examples

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"ironbed/schema"
)

//go:embed */*.cue
var machines embed.FS

// readings is the file of an example with what was read of it: of that machine, and of none that is begun like it.
const readings = "readings.cue"

// starter is the example that a new spec begins as.
const starter = "clockroom-mill"

// Names lists the example machines.
func Names() []string {
	entries, err := fs.ReadDir(machines, ".")
	if err != nil {
		panic(err) // embedded
	}
	var list []string
	for _, e := range entries {
		list = append(list, e.Name())
	}
	return list
}

// Starter returns the files of a new spec like an example, with the schema
// beside it in the place where CUE looks for it without a network. Names are
// slash-separated.
func Starter(like string) ([]schema.File, error) {
	if like == "" {
		like = starter
	}
	if !slices.Contains(Names(), like) {
		return nil, fmt.Errorf("there is no example %q; there are %s", like, strings.Join(Names(), ", "))
	}
	found, err := fs.Glob(machines, path.Join(like, "*.cue"))
	if err != nil {
		panic(err) // the pattern is ours
	}
	var list []schema.File
	for _, name := range found {
		if path.Base(name) == readings {
			continue
		}
		text, err := machines.ReadFile(name)
		if err != nil {
			panic(err) // embedded
		}
		list = append(list, schema.File{Name: path.Base(name), Text: text})
	}
	list = append(list, schema.File{Name: "cue.mod/module.cue",
		Text: []byte("// This folder lets editors and `cue vet` check the spec with no network.\nmodule: \"ironbed.example/mill\"\nlanguage: version: \"v0.9.0\"\n")})
	for _, f := range schema.Machine() {
		list = append(list, schema.File{Name: "cue.mod/pkg/" + schema.ImportPath + "/" + f.Name, Text: f.Text})
	}
	return list, nil
}
