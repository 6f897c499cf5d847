package pdf

import "slices"

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
	float   bool                                          // a picture: it may stand before or behind its place, to fill a page
	shrink  func(to length) (smaller *box, ok bool)       // for a picture that may be drawn smaller
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

	apart   bool      // each section begins a page
	waiting []cluster // pictures for the top of the next page
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

// A cluster is boxes that keep to each other.
type cluster []*box

// float reports whether the cluster is a picture with its caption.
func (c cluster) float() bool { return c[0].float }

// section reports whether the cluster begins a section.
func (c cluster) section() bool { return c[0].heading != nil && c[0].heading.level <= 2 }

// lookAhead is how many clusters on a picture may stand that fills a page.
const lookAhead = 14

// add puts the boxes on pages. Boxes that keep to each other move to the next page
// together, unless they would not fit on one. So that no page ends with a hole, a
// picture that does not fit waits for the next page, and one from further on may
// come forward.
func (f *flow) add(boxes []*box) {
	var list []cluster
	for start := 0; start < len(boxes); {
		end := start + 1
		for end < len(boxes) && boxes[end-1].keep {
			end++
		}
		list = append(list, cluster(boxes[start:end]))
		start = end
	}
	for len(list) > 0 {
		c := list[0]
		list = list[1:]
		if f.apart && c.section() && c[0].heading.level == 2 && c[0].heading.text != contentsTitle {
			f.turn()
		}
		if f.fits(c) {
			if c.section() && len(f.waiting) > 0 && f.filled() {
				f.turn()
			}
			f.placeAll(c)
			continue
		}
		if smaller, ok := f.shrunk(c); ok {
			f.placeAll(smaller)
			continue
		}
		if c.float() && !f.filled() {
			f.waiting = append(f.waiting, c)
			continue
		}
		if !f.empty && !f.divisible(c) {
			if k := f.filler(list); k >= 0 {
				f.placeAll(list[k])
				list = slices.Concat([]cluster{c}, list[:k], list[k+1:])
				continue
			}
			f.turn()
		}
		f.placeAll(c)
	}
	for len(f.waiting) > 0 {
		f.turn()
	}
}

// turn begins a page, with the pictures that wait for it.
func (f *flow) turn() {
	if !f.empty {
		f.newPage()
	}
	for len(f.waiting) > 0 && (f.empty || f.fits(f.waiting[0])) {
		c := f.waiting[0]
		f.waiting = f.waiting[1:]
		f.placeAll(c)
	}
}

// filled reports whether a page may end here.
func (f *flow) filled() bool { return f.y-textTop > (textBottom-textTop)*3/4 }

func (f *flow) fits(c cluster) bool { return f.y+f.need(c) <= textBottom }

// shrunk returns a cluster with its picture so much smaller that it fits.
func (f *flow) shrunk(c cluster) (cluster, bool) {
	i := slices.IndexFunc(c, func(b *box) bool { return b.shrink != nil })
	if i < 0 || f.empty {
		return nil, false
	}
	b, ok := c[i].shrink(c[i].height - (f.y + f.need(c) - textBottom))
	if !ok {
		return nil, false
	}
	b.above, b.keep, b.float = c[i].above, c[i].keep, c[i].float
	smaller := slices.Concat(c[:i], cluster{b}, c[i+1:])
	return smaller, f.fits(smaller)
}

// filler finds the next picture of the section that fits on the page; -1 for none.
func (f *flow) filler(list []cluster) int {
	for k, c := range list[:min(lookAhead, len(list))] {
		if c.section() {
			break
		}
		if c.float() && f.fits(c) {
			return k
		}
	}
	return -1
}

func (f *flow) placeAll(c cluster) {
	for _, b := range c {
		f.place(b)
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
