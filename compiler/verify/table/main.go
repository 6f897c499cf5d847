// Command table prints what the reference tests recorded as one Markdown table:
// quantity, source, ours, theirs, difference.
package main

import (
	"bufio"
	"cmp"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"ironbed/compiler/verify"
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
	names, err := filepath.Glob(filepath.Join(args[0], "*.jsonl"))
	if err != nil {
		return err
	}
	var rows []verify.Row
	for _, name := range names {
		f, err := os.Open(name)
		if err != nil {
			return err
		}
		defer f.Close()
		for s := bufio.NewScanner(f); s.Scan(); {
			var row verify.Row
			if err := json.Unmarshal(s.Bytes(), &row); err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
			rows = append(rows, row)
		}
	}
	slices.SortStableFunc(rows, func(a, b verify.Row) int {
		return cmp.Or(cmp.Compare(a.Package, b.Package), cmp.Compare(a.ID, b.ID), cmp.Compare(a.Quantity, b.Quantity))
	})
	fmt.Print("| package | id | quantity | unit | theirs | ours | difference | allowed | source |\n|---|---|---|---|--:|--:|--:|--:|---|\n")
	off := 0
	for _, r := range rows {
		allowed := fmt.Sprintf("%.2g", r.RelTol)
		if r.RelTol == 0 {
			allowed = fmt.Sprintf("%.2g absolute", r.AbsTol)
		}
		if d := r.Got - r.Want; max(d, -d) > max(r.AbsTol, r.RelTol*max(r.Want, -r.Want)) {
			off++
			allowed += " **off**"
		}
		fmt.Printf("| %s | %s | %s | %s | %.6g | %.6g | %.2g | %s | %s |\n", r.Package, r.ID, r.Quantity, r.Unit, r.Want, r.Got, r.Difference, allowed, r.Source)
	}
	fmt.Printf("\n%d values compared, %d off.\n", len(rows), off)
	return nil
}
