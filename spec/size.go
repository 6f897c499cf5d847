package spec

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/parser"
	"cuelang.org/go/cue/scanner"
	"cuelang.org/go/cue/token"

	"ironbed/schema"
	"ironbed/spec/quantity"
)

// The bounds of a spec's text. CUE's parser and evaluator call themselves for each of
// these, and a chain of many would end the program.
const (
	deepestText  = 100  // brackets within each other
	longestChain = 100  // labels, signs or clauses in a row
	longestTerm  = 1000 // operators, calls and selectors of one value
	mostMistakes = 100  // of the characters alone
)

// tooLong finds the first place of a text where brackets, labels or operators are more
// than a spec can need.
func tooLong(t schema.File) []Diagnostic {
	var s scanner.Scanner
	file := token.NewFile(t.Name, -1, len(t.Text))
	mistakes, first := 0, Diagnostic{}
	s.Init(file, t.Text, func(at token.Pos, format string, args []any) {
		if mistakes++; mistakes == 1 {
			first = Diagnostic{Rule: RuleSyntax, At: placeOf(at), Message: fmt.Sprintf(format, args...)}
		}
	}, 0)
	type level struct {
		labels, operators, signs, clauses int
		operand                           bool // the last token ends a value
		text                              bool // the level is within a text
	}
	levels := []level{{}}
	refuse := func(at token.Pos, format string, args ...any) []Diagnostic {
		return []Diagnostic{{Rule: RuleSize, At: placeOf(at), Message: fmt.Sprintf(format, args...)}}
	}
	inText := false
	for {
		at, tok, _ := s.Scan()
		here := &levels[len(levels)-1]
		switch tok {
		case token.EOF:
			if mistakes > mostMistakes { // the parser keeps a list of them, which takes long to make
				return []Diagnostic{first}
			}
			return nil
		case token.LPAREN, token.LBRACK, token.LBRACE:
			if here.operand && tok != token.LBRACE {
				here.operators++
			}
			if len(levels) > deepestText {
				return refuse(at, "brackets stand more than %d deep in each other", deepestText)
			}
			if here.operators <= longestTerm {
				levels = append(levels, level{text: inText})
				inText = false
				continue
			}
		case token.RPAREN, token.RBRACK, token.RBRACE:
			text := here.text
			if len(levels) > 1 {
				levels = levels[:len(levels)-1]
			}
			here = &levels[len(levels)-1]
			here.operand = true
			if text && tok == token.RPAREN {
				inText = strings.HasSuffix(s.ResumeInterpolation(), "(")
			}
			continue
		case token.INTERPOLATION:
			inText = true
		case token.COMMA:
			*here = level{text: here.text}
			continue
		case token.COLON:
			here.labels++
			here.signs, here.operators, here.operand = 0, 0, false
		case token.FOR, token.IF, token.LET, token.IN:
			here.clauses++
			here.operand = false
		case token.PERIOD:
			here.operators++
		case token.IDENT, token.INT, token.FLOAT, token.STRING, token.BOTTOM, token.NULL, token.TRUE, token.FALSE:
			here.operand, here.signs = true, 0
		default:
			if tok.IsOperator() {
				if here.operand {
					here.operators++
				} else {
					here.signs++
				}
				here.operand = false
			}
		}
		switch {
		case here.labels > longestChain:
			return refuse(at, "more than %d labels follow each other", longestChain)
		case here.signs > longestChain:
			return refuse(at, "more than %d signs follow each other", longestChain)
		case here.clauses > longestChain:
			return refuse(at, "more than %d clauses follow each other", longestChain)
		case here.operators > longestTerm:
			return refuse(at, "one value has more than %d operators, calls or selectors", longestTerm)
		}
	}
}

// Suspects returns where the text of a spec stands for the most, as far as the syntax
// tells: what to look at where its evaluation takes too long or too much. It evaluates
// nothing.
func Suspects(dir string) []Diagnostic {
	texts, _, refused, err := readFolder(dir)
	if err != nil || len(refused) > 0 {
		return nil
	}
	return suspectsIn(texts)
}

func suspectsIn(texts []schema.File) []Diagnostic {
	e := estimate{names: map[string]ast.Expr{}, sizes: map[ast.Node]float64{}}
	var fields []*ast.Field
	for _, t := range texts {
		if len(tooLong(t)) > 0 {
			continue
		}
		f, err := parser.ParseFile(t.Name, t.Text)
		if err != nil {
			continue
		}
		ast.Walk(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.Field:
				if name, _, err := ast.LabelName(n.Label); err == nil && e.names[name] == nil {
					e.names[name] = n.Value
				}
				if _, reference := n.Value.(*ast.Ident); !reference { // the cause is where it is written
					fields = append(fields, n)
				}
			case *ast.LetClause:
				e.names[n.Ident.Name] = n.Expr
			}
			return true
		}, nil)
	}
	// Of fields that stand for as much, the cause is the one that says so itself and not by
	// a name; of those the innermost, which has the shortest text.
	outright := estimate{sizes: map[ast.Node]float64{}}
	var most *ast.Field
	size, own := 0.0, 0.0
	for _, f := range fields {
		n, o := e.of(f.Value), outright.of(f.Value)
		same := n > size/1.5
		if most == nil || n > 1.5*size || same && (o > 1.5*own || o > own/1.5 && length(f) < length(most)) {
			most, size, own = f, n, o
		}
	}
	if most == nil {
		return nil
	}
	name, _, err := ast.LabelName(most.Label)
	if err != nil {
		name = "this field"
	}
	return []Diagnostic{{Rule: RuleSize, At: placeOf(most.Value.Pos()),
		Message: fmt.Sprintf("by its text %s stands for the most, about %s values; look for counts, and for references that multiply", name, quantity.Number(size))}}
}

func length(f *ast.Field) int { return f.End().Offset() - f.Pos().Offset() }

// An estimate is how many values the expressions of a spec stand for, roughly: names are
// looked up without regard to their scope.
type estimate struct {
	names map[string]ast.Expr
	sizes map[ast.Node]float64 // 1 for one that is being computed
}

func (e *estimate) of(n ast.Node) float64 {
	if n == nil {
		return 0
	}
	if size, ok := e.sizes[n]; ok {
		return size
	}
	e.sizes[n] = 1
	size := min(e.compute(n), 1e300)
	e.sizes[n] = size
	return size
}

func (e *estimate) compute(n ast.Node) float64 {
	switch n := n.(type) {
	case *ast.Ident:
		if value := e.names[n.Name]; value != nil {
			return e.of(value)
		}
	case *ast.BasicLit:
		if n.Kind == token.INT || n.Kind == token.FLOAT {
			if v := math.Abs(e.number(n)); v > 1e300 {
				return exponent(n.Value)
			}
		}
		return 1 + float64(len(n.Value))/100
	case *ast.Field:
		return 1 + e.of(n.Value)
	case *ast.StructLit:
		return 1 + e.sum(n.Elts)
	case *ast.EmbedDecl:
		return e.of(n.Expr)
	case *ast.ListLit:
		size := 1.0
		for _, x := range n.Elts {
			size += e.of(x)
		}
		return size
	case *ast.BinaryExpr:
		x, y := e.of(n.X), e.of(n.Y)
		switch n.Op {
		case token.AND:
			return x + y + e.alternatives(n)
		case token.MUL:
			return max(x+y, e.times(n.X)*y, e.times(n.Y)*x)
		}
		return x + y
	case *ast.UnaryExpr:
		return e.of(n.X)
	case *ast.ParenExpr:
		return e.of(n.X)
	case *ast.SelectorExpr:
		if name, _, err := ast.LabelName(n.Sel); err == nil && e.names[name] != nil {
			return e.of(e.names[name])
		}
		return e.of(n.X)
	case *ast.IndexExpr:
		return e.of(n.X) + e.of(n.Index)
	case *ast.Interpolation:
		size := 0.0
		for _, x := range n.Elts {
			size += e.of(x)
		}
		return size
	case *ast.CallExpr:
		return e.call(n)
	case *ast.Comprehension:
		rounds := 1.0
		for _, c := range n.Clauses {
			if f, ok := c.(*ast.ForClause); ok {
				rounds *= max(1, e.elements(f.Source))
			}
		}
		return rounds * (1 + e.of(n.Value))
	}
	return 1
}

func (e *estimate) sum(decls []ast.Decl) (size float64) {
	for _, d := range decls {
		size += e.of(d)
	}
	return size
}

// call is what a call stands for: those that repeat by a number are known.
func (e *estimate) call(n *ast.CallExpr) float64 {
	size := 0.0
	for _, a := range n.Args {
		size += e.of(a)
	}
	if count := e.count(n); count > 0 {
		return count * max(1, e.of(n.Args[0]))
	}
	return 1 + size
}

// count is how often a call repeats what it is given, 0 for a call that does not.
func (e *estimate) count(n *ast.CallExpr) float64 {
	f, ok := n.Fun.(*ast.SelectorExpr)
	if !ok {
		return 0
	}
	name, _, _ := ast.LabelName(f.Sel)
	argument := func(i int) float64 {
		if i < len(n.Args) {
			return math.Abs(e.number(n.Args[i]))
		}
		return 1
	}
	switch name {
	case "Range":
		return math.Abs(argument(1)-argument(0)) / max(argument(2), 1e-300)
	case "Repeat":
		return argument(1)
	case "Lsh":
		return argument(1) / 64
	case "Pow", "Pow10", "Exp", "Exp2":
		return max(argument(0), argument(1))
	}
	return 0
}

// elements is how many elements or fields a value has.
func (e *estimate) elements(n ast.Expr) float64 {
	switch n := n.(type) {
	case *ast.ListLit:
		size := 0.0
		for _, x := range n.Elts {
			if c, ok := x.(*ast.Comprehension); ok {
				size += e.of(c)
			} else {
				size++
			}
		}
		return size
	case *ast.StructLit:
		return float64(len(n.Elts))
	case *ast.Ident:
		if e.names == nil {
			return 10 // whatever it stands for, the loop is what repeats
		}
		if value := e.names[n.Name]; value != nil {
			if size, ok := e.sizes[n]; ok && size == 1 {
				return 1
			}
			e.sizes[n] = 1
			defer delete(e.sizes, n)
			return e.elements(value)
		}
	case *ast.ParenExpr:
		return e.elements(n.X)
	case *ast.CallExpr:
		return max(1, e.count(n))
	case *ast.BinaryExpr:
		if n.Op == token.MUL {
			return max(e.times(n.X)*e.elements(n.Y), e.times(n.Y)*e.elements(n.X))
		}
		return e.elements(n.X) + e.elements(n.Y)
	}
	return 1
}

// alternatives is how many combinations of alternatives a unification has.
func (e *estimate) alternatives(n ast.Expr) float64 {
	switch n := n.(type) {
	case *ast.BinaryExpr:
		switch n.Op {
		case token.OR:
			return e.alternatives(n.X) + e.alternatives(n.Y)
		case token.AND:
			return e.alternatives(n.X) * e.alternatives(n.Y)
		}
	case *ast.ParenExpr:
		return e.alternatives(n.X)
	case *ast.UnaryExpr:
		return e.alternatives(n.X)
	case *ast.Ident:
		if value := e.names[n.Name]; value != nil {
			if _, ok := e.sizes[n]; ok {
				return 1
			}
			e.sizes[n] = 1
			defer delete(e.sizes, n)
			return e.alternatives(value)
		}
	}
	return 1
}

// times is a number by which a product repeats its other factor, 0 for one that is none.
func (e *estimate) times(n ast.Expr) float64 { return math.Abs(e.number(n)) }

// number is the number that an expression says outright, 0 for any other.
func (e *estimate) number(n ast.Expr) float64 {
	switch n := n.(type) {
	case *ast.BasicLit:
		var info literal.NumInfo
		if err := literal.ParseNum(n.Value, &info); err != nil {
			return 0
		}
		v, err := strconv.ParseFloat(info.String(), 64)
		if err != nil && !math.IsInf(v, 0) {
			return 0
		}
		return v
	case *ast.ParenExpr:
		return e.number(n.X)
	case *ast.UnaryExpr:
		return e.number(n.X)
	case *ast.Ident:
		if lit, ok := e.names[n.Name].(*ast.BasicLit); ok {
			return e.number(lit)
		}
	case *ast.BinaryExpr:
		x, y := e.number(n.X), e.number(n.Y)
		switch n.Op {
		case token.MUL:
			return x * y
		case token.ADD:
			return x + y
		}
	}
	return 0
}

// exponent is the exponent that a number is written with.
func exponent(number string) float64 {
	i := strings.LastIndexAny(number, "eE")
	if i < 0 {
		return float64(len(number))
	}
	v, err := strconv.ParseFloat(strings.TrimLeft(number[i+1:], "+-"), 64)
	if err != nil {
		return 1
	}
	return v
}
