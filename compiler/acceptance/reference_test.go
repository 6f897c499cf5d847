package acceptance

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"ironbed/compiler/motion"
	"ironbed/compiler/verify"
)

const (
	mm     = 1e-3
	um     = 1e-6
	urad   = 1e-6
	arcSec = math.Pi / 180 / 3600
)

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

// table reads the numbers of a CSV file with one line of heads.
func table(t *testing.T, in verify.Inputs) (rows [][]float64) {
	f, err := os.Open(filepath.Join("testdata", filepath.Base(in.Text("file"))))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, record := range all[1:] {
		row := make([]float64, len(record))
		for i, word := range record {
			if row[i], err = strconv.ParseFloat(word, 64); err != nil {
				t.Fatal(err)
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// targets are the readings of a positioning test, from a file or from the closed form.
func targets(t *testing.T, in verify.Inputs) (list []Target) {
	if in.Has("file") {
		for _, row := range table(t, in) {
			if len(list) == 0 || list[len(list)-1].Position != mm*row[0] {
				i := 0
				for i < len(list) && list[i].Position != mm*row[0] {
					i++
				}
				if i == len(list) {
					list = append(list, Target{Position: mm * row[0]})
				}
			}
			for i := range list {
				if list[i].Position != mm*row[0] {
					continue
				}
				if row[2] > 0 {
					list[i].Forward = append(list[i].Forward, um*row[3])
				} else {
					list[i].Backward = append(list[i].Backward, um*row[3])
				}
			}
		}
		return list
	}
	for _, x := range in.Numbers("targets_mm") {
		one := Target{Position: mm * x}
		for _, v := range in.Numbers("pattern_um") {
			one.Forward = append(one.Forward, um*(in.Number("slope_um_per_mm")*x+in.Number("reversal_um")/2+v))
			one.Backward = append(one.Backward, um*(in.Number("slope_um_per_mm")*x-in.Number("reversal_um")/2+v))
		}
		list = append(list, one)
	}
	return list
}

// plane reads a pair of axes; what is not in the row is without error.
func plane(in verify.Inputs) Plane {
	number := func(name string, unit float64) float64 {
		if !in.Has(name) {
			return 0
		}
		return unit * in.Number(name)
	}
	return Plane{
		Squareness: number("gamma_urad", urad),
		Scale:      [2]float64{number("sx_ppm", 1e-6), number("sy_ppm", 1e-6)},
		Lost:       [2]float64{number("bx_um", um), number("by_um", um)},
		Gain:       [2]float64{number("Kx_per_s", 1), number("Ky_per_s", 1)},
		Feed:       number("feed_mm_s", mm),
		Radius:     number("R_mm", mm),
	}
}

// Positioning, circles and straightness, see testdata/check_values.csv.
func TestReference(t *testing.T) {
	of := value(t)
	one := func(pick func(Positioning) float64, coverage float64) func(verify.Inputs) []float64 {
		return func(in verify.Inputs) []float64 {
			p, err := Evaluate(targets(t, in), coverage)
			if err != nil {
				t.Fatal(err)
			}
			return []float64{pick(p) / um}
		}
	}
	each := func(pick func(Deviation) float64) func(verify.Inputs) []float64 {
		return func(in verify.Inputs) (list []float64) {
			p, err := Evaluate(targets(t, in), Coverage)
			if err != nil {
				t.Fatal(err)
			}
			for _, d := range p.Targets {
				list = append(list, pick(d)/um)
			}
			return list
		}
	}
	deviation := func(clockwise bool) func(verify.Inputs) []float64 {
		return func(in verify.Inputs) []float64 {
			p := plane(in)
			p.Clockwise = clockwise
			return []float64{of(p.CircularDeviation()) / um}
		}
	}
	radial := func(angle float64) func(verify.Inputs) []float64 {
		return func(in verify.Inputs) []float64 { return []float64{of(plane(in).Radial(angle)) / um} }
	}
	// a path of points without noise, for the circle of least squares
	path := func(in verify.Inputs) (points []Point) {
		p := plane(in)
		for i := range 720 {
			angle := 2 * math.Pi * (float64(i) + 0.5) / 720
			sin, cos := math.Sincos(angle)
			r := p.Radius + of(p.Radial(angle))
			points = append(points, Point{r * cos, r * sin})
		}
		return points
	}
	fitted := func(points []Point) Circle {
		c, err := FitCircle(points)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	measured := func(in verify.Inputs) Circle {
		var points []Point
		for _, row := range table(t, in) {
			points = append(points, Point{mm * row[0], mm * row[1]})
		}
		return fitted(points)
	}
	jump := func(in verify.Inputs) []float64 {
		const side = 1e-9
		return []float64{math.Abs(of(plane(in).Radial(side))-of(plane(in).Radial(-side))) / um}
	}
	leastSquares := func(in verify.Inputs) []float64 { return []float64{fitted(path(in)).Deviation / um} }
	positioning := map[string]func(verify.Inputs) []float64{
		"1":  each(func(d Deviation) float64 { return d.Forward }),
		"2":  each(func(d Deviation) float64 { return d.Backward }),
		"3":  each(func(d Deviation) float64 { return d.ForwardDeviation }),
		"4":  each(func(d Deviation) float64 { return d.BackwardDeviation }),
		"5":  each(func(d Deviation) float64 { return d.Reversal }),
		"6":  one(func(p Positioning) float64 { return p.Reversal }, Coverage),
		"7":  one(func(p Positioning) float64 { return p.MeanReversal }, Coverage),
		"8":  one(func(p Positioning) float64 { return p.RepeatabilityForward }, Coverage),
		"9":  one(func(p Positioning) float64 { return p.RepeatabilityBackward }, Coverage),
		"10": one(func(p Positioning) float64 { return p.Repeatability }, Coverage),
		"11": one(func(p Positioning) float64 { return p.SystematicForward }, Coverage),
		"12": one(func(p Positioning) float64 { return p.SystematicBackward }, Coverage),
		"13": one(func(p Positioning) float64 { return p.Systematic }, Coverage),
		"14": one(func(p Positioning) float64 { return p.MeanBidirectional }, Coverage),
		"15": one(func(p Positioning) float64 { return p.AccuracyForward }, Coverage),
		"16": one(func(p Positioning) float64 { return p.AccuracyBackward }, Coverage),
		"17": one(func(p Positioning) float64 { return p.Accuracy }, Coverage),
		"18": one(func(p Positioning) float64 { return p.Accuracy }, 3),
		"19": one(func(p Positioning) float64 { return p.Repeatability }, 3),
	}
	formulas := map[string]func(verify.Inputs) []float64{
		"PA04.1": positioning["6"], "PA04.2": positioning["7"],
		"PA04.3": positioning["8"], "PA04.4": positioning["9"], "PA04.5": positioning["10"],
		"PA04.6": positioning["11"], "PA04.7": positioning["12"], "PA04.8": positioning["14"],
		"PA04.9": positioning["15"], "PA04.10": positioning["16"], "PA04.11": positioning["17"], "PA04.12": positioning["13"],
		"PA06.1": func(in verify.Inputs) []float64 {
			p, err := Evaluate(targets(t, in), Coverage)
			if err != nil {
				t.Fatal(err)
			}
			return []float64{p.Targets[0].ForwardDeviation / um}
		},
		"PA06.2": positioning["10"], "PA06.3": positioning["17"], "PA06.4": positioning["13"], "PA06.5": positioning["14"],

		"PA08.1": deviation(false), "PA08.2": radial(math.Pi / 4),
		"PA10.1": deviation(false),
		// The mean radius is what the circle of least squares has.
		"PA10.2": func(in verify.Inputs) []float64 {
			return []float64{(fitted(path(in)).Radius - mm*in.Number("R_mm")) / um}
		},
		"PA12.1": deviation(false), "PA12.2": leastSquares, "PA12.3": jump,
		"PA13.1": deviation(false), "PA13.2": leastSquares, "PA13.3": jump,
		"PA15.1": deviation(false), "PA15.2": radial(math.Pi / 4),
		// The loss of radius is second order and stands in another package.
		"PA15.3": func(in verify.Inputs) []float64 {
			axis := motion.Axis{Gain: in.Number("K_per_s"), Stiffness: 1}
			e, err := motion.Circle(axis, axis, mm*in.Number("feed_mm_s"), mm*in.Number("R_mm"))
			if err != nil {
				t.Fatal(err)
			}
			return []float64{-e.Long / um}
		},
		"PA17.1": deviation(false), "PA17.2": deviation(true),
		"PA17.3": func(in verify.Inputs) []float64 {
			return []float64{of(SquarenessOfCircles(um*in.Number("Gs_ccw_um"), um*in.Number("Gs_cw_um"), mm*in.Number("R_mm"))) / urad}
		},
		"PA19.1": func(in verify.Inputs) []float64 {
			c := measured(in)
			return []float64{c.Centre.First / um, c.Centre.Second / um}
		},
		"PA19.2": func(in verify.Inputs) []float64 { return []float64{(measured(in).Radius - mm*in.Number("R_mm")) / um} },
		"PA19.3": func(in verify.Inputs) []float64 { return []float64{measured(in).Deviation / um} },
		"PA19.4": func(in verify.Inputs) []float64 { return []float64{measured(in).LeastWidth / um} },
	}
	for number, formula := range positioning {
		formulas["PA01."+number] = formula
		formulas["PA02."+number] = formula
	}
	for _, list := range []map[string]func(verify.Inputs) []float64{straightness(t), readings(t)} {
		for id, formula := range list {
			formulas[id] = formula
		}
	}
	verify.Rows(t, "testdata/check_values.csv", formulas)
}

// straightness are the formulas of the rows on straightness.
func straightness(t *testing.T) map[string]func(verify.Inputs) []float64 {
	of := value(t)
	inUm := func(list []float64) []float64 {
		out := make([]float64, len(list))
		for i, v := range list {
			out[i] = v / um
		}
		return out
	}
	straight := func(heights []float64, step float64) Straightness {
		s, err := Straight(heights, step)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	unit := func(in verify.Inputs) float64 {
		if in.Text("reading_unit") == "arcsec" {
			return arcSec
		}
		return 1e-3
	}
	heights := func(in verify.Inputs) []float64 {
		var slopes []float64
		for _, v := range in.Numbers("readings") {
			slopes = append(slopes, v*unit(in))
		}
		h, err := Heights(slopes, mm*in.Number("base_mm"))
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	picked := func(pick func(in verify.Inputs, s Straightness) []float64) func(verify.Inputs) []float64 {
		return func(in verify.Inputs) []float64 { return pick(in, straight(heights(in), mm*in.Number("base_mm"))) }
	}
	// The mean of both passes, less the first reading, which is the datum.
	autocollimator := func(in verify.Inputs, umPerSecond float64) []float64 {
		forward, backward := in.Numbers("forward_arcsec_over_2min"), in.Numbers("backward_arcsec_over_2min")
		var slopes []float64
		for i := range forward[1:] {
			seconds := (forward[i+1]+backward[i+1])/2 - (forward[0]+backward[0])/2
			slopes = append(slopes, seconds*umPerSecond*um/(mm*in.Number("base_mm")))
		}
		h, err := Heights(slopes, mm*in.Number("base_mm"))
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	printed := func(in verify.Inputs) Straightness {
		return straight(autocollimator(in, in.Number("um_per_arcsec")), mm*in.Number("base_mm"))
	}
	formulas := map[string]func(verify.Inputs) []float64{
		"ST01.1": func(in verify.Inputs) []float64 { return inUm(autocollimator(in, in.Number("um_per_arcsec"))) },
		"ST01.2": func(in verify.Inputs) []float64 { return inUm(printed(in).FromEnds) },
		"ST01.3": func(in verify.Inputs) []float64 { return []float64{printed(in).Ends / um} },
		"ST01.4": func(in verify.Inputs) []float64 {
			return []float64{straight(autocollimator(in, arcSec*in.Number("base_mm")*mm/um), mm*in.Number("base_mm")).Ends / um}
		},
		"ST01.5": func(in verify.Inputs) []float64 { return []float64{printed(in).LeastZone / um} },
		"ST06": func(in verify.Inputs) []float64 {
			n := int(in.Number("points"))
			step := in.Number("length_m") / float64(n-1)
			bow := make([]float64, n)
			for i := range bow {
				x := step*float64(i) - in.Number("length_m")/2
				bow[i] = -x * x / 2 / in.Number("radius_m")
			}
			s := straight(bow, step)
			return []float64{s.Ends / um, s.LeastSquares / um, s.LeastZone / um}
		},
	}
	for _, id := range []string{"ST02", "ST03", "ST05"} {
		formulas[id+".1"] = func(in verify.Inputs) []float64 { return inUm(heights(in)) }
		formulas[id+".2"] = picked(func(_ verify.Inputs, s Straightness) []float64 { return inUm(s.FromEnds) })
		formulas[id+".3"] = picked(func(_ verify.Inputs, s Straightness) []float64 { return []float64{s.Ends / um} })
		formulas[id+".4"] = picked(func(_ verify.Inputs, s Straightness) []float64 { return []float64{s.LeastSquares / um} })
		formulas[id+".5"] = picked(func(_ verify.Inputs, s Straightness) []float64 { return []float64{s.Best.Slope / urad} })
		formulas[id+".6"] = picked(func(_ verify.Inputs, s Straightness) []float64 { return []float64{s.LeastZone / um} })
		formulas[id+".7"] = func(in verify.Inputs) []float64 {
			u := of(PointUncertainty(mm*in.Number("base_mm"), in.Number("u_reading")*unit(in), len(in.Numbers("readings")), int(in.Number("point"))))
			return []float64{u / um}
		}
	}
	return formulas
}

// TestSurfacePlate: readings of an autocollimator along lines of a surface plate, and the largest deviation from the line through the ends.
func TestSurfacePlate(t *testing.T) {
	const arcsecond, microinch, inch = math.Pi / 648000, 25.4e-9, 0.0254
	const moody = "Moody, How to calibrate surface plates in the plant, The Tool Engineer, October 1955"
	farthest := func(slopes []float64, base float64) (most float64) {
		heights, err := Heights(slopes, base)
		if err != nil {
			t.Fatal(err)
		}
		s, err := Straight(heights, base)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range s.FromEnds {
			if math.Abs(d) > math.Abs(most) {
				most = d
			}
		}
		return most
	}
	for _, c := range []struct {
		id, line string
		readings []float64 // arcseconds, rising
		want     float64
	}{
		{"C8-011", "diagonal", []float64{6.5, 6, 5, 5.2, 5.5, 5.6, 5.5, 5, 5.5, 4.8, 5, 5.2, 5.3, 4.9, 4.6, 4.2, 5.3, 4.9, 4.5, 3.5}, 75.63},
		{"C8-017", "short centre line", []float64{6.6, 6.4, 6.3, 6.5, 6.6, 6.9, 7.5, 7.4, 7.1, 7}, -33.94},
		{"C8-018", "long centre line", []float64{11.7, 12.4, 12.1, 12.5, 12, 11.5, 11.5, 11.3, 11.3, 10.3, 10.8, 10.3, 10, 10.7, 10.4, 10.4}, 106.66},
	} {
		slopes := make([]float64, len(c.readings))
		for i, r := range c.readings {
			slopes[i] = r * arcsecond
		}
		verify.Check(t, verify.Case{ID: c.id, Quantity: "largest deviation of a surface plate's " + c.line + " from the line through its ends", Unit: "µin",
			Source: moody, Want: c.want, RelTol: 5e-4}, farthest(slopes, 4*inch)/microinch)
	}
	// y = 4 s x/L (1 − x/L) with s = 20 µm, by five steps: 20 · 4 · 0.4 · 0.6.
	var slopes []float64
	sag := func(x float64) float64 { return 4 * 20e-6 * x * (1 - x) }
	for i := range 5 {
		slopes = append(slopes, (sag(float64(i+1)/5)-sag(float64(i)/5))/0.2)
	}
	verify.Check(t, verify.Case{ID: "C8-021", Quantity: "straightness of a parabola of 20 µm by five slopes", Unit: "µm",
		Source: "ISO 230-1, worked by hand: 20 · 4 · 0.4 · 0.6", Want: 19.2, RelTol: 1e-6}, farthest(slopes, 0.2)*1e6)
}

// readings are the formulas of the rows on twist, reversal, wires and decay.
func readings(t *testing.T) map[string]func(verify.Inputs) []float64 {
	of := value(t)
	times := func(k float64, list []float64) []float64 {
		out := make([]float64, len(list))
		for i, v := range list {
			out[i] = k * v
		}
		return out
	}
	edge := func(pick int) func(verify.Inputs) []float64 {
		return func(in verify.Inputs) []float64 {
			way, edge, err := Reversal(in.Numbers("m1_um"), in.Numbers("m2_um"))
			if err != nil {
				t.Fatal(err)
			}
			return [][]float64{way, edge}[pick]
		}
	}
	turned := func(of func(a, b float64) (float64, float64, error), pick ...int) func(verify.Inputs) []float64 {
		return func(in verify.Inputs) (list []float64) {
			one, other, err := of(in.Number("reading1_urad"), in.Number("reading2_urad"))
			if err != nil {
				t.Fatal(err)
			}
			for _, k := range pick {
				list = append(list, [2]float64{one, other}[k])
			}
			return list
		}
	}
	wire := func(in verify.Inputs) Wire {
		return Wire{Diameter: mm * in.Number("dia_mm"), Density: in.Number("rho"), Span: in.Number("L_m"), Pull: in.Number("T_N")}
	}
	of1 := func(k float64, f func(Wire) (float64, error)) func(verify.Inputs) []float64 {
		return func(in verify.Inputs) []float64 { return []float64{k * of(f(wire(in)))} }
	}
	middle := func(w Wire) (float64, error) { return w.Sag(w.Span / 2) }
	formulas := map[string]func(verify.Inputs) []float64{
		"ST12.1": func(in verify.Inputs) []float64 {
			rolls, err := Rolls(times(um, in.Numbers("rail1_um")), times(um, in.Numbers("rail2_um")), mm*in.Number("gauge_mm"))
			if err != nil {
				t.Fatal(err)
			}
			return times(1/urad, rolls)
		},
		"UP01.4": func(in verify.Inputs) []float64 {
			return []float64{of(Surprise(in.Number("y"), in.Number("u_y"), in.Number("prior_mean"), in.Number("prior_sd")))}
		},
		"ST14.1": edge(0), "ST14.2": edge(1),
		"ST16.1": turned(SquareReversal, 0), "ST16.2": turned(SquareReversal, 1), "ST16.3": turned(LevelReversal, 0, 1),
		// In feet and pounds all the way: a density and a diameter of the same weight, in units in which gravity is 1.
		"ST18": func(in verify.Inputs) []float64 {
			w := Wire{Diameter: 2 / math.Sqrt(math.Pi), Density: in.Number("w_lb_ft") / gravity, Span: in.Number("L_ft"), Pull: in.Number("T_lb")}
			return []float64{of(middle(w))}
		},
		"VB01.1": func(in verify.Inputs) []float64 {
			// The row has the decrement, δ = 2 π ζ/√(1 − ζ²).
			z := of(Decay(in.Number("ratio"), in.Number("n")))
			return []float64{2 * math.Pi * z / math.Sqrt(1-z*z)}
		},
	}
	for _, id := range []string{"VB02.2", "VB03.2"} {
		formulas[id] = func(in verify.Inputs) []float64 {
			return []float64{of(Decay(in.Number("xn")/in.Number("x0"), in.Number("n")))}
		}
	}
	for _, id := range []string{"ST19", "ST20"} {
		formulas[id+".1"] = of1(1, Wire.Weight)
		formulas[id+".2"], formulas[id+".3"] = of1(1/um, middle), of1(1/um, middle)
		formulas[id+".4"] = of1(1/um, func(w Wire) (float64, error) { return w.Sag(w.Span / 4) })
		formulas[id+".5"] = of1(1e-6, Wire.Stress)
		formulas[id+".6"] = of1(1, Wire.Pitch)
		// The pull is what is found of the pitch, whatever the wire weighs.
		formulas[id+".7"] = func(in verify.Inputs) []float64 {
			w := Wire{Diameter: 0.3 * mm, Density: 7850, Span: 2}
			w.Pull = of(w.PullOfPitch(in.Number("f_Hz")))
			return []float64{of(middle(w)) / um}
		}
		formulas[id+".8"] = of1(1/um, func(w Wire) (float64, error) {
			slack := w
			slack.Pull *= 0.98
			return of(middle(slack)) - of(middle(w)), nil
		})
	}
	return formulas
}

// TestHalfPower: the half-power points of modes, read back.
func TestHalfPower(t *testing.T) {
	of := value(t)
	for _, c := range []struct {
		id, row         string
		low, high, want float64
	}{
		{"VB05", "1 %", 0.989848978393, 1.00985097909, 0.01},
		{"VB06", "5 %", 0.946110500007, 1.04636271043, 0.05},
		{"VB07", "10 %", 0.883743465367, 1.08581650725, 0.1},
		{"VB08", "20 %", 0.726692260283, 1.1453900466, 0.2},
	} {
		verify.Check(t, verify.Case{ID: c.id, Quantity: "damping ratio of " + c.row + " by its half-power points", Unit: "-", Want: c.want, RelTol: 1e-8,
			Source: "receptance of one viscous mode, half-power points at (w/wn)^2 = 1-2z^2 -+ 2z sqrt(1-z^2); independent computation"}, of(HalfPower(60*c.low, 60*c.high)))
	}
	// Above sin π/8 there is no lower point: at that it is at zero.
	verify.Check(t, verify.Case{ID: "VB10.1", Quantity: "damping ratio above which a receptance has no lower half-power point", Unit: "-", Want: 0.382683432365, RelTol: 1e-6,
		Source: "sin(pi/8); independent computation"}, of(HalfPower(1e-9, 1)))
}
