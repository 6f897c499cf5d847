package build

// A Drawing is the data of a picture: a Scene, Bars, a Chart, a Map or Sections. How
// it looks is the renderer's business.
type Drawing interface{ isDrawing() }

// A Scene is a machine in space, in metres, drawn in parallel projection.
type Scene struct {
	Solids []Solid  // boxes, in any order
	Lines  []Line3  // thin lines over the solids: rails, outlines at rest
	Labels []Label3 // names with leaders
	Moved  []Line3  // the deflected shape, already magnified
	Factor float64  // magnification of the deflected shape, 0 for none [-]
	Small  bool     // one of several alike: drawn lower
}

// A Solid is a box in space.
type Solid struct {
	Name   string        // the part
	Body   int           // bodies are told apart by shade
	Kind   string        // "member", "mass", "carriage", "spindle", "cutter", "foot", "plate"
	Centre [3]float64    // [m]
	Half   [3][3]float64 // three half-axes, square to each other [m]
}

// A Line3 is a polyline in space.
type Line3 struct {
	Points [][3]float64 // [m]
	Body   int
}

// A Label3 names a point in space.
type Label3 struct {
	At   [3]float64 // [m]
	Text string
}

// Bars are stacked bars, one a row, each adding up to the row's total.
type Bars struct {
	Unit string
	Rows []BarRow
}

// A BarRow is one stacked bar.
type BarRow struct {
	Label string
	Total string // printed at the bar's end
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
	X, Y    AxisSpec
	Curves  []Curve
	Markers []Marker
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

// A Marker is a named point on a chart.
type Marker struct {
	Label string
	X, Y  float64
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
