package machine

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
)

// The load cases of a pose: six unit forces and moments between the spindle nose and
// the workpiece, gravity, and then one acceleration an axis.
const (
	GravityCase = 6
	FirstAxis   = 7
)

// A Solved is the machine's answer in one pose.
type Solved struct {
	Pose     Pose
	Posed    *Posed
	System   *frame.System
	Solution *frame.Solution
	Nose     Six      // compliance at the nose, against the workpiece
	Sag      r3.Vec   // tool tip against workpiece under gravity, at the nose [m]
	Lag      []r3.Vec // by axis: tool tip against workpiece while it accelerates, at the nose [m]
	unit     []Six    // by part: its share of nose; filled on request
}

// A scope says which load cases are solved.
type scope bool

const (
	AllCases scope = true  // nose, gravity, accelerations
	NoseOnly scope = false // the six between nose and workpiece
)

// loads makes the load cases.
func (d *Model) loads(work []rest, which scope) []frame.Load {
	var list []frame.Load
	if d.HasTool() {
		nose := d.NosePoint()
		for i := range 6 {
			var f [6]float64
			f[i] = 1
			load := frame.Load{Forces: []frame.Force{{At: nose, F: f}}}
			for _, w := range work {
				load.Forces = append(load.Forces, frame.Force{At: frame.At(w.Node), F: w.Share(f, -1)})
			}
			list = append(list, load)
		}
	} else {
		list = make([]frame.Load, 6)
	}
	if which == NoseOnly {
		return list
	}
	list = append(list, frame.Load{Fields: []frame.Field{{Acceleration: Gravity}}})
	for i, a := range d.Spec.Axes {
		carried := d.carried[i]
		list = append(list, frame.Load{Fields: []frame.Field{{
			Acceleration: r3.Scale(-d.Read.Of(a.Item.Acceleration), Unit(a.Item.Direction.XYZ)),
			On:           func(part int) bool { return carried[part] },
		}}})
	}
	return list
}

// Solve computes one pose.
func (d *Model) Solve(p Pose) (*Solved, error) {
	posed, err := d.At(p)
	if err != nil {
		return nil, err
	}
	return d.SolvePosed(p, posed, AllCases)
}

// SolvePosed computes a machine that has been put into a pose.
func (d *Model) SolvePosed(p Pose, posed *Posed, which scope) (*Solved, error) {
	var work []rest
	if d.HasTool() {
		var err error
		if work, err = d.WorkPoints(posed, d.NosePoint()); err != nil {
			return nil, err
		}
	}
	system, err := posed.Frame.Factorise()
	if err != nil {
		return nil, d.explain(err, posed)
	}
	solution, err := system.Solve(d.loads(work, which)...)
	if err != nil {
		return nil, err
	}
	out := &Solved{Pose: p, Posed: posed, System: system, Solution: solution}
	if d.HasTool() {
		nose := d.NosePoint()
		for j := range solution.Loads() {
			u := relative(solution, j, nose, work)
			switch {
			case j == GravityCase:
				out.Sag = r3.Vec{X: u[0], Y: u[1], Z: u[2]}
			case j >= FirstAxis:
				out.Lag = append(out.Lag, r3.Vec{X: u[0], Y: u[1], Z: u[2]})
			default:
				for i := range 6 {
					out.Nose[i][j] = u[i]
				}
			}
		}
	}
	return out, nil
}

// SolveAll computes poses on all cores. The answer does not depend on how many
// there are.
func (d *Model) SolveAll(poses []Pose, which scope) ([]*Solved, error) {
	out := make([]*Solved, len(poses))
	errs := make([]error, len(poses))
	EachParallel(len(poses), func(i int) {
		posed, err := d.At(poses[i])
		if err == nil {
			out[i], err = d.SolvePosed(poses[i], posed, which)
		}
		errs[i] = err
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// shares fills in each part's share of the compliance at the nose.
func (d *Model) shares(s *Solved) []Six {
	if s.unit != nil {
		return s.unit
	}
	s.unit = make([]Six, len(d.Parts))
	for _, c := range s.Solution.PartCompliances(0, 1, 2, 3, 4, 5) {
		s.unit[c.Part] = fromSym(c.C)
	}
	return s.unit
}

// A rest is a node that carries the workpiece and the rule by which it takes its share
// of a force on the workpiece.
type rest struct {
	Node int
	Fit  *[6][6]float64 // node's force = fit · wrench at the nose, and the workpiece's motion = Σ fitᵀ · node's motion
}

// Share returns the node's part of a wrench that acts on the workpiece where the
// nose is.
func (r rest) Share(wrench [6]float64, sign float64) [6]float64 {
	var f [6]float64
	for i := range 6 {
		for j := range 6 {
			f[i] += sign * r.Fit[i][j] * wrench[j]
		}
	}
	return f
}

// restArm is the arm by which a node's own turning counts beside its
// displacement when the workpiece's motion is fitted to its rests: half of a clamp's
// width [m].
const restArm = 0.05

// leastRest is what the farthest rest of the workpiece counts beside the nearest one
// [-].
const leastRest = 1e-6

// WorkNodes are the nodes that bear the workpiece.
func (d *Model) WorkNodes() (nodes []int) {
	w := d.Spec.Workpiece
	body := d.Spec.Bodies.Find(w.On.Text)
	seen := map[string]bool{}
	for _, pattern := range w.Nodes {
		for _, name := range body.MatchNodes(pattern.Text) {
			if !seen[name] {
				seen[name] = true
				nodes = append(nodes, d.Node[w.On.Text+"."+name])
			}
		}
	}
	return nodes
}

// WorkPoints says how the rests of the workpiece share a force on it. The workpiece is
// rigid; its motion (U, Θ) about the nose is the one that fits the motions
// (u, θ) of its rests best, the near ones counting most:
//
//	least Σ w (|u − U − Θ×r|² + l² |θ − Θ|²),  w = exp(−(r² − r₀²)/2R²)
//
// with r₀ the distance of the nearest rest and R the load spread. The transpose of the
// rule shares out the forces, so that they are in balance and do the same work.
func (d *Model) WorkPoints(p *Posed, nose frame.Point) ([]rest, error) {
	w := d.Spec.Workpiece
	reach := d.Read.Into(d.Stiff).Of(w.LoadSpread)
	origin := r3.Add(p.Frame.Nodes[nose.Node].Position, nose.Arm)
	nodes := d.WorkNodes()
	// Normal equations A (U, Θ) = Σ Bᵀ W (u, θ), B = (I −[r]×; 0 I).
	a := mat.NewSymDense(6, nil)
	rows := make([][6][6]float64, len(nodes)) // Bᵀ W of each rest
	near := math.Inf(1)
	for _, node := range nodes {
		near = math.Min(near, r3.Norm2(r3.Sub(p.Frame.Nodes[node].Position, origin)))
	}
	for n, node := range nodes {
		r := r3.Sub(p.Frame.Nodes[node].Position, origin)
		b := carry(r)
		counts := math.Max(leastRest, math.Exp(-(r3.Norm2(r)-near)/(2*reach*reach)))
		for i := range 6 {
			for k := range 6 {
				weight := counts
				if k >= 3 {
					weight *= restArm * restArm
				}
				rows[n][i][k] = b[k][i] * weight
			}
		}
		for i := range 6 {
			for j := i; j < 6; j++ {
				sum := a.At(i, j)
				for k := range 6 {
					sum += rows[n][i][k] * b[k][j]
				}
				a.SetSym(i, j, sum)
			}
		}
	}
	var cholesky mat.Cholesky
	var inverse mat.SymDense
	if !cholesky.Factorize(a) || cholesky.InverseTo(&inverse) != nil {
		return nil, &Refused{Rule: "workpiece", At: w.On.At, Message: "the nodes that carry the workpiece are too far from the cutter to compute with"}
	}
	list := make([]rest, len(nodes))
	for n, node := range nodes {
		fit := new([6][6]float64)
		for i := range 6 { // node's freedom
			for j := range 6 { // wrench
				for k := range 6 {
					fit[i][j] += rows[n][k][i] * inverse.At(k, j)
				}
			}
		}
		list[n] = rest{node, fit}
	}
	return list, nil
}

// carry is the motion of a rigidly carried point: u = U + Θ×r, θ = Θ.
func carry(r r3.Vec) [6][6]float64 {
	var b [6][6]float64
	for i := range 6 {
		b[i][i] = 1
	}
	b[0][4], b[0][5] = r.Z, -r.Y
	b[1][3], b[1][5] = -r.Z, r.X
	b[2][3], b[2][4] = r.Y, -r.X
	return b
}

// relative returns the motion of the nose against the workpiece.
func relative(s *frame.Solution, load int, nose frame.Point, work []rest) [6]float64 {
	u := s.Displacement(load, nose)
	for _, w := range work {
		v := s.Displacement(load, frame.At(w.Node))
		for i := range 6 {
			for j := range 6 {
				u[i] -= w.Fit[j][i] * v[j]
			}
		}
	}
	return u
}

// explain words what the frame solver refuses in the spec's terms.
func (d *Model) explain(err error, p *Posed) error {
	var mechanism *frame.MechanismError
	if errors.As(err, &mechanism) {
		return d.mechanism(mechanism)
	}
	var input frame.InputErrors
	if errors.As(err, &input) && len(input) > 0 {
		first := input[0]
		out := &Refused{Rule: "frame", Message: first.Error()}
		if first.Kind == frame.KindMember {
			for i, pieces := range p.Pieces {
				for _, piece := range pieces {
					if piece == first.Index {
						b := d.Bars[i]
						out.Message = fmt.Sprintf("member %s %s", b.Name, first.Fault)
						out.At = b.place
						if first.Fault == frame.OrientParallel {
							out.Message = fmt.Sprintf("member %s is parallel to its own `up`; choose another `up`", b.Name)
						}
					}
				}
			}
		}
		if first.Kind == frame.KindLink {
			out.Rule = "links"
			out.Message = fmt.Sprintf("node %s %s", d.nodeName(p.Frame.Links[first.Index].Slave), first.Fault)
		}
		return out
	}
	return err
}

// nodeName returns "body.node" of a node as drawn.
func (d *Model) nodeName(n int) string {
	for name, i := range d.Node {
		if i == n {
			return name
		}
	}
	return "under a carriage"
}

// mechanism says which body is free, and which way.
func (d *Model) mechanism(e *frame.MechanismError) error {
	// The body whose nodes move most on average is the free one; the rest is
	// dragged along.
	moved := make([]float64, len(d.Spec.Bodies))
	count := make([]float64, len(d.Spec.Bodies))
	for i := range d.Nodes {
		if i < len(e.Motion) {
			u := e.Motion[i]
			size := math.Sqrt(u[0]*u[0] + u[1]*u[1] + u[2]*u[2])
			if size == 0 {
				size = math.Sqrt(u[3]*u[3] + u[4]*u[4] + u[5]*u[5])
			}
			moved[d.NodeBody[i]] += size
			count[d.NodeBody[i]]++
		}
	}
	// Of bodies that move together, the one that carries the others is named:
	// it is the first in the chain.
	body, most := 0, 0.0
	for b := range moved {
		if mean := moved[b] / math.Max(1, count[b]); mean > most*1.01 {
			body, most = b, mean
		}
	}
	for b := range moved {
		mean := moved[b] / math.Max(1, count[b])
		if mean > 0.9*most && d.carries(b, body) {
			body = b
		}
	}
	entry := d.Spec.Bodies[body]
	way := DirectionWords([3]float64{e.Axis.X, e.Axis.Y, e.Axis.Z})
	motion := "move along " + way
	if e.Turns {
		motion = "rotate about " + way
	}
	message := fmt.Sprintf("body %s is free to %s", entry.Name, motion)
	if e.Node >= 0 && e.Node < len(d.Nodes) {
		message += fmt.Sprintf(" (largest motion at node %s)", d.nodeName(e.Node))
	}
	return &Refused{Rule: "mechanism", At: entry.At, Message: message + "; add " + d.fix(entry.Name, e)}
}

// carries reports whether body a carries body b.
func (d *Model) carries(a, b int) bool {
	for _, name := range d.Spec.CarriedBy(d.Spec.Bodies[a].Name) {
		if name == d.Spec.Bodies[b].Name {
			return a != b
		}
	}
	return false
}

// fix says what would hold a free body.
func (d *Model) fix(body string, e *frame.MechanismError) string {
	for _, a := range d.Spec.Axes {
		if a.Item.Moves.Text != body {
			continue
		}
		along := r3.Dot(e.Axis, Unit(a.Item.Direction.XYZ))
		if !e.Turns && math.Abs(along) > 0.7 {
			if len(a.Item.Drives) == 0 {
				return "a drive on axis " + a.Name
			}
		}
		return "more carriages on axis " + a.Name
	}
	return "feet, a support, a joint or a member"
}

// DirectionWords names the axis that a vector is nearest to.
func DirectionWords(v [3]float64) string {
	names := []string{"X", "Y", "Z"}
	best := 0
	for i := range v {
		if math.Abs(v[i]) > math.Abs(v[best]) {
			best = i
		}
	}
	var others []string
	for i := range v {
		if i != best && math.Abs(v[i]) > 0.5*math.Abs(v[best]) {
			others = append(others, names[i])
		}
	}
	if len(others) > 0 {
		return names[best] + " and " + strings.Join(others, " and ")
	}
	return names[best]
}
