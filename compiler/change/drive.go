package change

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ironbed/compiler/machine"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// screwSizes are the nominal diameters that screws are sold in [m].
var screwSizes = []float64{0.012, 0.016, 0.020, 0.025, 0.032, 0.040, 0.050, 0.063}

// everyDrive is the field of a value that all drives of an axis share, and what to
// write there: the drives of one axis are alike, or it racks.
func everyDrive(axis string, drives spec.Map[spec.Drive], value string, names ...string) (path, write string) {
	if len(drives) == 1 {
		return field(append([]string{"axes", axis, "drives", drives[0].Name}, names...)...), value
	}
	var list []string
	for _, d := range drives {
		list = append(list, strings.Join(append([]string{field(d.Name)}, names...), ": ")+": "+value)
	}
	return field("axes", axis, "drives"), "{" + strings.Join(list, ", ") + "}"
}

// thickerScrew proposes the next screw sizes.
func (find *finder) thickerScrew(s machine.Share) []Change {
	axis, name := "", ""
	for key, part := range find.Model.DrivePart {
		if part == s.Parts[0] {
			axis, name, _ = strings.Cut(key, ".")
		}
	}
	screw := find.Spec.Axes.Find(axis).Drives.Find(name).Screw
	if screw == nil {
		return find.widerBelt(axis, name)
	}
	var out []Change
	for _, d := range screwSizes {
		if d <= screw.Diameter.Value*1.01 || len(out) == 2 {
			continue
		}
		text := fmt.Sprintf("%g mm", d*1e3)
		drives := find.Spec.Axes.Find(axis).Drives
		path, value := everyDrive(axis, drives, strconv.Quote(text), "screw", "diameter")
		out = append(out, Change{What: fmt.Sprintf("screw of axis %s: %s in place of %s", axis, text, screw.Diameter.Text), At: screw.Diameter.At, Path: path, Value: value,
			apply: func(m *spec.Machine) {
				for i := range drives {
					if drives[i].Item.Screw != nil {
						m.SetScrewDiameter(axis, drives[i].Name, text)
					}
				}
			}})
	}
	return out
}

// mostBelt is the widest belt that is sold over its pitch [-]; common practice.
const mostBelt = 10

// widerBelt proposes wider belts; none where the axis has no belt.
func (find *finder) widerBelt(axis, name string) []Change {
	belt := find.Spec.Axes.Find(axis).Drives.Find(name).Belt
	if belt == nil {
		return nil
	}
	var out []Change
	for _, k := range []float64{1.5, 2, 3} {
		if k*belt.Width.Value > mostBelt*belt.Pitch.Value {
			break
		}
		text := fmt.Sprintf("%g mm", math.Round(k*belt.Width.Value*1e3))
		path, value := everyDrive(axis, find.Spec.Axes.Find(axis).Drives, strconv.Quote(text), "belt", "width")
		out = append(out, Change{What: fmt.Sprintf("belts of axis %s: %s wide in place of %s", axis, text, belt.Width.Text), At: belt.Width.At, Path: path, Value: value,
			apply: func(m *spec.Machine) {
				// Two belts side by side on an axis are of one size.
				for i := range m.Axes.Find(axis).Drives {
					if b := m.Axes.Find(axis).Drives[i].Item.Belt; b != nil {
						b.Width = length(b.Width, text)
					}
				}
			}})
	}
	return out
}

// reductions are the ratios that are tried between a motor and what it turns [-].
var reductions = []float64{2, 3, 5}

// reduced proposes a reduction before what an axis turns. Its top feed falls as much.
func (find *finder) reduced(axis string) []Change {
	a := find.Spec.Axes.Find(axis)
	if a == nil {
		return nil
	}
	driven := withMotor(a.Drives)
	if len(driven) == 0 {
		return nil
	}
	now := driven[0].Item.Ratio
	var out []Change
	for _, k := range reductions {
		text := quantity.Number(k * now.Value)
		path, value := everyDrive(axis, driven, text, "ratio")
		out = append(out, Change{What: fmt.Sprintf("a reduction of %s to 1 on axis %s in place of %s; its top feed falls", text, axis, quantity.Number(now.Value)), At: driven[0].At, Path: path, Value: value, New: !now.Given,
			apply: func(m *spec.Machine) {
				for i := range m.Axes.Find(axis).Drives {
					d := &m.Axes.Find(axis).Drives[i].Item
					if d.Motor == nil {
						continue
					}
					d.Ratio.Value, d.Ratio.Low, d.Ratio.High = k*d.Ratio.Value, k*d.Ratio.Low, k*d.Ratio.High
					if e := &d.Reduction.Efficiency; e.Value == 1 {
						e.Value, e.Low, e.High = 0.95, 0.92, 0.98
					}
				}
			}})
	}
	return out
}

// withMotor are the drives that a motor turns; the other side of a shaft across has
// none.
func withMotor(drives spec.Map[spec.Drive]) (list spec.Map[spec.Drive]) {
	for _, d := range drives {
		if d.Item.Motor != nil {
			list = append(list, d)
		}
	}
	return list
}

// strongerMotor proposes motors of more torque for an axis.
func (find *finder) strongerMotor(axis string) []Change {
	a := find.Spec.Axes.Find(axis)
	if a == nil {
		return nil
	}
	var out []Change
	driven := slices.DeleteFunc(withMotor(a.Drives), func(d spec.Entry[spec.Drive]) bool { return d.Item.Motor.Stepper != nil })
	for i := range driven {
		motor := driven[i].Item.Motor
		for _, k := range []float64{1.5, 2, 3} {
			text := quantity.Print(k*motor.RatedTorque.Value, "N·m")
			path, value := everyDrive(axis, driven, strconv.Quote(text), "motor", "rated_torque")
			if motor.PeakTorque.Given {
				path, value = everyDrive(axis, driven, fmt.Sprintf("{rated_torque: %q, peak_torque: %q}", text, quantity.Print(k*motor.PeakTorque.Value, "N·m")), "motor")
			}
			out = append(out, Change{What: fmt.Sprintf("motors of axis %s: %s in place of %s", axis, text, motor.RatedTorque.Text), At: motor.RatedTorque.At, Path: path, Value: value,
				apply: func(m *spec.Machine) {
					for i := range m.Axes.Find(axis).Drives {
						if motor := m.Axes.Find(axis).Drives[i].Item.Motor; motor != nil && motor.Stepper == nil {
							for _, v := range []*spec.Value{&motor.RatedTorque, &motor.PeakTorque} {
								v.Value, v.Low, v.High = k*v.Value, k*v.Low, k*v.High
							}
						}
					}
				}})
		}
		break
	}
	return out
}
