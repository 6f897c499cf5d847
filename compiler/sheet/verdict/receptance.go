package verdict

import (
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// fluteLength is the deepest that the flutes of a target's best cut reach [m].
func fluteLength(a *cut.Answer) float64 { return a.Best().Input.Cutter.FluteLength }

// stableToFlutes tells whether no limit of chatter is as low as the flutes are long, with
// every uncertain value at its worse end too.
func stableToFlutes(a *cut.Answer, of func(*cut.Stability) float64) bool {
	return min(of(&a.Stability), of(&a.StabilityEnds[0])) >= fluteLength(a)
}

// stableWords say what limits a target's best cut by chatter and what to do about it, or up
// to which depth nothing does.
func stableWords(book *sheet.Book, a *cut.Answer) (list build.List) {
	depth := quantity.Print(fluteLength(a), "mm")
	name := sentenceCase(a.Entry.Name)
	switch {
	case stableToFlutes(a, func(s *cut.Stability) float64 { return s.Any.Depth }):
		curve := book.Cuts.Spindle
		return build.List{fmt.Sprintf("%s: stable to the flute's length, %s, up to %s in this model.",
			name, depth, quantity.Print(curve[len(curve)-1].Speed, "rpm"))}
	case stableToFlutes(a, func(s *cut.Stability) float64 { return s.At.Depth }):
		list = build.List{fmt.Sprintf("%s: stable to the flute's length, %s, within ± %s of its speed in this model.",
			name, depth, quantity.Percent(machine.SpeedDoubt))}
	}
	if a.Stability.Largest != nil {
		list = append(list, fmt.Sprintf("%s: %s.", name, book.ModeWords(a.Stability.Largest, a.Stability.Hz)))
	}
	return list
}

// harmonicsDrawn is up to which harmonic of the tooth-passing frequency a picture shows.
const harmonicsDrawn = 5

// sameCutter are the targets whose best cut is with a target's cutter, itself among them.
func sameCutter(book *sheet.Book, a *cut.Answer) (list []*cut.Answer) {
	for i := range book.Cuts.List {
		if b := &book.Cuts.List[i]; b.Point() != nil && b.Best().Cutter == a.Best().Cutter {
			list = append(list, b)
		}
	}
	return list
}

// receptancePicture draws how far the tip of a target's best cutter moves across the tool
// per force, over the frequency: the whole, and its parts apart. A cutter has one picture,
// at its first target.
func receptancePicture(book *sheet.Book, a *cut.Answer) (build.Picture, bool, error) {
	alike := sameCutter(book, a)
	if !book.Reports || alike[0] != a {
		return build.Picture{}, false, nil
	}
	cutter := a.Best().Cutter
	vibration := &book.Vibrations[0]
	if m := a.Stability.Largest; m != nil {
		vibration = m.In
	}
	curves, err := book.Model.TipCurves(vibration, book.Spec.Cutters.Find(cutter))
	if err != nil {
		return build.Picture{}, false, &machine.Refused{Rule: "chatter", At: a.Entry.At, Message: err.Error()}
	}
	frame := build.Curve{Name: "frame alone", Points: receptanceLine(curves.Frequency, curves.Frame)}
	tool := build.Curve{Name: "spindle, holder, cutter alone", Dashed: true, Points: receptanceLine(curves.Frequency, curves.Tool)}
	whole := build.Curve{Name: "all together", Points: receptanceLine(curves.Frequency, curves.Whole)}
	teeth := build.Uprights{Name: "tooth passing, " + quantity.Measure(a.ToothPassing.Hz, "Hz") + ", harmonics"}
	for k := 1.0; k <= harmonicsDrawn && k*a.ToothPassing.Hz <= machine.HighestChatter; k++ {
		teeth.At = append(teeth.At, k*a.ToothPassing.Hz)
	}
	chart := build.Chart{
		X:        build.AxisSpec{Label: "frequency, Hz", Min: curves.Frequency[0], Max: machine.HighestChatter, Log: true},
		Y:        receptanceAxis(whole.Points, tool.Points),
		Curves:   []build.Curve{whole, frame, tool},
		Uprights: []build.Uprights{teeth},
	}
	words := fmt.Sprintf("Motion of the tip across the tool per force, in the most compliant direction, along %s. Tooth passing of %s, at %s.",
		machine.DirectionWords(machine.XYZ(curves.Along)), a.Entry.Name, quantity.Print(a.Point().Cut.Speed, "rpm"))
	if hz := a.Stability.Hz; hz > 0 {
		chart.Markers = []build.Marker{{Label: quantity.Measure(hz, "Hz"), X: hz, Y: at(whole.Points, hz)}}
		words += fmt.Sprintf(" Marked: where a deeper cut chatters (%s).", book.LargestName(a.Stability.Largest))
	}
	var others []string
	for _, b := range alike[1:] {
		others = append(others, b.Entry.Name+" "+quantity.Measure(b.ToothPassing.Hz, "Hz"))
	}
	if len(others) > 0 {
		words += " Tooth passing of other cuts with it: " + strings.Join(others, ", ") + "."
	}
	return build.Picture{
		ID:      "receptance-" + spec.IDWord(cutter),
		Title:   "Receptance at the tool tip: " + cutter,
		Half:    true,
		Drawing: chart,
		Caption: words,
	}, true, nil
}

// receptanceLine is a receptance [m/N] over its frequencies, in µm/N, without the points
// that a line through the others passes.
func receptanceLine(frequency, receptance []float64) (points [][2]float64) {
	for i, f := range frequency {
		points = append(points, [2]float64{f, receptance[i] * 1e6})
	}
	return thinned(points)
}

// thinned is a curve on two logarithmic axes without the points that lie on straight lines
// between others, to within less than can be seen.
func thinned(points [][2]float64) [][2]float64 {
	const seen = 0.01 // of itself
	if len(points) < 3 {
		return points
	}
	first, last := points[0], points[len(points)-1]
	most, where := 0.0, 0
	for i, p := range points[1 : len(points)-1] {
		t := math.Log(p[0]/first[0]) / math.Log(last[0]/first[0])
		line := math.Log(first[1]) + t*math.Log(last[1]/first[1])
		if off := math.Abs(math.Log(p[1]) - line); off > most {
			most, where = off, i+1
		}
	}
	if most <= seen {
		return [][2]float64{first, last}
	}
	left := thinned(points[:where+1])
	return append(left[:len(left)-1:len(left)-1], thinned(points[where:])...)
}

// receptanceAxis is the axis of a receptance: room for words above its highest peak, and
// three decades below it, more where what the tool does alone lies lower.
func receptanceAxis(whole, tool [][2]float64) build.AxisSpec {
	most, least := 0.0, math.Inf(1)
	for _, p := range whole {
		most, least = math.Max(most, p[1]), math.Min(least, p[1])
	}
	low := math.Min(most/1000, tool[0][1]/10)
	return build.AxisSpec{Label: "receptance at the tip, µm/N", Min: math.Max(least/2, low), Max: 4 * most, Log: true}
}

// at is a curve at a place, by straight lines.
func at(points [][2]float64, x float64) float64 {
	for i := 1; i < len(points); i++ {
		if a, b := points[i-1], points[i]; x <= b[0] {
			return a[1] + (b[1]-a[1])*(x-a[0])/(b[0]-a[0])
		}
	}
	return points[len(points)-1][1]
}
