package frame

import (
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r3"
)

// Shape returns n stations evenly along a member in a mode, two at least, from
// end A to end B: the static shape between its ends and what its interior
// moves beyond that.
//
// Source: Szabo and Babuska 2011, chapter 2; Friedman and Kosmatka 1993, shape functions.
func (ms *Modes) Shape(mode, member, n int) []Station {
	w, b := &ms.members[member], &ms.system.beams[member]
	start := ms.system.model.position(ms.system.model.Members[member].A)
	coordinates := ms.coordinates(mode, w)
	n = max(n, 2)
	stations := make([]Station, n)
	var p polynomials
	var f sample
	for i := range stations {
		xi := float64(i) / float64(n-1)
		p.at(2*xi - 1)
		var fields [4][2]float64 // by action
		for m := range w.actions {
			st := &w.actions[m]
			st.at(&p, &f)
			for j, c := range coordinates[m] {
				fields[m][0] += c * f.first[j]
				if m > int(torsion) {
					fields[m][1] += c * f.second[j]
				}
			}
		}
		stations[i] = Station{
			Position:     r3.Add(start, r3.Scale(xi*b.length, b.axes[0])),
			Displacement: compose([3]float64{fields[axial][0], fields[bendingY][0], fields[bendingZ][0]}, b.axes),
			Rotation:     compose([3]float64{fields[torsion][0], -fields[bendingZ][1], fields[bendingY][1]}, b.axes),
		}
	}
	return stations
}

// coordinates returns by action how much of each of its functions is in a mode.
func (ms *Modes) coordinates(mode int, w *massive) (all [4][]float64) {
	ends := w.local(ms.u[mode])
	inside := ms.within(mode, w)
	for m := range w.actions {
		st := &w.actions[m]
		list := make([]float64, 0, mostFunctions)
		for j := range st.ends() {
			number, sign := st.endMotion(j)
			list = append(list, sign*ends[number])
		}
		all[m] = append(list, inside[:st.interior()]...)
		inside = inside[st.interior():]
	}
	return all
}

// A Place is a place on the axis of a member.
type Place struct {
	Member int
	Share  float64 // from end A to end B [-]
}

// Motions returns by mode how places on members move, in global axes [m]: what
// [Modes.Shape] has there, for many modes at once.
//
// Source: Szabo and Babuska 2011, chapter 2; Friedman and Kosmatka 1993, shape functions.
func (ms *Modes) Motions(places []Place) [][]r3.Vec {
	list := make([][]r3.Vec, ms.Count())
	for mode := range list {
		list[mode] = make([]r3.Vec, len(places))
	}
	for n, at := range places {
		w := &ms.members[at.Member]
		rows := ms.rows(w, at.Share)
		for mode, moves := range list {
			var u [3]float64
			for k := range u {
				for end, node := range w.ends {
					if node != Ground {
						u[k] += floats.Dot(rows[k][6*end:6*end+6], ms.u[mode][node][:])
					}
				}
				u[k] += floats.Dot(rows[k][12:], ms.within(mode, w))
			}
			moves[n] = r3.Vec{X: u[0], Y: u[1], Z: u[2]}
		}
	}
	return list
}

// rows returns how a place on a member's axis moves along x, y and z with the
// motions of the member's root nodes, and with those of its interior.
func (ms *Modes) rows(w *massive, share float64) (rows [3][]float64) {
	b := &ms.system.beams[w.member]
	for k := range rows {
		rows[k] = make([]float64, 12+w.interior)
	}
	var p polynomials
	var f sample
	p.at(2*share - 1)
	inside := 12
	for m := range w.actions {
		st := &w.actions[m]
		if st.motion == torsion { // leaves the axis where it is
			inside += st.interior()
			continue
		}
		st.at(&p, &f)
		along := b.axes[[4]int{axial: 0, bendingY: 1, bendingZ: 2}[st.motion]]
		way := [3]float64{along.X, along.Y, along.Z}
		for j := range st.ends() {
			number, sign := st.endMotion(j)
			end, local := number/6, number%6
			for k := range rows {
				floats.AddScaled(rows[k][6*end:6*end+6], sign*f.first[j]*way[k], w.carried[end][local][:])
			}
		}
		for j := range st.interior() {
			for k := range rows {
				rows[k][inside] += f.first[st.ends()+j] * way[k]
			}
			inside++
		}
	}
	return rows
}
