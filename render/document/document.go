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
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/text"
)

// dialect is the report's Markdown: CommonMark with tables and lists to be ticked off.
var dialect = goldmark.New(
	goldmark.WithExtensions(extension.Table, extension.TaskList),
	goldmark.WithParserOptions(parser.WithAutoHeadingID()),
)

// Parse returns the tree of the Markdown text.
func Parse(md []byte) ast.Node {
	ids := &IDs{}
	return dialect.Parser().Parse(text.NewReader(md), parser.WithContext(parser.NewContext(parser.WithIDs(ids))))
}

// Text returns the characters that a text node stands for, with escapes and
// character references resolved as the HTML resolves them. A line break in the
// source is a space.
func Text(n *ast.Text, source []byte) string {
	value := n.Value(source)
	text := string(value)
	if bytes.ContainsAny(value, "\\&\x00") { // most text stands for itself
		var escaped bytes.Buffer
		out := bufio.NewWriterSize(&escaped, 2*len(value))
		if n.IsRaw() {
			html.DefaultWriter.RawWrite(out, value)
		} else {
			html.DefaultWriter.Write(out, value)
		}
		out.Flush() // a bytes.Buffer takes everything
		text = stdhtml.UnescapeString(escaped.String())
	}
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

// IDs hands out the ids of one document's headings.
type IDs struct{ used map[string]int }

// Next returns the id of the document's next heading, numbered if the document has
// had it before.
func (h *IDs) Next(heading string) string {
	if h.used == nil {
		h.used = map[string]int{}
	}
	slug := Slug(heading)
	n := h.used[slug]
	h.used[slug] = n + 1
	if n > 0 {
		slug = fmt.Sprintf("%s-%d", slug, n)
	}
	return slug
}

// Generate returns the heading's id, as the parser wants it.
func (h *IDs) Generate(value []byte, _ ast.NodeKind) []byte { return []byte(h.Next(string(value))) }

// Put marks an id as used.
func (h *IDs) Put(value []byte) { h.Next(string(value)) }

// A Pair is two pictures that stand side by side: a table of one column a picture,
// whose head holds the images and whose one row the captions.
type Pair struct {
	Images   []*ast.Image
	Captions []ast.Node
}

// PairOf returns the pictures of a table that is a pair of pictures.
func PairOf(t *east.Table) (Pair, bool) {
	head, row := t.FirstChild(), t.LastChild()
	var p Pair
	if head == nil || row.PreviousSibling() != head {
		return p, false
	}
	for c := head.FirstChild(); c != nil; c = c.NextSibling() {
		image, ok := c.FirstChild().(*ast.Image)
		if !ok || image.NextSibling() != nil {
			return p, false
		}
		p.Images = append(p.Images, image)
	}
	for c := row.FirstChild(); c != nil; c = c.NextSibling() {
		p.Captions = append(p.Captions, c)
	}
	return p, len(p.Images) == len(p.Captions)
}

// Tickable reports whether a list's item is to be ticked off.
func Tickable(item ast.Node) bool {
	if item.FirstChild() == nil {
		return false
	}
	_, ok := item.FirstChild().FirstChild().(*east.TaskCheckBox)
	return ok
}

// Image returns the image that is the whole of a paragraph, nil if none is.
func Image(n ast.Node) *ast.Image {
	p, ok := n.(*ast.Paragraph)
	if !ok || p.FirstChild() == nil || p.FirstChild().NextSibling() != nil {
		return nil
	}
	image, _ := p.FirstChild().(*ast.Image)
	return image
}

// Caption reports whether a paragraph is the caption of the picture before it:
// emphasised as a whole.
func Caption(n ast.Node) bool {
	p, ok := n.(*ast.Paragraph)
	if !ok || p.FirstChild() == nil || p.FirstChild().NextSibling() != nil || Image(n.PreviousSibling()) == nil {
		return false
	}
	e, ok := p.FirstChild().(*ast.Emphasis)
	return ok && e.Level == 1
}
