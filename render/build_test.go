package render

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/spec/quantity"
)

// testBuild is a report written by hand: no physics was run, and no number in
// it means anything. It holds every kind of block, and text that tries to be
// Markdown.
func testBuild() *build.Build {
	b := &build.Build{
		Machine: "slipway-gantry",
		Purpose: "A moving-gantry mill for hull moulds, oars' blanks and the odd aluminium fitting",
		Spec: build.Spec{
			Digest: "9f2c6b1e0d7a4c53b8e6f1029384756a5b4c3d2e1f00112233445566778899aa",
			Files:  []string{"drives.cue", "machine.cue"},
		},
		Tool: build.Tool{Name: "ironbed", Version: "0.1.0"},
		Limits: []string{
			"Beams are Timoshenko beams; a joint's own give is what the spec says of it",
			"Chatter is bounded by a zero-order model, which overstates the depth at spindle speeds below about 1/10 of the tooth frequency.",
		},
		NotComputed: []string{"Life of the Z screw: needs its dynamic load rating, `axes.z.drive.screw.rating`"},
		Works: []build.Work{
			{Key: "EN10210", Author: "CEN", Title: "Hot finished structural hollow sections, EN 10210-2", Year: "2019"},
			{Key: "ROARK", Author: "Young, W. C.; Budynas, R. G.", Title: "Roark's formulas for stress & strain", Year: "2002, 7th ed."},
		},
	}
	testFigures(b)
	testTargets(b)
	testReasons(b)
	testSheets(b)
	return b
}

func testFigures(b *build.Build) {
	add := b.Figures.Add
	at := func(line, column int) build.Place {
		return build.Place{File: "machine.cue", Line: line, Column: column}
	}
	add(build.Figure{ID: "mass.total", Label: "mass of the whole machine", Value: 1234.5678, Unit: "kg", Bounded: true, Low: 1180, High: 1302.25,
		Formula: "sum of the bodies", Source: "derived here", Inputs: []build.Input{{Figure: "mass.moving.x"}, {Figure: "mass.bed"}}})
	add(build.Figure{ID: "mass.moving.x", Label: "mass moved by the X axis", Value: 186.2, Unit: "kg",
		Formula: "m = Σ A L ρ", Source: "ROARK, table 1 | 2; EN10210, table A.2",
		Inputs: []build.Input{
			{Label: "section", Value: `"hollow 150x100x6"`, At: at(34, 12)},
			{Label: "density of steel", Value: "7850 kg/m³"},
		}})
	add(build.Figure{ID: "mass.bed", Label: "mass of the bed", Value: 1048.4, Unit: "kg", Bounded: true, Low: 994, High: 1116,
		Formula: "m = Σ A L ρ + V_fill ρ_fill", Source: "ROARK, table 1",
		Inputs: []build.Input{
			{Label: "fill", Value: `"2300 kg/m3 ± 5 %"`, At: at(52, 9)},
			{Figure: "section.beam.area"},
		},
		Notes: []string{"The fill is taken to reach every corner"}})
	add(build.Figure{ID: "section.beam.area", Label: "area of the beam's steel", Value: 28.63, Unit: "cm²",
		Formula: "A = 2 t (b + h − 2 t) − (4 − π)(r_o² − r_i²)", Source: "EN10210, annex B",
		Inputs: []build.Input{{Label: "section", Value: `"hollow 150x100x6"`, At: at(34, 12)}}})
	for _, axis := range []string{"x", "y", "z"} {
		add(
			build.Figure{
				ID:      "tool.stiffness." + axis,
				Label:   "stiffness at the tool along " + axis,
				Value:   14.2,
				Unit:    "N/µm",
				Bounded: true,
				Low:     11.86,
				High:    16.01,
				Formula: "k = F / δ, worst of the poses, with δ from the frame solved for a unit force at the tool and the drives' own give added to it",
				Source:  "derived here; ROARK, section 8.1",
				Inputs:  []build.Input{{Figure: "mass.moving.x"}, {Figure: "section.beam.area"}},
			},
		)
	}
	for i := 1; i <= 24; i++ {
		add(build.Figure{ID: fmt.Sprintf("mode.%d.frequency", i), Label: fmt.Sprintf("natural frequency %d, worst pose", i),
			Value: 31.7 * float64(i), Unit: "Hz", Formula: "(K − ω² M) φ = 0, f = ω/(2 π)", Source: "common practice",
			Inputs: []build.Input{{Figure: "mass.total"}, {Figure: "tool.stiffness.x"}}})
	}
	add(build.Figure{ID: "axis.x.drive.whip_speed", Label: "speed at which the X screw whips", Value: 1420, Unit: "rpm",
		Formula: "n = 60 λ²/(2 π L²) √(E I / (ρ A))", Source: "ROARK, table 16.1",
		Inputs: []build.Input{{Label: "unsupported length", Value: `"1640 mm"`, At: build.Place{File: "drives.cue", Line: 8, Column: 22}}}})
	add(build.Figure{ID: "trial.lean.reading", Label: "reading of the trial \"lean on the gantry\"", Value: 0.0000231, Unit: "m", Source: "from memory"})
	add(build.Figure{ID: "axis.x.count", Label: "carriages", Value: 4})
}

func testTargets(b *build.Build) {
	cut := []build.Setting{{Name: "depth", Value: 6, Unit: "mm"}, {Name: "width", Value: 8, Unit: "mm"},
		{Name: "speed", Value: 18000, Unit: "rpm"}, {Name: "feed", Value: 5400, Unit: "mm/min"}}
	thicker := build.Change{
		What: "gantry beam: hollow 200×100×8 in place of 150×100×6", Effect: "deflection 19 µm in place of 41 µm; the gantry gains 31 kg",
		Others:  []string{"spruce comes to 130 cm³/min, 110 cm³/min now"},
		Verdict: build.WithinReach, Moves: true, Step: build.Step{Edits: []build.Edit{{Path: "bodies.gantry.members.beam.section", Value: `"hollow 200x100x8"`}},
			At: build.Place{File: "machine.cue", Line: 34, Column: 12}},
	}
	stub := build.Change{What: "cutter: stub length", Effect: "depth 1.6 mm in place of 1.2 mm", Verdict: build.LightCuts,
		Step: build.Step{Edits: []build.Edit{{Path: "cutters.em8.stickout", Value: `"22 mm"`}}, At: build.Place{File: "machine.cue", Line: 88, Column: 3}}}
	both := build.Change{What: "together: " + thicker.What + "; and " + stub.What, Effect: "depth 2.4 mm in place of 1.2 mm", Verdict: build.WithinReach,
		Moves: true, Steps: []build.Step{thicker.Step, stub.Step}}
	still := thicker
	still.Verdict, still.Effect = build.OutOfReach, "depth 0.3 mm in place of 0.2 mm"
	still.Moves, still.Roughing = false, "no cuts"
	b.Targets = []build.Target{
		{Name: "spruce", Material: "spruce, dry", Ambition: "must", Verdict: build.WithinReach, Operation: "slot with the 8 mm end mill", Cut: cut,
			Uncertainty: "Every value in the spec's bounds leaves the verdict as it is", Limiting: "feed: the X axis reaches 5400 mm/min",
			Limits: []build.Limit{
				{Name: "feed of the X axis", Depth: 6, Limiting: true, Demand: "6000 mm/min", Limit: "5400 mm/min"},
				{Name: "deflection", Depth: 14.25, Demand: "17 µm", Limit: "100 µm"},
				{Name: "machining time", Demand: "1.6 h", Limit: "60 min", Exceeded: true},
			},
			Job: &build.Job{Size: [3]float64{150, 150, 37.5}, Assumed: true, Removed: 900, Finished: 2000, TimeInCut: 0.6, Finishing: 6.9, Limit: 60, TooLong: true, Ra: 1.94, Wanted: 3.2, Cuts: []build.JobCut{
				{Which: build.Fastest, Operation: "face milling", Cutter: "8 mm end mill", Depth: 5.5, RemovalRate: 16.8, Roughing: 89.3, Time: 96.2},
				{Which: build.Deepest, Operation: "slot", Cutter: "8 mm end mill", Depth: 6, RemovalRate: 16.5, Roughing: 90.9, Time: 97.8},
			}},
			At: build.Place{File: "machine.cue", Line: 95, Column: 2}},
		{Name: "6082 aluminium", Material: "aluminium EN AW-6082 T6", Ambition: "must", Verdict: build.LightCuts, Operation: "slot with the 8 mm end mill",
			Cut: []build.Setting{
				{Name: "depth", Value: 1.2, Unit: "mm"},
				{Name: "width", Value: 8, Unit: "mm"},
				{Name: "speed", Value: 12000, Unit: "rpm"},
				{Name: "feed", Value: 1100, Unit: "mm/min"},
			},
			Middle: build.LightCuts, Chance: &build.Chance{Machines: 256, Within: 0.31, Light: 0.97, Low: 0.25, High: 0.37, Full: 0.34, Cuts: 0.98, Finishes: true, Finished: 0.99},
			Uncertainty: "of 100 machines like this one 31 are within reach, 66 have light cuts only, 3 neither",
			Limiting:    "deflection: 41 µm at the tool where 20 µm are wanted; the gantry beam in torsion holds 62 % of it",
			Next:        "within reach is a slot 2 mm deep with the 8 mm end mill, and 1.2 mm goes: deflection, so it would have to be about 1.7 times as stiff there",
			Dominant:    "gantry beam",
			Limits: []build.Limit{{Name: "deflection", Depth: 1.2, Limiting: true, Demand: "41 µm", Limit: "20 µm"},
				{Name: "chatter", Depth: 1.9, Demand: "1.2 mm", Limit: "1.9 mm", Note: "Λ = 0.8, η = 0.03"},
				{Name: "spindle torque", Depth: 3.3, Demand: "0.9 N·m", Limit: "2.1 N·m"}},
			Decides: "roughing", Roughing: "light cuts", Finishing: "within the accuracy",
			Changes: []build.Change{stub, thicker, both}},
		{Name: "tool_steel*", Material: "tool steel <annealed>", Ambition: "hope", Verdict: build.OutOfReach,
			Decides: "roughing and finishing", Roughing: "no cuts", Finishing: "exceeds the accuracy",
			Budget: &build.Budget{Accuracy: 20, Likely: 52.5, Low: 20, High: 118, Upper: 71, Largest: "reversal error of axis x", Share: 0.41,
				Lower: "fit a preloaded nut: axis x", Without: 33},
			Limiting: "spindle torque: 6.1 N·m wanted where 2.1 N·m are there", Changes: []build.Change{still}},
		{Name: "brass", Material: "brass", Ambition: "should", Verdict: build.NotKnown, Limiting: "no cutter of the spec is made for it"},
	}
}

func testReasons(b *build.Build) {
	b.WeakPoints = []build.WeakPoint{
		{
			Part:      "gantry beam",
			Direction: "X",
			Share:     0.62,
			Sentence:  "It twists: the spindle hangs 180 mm off its axis",
			Figure:    "tool.stiffness.x",
			At:        build.Place{File: "machine.cue", Line: 34, Column: 3},
		},
		{
			Part:      "X screw",
			Direction: "X",
			Share:     0.187,
			Sentence:  "Its thrust bearing gives more than the screw itself",
			Figure:    "axis.x.drive.whip_speed",
			At:        build.Place{File: "drives.cue", Line: 8, Column: 3},
		},
	}
	b.Findings = []build.Finding{
		{
			Rule:     "screw-whip",
			Severity: build.SeverityCaution,
			Message:  "the X screw turns at 1350 rpm, 95 % of the 1420 rpm at which it whips",
			At:       build.Place{File: "drives.cue", Line: 8, Column: 22},
			Notes:    []build.Remark{{Message: "mend: a turning nut, or a screw of 25 mm"}},
			Figures:  []string{"axis.x.drive.whip_speed"},
		},
		{Rule: "bond-unproved", Severity: build.SeverityNote, Message: "the fill of the bed counts as bonded"},
		{
			Rule:     "tool-deflection",
			Severity: build.SeverityFail,
			Message:  "tool deflection 41 µm is over the 20 µm wanted in 6082 aluminium",
			At:       build.Place{File: "machine.cue", Line: 97, Column: 14},
			Notes: []build.Remark{
				{Message: "the accuracy is asked for here", At: build.Place{File: "machine.cue", Line: 99, Column: 7}},
				{Message: "largest share: gantry beam in torsion, 62 %"},
			},
			Figures: []string{"tool.stiffness.x", "tool.stiffness.y"},
		},
	}
	b.Measures = []build.Measure{{What: "vertical stiffness of a foot", Value: "80 N/µm ± 60 %", With: "luggage scale and dial gauge",
		Test: "pull on it with a known force and read how far it gives", Target: "6082 aluminium", Share: 0.41, Left: 0.62, At: build.Place{File: "frame.cue", Line: 12, Column: 3}}}
	b.Assumptions = []build.Assumption{
		{
			What:   "damping of the bolted joints",
			Value:  "0.03 (0.01 to 0.06)",
			Source: "common practice",
			Effect: 0.31,
			Says:   "At its lowest, aluminium goes out of reach",
			At:     build.Place{File: "machine.cue", Line: 60, Column: 5},
		},
		{What: "modulus of the fill", Value: "25 GPa (18 to 32)", Source: "EN 1992-1-1, table 3.1", Effect: 0.084, Says: "No verdict changes"},
		{
			What:   "friction of the wipers",
			Value:  "6 N",
			Source: "from memory",
			Effect: 0.0002,
			Says:   "No verdict changes",
			At:     build.Place{File: "drives.cue", Line: 14, Column: 1},
		},
	}
	b.Cautions = []build.Caution{
		{Subject: "Lifting", Why: "The filled bed weighs about 1050 kg.", Advice: "Have the lifting points and slings checked; local codes say who may rig."},
		{Subject: "Wet cement", Why: "The fill is cement-bound.", Advice: "Wear gloves and goggles; wash it off the skin at once."},
	}
}

func testSheets(b *build.Build) {
	box := build.Solid{Name: "bed", Kind: "member",
		Rings: build.BoxRings([3]float64{0.9, 0.4, 0.1}, [3][3]float64{{0.9, 0, 0}, {0, 0.4, 0}, {0, 0, 0.1}})}
	beam := build.Solid{
		Name:  "gantry beam",
		Body:  1,
		Kind:  "member",
		Rings: build.BoxRings([3]float64{0.6, 0.4, 0.6}, [3][3]float64{{0.05, 0, 0}, {0, 0.5, 0}, {0, 0, 0.075}}),
	}
	b.Overview = &build.Picture{ID: "overview", Title: "The machine", Caption: "Bodies by shade; the gantry in the middle of its travel",
		Drawing: build.Scene{
			Solids: []build.Solid{box, beam},
			Labels: []build.Label3{{At: [3]float64{0.6, 0.4, 0.6}, Text: "gantry beam"}, {At: [3]float64{0.2, 0.1, 0.2}, Text: "bed"}},
		}}
	long := build.Table{
		Caption: "Members of the frame",
		Columns: []build.Column{{Head: "member"}, {Head: "section"}, {Head: "length, mm", Right: true}, {Head: "mass, kg", Right: true}},
	}
	for i := range 60 {
		long.Rows = append(
			long.Rows,
			[]build.Cell{
				{Text: fmt.Sprintf("rung %d", i+1)},
				{Text: "hollow 80 × 80 × 5, filled and bonded"},
				{Text: quantity.Number(640 + float64(i))},
				{Text: quantity.Number(7.46)},
			},
		)
	}
	b.Sheets = []build.Sheet{
		{ID: "mass", Title: "What it weighs", Blocks: []build.Block{
			build.Text(
				"Weigh the machine " + build.Bold("before and after") + " the fill: it is the cheapest check of this report. The *worst* position is the one with the gantry at the end, see [Compliance breakdown](#compliance-breakdown).",
			),
			build.Table{
				Caption: "Bodies",
				Columns: []build.Column{{Head: "body"}, {Head: "mass, kg", Right: true}, {Head: "mass", Right: true}, {Head: "remark"}},
				Rows: [][]build.Cell{
					{{Text: "bed"}, {Figure: "mass.bed", Plain: true}, {Figure: "mass.bed"}, {Text: "filled | bonded"}},
					{{Text: "gantry"}, {Figure: "mass.moving.x", Plain: true}, {Figure: "mass.moving.x"}},
					{{Text: "nothing"}, {Figure: "no.such.figure", Plain: true}, {Text: "—"}, {Text: "`a|b`"}},
				},
			},
			build.List{
				"Count the *fasteners*: they weigh 11 kg",
				"A second item that is long enough to need more than one line on a page of the size that the world outside North America uses, so that its wrapping can be seen",
				"1. is no list in a list",
			},
			long,
		}},
		{ID: "frame", Title: "How it bends & twists", Blocks: []build.Block{
			build.Picture{ID: "give shares/x", Title: "Where the give comes from", Caption: "Shares of the compliance at the tool, in µm for 100 N",
				Drawing: build.Bars{Unit: "µm", Rows: []build.BarRow{
					{
						Label: "X",
						Total: "7.0 µm",
						Parts: []build.BarPart{{Label: "gantry beam", Value: 4.3}, {Label: "X screw", Value: 1.3}, {Label: "rest", Value: 1.4}},
					},
					{
						Label: "Y",
						Total: "4.1 µm",
						Parts: []build.BarPart{{Label: "gantry beam", Value: 1.1}, {Label: "columns", Value: 2.2}, {Label: "rest", Value: 0.8}},
					},
				}}},
			build.Picture{ID: "whip", Title: "Screw speed", Caption: "The speed at which the screw whips against its unsupported length",
				Drawing: build.Chart{X: build.AxisSpec{Label: "unsupported length, mm", Max: 2000}, Y: build.AxisSpec{Label: "speed, rpm", Max: 6000},
					Curves: []build.Curve{
						{Name: "fixed-supported", Points: [][2]float64{{600, 5800}, {1000, 3800}, {1500, 1700}, {2000, 950}}},
						{Name: "limit, 80 %", Dashed: true, Points: [][2]float64{{600, 4640}, {1000, 3040}, {1500, 1360}, {2000, 760}}},
					},
					Markers: []build.Marker{{Label: "X screw", X: 1640, Y: 1350}}}},
			build.Picture{ID: "sections", Title: "Sections", Caption: "",
				Drawing: build.Sections{Items: []build.SectionItem{{Name: "beam", Note: "hollow 150 × 100 × 6", Loops: []build.SectionLoop{
					{Kind: "metal", Points: [][2]float64{{-0.05, -0.075}, {0.05, -0.075}, {0.05, 0.075}, {-0.05, 0.075}}},
					{Kind: "hole", Points: [][2]float64{{-0.044, -0.069}, {0.044, -0.069}, {0.044, 0.069}, {-0.044, 0.069}}}}}}}},
		}},
		{
			ID:     "empty",
			Title:  "Nothing to see",
			Blocks: []build.Block{build.List(nil), build.Table{Caption: "empty", Columns: []build.Column{{Head: "a"}}}, build.Text("")},
		},
	}
	b.Book = []build.Sheet{
		{ID: "lift", Title: "Lift", Blocks: []build.Block{
			build.Checklist{"The hoist is rated for " + build.Bold("104 kg"), "[x] is no tick, and `a_b` is a word"},
			build.Table{
				Caption: "Lifts",
				Columns: []build.Column{{Head: "lift"}, {Head: "mass, kg", Right: true}, {Head: "weighed, kg", Right: true}, {Head: "signed"}},
				Rows:    [][]build.Cell{{{Text: "bed"}, {Figure: "mass.bed", Plain: true}}, {{Text: "gantry"}, {Figure: "mass.moving.x", Plain: true}, {}, {}}},
			},
		}},
		{ID: "fill", Title: "Fill", Blocks: []build.Block{build.Text("One way only."), build.List{"no welding after this"}}},
	}
}
