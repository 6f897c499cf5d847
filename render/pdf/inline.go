package pdf

import (
	"strings"

	"github.com/yuin/goldmark/ast"

	"ironbed/render/document"
)

// spans reads the inline content of a node.
func (l *layout) spans(n ast.Node, base span) []span {
	var list []span
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		switch v := c.(type) {
		case *ast.Text:
			s := base
			s.text = document.Text(v, l.source)
			list = append(list, s)
		case *ast.String:
			s := base
			s.text = string(v.Value)
			list = append(list, s)
		case *ast.CodeSpan:
			s := base
			s.style |= mono
			s.size = base.size * 92 / 100
			s.text = strings.ReplaceAll(document.Words(v, l.source), "\n", " ")
			list = append(list, s)
		case *ast.Emphasis:
			s := base
			s.style |= italic
			if v.Level == 2 {
				s.style = base.style | bold
			}
			list = append(list, l.spans(v, s)...)
		case *ast.Link:
			s := base
			s.link = l.destination(string(v.Destination))
			list = append(list, l.spans(v, s)...)
		case *ast.AutoLink:
			s := base
			s.link = l.destination(string(v.URL(l.source)))
			s.text = string(v.Label(l.source))
			list = append(list, s)
		case *ast.Image: // a picture inside a line: its words
			s := base
			s.style |= italic
			list = append(list, l.spans(v, s)...)
		}
	}
	return list
}

// destination returns where a link may lead: a heading of this document, or another
// document. Anything else leads nowhere.
func (l *layout) destination(url string) string {
	if id, ok := strings.CutPrefix(url, "#"); ok {
		if l.ids[id] {
			return url
		}
		return ""
	}
	if name, _, ok := strings.Cut(url, ".md"); ok && (name == "report" || name == "derivations" || name == "build-book") {
		return name + ".pdf" // it lies beside this one
	}
	return ""
}
