package render

import (
	"bytes"
	_ "embed" // for the style sheet
	"fmt"
	"html"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"

	"ironbed/compiler/build"
	"ironbed/render/document"
	"ironbed/render/figure"
)

//go:embed style.css
var styleSheet string

// html prints a document's Markdown as one page that needs no other file: the style
// sheet and the pictures are inside it.
func (d *documents) html(name string, md []byte) ([]byte, error) {
	p := &page{pictures: linked(d.build), build: d.build, name: name}
	writer := goldmark.New(
		goldmark.WithExtensions(extension.Table),
		goldmark.WithRendererOptions(renderer.WithNodeRenderers(util.Prioritized(p, 100))),
	)
	tree := document.Parse(md)
	contents := p.takeContents(tree, md)
	var out bytes.Buffer
	fmt.Fprintf(&out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"+
		"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"+
		"<meta name=\"format-detection\" content=\"telephone=no, date=no, address=no, email=no, url=no\">\n"+
		"<title>%s</title>\n<style>\n%s</style>\n</head>\n<body class=\"%s\">\n%s<main>\n",
		html.EscapeString(d.documentTitle(name)), styleSheet, name, contents)
	if err := writer.Renderer().Render(&out, md, tree); err != nil {
		return nil, fmt.Errorf("writing HTML: %w", err)
	}
	out.WriteString("</main>\n</body>\n</html>\n")
	return out.Bytes(), nil
}

// A page writes what the report's HTML has otherwise than plain Markdown's: pictures
// in the page, tables that scroll, numbers that lead to their derivations.
type page struct {
	pictures map[string]build.Picture
	build    *build.Build
	name     string
	column   int // of the table that is being written
}

// RegisterFuncs takes over the nodes that are written otherwise.
func (p *page) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	r.Register(ast.KindImage, p.image)
	r.Register(ast.KindParagraph, p.paragraph)
	r.Register(ast.KindLink, p.link)
	r.Register(east.KindTable, p.table)
	r.Register(east.KindTableHeader, p.head)
	r.Register(east.KindTableRow, p.row)
	r.Register(east.KindTableCell, p.cell)
	r.Register(east.KindTaskCheckBox, p.box)
}

// takeContents takes the list of sections out of the tree and returns it as the
// page's navigation: beside the text where there is room, folded where there is none.
func (p *page) takeContents(tree ast.Node, source []byte) string {
	for n := tree.FirstChild(); n != nil; n = n.NextSibling() {
		list, ok := n.NextSibling().(*ast.List)
		if h, heading := n.(*ast.Heading); !heading || !ok || document.Words(h, source) != titleContents {
			continue
		}
		var items strings.Builder
		_ = ast.Walk(list, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
			if link, ok := n.(*ast.Link); ok && entering {
				fmt.Fprintf(&items, "<li><a href=\"%s\">%s</a></li>\n",
					html.EscapeString(string(link.Destination)), html.EscapeString(document.Words(link, source)))
			}
			return ast.WalkContinue, nil
		})
		tree.RemoveChild(tree, list)
		tree.RemoveChild(tree, n)
		for _, d := range documentNames {
			if d.name != p.name {
				fmt.Fprintf(&items, "<li><a href=\"%s.html\">%s</a></li>\n", d.name, d.title)
			}
		}
		links := fmt.Sprintf("<ul>\n%s</ul>\n", items.String())
		return "<nav aria-label=\"Contents\">\n<details>\n<summary>" + titleContents + "</summary>\n" + links +
			"</details>\n<div class=\"beside\">\n<p>" + titleContents + "</p>\n" + links + "</div>\n</nav>\n"
	}
	return ""
}

// image writes the drawing that the image links to. An image of anything else would
// need another file, or a network: it is left out.
func (p *page) image(w util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	return ast.WalkSkipChildren, p.drawing(w, source, node.(*ast.Image))
}

func (p *page) drawing(w util.BufWriter, source []byte, image *ast.Image) error {
	picture, ok := p.pictures[string(image.Destination)]
	if !ok {
		return nil
	}
	svg, err := figure.SVG(picture.Drawing, pictureWidth(picture))
	if err != nil {
		return err
	}
	class := "card"
	if picture.Half {
		class = "card half"
	}
	_, err = fmt.Fprintf(w, "<span class=\"%s\" role=\"img\" aria-label=\"%s\">%s</span>",
		class, html.EscapeString(document.Words(image, source)), svgElement(svg))
	return err
}

// svgElement returns the svg element of an SVG file, without the declarations
// that stand before it.
func svgElement(file []byte) []byte {
	if i := bytes.Index(file, []byte("<svg")); i > 0 {
		file = file[i:]
	}
	return bytes.TrimSpace(file)
}

// paragraph writes a picture with its caption as a figure.
func (p *page) paragraph(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	open, closing := "<p>", "</p>\n"
	switch {
	case document.Image(node) != nil:
		open, closing = "<figure>\n", "\n</figure>\n"
		if document.Caption(node.NextSibling()) {
			closing = "\n"
		}
	case document.Caption(node):
		open, closing = "<figcaption>", "</figcaption>\n</figure>\n"
	}
	if !entering {
		open = closing
	}
	_, err := w.WriteString(open)
	return ast.WalkContinue, err
}

// link writes a link. One that names a figure is a number's place in the derivations,
// and elsewhere leads there.
func (p *page) link(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	to := string(node.(*ast.Link).Destination)
	name, fragment, _ := strings.Cut(to, "#")
	place := name == "" && strings.HasPrefix(fragment, anchorBegins) && p.name == derivationsName
	switch name {
	case "":
	case reportName + mdEnd, derivationsName + mdEnd, bookName + mdEnd:
		to = strings.TrimSuffix(name, mdEnd) + ".html"
		if fragment != "" {
			to += "#" + fragment
		}
	default: // the report leads nowhere but to itself
		return ast.WalkContinue, nil
	}
	text := "</a>"
	switch {
	case entering && place:
		text = fmt.Sprintf("<span id=\"%s\">", html.EscapeString(fragment))
	case place:
		text = "</span>"
	case entering:
		text = fmt.Sprintf("<a href=\"%s\">", html.EscapeString(to))
	}
	_, err := w.WriteString(text)
	return ast.WalkContinue, err
}

// anchorBegins begins the place of a figure. No heading's id holds a point.
const anchorBegins = "figure."

// anchorID is the place of a figure in the derivations.
func anchorID(figure string) string { return anchorBegins + portable(figure) }

// box writes the box before what is to be ticked off: on paper, so that it is no field of a form.
func (p *page) box(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	_, err := w.WriteString("<span class=\"box\">☐</span> ")
	return ast.WalkContinue, err
}

// table writes a table in a box of its own in which it scrolls, or a pair of
// pictures.
func (p *page) table(w util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if pair, ok := document.PairOf(node.(*east.Table)); ok {
		if !entering {
			return ast.WalkContinue, nil
		}
		return ast.WalkSkipChildren, p.pair(w, source, pair)
	}
	text := "</tbody>\n</table>\n</div>\n"
	if entering {
		text = "<div class=\"scroll\" tabindex=\"0\">\n<table>\n"
	}
	_, err := w.WriteString(text)
	return ast.WalkContinue, err
}

// pair writes two pictures side by side.
func (p *page) pair(w util.BufWriter, source []byte, pair document.Pair) error {
	fmt.Fprint(w, "<div class=\"pair\">\n")
	for i, image := range pair.Images {
		fmt.Fprint(w, "<figure>\n")
		if err := p.drawing(w, source, image); err != nil {
			return err
		}
		fmt.Fprintf(w, "\n<figcaption><em>%s</em></figcaption>\n</figure>\n", html.EscapeString(document.Words(pair.Captions[i], source)))
	}
	_, err := fmt.Fprint(w, "</div>\n")
	return err
}

func (p *page) head(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	p.column = 0
	text := "</tr>\n</thead>\n<tbody>\n"
	if entering {
		text = "<thead>\n<tr>\n"
	}
	_, err := w.WriteString(text)
	return ast.WalkContinue, err
}

func (p *page) row(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	p.column = 0
	text := "</tr>\n"
	if entering {
		text = "<tr>\n"
	}
	_, err := w.WriteString(text)
	return ast.WalkContinue, err
}

// cell writes a cell. The first of a row says what the row is of.
func (p *page) cell(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	_, head := node.Parent().(*east.TableHeader)
	tag := "td"
	if head || p.column == 0 {
		tag = "th"
	}
	if !entering {
		p.column++
		_, err := w.WriteString("</" + tag + ">\n")
		return ast.WalkContinue, err
	}
	text := "<" + tag
	switch {
	case head && node.FirstChild() != nil:
		text += " scope=\"col\""
	case head: // an empty corner heads nothing
	case p.column == 0:
		text += " scope=\"row\""
	}
	if node.(*east.TableCell).Alignment == east.AlignRight {
		text += " class=\"number\""
	}
	_, err := w.WriteString(text + ">")
	return ast.WalkContinue, err
}
