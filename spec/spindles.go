package spec

import (
	"fmt"
	"slices"
)

// everySpindle are all spindles of the machine.
func (m *Machine) everySpindle() (list []*Spindle) {
	if len(m.Spindles) == 0 {
		if m.Spindle == nil {
			return nil
		}
		return []*Spindle{m.Spindle}
	}
	for i := range m.Spindles {
		list = append(list, &m.Spindles[i].Item)
	}
	return list
}

// Mounted is the name of the spindle that cuts, of several; empty for the only one.
func (m *Machine) Mounted() string { return m.mounted }

// Mounting returns a machine of its own: this one with another of its spindles cutting. It has that one's cutters, and
// the targets that these may be tried for; the other spindles are masses.
func (m *Machine) Mounting(spindle string) (*Machine, error) {
	out := &Machine{Source: m.Source, Unlikely: m.Unlikely, tree: m.tree, mounted: spindle}
	decode(m.tree, out)
	if list := out.resolve(); len(list) > 0 {
		return nil, fmt.Errorf("%s", list[0].Message)
	}
	return out, nil
}

// SpindlePath is the path of the spindle that cuts, name by name.
func (m *Machine) SpindlePath() []string {
	if m.mounted != "" {
		return []string{"spindles", m.mounted}
	}
	return []string{"spindle"}
}

// Idle are the spindles that do not cut.
func (m *Machine) Idle() (list []*Entry[Spindle]) {
	for i := range m.Spindles {
		if e := &m.Spindles[i]; e.Name != m.mounted {
			list = append(list, e)
		}
	}
	return list
}

// TargetNames are the names of all targets, those of the spindles that do not cut with them.
func (m *Machine) TargetNames() []string {
	if m.targets != nil {
		return m.targets
	}
	return m.Targets.Names()
}

// mount puts one of several spindles in the place of the only one, the first where none is asked for.
func (r *resolver) mount() {
	m := r.m
	if len(m.Spindles) == 0 {
		for _, c := range m.Cutters {
			if s := c.Item.Spindle; s.Text != "" {
				r.say(RuleReference, s.At, "cutter %s is for the spindle %q, and there are no `spindles`; give them by name, or take the line out", c.Name, s.Text)
			}
		}
		return
	}
	if m.Spindle != nil {
		r.say(RuleDuplicate, m.Spindle.At, "there is a `spindle` beside `spindles`; give it a name there")
	}
	if m.mounted == "" {
		m.mounted = m.Spindles[0].Name
	}
	m.Spindle = m.Spindles.Find(m.mounted)
	for _, c := range m.Cutters {
		switch s := c.Item.Spindle; {
		case s.Text == "" && len(m.Spindles) > 1:
			r.say(RuleMissingField, c.At, "cutter %s does not say for which of the spindles it is; give `spindle`", c.Name)
		case s.Text != "" && m.Spindles.Find(s.Text) == nil:
			r.unknown(s, "spindle", m.Spindles.Names())
		}
	}
}

// leaveOut leaves out the cutters of the spindles that do not cut, and the targets that are for these alone.
func (m *Machine) leaveOut() {
	if len(m.Spindles) < 2 {
		return
	}
	m.targets = m.Targets.Names()
	m.Cutters = slices.DeleteFunc(m.Cutters, func(c Entry[Cutter]) bool { return c.Item.Spindle.Text != m.mounted })
	m.Targets = slices.DeleteFunc(m.Targets, func(t Entry[Target]) bool {
		asked := len(t.Item.Cutters) > 0
		return asked && !slices.ContainsFunc(t.Item.Cutters, func(c Text) bool { return m.Cutters.Find(c.Text) != nil })
	})
	for i := range m.Targets {
		t := &m.Targets[i].Item
		t.named = slices.Clone(t.Cutters)
		t.Cutters = slices.DeleteFunc(t.Cutters, func(c Text) bool { return m.Cutters.Find(c.Text) == nil })
	}
}
