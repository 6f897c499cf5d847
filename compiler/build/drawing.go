package build

// A Drawing is the data of a picture: a Scene, Bars, a Chart, a Map, Sections or a Part. How
// it looks is the renderer's business.
type Drawing interface{ isDrawing() }

// A Scene is a machine in space, in metres, drawn in parallel projection.
type Scene struct {
	Solids []Solid      // in any order; moved and magnified where Rest is given
	Rest   []Solid      // solids at rest, drawn as thin outlines over the moved ones
	Marks  [][3]float64 // points marked with a cross [m]
	Labels []Label3     // names with leaders
	Factor float64      // magnification of what is moved, 0 where the motion has no size [-]
	Small  bool         // one of several alike: drawn lower
}

// A Solid is a bar, straight or bent: the cross sections along it, joined by flat
// faces. A box has two of four corners.
type Solid struct {
	Name  string         // the part
	Body  int            // bodies are told apart by shade
	Kind  string         // "member", "mass", "carriage", "rail", "screw", "spindle", "holder", "cutter", "foot", "nut", "motor", "cable chain", "clamp"
	Rings [][][3]float64 // cross sections in order, each convex and of as many corners [m]
}

// BoxRings are the cross sections of a box about a centre, by its three half axes.
func BoxRings(centre [3]float64, half [3][3]float64) [][][3]float64 {
	rings := make([][][3]float64, 2)
	for i, end := range []float64{-1, 1} {
		for _, corner := range [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
			var p [3]float64
			for k := range p {
				p[k] = centre[k] + end*half[0][k] + corner[0]*half[1][k] + corner[1]*half[2][k]
			}
			rings[i] = append(rings[i], p)
		}
	}
	return rings
}

// A Label3 names a point in space.
type Label3 struct {
	At   [3]float64 // [m]
	Text string
}

// Bars are stacked bars, one a row, each adding up to the row's total. Where any row has a
// limit all are drawn to one scale, otherwise each fills the width.
type Bars struct {
	Unit string
	Rows []BarRow
}

// A BarRow is one stacked bar.
type BarRow struct {
	Label string
	Total string  // printed at the bar's end
	Limit float64 // a line across the bar, in the unit of the Bars; 0 for none
	Parts []BarPart
}

// A BarPart is one piece of a stacked bar.
type BarPart struct {
	Label string
	Value float64 // in the unit of the Bars
	Rest  bool    // many small parts together, never framed as the largest
}

// A Chart is curves over two axes.
type Chart struct {
	X, Y     AxisSpec
	Bands    []Band // below the curves
	Curves   []Curve
	Uprights []Uprights
	Markers  []Marker
}

// An AxisSpec is one axis of a chart. Max of 0 lets the renderer choose.
type AxisSpec struct {
	Label string // with the unit: "unsupported length, mm"
	Min   float64
	Max   float64
	Log   bool
}

// A Curve is a named line on a chart.
type Curve struct {
	Name   string
	Points [][2]float64
	Dashed bool
}

// A Band is a named area on a chart between two curves over the same stretch of X.
type Band struct {
	Name      string
	Low, High [][2]float64
}

// Uprights are upright lines over the whole height of a chart, at places along X that
// share a name.
type Uprights struct {
	Name string
	At   []float64
}

// A Marker is a named point on a chart.
type Marker struct {
	Label  string
	X, Y   float64
	Spread float64 // as far to both sides along X it may lie, 0 for none
}

// A Map is a value over two travels, as a grid of shaded cells with their
// numbers.
type Map struct {
	X, Y   string      // names of the travels, with their unit
	AtX    []float64   // places along X, rising, in that unit
	AtY    []float64   // places along Y, rising, in that unit
	Values [][]float64 // by place along Y, then along X, in the unit of the caption
}

// Sections are member sections drawn to one scale.
type Sections struct {
	Items []SectionItem
}

// A SectionItem is one section, in metres, y to the right and z up.
type SectionItem struct {
	Name  string
	Note  string // below the name: "hollow 150 × 100 × 6, bonded fill"
	Loops []SectionLoop
	Marks []SectionMark
}

// A SectionMark is a word in a section, such as the number of a hollow.
type SectionMark struct {
	Text string
	At   [2]float64 // its middle: y, z [m]
}

// A SectionLoop is a closed outline.
type SectionLoop struct {
	Points [][2]float64 // y, z [m]
	Kind   string       // "metal", "hole" or "fill"
}

func (Scene) isDrawing()    {}
func (Bars) isDrawing()     {}
func (Chart) isDrawing()    {}
func (Map) isDrawing()      {}
func (Sections) isDrawing() {}

// A Part is a piece of stock as it is cut, seen from sides of it, all to one scale and one below the other, with its section
// beside them. Places are in metres: along the piece from its outermost point, and across it from its axis.
type Part struct {
	Length  float64
	Views   []PartView
	Section SectionItem
	Width   string // of the section, as it is written at it
	Height  string
}

// A PartView is a part seen from one side.
type PartView struct {
	Name     string          // from where it is seen
	Mirrored bool            // its first end is at the right
	Outline  [][2]float64    // along, across
	Edges    [][2][2]float64 // of its near face, where these are not the outline's
	Angles   [2]string       // of its two ends off square, empty where they are square
	Stands   []PartStand
	Holes    []PartHoles
}

// A PartStand is where another part stands on this one.
type PartStand struct {
	Name      string
	From, To  float64 // along
	Low, High float64 // across
	Hidden    bool    // on the far side
}

// PartHoles are holes that are alike, named by a letter.
type PartHoles struct {
	Letter   string
	At       [][2]float64 // along, across
	Diameter float64
	Hidden   bool // on the far side
}

func (Part) isDrawing() {}
