package motor

import (
	"math"
	"testing"
)

func near(a, b, tol float64) bool {
	return math.Abs(a-b) <= tol*math.Max(math.Abs(a), math.Abs(b))
}

// value returns the value of a formula that may not fail here.
func value(t *testing.T) func(float64, error) float64 {
	return func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func TestTransmissionIdentities(t *testing.T) {
	of := value(t)
	one := Transmission{Lead: 0.01, Efficiency: 0.9, Drag: 0.2, Ratio: 1, RatioEfficiency: 1}
	two := one
	two.Ratio = 2
	if !near(of(two.MotorTorque(1500)), of(one.MotorTorque(1500))/2, 1e-14) {
		t.Error("twice the ratio does not halve the torque")
	}
	if !near(of(two.MotorSpeed(0.1)), 2*of(one.MotorSpeed(0.1)), 1e-14) {
		t.Error("twice the ratio does not double the speed")
	}
	for _, tr := range []Transmission{one, two} {
		if back := of(tr.Force(of(tr.MotorTorque(1234)))); !near(back, 1234, 1e-12) {
			t.Errorf("1234 N comes back as %g N", back)
		}
	}
	// A lossless drive loses no power.
	lossless := Transmission{Lead: 0.01, Efficiency: 1, Ratio: 3, RatioEfficiency: 1}
	power := of(lossless.MotorTorque(800)) * of(lossless.MotorSpeed(0.2))
	if !near(power, 800*0.2, 1e-12) {
		t.Errorf("160 W in the axis take %g W of a lossless motor", power)
	}
}

func TestTorqueCurve(t *testing.T) {
	of := value(t)
	curve := []TorquePoint{{100, 2}, {200, 2}, {300, 1}, {400, 0.2}}
	for speed, want := range map[float64]float64{0: 2, 100: 2, 150: 2, 250: 1.5, 300: 1, 400: 0.2} {
		if got := of(TorqueAt(curve, speed)); !near(got, want, 1e-14) {
			t.Errorf("torque at %g is %g, want %g", speed, got, want)
		}
	}
	if _, err := TorqueAt(curve, 401); err == nil {
		t.Error("torque above the top speed")
	}
	for torque, want := range map[float64]float64{0: 400, 0.2: 400, 0.6: 350, 1: 300, 1.5: 250, 2: 200, 2.5: 0} {
		if got := of(SpeedAtTorque(curve, torque)); !near(got, want, 1e-12) {
			t.Errorf("speed at %g N·m is %g, want %g", torque, got, want)
		}
	}
	for _, bad := range [][]TorquePoint{nil, {{0, 1}}, {{200, 1}, {100, 1}}, {{100, 1}, {100, 2}}, {{100, -1}}, {{100, math.NaN()}}} {
		if _, err := TorqueAt(bad, 0); err == nil {
			t.Errorf("%v is accepted", bad)
		}
	}
}

func TestThrustIsWhatTheTorqueMakes(t *testing.T) {
	of := value(t)
	curve := []TorquePoint{{300, 2.4}, {500, 1.2}}
	tr := Transmission{Lead: 0.005, Efficiency: 0.85, Drag: 0.1, Ratio: 1.5, RatioEfficiency: 0.96}
	for _, feed := range []float64{0, 0.05, 0.1, 0.2} {
		thrust := of(ThrustAvailable(curve, tr, feed, 80, 300))
		torque := of(TorqueAt(curve, of(tr.MotorSpeed(feed))))
		if !near(of(tr.MotorTorque(thrust+380)), torque, 1e-12) {
			t.Errorf("at %g m/s a thrust of %g takes another torque", feed, thrust)
		}
	}
}

func TestAccelerationInverts(t *testing.T) {
	of := value(t)
	tr := Transmission{Lead: 0.01, Efficiency: 0.9, Drag: 0.2, Ratio: 2, RatioEfficiency: 0.95}
	in := Inertia{Mass: 250, Driven: 5e-4, Motor: 1.5e-4}
	torque := of(AccelerationTorque(tr, in, 1.5, 120))
	if got := of(Acceleration(tr, in, torque, 120)); !near(got, 1.5, 1e-12) {
		t.Errorf("1.5 m/s² comes back as %g", got)
	}
	if got := of(Acceleration(tr, in, 0.01, 120)); got != 0 {
		t.Errorf("a torque too small to move gives %g m/s²", got)
	}
	// Without losses the work of the motor is the gain of kinetic energy.
	free := Transmission{Lead: 0.01, Efficiency: 1, Ratio: 2, RatioEfficiency: 1}
	const a, v = 1.5, 0.2
	power := of(AccelerationTorque(free, in, a, 0)) * of(free.MotorSpeed(v))
	screw := 2 * math.Pi / 0.01
	gain := a * v * (in.Mass + in.Driven*screw*screw + in.Motor*4*screw*screw)
	if !near(power, gain, 1e-12) {
		t.Errorf("power %g W, gain of kinetic energy %g W", power, gain)
	}
}
