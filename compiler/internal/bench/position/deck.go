package main

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/section"
)

// An element is a beam of the solver. It makes a brick of each.
type element struct {
	name, words string
	middle      bool // has a node there
}

var elements = []element{
	{name: "B31", words: "B31, linear (a brick of 8 nodes)"},
	{name: "B32", words: "B32, quadratic (a brick of 20 nodes)", middle: true},
}

const (
	youngs  = 210e9 // of all members [Pa]: their rectangles make up for other materials
	poisson = 0.3
	rigid   = 1e12 // a closed joint [N/m], [N·m/rad]
	pieces  = 4    // elements a member
	stub    = 0.1  // side of the bars that join what moves as one [m]
	stiffer = 1e3  // than the members: Young's modulus of these bars
	same    = 1e-6 // how far apart places are one [m]
	push    = 1e3  // at the spindle nose, along x [N]
)

// rectangle is the solid bar of steel that bends as a section does.
func rectangle(s frame.Section) section.Bar {
	slender := math.Sqrt(s.EIy / s.EIz)
	width := math.Pow(12*s.EIz/youngs/slender, 0.25)
	return section.Bar{Width: width, Height: slender * width}
}

// plain is a frame as both programs can take it: members are solid bars, joints, carriages, drives and feet are closed.
func plain(m frame.Model) (frame.Model, error) {
	out := frame.Model{Nodes: m.Nodes, Links: m.Links}
	for _, b := range m.Members {
		p, err := rectangle(b.Section).Properties(poisson)
		if err != nil {
			return out, err
		}
		const shear = youngs / 2 / (1 + poisson)
		b.Section = frame.Section{EA: youngs * p.Area, EIy: youngs * p.Iy, EIz: youngs * p.Iz, GJ: shear * p.J, GAy: p.Ky * shear * p.Area, GAz: p.Kz * shear * p.Area}
		out.Members = append(out.Members, b)
	}
	for _, s := range m.Springs {
		if !s.Relieves {
			s.K = [6]float64{rigid, rigid, rigid, rigid, rigid, rigid}
			out.Springs = append(out.Springs, s)
		}
	}
	return out, nil
}

// A deck is the solver's input: a plain frame as beam elements. Nodes that move as one are a cluster; the bars between their places are stubs.
type deck struct {
	frame    *frame.Model
	element  element
	cluster  []int // by node of the frame
	places   []r3.Vec
	number   map[string]int // of a cluster's place, from 1
	first    map[int]int    // place of a cluster
	held     strings.Builder
	elements strings.Builder
	count    int // of elements
}

// input is the solver's input for a plain frame that is pushed at a point, and the number of its elements.
func input(m *frame.Model, e element, nose frame.Point) (text string, count int) {
	d := &deck{frame: m, element: e, number: map[string]int{}, first: map[int]int{}}
	for i := range m.Nodes {
		d.cluster = append(d.cluster, i)
	}
	for _, l := range m.Links {
		d.join(l.Master, l.Slave)
	}
	for _, s := range m.Springs {
		d.join(s.A.Node, s.B.Node)
	}
	for i, n := range m.Nodes {
		for k, held := range n.Held {
			if held {
				fmt.Fprintf(&d.held, "%d, %d\n", d.at(frame.At(i)), k+1)
			}
		}
	}
	for _, s := range m.Springs {
		switch frame.Ground {
		case s.A.Node:
			fmt.Fprintf(&d.held, "%d, 1, 6\n", d.at(s.B))
		case s.B.Node:
			fmt.Fprintf(&d.held, "%d, 1, 6\n", d.at(s.A))
		default:
			d.at(s.A)
			d.at(s.B)
		}
	}
	for _, b := range m.Members {
		d.bar(d.at(b.A), d.at(b.B), pieces, "MEMBER", rectangle(b.Section), b.Orient)
	}
	return d.text(d.at(nose)), d.count
}

// join makes one cluster of those of two nodes.
func (d *deck) join(a, b int) {
	if a == frame.Ground || b == frame.Ground {
		return
	}
	from, to := d.cluster[b], d.cluster[a]
	for i, c := range d.cluster {
		if c == from {
			d.cluster[i] = to
		}
	}
}

// at returns the number of a point's place. A new one is joined to the first of its cluster.
func (d *deck) at(p frame.Point) int {
	c, at := d.cluster[p.Node], r3.Add(d.frame.Nodes[p.Node].Position, p.Arm)
	key := fmt.Sprintf("%d %.0f %.0f %.0f", c, at.X/same, at.Y/same, at.Z/same)
	if n, ok := d.number[key]; ok {
		return n
	}
	n := d.place(at)
	d.number[key] = n
	if first, ok := d.first[c]; ok {
		d.bar(first, n, 1, "STUB", section.Bar{Width: stub, Height: stub}, r3.Vec{X: 3, Y: 2, Z: 1}) // any direction that no stub has
	} else {
		d.first[c] = n
	}
	return n
}

func (d *deck) place(at r3.Vec) int {
	d.places = append(d.places, at)
	return len(d.places)
}

// bar writes the elements of a straight bar between two places.
func (d *deck) bar(from, to, pieces int, material string, is section.Bar, orient r3.Vec) {
	start, along := d.places[from-1], r3.Sub(d.places[to-1], d.places[from-1])
	if r3.Norm(along) < same {
		return
	}
	within := func(share float64) int { return d.place(r3.Add(start, r3.Scale(share/float64(pieces), along))) }
	fmt.Fprintf(&d.elements, "*ELEMENT, TYPE=%s, ELSET=BAR%d\n", d.element.name, d.count)
	set := d.count
	for i := range pieces {
		d.count++
		fmt.Fprintf(&d.elements, "%d, %d, ", d.count, from)
		if d.element.middle {
			fmt.Fprintf(&d.elements, "%d, ", within(float64(i)+0.5))
		}
		if from = to; i < pieces-1 {
			from = within(float64(i + 1))
		}
		fmt.Fprintf(&d.elements, "%d\n", from)
	}
	y := r3.Unit(r3.Cross(orient, along))
	fmt.Fprintf(&d.elements, "*BEAM SECTION, ELSET=BAR%d, MATERIAL=%s, SECTION=RECT\n%.9g, %.9g\n%.9g, %.9g, %.9g\n", set, material, is.Width, is.Height, y.X, y.Y, y.Z)
}

// text is the input, with a push at a place.
func (d *deck) text(nose int) string {
	var out strings.Builder
	out.WriteString("*NODE, NSET=ALL\n")
	for i, p := range d.places {
		fmt.Fprintf(&out, "%d, %.9g, %.9g, %.9g\n", i+1, p.X, p.Y, p.Z)
	}
	fmt.Fprintf(&out, "%s*MATERIAL, NAME=MEMBER\n*ELASTIC\n%g, %g\n*MATERIAL, NAME=STUB\n*ELASTIC\n%g, %g\n", &d.elements, youngs, poisson, stiffer*youngs, poisson)
	fmt.Fprintf(&out, "*NSET, NSET=NOSE\n%d\n*BOUNDARY\n%s*STEP\n*STATIC\n*CLOAD\n%d, 1, %g\n*NODE PRINT, NSET=NOSE\nU\n*END STEP\n", nose, &d.held, nose, push)
	return out.String()
}
