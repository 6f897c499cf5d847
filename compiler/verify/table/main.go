// Command table makes two things of what the reference tests recorded: the table of ours against theirs, row by row, and the page
// VERIFICATION.md, which says what was checked against what. It fails where a value is off, where a supplied value is used by no row and
// not struck, and where the committed page says otherwise than the rows do.
package main

import (
	"bufio"
	"bytes"
	"cmp"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"ironbed/compiler/verify"
)

// page and supplied are where the page and the list of supplied values stand, from the root of the project.
const (
	page     = "compiler/verify/VERIFICATION.md"
	supplied = "compiler/verify/testdata/supplied.csv"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "table:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("usage: table FOLDER")
	}
	rows, err := recorded(args[0])
	if err != nil {
		return err
	}
	list := &bytes.Buffer{}
	off := table(list, rows)
	if err := os.WriteFile(filepath.Join(args[0], "table.md"), list.Bytes(), 0o644); err != nil {
		return err
	}
	struck, unused, err := ledger(rows)
	if err != nil {
		return err
	}
	text := verify.Page(rows, struck)
	was, err := os.ReadFile(page)
	if err != nil || os.Getenv("IRONBED_GOLDEN") != "" {
		if err := os.WriteFile(page, text, 0o644); err != nil {
			return err
		}
		was = text
	}
	fmt.Printf("%d values compared, %d off, %d supplied values struck with a reason.\n", len(rows), off, len(struck))
	switch {
	case off > 0:
		return fmt.Errorf("%d values off, see %s", off, filepath.Join(args[0], "table.md"))
	case len(unused) > 0:
		return fmt.Errorf("%s: neither used by a row nor struck: %s", supplied, strings.Join(unused, ", "))
	case !bytes.Equal(was, text):
		return fmt.Errorf("%s says otherwise than the rows: write it anew with IRONBED_GOLDEN=1 make verify, and read the difference", page)
	}
	return nil
}

// recorded are the rows of a folder, in order.
func recorded(folder string) (rows []verify.Row, err error) {
	names, err := filepath.Glob(filepath.Join(folder, "*.jsonl"))
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		f, err := os.Open(name)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		for s := bufio.NewScanner(f); s.Scan(); {
			var row verify.Row
			if err := json.Unmarshal(s.Bytes(), &row); err != nil {
				return nil, fmt.Errorf("%s: %w", name, err)
			}
			rows = append(rows, row)
		}
	}
	slices.SortStableFunc(rows, func(a, b verify.Row) int {
		return cmp.Or(cmp.Compare(a.Package, b.Package), cmp.Compare(a.ID, b.ID), cmp.Compare(a.Quantity, b.Quantity))
	})
	return rows, nil
}

// table writes the rows, and returns how many are off.
func table(w *bytes.Buffer, rows []verify.Row) (off int) {
	fmt.Fprint(w, "| package | id | quantity | unit | theirs | ours | difference | allowed | kind | source |\n|---|---|---|---|--:|--:|--:|--:|---|---|\n")
	for i := range rows {
		r := &rows[i]
		allowed := fmt.Sprintf("%.2g", r.RelTol)
		if r.RelTol == 0 {
			allowed = fmt.Sprintf("%.2g absolute", r.AbsTol)
		}
		if r.Used() > 1 {
			off++
			allowed += " **off**"
		}
		if r.Why != "" {
			allowed += ": " + r.Why
		}
		fmt.Fprintf(w, "| %s | %s | %s | %s | %.6g | %.6g | %.2g | %s | %s | %s |\n", r.Package, r.ID, r.Quantity, r.Unit, r.Want, r.Got, r.Difference, allowed, r.Kind, r.Source)
	}
	return off
}

// ledger holds the supplied values against the rows: those that are struck, with their reasons, and those that are neither used nor struck.
func ledger(rows []verify.Row) (struck [][3]string, unused []string, err error) {
	f, err := os.Open(supplied)
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	list, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", supplied, err)
	}
	used := map[string]bool{}
	for _, r := range rows {
		id, _, _ := strings.Cut(r.ID, " ")
		used[id], used[r.ID] = true, true
	}
	for _, s := range list[1:] {
		id, quantity, row, why := s[0], s[1], s[2], s[3] // row is the id of the row that uses it, where that is another
		switch {
		case why != "":
			struck = append(struck, [3]string{id, quantity, why})
		case !used[cmp.Or(row, id)]:
			unused = append(unused, s[0])
		}
	}
	return struck, unused, nil
}
