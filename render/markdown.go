package render

import (
	"fmt"
	"strings"

	"ironbed/compiler/build"
)

// Advice is the line that stands on every page.
const Advice = "Advisory only: have it checked by a qualified person; local codes govern."

// The titles of the report's sections, beside those of the sheets.
const (
	titleVerdicts    = "Verdicts"
	titleTargets     = "Targets one by one"
	titleMachine     = "The machine in one picture"
	titleWeak        = "Weak points"
	titleMoves       = "Next moves"
	titleFindings    = "Findings"
	titleAssumptions = "How sure is this"
	titleLimits      = "What the models leave out"
	titleCautions    = "Cautions"
	titleFigures     = "Figures and where they come from"
	titleWorks       = "Works cited"
)

// Markdown prints the report as Markdown. It reads well on a code-hosting site,
// and the HTML and the PDF are made from it. Pictures are linked as
// figures/ID.svg.
func Markdown(b *build.Build) []byte {
	w := &writer{build: b}
	w.front()
	w.verdicts()
	w.overview()
	w.weakPoints()
	w.moves()
	w.targets()
	w.findings()
	for _, s := range b.Sheets {
		w.sheet(s)
	}
	w.assumptions()
	w.limits()
	w.cautions()
	w.figures()
	w.works()
	w.colophon()
	return []byte(strings.TrimRight(w.text.String(), "\n") + "\n")
}

// A writer collects the report's Markdown, block by block.
type writer struct {
	build *build.Build
	text  strings.Builder
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

func (w *writer) heading(level int, title string) {
	w.block(strings.Repeat("#", level) + " " + title)
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
	b := w.build
	w.block("---")
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
