// Package works is the one list of the works that ironbed cites: standards,
// handbooks and papers, each under a short key. A discipline's doc comments
// and the report's figures cite by key; the report prints the works it used.
package works

import "strings"

// A Work is one cited publication.
type Work struct {
	Key    string // short key, as written after "Source:" in a doc comment
	Author string // author, editor or standards body
	Title  string // title as printed
	Year   string // year and, where it matters, the edition
}

// The keys that stand for no publication. A source line may use them where
// that is the honest answer.
const (
	DerivedHere    = "derived here"    // the derivation follows in the comment
	CommonPractice = "common practice" // a fact of the trade without a source
	FromMemory     = "from memory"     // a value not looked up
)

// All returns every work of every discipline, in the order of the disciplines.
func All() []Work {
	var all []Work
	for _, list := range [][]Work{sectionWorks, frameWorks, cuttingWorks, driveWorks, guideWorks, fillWorks, modalWorks, chatterWorks, jointWorks, motionWorks, spindleWorks,
		budgetWorks, heatWorks, samplingWorks, liftWorks, levelWorks, nestWorks, weldWorks, solidWorks, workWorks} {
		all = append(all, list...)
	}
	return all
}

// Find returns the work with the key, and whether there is one.
func Find(key string) (Work, bool) {
	for _, w := range All() {
		if strings.EqualFold(w.Key, key) {
			return w, true
		}
	}
	return Work{}, false
}

// Keys returns the keys cited in a source text. Sources are separated by
// semicolons; the key of each stands before the first comma.
func Keys(source string) []string {
	var keys []string
	for _, part := range strings.Split(source, ";") {
		key, _, _ := strings.Cut(part, ",")
		key = strings.TrimSuffix(strings.TrimSpace(key), ".")
		if key != "" {
			keys = append(keys, key)
		}
	}
	return keys
}
