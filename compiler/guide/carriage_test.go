package guide

import (
	"math"
	"math/rand"
	"reflect"
	"testing"

	"ironbed/compiler/verify"
)

func someCarriage() Input {
	return Input{
		Carriage:  Carriage{Kind: Ball, Dynamic: 13e3, Base: Base100, Static: 22e3, Roll: 200, Pitch: 150, Yaw: 150, Preload: 300},
		Duty:      []DutyStep{{Load{Radial: 600, Lateral: 150}, 1}, {Load{Radial: -200, Lateral: -100}, 3}},
		Peaks:     []Load{{Radial: -1500, Lateral: 300}},
		MeanSpeed: 0.05, TravelWanted: 5e6,
		Limits: CommonLimits(),
	}
}

func analysed(t *testing.T, in Input) Output {
	t.Helper()
	out, err := Analyse(in)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func found(out Output, name string) (Check, bool) {
	for _, c := range out.Checks {
		if c.Name == name {
			return c, true
		}
	}
	return Check{}, false
}

func TestAnalyse(t *testing.T) {
	of := value(t)
	in := someCarriage()
	out := analysed(t, in)
	// Worked by hand: 1.2 · (1500 + 300), 1.2 · 1500, 1.2 · 300.
	for _, c := range [][2]float64{{out.PeakLoad, 2160}, {out.StaticSafety, 22000.0 / 2160}, {out.LiftOff, 1800}, {out.SideLoad, 360}} {
		if !near(c[0], c[1], 1e-12) {
			t.Errorf("got %g, want %g in %+v", c[0], c[1], out)
		}
	}
	mean := of(MeanLoad(Ball, []Step{{of(PreloadedLoad(Ball, 300, 900)), 1}, {of(PreloadedLoad(Ball, 300, 360)), 3}}))
	if !near(out.MeanLoad, mean, 1e-12) || !near(out.Life, of(Life(Ball, 13e3, Base100, mean)), 1e-12) || !near(out.LifeTime, out.Life/0.05, 1e-12) {
		t.Errorf("%+v", out)
	}
	if len(out.Checks) != 4 || len(out.Violations) != 0 {
		t.Errorf("checks %v, violations %v", out.Checks, out.Violations)
	}
	for _, c := range out.Checks {
		if !c.OK {
			t.Errorf("%+v", c)
		}
	}
	better := in
	better.Limits.Reliability = 0.99
	if got := analysed(t, better).Life / out.Life; !near(got, of(ReliabilityFactor(0.99)), 1e-12) {
		t.Errorf("at 99 %% it lasts %g of its life", got)
	}
	tight := in
	tight.RailShoulder, tight.CarriageShoulder = true, true
	if _, ok := found(analysed(t, tight), RuleLateralLoad); ok {
		t.Error("lateral load is checked where shoulders take it")
	}
	half := in
	half.RailShoulder = true
	if c, _ := found(analysed(t, half), RuleLateralLoad); !near(c.Limit, 1300, 1e-12) {
		t.Errorf("a carriage without a shoulder may take %g N", c.Limit)
	}
	idle := Input{Carriage: in.Carriage, Limits: in.Limits}
	if out := analysed(t, idle); out.Life != 0 || out.StaticSafety != 0 || len(out.Checks) != 3 {
		t.Errorf("an idle carriage: %+v", out)
	}
}

func TestAnalyseChecksFail(t *testing.T) {
	for name, change := range map[string]func(*Input){
		RuleStaticLoad:  func(in *Input) { in.Peaks[0].Radial = 12e3 },
		RuleLife:        func(in *Input) { in.TravelWanted = 1e9 },
		RuleLiftOff:     func(in *Input) { in.Peaks[0].Radial = -6e3 },
		RuleLateralLoad: func(in *Input) { in.Peaks[0].Lateral = -600 },
	} {
		in := someCarriage()
		change(&in)
		if c, ok := found(analysed(t, in), name); !ok || c.OK || c.Demand <= c.Limit {
			t.Errorf("%s should fail: %+v", name, c)
		}
	}
	in := someCarriage()
	in.Duty[0].Load.Radial, in.Duty[0].Travel = 12e3, 3
	if out := analysed(t, in); len(out.Violations) != 1 || out.Violations[0].Name != ValidLifeLoad {
		t.Errorf("a load near the rating violates %v", out.Violations)
	}
}

func TestAnalyseRefuses(t *testing.T) {
	for name, change := range map[string]func(*Input){
		"no kind":                    func(in *Input) { in.Carriage.Kind = 0 },
		"no base":                    func(in *Input) { in.Carriage.Base = 0 },
		"moment without a rating":    func(in *Input) { in.Carriage.Yaw, in.Duty[1].Load.Yaw = 0, 5 },
		"a peak that is no number":   func(in *Input) { in.Peaks[0].Radial = math.NaN() },
		"duty without travel":        func(in *Input) { in.Duty[0].Travel, in.Duty[1].Travel = 0, 0 },
		"reliability out of range":   func(in *Input) { in.Limits.Reliability = 0.5 },
		"allowance that helps":       func(in *Input) { in.Limits.LoadAllowance = 0.5 },
		"moment rating below nought": func(in *Input) { in.Carriage.Roll = -1 },
	} {
		in := someCarriage()
		change(&in)
		if out, err := Analyse(in); err == nil || !reflect.DeepEqual(out, Output{}) {
			t.Errorf("%s is accepted", name)
		}
	}
}

// Whatever is put in, no number that is not one comes out.
func TestNeverLeavesTheNumbers(t *testing.T) {
	random := rand.New(rand.NewSource(9))
	finite := func(v any) {
		if !verify.Finite(v) {
			t.Fatalf("%+v", v)
		}
	}
	computed := 0
	for range 20000 {
		in := someCarriage()
		verify.Spoil(random, &in)
		if out, err := Analyse(in); err == nil {
			computed++
			finite(out)
		}
		problem := struct {
			Table  Table
			Forces []Force
		}{Table{0.5, 0.4, 0, -0.1}, someForces(random)}
		verify.Spoil(random, &problem)
		if loads, drive, err := problem.Table.Loads(problem.Forces); err == nil {
			finite(loads)
			finite(drive)
		}
		if k, err := problem.Table.Stiffness(1e8, 1e300); err == nil {
			finite(k)
		}
	}
	if computed < 1000 {
		t.Errorf("only %d of 20000 inputs were computed", computed)
	}
}
