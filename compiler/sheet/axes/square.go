package axes

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/guide"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

const (
	// skew is by how much the two sides are set apart to see what it does [m].
	skew = 0.1e-3
	// usualLoop is a position loop's gain that stands for one that is not known
	// [1/s], and loopsApart the difference between two servos [-]; common practice.
	usualLoop, loopsApart = 30.0, 0.05
	// trialShaft is the shaft that is tried across where the spec has none: as thick
	// as a fortieth of its length [-]; common practice.
	trialShaft = 1.0 / 40
)

// Square: does it stay square?
var Square = sheet.Sheet{Name: "square", Needs: sheet.ATool, Write: squareSheet}

// squareSheet says how an axis on two drives stays square.
func squareSheet(book *sheet.Book) error {
	var blocks []build.Block
	for i := range book.Spec.Axes {
		a := &book.Spec.Axes[i]
		if len(a.Item.Drives) != 2 {
			continue
		}
		list, err := racking(book, i)
		if err != nil {
			return &machine.Refused{Rule: "racking", At: a.At, Message: fmt.Sprintf("axis %s: %v", a.Name, err)}
		}
		blocks = append(blocks, list...)
		if a.Item.CrossShaft == nil {
			blocks = append(blocks, build.Text(commissioning(a)))
		}
	}
	if len(blocks) > 0 {
		book.Sheet("square", "Keeping it square", append([]build.Block{
			build.Text("A cut near one end of a crossbeam turns it. What holds it square is the drives on both sides, and the carriages by their distance along the rail. The beam is taken as stiff here; what it bends is in the frame's own numbers.")}, blocks...)...)
	}
	return nil
}

// square computes how one axis on two drives racks.
func racking(book *sheet.Book, axis int) ([]build.Block, error) {
	a := &book.Spec.Axes[axis]
	l, ok := book.Model.LayoutOf(axis, book.Poses[len(book.Poses)/2])
	if !ok {
		book.NotComputed("racking of axis "+a.Name, "two rails that face one way, with two carriages on each")
		return nil, nil
	}
	var sides [2]*sheet.Drive
	n := 0
	for _, v := range book.Drives {
		if v.Axis == axis && n < 2 {
			sides[n] = v
			n++
		}
	}
	var across [2]float64
	for k, v := range sides {
		nodes, _ := v.Entry.Item.Ends()
		at := r3.Sub(book.Model.Nodes[book.Model.Node[nodes[0].Text]], l.Centre)
		across[k] = r3.Dot(l.Axes[1], at)
	}
	apart := math.Abs(across[0] - across[1])
	if apart < 1e-3 {
		return nil, nil
	}
	rail := book.Spec.Rails.Find(a.Item.Guides[0].Item.Rail.Text)
	radial, lateral, err := machine.SeatStiffness(book.Read(), rail)
	if err != nil {
		return nil, err
	}
	held, err := (guide.Table{Spread: l.Spread, Pitch: l.Pitch}).Stiffness(radial, lateral)
	if err != nil {
		return nil, err
	}
	force := book.Cuts.Demand.Lateral
	place := math.Copysign(math.Max(0, 2*(sides[0].In.CutShare-0.5)), across[0]) * apart / 2
	left := guide.Side{Across: across[0], Stiffness: sides[0].Out.Stiffness}
	right := guide.Side{Across: across[1], Stiffness: sides[1].Out.Stiffness}
	if a.Item.CrossShaft != nil {
		right.Stiffness = left.Stiffness // its own has the shaft's twist in it
	}
	shaft := shaftAcross(book, axis, apart)
	lead := sides[0].Lead(book.Read())
	far, err := guide.ShaftedSide(right.Stiffness, shaft, lead/(2*math.Pi))
	if err != nil {
		return nil, err
	}
	ways := []struct {
		key, name string
		gantry    guide.Gantry
	}{
		{"one", "one drive, at " + sides[0].Entry.Name, guide.Gantry{Drives: []guide.Side{left}, Yaw: held.Yaw}},
		{"coupled", "two drives and a shaft across from one motor", guide.Gantry{Drives: []guide.Side{left, {Across: right.Across, Stiffness: far}}, Yaw: held.Yaw}},
		{"two", "two drives with a motor each", guide.Gantry{Drives: []guide.Side{left, right}, Yaw: held.Yaw}},
	}
	id := "axis." + a.Name + ".racking."
	inputs := []build.Input{{Figure: sides[0].ID + "stiffness"}, sheet.In("lateral stiffness of a carriage", rail.Lateral)}
	add := func(what, label string, v float64, unit, formula string) build.Cell {
		return build.Cell{Figure: book.Old(build.Figure{ID: id + what, Label: label + ", axis " + a.Name, Value: v, Unit: unit, Formula: formula, Source: "derived here", Inputs: inputs}), Plain: true}
	}
	table := build.Table{Caption: fmt.Sprintf("Racking of axis %s under %s, %s off its middle", a.Name, quantity.Print(force, "N"), quantity.Print(math.Abs(place), "mm")), Columns: []build.Column{{Head: "driven by"},
		{Head: "the ends run apart, µm", Right: true}, {Head: "angle, µrad", Right: true}, {Head: "side load of a carriage, N", Right: true}}}
	for _, w := range ways {
		// The worse of the two ends: one drive racks most under a cut at the far one.
		var r guide.Racked
		for _, end := range []float64{-place, place} {
			at, err := w.gantry.Under(force, end)
			if err != nil {
				return nil, err
			}
			if math.Abs(at.Angle) > math.Abs(r.Angle) {
				r = at
			}
		}
		side, err := r.SideLoad(l.Pitch)
		if err != nil {
			return nil, err
		}
		table.Rows = append(table.Rows, []build.Cell{{Text: w.name},
			add(w.key+".apart", "how far the two ends run apart, "+w.name, math.Abs(r.Angle)*l.Spread, "µm", "φ a, a the spread of the rails"),
			add(w.key+".angle", "racking angle, "+w.name, math.Abs(r.Angle)*1e6, "", "φ of a stiff beam on its drives and carriages"),
			add(w.key+".side", "side load of a carriage by racking, "+w.name, side, "N", "F = |M|/2b, b the pitch of the carriages")})
	}
	two := ways[2].gantry
	two.Drives = append([]guide.Side{}, two.Drives...)
	two.Drives[0].Offset = skew
	skewed, err := two.Under(0, 0)
	if err != nil {
		return nil, err
	}
	skewSide, err := skewed.SideLoad(l.Pitch)
	if err != nil {
		return nil, err
	}
	gain := book.Gains[axis]
	if gain == 0 {
		gain = usualLoop
	}
	lag, err := guide.FollowingDifference(book.Read().Of(a.Item.Rapid), gain*(1+loopsApart), gain)
	if err != nil {
		return nil, err
	}
	add("skew_side", "side load of a carriage for 0.1 mm by which the sides are set apart", skewSide, "N", "the drives pull the axis askew against its carriages")
	add("skew_drive", "force of the drives against each other for 0.1 mm", math.Abs(skewed.Forces[0]), "N", "balance of the two drives and the carriages")
	stepped := false
	for i := range a.Item.Drives {
		m := a.Item.Drives[i].Item.Motor
		stepped = stepped || m != nil && m.Stepper != nil
	}
	homing := build.List{
		fmt.Sprintf("**Homing.** Every 0.1 mm by which the two sides are homed askew costs %s of side load in each carriage, and the two drives push against each other with %s. Home each side to its own switch, square the axis with a measured diagonal, and note the offset.", quantity.Print(skewSide, "N"), quantity.Print(math.Abs(skewed.Forces[0]), "N")),
	}
	if stepped {
		return []build.Block{table, append(homing, "**Steps lost.** A stepper that loses steps on one side racks the axis and says nothing. Home both sides anew after every stop that was not planned, and check the diagonal.")}, nil
	}
	book.Old(build.Figure{ID: id + "following_apart", Label: "by how much two servos run apart at rapid, 5 % apart in gain, axis " + a.Name, Value: math.Abs(lag), Unit: "mm", Formula: "e = v (1/Kv1 − 1/Kv2)", Source: "derived here",
		Inputs: []build.Input{sheet.In("rapid wanted", a.Item.Rapid), {Label: "gain", Value: quantity.Number(gain) + " 1/s"}}})
	words := append(homing,
		fmt.Sprintf("**Following.** Two servos whose gains are 5 %% apart run %s apart at the rapid feed (gain %s 1/s): that is %s of side load. Give both the same gain and the same feedforward.", quantity.Print(math.Abs(lag), "mm"), quantity.Number(gain), quantity.Print(math.Abs(lag)/skew*skewSide, "N")))
	return []build.Block{table, words}, nil
}

// shaftAcross is how stiffly a shaft across turns: the one of the spec, or one that
// stands for it [N·m/rad].
func shaftAcross(book *sheet.Book, axis int, apart float64) float64 {
	s := book.Spec.Axes[axis].Item.CrossShaft
	diameter, length := trialShaft*apart, apart
	if s != nil {
		diameter, length = book.Read().Of(s.Diameter), book.Read().Of(s.Length)
	}
	const shearModulus = 80e9 // of steel
	twist := shearModulus * math.Pi * math.Pow(diameter, 4) / 32 / length
	if s != nil && book.Read().Of(s.Couplings) > 0 {
		return machine.InSeries(twist, book.Read().Of(s.Couplings))
	}
	return twist / 2 // couplings as soft as the shaft
}

// commissioning is how an axis on two motors is first moved.
func commissioning(a *spec.Entry[spec.Axis]) string {
	for i := range a.Item.Drives {
		if m := a.Item.Drives[i].Item.Motor; m != nil && m.Stepper != nil {
			return fmt.Sprintf("**Before the two sides of axis %s are coupled:** uncouple one of them, or lift the axis off it. Jog each motor alone at crawl, and mark which way its side runs: both must run the same way for the same command. A stepper has no counts and no trip: one that runs the wrong way twists the gantry until it loses steps (common practice). Only then couple them, and jog a few millimetres at crawl with a hand on the stop. Keep clear of the beam, and have the drives' maker's manual at hand.", a.Name)
		}
	}
	return fmt.Sprintf("**Before the two sides of axis %s are coupled:** uncouple one of them, or lift the axis off it. Set the following-error trip of both drives tight, a tenth of a millimetre or two. Jog each motor alone at crawl, and mark which way its side runs: both must run the same way for the same command, and their counts with it. Only then couple them, jog a few millimetres at crawl with a hand on the stop, and let the trip prove that it trips: hold one side back with a block of wood at crawl. A second motor that runs the wrong way wrecks a gantry in half a second at rapid, and trips harmlessly at crawl (common practice). Keep clear of the beam, and have the drives' maker's manual at hand.", a.Name)
}
