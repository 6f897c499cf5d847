package warping

import (
	"math"
	"os"
	"regexp"
	"strconv"
	"testing"

	"ironbed/compiler/mesh"
)

// finest is how fine the mesh is that stands for the exact answer; twice the finest that an analysis uses moves the torsion
// constant by a tenth of what is printed.
const finest = 9

// TestErrorBounds: what the mesh may have left, as it is printed, is no less than what it has left, for every rolled outline of the catalogue with
// its fillets.
func TestErrorBounds(t *testing.T) {
	rows := rolled(t)
	if len(rows) < 130 {
		t.Fatalf("%d rolled outlines", len(rows))
	}
	every := 9
	if os.Getenv("IRONBED_THOROUGH") != "" {
		every = 1
	}
	for i := 0; i < len(rows); i += every {
		regions := []mesh.Region{{Outer: rows[i].loop}}
		materials := []Material{{E: 210e9, G: 81e9}}
		p, err := New(regions).Analyse(materials)
		if err != nil {
			t.Fatal(rows[i].name, err)
		}
		m, err := mesh.Divide(regions, mesh.Coarse.Fine(finest))
		if err != nil {
			t.Fatal(rows[i].name, err)
		}
		fine, err := (&solver{divided: newDivided(m), materials: materials}).solve()
		if err != nil {
			t.Fatal(rows[i].name, err)
		}
		printed := math.Max(p.TorsionError, p.ShearError)
		for what, off := range map[string]float64{"torsion": p.GJ/fine.GJ - 1, "shear along y": p.GAy/fine.GAy - 1, "shear along z": p.GAz/fine.GAz - 1} {
			if math.Abs(off) > printed {
				t.Errorf("%s: %s %.2g off, %.2g printed", rows[i].name, what, off, printed)
			}
		}
	}
}

type outline struct {
	name string
	loop mesh.Loop
}

var (
	rolledRow = regexp.MustCompile(`"([^"]+)": *\{(i|channel|angle): \{([^}]*)\}`)
	rolledLen = regexp.MustCompile(`(\w+): "([0-9.]+) (mm|in)"`)
)

// rolled are the open outlines of the catalogue.
func rolled(t *testing.T) (list []outline) {
	t.Helper()
	text, err := os.ReadFile("../../schema/catalogue/sections.cue")
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rolledRow.FindAllStringSubmatch(string(text), -1) {
		size := map[string]float64{}
		for _, f := range rolledLen.FindAllStringSubmatch(row[3], -1) {
			v, err := strconv.ParseFloat(f[2], 64)
			if err != nil {
				t.Fatal(err)
			}
			size[f[1]] = v * map[string]float64{"mm": 1e-3, "in": 0.0254}[f[3]]
		}
		half, h, web, flange, root := size["width"]/2, size["height"]/2, size["web"]/2, size["flange"], size["root"]
		corner := func(y, z, sweep float64) mesh.Edge { return mesh.Edge{From: mesh.Point{Y: y, Z: z}, Sweep: sweep} }
		fillet := -math.Pi / 2
		switch inner := h - flange; row[2] {
		case "i":
			list = append(list, outline{row[1], mesh.Loop{
				corner(-half, -h, 0), corner(half, -h, 0), corner(half, -inner, 0), corner(web+root, -inner, fillet), corner(web, -inner+root, 0),
				corner(web, inner-root, fillet), corner(web+root, inner, 0), corner(half, inner, 0), corner(half, h, 0), corner(-half, h, 0),
				corner(-half, inner, 0), corner(-web-root, inner, fillet), corner(-web, inner-root, 0), corner(-web, -inner+root, fillet),
				corner(-web-root, -inner, 0), corner(-half, -inner, 0),
			}})
		case "channel":
			web := size["web"]
			list = append(list, outline{row[1], mesh.Loop{
				corner(0, -h, 0), corner(2*half, -h, 0), corner(2*half, -inner, 0), corner(web+root, -inner, fillet), corner(web, -inner+root, 0),
				corner(web, inner-root, fillet), corner(web+root, inner, 0), corner(2*half, inner, 0), corner(2*half, h, 0), corner(0, h, 0),
			}})
		case "angle":
			// The back of the legs lies along the axes, the toes are rounded.
			wall, toe, wide, high := size["wall"], size["toe"], 2*half, 2*h
			list = append(list, outline{row[1], mesh.Loop{
				corner(0, 0, 0), corner(wide, 0, 0), corner(wide, wall-toe, -fillet), corner(wide-toe, wall, 0), corner(wall+root, wall, fillet),
				corner(wall, wall+root, 0), corner(wall, high-toe, -fillet), corner(wall-toe, high, 0), corner(0, high, 0),
			}})
		}
	}
	return list
}
