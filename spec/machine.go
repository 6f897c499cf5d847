package spec

// A Text is a word or name of the spec with its place.
type Text struct {
	Text string
	At   Place
	path string
}

// String returns the text.
func (t Text) String() string { return t.Text }

// A Count is a whole number of the spec with its place.
type Count struct {
	N     int
	At    Place
	Given bool
	path  string
}

// An Entry is a named part of the spec.
type Entry[T any] struct {
	Name string
	At   Place // where the name stands
	Item T
}

// A Map holds named parts in the order of the spec.
type Map[T any] []Entry[T]

// Entry returns the part with the name and its place, nil if there is none.
func (m Map[T]) Entry(name string) *Entry[T] {
	for i := range m {
		if m[i].Name == name {
			return &m[i]
		}
	}
	return nil
}

// Find returns the part with the name, nil if there is none.
func (m Map[T]) Find(name string) *T {
	if e := m.Entry(name); e != nil {
		return &e.Item
	}
	return nil
}

// Names returns the names of all parts.
func (m Map[T]) Names() []string {
	list := make([]string, len(m))
	for i := range m {
		list[i] = m[i].Name
	}
	return list
}

// A Vector is three quantities: x, y, z.
type Vector [3]Value

// xyz returns the vector's middle values.
func (v Vector) xyz() [3]float64 { return [3]float64{v[0].q.Value, v[1].q.Value, v[2].q.Value} }

// A Direction is a unit vector.
type Direction struct {
	XYZ   [3]float64
	At    Place
	Given bool
}

// A Machine is a whole spec. Each field stands for the schema's field of the
// name in its tag; the schema's comments say what it means. Values are in SI.
type Machine struct {
	Name          Text              `cue:"name"`
	Purpose       Text              `cue:"purpose"`
	Envelope      Map[Value]        `cue:"envelope"`
	Materials     Map[Material]     `cue:"materials"`
	Sections      Map[Section]      `cue:"sections"`
	Fills         Map[Fill]         `cue:"fills"`
	Mixes         Map[Mix]          `cue:"mixes"`
	Bodies        Map[Body]         `cue:"bodies"`
	Joints        Map[Joint]        `cue:"joints"`
	Rails         Map[Rail]         `cue:"rails"`
	Axes          Map[Axis]         `cue:"axes"`
	Chains        Map[Chain]        `cue:"chains"`
	Cabinet       Vector            `cue:"cabinet"`
	Spindle       *Spindle          `cue:"spindle"`
	Spindles      Map[Spindle]      `cue:"spindles"`
	Cutters       Map[Cutter]       `cue:"cutters"`
	Workpiece     *Workpiece        `cue:"workpiece"`
	Targets       Map[Target]       `cue:"targets"`
	WorkMaterials Map[WorkMaterial] `cue:"work_materials"`
	Trials        Map[Trial]        `cue:"trials"`
	Supply        Map[Supply]       `cue:"supply"`
	Damping       *Damping          `cue:"damping"`
	MeasuredModes Map[MeasuredMode] `cue:"measured_modes"`
	Measured      Map[Measured]     `cue:"measured"`
	Room          *Room             `cue:"room"`
	Coolant       *Coolant          `cue:"coolant"`
	Workshop      *Workshop         `cue:"workshop"`
	Upkeep        *Upkeep           `cue:"upkeep"`
	Hoist         *Hoist            `cue:"hoist"`
	Currency      Text              `cue:"currency"`
	Door          *Door             `cue:"door"`
	Welding       *Welding          `cue:"weld"`
	Saw           *Saw              `cue:"saw"`
	Route         []Text            `cue:"route"`
	WarmUp        Value             `cue:"warm_up" worse:"low"`
	Squareness    Value             `cue:"squareness"`

	Source      Source       // what it was read from
	Assumptions []Assumption // what it leaves out
	Unlikely    []Diagnostic // values that are hardly meant, though they can be

	tree *tree // what it was decoded from

	booking bool // what is assumed now is for the build book alone
	shaping bool // what is assumed now is how large a part is

	mounted string   // of several spindles the one that cuts; see [Machine.Mounting]
	targets []string // names of all targets, where some are left out
}

// A Damping is the loss factors of the kinds of part.
type Damping struct {
	Members   Value `cue:"members" worse:"low" spread:"log"`
	Profiles  Value `cue:"profiles" worse:"low" spread:"log"`
	Joints    Value `cue:"joints" worse:"low" spread:"log"`
	Carriages Value `cue:"carriages" worse:"low" spread:"log"`
	Drives    Value `cue:"drives" worse:"low" spread:"log"`
	Feet      Value `cue:"feet" worse:"low" spread:"log"`
	Spindle   Value `cue:"spindle" worse:"low" spread:"log"`
	Shaft     Value `cue:"shaft" worse:"low" spread:"log"`
	Clamping  Value `cue:"clamping" worse:"low" spread:"log"`
	Tool      Value `cue:"tool" worse:"low" spread:"log"`
}

// A Material is what a section is made of.
type Material struct {
	Modulus      Value `cue:"modulus" worse:"low"`
	ShearModulus Value `cue:"shear_modulus" worse:"low"`
	Density      Value `cue:"density"`
	Expansion    Value `cue:"expansion"`
	Source       Text  `cue:"source"`
}

// A Section is a piece of stock in one of several ways.
type Section struct {
	Stock    Text       `cue:"stock"`
	Hollow   *Hollow    `cue:"hollow"`
	Pipe     *Pipe      `cue:"pipe"`
	I        *Rolled    `cue:"i"`
	Channel  *Rolled    `cue:"channel"`
	Angle    *Angle     `cue:"angle"`
	Bar      *Bar       `cue:"bar"`
	Round    *Round     `cue:"round"`
	Plate    *Plate     `cue:"plate"`
	Listed   *Listed    `cue:"listed"`
	BuiltUp  *BuiltUp   `cue:"built_up"`
	Outline  Map[Piece] `cue:"outline"`
	Material Text       `cue:"material"`
	Standard Text       `cue:"standard"`

	Condition      Text  `cue:"condition"`
	MassRatio      Value `cue:"mass_ratio"`
	StiffnessRatio Value `cue:"stiffness_ratio" worse:"low"`
	StockLength    Value `cue:"stock_length" worse:"low"`
}

// A Hollow is a rectangular hollow section.
type Hollow struct {
	Height Value `cue:"height" worse:"low"`
	Width  Value `cue:"width" worse:"low"`
	Wall   Value `cue:"wall" worse:"low"`
	Make   Text  `cue:"make"`
}

// A Pipe is a round hollow section.
type Pipe struct {
	Diameter Value `cue:"diameter" worse:"low"`
	Wall     Value `cue:"wall" worse:"low"`
}

// A Rolled is an I, H or channel.
type Rolled struct {
	Height Value `cue:"height" worse:"low"`
	Width  Value `cue:"width" worse:"low"`
	Web    Value `cue:"web" worse:"low"`
	Flange Value `cue:"flange" worse:"low"`
	Root   Value `cue:"root" worse:"low"`
	Slope  Value `cue:"slope" worse:"low"`
	Toe    Value `cue:"toe"`
}

// An Angle is an equal or unequal angle.
type Angle struct {
	Height Value `cue:"height" worse:"low"`
	Width  Value `cue:"width" worse:"low"`
	Wall   Value `cue:"wall" worse:"low"`
	Root   Value `cue:"root" worse:"low"`
	Toe    Value `cue:"toe" worse:"low"`
}

// A Bar is a solid rectangle.
type Bar struct {
	Height Value `cue:"height" worse:"low"`
	Width  Value `cue:"width" worse:"low"`
}

// A Round is a solid round bar.
type Round struct {
	Diameter Value `cue:"diameter" worse:"low"`
}

// A Plate is a flat plate.
type Plate struct {
	Thickness Value `cue:"thickness" worse:"low"`
}

// A Listed is a section by its properties.
type Listed struct {
	Area    Value `cue:"area" worse:"low"`
	Iy      Value `cue:"iy" worse:"low"`
	Iz      Value `cue:"iz" worse:"low"`
	Torsion Value `cue:"torsion" worse:"low"`
	ShearY  Value `cue:"shear_y" worse:"low"`
	ShearZ  Value `cue:"shear_z" worse:"low"`
	Mass    Value `cue:"mass"`
	Height  Value `cue:"height"`
	Width   Value `cue:"width"`
}

// A BuiltUp is several sections joined along their length.
type BuiltUp struct {
	Parts  Map[BuiltUpPart] `cue:"parts"`
	Joined Text             `cue:"joined"`
	Stitch *Stitch          `cue:"stitch"`
}

// A Stitch is welds at a pitch.
type Stitch struct {
	Weld   Value `cue:"weld" worse:"low"`
	Pitch  Value `cue:"pitch"`
	Throat Value `cue:"throat" worse:"low"`
	Rows   Count `cue:"rows"`
}

// A BuiltUpPart is one of them.
type BuiltUpPart struct {
	Section Text  `cue:"section"`
	Y       Value `cue:"y"`
	Z       Value `cue:"z"`
	YEdge   Text  `cue:"y_edge"`
	ZEdge   Text  `cue:"z_edge"`
	Turned  Value `cue:"turned"`
}

// A Piece is a piece of an outlined section.
type Piece struct {
	Corners  []Corner  `cue:"corners"`
	Circle   *Circle   `cue:"circle"`
	Holes    Map[Hole] `cue:"holes"`
	Material Text      `cue:"material"`
}

// A Hole is a hole in a piece.
type Hole struct {
	Corners []Corner `cue:"corners"`
	Circle  *Circle  `cue:"circle"`
}

// A Corner is a corner of an outline.
type Corner struct {
	Y     Value `cue:"y"`
	Z     Value `cue:"z"`
	Round Value `cue:"round"`
}

// A Circle is a round outline.
type Circle struct {
	Y        Value `cue:"y"`
	Z        Value `cue:"z"`
	Diameter Value `cue:"diameter" worse:"low"`
}

// A Fill is what a hollow or pocket holds.
type Fill struct {
	Mix     Text  `cue:"mix"`
	Modulus Value `cue:"modulus" worse:"low"`
	Density Value `cue:"density"`
	Bond    Text  `cue:"bond"`
	Place   Text  `cue:"place"`
	// The hollows that are filled, by number or name; all where it is empty.
	Hollows []Text `cue:"hollows"`

	ShearKeys *ShearKeys `cue:"shear_keys"`
	Humidity  Value      `cue:"humidity"`

	Resin     bool  // the mix is bound by resin
	Strength  Value `worse:"low"` // of the mix; not known where not Given
	Shrinkage Value // of the mix; by the strength where not Given
	Creep     Value `cue:"creep"`
	Loss      Value `cue:"loss" worse:"low" spread:"log"`
	Expansion Value `cue:"expansion"`

	Cement bool  // the mix is bound by cement
	Pour   *Pour `cue:"pour"` // nil where it is bound by neither
}

// A Pour is how a fill is mixed and poured.
type Pour struct {
	Batch         Value        `cue:"batch" worse:"low"`
	OpenTime      Value        `cue:"open_time" worse:"low"`
	BatchTime     Value        `cue:"batch_time"`
	Waste         Value        `cue:"waste"`
	Inserts       Value        `cue:"inserts"`
	Conduits      Map[Conduit] `cue:"conduits"`
	Openings      Count        `cue:"openings"`
	Opening       Value        `cue:"opening" worse:"low"`
	Grain         Value        `cue:"grain"`
	WaterCement   Value        `cue:"water_cement"`
	Slump         Value        `cue:"slump"`
	CementDensity Value        `cue:"cement_density"`
	Stone         Text         `cue:"stone"`
	Coarse        *Aggregate   `cue:"coarse"`
	Fine          *Aggregate   `cue:"fine"`
	ResinShare    Value        `cue:"resin_share"`
	ResinDensity  Value        `cue:"resin_density"`
	Bar           *TapBar      `cue:"bar"`
}

// An Aggregate is a heap of sand or of stone.
type Aggregate struct {
	Density       Value `cue:"density"`
	Absorption    Value `cue:"absorption"`
	Moisture      Value `cue:"moisture"`
	RoddedDensity Value `cue:"rodded_density"`
	Fineness      Value `cue:"fineness"`
}

// A TapBar is a bar that is cast to be tapped.
type TapBar struct {
	Width  Value `cue:"width"`
	Height Value `cue:"height"`
	Length Value `cue:"length"`
}

// A Saw cuts the stock.
type Saw struct {
	Kerf Value `cue:"kerf"`
}

// A Hoist lifts the bodies.
type Hoist struct {
	Capacity Value `cue:"capacity" worse:"low"`
}

// A Door is what bodies pass on their way.
type Door struct {
	Width  Value `cue:"width" worse:"low"`
	Height Value `cue:"height" worse:"low"`
}

// Welding is how bodies of steel are welded.
type Welding struct {
	Process Text        `cue:"process"`
	Speed   Value       `cue:"speed" worse:"low"`
	ArcTime Value       `cue:"arc_time" worse:"low"`
	Stitch  *BeadStitch `cue:"stitch"` // nil where welds are continuous
}

// A BeadStitch is how beads follow each other in a weld that is not continuous.
type BeadStitch struct {
	Length Value `cue:"length"`
	Pitch  Value `cue:"pitch"`
}

// A Conduit is a tube through hollows that are filled.
type Conduit struct {
	Over     []Text  `cue:"over"`
	Diameter Value   `cue:"diameter"`
	Exits    []Value `cue:"exits"`
}

// ShearKeys hold a fill to the steel.
type ShearKeys struct {
	Diameter Value `cue:"diameter" worse:"low"`
	Pitch    Value `cue:"pitch"`
	Rows     Count `cue:"rows"`
}

// A Mix is a material for fills.
type Mix struct {
	Modulus   Value `cue:"modulus" worse:"low"`
	Density   Value `cue:"density"`
	Strength  Value `cue:"strength" worse:"low"`
	Shrinkage Value `cue:"shrinkage"`
	Expansion Value `cue:"expansion"`
	WetCement bool  `cue:"wet_cement"`
	Silica    bool  `cue:"silica"`
	Resin     bool  `cue:"resin"`
	Source    Text  `cue:"source"`
}

// A Body is a frame that moves as one.
type Body struct {
	Nodes    Map[Vector] `cue:"nodes"`
	Members  Map[Member] `cue:"members"`
	Masses   Map[Mass]   `cue:"masses"`
	Feet     Map[Foot]   `cue:"feet"`
	Supports Map[[]Text] `cue:"supports"`
	Links    Map[Text]   `cue:"links"`
}

// A Member is a bar between two nodes.
type Member struct {
	From       Text      `cue:"from"`
	To         Text      `cue:"to"`
	Section    Text      `cue:"section"`
	Fill       Text      `cue:"fill"`
	Cell       *Cell     `cue:"cell"`
	Up         Direction `cue:"up"`
	FromOffset Vector    `cue:"from_offset"`
	ToOffset   Vector    `cue:"to_offset"`
	FromEnd    *End      `cue:"from_end"`
	ToEnd      *End      `cue:"to_end"`
	FromTrim   Text      `cue:"from_trim"`
	ToTrim     Text      `cue:"to_trim"`
}

// A Cell is the cell of a plate that a member is a side or a diagonal of.
type Cell struct {
	Length   Value `cue:"length"`
	Width    Value `cue:"width"`
	Edge     bool  `cue:"edge"`
	Diagonal bool  `cue:"diagonal"`
}

// An End is a member's end that is compliant.
type End struct {
	OnFace *OnFace `cue:"on_face"`
	Mitre  *Mitre  `cue:"mitre"`
	Open   *Open   `cue:"open"`
	At     Place
}

// An OnFace is a branch on the face of a hollow member.
type OnFace struct {
	Member      Text     `cue:"member"`
	Doubler     *Doubler `cue:"doubler"`
	InnerPlates Value    `cue:"inner_plates" worse:"low"`
	KeepsShape  Value    `cue:"keeps_shape"`
}

// A Doubler is a plate on a face.
type Doubler struct {
	Thickness Value `cue:"thickness" worse:"low"`
	Width     Value `cue:"width" worse:"low"`
	Length    Value `cue:"length" worse:"low"`
}

// A Mitre is a corner of two hollow sections.
type Mitre struct {
	Plate bool `cue:"plate"`
}

// An Open is an open end of a hollow section.
type Open struct {
	Held Value `cue:"held"`
}

// A Mass is a lump carried by a node.
type Mass struct {
	Node    Text   `cue:"at"`
	Mass    Value  `cue:"mass"`
	Offset  Vector `cue:"offset"`
	Inertia Vector `cue:"inertia"`
	Size    Vector `cue:"size"`
}

// A Foot stands on the floor.
type Foot struct {
	Node       Text  `cue:"at"`
	Vertical   Value `cue:"vertical" worse:"low" spread:"log"`
	Horizontal Value `cue:"horizontal" worse:"low" spread:"log"`
	Leg        *Leg  `cue:"leg"`
	Pad        Value `cue:"pad" worse:"low"`
}

// A Leg is the round steel leg or screw of a foot.
type Leg struct {
	Height   Value `cue:"height"`
	Diameter Value `cue:"diameter" worse:"low"`
}

// A Joint is a joint with a stiffness.
type Joint struct {
	Between   []Text          `cue:"between"`
	Stiffness *JointStiffness `cue:"stiffness"`
	Axes      []Direction     `cue:"axes"`
	Rigid     bool            `cue:"rigid"`
	Bolted    *Bolted         `cue:"bolted"`
	Bonded    *Layer          `cue:"bonded"`
}

// A Bolted is a set of bolts.
type Bolted struct {
	Size     Text        `cue:"size"`
	Class    Text        `cue:"class"`
	Places   []BoltPlace `cue:"places"`
	Layers   []Value     `cue:"layers"`
	Torque   Value       `cue:"torque" worse:"low"`
	Surface  Text        `cue:"surface"`
	Area     Value       `cue:"area" worse:"low"`
	Preload  Value       `cue:"preload" worse:"low"`
	Friction Value       `cue:"friction" worse:"low"`
}

// A BoltPlace is where a bolt stands.
type BoltPlace struct {
	X Value `cue:"x"`
	Y Value `cue:"y"`
}

// A Layer is a layer of resin or grout.
type Layer struct {
	Width     Value  `cue:"width" worse:"low"`
	Length    Value  `cue:"length" worse:"low"`
	Thickness Value  `cue:"thickness"`
	Modulus   Value  `cue:"modulus" worse:"low"`
	Poisson   Value  `cue:"poisson"`
	Paste     *Paste `cue:"paste"`
}

// A JointStiffness is along and about the joint's axes.
type JointStiffness struct {
	X  Value `cue:"x" worse:"low" spread:"log"`
	Y  Value `cue:"y" worse:"low" spread:"log"`
	Z  Value `cue:"z" worse:"low" spread:"log"`
	RX Value `cue:"rx" worse:"low" spread:"log"`
	RY Value `cue:"ry" worse:"low" spread:"log"`
	RZ Value `cue:"rz" worse:"low" spread:"log"`
}

// A Rail is a kind of rail with its carriages.
type Rail struct {
	Stock          Text       `cue:"stock"`
	Shape          Text       `cue:"shape"`
	Size           Value      `cue:"size" worse:"low"`
	Preload        Text       `cue:"preload"`
	Surface        Text       `cue:"surface"`
	Straightness   Value      `cue:"straightness"`
	Tolerance      *Tolerance `cue:"tolerance"`
	Shoulder       bool       `cue:"shoulder"`
	Bolts          *RailBolts `cue:"bolts"`
	Radial         Value      `cue:"radial" worse:"low" spread:"log"`
	Lateral        Value      `cue:"lateral" worse:"low" spread:"log"`
	MountingFactor Value      `cue:"mounting_factor" worse:"low" spread:"log"`
	Resin          *Resin     `cue:"resin"`
	Levelling      *Levelling `cue:"levelling"` // nil where its mounting surface is not poured
	Dynamic        Value      `cue:"dynamic" worse:"low"`
	DynamicFor     Text       `cue:"dynamic_for"`
	Static         Value      `cue:"static" worse:"low"`
	Drilling       *Drilling  `cue:"drilling"`
	Paste          *Paste     `cue:"paste"`
	Rolling        Text       `cue:"rolling"`
	CarriageMass   Value      `cue:"carriage_mass"`
	RailMass       Value      `cue:"rail_mass"`
	CarriageLength Value      `cue:"carriage_length"`
	CarriageWidth  Value      `cue:"carriage_width"`
	Height         Value      `cue:"height"`
	Source         Text       `cue:"source"`
	Condition      Text       `cue:"condition"`
}

// A Tolerance is what a rail demands of its mounting surface.
type Tolerance struct {
	Parallel Value `cue:"parallel" worse:"low"`
	Height   Value `cue:"height" worse:"low"`
	Along    Value `cue:"along" worse:"low"`
}

// RailBolts hold a rail down.
type RailBolts struct {
	Diameter          Value `cue:"diameter" worse:"low"`
	Torque            Value `cue:"torque" worse:"low"`
	Shared            Count `cue:"shared"`
	Friction          Value `cue:"friction" worse:"low"`
	TorqueCoefficient Value `cue:"torque_coefficient"`
}

// A Resin is a rail's mounting surface of resin.
type Resin struct {
	Thickness Value `cue:"thickness"`
	Width     Value `cue:"width" worse:"low"`
	Length    Value `cue:"length" worse:"low"`
	Modulus   Value `cue:"modulus" worse:"low"`
	Poisson   Value `cue:"poisson"`
}

// A Levelling is how the resin under a rail is poured.
type Levelling struct {
	Depth          Value `cue:"depth" worse:"low"` // where the rail has no layer of resin
	Width          Value `cue:"width" worse:"low"`
	Uneven         Value `cue:"uneven"`
	Viscosity      Value `cue:"viscosity"`
	Density        Value `cue:"density"`
	PotLife        Value `cue:"pot_life" worse:"low"`
	SurfaceTension Value `cue:"surface_tension"`
	Shrinkage      Value `cue:"shrinkage"`

	At Place
}

// An Axis moves one body along another.
type Axis struct {
	Moves          Text          `cue:"moves"`
	On             Text          `cue:"on"`
	Direction      Direction     `cue:"direction"`
	Travel         Value         `cue:"travel"`
	ModelledAt     Value         `cue:"modelled_at"`
	Guides         Map[Guide]    `cue:"guides"`
	Drives         Map[Drive]    `cue:"drives"`
	CrossShaft     *CrossShaft   `cue:"cross_shaft"`
	Alternatives   Map[Drive]    `cue:"alternatives"`
	Rapid          Value         `cue:"rapid"`
	Acceleration   Value         `cue:"acceleration"`
	Friction       Value         `cue:"friction"`
	Counterweight  Value         `cue:"counterweight"`
	Duty           []Stroke      `cue:"duty"`
	PositionLoop   *PositionLoop `cue:"position_loop"`
	Covers         *Covers       `cue:"covers"`
	GainDifference Value         `cue:"gain_difference"`
	Stops          *Stops        `cue:"stops"`
	Overtravel     Value         `cue:"overtravel" worse:"low"`
	ErrorMap       bool          `cue:"error_map"`

	Across      Map[AcrossReadings]  `cue:"across"`
	Positioning *PositioningReadings `cue:"positioning"`
}

// A PositionLoop is how a servo follows.
type PositionLoop struct {
	Gain        Value `cue:"gain" worse:"low"`
	Feedforward Value `cue:"feedforward" worse:"low"`
}

// Covers is a cover at both ends of an axis.
type Covers struct {
	Kind          Text  `cue:"kind"`
	ExtendedRatio Value `cue:"extended_ratio"`
	Ends          Value `cue:"ends"`
	Boxes         Count `cue:"boxes"`
	Overlap       Value `cue:"overlap"`
	Lip           Value `cue:"lip"`
	Height        Value `cue:"height"`
	Width         Value `cue:"width"`
}

// A Chain is a cable chain along an axis.
type Chain struct {
	Axis        Text      `cue:"axis"`
	Fixed       Text      `cue:"fixed"`
	Moving      Text      `cue:"moving"`
	Radius      Value     `cue:"radius" worse:"low"`
	InnerHeight Value     `cue:"inner_height" worse:"low"`
	InnerWidth  Value     `cue:"inner_width" worse:"low"`
	Pitch       Value     `cue:"pitch"`
	Separator   Value     `cue:"separator"`
	OuterHeight Value     `cue:"outer_height"`
	OuterWidth  Value     `cue:"outer_width"`
	FixedOffset Vector    `cue:"fixed_offset"`
	MovedOffset Vector    `cue:"moving_offset"`
	BendSide    Text      `cue:"bend_side"`
	Lines       Map[Line] `cue:"lines"`
}

// A Line is a cable or a hose in a chain.
type Line struct {
	Kind     Text     `cue:"kind"`
	Diameter Value    `cue:"diameter"`
	Bend     Value    `cue:"bend"`
	Mass     Value    `cue:"mass"`
	Feeds    Text     `cue:"feeds"`
	Carries  *Carries `cue:"carries"`
}

// A Guide is one rail line with its carriages.
type Guide struct {
	Rail      Text      `cue:"rail"`
	Over      []Text    `cue:"over"`
	Carriages []Text    `cue:"carriages"`
	Normal    Direction `cue:"normal"`
	JointGap  Value     `cue:"joint_gap"`

	Readings Map[SurfaceReadings] `cue:"readings"`
}

// A Drive pushes an axis along.
type Drive struct {
	Screw     *Screw     `cue:"screw"`
	Nut       Text       `cue:"nut"`
	Bearing   Text       `cue:"bearing"`
	Rack      *Rack      `cue:"rack"`
	Belt      *Belt      `cue:"belt"`
	Ratio     Value      `cue:"ratio"`
	Reduction *Reduction `cue:"reduction"`
	Motor     *Motor     `cue:"motor"`
}

// Ends returns the two nodes that a drive pushes apart, and what they carry.
func (d *Drive) Ends() (nodes [2]Text, carry [2]string) {
	switch {
	case d.Rack != nil:
		return [2]Text{d.Rack.Pinion, d.Rack.On}, [2]string{"the pinion", "the rack"}
	case d.Belt != nil:
		return [2]Text{d.Belt.Clamp, d.Belt.Pulley}, [2]string{"the belt's clamp", "the pulley"}
	}
	return [2]Text{d.Nut, d.Bearing}, [2]string{"the nut", "the bearing"}
}

// A Screw is a ball screw.
type Screw struct {
	Diameter         Value `cue:"diameter" worse:"low"`
	Root             Value `cue:"root" worse:"low"`
	Lead             Value `cue:"lead" worse:"low"`
	Length           Value `cue:"length"`
	Ends             Text  `cue:"ends"`
	Rotating         Text  `cue:"rotating"`
	Efficiency       Value `cue:"efficiency" worse:"low"`
	Drag             Value `cue:"drag"`
	NutStiffness     Value `cue:"nut_stiffness" worse:"low" spread:"log"`
	BearingStiffness Value `cue:"bearing_stiffness" worse:"low" spread:"log"`
	BearingTilt      Value `cue:"bearing_tilt" worse:"low" spread:"log"`
	BearingStatic    Value `cue:"bearing_static" worse:"low"`
	BearingBore      Value `cue:"bearing_bore"`
	NutBracket       Value `cue:"nut_bracket" worse:"low" spread:"log"`
	Dynamic          Value `cue:"dynamic" worse:"low"`
	Static           Value `cue:"static" worse:"low"`
	Preload          Value `cue:"preload" worse:"low"`
	Backlash         Value `cue:"backlash"`
	Grade            Count `cue:"grade"`
	Tension          Value `cue:"tension" worse:"low"`
	NutInertia       Value `cue:"nut_inertia"`
	NutSpeed         Value `cue:"nut_speed" worse:"low"`
	NutBearing       Value `cue:"nut_bearing" worse:"low"`
	Mass             Value `cue:"mass"`
	NutMass          Value `cue:"nut_mass"`
	NutDiameter      Value `cue:"nut_diameter"`
	NutLength        Value `cue:"nut_length"`
	TemperatureRise  Value `cue:"temperature_rise"`
	Condition        Text  `cue:"condition"`
	Wear             Value `cue:"wear"`
}

// NutTurns reports whether the screw stands and its nut turns.
func (s *Screw) NutTurns() bool { return s.Rotating.Text == "nut" }

// A Rack is a pinion on a rack.
type Rack struct {
	Pinion        Text  `cue:"pinion"`
	On            Text  `cue:"rack_on"`
	Module        Value `cue:"module" worse:"low"`
	Teeth         Count `cue:"teeth"`
	Helix         Value `cue:"helix"`
	Face          Value `cue:"face" worse:"low"`
	Backlash      Value `cue:"backlash"`
	Preloaded     bool  `cue:"preloaded"`
	RatedForce    Value `cue:"rated_force" worse:"low"`
	Bracket       Value `cue:"bracket" worse:"low" spread:"log"`
	PinionInertia Value `cue:"pinion_inertia"`
	Efficiency    Value `cue:"efficiency" worse:"low"`
	PitchError    Value `cue:"pitch_error"`
	ToothStress   Value `cue:"tooth_stress" worse:"low"`
	Mass          Value `cue:"mass"`
	PinionMass    Value `cue:"pinion_mass"`
}

// A Belt is a toothed belt that drives the axis.
type Belt struct {
	Run            Text  `cue:"run"`
	Pulley         Text  `cue:"pulley"`
	Clamp          Text  `cue:"clamp"`
	Pitch          Value `cue:"pitch"`
	Teeth          Count `cue:"teeth"`
	Width          Value `cue:"width" worse:"low"`
	CentreDistance Value `cue:"centre_distance"`
	CordStiffness  Value `cue:"cord_stiffness" worse:"low" spread:"log"`
	Pretension     Value `cue:"pretension" worse:"low"`
	AllowedTension Value `cue:"allowed_tension" worse:"low"`
	ToothForce     Value `cue:"tooth_force" worse:"low"`
	Mass           Value `cue:"mass"`
	PitchError     Value `cue:"pitch_error"`
	PulleyInertia  Value `cue:"pulley_inertia"`
	PulleyMass     Value `cue:"pulley_mass"`
	Efficiency     Value `cue:"efficiency" worse:"low"`
	Bracket        Value `cue:"bracket" worse:"low" spread:"log"`
	Wrap           Value `cue:"wrap" worse:"low"`
}

// A Reduction stands between a motor and what it drives.
type Reduction struct {
	Efficiency    Value  `cue:"efficiency" worse:"low"`
	Inertia       Value  `cue:"inertia"`
	DrivenInertia Value  `cue:"driven_inertia"`
	Stiffness     Value  `cue:"stiffness" worse:"low" spread:"log"`
	Backlash      Value  `cue:"backlash"`
	RatedTorque   Value  `cue:"rated_torque" worse:"low"`
	MaxSpeed      Value  `cue:"max_speed" worse:"low"`
	Mass          Value  `cue:"mass"`
	Offset        Vector `cue:"offset"`
}

// A Motor is a servo by its limits, or a stepper by its curve.
type Motor struct {
	RatedTorque Value    `cue:"rated_torque" worse:"low"`
	PeakTorque  Value    `cue:"peak_torque" worse:"low"`
	RatedSpeed  Value    `cue:"rated_speed" worse:"low"`
	MaxSpeed    Value    `cue:"max_speed" worse:"low"`
	Stepper     *Stepper `cue:"stepper"`
	Inertia     Value    `cue:"inertia"`
	Counts      Count    `cue:"counts"`
	Poles       Count    `cue:"poles"`
	Slots       Count    `cue:"slots"`
	Brake       bool     `cue:"brake"`
	BrakeTorque Value    `cue:"brake_torque" worse:"low"`
	Stiffness   Value    `cue:"stiffness" worse:"low" spread:"log"`
	Mass        Value    `cue:"mass"`
	Offset      Vector   `cue:"offset"`
	Flange      Value    `cue:"flange"`
	Length      Value    `cue:"length"`
	StandOff    Value    `cue:"stand_off"`

	At Place // where the motor stands
}

// A Stepper is a stepping motor.
type Stepper struct {
	PullOut    []TorquePoint `cue:"pull_out"`
	Holding    Value         `cue:"holding" worse:"low"`
	Detent     Value         `cue:"detent" worse:"low"`
	Steps      Count         `cue:"steps"`
	Microsteps Count         `cue:"microsteps"`
	Share      Value         `cue:"share" worse:"low"`
}

// A CrossShaft turns two drives from one motor.
type CrossShaft struct {
	Diameter  Value `cue:"diameter" worse:"low"`
	Length    Value `cue:"length"`
	Couplings Value `cue:"couplings" worse:"low"`
}

// A Stroke is a part of a duty.
type Stroke struct {
	Move   Value `cue:"move"`
	Feed   Value `cue:"feed"`
	Cut    Value `cue:"cut"`
	Rest   Value `cue:"rest"`
	Braked bool  `cue:"braked"`
}

// A Spindle turns the cutter.
type Spindle struct {
	Node          Text          `cue:"at"`
	Nose          Vector        `cue:"nose"`
	ToolDirection Direction     `cue:"tool_direction"`
	Mass          Value         `cue:"mass"`
	MassOffset    Vector        `cue:"mass_offset"`
	Housing       *Housing      `cue:"housing"`
	MinSpeed      Value         `cue:"min_speed"`
	MaxSpeed      Value         `cue:"max_speed" worse:"low"`
	Torque        []TorquePoint `cue:"torque"`
	Radial        Value         `cue:"radial" worse:"low"`
	Axial         Value         `cue:"axial" worse:"low"`
	Holder        *Holder       `cue:"holder"`
	Class         Text          `cue:"class"`
	Shaft         *Shaft        `cue:"shaft"`
	Runout        Value         `cue:"runout"`
	Heat          Value         `cue:"heat"`

	At            Place // where the spindle stands
	BearingRadial Value `cue:"bearing_radial" worse:"low"`
	BearingAxial  Value `cue:"bearing_axial" worse:"low"`
}

// A Housing is a spindle's housing, from its nose back.
type Housing struct {
	Diameter Value `cue:"diameter"`
	Length   Value `cue:"length"`
}

// A TorquePoint is one point of a torque curve.
type TorquePoint struct {
	Speed  Value `cue:"speed"`
	Torque Value `cue:"torque" worse:"low"`
}

// A Shaft is a spindle's shaft in two sets of bearings.
type Shaft struct {
	Radial     Value `cue:"radial" worse:"low" spread:"log"` // of a class
	Axial      Value `cue:"axial" worse:"low" spread:"log"`  // of a class
	Diameter   Value `cue:"diameter" worse:"low"`
	Bore       Value `cue:"bore"`
	Behind     Value `cue:"behind"`
	Span       Value `cue:"span" worse:"low"`
	Overhang   Value `cue:"overhang"`
	RotorMass  Value `cue:"rotor_mass"`
	DrivenMass Value `cue:"driven_mass"`
	RearRatio  Value `cue:"rear_ratio" worse:"low"`
	Taper      Value `cue:"taper" worse:"low" spread:"log"`
	TaperTilt  Value `cue:"taper_tilt" worse:"low" spread:"log"`
	Grip       Value `cue:"grip" worse:"low" spread:"log"`
	Cooled     bool  `cue:"cooled"`
	Source     Text  `cue:"source"`
}

// A Holder stands between nose and cutter.
type Holder struct {
	Length   Value `cue:"length"`
	Diameter Value `cue:"diameter" worse:"low"`
}

// A Cutter is a milling cutter in its holder.
type Cutter struct {
	Kind             Text  `cue:"kind"`
	Corner           Value `cue:"corner"`
	CuttingEdgeAngle Value `cue:"cutting_edge_angle"`
	PointAngle       Value `cue:"point_angle"`
	Diameter         Value `cue:"diameter" worse:"low"`
	Teeth            Count `cue:"teeth"`
	StickOut         Value `cue:"stick_out"`
	FluteLength      Value `cue:"flute_length"`
	Shank            Value `cue:"shank" worse:"low"`
	Clamped          Value `cue:"clamped" worse:"low"`
	FlutedRatio      Value `cue:"fluted_ratio" worse:"low"`
	Material         Text  `cue:"material"`
	Helix            Value `cue:"helix"`
	MaxSpeed         Value `cue:"max_speed" worse:"low"`
	Runout           Value `cue:"runout"`
	Spindle          Text  `cue:"spindle"`

	TipModes Map[TipMode] `cue:"tip_modes"`
}

// A TipMode is a mode as measured at a cutter's tip.
type TipMode struct {
	Frequency    Value     `cue:"frequency"`
	DampingRatio Value     `cue:"damping_ratio" worse:"low" spread:"log"`
	LossFactor   Value     `cue:"loss_factor" worse:"low" spread:"log"`
	Stiffness    Value     `cue:"stiffness" worse:"low" spread:"log"`
	Direction    Direction `cue:"direction"`
}

// A Workpiece is where the workpiece is clamped.
type Workpiece struct {
	On         Text       `cue:"on"`
	Nodes      []Text     `cue:"nodes"`
	LoadSpread Value      `cue:"load_spread" worse:"low"`
	Clamps     Map[Clamp] `cue:"clamps"`
}

// A Clamp is what holds the workpiece down: a block at a node.
type Clamp struct {
	Node   Text   `cue:"at"`
	Offset Vector `cue:"offset"`
	Size   Vector `cue:"size"`
}

// A Target is a material that the machine shall cut.
type Target struct {
	Material        Text   `cue:"material"`
	Accuracy        Value  `cue:"accuracy" worse:"low"`
	Ambition        Text   `cue:"ambition"`
	Cutters         []Text `cue:"cutters"`
	ProcessDamping  Value  `cue:"process_damping" worse:"low"`
	Size            Value  `cue:"size"`
	Removed         Value  `cue:"removed"`
	Finished        Value  `cue:"finished"`
	FinishAllowance Value  `cue:"finish_allowance" worse:"low"`
	InsideRadius    Value  `cue:"inside_radius" worse:"low"`
	Roughness       Value  `cue:"roughness" worse:"low"`
	MachiningTime   Value  `cue:"machining_time" worse:"low"`
	TimeInCut       Value  `cue:"time_in_cut" worse:"low"`
	Expansion       Value  `cue:"expansion"`

	named []Text // the cutters that it names, where some are of a spindle that does not cut
}

// Named are all cutters that the target names, those of spindles that do not cut with them.
func (t *Target) Named() []Text {
	if t.named != nil {
		return t.named
	}
	return t.Cutters
}

// A Room is the room that the machine works in.
type Room struct {
	TemperatureChange Value `cue:"temperature_change"`
	Job               Value `cue:"job"`
	Gradient          Value `cue:"gradient"`
	Temperature       Value `cue:"temperature"`
}

// A Coolant keeps the workpiece cool.
type Coolant struct {
	TemperatureDifference Value `cue:"temperature_difference"`
}

// A WorkMaterial is a material to be cut.
type WorkMaterial struct {
	SpecificForce  Value `cue:"specific_force"`
	Exponent       Value `cue:"exponent"`
	MinChip        Value `cue:"min_chip" worse:"low"`
	Density        Value `cue:"density"`
	NormalRatio    Value `cue:"normal_ratio"`
	AxialRatio     Value `cue:"axial_ratio"`
	ProcessDamping Value `cue:"process_damping" worse:"low"`
	Expansion      Value `cue:"expansion"`
	Carbide        *Edge `cue:"carbide"`
	HighSpeedSteel *Edge `cue:"high-speed steel"`
	FullDepth      Value `cue:"full_depth"`
	LightDepth     Value `cue:"light_depth"`
	Coolant        Text  `cue:"coolant"`
	Source         Text  `cue:"source"`
	Mark           Text  `cue:"mark"`
	Note           Text  `cue:"note"`
}

// An Edge is what one edge material may do in a work material.
type Edge struct {
	SurfaceSpeed Value          `cue:"surface_speed"`
	FeedPerTooth []FeedPerTooth `cue:"feed_per_tooth"`
}

// A FeedPerTooth is a range of feed per tooth at a diameter.
type FeedPerTooth struct {
	Diameter Value `cue:"diameter"`
	Feed     Value `cue:"feed"`
}

// A Trial is a bench test to be predicted.
type Trial struct {
	Position Map[Value]     `cue:"position"`
	Loads    Map[TrialLoad] `cue:"loads"`
	Reads    Map[Reading]   `cue:"reads"`
	Note     Text           `cue:"note"`

	Instrument Text  `cue:"instrument"`
	Resolution Value `cue:"resolution"`
	Date       Text  `cue:"date"`
}

// A TrialLoad pushes a node.
type TrialLoad struct {
	Node   Text   `cue:"at"`
	Offset Vector `cue:"offset"`
	Force  Vector `cue:"force"`
	Moment Vector `cue:"moment"`
}

// A Reading is one dial's reading.
type Reading struct {
	Node    Text   `cue:"at"`
	Offset  Vector `cue:"offset"`
	Against Text   `cue:"against"`
	Along   Text   `cue:"along"`
	Read    Value  `cue:"read"`
}

// A MeasuredMode is a natural mode with its damping as measured on the machine, in one
// of two ways.
type MeasuredMode struct {
	Frequency    Value      `cue:"frequency"`
	DampingRatio Value      `cue:"damping_ratio" worse:"low" spread:"log"`
	LossFactor   Value      `cue:"loss_factor" worse:"low" spread:"log"`
	HalfPower    *HalfPower `cue:"half_power"`
	Decay        *Decay     `cue:"decay"`
	Position     Map[Value] `cue:"position"`
	Note         Text       `cue:"note"`
}

// A HalfPower is the width of a peak, 3 dB below its top.
type HalfPower struct {
	Below Value `cue:"below"`
	Above Value `cue:"above" worse:"low"`
}

// A Decay is how a mode dies away.
type Decay struct {
	Cycles Count `cue:"cycles"`
	Left   Value `cue:"left"`
}

// A Supply is where a part comes from.
type Supply struct {
	Price     Text `cue:"price"`
	Lead      Text `cue:"lead"`
	Source    Text `cue:"source"`
	Condition Text `cue:"condition"`
	Note      Text `cue:"note"`
	Owned     bool `cue:"owned"`
}
