package figure

import (
	"math"

	"gonum.org/v1/plot/vg"

	"ironbed/compiler/build"
	"ironbed/spec/quantity"
)

// Measures of the sections in a picture of the full width. A narrower picture has them
// smaller, and so as many sections in a row: with fewer it would become higher.
const (
	largestSection = vg.Length(90) // the largest side of the largest section
	cellWidth      = vg.Length(66) // the least width of a section with its words
	cellGap        = vg.Length(14)
)

// layoutSections lays out sections to one scale, in rows, with their words
// below and a scale bar.
func layoutSections(s *sheet, d build.Sections) {
	largest := 0.0
	frames := make([][4]float64, len(d.Items))
	for i, item := range d.Items {
		f := sectionFrame(item)
		frames[i] = f
		largest = math.Max(largest, math.Max(f[2]-f[0], f[3]-f[1]))
	}
	if largest == 0 {
		layoutNothing(s, "no sections")
		return
	}
	part := s.width / FullWidth
	gap := cellGap * part
	scale := float64(min(largestSection*part, s.width)) / largest
	widths := make([]vg.Length, len(d.Items))
	for i, f := range frames {
		widths[i] = max(cellWidth*part, vg.Length((f[2]-f[0])*scale))
	}
	y := vg.Length(0)
	for _, row := range sectionRows(widths, gap, s.width) {
		used, high := gap*vg.Length(row[1]-row[0]-1), vg.Length(0)
		for k := row[0]; k < row[1]; k++ {
			used += widths[k]
			high = max(high, vg.Length((frames[k][3]-frames[k][1])*scale))
		}
		slack := max(0, s.width-used) / vg.Length(row[1]-row[0])
		x, words := vg.Length(0), vg.Length(0)
		for k := row[0]; k < row[1]; k++ {
			w := widths[k] + slack
			s.section(d.Items[k], frames[k], scale, x+w/2, y-high)
			words = max(words, s.sectionWords(d.Items[k], x+w/2, y-high-7, w))
			x += w + gap
		}
		y -= high + 7 + words + 12
	}
	y -= s.scaleBar(scale, y)
	s.height = -y
}

// sectionRows divides sections into rows, from and up to which one each: no more rows than
// needed, and of as equal a number as their widths allow.
func sectionRows(widths []vg.Length, gap, width vg.Length) [][2]int {
	divide := func(most int) (rows [][2]int) {
		used := vg.Length(0)
		for i, w := range widths {
			n := len(rows) - 1
			if n < 0 || rows[n][1]-rows[n][0] == most || used+gap+w > width {
				rows, used = append(rows, [2]int{i, i + 1}), w
				continue
			}
			rows[n][1], used = i+1, used+gap+w
		}
		return rows
	}
	most := len(widths)
	rows := divide(most)
	for most > 1 {
		most--
		fewer := divide(most)
		if len(fewer) > len(rows) {
			break
		}
		rows = fewer
	}
	return rows
}

// sectionFrame returns the least and greatest y and z of a section: y0, z0, y1, z1.
func sectionFrame(item build.SectionItem) [4]float64 {
	f := [4]float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, l := range item.Loops {
		for _, p := range l.Points {
			if finite(p[0], p[1]) {
				f[0], f[2] = math.Min(f[0], p[0]), math.Max(f[2], p[0])
				f[1], f[3] = math.Min(f[1], p[1]), math.Max(f[3], p[1])
			}
		}
	}
	if f[0] > f[2] {
		return [4]float64{}
	}
	return f
}

// section draws a section standing on a base line.
func (s *sheet) section(item build.SectionItem, f [4]float64, scale float64, middle, base vg.Length) {
	at := func(p [2]float64) vg.Point {
		return vg.Point{X: middle + vg.Length((p[0]-(f[0]+f[2])/2)*scale), Y: base + vg.Length((p[1]-f[1])*scale)}
	}
	for _, kind := range []string{"metal", "hole", "fill"} {
		for _, l := range item.Loops {
			if l.Kind != kind {
				continue
			}
			var points []vg.Point
			for _, p := range l.Points {
				if finite(p[0], p[1]) {
					points = append(points, at(p))
				}
			}
			switch kind {
			case "metal":
				s.area(metal, points...)
			case "hole":
				s.area(paper, points...)
			case "fill":
				s.area(filler, points...)
				s.hatch(hatching{angles: []float64{math.Pi / 4}, spacing: 4.5, width: hairline, dash: []vg.Length{3, 2}}, grain, points)
			}
			s.outline(edge, hairline, points...)
		}
	}
	for _, m := range item.Marks {
		if finite(m.At[0], m.At[1]) {
			word, p := set(m.Text, bold(labelSize), s.width), at(m.At)
			s.text(word, vg.Point{X: p.X, Y: p.Y + word.height/2}, center, ink)
		}
	}
}

// sectionWords writes a section's name and note below it and returns their
// height.
func (s *sheet) sectionWords(item build.SectionItem, middle, top, width vg.Length) vg.Length {
	name := set(item.Name, bold(labelSize), width)
	s.text(name, vg.Point{X: middle, Y: top}, center, ink)
	note := set(item.Note, regular(smallSize), width)
	s.text(note, vg.Point{X: middle, Y: top - name.height - 1}, center, muted)
	return name.height + 1 + note.height
}

// scaleBar draws a bar of a round length and returns its height.
func (s *sheet) scaleBar(scale float64, top vg.Length) vg.Length {
	mm := roundBelow(50 / (scale * 1e-3))
	w := vg.Length(mm * 1e-3 * scale)
	y := top - 4
	s.line(ink, thin, nil, vg.Point{X: 0, Y: y}, vg.Point{X: w, Y: y})
	for _, x := range []vg.Length{0, w} {
		s.line(ink, thin, nil, vg.Point{X: x, Y: y - 2.5}, vg.Point{X: x, Y: y + 2.5})
	}
	b := set(quantity.Measure(mm, "mm"), regular(smallSize), s.width)
	s.text(b, vg.Point{X: w + 6, Y: y + b.height/2}, left, ink)
	return b.height + 6
}
