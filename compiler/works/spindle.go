package works

// spindleWorks are the works cited by the figures on the spindle's shaft, the holder
// and the cutter.
var spindleWorks = []Work{
	{"Craig and Bampton 1968", "R. R. Craig and M. C. C. Bampton",
		"Coupling of substructures for dynamic analyses, AIAA Journal 6(7), 1313-1319", "1968"},
	{"Schmitz and Donaldson 2000", "T. L. Schmitz and R. R. Donaldson",
		"Predicting high-speed machining dynamics by substructure analysis, CIRP Annals 49(1), 303-308", "2000"},
}
