package render

import (
	"bytes"
	"encoding/json"
	"io/fs"
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
	if err := Write(dir, testBuild(), Formats); err != nil {
		t.Fatal(err)
	}
	var got []string
	for name := range filesOf(t, dir) {
		got = append(got, name)
	}
	slices.Sort(got)
	want := []string{"derivations.html", "derivations.md", "derivations.pdf",
		"figures/give-shares-x--45adc24f8416541ea93889133f507a46.svg", "figures/overview.svg", "figures/sections.svg", "figures/whip.svg",
		"report.html", "report.json", "report.md", "report.pdf", "report.sarif"}
	if !slices.Equal(got, want) {
		t.Errorf("wrote %v, want %v", got, want)
	}
}

func TestWriteSameBytesAnywhere(t *testing.T) {
	one, two := t.TempDir(), filepath.Join(t.TempDir(), "a", "b")
	for _, dir := range []string{one, two} {
		if err := Write(dir, testBuild(), Formats); err != nil {
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
	if err := Write(dir, testBuild(), []string{"json"}); err != nil {
		t.Fatal(err)
	}
	if got := filesOf(t, dir); len(got) != 1 || got["report.json"] == "" {
		t.Errorf("wrote %d files, want report.json alone", len(got))
	}
}

func TestWriteRemovesStalePicturesAndNothingElse(t *testing.T) {
	dir := t.TempDir()
	put := func(name, text string) {
		t.Helper()
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	put("figures/old.svg", "stale")
	put("figures/photo.png", "mine")
	put("figures/deep/old.svg", "mine")
	put("old.svg", "mine")
	put("report.md", "an old report")
	if err := Write(dir, testBuild(), []string{"json"}); err != nil {
		t.Fatal(err)
	}
	if got := filesOf(t, dir); got["figures/old.svg"] != "stale" || got["report.md"] != "an old report" {
		t.Error("writing JSON touched the Markdown report or its pictures")
	}
	if err := Write(dir, testBuild(), []string{"md"}); err != nil {
		t.Fatal(err)
	}
	got := filesOf(t, dir)
	if _, ok := got["figures/old.svg"]; ok {
		t.Error("the stale picture is still there")
	}
	for _, name := range []string{"figures/photo.png", "figures/deep/old.svg", "old.svg"} {
		if got[name] != "mine" {
			t.Errorf("%s was touched", name)
		}
	}
	if !strings.HasPrefix(got["report.md"], "# slipway-gantry\n") {
		t.Error("report.md is not the new one")
	}
}

func TestWriteNothingIfAnythingIsWrong(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	err := Write(dir, testBuild(), []string{"md", "docx"})
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
	if err := Write(dir, testBuild(), []string{"md"}); err == nil {
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
	if err := Write(t.TempDir(), b, Formats); err != nil {
		t.Error(err)
	}
	var out bytes.Buffer
	if err := Terminal(&out, b, TerminalStyle{}); err != nil || !strings.Contains(out.String(), "nothing to cut") {
		t.Errorf("the terminal says %q (%v)", out.String(), err)
	}
}
