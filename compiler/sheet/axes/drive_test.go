package axes

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"testing"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/cut"
	"ironbed/compiler/drive"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
)

// TestDriveFiguresRestOnWhatMovesThem moves every value of an axis and its drives by one
// per cent, one at a time: a figure that changes must rest on it.
func TestDriveFiguresRestOnWhatMovesThem(t *testing.T) {
	standing := [2]string{`ends:     "fixed-supported"
				}
				nut:     "saddle.mid"`, `ends: "fixed-fixed", rotating: "nut", tension: "2 kN", dynamic: "20 kN", nut_inertia: "20 kg·cm2", preload: "500 N"
				}
				nut:     "saddle.mid"
				reduction: {stiffness: "900 N·m/rad", backlash: "0.05 deg", inertia: "0.6 kg·cm2", driven_inertia: "1 kg·cm2"}`}
	const screw = `{screw: _long, nut: "gantry.%[1]s_foot", bearing: "bed.%[1]s_0", motor: _servo}`
	const rack = `{rack: {pinion: "gantry.%[1]s_foot", rack_on: "bed.%[1]s_4", module: "2 mm", teeth: 20, face: "20 mm"}, ratio: 5, motor: _servo}`
	racked := func(side string) [2]string { return [2]string{fmt.Sprintf(screw, side), fmt.Sprintf(rack, side)} }
	for _, m := range []*spec.Machine{
		sample.Example(t, "sign-router"),
		edited(t, "slipway-gantry", standing, [2]string{`bearing: "bed.far_0", motor: _servo}`, `bearing: "bed.far_0"}`},
			[2]string{`rapid: "6 m/min"`, `rapid: "6 m/min", cross_shaft: {diameter: "30 mm", length: "1000 mm", couplings: "900 N·m/rad"}`}),
		edited(t, "spar-bench", racked("near"), racked("far")),
	} {
		model, err := machine.New(m, spec.At(spec.Middle))
		if err != nil {
			t.Fatal(err)
		}
		demand := cut.Demand{Load: cut.Load{Lateral: 300, Axial: 200, Feed: 0.02}}
		solution := &machine.Solution{Spec: m, Model: model, Light: model, Heavy: model}
		axes, err := axis.Analyse(solution, demand)
		if err != nil {
			t.Fatal(err)
		}
		book := sheet.NewBook(sheet.Solutions{Machine: solution, Cuts: &cut.Answers{}, Axes: axes}, &build.Build{}, false)
		for _, v := range book.Drives {
			moves(t, model, v)
		}
	}
}

// moves moves the values of a drive's axis.
func moves(t *testing.T, model *machine.Model, v *sheet.Drive) {
	t.Helper()
	numbers := numbersOf(v)
	values := valuesOf(reflect.ValueOf(&model.Spec.Axes[v.Axis].Item).Elem())
	for _, name := range []string{"steel", "screw steel"} {
		values = append(values, valuesOf(reflect.ValueOf(model.Spec.Material(name)).Elem())...)
	}
	moved := spec.Picking(func(u spec.Uncertainty) float64 { return 1.01 * u.Middle })
	met := map[string]bool{}
	for i := range values {
		others := slices.Concat(values[:i], values[i+1:])
		out := &drive.Output{}
		in, err := machine.DriveInput(model, v.Axis, &v.Entry.Item, machine.ReadDrive(moved.Except(others, spec.Middle)), v.In.CuttingForce, v.In.CuttingFeed)
		if err == nil {
			*out, err = drive.Axis(in)
		}
		if err != nil {
			continue // a hundredth too long
		}
		for what, n := range numbers {
			before, after := n.pick(&v.Out), n.pick(out)
			if math.Abs(after-before) <= 1e-7*math.Abs(before) {
				continue
			}
			met[what] = true
			if path := pathOf(*values[i]); !rests(numbers, what, path) {
				t.Errorf("%s: %s%s goes from %g to %g with %s and does not rest on it", model.Spec.Name.Text, v.ID, what, before, after, path)
			}
		}
	}
	if len(met) < 15 {
		t.Errorf("%s: only %d figures move", v.ID, len(met))
	}
}

// A number is a figure of a drive with what it rests on.
type number struct {
	pick func(*drive.Output) float64
	log  *spec.Log
	from []string
}

// numbersOf are the figures of a drive.
func numbersOf(v *sheet.Drive) map[string]number {
	numbers := map[string]number{
		"stiffness":    {func(o *drive.Output) float64 { return o.Stiffness }, v.Stiff, nil},
		"cutting_load": {func(o *drive.Output) float64 { return o.CuttingLoad }, v.Read.Log(machine.Load, machine.CutShare), nil},
	}
	for _, p := range v.Compliances() {
		numbers["stiffness."+p.Key] = number{func(o *drive.Output) float64 { return 1 / p.Of(o.LeastStiff) }, p.Log, nil}
	}
	lists := [][]driveFigure{accuracyFigures(v), feedFigures(v), torqueFigures, inertiaFigures(v), dutyFigures, standstillFigures}
	switch d := &v.Entry.Item; {
	case d.Screw != nil:
		lists = append(lists, screwFigures, growthFigures(v), lifeFigures)
	case d.Rack != nil:
		lists = append(lists, rackFigures, turningFigures)
	default:
		lists = append(lists, beltFigures, turningFigures)
	}
	for _, f := range slices.Concat(lists...) {
		if f.where == nil || f.where(&v.Out) > 0 {
			numbers[f.what] = number{f.pick, v.Read.Log(f.read...), f.from}
		}
	}
	return numbers
}

// rests reports whether a figure or one that it names rests on a value.
func rests(numbers map[string]number, what, path string) (yes bool) {
	n, ok := numbers[what]
	if !ok {
		return false
	}
	n.log.Walk(func(l *spec.Log) bool {
		yes = yes || slices.ContainsFunc(l.Own(), func(in spec.Input) bool { return in.Path == path })
		return true
	})
	return yes || slices.ContainsFunc(n.from, func(other string) bool { return rests(numbers, other, path) })
}

// pathOf is where a value stands in the spec.
func pathOf(v spec.Value) string {
	log := &spec.Log{}
	spec.At(spec.Middle).Into(log).Of(v)
	if own := log.Own(); len(own) > 0 {
		return own[0].Path
	}
	return ""
}

// valuesOf are all values below a part of the spec.
func valuesOf(v reflect.Value) (list []*spec.Value) {
	if at, ok := v.Addr().Interface().(*spec.Value); ok {
		return []*spec.Value{at}
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				list = append(list, valuesOf(v.Field(i))...)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			list = append(list, valuesOf(v.Index(i))...)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			list = valuesOf(v.Elem())
		}
	}
	return list
}

// edited is an example with lines written otherwise.
func edited(t *testing.T, example string, edits ...[2]string) *spec.Machine {
	t.Helper()
	m, _ := sample.Edited(t, example, edits...)
	return m
}
