package chatter

import (
	"math"
	"slices"

	"ironbed/compiler/domain"
)

// A Plane is the receptance of the tip against the workpiece across the cutter's axis, and the direction in which the cut feeds there.
// Planes of one receptance share it, which is made ready once for all of them.
type Plane struct {
	Frequency []float64       // rising [Hz]
	G         [][4]complex128 // by frequency: xx, xy, yx, yy, y to the left of x [m/N]
	Feed      float64         // direction of feed, from x towards y [rad]
}

// ask asks for a plane that can be computed with.
func (p *Plane) ask(g *domain.Guard) {
	g.Demand(len(p.Frequency) > 1 && len(p.G) == len(p.Frequency), "number of frequencies", float64(len(p.Frequency)), "two or more, each with its receptance")
	for i, f := range p.Frequency {
		g.Positive("frequency", f)
		g.Demand(i == 0 || f > p.Frequency[i-1], "frequency", f, "above the one before")
	}
	for i := range p.G {
		for _, v := range p.G[i] {
			g.Finite("receptance", real(v))
			g.Finite("receptance", imag(v))
		}
	}
	g.Finite("direction of feed", p.Feed)
}

// same reports whether another plane has this one's receptance.
func (p *Plane) same(other *Plane) bool {
	n, m := len(p.G), len(p.Frequency)
	return n > 0 && m > 0 && n == len(other.G) && m == len(other.Frequency) && &p.G[0] == &other.G[0] && &p.Frequency[0] == &other.Frequency[0]
}

// askAll asks for planes, each receptance once.
func askAll(g *domain.Guard, planes []Plane) {
	for i := range planes {
		if i == 0 || !planes[i].same(&planes[i-1]) {
			planes[i].ask(g)
		} else {
			g.Finite("direction of feed", planes[i].Feed)
		}
	}
}

// A feed turns between the coordinates of a receptance, x and y, and those of a cut, along the feed and to the left of it.
//
//	G' = R G Rᵀ,  R = (cos φ, sin φ; −sin φ, cos φ)
//	G' = G0 + cos 2φ G1 + sin 2φ G2
//	G0 = (m, w; −w, m),  G1 = (u, v; v, −u),  G2 = (v, −u; −u, −v)
//	m = (xx + yy)/2,  w = (xy − yx)/2,  u = (xx − yy)/2,  v = (xy + yx)/2
type feed struct{ cos, sin float64 } // of 2φ

func feedAt(direction float64) feed {
	sin, cos := math.Sincos(2 * direction)
	return feed{cos, sin}
}

// real turns real numbers of the receptance's coordinates into the cut's.
func (f feed) real(g [4]float64) [4]float64 {
	m, w, u, v := (g[0]+g[3])/2, (g[1]-g[2])/2, (g[0]-g[3])/2, (g[1]+g[2])/2
	along, across := f.cos*u+f.sin*v, f.cos*v-f.sin*u
	return [4]float64{m + along, across + w, across - w, m - along}
}

// complex turns complex ones.
func (f feed) complex(g *[4]complex128) {
	var re, im [4]float64
	for k, v := range g {
		re[k], im[k] = real(v), imag(v)
	}
	re, im = f.real(re), f.real(im)
	for k := range g {
		g[k] = complex(re[k], im[k])
	}
}

// split is a receptance's part that is the same in all directions, and those that go with cos 2φ and with sin 2φ.
func split(g [4]complex128) [3][4]complex128 {
	m, w, u, v := half(g[0]+g[3]), half(g[1]-g[2]), half(g[0]-g[3]), half(g[1]+g[2])
	return [3][4]complex128{{m, w, -w, m}, {u, v, v, -u}, {v, -u, -u, -v}}
}

// mix puts the three parts of a number together.
func (f feed) mix(even, along, across float64) float64 { return even + f.cos*along + f.sin*across }

// back is the feed by which the cut's coordinates turn into the receptance's.
func (f feed) back() feed { return feed{f.cos, -f.sin} }

// ready makes planes ready, each receptance once.
func ready(planes []Plane) (list []*response) {
	for i := range planes {
		p := &planes[i]
		var shared *curves
		if k := slices.IndexFunc(planes[:i], func(other Plane) bool { return p.same(&other) }); k >= 0 {
			shared = list[k].curves
		} else {
			shared = newCurves(p)
		}
		list = append(list, shared.fed(i, p.Feed))
	}
	return list
}
