package frame

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// Shape returns n stations evenly along a member in a mode, two at least, from
// end A to end B: the static shape between its ends and what its interior
// moves beyond that.
//
// Source: Szabo and Babuska 2011, chapter 2; Friedman and Kosmatka 1993, shape functions.
func (ms *Modes) Shape(mode, member, n int) []Station {
	w, b := &ms.members()[member], &ms.system.beams[member]
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
	inside := ms.within(mode, w.member)
	for m := range w.actions {
		st := &w.actions[m]
		list := make([]float64, 0, mostFunctions)
		for j := range st.ends() {
			number, sign := st.endMotion(j)
			list = append(list, sign*ends[number])
		}
		all[m] = append(list, inside[:st.interior()]...)
		w.functions(m, all[m][st.ends():])
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
	members := ms.members()
	inside := make([][4][]float64, ms.Count()) // by mode, of the last member
	var p polynomials
	var f sample
	for n, at := range places {
		w, axes := &members[at.Member], &ms.system.beams[at.Member].axes
		if n == 0 || at.Member != places[n-1].Member {
			for mode := range inside {
				inside[mode] = ms.coordinates(mode, w)
			}
		}
		p.at(2*at.Share - 1)
		for m := range w.actions {
			st := &w.actions[m]
			if st.motion == torsion { // leaves the axis where it is
				continue
			}
			st.at(&p, &f)
			along := axes[[4]int{axial: 0, bendingY: 1, bendingZ: 2}[st.motion]]
			for mode, moves := range list {
				sum := 0.0
				for j, c := range inside[mode][m] {
					sum += c * f.first[j]
				}
				moves[n] = r3.Add(moves[n], r3.Scale(sum, along))
			}
		}
	}
	return list
}
