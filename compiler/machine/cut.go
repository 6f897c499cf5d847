package machine

import (
	"cmp"
	"fmt"
	"slices"

	"ironbed/compiler/section"
	"ironbed/compiler/solid"
	"ironbed/spec"
)

// A CutBody is the members of a body as they are cut.
type CutBody struct {
	Bars    []int // of the model, by member
	Members []solid.Member
	*solid.Frame
}

// A CutBar is a bar as it is cut in one piece: what a list of cuts has a row of.
type CutBar struct {
	Members []*Bar // in order from one end to the other
	Body    *CutBody
	solid.Bar
	Log *spec.Log // what was read for its cuts, its section and its weight
}

// trims are the words of the spec for how an end is cut.
var trims = map[string]solid.Trim{"through": solid.Through, "butt": solid.Butt, "mitre": solid.Mitre, "as drawn": solid.AsDrawn}

// Cut is the members of each body as they are cut at their ends.
func (d *Model) Cut() ([]CutBody, error) { return d.cuts, d.uncut }

// cutBody cuts the members of a body at their ends. A body that cannot be cut stays as it is drawn, and [Model.Cut] says why.
func (d *Model) cutBody(body int, bars []int) error {
	out := CutBody{Bars: bars}
	areas := map[stock]float64{}
	stocks := map[stock]int{}
	places := map[string]int{} // of a bar among its body's members
	name := d.Spec.Bodies[body].Name
	for k, i := range bars {
		b := &d.Bars[i]
		places[b.Name] = k
		key := stockOf(b.Member)
		if _, known := stocks[key]; !known {
			stocks[key] = len(stocks)
			var err error
			if areas[key], err = d.bareArea(b); err != nil {
				return err
			}
		}
	}
	for _, i := range bars {
		b := &d.Bars[i]
		m := solid.Member{From: b.From, To: b.To, Up: b.Orient, MassPerLength: b.Whole.MassPerLength, Area: areas[stockOf(b.Member)],
			Stock: stocks[stockOf(b.Member)], On: [2]int{-1, -1},
			Nodes: [2]int{d.Node[name+"."+b.Member.From.Text], d.Node[name+"."+b.Member.To.Text]}}
		m.Outline = b.outline()
		for end, e := range [2]*spec.End{b.Member.FromEnd, b.Member.ToEnd} {
			m.Trim[end] = trims[b.Trim(end).Text]
			switch {
			case e == nil || m.Trim[end] != solid.ByRule:
			case e.OnFace != nil:
				if on, ok := places[name+"."+e.OnFace.Member.Text]; ok {
					m.On[end] = on
				}
			case e.Mitre != nil:
				m.Trim[end] = solid.Mitre
			}
		}
		if b.Member.Cell != nil {
			m.Sheet = d.Read.Of(d.Spec.Sections.Find(b.Member.Section.Text).Plate.Thickness)
		}
		out.Members = append(out.Members, m)
	}
	var err error
	if out.Frame, err = solid.Cuts(out.Members); err != nil {
		err = &Refused{Rule: "geometry", At: d.Spec.Bodies[body].At, Message: fmt.Sprintf("body %s: cuts of its members: %v", name, err)}
		d.uncut = cmp.Or(d.uncut, err)
	}
	for k, i := range bars {
		b := &d.Bars[i]
		b.member = k
		if out.Frame != nil {
			b.Solid = out.Solids[k]
			continue
		}
		b.Solid = solid.Solid{Ends: [2]solid.End{{At: b.From, Against: -1}, {At: b.To, Against: -1}}, Centre: b.Length(), Length: b.Length(), Mass: b.Whole.MassPerLength * b.Length()}
	}
	d.cuts = append(d.cuts, out)
	return nil
}

// CutBars are the bars of all bodies as they are cut, in the order of the spec, with true lengths and end angles.
func (d *Model) CutBars() (list []CutBar, err error) {
	bodies, err := d.Cut()
	if err != nil {
		return nil, err
	}
	for i := range bodies {
		body := &bodies[i]
		for _, b := range body.Frame.Bars {
			c := CutBar{Body: body, Bar: b, Log: &spec.Log{}}
			for _, m := range b.Members {
				c.Members = append(c.Members, &d.Bars[body.Bars[m]])
				c.Log.Rest(d.CutLog(body, m))
			}
			list = append(list, c)
		}
	}
	return list, nil
}

// CutLog is what the cuts of a member rest on: where it lies and what it is made of, and the same of those that it is
// cut to.
func (d *Model) CutLog(body *CutBody, member int) *spec.Log {
	log := &spec.Log{}
	over := []int{member}
	for _, e := range body.Solids[member].Ends {
		if e.Against >= 0 && !slices.Contains(over, e.Against) {
			over = append(over, e.Against)
		}
	}
	for _, m := range over {
		b := &d.Bars[body.Bars[m]]
		log.Rest(b.Lies, b.Section.Weighs)
	}
	own := d.Read.Into(log)
	for end := range 2 {
		if word := d.Bars[body.Bars[member]].Trim(end); word.Text != "" {
			own.Word(word)
		}
	}
	return log
}

// Trim is the spec's word for how an end is cut.
func (b *Bar) Trim(end int) spec.Text { return [2]spec.Text{b.Member.FromTrim, b.Member.ToTrim}[end] }

// outline are the outer boundaries of a bar's section about the member's axis, which goes through its centroid.
func (b *Bar) outline() (loops [][]section.Point) {
	regions, err := b.Section.Shape.Outline()
	if err != nil {
		return nil
	}
	for _, r := range regions {
		loop := make([]section.Point, len(r.Outer))
		for i, p := range r.Outer {
			loop[i] = section.Point{Y: p.Y - b.Whole.CentroidY, Z: p.Z - b.Whole.CentroidZ}
		}
		loops = append(loops, loop)
	}
	return loops
}

// bareArea is the area of a bar's section without its fill; of several materials, in terms of the main one [m²].
func (d *Model) bareArea(b *Bar) (float64, error) {
	bare, err := FillOf(b.Section.Stock, nil, d.Read)
	return bare.Loose.EA / b.Section.Material.E, err
}
