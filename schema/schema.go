// Package schema holds the CUE files that say what a machine spec may say, and
// the catalogues of stock and material that a spec may name.
package schema

import (
	"embed"
	"io/fs"
	"path"
	"sort"
)

// ImportPath is the path under which a spec imports the schema.
const ImportPath = "ironbed.example/machine"

//go:embed machine/*.cue
var machineFiles embed.FS

//go:embed catalogue/*.cue
var catalogueFiles embed.FS

// A File is one CUE file.
type File struct {
	Name string // base name
	Text []byte
}

// Machine returns the files of the schema, sorted by name.
func Machine() []File { return files(machineFiles, "machine") }

// Catalogue returns the files of the catalogues, sorted by name. They hold
// concrete values only.
func Catalogue() []File { return files(catalogueFiles, "catalogue") }

func files(from embed.FS, dir string) []File {
	names, err := fs.Glob(from, path.Join(dir, "*.cue"))
	if err != nil {
		panic(err) // the pattern is a constant
	}
	sort.Strings(names)
	var list []File
	for _, name := range names {
		text, err := from.ReadFile(name)
		if err != nil {
			panic(err) // embedded
		}
		list = append(list, File{Name: path.Base(name), Text: text})
	}
	return list
}
