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
	"ironbed/spec/literal"
)

// Formats are the forms in which a report is written.
var Formats = []string{"md", "pdf", "html", "json", "sarif"}

// Documents are the files of a format, pictures aside: for reading, the report and the
// derivations.
func Documents(format string) []string {
	switch format {
	case "md", "pdf", "html":
		return []string{reportName + "." + format, derivationsName + "." + format}
	}
	return []string{reportName + "." + format}
}

// A file is one file of a report, made in full before any is written.
type file struct {
	name    string // relative to the report's folder
	content []byte
}

// Write writes the report in the formats asked for: report and derivations as
// Markdown with their pictures in figures/, as PDF and as HTML; report.json and
// report.sarif. All are made before the first is written, and each appears whole or
// not at all. Pictures of
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

// A job makes some of the report's files.
type job func() ([]file, error)

// makeFiles makes the report's files. The pictures come before the documents that
// link to them.
func makeFiles(b *build.Build, formats []string) ([]file, error) {
	var jobs []job
	d := newDocuments(b)
	for i, format := range formats {
		if !slices.Contains(formats[:i], format) {
			jobs = append(jobs, d.jobs(format)...)
		}
	}
	made := make([][]file, len(jobs))
	errs := make([]error, len(jobs))
	var wait sync.WaitGroup
	var raised atomic.Value // what a job panicked with, for the caller to see
	for i, make := range jobs {
		wait.Add(1)
		go func() {
			defer wait.Done()
			defer func() {
				if p := recover(); p != nil {
					raised.CompareAndSwap(nil, fmt.Sprint(p))
				}
			}()
			made[i], errs[i] = make()
		}()
	}
	wait.Wait()
	if p := raised.Load(); p != nil {
		panic(p)
	}
	return slices.Concat(made...), errors.Join(errs...)
}

// jobs are what makes the files of one format.
func (d *documents) jobs(format string) []job {
	one := func(name string, make func() ([]byte, error)) job {
		return func() ([]file, error) {
			content, err := make()
			return []file{{name + "." + format, content}}, err
		}
	}
	report, derivations := d.report, d.derivations
	switch format {
	case "md":
		return []job{
			d.pictureFiles,
			one(derivationsName, func() ([]byte, error) { return derivations(false).bytes(), nil }),
			one(reportName, func() ([]byte, error) { return report(false).bytes(), nil }),
		}
	case "pdf":
		return []job{
			one(derivationsName, func() ([]byte, error) { return d.pdf(derivationsName, derivations(false).bytes()) }),
			one(reportName, func() ([]byte, error) { return d.pdf(reportName, report(false).bytes()) }),
		}
	case "html":
		return []job{
			one(derivationsName, func() ([]byte, error) { return d.html(derivationsName, derivations(true).bytes()) }),
			one(reportName, func() ([]byte, error) { return d.html(reportName, report(true).bytes()) }),
		}
	case "json":
		return []job{one(reportName, func() ([]byte, error) { return JSON(d.build) })}
	case "sarif":
		return []job{one(reportName, func() ([]byte, error) { return SARIF(d.build) })}
	}
	return []job{func() ([]file, error) {
		return nil, fmt.Errorf("there is no format %q; the formats are %s", format, strings.Join(Formats, ", "))
	}}
}

// pictureFiles draws the pictures to which the Markdown links.
func (d *documents) pictureFiles() ([]file, error) {
	var files []file
	for _, p := range pictures(d.build) {
		svg, err := figure.SVG(p.Drawing, pictureWidth(p))
		if err != nil {
			return nil, fmt.Errorf("drawing %s: %w", p.ID, err)
		}
		files = append(files, file{pictureLink(p.ID), svg})
	}
	return files, nil
}

// documentTitle is what a window that shows a document is called.
func (d *documents) documentTitle(name string) string {
	if name == reportName {
		name = "build report"
	}
	return literal.Line(d.build.Machine) + ": " + name
}

// pdf lays out a document's Markdown on pages.
func (d *documents) pdf(name string, md []byte) ([]byte, error) {
	return pdf.Render(md, linked(d.build), pdf.Meta{
		Title:   d.documentTitle(name),
		Header:  d.documentTitle(name),
		Footer:  Advice,
		Creator: strings.TrimSpace(d.build.Tool.Name + " " + d.build.Tool.Version),
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
