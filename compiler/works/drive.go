package works

// driveWorks are the works cited by the drive figures.
var driveWorks = []Work{
	{"ISO 3408-1", "ISO", "Ball screws - Part 1: Vocabulary and designation", "2006"},
	{"ISO 3408-5", "ISO", "Ball screws - Part 5: Static and dynamic axial load ratings and operational life", "2006"},
	{"ME EN 7960", "University of Utah", "ME EN 7960 Precision Machine Design, lecture on ball screw selection and calculations", "undated"},
	{"Thomson 1993", "W. T. Thomson", "Theory of Vibration with Applications, 4th edition", "1993"},
	{"Timoshenko and Gere 1961", "S. P. Timoshenko and J. M. Gere", "Theory of Elastic Stability, 2nd edition", "1961"},
	{"Machine Design 2000", "Machine Design", "Get more life out of that ball screw, 1 June 2000", "2000"},
	{"Mott 2004", "R. L. Mott", "Machine Elements in Mechanical Design, 4th edition", "2004"},
	{"Shigley 2006", "R. G. Budynas and J. K. Nisbett", "Shigley's Mechanical Engineering Design, 8th edition", "2006"},
	{"ISO 3408-3", "ISO", "Ball screws - Part 3: Acceptance conditions and acceptance tests", "2006"},
	{"ISO 6336-1", "ISO", "Calculation of load capacity of spur and helical gears - Part 1: Basic principles, introduction and general influence factors", "2006"},
	{"Acarnley 2002", "P. Acarnley", "Stepping Motors: A Guide to Theory and Practice, 4th edition", "2002"},
}
