package works

// workWorks are the works cited by the sheets that follow the fill.
var workWorks = []Work{
	{"ISO 12090-1", "ISO", "Rolling bearings. Profiled rail guides. Part 1: Boundary dimensions and tolerances for series 1, 2 and 3", "2011"},
	{"ISO 273", "ISO", "Fasteners. Clearance holes for bolts and screws", "1979"},
	{"ISO 2306", "ISO", "Drills for use prior to tapping screw threads", "1972"},
	{"DIN 874-1", "DIN", "Straightedges. Part 1: Steel straightedges. Dimensions, technical delivery conditions", "2003"},
	{"EN 10025-2", "CEN", "Hot rolled products of structural steels. Part 2: Technical delivery conditions for non-alloy structural steels", "2019"},
	{"FED-STD-H28", "General Services Administration", "Screw-thread standards for federal services", "1978"},
	{"Stefan 1874", "J. Stefan", "Versuche über die scheinbare Adhäsion, Sitzungsberichte der Akademie der Wissenschaften in Wien 69, 713-735", "1874"},
	{"IEC 60228", "IEC", "Conductors of insulated cables", "2004"},
	{"IEC 60364-5-52", "IEC", "Low-voltage electrical installations. Part 5-52: Selection and erection of electrical equipment. Wiring systems", "2009"},
	{"JIS B 1192", "JIS", "Ball screws", "1997"},
}
