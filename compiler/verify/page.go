package verify

import (
	"bytes"
	"fmt"
	"math"
	"slices"
)

// Used is how much of its tolerance a row's difference takes; over 1 it is off [-].
func (r *Row) Used() float64 {
	off := math.Abs(r.Got - r.Want)
	if off == 0 {
		return 0
	}
	return off / math.Max(r.AbsTol, r.RelTol*math.Abs(r.Want))
}

// unchecked is what no row from outside the project holds.
var unchecked = []string{
	"The verdict of a whole machine. Its parts are held one by one: statics, modes, forces, stability, error motions, heat. No machine that was built to a report has been measured yet.",
	"Recommended changes. Each is written into the spec and judged again by the same program.",
	"Depths on a machine with all its modes. The stability methods are held against the reference set of one to four modes.",
	"Fill and steel as one: creep, shrinkage and bond in a tube of this length rest on formulas for other members.",
	"Loss factors, joint and carriage stiffness as built, backlash, surfaces as delivered: ranges of the trade, printed as assumptions.",
	"Sentences, pictures and pages: held against committed outputs, and looked at.",
}

// Page is VERIFICATION.md: what was checked against what. Struck are supplied values without a row: id, what, why.
func Page(rows []Row, struck [][3]string) []byte {
	w := &bytes.Buffer{}
	say := func(format string, a ...any) { fmt.Fprintf(w, format, a...) }
	packages := map[string][]*Row{}
	var names []string
	for i := range rows {
		p := rows[i].Package
		if packages[p] == nil {
			names = append(names, p)
		}
		packages[p] = append(packages[p], &rows[i])
	}
	slices.Sort(names)
	count := func(list []*Row, kind Kind) (n int) {
		for _, r := range list {
			if r.Kind == kind {
				n++
			}
		}
		return n
	}
	say("# What was checked against what\n\nWritten by `make verify` from the rows of the tests; the table row by row is `out/verify/table.md` then. " +
		"Which rows a mistake in the physics puts off: [MUTATIONS.md](MUTATIONS.md).\n\n")
	say("%d numbers of ours are held against numbers that we did not make:\n\n| kind | rows | what it is |\n|---|--:|---|\n", len(rows))
	var all []*Row
	for i := range rows {
		all = append(all, &rows[i])
	}
	for _, k := range Kinds {
		say("| %s | %d | %s |\n", k, count(all, k), kindWords[k])
	}
	say("\n## By discipline\n\nThe last two columns are the row that takes most of its tolerance, and how much of it.\n\n| package | rows |")
	for _, k := range Kinds {
		say(" %s |", k)
	}
	say(" worst row | of its tolerance |\n|---|--:|")
	for range Kinds {
		say("--:|")
	}
	say("---|--:|\n")
	for _, name := range names {
		list := packages[name]
		say("| %s | %d |", name, len(list))
		for _, k := range Kinds {
			say(" %d |", count(list, k))
		}
		worst := slices.MaxFunc(list, func(a, b *Row) int {
			switch d := a.Used() - b.Used(); {
			case d > 1e-6:
				return 1
			case d < -1e-6:
				return -1
			}
			return 0
		})
		say(" %s, %s | %.0f %% |\n", worst.ID, worst.Quantity, 100*worst.Used())
	}
	say("\n## Checked by nothing from outside\n\n")
	for _, s := range unchecked {
		say("- %s\n", s)
	}
	say("\n## Supplied values that no row uses\n\n| id | what | why |\n|---|---|---|\n")
	for _, s := range struck {
		say("| %s | %s | %s |\n", s[0], s[1], s[2])
	}
	return w.Bytes()
}

var kindWords = map[Kind]string{
	Published:   "a figure in a standard, a book or a paper that is named",
	Independent: "another program, by another method",
	ByHand:      "a closed form or a formula, worked beside the test",
	Unnamed:     "a figure in a maker's page, a course or a handbook without author",
	Practice:    "a figure of the trade without one source",
	Memory:      "a figure that was recalled, not seen",
}
