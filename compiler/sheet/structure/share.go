package structure

import (
	"fmt"

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

// Shares: which part gives most?
var Shares = sheet.Sheet{Name: "shares", Needs: sheet.ATool, Write: shareSheet}

// shareSheet says which parts give at the tool.
func shareSheet(book *sheet.Book) error {
	bars := build.Bars{Unit: "%"}
	for i := range book.Giving.Along {
		bars.Rows = append(bars.Rows, shareFigures(book, i))
		weakPoints(book, i)
	}
	table := build.Table{Caption: "Share of the give at the tip, worst pose", Columns: []build.Column{
		{Head: "part"},
		{Head: "X, %", Right: true},
		{Head: "Y, %", Right: true},
		{Head: "Z, %", Right: true},
	}}
	for _, s := range book.Giving.Shares {
		row := []build.Cell{{Text: s.Name}}
		for i := range machine.AxisWords {
			row = append(row, build.Cell{Figure: shareID(i, s.Name), Plain: true})
		}
		table.Rows = append(table.Rows, row)
	}
	rank.By(book.Build.WeakPoints, func(w build.WeakPoint) float64 { return w.Share })
	what := "the nose"
	if name, cutter := book.Model.Reference(); cutter != nil {
		what = "the tip of " + name
	}
	book.Sheet("shares", "Which part gives",
		build.Text("A force at "+what+" bends the whole path from the cutter to the work. "+
			"Each part's share of the give is its share of the strain energy; they add up to 100 %. "+
			"Stiffen the large ones: doing away with a part that holds 5 % gains 5 %. "+
			"A name that ends in _* stands for all the numbered pieces of that name."+chatterMoves(book)),
		build.Picture{
			ID:    "shares",
			Title: "Compliance breakdown",
			Caption: "Compliance at the tool tip by part, in the least stiff position (" + book.Model.PoseWords(book.Worst.Pose) + "); " +
				"at the right the stiffness of the whole. The largest part of each bar is framed.",
			Drawing: bars,
		}, table)
	return nil
}

// shareID is the figure of a part's share along a direction.
func shareID(i int, part string) string {
	return "share." + machine.AxisWords[i] + "." + spec.IDWord(part)
}

// shareFigures adds what each part holds of the give along a direction, and returns
// the bar that draws them.
func shareFigures(book *sheet.Book, i int) build.BarRow {
	row := build.BarRow{Label: string("XYZ"[i]), Total: quantity.Print(1/book.Giving.Total[i], "N/µm")}
	rest := 0.0
	for k, s := range book.Giving.Along[i] {
		part := hundredths(100 * s.Part.Middle)
		if k < largestPicture && part >= 1 {
			row.Parts = append(row.Parts, build.BarPart{Label: s.Name, Value: part})
		} else {
			rest += part
		}
		share := machine.Ranged{Middle: part / 100}
		for _, end := range s.Part.Ends {
			share.Ends = append(share.Ends, hundredths(100*end)/100)
		}
		book.Add(sheet.Figure{
			ID:      shareID(i, s.Name),
			Label:   "share of " + s.Name + " in the give along " + machine.AxisWords[i],
			Value:   bounded(share),
			Unit:    "%",
			Formula: "strain energy of the part over that of the whole path, under a force at the tip",
			Source:  "derived here",
			From:    []string{"tool.stiffness." + machine.AxisWords[i]},
			Log:     spec.Over(s.Log),
			Detail:  part < 1,
		})
	}
	if rest > 0.05 {
		row.Parts = append(row.Parts, build.BarPart{Label: "all others", Value: rest, Rest: true})
	}
	return row
}

// hundredths rounds to two places: the rest of a share is noise.
func hundredths(v float64) float64 { return quantity.Round(100*v) / 100 }

// chatterMoves says that stiffness is not all where chatter stops a cut.
func chatterMoves(book *sheet.Book) string {
	for i := range book.Cuts.List {
		if best := book.Cuts.List[i].Best(); best != nil && best.Best.Deepest != nil && best.Best.Deepest.Limit == reach.Chatter {
			return " Where chatter stops a cut, a stiffer part moves the frequency at which it sings as well, and with it the speeds that suit: " +
				"the next moves are solved with that, this sheet is about stiffness alone."
		}
	}
	return ""
}

// leastWeak is the share of the give from which the worst of a machine's own parts is
// worth a name [-].
const leastWeak = 0.05

// weakPoints names the parts that hold most of the give in a direction.
func weakPoints(book *sheet.Book, i int) {
	// The cutter counts beside the machine's own parts: of those the worst is named in
	// any case.
	reference, _ := book.Model.Reference()
	own, named := 0, 0
	var n [3]float64
	n[i] = 1
	for _, s := range book.Giving.Along[i] {
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
		direction := string("XYZ"[i])
		book.Build.WeakPoints = append(book.Build.WeakPoints, build.WeakPoint{
			Part:      words,
			Direction: direction,
			Share:     part,
			Sentence:  fmt.Sprintf("twice as stiff, the tip would be %s stiffer along %s", quantity.Percent(1/(1-part/2)-1), direction),
			Figure:    shareID(i, s.Name),
			At:        build.Place(s.At),
		})
	}
}
