package change

import (
	"fmt"
	"strconv"
	"strings"

	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// screwSizes are the nominal diameters that screws are sold in [m].
var screwSizes = []float64{0.012, 0.016, 0.020, 0.025, 0.032, 0.040, 0.050, 0.063}

// everyDrive writes a value to each of some drives of an axis: the drives of one axis
// are alike, or it racks.
func everyDrive(axis string, drives spec.Map[spec.Drive], value func(*spec.Drive) string, names ...string) []spec.Edit {
	if len(drives) == 1 {
		return write(value(&drives[0].Item), append([]string{"axes", axis, "drives", drives[0].Name}, names...)...)
	}
	var list []string
	for i := range drives {
		list = append(list, strings.Join(append([]string{field(drives[i].Name)}, names...), ": ")+": "+value(&drives[i].Item))
	}
	return write("{"+strings.Join(list, ", ")+"}", "axes", axis, "drives")
}

// drivesOf are the drives of an axis that a test takes.
func drivesOf(a *spec.Axis, is func(*spec.Drive) bool) (list spec.Map[spec.Drive]) {
	for i := range a.Drives {
		if is(&a.Drives[i].Item) {
			list = append(list, a.Drives[i])
		}
	}
	return list
}

// thickerScrew proposes the next screw sizes.
func (find *finder) thickerScrew(s machine.Share) []Change {
	axis, name := "", ""
	for key, part := range find.Model.DrivePart {
		if part == s.Parts[0] {
			axis, name, _ = strings.Cut(key, ".")
		}
	}
	a := find.Spec.Axes.Find(axis)
	screw := a.Drives.Find(name).Screw
	if screw == nil {
		return find.widerBelt(axis, name)
	}
	screws := drivesOf(a, func(d *spec.Drive) bool { return d.Screw != nil })
	var out []Change
	for _, d := range screwSizes {
		if d <= find.Model.Read.Of(screw.Diameter)*1.01 || len(out) == 2 {
			continue
		}
		text := fmt.Sprintf("%g mm", d*1e3)
		out = append(out, Change{
			What: fmt.Sprintf("screw of axis %s: %s in place of %s", axis, text, screw.Diameter.Text), At: screw.Diameter.At,
			Edits: everyDrive(axis, screws, func(v *spec.Drive) string {
				if !v.Screw.Root.Given {
					return fmt.Sprintf("{diameter: %q}", text)
				}
				// A root that the spec gives grows in proportion.
				return fmt.Sprintf("{diameter: %q, root: %q}", text, v.Screw.Root.Times(d/find.Model.Read.Of(v.Screw.Diameter), "mm"))
			}, "screw")})
	}
	return out
}

// mostBelt is the widest belt that is sold over its pitch [-]; common practice.
const mostBelt = 10

// widerBelt proposes wider belts; none where the axis has no belt.
func (find *finder) widerBelt(axis, name string) []Change {
	a := find.Spec.Axes.Find(axis)
	belt := a.Drives.Find(name).Belt
	if belt == nil {
		return nil
	}
	belts := drivesOf(a, func(d *spec.Drive) bool { return d.Belt != nil }) // side by side they are of one size
	var out []Change
	for _, k := range []float64{1.5, 2, 3} {
		if rank.More(k*find.Model.Read.Of(belt.Width), mostBelt*find.Model.Read.Of(belt.Pitch)) {
			break
		}
		text := fmt.Sprintf("%g mm", quantity.Round(k*find.Model.Read.Of(belt.Width)*1e3))
		out = append(out, Change{
			What: fmt.Sprintf("belts of axis %s: width %s in place of %s", axis, text, belt.Width.Text), At: belt.Width.At,
			Edits: everyDrive(axis, belts, func(*spec.Drive) string { return strconv.Quote(text) }, "belt", "width")})
	}
	return out
}

// reductions are the ratios that are tried between a motor and what it turns [-].
var reductions = []float64{2, 3, 5}

// reduced proposes a reduction before the mechanism of an axis. Its max feed falls as much.
func (find *finder) reduced(axis string) []Change {
	a := find.Spec.Axes.Find(axis)
	if a == nil {
		return nil
	}
	driven := drivesOf(a, func(d *spec.Drive) bool { return d.Motor != nil })
	if len(driven) == 0 {
		return nil
	}
	now := driven[0].Item.Ratio
	var out []Change
	for _, k := range reductions {
		out = append(out, Change{
			What: fmt.Sprintf(
				"reduction %s:1 on axis %s in place of %s:1; its max feed falls",
				quantity.Number(k*find.Model.Read.Of(now)),
				axis,
				quantity.Number(find.Model.Read.Of(now)),
			), At: driven[0].At, New: !now.Given,
			Edits: everyDrive(axis, driven, func(v *spec.Drive) string { return quantity.Number(k * find.Model.Read.Of(v.Ratio)) }, "ratio")})
	}
	return out
}

// strongerMotor proposes motors of more torque for an axis.
func (find *finder) strongerMotor(axis string) []Change {
	a := find.Spec.Axes.Find(axis)
	if a == nil {
		return nil
	}
	driven := drivesOf(a, func(d *spec.Drive) bool { return d.Motor != nil && d.Motor.Stepper == nil })
	if len(driven) == 0 {
		return nil
	}
	first := driven[0].Item.Motor
	var out []Change
	for _, k := range []float64{1.5, 2, 3} {
		out = append(out, Change{
			What: fmt.Sprintf(
				"motors of axis %s: rated torque %s in place of %s",
				axis,
				quantity.Print(k*find.Model.Read.Of(first.RatedTorque), "N·m"),
				first.RatedTorque.Text,
			), At: first.RatedTorque.At,
			Edits: everyDrive(axis, driven, func(v *spec.Drive) string {
				rated := v.Motor.RatedTorque.Times(k, "N·m")
				if !v.Motor.PeakTorque.Given {
					return fmt.Sprintf("{rated_torque: %q}", rated)
				}
				return fmt.Sprintf("{rated_torque: %q, peak_torque: %q}", rated, v.Motor.PeakTorque.Times(k, "N·m"))
			}, "motor")})
	}
	return out
}
