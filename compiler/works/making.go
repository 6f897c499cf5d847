package works

// makingWorks are the works cited by the drawings of parts.
var makingWorks = []Work{
	{"ISO 12090-1", "ISO", "Rolling bearings - Profiled rail guides for linear motion rolling bearings - Part 1: Boundary dimensions and tolerances for series 1, 2 and 3", "2011"},
	{"ISO 273", "ISO", "Fasteners - Clearance holes for bolts and screws", "1979"},
	{"ISO 2306", "ISO", "Drills for use prior to tapping screw threads", "1972"},
}
