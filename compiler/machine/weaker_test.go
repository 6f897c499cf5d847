package machine

import (
	"fmt"
	"math"
	"sort"
	"testing"

	"ironbed/compiler/chatter"
	"ironbed/compiler/internal/sample"
	"ironbed/spec"
)

// slotAndSide are two cuts: a full slot, and the side at a quarter of the diameter.
var slotAndSide = []chatter.Cut{
	{Teeth: 2, Exit: math.Pi, Tangential: 1e9, Radial: 0.3},
	{Teeth: 2, Entry: 2 * math.Pi / 3, Exit: math.Pi, Tangential: 1e9, Radial: 0.3},
}

// TestWeakerEverywhere: a machine with every spring of frame, spindle, holder, collet and
// cutter weaker by one factor, and the masses and loss factors as they are, has its depths
// stable at any speed lower by that factor, for each of the examples' cutters: every mode
// keeps its shape and its loss factor, and the frequencies go with the factor's
// root. What is tied to a frequency goes with it: the mean over a band, the reduction of the
// frame, and how far up chatter is looked for.
//
// For factors that differ from spring to spring no such thing holds, see
// [TestWeakerMayBeMoreStable].
func TestWeakerEverywhere(t *testing.T) {
	const factor = 0.6
	for _, name := range sample.Some(sample.Names, 2) {
		s, err := Analyse(sample.Example(t, name))
		if err != nil {
			t.Fatal(err)
		}
		d := s.Model
		as, weak := weaker(t, d, s.Worst.Pose, 1), weaker(t, d, s.Worst.Pose, factor)
		for i := range d.Spec.Cutters {
			c := &d.Spec.Cutters[i]
			if c.Item.Kind.Text == "drill" {
				continue
			}
			for _, cut := range slotAndSide {
				was := stableUpTo(t, d, as, &c.Item, 1, cut)
				is := stableUpTo(t, d, weak, &c.Item, factor, cut)
				near(t, fmt.Sprintf("%s, %s from %.0f°: limit of the weaker machine", name, c.Name, cut.Entry*180/math.Pi), is, factor*was, 0.01)
			}
		}
	}
}

// weaker is how a machine in a pose vibrates with every spring of its frame weaker by a
// factor.
func weaker(t *testing.T, d *Model, pose Pose, factor float64) *Vibration {
	t.Helper()
	posed, err := d.At(pose)
	if err != nil {
		t.Fatal(err)
	}
	for i := range posed.Frame.Springs {
		for k := range posed.Frame.Springs[i].K {
			posed.Frame.Springs[i].K[k] *= factor
		}
	}
	for i := range posed.Frame.Members {
		s := &posed.Frame.Members[i].Section
		for _, k := range []*float64{&s.EA, &s.EIy, &s.EIz, &s.GJ, &s.GAy, &s.GAz} {
			*k *= factor
		}
	}
	solved, err := d.SolvePosed(pose, posed, NoseOnly)
	if err != nil {
		t.Fatal(err)
	}
	swept, err := d.Sweep([]*Solved{solved})
	if err != nil {
		t.Fatal(err)
	}
	work, err := d.WorkPoints(posed, d.NosePoint())
	if err != nil {
		t.Fatal(err)
	}
	response, err := solved.System.ResponseModes(ResponseVectors, responseTop*math.Sqrt(factor), d.loads(work, NoseOnly)...)
	if err != nil {
		t.Fatal(err)
	}
	v, err := d.withLosses(solved, swept[0].Modes, response)
	if err != nil {
		t.Fatal(err)
	}
	v.Nose = v.Nose.Averaged(func(frequency float64) float64 { return averaged(frequency / math.Sqrt(factor)) })
	return &v
}

// stableUpTo is the depth stable at any speed of a cutter with every spring from the shaft
// to its tip weaker by a factor, up to the frequency to which that takes the highest one.
func stableUpTo(t *testing.T, d *Model, v *Vibration, c *spec.Cutter, factor float64, cut chatter.Cut) float64 {
	t.Helper()
	end, err := endOf(d.Spec, c, endReaders{d.Read, d.Read, d.Read})
	if err != nil {
		t.Fatal(err)
	}
	for i := range end.chain.Segments {
		s := &end.chain.Segments[i]
		s.Section.Bending *= factor
		s.Section.Shear *= factor
		if j := s.Joint; j != nil {
			j.Lateral *= factor
			j.Rotational *= factor
		}
	}
	for i := range end.chain.Bearings {
		end.chain.Bearings[i].Lateral *= factor
		end.chain.Bearings[i].Rotational *= factor
	}
	grid, err := v.tip(end, Pointing(d.Spec.Spindle))
	if err != nil {
		t.Fatal(err)
	}
	least := math.Inf(1)
	for _, p := range planesOf(grid) {
		top := sort.SearchFloat64s(p.Frequency, 0.9*HighestChatter*math.Sqrt(factor))
		limit, err := chatter.Unconditional(chatter.Plane{Frequency: p.Frequency[:top], G: p.G[:top], Feed: p.Feed}, cut)
		if err != nil {
			t.Fatal(err)
		}
		least = math.Min(least, limit.Depth)
	}
	return least
}

// TestWeakerMayBeMoreStable: of two machines alike but for one spring, the weaker one may cut
// deeper at any speed. Two modes square to each other feed each other most where they have
// one frequency: a full slot is then stable up to 4 k η/(N Kt (1 + √(1 + Kr²))), by the circle
// on which 1/(k(1 + iη) − mω²) runs, and up to 4 k η/(N Kt Kr) where one of them is taken far
// away. So no machine can be held to a weaker one's limit spring by spring.
func TestWeakerMayBeMoreStable(t *testing.T) {
	const k, eta, omega = 1e7, 0.03, 2 * math.Pi * 100
	slot := slotAndSide[0]
	limit := func(y float64) float64 {
		lag := func(k float64) complex128 { return complex(k, k*eta) }
		var p chatter.Plane
		for hz := 5.0; hz < 400; hz *= 1.0005 {
			inertia := complex(k/(omega*omega)*math.Pow(2*math.Pi*hz, 2), 0)
			p.Frequency = append(p.Frequency, hz)
			p.G = append(p.G, [4]complex128{1 / (lag(k) - inertia), 0, 0, 1 / (lag(k*y) - inertia)})
		}
		l, err := chatter.Unconditional(p, slot)
		if err != nil {
			t.Fatal(err)
		}
		return l.Depth
	}
	unit := 4 * k * eta / (float64(slot.Teeth) * slot.Tangential)
	alike := limit(1)
	near(t, "limit with both springs alike", alike, unit/(1+math.Hypot(1, slot.Radial)), 0.005)
	near(t, "limit with one spring nearly rigid", limit(1e6), unit/slot.Radial, 0.005)
	if softer := limit(0.5); softer < 2*alike {
		t.Errorf("limit with one spring half as stiff: %.4g m, want more than twice %.4g m", softer, alike)
	}
}
