package structure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// largestPicture is how many parts a bar of the picture names.
const largestPicture = 6

// leastListed is the share of the compliance, along some direction, from which a part
// has a row of its own [-].
const leastListed = 0.01

// Shares: which part is the most compliant?
var Shares = sheet.Sheet{Name: "shares", Needs: sheet.ATool, Write: shareSheet}

// shareSheet breaks the compliance at the tool tip down by part.
func shareSheet(book *sheet.Book) error {
	bars := build.Bars{Unit: "%"}
	for i := range machine.AxisWords {
		shareFigures(book, i)
		bars.Rows = append(bars.Rows, shareBar(book, i))
		weakPoints(book, i)
	}
	if err := openTorsion(book); err != nil {
		return err
	}
	rank.By(book.Build.WeakPoints, func(w build.WeakPoint) float64 { return w.Share })
	where := "the spindle nose"
	if name, cutter := book.Model.Reference(); cutter != nil {
		where = "the tip of the " + name
	}
	book.Sheet("shares", "Compliance by part",
		build.Text("A force at "+where+" deflects every part between cutter and workpiece. "+
			"A part's share of the compliance is its share of the strain energy; the shares add up to 100 %. "+
			"Stiffen the largest first: a rigid part in place of one with 5 % lowers the compliance by 5 %. "+
			"A name that ends in _* stands for all numbered pieces of that name."+chatterMoves(book)),
		build.Picture{
			ID:    "shares",
			Title: "Compliance breakdown",
			Caption: "Compliance at the tool tip by part, in the least stiff position (" + book.Model.PoseWords(book.Worst.Pose) + "); " +
				"at the right the stiffness of the whole. The largest part of each bar is framed.",
			Drawing: bars,
		}, shareTable(book))
	return nil
}

// shareTable lists the parts that act together by their sum, and below each sum its
// parts. What is small stands in one row, and so do equal parts.
func shareTable(book *sheet.Book) build.Table {
	table := build.Table{Caption: "Share of the compliance at the tool tip, least stiff position", Columns: []build.Column{
		{Head: "part"},
		{Head: "X, %", Right: true},
		{Head: "Y, %", Right: true},
		{Head: "Z, %", Right: true},
	}}
	var small []machine.Share
	for _, sum := range book.Compliance.Sums.Shares {
		if !listed(book, sum) {
			small = append(small, sum)
			continue
		}
		table.Rows = append(table.Rows, shareRow(build.Bold(sum.Name), sum))
		for _, alike := range partsOf(book, sum) {
			name := "– " + shortName(alike[0])
			for _, part := range alike[1:] {
				name += ", " + shortName(part)
			}
			if len(alike) > 1 {
				name += ": each"
			}
			table.Rows = append(table.Rows, shareRow(name, alike[0]))
		}
	}
	switch len(small) {
	case 0:
	case 1:
		table.Rows = append(table.Rows, shareRow(build.Bold(small[0].Name), small[0]))
	default:
		row := []build.Cell{{Text: fmt.Sprintf("others (%d)", len(small))}}
		for i := range machine.AxisWords {
			all := 0.0
			for _, s := range small {
				all += s.Compliance[i][i] / book.Compliance.Total[i]
			}
			row = append(row, build.Cell{Text: quantity.Number(percentage(all))})
		}
		table.Rows = append(table.Rows, row)
	}
	return table
}

// partsOf are the parts of a sum that have a row, those with equal shares together; none
// where the sum is of one part.
func partsOf(book *sheet.Book, sum machine.Share) (rows [][]machine.Share) {
	for _, part := range book.Compliance.Parts.Shares {
		if part.Group != sum.Name || part.Name == sum.Name || !listed(book, part) {
			continue
		}
		n := slices.IndexFunc(rows, func(alike []machine.Share) bool { return equalShares(book, alike[0], part) })
		if n < 0 {
			rows = append(rows, nil)
			n = len(rows) - 1
		}
		rows[n] = append(rows[n], part)
	}
	return rows
}

// equalShares tells whether two shares print the same.
func equalShares(book *sheet.Book, a, b machine.Share) bool {
	for i := range machine.AxisWords {
		one, _ := book.Build.Figures.Get(shareID(i, a.Name))
		other, _ := book.Build.Figures.Get(shareID(i, b.Name))
		if one.String() != other.String() {
			return false
		}
	}
	return true
}

// shortName is a part's name without that of its group: "left", "beam".
func shortName(s machine.Share) string {
	if _, short, ok := strings.Cut(s.Name, ", "); ok {
		return short
	}
	_, short, _ := strings.Cut(s.Name, ".")
	return short
}

// listed tells whether a share is large enough, along some direction, for a row.
func listed(book *sheet.Book, s machine.Share) bool {
	for i := range machine.AxisWords {
		if s.Compliance[i][i] >= leastListed*book.Compliance.Total[i] {
			return true
		}
	}
	return false
}

// shareRow prints a share along each direction.
func shareRow(name string, s machine.Share) []build.Cell {
	row := []build.Cell{{Text: name}}
	for i := range machine.AxisWords {
		row = append(row, build.Cell{Figure: shareID(i, s.Name), Plain: true})
	}
	return row
}

// shareID is the figure of a part's share along a direction.
func shareID(i int, part string) string {
	return "share." + machine.AxisWords[i] + "." + spec.IDWord(part)
}

// shareFigures adds the share of each part along a direction, and the sums.
func shareFigures(book *sheet.Book, i int) {
	direction := machine.AxisWords[i]
	parts := map[string][]string{} // the figures of the parts that act together
	known := map[string]bool{}
	add := func(s machine.ComplianceShare, formula string, from []string) {
		share := machine.Ranged{Middle: percentage(s.Part.Middle) / 100}
		for _, end := range s.Part.Ends {
			share.Ends = append(share.Ends, percentage(end)/100)
		}
		known[s.Name] = true
		book.Add(sheet.Figure{
			ID:      shareID(i, s.Name),
			Label:   "share of " + s.Name + " in the compliance along " + direction,
			Value:   bounded(share),
			Unit:    "%",
			Formula: formula,
			Source:  "derived here",
			From:    append(from, "tool.stiffness."+direction),
			Log:     spec.Over(s.Log),
			Detail:  s.Part.Middle < leastListed,
		})
	}
	for _, s := range book.Compliance.Parts.Along[i] {
		add(s, "strain energy of the part over that of the whole path, under a force at the tool tip", nil)
		parts[s.Group] = append(parts[s.Group], shareID(i, s.Name))
	}
	for _, s := range book.Compliance.Sums.Along[i] {
		if !known[s.Name] {
			add(s, "sum over the parts that act together", parts[s.Name])
		}
	}
}

// shareBar draws the shares along a direction, with parts that act together added up.
func shareBar(book *sheet.Book, i int) build.BarRow {
	row := build.BarRow{Label: string("XYZ"[i]), Total: quantity.Print(1/book.Compliance.Total[i], "N/µm")}
	rest := 0.0
	for k, s := range book.Compliance.Sums.Along[i] {
		part := percentage(s.Part.Middle)
		if k < largestPicture && part >= 1 {
			row.Parts = append(row.Parts, build.BarPart{Label: s.Name, Value: part})
		} else {
			rest += part
		}
	}
	if rest > 0.05 {
		row.Parts = append(row.Parts, build.BarPart{Label: "all others", Value: rest, Rest: true})
	}
	return row
}

// How much stiffer the tool tip must get with held ends for a note, and for a caution [-].
const (
	leastHeld   = 0.01
	cautionHeld = 0.10
)

// openTorsion finds open members whose twist counts at the tool and hangs on what their ends are welded to: the model lets them warp.
func openTorsion(book *sheet.Book) error {
	for _, s := range book.Compliance.Parts.Shares {
		if s.Kind != machine.MemberPart {
			continue
		}
		most, log := 1.0, &spec.Log{}
		for i := range book.Model.Bars {
			b := &book.Model.Bars[i]
			if !slices.Contains(s.Parts, b.Part) {
				continue
			}
			times, err := b.HeldTorsion()
			if err != nil {
				return err
			}
			most = math.Max(most, times)
			log.Rest(b.Stiff, b.Line)
		}
		stiffer, twist, along := 0.0, 0.0, 0
		for i := range machine.AxisWords {
			by := s.Torsion[i][i] / book.Compliance.Total[i]
			if gain := 1/(1-by*(1-1/most)) - 1; rank.More(gain, stiffer) {
				stiffer, twist, along = gain, by, i
			}
		}
		if stiffer < leastHeld {
			continue
		}
		id := "torsion.held." + spec.IDWord(s.Name)
		book.Add(sheet.Figure{
			ID: id, Label: "torsion stiffness of " + s.Name + " with its ends held against warping, over that with free ends", Value: sheet.Plain(most),
			Formula: "the larger of r(L), from end to end, and r(L/2)/(1 + π² EIw/(GJ L²)), in the middle; r(L) = 1/(1 − 2 tanh(x/2)/x), x = L √(GJ/EIw), L how far the section goes on",
			Source:  "Timoshenko and Gere 1961", Log: log,
		})
		severity := build.SeverityNote
		if stiffer > cautionHeld {
			severity = build.SeverityCaution
		}
		axis := strings.ToUpper(machine.AxisWords[along])
		book.Find(build.Finding{Rule: "open-torsion", Severity: severity, At: build.Place(s.At), Figures: []string{id, shareID(along, s.Name)},
			Message: fmt.Sprintf("%s is an open section that twists with its ends free to warp in the model, %s of the compliance along %s; with both ends held, by walls that make a box of "+
				"them or by a thick plate across, it is up to %s times as stiff in torsion and the tool tip up to %s stiffer along %s; a hollow section does not depend on it",
				s.Name, quantity.Percent(twist), axis, quantity.Number(most), quantity.Percent(stiffer), axis)})
	}
	return nil
}

// percentage is a share in per cent, rounded to three digits and no finer than a
// hundredth: the rest of a share is noise.
func percentage(share float64) float64 {
	places := 100.0
	if math.Abs(share) >= 0.1 {
		places = 10
	}
	return quantity.Round(100*share*places) / places
}

// chatterMoves says that stiffness is not all where chatter stops a cut.
func chatterMoves(book *sheet.Book) string {
	for i := range book.Cuts.List {
		if best := book.Cuts.List[i].Best(); best != nil && best.Best.Deepest != nil && best.Best.Deepest.Limit == reach.Chatter {
			return " Where chatter limits a cut, a stiffer part also moves the chatter frequency and the stable speeds: " +
				"the recommended changes are solved with that, this sheet is static stiffness alone."
		}
	}
	return ""
}

// leastWeak is the share of the compliance from which the most compliant of a machine's
// own parts is worth a name [-].
const leastWeak = 0.05

// weakPoints names the parts with the largest shares of the compliance in a direction.
func weakPoints(book *sheet.Book, i int) {
	// The cutter counts beside the machine's own parts: of those the most compliant is
	// named in any case.
	reference, _ := book.Model.Reference()
	own, named := 0, 0
	var n [3]float64
	n[i] = 1
	for _, s := range book.Compliance.Sums.Along[i] {
		part := s.Part.Middle
		if named >= 2 && own > 0 || part < leastWeak || part < 0.15 && (own > 0 || s.Kind == machine.CutterPart) {
			break
		}
		named++
		words := s.Words(n)
		if s.Kind == machine.CutterPart {
			words = "cutter, the " + reference
		} else {
			own++
		}
		book.Build.WeakPoints = append(book.Build.WeakPoints, build.WeakPoint{
			Part:      words,
			Direction: string("XYZ"[i]),
			Share:     part,
			Sentence:  fmt.Sprintf("twice as stiff: tool tip %s stiffer", quantity.Percent(1/(1-part/2)-1)),
			Figure:    shareID(i, s.Name),
			At:        build.Place(s.At),
		})
	}
}
