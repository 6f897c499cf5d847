package spec

import (
	"slices"

	"ironbed/spec/quantity"
)

// With returns a machine of its own with something changed: it is read from the
// same spec anew, with the changes made to this one before.
func (m *Machine) With(change func(*Machine)) *Machine {
	c := &Machine{Source: m.Source, tree: m.tree, changes: append(slices.Clone(m.changes), change)}
	decode(m.tree, c)
	c.assumeAll()
	for _, apply := range c.changes {
		apply(c)
	}
	return c
}

// AddCutter adds a cutter, which takes what it leaves out from the usual rules.
func (m *Machine) AddCutter(name string, c Cutter) {
	m.Cutters = append(m.Cutters[:len(m.Cutters):len(m.Cutters)], Entry[Cutter]{Name: name, Item: c})
	m.assumeCutter(&m.Cutters[len(m.Cutters)-1])
}

// SetRailStock makes a kind of rail another one of the catalogue. What the spec
// itself gives for it stays.
func (m *Machine) SetRailStock(rail, stock string) {
	for i := range m.Rails {
		e := &m.Rails[i]
		if e.Name != rail {
			continue
		}
		e.Item.Stock.Text = stock
		for _, v := range []*Value{&e.Item.Radial, &e.Item.Lateral, &e.Item.Dynamic, &e.Item.Static, &e.Item.CarriageMass, &e.Item.RailMass, &e.Item.Size} {
			if !v.Given {
				*v = Value{}
			}
		}
		m.assumeRail(e)
	}
}

// SetScrewDiameter makes a screw another diameter. The root diameter follows
// where the spec leaves it out, and in proportion where it gives it.
func (m *Machine) SetScrewDiameter(axis, drive, text string) {
	screw := m.Axes.Find(axis).Drives.Find(drive).Screw
	q, err := quantity.ParseAs(text, quantity.Length)
	if err != nil {
		panic(err) // the compiler's own
	}
	k := q.Value / screw.Diameter.Value
	screw.Diameter.Quantity, screw.Diameter.Text = q, text
	for _, p := range []*float64{&screw.Root.Value, &screw.Root.Low, &screw.Root.High} {
		*p *= k
	}
}

// SetFill fills every member of a section that has no fill, with a mix of the
// catalogue.
func (m *Machine) SetFill(section, mix, bond, place string) {
	name := section + "_fill"
	m.Fills = append(m.Fills[:len(m.Fills):len(m.Fills)], Entry[Fill]{Name: name, Item: Fill{Mix: Text{Text: mix}, Bond: Text{Text: bond}, Place: Text{Text: place}}})
	m.assumeFill(&m.Fills[len(m.Fills)-1])
	for i := range m.Bodies {
		for k := range m.Bodies[i].Item.Members {
			if e := &m.Bodies[i].Item.Members[k].Item; e.Section.Text == section && e.Fill.Text == "" {
				e.Fill.Text = name
			}
		}
	}
}
