package build

// A Diagnosis is what a mark on a part or a sound may come from.
type Diagnosis struct {
	Seen   string  // the mark or the sound, with its frequency
	Causes []Cause // the most likely first
	Other  float64 // share of what the spec does not have [-]
	Next   []string
}

// A Cause is one that a diagnosis names.
type Cause struct {
	What      string  // the part, and what it does
	Predicted string  // the pitch or the frequency that it has on this machine
	Share     float64 // how likely it is [-]
	Do        string  // how to be sure, and what helps
	Figure    string  // the figure that has its number, empty for none
}
