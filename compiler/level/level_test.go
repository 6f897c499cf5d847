package level

import (
	"math"
	"testing"

	"ironbed/compiler/verify"
)

// TestCapillaryLength is that of clean water, as books and courses print it.
func TestCapillaryLength(t *testing.T) {
	l, err := Film{Depth: 1e-3, Density: 998, Viscosity: 1e-3, Tension: 72.8e-3}.CapillaryLength()
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "capillary length", Quantity: "capillary length of water at 20 °C", Unit: "mm", Source: "from memory: de Gennes 2004, 2.7 mm", Want: 2.7, RelTol: 0.02}, l*1e3)
}

// TestEdgeStrip: a height of water that a wall draws up is 3.9 mm; the strip ends there where that is left, and is wider by a capillary
// length for each e in height.
func TestEdgeStrip(t *testing.T) {
	water := Film{Depth: 1e-3, Density: 998, Viscosity: 1e-3, Tension: 72.8e-3}
	const most = 3.86e-3
	l, _ := water.CapillaryLength()
	for _, c := range [][2]float64{{most, 0}, {2 * most, 0}, {most / math.E, l}, {most / math.E / math.E, 2 * l}} {
		if x, err := water.EdgeStrip(c[0]); err != nil || math.Abs(x-c[1]) > 0.01*l {
			t.Errorf("%g: %g, want %g, %v", c[0], x, c[1], err)
		}
	}
}

// TestRate holds the rate against the evolution equation of a film itself, h_t = ((h³/3η) (ρ g h − γ h″)′)′, stepped through time on a grid with
// a low wave on it, dams at both ends.
func TestRate(t *testing.T) {
	const n, length, low = 40, 0.5, 1e-4
	f := Film{Depth: 5e-3, Density: 1150, Viscosity: 0.6, Tension: 0.04}
	step := length / n
	h := make([]float64, n)
	for i := range h {
		h[i] = f.Depth * (1 + low*math.Cos(math.Pi*(float64(i)+0.5)/n))
	}
	at := func(i int) float64 { // beyond a dam the surface is that before it, mirrored
		if i < 0 {
			i = -1 - i
		}
		if i >= n {
			i = 2*n - 1 - i
		}
		return h[i]
	}
	wave := func() float64 {
		sum := 0.0
		for i := range h {
			sum += 2.0 / n * h[i] * math.Cos(math.Pi*(float64(i)+0.5)/n)
		}
		return sum
	}
	first, volume := wave(), 0.0
	const until, dt = 20.0, 0.01
	for range int(until / dt) {
		flow := make([]float64, n+1) // through the left side of each; none through a dam
		for i := 1; i < n; i++ {
			pressure := func(i int) float64 {
				return f.Density*gravity*at(i) - f.Tension*(at(i+1)-2*at(i)+at(i-1))/(step*step)
			}
			mean := (at(i) + at(i-1)) / 2
			flow[i] = -mean * mean * mean / (3 * f.Viscosity) * (pressure(i) - pressure(i-1)) / step
		}
		for i := range h {
			h[i] -= dt * (flow[i+1] - flow[i]) / step
		}
	}
	for _, v := range h {
		volume += v / n
	}
	s, err := f.Rate(2 * length)
	if err != nil {
		t.Fatal(err)
	}
	if got := math.Log(first/wave()) / until; math.Abs(got-s) > 0.005*s {
		t.Errorf("the equation levels at %g 1/s, the rate is %g", got, s)
	}
	if math.Abs(volume-f.Depth) > 1e-12 {
		t.Errorf("depth %g has become %g", f.Depth, volume)
	}
	// By hand: 1150 · 9.80665 · 1.25e-7/1.8 · (π/0.5)² and, by surface tension, 0.014 % more.
	if want := 1150 * 9.80665 * 1.25e-7 / 1.8 * 39.478 * 1.00014; math.Abs(s-want) > 2e-5*want {
		t.Errorf("rate %g, want %g", s, want)
	}
}

// TestTime: twice the length takes four times as long, twice the depth an eighth, twice the viscosity twice as long; and what levels in that
// time reaches that far.
func TestTime(t *testing.T) {
	f := Film{Depth: 5e-3, Density: 1150, Viscosity: 0.6}
	of := func(f Film, length float64) float64 {
		v, err := f.Time(length, 1e-3, 1e-5)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	base, deep, thick := of(f, 2), f, f
	deep.Depth, thick.Viscosity = 2*f.Depth, 2*f.Viscosity
	for _, c := range [][2]float64{{of(f, 4), 4}, {of(deep, 2), 0.125}, {of(thick, 2), 2}} {
		if math.Abs(c[0]/base-c[1]) > 1e-9 {
			t.Errorf("%g times as long, want %g", c[0]/base, c[1])
		}
	}
	if l, err := f.Reach(base, 1e-3, 1e-5); err != nil || math.Abs(l-2) > 1e-9 {
		t.Errorf("levels over %g m, %v", l, err)
	}
}

// TestResidual: a builder's land with a dip of 1.7 mm was left with one of 0.18 mm, a tenth; a second pour leaves a tenth of that.
func TestResidual(t *testing.T) {
	r, err := Residual(0.18/1.7, 1.7e-3, 1)
	if err != nil || math.Abs(r-0.18e-3) > 1e-12 {
		t.Errorf("%g, %v", r, err)
	}
	if r, _ := Residual(0.1, 1.7e-3, 2); math.Abs(r-17e-6) > 1e-12 {
		t.Errorf("%g after two pours", r)
	}
}

// TestOutside: what cannot be is refused.
func TestOutside(t *testing.T) {
	good := Film{Depth: 5e-3, Density: 1150, Viscosity: 0.6, Tension: 0.04}
	for _, bad := range []Film{{}, {Depth: -1, Density: 1, Viscosity: 1}, {Depth: 1, Density: 1, Viscosity: math.NaN()}, {Depth: 1, Density: 1, Viscosity: 1, Tension: -1}} {
		if _, err := bad.Rate(1); err == nil {
			t.Errorf("%v levels", bad)
		}
		if _, err := bad.EdgeStrip(1e-5); err == nil {
			t.Errorf("%v has an edge", bad)
		}
	}
	for _, c := range [][3]float64{{0, 1e-3, 1e-5}, {1, 1e-3, 0}, {1, 1e-6, 1e-5}, {math.Inf(1), 1e-3, 1e-5}} {
		if v, err := good.Time(c[0], c[1], c[2]); err == nil {
			t.Errorf("%v takes %g", c, v)
		}
	}
	if _, err := Residual(1.5, 1e-3, 1); err == nil {
		t.Error("it loses more than there is")
	}
	if _, err := Residual(0.1, 1e-3, 0); err == nil {
		t.Error("no pour leaves something")
	}
}

// TestLeft: what is left after the time that it takes to level is that to which it has; by hand, a tenth of the time after ln 10 over the rate.
func TestLeft(t *testing.T) {
	f := Film{Depth: 6e-3, Density: 1150, Viscosity: 0.6}
	time, err := f.Time(4.4, 0.6e-3, 10e-6)
	if err != nil {
		t.Fatal(err)
	}
	left, err := f.Left(4.4, 0.6e-3, time)
	if err != nil || math.Abs(left-10e-6) > 1e-12 {
		t.Errorf("left %g, %v", left, err)
	}
	// 3 · 0.6 · 4.4² / (1150 · 9.80665 · 0.006³ · π²) = 1449.4 s for each factor of e.
	verify.Check(t, verify.Case{ID: "left", Quantity: "unevenness of a resin 6 mm deep over 4.4 m after an hour, of 0.6 mm", Unit: "µm", Source: "by hand: 600 e^(−3600/1449.5)", Want: 50.07, RelTol: 1e-3}, f.left(t))
}

func (f Film) left(t *testing.T) float64 {
	v, err := f.Left(4.4, 0.6e-3, 3600)
	if err != nil {
		t.Fatal(err)
	}
	return v * 1e6
}

// TestDepthFor: a film of the depth that is asked for takes the time; by hand for water with a wetting agent.
func TestDepthFor(t *testing.T) {
	water := Film{Density: 998, Viscosity: 1e-3, Tension: 0.03}
	h, err := water.DepthFor(4.4, 1e-3, 10e-6, 600)
	if err != nil {
		t.Fatal(err)
	}
	// 3 · 0.001 · 4.4² · ln 100 / (π² · 998 · 9.80665 · 600) = 4.6153e-9, and its cube root.
	verify.Check(t, verify.Case{ID: "depth for", Quantity: "depth of water that levels over 4.4 m in 10 min", Unit: "mm", Source: "by hand: (4.615e-9)^(1/3)", Want: 1.6649, RelTol: 1e-4}, h*1e3)
	water.Depth = h
	water.Tension = 0
	if time, err := water.Time(4.4, 1e-3, 10e-6); err != nil || math.Abs(time-600) > 1e-6 {
		t.Errorf("takes %g s, %v", time, err)
	}
}

// TestChannelWidth holds the channel against two pools stepped through time, and a number by hand.
func TestChannelWidth(t *testing.T) {
	f := Film{Depth: 6e-3, Density: 1150, Viscosity: 0.6, Tension: 0.04}
	const length, one, other, first, last, time = 0.9, 0.264, 0.132, 0.6e-3, 10e-6, 3600.0
	w, err := f.ChannelWidth(length, one, other, first, last, time)
	if err != nil {
		t.Fatal(err)
	}
	// 3 · 0.6 · 0.9 · ln 60 / (6e-3³ · 1150 · 9.80665 · 3600 · (1/0.264 + 1/0.132)).
	verify.Check(t, verify.Case{ID: "channel", Quantity: "channel that joins two beds of 0.264 and 0.132 m²", Unit: "mm", Source: "by hand: 6.6329/99.652", Want: 66.56, RelTol: 1e-3}, w*1e3)
	high, low := first, 0.0
	const steps = 100000
	for range steps {
		q := w * f.Depth * f.Depth * f.Depth * f.Density * gravity * (high - low) / (3 * f.Viscosity * length)
		high -= q * time / steps / one
		low += q * time / steps / other
	}
	if left := high - low; math.Abs(left-last) > 1e-3*last {
		t.Errorf("after the time it is %g, want %g", left, last)
	}
}
