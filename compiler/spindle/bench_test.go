package spindle

import "testing"

// BenchmarkModes is the whole way to the modes of a spindle with a cutter, up to
// 5 kHz: mesh, modes and residuals.
func BenchmarkModes(b *testing.B) {
	a := read(b, "testdata/rec_asm_er24k_8mm_oh35.json").Inputs.Chain.assembly(b)
	m := mesh(b, a, 5e3, 1)
	b.ReportMetric(float64(len(m.z)-2), "elements")
	for b.Loop() {
		if _, err := mesh(b, a, 5e3, 1).Modes(0.2); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkStatic is a mesh and its static compliance with the shares.
func BenchmarkStatic(b *testing.B) {
	a := read(b, "testdata/rec_asm_er24k_8mm_oh35.json").Inputs.Chain.assembly(b)
	for b.Loop() {
		if _, err := mesh(b, a, 5e3, 1).Static(); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkDirect is one frequency by the direct solution.
func BenchmarkDirect(b *testing.B) {
	a := read(b, "testdata/rec_asm_er24k_8mm_oh35.json").Inputs.Chain.assembly(b)
	m := mesh(b, a, 5e3, 1)
	for b.Loop() {
		if _, err := m.At(1234, 0.2); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCoupled is one frequency by the modes, coupled to a housing in space.
func BenchmarkCoupled(b *testing.B) {
	a := read(b, "testdata/rec_asm_er24k_8mm_oh35.json").Inputs.Chain.assembly(b)
	ms := modes(b, mesh(b, a, 5e3, 1), 0.2)
	house := bodyInSpace(5, 200)
	for b.Loop() {
		r, err := ms.At(1234)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := r.OnHousingAcross(&house); err != nil {
			b.Fatal(err)
		}
	}
}
