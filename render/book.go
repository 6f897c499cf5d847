package render

import "ironbed/compiler/build"

// BuildBook prints the build book as Markdown: what the work is done by, a sheet a step.
func BuildBook(b *build.Build) []byte { return newDocuments(b).book(false).bytes() }

// book writes the build book. With numbers, each number leads to its derivation.
func (d *documents) book(numbers bool) *writer {
	w := d.writer(numbers)
	w.heading(1, plain(d.build.Machine)+": build book")
	w.paragraph(sentence(opening(d.build.Purpose)))
	w.paragraph("Sheets to work by, in the order in which they are needed: print them, take them to the machine, and write on them. "+
		"Each begins with what must be true before and ends with its hold point: go on when that is signed.",
		"The numbers are those of the [report]("+reportName+mdEnd+"); where each comes from stands in the [derivations]("+derivationsName+mdEnd+"). What you measure and what differs goes back into the spec, before the next step.")
	w.paragraph("*" + Advice + "*")
	w.madeFrom() // in front: of what is printed one has to see which spec it was made from
	w.contents()
	if p := d.build.Overview; p != nil {
		w.picture(*p)
	}
	for _, s := range d.build.Book {
		w.sheet(s)
	}
	return w
}
