package render

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ironbed/compiler/build"
)

// filesOf lists the files below a folder with their contents.
func filesOf(t *testing.T, dir string) map[string]string {
	t.Helper()
	found := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		content, err := os.ReadFile(path)
		name, _ := filepath.Rel(dir, path)
		found[filepath.ToSlash(name)] = string(content)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func TestWriteEveryFormat(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	if _, err := Write(dir, testBuild(), Formats, false); err != nil {
		t.Fatal(err)
	}
	var got []string
	for name := range filesOf(t, dir) {
		got = append(got, name)
	}
	slices.Sort(got)
	want := []string{"build-book.html", "build-book.md", "build-book.pdf", "derivations.html", "derivations.md", "derivations.pdf",
		"figures/give-shares-x--45adc24f8416541ea93889133f507a46.svg", "figures/overview.svg", "figures/sections.svg", "figures/whip.svg",
		"report.html", "report.json", "report.md", "report.pdf", "report.sarif"}
	if !slices.Equal(got, want) {
		t.Errorf("wrote %v, want %v", got, want)
	}
}

func TestWriteSameBytesAnywhere(t *testing.T) {
	one, two := t.TempDir(), filepath.Join(t.TempDir(), "a", "b")
	for _, dir := range []string{one, two} {
		if _, err := Write(dir, testBuild(), Formats, false); err != nil {
			t.Fatal(err)
		}
	}
	first, second := filesOf(t, one), filesOf(t, two)
	for name, content := range first {
		if second[name] != content {
			t.Errorf("%s differs between two folders", name)
		}
	}
}

func TestWriteOnlyWhatIsAskedFor(t *testing.T) {
	dir := t.TempDir()
	if _, err := Write(dir, testBuild(), []string{"json"}, false); err != nil {
		t.Fatal(err)
	}
	if got := filesOf(t, dir); len(got) != 1 || got["report.json"] == "" {
		t.Errorf("wrote %d files, want report.json alone", len(got))
	}
}

// TestWriteReplacesTheOldReport: of the old report nothing stays beside the new one,
// whatever its formats; of anybody else's files everything does.
func TestWriteReplacesTheOldReport(t *testing.T) {
	for _, format := range Formats {
		dir := t.TempDir()
		mine := map[string]string{"figures/photo.png": "mine", "figures/deep/old.svg": "mine", "figures/own.svg": "mine", "old.svg": "mine", "README.md": "mine"}
		for name, text := range mine {
			put(t, filepath.Join(dir, filepath.FromSlash(name)), text)
		}
		old := testBuild()
		old.Overview.ID = "old"
		if _, err := Write(dir, old, Formats, false); err != nil {
			t.Fatal(err)
		}
		left, err := Write(dir, testBuild(), []string{format}, false)
		if err != nil || len(left) > 0 {
			t.Fatal(left, err)
		}
		want := map[string]string{}
		files, err := makeFiles(testBuild(), []string{format})
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			want[f.Name] = string(f.Content)
		}
		maps.Copy(want, mine)
		if got := filesOf(t, dir); !maps.Equal(got, want) {
			t.Errorf("%s: the folder holds %v, want %v", format, slices.Sorted(maps.Keys(got)), slices.Sorted(maps.Keys(want)))
		}
	}
}

func put(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// TestWriteLeavesOthersReports: what another hand has written under a report's names is
// told of, and overwritten by force alone.
func TestWriteLeavesOthersReports(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "report.html"), "<p>mine, not made from spec by ironbed</p>")
	left, err := Write(dir, testBuild(), []string{"json"}, false)
	if err != nil || !slices.Equal(left, []string{"report.html"}) {
		t.Errorf("%v are told of, %v", left, err)
	}
	before := filesOf(t, dir)
	for name, text := range map[string]string{
		"report.md": "# mine", "report.pdf": "%PDF-1.4 mine", "report.sarif": "{}", "derivations.md": "", "report.json": `{"tool": {"name": "other"}}`,
		"figures/machine.svg": "<svg/>",
	} {
		at := filepath.Join(dir, filepath.FromSlash(name))
		put(t, at, text)
		b := testBuild()
		b.Overview.ID = "machine"
		if _, err := Write(dir, b, Formats, false); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%s is overwritten: %v", name, err)
		}
		if err := os.Remove(at); err != nil {
			t.Fatal(err)
		}
		if name == "report.json" { // it was ours
			put(t, at, before[name])
		}
		if name == "figures/machine.svg" {
			os.Remove(filepath.Dir(at))
		}
	}
	if !maps.Equal(filesOf(t, dir), before) {
		t.Error("the folder is not as it was")
	}
	if _, err := Write(dir, testBuild(), Formats, true); err != nil || !strings.Contains(filesOf(t, dir)["report.html"], "Made from spec") {
		t.Errorf("force does not overwrite: %v", err)
	}
}

func TestWriteWantsAFormat(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	for _, formats := range [][]string{nil, {}, {""}} {
		if _, err := Write(dir, testBuild(), formats, false); err == nil {
			t.Errorf("%q is written", formats)
		}
	}
	if _, err := os.Stat(dir); err == nil {
		t.Error("the folder was made")
	}
}

func TestWriteNothingIfAnythingIsWrong(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	_, err := Write(dir, testBuild(), []string{"md", "docx"}, false)
	if err == nil || !strings.Contains(err.Error(), `"docx"`) {
		t.Errorf("error is %v, want one that names the format", err)
	}
	if _, err := os.Stat(dir); !os.IsNotExist(err) {
		t.Error("the folder was made though the report was not")
	}
}

func TestWriteLeavesTheFolder(t *testing.T) {
	outside := t.TempDir()
	dir := t.TempDir()
	if err := os.Symlink(outside, filepath.Join(dir, "figures")); err != nil {
		t.Skip("no symbolic links here")
	}
	if _, err := Write(dir, testBuild(), []string{"md"}, false); err == nil {
		t.Error("figures led out of the folder and no error came")
	}
	if got := filesOf(t, outside); len(got) != 0 {
		t.Errorf("files were written outside: %v", got)
	}
}

func TestJSONKeepsItsContract(t *testing.T) {
	content, err := JSON(&build.Build{})
	if err != nil {
		t.Fatal(err)
	}
	full, err := JSON(testBuild())
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range [][]byte{content, full} {
		if bytes.Contains(text, []byte("null")) {
			t.Errorf("null in\n%s", text)
		}
	}
	var report struct {
		Figures []struct {
			ID               string
			Value, Low, High *float64
			Inputs           []any
		}
		Findings, Targets, Sheets []any
	}
	if err := json.Unmarshal(full, &report); err != nil {
		t.Fatal(err)
	}
	b := testBuild()
	if len(report.Figures) != len(b.Figures.All()) || len(report.Findings) != len(b.Findings) ||
		len(report.Targets) != len(b.Targets) || len(report.Sheets) != len(b.Sheets) {
		t.Error("not everything is in the JSON")
	}
	for i, f := range b.Figures.All() {
		got := report.Figures[i]
		if got.ID != f.ID || got.Value == nil || got.Low == nil || got.High == nil {
			t.Fatalf("figure %s is incomplete: %+v", f.ID, got)
		}
		if !f.Bounded && (*got.Low != *got.Value || *got.High != *got.Value) {
			t.Errorf("figure %s has bounds that it should not have", f.ID)
		}
	}
}

func TestJSONRoundsToSixDigits(t *testing.T) {
	for v, want := range map[float64]string{1234.5678: "1234.57", 0.1234567891: "0.123457", 12345678: "12345700",
		0: "0", -0.0000001234567: "-1.23457e-7", 1.0 / 3: "0.333333"} {
		got, err := number(v).MarshalJSON()
		if err != nil || string(got) != want {
			t.Errorf("%v is printed %s (%v), want %s", v, got, err, want)
		}
	}
}

func TestHTMLStandsAlone(t *testing.T) {
	b := testBuild()
	page := func(b *build.Build) ([]byte, error) {
		d := newDocuments(b)
		return d.html(reportName, d.report(true).bytes())
	}
	content, err := page(b)
	if err != nil {
		t.Fatal(err)
	}
	text := string(content)
	for _, other := range []string{"src=", "@import", "url(", "<script", "<link", "figures/"} {
		if strings.Contains(text, other) {
			t.Errorf("the page needs another file: %s", other)
		}
	}
	if n := strings.Count(text, "<svg"); n != len(pictures(b)) {
		t.Errorf("%d pictures in the page, want %d", n, len(pictures(b)))
	}
	if strings.Contains(text, "<?xml") {
		t.Error("an XML declaration stands inside the page")
	}
	for _, want := range []string{`<h2 id="compliance-breakdown">`, `href="#compliance-breakdown"`, "&lt;annealed&gt;", "<table>", `aria-label="The machine"`} {
		if !strings.Contains(text, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
	again, err := page(b)
	if err != nil || !bytes.Equal(content, again) {
		t.Error("two runs differ")
	}
}

func TestEmptyBuild(t *testing.T) {
	b := &build.Build{Machine: "bare"}
	if _, err := Write(t.TempDir(), b, Formats, false); err != nil {
		t.Error(err)
	}
	var out bytes.Buffer
	if err := Terminal(&out, b, TerminalStyle{}); err != nil || !strings.Contains(out.String(), "nothing to cut") {
		t.Errorf("the terminal says %q (%v)", out.String(), err)
	}
}
