package pdf

import (
	"math/rand/v2"
	"testing"
)

// TestBoxesDoNotOverlap puts boxes of all kinds on pages and looks at where they
// stand.
func TestBoxesDoNotOverlap(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		var boxes []*box
		head := &box{height: 15 * pt}
		for range 80 {
			b := &box{height: length(random.IntN(int(120 * pt))), above: length(random.IntN(int(30 * pt)))}
			b.keep = random.IntN(3) == 0
			if random.IntN(4) == 0 {
				b.head = head
			}
			boxes = append(boxes, b)
		}
		f := newFlow()
		f.add(boxes)
		seen := 0
		page := map[*box]int{}
		for i, placed := range f.pages {
			end := length(textTop)
			for _, p := range placed {
				if p.top < end || p.top+p.box.height > textBottom {
					t.Fatalf("page %d: a box from %d to %d, after %d", i+1, p.top, p.top+p.box.height, end)
				}
				end = p.top + p.box.height
				if p.box != head {
					seen++
					page[p.box] = i
				}
			}
		}
		if seen != len(boxes) {
			t.Fatalf("%d boxes of %d are on pages", seen, len(boxes))
		}
		for i, b := range boxes[:len(boxes)-1] {
			if next := boxes[i+1]; b.keep && page[b] != page[next] && f.need(chain(boxes, i)) < textBottom-textTop {
				t.Fatalf("box %d does not stand on the page of the next", i)
			}
		}
	}
}

// chain returns the boxes that keep to each other around box i.
func chain(boxes []*box, i int) []*box {
	start, end := i, i+1
	for start > 0 && boxes[start-1].keep {
		start--
	}
	for end < len(boxes) && boxes[end-1].keep {
		end++
	}
	return boxes[start:end]
}

func TestShareOut(t *testing.T) {
	extents := [][]length{{50, 40, 60}, {100, 900, 4000}, {100, 800, 3000}}
	least, most := []length{50, 60, 80}, []length{100, 900, 4000}
	widths := shareOut(extents, least, most, 1000)
	if sum(widths) != 1000 {
		t.Errorf("the columns %v do not fill the room", widths)
	}
	for c, w := range widths {
		if w < least[c] {
			t.Errorf("column %d has %d, less than its longest word", c, w)
		}
	}
	if widths[2] < widths[1] {
		t.Errorf("the columns %v favour the shorter text", widths)
	}
	if got := shareOut(extents, least, most, 9000); sum(got) != sum(most) {
		t.Errorf("a table that fits takes %v", got)
	}
	if got := shareOut(extents, least, most, 95); sum(got) > 95 {
		t.Errorf("columns %v are wider than the room", got)
	}
}
