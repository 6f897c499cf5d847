package spec

import (
	"ironbed/spec/quantity"
)

// A Value is a quantity of the spec in SI, with its bounds and its place.
type Value struct {
	quantity.Quantity
	Text  string // as the spec has it
	At    Place
	Given bool // false where the spec leaves it out
}

// A Text is a word or name of the spec with its place.
type Text struct {
	Text string
	At   Place
}

// String returns the text.
func (t Text) String() string { return t.Text }

// A Count is a whole number of the spec with its place.
type Count struct {
	N     int
	At    Place
	Given bool
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

// XYZ returns the vector's middle values.
func (v Vector) XYZ() [3]float64 { return [3]float64{v[0].Value, v[1].Value, v[2].Value} }

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
	Cutters       Map[Cutter]       `cue:"cutters"`
	Work          *Work             `cue:"work"`
	Targets       Map[Target]       `cue:"targets"`
	WorkMaterials Map[WorkMaterial] `cue:"work_materials"`
	Trials        Map[Trial]        `cue:"trials"`
	Supply        Map[Supply]       `cue:"supply"`

	Source      Source       // what it was read from
	Assumptions []Assumption // what it leaves out
	Unlikely    []Diagnostic // values that are hardly meant, though they can be

	tree *tree // what it was decoded from
}

// A Material is what a section is made of.
type Material struct {
	Modulus      Value `cue:"modulus"`
	ShearModulus Value `cue:"shear_modulus"`
	Density      Value `cue:"density"`
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
	Listed   *Listed    `cue:"listed"`
	BuiltUp  *BuiltUp   `cue:"built_up"`
	Drawn    Map[Piece] `cue:"drawn"`
	Material Text       `cue:"material"`
	Standard Text       `cue:"standard"`
}

// A Hollow is a rectangular hollow section.
type Hollow struct {
	Height Value `cue:"height"`
	Width  Value `cue:"width"`
	Wall   Value `cue:"wall"`
	Make   Text  `cue:"make"`
}

// A Pipe is a round hollow section.
type Pipe struct {
	Diameter Value `cue:"diameter"`
	Wall     Value `cue:"wall"`
}

// A Rolled is an I, H or channel.
type Rolled struct {
	Height Value `cue:"height"`
	Width  Value `cue:"width"`
	Web    Value `cue:"web"`
	Flange Value `cue:"flange"`
	Root   Value `cue:"root"`
}

// An Angle is an equal or unequal angle.
type Angle struct {
	Height Value `cue:"height"`
	Width  Value `cue:"width"`
	Wall   Value `cue:"wall"`
	Root   Value `cue:"root"`
	Toe    Value `cue:"toe"`
}

// A Bar is a solid rectangle.
type Bar struct {
	Height Value `cue:"height"`
	Width  Value `cue:"width"`
}

// A Round is a solid round bar.
type Round struct {
	Diameter Value `cue:"diameter"`
}

// A Listed is a section by its properties.
type Listed struct {
	Area    Value `cue:"area"`
	Iy      Value `cue:"iy"`
	Iz      Value `cue:"iz"`
	Torsion Value `cue:"torsion"`
	ShearY  Value `cue:"shear_y"`
	ShearZ  Value `cue:"shear_z"`
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
	Weld   Value `cue:"weld"`
	Pitch  Value `cue:"pitch"`
	Throat Value `cue:"throat"`
	Rows   Count `cue:"rows"`
}

// A BuiltUpPart is one of them.
type BuiltUpPart struct {
	Section Text  `cue:"section"`
	Y       Value `cue:"y"`
	Z       Value `cue:"z"`
	Turned  Value `cue:"turned"`
}

// A Piece is a piece of a drawn section.
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
	Diameter Value `cue:"diameter"`
}

// A Fill is what a hollow or pocket holds.
type Fill struct {
	Mix     Text  `cue:"mix"`
	Modulus Value `cue:"modulus"`
	Density Value `cue:"density"`
	Bond    Text  `cue:"bond"`
	Place   Text  `cue:"place"`

	Keys     *Keys `cue:"keys"`
	Humidity Value `cue:"humidity"`

	Strength  Value // of the mix; not known where not Given
	Shrinkage Value // of the mix; by the strength where not Given
}

// Keys hold a fill to the steel.
type Keys struct {
	Diameter Value `cue:"diameter"`
	Pitch    Value `cue:"pitch"`
	Rows     Count `cue:"rows"`
}

// A Mix is a material for fills.
type Mix struct {
	Modulus   Value `cue:"modulus"`
	Density   Value `cue:"density"`
	Strength  Value `cue:"strength"`
	Shrinkage Value `cue:"shrinkage"`
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
	Up         Direction `cue:"up"`
	FromOffset Vector    `cue:"from_offset"`
	ToOffset   Vector    `cue:"to_offset"`
	FromEnd    *End      `cue:"from_end"`
	ToEnd      *End      `cue:"to_end"`
}

// An End is a member's end that gives.
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
	InnerPlates Value    `cue:"inner_plates"`
	KeepsShape  Value    `cue:"keeps_shape"`
}

// A Doubler is a plate on a face.
type Doubler struct {
	Thickness Value `cue:"thickness"`
	Width     Value `cue:"width"`
	Length    Value `cue:"length"`
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
}

// A Foot stands on the floor.
type Foot struct {
	Node     Text  `cue:"at"`
	Vertical Value `cue:"vertical"`
	Sideways Value `cue:"sideways"`
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
	Size    Text        `cue:"size"`
	Class   Text        `cue:"class"`
	Places  []BoltPlace `cue:"places"`
	Layers  []Value     `cue:"layers"`
	Torque  Value       `cue:"torque"`
	Surface Text        `cue:"surface"`
	Area    Value       `cue:"area"`
}

// A BoltPlace is where a bolt stands.
type BoltPlace struct {
	X Value `cue:"x"`
	Y Value `cue:"y"`
}

// A Layer is a layer of resin or grout.
type Layer struct {
	Width     Value `cue:"width"`
	Length    Value `cue:"length"`
	Thickness Value `cue:"thickness"`
	Modulus   Value `cue:"modulus"`
}

// A JointStiffness is along and about the joint's axes.
type JointStiffness struct {
	X  Value `cue:"x"`
	Y  Value `cue:"y"`
	Z  Value `cue:"z"`
	RX Value `cue:"rx"`
	RY Value `cue:"ry"`
	RZ Value `cue:"rz"`
}

// A Rail is a kind of rail with its carriages.
type Rail struct {
	Stock        Text       `cue:"stock"`
	Shape        Text       `cue:"shape"`
	Size         Value      `cue:"size"`
	Preload      Text       `cue:"preload"`
	Surface      Text       `cue:"surface"`
	Trueness     Value      `cue:"trueness"`
	Tolerance    *Tolerance `cue:"tolerance"`
	Shoulder     bool       `cue:"shoulder"`
	Bolts        *RailBolts `cue:"bolts"`
	Radial       Value      `cue:"radial"`
	Lateral      Value      `cue:"lateral"`
	Seat         Value      `cue:"seat"`
	Resin        *Resin     `cue:"resin"`
	Dynamic      Value      `cue:"dynamic"`
	DynamicFor   Text       `cue:"dynamic_for"`
	Static       Value      `cue:"static"`
	Rolling      Text       `cue:"rolling"`
	CarriageMass Value      `cue:"carriage_mass"`
	RailMass     Value      `cue:"rail_mass"`
	Source       Text       `cue:"source"`
}

// A Tolerance is what a rail asks of its seat.
type Tolerance struct {
	Parallel Value `cue:"parallel"`
	Height   Value `cue:"height"`
	Along    Value `cue:"along"`
}

// RailBolts hold a rail down.
type RailBolts struct {
	Diameter Value `cue:"diameter"`
	Torque   Value `cue:"torque"`
	Shared   Count `cue:"shared"`
}

// A Resin is a rail's seat of resin.
type Resin struct {
	Thickness Value `cue:"thickness"`
	Width     Value `cue:"width"`
	Length    Value `cue:"length"`
	Modulus   Value `cue:"modulus"`
}

// An Axis moves one body along another.
type Axis struct {
	Moves         Text        `cue:"moves"`
	On            Text        `cue:"on"`
	Direction     Direction   `cue:"direction"`
	Travel        Value       `cue:"travel"`
	DrawnAt       Value       `cue:"drawn_at"`
	Guides        Map[Guide]  `cue:"guides"`
	Drives        Map[Drive]  `cue:"drives"`
	CrossShaft    *CrossShaft `cue:"cross_shaft"`
	Weighed       Map[Drive]  `cue:"weighed"`
	Rapid         Value       `cue:"rapid"`
	Acceleration  Value       `cue:"acceleration"`
	Friction      Value       `cue:"friction"`
	Counterweight Value       `cue:"counterweight"`
	Duty          []Stroke    `cue:"duty"`
	Loop          *Loop       `cue:"loop"`
	Covers        *Covers     `cue:"covers"`
}

// A Loop is how a servo follows.
type Loop struct {
	Gain        Value `cue:"gain"`
	Feedforward Value `cue:"feedforward"`
}

// Covers is a cover at both ends of an axis.
type Covers struct {
	Kind    Text  `cue:"kind"`
	Drawn   Value `cue:"drawn"`
	Ends    Value `cue:"ends"`
	Boxes   Count `cue:"boxes"`
	Overlap Value `cue:"overlap"`
	Lip     Value `cue:"lip"`
}

// A Chain is a cable chain along an axis.
type Chain struct {
	Axis        Text      `cue:"axis"`
	Fixed       Text      `cue:"fixed"`
	Moving      Text      `cue:"moving"`
	Radius      Value     `cue:"radius"`
	InnerHeight Value     `cue:"inner_height"`
	InnerWidth  Value     `cue:"inner_width"`
	Pitch       Value     `cue:"pitch"`
	Separator   Value     `cue:"separator"`
	Lines       Map[Line] `cue:"lines"`
}

// A Line is a cable or a hose in a chain.
type Line struct {
	Kind     Text  `cue:"kind"`
	Diameter Value `cue:"diameter"`
	Bend     Value `cue:"bend"`
	Mass     Value `cue:"mass"`
	Feeds    Text  `cue:"feeds"`
}

// A Guide is one rail line with its carriages.
type Guide struct {
	Rail      Text      `cue:"rail"`
	Over      []Text    `cue:"over"`
	Carriages []Text    `cue:"carriages"`
	Facing    Direction `cue:"facing"`
	JointGap  Value     `cue:"joint_gap"`
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
	Diameter         Value `cue:"diameter"`
	Root             Value `cue:"root"`
	Lead             Value `cue:"lead"`
	Length           Value `cue:"length"`
	Ends             Text  `cue:"ends"`
	Turns            Text  `cue:"turns"`
	Efficiency       Value `cue:"efficiency"`
	Drag             Value `cue:"drag"`
	NutStiffness     Value `cue:"nut_stiffness"`
	BearingStiffness Value `cue:"bearing_stiffness"`
	BearingTilt      Value `cue:"bearing_tilt"`
	NutBracket       Value `cue:"nut_bracket"`
	Dynamic          Value `cue:"dynamic"`
	Static           Value `cue:"static"`
	Preload          Value `cue:"preload"`
	Play             Value `cue:"play"`
	Grade            Count `cue:"grade"`
	Tension          Value `cue:"tension"`
	NutInertia       Value `cue:"nut_inertia"`
	NutSpeed         Value `cue:"nut_speed"`
}

// NutTurns reports whether the screw stands and its nut turns.
func (s *Screw) NutTurns() bool { return s.Turns.Text == "nut" }

// A Rack is a pinion on a rack.
type Rack struct {
	Pinion        Text  `cue:"pinion"`
	On            Text  `cue:"rack_on"`
	Module        Value `cue:"module"`
	Teeth         Count `cue:"teeth"`
	Helix         Value `cue:"helix"`
	Face          Value `cue:"face"`
	Play          Value `cue:"play"`
	Preloaded     bool  `cue:"preloaded"`
	RatedForce    Value `cue:"rated_force"`
	Bracket       Value `cue:"bracket"`
	PinionInertia Value `cue:"pinion_inertia"`
	Efficiency    Value `cue:"efficiency"`
}

// A Belt is a toothed belt that pulls the axis.
type Belt struct {
	Run            Text  `cue:"run"`
	Pulley         Text  `cue:"pulley"`
	Clamp          Text  `cue:"clamp"`
	Pitch          Value `cue:"pitch"`
	Teeth          Count `cue:"teeth"`
	Width          Value `cue:"width"`
	Span           Value `cue:"span"`
	CordStiffness  Value `cue:"cord_stiffness"`
	Pretension     Value `cue:"pretension"`
	AllowedTension Value `cue:"allowed_tension"`
	ToothForce     Value `cue:"tooth_force"`
	Mass           Value `cue:"mass"`
	PulleyInertia  Value `cue:"pulley_inertia"`
	Efficiency     Value `cue:"efficiency"`
	Bracket        Value `cue:"bracket"`
}

// A Reduction stands between a motor and what it drives.
type Reduction struct {
	Efficiency    Value `cue:"efficiency"`
	Inertia       Value `cue:"inertia"`
	DrivenInertia Value `cue:"driven_inertia"`
	Stiffness     Value `cue:"stiffness"`
	Play          Value `cue:"play"`
	RatedTorque   Value `cue:"rated_torque"`
	TopSpeed      Value `cue:"top_speed"`
}

// A Motor is a servo by its limits, or a stepper by its curve.
type Motor struct {
	RatedTorque Value    `cue:"rated_torque"`
	PeakTorque  Value    `cue:"peak_torque"`
	RatedSpeed  Value    `cue:"rated_speed"`
	TopSpeed    Value    `cue:"top_speed"`
	Stepper     *Stepper `cue:"stepper"`
	Inertia     Value    `cue:"inertia"`
	Counts      Count    `cue:"counts"`
	Poles       Count    `cue:"poles"`
	Slots       Count    `cue:"slots"`
	Brake       bool     `cue:"brake"`
	BrakeTorque Value    `cue:"brake_torque"`
	Stiffness   Value    `cue:"stiffness"`

	At Place // where the motor stands
}

// A Stepper is a stepping motor.
type Stepper struct {
	PullOut    []TorquePoint `cue:"pull_out"`
	Holding    Value         `cue:"holding"`
	Detent     Value         `cue:"detent"`
	Steps      Count         `cue:"steps"`
	Microsteps Count         `cue:"microsteps"`
	Share      Value         `cue:"share"`
}

// A CrossShaft turns two drives from one motor.
type CrossShaft struct {
	Diameter  Value `cue:"diameter"`
	Length    Value `cue:"length"`
	Couplings Value `cue:"couplings"`
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
	Node       Text          `cue:"at"`
	Nose       Vector        `cue:"nose"`
	Points     Direction     `cue:"points"`
	Mass       Value         `cue:"mass"`
	MassOffset Vector        `cue:"mass_offset"`
	Slowest    Value         `cue:"slowest"`
	Fastest    Value         `cue:"fastest"`
	Torque     []TorquePoint `cue:"torque"`
	Radial     Value         `cue:"radial"`
	Axial      Value         `cue:"axial"`
	Holder     *Holder       `cue:"holder"`
	Runout     Value         `cue:"runout"`

	At            Place // where the spindle stands
	BearingRadial Value `cue:"bearing_radial"`
	BearingAxial  Value `cue:"bearing_axial"`
}

// A TorquePoint is one point of a torque curve.
type TorquePoint struct {
	Speed  Value `cue:"speed"`
	Torque Value `cue:"torque"`
}

// A Holder stands between nose and cutter.
type Holder struct {
	Length   Value `cue:"length"`
	Diameter Value `cue:"diameter"`
}

// A Cutter is a milling cutter in its holder.
type Cutter struct {
	Kind        Text  `cue:"kind"`
	Corner      Value `cue:"corner"`
	Lead        Value `cue:"lead"`
	Point       Value `cue:"point"`
	Diameter    Value `cue:"diameter"`
	Teeth       Count `cue:"teeth"`
	StickOut    Value `cue:"stick_out"`
	FluteLength Value `cue:"flute_length"`
	Shank       Value `cue:"shank"`
	Material    Text  `cue:"material"`
	Helix       Value `cue:"helix"`
	TopSpeed    Value `cue:"top_speed"`
	Runout      Value `cue:"runout"`
}

// A Work is where the work is clamped.
type Work struct {
	On    Text   `cue:"on"`
	Nodes []Text `cue:"nodes"`
	Reach Value  `cue:"reach"`
}

// A Target is a material that the machine shall cut.
type Target struct {
	Material Text   `cue:"material"`
	Accuracy Value  `cue:"accuracy"`
	Ambition Text   `cue:"ambition"`
	Cutters  []Text `cue:"cutters"`
}

// A WorkMaterial is a material to be cut.
type WorkMaterial struct {
	SpecificForce  Value `cue:"specific_force"`
	Exponent       Value `cue:"exponent"`
	MinChip        Value `cue:"min_chip"`
	Density        Value `cue:"density"`
	NormalRatio    Value `cue:"normal_ratio"`
	AxialRatio     Value `cue:"axial_ratio"`
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
	SurfaceSpeed Value      `cue:"surface_speed"`
	ChipLoad     []ChipLoad `cue:"chip_load"`
}

// A ChipLoad is a range of feed per tooth at a diameter.
type ChipLoad struct {
	Diameter Value `cue:"diameter"`
	Feed     Value `cue:"feed"`
}

// A Trial is a bench test to be predicted.
type Trial struct {
	Pose  Map[Value]     `cue:"pose"`
	Loads Map[TrialLoad] `cue:"loads"`
	Reads Map[Reading]   `cue:"reads"`
	Note  Text           `cue:"note"`
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

// A Supply is where a part comes from.
type Supply struct {
	Price     Text `cue:"price"`
	Source    Text `cue:"source"`
	Condition Text `cue:"condition"`
	Note      Text `cue:"note"`
}
