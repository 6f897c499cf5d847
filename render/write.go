package render

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

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
	md := Markdown(b)
	made := make([][]file, len(formats))
	errs := make([]error, len(formats))
	var wait sync.WaitGroup
	var raised atomic.Value // what a format panicked with, for the caller to see
	for i, format := range formats {
		if slices.Contains(formats[:i], format) {
			continue
		}
		wait.Add(1)
		go func() {
			defer wait.Done()
			defer func() {
				if p := recover(); p != nil {
					raised.CompareAndSwap(nil, fmt.Sprint(p))
				}
			}()
			made[i], errs[i] = makeFormat(b, md, format)
		}()
	}
	wait.Wait()
	if p := raised.Load(); p != nil {
		panic(p)
	}
	return slices.Concat(made...), errors.Join(errs...)
}

// makeFormat makes the files of one format.
func makeFormat(b *build.Build, md []byte, format string) ([]file, error) {
	one := func(content []byte, err error) ([]file, error) {
		return []file{{"report." + format, content}}, err
	}
	switch format {
	case "md":
		var files []file
		for _, p := range pictures(b) {
			svg, err := figure.SVG(p.Drawing, figure.FullWidth)
			if err != nil {
				return nil, fmt.Errorf("drawing %s: %w", p.ID, err)
			}
			files = append(files, file{pictureLink(p.ID), svg})
		}
		return append(files, file{"report.md", md}), nil
	case "pdf":
		return one(PDF(b, md))
	case "html":
		return one(HTML(b, md))
	case "json":
		return one(JSON(b))
	case "sarif":
		return one(SARIF(b))
	}
	return nil, fmt.Errorf("there is no format %q; the formats are %s", format, strings.Join(Formats, ", "))
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
