package compiler

import (
	"strings"
	"testing"

	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/sheet"
	"ironbed/compiler/sheet/work"
	"ironbed/spec"
)

// solvedBook is a book on a machine that is solved as far as cuts go.
func solvedBook(t *testing.T, m *spec.Machine) *sheet.Book {
	t.Helper()
	c := compilation{machine: m, report: true, progress: func(string) {}}
	for to := statics; to <= cutting; to++ {
		if err := c.solve(to); err != nil {
			t.Fatal(err)
		}
	}
	out := &build.Build{}
	book := sheet.NewBook(c.solved, out, true)
	for _, s := range sheets {
		if s.reads <= cutting && book.Wants(s.Sheet) {
			if err := book.Write(s.Sheet); err != nil {
				t.Fatal(err)
			}
		}
	}
	return book
}

// TestDiagnosis: on slipway-gantry the likeliest cause is the one that the sign was made of: screws of 10 and of 5 mm, motors of four pole pairs, balls
// of 0.19 of a rail of 20 mm, a tooth of three at 4000 rpm, a spindle that is a little eccentric, and the tone that the report prints.
func TestDiagnosis(t *testing.T) {
	m := sample.Example(t, "slipway-gantry")
	book := solvedBook(t, m)
	for _, c := range []struct{ mark, sound, moving, turning, want string }{
		{mark: "10 mm at 1200 mm/min", moving: "x", want: "one turn of the screw, axis x: every 10 mm at any feed"},
		{mark: "10 mm at 300 mm/min", moving: "y", want: "one turn of the screw, axis y: every 10 mm at any feed"},
		{mark: "5 mm at 1200 mm/min", moving: "z", want: "one turn of the screw, axis z: every 5 mm at any feed"},
		{mark: "2.5 mm at 1200 mm/min", moving: "x", want: "motor current offset, each pole pair, axis x: every 2.5 mm at any feed"},
		{mark: "7.6 mm at 600 mm/min", moving: "z", want: "balls entering the carriages, axis z: every 7.6 mm at any feed"},
		{mark: "0.5 mm at 6000 mm/min", turning: "4000 rpm", want: "3 teeth of the cutter: every 0.5 mm at this feed, 200 Hz"},
		{sound: "200 Hz", turning: "4000 rpm", want: "3 teeth of the cutter: 200 Hz"},
		{sound: "66.7 Hz", turning: "4000 rpm", want: "one turn of the spindle: 66.7 Hz"},
		{sound: "3490 Hz", turning: "4000 rpm", want: "chatter in the cut of planking: collet and cutter: 3490 Hz"},
		{sound: "85 Hz", turning: "9000 rpm", want: "mode 5 of the frame: bed moves along X and Z: 85.0 Hz"},
		{sound: "1.67 Hz at 1000 mm/min", moving: "x", want: "one turn of the screw, axis x: 1.67 Hz"},
	} {
		sign, seen, err := work.Signed(m, c.mark, c.sound, c.moving, c.turning)
		if err != nil {
			t.Fatal(err)
		}
		d, err := work.Diagnose(book, sign, seen)
		if err != nil {
			t.Fatal(err)
		}
		sum := d.Other
		for _, cause := range d.Causes {
			sum += cause.Share
			if cause.Figure != "" {
				if _, ok := book.Build.Figures.Get(cause.Figure); !ok {
					t.Errorf("%s: no figure %s", cause.What, cause.Figure)
				}
			}
		}
		if first := d.Causes[0]; !strings.HasPrefix(first.What+": "+first.Predicted, c.want) {
			t.Errorf("%s%s: likeliest is %s: %s with %.2f, want %s", c.mark, c.sound, first.What, first.Predicted, first.Share, c.want)
		}
		if sum > 1+1e-9 || sum < 0.9 {
			t.Errorf("%s%s: shares add up to %g", c.mark, c.sound, sum)
		}
	}
	// What nothing on the machine does is said to be something else.
	sign, seen, err := work.Signed(m, "", "1400 Hz", "", "4000 rpm")
	if err != nil {
		t.Fatal(err)
	}
	if d, err := work.Diagnose(book, sign, seen); err != nil || d.Other < 0.9 {
		t.Errorf("a sound of 1400 Hz is something else by %g; %+v", d.Other, d.Causes)
	}
}

// TestDiagnosisOfTwoSpindles: what is the same whichever spindle cuts is said once, and what is not says with which.
func TestDiagnosisOfTwoSpindles(t *testing.T) {
	m := sample.Load(t, sample.Root()+"/compiler/internal/whole/testdata/machines/keel-mill")
	with, err := Diagnose(m, "", "120 Hz", "", "")
	if err != nil {
		t.Fatal(err)
	}
	b, refused := with(m, build.Tool{}, func(string) {})
	if b == nil {
		t.Fatal(refused)
	}
	d := b.Diagnosis
	seen, whose := map[string]bool{}, false
	for _, c := range d.Causes {
		if seen[c.What+c.Predicted] {
			t.Errorf("%s is there twice", c.What)
		}
		seen[c.What+c.Predicted] = true
		whose = whose || strings.HasSuffix(c.What, " cutting")
	}
	if len(d.Causes) == 0 || !whose {
		t.Errorf("%+v", d.Causes)
	}
}
