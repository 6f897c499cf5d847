package render

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"

	"ironbed/compiler/build"
	"ironbed/spec/literal"
	"ironbed/spec/quantity"
)

// JSON prints the build for other programs: figures, findings and targets.
// Numbers have six significant digits at most, low and high equal the value
// where a figure has no bounds, an unknown place has an empty file, and no field
// is ever null.
func JSON(b *build.Build) ([]byte, error) {
	out := jsonReport{
		Machine:     b.Machine,
		Spec:        jsonSpec{Digest: b.Spec.Digest, Files: full(b.Spec.Files)},
		Tool:        jsonTool{Name: b.Tool.Name, Version: b.Tool.Version},
		Figures:     each(b.Figures.All(), jsonFigureOf),
		Findings:    each(b.Findings, finding),
		Targets:     each(b.Targets, target),
		Sheets:      each(b.Sheets, func(s build.Sheet) jsonSheet { return jsonSheet{s.ID, s.Title} }),
		Book:        each(b.Book, workSheet),
		WeakPoints:  each(b.WeakPoints, weakPoint),
		Measures:    each(b.Measures, measure),
		Assumptions: each(b.Assumptions, assumption),
		NotComputed: full(b.NotComputed),
		Unvalidated: b.Unvalidated,
		Passed:      b.Passed(),
	}
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(out); err != nil {
		return nil, fmt.Errorf("writing JSON: %w", err)
	}
	return []byte(literal.Show(text.String())), nil
}

// number is a float64 printed with six significant digits at most.
type number float64

// MarshalJSON prints the number; one that is not finite is an error.
func (n number) MarshalJSON() ([]byte, error) {
	v := float64(n)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil, fmt.Errorf("number is not finite")
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(quantity.Tipped(v), 'g', 6, 64), 64)
	if err != nil {
		return nil, err
	}
	if rounded == 0 {
		rounded = 0 // drop the sign of a negative zero
	}
	return json.Marshal(rounded)
}

type jsonReport struct {
	Machine     string           `json:"machine"`
	Spec        jsonSpec         `json:"spec"`
	Tool        jsonTool         `json:"tool"`
	Figures     []jsonFigure     `json:"figures"`
	Findings    []jsonFinding    `json:"findings"`
	Targets     []jsonTarget     `json:"targets"`
	Sheets      []jsonSheet      `json:"sheets"`
	Book        []jsonWorkSheet  `json:"build_book"`
	WeakPoints  []jsonWeakPoint  `json:"weak_points"`
	Measures    []jsonMeasure    `json:"measures"`
	Assumptions []jsonAssumption `json:"assumptions"`
	NotComputed []string         `json:"not_computed"`
	Unvalidated []string         `json:"unvalidated,omitempty"` // tests without which it is not validated by measurement
	Passed      bool             `json:"passed"`
}

type jsonSpec struct {
	Digest string   `json:"digest"`
	Files  []string `json:"files"`
}

type jsonTool struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

type jsonSheet struct {
	ID    string `json:"id"`
	Title string `json:"title"`
}

// jsonWorkSheet is a sheet of the build book as it is printed, block by block.
type jsonWorkSheet struct {
	jsonSheet
	Blocks []jsonBlock `json:"blocks"`
}

// jsonBlock is one of them: the field that it is made of is the one that is there.
type jsonBlock struct {
	Text  string     `json:"text,omitempty"`
	List  []string   `json:"list,omitempty"`
	Check []string   `json:"checklist,omitempty"`
	Table *jsonTable `json:"table,omitempty"`
}

type jsonTable struct {
	Caption string       `json:"caption"`
	Columns []string     `json:"columns"`
	Rows    [][]jsonCell `json:"rows"`
}

// jsonCell is a text, or the id of the figure that is printed; neither where it is to be written in.
type jsonCell struct {
	Text   string `json:"text,omitempty"`
	Figure string `json:"figure,omitempty"`
}

type jsonFigure struct {
	ID      string      `json:"id"`
	Label   string      `json:"label"`
	Value   number      `json:"value"`
	Unit    string      `json:"unit"`
	Low     number      `json:"low"`
	High    number      `json:"high"`
	Formula string      `json:"formula"`
	Source  string      `json:"source"`
	Inputs  []jsonInput `json:"inputs"`
	Notes   []string    `json:"notes"`
}

type jsonInput struct {
	Figure string      `json:"figure"`
	Label  string      `json:"label"`
	Value  string      `json:"value"`
	At     build.Place `json:"at"`
}

type jsonFinding struct {
	Rule     string         `json:"rule"`
	Severity build.Severity `json:"severity"`
	Message  string         `json:"message"`
	At       build.Place    `json:"at"`
	Notes    []jsonRemark   `json:"notes"`
	Figures  []string       `json:"figures"`
}

type jsonRemark struct {
	Message string      `json:"message"`
	At      build.Place `json:"at"`
}

type jsonTarget struct {
	Name        string        `json:"name"`
	Material    string        `json:"material"`
	Ambition    string        `json:"ambition"`
	Verdict     build.Verdict `json:"verdict"`
	Middle      build.Verdict `json:"verdict_at_the_middle"`
	Chance      *jsonChance   `json:"chance,omitempty"`
	Decides     string        `json:"decides"`
	Roughing    string        `json:"roughing"`
	Finishing   string        `json:"finishing"`
	Budget      *jsonBudget   `json:"error_budget,omitempty"`
	Job         *jsonJob      `json:"part,omitempty"`
	Uncertainty string        `json:"uncertainty"`
	Operation   string        `json:"operation"`
	Cut         []jsonSetting `json:"cut"`
	Limiting    string        `json:"limiting"`
	Next        string        `json:"next"`
	Dominant    string        `json:"dominant"`
	Limits      []jsonLimit   `json:"limits"`
	Changes     []jsonChange  `json:"changes"`
	At          build.Place   `json:"at"`
}

type jsonMeasure struct {
	What   string      `json:"what"`
	Value  string      `json:"taken_as"`
	With   string      `json:"with"`
	Test   string      `json:"how"`
	Target string      `json:"for"`
	Share  number      `json:"share"`
	Left   number      `json:"left"`
	At     build.Place `json:"at"`
}

// Shares of the machines drawn.
type jsonChance struct {
	Machines int    `json:"machines"`
	Within   number `json:"within_reach"`
	Low      number `json:"low"`
	High     number `json:"high"`
	Light    number `json:"light_cuts_at_least"`
	Full     number `json:"full_cuts_in_roughing"`
	Cuts     number `json:"light_cuts_in_roughing_at_least"`
	Finished number `json:"part_as_wanted"`
}

type jsonBudget struct {
	Accuracy number `json:"accuracy"`
	Likely   number `json:"likely"`
	Low      number `json:"low"`
	High     number `json:"high"`
	Upper    number `json:"upper"`
	Unit     string `json:"unit"`
	Largest  string `json:"largest"`
	Share    number `json:"share"`
	Lower    string `json:"lower"`
	Without  number `json:"without"`
	Way      string `json:"way"`
	WayTo    number `json:"way_to"`
}

// jsonJob is a part; what is not known or not wanted is left out.
type jsonJob struct {
	Size      [3]number    `json:"size"`
	Assumed   bool         `json:"size_assumed"`
	Removed   number       `json:"removed"`
	Finished  number       `json:"finished"`
	TimeInCut number       `json:"time_in_cut"`
	Cuts      []jsonJobCut `json:"cuts"`
	Finishing number       `json:"finishing,omitempty"`
	Limit     number       `json:"machining_time,omitempty"`
	TooLong   bool         `json:"too_long"`
	Ra        number       `json:"least_roughness,omitempty"`
	Wanted    number       `json:"roughness,omitempty"`
	Lacks     string       `json:"lacks,omitempty"`
	Units     jsonJobUnits `json:"units"`
}

type jsonJobCut struct {
	Which       string `json:"which"`
	Operation   string `json:"operation"`
	Cutter      string `json:"cutter"`
	Spindle     string `json:"spindle,omitempty"`
	Depth       number `json:"depth"`
	RemovalRate number `json:"removal_rate"`
	Roughing    number `json:"roughing"`
	Time        number `json:"time"`
}

type jsonJobUnits struct {
	Size        string `json:"size"`
	Removed     string `json:"removed"`
	Finished    string `json:"finished"`
	Depth       string `json:"depth"`
	RemovalRate string `json:"removal_rate"`
	Time        string `json:"time"`
	Roughness   string `json:"roughness"`
}

type jsonSetting struct {
	Name  string `json:"name"`
	Value number `json:"value"`
	Unit  string `json:"unit"`
}

type jsonLimit struct {
	Name     string `json:"name"`
	Depth    number `json:"depth"`
	Limiting bool   `json:"limiting"`
	Exceeded bool   `json:"exceeded,omitempty"`
	Demand   string `json:"demand"`
	Limit    string `json:"limit"`
	Note     string `json:"note"`
}

type jsonChange struct {
	What      string        `json:"what"`
	Effect    string        `json:"effect"`
	Others    []string      `json:"others"`
	Verdict   build.Verdict `json:"verdict"`
	Roughing  string        `json:"roughing"`
	Finishing string        `json:"finishing"`
	Moves     bool          `json:"moves"`
	build.Step
	Steps []build.Step `json:"steps"`
}

type jsonWeakPoint struct {
	Part      string      `json:"part"`
	Direction string      `json:"direction"`
	Share     number      `json:"share"`
	Sentence  string      `json:"sentence"`
	Figure    string      `json:"figure"`
	At        build.Place `json:"at"`
}

type jsonAssumption struct {
	What   string      `json:"what"`
	Value  string      `json:"value"`
	Source string      `json:"source"`
	Effect number      `json:"effect"`
	Says   string      `json:"says"`
	At     build.Place `json:"at"`
}

func jsonFigureOf(f build.Figure) jsonFigure {
	low, high := f.Value, f.Value
	if f.Bounded {
		low, high = f.Low, f.High
	}
	return jsonFigure{f.ID, f.Label, number(f.Value), f.Unit, number(low), number(high), f.Formula, f.Source,
		each(f.Inputs, func(i build.Input) jsonInput { return jsonInput(i) }), full(f.Notes)}
}

func finding(f build.Finding) jsonFinding {
	return jsonFinding{f.Rule, f.Severity, f.Message, f.At,
		each(f.Notes, func(r build.Remark) jsonRemark { return jsonRemark(r) }), full(f.Figures)}
}

func errorBudget(b *build.Budget) *jsonBudget {
	if b == nil {
		return nil
	}
	return &jsonBudget{number(b.Accuracy), number(b.Likely), number(b.Low), number(b.High), number(b.Upper), "µm", b.Largest, number(b.Share), b.Lower, number(b.Without), b.Way, number(b.WayTo)}
}

func jobOf(j *build.Job) *jsonJob {
	if j == nil {
		return nil
	}
	return &jsonJob{
		Size: [3]number{number(j.Size[0]), number(j.Size[1]), number(j.Size[2])}, Assumed: j.Assumed,
		Removed: number(j.Removed), Finished: number(j.Finished), TimeInCut: number(j.TimeInCut), Finishing: number(j.Finishing),
		Limit: number(j.Limit), TooLong: j.TooLong, Ra: number(j.Ra), Wanted: number(j.Wanted), Lacks: j.Lacks,
		Cuts: each(j.Cuts, func(c build.JobCut) jsonJobCut {
			return jsonJobCut{c.Which, c.Operation, c.Cutter, c.Spindle, number(c.Depth), number(c.RemovalRate), number(c.Roughing), number(c.Time)}
		}),
		Units: jsonJobUnits{"mm", "cm³", "cm²", "mm", "cm³/min", "min", "µm"},
	}
}

func measure(m build.Measure) jsonMeasure {
	return jsonMeasure{m.What, m.Value, m.With, m.Test, m.Target, number(m.Share), number(m.Left), m.At}
}

func chance(c *build.Chance) *jsonChance {
	if c == nil {
		return nil
	}
	return &jsonChance{c.Machines, number(c.Within), number(c.Low), number(c.High), number(c.Light), number(c.Full), number(c.Cuts), number(c.Finished)}
}

func target(t build.Target) jsonTarget {
	return jsonTarget{
		Name: t.Name, Material: t.Material, Ambition: t.Ambition, Verdict: t.Verdict, Middle: t.Middle, Chance: chance(t.Chance), Uncertainty: t.Uncertainty,
		Decides: t.Decides, Roughing: t.Roughing, Finishing: t.Finishing, Budget: errorBudget(t.Budget), Job: jobOf(t.Job),
		Operation: t.Operation, Limiting: t.Limiting, Next: t.Next, Dominant: t.Dominant, At: t.At,
		Cut: each(t.Cut, func(s build.Setting) jsonSetting { return jsonSetting{s.Name, number(s.Value), s.Unit} }),
		Limits: each(t.Limits, func(l build.Limit) jsonLimit {
			return jsonLimit{l.Name, number(l.Depth), l.Limiting, l.Exceeded, l.Demand, l.Limit, l.Note}
		}),
		Changes: each(t.Changes, func(c build.Change) jsonChange {
			c.Others = full(c.Others)
			if c.Steps == nil {
				c.Steps = []build.Step{}
			}
			if c.Edits == nil {
				c.Edits = []build.Edit{}
			}
			return jsonChange(c)
		}),
	}
}

func weakPoint(p build.WeakPoint) jsonWeakPoint {
	return jsonWeakPoint{p.Part, p.Direction, number(p.Share), p.Sentence, p.Figure, p.At}
}

func assumption(a build.Assumption) jsonAssumption {
	return jsonAssumption{a.What, a.Value, a.Source, number(a.Effect), a.Says, a.At}
}

// bare is a sheet's text without its marks of bold.
func bare(s string) string {
	return strings.NewReplacer(build.BoldBegins, "", build.BoldEnds, "").Replace(s)
}

// workSheet is a sheet of the build book. Pictures are of the documents alone.
func workSheet(s build.Sheet) jsonWorkSheet {
	out := jsonWorkSheet{jsonSheet{s.ID, s.Title}, []jsonBlock{}}
	for _, block := range s.Blocks {
		switch v := block.(type) {
		case build.Text:
			out.Blocks = append(out.Blocks, jsonBlock{Text: bare(string(v))})
		case build.List:
			out.Blocks = append(out.Blocks, jsonBlock{List: each(v, bare)})
		case build.Checklist:
			out.Blocks = append(out.Blocks, jsonBlock{Check: each(v, bare)})
		case build.Table:
			out.Blocks = append(out.Blocks, jsonBlock{Table: &jsonTable{v.Caption,
				each(v.Columns, func(c build.Column) string { return c.Head }),
				each(v.Rows, func(row []build.Cell) []jsonCell {
					return each(row, func(c build.Cell) jsonCell { return jsonCell{bare(c.Text), c.Figure} })
				})}})
		}
	}
	return out
}

// each returns what f makes of each element; never nil.
func each[A, B any](list []A, f func(A) B) []B {
	out := make([]B, len(list))
	for i, v := range list {
		out[i] = f(v)
	}
	return out
}

// full returns the list, empty in place of nil.
func full(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}
