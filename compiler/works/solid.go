package works

// solidWorks are the works cited by the machine's solids.
var solidWorks = []Work{
	{"Ericson 2005", "C. Ericson", "Real-Time Collision Detection", "2005"},
	{"Gilbert 1988", "E. G. Gilbert, D. W. Johnson and S. S. Keerthi", "A fast procedure for computing the distance between complex objects in three-dimensional space, IEEE Journal of Robotics and Automation 4(2), 193-203", "1988"},
}
