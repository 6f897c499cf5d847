package section_test

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/parser"

	"ironbed/compiler/section"
	"ironbed/compiler/verify"
)

const (
	inch  = 0.0254     // [m]
	pound = 0.45359237 // [kg]
	steel = 7850       // density of the tables' masses [kg/m3]
)

// A catalogueRow is one row of the catalogue: its shape and its dimensions.
type catalogueRow struct {
	name   string
	kind   string             // the field that holds the dimensions: "i", "hollow"
	make   string             // how a hollow section was made
	sizes  map[string]float64 // dimensions by field [m]
	source string             // the standard
}

// TestCatalogueShapes holds that every row of the catalogue is read, has a
// standard and makes a shape.
func TestCatalogueShapes(t *testing.T) {
	rows := readCatalogue(t)
	if len(rows) < 260 {
		t.Errorf("%d rows in the catalogue, want 260 or more", len(rows))
	}
	seen := map[string]bool{}
	for _, row := range rows {
		if seen[row.name] {
			t.Errorf("%s: twice in the catalogue", row.name)
		}
		seen[row.name] = true
		if row.source == "" {
			t.Errorf("%s: no standard", row.name)
		}
		if _, err := row.properties(); err != nil {
			t.Errorf("%s: %v", row.name, err)
		}
	}
}

// TestCatalogueTables holds the catalogue's dimensions against the properties
// that the standards' tables print, testdata/tables.csv. A printed number is
// good to half its last digit, and no print of three digits is better than
// 0.5 %. Torsion constants of three families get more, see [torsionTolerance].
func TestCatalogueTables(t *testing.T) {
	rows := map[string]catalogueRow{}
	for _, row := range readCatalogue(t) {
		rows[row.name] = row
	}
	f, err := os.Open("testdata/tables.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	table, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	head, table := table[0], table[1:]
	if len(table) < 60 {
		t.Errorf("%d rows in the table, want 60 or more", len(table))
	}
	for _, record := range table {
		row, ok := rows[record[0]]
		if !ok {
			t.Errorf("%s: not in the catalogue", record[0])
			continue
		}
		p, err := row.properties()
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
			continue
		}
		got := []float64{p.Area, p.Iy, p.Iz, p.J, p.MassPerLength(steel)}
		units := strings.Fields(record[6])
		for i, unit := range units {
			printed := record[1+i]
			if printed == "" {
				continue
			}
			c := verify.Case{
				ID:       fmt.Sprintf("catalogue %s %s", row.name, head[1+i]),
				Quantity: fmt.Sprintf("%s %s", row.name, head[1+i]),
				Unit:     unit,
				Source:   record[7],
				RelTol:   0.005,
			}
			if head[1+i] == "J" {
				c.RelTol = torsionTolerance(row)
			}
			tips := head[1+i] == "Iz" && row.sizes["slope"] > 0
			if tips {
				c.RelTol = 0.006
			}
			if c.Want, c.AbsTol = digits(t, printed); c.AbsTol > c.RelTol*c.Want {
				c.Why = "half of the last printed digit"
			} else if tips {
				// With 4.25 for 4.5 mm UPN 100 has 29.23 cm4, of 29.3, and 29.15 as printed.
				c.Why = "the tables print the radius of the tips to half a millimetre"
			} else if c.RelTol > 0.005 {
				c.Why = "the table's torsion constant is by another formula"
			}
			verify.Check(t, c, got[i]/unitOf[unit])
		}
	}
}

// torsionTolerance returns what our torsion constant may stand off the printed
// one. The two differ by formula in three families:
//   - Angles. The tables take off 0.21 t⁴ and leave the rounding of the toes out.
//     Ours takes off 0.315 t⁴ and the toes, because two-dimensional finite
//     elements do (TestFiniteElementsPlain, S15): the print is 1.8 to 3 % high.
//   - Channels with flanges that slope. Ours are by finite elements, the tables' by a formula: ours are up to 1.8 % higher.
//   - Square and rectangular tubing. The tables take the closed cell alone. Ours
//     adds the wall's own strip, t³ s/3, as EN 10210-2 does: 2 % for the smallest
//     tube with the thickest wall, less than 1 % for most.
func torsionTolerance(row catalogueRow) float64 {
	switch {
	case row.kind == "angle":
		return 0.03
	case row.sizes["slope"] > 0:
		return 0.02
	case row.make == "imperial":
		return 0.025
	}
	return 0.005
}

// TestCatalogueDesignatedMass holds the rows that are named by their mass to it.
func TestCatalogueDesignatedMass(t *testing.T) {
	named := regexp.MustCompile(`^(UB|UC|PFC|W).*x([0-9.]+)$`)
	count := 0
	for _, row := range readCatalogue(t) {
		match := named.FindStringSubmatch(row.name)
		if match == nil {
			continue
		}
		count++
		p, err := row.properties()
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
			continue
		}
		unit := "kg/m"
		if match[1] == "W" {
			unit = "lb/ft"
		}
		want, half := digits(t, match[2])
		if got := p.MassPerLength(steel) / unitOf[unit]; math.Abs(got-want) > half {
			t.Errorf("%s: %.4g %s", row.name, got, unit)
		}
	}
	if count == 0 {
		t.Error("no row is named by its mass")
	}
}

// TestCatalogueShear: the shear areas of plain stock are those of its outline by finite elements, as a drawn section has them, whatever
// Poisson's ratio: within 1.6 % for all of the catalogue but an angle as thick as a fifth of its leg, within 3.5 % for welded plates; between an angle's legs
// within 5 %.
func TestCatalogueShear(t *testing.T) {
	stock := func(name string, allowed float64, s section.Shape) {
		t.Helper()
		for _, poisson := range []float64{0.2, 0.3} {
			m := section.IsotropicMaterial(1, poisson, 1)
			n, err := section.Solve(s, m)
			if err != nil {
				t.Fatal(name, err)
			}
			p, err := section.Plain(s, m)
			if err != nil {
				t.Fatal(name, err)
			}
			for _, c := range []struct {
				what      string
				got, want float64
			}{{"along y", p.GAy, n.GAy}, {"along z", p.GAz, n.GAz}, {"at 45°", p.GAy + p.GAz - 2*p.GAyz, n.GAy + n.GAz - 2*n.GAyz}} {
				if off := c.got/c.want - 1; math.Abs(off) > allowed && (c.what != "at 45°" || math.Abs(off) > 0.05) {
					t.Errorf("%s, ν = %g: shear %s %.1f %% off", name, poisson, c.what, 100*off)
				}
			}
		}
	}
	every := 5
	if os.Getenv("IRONBED_THOROUGH") != "" {
		every = 1
	}
	for i, row := range readCatalogue(t) {
		s, err := row.shape()
		if err != nil {
			t.Fatal(err)
		}
		a, angle := s.(section.Angle)
		switch thick := angle && a.Width < 5.5*a.Thickness; {
		case thick:
			stock(row.name, 0.037, s)
		case i%every == 0:
			stock(row.name, 0.016, s)
		}
	}
	for _, s := range []section.Shape{section.RoundBar{Diameter: 0.03}, section.HollowRound{Diameter: 0.03, Wall: 0.01}, section.Bar{Width: 0.05, Height: 0.05}} {
		stock(fmt.Sprintf("%T%v", s, s), 7e-3, s)
	}
	for _, w := range []float64{0.004, 0.010, 0.016} { // of the last the walls are a sixth of their length
		for _, s := range []section.Shape{section.RolledI{Height: 0.2, Width: 0.1, WebThickness: w, FlangeThickness: 1.5 * w},
			section.Channel{Height: 0.2, Width: 0.1, WebThickness: w, FlangeThickness: 1.5 * w}, section.HollowRectangle{Height: 0.2, Width: 0.1, Wall: w},
			section.Angle{Height: 0.1, Width: 0.1, Thickness: w}} {
			stock(fmt.Sprintf("%T%v", s, s), 0.035, s)
		}
	}
}

// unitOf are the tables' units in SI.
var unitOf = map[string]float64{
	"cm2": 1e-4, "cm4": 1e-8, "kg/m": 1,
	"in2": inch * inch, "in4": inch * inch * inch * inch, "lb/ft": pound / (12 * inch),
}

// digits returns a printed number and half a unit of its last printed digit.
func digits(t *testing.T, printed string) (value, half float64) {
	t.Helper()
	value, err := strconv.ParseFloat(printed, 64)
	if err != nil {
		t.Fatal(err)
	}
	_, decimals, _ := strings.Cut(printed, ".")
	// What a printed number was rounded from may lie on the boundary itself.
	return value, 0.5 * math.Pow10(-len(decimals)) * (1 + 1e-6)
}

// properties makes the row's shape as the compiler does.
func (r catalogueRow) properties() (section.Properties, error) {
	shape, err := r.shape()
	if err != nil {
		return section.Properties{}, err
	}
	return shape.Properties(0.3)
}

func (r catalogueRow) shape() (section.Shape, error) {
	s := r.sizes
	switch r.kind {
	case "i":
		return section.RolledI{Height: s["height"], Width: s["width"], WebThickness: s["web"],
			FlangeThickness: s["flange"], RootRadius: s["root"]}, nil
	case "channel":
		return section.Channel{Height: s["height"], Width: s["width"], WebThickness: s["web"],
			FlangeThickness: s["flange"], RootRadius: s["root"], Slope: s["slope"], ToeRadius: s["toe"]}, nil
	case "angle":
		return section.Angle{Height: s["height"], Width: s["width"], Thickness: s["wall"],
			RootRadius: s["root"], ToeRadius: s["toe"]}, nil
	case "pipe":
		return section.HollowRound{Diameter: s["diameter"], Wall: s["wall"]}, nil
	case "hollow":
		wall, radii := s["wall"], section.ColdFormedRadii
		switch r.make {
		case "cold":
		case "hot":
			radii = section.HotFinishedRadii
		case "imperial":
			wall, radii = section.DesignWall(wall), section.TubingRadii
		default:
			return nil, fmt.Errorf("make %q", r.make)
		}
		outer, inner := radii(wall)
		return section.HollowRectangle{Height: s["height"], Width: s["width"], Wall: wall,
			OuterRadius: outer, InnerRadius: inner}, nil
	}
	return nil, fmt.Errorf("kind %q", r.kind)
}

// readCatalogue reads the sections of the catalogue from its syntax.
func readCatalogue(t *testing.T) []catalogueRow {
	t.Helper()
	const name = "../../schema/catalogue/sections.cue"
	file, err := parser.ParseFile(name, nil)
	if err != nil {
		t.Fatal(err)
	}
	var rows []catalogueRow
	for _, field := range fields(t, file.Decls) {
		if label(t, field) != "sections" {
			t.Fatalf("%s: unexpected field %s", name, label(t, field))
		}
		for _, row := range fields(t, field.Value.(*ast.StructLit).Elts) {
			rows = append(rows, readRow(t, row))
		}
	}
	return rows
}

func readRow(t *testing.T, field *ast.Field) catalogueRow {
	t.Helper()
	row := catalogueRow{name: label(t, field), sizes: map[string]float64{}}
	for _, part := range fields(t, field.Value.(*ast.StructLit).Elts) {
		if label(t, part) == "standard" {
			row.source = text(t, part.Value)
			continue
		}
		if row.kind != "" {
			t.Errorf("%s: both %s and %s", row.name, row.kind, label(t, part))
		}
		row.kind = label(t, part)
		for _, size := range fields(t, part.Value.(*ast.StructLit).Elts) {
			if label(t, size) == "make" {
				row.make = text(t, size.Value)
				continue
			}
			metres, err := length(text(t, size.Value))
			if err != nil {
				t.Errorf("%s: %s: %v", row.name, label(t, size), err)
			}
			row.sizes[label(t, size)] = metres
		}
	}
	return row
}

// fields returns the fields among a struct's declarations; anything but a field
// or the package clause is an error.
func fields(t *testing.T, decls []ast.Decl) []*ast.Field {
	t.Helper()
	var list []*ast.Field
	for _, d := range decls {
		switch d := d.(type) {
		case *ast.Package, *ast.CommentGroup:
		case *ast.Field:
			list = append(list, d)
		default:
			t.Fatalf("%v: %T in the catalogue", d.Pos(), d)
		}
	}
	return list
}

func label(t *testing.T, field *ast.Field) string {
	t.Helper()
	name, _, err := ast.LabelName(field.Label)
	if err != nil {
		t.Fatal(err)
	}
	return name
}

func text(t *testing.T, value ast.Expr) string {
	t.Helper()
	lit, ok := value.(*ast.BasicLit)
	if !ok {
		t.Fatalf("%v: not a plain value", value.Pos())
	}
	s, err := literal.Unquote(lit.Value)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var errLength = errors.New(`not a length like "80 mm" or "1/4 in", nor a slope like "8 %"`)

// length reads a length of the catalogue, or a slope.
func length(s string) (float64, error) {
	number, unit, ok := strings.Cut(s, " ")
	scale := map[string]float64{"mm": 1e-3, "in": inch, "%": 0.01}[unit]
	if !ok || scale == 0 {
		return 0, errLength
	}
	above, below, fraction := strings.Cut(number, "/")
	value, err := strconv.ParseFloat(above, 64)
	if err != nil {
		return 0, errLength
	}
	if fraction {
		divisor, err := strconv.ParseFloat(below, 64)
		if err != nil {
			return 0, errLength
		}
		value /= divisor
	}
	return value * scale, nil
}
