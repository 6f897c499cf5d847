package verify

import "strings"

// A Kind is where a value comes from that ours is held against.
type Kind string

// The kinds, the best first. Of a value that is of two, the weaker counts: a published formula with numbers worked by hand is by hand, and
// whatever is remembered is from memory.
const (
	Published   Kind = "published"          // a figure in a standard, a book or a paper that is named
	Independent Kind = "independent solver" // another program's, by another method
	ByHand      Kind = "by hand"            // a closed form or a formula, worked beside the test
	Unnamed     Kind = "unnamed print"      // a figure in a maker's page, a course, a handbook without author
	Practice    Kind = "common practice"    // a figure of the trade without one source
	Memory      Kind = "from memory"        // a figure that was recalled, not seen
)

// Kinds are all of them.
var Kinds = [...]Kind{Published, Independent, ByHand, Unnamed, Practice, Memory}

// marks are the words by which a source says its kind, the weakest first.
var marks = []struct {
	kind  Kind
	words []string
}{
	{Memory, []string{"memory", "suppliers' figures"}},
	{Practice, []string{"practice"}},
	{Unnamed, []string{"maker", "handbook", "tutorial", "lecture", "a course", "exercise", "encyclopedia", "public ", "published sizing", "reference article",
		"a textbook", "mechanics textbook", "bearing data centre", "bimetal", "transformed-section", "flitch-beam"}},
	{ByHand, []string{"by hand", "hand-worked", "closed form", "statics", "work balance", "static solution", "exact series", "recomputed", "Abbe offset error",
		"definition of", "Hooke's law"}},
	{Independent, []string{"independent", "finite elements", "reference set", "time-stepping", "direct solution", "time domain", "semi-discretization", "eigenvalue"}},
}

// published are words of which a published source has one.
var published = []string{"19", "20", " art. ", "AISC ", "ISO ", "EN ", "VDI ", "DIN ", "JCGM ", "NAFEMS ", " ed.", "table", "Table", "example", "chapter", "section", "Strength of Materials",
	"Formulas", "Theory", "Mechanics", "Vibration", "Tlusty", "Euler"}

// KindOf tells the kind of a source by its words; false where they name none.
func KindOf(source string) (Kind, bool) {
	for _, m := range marks {
		for _, w := range m.words {
			if strings.Contains(source, w) {
				return m.kind, true
			}
		}
	}
	for _, w := range published {
		if strings.Contains(source, w) {
			return Published, true
		}
	}
	return "", false
}
