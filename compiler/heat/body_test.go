package heat

import (
	"math"
	"testing"

	"ironbed/compiler/verify"
)

// The film of still air holds what the relations give for a painted frame 0.2 to 1.5 m high, 1 to 5 K off the room.
func TestStillAirAgainstTheRelations(t *testing.T) {
	of, usual := value(t), StillAir()
	air, err := AirAt(295)
	if err != nil {
		t.Fatal(err)
	}
	least, most := math.Inf(1), 0.0
	for _, height := range []float64{0.2, 0.5, 1.5} {
		for _, rise := range []float64{1, 2, 5} {
			h := of(FreePlate(air, rise, height)) + of(RadiationFilm(0.9, 295))
			least, most = math.Min(least, h), math.Max(most, h)
		}
	}
	if least < usual.Low || most > usual.High || usual.Nominal < least || usual.Nominal > most {
		t.Errorf("relations give %g to %g, usual %+v", least, most, usual)
	}
}

// A thick plate against the first root of its equation, which the reference rows hold.
func TestThickTimeConstant(t *testing.T) {
	of := value(t)
	for _, half := range []float64{0.01, 0.05, 0.14} {
		w := Wall{Half: half, Conductivity: 1.4, Density: 2300, SpecificHeat: 880, Film: 10}
		bi := of(Biot(w.Film, half, w.Conductivity))
		got := of(ThickTimeConstant(w.Density*w.SpecificHeat*half, w.Film, 1, bi))
		verify.Check(t, verify.Case{ID: "thick." + verifyName(half), Quantity: "time constant of a concrete plate cooled on both faces", Unit: "s",
			Source: "Incropera 2007, 5.5: L²/(a z²) with z tan z = Bi", Want: of(w.TimeConstant()), RelTol: 0.02}, got)
	}
}

// verifyName names a half thickness.
func verifyName(half float64) string {
	return map[float64]string{0.01: "10mm", 0.05: "50mm", 0.14: "140mm"}[half]
}

// RampShare against the equation, τ x' = r t − x, integrated in small steps.
func TestRampShareAgainstItsEquation(t *testing.T) {
	of := value(t)
	for _, tau := range []float64{600, 3600, 8 * hour} {
		const until, steps = 3600.0, 40000
		x, dt := 0.0, until/steps
		for n := range steps {
			mid := (float64(n) + 0.5) * dt / until // of the room
			x += dt / tau * (mid - x - dt/tau*(mid-x)/2)
		}
		if got := of(RampShare(tau, until)); !near(got, x, 1e-4) {
			t.Errorf("τ %g: share %g, integrated %g", tau, got, x)
		}
	}
	// A difference of near numbers goes on as its series does, t/(2 τ).
	if got := of(RampShare(1e9, 1)); !near(got, 0.5e-9, 1e-6) {
		t.Errorf("a body that hardly follows: %g", got)
	}
}

// A housing is a lump: its rise is that of its power over its film, and it nears it by exp(−t/τ).
func TestHousing(t *testing.T) {
	of := value(t)
	// A cylinder 100 mm across and 200 mm long: A = π 0.1 0.2 + π 0.1²/2, m = 7850 π/4 0.1² 0.2.
	h := Housing{Mass: 7850 * math.Pi / 4 * 0.01 * 0.2, Length: 0.2, Density: 7850, SpecificHeat: 470, Solid: 1}
	const hand = "worked by hand: a cylinder of 100 mm by 200 mm of steel; Incropera 2007, 5.1, lumped capacity"
	verify.Check(t, verify.Case{ID: "housing.surface", Quantity: "surface of a round housing", Unit: "m²", Source: hand, Want: 0.0785398, RelTol: 1e-6}, of(h.Surface()))
	w, err := h.Warming(30, 10)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "housing.rise", Quantity: "rise with 30 W through 10 W/(m²·K)", Unit: "K", Source: hand, Want: 38.1972, RelTol: 1e-5}, w.End)
	verify.Check(t, verify.Case{ID: "housing.time", Quantity: "time constant, ρ c V/(h A)", Unit: "s", Source: hand, Want: 7379, RelTol: 1e-4}, w.TimeConstant)
	verify.Check(t, verify.Case{ID: "housing.one", Quantity: "share reached after one time constant", Unit: "-",
		Source: "Incropera 2007, 5.1: 1 − 1/e", Want: 0.632121, RelTol: 1e-5}, of(w.At(w.TimeConstant))/w.End)
	more, err := h.Warming(60, 10)
	if err != nil || !near(more.End, 2*w.End, 1e-12) || more.TimeConstant != w.TimeConstant {
		t.Errorf("twice the power: %+v, %+v, %v", w, more, err)
	}
}

// After the wait the limit is what is still to come; more heat, a smaller limit and one growth more never wait less.
func TestWaitForRest(t *testing.T) {
	of := value(t)
	one, other := Warming{30e-6, 1200}, Warming{-100e-6, 2000}
	const source = "worked by hand: 1200 ln(30/3) s"
	verify.Check(t, verify.Case{ID: "wait.one", Quantity: "time until a tenth of a growth is to come", Unit: "s", Source: source, Want: 2763.1, RelTol: 1e-5},
		of(WaitForRest(3e-6, one)))
	wait := of(WaitForRest(3e-6, one, other))
	rest := 30e-6*math.Exp(-wait/1200) + 100e-6*math.Exp(-wait/2000)
	if !near(rest, 3e-6, 1e-9) {
		t.Errorf("after %g s %g is to come", wait, rest)
	}
	last := 0.0
	for k := 0.0; k <= 10; k += 0.25 {
		w := of(WaitForRest(3e-6, Warming{k * one.End, one.TimeConstant}, other))
		if w < last {
			t.Errorf("%g times the heat waits %g, less than %g", k, w, last)
		}
		last = w
	}
	if of(WaitForRest(1e-6, one, other)) <= wait || of(WaitForRest(3e-6, one)) >= wait {
		t.Error("a smaller limit or one growth more waits less")
	}
	if of(WaitForRest(131e-6, one, other)) != 0 || of(WaitForRest(1e-6)) != 0 {
		t.Error("waits for nothing")
	}
	if _, err := WaitForRest(0, one); err == nil {
		t.Error("no limit is taken")
	}
}

// The unit load on a column held at its foot: its end moves by α ΔT L along, and by κ L²/2 across.
func TestStretchOfAColumn(t *testing.T) {
	of := value(t)
	const length, strain, curvature = 0.5, 12e-6 * 3, 6e-5
	along := of(Stretch{Length: length, Strain: strain, Axial: 1}.Shift())
	if !near(along, strain*length, 1e-12) {
		t.Errorf("along %g", along)
	}
	// A unit force along z at the end: My = −(L − x).
	across := of(Stretch{Length: length, Slope: [2]float64{0, curvature}, MomentsY: [2]float64{-length, 0}}.Shift())
	if want := -of(TipShift(curvature, length)); !near(across, want, 1e-12) {
		t.Errorf("across %g, the column's end %g", across, want)
	}
	// A unit force along y: Mz = L − x.
	side := of(Stretch{Length: length, Slope: [2]float64{curvature, 0}, MomentsZ: [2]float64{length, 0}}.Shift())
	if !near(side, across, 1e-12) {
		t.Errorf("aside %g, across %g", side, across)
	}
}

func TestSpecificHeat(t *testing.T) {
	of := value(t)
	// Source: Incropera 2007, tables A.1 and A.3, from memory: plain carbon steel 434, aluminium 903, concrete 880, sand 800, plywood 1215.
	for density, want := range map[float64]float64{7850: 434, 2700: 903, 2350: 880, 1600: 800, 680: 1215} {
		if got := of(SpecificHeat(density)); math.Abs(got-want) > 0.16*want {
			t.Errorf("%g kg/m³: %g, in the tables %g", density, got, want)
		}
	}
	// The same: plain carbon steel 60.5, concrete 1.4, plywood 0.12.
	for density, want := range map[float64]float64{7850: 60.5, 2350: 1.4, 680: 0.12} {
		if got := of(Conductivity(density)); math.Abs(got-want) > 0.26*want {
			t.Errorf("%g kg/m³: conductivity %g, in the tables %g", density, got, want)
		}
	}
}
