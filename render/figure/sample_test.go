package figure

import (
	"fmt"
	"math"

	"ironbed/compiler/build"
)

// An invented mill with a moving portal, drawn from boxes along the axes.
func sampleScene() build.Scene {
	var d build.Scene
	add := func(name, kind string, body int, x, y, z, dx, dy, dz float64) {
		d.Solids = append(d.Solids, build.Solid{Name: name, Kind: kind, Body: body,
			Rings: build.BoxRings([3]float64{x, y, z}, [3][3]float64{{dx / 2}, {0, dy / 2}, {0, 0, dz / 2}})})
	}
	for i, y := range []float64{-0.40, 0.40} {
		side := []string{"near", "far"}[i]
		add(side+" side beam", "member", 0, 0.70, y, 0.60, 1.50, 0.10, 0.15)
		add(side+" upright", "member", 1, 0.62, y, 0.90, 0.15, 0.10, 0.36)
		for k, x := range []float64{0.05, 1.35} {
			end := []string{"back", "front"}[k]
			add(side+" "+end+" leg", "member", 0, x, y, 0.30, 0.10, 0.10, 0.60)
			add(side+" "+end+" foot", "foot", 0, x, y, 0.02, 0.14, 0.14, 0.04)
			add(side+" "+end+" carriage", "carriage", 1, 0.56+0.12*float64(k), y, 0.70, 0.07, 0.07, 0.04)
		}
		add(side+" rail", "rail", 0, 0.70, y, 0.685, 1.40, 0.02, 0.02)
		d.Marks = append(d.Marks, [3]float64{0.70, y / 2, 0.66})
	}
	for _, x := range []float64{0.05, 0.70, 1.35} {
		add(fmt.Sprintf("cross beam at %g", x), "member", 0, x, 0, 0.56, 0.10, 0.80, 0.10)
	}
	add("table", "plate", 0, 0.70, 0, 0.64, 0.90, 0.62, 0.03)
	add("beam", "member", 1, 0.62, 0, 1.08, 0.15, 0.94, 0.20)
	add("saddle", "plate", 2, 0.71, 0.05, 1.08, 0.02, 0.20, 0.26)
	add("ram", "member", 3, 0.75, 0.05, 1.06, 0.06, 0.12, 0.46)
	add("spindle", "spindle", 3, 0.82, 0.05, 0.94, 0.08, 0.08, 0.22)
	add("cutter", "cutter", 3, 0.82, 0.05, 0.80, 0.01, 0.01, 0.06)
	add("beam motor", "mass", 1, 0.62, -0.52, 1.08, 0.09, 0.10, 0.09)
	add("ram motor", "mass", 3, 0.75, 0.05, 1.34, 0.06, 0.06, 0.10)
	d.Labels = append(d.Labels, []build.Label3{
		{At: [3]float64{0.62, 0.30, 1.08}, Text: "gantry beam"}, {At: [3]float64{0.62, -0.4, 0.92}, Text: "near upright"},
		{At: [3]float64{0.62, 0.4, 0.92}, Text: "far upright"}, {At: [3]float64{1.1, -0.4, 0.60}, Text: "side beam, filled"},
		{At: [3]float64{0.82, 0.05, 0.83}, Text: "spindle"}, {At: [3]float64{0.56, -0.4, 0.70}, Text: "carriages at the near foot"},
		{At: [3]float64{0.9, 0, 0.64}, Text: "table"}, {At: [3]float64{0.05, -0.4, 0.3}, Text: "leg"},
		{At: [3]float64{0.75, 0.05, 1.2}, Text: "ram"}, {At: [3]float64{0.71, 0, 1.15}, Text: "saddle"}}...)
	return d
}

// The same machine deflected by a cut: all that the portal carries is pushed along X
// and turned, and the beam is bent as well.
func sampleBent() build.Scene {
	d := sampleScene()
	d.Labels, d.Factor, d.Rest = nil, 500, d.Solids
	d.Solids = nil
	for _, s := range d.Rest {
		rings := s.Rings
		if s.Name == "beam" {
			rings = nil
			for i := range 9 {
				y := -0.47 + 0.94*float64(i)/8
				rings = append(rings, [][3]float64{{0.545, y, 0.98}, {0.695, y, 0.98}, {0.695, y, 1.18}, {0.545, y, 1.18}})
			}
		}
		s.Rings = nil
		for _, ring := range rings {
			var moved [][3]float64
			for _, p := range ring {
				if s.Body > 0 {
					bend := 0.09 * math.Cos(math.Pi*p[1]) * (p[2] - 0.6)
					p[0] += bend + 0.05*(p[2]-0.6)
					p[2] -= bend / 3
				}
				moved = append(moved, p)
			}
			s.Rings = append(s.Rings, moved)
		}
		d.Solids = append(d.Solids, s)
	}
	return d
}

func sampleBars() build.Bars {
	row := func(name, total string, parts ...build.BarPart) build.BarRow {
		return build.BarRow{Label: name, Total: total, Parts: parts}
	}
	return build.Bars{Unit: "%", Rows: []build.BarRow{
		row(
			"X",
			"11.4 N/µm",
			build.BarPart{Label: "gantry beam in torsion", Value: 41.3},
			build.BarPart{Label: "carriages at the near foot", Value: 18.2},
			build.BarPart{
				Label: "spindle bearings",
				Value: 14.6,
			},
			build.BarPart{Label: "cutter", Value: 9.5},
			build.BarPart{Label: "near upright in bending", Value: 7.7},
			build.BarPart{Label: "far upright in bending", Value: 2.1},
			build.BarPart{Label: "all others", Value: 6.6},
		),
		row(
			"Y",
			"19.8 N/µm",
			build.BarPart{Label: "cutter", Value: 36.7},
			build.BarPart{Label: "spindle bearings", Value: 28.8},
			build.BarPart{
				Label: "near upright in bending",
				Value: 12.2,
			},
			build.BarPart{Label: "far upright in bending", Value: 11.9},
			build.BarPart{Label: "side beam", Value: 1.3},
			build.BarPart{Label: "all others", Value: 9.1},
		),
		row(
			"Z",
			"46 N/µm",
			build.BarPart{Label: "gantry beam in bending", Value: 55.6},
			build.BarPart{Label: "carriages at the near foot", Value: 20.4},
			build.BarPart{
				Label: "side beam",
				Value: 13.1,
			},
			build.BarPart{Label: "far upright in bending", Value: 0.4},
			build.BarPart{Label: "all others", Value: 10.5},
		),
	}}
}

func sampleChart() build.Chart {
	whip, allowed, value := build.Curve{Name: "whips"}, build.Curve{Name: "allowed, 0.8 of it"}, build.Curve{Name: "nut's DN", Dashed: true}
	for i := range 61 {
		length := 600 + 15*float64(i)
		n := 2.2e9 / (length * length)
		whip.Points = append(whip.Points, [2]float64{length, n})
		allowed.Points = append(allowed.Points, [2]float64{length, 0.8 * n})
		value.Points = append(value.Points, [2]float64{length, 3125})
	}
	return build.Chart{X: build.AxisSpec{Label: "length between bearings, mm"}, Y: build.AxisSpec{Label: "screw speed, rpm"},
		Curves: []build.Curve{whip, allowed, value}, Markers: []build.Marker{{Label: "this screw at rapid", X: 1180, Y: 1500}}}
}

// A flexibility over frequency, on axes by powers of ten.
func sampleLogChart() build.Chart {
	d := build.Chart{X: build.AxisSpec{Label: "frequency, Hz", Log: true}, Y: build.AxisSpec{Label: "give at the tip, µm/N", Log: true}}
	for k, damping := range []float64{0.02, 0.06} {
		c := build.Curve{Name: []string{"bare", "filled"}[k], Dashed: k == 1}
		for i := range 201 {
			f := 5 * math.Pow(200, float64(i)/200)
			r := f / 64
			c.Points = append(c.Points, [2]float64{f, 0.09 / math.Hypot(1-r*r, 2*damping*r)})
		}
		d.Curves = append(d.Curves, c)
	}
	d.Markers = []build.Marker{{Label: "first mode, 64 Hz", X: 64, Y: 2.25}, {Label: "teeth at 8000 rpm", X: 267, Y: 0.0055}}
	return d
}

// A limit with its range and a cut below it, with places along the axis of which one lies
// beyond its end.
func sampleBandChart() build.Chart {
	d := build.Chart{
		X:        build.AxisSpec{Label: "spindle speed, 1000 rpm", Min: 2, Max: 10},
		Y:        build.AxisSpec{Label: "depth of cut, mm", Max: 10},
		Bands:    []build.Band{{Name: "range of the limit"}},
		Curves:   []build.Curve{{Name: "limit"}},
		Uprights: []build.Uprights{{Name: "tooth passing", At: []float64{4, 8, 12}}},
		Markers:  []build.Marker{{Label: "the cut", X: 6, Y: 1.5, Spread: 1}},
	}
	for i := range 121 {
		x := 1 + float64(i)/10
		y := 4 + math.Abs(math.Sin(2*x))
		d.Curves[0].Points = append(d.Curves[0].Points, [2]float64{x, y})
		d.Bands[0].Low = append(d.Bands[0].Low, [2]float64{x, y - 1.5})
		d.Bands[0].High = append(d.Bands[0].High, [2]float64{x, 4 * y})
	}
	return d
}

func rectangle(y, z, w, h float64) [][2]float64 {
	return [][2]float64{{y - w/2, z - h/2}, {y + w/2, z - h/2}, {y + w/2, z + h/2}, {y - w/2, z + h/2}}
}

func rounded(w, h, r float64) [][2]float64 {
	var list [][2]float64
	for q, c := range [][2]float64{{w/2 - r, h/2 - r}, {r - w/2, h/2 - r}, {r - w/2, r - h/2}, {w/2 - r, r - h/2}} {
		for i := range 9 {
			sin, cos := math.Sincos(math.Pi / 2 * (float64(q) + float64(i)/8))
			list = append(list, [2]float64{c[0] + r*cos, c[1] + r*sin})
		}
	}
	return list
}

func sampleSections() build.Sections {
	loop := func(kind string, points [][2]float64) build.SectionLoop {
		return build.SectionLoop{Kind: kind, Points: points}
	}
	i := [][2]float64{{-0.05, -0.1}, {0.05, -0.1}, {0.05, -0.0915}, {0.0028, -0.0915}, {0.0028, 0.0915}, {0.05, 0.0915}, {0.05, 0.1}, {-0.05, 0.1},
		{-0.05, 0.0915}, {-0.0028, 0.0915}, {-0.0028, -0.0915}, {-0.05, -0.0915}}
	return build.Sections{Items: []build.SectionItem{
		{Name: "cross", Note: "hollow 150 × 100 × 6, bonded fill", Loops: []build.SectionLoop{loop("metal", rounded(0.1, 0.15, 0.012)),
			loop("hole", rounded(0.088, 0.138, 0.007)), loop("fill", rounded(0.088, 0.138, 0.007))}},
		{Name: "side", Note: "IPE 200, pockets filled, bonded with studs", Loops: []build.SectionLoop{loop("metal", i),
			loop("fill", rectangle(-0.0264, 0, 0.0472, 0.183)), loop("fill", rectangle(0.0264, 0, 0.0472, 0.183))},
			Marks: []build.SectionMark{{Text: "7", At: [2]float64{-0.0264, 0}}, {Text: "9", At: [2]float64{0.0264, 0}}}},
		{
			Name:  "leg",
			Note:  "hollow 100 × 100 × 4",
			Loops: []build.SectionLoop{loop("metal", rounded(0.1, 0.1, 0.01)), loop("hole", rounded(0.092, 0.092, 0.006))},
		},
		{Name: "brace", Note: "round bar 30", Loops: []build.SectionLoop{loop("metal", rounded(0.03, 0.03, 0.015))}},
		{Name: "table plate", Note: "flat bar 200 × 20", Loops: []build.SectionLoop{loop("metal", rectangle(0, 0, 0.2, 0.02))}},
	}}
}

func sampleMap() build.Map {
	d := build.Map{X: "x, mm", Y: "y, mm", AtX: []float64{0, 400, 800, 1200, 1600}, AtY: []float64{0, 350, 700}}
	for i := range d.AtY {
		var row []float64
		for k := range d.AtX {
			row = append(row, -12.5*math.Sin(math.Pi*float64(k)/4)+2*float64(i)*math.Sin(math.Pi*float64(k)/4))
		}
		d.Values = append(d.Values, row)
	}
	return d
}

// A side of a bed with a rail's holes on one side, two openings on another, mitred at one end.
func samplePart() build.Part {
	rail := build.PartHoles{Letter: "A", Diameter: 5e-3}
	for i := range 12 {
		rail.At = append(rail.At, [2]float64{0.05 + 0.06*float64(i), 0.01})
	}
	return build.Part{Length: 0.8, Width: "50", Height: "100", Section: sampleSections().Items[0], Views: []build.PartView{
		{Name: "seen from +Z, +Y up", Outline: [][2]float64{{0, -0.025}, {0.8, -0.025}, {0.8, 0.025}, {0, 0.025}}, Holes: []build.PartHoles{rail}},
		{Name: "seen from +Y, +Z up", Outline: [][2]float64{{0, -0.05}, {0.7, -0.05}, {0.8, 0.05}, {0, 0.05}}, Edges: [][2][2]float64{{{0.65, -0.05}, {0.75, 0.05}}}, Angles: [2]string{"", "45°"},
			Stands: []build.PartStand{{Name: "tie", From: 0.3, To: 0.4, Low: -0.03, High: 0.03}, {Name: "brace", From: 0.5, To: 0.6, Low: -0.03, High: 0.03, Hidden: true}},
			Holes:  []build.PartHoles{{Letter: "B", At: [][2]float64{{0.06, 0.02}, {0.7, 0.02}}, Diameter: 0.02, Hidden: true}}}}}
}
