package verdict

import (
	"ironbed/compiler/cut"
	"ironbed/compiler/sheet"
	"ironbed/spec"
)

// A targetBook adds the figures of a target's best cut.
type targetBook struct {
	*sheet.Book
	answer *cut.Answer
	id     string
	log    *spec.Log // what the search rests on; its depth stands for it
}

func targetBookOf(book *sheet.Book, a *cut.Answer) targetBook {
	return targetBook{book, a, targetID(a.Entry), spec.Over(a.Best().Log)}
}

// add adds a number of the best cut with what it is at both ends of the uncertainty. The
// figure's id and those that it comes from go without that of the target.
func (t targetBook) add(of func(*cut.Taken) float64, f sheet.Figure) string {
	middle, ends := t.answer.Over(of)
	f.Value = sheet.Between(middle, ends...)
	return t.put(f)
}

// put adds a figure whose id, and those that it comes from, go without that of the
// target.
func (t targetBook) put(f sheet.Figure) string {
	f.ID = t.id + f.ID
	f.Label += ", target " + t.answer.Entry.Name
	for i := range f.From {
		f.From[i] = t.id + f.From[i]
	}
	return t.Add(f)
}

// byEdge returns the formula for the cutter's edge: at a right angle, leaning all along as
// of a face mill, or rounded.
func (t targetBook) byEdge(right, leaning, rounded string) string {
	switch c := &t.answer.Best().Input.Cutter; {
	case c.Corner > 0:
		return rounded
	case c.EdgeAngle != 0:
		return leaning
	}
	return right
}

// cutFigures adds the numbers of the best cut.
func cutFigures(book *sheet.Book, a *cut.Answer) {
	t := targetBookOf(book, a)
	t.setting()
	t.chip()
	t.loads()
}

// setting adds how the cut is set. The search finds all of it at once: its depth
// stands for what the search was made with.
func (t targetBook) setting() {
	depth, ends := t.answer.Depths()
	t.put(sheet.Figure{
		ID:    "depth",
		Label: "depth of cut",
		Value: sheet.Between(depth, ends[:]...),
		Unit:  "mm",
		Formula: t.byEdge("least depth over all limits, each load in proportion to the depth",
			"least depth over all limits, each load in proportion to the depth",
			"least depth over all limits, each load summed over the height of the rounded edge"),
		Source: "derived here",
		Log:    t.answer.Best().Log,
		Stands: true,
		Notes:  []string{"the bounds take every uncertain value at its worse end, and at its better end; 0 where the cut is not possible there"},
	})
	t.add(func(c *cut.Taken) float64 { return c.Point.Cut.Width }, sheet.Figure{
		ID:      "width",
		Label:   "width of cut",
		Unit:    "mm",
		Formula: "searched",
		Source:  "derived here",
		Log:     t.log,
	})
	t.add(func(c *cut.Taken) float64 { return c.Point.Cut.Speed }, sheet.Figure{
		ID:    "speed",
		Label: "spindle speed",
		Unit:  "rpm",
		Formula: t.byEdge("n = v / (π D), searched within the material's cutting speeds", "n = v / (π D), searched within the material's cutting speeds",
			"n = v / (π Deff), Deff the largest diameter that cuts at the depth, searched within the material's cutting speeds"),
		Source: "derived here",
		Log:    t.log,
	})
	t.add(func(c *cut.Taken) float64 { return c.Point.Feed }, sheet.Figure{
		ID:      "feed",
		Label:   "feed",
		Unit:    "mm/min",
		Formula: "vf = fz z n",
		Source:  "derived here",
		From:    []string{"speed", "feed_per_tooth"},
	})
	t.add(func(c *cut.Taken) float64 { return c.Point.Cut.FeedPerTooth }, sheet.Figure{
		ID:    "feed_per_tooth",
		Label: "feed per tooth",
		Unit:  "mm",
		Formula: t.byEdge("searched within the material's feeds per tooth, raised where the cut is narrow",
			"searched within the material's feeds per tooth, raised where the cut is narrow and by 1/sin κ, κ the cutting edge angle",
			"searched within the material's feeds per tooth, raised where the cut is narrow and by 1/sin κ, κ the cutting edge angle at the depth"),
		Source: "Altintas 2012",
		Log:    t.log,
	})
}

// chip adds the chip of the foremost tooth.
func (t targetBook) chip() {
	t.add(func(c *cut.Taken) float64 { return c.Chip }, sheet.Figure{
		ID:    "chip",
		Label: "greatest chip thickness of the foremost tooth",
		Unit:  "mm",
		Formula: t.byEdge(
			"h = fz sin φ + e sin(π/z), no more than z fz; sin φ = 1, in a narrow cut 2 √(w(1 − w)), w the width over the diameter",
			"h = (fz sin φ + e sin(π/z)) sin κ, no more than z fz sin κ; sin φ = 1, in a narrow cut 2 √(w(1 − w)), "+
				"w the width over the diameter; κ the cutting edge angle",
			"h = (fz sin φ + e sin(π/z)) sin κ, no more than z fz sin κ; sin φ = 1, in a narrow cut 2 √(w(1 − w)), "+
				"w the width over the diameter; κ the cutting edge angle at the depth"),
		Source: "Altintas 2012; derived here",
		From:   []string{"feed_per_tooth", "width"},
	})
	t.add(func(c *cut.Taken) float64 { return c.SpecificForce }, sheet.Figure{
		ID:      "specific_force",
		Label:   "specific cutting force at that chip",
		Unit:    "N/mm2",
		Formula: "kc = kc1.1 h^-mc, h in mm, constant below the least chip",
		Source:  "Kienzle 1957",
		From:    []string{"chip"},
	})
	t.add(func(c *cut.Taken) float64 { return c.TeethFactor }, sheet.Figure{
		ID:    "teeth_factor",
		Label: "force of all teeth in the cut over that of the foremost",
		Formula: t.byEdge("largest vector sum over a turn, over the force of one tooth; 1 where one tooth cuts at a time",
			"largest vector sum over a turn, the normal force turned by 90° − κ, over the force of one tooth",
			"largest vector sum over a turn and over the height, the normal force turned by 90° − κ, over the force of one tooth with the chip at the depth"),
		Source: "Altintas 2012",
		From:   []string{"width"},
	})
}

// loads adds the loads of the cut on the machine.
func (t targetBook) loads() {
	t.add(deflectionUsed, sheet.Figure{
		ID:      "deflection_used",
		Label:   "deflection of the tool tip over what is allowed in roughing",
		Unit:    "%",
		Formula: "|C F| over the larger of the accuracy and half of the finish allowance, in the worst direction of feed",
		Source:  "derived here",
		From:    []string{"force", "thrust"},
		Log:     t.log,
	})
	t.add(func(c *cut.Taken) float64 { return c.Point.PeakLateral }, sheet.Figure{
		ID:    "force",
		Label: "peak resultant force across the cutter",
		Unit:  "N",
		Formula: t.byEdge("kc h ap √(1 + rn²) times the teeth factor, rn the normal over the tangential force",
			"kc h ap/sin κ √(1 + rn²) times the teeth factor, rn the normal over the tangential force",
			"kc h ap/sin κ √(1 + rn²) times the teeth factor, rn the normal over the tangential force, κ at the depth"),
		Source: "Kienzle 1957; Altintas 2012",
		From:   []string{"depth", "chip", "specific_force", "teeth_factor"},
	})
	t.add(func(c *cut.Taken) float64 { return c.Point.PeakAxial }, sheet.Figure{
		ID:    "thrust",
		Label: "peak axial force on the cutter",
		Unit:  "N",
		Formula: t.byEdge("ra kc h ap over the teeth in the cut, tangential",
			"|rn cos κ − ra sin κ| kc h ap/sin κ over the teeth in the cut",
			"|∫ (rn cos κ − ra sin κ) kc h dz/sin κ| over the teeth in the cut, largest of all depths up to it"),
		Source: "Kienzle 1957; Altintas 2012",
		From:   []string{"depth", "chip", "specific_force"},
	})
	t.add(func(c *cut.Taken) float64 { return c.Point.Torque }, sheet.Figure{
		ID:    "torque",
		Label: "mean torque",
		Unit:  "N·m",
		Formula: t.byEdge("(z/2π)(D/2) ap ∫ kc(h) h dφ", "(z/2π)(D/2) (ap/sin κ) ∫ kc(h) h dφ",
			"(z/2π) ∫∫ R kc(h) h dφ dz/sin κ, R the radius at the height z"),
		Source: "Kienzle 1957; Altintas 2012",
		From:   []string{"depth", "feed_per_tooth"},
	})
	t.add(func(c *cut.Taken) float64 { return c.Point.Power }, sheet.Figure{
		ID:      "power",
		Label:   "mean power at the cutter",
		Unit:    "W",
		Formula: "P = 2π n T",
		Source:  "Altintas 2012",
		From:    []string{"torque", "speed"},
	})
	t.add(func(c *cut.Taken) float64 { return c.Point.Deflection }, sheet.Figure{
		ID:      "deflection",
		Label:   "deflection of the tool tip in the worst direction of feed",
		Unit:    "µm",
		Formula: "max over the directions of feed of |C F|",
		Source:  "derived here",
		From:    []string{"force", "thrust"},
		Log:     t.Model.ToolLog(t.Spec.Cutters.Find(t.answer.Best().Cutter)),
	})
	t.add(func(c *cut.Taken) float64 { return c.Point.RemovalRate }, sheet.Figure{
		ID:      "removal_rate",
		Label:   "removal rate",
		Unit:    "cm³/min",
		Formula: t.byEdge("Q = ap ae vf", "Q = ap ae vf", "Q = A vf, A the area of the cut perpendicular to the feed"),
		Source:  "Altintas 2012",
		From:    []string{"depth", "width", "feed"},
	})
}
