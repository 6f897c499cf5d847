package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// The two sets of the tests: what is in one and not in the other, in a folder and out
// of it, and longer than one write.
var (
	setA = []File{{"report.md", []byte("A")}, {"report.pdf", []byte(strings.Repeat("A", 100_000))}, {"figures/a.svg", []byte("A")}, {"figures/both.svg", []byte("A")}}
	setB = []File{{"report.md", []byte("B")}, {"report.json", []byte(strings.Repeat("B", 100_000))}, {"figures/b.svg", []byte("B")}, {"figures/both.svg", []byte("B")}}
)

// foreign are files of somebody else.
var foreign = map[string]string{"notes.txt": "mine", "figures/photo.png": "mine", "figures/deep/own.svg": "mine"}

// old names the files of either set.
func old(in fs.FS) (names []string) {
	for _, f := range slices.Concat(setA, setB) {
		if info, err := fs.Stat(in, f.Name); err == nil && info.Mode().IsRegular() && !slices.Contains(names, f.Name) {
			names = append(names, f.Name)
		}
	}
	return names
}

// holds returns the files below a folder.
func holds(t testing.TB, dir string) map[string]string {
	t.Helper()
	found := map[string]string{}
	err := filepath.WalkDir(dir, func(at string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		text, err := os.ReadFile(at)
		name, _ := filepath.Rel(dir, at)
		found[filepath.ToSlash(name)] = string(text)
		return err
	})
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		t.Fatal(err)
	}
	return found
}

// wanted is what a folder holds with a set and the files of somebody else.
func wanted(set []File, others map[string]string) map[string]string {
	want := maps.Clone(others)
	if want == nil {
		want = map[string]string{}
	}
	for _, f := range set {
		want[f.Name] = string(f.Content)
	}
	return want
}

func put(t testing.TB, dir string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		at := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// litter lists what lies beside a folder.
func litter(t testing.TB, dir string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(dir))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if e.Name() != filepath.Base(dir) {
			names = append(names, e.Name())
		}
	}
	return names
}

// ways are the two ways of writing: from beside the folder, and from within it.
var ways = []string{"exchange", "journal"}

// stand makes the run stand in the folder, or not.
func stand(t testing.TB, way, dir string) {
	t.Helper()
	if way == "journal" {
		t.(*testing.T).Chdir(dir)
	}
}

func TestReplace(t *testing.T) {
	for _, way := range ways {
		for _, others := range []map[string]string{nil, foreign} {
			t.Run(fmt.Sprint(way, len(others)), func(t *testing.T) {
				dir := filepath.Join(t.TempDir(), "out")
				if err := Replace(dir, setA, old, false); err != nil {
					t.Fatal(err)
				}
				put(t, dir, others)
				stand(t, way, dir)
				for _, set := range [][]File{setB, setB, setA} {
					if err := Replace(dir, set, old, false); err != nil {
						t.Fatal(err)
					}
					if got, want := holds(t, dir), wanted(set, others); !maps.Equal(got, want) {
						t.Errorf("the folder holds %v", slices.Sorted(maps.Keys(got)))
					}
				}
				if names := litter(t, dir); len(names) > 0 {
					t.Errorf("left beside it: %v", names)
				}
			})
		}
	}
}

func TestAnEmptyFolderOfFiguresGoes(t *testing.T) {
	for _, way := range ways {
		dir := filepath.Join(t.TempDir(), "out")
		if err := Replace(dir, setA, old, false); err != nil {
			t.Fatal(err)
		}
		stand(t, way, dir)
		if err := Replace(dir, setA[:1], old, false); err != nil {
			t.Fatal(err)
		}
		if _, err := os.Stat(filepath.Join(dir, "figures")); err == nil {
			t.Errorf("%s: figures is still there", way)
		}
	}
}

func TestForeignFilesInTheWay(t *testing.T) {
	nobody := func(fs.FS) []string { return nil }
	for _, way := range ways {
		dir := filepath.Join(t.TempDir(), "out")
		put(t, dir, map[string]string{"report.md": "mine", "figures/both.svg": "mine"})
		stand(t, way, dir)
		before := holds(t, dir)
		err := Replace(dir, setB, nobody, false)
		var stands *Foreign
		if !errors.As(err, &stands) || !slices.Equal(stands.Names, []string{"figures/both.svg", "report.md"}) {
			t.Errorf("%s: %v", way, err)
		}
		if !maps.Equal(holds(t, dir), before) {
			t.Errorf("%s: the folder was changed", way)
		}
		if err := Replace(dir, setB, nobody, true); err != nil {
			t.Fatal(err)
		}
		if !maps.Equal(holds(t, dir), wanted(setB, nil)) {
			t.Errorf("%s: forced, the folder holds %v", way, holds(t, dir))
		}
	}
}

func TestNothingIsFollowedOutOfTheFolder(t *testing.T) {
	outside := t.TempDir()
	dir := t.TempDir()
	if err := os.Symlink(outside, filepath.Join(dir, "figures")); err != nil {
		t.Skip("no symbolic links here")
	}
	for _, force := range []bool{false, true} {
		if err := Replace(dir, setA, old, force); err == nil {
			t.Error("figures leads out of the folder and no error came")
		}
	}
	if got := holds(t, outside); len(got) > 0 {
		t.Errorf("written outside: %v", got)
	}
	// A link in place of a file is replaced by force, and what it leads to is not touched.
	dir = t.TempDir()
	put(t, outside, map[string]string{"victim": "mine"})
	if err := os.Symlink(filepath.Join(outside, "victim"), filepath.Join(dir, "report.md")); err != nil {
		t.Fatal(err)
	}
	if err := Replace(dir, setA, old, false); err == nil {
		t.Error("a link was overwritten")
	}
	if err := Replace(dir, setA, old, true); err != nil {
		t.Error(err)
	}
	if holds(t, outside)["victim"] != "mine" {
		t.Error("the link was followed")
	}
}

func TestLinksToTheFolderItself(t *testing.T) {
	base := t.TempDir()
	dir, link := filepath.Join(base, "real"), filepath.Join(base, "link")
	if err := Replace(dir, setA, old, false); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(dir, link); err != nil {
		t.Skip("no symbolic links here")
	}
	if err := Replace(link, setB, old, false); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&fs.ModeSymlink == 0 || !maps.Equal(holds(t, dir), wanted(setB, nil)) {
		t.Error("the link is no link any more, or the folder behind it was not written")
	}
}

func TestModesOfTheFolderStay(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	put(t, dir, map[string]string{"own/x": "mine"})
	for at, mode := range map[string]fs.FileMode{dir: 0o750, filepath.Join(dir, "own"): 0o700 | fs.ModeSticky} {
		if err := os.Chmod(at, mode); err != nil {
			t.Fatal(err)
		}
		defer func() {
			if info, err := os.Stat(at); err != nil || info.Mode()&^fs.ModeDir != mode {
				t.Errorf("%s: %v, %v", at, info.Mode(), err)
			}
		}()
	}
	if err := Replace(dir, setA, old, false); err != nil {
		t.Fatal(err)
	}
}

// TestEveryStepMayFail makes each step on the disk fail, as a full disk does: before the
// new set is complete the folder is as it was; and there is never any litter but a
// journal, which the next run finishes.
func TestEveryStepMayFail(t *testing.T) {
	defer func() { hook = func(string) error { return nil } }()
	full := errors.New("no space left on device")
	for _, way := range ways {
		t.Run(way, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "out")
			put(t, dir, wanted(setA, foreign))
			stand(t, way, dir)
			failed := 0
			for k := 0; ; k++ {
				put(t, dir, wanted(setA, foreign))
				os.Remove(filepath.Join(dir, "report.json"))
				os.Remove(filepath.Join(dir, "figures", "b.svg"))
				n, at := 0, ""
				hook = func(step string) error {
					if n++; n > k {
						at = step
						return full
					}
					return nil
				}
				err := Replace(dir, setB, old, false)
				if err == nil {
					break
				}
				failed++
				got := holds(t, dir)
				moving := at == "move" || at == "remove" || at == "retire"
				if !moving && !maps.Equal(got, wanted(setA, foreign)) {
					t.Errorf("failing step %d, %s: the folder holds %v", k, at, slices.Sorted(maps.Keys(got)))
				}
				if names := litter(t, dir); !moving && len(names) > 0 {
					t.Errorf("failing step %d, %s: left beside it: %v", k, at, names)
				}
				hook = func(string) error { return nil }
				if moving { // the next run finishes it
					if err := Replace(dir, setB, old, false); err != nil {
						t.Fatal(err)
					}
					if got := holds(t, dir); !maps.Equal(got, wanted(setB, foreign)) || len(litter(t, dir)) > 0 {
						t.Errorf("after failing step %d, %s, and another run: %v, %v", k, at, slices.Sorted(maps.Keys(got)), litter(t, dir))
					}
				}
			}
			if failed < 8 {
				t.Errorf("%d steps failed", failed)
			}
		})
	}
}

// The environment of a run in another process: the folder, the set, and the step at
// which it ends.
const (
	childFolder = "IRONBED_TEST_FOLDER"
	childSet    = "IRONBED_TEST_SET"
	childEnds   = "IRONBED_TEST_ENDS"
	childStands = "IRONBED_TEST_STANDS"
)

func TestMain(m *testing.M) {
	dir := os.Getenv(childFolder)
	if dir == "" {
		os.Exit(m.Run())
	}
	set := setA
	if os.Getenv(childSet) == "B" {
		set = setB
	}
	if os.Getenv(childStands) != "" {
		if err := os.Chdir(dir); err != nil {
			panic(err)
		}
	}
	fmt.Println("writing")
	ends, n := -1, 0
	fmt.Sscan(os.Getenv(childEnds), &ends)
	hook = func(string) error {
		if n == ends {
			os.Exit(9) // nothing deferred is done, as if killed
		}
		n++
		return nil
	}
	if err := Replace(dir, set, old, false); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Exit(0)
}

// child is a run in another process.
func child(dir, set, way string, ends int) *exec.Cmd {
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), childFolder+"="+dir, childSet+"="+set, fmt.Sprint(childEnds, "=", ends))
	if way == "journal" {
		c.Env = append(c.Env, childStands+"=yes")
	}
	c.Stderr = os.Stderr
	return c
}

// TestEveryStepMayBeTheLast ends a run at each step. From beside the folder, the folder
// is the old set or the new one, at once. From within, it is after the next run. That
// leaves no litter, and no file of somebody else is lost at any time.
func TestEveryStepMayBeTheLast(t *testing.T) {
	for _, way := range ways {
		t.Run(way, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "out")
			put(t, dir, wanted(setA, foreign))
			for k := 0; ; k++ {
				err := child(dir, "B", way, k).Run()
				if err == nil {
					break
				}
				var exit *exec.ExitError
				if !errors.As(err, &exit) || exit.ExitCode() != 9 {
					t.Fatal(err)
				}
				got := holds(t, dir)
				if way == "exchange" && !maps.Equal(got, wanted(setA, foreign)) && !maps.Equal(got, wanted(setB, foreign)) {
					t.Errorf("ended at step %d the folder holds %v", k, slices.Sorted(maps.Keys(got)))
				}
				for name := range foreign {
					if got[name] != "mine" {
						t.Errorf("ended at step %d: %s is lost", k, name)
					}
				}
				if err := Replace(dir, setA, old, false); err != nil {
					t.Fatal(err)
				}
				if got := holds(t, dir); !maps.Equal(got, wanted(setA, foreign)) || len(litter(t, dir)) > 0 {
					t.Errorf("ended at step %d, and after another run: %v, %v", k, slices.Sorted(maps.Keys(got)), litter(t, dir))
				}
			}
		})
	}
}

// TestTwoAtOnce lets two runs write into one folder.
func TestTwoAtOnce(t *testing.T) {
	pairs := 4
	if os.Getenv("IRONBED_HOSTILE") != "" {
		pairs = 50
	}
	for i := range pairs {
		dir := filepath.Join(t.TempDir(), "out")
		way := ways[i%2]
		if i%4 > 1 || way == "journal" {
			put(t, dir, wanted(setA, foreign))
		}
		a, b := child(dir, "A", way, -1), child(dir, "B", ways[i/2%2*i%2], -1)
		if err := errors.Join(a.Start(), b.Start()); err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(a.Wait(), b.Wait()); err != nil {
			t.Fatal(err)
		}
		others := foreign
		if i%4 <= 1 && way != "journal" {
			others = nil
		}
		got := holds(t, dir)
		if !maps.Equal(got, wanted(setA, others)) && !maps.Equal(got, wanted(setB, others)) {
			t.Errorf("pair %d: the folder holds %v", i, slices.Sorted(maps.Keys(got)))
		}
		if names := litter(t, dir); len(names) > 0 {
			t.Errorf("pair %d: left beside it: %v", i, names)
		}
	}
}

// TestKills kills runs at random moments while they write: half of them that stand beside
// the folder, half that stand in it.
func TestKills(t *testing.T) {
	kills := 20
	if os.Getenv("IRONBED_HOSTILE") != "" {
		kills = 1000
	}
	random := rand.New(rand.NewPCG(19, 1))
	ended := map[string]int{}
	for i := range kills {
		way := ways[i%2]
		dir := filepath.Join(t.TempDir(), "out")
		put(t, dir, wanted(setA, foreign))
		c := child(dir, "B", way, -1)
		out, err := c.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		if _, err := out.Read(make([]byte, 1)); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(random.Int64N(int64(12 * time.Millisecond))))
		if err := c.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
			t.Fatal(err)
		}
		_ = c.Wait()
		got := holds(t, dir)
		switch {
		case maps.Equal(got, wanted(setA, foreign)):
			ended[way+": the old set"]++
		case maps.Equal(got, wanted(setB, foreign)):
			ended[way+": the new set"]++
		case way == "journal":
			ended[way+": to be finished"]++
		default:
			t.Errorf("kill %d: the folder holds %v", i, slices.Sorted(maps.Keys(got)))
		}
		if names := litter(t, dir); len(names) > 0 {
			ended[way+": something left beside"]++
		}
		if err := Replace(dir, setA, old, false); err != nil {
			t.Fatal(err)
		}
		if got := holds(t, dir); !maps.Equal(got, wanted(setA, foreign)) || len(litter(t, dir)) > 0 {
			t.Errorf("kill %d, and after another run: %v, %v", i, slices.Sorted(maps.Keys(got)), litter(t, dir))
		}
	}
	for _, how := range slices.Sorted(maps.Keys(ended)) {
		t.Logf("%s: %d", how, ended[how])
	}
}
