package drive

import (
	"fmt"
	"math"
	"testing"

	"ironbed/compiler/verify"
)

// The critical speed and the buckling of a shaft with E I = ρ A = L = 1 whose first end
// stands on a spring against tilting.
func TestTiltingBracket(t *testing.T) {
	of := value(t)
	shaft := unitSpan(0, true)
	for i, c := range []struct {
		ends               Ends
		tilt               float64
		critical, buckling float64
	}{
		{FixedFree, 1, 1.5573, 0.740174}, {FixedFree, 10, 2.96784, 2.04167}, {FixedFree, 50, 3.383, 2.37162},
		{FixedSupported, 1, 10.7144, 11.5982}, {FixedSupported, 10, 13.4296, 17.0763}, {FixedSupported, 50, 14.8621, 19.4233},
		{FixedFixed, 1, 16.3364, 22.9688}, {FixedFixed, 10, 19.6273, 33.1532}, {FixedFixed, 50, 21.577, 37.9528},
	} {
		source := "independent finite elements, cubic beam, 80 elements"
		verify.Check(
			t,
			verify.Case{
				ID:       fmt.Sprintf("D-%d", 140+2*i),
				Quantity: fmt.Sprintf("λ² %v, bracket of %g EI/L", c.ends, c.tilt),
				Unit:     "-",
				Source:   source,
				Want:     c.critical,
				RelTol:   1e-5,
			},
			of(CriticalSpeedTilting(c.ends, shaft.RootDiameter, 1, c.tilt, shaft.Material)),
		)
		verify.Check(
			t,
			verify.Case{
				ID:       fmt.Sprintf("D-%d", 141+2*i),
				Quantity: fmt.Sprintf("P L²/EI %v, bracket of %g EI/L", c.ends, c.tilt),
				Unit:     "-",
				Source:   source,
				Want:     c.buckling,
				RelTol:   1e-5,
			},
			of(BucklingLoadTilting(c.ends, shaft.RootDiameter, 1, c.tilt, shaft.Material)),
		)
	}
}

// A bracket lies between a supported end and a fixed one, and reaches both.
func TestTiltingBracketBetweenItsLimits(t *testing.T) {
	of := value(t)
	as := map[Ends]Ends{FixedSupported: SupportedSupported, FixedFixed: FixedSupported}
	for e, soft := range as {
		speed, load := 0.0, 0.0
		for _, tilt := range []float64{1e-3, 1, 1e3, 1e5, 1e9} {
			s, p := of(CriticalSpeedTilting(e, 0.02, 1, tilt, Steel())), of(BucklingLoadTilting(e, 0.02, 1, tilt, Steel()))
			if s <= speed || p <= load {
				t.Errorf("%v: a stiffer bracket lowers its critical speed or buckling load: %g, %g", e, s, p)
			}
			speed, load = s, p
		}
		for _, end := range []struct {
			ends Ends
			tilt float64
		}{{soft, 1e-3}, {e, 1e9}} {
			if a, b := of(CriticalSpeedTilting(e, 0.02, 1, end.tilt, Steel())), of(CriticalSpeed(end.ends, 0.02, 1, Steel())); !near(a, b, 1e-5) {
				t.Errorf("%v with a bracket of %g has a critical speed of %g, %v of %g", e, end.tilt, a, end.ends, b)
			}
			if a, b := of(BucklingLoadTilting(e, 0.02, 1, end.tilt, Steel())), of(BucklingLoad(end.ends, 0.02, 1, Steel())); !near(a, b, 1e-5) {
				t.Errorf("%v with a bracket of %g buckles at %g, %v at %g", e, end.tilt, a, end.ends, b)
			}
		}
	}
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := CriticalSpeedTilting(FixedFixed, 0.02, 1, bad, Steel()); err == nil {
			t.Errorf("a bracket of %g is accepted", bad)
		}
		if _, err := BucklingLoadTilting(FixedFixed, 0.02, 1, bad, Steel()); err == nil {
			t.Errorf("a bracket of %g is accepted", bad)
		}
	}
}
