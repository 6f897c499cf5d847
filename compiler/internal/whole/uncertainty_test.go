package whole

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// someUncertain is how many quantities of each example the ordinary run gives an uncertainty;
// IRONBED_UNCERTAIN is a pattern of the paths to take in their place, and `make uncertainty`
// takes all.
const someUncertain = 1

// indifferent are quantities on which no number hangs, or on which the numbers that do
// stand at their turning point, with why.
var indifferent = map[string]string{
	"bodies.base.nodes.y_bearing.2":       "a bearing's place across its screw: what carries it weighs nothing there",
	"bodies.base.nodes.z_bearing.1":       "the same",
	`trials."lean on the spindle".pose.y`: "the middle of the beam gives most: a little to either side it gives as much",
}

// tellsOnly are the paths of quantities that tell what a reading is of, and are no part of a number.
var tellsOnly = regexp.MustCompile(`^measured_modes\..*\.frequency$|\.positioning\.targets\.\d+\.at$|^trials\..*\.resolution$|readings\."wire, near"\.wire\.(span|from|diameter|pull)$`)

// TestUncertaintyWidens gives one quantity of an example an uncertainty at a time: at least one
// figure must have wider bounds for it, and none another middle.
func TestUncertaintyWidens(t *testing.T) {
	for k, name := range sample.Some(sample.Names, 1) {
		t.Run(name, func(t *testing.T) {
			m := sample.Example(t, name)
			var list [][2]string
			for _, q := range m.Quantities() {
				// A share of nothing is no uncertainty.
				if v, err := quantity.Parse(q[1]); err == nil && !v.Uncertain() && math.Abs(v.Value) > 1e-12 && indifferent[q[0]] == "" && !tellsOnly.MatchString(q[0]) {
					list = append(list, q)
				}
			}
			step, first := len(list)/someUncertain, k
			if which := os.Getenv("IRONBED_UNCERTAIN"); which != "" {
				asked := regexp.MustCompile(which)
				list = slices.DeleteFunc(list, func(q [2]string) bool { return !asked.MatchString(q[0]) })
				step, first = 1, 0
			}
			var taken [][2]string
			for i := first; i < len(list); i += step {
				taken = append(taken, list[i])
			}
			said := make([]string, len(taken))
			ways := [...]compiling{compiler.Answers, compiler.Compile}
			var before [len(ways)]func() map[string]build.Figure
			for k, compile := range ways {
				before[k] = sync.OnceValue(func() map[string]build.Figure { return figuresBy(compile, m) })
			}
			machine.EachParallel(len(taken), func(i int) {
				uncertain, err := m.With(spec.Edit{Path: taken[i][0], Value: fmt.Sprintf("%q", "("+taken[i][1]+") ± 0.1 %")})
				if err != nil {
					said[i] = err.Error()
					return
				}
				// The report is asked where no answer has wider bounds.
				for k, compile := range ways {
					if said[i] = widens(before[k](), figuresBy(compile, uncertain)); said[i] == "" {
						return
					}
				}
				said[i] = taken[i][0] + " made uncertain " + said[i]
			})
			for _, s := range said {
				if s != "" {
					t.Error(s)
				}
			}
		})
	}
}

// drawn are the ids of figures that are counted over machines drawn: one value more to draw moves them a little.
var drawn = regexp.MustCompile(`^chance\.|\.chance$|\.first_depth$|\.ladder\.depth$`)

// A compiling is one of the compiler's ways.
type compiling func(*spec.Machine, build.Tool, func(string)) (*build.Build, []build.Finding)

// figuresBy are the figures of a machine by id; none where it is refused.
func figuresBy(compile compiling, m *spec.Machine) map[string]build.Figure {
	figures := map[string]build.Figure{}
	if b, _ := compile(m, build.Tool{}, func(string) {}); b != nil {
		for _, f := range b.Figures.All() {
			if !drawn.MatchString(f.ID) {
				figures[f.ID] = f
			}
		}
	}
	return figures
}

// widens says what is wrong with figures of which a quantity was made uncertain.
func widens(before, after map[string]build.Figure) string {
	if len(after) == 0 {
		return "is refused"
	}
	wider := false
	for id, f := range after {
		old, ok := before[id]
		if !ok {
			continue
		}
		// The stable depth and the clamping force are told with every uncertain value at its worse end.
		if strings.HasSuffix(id, ".first_depth") {
			continue
		}
		if math.Abs(f.Value-old.Value) > 1e-9*math.Abs(old.Value) {
			return fmt.Sprintf("moves the middle of %s from %g to %g", id, old.Value, f.Value)
		}
		wider = wider || width(f) > width(old)*(1+1e-6)+1e-12*math.Abs(old.Value)
	}
	if !wider {
		return "widens no figure"
	}
	return ""
}

func width(f build.Figure) float64 {
	if !f.Bounded {
		return 0
	}
	return f.High - f.Low
}
