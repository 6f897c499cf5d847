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
	// Of one that is opened further up, the place is where it should have been closed.
	missing := func(o opener, at Place) []Diagnostic {
		if at.Line <= o.at.Line+1 {
			return open(o)
		}
		return say(at, "a %s is missing before this line: it ends what the %s of line %d begins, %q", closing[o.tok], o.tok, o.at.Line, strings.TrimSpace(lines[o.at.Line-1]))
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
				likely = missing(stack[top], at)
			}
			if likely == nil && top >= 0 && closes && indent(line) > stack[top].indent && stack[top].at.Line < line && indent(line) == at.Column-1 {
				likely = say(at, "this %s is one too many: every bracket that stands this deep is closed already; take it out", tok)
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
				return say(at, "this %s is one too many: no bracket is open here; take it out", tok)
			case closing[stack[top].tok] == tok:
				text := stack[top].text
				stack = stack[:top]
				if text && tok == token.RPAREN {
					inText = strings.HasSuffix(s.ResumeInterpolation(), "(")
				}
			case stack[top].at.Line == at.Line:
				return say(at, "the %s closes a %s; write %s", tok, stack[top].tok, closing[stack[top].tok])
			case tok == token.RBRACK && stack[top].tok == token.LBRACE:
				return say(at, "this %s is one too many: every [ before it is closed already; take it out", tok)
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
			o, end := stack[len(stack)-1], len(strings.TrimRight(string(t.Text), " \t\n\r"))
			last := Place{o.at.File, 1 + strings.Count(string(t.Text[:end]), "\n"), 1 + end - (1 + strings.LastIndexByte(string(t.Text[:end]), '\n'))}
			if last.Line <= o.at.Line+1 {
				return open(o)
			}
			return say(last, "a %s is missing at the end of the file: it ends what the %s of line %d begins, %q", closing[o.tok], o.tok, o.at.Line, strings.TrimSpace(lines[o.at.Line-1]))
		}
	}
}
