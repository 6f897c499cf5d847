package keep

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// open opens a folder of its own.
func open(t *testing.T) *Folder {
	t.Helper()
	t.Setenv(Variable, t.TempDir())
	f := Open("things")
	if f == nil {
		t.Fatal("no folder")
	}
	return f
}

var key, value = []byte("what determines it"), []byte("what it is")

func TestKept(t *testing.T) {
	f := open(t)
	if _, ok := f.Get(key); ok {
		t.Error("found before it was put")
	}
	if _, err := os.Stat(f.dir); err == nil {
		t.Error("the folder is made before there is anything in it")
	}
	f.Put(key, value)
	again := Open("things")
	if got, ok := again.Get(key); !ok || !bytes.Equal(got, value) {
		t.Errorf("got %q, %v", got, ok)
	}
	if _, ok := again.Get([]byte("something else")); ok {
		t.Error("found under another key")
	}
	again.program = append(bytes.Clone(again.program), 'x')
	if _, ok := again.Get(key); ok {
		t.Error("another build of the program finds it")
	}
	if got, ok := f.Get(key); !ok || !bytes.Equal(got, value) {
		t.Errorf("got %q, %v", got, ok)
	}
}

// TestDamaged: what is not there to the bit is not there, and what is put in its place is.
func TestDamaged(t *testing.T) {
	f := open(t)
	f.Put(key, value)
	name := f.name(key)
	right, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	look := func(what string) {
		t.Helper()
		if got, ok := f.Get(key); ok {
			t.Errorf("%s: found %q", what, got)
		}
	}
	mended := func(what string) {
		t.Helper()
		f.Put(key, value)
		if got, ok := f.Get(key); !ok || !bytes.Equal(got, value) {
			t.Errorf("%s: after it was put again %q, %v", what, got, ok)
		}
	}
	with := func(what string, text []byte) {
		t.Helper()
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
		look(what)
	}
	for bit := range 8 * len(right) {
		text := bytes.Clone(right)
		text[bit/8] ^= 1 << (bit % 8)
		with(fmt.Sprintf("bit %d flipped", bit), text)
	}
	for n := range right {
		with(fmt.Sprintf("%d bytes of it", n), right[:n])
	}
	mended("cut off")
	with("a byte more", append(bytes.Clone(right), 0))
	with("much more", append(bytes.Clone(right), make([]byte, 2*mostBytes)...))
	mended("long")

	other := []byte("what determines another")
	f.Put(other, value)
	if err := os.Rename(f.name(other), name); err != nil {
		t.Fatal(err)
	}
	look("the entry of another key")
	mended("the entry of another key")
	foreign := Folder{dir: f.dir}
	foreign.program = []byte("another build")
	foreign.Put(key, value)
	if err := os.Rename(foreign.name(key), name); err != nil {
		t.Fatal(err)
	}
	look("the entry of another build")
	mended("the entry of another build")

	instead := func() {
		t.Helper()
		if err := os.Remove(name); err != nil {
			t.Fatal(err)
		}
		if err := os.Mkdir(name, 0o700); err != nil {
			t.Fatal(err)
		}
		look("a folder in its place")
	}
	instead()
	mended("an empty folder in its place")
	instead()
	if err := os.WriteFile(filepath.Join(name, "mine"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	f.Put(key, value)
	look("a folder of somebody's in its place")
	if _, err := os.Stat(filepath.Join(name, "mine")); err != nil {
		t.Error(err)
	}
	if err := os.RemoveAll(name); err != nil {
		t.Fatal(err)
	}
	mended("a folder that was in its place")

	if os.Getuid() > 0 { // root reads everything
		if err := os.Chmod(name, 0); err != nil {
			t.Fatal(err)
		}
		look("unreadable")
		mended("unreadable")
	}
	if left, _ := filepath.Glob(filepath.Join(f.dir, begun+"*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// TestNowhere: without a folder, or with one that cannot be written, nothing is kept and nothing is said.
func TestNowhere(t *testing.T) {
	t.Setenv(Variable, "off")
	if Open("things") != nil {
		t.Error("kept where it is off")
	}
	t.Setenv(Variable, "")
	for _, name := range []string{"XDG_CACHE_HOME", "HOME", "LocalAppData", "home"} {
		t.Setenv(name, "")
	}
	if Open("things") != nil {
		t.Error("kept without a folder of the user")
	}
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	t.Setenv(Variable, file)
	f := Open("things")
	f.Put(key, value)
	if _, ok := f.Get(key); ok {
		t.Error("kept in a file")
	}
	f.Trim()
	f = open(t)
	f.Put(key, make([]byte, mostBytes))
	if _, ok := f.Get(key); ok {
		t.Error("larger than an entry may be")
	}
}

// TestTrim: the oldest entries go, and nothing else does.
func TestTrim(t *testing.T) {
	f := open(t)
	now := time.Now()
	age := func(name string, hours int) {
		t.Helper()
		at := now.Add(-time.Duration(hours) * time.Hour)
		if err := os.Chtimes(name, at, at); err != nil {
			t.Fatal(err)
		}
	}
	keys := make([][]byte, mostEntries+1)
	for i := range keys {
		keys[i] = fmt.Append(nil, i)
		f.Put(keys[i], value)
		age(f.name(keys[i]), i+1)
		if i == mostEntries-1 {
			f.Trim()
			if _, ok := f.Get(keys[i]); !ok {
				t.Error("removed while there is room")
			}
		}
	}
	var others []string
	for _, name := range []string{"mine", strings.Repeat("x", 64), begun + "1"} {
		name = filepath.Join(f.dir, name)
		if err := os.WriteFile(name, nil, 0o600); err != nil {
			t.Fatal(err)
		}
		others = append(others, name)
	}
	left := filepath.Join(f.dir, begun+"2")
	if err := os.WriteFile(left, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	age(others[0], 1e4)
	age(others[1], 1e4)
	age(left, 2)
	if Open("things").Trim(); !exists(left) {
		t.Error("trimmed by a run that put nothing")
	}
	f.Trim()
	for i := range keys {
		if _, ok := f.Get(keys[i]); ok != (i < mostEntries*3/4) {
			t.Errorf("entry %d, the newest being 0: kept %v", i, ok)
		}
	}
	for _, name := range others {
		if !exists(name) {
			t.Errorf("%s is removed", filepath.Base(name))
		}
	}
	if exists(left) {
		t.Error("what an ended run left stays")
	}
}

func exists(name string) bool {
	_, err := os.Lstat(name)
	return err == nil
}

// TestAtOnce: several at once, of which some remove all, find what was put or nothing.
func TestAtOnce(t *testing.T) {
	f := open(t)
	var wait sync.WaitGroup
	for n := range 4 {
		wait.Go(func() {
			mine := Open("things")
			for i := range 200 {
				k := fmt.Append(nil, i%10)
				switch (i + n) % 4 {
				case 0:
					mine.Trim()
					_ = os.Remove(f.name(k))
				case 1:
					mine.Put(k, bytes.Repeat(k, 500))
				default:
					if got, ok := mine.Get(k); ok && !bytes.Equal(got, bytes.Repeat(k, 500)) {
						t.Errorf("found %d bytes", len(got))
					}
				}
			}
		})
	}
	wait.Wait()
}

// TestBuildID: the build id is what the stock tool says it is.
func TestBuildID(t *testing.T) {
	want, err := exec.Command("go", "tool", "buildid", os.Args[0]).Output()
	if err != nil {
		t.Skip(err)
	}
	if got := buildID(head()); string(got) != strings.TrimSpace(string(want)) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// TestBuildIDs: heads as linkers write them, and such as have none.
func TestBuildIDs(t *testing.T) {
	note := []byte("\x04\x00\x00\x00\x05\x00\x00\x00\x04\x00\x00\x00Go\x00\x00ab/cdmore")
	text := []byte("MZ...\xff Go build ID: \"ab/cd\"\n \xffmore")
	for _, c := range []struct {
		head []byte
		want string
	}{
		{note, "ab/cd"},
		{text, "ab/cd"},
		{slices.Concat(make([]byte, 300), note), "ab/cd"},
		{note[:18], ""},
		{bytes.Replace(note, []byte("\x05"), []byte("\x00"), 1), ""},
		{[]byte("\x04\x00\x00\x00Go\x00\x00ab/cd"), ""},
		{bytes.Replace(text, []byte("ab/cd"), nil, 1), ""},
		{text[:25], ""},
		{nil, ""},
	} {
		if got := buildID(c.head); string(got) != c.want || (got == nil) != (c.want == "") {
			t.Errorf("%q: %q", c.head, got)
		}
	}
}
