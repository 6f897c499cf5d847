package compiler

import (
	"fmt"
	"math"
	"regexp"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A share is one part's give at the tip under a unit force [m/N], by direction.
type share struct {
	name    string
	kind    partKind
	at      spec.Place
	give    matrix
	torsion matrix // of it by twisting, for members
	parts   []int
}

// pieceNumber matches the numbers that a kit gives to the pieces of one thing.
var pieceNumber = regexp.MustCompile(`(_\d+)+$`)

// shareName groups the pieces that a kit makes of one thing.
func shareName(p part) string {
	if p.kind == memberPart || p.kind == footPart {
		if short := pieceNumber.ReplaceAllString(p.name, "_*"); short != p.name {
			return short
		}
	}
	return p.name
}

// tipShares splits the compliance at a cutter's tip in a solved pose by part.
// The shares add up to the whole.
func (d *model) tipShares(s *solved, c *spec.Cutter) ([]share, matrix, error) {
	end, err := toolEndOf(d.m.Spindle, c, d.corner)
	if err != nil {
		return nil, matrix{}, err
	}
	var list []share
	index := map[string]int{}
	twist := d.torsionShares(s)
	for i, c6 := range d.shares(s) {
		if c6 == (six{}) {
			continue
		}
		p := d.parts[i]
		name := shareName(p)
		if p.kind == footPart {
			name = "feet"
		}
		n, ok := index[name]
		if !ok {
			n = len(list)
			index[name] = n
			list = append(list, share{name: name, kind: p.kind, at: p.at})
		}
		list[n].give.add(c6.atTip(end.arm))
		list[n].torsion.add(twist[i].atTip(end.arm))
		list[n].parts = append(list[n].parts, i)
	}
	list = append(list, share{name: "spindle bearings", kind: spindlePart, at: d.m.Spindle.At, give: end.spindle})
	if d.m.Spindle.Holder != nil {
		list = append(list, share{name: "holder", kind: holderPart, at: d.m.Spindle.At, give: end.holder})
	}
	if c != nil {
		list = append(list, share{name: "cutter", kind: cutterPart, at: c.StickOut.At, give: end.cutter})
	}
	var total matrix
	for _, s := range list {
		total.add(s.give)
	}
	return list, total, nil
}

// torsionShares is the part of each member's give that is by twisting.
//
//	c_ij = T_i T_j L / GJ
func (d *model) torsionShares(s *solved) []six {
	out := make([]six, len(d.parts))
	for b, pieces := range s.posed.pieces {
		bar := &d.bars[b]
		if bar.used.GJ <= 0 {
			continue
		}
		for _, piece := range pieces {
			m := s.posed.frame.Members[piece]
			length := r3.Norm(r3.Sub(pointOf(s, m.B.Node, m.B.Arm), pointOf(s, m.A.Node, m.A.Arm)))
			var t [6]float64
			for i := range 6 {
				t[i] = s.solution.MemberEnds(i, piece)[1][3]
			}
			for i := range 6 {
				for k := range 6 {
					out[bar.part][i][k] += t[i] * t[k] * length / bar.used.GJ
				}
			}
		}
	}
	return out
}

func pointOf(s *solved, node int, arm r3.Vec) r3.Vec {
	return r3.Add(s.posed.frame.Nodes[node].Position, arm)
}

// along is a matrix's value along a unit vector.
func (a matrix) along(n [3]float64) float64 {
	u := a.times(n)
	return u[0]*n[0] + u[1]*n[1] + u[2]*n[2]
}

// words says what a part's share means: a beam in torsion, or a part.
func (s share) words(n [3]float64) string {
	if s.kind != memberPart {
		return s.name
	}
	whole, twist := s.give.along(n), s.torsion.along(n)
	switch {
	case twist > 0.6*whole:
		return s.name + " in torsion"
	case twist < 0.25*whole:
		return s.name + " in bending"
	}
	return s.name + " in bending and torsion"
}

// largestPicture is how many parts a bar of the picture names.
const largestPicture = 6

// sharePass says which parts give at the tool.
func sharePass(j *job) error {
	if j.worst == nil {
		return nil
	}
	d := j.model
	name, cutter := d.reference()
	list, total, err := d.tipShares(j.worst, cutter)
	if err != nil {
		return err
	}
	bars := build.Bars{Unit: "%"}
	table := build.Table{Caption: "Share of the give at the tip, worst pose", Columns: []build.Column{{Head: "part"}, {Head: "X, %", Right: true}, {Head: "Y, %", Right: true}, {Head: "Z, %", Right: true}}}
	for i := range 3 {
		n := [3]float64{}
		n[i] = 1
		rank.By(list, func(s share) float64 { return s.give.along(n) })
		row := build.BarRow{Label: fmt.Sprintf("%c", "XYZ"[i]), Total: quantity.Measure(1e-6/total[i][i], "N/µm")}
		rest := 0.0
		for k, s := range list {
			part := math.Round(1e4*s.give.along(n)/total[i][i]) / 100
			if k < largestPicture && part >= 1 {
				row.Parts = append(row.Parts, build.BarPart{Label: s.name, Value: part})
			} else {
				rest += part
			}
			j.b.Figures.Add(build.Figure{ID: "share." + axisWords[i] + "." + spec.IDWord(s.name), Label: "share of " + s.name + " in the give along " + axisWords[i], Value: part, Unit: "%", Detail: part < 1,
				Formula: "strain energy of the part over that of the whole path, under a force at the tip", Source: "derived here",
				Inputs: append(from("tool.stiffness."+axisWords[i]), build.Input{Label: s.name, Value: string(s.kind), At: build.Place(s.at)})})
		}
		if rest > 0.05 {
			row.Parts = append(row.Parts, build.BarPart{Label: "all others", Value: rest, Rest: true})
		}
		bars.Rows = append(bars.Rows, row)
		j.weakPoints(i, n, list, total)
	}
	rank.By(list, func(s share) float64 { return s.give[0][0] + s.give[1][1] + s.give[2][2] })
	for _, s := range list {
		row := []build.Cell{{Text: s.name}}
		for i := range 3 {
			row = append(row, build.Cell{Figure: "share." + axisWords[i] + "." + spec.IDWord(s.name), Plain: true})
		}
		table.Rows = append(table.Rows, row)
	}
	rank.By(j.b.WeakPoints, func(w build.WeakPoint) float64 { return w.Share })
	what := "the nose"
	if cutter != nil {
		what = "the tip of " + name
	}
	j.sheet("shares", "Which part gives",
		build.Text("A force at "+what+" bends the whole path from the cutter to the work. Each part's share of the give is its share of the strain energy; they add up to 100 %. Stiffen the large ones: doing away with a part that holds 5 % gains 5 %. A name that ends in _* stands for all the numbered pieces of that name."+j.chatterMoves()),
		build.Picture{ID: "shares", Title: "Which part gives", Caption: "Share of the give at the tip by part, worst pose (" + d.poseWords(j.worst.pose) + ").", Drawing: bars}, table)
	return nil
}

// chatterMoves says that stiffness is not all where chatter stops a cut.
func (j *job) chatterMoves() string {
	for i := range j.answers {
		if best := j.answers[i].best(); best != nil && best.best.Deepest != nil && best.best.Deepest.Limit == reach.Chatter {
			return " Where chatter stops a cut, a stiffer part moves the frequency at which it sings as well, and with it the speeds that suit: the next moves are solved with that, this sheet is about stiffness alone."
		}
	}
	return ""
}

// leastWeak is the share of the give from which the worst of a machine's own parts is
// worth a name [-].
const leastWeak = 0.05

// weakPoints names the parts that hold most of the give in a direction.
func (j *job) weakPoints(i int, n [3]float64, list []share, total matrix) {
	// The cutter counts beside the machine's own parts: of those the worst is named in
	// any case.
	reference, _ := j.model.reference()
	own, named := 0, 0
	for _, s := range list {
		part := s.give.along(n) / total[i][i]
		if named >= 2 && own > 0 || part < leastWeak || part < 0.15 && (own > 0 || s.kind == cutterPart) {
			break
		}
		named++
		words := s.words(n)
		if s.kind == cutterPart {
			words = "cutter, the " + reference
		} else {
			own++
		}
		direction := string("XYZ"[i])
		j.b.WeakPoints = append(j.b.WeakPoints, build.WeakPoint{Part: words, Direction: direction, Share: part,
			Sentence: fmt.Sprintf("twice as stiff, the tip would be %s stiffer along %s", quantity.Percent(1/(1-part/2)-1), direction),
			Figure:   "share." + axisWords[i] + "." + spec.IDWord(s.name), At: build.Place(s.at)})
	}
}
