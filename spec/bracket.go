package spec

import (
	"fmt"
	"strings"

	"cuelang.org/go/cue/scanner"
	"cuelang.org/go/cue/token"

	"ironbed/schema"
)

// An opener is a bracket that waits to be closed.
type opener struct {
	tok    token.Token
	at     Place
	indent int  // of the line that it stands in
	text   bool // it stands within a text
}

var closing = map[token.Token]token.Token{token.LPAREN: token.RPAREN, token.LBRACK: token.RBRACK, token.LBRACE: token.RBRACE}

// unbalanced finds the bracket of a text that is not closed, or that closes nothing. The
// parser finds that out at the end of the text; the writer, by how the lines are
// indented, which is how the culprit is found here.
func unbalanced(t schema.File) []Diagnostic {
	lines := strings.Split(string(t.Text), "\n")
	indent := func(line int) int {
		text := lines[min(line, len(lines))-1]
		return len(text) - len(strings.TrimLeft(text, " \t"))
	}
	say := func(at Place, format string, args ...any) []Diagnostic {
		return []Diagnostic{{Rule: RuleSyntax, At: at, Message: fmt.Sprintf(format, args...)}}
	}
	open := func(o opener) []Diagnostic {
		return say(o.at, "the %s is not closed: no %s ends what begins here", o.tok, closing[o.tok])
	}
	var s scanner.Scanner
	wrong := false
	s.Init(token.NewFile(t.Name, -1, len(t.Text)), t.Text, func(token.Pos, string, []any) { wrong = true }, 0)
	var stack []opener
	var likely []Diagnostic // by the indents
	line, inText := 0, false
	for {
		pos, tok, _ := s.Scan()
		if wrong {
			return nil // the parser says what is wrong with the characters
		}
		at := placeOf(pos)
		top := len(stack) - 1
		if at.Line != line && tok != token.EOF && tok != token.COMMA {
			line = at.Line
			closes := tok == token.RBRACE || tok == token.RBRACK || tok == token.RPAREN
			// A line that begins no deeper than the one with the bracket is not within it.
			if likely == nil && top >= 0 && !stack[top].text && stack[top].at.Line < line &&
				(!closes && indent(line) <= stack[top].indent || closes && indent(line) < stack[top].indent) {
				likely = open(stack[top])
			}
			if likely == nil && top >= 0 && closes && indent(line) > stack[top].indent && stack[top].at.Line < line && indent(line) == at.Column-1 {
				likely = say(at, "the %s closes more than is open here: by its indent one too many", tok)
			}
		}
		switch tok {
		case token.LPAREN, token.LBRACK, token.LBRACE:
			stack = append(stack, opener{tok, at, indent(at.Line), inText})
			inText = false
		case token.INTERPOLATION:
			inText = true
		case token.COLON:
			if top >= 0 && stack[top].tok == token.LBRACK && stack[top].at.Line < at.Line {
				return open(stack[top]) // a list holds no names
			}
		case token.RPAREN, token.RBRACK, token.RBRACE:
			switch {
			case top < 0:
				if likely != nil {
					return likely
				}
				return say(at, "the %s closes nothing: no bracket is open here", tok)
			case closing[stack[top].tok] == tok:
				text := stack[top].text
				stack = stack[:top]
				if text && tok == token.RPAREN {
					inText = strings.HasSuffix(s.ResumeInterpolation(), "(")
				}
			case stack[top].at.Line == at.Line:
				return say(at, "the %s closes a %s; write %s", tok, stack[top].tok, closing[stack[top].tok])
			case tok == token.RBRACK && stack[top].tok == token.LBRACE:
				return say(at, "the %s closes nothing: the last bracket that is open is a %s", tok, stack[top].tok)
			default:
				return open(stack[top])
			}
		case token.EOF:
			if len(stack) == 0 {
				return nil
			}
			if likely != nil {
				return likely
			}
			return open(stack[len(stack)-1])
		}
	}
}
