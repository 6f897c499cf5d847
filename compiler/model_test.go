package compiler_test

import (
	"fmt"
	"math"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
)

// TestModelRebuilt: whoever has the model's appendix alone can compute the compliance at
// the tool tip: that of the frame and that of the chain of spindle, holder and cutter. Its
// tables and sentences are read as printed, put into a frame program that stands here and
// shares nothing with ours, and give what the appendix says, within what its three digits
// leave.
func TestModelRebuilt(t *testing.T) {
	list := map[string]*build.Build{}
	for _, name := range sample.Some(sample.Names, 1) {
		list[name] = example(t, name)
	}
	list["flexible ends"], _ = edited(t, "slipway-gantry", [2]string{
		`lower: {from: "bottom", to: "hold", section: "ram", up: "y"}`,
		`lower: {from: "bottom", to: "hold", section: "ram", up: "y", to_end: open: {}, from_end: open: {}}`,
	})
	folders := map[string]string{"bolted column": "ridge-mill"}
	if sample.Thorough() { // 450 members, and a spindle more
		folders["plates, filled channels and two spindles"] = "keel-mill"
	}
	for name, folder := range folders {
		m := sample.Load(t, "internal/whole/testdata/machines/"+folder)
		if !sample.Thorough() {
			m = sample.Only(t, m, m.Targets[0].Name)
		}
		list[name] = compiled(t, m)
	}
	for name, b := range list {
		p := readModel(t, name, b)
		check := p.rows("Compliance")
		got, want := p.compliance(), check[0]
		for i := range 3 {
			if w := p.number(want[i+1]) * 1e-9; math.Abs(got[i]-w) > 0.005*w {
				t.Errorf("%s: compliance along %c of the frame: rebuilt %.4g m/N, printed %.4g", name, "XYZ"[i], got[i], w)
			}
		}
		s := readStability(p, b)
		chain := s.chainAtRest(p.found(`The compliance at the tool tip is that with the ([^\n]+)\.\n`)[0])
		for i, along := range []float64{s.tool.X, s.tool.Y, s.tool.Z} {
			if along != 0 { // across the tool alone
				continue
			}
			sum, own := check[len(check)-1], 0.0
			for _, row := range check[1 : len(check)-1] {
				own += p.number(row[i+1]) * 1e-9
			}
			if math.Abs(chain-own) > 0.01*own {
				t.Errorf("%s: compliance along %c of spindle, holder and cutter: rebuilt %.4g m/N, printed %.4g", name, "XYZ"[i], chain, own)
			}
			if w := p.number(sum[i+1]) * 1e-9; math.Abs(got[i]+chain-w) > 0.01*w {
				t.Errorf("%s: compliance along %c at the tool tip: rebuilt %.4g m/N, printed %.4g", name, "XYZ"[i], got[i]+chain, w)
			}
		}
	}
}

// readModel reads the tables and the sentences of the model's appendix.
func readModel(t *testing.T, name string, b *build.Build) *printedModel {
	t.Helper()
	if len(b.Appendix) == 0 {
		t.Fatalf("%s: no appendix", name)
	}
	p := &printedModel{t: t, name: name, tables: map[string]build.Table{}}
	for _, block := range b.Appendix[0].Blocks {
		switch block := block.(type) {
		case build.Table:
			p.tables[strings.FieldsFunc(block.Caption, func(r rune) bool { return strings.ContainsRune(" ,;", r) })[0]] = block
		case build.List:
			p.words += strings.ReplaceAll(strings.Join(block, "\n"), `\*`, "*") + "\n"
		case build.Text:
			p.words += string(block) + "\n"
		}
	}
	return p
}

// A printedModel is the model's appendix as it is printed.
type printedModel struct {
	t      *testing.T
	name   string
	tables map[string]build.Table // by the first word of the caption
	words  string
}

// rows are a table's cells; none where the model has no such table.
func (p *printedModel) rows(table string) (rows [][]string) {
	for _, row := range p.tables[table].Rows {
		var cells []string
		for _, c := range row {
			cells = append(cells, strings.ReplaceAll(c.Text, `\*`, "*"))
		}
		rows = append(rows, cells)
	}
	return rows
}

func (p *printedModel) number(text string) float64 {
	p.t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		p.t.Fatalf("%s: %v", p.name, err)
	}
	return v
}

// found are the parts of a sentence that a pattern finds.
func (p *printedModel) found(pattern string) []string {
	p.t.Helper()
	list := regexp.MustCompile(pattern).FindStringSubmatch(p.words)
	if list == nil {
		p.t.Fatalf("%s: no %s in the text", p.name, pattern)
	}
	return list[1:]
}

// vector reads "(0, 0, 90)" or "−Z".
func (p *printedModel) vector(text string) r3.Vec {
	p.t.Helper()
	sign, bare := 1.0, strings.TrimPrefix(text, "−")
	if bare != text {
		sign = -1
	}
	switch bare {
	case "X":
		return r3.Vec{X: sign}
	case "Y":
		return r3.Vec{Y: sign}
	case "Z":
		return r3.Vec{Z: sign}
	}
	v := strings.Split(strings.Trim(text, "()"), ", ")
	return r3.Vec{X: p.number(v[0]), Y: p.number(v[1]), Z: p.number(v[2])}
}

// axes reads three local axes.
func (p *printedModel) axes(text string) (list [3]r3.Vec) {
	for i, v := range regexp.MustCompile(`\([^)]*\)|−?[XYZ]`).FindAllString(text, -1) {
		list[i] = p.vector(v)
	}
	return list
}

var digits = regexp.MustCompile(`\d+`)

// spanned are the names from the first to the last: "bed.near_1 … near_6".
func spanned(text string) []string {
	first, last, many := strings.Cut(text, " … ")
	if !many {
		return []string{text}
	}
	body, short, ok := strings.Cut(first, ".")
	if !ok {
		body, short = "", first
	}
	a, b := digits.FindAllString(short, -1), digits.FindAllString(last, -1)
	steps := 0
	for i := range a {
		x, _ := strconv.Atoi(a[i])
		y, _ := strconv.Atoi(b[i])
		steps = max(steps, y-x)
	}
	var list []string
	for k := range steps + 1 {
		i := -1
		name := digits.ReplaceAllStringFunc(short, func(string) string {
			i++
			x, _ := strconv.Atoi(a[i])
			if a[i] != b[i] {
				x += k
			}
			return strconv.Itoa(x)
		})
		if body != "" {
			name = body + "." + name
		}
		list = append(list, name)
	}
	return list
}

// A place is carried rigidly by a node.
type place struct {
	node string
	at   r3.Vec // [m]
}

// A rebuilt is a frame of dense matrices.
type rebuilt struct {
	nodes map[string]r3.Vec
	links map[string]string // slave to master
	index map[string]int    // of the nodes that are no slaves
	k     *mat.Dense
}

// carried is the motion of a place by that of its node: the node that it hangs on in the
// end, and the matrix.
func (f *rebuilt) carried(p place) (int, *mat.Dense) {
	root := p.node
	for f.links[root] != "" {
		root = f.links[root]
	}
	r := r3.Sub(p.at, f.nodes[root])
	return f.index[root], mat.NewDense(6, 6, []float64{
		1, 0, 0, 0, r.Z, -r.Y,
		0, 1, 0, -r.Z, 0, r.X,
		0, 0, 1, r.Y, -r.X, 0,
		0, 0, 0, 1, 0, 0,
		0, 0, 0, 0, 1, 0,
		0, 0, 0, 0, 0, 1,
	})
}

// add adds a stiffness between places; a nil place is the floor.
func (f *rebuilt) add(k *mat.Dense, places ...place) {
	for i, a := range places {
		for j, b := range places {
			if a.node == "" || b.node == "" {
				continue
			}
			row, ta := f.carried(a)
			column, tb := f.carried(b)
			var part, product mat.Dense
			part.Mul(ta.T(), k.Slice(6*i, 6*i+6, 6*j, 6*j+6))
			product.Mul(&part, tb)
			for x := range 6 {
				for y := range 6 {
					f.k.Set(6*row+x, 6*column+y, f.k.At(6*row+x, 6*column+y)+product.At(x, y))
				}
			}
		}
	}
}

// spring adds a spring between two places, midway.
func (f *rebuilt) spring(a, b place, axes [3]r3.Vec, stiffness [6]float64) {
	middle := r3.Scale(0.5, r3.Add(a.at, b.at))
	if b.node == "" {
		middle = a.at
	}
	a.at, b.at = middle, middle
	local := mat.NewDense(6, 6, nil)
	for n, v := range stiffness {
		d := axes[n%3]
		for x, dx := range []float64{d.X, d.Y, d.Z} {
			for y, dy := range []float64{d.X, d.Y, d.Z} {
				local.Set(n/3*3+x, n/3*3+y, local.At(n/3*3+x, n/3*3+y)+v*dx*dy)
			}
		}
	}
	both := mat.NewDense(12, 12, nil)
	for i := range 12 {
		for j := range 12 {
			sign := 1.0
			if i/6 != j/6 {
				sign = -1
			}
			both.Set(i, j, sign*local.At(i%6, j%6))
		}
	}
	f.add(both, a, b)
}

// beam adds a Timoshenko beam: EA, EIy, EIz, GJ, GAy, GAz, with 0 for no shear.
func (f *rebuilt) beam(a, b place, up r3.Vec, s [6]float64) {
	x := r3.Sub(b.at, a.at)
	l := r3.Norm(x)
	x = r3.Unit(x)
	z := r3.Unit(r3.Sub(up, r3.Scale(r3.Dot(up, x), x)))
	y := r3.Cross(z, x)
	k := mat.NewDense(12, 12, nil)
	set := func(i, j int, v float64) { k.Set(i, j, v); k.Set(j, i, v) }
	for _, rod := range []struct {
		i int
		k float64
	}{{0, s[0] / l}, {3, s[3] / l}} {
		set(rod.i, rod.i, rod.k)
		set(rod.i+6, rod.i+6, rod.k)
		set(rod.i, rod.i+6, -rod.k)
	}
	bend := func(ei, ga float64, v, r int, sign float64) {
		phi := 0.0
		if ga > 0 {
			phi = 12 * ei / (ga * l * l)
		}
		c := ei / (l * l * l * (1 + phi))
		set(v, v, 12*c)
		set(v+6, v+6, 12*c)
		set(v, v+6, -12*c)
		for _, end := range []int{r, r + 6} {
			set(v, end, sign*6*l*c)
			set(v+6, end, -sign*6*l*c)
			set(end, end, (4+phi)*l*l*c)
		}
		set(r, r+6, (2-phi)*l*l*c)
	}
	bend(s[2], s[4], 1, 5, 1)
	bend(s[1], s[5], 2, 4, -1)
	turn := mat.NewDense(12, 12, nil)
	for block := range 4 {
		for i, v := range []r3.Vec{x, y, z} {
			turn.Set(3*block+i, 3*block, v.X)
			turn.Set(3*block+i, 3*block+1, v.Y)
			turn.Set(3*block+i, 3*block+2, v.Z)
		}
	}
	var part, global mat.Dense
	part.Mul(turn.T(), k)
	global.Mul(&part, turn)
	f.add(&global, a, b)
}

// A piece is a member, or what carriages leave of one.
type piece struct {
	a, b    place
	up      r3.Vec
	section [6]float64
	stops   []float64 // where carriages stand, as a share of the length
}

// along is a place on the member's axis.
func (m *piece) along(share float64) r3.Vec {
	return r3.Add(m.a.at, r3.Scale(share, r3.Sub(m.b.at, m.a.at)))
}

// compliance rebuilds the frame, and returns its compliance at the tool tip along X, Y
// and Z.
func (p *printedModel) compliance() (c [3]float64) {
	f := &rebuilt{nodes: map[string]r3.Vec{}, links: map[string]string{}, index: map[string]int{}}
	shift := map[string]r3.Vec{}
	for _, row := range p.rows("Axes") {
		for _, body := range strings.Split(row[1], ", ") {
			shift[body] = r3.Add(shift[body], r3.Scale((p.number(row[4])-p.number(row[3]))*1e-3, p.vector(row[2])))
		}
	}
	for _, row := range p.rows("Nodes") {
		names := spanned(row[0])
		var ends [2][3]float64
		for i, text := range row[1:] {
			first, last, many := strings.Cut(text, " … ")
			if !many {
				last = first
			}
			ends[0][i], ends[1][i] = p.number(first)*1e-3, p.number(last)*1e-3
		}
		a, b := r3.Vec{X: ends[0][0], Y: ends[0][1], Z: ends[0][2]}, r3.Vec{X: ends[1][0], Y: ends[1][1], Z: ends[1][2]}
		for k, name := range names {
			body, _, _ := strings.Cut(name, ".")
			f.nodes[name] = r3.Add(shift[body], r3.Add(a, r3.Scale(float64(k)/math.Max(1, float64(len(names)-1)), r3.Sub(b, a))))
		}
	}
	for _, row := range p.rows("Rigid") {
		for _, slave := range strings.Split(row[1], ", ") {
			f.links[slave] = row[0]
		}
	}
	members, names := p.members(f)
	springs := p.springs(f, members, names)
	for _, name := range names {
		for k := range members[name].stops {
			f.nodes[fmt.Sprintf("%s at %d", name, k)] = members[name].along(members[name].stops[k])
		}
	}
	var roots []string
	for name := range f.nodes {
		if f.links[name] == "" {
			roots = append(roots, name)
		}
	}
	slices.Sort(roots)
	for i, name := range roots {
		f.index[name] = i
	}
	f.k = mat.NewDense(6*len(roots), 6*len(roots), nil)
	for _, name := range names {
		m := members[name]
		last := m.a
		for k := range m.stops {
			next := place{fmt.Sprintf("%s at %d", name, k), m.along(m.stops[k])}
			f.beam(last, next, m.up, m.section)
			last = next
		}
		f.beam(last, m.b, m.up, m.section)
	}
	for _, add := range springs {
		add()
	}
	return p.pushed(f)
}

// members reads the members with their sections.
func (p *printedModel) members(f *rebuilt) (members map[string]*piece, names []string) {
	sections := map[string][6]float64{}
	for _, row := range p.rows("Sections") {
		var s [6]float64
		for i, unit := range []float64{1e6, 1e3, 1e3, 1e3, 1e6, 1e6} { // MN, kN·m²
			if row[2+i] != "–" {
				s[i] = p.number(row[2+i]) * unit
			}
		}
		sections[row[0]] = s
	}
	members = map[string]*piece{}
	for _, row := range p.rows("Members") {
		from, to := spanned(row[2]), spanned(row[3])
		for k, name := range spanned(row[0]) {
			body, _, _ := strings.Cut(name, ".")
			end := func(list []string, which string) place {
				node := body + "." + list[min(k, len(list)-1)]
				if strings.Contains(row[5], which+": joint") {
					joint := fmt.Sprintf("end of %s at %s", name, list[min(k, len(list)-1)])
					f.nodes[joint] = f.nodes[node]
					node = joint
				}
				at := f.nodes[node]
				if offset := regexp.MustCompile(which + `: offset (\([^)]*\)) mm`).FindStringSubmatch(row[5]); offset != nil {
					at = r3.Add(at, r3.Scale(1e-3, p.vector(offset[1])))
				}
				return place{node, at}
			}
			names = append(names, name)
			members[name] = &piece{a: end(from, "from"), b: end(to, "to"), up: p.vector(row[4]), section: sections[row[1]]}
		}
	}
	return members, names
}

// springs reads the springs, and marks on the members where carriages stand. What it
// returns adds them, once the nodes are numbered.
func (p *printedModel) springs(f *rebuilt, members map[string]*piece, names []string) (list []func()) {
	for _, row := range p.rows("Feet") {
		k := strings.Split(row[1], ", ")
		for _, node := range strings.Split(row[0], ", ") {
			list = append(list, func() {
				f.spring(place{node, f.nodes[node]}, place{}, [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}},
					[6]float64{p.number(k[0]) * 1e6, p.number(k[1]) * 1e6, p.number(k[2]) * 1e6})
			})
		}
	}
	for _, row := range p.rows("Drives") {
		at := f.nodes[row[1]]
		list = append(list, func() {
			f.spring(place{row[1], at}, place{row[2], at}, [3]r3.Vec{p.vector(row[3]), {}, {}}, [6]float64{p.number(row[4]) * 1e6})
		})
	}
	for _, row := range p.rows("Joints") {
		ends := strings.Split(row[1], ", ")
		var k [6]float64
		for i, text := range strings.Split(row[3]+", "+row[4], ", ") {
			switch {
			case text == "rigid":
				k[i] = 1e12
			case i < 3:
				k[i] = p.number(text) * 1e6
			default:
				k[i] = p.number(text) * 1e3
			}
		}
		list = append(list, func() {
			f.spring(place{ends[0], f.nodes[ends[0]]}, place{ends[1], f.nodes[ends[1]]}, p.axes(row[2]), k)
		})
	}
	for _, row := range p.rows("Carriages") {
		k := strings.Split(row[4], ", ")
		for _, node := range strings.Split(row[1], ", ") {
			at := f.nodes[node]
			var on string
			var share, away float64
			for _, name := range names {
				m := members[name]
				under := slices.ContainsFunc(strings.Split(row[2], ", "), func(pattern string) bool {
					ok, err := path.Match(pattern, name)
					return ok && err == nil
				})
				if !under {
					continue
				}
				line := r3.Sub(m.b.at, m.a.at)
				s := math.Min(1, math.Max(0, r3.Dot(r3.Sub(at, m.a.at), line)/r3.Norm2(line)))
				if d := r3.Norm(r3.Sub(at, m.along(s))); on == "" || d < away-1e-9 {
					on, share, away = name, s, d
				}
			}
			m := members[on]
			if share > 1e-6 && share < 1-1e-6 && !slices.Contains(m.stops, share) {
				m.stops = append(m.stops, share)
				slices.Sort(m.stops)
			}
			list = append(list, func() {
				carrier := m.a.node
				if share >= 1-1e-6 {
					carrier = m.b.node
				} else if n := slices.Index(m.stops, share); n >= 0 {
					carrier = fmt.Sprintf("%s at %d", on, n)
				}
				f.spring(place{carrier, at}, place{node, at}, p.axes(row[3]),
					[6]float64{p.number(k[0]) * 1e6, p.number(k[1]) * 1e6, p.number(k[2]) * 1e6})
			})
		}
	}
	return list
}

// pushed is the compliance under forces at the tool tip against the workpiece.
func (p *printedModel) pushed(f *rebuilt) (c [3]float64) {
	spindle := p.found(`Spindle nose: node (\S+), offset (\([^)]*\)) mm`)
	nose := place{spindle[0], r3.Add(f.nodes[spindle[0]], r3.Scale(1e-3, p.vector(spindle[1])))}
	arm := r3.Scale(1e-3, p.vector(p.found(`The tool tip is (\([^)]*\)) mm from the spindle nose`)[0]))
	rests := p.found(`The workpiece rests on nodes (.*) of body (\w+)\.`)
	spread := p.number(p.found(`R = ([\d.]+) mm`)[0]) * 1e-3
	var nodes []string
	for name := range f.nodes {
		body, short, _ := strings.Cut(name, ".")
		for _, pattern := range strings.Split(rests[0], ", ") {
			if ok, err := path.Match(pattern, short); body == rests[1] && ok && err == nil && !strings.Contains(name, " ") {
				nodes = append(nodes, name)
				break
			}
		}
	}
	slices.Sort(nodes)
	near := math.Inf(1)
	for _, n := range nodes {
		near = math.Min(near, r3.Norm(r3.Sub(f.nodes[n], nose.at)))
	}
	// The fit's normal equations: A (U, Θ) = Σ Bᵀ W (u, θ).
	a := mat.NewDense(6, 6, nil)
	weighted := map[string]*mat.Dense{}
	for _, n := range nodes {
		r := r3.Sub(f.nodes[n], nose.at)
		w := math.Max(1e-6, math.Exp(-(r3.Norm2(r)-near*near)/(2*spread*spread)))
		b := mat.NewDense(6, 6, []float64{
			1, 0, 0, 0, r.Z, -r.Y,
			0, 1, 0, -r.Z, 0, r.X,
			0, 0, 1, r.Y, -r.X, 0,
			0, 0, 0, 1, 0, 0,
			0, 0, 0, 0, 1, 0,
			0, 0, 0, 0, 0, 1,
		})
		l := 0.05 * 0.05
		bw := new(mat.Dense)
		bw.Mul(b.T(), mat.NewDiagDense(6, []float64{w, w, w, w * l, w * l, w * l}))
		weighted[n] = bw
		var part mat.Dense
		part.Mul(bw, b)
		a.Add(a, &part)
	}
	var inverse mat.Dense
	if err := inverse.Inverse(a); err != nil {
		p.t.Fatal(err)
	}
	size, _ := f.k.Dims()
	loads := mat.NewDense(size, 3, nil)
	for i, way := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		m := r3.Cross(arm, way)
		wrench := mat.NewVecDense(6, []float64{way.X, way.Y, way.Z, m.X, m.Y, m.Z})
		push := func(at place, force mat.Vector, sign float64) {
			row, carry := f.carried(at)
			var v mat.VecDense
			v.MulVec(carry.T(), force)
			for x := range 6 {
				loads.Set(6*row+x, i, loads.At(6*row+x, i)+sign*v.AtVec(x))
			}
		}
		push(nose, wrench, 1)
		for _, n := range nodes {
			var part, force mat.VecDense
			part.MulVec(inverse.T(), wrench)
			force.MulVec(weighted[n].T(), &part)
			push(place{n, f.nodes[n]}, &force, -1)
		}
	}
	var moved, work mat.Dense
	if err := moved.Solve(f.k, loads); err != nil {
		p.t.Fatalf("%s: %v", p.name, err)
	}
	work.Mul(loads.T(), &moved)
	for i := range c {
		c[i] = work.At(i, i)
	}
	return c
}
