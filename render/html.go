package render

import (
	"bytes"
	_ "embed" // for the style sheet
	"fmt"
	"html"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"

	"ironbed/compiler/build"
	"ironbed/render/document"
	"ironbed/render/figure"
)

//go:embed style.css
var styleSheet string

// HTML prints the report's Markdown as one page that needs no other file: the
// style sheet and the pictures are inside it.
func HTML(b *build.Build, md []byte) ([]byte, error) {
	page := goldmark.New(
		goldmark.WithExtensions(extension.Table),
		goldmark.WithRendererOptions(renderer.WithNodeRenderers(
			util.Prioritized(pictureRenderer(drawings(b)), 100))),
	)
	var out bytes.Buffer
	fmt.Fprintf(&out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"+
		"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"+
		"<title>%s: build report</title>\n<style>\n%s</style>\n</head>\n<body>\n",
		html.EscapeString(oneLine(b.Machine)), styleSheet)
	if err := page.Renderer().Render(&out, md, document.Parse(md)); err != nil {
		return nil, fmt.Errorf("writing HTML: %w", err)
	}
	out.WriteString("</body>\n</html>\n")
	return out.Bytes(), nil
}

// A pictureRenderer writes drawings in place of the images that link to them.
type pictureRenderer map[string]build.Drawing

// RegisterFuncs takes over the images.
func (p pictureRenderer) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	r.Register(ast.KindImage, p.image)
}

// image writes the drawing that the image links to. An image of anything else
// would need another file, or a network: it is left out.
func (p pictureRenderer) image(w util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	drawing, ok := p[string(node.(*ast.Image).Destination)]
	if !entering || !ok {
		return ast.WalkSkipChildren, nil
	}
	svg, err := figure.SVG(drawing, figure.FullWidth)
	if err != nil {
		return ast.WalkStop, err
	}
	alt := html.EscapeString(document.Words(node, source))
	_, err = fmt.Fprintf(w, "<span role=\"img\" aria-label=\"%s\">%s</span>", alt, svgElement(svg))
	return ast.WalkSkipChildren, err
}

// svgElement returns the svg element of an SVG file, without the declarations
// that stand before it.
func svgElement(file []byte) []byte {
	if i := bytes.Index(file, []byte("<svg")); i > 0 {
		file = file[i:]
	}
	return bytes.TrimSpace(file)
}
