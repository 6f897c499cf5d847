package pdf

// A box is a strip of the document, as wide as the text, that is not divided
// by a page's end.
type box struct {
	height  length
	above   length // empty space before it; none at the top of a page
	keep    bool   // stands on the same page as the box behind it
	head    *box   // a table's head, repeated where this box begins a page
	heading *heading
	draw    func(p *painter, top length)                  // draws it, its upper edge at top
	split   func(room length) (first, rest *box, ok bool) // for a box that may be too tall for a page
}

// A heading is an entry of the outline and of the contents.
type heading struct {
	level int
	text  string // as printed
	id    string // what links call it
	page  int    // number of its page, from 1
	top   length // where it stands there
}

// A placed box has its place on a page.
type placed struct {
	box *box
	top length
}

// The page: A4, with the text 174 mm wide.
const (
	pageWidth  = 595280
	pageHeight = 841890
	marginLeft = 18 * mm
	textWidth  = pageWidth - 2*marginLeft
	textTop    = 24 * mm
	textBottom = pageHeight - 22*mm
)

// A flow puts boxes on pages, one below the other.
type flow struct {
	pages [][]placed
	y     length // end of what stands on the page so far
	empty bool   // nothing but a table's head stands on the page so far
}

func newFlow() *flow {
	f := &flow{}
	f.newPage()
	return f
}

func (f *flow) newPage() {
	f.pages = append(f.pages, nil)
	f.y, f.empty = textTop, true
}

// add puts the boxes on pages. Boxes that keep to each other move to the next
// page together, unless they would not fit on one.
func (f *flow) add(boxes []*box) {
	for start := 0; start < len(boxes); {
		end := start + 1
		for end < len(boxes) && boxes[end-1].keep {
			end++
		}
		cluster := boxes[start:end]
		if !f.empty && f.y+f.need(cluster) > textBottom && !f.divisible(cluster) {
			f.newPage()
		}
		for _, b := range cluster {
			f.place(b)
		}
		start = end
	}
}

// need returns the height of boxes below what stands on the page.
func (f *flow) need(boxes []*box) length {
	var sum length
	for i, b := range boxes {
		if i > 0 || !f.empty {
			sum += b.above
		}
		sum += b.height
	}
	return sum
}

// divisible reports whether the boxes fit on no page, and the last can be
// divided so that it is no use to begin one for them.
func (f *flow) divisible(boxes []*box) bool {
	return boxes[len(boxes)-1].split != nil && f.need(boxes) > textBottom-textTop &&
		f.y+f.need(boxes[:len(boxes)-1]) < textBottom-(textBottom-textTop)/4
}

// place puts one box on the page, or on the next one.
func (f *flow) place(b *box) {
	for {
		if f.empty && b.head != nil {
			f.put(b.head)
			f.empty = true
		}
		above := b.above
		if f.empty {
			above = 0
		}
		room := textBottom - f.y - above
		if b.height <= room {
			f.y += above
			f.put(b)
			return
		}
		if b.split != nil && (f.empty || b.height > textBottom-textTop) {
			if first, rest, ok := b.split(room); ok {
				f.y += above
				f.put(first)
				f.newPage()
				b = rest
				continue
			}
		}
		if f.empty { // taller than a page: it cannot be helped
			f.put(b)
			return
		}
		f.newPage()
	}
}

// put puts the box where the page has come to.
func (f *flow) put(b *box) {
	n := len(f.pages)
	if b.heading != nil {
		b.heading.page, b.heading.top = n, f.y
	}
	f.pages[n-1] = append(f.pages[n-1], placed{b, f.y})
	f.y += b.height
	f.empty = false
}
