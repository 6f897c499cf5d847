package render

import (
	"fmt"
	"strings"

	"ironbed/compiler/build"
	"ironbed/render/document"
)

// Advice is the line that stands on every page.
const Advice = "Advisory only: have it checked by a qualified person; local codes govern."

// The titles of the sections that stand beside the sheets.
const (
	titleVerdicts    = "Verdicts"
	titleMachine     = "The machine"
	titleWeak        = "Compliance breakdown"
	titleMoves       = "Recommended changes"
	titleContents    = "Contents"
	titleTargets     = "Targets one by one"
	titleFindings    = "Findings"
	titleIdle        = "Assumptions that change neither roughing nor a stiffness"
	titleAssumptions = "Assumptions and uncertainty"
	titleLimits      = "What the models leave out"
	titleCautions    = "Safety"
	titleWorks       = "Works cited"
)

// The names of the documents, without the ending of their format.
const (
	reportName      = "report"
	derivationsName = "derivations"
	bookName        = "build-book"
)

// documentNames are all of them, with what links from one to another call them.
var documentNames = [...]struct{ name, title string }{
	{reportName, "Report"},
	{derivationsName, "Derivations"},
	{bookName, "Build book"},
}

// Markdown prints the report as Markdown. It reads well on a code-hosting site,
// and the HTML and the PDF are made from it. Pictures are linked as
// figures/ID.svg.
func Markdown(b *build.Build) []byte { return newDocuments(b).report(false).bytes() }

// Derivations prints the second document: every figure with its formula, what it
// was computed from and its source.
func Derivations(b *build.Build) []byte { return newDocuments(b).derivations(false).bytes() }

// documents are what the documents of a build know of each other.
type documents struct {
	build  *build.Build
	groups []group
	there  anchors // in the derivations
	here   anchors // in the report
	inBook anchors // in the build book
}

// anchors are the ids of a document's headings, by what the heading stands for.
type anchors map[string]string

// newDocuments gathers what the documents need. What leads from one to the other is
// known once both have been written.
func newDocuments(b *build.Build) *documents {
	d := &documents{build: b, groups: groups(b)}
	d.there = d.derivations(false).anchors
	d.here = d.report(false).anchors
	d.inBook = d.book(false).anchors
	return d
}

// report writes the report. With numbers, each number leads to its derivation.
func (d *documents) report(numbers bool) *writer {
	w := d.writer(numbers)
	w.front()
	w.verdicts()
	w.overview()
	w.weakPoints()
	w.moves()
	w.contents()
	w.targets()
	w.findings()
	for _, s := range d.build.Sheets {
		w.sheet(s)
		w.derivedIn(sheetFigures(s))
	}
	w.assumptions()
	w.limits()
	w.cautions()
	w.works()
	w.colophon()
	return w
}

// A writer collects a document's Markdown, block by block.
type writer struct {
	*documents
	text     strings.Builder
	ids      document.IDs
	anchors  anchors
	sections []section // of level 2, for the contents
	listed   int       // where the contents belong in the text, -1 for nowhere
	numbers  bool      // numbers are links, and places for links
}

// A section is an entry of the contents.
type section struct{ title, id string }

func (d *documents) writer(numbers bool) *writer {
	return &writer{documents: d, anchors: anchors{}, listed: -1, numbers: numbers}
}

// bytes returns the document's text, the contents in their place.
func (w *writer) bytes() []byte {
	text := w.text.String()
	if w.listed >= 0 {
		var list strings.Builder
		for _, s := range w.sections {
			if s.title != titleContents {
				list.WriteString("- [" + s.title + "](#" + s.id + ")\n")
			}
		}
		text = text[:w.listed] + list.String() + "\n" + text[w.listed:]
	}
	return []byte(strings.TrimRight(text, "\n") + "\n")
}

// contents keeps a place for the list of sections.
func (w *writer) contents() {
	w.heading(2, titleContents)
	w.listed = w.text.Len()
}

// block writes one block and the empty line after it.
func (w *writer) block(lines ...string) {
	for _, line := range lines {
		w.text.WriteString(line)
		w.text.WriteByte('\n')
	}
	w.text.WriteByte('\n')
}

// paragraph writes the parts that are not empty as one paragraph.
func (w *writer) paragraph(parts ...string) {
	var kept []string
	for _, p := range parts {
		if p != "" {
			kept = append(kept, p)
		}
	}
	if len(kept) > 0 {
		w.block(strings.Join(kept, " "))
	}
}

// heading writes a heading and returns its id.
func (w *writer) heading(level int, title string) string {
	w.block(strings.Repeat("#", level) + " " + title)
	id := w.ids.Next(title)
	if level == 2 {
		w.sections = append(w.sections, section{title, id})
	}
	return id
}

// front writes the title, what the machine is for, and the answer in one line.
func (w *writer) front() {
	w.heading(1, plain(w.build.Machine))
	w.paragraph(sentence(opening(w.build.Purpose)))
	w.paragraph("**" + plain(answer(w.build)) + "**")
	w.paragraph("*" + Advice + "*")
}

// answer is the whole report in one line of plain text.
func answer(b *build.Build) string {
	var parts []string
	for _, group := range []struct {
		verdict build.Verdict
		words   string
	}{
		{build.WithinReach, "Within reach"},
		{build.LightCuts, "Light cuts only"},
		{build.OutOfReach, "Out of reach"},
		{build.NotKnown, "Not known"},
	} {
		var names []string
		for _, t := range b.Targets {
			if t.Verdict == group.verdict {
				names = append(names, t.Name)
			}
		}
		if len(names) > 0 {
			parts = append(parts, group.words+": "+strings.Join(names, ", ")+".")
		}
	}
	if len(parts) == 0 {
		parts = append(parts, "The spec names nothing to cut.")
	}
	return strings.TrimSpace(strings.Join(append(parts, standing(b)), " "))
}

// standing says whether the machine as described will do.
func standing(b *build.Build) string {
	fails, cautions := 0, 0
	for _, f := range b.Findings {
		switch f.Severity {
		case build.SeverityFail, build.SeverityError:
			fails++
		case build.SeverityCaution:
			cautions++
		}
	}
	short := shortTargets(b)
	var parts []string
	if len(short) > 0 {
		parts = append(parts, "Must be within reach and is not: "+strings.Join(short, ", ")+".")
	}
	switch {
	case fails == 1:
		parts = append(parts, "One finding fails.")
	case fails > 1:
		parts = append(parts, fmt.Sprintf("%d findings fail.", fails))
	case len(short) == 0 && len(b.Targets) > 0:
		parts = append(parts, "Nothing fails.")
	}
	switch {
	case cautions == 1:
		parts = append(parts, "One caution: read it before you buy or weld.")
	case cautions > 1:
		parts = append(parts, fmt.Sprintf("%d cautions: read them before you buy or weld.", cautions))
	}
	return strings.Join(parts, " ")
}

// shortTargets names the targets that must be within reach and are not.
func shortTargets(b *build.Build) []string {
	var names []string
	for _, t := range b.Targets {
		if t.Ambition == "must" && t.Verdict != build.WithinReach {
			names = append(names, t.Name)
		}
	}
	return names
}

// colophon writes the last line: what the report was made from, and by what.
func (w *writer) colophon() {
	w.block("---")
	w.madeFrom()
}

// madeFrom says what a document was made from, and by what.
func (w *writer) madeFrom() {
	b := w.build
	files := make([]string, len(b.Spec.Files))
	for i, f := range b.Spec.Files {
		files[i] = code(f)
	}
	line := "Made from spec " + code(b.Spec.Digest)
	if len(files) > 0 {
		line += " (" + strings.Join(files, ", ") + ")"
	}
	w.block(line + " by " + strings.TrimSpace(plain(b.Tool.Name)+" "+plain(b.Tool.Version)) + ".")
}
