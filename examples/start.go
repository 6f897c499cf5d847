package examples

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"

	"ironbed/schema"
)

// Start writes a first spec like an example into a folder, which is made where there is
// none. It overwrites nothing: where a file stands in the way, or CUE files are there
// already, nothing is written. After an error the folder is as it was.
func Start(dir, like string) (err error) {
	files, err := Starter(like)
	if err != nil {
		return err
	}
	var made []string // within the folder, in the order in which they were made
	_, missing := os.Lstat(dir)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			for _, name := range slices.Backward(made) {
				err = errors.Join(err, root.Remove(name))
			}
			if errors.Is(missing, fs.ErrNotExist) {
				err = errors.Join(err, os.Remove(dir))
			}
		}
		root.Close()
	}()
	if err := free(root, dir, files); err != nil {
		return err
	}
	for _, f := range files {
		var above []string
		for at := path.Dir(f.Name); at != "."; at = path.Dir(at) {
			above = append(above, at)
		}
		for _, at := range slices.Backward(above) {
			switch err := root.Mkdir(at, 0o755); {
			case err == nil:
				made = append(made, at)
			case !errors.Is(err, fs.ErrExist):
				return err
			}
		}
		out, err := root.OpenFile(f.Name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if err != nil {
			return err
		}
		made = append(made, f.Name)
		_, err = out.Write(f.Text)
		if err = errors.Join(err, out.Close()); err != nil {
			return err
		}
	}
	return nil
}

// free makes sure that nothing of a folder is in the way of a first spec.
func free(root *os.Root, dir string, files []schema.File) error {
	entries, err := fs.ReadDir(root.FS(), ".")
	if err != nil {
		return err
	}
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".cue") {
			return fmt.Errorf("%s has CUE files already; init writes into a new folder", dir)
		}
	}
	for _, f := range files {
		if _, err := root.Lstat(f.Name); err == nil {
			return fmt.Errorf("%s has a file %s already; init overwrites nothing and writes into a new folder", dir, f.Name)
		}
	}
	return nil
}
