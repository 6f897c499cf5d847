package frame

import "gonum.org/v1/gonum/spatial/r3"

// A carrier is what carries a point in the end: a root node (one that follows
// no other), and the arm from there.
type carrier struct {
	root int // Ground for the floor
	arm  r3.Vec
}

// carriers follows the links from every node to its root.
func (m *Model) carriers() ([]carrier, InputErrors) {
	var found InputErrors
	through := make([]int, len(m.Nodes)) // the link each node follows, -1 for none
	for i := range through {
		through[i] = -1
	}
	for i, l := range m.Links {
		switch {
		case through[l.Slave] >= 0:
			found = append(found, &InputError{KindLink, i, TwoMasters})
		case m.Nodes[l.Slave].Held != [6]bool{}:
			found = append(found, &InputError{KindLink, i, SlaveHeld})
		default:
			through[l.Slave] = i
		}
	}
	all := make([]carrier, len(m.Nodes))
	for i, n := range m.Nodes {
		root := i
		for steps := 0; through[root] >= 0; steps++ {
			if root = m.Links[through[root]].Master; root == i || steps > len(m.Links) {
				break
			}
		}
		if through[root] >= 0 {
			// A node on the circle comes back to itself; one that merely
			// hangs from a circle is no fault of its own link.
			if root == i {
				found = append(found, &InputError{KindLink, through[i], LinkCircle})
			}
			continue
		}
		all[i] = carrier{root, r3.Sub(n.Position, m.Nodes[root].Position)}
	}
	return all, found
}

// carrier returns what carries a point.
func (s *System) carrier(p Point) carrier {
	if p.Node == Ground {
		return carrier{Ground, p.Arm}
	}
	c := s.carriers[p.Node]
	return carrier{c.root, r3.Add(c.arm, p.Arm)}
}

// position returns where a point is.
func (m *Model) position(p Point) r3.Vec {
	if p.Node == Ground {
		return p.Arm
	}
	return r3.Add(m.Nodes[p.Node].Position, p.Arm)
}

// carry returns the motion of a point from that of the node it hangs on:
// u + θ × arm, and the same θ.
func carry(u [6]float64, arm r3.Vec) [6]float64 {
	t := r3.Add(translation(u), r3.Cross(rotation(u), arm))
	return [6]float64{t.X, t.Y, t.Z, u[3], u[4], u[5]}
}

// addForce adds a force at the end of an arm to the forces of its node.
func addForce(sum *[6]float64, f [6]float64, arm r3.Vec) {
	m := r3.Add(rotation(f), r3.Cross(arm, translation(f)))
	for k, v := range [6]float64{f[0], f[1], f[2], m.X, m.Y, m.Z} {
		sum[k] += v
	}
}

// translation is the first three of a motion (the force of a force).
func translation(u [6]float64) r3.Vec { return r3.Vec{X: u[0], Y: u[1], Z: u[2]} }

// rotation is the last three of a motion (the moment of a force).
func rotation(u [6]float64) r3.Vec { return r3.Vec{X: u[3], Y: u[4], Z: u[5]} }

// components returns a vector's components along three axes.
func components(v r3.Vec, axes [3]r3.Vec) [3]float64 {
	return [3]float64{r3.Dot(v, axes[0]), r3.Dot(v, axes[1]), r3.Dot(v, axes[2])}
}

// compose is the vector with the components along three axes.
func compose(c [3]float64, axes [3]r3.Vec) r3.Vec {
	return r3.Add(r3.Scale(c[0], axes[0]), r3.Add(r3.Scale(c[1], axes[1]), r3.Scale(c[2], axes[2])))
}
