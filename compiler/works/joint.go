package works

// jointWorks are the works cited by the joint figures.
var jointWorks = []Work{
	{"Cheung 1976", "Y. K. Cheung", "Finite Strip Method in Structural Analysis", "1976"},
	{"Gazetas 1991", "G. Gazetas", "Formulas and charts for impedances of surface and embedded foundations, Journal of Geotechnical Engineering 117(9), 1363-1381", "1991"},
	{"EN 1993-1-8", "CEN", "Eurocode 3: Design of steel structures. Part 1-8: Design of joints", "2005"},
	{"EN 1995-1-1", "CEN", "Eurocode 5: Design of timber structures. Part 1-1: General. Common rules and rules for buildings", "2004"},
	{"Newmark 1951", "N. M. Newmark, C. P. Siess and I. M. Viest", "Tests and analysis of composite beams with incomplete interaction, Proceedings of the Society for Experimental Stress Analysis 9(1), 75-92", "1951"},
	{"ISO 898-1", "ISO", "Mechanical properties of fasteners made of carbon steel and alloy steel. Part 1: Bolts, screws and studs with specified property classes", "2013"},
	{"ISO 4014", "ISO", "Hexagon head bolts. Product grades A and B", "2011"},
	{"ISO 724", "ISO", "ISO general-purpose metric screw threads. Basic dimensions", "1993"},
	{"VDI 2230", "VDI", "Systematic calculation of highly stressed bolted joints. Part 1: Joints with one cylindrical bolt", "2015"},
	{"Wright 1968", "R. N. Wright, S. R. Abdel-Samad and A. R. Robinson", "BEF analogy for analysis of box girders, Journal of the Structural Division, ASCE 94 (ST7), 1719-1743", "1968"},
	{"Hetenyi 1946", "M. Hetenyi", "Beams on Elastic Foundation", "1946"},
	{"O'Donnell 1960", "W. J. O'Donnell", "The additional deflection of a cantilever due to the elasticity of the support, Journal of Applied Mechanics 27(3), 461-464", "1960"},
	{"Gent 1959", "A. N. Gent and P. B. Lindley", "The compression of bonded rubber blocks, Proceedings of the Institution of Mechanical Engineers 173(1), 111-122", "1959"},
	{"Back 1973", "N. Back, M. Burdekin and A. Cowley", "Review of the research on fixed and sliding joints, Proceedings of the 13th International Machine Tool Design and Research Conference, 87-97", "1973"},
}
