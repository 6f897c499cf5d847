package render

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"ironbed/compiler/build"
	"ironbed/render/figure"
	"ironbed/render/folder"
	"ironbed/render/pdf"
	"ironbed/spec/literal"
)

// Formats are the forms in which a report is written.
var Formats = []string{"md", "pdf", "html", "json", "sarif"}

// Documents are the files of a format, pictures aside: for reading, the report, the
// derivations and the build book.
func Documents(format string) []string {
	switch format {
	case "md", "pdf", "html":
		var list []string
		for _, d := range documentNames {
			list = append(list, d.name+"."+format)
		}
		return list
	}
	return []string{reportName + "." + format}
}

// Write writes the report in the formats asked for in place of the report that the
// folder holds: report, derivations and build book as Markdown with their pictures in figures/, as
// PDF and as HTML; report.json and report.sarif. All are made before the first is
// written, and the folder holds the old report or the new one, see [folder.Replace].
// What ironbed did not write stays. It is an error where it is in the way, unless force
// overwrites it; left names what looks like a report's and is not of this one.
func Write(dir string, b *build.Build, formats []string, force bool) (left []string, err error) {
	if len(formats) == 0 {
		return nil, fmt.Errorf("no format to write; the formats are %s", strings.Join(Formats, ", "))
	}
	files, err := makeFiles(b, formats)
	if err != nil {
		return nil, err
	}
	if err := folder.Replace(dir, files, func(in fs.FS) []string { return writtenBefore(in, b.Tool.Name) }, force); err != nil {
		return nil, err
	}
	for _, format := range Formats {
		for _, name := range Documents(format) {
			if _, err := os.Lstat(filepath.Join(dir, name)); err == nil && !slices.ContainsFunc(files, func(f folder.File) bool { return f.Name == name }) {
				left = append(left, name)
			}
		}
	}
	return left, nil
}

// A job makes some of the report's files.
type job func() ([]folder.File, error)

// makeFiles makes the report's files. The pictures come before the documents that
// link to them.
func makeFiles(b *build.Build, formats []string) ([]folder.File, error) {
	var jobs []job
	d := newDocuments(b)
	for i, format := range formats {
		if !slices.Contains(formats[:i], format) {
			jobs = append(jobs, d.jobs(format)...)
		}
	}
	made := make([][]folder.File, len(jobs))
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
		return func() ([]folder.File, error) {
			content, err := make()
			return []folder.File{{Name: name + "." + format, Content: content}}, err
		}
	}
	// The longest document comes first.
	writers := map[string]func(numbers bool) *writer{derivationsName: d.derivations, reportName: d.report, bookName: d.book}
	names := [...]string{derivationsName, reportName, bookName}
	var jobs []job
	switch format {
	case "md":
		jobs = append(jobs, d.pictureFiles)
		for _, name := range names {
			jobs = append(jobs, one(name, func() ([]byte, error) { return writers[name](false).bytes(), nil }))
		}
		return jobs
	case "pdf":
		for _, name := range names {
			jobs = append(jobs, one(name, func() ([]byte, error) { return d.pdf(name, writers[name](false).bytes()) }))
		}
		return jobs
	case "html":
		for _, name := range names {
			jobs = append(jobs, one(name, func() ([]byte, error) { return d.html(name, writers[name](true).bytes()) }))
		}
		return jobs
	case "json":
		return []job{one(reportName, func() ([]byte, error) { return JSON(d.build) })}
	case "sarif":
		return []job{one(reportName, func() ([]byte, error) { return SARIF(d.build) })}
	}
	return []job{func() ([]folder.File, error) {
		return nil, fmt.Errorf("there is no format %q; the formats are %s", format, strings.Join(Formats, ", "))
	}}
}

// pictureFiles draws the pictures to which the Markdown links.
func (d *documents) pictureFiles() ([]folder.File, error) {
	var files []folder.File
	for _, p := range pictures(d.build) {
		svg, err := figure.SVG(p.Drawing, pictureWidth(p))
		if err != nil {
			return nil, fmt.Errorf("drawing %s: %w", p.ID, err)
		}
		files = append(files, folder.File{Name: pictureLink(p.ID), Content: svg})
	}
	return files, nil
}

// documentTitle is what a window that shows a document is called.
func (d *documents) documentTitle(name string) string {
	switch name {
	case reportName:
		name = "build report"
	case bookName:
		name = "build book"
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
		Work:    name == bookName,
	})
}
