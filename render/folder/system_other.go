//go:build !unix

package folder

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// tryLock locks a folder against other runs with a file in it. A run that was ended
// leaves the file; whoever gets its error may remove it.
func tryLock(dir string) (unlock func(), err error) {
	name := filepath.Join(dir, mark+"lock")
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if errors.Is(err, fs.ErrExist) {
		return nil, errHeld
	}
	if err != nil {
		return nil, err
	}
	return func() {
		f.Close()
		os.Remove(name)
	}, nil
}

// writable is found out by writing.
func writable(string) error { return nil }

// own reports whether a folder is of the user who runs this: nobody else's are known.
func own(fs.FileInfo) bool { return true }

// alike gives a new folder the rights of another one.
func alike(dir string, info fs.FileInfo) error { return os.Chmod(dir, info.Mode().Perm()) }
