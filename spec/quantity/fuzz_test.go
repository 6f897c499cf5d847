package quantity

import (
	"errors"
	"math"
	"testing"
)

// FuzzParse holds what is true of any text: no panic, an *Error or a finite value
// between its bounds, and a printed value that is read again.
func FuzzParse(f *testing.F) {
	for _, s := range shapes {
		if text, ok := filled(s, "mm"); ok {
			f.Add(text)
		}
	}
	for _, u := range usual {
		f.Add("1.5 " + u.units)
		f.Add("5 " + u.dim.String())
	}
	for _, text := range []string{"20 °C ± 2 K", "-10 °C", "1,5 mm", "1 600 mm", "5 mm^-2", "5 s⁻¹", "((((1))))", "1e308 m * 1e308", "1/0 in", "5\"", "\xff", "5 \xc2", "1e-320 mm", "9999999999999999999999 5/8 in"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		q, err := Parse(text)
		if err != nil {
			var e *Error
			if !errors.As(err, &e) || e.Message == "" || e.Offset < 0 || e.Offset > len(text) {
				t.Fatalf("%q: %#v", text, err)
			}
			return
		}
		if !finite(q.Value) || !finite(q.Low) || !finite(q.High) || q.Low > q.Value || q.Value > q.High {
			t.Fatalf("%q is %v, %v to %v", text, q.Value, q.Low, q.High)
		}
		printed := plain(q.Value) + " " + q.Dim.String()
		back, err := ParseAs(printed, q.Dim)
		if err != nil || math.Abs(back.Value-q.Value) > 1e-12*math.Abs(q.Value) {
			t.Fatalf("%q is %v, printed %q, read as %v, %v", text, q.Value, printed, back.Value, err)
		}
	})
}

func BenchmarkParse(b *testing.B) {
	for _, text := range []string{"1600 mm", "50 kN·m/rad", "30 GPa ± 20 %", "(2200 mm - 2*60 mm)/3"} {
		b.Run(text, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Parse(text); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
