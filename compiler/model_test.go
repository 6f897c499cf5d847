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
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/compiler/sheet/structure"
	"ironbed/compiler/verify"
	"ironbed/spec"
)

// TestModelRebuilt: whoever has the model's appendix alone can compute the compliance at
// the tool tip, that of the frame and that of the chain of spindle, holder and cutter, and the
// lowest natural frequencies. Its tables and sentences are read as printed, put into a frame
// program that stands here and shares nothing with ours, and give what the report says, within
// what its three digits leave.
func TestModelRebuilt(t *testing.T) {
	list := map[string]*build.Build{}
	for _, name := range sample.Rows(sample.Names, 1) {
		list[name] = example(t, name)
	}
	flexible, _ := sample.Edited(t, "slipway-gantry", [2]string{
		`lower: {from: "bottom", to: "hold", section: "ram", up: "y"}`,
		`lower: {from: "bottom", to: "hold", section: "ram", up: "y", to_end: open: {}, from_end: open: {}}`,
	})
	list["flexible ends"] = modelled(t, flexible)
	machines := "internal/whole/testdata/machines/"
	list["bolted column"] = modelled(t, sample.Load(t, machines+"ridge-mill"))
	keel := sample.Load(t, machines+"keel-mill") // plates, filled channels, a rotating nut
	for _, spindle := range keel.Spindles.Names() {
		mounted, err := keel.Mounting(spindle)
		if err != nil {
			t.Fatal(err)
		}
		list["keel-mill, spindle "+spindle] = modelled(t, mounted)
	}
	for name, b := range list {
		p := readModel(t, name, b)
		f := p.frame(nil)
		p.sameModes(f, b, 0.002)
		check := p.rows("Compliance")
		got, want := p.pushed(f), check[0]
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

// modelled has a machine's mass, modes and model alone, without its cuts.
func modelled(t *testing.T, m *spec.Machine) *build.Build {
	t.Helper()
	solved, err := machine.Analyse(m)
	if err != nil {
		t.Fatal(err)
	}
	out := &build.Build{}
	book := sheet.NewBook(sheet.Solutions{Machine: solved}, out, true)
	for _, s := range []sheet.Sheet{structure.Mass, structure.Modes, structure.Model} {
		if err := book.Write(s); err != nil {
			t.Fatal(err)
		}
	}
	return out
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
	v, err := strconv.ParseFloat(powerOfTen.Replace(text), 64)
	if err != nil {
		p.t.Fatalf("%s: %v", p.name, err)
	}
	return v
}

// powerOfTen writes a printed power of ten as a program reads it.
var powerOfTen = strings.NewReplacer("·10", "e", "⁻", "-", "⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9")

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
	k, m  *mat.Dense        // stiffness and mass
	stiff mat.Cholesky      // the stiffness, factorised
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

// add adds a stiffness or a mass between places to the whole; a nil place is the floor.
func (f *rebuilt) add(whole, k *mat.Dense, places ...place) {
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
					whole.Set(6*row+x, 6*column+y, whole.At(6*row+x, 6*column+y)+product.At(x, y))
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
	f.add(f.k, both, a, b)
}

// lump adds a mass about its own centre, with inertia about X, Y and Z.
func (f *rebuilt) lump(at place, mass float64, inertia [3]float64) {
	f.add(f.m, mat.NewDense(6, 6, []float64{
		mass, 0, 0, 0, 0, 0,
		0, mass, 0, 0, 0, 0,
		0, 0, mass, 0, 0, 0,
		0, 0, 0, inertia[0], 0, 0,
		0, 0, 0, 0, inertia[1], 0,
		0, 0, 0, 0, 0, inertia[2],
	}), at)
}

// A crossSection is EA, EIy, EIz, GJ, GAy, GAz, with 0 for no shear, and mass, ρIy and ρIz per length.
type crossSection [9]float64

// beam adds a Timoshenko beam, with the stiffness and the consistent mass of Przemieniecki, Theory of Matrix Structural Analysis, 1968,
// equations 5.116 and 11.40 (from memory).
func (f *rebuilt) beam(a, b place, up r3.Vec, s crossSection) {
	x := r3.Sub(b.at, a.at)
	l := r3.Norm(x)
	x = r3.Unit(x)
	z := r3.Unit(r3.Sub(up, r3.Scale(r3.Dot(up, x), x)))
	y := r3.Cross(z, x)
	k, m := mat.NewDense(12, 12, nil), mat.NewDense(12, 12, nil)
	set := func(to *mat.Dense, i, j int, v float64) { to.Set(i, j, v); to.Set(j, i, v) }
	for _, rod := range []struct {
		i    int
		k, m float64
	}{{0, s[0] / l, s[6] * l / 6}, {3, s[3] / l, (s[7] + s[8]) * l / 6}} {
		for _, end := range []int{rod.i, rod.i + 6} {
			set(k, end, end, rod.k)
			set(m, end, end, 2*rod.m)
		}
		set(k, rod.i, rod.i+6, -rod.k)
		set(m, rod.i, rod.i+6, rod.m)
	}
	bend := func(ei, ga, rotary float64, v, r int, sign float64) {
		phi := 0.0
		if ga > 0 {
			phi = 12 * ei / (ga * l * l)
		}
		c := ei / (l * l * l * (1 + phi))
		moved, turned := s[6]*l/((1+phi)*(1+phi)), rotary/(l*(1+phi)*(1+phi))
		set(k, v, v+6, -12*c)
		set(m, v, v+6, moved*(9./70+3*phi/10+phi*phi/6)-turned*6/5)
		for end, way := range []float64{1, -1} {
			near, far := 6*end, 6-6*end
			set(k, v+near, v+near, 12*c)
			set(k, v, r+near, sign*6*l*c)
			set(k, v+6, r+near, -sign*6*l*c)
			set(k, r+near, r+near, (4+phi)*l*l*c)
			set(m, v+near, v+near, moved*(13./35+7*phi/10+phi*phi/3)+turned*6/5)
			set(m, r+near, r+near, l*l*(moved*(1./105+phi/60+phi*phi/120)+turned*(2./15+phi/6+phi*phi/3)))
			set(m, v+near, r+near, way*sign*l*(moved*(11./210+11*phi/120+phi*phi/24)+turned*(1./10-phi/2)))
			set(m, v+near, r+far, way*sign*l*(turned*(1./10-phi/2)-moved*(13./420+3*phi/40+phi*phi/24)))
		}
		set(k, r, r+6, (2-phi)*l*l*c)
		set(m, r, r+6, -l*l*(moved*(1./140+phi/60+phi*phi/120)+turned*(1./30+phi/6-phi*phi/6)))
	}
	bend(s[2], s[4], s[8], 1, 5, 1)
	bend(s[1], s[5], s[7], 2, 4, -1)
	turn := mat.NewDense(12, 12, nil)
	for block := range 4 {
		for i, v := range []r3.Vec{x, y, z} {
			turn.Set(3*block+i, 3*block, v.X)
			turn.Set(3*block+i, 3*block+1, v.Y)
			turn.Set(3*block+i, 3*block+2, v.Z)
		}
	}
	for _, to := range []struct{ whole, local *mat.Dense }{{f.k, k}, {f.m, m}} {
		var part, global mat.Dense
		part.Mul(turn.T(), to.local)
		global.Mul(&part, turn)
		f.add(to.whole, &global, a, b)
	}
}

// A piece is a member, or what carriages leave of one.
type piece struct {
	a, b    place
	up      r3.Vec
	section crossSection
	stops   []float64 // where carriages stand, as a share of the length
}

// divided adds places between which the mass is taken up, at most that far from each other.
func (m *piece) divided(step float64) {
	pieces := math.Ceil(r3.Norm(r3.Sub(m.b.at, m.a.at)) / step)
	for i := 1.0; i < pieces; i++ {
		share := i / pieces
		if !slices.ContainsFunc(m.stops, func(s float64) bool { return math.Abs(s-share) < 1e-3 }) {
			m.stops = append(m.stops, share)
		}
	}
	slices.Sort(m.stops)
}

// along is a place on the member's axis.
func (m *piece) along(share float64) r3.Vec {
	return r3.Add(m.a.at, r3.Scale(share, r3.Sub(m.b.at, m.a.at)))
}

// frame rebuilds the frame, with shells in place of the members of the plates that some bodies are.
func (p *printedModel) frame(shells map[string]shell) *rebuilt {
	const step = 0.3 // of what is bent by its own mass; half of it moves no frequency that is compared by 0.05 % [m]
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
	names = slices.DeleteFunc(names, func(name string) bool {
		body, member, _ := strings.Cut(name, ".")
		_, is := shells[body]
		return is && ofPlate.MatchString(member)
	})
	springs := p.springs(f, members, names)
	for _, name := range names {
		if members[name].section[6] > 0 {
			members[name].divided(step)
		}
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
	f.k, f.m = mat.NewDense(6*len(roots), 6*len(roots), nil), mat.NewDense(6*len(roots), 6*len(roots), nil)
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
	for body, s := range shells {
		if s.cells(f, body) == 0 {
			p.t.Fatalf("%s: no cells in %s", p.name, body)
		}
	}
	for _, add := range springs {
		add()
	}
	for _, row := range p.rows("Lumped") {
		var inertia [3]float64
		if row[4] != "–" {
			for i, text := range strings.Split(row[4], ", ") {
				inertia[i] = p.number(text)
			}
		}
		for _, node := range strings.Split(row[1], ", ") {
			at := place{node, f.nodes[node]}
			if row[2] != "–" {
				at.at = r3.Add(at.at, r3.Scale(1e-3, p.vector(row[2])))
			}
			f.lump(at, p.number(row[3]), inertia)
		}
	}
	if !f.stiff.Factorize(symmetric(f.k)) {
		p.t.Fatalf("%s: the rebuilt frame is a mechanism", p.name)
	}
	return f
}

// ofPlate is a member that the template of a plate makes.
var ofPlate = regexp.MustCompile(`^(along|across|rise|fall)_\d+_\d+$`)

// sameModes holds the natural frequencies of the rebuilt frame against those of the report, as many as it lists.
func (p *printedModel) sameModes(f *rebuilt, b *build.Build, tolerance float64) {
	p.t.Helper()
	for k, got := range f.frequencies(p.t, 8) {
		id := fmt.Sprintf("mode.%d.frequency", k+1)
		want, ok := b.Figures.Get(id)
		if !ok {
			p.t.Fatalf("%s: no figure %s", p.name, id)
		}
		verify.Check(p.t, verify.Case{
			ID: p.name + " " + id, Quantity: "natural frequency of a machine", Unit: "Hz", RelTol: tolerance,
			Source: "independent eigenvalue solution of the frame rebuilt from the printed model", Want: got,
		}, want.Value)
	}
}

// frequencies are the lowest natural frequencies [Hz], by subspace iteration (Bathe, Finite Element Procedures, 1996, section 11.6).
func (f *rebuilt) frequencies(t *testing.T, count int) (list []float64) {
	t.Helper()
	const rounds = 12
	size, _ := f.k.Dims()
	width := 2*count + 8
	x := mat.NewDense(size, width, nil)
	for i := range size {
		for j := range width {
			x.Set(i, j, math.Sin(float64(1+i*(j+1))))
		}
	}
	var values []float64
	for range rounds {
		var load, moved, k, m, part, reduced mat.Dense
		load.Mul(f.m, x)
		if err := f.stiff.SolveTo(&moved, &load); err != nil {
			t.Fatal(err)
		}
		k.Mul(moved.T(), &load)
		part.Mul(f.m, &moved)
		m.Mul(moved.T(), &part)
		// The larger eigenvalues of m against k are 1/ω².
		var root mat.Cholesky
		if !root.Factorize(symmetric(&k)) {
			t.Fatal("the start of the iteration is short of a direction")
		}
		var lower mat.TriDense
		root.LTo(&lower)
		var half mat.Dense
		if err := half.Solve(&lower, &m); err != nil {
			t.Fatal(err)
		}
		if err := reduced.Solve(&lower, half.T()); err != nil {
			t.Fatal(err)
		}
		var eigen mat.EigenSym
		if !eigen.Factorize(symmetric(&reduced), true) {
			t.Fatal("no eigenvalues")
		}
		values = eigen.Values(nil)
		var vectors, turned mat.Dense
		eigen.VectorsTo(&vectors)
		if err := turned.Solve(lower.T(), &vectors); err != nil {
			t.Fatal(err)
		}
		x.Mul(&moved, &turned)
	}
	slices.Reverse(values)
	for _, v := range values[:count] {
		list = append(list, 1/(2*math.Pi*math.Sqrt(v)))
	}
	return list
}

// symmetric is the symmetric part of a matrix.
func symmetric(a *mat.Dense) *mat.SymDense {
	n, _ := a.Dims()
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			s.SetSym(i, j, (a.At(i, j)+a.At(j, i))/2)
		}
	}
	return s
}

// members reads the members with their sections.
func (p *printedModel) members(f *rebuilt) (members map[string]*piece, names []string) {
	sections := map[string]crossSection{}
	for _, row := range p.rows("Sections") {
		var s crossSection
		for i, unit := range []float64{1e6, 1e3, 1e3, 1e3, 1e6, 1e6, 1} { // MN, kN·m², kg/m
			if row[2+i] != "–" {
				s[i] = p.number(row[2+i]) * unit
			}
		}
		if y, z, ok := strings.Cut(row[9], ", "); ok {
			s[7], s[8] = p.number(y)*1e-3, p.number(z)*1e-3
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
				at := f.nodes[node]
				if offset := regexp.MustCompile(which + `: offset (\([^)]*\)) mm`).FindStringSubmatch(row[5]); offset != nil {
					at = r3.Add(at, r3.Scale(1e-3, p.vector(offset[1])))
				}
				if strings.Contains(row[5], which+": joint") {
					node = fmt.Sprintf("end of %s at %s", name, list[min(k, len(list)-1)])
					f.nodes[node] = at
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
		from, to := spanned(ends[0]), spanned(ends[1])
		for i := range to {
			a, b := from[min(i, len(from)-1)], to[i]
			at := f.nodes[a]
			if strings.HasPrefix(b, "end of ") { // it stands on a rigid arm from its node
				at = f.nodes[b]
			}
			list = append(list, func() { f.spring(place{a, at}, place{b, f.nodes[b]}, p.axes(row[2]), k) })
		}
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
	if err := f.stiff.SolveTo(&moved, loads); err != nil {
		p.t.Fatalf("%s: %v", p.name, err)
	}
	work.Mul(loads.T(), &moved)
	for i := range c {
		c[i] = work.At(i, i)
	}
	return c
}
