package compiler_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/verify"
	"ironbed/render"
)

// TestTrials says the frames of the independent finite-element reference in the
// words of a spec and reads their displacements off report.json. The reference
// solver's values and the tolerance that it states (1e-4 of the largest of the
// load case; for solid models the band that it gives) stand in readings.json.
func TestTrials(t *testing.T) {
	folders, err := filepath.Glob("testdata/trials/*")
	if err != nil || len(folders) < 8 {
		t.Fatalf("%d cases, %v", len(folders), err)
	}
	for _, dir := range folders {
		t.Run(filepath.Base(dir), func(t *testing.T) {
			var want struct {
				Source   string
				Why      string // why the tolerance is wider than the digits
				Readings []struct {
					ID     string
					Want   float64
					AbsTol float64 `json:"abs_tol"`
				}
			}
			text, err := os.ReadFile(filepath.Join(dir, "readings.json"))
			if err != nil {
				t.Fatal(err)
			}
			if err := json.Unmarshal(text, &want); err != nil {
				t.Fatal(err)
			}
			report, err := render.JSON(compiled(t, sample.Load(t, dir)))
			if err != nil {
				t.Fatal(err)
			}
			var got struct {
				Figures []struct {
					ID, Unit string
					Value    float64
				}
			}
			if err := json.Unmarshal(report, &got); err != nil {
				t.Fatal(err)
			}
			values := map[string]float64{}
			units := map[string]string{}
			for _, f := range got.Figures {
				values[f.ID], units[f.ID] = f.Value, f.Unit
			}
			for _, r := range want.Readings {
				if units[r.ID] == "" {
					t.Fatalf("no figure %s", r.ID)
				}
				verify.Check(
					t,
					verify.Case{ID: filepath.Base(dir) + " " + r.ID, Quantity: r.ID, Unit: units[r.ID], Source: want.Source, Want: r.Want, AbsTol: r.AbsTol, Why: want.Why},
					values[r.ID],
				)
			}
		})
	}
}
