// Package axis finds what the axes of a machine do under the most demanding cut: drives,
// carriages, mounting surfaces, motion, racking, cable chains, covers. It words nothing
// and knows no report.
package axis

import (
	"slices"

	"ironbed/compiler/cable"
	"ironbed/compiler/cut"
	"ironbed/compiler/drive"
	"ironbed/compiler/guide"
	"ironbed/compiler/machine"
	"ironbed/compiler/making"
	"ironbed/compiler/motion"
	"ironbed/compiler/motor"
	"ironbed/spec"
)

// A Solution is what the axes do, computed once. It is read only.
type Solution struct {
	*machine.Solution
	Demand cut.Demand

	Drives    []*Driven   // in the order of the spec
	Followers []*Follower // by axis that has a drive
	Racking   []*Racking  // by axis on two drives
	Carriages *Carriages  // nil where the frame was not solved
	Surveys   []*Survey   // by axis whose mounting surfaces were read
	Mountings []*Mounting // by axis that could be computed
	Chains    []*Chain    // in the order in which cables run through them
	Cables    []*Cable    // in the order of the chains
	Covers    []*Cover    // by axis that has some, or might
	Crashes   []*Crash    // by axis that has a motor
	Runaways  []*Runaway  // the same
	Drops     []*Drop     // by cable of which the spec says what it carries
}

// A Kind says what stands in a drive's place.
type Kind int

// The kinds.
const (
	Described    Kind = iota // the drive itself
	NutRotates               // the same screw with its nut turning
	ScrewRotates             // the same with the screw turning
	FromTheSpec              // the alternatives of the spec
)

// An Alternative is a drive that an axis might have.
type Alternative struct {
	Kind  Kind
	Entry *spec.Entry[spec.Drive] // of the alternatives of the spec, nil for another
	drive.Compared
	Ends []*drive.Compared // at the ends of the uncertainty where the formulas hold
	Log  *spec.Log         // what was read for it
}

// A Carriages is what the carriages of all axes carry: weight, the most demanding cut in every
// direction and the acceleration of each axis, over every pose.
type Carriages struct {
	All     []*Carried          // in the order of the spec
	Rails   []*Rail             // in the order of the axes and of their guides
	Pitches []*PitchRatio       // by axis whose carriages stand two by two
	Stiff   []*StiffTable       // by axis with four carriages
	Over    *LoadMap            // nil where fewer than two axes move
	Log     *spec.Log           // what the loads rest on, accelerations left out
	ends    map[int][]solvedEnd // by pose of the grid
}

// A solvedEnd is the machine solved at an end of the uncertainty.
type solvedEnd struct {
	model *machine.Model
	*machine.Solved
}

// A Peak is the worst that a carriage carries.
type Peak struct {
	Radial, Lateral float64 // of the worst moment; radial positive pressed onto the rail [N]
	Equivalent      float64 // the one load that stands for both [N]
	LiftOff, Side   float64 // largest [N]
}

// A Carried is the worst that one carriage carries over all poses and cases.
type Carried struct {
	machine.Carriage
	Peak
	Mean   float64   // under weight and the cut, averaged by the life's power [N]
	Pose   int       // of the grid, the worst one
	ByPose []float64 // equivalent load in each pose of the grid [N]
	shares directions
}

// directions is the share of its rating that a bushing carries, by the angle of its
// load from pressed on to pulled off; nil for a profiled rail.
type directions []float64

// A Rail is one rail by the most heavily loaded of its carriages.
type Rail struct {
	Axis  int
	Guide *spec.Entry[spec.Guide]
	*Carried
	Ends      []Peak // what it carries in its worst pose, and under the same cut, at both ends of the uncertainty
	Out       *guide.Output
	OutAtEnds []guide.Output
	Hold      *Hold // nil where a shoulder holds the rail, or where its bolts are not known
	Log       *spec.Log
	Static    *spec.Log // what the static safety rests on
	Life      *spec.Log // what the life rests on beside the mean load
}

// A Hold is the lateral load that a rail's bolts hold by friction.
type Hold struct {
	Force  float64 // with the torque at its lowest [N]
	Ends   []float64
	Creeps bool // less than the lateral load with its safety
	Log    *spec.Log
}

// A Chain is a cable chain as it is sized.
type Chain struct {
	Entry *spec.Entry[spec.Chain]
	Axis  *spec.Entry[spec.Axis]
	Depth int // how many axes carry what its standing end is on
	Sized
	Ends []Sized

	Height *spec.Log // what its least height inside rests on: its cables
	Width  *spec.Log // what its least width inside rests on
	Bend   *spec.Log // what its least radius rests on
	Run    *spec.Log // what its free run rests on: its ends and the travel
	Room   *spec.Log // what the room that it has rests on
	Log    *spec.Log // what its length rests on
}

// A Sized is the numbers of a chain.
type Sized struct {
	cable.Output
	Bends []float64                               // what each of its lines alone needs [m]
	Room  struct{ Height, Width, Radius float64 } // that the chain at hand has over what is needed; 0 where the spec does not say [m]
	Apart float64                                 // height of one end over the other [m]
	Reach float64                                 // how far its bend stands out past the standing end [m]
}

// A Cable is how long a cable is, from the cabinet or from its first chain.
type Cable struct {
	Entry   *spec.Entry[spec.Line]
	Through []*Chain
	To      string  // the node that it feeds; empty for the end of its last chain
	Length  float64 // [m]
	Ends    []float64
	Log     *spec.Log
}

// A Cover is the travel that covers take of an axis: the one that the spec gives, or
// those to think of on a long axis.
type Cover struct {
	Axis     int
	Room     float64 // how far the carriages can run on the shortest of the rails [m]
	RoomEnds []float64
	Kinds    []*Covering
	RoomLog  *spec.Log
}

// A Covering is a cover that an axis has or might have.
type Covering struct {
	Boxes bool // telescopic, not a bellows
	Covered
	Ends []Covered
	Log  *spec.Log // what it takes rests on
	Made *spec.Log // what the travel that it leaves rests on, beside the room on the rails
}

// A Covered is the numbers of a cover.
type Covered struct {
	cable.Cover
	Left  float64 // travel that the rails leave with it; zero for none [m]
	Wants float64 // room on the rails for the travel and both ends pushed together [m]
}

// A Driven is one drive of an axis with what it has to do and what it can.
type Driven struct {
	Axis  int
	Entry *spec.Entry[spec.Drive]
	In    drive.Input
	Out   drive.Output
	Same  bool // as the drive before it on the axis

	// The same with every value at its worse and at its better end, and at its low and at
	// its high one, where the formulas hold: a screw that is worse by being thin is light
	// to turn.
	Ends []*DriveEnd

	Log   *spec.Log           // what was read for it
	Read  machine.DriveReader // the same by topic
	Stiff *spec.Log           // what its stiffness along the axis rests on

	Unbalanced   float64 // weight that no counterweight takes, over all drives of the axis [N]
	Balanced     bool    // a counterweight leaves no more of it than what friction holds for sure
	Drop         float64 // energy with which what is moved lands at the end of its travel [J]
	AllowedFeed  float64 // feed at the speed limit of a rotating screw, or at that of a nut by its stationary screw's natural frequency [m/s]
	StiffBracket float64 // stiffness against tilting from which on an end of a rotating screw is as good as fixed [N·m/rad]

	Speeds       []drive.SpeedPoint // how fast a rotating screw may turn, over its length
	Stepping     *Stepping          // nil for a servo
	Alternatives []*Alternative     // the drive itself and what might stand in its place; none where there is nothing to weigh
}

// A Stepping is how a stepper vibrates about its step.
type Stepping struct {
	motor.Stepper
	Frequency        float64 // zero where it is not known [Hz]
	Speed            float64 // at which full steps come at that rate [rad/s]
	BandLow, BandTop float64 // where steppers on plain drives resonate and lose steps [rad/s]
}

// A DriveEnd is a drive at an end of the uncertainty, under the same cut.
type DriveEnd struct {
	In  drive.Input
	Out drive.Output

	Bound  spec.Bound
	model  *machine.Model  // for masses and lengths
	solved *machine.Solved // for the frame's tilting
}

// A PartCompliance is the axial compliance of one part of a drive.
type PartCompliance struct {
	Key        string  // "shaft"
	Compliance float64 // [m/N]
	Share      float64 // of the drive's compliance [-]
	Of         func(drive.Compliance) float64
	Log        *spec.Log // what was read for it
}

// A PartInertia is what one part of a drive weighs as it turns.
type PartInertia struct {
	Key     string  // "screw"
	Inertia float64 // as felt by the driven shaft [kg·m²]
}

// Ends is a number at the middle of every value and at their ends, by [spec.Bound].
type Ends struct {
	At  [spec.High + 1]float64
	Log *spec.Log // what was read for it
}

// Middle is the number at the middle of every value.
func (e Ends) Middle() float64 { return e.At[spec.Middle] }

// bounds are the least and the most of it.
func (e Ends) bounds() (least, most float64) { return slices.Min(e.At[:]), slices.Max(e.At[:]) }

// set makes it a number with its bounds, where these are not those of the ends of every value at once.
func (e *Ends) set(middle, least, most float64) {
	e.At = [spec.High + 1]float64{spec.Middle: middle, spec.Worse: most, spec.Better: least, spec.Low: middle, spec.High: middle}
}

// A Follower is an axis with how it follows its path. What has to do with a loop is
// zero where it is open.
type Follower struct {
	Axis  int
	Drive *Driven // the one with the motor
	Open  bool    // a stepper, which has no loop
	Feed  float64 // at which it cuts [m/s]

	Frame      Ends         // lowest mode of the frame that moves the cutter along the axis; zero where none was found [Hz]
	FrameFirst bool         // the frame vibrates lower than the drive
	Lowest     float64      // the lower of the two [Hz]
	Usual      motion.Range // gain that the lower one usually carries [1/s]
	Limit      Ends         // gain at which a loop over a scale on the table vibrates by itself [1/s]

	Gain             Ends // that is taken [1/s]
	Bandwidth        Ends // of the position loop [Hz]
	FollowingCutting Ends // following error at the cutting feed [m]
	FollowingRapid   Ends // and at the rapid feed [m]

	Backlash float64 // by which a drive loses its way; none where the weight keeps it on one flank [m]
	Reversal Ends    // reversal error [m]
	Flat     Ends    // that this leaves on the circle [m]
	Jerk     float64 // that leaves what vibrates lowest still [m/s³]

	Pairs   []Pair   // with each of the followers after it, where both have a loop
	Repeats []Repeat // what repeats along the axis

	at [spec.High + 1]vibrating
}

// A vibrating is what an axis vibrates on and rests on, at an end of the uncertainty.
type vibrating struct {
	drive   drive.Output
	axial   motion.Mode // the moved mass on the drive
	frame   motion.Mode // the first of the frame; no frequency where none was found
	carried motion.Carried
	loop    motion.Axis
}

// A Pair is what two axes make of a circle and a diagonal together.
type Pair struct {
	Other      *Follower
	Feed       float64 // along the path [m/s]
	Smaller    Ends    // by how much the circle comes out smaller, mean [m]
	OutOfRound Ends    // its longest less its shortest radius [m]
	Line       Ends    // off a line at 45° [m]
	Corner     Ends    // by how much a square corner is cut off [m]
}

// A Repeating is a kind of thing that repeats along an axis.
type Repeating string

// The kinds.
const (
	NutBalls      Repeating = "balls of the nut"
	RackTeeth     Repeating = "teeth of the rack"
	BeltTeeth     Repeating = "teeth of the belt"
	Turn          Repeating = "one turn of what the motor drives"
	MotorTurn     Repeating = "one turn of the motor"
	FullSteps     Repeating = "full steps of the motor"
	Cogging       Repeating = "cogging of the motor"
	PolePairs     Repeating = "pairs of poles of the motor"
	CarriageBalls Repeating = "balls of the carriages"
)

// A Repeat is something that repeats along the travel of an axis, and makes a mark of
// one spacing.
type Repeat struct {
	What   Repeating
	Travel float64    // after which it repeats [m]
	Rate   float64    // at the cutting feed [Hz]
	Meets  [2]float64 // feed at which it meets the natural frequency of the drive, and of the frame; zero for not below the rapid feed [m/s]
}

// A Racking is how an axis on two drives stays square. Nothing of it is known where it
// is not on two rails that face one way with two carriages on each, or where its drives
// stand in one line.
type Racking struct {
	Axis  int
	Sides [2]*Driven
	Loose bool // not on such rails
	Known bool

	Force       float64    // of the cut [N]
	Place       float64    // at which it acts across, off the middle [m]
	One         Way        // by the first drive alone
	Coupled     Way        // by both on a shaft across from one motor
	Two         Way        // by both with a motor each
	OffsetSide  Ends       // lateral load of a carriage with its sides set 0.1 mm apart [N]
	OffsetDrive Ends       // force of the drives against each other then [N]
	Servos      *ServoPair // two servos that are not set alike; nil where a stepper turns a side

	at  [spec.High + 1]gantry
	log *spec.Log // what was read for that
}

// A Way is how an axis racks, driven in one way, with the cut at the worse end.
type Way struct {
	Angle Ends // [rad]
	Apart Ends // how far its two ends run apart [m]
	Side  Ends // lateral load of a carriage [N]
}

// A ServoPair is how two servos on one axis run apart at its rapid feed.
type ServoPair struct {
	Apart Ends    // [m]
	Side  float64 // lateral load of a carriage that it makes [N]
}

// A gantry is an axis on two drives at one end of the uncertainty.
type gantry struct {
	loose, known bool
	layout       machine.Layout
	left, right  guide.Side
	apart        float64 // distance of its drives [m]
	place        float64 // of the cut across, off the middle [m]
	yaw          float64 // how stiffly the carriages hold it square [N·m/rad]
}

// A Mounting is the mounting surfaces of an axis's rails: the errors that its rails
// tolerate, the errors that the surfaces have, the load that an error makes.
type Mounting struct {
	Axis       int
	Guide      *spec.Entry[spec.Guide] // the first of its rails
	Rail       *spec.Rail
	OneMember  bool        // its rails lie on the same members
	Sized      bool        // its rail is a profiled one of a known size
	Tolerances *Tolerances // nil where its rails are of no kind that the table knows
	Made       string      // how the surface is made: a surface, or "measured"
	At         spec.Place
	Reached    *Straightness // its error from carriage to carriage; nil where that is not known
	Fits       Fit
	Survey     *Survey      // nil where it was not read
	Rest       *Rest        // nil where what was read does not stand in place of what is assumed
	Beds       []making.Bed // of resin, whose pour the spec describes
	ErrorLoads
	LoadsAtEnds        []ErrorLoads
	AllowedError       float64 // error of height that takes a tenth of the rating; zero where that is not known [m]
	AllowedErrorAtEnds []float64
	Logs               ErrorLogs
}

// A Rest is what surfaces as they were read load the carriages with.
type Rest struct {
	Gap      float64 // the most by which the surface of one carriage is out of the plane of the other three [m]
	Position float64 // of the axis there [m]
	Load     float64 // of a carriage [N]
	U        float64 // of that, as two standard deviations [N]
	Log      *spec.Log
}

// A Straightness is an error or a tolerance, with its bounds, and what these are at the
// ends of the uncertainty [m].
type Straightness struct {
	guide.Range
	Ends []guide.Range
	Log  *spec.Log
}

// A Tolerances is the errors of their mounting surfaces that two rails tolerate.
type Tolerances struct {
	Parallel, Height, Along Straightness
	Twist                   guide.Range // [rad]
	Own                     bool        // the spec gives one of them
}

// A Fit is whether the errors of a mounting surface are within the tolerances.
type Fit int

// An ErrorLoads is the load of a carriage by an error of the mounting surfaces, by the frame in the
// middle of the travels and by a stiff table.
type ErrorLoads struct {
	Height, HeightStiff     float64 // one carriage's surface too high by [MountingGap] [N]
	Parallel, ParallelStiff float64 // rails out of parallel by as much [N]
}

// An ErrorLogs is what they rest on, and what the allowed error rests on beside the load.
type ErrorLogs struct{ Frame, HeightStiff, ParallelStiff, AllowedError *spec.Log }

// A PitchRatio is how far apart the carriages of an axis stand against the arm of a force at
// the cutter.
type PitchRatio struct {
	Axis       int
	Pitch, Arm float64 // of the carriages; of the nose over the rails, at its longest [m]
	Ratio      float64 // [-]
	Ends       []float64
	Log        *spec.Log
}

// A StiffTable is the most heavily loaded carriage of an axis under the weight alone, with
// the axes in the middle: by the frame, and by the formula for a stiff table.
type StiffTable struct {
	Axis               int
	ByFrame, ByFormula guide.Load
}

// A LoadMap is how the most heavily loaded carriage of the axis that moves most is loaded over
// the two longest travels.
type LoadMap struct {
	Axis          int
	First, Second int           // axes, in the order of the spec
	Loads         [3][3]float64 // by the place of the second axis and of the first: start, middle, end [N]
}
