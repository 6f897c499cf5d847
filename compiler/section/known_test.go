package section

import (
	"bytes"
	"math"
	"reflect"
	"testing"

	"ironbed/compiler/mesh"
	"ironbed/compiler/warping"
)

// A shelf is a keeper without a disk.
type shelf struct {
	kept  map[string][]byte
	found int
}

func (s *shelf) Get(key []byte) ([]byte, bool) {
	text, ok := s.kept[string(key)]
	if ok {
		s.found++
	}
	return text, ok
}

func (s *shelf) Put(key, solution []byte) { s.kept[string(key)] = bytes.Clone(solution) }

// forget makes this process as one that has just begun.
func forget() {
	knownShapes.Clear()
	knownResults.Clear()
}

// TestKept: what is kept comes back to the bit, and what cannot be a solution is solved anew and put in its place.
func TestKept(t *testing.T) {
	s := &shelf{kept: map[string][]byte{}}
	Keep(s)
	t.Cleanup(func() { Keep(nil) })
	tube := HollowRectangle{Height: 0.15, Width: 0.1, Wall: 0.006, OuterRadius: 0.012, InnerRadius: 0.006}
	solve := func() (all [2]Numerical) {
		t.Helper()
		forget()
		var err error
		if all[0], all[1], err = SolveFilled(tube, IsotropicMaterial(210e9, 0.3, 7850), IsotropicMaterial(30e9, 0.2, 2300), FillHollow); err != nil {
			t.Fatal(err)
		}
		return all
	}
	cold := solve()
	if len(s.kept) != 2 || s.found != 0 {
		t.Fatalf("%d kept, %d found", len(s.kept), s.found)
	}
	right := map[string]string{}
	for key, text := range s.kept {
		right[key] = string(text)
	}
	if warm := solve(); warm != cold || s.found != 2 {
		t.Errorf("%d found; warm %+v, cold %+v", s.found, warm, cold)
	}
	nan, inf := math.Float64bits(math.NaN()), math.Float64bits(math.Inf(-1))
	for name, damage := range map[string]func([]byte) []byte{
		"empty":        func([]byte) []byte { return nil },
		"short":        func(b []byte) []byte { return b[:len(b)-8] },
		"long":         func(b []byte) []byte { return append(b, make([]byte, 8)...) },
		"not a number": func(b []byte) []byte { return appendBits(b[:len(b)-8], nan) },
		"infinite":     func(b []byte) []byte { return append(appendBits(nil, inf), b[8:]...) },
	} {
		for key, text := range right {
			s.kept[key] = damage([]byte(text))
		}
		if again := solve(); again != cold {
			t.Errorf("%s: %+v, cold %+v", name, again, cold)
		}
		for key, text := range right {
			if string(s.kept[key]) != text {
				t.Errorf("%s: left as it was", name)
			}
		}
	}
}

// TestNoSolutionKept: what cannot be solved is not kept.
func TestNoSolutionKept(t *testing.T) {
	s := &shelf{kept: map[string][]byte{}}
	Keep(s)
	t.Cleanup(func() { Keep(nil) })
	apart := BuiltUp{Parts: []Part{{Shape: Bar{Height: 0.1, Width: 0.01}}, {Shape: Bar{Height: 0.1, Width: 0.01}, Y: 1}}}
	if _, err := Solve(apart, IsotropicMaterial(210e9, 0.3, 7850)); err == nil || len(s.kept) > 0 {
		t.Errorf("error %v, %d kept", err, len(s.kept))
	}
}

// TestKeys: every number that a solution rests on is in its key, by its last bit, and so is where each list ends.
func TestKeys(t *testing.T) {
	type input struct {
		Regions   []mesh.Region
		Materials []warping.Material
	}
	loop := func() mesh.Loop {
		return mesh.Loop{{From: mesh.Point{Y: 1, Z: 2}, Sweep: 3}, {From: mesh.Point{Y: 4, Z: 5}, Sweep: 6}}
	}
	region := func() mesh.Region { return mesh.Region{Outer: loop(), Holes: []mesh.Loop{loop(), loop()}} }
	in := input{[]mesh.Region{region(), region()}, []warping.Material{{E: 7, G: 8, Density: 9}, {E: 10, G: 11, Density: 12}}}
	seen := map[string]string{}
	look := func(path string) {
		t.Helper()
		key := string(appendList(appendRegions(nil, in.Regions), in.Materials))
		if other, ok := seen[key]; ok {
			t.Errorf("%s: the key of %s", path, other)
		}
		seen[key] = path
	}
	look("as it is")
	var change func(path string, v reflect.Value)
	change = func(path string, v reflect.Value) {
		switch v.Kind() {
		case reflect.Float64:
			was := v.Float()
			v.SetFloat(math.Nextafter(was, math.Inf(1)))
			look(path)
			v.SetFloat(was)
		case reflect.Struct:
			for i := range v.NumField() {
				change(path+"."+v.Type().Field(i).Name, v.Field(i))
			}
		case reflect.Slice:
			was := v.Len()
			v.SetLen(was - 1)
			look(path + " without its last")
			v.SetLen(was)
			for i := range was {
				change(path+"[]", v.Index(i))
			}
		default:
			t.Errorf("%s: how is a %s changed?", path, v.Kind())
		}
	}
	change("", reflect.ValueOf(&in).Elem())
	zero := []warping.Material{{E: 1, G: 1, Density: math.Copysign(0, -1)}}
	if bytes.Equal(appendList(nil, zero), appendList(nil, []warping.Material{{E: 1, G: 1}})) {
		t.Error("a zero and its negative have one key")
	}
	moved := []mesh.Region{{Outer: loop(), Holes: []mesh.Loop{loop()}}, {Outer: loop()}}
	same := []mesh.Region{{Outer: loop()}, {Outer: loop(), Holes: []mesh.Loop{loop()}}}
	if bytes.Equal(appendRegions(nil, moved), appendRegions(nil, same)) {
		t.Error("a hole of the first region and one of the second have one key")
	}
	// Two regions of three loops of two edges of three numbers, two materials of three; ten lists; and as it is.
	if want := 2*3*2*3 + 2*3 + 10 + 1; len(seen) != want {
		t.Errorf("%d keys, want %d", len(seen), want)
	}
}
