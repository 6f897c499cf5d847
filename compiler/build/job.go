package build

import "ironbed/spec/quantity"

// A Job is a target's part, and how long roughing and finishing of it take. Times include what goes into
// approaches, returns and changes of cutter.
type Job struct {
	Size      [3]float64 // along X, Y and Z [mm]
	Assumed   bool       // its size is not stated
	Removed   float64    // volume that is cut away [cm³]
	Finished  float64    // area that is finished [cm²]
	TimeInCut float64    // share of the time in which the cutter cuts [-]
	Cuts      []JobCut   // the fastest cut, and the deepest where that is another one
	Finishing float64    // time of the finish pass, 0 where none is proposed [min]
	Limit     float64    // time that it may take, 0 for any [min]
	TooLong   bool       // with its fastest cut it takes longer than that
	Ra        float64    // least roughness that the finish pass leaves, 0 where there is none [µm]
	Wanted    float64    // roughness that is wanted, 0 for any [µm]
	Lacks     string     // what the finished part lacks beside accuracy, and what would do, a sentence; empty for nothing
}

// Which of the cuts of a part one is: that of the largest removal rate, the deepest of the operation by which roughing is judged,
// or the same for both.
const (
	Fastest = "fastest"
	Deepest = "deepest"
	Both    = "fastest and deepest"
)

// Words name a cut without its cutter: "fastest cut", "deepest slot".
func (c *JobCut) Words() string {
	if c.Which == Deepest {
		return c.Which + " " + c.Operation
	}
	if c.Spindle != "" {
		return c.Which + " cut, spindle " + c.Spindle + ","
	}
	return c.Which + " cut"
}

// A JobCut is a cut that the part can be roughed with.
type JobCut struct {
	Which       string  // Fastest, Deepest or Both
	Operation   string  // "slot"
	Cutter      string  // "8 mm end mill"
	Spindle     string  // that makes it, where it is another than that by which roughing is judged
	Depth       float64 // [mm]
	RemovalRate float64 // [cm³/min]
	Roughing    float64 // [min]
	Time        float64 // with finishing, as far as that is known [min]
}

// shortHours is the time from which hours tell more than minutes [min].
const shortHours = 90

// Duration prints a time given in minutes: "12 min", "3.5 h".
func Duration(minutes float64) string {
	if minutes < shortHours {
		return quantity.Measure(minutes, "min")
	}
	return quantity.Measure(minutes/60, "h")
}
