package whole

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"ironbed/compiler/internal/sample"
	"ironbed/examples"
)

// oldWords are words that may not come back into what users read: each has a standard
// term, which is the comment behind it. A pattern is held against lower case with
// underscores as spaces; what except matches is taken out before. Every pattern has a
// sentence that it must find and one that it must leave alone.
var oldWords = []struct{ pattern, except, bad, good string }{
	{`\bwhip(s|ped|ping)?\b`, ``, "the screw whips at 900 rpm", "critical speed of the screw 900 rpm"},
	{`\b(sings?|sang|sung|singing)\b`, ``, "a deeper cut sings", "a single cut chatters"},
	{`\b(quiet|quieter|silent)\b`, ``, "the cut is quiet", "the cut is stable, quite so"},
	{`\b(swings?|swinging|swung)\b`, ``, "the ram swings along Z", "the ram vibrates along Z"},
	{`\b(shakes?|shaking|plucked)\b`, ``, "the bed shakes", "a natural frequency of the bed"},
	{`\brings (at|with|in|on)\b|\bringing\b`, ``, "the frame rings at 40 Hz", "two rings of steel"},
	{`\bthe give\b|\bgives? (most|way|at|in|along|sideways)\b|\bgiving (most|way)\b|\bgave way\b`, ``, "share of the give", "the table gives the compliance"},
	{`\bwhat gives\b|\bpart gives\b`, ``, "which part gives", "which part is most compliant"},
	{`\bposes?\b`, ``, "in the worst pose", "in the least stiff position, for the purpose"},
	{`\bsoftest\b`, ``, "the softest corner", "the least stiff corner, of softwood"},
	{`\bdoubt(s|ful|ed)?\b`, ``, "over the doubts of the spec", "undoubtedly over the uncertainty"},
	{`\bfrom memory\b`, `\bestimate \(from memory, no source\)`, "stiffness from memory", "estimate (from memory, no source)"},
	{`\bhardest\b|\bhardest-worked\b`, ``, "the hardest cut", "the largest load on a hard part"},
	{`\ball day\b|\bfor a moment\b`, ``, "torque that it has all day", "continuous torque, every day"},
	{`\btrails\b|\btrailing\b|\blets go (at|above)\b|\bgain taken\b`, ``, "the axis trails by 1 mm", "a following error on the trail of 1 mm"},
	{`\bturn(s|ing|ed)? round\b`, ``, "lost where it turns round", "turns per minute of a round shaft"},
	{`\bplay\b`, ``, "play of the nut 0.05 mm", "backlash of the nut, as on a playground"},
	{`\bendways\b|\bsideways\b|\bonto the rail\b|\baskew\b|\bsquare to\b`, ``, "pushed sideways", "a lateral force on one side of a square"},
	{`\bseats?\b|\btrueness\b`, ``, "the seat of the rail", "the mounting surface of the seated rail"},
	{`\broom for\b`, ``, "room for chips", "chip evacuation, in a room"},
	{`\bteeth strike\b|\bstrikes?\b`, ``, "the teeth strike at 400 Hz", "tooth-passing frequency 400 Hz, of any stricken tooth"},
	{`\bmarks\b`, ``, "marks of feed and runout", "cusp height, marked in the table"},
	{`\b(wall|stands) off\b`, ``, "wall off by 10 µm", "wall form error 10 µm"},
	{`\b(the|thin|thick) work\b`, `\bthe work material\b`, "clamp the work", "clamp the workpiece; the work material"},
	{`\bnext moves?\b|\bverdicts? (that )?moves?\b|\bmoves? (a|the|no) verdict\b`, ``, "no verdict moves", "no verdict changes when the axis moves"},
	{`\bturning (nut|screw)\b|\b(screw|nut) (stands|turns)\b`, ``, "with a turning nut", "with a rotating nut"},
	{`\bway to stop\b|\bwork (out|in) for work\b`, ``, "its way to stop is 5 mm", "its stopping distance is 5 mm"},
	{`\bstrands?\b`, ``, "the pull of the slack strand", "the tension of the slack span, stranded cable"},
	{`\b(the|its|a belt's|their) pull\b`, `\bpull-out\b`, "the pull of the belt", "the pulley; the pull-out torque"},
	{`\bmend(s|ed|ing)?\b`, ``, "what would mend it", "what is recommended to fix it"},
	{`\bfarther off\b|\bbuilders (of [a-z ,]+ )?ask\b`, ``, "beside what builders ask", "not limiting; compared with common practice"},
	{`\bcracks from\b|\bends pass\b|\bplain steel holds\b|\bruns on\b`, ``, "it cracks from 1.5 MPa", "cracks at its tensile strength"},
	{`\b(ball|roller) rails?\b`, ``, "ball rail 25", "profiled rail 25, balls"},
	{`\bkits?\b`, ``, "the kit of the bed", "the template of the kitchen"},
	{`\brungs?\b`, ``, "six rungs", "six cross members, wrung"},
	{`\bbinds\b|\bbinding\b`, ``, "deflection binds", "deflection limits the cut"},
	{`\btop speed\b`, ``, "its top speed", "its maximum speed, at the top"},
	{`\bfacing (with|a|the|cut|mill)|\bprofiling\b|\bchip loads?\b`, ``, "a facing cut", "face milling, a side facing up"},
	{`\bentering angle\b|\bbull (cutter|nose)\b`, ``, "an entering angle of 45°", "a cutting edge angle of 45°"},
}

// oldWord is a compiled row of oldWords.
type oldWord struct{ pattern, except *regexp.Regexp }

func compileOldWords(t *testing.T) (list []oldWord) {
	t.Helper()
	for _, w := range oldWords {
		o := oldWord{pattern: regexp.MustCompile(w.pattern)}
		if w.except != "" {
			o.except = regexp.MustCompile(w.except)
		}
		list = append(list, o)
	}
	return list
}

// in returns where an old word stands in a text, with what is around it; nothing where
// it does not.
func (o oldWord) in(text string) (found []string) {
	if o.except != nil {
		text = o.except.ReplaceAllString(text, "")
	}
	const around = 40
	for _, at := range o.pattern.FindAllStringIndex(text, -1) {
		found = append(found, strings.ReplaceAll(text[max(0, at[0]-around):min(len(text), at[1]+around)], "\n", " "))
	}
	return found
}

// plainWords is a text as the patterns take it.
func plainWords(text string) string { return strings.ReplaceAll(strings.ToLower(text), "_", " ") }

// TestOldWordsAreFound proves that each pattern can fail, and does not fail for words
// that only look like it.
func TestOldWordsAreFound(t *testing.T) {
	for i, o := range compileOldWords(t) {
		w := oldWords[i]
		if o.in(plainWords(w.bad)) == nil {
			t.Errorf("%s does not find %q", w.pattern, w.bad)
		}
		for k, other := range compileOldWords(t) {
			if found := other.in(plainWords(w.good)); found != nil {
				t.Errorf("%s finds %q in %q", oldWords[k].pattern, found, w.good)
			}
		}
	}
}

// TestOldWords holds what users read against the words that may not come back: reports
// and what check prints, of the examples and the test machines; help; comments of the
// schema; diagnostics of broken specs.
func TestOldWords(t *testing.T) {
	words := compileOldWords(t)
	var dirs []string
	for _, name := range examples.Names() {
		dirs = append(dirs, exampleDir(name))
	}
	machines, err := filepath.Glob("testdata/machines/*/machine.cue")
	if err != nil || len(machines) == 0 {
		t.Fatal(machines, err)
	}
	for _, m := range machines {
		dir, err := filepath.Abs(filepath.Dir(m))
		if err != nil {
			t.Fatal(err)
		}
		dirs = append(dirs, dir)
	}
	for _, dir := range dirs {
		t.Run(filepath.Base(dir), func(t *testing.T) {
			t.Parallel()
			own := ownNames(t, dir, words)
			for source, text := range printedOf(t, dir) {
				holdWords(t, words, source, own(text))
			}
		})
	}
	t.Run("help", func(t *testing.T) {
		for _, command := range []string{"", "init", "check", "report", "explain", "diff", "catalogue"} {
			var out, errOut bytes.Buffer
			run(t, t.TempDir(), &out, &errOut, strings.Fields(command+" --help")...)
			if out.Len() == 0 {
				t.Errorf("%s --help prints nothing: %s", command, errOut.String())
			}
			holdWords(t, words, command+" --help", out.String())
		}
	})
	t.Run("schema", func(t *testing.T) {
		files, err := filepath.Glob(filepath.Join(sample.Root(), "schema", "*", "*.cue"))
		if err != nil || len(files) == 0 {
			t.Fatal(files, err)
		}
		for _, f := range files {
			holdWords(t, words, filepath.Base(f), comments(readText(t, f)))
		}
	})
	t.Run("diagnostics", func(t *testing.T) {
		cases, err := filepath.Glob("testdata/broken/*.txtar")
		if err != nil || len(cases) == 0 {
			t.Fatal(cases, err)
		}
		for _, name := range cases {
			archive, err := txtar.ParseFile(name)
			if err != nil {
				t.Fatal(err)
			}
			holdWords(t, words, filepath.Base(name), string(archive.Files[len(archive.Files)-1].Data))
		}
	})
}

// holdWords reports each old word of a text once, with how often it stands there.
func holdWords(t *testing.T, words []oldWord, source, text string) {
	t.Helper()
	text = plainWords(text)
	for _, o := range words {
		if found := o.in(text); found != nil {
			t.Errorf("%s: %d × %s, first in: %s", source, len(found), o.pattern, found[0])
		}
	}
}

// ownNames takes a machine's own names out of a text, as far as they are words of the
// list: whoever calls a member "seat" may read it.
func ownNames(t *testing.T, dir string, words []oldWord) func(string) string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*.cue"))
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	var own []string
	name := regexp.MustCompile(`"[^"\n]*"|\w+:`)
	for _, f := range files {
		for _, n := range name.FindAllString(readText(t, f), -1) {
			n = strings.Trim(n, `":`)
			for _, o := range words {
				if o.in(plainWords(n)) != nil {
					own = append(own, regexp.QuoteMeta(n))
				}
			}
		}
	}
	if own == nil {
		return func(text string) string { return text }
	}
	names := regexp.MustCompile(`\b(` + strings.Join(own, "|") + `)\b`)
	return func(text string) string { return names.ReplaceAllString(text, "") }
}

// printedOf is what the program prints of a machine, by where it stands.
func printedOf(t *testing.T, dir string) map[string]string {
	t.Helper()
	printed := map[string]string{}
	out := filepath.Join(dir, "report") // of an example, which TestExampleReports holds to be true
	if !sample.Thorough() && !slices.Contains(examples.Names(), filepath.Base(dir)) {
		return map[string]string{"check": readText(t, filepath.Join(dir, "check.golden"))} // which TestMachines holds
	}
	var text, diagnostics bytes.Buffer
	if sample.Thorough() {
		run(t, dir, &text, &diagnostics, "check", ".")
		printed["check"] = text.String() + diagnostics.String()
	}
	if !slices.Contains(examples.Names(), filepath.Base(dir)) {
		out = filepath.Join(t.TempDir(), "report")
		if status := run(t, dir, &text, &diagnostics, "report", ".", "--out", out, "--format", "md,json"); status == exitRefused {
			t.Fatal(diagnostics.String())
		}
	}
	for _, pattern := range []string{"*.md", "*.json", filepath.Join("figures", "*.svg")} {
		files, err := filepath.Glob(filepath.Join(out, pattern))
		if err != nil || len(files) == 0 {
			t.Fatal(pattern, files, err)
		}
		for _, f := range files {
			switch filepath.Ext(f) {
			case ".svg":
				printed["pictures"] += svgText(readText(t, f)) + "\n"
			case ".json":
				var value any
				if err := json.Unmarshal([]byte(readText(t, f)), &value); err != nil {
					t.Fatal(err)
				}
				printed[filepath.Base(f)] = jsonText(value)
			default:
				printed[filepath.Base(f)] = readText(t, f)
			}
		}
	}
	return printed
}

// comments are the comments of a CUE file.
func comments(text string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		if _, comment, found := strings.Cut(line, "//"); found {
			b.WriteString(strings.TrimSpace(comment) + "\n")
		}
	}
	return b.String()
}

func readText(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

var inTags = regexp.MustCompile(`<[^>]*>`)

// svgText is what stands between the tags of a picture.
func svgText(text string) string { return inTags.ReplaceAllString(text, "\n") }

// jsonText is every text of a JSON value, keys included, a line each. Sources are left
// out: they are keys of works and marks, for programs to read.
func jsonText(value any) string {
	switch v := value.(type) {
	case string:
		return v + "\n"
	case []any:
		var b strings.Builder
		for _, e := range v {
			b.WriteString(jsonText(e))
		}
		return b.String()
	case map[string]any:
		var b strings.Builder
		for _, key := range slices.Sorted(maps.Keys(v)) {
			if key != "source" {
				b.WriteString(key + "\n" + jsonText(v[key]))
			}
		}
		return b.String()
	}
	return ""
}
