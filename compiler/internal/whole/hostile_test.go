package whole

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
	"unicode"

	"ironbed/examples"
)

// hostile is set by `make hostile`, for what takes long.
var hostile = os.Getenv("IRONBED_HOSTILE") != ""

// exitInternal is the exit status of what is not the spec's fault alone.
const exitInternal = 3

// An attack is a spec from a stranger that is made to harm: its text, the exit statuses
// that are an answer, and what the answer says.
type attack struct {
	name   string
	text   func() string
	says   string // a regular expression
	slow   bool   // it takes seconds until a bound ends it
	status []int  // nil for exitRefused
}

// attackHead begins a spec, with packages of CUE's own.
func attackHead(packages ...string) string {
	s := "package m\n\nimport (\n\t\"ironbed.example/machine\"\n"
	for _, p := range packages {
		s += "\t\"" + p + "\"\n"
	}
	return s + ")\n\nmachine.#Machine & {name: \"x\", bodies: {}}\n"
}

func repeated(before, what string, n int, after string) func() string {
	return func() string { return attackHead() + before + strings.Repeat(what, n) + after + "\n" }
}

func text(s string) func() string { return func() string { return s } }

// levels is a chain of n names, each of which stands for ten of the one before.
func levels(n int, first, open, each, close string) func() string {
	s := attackHead() + "_a0: " + first + "\n"
	for i := 1; i < n; i++ {
		s += fmt.Sprintf("_a%d: %s", i, open)
		for k := range 10 {
			s += fmt.Sprintf(each, k, i-1)
		}
		s += close + "\n"
	}
	return text(s + fmt.Sprintf("name: \"\\(len(_a%d))\"\n", n-1))
}

var attacks = []attack{
	{"labels", repeated("_x: ", "a: ", 200_000, "1"), `m\.cue:\d+:\d+: error: more than 100 labels`, false, nil},
	{"operators", repeated("_x: 1", " + 1", 200_000, ""), `m\.cue:\d+:\d+: error: one value has more than 1000 operators`, false, nil},
	{"calls", repeated("_x: len", "(1)", 200_000, ""), `m\.cue:\d+:\d+: error: one value has more than 1000 operators`, false, nil},
	{"selectors", repeated("_x: y", ".a", 200_000, ""), `m\.cue:\d+:\d+: error: one value has more than 1000 operators`, false, nil},
	{"indices", repeated("_x: y", "[0]", 200_000, ""), `m\.cue:\d+:\d+: error: one value has more than 1000 operators`, false, nil},
	{"signs", repeated("_x: ", "-", 500_000, "1"), `m\.cue:\d+:\d+: error: more than 100 signs`, false, nil},
	{"brackets", repeated("_x: ", "[", 400_000, ""), `m\.cue:\d+:\d+: error: brackets stand more than 100 deep`, false, nil},
	{"braces", repeated("_x: ", "{", 400_000, ""), `m\.cue:\d+:\d+: error: brackets stand more than 100 deep`, false, nil},
	{"brackets of calls", repeated("_x: ", "(", 400_000, ""), `m\.cue:\d+:\d+: error: brackets stand more than 100 deep`, false, nil},
	{"texts in texts", repeated("_x: ", `"\(`, 100_000, ""), `m\.cue:\d+:\d+: error: brackets stand more than 100 deep`, false, nil},
	{"clauses", repeated("_x: [", "for a in [1] ", 50_000, "{a}]"), `m\.cue:\d+:\d+: error: more than 100 clauses`, false, nil},
	{"brackets of an attribute", repeated("_x: 1 @a(", "(", 900_000, ""), `too deep|m\.cue:\d+`, false, []int{exitRefused, exitInternal}},
	{"a file of 5 MB", repeated("//", "x", 5<<20, ""), `m\.cue:1:1: error: .*larger than 1 MB`, false, nil},
	{"unknown fields", func() string {
		s := attackHead()
		for i := range 20_000 {
			s += fmt.Sprintf("f%d: 1\n", i)
		}
		return s
	}, `(?s)f0 is not a field.*\nand 19950 more\n`, false, nil},
	{"a shifted number", text(attackHead("math/bits") + "_a: bits.Lsh(1, 100000000000)\nname: \"\\(_a)\"\n"),
		`m\.cue:\d+:\d+: error: .*memory.*_a stands for the most`, false, []int{exitRefused, exitInternal}},
	{"names of 5000 letters", repeated("", "", 0, `sections: "`+strings.Repeat("n", 5000)+`": stock: "x"`), `m\.cue:\d+:\d+: error: a name of 5000 characters.*100 are allowed`, false, nil},
	{"control characters", text(attackHead() + `purpose: "a\u001b[31mb\u0000\u007f\u009b"` + "\n"), `m\.cue:\d+:\d+: error: purpose holds the character U\+001B`, false, nil},
	{"text that turns round", text(attackHead() + `purpose: "a\u202eb"` + "\n"), `m\.cue:\d+:\d+: error: purpose holds the character U\+202E`, false, nil},
	{"control characters in a name", text(attackHead() + `sections: "a\u001b]0;x\u0007": stock: "x"` + "\n"), `m\.cue:\d+:\d+: error: .*cannot be a name: it holds the character U\+001B`, false, nil},
	{"control characters in the CUE", text("package m\n\x1b[31m\x07\x9b\n"), `m\.cue:2:\d+: error: `, false, nil},
	{"an import of a path with control characters", text("package m\nimport \"example.com/\\u001b[31m\"\n"), `m\.cue:2:8: error: `, false, nil},
	{"a size of 1e300 mm", text(attackHead() + `envelope: x: "1e300 mm"` + "\n"), `m\.cue:\d+:\d+: error: x is "1e300 mm"; no machine has that`, false, nil},
	{"a size of 1e-300 mm", text(attackHead() + `envelope: x: "1e-300 mm"` + "\n"), `m\.cue:\d+:\d+: error: x is "1e-300 mm"; no machine has that`, false, nil},
	{"a list of a billion", text(attackHead("list") + "_l: list.Range(0, 1000000000, 1)\nname: \"\\(len(_l))\"\n"), `m\.cue:\d+:\d+: error: it takes .*; by its text _l stands for the most`, true, nil},
	{"loops in loops", text(attackHead("list") + "_l: list.Range(0, 1000, 1)\n_x: [for a in _l for b in _l for c in _l {a+b+c}]\nname: \"\\(len(_x))\"\n"),
		`m\.cue:\d+:\d+: error: it takes .*; by its text _x stands for the most`, true, nil},
	{"lists of lists", levels(12, "[1]", "[for x in [0] {[", "_a%[2]d, ", "]}]"), `.`, true, []int{exitRefused, 0}},
	{"structs of structs", levels(12, "{x: 1}", "{", "k%d: _a%d, ", "}"), `.`, true, []int{exitRefused, 0}},
	{"alternatives", func() string {
		s, all := attackHead(), []string{}
		for i := range 24 {
			s += fmt.Sprintf("_d%d: *{a%d: 1} | {b%d: 2}\n", i, i, i)
			all = append(all, fmt.Sprintf("_d%d", i))
		}
		return s + "envelope: " + strings.Join(all, " & ") + "\n"
	}, `m\.cue:\d+:\d+: error: `, true, nil},
	{"a long list", repeated("_x: [", "1,", 300_000, "1]\nname: \"\\(len(_x))\""), `.`, true, []int{exitRefused}},
	{"a template of a million", text(attackHead() + "bodies: b: machine.#LadderBed & {template: {length: \"1 m\", width: \"1 m\", height: \"1 m\", cross_members: 1000000, side: \"s\", cross_member: \"s\"}}\n"), `m\.cue:\d+:\d+: error: `, true, nil},
}

// The bounds of one command on two cores, of which the tests may have but a small share.
const (
	longestAnswer = 60 * time.Second
	mostMemory    = 1400 << 20 // bytes of the processes together: 1 GB in use, the program and what was asked for at once
)

// bounded runs the program and holds it against the bounds.
func bounded(t *testing.T, dir string, args ...string) (status int, out, errOut string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), longestAnswer)
	defer cancel()
	c := exec.CommandContext(ctx, program, args...)
	var o, e bytes.Buffer
	c.Dir, c.Stdout, c.Stderr = dir, &o, &e
	err := c.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	if ctx.Err() != nil {
		t.Errorf("no answer in %v", longestAnswer)
	}
	if u, ok := c.ProcessState.SysUsage().(*syscall.Rusage); ok && u.Maxrss<<10 > mostMemory {
		t.Errorf("%d MB of memory", u.Maxrss>>10)
	}
	return c.ProcessState.ExitCode(), o.String(), e.String()
}

func TestAttacks(t *testing.T) {
	for _, a := range attacks {
		if a.slow && !hostile {
			continue
		}
		t.Run(a.name, func(t *testing.T) {
			dir := t.TempDir()
			if err := os.WriteFile(filepath.Join(dir, "m.cue"), []byte(a.text()), 0o644); err != nil {
				t.Fatal(err)
			}
			started := time.Now()
			status, out, said := bounded(t, dir, "check", ".")
			want := a.status
			if want == nil {
				want = []int{exitRefused}
			}
			if !slices.Contains(want, status) || !regexp.MustCompile(a.says).MatchString(said+out) {
				t.Errorf("exit status %d, said %.600s", status, said)
			}
			if strings.Contains(said, "goroutine ") || strings.Count(said, "\n") > 52 || len(said) > 40_000 {
				t.Errorf("%d bytes are said: %.300s", len(said), said)
			}
			if i := strings.IndexFunc(said+out, func(r rune) bool { return unicode.IsControl(r) && r != '\n' || r == '\u202e' }); i >= 0 {
				t.Errorf("a control character reaches the terminal: %q", (said + out)[max(0, i-40):])
			}
			t.Logf("exit %d in %.1f s: %.120s", status, time.Since(started).Seconds(), said)
		})
	}
}

func TestWhatIsNoPlainFileIsNotWaitedFor(t *testing.T) {
	dir := t.TempDir()
	if err := syscall.Mkfifo(filepath.Join(dir, "m.cue"), 0o644); err != nil {
		t.Skip("no named pipes here")
	}
	if status, _, said := bounded(t, dir, "check", "."); status != exitRefused || !strings.Contains(said, "m.cue:1:1: error: m.cue is no plain file") {
		t.Errorf("exit status %d, said %s", status, said)
	}
	dir = t.TempDir()
	if err := os.Symlink("/dev/zero", filepath.Join(dir, "m.cue")); err != nil {
		t.Fatal(err)
	}
	if status, _, said := bounded(t, dir, "check", "."); status != exitInternal && status != exitRefused {
		t.Errorf("exit status %d, said %s", status, said)
	}
}

// spoken are texts that would be something else than text wherever they are printed.
const spoken = `<img src=x onerror=alert(1)> <script>alert(1)</script> ![a](http://b.example/c.png) [a](javascript:alert(1)) https://d.example a@e.example ` +
	`www.f.example **bold** _it_ ~~gone~~ | pipe | &lt; &#60; \\ <!-- c --> $x$ {{y}} ` + "`code`" + ` ]]> --> \n# head\n- item\n> quote\n---\n\n    code\n[r]: http://g.example\n`

// hostileSpec is an example whose every free text and many names are hostile.
func hostileSpec(t *testing.T) (dir string) {
	t.Helper()
	dir = t.TempDir()
	files, err := examples.Starter("sign-router")
	if err != nil {
		t.Fatal(err)
	}
	renamed := strings.NewReplacer(
		`"letters"`, `"<img src=x onerror=alert(1)>"`, `"number plate"`, `"6/8 $x$ <script>alert(1)</script>"`, `"mooring ring"`, `"6-8"`, `"name board"`, `"рым"`, `"moulding"`, `"环 & a@b"`,
		`"6 mm two-flute"`, `"a|b ~~c~~ <b>"`, "profile_40x80", `"<u>side</u> _x_"`, "near_a", `"near|a"`)
	for _, f := range files {
		if strings.Contains(f.Name, "/") {
			continue
		}
		text := renamed.Replace(string(f.Text))
		text = strings.ReplaceAll(text, `""<u>side</u> _x_""`, `"<u>side</u> _x_"`)
		text = regexp.MustCompile(`(note|price|purpose|source): *"[^"]*"`).ReplaceAllString(text, "$1: "+strings.ReplaceAll(strings.ReplaceAll(fmt.Sprintf("%q", spoken), `$`, `$$`), `\\n`, `\n`))
		text = regexp.MustCompile(`(\n\tname: *)"[^"]*"`).ReplaceAllString(text, `$1"<h1>name</h1> https://h.example"`)
		if err := os.WriteFile(filepath.Join(dir, f.Name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// TestHostileTexts makes a report of a spec whose texts are all hostile. `make parsers`
// reads it with parsers that are not ours.
func TestHostileTexts(t *testing.T) {
	dir := hostileSpec(t)
	out := filepath.Join(t.TempDir(), "out")
	if kept := os.Getenv("IRONBED_HOSTILE_OUT"); kept != "" {
		out = kept
	}
	var stdout, stderr bytes.Buffer
	if status := run(t, dir, &stdout, &stderr, "report", ".", "--out", out, "--format", "md,pdf,html,json,sarif"); status > exitShort {
		t.Fatalf("exit status %d\n%s", status, stderr.String())
	}
	files := tree(t, out)
	for name, content := range files {
		if strings.HasSuffix(name, ".pdf") {
			for _, bad := range []string{"/URI (http", "/URI (mailto", "/URI (javascript", "/JavaScript", "/JS", "/Launch", "/AA"} {
				if bytes.Contains(content, []byte(bad)) {
					t.Errorf("%s holds %s", name, bad)
				}
			}
			continue
		}
		if i := bytes.IndexFunc(content, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' }); i >= 0 {
			t.Errorf("%s holds a control character: %q", name, content[max(0, i-30):min(len(content), i+30)])
		}
		switch filepath.Ext(name) {
		case ".html", ".svg":
			for _, bad := range []string{"<img", "<script", "<h1>name", "<b>", "<u>", "href=\"http", "href=\"mailto", "javascript:alert(1)\""} {
				if at := bytes.Index(content, []byte(bad)); at >= 0 {
					t.Errorf("%s holds %s: %s", name, bad, content[max(0, at-60):min(len(content), at+60)])
				}
			}
		}
	}
	// The texts are there, as texts.
	if !bytes.Contains(files["report.html"], []byte("&lt;img src=x onerror=alert(1)&gt;")) || !bytes.Contains(files["report.json"], []byte("<img src=x onerror=alert(1)>")) {
		t.Error("a name is lost")
	}
	pictures := 0
	for name := range files {
		if strings.HasPrefix(name, "figures/lobes-") {
			pictures++
		}
	}
	if pictures < 3 { // of targets that can be cut
		t.Errorf("%d pictures of stability: %v", pictures, names(files))
	}
}

// TestOutputs holds what becomes of the folder of a report, and of standard output that
// cannot be written.
func TestOutputs(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err == nil {
		full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
		if err != nil {
			t.Fatal(err)
		}
		defer full.Close()
		for _, args := range [][]string{{"catalogue"}, {"check", exampleDir("clockroom-mill")}, {"--help"}} {
			var said bytes.Buffer
			c := exec.Command(program, args...)
			c.Stdout, c.Stderr = full, &said
			_ = c.Run()
			if got := c.ProcessState.ExitCode(); got != exitInternal || !strings.Contains(said.String(), "standard output") {
				t.Errorf("%v: exit status %d, said %.300s", args, got, said.String())
			}
		}
	}
	var out, said bytes.Buffer
	dir := t.TempDir()
	if status := run(t, dir, &out, &said, "report", exampleDir("clockroom-mill"), "--out", "out", "--format", ""); status != exitInternal || !strings.Contains(said.String(), "format") {
		t.Errorf("no format: exit status %d, said %s", status, said.String())
	}
	if entries, err := os.ReadDir(dir); err != nil || len(entries) > 0 {
		t.Errorf("no format leaves %v", entries)
	}
}

func TestInitOverwritesNothing(t *testing.T) {
	for _, name := range []string{"machine.cue", "own.cue", "cue.mod/module.cue", "cue.mod/pkg/ironbed.example/machine/machine.cue"} {
		dir := t.TempDir()
		at := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte("mine"), 0o644); err != nil {
			t.Fatal(err)
		}
		var out, said bytes.Buffer
		status := run(t, dir, &out, &said, "init", ".")
		if got := tree(t, dir); status != exitInternal || len(got) != 1 || string(got[name]) != "mine" {
			t.Errorf("%s: exit status %d, the folder holds %v", name, status, slices.Sorted(maps.Keys(got)))
		}
	}
	// What is of no concern stays, and links are not followed.
	dir, outside := t.TempDir(), t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "README.md"), []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	var out, said bytes.Buffer
	if status := run(t, dir, &out, &said, "init", "."); status != 0 || string(tree(t, dir)["README.md"]) != "mine" {
		t.Errorf("exit status %d, said %s", status, said.String())
	}
	dir = t.TempDir()
	if err := os.Symlink(outside, filepath.Join(dir, "cue.mod")); err != nil {
		t.Fatal(err)
	}
	if status := run(t, dir, &out, &said, "init", "."); status != exitInternal || len(tree(t, outside)) > 0 {
		t.Errorf("init follows a link: exit status %d", status)
	}
}

// TestKilledWhileWorking kills the program, and looks for what stays: no process goes on,
// and no folder is made.
func TestKilledWhileWorking(t *testing.T) {
	if _, err := os.Stat("/proc/self/status"); err != nil {
		t.Skip("a child does not end with its parent on every system")
	}
	dir := t.TempDir()
	c := exec.Command(program, "report", exampleDir("clockroom-mill"), "--out", "out")
	c.Dir = dir
	reading, err := c.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(300 * time.Millisecond)
	if err := c.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 1)
	go func() {
		_, err := io.Copy(io.Discard, reading) // the child holds the other end
		done <- err
	}()
	select {
	case <-done:
	case <-time.After(20 * time.Second):
		t.Error("the child goes on")
	}
	_ = c.Wait()
	if _, err := os.Stat(filepath.Join(dir, "out")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the folder was made: %v", err)
	}
}
