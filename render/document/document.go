// Package document parses the report's Markdown. The HTML and the PDF are both
// made from the tree that Parse returns, so that they cannot disagree, and
// headings get the ids that code-hosting sites give them, so that a link inside
// the report works everywhere.
package document

import (
	"bufio"
	"bytes"
	"fmt"
	stdhtml "html"
	"strings"
	"unicode"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/text"
)

// dialect is the report's Markdown: CommonMark with tables.
var dialect = goldmark.New(
	goldmark.WithExtensions(extension.Table),
	goldmark.WithParserOptions(parser.WithAutoHeadingID()),
)

// Parse returns the tree of the Markdown text.
func Parse(md []byte) ast.Node {
	ids := &headingIDs{used: map[string]int{}}
	return dialect.Parser().Parse(text.NewReader(md), parser.WithContext(parser.NewContext(parser.WithIDs(ids))))
}

// Text returns the characters that a text node stands for, with escapes and
// character references resolved as the HTML resolves them. A line break in the
// source is a space.
func Text(n *ast.Text, source []byte) string {
	var escaped bytes.Buffer
	out := bufio.NewWriter(&escaped)
	if value := n.Value(source); n.IsRaw() {
		html.DefaultWriter.RawWrite(out, value)
	} else {
		html.DefaultWriter.Write(out, value)
	}
	out.Flush() // a bytes.Buffer takes everything
	text := stdhtml.UnescapeString(escaped.String())
	switch {
	case n.HardLineBreak():
		text += "\n"
	case n.SoftLineBreak():
		text += " "
	}
	return text
}

// Words returns the text of a node without its style.
func Words(n ast.Node, source []byte) string {
	var s strings.Builder
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		switch v := c.(type) {
		case *ast.Text:
			s.WriteString(Text(v, source))
		case *ast.String:
			s.Write(v.Value)
		case *ast.AutoLink:
			s.Write(v.Label(source))
		default:
			s.WriteString(Words(v, source))
		}
	}
	return s.String()
}

// Slug returns the id of the first heading with this text: lower case,
// punctuation dropped, spaces as hyphens.
func Slug(heading string) string {
	var s strings.Builder
	for _, r := range strings.ToLower(strings.TrimSpace(heading)) {
		switch {
		case unicode.IsLetter(r), unicode.IsNumber(r), r == '-', r == '_':
			s.WriteRune(r)
		case r == ' ':
			s.WriteByte('-')
		}
	}
	return s.String()
}

// headingIDs hands out the ids of one document's headings.
type headingIDs struct{ used map[string]int }

// Generate returns the heading's id, numbered if the document has had it before.
func (h *headingIDs) Generate(value []byte, _ ast.NodeKind) []byte {
	slug := Slug(string(value))
	n := h.used[slug]
	h.used[slug] = n + 1
	if n > 0 {
		slug = fmt.Sprintf("%s-%d", slug, n)
	}
	return []byte(slug)
}

// Put marks an id as used.
func (h *headingIDs) Put(value []byte) { h.used[string(value)]++ }
