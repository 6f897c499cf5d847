package axes

import (
	"fmt"
	"math"

	"ironbed/compiler/build"
	"ironbed/compiler/drive"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// carriedMotor is what a motor that rides along with a turning nut weighs [kg];
// common practice.
const carriedMotor = 4

// nutRing is the outside diameter of the steel ring, over the screw's, that
// stands for a turning nut with its pulley, three diameters long [-]; from memory.
const nutRing = 2.1

// A candidate is a drive that an axis might have.
type candidate struct {
	key    string // in the ids of its figures
	name   string
	option drive.Option
}

// weighDrives sets a drive beside what might stand in its place: a screw beside
// the same screw with its nut turning, or the other way round, and whatever the
// spec wants weighed.
func weighDrives(book *sheet.Book, v *sheet.Drive) ([]build.Block, error) {
	a := &book.Spec.Axes[v.Axis].Item
	list := []candidate{{"described", driveName(&v.Entry.Item) + ", as described", drive.Option{Mechanism: v.In.Mechanism, Reduction: v.In.Reduction, Motor: v.In.Motor}}}
	turned, ok := otherWay(book.Read(), v)
	if ok {
		list = append(list, turned)
	}
	for i := range a.Weighed {
		e := &a.Weighed[i]
		in, err := machine.DriveInput(book.Model, v.Axis, &e.Item, book.Read(), v.In.CuttingForce, v.In.CuttingFeed)
		if err != nil {
			return nil, fmt.Errorf("weighed %s: %w", e.Name, err)
		}
		option := drive.Option{Mechanism: in.Mechanism, Reduction: in.Reduction, Motor: in.Motor}
		if len(in.Motor.Continuous) == 0 {
			option.Motor = v.In.Motor
		}
		list = append(list, candidate{"own." + spec.IDWord(e.Name), e.Name + ": " + driveName(&e.Item), option})
	}
	if len(list) == 1 {
		return nil, nil
	}
	options := make([]drive.Option, len(list))
	for i := range list {
		options[i] = list[i].option
	}
	compared, err := drive.Compare(v.In, options)
	if err != nil {
		return nil, err
	}
	table := build.Table{Caption: "What else could drive " + v.Title, Columns: []build.Column{{Head: "drive"}, {Head: "what turns, as moved mass, kg", Right: true}, {Head: "inertia ratio", Right: true},
		{Head: "top feed, m/min", Right: true}, {Head: "bounded by"}, {Head: "from standstill, m/s²", Right: true}, {Head: "along the axis, N/µm", Right: true}, {Head: "play, mm", Right: true}}}
	for i, c := range compared {
		id := v.ID + "weighed." + list[i].key + "."
		cell := func(what, label string, x float64, unit string) build.Cell {
			return build.Cell{Figure: book.Old(build.Figure{ID: id + what, Label: label + ", " + list[i].name + ", " + v.Title, Value: x, Unit: unit, Formula: "as for the drive itself", Source: "derived here", Detail: true}), Plain: true}
		}
		table.Rows = append(table.Rows, []build.Cell{{Text: list[i].name}, cell("turning_mass", "what turns, as moved mass", c.TurningMass, "kg"), cell("inertia_ratio", "load over rotor", c.InertiaRatio, ""),
			cell("top_feed", "top feed", c.TopFeed, "m/min"), {Text: rulings[c.TopFeedBy].bounds}, cell("acceleration", "acceleration from standstill", c.Acceleration, "m/s²"),
			cell("stiffness", "axial stiffness", c.Stiffness, "N/µm"), {Text: quantity.Number(c.Play * 1e3)}})
	}
	blocks := []build.Block{table}
	if ok {
		blocks = append(blocks, build.Text(screwOrNut(v, compared[0], compared[1])))
	}
	return blocks, nil
}

// driveName says what a drive is.
func driveName(d *spec.Drive) string {
	switch {
	case d.Rack != nil:
		return fmt.Sprintf("rack, module %s, pinion of %d", d.Rack.Module.Text, d.Rack.Teeth.N)
	case d.Belt != nil:
		return fmt.Sprintf("belt, pitch %s, %s wide", d.Belt.Pitch.Text, d.Belt.Width.Text)
	}
	what := "screw turning"
	if d.Screw.NutTurns() {
		what = "nut turning"
	}
	return fmt.Sprintf("%s, %s by %s", what, d.Screw.Diameter.Text, d.Screw.Lead.Text)
}

// otherWay is the same screw with the nut turning in place of the screw, or the
// screw in place of the nut.
func otherWay(read spec.Reader, v *sheet.Drive) (candidate, bool) {
	s := v.Entry.Item.Screw
	option := drive.Option{Reduction: v.In.Reduction, Motor: v.In.Motor}
	switch m := v.In.Mechanism.(type) {
	case drive.TurningScrew:
		screw, supports := m.Screw, m.Supports
		supports.Ends, supports.Tilt = drive.FixedFixed, 0
		d := read.Of(s.Diameter)
		inertia, err := drive.RingInertia(nutRing*d, d, 3*d, screw.Material.Density)
		if err != nil || supports.NutTo >= screw.Unsupported {
			return candidate{}, false
		}
		option.Mechanism = drive.TurningNut{Screw: screw, Supports: supports, NutInertia: inertia}
		option.Carried = carriedMotor + screw.Material.Density*math.Pi/4*d*d*(nutRing*nutRing-1)*3*d
		return candidate{"nut_turning", "the same with the nut turning", option}, true
	case drive.TurningNut:
		screw := m.Screw
		screw.Tension = 0
		option.Mechanism = drive.TurningScrew{Screw: screw, Supports: m.Supports}
		return candidate{"screw_turning", "the same with the screw turning", option}, true
	}
	return candidate{}, false
}

// screwOrNut says in words which of the two is the better one for a screw of
// this length, by how much, and why.
func screwOrNut(v *sheet.Drive, own, other drive.Compared) string {
	screw, nut := own, other
	if v.Entry.Item.Screw.NutTurns() {
		screw, nut = other, own
	}
	length := v.Entry.Item.Screw.Length.Text
	inertia := fmt.Sprintf("what turns counts like %s of moved mass where the turning screw makes %s", quantity.Print(nut.TurningMass, "kg"), quantity.Print(screw.TurningMass, "kg"))
	const same = 1.02 // a difference worth a word
	lighter, faster := nut.TurningMass*same < screw.TurningMass, nut.TopFeed > screw.TopFeed*same
	speed := "the top feed is no higher, " + quantity.Print(nut.TopFeed, "m/min")
	if faster {
		speed = fmt.Sprintf("the top feed is %s in place of %s", quantity.Print(nut.TopFeed, "m/min"), quantity.Print(screw.TopFeed, "m/min"))
	}
	stiffer := ""
	if nut.Stiffness > 1.3*screw.Stiffness {
		stiffer = fmt.Sprintf(" It would hold stiffer, though, %s in place of %s, since a standing screw is held at both ends.", quantity.Print(nut.Stiffness, "N/µm"), quantity.Print(screw.Stiffness, "N/µm"))
	}
	switch {
	case lighter && faster:
		return fmt.Sprintf("**Turn the nut on a screw of %s:** %s, and %s. A screw's inertia grows with its length and a long one whips; a nut's does not, and a standing screw cannot whip. It costs a nut assembly with its own bearing, a belt, and a motor that rides along.", length, inertia, speed)
	case !lighter && !faster:
		return fmt.Sprintf("**Turn the screw, not the nut, on %s:** with the nut turning, %s, and %s. A screw of that length is light and does not whip before its nut's DN or its motor stops it; the nut assembly adds weight, cost and a belt.%s", length, inertia, speed, stiffer)
	case lighter:
		return fmt.Sprintf("With the nut turning on %s, %s; %s. The gain is in the motor's load, not in speed.", length, inertia, speed)
	}
	return fmt.Sprintf("With the nut turning on %s, %s; but %s. The nut pays here only for speed.", length, speed, inertia)
}
