// Package keep keeps what took long to compute in a folder from one run to the next, by
// all that determines it. The folder may be deleted at any time, and what is damaged in it
// counts as absent: a run gives the same with it, without it, and with anything in it. So
// nothing here is an error; what cannot be read is not there, and what cannot be written
// is not kept. Several programs may use a folder at once.
package keep

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"time"
)

// Variable is the variable of the environment that says where: "off" for nowhere, a
// folder, or nothing for the user's cache folder.
const Variable = "IRONBED_CACHE"

// The bounds of a folder: 8 MB, and what one run puts beside it.
const (
	mostEntries = 2000
	mostBytes   = 4096 // of an entry
)

// begun marks a file that is being written. One that is older than a run can last was left by a run that was ended.
const (
	begun   = "new-"
	longest = time.Hour
)

// A Folder keeps entries. It may be used by several goroutines.
type Folder struct {
	dir     string
	program []byte // what tells this build of the program from all others
	wrote   atomic.Bool
	failed  atomic.Bool
}

// Open returns the folder of a kind of entries; nil where nothing is kept. It is made by
// the first entry.
func Open(kind string) *Folder {
	dir := os.Getenv(Variable)
	if dir == "off" {
		return nil
	}
	if dir == "" {
		user, err := os.UserCacheDir()
		if err != nil {
			return nil
		}
		dir = filepath.Join(user, "ironbed")
	}
	program := program()
	if program == nil {
		return nil
	}
	return &Folder{dir: filepath.Join(dir, kind), program: program}
}

// name is the file of an entry.
func (f *Folder) name(key []byte) string {
	digest := f.digest(key, nil)
	return filepath.Join(f.dir, hex.EncodeToString(digest[:]))
}

// digest is that of an entry: of the program, the key and the value.
func (f *Folder) digest(key, value []byte) [sha256.Size]byte {
	var all []byte
	for _, part := range [][]byte{f.program, key, value} {
		all = binary.LittleEndian.AppendUint64(all, uint64(len(part)))
		all = append(all, part...)
	}
	return sha256.Sum256(all)
}

// Get returns the value that was put under a key by this build of the program; false where there is none, or not every bit of it.
func (f *Folder) Get(key []byte) (value []byte, ok bool) {
	name := f.name(key)
	if info, err := os.Lstat(name); err != nil || !info.Mode().IsRegular() || info.Size() > mostBytes { // a pipe would never end
		return nil, false
	}
	text, err := os.ReadFile(name)
	if err != nil || len(text) < sha256.Size {
		return nil, false
	}
	value = text[sha256.Size:]
	digest := f.digest(key, value)
	return value, bytes.Equal(text[:sha256.Size], digest[:])
}

// Put keeps a value under a key. Others see all of it or nothing.
func (f *Folder) Put(key, value []byte) {
	if f.failed.Load() || sha256.Size+len(value) > mostBytes {
		return
	}
	digest := f.digest(key, value)
	written, err := f.write(append(digest[:], value...))
	if err != nil {
		f.failed.Store(true) // a full disk stays full
		return
	}
	f.wrote.Store(true)
	name := f.name(key)
	if os.Rename(written, name) == nil {
		return
	}
	_ = os.Remove(name) // an empty folder
	if os.Rename(written, name) != nil {
		_ = os.Remove(written)
	}
}

// write writes a file with a name of its own.
func (f *Folder) write(text []byte) (name string, err error) {
	if err := os.MkdirAll(f.dir, 0o700); err != nil {
		return "", err
	}
	file, err := os.CreateTemp(f.dir, begun)
	if err != nil {
		return "", err
	}
	_, err = file.Write(text)
	if e := file.Close(); err == nil {
		err = e
	}
	if err != nil {
		_ = os.Remove(file.Name())
	}
	return file.Name(), err
}

// Trim removes the oldest entries where a run has put too many, and what runs left that were ended. Another run that looks for one of them
// computes it anew. Files that are not of this package stay.
func (f *Folder) Trim() {
	if !f.wrote.Load() {
		return
	}
	files, err := os.ReadDir(f.dir)
	if err != nil {
		return
	}
	var entries []fs.FileInfo
	for _, file := range files {
		left := strings.HasPrefix(file.Name(), begun)
		if _, err := hex.DecodeString(file.Name()); !left && (err != nil || len(file.Name()) != 2*sha256.Size) {
			continue
		}
		info, err := file.Info()
		switch {
		case err != nil || !info.Mode().IsRegular():
		case !left:
			entries = append(entries, info)
		case time.Since(info.ModTime()) > longest:
			_ = os.Remove(filepath.Join(f.dir, file.Name()))
		}
	}
	if len(entries) <= mostEntries {
		return
	}
	slices.SortFunc(entries, func(a, b fs.FileInfo) int { return a.ModTime().Compare(b.ModTime()) })
	for _, old := range entries[:len(entries)-mostEntries*3/4] {
		_ = os.Remove(filepath.Join(f.dir, old.Name()))
	}
}
