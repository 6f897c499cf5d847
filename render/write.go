package render

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/render/figure"
	"ironbed/render/pdf"
)

// Formats are the forms in which a report is written.
var Formats = []string{"md", "pdf", "html", "json", "sarif"}

// A file is one file of a report, made in full before any is written.
type file struct {
	name    string // relative to the report's folder
	content []byte
}

// Write writes the report in the formats asked for: report.md with its pictures
// in figures/, report.pdf, report.html, report.json, report.sarif. All are made
// before the first is written, and each appears whole or not at all. Pictures of
// an earlier report that this one does not have are removed; nothing else in the
// folder is touched.
func Write(dir string, b *build.Build, formats []string) error {
	files, err := makeFiles(b, formats)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	defer root.Close()
	for _, f := range files {
		if err := writeWhole(root, f); err != nil {
			return err
		}
	}
	if slices.Contains(formats, "md") {
		return removeStale(root, files)
	}
	return nil
}

// makeFiles makes the report's files. The pictures come before the report that
// links to them.
func makeFiles(b *build.Build, formats []string) ([]file, error) {
	var files []file
	md := Markdown(b)
	for i, format := range formats {
		if slices.Contains(formats[:i], format) {
			continue
		}
		name := "report." + format
		switch format {
		case "md":
			for _, p := range pictures(b) {
				svg, err := figure.SVG(p.Drawing)
				if err != nil {
					return nil, fmt.Errorf("drawing %s: %w", p.ID, err)
				}
				files = append(files, file{pictureLink(p.ID), svg})
			}
			files = append(files, file{name, md})
		case "pdf":
			content, err := PDF(b, md)
			if err != nil {
				return nil, err
			}
			files = append(files, file{name, content})
		case "html":
			content, err := HTML(b, md)
			if err != nil {
				return nil, err
			}
			files = append(files, file{name, content})
		case "json":
			content, err := JSON(b)
			if err != nil {
				return nil, err
			}
			files = append(files, file{name, content})
		case "sarif":
			content, err := SARIF(b)
			if err != nil {
				return nil, err
			}
			files = append(files, file{name, content})
		default:
			return nil, fmt.Errorf("there is no format %q; the formats are %s", format, strings.Join(Formats, ", "))
		}
	}
	return files, nil
}

// PDF lays out the report's Markdown on pages.
func PDF(b *build.Build, md []byte) ([]byte, error) {
	return pdf.Render(md, drawings(b), pdf.Meta{
		Title:   b.Machine + ": build report",
		Header:  b.Machine,
		Footer:  Advice,
		Creator: strings.TrimSpace(b.Tool.Name + " " + b.Tool.Version),
	})
}

// writeWhole writes a file beside its place and moves it there, so that a
// reader sees the old file or the new one.
func writeWhole(root *os.Root, f file) (err error) {
	if dir := path.Dir(f.name); dir != "." {
		if err := root.MkdirAll(dir, 0o777); err != nil {
			return err
		}
	}
	temporary := path.Join(path.Dir(f.name), "."+path.Base(f.name)+".part")
	out, err := root.OpenFile(temporary, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o666)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, root.Remove(temporary))
		}
	}()
	_, err = out.Write(f.content)
	if err == nil {
		err = out.Sync()
	}
	err = errors.Join(err, out.Close())
	if err != nil {
		return err
	}
	return root.Rename(temporary, f.name)
}

// removeStale removes the pictures that are not among the files.
func removeStale(root *os.Root, files []file) error {
	entries, err := fs.ReadDir(root.FS(), figuresFolder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	for _, e := range entries {
		name := figuresFolder + "/" + e.Name()
		known := slices.ContainsFunc(files, func(f file) bool { return f.name == name })
		if known || !e.Type().IsRegular() || !strings.HasSuffix(e.Name(), ".svg") {
			continue
		}
		if err := root.Remove(name); err != nil {
			return err
		}
	}
	return nil
}
