// Package folder writes a set of files into a folder so that the folder holds the old
// set or the new one and never a part of each, whatever ends the run. It removes the
// files of the old set alone, and overwrites nothing else unless it is told to.
//
// Where the system can exchange two folders in one step, the new folder is made beside
// the old one, the files of others are linked into it, and the two are exchanged.
// Elsewhere, and where somebody stands in the folder, the new files are made in a folder
// within it and a journal says where they go; a run that is ended while they go there
// is finished by the next one.
package folder

import (
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// A File is one file of the new set.
type File struct {
	Name    string // relative to the folder, with slashes
	Content []byte
}

// mark is in the names of what this package makes for the time of a run.
const mark = ".ironbed-"

// mostLinked is how many files of others are linked into a new folder: a folder with
// more of them is better left where it is.
const mostLinked = 1000

// longestWait is how long a run waits for another one to have written.
const longestWait = 30 * time.Second

// A Foreign is the error where files that are not of the old set stand in the way.
type Foreign struct{ Names []string }

func (f *Foreign) Error() string {
	const most = 5
	names, more := f.Names, ""
	if len(names) > most {
		names, more = names[:most], fmt.Sprintf(" and %d more", len(names)-most)
	}
	return fmt.Sprintf("%s%s: not written by ironbed, and left alone", strings.Join(names, ", "), more)
}

// Replace writes a set of files into a folder in place of the old set. Old names the
// files of the old set that a folder holds. A file of neither set stays. One in the way
// of the new set is an error of type [*Foreign], or overwritten with force. After an
// error the folder is as it was.
func Replace(dir string, set []File, old func(fs.FS) []string, force bool) (err error) {
	dir, err = filepath.Abs(dir)
	if err != nil {
		return err
	}
	made, err := parents(dir)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			for _, m := range slices.Backward(made) {
				_ = os.Remove(m) // one that is not empty stays
			}
		}
	}()
	if real, err := filepath.EvalSymlinks(dir); err == nil {
		dir = real
	} else if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	r := &replacement{dir: dir, parent: filepath.Dir(dir), set: set, old: old, force: force}
	unlock, err := r.lock()
	if err != nil {
		return err
	}
	defer unlock()
	return r.run()
}

// parents makes the folders above a folder and returns those that it made.
func parents(dir string) (made []string, err error) {
	var missing []string
	for at := filepath.Dir(dir); ; at = filepath.Dir(at) {
		if _, err := os.Stat(at); err == nil || at == filepath.Dir(at) {
			break
		}
		missing = append(missing, at)
	}
	for _, m := range slices.Backward(missing) {
		if err := os.Mkdir(m, 0o777); err != nil && !errors.Is(err, fs.ErrExist) {
			return made, err
		}
		made = append(made, m)
	}
	return made, nil
}

// A replacement is one run.
type replacement struct {
	dir, parent string
	set         []File
	old         func(fs.FS) []string
	force       bool

	inside  bool     // the lock is on the folder itself, which then stays where it is
	remove  []string // files of the old set, and what force overwrites
	foreign []string // files and folders of others, a folder before what is in it
}

// lock waits until no other run writes beside this one.
func (r *replacement) lock() (unlock func(), err error) {
	for end := time.Now().Add(longestWait); ; time.Sleep(5 * time.Millisecond) {
		at := r.parent
		if r.inside {
			at = r.dir
		}
		unlock, err := tryLock(at)
		switch {
		case err == nil:
			return unlock, nil
		case errors.Is(err, fs.ErrPermission) && !r.inside:
			r.inside = true
			continue
		case !errors.Is(err, errHeld):
			return nil, fmt.Errorf("locking %s: %w", at, err)
		}
		if time.Now().After(end) {
			return nil, fmt.Errorf("%s: another run has been writing for %v", r.dir, longestWait)
		}
	}
}

// errHeld means that another run holds the lock.
var errHeld = errors.New("locked")

// hook is called before each step on the disk; tests make it fail or end the run there.
var hook = func(step string) error { return nil }

func (r *replacement) run() error {
	if err := r.recover(); err != nil {
		return err
	}
	info, err := os.Stat(r.dir)
	if errors.Is(err, fs.ErrNotExist) {
		return r.exchange(nil)
	}
	if err != nil {
		return err
	}
	if !info.IsDir() {
		return fmt.Errorf("%s is not a folder", r.dir)
	}
	if err := writable(r.dir); err != nil {
		return fmt.Errorf("%s: %w", r.dir, err)
	}
	if err := r.survey(); err != nil {
		return err
	}
	if !r.inside && !r.stoodIn() && len(r.foreign) <= mostLinked {
		err := r.exchange(info)
		if !errors.Is(err, errors.ErrUnsupported) {
			return err
		}
	}
	return r.journal()
}

// survey sorts what is in the folder, and refuses what is in the way.
func (r *replacement) survey() error {
	root, err := os.OpenRoot(r.dir)
	if err != nil {
		return err
	}
	defer root.Close()
	r.remove = r.old(root.FS())
	var inTheWay []string
	err = fs.WalkDir(root.FS(), ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || name == "." || slices.Contains(r.remove, name) {
			return err
		}
		needed := slices.ContainsFunc(r.set, func(f File) bool { return f.Name == name })
		within := slices.ContainsFunc(r.set, func(f File) bool { return strings.HasPrefix(f.Name, name+"/") })
		switch {
		case needed && e.IsDir(), within && !e.IsDir():
			return fmt.Errorf("%s is in the way of the report; take it away", filepath.Join(r.dir, name))
		case needed && r.force:
			r.remove = append(r.remove, name)
		case needed:
			inTheWay = append(inTheWay, name)
		default:
			r.foreign = append(r.foreign, name)
		}
		return nil
	})
	if err != nil {
		return err
	}
	if len(inTheWay) > 0 {
		return &Foreign{inTheWay}
	}
	// A folder that held files of the old set alone goes with them.
	r.foreign = slices.DeleteFunc(r.foreign, func(name string) bool {
		below := func(other string) bool { return strings.HasPrefix(other, name+"/") }
		return slices.ContainsFunc(r.remove, below) && !slices.ContainsFunc(r.foreign, below)
	})
	return nil
}

// stoodIn reports whether the run stands in the folder: a shell would stand in a folder
// that is no more.
func (r *replacement) stoodIn() bool {
	at, err := os.Getwd()
	if err != nil {
		return true
	}
	if real, err := filepath.EvalSymlinks(at); err == nil {
		at = real
	}
	within, err := filepath.Rel(r.dir, at)
	return err != nil || within != ".." && !strings.HasPrefix(within, ".."+string(filepath.Separator))
}

// beside is the beginning of the name of what lies beside the folder during a run.
func (r *replacement) beside() string { return "." + filepath.Base(r.dir) + mark }

// The names within a folder beside the folder: the set, and the list of what is ironbed's.
const (
	setName  = "set"
	listName = "list"
)

// exchange makes the new folder beside the old one and exchanges the two. What is not
// supported leaves all as it was.
func (r *replacement) exchange(info fs.FileInfo) (err error) {
	stage := filepath.Join(r.parent, r.beside()+rand.Text()[:12])
	if err := hook("mkdir"); err != nil {
		return err
	}
	if err := os.Mkdir(stage, 0o700); err != nil {
		if info != nil {
			return errors.ErrUnsupported // the folder itself may be writable
		}
		return err
	}
	exchanged := false
	defer func() {
		if !exchanged {
			err = errors.Join(err, os.RemoveAll(stage))
		}
	}()
	list := slices.Clone(r.remove)
	for _, f := range r.set {
		list = append(list, f.Name)
	}
	if err := writeJSON(filepath.Join(stage, listName), list); err != nil {
		return err
	}
	set := filepath.Join(stage, setName)
	if err := os.Mkdir(set, 0o777); err != nil {
		return err
	}
	if info != nil {
		if err := alike(set, info); err != nil {
			return errors.ErrUnsupported
		}
		for _, name := range r.foreign {
			if err := r.link(set, name); err != nil {
				return err
			}
		}
	}
	for _, f := range r.set {
		if err := writeFile(filepath.Join(set, filepath.FromSlash(f.Name)), f.Content); err != nil {
			return err
		}
	}
	if err := hook("exchange"); err != nil {
		return err
	}
	if info == nil {
		err = os.Rename(set, r.dir)
	} else {
		err = exchangeFolders(set, r.dir)
	}
	if err != nil {
		return err
	}
	exchanged = true
	syncFolder(r.parent)
	return r.retire(stage)
}

// link gives a file of somebody else's its place in the new folder.
func (r *replacement) link(set, name string) error {
	from, to := filepath.Join(r.dir, filepath.FromSlash(name)), filepath.Join(set, filepath.FromSlash(name))
	if err := hook("link"); err != nil {
		return err
	}
	info, err := os.Lstat(from)
	if err != nil {
		return err
	}
	if !info.IsDir() {
		if os.Link(from, to) != nil {
			return errors.ErrUnsupported // a file system without links, or another one
		}
		return nil
	}
	if err := os.Mkdir(to, 0o777); err != nil {
		return err
	}
	if alike(to, info) != nil {
		return errors.ErrUnsupported
	}
	return nil
}

// retire removes what a run has left beside the folder: the old set, links to files that
// are in the folder. A file that somebody has put into the old folder meanwhile moves
// into the new one.
func (r *replacement) retire(stage string) error {
	text, err := os.ReadFile(filepath.Join(stage, listName))
	var list []string
	if err != nil || json.Unmarshal(text, &list) != nil {
		return os.RemoveAll(stage) // ended before anything was in it
	}
	set := filepath.Join(stage, setName)
	var folders []string
	err = filepath.WalkDir(set, func(from string, e fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil {
			return err
		}
		if err := hook("retire"); err != nil {
			return err
		}
		name, err := filepath.Rel(set, from)
		if err != nil {
			return err
		}
		if e.IsDir() {
			folders = append(folders, from)
			return nil
		}
		if slices.Contains(list, filepath.ToSlash(name)) {
			return os.Remove(from)
		}
		mine, err := os.Lstat(from)
		if err != nil {
			return err
		}
		to := filepath.Join(r.dir, name)
		theirs, err := os.Lstat(to)
		switch {
		case err == nil && os.SameFile(mine, theirs):
			return os.Remove(from)
		case err == nil && !theirs.IsDir() && mine.ModTime().Before(theirs.ModTime()):
			return os.Remove(from) // written again since
		}
		if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
			return err
		}
		return os.Rename(from, to)
	})
	if err != nil {
		return err
	}
	for _, f := range slices.Backward(folders) {
		_ = os.Remove(f)
	}
	return os.RemoveAll(stage)
}

// recover finishes or removes what runs have left that were ended.
func (r *replacement) recover() error {
	entries, err := os.ReadDir(r.parent)
	if err != nil && !errors.Is(err, fs.ErrPermission) {
		return err
	}
	for _, e := range entries {
		info, err := e.Info()
		if err == nil && strings.HasPrefix(e.Name(), r.beside()) && e.IsDir() && own(info) {
			if err := r.retire(filepath.Join(r.parent, e.Name())); err != nil {
				return err
			}
		}
	}
	stage := filepath.Join(r.dir, stageName)
	if info, err := os.Lstat(stage); err != nil || !info.IsDir() {
		return nil
	}
	if text, err := os.ReadFile(filepath.Join(stage, journalName)); err == nil {
		var j journal
		if err := json.Unmarshal(text, &j); err == nil {
			return r.apply(stage, j)
		}
	}
	return os.RemoveAll(stage)
}

// The names of the folder of new files within the folder, and of its journal.
const (
	stageName   = mark + "new"
	journalName = "journal"
)

// A journal is what is left to do once all new files are made.
type journal struct {
	Write  []string // the names of the new files; number i is made as the file i
	Remove []string
}

// journal makes the new files within the folder, and moves them where they belong.
func (r *replacement) journal() (err error) {
	stage := filepath.Join(r.dir, stageName)
	if err := hook("mkdir"); err != nil {
		return err
	}
	if err := os.Mkdir(stage, 0o700); err != nil {
		return err
	}
	committed := false
	defer func() {
		if !committed {
			err = errors.Join(err, os.RemoveAll(stage))
		}
	}()
	var j journal
	for i, f := range r.set {
		if err := writeFile(filepath.Join(stage, fmt.Sprint(i)), f.Content); err != nil {
			return err
		}
		j.Write = append(j.Write, f.Name)
	}
	for _, name := range r.remove {
		if !slices.Contains(j.Write, name) {
			j.Remove = append(j.Remove, name)
		}
	}
	// What may fail for want of room is done before the journal: the folders of files.
	for _, name := range j.Write {
		if err := os.MkdirAll(filepath.Join(r.dir, filepath.FromSlash(path.Dir(name))), 0o777); err != nil {
			return err
		}
	}
	if err := writeJSON(filepath.Join(stage, journalName+".part"), j); err != nil {
		return err
	}
	if err := hook("journal"); err != nil {
		return err
	}
	if err := os.Rename(filepath.Join(stage, journalName+".part"), filepath.Join(stage, journalName)); err != nil {
		return err
	}
	committed = true
	syncFolder(stage)
	return r.apply(stage, j)
}

// apply does what a journal says, as far as it has not been done.
func (r *replacement) apply(stage string, j journal) error {
	for i, name := range j.Write {
		if err := hook("move"); err != nil {
			return err
		}
		to := filepath.Join(r.dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
			return err
		}
		if err := os.Rename(filepath.Join(stage, fmt.Sprint(i)), to); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	for _, name := range j.Remove {
		if err := hook("remove"); err != nil {
			return err
		}
		if err := os.Remove(filepath.Join(r.dir, filepath.FromSlash(name))); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		_ = os.Remove(filepath.Dir(filepath.Join(r.dir, filepath.FromSlash(name)))) // if it is empty
	}
	syncFolder(r.dir)
	return os.RemoveAll(stage)
}

// writeFile writes a new file, and on to the disk.
func writeFile(name string, content []byte) error {
	if err := hook("write"); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
		return err
	}
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

func writeJSON(name string, v any) error {
	text, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return writeFile(name, text)
}

// syncFolder brings a folder's entries on to the disk, where the system can.
func syncFolder(dir string) {
	if f, err := os.Open(dir); err == nil {
		_ = f.Sync()
		f.Close()
	}
}
