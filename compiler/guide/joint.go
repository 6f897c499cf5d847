package guide

// UsualJointGap returns the gap to aim for between butted rails with ground
// ends [m]; joints of a pair of rails are staggered by more than a carriage.
//
// Source: common practice; from memory.
func UsualJointGap() Range { return Range{Low: 0, Nominal: 20e-6, High: 50e-6} }
