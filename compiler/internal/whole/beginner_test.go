package whole

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// beginnerSpec is a spec without a mistake, into which the table writes one at a time.
const beginnerSpec = `package mill

import "ironbed.example/machine"

machine.#Machine & {
	name: "mill"
	sections: {
		tube: stock: "SHS 100x100x5 cold"
		box: hollow: {height: "100 mm", width: "100 mm", wall: "5 mm"}
	}
	bodies: base: {
		nodes: {
			left_front: ["0 mm", "-200 mm", "300 mm"]
			left_back: ["0 mm", "200 mm", "300 mm"]
			right_front: ["1 m", "-200 mm", "300 mm"]
			right_back: ["1 m", "200 mm", "300 mm"]
		}
		members: {
			front: {from: "left_front", to: "right_front", section: "tube"}
			back: {from: "left_back", to: "right_back", section: "tube"}
			left: {from: "left_front", to: "left_back", section: "box"}
			right: {from: "right_front", to: "right_back", section: "box"}
		}
		feet: {
			left_front: at: "left_front"
			left_back: at: "left_back"
			right_front: at: "right_front"
			right_back: at: "right_back"
		}
	}
	bodies: table: {
		nodes: {
			middle: ["300 mm", "0 mm", "400 mm"]
			front_1: ["200 mm", "-200 mm", "370 mm"]
			front_2: ["400 mm", "-200 mm", "370 mm"]
			back_1: ["200 mm", "200 mm", "370 mm"]
			back_2: ["400 mm", "200 mm", "370 mm"]
		}
		links: {front_1: "middle", front_2: "middle", back_1: "middle", back_2: "middle"}
		masses: plate: {at: "middle", mass: "40 kg"}
	}
	rails: rail: stock: "profiled rail 20, balls"
	envelope: x: "400 mm"
	axes: x: {
		moves:     "table"
		on:        "base"
		direction: "x"
		guides: {
			front: {rail: "rail", over: ["base.front"], carriages: ["table.front_1", "table.front_2"]}
			back: {rail: "rail", over: ["base.back"], carriages: ["table.back_1", "table.back_2"]}
		}
		drives: screw: {
			screw: {diameter: "20 mm", lead: "5 mm", length: "900 mm", ends: "fixed-supported"}
			nut:     "table.middle"
			bearing: "base.left_front"
		}
	}
}
`

// A mistake is one that beginners make: what stands in place of what, where the first
// diagnostic has to point, and words by which it leads to the fix.
type mistake struct {
	name     string
	from, to string
	at       string // line:column, or the line alone
	says     string // a regular expression
	most     int    // diagnostics at most; 0 for one
}

// Each line is one mistake, 53 of them. common practice: what people new to CUE, or to a
// spec with units, write.
var mistakes = []mistake{
	{"bracket of a list not closed", `["0 mm", "-200 mm", "300 mm"]` + "\n\t\t\tleft_back", `["0 mm", "-200 mm", "300 mm"` + "\n\t\t\tleft_back", "13:16", `\[ .*not closed`, 0},
	{"brace within a line not closed", `section: "tube"}` + "\n\t\t\tback", `section: "tube"` + "\n\t\t\tback", "19:11", `\{ .*not closed`, 0},
	{"brace of a struct not closed", "\t\t}\n\t\tmembers", "\t\tmembers", "17:3", `\} is missing before this line.*nodes`, 0},
	{"last brace missing", "\t\t}\n\t}\n}\n", "\t\t}\n\t}\n", "57:3", `\} is missing at the end.*line 5`, 0},
	{"a brace too many", "\t\t}\n\t}\n}\n", "\t\t}\n\t}\n\t}\n}\n", "58:2", `\} is one too many.*take it out`, 0},
	{"a bracket too many", `"300 mm"]` + "\n\t\t\tleft_back", `"300 mm"]]` + "\n\t\t\tleft_back", "13:45", `\] is one too many.*take it out`, 0},
	{"closed with the wrong bracket", `"300 mm"]` + "\n\t\t\tleft_back", `"300 mm"}` + "\n\t\t\tleft_back", "13:44", `\} .*write \]`, 0},
	{"quote not closed", `name: "mill"`, `name: "mill`, "6:8", `quote`, 0},
	{"equals sign for a colon", `name: "mill"`, `name = "mill"`, "6:7", `colon`, 0},
	{"colon forgotten", `name: "mill"`, `name "mill"`, "6:7", `colon`, 0},
	{"semicolon at the end", `name: "mill"`, `name: "mill";`, "6:14", `take it out`, 0},
	{"comma forgotten in a line", `height: "100 mm", width`, `height: "100 mm" width`, "9:34", `comma`, 0},
	{"comment with a hash", `name: "mill"`, `name: "mill" # my mill`, "6:15", `//`, 0},
	{"single quotes", `name: "mill"`, `name: 'mill'`, "6:8", `double quotes|"mill"`, 0},
	{"typographic quotes", `name: "mill"`, `name: “mill”`, "6:8", `straight|"mill"`, 0},
	{"name with a hyphen", `left_back: at`, `left-back: at`, "26:4", `quotes.*"left-back"`, 0},
	{"name that begins with a digit", `plate: {at`, `2nd: {at`, "40:11", `quotes.*"2nd"`, 0},
	{"import forgotten", "import \"ironbed.example/machine\"\n", "\n", "5:1", `import "ironbed.example/machine"`, 0},
	{"import misspelt", `import "ironbed.example/machine"`, `import "ironbed.example/machines"`, "3:8", `ironbed.example/machine"`, 0},
	{"import of something else", `import "ironbed.example/machine"`, "import \"ironbed.example/machine\"\nimport \"example.com/x\"", "4:8", `cannot import.*take this line out`, 0},
	{"package forgotten", "package mill\n", "\n", "1:1", `package mill`, 0},
	{"definition without its package", `machine.#Machine`, `#Machine`, "5:1", `machine\.#Machine`, 0},
	{"definition in small letters", `machine.#Machine`, `machine.#machine`, "5:1", `machine\.#Machine|#Machine`, 0},
	{"definition without its hash", `machine.#Machine`, `machine.Machine`, "5:1", `#Machine`, 0},
	{"value without quotes", `wall: "5 mm"`, `wall: 5mm`, "9:58", `"5 mm"`, 0},
	{"value with a space without quotes", `mass: "40 kg"`, `mass: 40 kg`, "40:39", `"40 kg"`, 0},
	{"decimal comma without quotes", `wall: "5 mm"`, `wall: 5,5`, "9:58", `"5\.5 mm"`, 0},
	{"decimal comma in quotes", `wall: "5 mm"`, `wall: "5,5 mm"`, "9:58", `5\.5`, 0},
	{"unit forgotten", `wall: "5 mm"`, `wall: "5"`, "9:58", `unit|mm`, 0},
	{"plain number", `wall: "5 mm"`, `wall: 5`, "9:58", `length such as`, 0},
	{"unit misspelt", `wall: "5 mm"`, `wall: "5 milimeter"`, "9:58", `mm`, 0},
	{"unit in capitals", `wall: "5 mm"`, `wall: "5 MM"`, "9:58", `mm`, 0},
	{"letter for a digit", `wall: "5 mm"`, `wall: "1O mm"`, "9:58", `did you mean "10 mm"`, 0},
	{"kilograms for millimetres", `wall: "5 mm"`, `wall: "5 kg"`, "9:58", `mass.*length`, 0},
	{"newtons for kilograms", `mass: "40 kg"`, `mass: "400 N"`, "40:39", `force.*mass`, 0},
	{"negative wall", `wall: "5 mm"`, `wall: "-5 mm"`, "9:58", `more than zero`, 0},
	{"field misspelt", `wall: "5 mm"`, `wal: "5 mm"`, "9:52", `did you mean wall`, 0},
	{"field at the wrong level", `tube: stock: "SHS`, `tube: wall: "SHS`, "8:9", `stock: "SHS 100x100x5 cold"`, 0},
	{"top-level field misspelt", `envelope: x`, `envelop: x`, "43:2", `did you mean envelope`, 0},
	{"word in capitals", `ends: "fixed-supported"`, `ends: "Fixed-Supported"`, "53:69", `"fixed-supported"`, 0},
	{"direction in capitals", `direction: "x"`, `direction: "X"`, "47:14", `"x"`, 0},
	{"size that nobody rolls", `"SHS 100x100x5 cold"`, `"RHS 200x100x11"`, "8:16", `RHS 200x100x1[02]`, 0},
	{"designation with spaces", `"SHS 100x100x5 cold"`, `"SHS 100 x 100 x 5 cold"`, "8:16", `"SHS 100x100x5 cold"`, 0},
	{"rail by another name", `"profiled rail 20, balls"`, `"linear rail 20"`, "42:22", `"profiled rail 20, balls"`, 0},
	{"section of another name", `section: "tube"}` + "\n\t\t\tback", `section: "tub"}` + "\n\t\t\tback", "19:60", `did you mean "?tube`, 0},
	{"node of another name", `from: "left_front", to: "right_front"`, `from: "left_frnt", to: "right_front"`, "19:18", `left_front`, 0},
	{"body of another name", `moves:     "table"`, `moves:     "tabel"`, "45:14", `table`, 0},
	{"member given twice", `			back: {from: "left_back", to: "right_back", section: "tube"}`, `			front: {from: "left_back", to: "right_back", section: "tube"}`, "20:4", `two front in bodies.base.members.*another name`, 0},
	{"value given twice", `name: "mill"`, "name: \"mill\"\n\tname: \"my mill\"", "7:2", `twice`, 0},
	{"two coordinates", `left_front: ["0 mm", "-200 mm", "300 mm"]`, `left_front: ["0 mm", "-200 mm"]`, "13:16", `2 values; 3 are expected, such as \[`, 0},
	{"coordinates by their names", `left_front: ["0 mm", "-200 mm", "300 mm"]`, `left_front: {x: "0 mm", y: "-200 mm", z: "300 mm"}`, "13:16", `square brackets such as \["`, 0},
	{"text for a list", `over: ["base.front"]`, `over: "base.front"`, "49:32", `\["base.front"\]`, 0},
	{"end of a member forgotten", `from: "left_front", to: "right_front", `, `from: "left_front", `, "19:4", "has no field `to`", 0},
}

// TestBeginnersMistakes holds of each mistake that the first thing said of it points at
// the culprit, leads to the fix, and is not followed by its echoes.
func TestBeginnersMistakes(t *testing.T) {
	if len(mistakes) != 53 {
		t.Errorf("%d mistakes", len(mistakes))
	}
	place := regexp.MustCompile(`^mill/m\.cue:(\d+):(\d+): (\w+): `)
	points := 0
	for _, m := range mistakes {
		dir := t.TempDir()
		if err := os.MkdirAll(filepath.Join(dir, "mill"), 0o755); err != nil {
			t.Fatal(err)
		}
		text := strings.Replace(beginnerSpec, m.from, m.to, 1)
		if text == beginnerSpec {
			t.Errorf("%s: nothing is changed", m.name)
		}
		if err := os.WriteFile(filepath.Join(dir, "mill", "m.cue"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		var out, errOut bytes.Buffer
		status := run(t, dir, &out, &errOut, "check", "mill")
		var errs []string
		for line := range strings.SplitSeq(errOut.String(), "\n") {
			if strings.Contains(line, ": error: ") {
				errs = append(errs, line)
			}
		}
		if status != exitRefused || len(errs) == 0 {
			t.Errorf("%s: exit status %d\n%s", m.name, status, errOut.String())
			continue
		}
		where := ""
		if at := place.FindStringSubmatch(errs[0]); at != nil {
			where = fmt.Sprintf("%s:%s", at[1], at[2])
		}
		atIt := where == m.at || strings.HasPrefix(where, m.at+":")
		leads := regexp.MustCompile(m.says).MatchString(errs[0]) && len(errs) <= max(1, m.most)
		if atIt {
			points++
		}
		if leads {
			points++
		}
		if !atIt || !leads {
			t.Errorf("%s: want at %s, one that says %s; got\n%s", m.name, m.at, m.says, errOut.String())
		}
	}
	t.Logf("%d points of %d", points, 2*len(mistakes))
}
